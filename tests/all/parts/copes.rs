//! A cope that continues through a bend.

use crate::own;
use platewright::fold;
use platewright::geom::Point;
use platewright::num::Angle;
use platewright::solve::Solved;

/// A channel whose end is on a round tube that runs square across it, its axis below the web by
/// `over`.
fn channel(over: f64) -> String {
    // `over` is from the outside of the web, to which the flanges are drawn.
    let offset = over + 1.5;
    format!(
        r#"
about = "x"
[face.web]
blank = [
  {{ add = "polygon", corners = [ {{ at = ["0", "-25 mm"], edge = "near" }}, ["140 mm", "-25 mm"], {{ at = ["140 mm", "25 mm"], edge = "far" }}, ["0", "25 mm"] ] }},
  {{ cut = "saddle", tube = "60.3 mm", angle = "0", offset = "-{offset} mm", rotate = "90 deg" }},
]
[face.near]
blank = [
  {{ add = "rectangle", width = "140 mm", height = "50 mm", at = ["0", "25 mm"] }},
  {{ cut = "saddle", tube = "60.3 mm", at = ["70 mm", "-{over} mm"] }},
]
[face.far]
blank = [
  {{ add = "rectangle", width = "140 mm", height = "50 mm", at = ["0", "25 mm"] }},
  {{ cut = "saddle", tube = "60.3 mm", at = ["-70 mm", "-{over} mm"] }},
]
[bend.near]
on = "web.near"
to = "near"
angle = "90 deg"
[bend.far]
on = "web.far"
to = "far"
angle = "90 deg"
"#
    )
}

/// Minimum and maximum clearance between the end of the strips and the tube, mm, over both surfaces
/// of the sheet in the formed part: negative where metal is in the tube.
fn room(solved: &Solved, over: f64) -> (f64, f64) {
    let (part, flat) = (&solved.part, &solved.flat);
    let folded = fold::fold(part, flat, &[]);
    // The axis runs along y of the web.
    let height = -3.0 - over;
    let mut room = (f64::INFINITY, f64::NEG_INFINITY);
    for (bend, strip) in folded.bends.iter().zip(&folded.strips) {
        let near_tube = |p: &Point| bend.start.point(*p, 0.0)[0] < 60.0;
        // Between the edges where the bend begins and ends.
        let inner = |p: &Point| p.y > 0.01 && p.y < bend.allowance - 0.01;
        let points = strip.outer().edges().flat_map(|e| [0.25, 0.5, 0.75].map(|t| e.point_at(t)));
        for p in points.filter(near_tube).filter(inner) {
            let rotation = Angle::from_degrees(bend.angle.degrees() * p.y / bend.allowance);
            let apart = [0.0, part.thickness].map(|depth| {
                let r = bend.radius + depth;
                let at = Point::new(p.x, r * rotation.sin());
                let [x, _, z] = bend.start.point(at, bend.radius - r * rotation.cos());
                (x * x + (z - height) * (z - height)).sqrt() - 60.3 / 2.0
            });
            let min = apart[0].min(apart[1]);
            room = (room.0.min(min), room.1.max(min));
        }
    }
    room
}

#[test]
fn the_strip_of_a_bend_follows_the_tube() {
    for over in [8.0, 2.0, 20.0] {
        let (solved, found) = own::one(&channel(over));
        assert!(found.is_empty(), "{found:?}");
        let (min, max) = room(&solved, over);
        assert!(min > -0.01 && max < 0.01, "{over}: {min} {max}");
    }
}

/// Seen from the side the flat has no step where a face and a bend meet: the cope is one
/// line from one flange over the web to the other.
#[test]
fn neither_stub_nor_notch_is_left_beside_a_coped_bend() {
    let (solved, _) = own::one(&channel(8.0));
    let outer = solved.flat.region.outer();
    let near = |p: Point| p.x < 40.0 && p.x > 1.0;
    let along = outer.edges().filter(|e| near(e.from) && near(e.to));
    let level = along.filter(|e| e.is_line() && (e.from.y - e.to.y).abs() < 1e-6);
    assert_eq!(level.count(), 0, "{:?}", outer.vertices());
}

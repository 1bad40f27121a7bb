//! Formed parts: properties of the solid of any part, and lengths as one would measure them on it.

use crate::back;
use crate::tree;
use crate::tree::Flange;
use platewright::bend::Method;
use platewright::flat;
use platewright::flat::Flat;
use platewright::fold;
use platewright::fold::Folded;
use platewright::fold::Space;
use platewright::fold::cross;
use platewright::fold::dot;
use platewright::fold::length;
use platewright::fold::minus;
use platewright::geom::Point;
use platewright::num::Angle;
use platewright::part::Part;
use platewright::recipe::CornerShape;
use platewright::recipe::Measured;

const PLAIN: Flange = Flange {
    on: 0,
    edge: 2,
    size: [60.0, 30.0],
    aside: 0.0,
    angle: 90.0,
    radius: 3.0,
    up: true,
    measured: Measured::Outside,
    corner: CornerShape::Open,
};

fn folded(part: &Part) -> (Flat, Folded) {
    let flat = flat::unfold(part).unwrap();
    let folded = fold::fold(part, &flat, &fold::full(part));
    (flat, folded)
}

/// Corners of a face in space, on its upper and its lower side.
fn corners(folded: &Folded, face: usize, thickness: f64) -> Vec<Space> {
    let face = &folded.faces[face];
    let at = face.region.outer().vertices().iter().map(|v| v.at);
    at.flat_map(|p| [0.0, -thickness].map(|z| face.frame.point(p, z))).collect()
}

/// Minimum and maximum of one coordinate over all faces.
fn extent(folded: &Folded, axis: usize, thickness: f64) -> (f64, f64) {
    let all = (0..folded.faces.len()).flat_map(|f| corners(folded, f, thickness));
    all.map(|p| p[axis]).fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), v| (a.min(v), b.max(v)))
}

/// The L and the zed, each measured with the calliper one would use.
#[test]
fn folded_legs_are_as_long_as_asked() {
    let t = 2.0;
    for (measured, beyond) in
        [(Measured::Outside, 0.0), (Measured::Inside, t), (Measured::Tangent, 3.0 + t)]
    {
        for up in [true, false] {
            let part =
                tree::part(t, [60.0, 40.0], &[Flange { up, measured, ..PLAIN }], Method::Din6935);
            let (_, solid) = folded(&part.unwrap());
            let (min, max) = extent(&solid, 1, t);
            assert!((max - min - (40.0 + beyond)).abs() < 1e-9, "{measured:?} {up}: {max}");
            let (min, max) = extent(&solid, 2, t);
            assert!((max - min - (30.0 + beyond)).abs() < 1e-9, "{measured:?} {up}: {max}");
        }
    }
}

/// Outside, the planes of both outer faces meet in the sharp corner; there begin both
/// drawings. The same for the inside, and where the bend begins when measured to it.
#[test]
fn mould_lines_meet_at_any_angle() {
    let t = 1.5;
    for angle in [1.0, 12.5, 45.0, 90.0, 120.0, 169.0] {
        for up in [true, false] {
            for (measured, inside) in [(Measured::Outside, false), (Measured::Inside, true)] {
                let flange = Flange { angle, up, measured, size: [60.0, 400.0], ..PLAIN };
                let part = tree::part(t, [60.0, 400.0], &[flange], Method::Faa).unwrap();
                let (_, solid) = folded(&part);
                let height = if inside == up { 0.0 } else { -t };
                let corner = solid.faces[0].frame.point(Point::new(0.0, 200.0), height);
                let other = solid.faces[1].frame.point(Point::ZERO, height);
                assert!(length(minus(corner, other)) < 1e-9, "{angle} {up} {measured:?}");
                let between = dot(solid.faces[0].frame.y, solid.faces[1].frame.y);
                assert!((between - Angle::from_degrees(angle).cos()).abs() < 1e-12);
                let rises = solid.faces[1].frame.y[2] > 0.0;
                assert_eq!(rises, up);
            }
        }
    }
}

/// A box whose flange carries a return, one of them downwards.
fn box_with_returns() -> Part {
    let flange = |on, edge, size, angle, up| Flange { on, edge, size, angle, up, ..PLAIN };
    let flanges = [
        flange(0, 0, [50.0, 30.0], 90.0, true),
        flange(0, 1, [30.0, 25.0], 60.0, true),
        flange(0, 2, [50.0, 30.0], 90.0, false),
        flange(1, 1, [40.0, 20.0], 75.0, true),
        flange(3, 1, [40.0, 20.0], 110.0, true),
        flange(5, 1, [30.0, 15.0], 45.0, false),
    ];
    tree::part(2.0, [100.0, 60.0], &flanges, Method::K(0.41)).unwrap()
}

#[test]
fn unbent_it_lies_as_the_flat_does() {
    let part = box_with_returns();
    let flat = flat::unfold(&part).unwrap();
    let solid = fold::fold(&part, &flat, &vec![Angle::ZERO; part.bends.len()]);
    for (face, place) in solid.faces.iter().zip(&flat.places) {
        for vertex in face.region.outer().vertices() {
            let [p, q] = [place.apply(vertex.at), vertex.at];
            let lies = face.frame.point(q, 0.0);
            assert!(length(minus(lies, [p.x, p.y, 0.0])) < 1e-9, "{lies:?} for {p:?}");
        }
    }
    assert!((solid.volume(part.thickness) - flat.region.area() * part.thickness).abs() < 1e-6);
}

/// Back to the flat from the solid alone: how the faces lie to each other in space, and
/// the length of the neutral arc between them.
#[test]
fn folded_then_unfolded_is_the_same_flat() {
    let part = box_with_returns();
    let (flat, solid) = folded(&part);
    let off = back::unfolded(&part, &solid, &flat);
    assert!(off < 1e-9, "{off} mm");
}

#[test]
fn folding_gains_the_volume_of_the_bends_and_no_more() {
    let part = box_with_returns();
    let (flat, solid) = folded(&part);
    let gained = solid.bends.iter().zip(&part.bends).map(|(s, b)| s.area * fold::gain(&b.bend));
    let gained: f64 = gained.sum();
    let sheet = flat.region.area() * part.thickness;
    assert!(gained > 1.0, "nothing is gained");
    assert!((solid.volume(part.thickness) - sheet - gained).abs() < 1e-6);
}

#[test]
fn every_step_of_a_bend_is_a_rigid_motion_that_keeps_the_strip() {
    let part = tree::part(2.0, [60.0, 40.0], &[PLAIN], Method::Din6935).unwrap();
    let flat = flat::unfold(&part).unwrap();
    let bend = part.bends[0].bend;
    for angle in [0.0, 1e-7, 0.5, 30.0, 60.0, 90.0, 93.0] {
        let solid = fold::fold(&part, &flat, &[Angle::from_degrees(angle)]);
        let frame = solid.faces[1].frame;
        assert!(length(minus(cross(frame.x, frame.y), frame.z)) < 1e-12);
        let made = solid.bends[0];
        if angle > 0.0 {
            let neutral = made.angle.radians() * (made.radius + bend.k() * 2.0);
            assert!((neutral - bend.allowance()).abs() < 1e-6, "{angle}: {neutral}");
        }
        // Points of the bend meet both faces.
        let ends = flat.bends[0].ends;
        for height in [0.0, -2.0] {
            let end = made.point(made.width, 1.0, height);
            assert!(length(minus(end, frame.point(ends.to, height))) < 1e-9);
            let start = solid.faces[0].frame.point(flat.bends[0].begins.to, height);
            assert!(length(minus(made.point(0.0, 0.0, height), start)) < 1e-9);
        }
    }
    let finished = fold::fold(&part, &flat, &[]).bends[0];
    assert!((finished.radius - 3.0).abs() < 1e-12);
}

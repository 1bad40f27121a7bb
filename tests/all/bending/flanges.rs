//! Flanges that are narrower, wider or offset, the reliefs beside them, and how they meet.

use crate::tree;
use crate::tree::Flange;
use platewright::bend::Method;
use platewright::diag::Sources;
use platewright::diag::Span;
use platewright::flat;
use platewright::flat::Flat;
use platewright::fold;
use platewright::fold::Piece;
use platewright::fold::Space;
use platewright::formula::Value;
use platewright::geom::Edge;
use platewright::geom::Outline;
use platewright::geom::Point;
use platewright::geom::Region;
use platewright::geom::Vertex;
use platewright::num::Angle;
use platewright::part;
use platewright::part::Part;
use platewright::part::Relief;
use platewright::quantity::MM_PER_INCH;
use platewright::recipe;
use platewright::recipe::CornerShape;
use platewright::recipe::Measured;
use platewright::recipe::ReliefShape;
use platewright::recipe::Surroundings;
use platewright::table::Tables;

const T: f64 = 2.0;
const R: f64 = 3.0;

/// A base of 100 by 60 with flanges; K is 0.4.
fn part(flanges: &[Flange]) -> Part {
    tree::part(T, [100.0, 60.0], flanges, Method::K(0.4)).unwrap()
}

fn flange(edge: usize, width: f64) -> Flange {
    Flange {
        on: 0,
        edge,
        size: [width, 30.0],
        aside: 0.0,
        angle: 90.0,
        radius: R,
        up: true,
        measured: Measured::Outside,
        corner: CornerShape::Open,
    }
}

fn unfolded(part: &Part) -> Flat {
    flat::unfold(part).unwrap_or_else(|f| panic!("{}", f[0].headline))
}

fn refused(part: &Part) -> String {
    flat::unfold(part).unwrap_err().remove(0).headline
}

/// Minimum and maximum of a face in space.
fn extent(part: &Part, face: usize) -> (Space, Space) {
    let solid = fold::fold(part, &unfolded(part), &[]);
    let face = &solid.faces[face];
    let points = face.region.outer().vertices().iter().map(|v| v.at);
    let points = points.flat_map(|p| [0.0, -T].map(|h| face.frame.point(p, h)));
    points.fold(([f64::INFINITY; 3], [f64::NEG_INFINITY; 3]), |(min, max), p| {
        let pick = |f: fn(f64, f64) -> f64, a: Space| [0, 1, 2].map(|i| f(a[i], p[i]));
        (pick(f64::min, min), pick(f64::max, max))
    })
}

/// The lower and the right flange, as wide as their edges.
fn corner(shape: CornerShape, angle: f64) -> Part {
    let on = |edge, width| Flange { corner: shape, angle, ..flange(edge, width) };
    part(&[on(0, 100.0), on(1, 60.0)])
}

fn near(a: f64, b: f64) {
    assert!((a - b).abs() < 1e-6, "{a} for {b}");
}

/// Seen from above, the outside of the lower flange is at y = −30, that of the right one
/// at x = 50.
#[test]
fn flanges_at_a_corner_reach_as_far_as_asked() {
    let ends = |shape| {
        let part = corner(shape, 90.0);
        (extent(&part, 1).1[0], extent(&part, 2).0[1])
    };
    let (lower, right) = ends(CornerShape::Open);
    near(lower, 50.0 - (R + T));
    near(right, -30.0 + (R + T));
    // The gap is the clear distance: from inside edge to inside edge.
    let gap = 0.5 / 2.0_f64.sqrt();
    for shape in [CornerShape::Closed, CornerShape::Mitre] {
        let (lower, right) = ends(shape);
        near(lower, 50.0 - T - gap);
        near(right, -30.0 + T + gap);
    }
    let (lower, right) = ends(CornerShape::Overlap);
    near(lower, 50.0);
    near(right, -30.0 + T + 0.5);
}

/// Walls that lean out or in, drawn wide enough, are cut along their slope: the gap, the
/// clear distance of the two, is the same from foot to top, whatever the corner is called.
#[test]
fn the_gap_of_walls_that_lean_is_kept_over_the_whole_height() {
    for angle in [45.0, 60.0, 75.0, 90.0, 105.0, 120.0] {
        for shape in [CornerShape::Closed, CornerShape::Mitre, CornerShape::Overlap] {
            if shape == CornerShape::Overlap && angle < 60.0 {
                continue;
            }
            let wide = |edge, width| Flange { corner: shape, angle, ..flange(edge, width + 80.0) };
            let mut part = part(&[wide(0, 100.0), wide(1, 60.0)]);
            for bend in &mut part.bends {
                bend.measured = Measured::Tangent;
            }
            let flat = unfolded(&part);
            assert_eq!(flat.short_corners, [], "{shape:?} {angle}");
            let gaps = fold::corner_gaps(&part, &flat, &fold::fold(&part, &flat, &[]));
            let [gap] = gaps.as_slice() else { panic!("{gaps:?}") };
            assert!((gap.min - 0.5).abs() < 0.01, "{shape:?} {angle}: {gap:?}");
            assert!((gap.max - 0.5).abs() < 0.01, "{shape:?} {angle}: {gap:?}");
        }
    }
}

/// The right flange tapers away from the corner from 18 mm up, by 10 mm on 12. At its top, 30 mm up,
/// it is 8 mm back; from the edge of the other, (2 mm, 12 mm) before where it begins to, its slope
/// is (12 · 10 − 2 · 12) / √(10² + 12²) away.
#[test]
fn the_gap_beside_a_flange_that_tapers_away_is_measured_up_to_its_top() {
    for side in 0..2 {
        let mut part = corner(CornerShape::Closed, 90.0);
        let half = [50.0, 30.0][side];
        let mirrored = [-1.0, 1.0][side];
        let mut corners =
            [(-half, 0.0), (half, 0.0), (half, 18.0), (half - 10.0, 30.0), (-half, 30.0)];
        corners.iter_mut().for_each(|(x, _)| *x *= mirrored);
        if mirrored < 0.0 {
            corners.reverse();
        }
        let vertices = corners.map(|(x, y)| Vertex::sharp(x, y));
        part.faces[1 + side].blank = Region::solid(Outline::new(vertices).unwrap());
        let flat = unfolded(&part);
        let gaps = fold::corner_gaps(&part, &flat, &fold::fold(&part, &flat, &[]));
        let [gap] = gaps.as_slice() else { panic!("{gaps:?}") };
        near(gap.min, 0.5);
        near(gap.max, (96.0_f64.powi(2) / 244.0 + 0.125).sqrt());
    }
}

/// Above 18 mm the right flange is set back by 10 mm: from its edge there it is 10 mm less the 2 of
/// the other's thickness to that one, whose edge is 0.5 / √2 mm aside.
#[test]
fn the_gap_beside_a_flange_that_is_set_back_is_measured_up_to_its_top() {
    let mut part = corner(CornerShape::Closed, 90.0);
    let corners =
        [(-30.0, 0.0), (30.0, 0.0), (30.0, 18.0), (20.0, 18.0), (20.0, 30.0), (-30.0, 30.0)];
    let vertices = corners.map(|(x, y)| Vertex::sharp(x, y));
    part.faces[2].blank = Region::solid(Outline::new(vertices).unwrap());
    let flat = unfolded(&part);
    let gaps = fold::corner_gaps(&part, &flat, &fold::fold(&part, &flat, &[]));
    let [gap] = gaps.as_slice() else { panic!("{gaps:?}") };
    near(gap.min, 0.5);
    near(gap.max, (64.0_f64 + 0.125).sqrt());
}

/// A notch of 0.3 mm in the edge of the right flange: half way up it the other's edge, 0.5 mm off,
/// is that and 0.15 mm from its corners.
#[test]
fn the_gap_beside_a_short_notch_is_found_between_the_places_looked_at() {
    let mut part = corner(CornerShape::Closed, 90.0);
    let corners = [(-30.0, 0.0), (30.0, 0.0), (30.0, 18.0), (20.0, 18.0), (20.0, 18.3)];
    let corners = corners.into_iter().chain([(30.0, 18.3), (30.0, 30.0), (-30.0, 30.0)]);
    let vertices = corners.map(|(x, y)| Vertex::sharp(x, y));
    part.faces[2].blank = Region::solid(Outline::new(vertices).unwrap());
    let flat = unfolded(&part);
    let gaps = fold::corner_gaps(&part, &flat, &fold::fold(&part, &flat, &[]));
    let [gap] = gaps.as_slice() else { panic!("{gaps:?}") };
    near(gap.min, 0.5);
    let by_hand = (0.25_f64 + 0.15 * 0.15).sqrt();
    assert!((gap.max - by_hand).abs() < 1e-3, "{gap:?}, by hand {by_hand}");
}

/// A return is narrower than its flange: the relief beside it is no gap of the corner.
#[test]
fn a_relief_at_the_top_of_a_flange_is_no_gap() {
    let on = |edge, width| Flange { corner: CornerShape::Closed, ..flange(edge, width) };
    let lip = |on, width| Flange { on, edge: 1, size: [width, 8.0], ..flange(0, 0.0) };
    let part = part(&[on(0, 100.0), on(1, 60.0), lip(1, 60.0), lip(2, 30.0)]);
    let flat = unfolded(&part);
    let gaps = fold::corner_gaps(&part, &flat, &fold::fold(&part, &flat, &[]));
    let [gap] = gaps.as_slice() else { panic!("{gaps:?}") };
    near(gap.min, 0.5);
    near(gap.max, 0.5);
}

/// The gap of one bend counts, whatever the default of the other.
#[test]
fn a_gap_asked_of_one_bend_is_kept() {
    let mut asked = corner(CornerShape::Closed, 90.0);
    asked.bends[0].gap = Some(0.2);
    let flat = unfolded(&asked);
    let gaps = fold::corner_gaps(&asked, &flat, &fold::fold(&asked, &flat, &[]));
    assert!((gaps[0].min - 0.2).abs() < 1e-6 && (gaps[0].max - 0.2).abs() < 1e-6, "{gaps:?}");
}

/// Where two bends meet a relief is needed, so `relief = "none"` is refused.
#[test]
fn bends_that_meet_without_a_relief_are_refused() {
    for which in 0..2 {
        let mut bare = corner(CornerShape::Closed, 90.0);
        bare.bends[which].relief.shape = ReliefShape::None;
        let words = refused(&bare);
        assert!(words.contains("`b1` and `b2` meet, which needs a relief"), "{words}");
    }
}

#[test]
fn a_narrow_flange_gets_a_notch_at_each_end() {
    let whole = unfolded(&part(&[flange(2, 100.0)])).region.area();
    let bend = part(&[flange(2, 60.0)]).bends[0].bend;
    let flat = unfolded(&part(&[flange(2, 60.0)]));
    let deep = bend.setback() + 1.0;
    let strip = 30.0 - bend.setback() + bend.allowance();
    let wanted = 100.0 * 60.0 - 60.0 * bend.setback() - 2.0 * T * deep + 60.0 * strip;
    near(flat.region.area(), wanted);
    near(whole, 100.0 * (90.0 - bend.deduction()));
    near(flat.bends[0].begins.length(), 60.0);
}

#[test]
fn a_notch_ends_square_or_round_or_in_a_hole() {
    let area = |shape, depth| {
        let mut part = part(&[flange(2, 60.0)]);
        part.bends[0].relief = Relief { shape, width: 4.0, depth };
        unfolded(&part).region.area()
    };
    let corners = 2.0 * (4.0 * 2.0 - std::f64::consts::PI * 2.0);
    near(area(ReliefShape::Round, 3.0) - area(ReliefShape::Square, 3.0), corners);
    near(area(ReliefShape::Hole, 2.0), area(ReliefShape::Round, 2.0));
}

#[test]
fn a_flange_may_be_wider_than_its_edge_and_aside() {
    let wide = Flange { size: [120.0, 30.0], aside: 4.0, ..flange(2, 0.0) };
    let flat = unfolded(&part(&[wide]));
    near(flat.bends[0].begins.length(), 100.0);
    // x of the flange runs against the edge, which runs against x of the base.
    let bounds = flat.region.bounds();
    near(bounds.width(), 120.0);
    near(bounds.max.x, 64.0);
    let inset = |p: &Part| unfolded(p).bends[0].tangents[0];
    let mut shifted = part(&[flange(2, 60.0)]);
    shifted.bends[0].aside = 7.5;
    let drawn = part(&[Flange { aside: 7.5, ..flange(2, 60.0) }]);
    let [a, b]: [Edge; 2] = [inset(&shifted), inset(&drawn)];
    near((a.from - b.from).hypot() + (a.to - b.to).hypot(), 0.0);
    near(a.from.x.max(a.to.x), 37.5);
}

#[test]
fn a_sheet_left_to_tear_is_not_cut() {
    let mut torn = part(&[Flange { angle: 30.0, ..flange(2, 60.0) }]);
    torn.bends[0].relief.shape = ReliefShape::Tear;
    let bend = torn.bends[0].bend;
    assert!(bend.allowance() > bend.setback());
    let flat = unfolded(&torn);
    let front = 30.0 - bend.setback() + bend.allowance() - bend.setback();
    near(flat.region.area(), 100.0 * 60.0 + 60.0 * front);
    let solid = fold::fold(&torn, &flat, &[Angle::ZERO]);
    near(solid.volume(T), flat.region.area() * T);
    let mut sharp = part(&[flange(2, 60.0)]);
    sharp.bends[0].relief.shape = ReliefShape::Tear;
    sharp.bends[0].measured = Measured::Outside;
    sharp.bends[0].bend =
        platewright::bend::Bend::new(T, 0.5, Angle::QUARTER, Method::K(0.3)).unwrap();
    assert!(refused(&sharp).contains("cannot tear"), "{}", refused(&sharp));
}

#[test]
fn no_relief_is_refused_where_one_is_needed() {
    let mut full = part(&[flange(2, 100.0)]);
    full.bends[0].relief.shape = ReliefShape::None;
    unfolded(&full);
    let mut narrow = part(&[flange(2, 60.0)]);
    narrow.bends[0].relief.shape = ReliefShape::None;
    let words = refused(&narrow);
    assert!(words.contains("`b1`") && words.contains("narrower than its edge"), "{words}");
}

/// A trade-school handbook of tables, DIN 6935: opening 60°, so a bend of 120°, legs of 16
/// and 21 mm to the outer tangents, r 6, s 5: v = 5.77 mm with k 0.7 from the chart, length
/// 31.23 mm; 31.18 mm with k by the formula.
#[test]
fn an_acute_bend_measured_to_its_outer_tangents_is_as_long_as_the_handbook_says() {
    let length = |method, measured| {
        let size = [60.0, 21.0];
        let leg = Flange { size, angle: 120.0, radius: 6.0, measured, ..flange(2, 60.0) };
        let part = tree::part(5.0, [60.0, 16.0], &[leg], method).unwrap();
        unfolded(&part).region.bounds().height()
    };
    let by_chart = length(Method::K(0.35), Measured::TangentOutside);
    assert!((by_chart - 31.23).abs() < 0.01, "{by_chart}");
    let by_formula = length(Method::Din6935, Measured::TangentOutside);
    assert!((by_formula - 31.18).abs() < 0.01, "{by_formula}");
}

/// The reading of a caliper on the formed part is the drawn dimension, and up to 90° the same as to
/// the sharp corner.
#[test]
fn legs_drawn_to_the_outer_tangent_are_what_a_caliper_reads() {
    for angle in [45.0, 90.0, 120.0, 150.0] {
        let measured = Measured::TangentOutside;
        let part = part(&[Flange { angle, measured, ..flange(0, 100.0) }]);
        let bend = part.bends[0].bend;
        let outside = Flange { angle, ..flange(0, 100.0) };
        let sharp = self::part(&[outside]).bends[0].drawn_setback();
        if angle <= 90.0 {
            near(part.bends[0].drawn_setback(), sharp);
            continue;
        }
        near(part.bends[0].drawn_setback(), R + T);
        // The base runs from y = 30 to −30: there lies the outside of the bend.
        let flat = unfolded(&part);
        let made = fold::fold(&part, &flat, &[]).bends[0];
        let shares = (0..=1000).map(|i| f64::from(i) / 1000.0);
        let lowest = shares.map(|share| made.point(0.0, share, -T)[1]).fold(0.0, f64::min);
        assert!((lowest + 30.0).abs() < 1e-3, "{angle}: {lowest}");
        near(bend.caliper_setback(), R + T);
    }
}

/// FAA-H-8083-31 vol. 1 ch. 4: the hole lies where the inside bend tangent lines cross,
/// 1/8 in across in sheet up to 0.064 in, and reaches 1/32 to 1/16 in behind the lines.
#[test]
fn a_relief_hole_lies_where_the_bends_begin() {
    let t = 0.040 * MM_PER_INCH;
    let on = |edge, width| Flange { radius: 0.06 * MM_PER_INCH, ..flange(edge, width) };
    let flanges = [on(0, 100.0), on(1, 60.0)];
    let mut part = tree::part(t, [100.0, 60.0], &flanges, Method::Faa).unwrap();
    for bend in &mut part.bends {
        bend.relief = Relief::usual(ReliefShape::Hole, &bend.bend, 0.2);
    }
    let flat = unfolded(&part);
    let [lower, right] = [0, 1].map(|i| flat.bends[i].tangents[0]);
    let crossing = Point::new(right.from.x, lower.from.y);
    let arcs: Vec<_> = flat.region.outer().edges().filter_map(|e| e.arc()).collect();
    assert!(!arcs.is_empty());
    for arc in arcs {
        near((arc.centre - crossing).hypot(), 0.0);
        near(2.0 * arc.radius, MM_PER_INCH / 8.0);
        assert!((1.0 / 32.0..=1.0 / 16.0 + 1e-9).contains(&(arc.radius / MM_PER_INCH)));
    }
    assert!(!flat.region.contains(crossing));
}

#[test]
fn faces_that_lie_on_each_other_in_the_blank_are_both_named() {
    let up = |on, edge, size| Flange { on, edge, size, ..flange(0, 0.0) };
    // The returns of two neighbouring flanges come round the corner from both sides.
    let part = part(&[
        up(0, 0, [100.0, 80.0]),
        up(0, 1, [40.0, 60.0]),
        up(1, 2, [60.0, 40.0]),
        up(2, 0, [40.0, 40.0]),
    ]);
    let words = refused(&part);
    assert!(words.contains("`f3`") && words.contains("`f4`"), "{words}");
}

fn clashes(part: &Part) -> Vec<(Piece, Piece)> {
    let flat = unfolded(part);
    fold::clashes(part, &fold::fold(part, &flat, &[]))
}

/// Two flanges with returns towards each other: the part is 60 mm wide, the returns
/// touch at 30 mm and meet beyond.
#[test]
fn returns_that_meet_are_found_and_those_that_just_touch_are_not() {
    let returned = |length| {
        let up = |edge| flange(edge, 100.0);
        let lip = |on| Flange { on, edge: 1, size: [100.0, length], ..flange(0, 0.0) };
        clashes(&part(&[up(0), up(2), lip(1), lip(2)]))
    };
    assert_eq!(returned(29.0), []);
    assert_eq!(returned(30.0), []);
    assert_eq!(returned(30.1), [(Piece::Face(3), Piece::Face(4))]);
    assert_eq!(returned(40.0), [(Piece::Face(3), Piece::Face(4))]);
}

/// A return as long as the part is wide runs through the other flange.
#[test]
fn a_return_through_a_flange_is_found() {
    let lip = |length| Flange { on: 1, edge: 1, size: [40.0, length], ..flange(0, 0.0) };
    let tall = Flange { size: [100.0, 50.0], ..flange(2, 0.0) };
    let through = |length| clashes(&part(&[flange(0, 100.0), tall, lip(length)]));
    assert_eq!(through(57.9), []);
    assert_eq!(through(59.0), [(Piece::Face(2), Piece::Face(3))]);
    assert_eq!(through(80.0), [(Piece::Face(2), Piece::Face(3))]);
    // A flange that leans over the part runs into the one across.
    let steep = Flange { angle: 160.0, size: [100.0, 110.0], ..flange(0, 0.0) };
    assert_eq!(clashes(&part(&[steep, flange(2, 100.0)])), [(Piece::Face(1), Piece::Face(2))]);
}

#[test]
fn corners_that_were_treated_do_not_clash_and_one_that_was_not_does() {
    for angle in [45.0, 90.0, 120.0] {
        let shapes = [CornerShape::Closed, CornerShape::Mitre, CornerShape::Overlap];
        for shape in shapes.into_iter().filter(|s| angle > 60.0 || *s != CornerShape::Overlap) {
            assert_eq!(clashes(&corner(shape, angle)), [], "{shape:?} {angle}");
        }
    }
    assert_eq!(clashes(&corner(CornerShape::Open, 90.0)), []);
    // Flanges that lean in meet above an open corner.
    assert_eq!(clashes(&corner(CornerShape::Open, 120.0)), [(Piece::Face(1), Piece::Face(2))]);
}

/// The cut at a corner is missing in the solid of both bends, at its place: near the crossing there
/// is no metal, and a body that passes there touches nothing.
#[test]
fn what_is_cut_at_a_corner_is_missing_in_the_folded_bends() {
    let part = corner(CornerShape::Open, 90.0);
    let flat = unfolded(&part);
    let solid = fold::fold(&part, &flat, &[]);
    for (bend, strip) in solid.bends.iter().zip(&solid.strips) {
        let whole = bend.width * bend.allowance;
        assert!(strip.area() < whole - 1.0, "nothing is cut");
        near(strip.area(), bend.area);
        let bounds = strip.bounds();
        near(bounds.min.y, 0.0);
        near(bounds.max.y, bend.allowance);
        assert!(bounds.min.x > -1e-6 && bounds.max.x < bend.width + 1e-6);
    }
    // The first bend runs along x of the base; the corner lies at its right end, which is
    // where the second one begins.
    let at_ends = |i: usize| {
        let far = solid.bends[i].width - 0.2;
        [0.2, far].map(|x| solid.strips[i].contains(Point::new(x, 0.5)))
    };
    assert_eq!([at_ends(0), at_ends(1)], [[false, true], [true, false]]);
}

/// Of two flanges at a corner one is bent up and one down: they end where the other's bend begins,
/// or the part is refused if they are required to meet.
#[test]
fn flanges_to_different_sides_are_not_asked_to_meet() {
    let sides = |shape| {
        let on = |edge, width, up| Flange { corner: shape, up, ..flange(edge, width) };
        part(&[on(0, 100.0, true), on(1, 60.0, false)])
    };
    let open = sides(CornerShape::Open);
    near(extent(&open, 1).1[0], 50.0 - (R + T));
    near(extent(&open, 2).0[1], -30.0 + (R + T));
    assert_eq!(clashes(&open), []);
    for shape in [CornerShape::Closed, CornerShape::Overlap, CornerShape::Mitre] {
        let words = refused(&sides(shape));
        assert!(words.contains("`b1` and `b2` go to opposite sides"), "{words}");
    }
}

/// Walls that lean out and are drawn as wide as their edges do not reach each other; a corner
/// without another flange is reported as well.
#[test]
fn a_corner_that_is_not_reached_is_told() {
    let short = |part: &Part| unfolded(part).short_corners;
    assert_eq!(short(&corner(CornerShape::Closed, 90.0)), []);
    let leaning = short(&corner(CornerShape::Closed, 60.0));
    assert_eq!(leaning.len(), 2);
    assert!(leaning.iter().all(|c| c.other.is_some_and(|(_, by)| by > 5.0)), "{leaning:?}");
    let mut lonely = part(&[flange(0, 100.0)]);
    lonely.bends[0].corner = CornerShape::Mitre;
    assert_eq!(short(&lonely), [flat::ShortCorner { bend: 0, other: None }]);
}

/// The left hand is the right one in a mirror, shifted flange and all.
#[test]
fn the_left_hand_of_a_shifted_flange_is_its_mirror() {
    let both = hands();
    let [right, left] = [0, 1].map(|i: usize| unfolded(&both[i]));
    assert!(right.bends[0].line.from.x.abs() > 0.0);
    near(left.region.area(), right.region.area());
    let [a, b] = [left.region.bounds(), right.region.bounds()];
    near(a.min.x, -b.max.x);
    near(a.max.x, -b.min.x);
    near(a.min.y, b.min.y);
    let middles = [&right, &left].map(|flat| flat.bends[0].line.point_at(0.5).x);
    near(middles[0], -middles[1]);
    assert!(middles[0].abs() > 4.0, "{middles:?}");
    // In space as well: points at x in one are at −x in the other.
    let solids = [0, 1].map(|i: usize| fold::fold(&both[i], [&right, &left][i], &[]));
    let low = |i: usize, sign: f64| {
        let face = &solids[i].faces[1];
        let points = face.region.outer().vertices().iter();
        points.map(|v| sign * face.frame.point(v.at, 0.0)[0]).fold(f64::INFINITY, f64::min)
    };
    near(low(0, 1.0), low(1, -1.0));
    near(low(0, -1.0), low(1, 1.0));
}

/// Both hands of a bracket whose leg is shifted along its edge.
fn hands() -> Vec<Part> {
    let text = r#"
about = "Bracket in both hands"
mirror = true
[face.base]
blank = [ { add = "rectangle", width = "70 mm", height = "40 mm" } ]
[face.leg]
blank = [ { add = "rectangle", width = "30 mm", height = "36 mm", at = ["0", "18 mm"] } ]
[bend.heel]
on = "base.top"
to = "leg"
angle = "90 deg"
offset = "9 mm"
"#;
    built(text)
}

/// The parts of a recipe.
fn built(text: &str) -> Vec<Part> {
    let (mut sources, tables) = (Sources::default(), Tables::shipped());
    let source = sources.add("recipe.toml", text);
    let recipe = recipe::read("recipe", source, text, &|_| None).unwrap();
    let here = Span { source, start: 0, end: 0 };
    let surroundings: Surroundings =
        [("thickness", Value::length(T)), ("bend_radius", Value::length(R))].into();
    let params = recipe::resolve(&recipe, &[], here, &surroundings, &tables).unwrap();
    part::build(&recipe, &params, &tables, Method::K(0.4), "part").unwrap()
}

/// An edge in an inside corner: the bend needs room beside its end, which is cut from the wall
/// there, as wide as the relief and no wider.
#[test]
fn a_bend_in_an_inward_corner_takes_its_relief_from_the_wall_beside() {
    let text = r#"
about = "Plate with a step, and a flange on the step"
[face.base]
blank = [ { add = "polygon", corners = [
  ["0", "0"], ["100 mm", "0"], ["100 mm", "80 mm"], ["60 mm", "80 mm"],
  { at = ["60 mm", "40 mm"], edge = "step" }, ["0", "40 mm"],
] } ]
[face.leg]
blank = [ { add = "rectangle", width = "59 mm", height = "30 mm", at = ["0", "15 mm"] } ]
[bend.heel]
on = "base.step"
to = "leg"
angle = "90 deg"
offset = "-0.5 mm"
"#;
    let part = built(text).remove(0);
    let flat = unfolded(&part);
    assert_eq!(clashes(&part), []);
    let width = part.bends[0].relief.width;
    // The flange ends 1 mm before the wall. Beside the strip the wall is set back by the rest of
    // the relief's width, beyond that it is whole.
    let strip = &flat.bends[0];
    near(strip.begins.length(), 59.0);
    let [low, high] = [strip.tangents[0].from.y, strip.tangents[1].from.y];
    let beside = |y: f64, off: f64| flat.region.contains(Point::new(59.0 + off, y));
    assert!(!beside(low, width - 0.1) && beside(low, width + 0.1));
    assert!(beside(79.0, 1.1), "the wall is cut away where no bend is");
    assert!(low < high);
}

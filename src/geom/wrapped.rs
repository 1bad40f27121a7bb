//! Polygons that run round discs: tangent from corner to disc and from disc to disc, by lines or
//! by arcs of a radius.

use crate::geom::corner::Corner;
use crate::geom::corner::CornerError;
use crate::geom::corner::Side;
use crate::geom::corner::polygon;
use crate::geom::corner::sides;
use crate::geom::corner::turns;
use crate::geom::edge::Edge;
use crate::geom::near::NEAR;
use crate::geom::outline::Outline;
use crate::geom::treatment::CornerKind;
use crate::num;
use crate::num::Angle;
use kurbo::Point;
use kurbo::Vec2;

/// An arc of a larger sweep is drawn in two, degrees: two points of it and its bulge no longer
/// give it well. Our choice.
const LARGEST_SWEEP: f64 = 180.0;

/// An outline that turns further against the way round a disc than this, degrees, only touches
/// it: rounding. Our choice.
const TOUCH: f64 = 1e-7;

/// A corner of a polygon, or a disc that it runs round.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Stop {
    /// A corner.
    Corner(Corner),
    /// A disc about a point with a radius, mm: more than 0 lies in the polygon, less outside it;
    /// and how the side runs that leaves it, straight or by a radius.
    Disc(Point, f64, Side),
}

impl Stop {
    const fn at(&self) -> Point {
        match self {
            Self::Corner(corner) => corner.at,
            Self::Disc(centre, ..) => *centre,
        }
    }

    const fn side(&self) -> Side {
        match self {
            Self::Corner(corner) => corner.side,
            Self::Disc(_, _, side) => *side,
        }
    }
}

/// The outline through corners and round discs, and the side that leaves each of them, before any
/// treatment of corners.
///
/// # Errors
/// As for [`polygon`], with the numbers of the stops; or when a disc has no tangent.
pub fn wrapped(stops: &[Stop]) -> Result<(Outline, Vec<Edge>), CornerError> {
    let has_discs = stops.iter().any(|stop| matches!(stop, Stop::Disc(..)));
    if stops.len() < if has_discs { 2 } else { 3 } {
        return Err(CornerError::Few(stops.len()));
    }
    let laid = stop_corners(stops)?;
    let stop_of = |corner: usize| laid[corner % laid.len()].0;
    let corners: Vec<Corner> = laid.iter().map(|(_, corner)| *corner).collect();
    let numbered = |error: CornerError| error.numbered(&stop_of);
    let points = |corners: &[Corner]| corners.iter().map(|c| c.at).collect::<Vec<_>>();
    let drawn: Vec<Point> = stops.iter().map(Stop::at).collect();
    if turns(&points(&corners)) != turns(&drawn) {
        return Err(CornerError::InsideOut);
    }
    let outline = polygon(&corners).map_err(numbered)?;
    let sides = sides(&corners).map_err(numbered)?;
    // The last corner of a stop is where its side leaves.
    let last = |stop: usize| laid.iter().rposition(|(of, _)| *of == stop);
    let leaving = (0..stops.len()).filter_map(|stop| Some(sides[last(stop)?]));
    Ok((outline, leaving.collect()))
}

/// The corners of the outline, each with the number of its stop.
fn stop_corners(stops: &[Stop]) -> Result<Vec<(usize, Corner)>, CornerError> {
    let n = stops.len();
    let round = turns(&stops.iter().map(Stop::at).collect::<Vec<_>>());
    // Round a disc on its left a line keeps this distance from its centre, on its right the
    // negative of it.
    let off = |i: usize| match stops[i] {
        Stop::Corner(_) => 0.0,
        Stop::Disc(_, radius, _) => round * radius,
    };
    let reach = |from: usize, to: usize, side: Side| {
        let ends = ((stops[from].at(), off(from)), (stops[to].at(), off(to)));
        match side {
            Side::Straight => tangent(ends.0, ends.1)
                .map(|(leaves, arrives)| Reach { leaves, arrives, side })
                .ok_or(CornerError::NoTangent(from, to)),
            Side::Radius(radius) => touching(ends.0, ends.1, round * radius).ok_or_else(|| {
                let least = least(ends.0, ends.1, round * radius);
                CornerError::NoArc { corner: from, next: to, radius: radius.abs(), least }
            }),
            _ => Err(CornerError::ArcAtDisc(from)),
        }
    };
    let mut corners = Vec::with_capacity(3 * n);
    for (i, stop) in stops.iter().enumerate() {
        let (before, after) = ((i + n - 1) % n, (i + 1) % n);
        let radius = match stop {
            Stop::Corner(corner) => {
                let leads_to_disc = matches!(stops[after], Stop::Disc(..));
                let side = match leads_to_disc {
                    true => reach(i, after, corner.side)?.side,
                    false => corner.side,
                };
                corners.push((i, Corner { side, ..*corner }));
                continue;
            }
            Stop::Disc(_, radius, _) => *radius,
        };
        if radius == 0.0 || !radius.is_finite() {
            return Err(CornerError::NoDisc(i));
        }
        let to = reach(before, i, stops[before].side())?;
        let on = reach(i, after, stop.side())?;
        let straight = to.side == Side::Straight && on.side == Side::Straight;
        if n > 2 && straight && cross([to.leaves, to.arrives], [on.leaves, on.arrives]) {
            let past = reach(before, after, Side::Straight)?;
            let along = (past.arrives - past.leaves).normalize();
            let off = (off(i) - along.cross(stop.at() - past.leaves)).abs();
            return Err(CornerError::NotReached { corner: i, off });
        }
        for corner in round_disc(stop.at(), off(i), to.arrives, &on) {
            corners.push((i, corner));
        }
    }
    Ok(corners)
}

/// A side that touches the discs or points at its ends.
struct Reach {
    leaves: Point,
    arrives: Point,
    /// Straight, or by its bulge.
    side: Side,
}

/// The arc of a radius, more than 0 where it turns left, that touches two discs, each with its
/// centre at a distance on the left of the way along it, or on its right: the shorter of two. A
/// disc of 0 is a point on it. `None` if no such arc reaches from one to the other.
fn touching((a, off_a): (Point, f64), (b, off_b): (Point, f64), radius: f64) -> Option<Reach> {
    let between = b - a;
    let (d, from_a, from_b) = (between.hypot(), radius - off_a, radius - off_b);
    // Its centre is at these distances from both of theirs.
    let along = (d * d + from_a * from_a - from_b * from_b) / (2.0 * d);
    let half = (from_a - along) * (from_a + along);
    let degenerate = [d, from_a.abs(), from_b.abs(), radius.abs()].iter().any(|mm| *mm < NEAR);
    if degenerate || !half.is_finite() || half < 0.0 {
        return None;
    }
    let way = between / d;
    let across = Vec2::new(-way.y, way.x) * half.sqrt();
    let arc = |across: Vec2| {
        let centre = a + way * along + across;
        let leaves = a - (centre - a) * (off_a / from_a);
        let arrives = b - (centre - b) * (off_b / from_b);
        let (start, end) = (leaves - centre, arrives - centre);
        let turn = Angle::of(start.dot(end), start.cross(end)).degrees() * radius.signum();
        (turn.rem_euclid(360.0), leaves, arrives)
    };
    let both = [arc(across), arc(-across)];
    let shorter = both.into_iter().min_by(|one, other| one.0.total_cmp(&other.0));
    let (sweep, leaves, arrives) = shorter.filter(|(_, p, q)| (*q - *p).hypot() > NEAR)?;
    let bulge = Angle::from_degrees(sweep * radius.signum() / 4.0).tan();
    Some(Reach { leaves, arrives, side: Side::Bulge(bulge) })
}

/// The smallest radius with which an arc that turns as this one does reaches from one disc to
/// another, mm; `None` if one contains the other.
fn least((a, off_a): (Point, f64), (b, off_b): (Point, f64), radius: f64) -> Option<f64> {
    let (d, sign) = ((b - a).hypot(), radius.signum());
    let (first, second) = (sign * off_a, sign * off_b);
    let least = ((d + first + second) / 2.0).max(first).max(second);
    (d > (off_a - off_b).abs() && least > radius.abs()).then_some(least)
}

/// The line that touches two discs, each with its centre at a distance on the left of the line, or
/// on its right: where it leaves the first and where it reaches the second. `None` if one disc
/// contains the other, or the line would cross in a disc that both share.
fn tangent((a, off_a): (Point, f64), (b, off_b): (Point, f64)) -> Option<(Point, Point)> {
    let between = b - a;
    let ratio = (off_b - off_a) / between.hypot();
    if !ratio.is_finite() || ratio.abs() > 1.0 {
        return None;
    }
    let along = Angle::of(between.x, between.y).degrees() - num::asin(ratio).degrees();
    let along = Angle::from_degrees(along);
    let left = Vec2::new(-along.sin(), along.cos());
    Some((a - left * off_a, b - left * off_b))
}

/// Whether two lines cross between their ends.
fn cross([a, b]: [Point; 2], [c, d]: [Point; 2]) -> bool {
    let sides = |from: Point, to: Point, p: Point, q: Point| {
        (to - from).cross(p - from) * (to - from).cross(q - from) < 0.0
    };
    sides(a, b, c, d) && sides(c, d, a, b)
}

/// The corners of an arc about `centre` from where a side arrives, and of the side that leaves it.
fn round_disc(centre: Point, off: f64, from: Point, on: &Reach) -> Vec<Corner> {
    let to = on.leaves;
    let (start, end) = (from - centre, to - centre);
    let left = Angle::of(start.dot(end), start.cross(end)).degrees() * off.signum();
    let sweep = left.rem_euclid(360.0);
    let corner = |at: Point, side: Side| Corner { at, kind: CornerKind::Sharp, side };
    // Within rounding the arc has vanished, or the line only touches.
    if !(TOUCH..360.0 - TOUCH).contains(&sweep) || (to - from).hypot() < NEAR {
        return vec![corner(to, on.side)];
    }
    let pieces = if sweep > LARGEST_SWEEP { 2 } else { 1 };
    let each = sweep / f64::from(pieces) * off.signum();
    let bulge = Side::Bulge(Angle::from_degrees(each / 4.0).tan());
    let turned = |piece: i32| {
        let by = Angle::from_degrees(each * f64::from(piece));
        let (sin, cos) = (by.sin(), by.cos());
        centre + Vec2::new(start.x * cos - start.y * sin, start.x * sin + start.y * cos)
    };
    let arcs = (0..pieces).map(|piece| corner(turned(piece), bulge));
    arcs.chain([corner(to, on.side)]).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::belt::Disc;
    use crate::geom::belt::belt;

    fn corner(x: f64, y: f64, side: Side) -> Stop {
        Stop::Corner(Corner { at: Point::new(x, y), kind: CornerKind::Sharp, side })
    }

    fn disc(x: f64, y: f64, radius: f64) -> Stop {
        Stop::Disc(Point::new(x, y), radius, Side::Straight)
    }

    /// However the stops lie: an outline that is made reaches every disc.
    #[test]
    fn an_outline_reaches_every_disc_it_goes_round() {
        let mut state = 7_u64;
        let mut next = |from: f64, to: f64| {
            state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
            from + (to - from) * (state >> 33) as f64 / f64::from(1_u32 << 31)
        };
        let mut made = 0;
        for _ in 0..20_000 {
            let count = next(2.0, 7.0) as usize;
            let stops: Vec<Stop> = (0..count)
                .map(|i| {
                    let angle = Angle::from_degrees(360.0 * i as f64 / count as f64);
                    let far = next(10.0, 100.0);
                    let (x, y) = (far * angle.cos(), far * angle.sin());
                    if next(0.0, 1.0) < 0.5 {
                        disc(x, y, next(-15.0, 30.0))
                    } else {
                        corner(x, y, Side::Straight)
                    }
                })
                .collect();
            let Ok((outline, _)) = wrapped(&stops) else { continue };
            made += 1;
            for stop in &stops {
                let Stop::Disc(centre, radius, _) = stop else { continue };
                let off = outline.distance(*centre) - radius.abs();
                assert!(off < 1e-6, "{off} mm off the disc at {centre}: {stops:?}");
            }
        }
        assert!(made > 2000, "{made}");
    }

    /// Edges that continue tangent to those before them.
    fn smooth(outline: &Outline) -> usize {
        let edges: Vec<Edge> = outline.edges().collect();
        let goes_on = |(a, b): &(&Edge, &Edge)| {
            let (end, start) = (-a.reversed().direction_at_start(), b.direction_at_start());
            end.cross(start).abs() < 1e-9 && end.dot(start) > 0.0
        };
        edges.iter().zip(edges.iter().cycle().skip(1)).filter(goes_on).count()
    }

    #[test]
    fn round_convex_discs_it_is_the_belt() {
        let discs = [(0.0, 0.0, 22.0), (90.0, 0.0, 17.0), (20.0, 65.0, 15.0)];
        let (outline, sides) = wrapped(&discs.map(|(x, y, r)| disc(x, y, r))).unwrap();
        let of = |(x, y, radius)| Disc { centre: Point::new(x, y), radius };
        let hull = belt(&discs.map(of)).unwrap();
        assert!((outline.area() - hull.area()).abs() < 1e-9);
        assert_eq!((smooth(&outline), sides.len()), (6, 3));
        assert!(sides.iter().all(Edge::is_line));
        // Drawn clockwise, and of two discs alone.
        let mut back = discs;
        back.reverse();
        let (other, _) = wrapped(&back.map(|(x, y, r)| disc(x, y, r))).unwrap();
        assert!((other.area() - hull.area()).abs() < 1e-9);
        let (slot, _) = wrapped(&[disc(0.0, 0.0, 5.0), disc(20.0, 0.0, 5.0)]).unwrap();
        assert!((slot.area() - (200.0 + 25.0 * num::PI)).abs() < 1e-9);
    }

    /// A waist: each of two discs of 20 mm outside touches both ends, all in a row of tangents.
    #[test]
    fn discs_outside_make_a_waist() {
        let stops = [
            disc(0.0, 0.0, 15.0),
            disc(50.0, -28.0, -20.0),
            disc(100.0, 0.0, 15.0),
            disc(50.0, 28.0, -20.0),
        ];
        let (outline, _) = wrapped(&stops).unwrap();
        assert_eq!(outline.edges().count(), smooth(&outline));
        // From centre to centre 57.3 mm, and the lines cross between discs of 15 and 20 mm.
        assert!((outline.distance(Point::new(50.0, 0.0)) - 8.0).abs() < 1e-9);
        assert!((outline.distance(Point::ZERO) - 15.0).abs() < 1e-9);
        let hull = belt(&[
            Disc { centre: Point::ZERO, radius: 15.0 },
            Disc { centre: Point::new(100.0, 0.0), radius: 15.0 },
        ]);
        assert!(outline.area() < hull.unwrap().area());
    }

    /// A square of 20 mm of which the top is a half circle: by tangents, by a centre.
    #[test]
    fn arcs_go_on_as_the_side_before_or_lie_about_a_centre() {
        let wanted = 400.0 + 50.0 * num::PI;
        for side in [Side::Tangent, Side::About(Point::new(10.0, 20.0))] {
            let stops = [
                corner(0.0, 0.0, Side::Straight),
                corner(20.0, 0.0, Side::Straight),
                corner(20.0, 20.0, side),
                corner(0.0, 20.0, Side::Straight),
            ];
            let (outline, sides) = wrapped(&stops).unwrap();
            assert!((outline.area() - wanted).abs() < 1e-9, "{side:?}");
            assert!((sides[2].length() - 10.0 * num::PI).abs() < 1e-9);
        }
        let quarters = [
            corner(0.0, 0.0, Side::Straight),
            corner(20.0, 0.0, Side::Straight),
            corner(20.0, 20.0, Side::Tangent),
            corner(10.0, 30.0, Side::Tangent),
            corner(0.0, 20.0, Side::Straight),
        ];
        let (outline, _) = wrapped(&quarters).unwrap();
        assert!((outline.area() - wanted).abs() < 1e-9);
        // Two quarters of one circle are one arc.
        assert_eq!(smooth(&outline), 2);
    }

    fn disc_by(x: f64, y: f64, radius: f64, side: f64) -> Stop {
        Stop::Disc(Point::new(x, y), radius, Side::Radius(side))
    }

    /// Two discs joined by arcs of 40 mm, hollow or bulging: by hand, from where their centres are
    /// and from the heights of the triangles of centres.
    #[test]
    fn arcs_of_a_radius_touch_both_discs() {
        for (side, waist) in [
            (-40.0, (55.0_f64 * 55.0 - 30.0 * 30.0).sqrt() - 40.0),
            (70.0, 70.0 - (55.0_f64 * 55.0 - 30.0 * 30.0).sqrt()),
        ] {
            let stops = [disc_by(0.0, 0.0, 15.0, side), disc_by(60.0, 0.0, 15.0, side)];
            for stops in [stops, [stops[1], stops[0]]] {
                let (outline, sides) = wrapped(&stops).unwrap();
                assert_eq!(outline.edges().count(), smooth(&outline), "{side}");
                let middle = Point::new(30.0, 0.0);
                assert!((outline.distance(middle) - waist).abs() < 1e-9, "{side}: {waist}");
                let radii = sides.iter().map(|edge| edge.arc().expect("an arc").radius);
                assert!(radii.into_iter().all(|r| (r - side.abs()).abs() < 1e-9), "{side}");
            }
        }
    }

    /// From a foot of 40 mm up to an eye, on both sides; the outline is its own mirror image.
    #[test]
    fn a_hollow_flank_runs_from_a_corner_to_a_disc() {
        let eye = disc_by(0.0, 62.0, 19.5, -60.0);
        let stops =
            [corner(-20.0, 0.0, Side::Straight), corner(20.0, 0.0, Side::Radius(-60.0)), eye];
        let (outline, sides) = wrapped(&stops).unwrap();
        // Neither end of the foot is smooth, all else is.
        assert_eq!(outline.edges().count() - smooth(&outline), 2);
        assert!((outline.distance(Point::new(0.0, 62.0)) - 19.5).abs() < 1e-9);
        let bounds = outline.bounds();
        assert!((bounds.max.y - 81.5).abs() < 1e-9 && (bounds.min.x + bounds.max.x).abs() < 1e-9);
        let arc = sides[1].arc().unwrap();
        assert!((arc.radius - 60.0).abs() < 1e-9 && arc.centre.x > 20.0, "{arc:?}");
        assert!(((arc.centre - Point::new(0.0, 62.0)).hypot() - 79.5).abs() < 1e-9);
        assert!(((arc.centre - Point::new(20.0, 0.0)).hypot() - 60.0).abs() < 1e-9);
    }

    /// However stops lie: an outline that is made touches every disc, continues smoothly there, and
    /// its arcs have the required radius.
    #[test]
    fn arcs_at_discs_are_tangent_or_refused() {
        let mut state = 11_u64;
        let mut next = |from: f64, to: f64| {
            state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
            from + (to - from) * (state >> 33) as f64 / f64::from(1_u32 << 31)
        };
        let mut made = 0;
        for _ in 0..20_000 {
            let count = next(2.0, 6.0) as usize;
            let mut discs = 0;
            let stops: Vec<Stop> = (0..count)
                .map(|i| {
                    let angle = Angle::from_degrees(360.0 * i as f64 / count as f64);
                    let far = next(20.0, 100.0);
                    let (x, y) = (far * angle.cos(), far * angle.sin());
                    let sign = if next(0.0, 1.0) < 0.5 { -1.0 } else { 1.0 };
                    let side = Side::Radius(sign * next(10.0, 200.0));
                    let side = if next(0.0, 1.0) < 0.3 { Side::Straight } else { side };
                    if next(0.0, 1.0) < 0.6 {
                        discs += 1;
                        Stop::Disc(Point::new(x, y), next(-10.0, 25.0), side)
                    } else {
                        corner(x, y, side)
                    }
                })
                .collect();
            let Ok((outline, sides)) = wrapped(&stops) else { continue };
            made += usize::from(discs > 0);
            for (i, stop) in stops.iter().enumerate() {
                // Of a short arc the radius is lost in its digits.
                if let Side::Radius(radius) = stop.side()
                    && sides[i].length() > 1.0
                {
                    let arc = sides[i].arc().expect("an arc");
                    assert!((arc.radius - radius.abs()).abs() < 1e-6, "{stops:?}");
                }
                let Stop::Disc(centre, radius, _) = stop else { continue };
                let off = outline.distance(*centre) - radius.abs();
                assert!(off < 1e-6, "{off} mm off the disc at {centre}: {stops:?}");
                let (before, after) = (&sides[(i + count - 1) % count], &sides[i]);
                let arrives = -before.reversed().direction_at_start();
                for (at, way) in [(before.to, arrives), (after.from, after.direction_at_start())] {
                    let out = at - *centre;
                    assert!((out.hypot() - radius.abs()).abs() < 1e-6, "{stops:?}");
                    let along = way.normalize().dot(out.normalize());
                    assert!(along.abs() < 1e-6, "{along}: {stops:?}");
                }
            }
        }
        assert!(made > 300, "{made}");
    }

    #[test]
    fn an_arc_too_small_for_its_discs_is_told_what_would_do() {
        let stops = |side: f64| [disc_by(0.0, 0.0, 15.0, side), disc_by(60.0, 0.0, 15.0, side)];
        // 60 mm between centres: 15 + R on either side, or R − 15.
        for (side, wanted) in [(-14.0, 15.0), (44.0, 45.0)] {
            let error = wrapped(&stops(side)).unwrap_err();
            let CornerError::NoArc { least: Some(least), .. } = error else { panic!("{error:?}") };
            assert!((least - wanted).abs() < 1e-9, "{side}: {least}");
        }
        let held = [disc_by(0.0, 0.0, 30.0, 50.0), disc_by(5.0, 0.0, 10.0, 50.0)];
        let error = wrapped(&held).unwrap_err();
        assert!(matches!(error, CornerError::NoArc { least: None, .. }), "{error:?}");
    }

    #[test]
    fn stops_that_cannot_touch_are_refused_by_number() {
        let refused = |stops: &[Stop]| wrapped(stops).unwrap_err();
        let inside = [disc(0.0, 0.0, 20.0), disc(5.0, 0.0, 3.0), corner(60.0, 0.0, Side::Straight)];
        assert_eq!(refused(&inside), CornerError::NoTangent(0, 1));
        let near = [disc(0.0, 0.0, 20.0), disc(30.0, 0.0, -15.0), disc(60.0, 50.0, 9.0)];
        assert_eq!(refused(&near), CornerError::NoTangent(0, 1));
        let out = [disc(0.0, 0.0, -10.0), disc(50.0, 0.0, -5.0)];
        assert_eq!(refused(&out), CornerError::InsideOut);
        // A side of x = 100, and a disc of 5 about a point 10 within it.
        let side = |x: f64| {
            let at = |x: f64, y: f64| corner(x, y, Side::Straight);
            [at(0.0, 0.0), at(100.0, 0.0), disc(x, 40.0, 5.0), at(100.0, 80.0), at(0.0, 80.0)]
        };
        let CornerError::NotReached { corner: 2, off } = refused(&side(90.0)) else {
            panic!("{:?}", refused(&side(90.0)))
        };
        assert!((off - 5.0).abs() < 1e-9, "{off}");
        assert!(wrapped(&side(95.1)).is_ok());
        let none = [disc(0.0, 0.0, 20.0), disc(50.0, 0.0, 0.0)];
        assert_eq!(refused(&none), CornerError::NoDisc(1));
        let arc = [corner(0.0, 0.0, Side::Height(2.0)), disc(50.0, 0.0, 5.0)];
        assert_eq!(refused(&arc), CornerError::ArcAtDisc(0));
        let all = [(0.0, 0.0), (20.0, 0.0), (10.0, 15.0)].map(|(x, y)| corner(x, y, Side::Tangent));
        assert_eq!(refused(&all), CornerError::NoTangentArc(0));
        let mut off = all;
        off[0] = corner(0.0, 0.0, Side::Straight);
        off[1] = corner(20.0, 0.0, Side::About(Point::new(11.0, 4.0)));
        assert!(matches!(refused(&off), CornerError::Centre { corner: 1, .. }));
        assert_eq!(refused(&all[..2]), CornerError::Few(2));
        // The numbers are those of the stops, whatever the disc represents.
        let large = [
            disc(0.0, 0.0, 10.0),
            corner(40.0, 0.0, Side::Straight),
            Stop::Corner(Corner {
                at: Point::new(40.0, 8.0),
                kind: CornerKind::Round(30.0),
                side: Side::Straight,
            }),
        ];
        assert!(matches!(refused(&large), CornerError::Large { corner: 2, .. }));
    }
}

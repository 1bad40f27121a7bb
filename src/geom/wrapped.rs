//! Polygons that run round discs: tangent from corner to disc and from disc to disc.

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
    /// A disc about a point with a radius, mm: more than 0 lies in the polygon, less outside it.
    Disc(Point, f64),
}

impl Stop {
    const fn at(&self) -> Point {
        match self {
            Self::Corner(corner) => corner.at,
            Self::Disc(centre, _) => *centre,
        }
    }
}

/// The outline through corners and round discs, and the side that leaves each of them, as it is
/// before anything is done to corners.
///
/// # Errors
/// As for [`polygon`], with the numbers of the stops; or when a disc has no tangent.
pub fn wrapped(stops: &[Stop]) -> Result<(Outline, Vec<Edge>), CornerError> {
    let has_discs = stops.iter().any(|stop| matches!(stop, Stop::Disc(..)));
    if stops.len() < if has_discs { 2 } else { 3 } {
        return Err(CornerError::Few(stops.len()));
    }
    let laid = laid(stops)?;
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
fn laid(stops: &[Stop]) -> Result<Vec<(usize, Corner)>, CornerError> {
    let n = stops.len();
    let round = turns(&stops.iter().map(Stop::at).collect::<Vec<_>>());
    // Round a disc on its left a line keeps so far from its centre, on its right less than 0.
    let off = |i: usize| match stops[i] {
        Stop::Corner(_) => 0.0,
        Stop::Disc(_, radius) => round * radius,
    };
    let mut corners = Vec::with_capacity(3 * n);
    for (i, stop) in stops.iter().enumerate() {
        let radius = match stop {
            Stop::Corner(corner) => {
                let leads_to_disc = matches!(stops[(i + 1) % n], Stop::Disc(..));
                if leads_to_disc && corner.side != Side::Straight {
                    return Err(CornerError::ArcAtDisc(i));
                }
                corners.push((i, *corner));
                continue;
            }
            Stop::Disc(_, radius) => *radius,
        };
        if radius == 0.0 || !radius.is_finite() {
            return Err(CornerError::NoDisc(i));
        }
        let before = (i + n - 1) % n;
        let reach = |from: usize, to: usize| {
            tangent((stops[from].at(), off(from)), (stops[to].at(), off(to)))
                .ok_or(CornerError::NoTangent(from, to))
        };
        let after = (i + 1) % n;
        let (from, arrives) = reach(before, i)?;
        let (leaves, to) = reach(i, after)?;
        if n > 2 && cross([from, arrives], [leaves, to]) {
            let (from, to) = reach(before, after)?;
            let along = (to - from).normalize();
            let off = (off(i) - along.cross(stop.at() - from)).abs();
            return Err(CornerError::NotReached { corner: i, off });
        }
        for corner in round_disc(stop.at(), off(i), arrives, leaves) {
            corners.push((i, corner));
        }
    }
    Ok(corners)
}

/// The line that touches two discs, each with its centre so far on the left of the line, or on
/// its right: where it leaves the first and where it reaches the second. None where one disc holds
/// the other, or the line would cross in a disc that both share.
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

/// The corners of an arc about `centre`, and of the side that leaves it.
fn round_disc(centre: Point, off: f64, from: Point, to: Point) -> Vec<Corner> {
    let (start, end) = (from - centre, to - centre);
    let left = Angle::of(start.dot(end), start.cross(end)).degrees() * off.signum();
    let sweep = left.rem_euclid(360.0);
    let corner = |at: Point, side: Side| Corner { at, kind: CornerKind::Sharp, side };
    // Within rounding nothing is left of the arc, or the line only touches.
    if !(TOUCH..360.0 - TOUCH).contains(&sweep) || (to - from).hypot() < NEAR {
        return vec![corner(to, Side::Straight)];
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
    arcs.chain([corner(to, Side::Straight)]).collect()
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
        Stop::Disc(Point::new(x, y), radius)
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
                let Stop::Disc(centre, radius) = stop else { continue };
                let off = outline.distance(*centre) - radius.abs();
                assert!(off < 1e-6, "{off} mm off the disc at {centre}: {stops:?}");
            }
        }
        assert!(made > 2000, "{made}");
    }

    /// Edges that go on as those before them end.
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

    #[test]
    fn what_cannot_touch_is_refused_with_its_number() {
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
        // The numbers are those of the stops, whatever stands for a disc.
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

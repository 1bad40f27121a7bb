//! Outlines grown by half the gap, on a grid of whole micrometres.
//!
//! Two parts keep their gap when their grown outlines do not overlap, so the search needs no
//! distances, and touching is allowed. Every approximation errs towards more clearance: arcs become
//! tangents outside and chords inside, edges along x or y move outward to the next whole micrometre
//! (none that is there already), and slanting edges get [`SLACK`] for all rounding to come.

use crate::geom::Outline;
use crate::geom::Point;
use crate::geom::Side;
use crate::geom::Vec2;
use crate::geom::flatten;
use crate::nest::shape::polygon::GRID;
use crate::nest::shape::polygon::ON_GRID;
use crate::nest::shape::polygon::Patch;
use crate::nest::shape::polygon::Ring;
use crate::nest::shape::polygon::Spot;
use crate::nest::shape::polygon::filled;
use i_overlay::core::fill_rule::FillRule;

/// Chords and tangents leave an arc by no more than this, in mm. Our choice: small beside any gap,
/// and a corner of 8 mm radius has seven edges.
const TOLERANCE: f64 = 0.05;

/// Growth of slanting edges beyond half the gap, in micrometres. Our choice, from what it must
/// cover: corners are rounded to the grid (0.71), so are the crossings of no-fit polygons (0.71),
/// and the search takes a quarter of a micrometre of overlap for touching.
const SLACK: f64 = 2.0;

/// A mitre longer than this times the growth is cut off square to its bisector, where it touches
/// the rounded corner it replaces. Our choice: right angles stay sharp.
const MITRE: f64 = 1.5;

/// An outline grown by `by` mm; areas closed off by the growth become holes. Coordinates are
/// relative to `origin`, which must be near enough for whole micrometres to be exact.
///
/// `None` when its dimensions are not finite or too large.
pub(crate) fn grown(outline: &Outline, by: f64, origin: Point) -> Option<Patch> {
    let points = corners(outline, Side::Outside, origin);
    let raw = displaced(&points, by * GRID)?;
    let mut patches = filled(&[raw], FillRule::Positive);
    (patches.len() == 1).then(|| patches.remove(0))
}

/// The rest of an opening shrunk by `by` mm on all sides: none, one or several areas.
pub(crate) fn shrunk(outline: &Outline, by: f64, origin: Point) -> Vec<Patch> {
    let mut points = corners(outline, Side::Inside, origin);
    points.reverse();
    displaced(&points, by * GRID).map_or_else(Vec::new, |raw| filled(&[raw], FillRule::Negative))
}

/// Its corners in micrometres from `origin`, without repeated ones.
fn corners(outline: &Outline, side: Side, origin: Point) -> Vec<Point> {
    let mut points: Vec<Point> = flatten(outline, TOLERANCE, side)
        .into_iter()
        .map(|p| ((p - origin) * GRID).to_point())
        .collect();
    points.dedup_by(|a, b| (*a - *b).hypot2() < ON_GRID * ON_GRID);
    if points.len() > 1 && (points[0] - points[points.len() - 1]).hypot2() < ON_GRID * ON_GRID {
        points.pop();
    }
    points
}

/// An edge moved to the right of its direction.
struct Moved {
    from: Point,
    to: Point,
    along: Vec2,
    by: f64,
}

impl Moved {
    fn new(from: Point, to: Point, by: f64) -> Self {
        let along = (to - from) / crate::num::hypot(to.x - from.x, to.y - from.y);
        let right = Vec2::new(along.y, -along.x);
        if (to.x - from.x).abs() <= ON_GRID {
            let x = outward(from.x + right.x * by, right.x);
            let by = (x - from.x) * right.x;
            Self { from: Point::new(x, from.y), to: Point::new(x, to.y), along, by }
        } else if (to.y - from.y).abs() <= ON_GRID {
            let y = outward(from.y + right.y * by, right.y);
            let by = (y - from.y) * right.y;
            Self { from: Point::new(from.x, y), to: Point::new(to.x, y), along, by }
        } else {
            let by = by + SLACK;
            Self { from: from + right * by, to: to + right * by, along, by }
        }
    }

    /// Where its line meets another; `None` when they are almost parallel.
    fn meets(&self, from: Point, along: Vec2) -> Option<Point> {
        let rotation = self.along.cross(along);
        if rotation.abs() < 1e-9 {
            return None;
        }
        let meet = from + along * ((from - self.to).cross(self.along) / rotation);
        // Coordinates of edges along x and y are not changed.
        let x = if self.along.x == 0.0 { self.to.x } else { meet.x };
        let y = if self.along.y == 0.0 { self.to.y } else { meet.y };
        let x = if along.x == 0.0 { from.x } else { x };
        let y = if along.y == 0.0 { from.y } else { y };
        Some(Point::new(x, y))
    }
}

/// The coordinate on the grid, or the next one on it in the direction of `right`.
fn outward(x: f64, right: f64) -> f64 {
    if (x - x.round()).abs() <= ON_GRID {
        x.round()
    } else if right > 0.0 {
        x.ceil()
    } else {
        x.floor()
    }
}

/// Every edge moved to the right by `by` micrometres: a closed line that may cross itself.
fn displaced(points: &[Point], by: f64) -> Option<Ring> {
    /// Far beyond any sheet, and sums of it still fit. Our choice.
    const FARTHEST: f64 = 1e17;
    let n = points.len();
    let sound = n > 2
        && by.abs() < FARTHEST
        && points.iter().all(|p| p.x.abs() < FARTHEST && p.y.abs() < FARTHEST);
    if !sound {
        return None;
    }
    let edges: Vec<Moved> =
        (0..n).map(|i| Moved::new(points[i], points[(i + 1) % n], by)).collect();
    let mut ring = Ring::with_capacity(n + 8);
    for i in 0..n {
        let (before, after, corner) = (&edges[(i + n - 1) % n], &edges[i], points[i]);
        let rotation = before.along.cross(after.along);
        if rotation * by < 0.0 {
            ring.extend([before.to, corner, after.from].map(Spot::near));
            continue;
        }
        let Some(meet) = before.meets(after.from, after.along) else {
            ring.extend([before.to, after.from].map(Spot::near));
            continue;
        };
        let (reach, max) = (meet - corner, before.by.max(after.by));
        let length = crate::num::hypot(reach.x, reach.y);
        if length <= MITRE * max.abs() {
            ring.push(Spot::near(meet));
        } else {
            let outward = reach / length;
            let (foot, across) =
                (corner + outward * (max + SLACK), Vec2::new(-outward.y, outward.x));
            let cut = |edge: &Moved| edge.meets(foot, across).unwrap_or(meet);
            ring.extend([cut(before), cut(after)].map(Spot::near));
        }
    }
    Some(ring)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::Vertex;
    use crate::geom::disc;
    use crate::geom::rectangle;
    use crate::nest::shape::polygon::double_area;
    use crate::nest::shape::polygon::extent;
    use crate::nest::shape::polygon::sides;

    fn chain(corners: &[(f64, f64)]) -> Outline {
        Outline::new(corners.iter().map(|(x, y)| Vertex::sharp(*x, *y))).unwrap()
    }

    /// The smallest distance of the sides of a ring from an outline, in mm; no side of the ring is
    /// longer than a few steps.
    fn nearest(ring: &[Spot], outline: &Outline) -> f64 {
        let along = |(a, b): (Spot, Spot)| {
            (0..=20).map(move |i| {
                let t = f64::from(i) / 20.0;
                let at = |a: i64, b: i64| (a as f64 + t * (b - a) as f64) / GRID;
                Point::new(at(a.x, b.x), at(a.y, b.y))
            })
        };
        sides(ring).flat_map(along).map(|p| outline.distance(p)).fold(f64::INFINITY, f64::min)
    }

    #[test]
    fn square_edges_grow_by_the_very_distance() {
        let plate = rectangle(Point::new(30.0, 20.0), 40.0, 25.4, 0.0).unwrap();
        let grown = grown(&plate, 1.5, Point::ZERO).unwrap();
        let (min, max) = extent(&grown.contour);
        assert_eq!((min, max), (Spot::new(8_500, 5_800), Spot::new(51_500, 34_200)));
        assert_eq!((grown.contour.len(), grown.holes.len()), (4, 0));
        // Points off the grid are moved outward, by less than a micrometre.
        let odd = rectangle(Point::new(30.0, 20.0), 40.000_3, 25.4, 0.0).unwrap();
        let odd = extent(&super::grown(&odd, 1.5, Point::ZERO).unwrap().contour);
        assert_eq!((odd.0.x, odd.1.x), (8_499, 51_501));
    }

    #[test]
    fn growth_keeps_its_distance_and_little_more() {
        let shapes = [
            disc(Point::new(3.0, 1.0), 12.3).unwrap(),
            rectangle(Point::ZERO, 50.0, 30.0, 8.0).unwrap(),
            chain(&[(0.0, 0.0), (90.0, 7.0), (12.0, 30.0)]),
            chain(&[(0.0, 0.0), (60.0, 0.0), (60.0, 50.0), (40.0, 50.0), (33.0, 9.0), (0.0, 50.0)]),
        ];
        for shape in shapes {
            let grown = grown(&shape, 1.7, Point::ZERO).unwrap();
            let min = nearest(&grown.contour, &shape);
            assert!((1.7 - 1e-9..1.71).contains(&min), "{min}");
            assert!(double_area(&grown.contour) > 0 && grown.contour.len() < 60);
        }
    }

    #[test]
    fn what_growth_closes_is_a_hole_and_what_shrinks_falls_apart() {
        // A clasp with a mouth of 4 mm.
        let clasp = chain(&[
            (0.0, 0.0),
            (60.0, 0.0),
            (60.0, 28.0),
            (50.0, 28.0),
            (50.0, 10.0),
            (10.0, 10.0),
            (10.0, 50.0),
            (50.0, 50.0),
            (50.0, 32.0),
            (60.0, 32.0),
            (60.0, 60.0),
            (0.0, 60.0),
        ]);
        let closed = grown(&clasp, 3.0, Point::ZERO).unwrap();
        assert_eq!(closed.holes.len(), 1);
        assert_eq!(
            extent(&closed.holes[0]),
            (Spot::new(13_000, 13_000), Spot::new(47_000, 47_000))
        );
        assert_eq!(grown(&clasp, 1.0, Point::ZERO).unwrap().holes.len(), 0);
        // The same line as a cut-out: too thin at both ends of its boundary, or everywhere.
        assert_eq!(shrunk(&clasp, 4.0, Point::ZERO).len(), 1);
        assert_eq!(shrunk(&clasp, 5.5, Point::ZERO).len(), 0);
        let waist = chain(&[
            (0.0, 0.0),
            (30.0, 12.0),
            (60.0, 0.0),
            (60.0, 30.0),
            (30.0, 18.0),
            (0.0, 30.0),
        ]);
        assert_eq!(shrunk(&waist, 4.0, Point::ZERO).len(), 2);
    }

    #[test]
    fn cut_outs_shrink_by_the_distance_and_little_more() {
        for cut_out in [
            disc(Point::new(3.0, 1.0), 12.3).unwrap(),
            rectangle(Point::ZERO, 50.0, 30.0, 8.0).unwrap(),
            chain(&[(0.0, 0.0), (90.0, 7.0), (12.0, 30.0)]),
        ] {
            let left = shrunk(&cut_out, 1.7, Point::ZERO);
            assert_eq!(left.len(), 1);
            let min = nearest(&left[0].contour, &cut_out);
            assert!((1.7 - 1e-9..1.71).contains(&min), "{min}");
            let inside =
                |s: &Spot| cut_out.contains(Point::new(s.x as f64 / GRID, s.y as f64 / GRID));
            assert!(left[0].contour.iter().all(inside));
        }
    }
}

//! Loose lines and arcs, as a drawing has them, put together to a plate.

use crate::geom::bounds::Bounds;
use crate::geom::clearance::outline_distance;
use crate::geom::edge::Edge;
use crate::geom::outline::Outline;
use crate::geom::outline::OutlineError;
use crate::geom::outline::Vertex;
use crate::geom::region::Region;
use crate::num;
use kurbo::Point;
use thiserror::Error;

/// Loose ends nearer than this, in mm, are one corner: hands and programs draw that
/// far past each other, and no cutter shows it. Our choice.
pub const JOIN: f64 = 0.01;

/// Ends nearer than this, in mm, are one corner without any doubt: files round less far.
/// Shorter pieces are no pieces. Our choice.
const SAME: f64 = 1e-4;

/// Why loose edges are no plate. Places are in mm.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum ContourFault {
    /// There is nothing.
    #[error("there are no lines")]
    Nothing,
    /// Two ends that should meet.
    #[error("the contour is open between {} and {}: {} mm", place(*.0), place(*.1), gap(*.0, *.1))]
    Open(Point, Point),
    /// One edge on another.
    #[error("the line from {} to {} is drawn twice", place(*.0), place(*.1))]
    Doubled(Point, Point),
    /// More than two edges end in one place.
    #[error("{ends} lines end at {}, where two should", place(*.at))]
    Branch {
        /// Where.
        at: Point,
        /// How many end there.
        ends: usize,
    },
    /// A contour crosses itself, or encloses nothing.
    #[error("the contour at {}: {error}", place(*.at))]
    Contour {
        /// Where it begins.
        at: Point,
        /// The error.
        error: OutlineError,
    },
    /// Two contours meet.
    #[error("two contours cross or touch: the one at {} and the one at {}", place(*.0), place(*.1))]
    Crossing(Point, Point),
    /// A contour beside the largest one.
    #[error("the contour at {} is outside the largest, which is the outline", place(*.0))]
    Apart(Point),
    /// A contour within a hole.
    #[error("the contour at {} is inside a hole, where it would fall out", place(*.0))]
    Island(Point),
}

/// The distance between two ends, in mm: a narrow gap is printed as wider than the joining limit.
fn gap(a: Point, b: Point) -> String {
    let wide = (b - a).hypot();
    num::text(wide, if wide < 10.0 * JOIN { 4 } else { 2 })
}

fn place(p: Point) -> String {
    format!("({}, {})", num::text(p.x, 3), num::text(p.y, 3))
}

/// The plate that edges in any order and direction make: the largest closed contour is
/// its outline, those inside are its holes. Loose ends within `join` mm are one corner.
///
/// # Errors
/// Everything that keeps the edges from being one plate.
pub fn plate(edges: &[Edge], join: f64) -> Result<Region, Vec<ContourFault>> {
    nested(closed(edges, join)?)
}

/// All plates that edges in any order and direction make, as they lie beside each other and
/// within each other's holes.
///
/// # Errors
/// Everything that keeps the edges from being plates.
pub fn plates(edges: &[Edge], join: f64) -> Result<Vec<Region>, Vec<ContourFault>> {
    let outlines = closed(edges, join)?;
    let holds = |outer: &Outline, inner: &Outline| {
        outer.area() > inner.area() && outer.contains(inner.vertices()[0].at)
    };
    // How many contours each one is within: an even number and it is the outline of a plate.
    let depth = |of: &Outline| outlines.iter().filter(|outer| holds(outer, of)).count();
    let depths: Vec<usize> = outlines.iter().map(depth).collect();
    let mut plates = Vec::new();
    for (outer, deep) in outlines.iter().zip(&depths).filter(|(_, deep)| *deep % 2 == 0) {
        let mut all = vec![outer.clone()];
        let inside =
            outlines.iter().zip(&depths).filter(|(hole, d)| **d == deep + 1 && holds(outer, hole));
        all.extend(inside.map(|(hole, _)| hole.clone()));
        plates.push(nested(all)?);
    }
    Ok(plates)
}

/// The closed contours of some edges.
fn closed(edges: &[Edge], join: f64) -> Result<Vec<Outline>, Vec<ContourFault>> {
    let edges: Vec<Edge> =
        edges.iter().flat_map(Edge::halves).filter(|e| (e.to - e.from).hypot() > SAME).collect();
    if edges.is_empty() {
        return Err(vec![ContourFault::Nothing]);
    }
    let doubled = doubled(&edges, join);
    if !doubled.is_empty() {
        return Err(doubled);
    }
    let mut corners = Corners::new(&edges);
    corners.join(join);
    let mut faults = corners.faults();
    if !faults.is_empty() {
        return Err(faults);
    }
    let mut outlines = Vec::new();
    for chain in corners.chains(&edges) {
        let at = chain[0].at;
        match Outline::new(chain) {
            Ok(outline) => outlines.push(outline),
            Err(error) => faults.push(ContourFault::Contour { at, error }),
        }
    }
    if faults.is_empty() { Ok(outlines) } else { Err(faults) }
}

/// The gaps that were closed between loose ends of edges, mm: those that are more than rounding.
pub(crate) fn joined(edges: &[Edge], join: f64) -> Vec<f64> {
    let whole = |e: &&Edge| (e.to - e.from).hypot() > SAME;
    let edges: Vec<Edge> = edges.iter().filter(whole).copied().collect();
    Corners::new(&edges).join(join)
}

/// Edges without those that lie on another, on all of it or on a part, and where these run.
pub(crate) fn without_doubles(edges: &[Edge], join: f64) -> (Vec<Edge>, Vec<(Point, Point)>) {
    let mut twice = twice(edges, join);
    twice.extend(pieces(edges, join));
    twice.sort_unstable();
    twice.dedup();
    let kept = edges.iter().enumerate().filter(|(i, _)| twice.binary_search(i).is_err());
    let ends = twice.iter().map(|i| (edges[*i].from, edges[*i].to)).collect();
    (kept.map(|(_, edge)| *edge).collect(), ends)
}

/// Edges that lie on each other from end to end.
fn doubled(edges: &[Edge], join: f64) -> Vec<ContourFault> {
    let fault = |i: usize| ContourFault::Doubled(edges[i].from, edges[i].to);
    twice(edges, join).into_iter().map(fault).collect()
}

/// The numbers of edges that lie on one before from end to end, rising.
fn twice(edges: &[Edge], join: f64) -> Vec<usize> {
    // Doubles have their centres in one place, so those are compared that are neighbours in x.
    let mut middles: Vec<(Point, usize)> =
        edges.iter().enumerate().map(|(i, e)| (e.point_at(0.5), i)).collect();
    middles.sort_by(|a, b| a.0.x.total_cmp(&b.0.x).then(a.1.cmp(&b.1)));
    let mut twice: Vec<usize> = Vec::new();
    for (i, (middle, a)) in middles.iter().enumerate() {
        for (other, b) in middles[i + 1..].iter().take_while(|m| m.0.x - middle.x <= join) {
            let (e, f) = (&edges[*a], &edges[*b]);
            // Short pieces in a row must not be mistaken for each other.
            let max = join.min((e.to - e.from).hypot() / 4.0);
            let near = |a: Point, b: Point| (a - b).hypot() <= max;
            let alike = near(e.from, f.from) && near(e.to, f.to)
                || near(e.from, f.to) && near(e.to, f.from);
            if near(*middle, *other) && alike {
                twice.push(*a.max(b));
            }
        }
    }
    twice.sort_unstable();
    twice.dedup();
    twice
}

/// The numbers of edges that lie within a longer one.
fn pieces(edges: &[Edge], join: f64) -> Vec<usize> {
    let mut by_x: Vec<(Bounds, usize)> =
        edges.iter().enumerate().map(|(i, e)| (e.bounds(), i)).collect();
    by_x.sort_by(|a, b| a.0.min.x.total_cmp(&b.0.min.x).then(a.1.cmp(&b.1)));
    let mut open: Vec<(Bounds, usize)> = Vec::new();
    let mut pieces = Vec::new();
    for (bounds, i) in by_x {
        open.retain(|(other, _)| other.max.x + join >= bounds.min.x);
        open.push((bounds, i));
        for (other, j) in &open[..open.len() - 1] {
            if bounds.distance(other) > join {
                continue;
            }
            let (a, b) = (&edges[i], &edges[*j]);
            if is_within(a, b, join) {
                pieces.push(i);
            } else if is_within(b, a, join) {
                pieces.push(*j);
            }
        }
    }
    pieces
}

/// Whether an edge lies on a part of a longer one.
fn is_within(edge: &Edge, of: &Edge, join: f64) -> bool {
    let long = edge.length();
    // Short pieces in a row must not be mistaken for each other.
    let is_part = edge.is_line() == of.is_line() && long > 4.0 * join && long + join < of.length();
    is_part
        && [0.0, 0.25, 0.5, 0.75, 1.0].into_iter().all(|t| {
            let p = edge.point_at(t);
            (of.nearest(p) - p).hypot() <= join
        })
}

/// The ends of the edges, those together that are one corner. End 2i is the start of edge i.
struct Corners {
    /// Which corner each end belongs to.
    of: Vec<usize>,
    /// Where each corner is: at the first end that belongs to it.
    at: Vec<Point>,
    /// The ends of each corner.
    ends: Vec<Vec<usize>>,
}

impl Corners {
    fn new(edges: &[Edge]) -> Self {
        let points: Vec<Point> = edges.iter().flat_map(|e| [e.from, e.to]).collect();
        let mut by_x: Vec<usize> = (0..points.len()).collect();
        by_x.sort_by(|a, b| points[*a].x.total_cmp(&points[*b].x).then(a.cmp(b)));
        let mut first: Vec<usize> = (0..points.len()).collect();
        for (i, a) in by_x.iter().enumerate() {
            let reach = by_x[i + 1..].iter().take_while(|b| points[**b].x - points[*a].x <= SAME);
            for b in reach.filter(|b| (points[**b] - points[*a]).hypot() <= SAME) {
                let (one, other) = (root(&first, *a), root(&first, *b));
                first[one.max(other)] = one.min(other);
            }
        }
        let mut corners = Self { of: Vec::new(), at: Vec::new(), ends: Vec::new() };
        for (end, point) in points.iter().enumerate() {
            let head = root(&first, end);
            let corner = if head == end {
                corners.at.push(*point);
                corners.ends.push(Vec::new());
                corners.at.len() - 1
            } else {
                corners.of[head]
            };
            corners.of.push(corner);
            corners.ends[corner].push(end);
        }
        corners
    }

    /// Loose ends within `join` of each other made one corner, the nearest first; returns the
    /// distances between them.
    fn join(&mut self, join: f64) -> Vec<f64> {
        let loose = |c: &usize| self.ends[*c].len() == 1;
        let mut by_x: Vec<usize> = (0..self.at.len()).filter(loose).collect();
        by_x.sort_by(|a, b| self.at[*a].x.total_cmp(&self.at[*b].x).then(a.cmp(b)));
        let mut pairs: Vec<(f64, usize, usize)> = Vec::new();
        for (i, a) in by_x.iter().enumerate() {
            let reach = by_x[i + 1..].iter().take_while(|b| self.at[**b].x - self.at[*a].x <= join);
            pairs
                .extend(reach.map(|b| ((self.at[*b] - self.at[*a]).hypot(), *a.min(b), *a.max(b))));
        }
        pairs.retain(|(gap, a, b)| *gap <= join && self.ends[*a][0] / 2 != self.ends[*b][0] / 2);
        pairs.sort_by(|p, q| p.0.total_cmp(&q.0).then((p.1, p.2).cmp(&(q.1, q.2))));
        let mut gaps = Vec::new();
        for (gap, a, b) in pairs {
            if self.ends[a].len() == 1 && self.ends[b].len() == 1 {
                gaps.push(gap);
                let end = self.ends[b].remove(0);
                self.ends[a].push(end);
                self.of[end] = a;
            }
        }
        gaps
    }

    /// Corners in which other than two edges meet. Free ends are named in pairs, the nearest first.
    fn faults(&self) -> Vec<ContourFault> {
        let mut faults = Vec::new();
        let mut free: Vec<Point> = Vec::new();
        for (at, ends) in self.at.iter().zip(&self.ends) {
            match ends.len() {
                1 => free.push(*at),
                // None: it was joined to another.
                0 | 2 => {}
                ends => faults.push(ContourFault::Branch { at: *at, ends }),
            }
        }
        // The number of free ends is even, less those that end at a branch.
        while let Some(a) = free.pop() {
            let distance = |b: &Point| (*b - a).hypot();
            let nearest =
                (0..free.len()).min_by(|i, j| distance(&free[*i]).total_cmp(&distance(&free[*j])));
            let other = match nearest {
                Some(i) => free.remove(i),
                None => self.nearest_to(a),
            };
            faults.push(ContourFault::Open(other, a));
        }
        let width = |f: &ContourFault| match f {
            ContourFault::Open(a, b) => (*b - *a).hypot(),
            _ => -1.0,
        };
        faults.sort_by(|a, b| width(a).total_cmp(&width(b)));
        faults
    }

    fn nearest_to(&self, p: Point) -> Point {
        let others = self.at.iter().filter(|q| **q != p).copied();
        others.min_by(|a, b| (*a - p).hypot().total_cmp(&(*b - p).hypot())).unwrap_or(p)
    }

    /// The closed chains; every corner must have two ends.
    fn chains(&self, edges: &[Edge]) -> Vec<Vec<Vertex>> {
        let mut used = vec![false; edges.len()];
        let mut chains = Vec::new();
        for start in 0..edges.len() {
            let mut chain = Vec::new();
            let mut entry = 2 * start;
            while !used[entry / 2] {
                used[entry / 2] = true;
                let (edge, forward) = (&edges[entry / 2], entry % 2 == 0);
                let bulge = if forward { edge.bulge } else { -edge.bulge };
                chain.push(Vertex { at: self.at[self.of[entry]], bulge });
                let exit = entry ^ 1;
                let corner = &self.ends[self.of[exit]];
                entry = if corner[0] == exit { corner[1] } else { corner[0] };
            }
            if !chain.is_empty() {
                chains.push(chain);
            }
        }
        chains
    }
}

fn root(first: &[usize], mut end: usize) -> usize {
    while first[end] != end {
        end = first[end];
    }
    end
}

/// The largest outline with the others as holes in it.
fn nested(mut outlines: Vec<Outline>) -> Result<Region, Vec<ContourFault>> {
    let start = |o: &Outline| o.vertices()[0].at;
    let mut largest = 0;
    for (i, outline) in outlines.iter().enumerate() {
        if outline.area() > outlines[largest].area() {
            largest = i;
        }
    }
    let outer = outlines.remove(largest);
    let mut faults = Vec::new();
    for (i, hole) in outlines.iter().enumerate() {
        if outline_distance(&outer, hole) == 0.0 {
            faults.push(ContourFault::Crossing(start(&outer), start(hole)));
        } else if !outer.contains(start(hole)) {
            faults.push(ContourFault::Apart(start(hole)));
        }
        for other in &outlines[..i] {
            if other.bounds().distance(&hole.bounds()) > 0.0 {
                continue;
            }
            if outline_distance(other, hole) == 0.0 {
                faults.push(ContourFault::Crossing(start(other), start(hole)));
            } else if other.contains(start(hole)) {
                faults.push(ContourFault::Island(start(hole)));
            } else if hole.contains(start(other)) {
                faults.push(ContourFault::Island(start(other)));
            }
        }
    }
    if !faults.is_empty() {
        return Err(faults);
    }
    let region = Region::solid(outer);
    // Everything was checked above, so that nothing is refused here.
    outlines.into_iter().try_fold(region, Region::pierced).map_err(|_| vec![ContourFault::Nothing])
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::disc;
    use crate::geom::rectangle;
    use crate::geom::slot;
    use crate::num::Angle;

    fn square(at: f64, side: f64) -> Vec<Edge> {
        let middle = Point::new(at, at);
        rectangle(middle, side, side, 0.0).unwrap().edges().collect()
    }

    fn faults(edges: &[Edge]) -> Vec<String> {
        plate(edges, JOIN).unwrap_err().iter().map(ToString::to_string).collect()
    }

    #[test]
    fn edges_in_any_order_and_direction_are_the_plate_they_came_from() {
        let outer = rectangle(Point::ZERO, 80.0, 50.0, 6.0).unwrap();
        let holes = [
            disc(Point::new(-20.0, 0.0), 7.0).unwrap(),
            slot(Point::new(20.0, 0.0), 25.0, 8.0).unwrap(),
        ];
        let mut edges: Vec<Edge> =
            std::iter::once(&outer).chain(&holes).flat_map(|o| o.edges()).collect();
        for turn in 0..edges.len() {
            edges.rotate_left(5);
            let edge = edges[turn].reversed();
            edges[turn] = edge;
            let plate = plate(&edges, JOIN).unwrap();
            assert_eq!(plate.outer(), &outer);
            assert_eq!(plate.holes().len(), 2);
            assert!(holes.iter().all(|h| plate.holes().contains(h)));
        }
    }

    #[test]
    fn plates_beside_and_within_each_other_are_told_apart() {
        let edges = [square(0.0, 60.0), square(0.0, 40.0), square(0.0, 20.0), square(99.0, 8.0)];
        let plates = plates(&edges.concat(), JOIN).unwrap();
        let areas: Vec<f64> = plates.iter().map(Region::area).collect();
        assert_eq!(areas, [3600.0 - 1600.0, 400.0, 64.0]);
    }

    #[test]
    fn an_arc_over_half_a_circle_closes_with_its_chord() {
        let (from, to) = (Point::new(3.0, 4.0), Point::new(-3.0, 4.0));
        let bulge = Angle::from_degrees(num::acos(0.8).degrees() / 2.0).tan();
        // The rest of the circle of radius 5, from the other end.
        let rest = 1.0 / bulge;
        let edges = [Edge { from: to, to: from, bulge: rest }, Edge::line(from, to)];
        let segment = 25.0 * num::acos(0.8).radians() - 12.0;
        let area = plate(&edges, JOIN).unwrap().area();
        assert!((area - (25.0 * num::PI - segment)).abs() < 1e-9, "{area}");
    }

    #[test]
    fn ends_within_the_tolerance_are_joined_and_a_wider_gap_is_named() {
        let mut edges = square(0.0, 20.0);
        edges[1].from.x += 0.009;
        let gaps = joined(&edges, JOIN);
        assert!(gaps.len() == 1 && (gaps[0] - 0.009).abs() < 1e-9, "{gaps:?}");
        assert!((plate(&edges, JOIN).unwrap().area() - 400.0).abs() < 0.2);
        edges[1].from.x += 0.121;
        assert_eq!(
            faults(&edges),
            ["the contour is open between (10, -10) and (10.13, -10): 0.13 mm"]
        );
    }

    #[test]
    fn a_line_drawn_twice_is_named_once_whichever_way_it_runs() {
        let mut edges = square(0.0, 20.0);
        edges.push(edges[2].reversed());
        assert_eq!(faults(&edges), ["the line from (-10, 10) to (10, 10) is drawn twice"]);
    }

    #[test]
    fn a_line_too_many_is_a_branch() {
        let mut edges = square(0.0, 20.0);
        edges.push(Edge::line(Point::new(-10.0, -10.0), Point::new(10.0, 10.0)));
        let found = faults(&edges);
        assert_eq!(found[0], "3 lines end at (-10, -10), where two should");
        assert_eq!(found.len(), 2);
    }

    #[test]
    fn contours_that_cross_lie_apart_or_within_holes_are_named() {
        let with = |others: &[Vec<Edge>]| faults(&[square(0.0, 40.0), others.concat()].concat());
        assert!(with(&[square(20.0, 10.0)])[0].starts_with("two contours cross or touch"));
        assert!(with(&[square(60.0, 10.0)])[0].contains("(55, 55) is outside the largest"));
        let island = with(&[square(0.0, 20.0), square(0.0, 4.0)]);
        assert_eq!(island, ["the contour at (-2, -2) is inside a hole, where it would fall out"]);
        let bow = [(0.0, 0.0), (10.0, 10.0), (10.0, 0.0), (0.0, 9.0)].map(Point::from);
        let edges: Vec<Edge> = (0..4).map(|i| Edge::line(bow[i], bow[(i + 1) % 4])).collect();
        assert!(faults(&edges)[0].contains("crosses itself near"), "{:?}", faults(&edges));
        assert_eq!(faults(&[]), ["there are no lines"]);
    }
}

//! An outline cut along straight lines, with the coordinates on either side unchanged.
//!
//! Edges are split where a line crosses them; the pieces between are joined by the lines. No
//! boolean is needed, so arcs stay on their circles and corners where they are. A corner that
//! lies on a line, within rounding, counts as on its left.

use crate::geom::edge::Edge;
use crate::geom::near::NEAR;
use crate::geom::outline::Outline;
use crate::geom::outline::OutlineError;
use crate::geom::outline::Vertex;
use crate::num::Angle;
use kurbo::Point;
use kurbo::Vec2;

/// A corner nearer to a line than this is on it, mm: the error of a chain of constructions.
const ON: f64 = 10.0 * NEAR;

/// Shares of an edge this far outside it are still at its end.
const END: f64 = 1e-9;

/// An endless line with a direction.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Line {
    /// Where mm along it are counted from.
    pub(crate) at: Point,
    /// Of length 1.
    pub(crate) along: Vec2,
}

/// A cut across an outline, from edge to edge.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Cut {
    /// The line it follows.
    pub(crate) line: Line,
    /// Where on it the metal begins and ends, mm: one of its [`Line::stretches`].
    pub(crate) stretch: [f64; 2],
}

/// One of the pieces that cuts leave.
#[derive(Clone, Debug)]
pub(crate) struct Piece {
    /// Its outline.
    pub(crate) outline: Outline,
    /// The cuts it lies beside, by index, and whether it is on their left.
    pub(crate) beside: Vec<(usize, bool)>,
}

/// Where a cut crosses an outline.
struct Crossing {
    /// The edge, and the share of it.
    edge: usize,
    share: f64,
    /// The cut, and whether it ends here.
    cut: usize,
    is_end: bool,
    at: Point,
}

impl Line {
    /// A line at this distance to the left, mm.
    pub(crate) fn shifted(&self, left: f64) -> Self {
        Self { at: self.at + Vec2::new(-self.along.y, self.along.x) * left, ..*self }
    }

    /// The point at this distance along it, mm.
    pub(crate) fn point(&self, mm: f64) -> Point {
        self.at + self.along * mm
    }

    /// How far along it a point lies, and how far to its left, mm.
    pub(crate) fn seen(&self, p: Point) -> (f64, f64) {
        ((p - self.at).dot(self.along), self.along.cross(p - self.at))
    }

    /// Where it runs inside an outline: from, to, mm along it, in order.
    pub(crate) fn stretches(&self, outline: &Outline) -> Vec<[f64; 2]> {
        let edges = outline.edges();
        let shares = edges.flat_map(|e| self.crossed(&e).into_iter().map(move |s| e.point_at(s)));
        let mut at: Vec<f64> = shares.map(|p| self.seen(p).0).collect();
        at.sort_by(f64::total_cmp);
        at.chunks_exact(2).map(|pair| [pair[0], pair[1]]).filter(|[a, b]| b - a > ON).collect()
    }

    fn is_left(&self, p: Point) -> bool {
        self.seen(p).1 >= -ON
    }

    /// The shares of an edge at which it changes sides.
    fn crossed(&self, edge: &Edge) -> Vec<f64> {
        let (from, to) = (self.is_left(edge.from), self.is_left(edge.to));
        let Some(arc) = edge.arc() else {
            let (a, b) = (self.seen(edge.from).1, self.seen(edge.to).1);
            return if from == to { Vec::new() } else { vec![(a / (a - b)).clamp(0.0, 1.0)] };
        };
        let (middle, out) = self.seen(arc.centre);
        let half = (arc.radius * arc.radius - out * out).max(0.0).sqrt();
        let share = |mm: f64| {
            let v = self.point(mm) - arc.centre;
            let sweep = arc.sweep.degrees();
            let past = (Angle::of(v.x, v.y).degrees() - arc.start.degrees()) * sweep.signum();
            let past = past.rem_euclid(360.0) / sweep.abs();
            // A hair before the start is at the start.
            if past > 360.0 / sweep.abs() - END { 0.0 } else { past }
        };
        let mut shares: Vec<f64> = [middle - half, middle + half]
            .map(share)
            .into_iter()
            .filter(|s| *s <= 1.0 + END)
            .map(|s| s.min(1.0))
            .collect();
        shares.sort_by(f64::total_cmp);
        let between = |s: &[f64]| self.is_left(edge.point_at(f64::midpoint(s[0], s[1])));
        match (from == to, shares.len()) {
            (true, 2) if between(&shares) != from => shares,
            (true, _) => Vec::new(),
            // One of the two is an end that lies on the line.
            (false, 2) => vec![if between(&shares) == from { shares[1] } else { shares[0] }],
            (false, 1) => shares,
            (false, _) => {
                let off = |p: Point| self.seen(p).1.abs();
                vec![if off(edge.from) < off(edge.to) { 0.0 } else { 1.0 }]
            }
        }
    }
}

/// A chain of edges from its end to its start; its last vertex has no arc.
pub(crate) fn backwards(chain: &[Vertex]) -> Vec<Vertex> {
    let bulge = |i: usize| if i == 0 { 0.0 } else { -chain[i - 1].bulge };
    (0..chain.len()).rev().map(|i| Vertex { at: chain[i].at, bulge: bulge(i) }).collect()
}

/// The pieces of an outline that cuts leave; no two cuts may cross.
///
/// # Errors
/// When a piece is too thin to be one.
pub(crate) fn split(outline: &Outline, cuts: &[Cut]) -> Result<Vec<Piece>, OutlineError> {
    let edges: Vec<Edge> = outline.edges().collect();
    let mut crossings = crossings(&edges, cuts);
    crossings.sort_by(|a, b| {
        (a.edge, a.share).partial_cmp(&(b.edge, b.share)).unwrap_or(
            // Shares are finite.
            std::cmp::Ordering::Equal,
        )
    });
    let count = crossings.len();
    let mut used = vec![false; count];
    let mut pieces = Vec::new();
    if count == 0 {
        return Ok(vec![Piece { outline: outline.clone(), beside: Vec::new() }]);
    }
    for first in 0..count {
        let mut chain: Vec<Vertex> = Vec::new();
        let mut beside = Vec::new();
        let mut i = first;
        while !used[i] {
            used[i] = true;
            let next = (i + 1) % count;
            chain.extend(between(&edges, &crossings[i], &crossings[next], count == 1));
            let end = &crossings[next];
            chain.push(Vertex { at: end.at, bulge: 0.0 });
            // What continues from the start of the cut to its end lies on its left.
            beside.push((end.cut, !end.is_end));
            let other = crossings.iter().position(|c| c.cut == end.cut && c.is_end != end.is_end);
            i = other.unwrap_or(next);
        }
        if !chain.is_empty() {
            pieces.push(Piece { outline: Outline::new(chain)?, beside });
        }
    }
    Ok(pieces)
}

fn crossings(edges: &[Edge], cuts: &[Cut]) -> Vec<Crossing> {
    let mut crossings = Vec::new();
    for (cut, Cut { line, stretch }) in cuts.iter().enumerate() {
        let mut found = Vec::new();
        for (edge, of) in edges.iter().enumerate() {
            for share in line.crossed(of) {
                let at = of.point_at(share);
                found.push((line.seen(at).0, edge, share, at));
            }
        }
        for (is_end, wanted) in [(false, stretch[0]), (true, stretch[1])] {
            let off = |at: f64| (at - wanted).abs();
            let nearest = found.iter().min_by(|a, b| off(a.0).total_cmp(&off(b.0)));
            crossings.extend(nearest.map(|&(_, edge, share, at)| Crossing {
                edge,
                share,
                cut,
                is_end,
                at,
            }));
        }
    }
    crossings
}

/// The outline from one crossing on to the next, without the corner at the end.
fn between(edges: &[Edge], from: &Crossing, to: &Crossing, all: bool) -> Vec<Vertex> {
    let part = |edge: usize, start: f64, end: f64| {
        let Edge { from, bulge, .. } = edges[edge].between(start, end);
        Vertex { at: from, bulge }
    };
    let wraps = to.edge < from.edge || to.edge == from.edge && (all || to.share < from.share);
    if from.edge == to.edge && !wraps {
        return vec![part(from.edge, from.share, to.share)];
    }
    let n = edges.len();
    let steps = (to.edge + n - from.edge) % n;
    let steps = if steps == 0 { n } else { steps };
    let mut chain = vec![part(from.edge, from.share, 1.0)];
    for k in 1..steps {
        let edge = edges[(from.edge + k) % n];
        chain.push(Vertex { at: edge.from, bulge: edge.bulge });
    }
    chain.push(part(to.edge, 0.0, to.share));
    chain
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::disc;
    use crate::geom::rectangle;

    fn line(x: f64, y: f64, degrees: f64) -> Line {
        let a = Angle::from_degrees(degrees);
        Line { at: Point::new(x, y), along: Vec2::new(a.cos(), a.sin()) }
    }

    fn cut(outline: &Outline, line: Line) -> Cut {
        Cut { line, stretch: line.stretches(outline)[0] }
    }

    #[test]
    fn the_pieces_add_up_and_lie_on_their_sides() {
        let plates = [rectangle(Point::ZERO, 100.0, 60.0, 8.0), disc(Point::ZERO, 40.0)];
        for plate in plates.map(Result::unwrap) {
            for degrees in [0.0, 17.0, 90.0, 133.0, 225.0] {
                let cuts = [0.0, 5.0].map(|d| cut(&plate, line(3.0, 1.0, degrees).shifted(d)));
                let pieces = split(&plate, &cuts).unwrap();
                assert_eq!(pieces.len(), 3);
                let area: f64 = pieces.iter().map(|p| p.outline.area()).sum();
                assert!((area - plate.area()).abs() < 1e-9, "{area}");
                for piece in &pieces {
                    for (cut, left) in &piece.beside {
                        let at = piece.outline.bounds().centre();
                        assert_eq!(cuts[*cut].line.seen(at).1 > 0.0, *left);
                    }
                }
            }
        }
    }

    #[test]
    fn a_line_through_corners_cuts_there() {
        let plate = rectangle(Point::ZERO, 80.0, 80.0, 0.0).unwrap();
        let pieces = split(&plate, &[cut(&plate, line(0.0, 0.0, 45.0))]).unwrap();
        assert_eq!(pieces.len(), 2);
        assert!(pieces.iter().all(|p| (p.outline.area() - 3200.0).abs() < 1e-9));
        // Along an edge there is nothing to cut.
        assert!(line(0.0, 40.0, 0.0).stretches(&plate).len() <= 1);
    }

    #[test]
    fn only_the_stretch_that_is_meant_is_cut() {
        let legs = [
            (0.0, 0.0),
            (60.0, 0.0),
            (60.0, 50.0),
            (40.0, 50.0),
            (40.0, 10.0),
            (20.0, 10.0),
            (20.0, 50.0),
            (0.0, 50.0),
        ];
        let plate = Outline::new(legs.map(|(x, y)| Vertex::sharp(x, y))).unwrap();
        let across = line(0.0, 30.0, 0.0);
        assert_eq!(across.stretches(&plate), [[0.0, 20.0], [40.0, 60.0]]);
        let pieces = split(&plate, &[Cut { line: across, stretch: [40.0, 60.0] }]).unwrap();
        let mut areas: Vec<f64> = pieces.iter().map(|p| p.outline.area()).collect();
        areas.sort_by(f64::total_cmp);
        assert_eq!(areas, [400.0, 1800.0]);
    }
}

//! Net sections through holes, straight and staggered, by AISC 360-16 section B4.3b.

use crate::geom::Point;
use crate::part::Hole;
use crate::part::Part;
use crate::strength::line::Line;
use crate::strength::metalwork::Metalwork;
use crate::strength::place;
use crate::strength::plate::HOLE_GROWTH;

/// With more holes than this in a face only the weakest path is checked, for the whole load.
const MAX_HOLES: usize = 10;

/// A path across a face through some of its holes, in the drawing of the face, mm.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Path {
    /// From side to side: an edge, the holes, an edge.
    pub(super) points: Vec<Point>,
    /// Its net width, s²/4g added.
    pub(super) net: f64,
    /// The same without.
    pub(super) straight: f64,
    /// The line it runs along, its `toward` to the load.
    pub(super) line: Line,
}

impl Path {
    /// Whether a point is on the load's side of it, or on it.
    pub(super) fn is_behind(&self, p: Point) -> bool {
        let (s, d) = (self.line.place(p), self.line.ahead(p));
        let inner = &self.points[1..self.points.len() - 1];
        let at = |q: &Point| (self.line.place(*q), self.line.ahead(*q));
        let before = inner.iter().rev().map(at).find(|q| q.0 <= s);
        let after = inner.iter().map(at).find(|q| q.0 >= s);
        let height = match (before, after) {
            (Some(a), Some(b)) if b.0 > a.0 => a.1 + (b.1 - a.1) * (s - a.0) / (b.0 - a.0),
            (Some(a), _) | (None, Some(a)) => a.1,
            (None, None) => return false,
        };
        d >= height - 1e-6
    }
}

/// All paths through holes of a face across the load path, parallel to a line; a countersink or
/// counterbore counts by its area.
pub(super) fn paths(part: &Part, face: usize, holes: &[&Hole], line: &Line) -> Vec<Path> {
    let solid = Metalwork::solid(&part.faces[face]);
    let mut round: Vec<(&Hole, f64)> =
        holes.iter().filter_map(|h| Some((*h, place::by_area(h, part.thickness)?))).collect();
    round.sort_by(|a, b| line.place(a.0.at).total_cmp(&line.place(b.0.at)));
    if round.len() > MAX_HOLES {
        // In rows: those equally far from the line.
        let row = |(hole, _): &(&Hole, f64)| {
            let d = line.ahead(hole.at);
            let same = |o: &&(&Hole, f64)| (line.ahead(o.0.at) - d).abs() < 1e-3;
            round.iter().filter(same).copied().collect::<Vec<_>>()
        };
        return round.iter().filter_map(|hole| path(&solid, &row(hole), line)).collect();
    }
    let chosen = |set: u32| {
        let holes = round.iter().enumerate().filter(move |(i, _)| set & (1 << i) != 0);
        holes.map(|(_, hole)| *hole).collect::<Vec<_>>()
    };
    (1..1u32 << round.len()).filter_map(|set| path(&solid, &chosen(set), line)).collect()
}

/// The path through these holes, in order along the line; `None` where an opening or another
/// hole of the path is in its way.
fn path(solid: &Metalwork, holes: &[(&Hole, f64)], line: &Line) -> Option<Path> {
    let (first, last) = (holes.first()?, holes.last()?);
    let across = line.along();
    let (left, right) = (solid.free(first.0.at, -across), solid.free(last.0.at, across));
    let mut points = vec![first.0.at - across * left];
    points.extend(holes.iter().map(|h| h.0.at));
    points.push(last.0.at + across * right);
    let (mut slants, mut gauges) = (0.0, 0.0);
    for pair in holes.windows(2) {
        let step = pair[1].0.at - pair[0].0.at;
        let (gauge, pitch) = (step.dot(across), step.dot(line.toward));
        if gauge < 1e-3 || solid.free(pair[0].0.at, step.normalize()) < step.hypot() {
            return None;
        }
        gauges += gauge;
        slants += pitch * pitch / (4.0 * gauge);
    }
    let lost: f64 = holes.iter().map(|h| h.1 + HOLE_GROWTH).sum();
    let straight = (left + gauges + right - lost).max(0.0);
    Some(Path { points, net: straight + slants, straight, line: *line })
}

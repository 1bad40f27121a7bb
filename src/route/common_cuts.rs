//! Common cuts: where two outlines face each other one kerf apart, one straight cut separates both.
//!
//! The cutter runs midway between the two edges, half a kerf from either, and by half a kerf beyond
//! the part that faces: there it meets the other cuts, which run half a kerf beside their outlines,
//! so that no web is left at a corner, and where three pieces meet one common cut ends on the
//! other. So much of both outlines is cut with it; the rest is left as open chains. Arcs and holes
//! are never common.

use crate::geom::Bounds;
use crate::geom::Edge;
use crate::geom::NEAR;
use crate::geom::Point;
use crate::geom::Region;
use crate::geom::Vec2;
use crate::geom::edge_distance;
use crate::route::bridge;

/// Edges apart by at most this much more than a kerf, mm, still share a cut; each piece comes out
/// larger by half of it. Nesting keeps edges along x and y on whole micrometres and gives slanting
/// ones 2 µm each and their rounding, 6 µm in all; a cutter repeats to some hundredths. Our choice.
pub(crate) const MAX_OFF: f64 = 0.01;

/// A shorter common cut, mm, saves less than its pierce costs. Our choice.
pub(crate) const SHORTEST: f64 = 10.0;

/// A chain no longer than this, mm, is cut with the pieces on both sides of it: in the corner where
/// three pieces meet it is mere rounding. Our choice.
const NOTHING: f64 = 2.0 * MAX_OFF;

/// A straight cut with a piece on either side.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Line {
    pub(super) from: Point,
    pub(super) to: Point,
    pub(super) pieces: [usize; 2],
}

/// What the pieces of a sheet share.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct CommonCuts {
    pub(super) lines: Vec<Line>,
    /// By piece, what common cuts leave of its outline; none where it is cut whole.
    pub(super) rests: Vec<Option<Vec<Vec<Edge>>>>,
}

impl CommonCuts {
    /// Nothing is shared.
    pub(super) fn nothing(pieces: usize) -> Self {
        Self { lines: Vec::new(), rests: vec![None; pieces] }
    }

    /// All common cuts of the pieces, by the width of the cut in mm; those that are `alone` share
    /// nothing.
    pub(super) fn of(pieces: &[Region], alone: &[bool], kerf: f64) -> Self {
        let outlines: Vec<Vec<Edge>> = pieces.iter().map(|p| p.outer().edges().collect()).collect();
        let boxes: Vec<Bounds> = pieces.iter().map(Region::bounds).collect();
        let mut taken = vec![Vec::new(); pieces.len()];
        let mut lines = Vec::new();
        for pair in neighbours(&boxes, kerf + MAX_OFF) {
            if pair.iter().any(|p| alone[*p]) {
                continue;
            }
            let [a, b] = pair.map(|p| straight(&outlines[p]));
            for (first, second) in a.iter().flat_map(|a| b.iter().map(move |b| (a, b))) {
                let Some((from, to)) = facing(&first.edge, &second.edge, kerf) else { continue };
                if !is_clear(&Edge::line(from, to), pieces, &boxes, kerf) {
                    continue;
                }
                lines.push(Line { from, to, pieces: pair });
                taken[pair[0]].push(first.beside(from, to));
                taken[pair[1]].push(second.beside(from, to));
            }
        }
        let rests = outlines.iter().zip(taken);
        let rests = rests.map(|(outline, taken)| (!taken.is_empty()).then(|| rest(outline, taken)));
        Self { rests: rests.collect(), lines }
    }

    /// The pieces joined by common cuts, in order, most of them alone.
    pub(super) fn groups(&self) -> Vec<Vec<usize>> {
        let mut of: Vec<usize> = (0..self.rests.len()).collect();
        for line in &self.lines {
            join(&mut of, line.pieces);
        }
        let mut groups = vec![Vec::new(); of.len()];
        for piece in 0..of.len() {
            groups[root(&of, piece)].push(piece);
        }
        groups.retain(|group| !group.is_empty());
        groups
    }
}

/// Both in one set.
pub(super) fn join(of: &mut [usize], pair: [usize; 2]) {
    let [a, b] = pair.map(|x| root(of, x));
    of[a.max(b)] = a.min(b);
}

/// The first of the set in which one is.
pub(super) fn root(of: &[usize], mut x: usize) -> usize {
    while of[x] != x {
        x = of[x];
    }
    x
}

/// Pairs of boxes no further apart than `reach`, the lower number first.
pub(super) fn neighbours(boxes: &[Bounds], reach: f64) -> Vec<[usize; 2]> {
    let mut order: Vec<usize> = (0..boxes.len()).collect();
    order.sort_by(|a, b| boxes[*a].min.x.total_cmp(&boxes[*b].min.x));
    let mut pairs = Vec::new();
    for (i, a) in order.iter().enumerate() {
        let right = boxes[*a].max.x + reach;
        let next = order[i + 1..].iter().take_while(|b| boxes[**b].min.x <= right);
        let near = next.filter(|b| boxes[*a].distance(&boxes[**b]) <= reach);
        pairs.extend(near.map(|b| [*a.min(b), *a.max(b)]));
    }
    pairs.sort_unstable();
    pairs
}

/// A straight edge, and how far along its outline it begins, mm.
struct Straight {
    edge: Edge,
    at: f64,
}

impl Straight {
    /// The part of the outline beside a cut.
    fn beside(&self, from: Point, to: Point) -> (f64, f64) {
        let length = self.edge.length();
        let along = (self.edge.to - self.edge.from) / length;
        let place = |p: Point| self.at + (p - self.edge.from).dot(along).clamp(0.0, length);
        let (a, b) = (place(from), place(to));
        (a.min(b), a.max(b))
    }
}

/// The straight edges of an outline that are long enough.
fn straight(outline: &[Edge]) -> Vec<Straight> {
    let mut at = 0.0;
    let mut found = Vec::new();
    for edge in outline {
        let length = edge.length();
        if edge.is_line() && length >= SHORTEST {
            found.push(Straight { edge: *edge, at });
        }
        at += length;
    }
    found
}

/// The cut between two edges that face each other one kerf apart, with its overrun.
fn facing(a: &Edge, b: &Edge, kerf: f64) -> Option<(Point, Point)> {
    let length = a.length();
    let along = (a.to - a.from) / length;
    // The metal is to the left of both edges.
    let out = Vec2::new(along.y, -along.x);
    let (start, end) = (b.to - a.from, b.from - a.from);
    let (first, last) = (start.dot(along), end.dot(along));
    let (from, to) = (first.max(0.0), last.min(length));
    if to - from < SHORTEST {
        return None;
    }
    let apart = |s: f64| start.lerp(end, (s - first) / (last - first)).dot(out);
    let fits = |mm: f64| mm >= kerf - 2.0 * NEAR && mm <= kerf + MAX_OFF;
    if !(fits(apart(from)) && fits(apart(to))) {
        return None;
    }
    let middle = |s: f64| a.from + along * s + out * (apart(s) / 2.0);
    let (from, to) = (middle(from), middle(to));
    let beyond = (to - from).normalize() * (kerf / 2.0);
    Some((from - beyond, to + beyond))
}

/// Whether a cut runs into no piece: a corner of a third may point into its end.
fn is_clear(cut: &Edge, pieces: &[Region], boxes: &[Bounds], kerf: f64) -> bool {
    let around = cut.bounds();
    let near = pieces.iter().zip(boxes).filter(|(_, b)| b.distance(&around) < kerf);
    let mut edges = near.flat_map(|(piece, _)| piece.outlines()).flat_map(|o| o.edges());
    edges.all(|edge| edge_distance(cut, &edge) >= kerf / 2.0 - 2.0 * NEAR)
}

/// What is left of an outline when parts of it, from and to along it in mm, are cut already.
fn rest(outline: &[Edge], mut taken: Vec<(f64, f64)>) -> Vec<Vec<Edge>> {
    let whole: f64 = outline.iter().map(Edge::length).sum();
    taken.sort_by(|a, b| a.0.total_cmp(&b.0));
    let first = taken[0].0;
    let mut chains = Vec::new();
    let mut reach = taken[0].1;
    for (from, to) in taken.into_iter().skip(1).chain([(first + whole, first + whole)]) {
        if from - reach > NOTHING {
            chains.push(bridge::chain(outline, whole, reach.rem_euclid(whole), from - reach));
        }
        reach = reach.max(to);
    }
    chains
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::Disc;
    use crate::geom::belt;
    use crate::geom::disc;
    use crate::geom::rectangle;

    const KERF: f64 = 0.9;

    /// By its lower left corner.
    fn plate(x: f64, y: f64, width: f64, height: f64) -> Region {
        let centre = Point::new(x + width / 2.0, y + height / 2.0);
        Region::solid(rectangle(centre, width, height, 0.0).unwrap())
    }

    fn shared(pieces: &[Region]) -> CommonCuts {
        CommonCuts::of(pieces, &vec![false; pieces.len()], KERF)
    }

    fn lengths(common: &CommonCuts) -> Vec<f64> {
        common.lines.iter().map(|l| (l.to - l.from).hypot()).collect()
    }

    fn left(common: &CommonCuts, piece: usize) -> Vec<f64> {
        let chains = common.rests[piece].as_ref().unwrap();
        chains.iter().map(|chain| chain.iter().map(Edge::length).sum()).collect()
    }

    fn near(found: &[f64], wanted: &[f64]) {
        let same = found.len() == wanted.len()
            && found.iter().zip(wanted).all(|(f, w)| (f - w).abs() < 1e-6);
        assert!(same, "{found:?} is not {wanted:?}");
    }

    #[test]
    fn plates_side_by_side_share_their_side() {
        let common = shared(&[plate(0.0, 0.0, 40.0, 30.0), plate(40.9, 0.0, 20.0, 30.0)]);
        near(&lengths(&common), &[30.9]);
        let line = common.lines[0];
        assert!((line.from.x - 40.45).abs() < 1e-9 && (line.to.x - 40.45).abs() < 1e-9);
        near(&left(&common, 0), &[110.0]);
        near(&left(&common, 1), &[70.0]);
        assert_eq!(common.groups(), [[0, 1]]);
    }

    #[test]
    fn of_edges_that_face_in_part_only_that_part_is_common() {
        let common = shared(&[plate(0.0, 0.0, 40.0, 30.0), plate(40.9, 10.0, 20.0, 50.0)]);
        near(&lengths(&common), &[20.9]);
        // The overrun of the cut is not cut again.
        near(&left(&common, 0), &[140.0 - 20.45]);
        near(&left(&common, 1), &[140.0 - 20.45]);
    }

    /// Two plates on a third: what is between the two is in the corner of the cuts.
    #[test]
    fn where_three_meet_nothing_is_left_over() {
        let pieces = [
            plate(0.0, 0.0, 80.9, 30.0),
            plate(0.0, 30.9, 40.0, 20.0),
            plate(40.9, 30.9, 40.0, 20.0),
        ];
        let common = shared(&pieces);
        near(&lengths(&common), &[40.9, 40.9, 20.9]);
        near(&left(&common, 0), &[30.0 + 80.9 + 30.0]);
        near(&left(&common, 1), &[60.0]);
        near(&left(&common, 2), &[60.0]);
        assert_eq!(common.groups(), [[0, 1, 2]]);
    }

    #[test]
    fn nothing_is_common_where_edges_are_off_round_short_or_kept_alone() {
        let plate_at = |x: f64| [plate(0.0, 0.0, 40.0, 30.0), plate(x, 0.0, 20.0, 30.0)];
        for x in [40.88, 40.92, 43.0] {
            assert_eq!(shared(&plate_at(x)), CommonCuts::nothing(2), "{x}");
        }
        let near = plate_at(40.9);
        assert_eq!(CommonCuts::of(&near, &[false, true], KERF), CommonCuts::nothing(2));
        let low = [plate(0.0, 0.0, 40.0, 9.0), plate(40.9, 0.0, 20.0, 9.0)];
        assert_eq!(shared(&low), CommonCuts::nothing(2));
        let round = |x: f64| Region::solid(disc(Point::new(x, 0.0), 20.0).unwrap());
        assert_eq!(shared(&[round(0.0), round(40.9)]), CommonCuts::nothing(2));
        // A plate in a cut-out one kerf larger all round.
        let window = rectangle(Point::new(50.0, 50.0), 41.8, 31.8, 0.0).unwrap();
        let frame = plate(0.0, 0.0, 100.0, 100.0).pierced(window).unwrap();
        assert_eq!(shared(&[frame, plate(30.0, 35.0, 40.0, 30.0)]), CommonCuts::nothing(2));
    }

    /// Its end would be cut away by the overrun of the cut between the two.
    #[test]
    fn a_third_piece_that_points_into_the_end_keeps_two_apart() {
        let end = |x, y, radius| Disc { centre: Point::new(x, y), radius };
        let tip = |y| {
            let points =
                [end(40.45, y, 0.01), end(30.0, y + 60.0, 0.01), end(50.9, y + 60.0, 0.01)];
            Region::solid(belt(&points).unwrap())
        };
        let two = [plate(0.0, 0.0, 40.0, 30.0), plate(40.9, 0.0, 20.0, 30.0)];
        let with = |y| shared(&[two[0].clone(), two[1].clone(), tip(y)]).lines.len();
        assert_eq!((with(30.85), with(31.5)), (0, 1));
    }

    #[test]
    fn slanting_edges_and_rounded_corners_share_what_is_straight() {
        let pieces = [0.0, 40.9].map(|x| {
            let outline = rectangle(Point::new(x, 0.0), 40.0, 30.0, 5.0).unwrap();
            Region::solid(outline)
        });
        let common = shared(&pieces);
        near(&lengths(&common), &[20.9]);
        let rotation = crate::geom::Place {
            rotation: crate::num::Angle::from_degrees(33.0),
            ..crate::geom::Place::default()
        };
        let common = shared(&pieces.map(|p| p.moved(&rotation)));
        near(&lengths(&common), &[20.9]);
        let whole = pieces_length() - 20.0;
        near(&left(&common, 0), &[whole]);
    }

    fn pieces_length() -> f64 {
        rectangle(Point::ZERO, 40.0, 30.0, 5.0).unwrap().length()
    }
}

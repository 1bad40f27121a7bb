//! An outline with its notches filled.
//!
//! What acts in a section depends on its centroid: a notch may move that nearer to the
//! load, and would then let the section take more. So a section through a notch counts as if the
//! notch were filled as well. A notch is cut into a straight edge or over a corner, and is
//! narrow: over less than half its width a force does not find the centroid of the remaining
//! section. Our choice; where a plate is narrow for longer, the force does find it.

use crate::geom::Edge;
use crate::geom::Outline;
use crate::geom::Point;
use crate::geom::Vec2;
use crate::geom::Vertex;
use crate::strength::line::Line;
use crate::strength::line::crossed;

/// Maximum number of edges of one notch. Our choice: a rectangle with all its corners rounded has
/// nine.
const MAX_EDGES: usize = 12;
/// Maximum number of notches of an outline of which every choice is filled, and of those filled one
/// by one. Our choice.
const MAX_CHOSEN: usize = 3;
const MAX_NOTCHES: usize = 12;
/// Widest mouth of a notch, of the section without it. Our choice.
const NARROW: f64 = 0.5;
/// The two sides from a mouth to the corner that is put back are together no longer than this
/// multiple of the mouth: else two sides meet far from it. Our choice, for corners of some 40° and
/// more.
const CORNER: f64 = 3.0;
/// Off by less than this a place is on a line, mm.
const ON_LINE: f64 = 1e-4;
/// Sine of the angle below which two edges run the same way.
const SAME_WAY: f64 = 1e-6;

/// A notch that was cut out of an outline at an edge or a corner.
#[derive(Clone, Debug)]
struct Notch {
    /// The first of its edges, by number.
    first: usize,
    edges: Vec<Edge>,
    /// The corner that it took.
    corner: Option<Point>,
    /// How wide it is where it opens, mm.
    mouth: f64,
}

impl Notch {
    fn overlaps(&self, other: &Self, count: usize) -> bool {
        let within = |a: &Self, b: &Self| (a.first + count - b.first) % count < b.edges.len();
        within(self, other) || within(other, self)
    }
}

/// An outline with some of its notches filled.
#[derive(Clone, Debug)]
pub(super) struct FilledOutline {
    pub(super) outer: Outline,
    notches: Vec<Notch>,
}

impl FilledOutline {
    fn of(outline: &Outline, notches: Vec<Notch>) -> Option<Self> {
        let edges: Vec<Edge> = outline.edges().collect();
        let count = edges.len();
        let mut vertices = Vec::new();
        for (i, edge) in edges.iter().enumerate() {
            let is_here = |n: &&Notch| (i + count - n.first) % count < n.edges.len();
            match notches.iter().find(is_here) {
                None => vertices.push(Vertex { at: edge.from, bulge: edge.bulge }),
                Some(notch) if notch.first == i => {
                    let corners = std::iter::once(edge.from).chain(notch.corner);
                    vertices.extend(corners.map(|at| Vertex { at, bulge: 0.0 }));
                }
                Some(_) => {}
            }
        }
        let outer = Outline::new(vertices).ok()?;
        (outer.area() > outline.area()).then_some(Self { outer, notches })
    }

    /// Whether a line meets some of the notches.
    pub(super) fn meets(&self, line: &Line) -> bool {
        self.notches.iter().flat_map(|n| &n.edges).any(|e| !crossed(e, line).is_empty())
    }

    /// Whether a section with its notches filled, from place to place of a line, goes through
    /// notches that are all narrow, and through more than one where there are several.
    pub(super) fn counts(&self, line: &Line, [from, to]: [f64; 2]) -> bool {
        let is_within = |s: f64| s > from - ON_LINE && s < to + ON_LINE;
        let is_met =
            |n: &&Notch| n.edges.iter().flat_map(|e| crossed(e, line)).any(|(s, ..)| is_within(s));
        let met: Vec<&Notch> = self.notches.iter().filter(is_met).collect();
        met.len() >= self.notches.len().min(2)
            && met.iter().all(|n| n.mouth <= NARROW * (to - from))
    }
}

/// An outline with its notches filled in every combination; if there are many, each alone and
/// all together.
pub(super) fn fillings(outline: &Outline) -> Vec<FilledOutline> {
    let edges: Vec<Edge> = outline.edges().collect();
    let count = edges.len();
    let bounds = outline.bounds();
    let max = NARROW * (bounds.max - bounds.min).hypot();
    let mut found: Vec<Notch> = Vec::new();
    for before in 0..count {
        for taken in 1..=MAX_EDGES.min(count.saturating_sub(2)) {
            let notch = notch(&edges, before, taken).filter(|n| n.mouth <= max);
            let one = notch.filter(|n| FilledOutline::of(outline, vec![n.clone()]).is_some());
            found.extend(one);
        }
    }
    // A longer stretch that begins or ends at the same place contains more than a notch.
    let last = |n: &Notch| (n.first + n.edges.len()) % count;
    let all = found.clone();
    let is_farther = |n: &Notch, other: &Notch| {
        other.edges.len() < n.edges.len() && (other.first == n.first || last(other) == last(n))
    };
    found.retain(|n| !all.iter().any(|other| is_farther(n, other)));
    // A notch in the bottom of a wider one is filled with it.
    let apart = |chosen: &[&Notch]| {
        let mut pairs = chosen
            .iter()
            .enumerate()
            .flat_map(|(i, a)| chosen[i + 1..].iter().map(move |b| (*a, *b)));
        !pairs.any(|(a, b)| a.overlaps(b, count))
    };
    let choices: Vec<Vec<&Notch>> = if found.len() <= MAX_CHOSEN {
        let chosen = |set: u32| (0..found.len()).filter(move |i| set & (1 << i) != 0);
        (1..1u32 << found.len()).map(|set| chosen(set).map(|i| &found[i]).collect()).collect()
    } else {
        let mut all: Vec<&Notch> = Vec::new();
        for notch in &found {
            if !all.iter().any(|other| other.overlaps(notch, count)) {
                all.push(notch);
            }
        }
        let each = found.iter().take(MAX_NOTCHES).map(|notch| vec![notch]);
        each.chain(std::iter::once(all)).collect()
    };
    let choices = choices.into_iter().filter(|chosen| apart(chosen));
    choices.filter_map(|c| FilledOutline::of(outline, c.into_iter().cloned().collect())).collect()
}

/// The notch that the next `taken` edges make, if they are one.
fn notch(edges: &[Edge], before: usize, taken: usize) -> Option<Notch> {
    let count = edges.len();
    let at = |i: usize| edges[(before + i) % count];
    let (into, out) = (at(0), at(taken + 1));
    if !into.is_line() || !out.is_line() {
        return None;
    }
    let own: Vec<Edge> = (1..=taken).map(at).collect();
    let turns_in = |pair: &[Edge]| {
        let end = -pair[0].reversed().direction_at_start();
        end.cross(pair[1].direction_at_start()) < -SAME_WAY
    };
    let bends_in = |e: &Edge| !e.is_line() && e.bulge < 0.0;
    if !own.iter().any(bends_in) && !own.windows(2).any(turns_in) {
        return None;
    }
    let way = |e: &Edge| (e.to - e.from).normalize();
    let (one, other, mouth) = (way(&into), way(&out), out.from - into.to);
    let far = corner(one, other, mouth)?;
    Some(Notch {
        first: (before + 1) % count,
        edges: own,
        corner: (far > 0.0).then(|| into.to + one * far),
        mouth: mouth.hypot(),
    })
}

/// How far on from an edge, mm, the corner lies where it meets another one over a mouth; 0 where
/// they are one edge. `None` where they are neither.
fn corner(one: Vec2, other: Vec2, mouth: Vec2) -> Option<f64> {
    let turn = one.cross(other);
    if turn.abs() < SAME_WAY {
        let is_on = one.dot(other) > 0.0 && one.cross(mouth).abs() < ON_LINE;
        return (is_on && one.dot(mouth) > ON_LINE).then_some(0.0);
    }
    let far = mouth.cross(other) / turn;
    let near = (mouth - one * far).dot(other);
    let is_near = far + near <= CORNER * mouth.hypot();
    (turn > 0.0 && far > ON_LINE && near > ON_LINE && is_near).then_some(far)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn outline(corners: &[(f64, f64, f64)]) -> Outline {
        let vertex =
            |(x, y, bulge): &(f64, f64, f64)| Vertex { at: Point::new(*x, *y), bulge: *bulge };
        Outline::new(corners.iter().map(vertex)).unwrap()
    }

    fn areas(outline: &Outline) -> Vec<f64> {
        let mut areas: Vec<f64> =
            fillings(outline).iter().map(|f| f.outer.area().round()).collect();
        areas.sort_by(f64::total_cmp);
        areas
    }

    /// 100 × 60 with a half disc of 10 out of its right side, and with a rectangle of 8 × 5 out
    /// of its left side as well: each filled, and both.
    #[test]
    fn a_notch_in_an_edge_is_filled() {
        let right = [(100.0, 20.0, -1.0), (100.0, 30.0, 0.0), (100.0, 60.0, 0.0)];
        let one = [&[(0.0, 0.0, 0.0), (100.0, 0.0, 0.0)], &right[..], &[(0.0, 60.0, 0.0)]].concat();
        assert_eq!(areas(&outline(&one)), [6000.0]);
        let left = [(0.0, 40.0, 0.0), (5.0, 40.0, 0.0), (5.0, 32.0, 0.0), (0.0, 32.0, 0.0)];
        let both = outline(&[&one[..], &left[..]].concat());
        // Half a disc is 39.3 mm².
        assert_eq!(areas(&both), [5960.0, 5961.0, 6000.0]);
    }

    /// A lug that leans in from its foot, with a half disc out of its leaning side, keeps the
    /// corner below.
    #[test]
    fn a_notch_ends_where_its_edge_goes_on() {
        let lug = [
            (0.0, 0.0, 0.0),
            (100.0, 0.0, 0.0),
            (100.0, 5.0, 0.0),
            (97.0, 15.0, -1.0),
            (94.0, 25.0, 0.0),
            (79.0, 75.0, 0.0),
            (0.0, 75.0, 0.0),
        ];
        let whole = [&lug[..3], &lug[5..]].concat();
        assert_eq!(areas(&outline(&lug)), [outline(&whole).area().round()]);
    }

    /// A corner that a step or a disc took is put back; a corner cut off straight or rounded is no
    /// notch.
    #[test]
    fn a_corner_is_put_back() {
        let corner = |more: &[(f64, f64, f64)]| {
            outline(&[&[(0.0, 0.0, 0.0), (100.0, 0.0, 0.0)], more, &[(0.0, 60.0, 0.0)]].concat())
        };
        let step = [(100.0, 50.0, 0.0), (90.0, 50.0, 0.0), (90.0, 60.0, 0.0)];
        assert_eq!(areas(&corner(&step)), [6000.0]);
        let quarter = std::f64::consts::SQRT_2 - 1.0;
        assert_eq!(areas(&corner(&[(100.0, 50.0, -quarter), (90.0, 60.0, 0.0)])), [6000.0]);
        for bulge in [0.0, quarter] {
            assert!(areas(&corner(&[(100.0, 50.0, bulge), (90.0, 60.0, 0.0)])).is_empty());
        }
    }
}

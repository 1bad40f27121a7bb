//! Parts of several kinds on one sheet, kept apart by their no-fit polygons, and where another one
//! fits.

use crate::nest::shape::nfp::no_fit;
use crate::nest::shape::orientation::Orientation;
use crate::nest::shape::polygon::Ring;
use crate::nest::shape::polygon::Spot;
use crate::nest::shape::polygon::cross;
use crate::nest::shape::polygon::extent;
use crate::nest::shape::polygon::sides;
use crate::nest::shape::polygon::strictly_within;
use std::collections::BTreeMap;

/// A kind of part in the orientations that look different.
pub(super) type Oriented = Vec<(Orientation, Ring)>;

/// A part on the sheet; the sheet has its lower left corner at 0, 0.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct PlacedShape {
    pub(super) kind: usize,
    pub(super) orientation: usize,
    pub(super) at: Spot,
}

/// The kinds of a job, and the forbidden region of each beside another.
pub(super) struct Kinds {
    pub(super) oriented: Vec<Oriented>,
    forbidden: BTreeMap<[usize; 4], Vec<Ring>>,
}

/// One sheet.
#[derive(Clone, Debug, Default)]
pub(super) struct Table {
    pub(super) parts: Vec<PlacedShape>,
    pub(super) length: i64,
    pub(super) height: i64,
}

impl Kinds {
    /// Kinds, and the no-fit polygons of those that may become neighbours.
    pub(super) fn new(oriented: Vec<Oriented>) -> Self {
        let mut forbidden = BTreeMap::new();
        for (a, of_a) in oriented.iter().enumerate() {
            for (b, of_b) in oriented.iter().enumerate() {
                for (i, first) in of_a.iter().enumerate() {
                    for (j, second) in of_b.iter().enumerate() {
                        let contours = no_fit(&first.1, &second.1).into_iter().map(|p| p.contour);
                        forbidden.insert([a, i, b, j], contours.collect());
                    }
                }
            }
        }
        Self { oriented, forbidden }
    }

    /// Lower left and upper right corner of a placed part.
    pub(super) fn extent(&self, part: &PlacedShape) -> (Spot, Spot) {
        let (low, high) = extent(&self.oriented[part.kind][part.orientation].1);
        (low + part.at, high + part.at)
    }

    fn forbidden(&self, a: &PlacedShape, b: &PlacedShape) -> &[Ring] {
        &self.forbidden[&[a.kind, a.orientation, b.kind, b.orientation]]
    }

    fn overlap(&self, a: &PlacedShape, b: &PlacedShape) -> bool {
        self.forbidden(a, b).iter().any(|ring| strictly_within(ring, b.at - a.at))
    }
}

impl Table {
    /// How far it is used.
    pub(super) fn end(&self, kinds: &Kinds) -> i64 {
        self.parts.iter().map(|s| kinds.extent(s).1.x).max().unwrap_or(0)
    }

    /// Adds parts that are clear of each other behind all others, as far left as they go together,
    /// with `from` their left end.
    pub(super) fn push(&mut self, kinds: &Kinds, block: Vec<PlacedShape>) {
        let left = block.iter().map(|s| kinds.extent(s).0.x).min().unwrap_or(0);
        let mut by = -left;
        for part in &block {
            let (low, high) = kinds.extent(part);
            for other in &self.parts {
                let (under, over) = kinds.extent(other);
                if under.y < high.y && low.y < over.y {
                    let rings = kinds.forbidden(other, part);
                    let level = part.at.y - other.at.y;
                    let far = rings.iter().filter_map(|ring| far_side(ring, level)).max();
                    by = by.max(far.map_or(i64::MIN, |far| other.at.x + far - part.at.x));
                }
            }
        }
        let moved = |s: PlacedShape| PlacedShape { at: s.at + Spot::new(by, 0), ..s };
        self.parts.extend(block.into_iter().map(moved));
    }

    /// The position of a part of a kind that ends furthest left, from `from` on. `None` when it
    /// does not fit before `before`.
    pub(super) fn place_one(
        &self,
        kinds: &Kinds,
        kind: usize,
        from: i64,
        before: i64,
    ) -> Option<PlacedShape> {
        let near: Vec<&PlacedShape> =
            self.parts.iter().filter(|s| kinds.extent(s).1.x >= from).collect();
        let found = (0..kinds.oriented[kind].len()).filter_map(|orientation| {
            let part = PlacedShape { kind, orientation, at: Spot::default() };
            let (low, high) = kinds.extent(&part);
            let least = Spot::new(from - low.x, -low.y);
            let most = Spot::new(self.length.min(before) - high.x, self.height - high.y);
            if least.x > most.x || least.y > most.y {
                return None;
            }
            let mut spots = self.corners(kinds, &near, part, least, most);
            spots.sort_unstable();
            spots.dedup();
            let clear = |at: &Spot| {
                let part = PlacedShape { at: *at, ..part };
                let (low, high) = kinds.extent(&part);
                near.iter().all(|other| {
                    let (under, over) = kinds.extent(other);
                    let apart = over.x <= low.x
                        || high.x <= under.x
                        || over.y <= low.y
                        || high.y <= under.y;
                    apart || !kinds.overlap(other, &part)
                })
            };
            spots.into_iter().find(clear).map(|at| PlacedShape { at, ..part })
        });
        found.min_by_key(|part| {
            (kinds.extent(part).1.x, kinds.extent(part).0.x, part.at, part.orientation)
        })
    }

    /// Positions at which a part touches two things at once: corners of the room, of no-fit
    /// polygons, and intersections of these with the sheet edges and with each other.
    fn corners(
        &self,
        kinds: &Kinds,
        near: &[&PlacedShape],
        part: PlacedShape,
        least: Spot,
        most: Spot,
    ) -> Vec<Spot> {
        let mut spots = vec![least, Spot::new(least.x, most.y)];
        let mut edges: Vec<(Spot, Spot)> = Vec::new();
        for other in near {
            for ring in kinds.forbidden(other, &part) {
                let moved = |s: Spot| s + other.at;
                let inside = sides(ring).map(|(a, b)| (moved(a), moved(b))).filter(|(a, b)| {
                    a.x.max(b.x) >= least.x
                        && a.x.min(b.x) <= most.x
                        && a.y.max(b.y) >= least.y
                        && a.y.min(b.y) <= most.y
                });
                edges.extend(inside);
            }
        }
        spots.extend(edges.iter().map(|(a, _)| *a));
        let far = Spot::new(most.x + 1, most.y + 1);
        let edges_of_sheet = [
            (least, Spot::new(far.x, least.y)),
            (Spot::new(least.x, most.y), Spot::new(far.x, most.y)),
            (least, Spot::new(least.x, far.y)),
        ];
        edges.extend(edges_of_sheet);
        edges.sort_unstable_by_key(|(a, b)| a.x.min(b.x));
        for (i, first) in edges.iter().enumerate() {
            let right = first.0.x.max(first.1.x);
            for second in edges[i + 1..].iter().take_while(|(a, b)| a.x.min(b.x) <= right) {
                spots.extend(crossing(first, second).into_iter().flatten());
            }
        }
        spots.retain(|s| (least.x..=most.x).contains(&s.x) && (least.y..=most.y).contains(&s.y));
        spots
    }
}

/// The most x of a ring at a level, rounded up; `None` where it only touches the level.
fn far_side(ring: &[Spot], level: i64) -> Option<i64> {
    let (mut above, mut below) = (None, None);
    for (a, b) in sides(ring) {
        let (low, high) = if a.y < b.y { (a, b) } else { (b, a) };
        if low.y <= level && level <= high.y && low.y < high.y {
            let along = i128::from(high.x - low.x) * i128::from(level - low.y);
            let rise = i128::from(high.y - low.y);
            let x = low.x - ((-along).div_euclid(rise)) as i64;
            if level < high.y {
                above = above.max(Some(x));
            }
            if level > low.y {
                below = below.max(Some(x));
            }
        }
    }
    above.min(below)
}

/// The spots round the intersection of two edges; `None` when they do not intersect.
fn crossing(first: &(Spot, Spot), second: &(Spot, Spot)) -> Option<[Spot; 4]> {
    let ((a, b), (c, d)) = (*first, *second);
    if a.y.max(b.y) < c.y.min(d.y) || c.y.max(d.y) < a.y.min(b.y) {
        return None;
    }
    let (along, other) = (b - a, d - c);
    let turn = cross(along, other);
    if turn == 0 {
        return None;
    }
    let (t, u) = (cross(c - a, other), cross(c - a, along));
    let within = |x: i128| if turn > 0 { (0..=turn).contains(&x) } else { (turn..=0).contains(&x) };
    if !(within(t) && within(u)) {
        return None;
    }
    let share = t as f64 / turn as f64;
    let (x, y) = (along.x as f64 * share, along.y as f64 * share);
    let spot = |x: f64, y: f64| a + Spot::new(x as i64, y as i64);
    Some([
        spot(x.floor(), y.floor()),
        spot(x.floor(), y.ceil()),
        spot(x.ceil(), y.floor()),
        spot(x.ceil(), y.ceil()),
    ])
}

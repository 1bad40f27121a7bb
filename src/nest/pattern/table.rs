//! Parts of several kinds on one sheet, kept apart by their no-fit polygons, and where
//! there is room for one more.

use crate::nest::shape::nfp::no_fit;
use crate::nest::shape::orientation::Turn;
use crate::nest::shape::polygon::Ring;
use crate::nest::shape::polygon::Spot;
use crate::nest::shape::polygon::cross;
use crate::nest::shape::polygon::extent;
use crate::nest::shape::polygon::sides;
use crate::nest::shape::polygon::strictly_within;
use std::collections::BTreeMap;

/// A kind of part at the turns that look different.
pub(super) type Turned = Vec<(Turn, Ring)>;

/// A part on the sheet; the sheet has its lower left corner at 0, 0.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Seated {
    pub(super) kind: usize,
    pub(super) turn: usize,
    pub(super) at: Spot,
}

/// The kinds of a job, and where each must not lie beside another.
pub(super) struct Kinds {
    pub(super) turned: Vec<Turned>,
    barred: BTreeMap<[usize; 4], Vec<Ring>>,
}

/// One sheet.
#[derive(Clone, Debug, Default)]
pub(super) struct Table {
    pub(super) seated: Vec<Seated>,
    pub(super) length: i64,
    pub(super) height: i64,
}

impl Kinds {
    /// Kinds, and the no-fit polygons of those that may become neighbours.
    pub(super) fn new(turned: Vec<Turned>) -> Self {
        let mut barred = BTreeMap::new();
        for (a, of_a) in turned.iter().enumerate() {
            for (b, of_b) in turned.iter().enumerate() {
                for (i, first) in of_a.iter().enumerate() {
                    for (j, second) in of_b.iter().enumerate() {
                        let rims = no_fit(&first.1, &second.1).into_iter().map(|p| p.rim);
                        barred.insert([a, i, b, j], rims.collect());
                    }
                }
            }
        }
        Self { turned, barred }
    }

    /// Lower left and upper right corner of a part where it lies.
    pub(super) fn extent(&self, part: &Seated) -> (Spot, Spot) {
        let (low, high) = extent(&self.turned[part.kind][part.turn].1);
        (low + part.at, high + part.at)
    }

    fn barred(&self, a: &Seated, b: &Seated) -> &[Ring] {
        &self.barred[&[a.kind, a.turn, b.kind, b.turn]]
    }

    fn overlap(&self, a: &Seated, b: &Seated) -> bool {
        self.barred(a, b).iter().any(|ring| strictly_within(ring, b.at - a.at))
    }
}

impl Table {
    /// How far it is used.
    pub(super) fn end(&self, kinds: &Kinds) -> i64 {
        self.seated.iter().map(|s| kinds.extent(s).1.x).max().unwrap_or(0)
    }

    /// Puts parts that keep clear of each other behind what lies there, as far left as they
    /// go together, with `from` their left end.
    pub(super) fn push(&mut self, kinds: &Kinds, block: Vec<Seated>) {
        let left = block.iter().map(|s| kinds.extent(s).0.x).min().unwrap_or(0);
        let mut by = -left;
        for part in &block {
            let (low, high) = kinds.extent(part);
            for other in &self.seated {
                let (under, over) = kinds.extent(other);
                if under.y < high.y && low.y < over.y {
                    let rings = kinds.barred(other, part);
                    let level = part.at.y - other.at.y;
                    let far = rings.iter().filter_map(|ring| far_side(ring, level)).max();
                    by = by.max(far.map_or(i64::MIN, |far| other.at.x + far - part.at.x));
                }
            }
        }
        let moved = |s: Seated| Seated { at: s.at + Spot::new(by, 0), ..s };
        self.seated.extend(block.into_iter().map(moved));
    }

    /// The place for a part of a kind that ends furthest left, looked for behind `from`.
    /// `None` when it does not fit before `before`.
    pub(super) fn seat(
        &self,
        kinds: &Kinds,
        kind: usize,
        from: i64,
        before: i64,
    ) -> Option<Seated> {
        let near: Vec<&Seated> =
            self.seated.iter().filter(|s| kinds.extent(s).1.x >= from).collect();
        let found = (0..kinds.turned[kind].len()).filter_map(|turn| {
            let part = Seated { kind, turn, at: Spot::default() };
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
                let part = Seated { at: *at, ..part };
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
            spots.into_iter().find(clear).map(|at| Seated { at, ..part })
        });
        found
            .min_by_key(|part| (kinds.extent(part).1.x, kinds.extent(part).0.x, part.at, part.turn))
    }

    /// Where a part touches two things at once: corners of the room, of no-fit polygons,
    /// and crossings of these with the rims and with one another.
    fn corners(
        &self,
        kinds: &Kinds,
        near: &[&Seated],
        part: Seated,
        least: Spot,
        most: Spot,
    ) -> Vec<Spot> {
        let mut spots = vec![least, Spot::new(least.x, most.y)];
        let mut edges: Vec<(Spot, Spot)> = Vec::new();
        for other in near {
            for ring in kinds.barred(other, &part) {
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
        let rims = [
            (least, Spot::new(far.x, least.y)),
            (Spot::new(least.x, most.y), Spot::new(far.x, most.y)),
            (least, Spot::new(least.x, far.y)),
        ];
        edges.extend(rims);
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

/// The spots round the place where two edges cross; empty when they do not.
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

//! Parts of several kinds on one sheet, kept apart by their no-fit polygons, and where another one
//! fits.

use crate::nest::pattern::contact::contacts;
use crate::nest::pattern::kinds::Kinds;
use crate::nest::pattern::kinds::PlacedShape;
use crate::nest::pattern::near::Near;
use crate::nest::problem::progress::Stop;
use crate::nest::shape::polygon::Spot;
use crate::nest::shape::polygon::sides;

/// One sheet.
#[derive(Clone, Debug, Default)]
pub(super) struct Table {
    pub(super) parts: Vec<PlacedShape>,
    pub(super) length: i64,
    pub(super) height: i64,
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
        // Those that reach furthest first: most of the others are not in the way then.
        let boxed = |s: &PlacedShape| (kinds.extent(s), *s);
        let mut others: Vec<((Spot, Spot), PlacedShape)> = self.parts.iter().map(boxed).collect();
        others.sort_by_key(|((_, over), _)| std::cmp::Reverse(over.x));
        for part in &block {
            let (low, high) = kinds.extent(part);
            for ((under, over), other) in &others {
                if over.x - low.x <= by {
                    break;
                }
                if under.y < high.y && low.y < over.y {
                    let rings = &kinds.forbidden(other, part).rings;
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
    /// does not fit before `before`, or the work must end.
    pub(super) fn place_one(
        &self,
        kinds: &Kinds,
        kind: usize,
        from: i64,
        before: i64,
        stop: &Stop,
    ) -> Option<PlacedShape> {
        let near = Near::new(kinds, &self.parts, from);
        let found = (0..kinds.oriented[kind].len()).filter_map(|orientation| {
            let part = PlacedShape { kind, orientation, at: Spot::default() };
            let (low, high) = kinds.extent(&part);
            let least = Spot::new(from - low.x, -low.y);
            let most = Spot::new(self.length.min(before) - high.x, self.height - high.y);
            if stop.now() || least.x > most.x || least.y > most.y {
                return None;
            }
            let spots = contacts(kinds, &near, part, least, most);
            let at = spots
                .into_iter()
                .find(|at| near.is_clear(kinds, PlacedShape { at: *at, ..part }))?;
            Some(PlacedShape { at, ..part })
        });
        found.min_by_key(|part| {
            (kinds.extent(part).1.x, kinds.extent(part).0.x, part.at, part.orientation)
        })
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

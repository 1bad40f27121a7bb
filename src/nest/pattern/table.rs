//! Parts of several kinds on one sheet, kept apart by their no-fit polygons, and the search for
//! room for another one.

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
        // Those that reach furthest first: most of the others then do not interfere.
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
            let min = Spot::new(from - low.x, -low.y);
            let max = Spot::new(self.length.min(before) - high.x, self.height - high.y);
            if stop.now() || min.x > max.x || min.y > max.y {
                return None;
            }
            let spots = contacts(kinds, &near, part, min, max);
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

/// The maximum x of a ring at a level, rounded up; `None` where it only touches the level.
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::nest::pattern::contact::crossing;
    use crate::nest::shape::orientation::Orientation;
    use crate::nest::shape::polygon::Ring;
    use crate::num::Angle;
    use proptest::prelude::*;

    fn ring(corners: &[(i64, i64)]) -> Ring {
        corners.iter().map(|(x, y)| Spot::new(x * 997, y * 1003)).collect()
    }

    /// A plate, a gusset and a channel, each with its half turn.
    fn kinds() -> Kinds {
        let plate = ring(&[(0, 0), (50, 0), (50, 20), (0, 20)]);
        let gusset = ring(&[(0, 0), (60, 0), (60, 9), (9, 45), (0, 45)]);
        let channel =
            ring(&[(0, 0), (60, 0), (60, 40), (45, 40), (45, 12), (15, 12), (15, 40), (0, 40)]);
        let with_half_turn = |ring: Ring| {
            let turned = ring.iter().map(|s| -*s).collect();
            let orientation = |quarters| Orientation { skew: Angle::ZERO, quarters };
            vec![(orientation(0), ring), (orientation(2), turned)]
        };
        Kinds::new([plate, gusset, channel].map(with_half_turn).into(), &Stop::never())
    }

    /// Every part compared with every other and every edge against every other.
    fn plainly(table: &Table, kinds: &Kinds, kind: usize, from: i64) -> Option<PlacedShape> {
        let near: Vec<&PlacedShape> =
            table.parts.iter().filter(|s| kinds.extent(s).1.x >= from).collect();
        let found = (0..kinds.oriented[kind].len()).filter_map(|orientation| {
            let part = PlacedShape { kind, orientation, at: Spot::default() };
            let (low, high) = kinds.extent(&part);
            let min = Spot::new(from - low.x, -low.y);
            let max = Spot::new(table.length - high.x, table.height - high.y);
            let rings = |other: &&PlacedShape| {
                let moved = |(a, b): (Spot, Spot), by: Spot| (a + by, b + by);
                let rings = &kinds.forbidden(other, &part).rings;
                rings.iter().flat_map(|r| sides(r).map(|e| moved(e, other.at))).collect::<Vec<_>>()
            };
            let mut edges: Vec<(Spot, Spot)> = near.iter().flat_map(rings).collect();
            let mut spots = vec![min, Spot::new(min.x, max.y)];
            spots.extend(edges.iter().map(|(a, _)| *a));
            let far = Spot::new(max.x + 1, max.y + 1);
            edges.push((min, Spot::new(far.x, min.y)));
            edges.push((Spot::new(min.x, max.y), Spot::new(far.x, max.y)));
            edges.push((min, Spot::new(min.x, far.y)));
            edges.sort_unstable_by_key(|(a, b)| a.x.min(b.x));
            for (i, first) in edges.iter().enumerate() {
                for second in &edges[i + 1..] {
                    spots.extend(crossing(first, second).into_iter().flatten());
                }
            }
            spots.sort_unstable();
            let within =
                |s: &Spot| (min.x..=max.x).contains(&s.x) && (min.y..=max.y).contains(&s.y);
            let clear = |at: &Spot| {
                near.iter().all(|other| !kinds.overlap(other, &PlacedShape { at: *at, ..part }))
            };
            let at = spots.into_iter().filter(within).find(clear)?;
            Some(PlacedShape { at, ..part })
        });
        found.min_by_key(|part| {
            (kinds.extent(part).1.x, kinds.extent(part).0.x, part.at, part.orientation)
        })
    }

    proptest! {
        #![proptest_config(ProptestConfig { cases: 12, ..ProptestConfig::default() })]

        /// Candidates skipped in the search for a place never include the best one.
        #[test]
        fn a_part_goes_where_the_plain_way_puts_it(
            order in prop::collection::vec(0..3usize, 8..22),
            back in 60_000..300_000i64,
        ) {
            let kinds = kinds();
            let mut table = Table { parts: Vec::new(), length: 400_000, height: 130_000 };
            let mut placed = 0;
            for kind in order {
                let from = (table.end(&kinds) - back).max(0);
                let found = table.place_one(&kinds, kind, from, i64::MAX, &Stop::never());
                prop_assert_eq!(found, plainly(&table, &kinds, kind, from));
                placed += usize::from(found.is_some());
                table.parts.extend(found);
            }
            prop_assert!(placed >= 8, "{}", placed);
        }
    }
}

//! How far the parts of kits are spread over the sheets.

use crate::nest::problem::item::Item;
use crate::nest::problem::layout::Placed;
use std::collections::BTreeMap;
use std::collections::BTreeSet;

/// How far kits are spread: less is better.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Spread {
    /// Sheets with parts of a kit, beyond the first, over all kits.
    pub(crate) extra: usize,
    /// From the first sheet of a kit to its last, over all kits.
    pub(crate) apart: usize,
}

impl Spread {
    /// The spread of the kits on sheets in this order.
    pub(crate) fn of<'a>(items: &[Item], sheets: impl Iterator<Item = &'a [Placed]>) -> Self {
        let mut on: BTreeMap<usize, BTreeSet<usize>> = BTreeMap::new();
        for (i, placed) in sheets.enumerate() {
            for kit in placed.iter().filter_map(|p| items[p.item].kit) {
                on.entry(kit).or_default().insert(i);
            }
        }
        let mut spread = Self::default();
        for sheets in on.values() {
            spread.extra += sheets.len().saturating_sub(1);
            let ends = sheets.first().zip(sheets.last());
            spread.apart += ends.map_or(0, |(first, last)| last - first);
        }
        spread
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::Place;
    use crate::geom::Point;
    use crate::geom::Region;
    use crate::geom::rectangle;

    #[test]
    fn the_sheets_of_each_kit_are_counted() {
        let plate = Item::new(Region::solid(rectangle(Point::ZERO, 10.0, 10.0, 0.0).unwrap()), 9);
        let of = |kit| Item { kit, ..plate.clone() };
        let items = [of(Some(0)), of(Some(0)), of(Some(1)), of(None)];
        let on = |items: &[usize]| -> Vec<Placed> {
            items.iter().map(|item| Placed { item: *item, place: Place::default() }).collect()
        };
        let spread = |sheets: &[Vec<Placed>]| {
            let Spread { extra, apart } = Spread::of(&items, sheets.iter().map(Vec::as_slice));
            (extra, apart)
        };
        assert_eq!(spread(&[on(&[0, 1, 3]), on(&[2, 3, 2])]), (0, 0));
        assert_eq!(spread(&[on(&[0, 3]), on(&[1, 2]), on(&[2])]), (2, 2));
        assert_eq!(spread(&[on(&[0]), on(&[3]), on(&[1, 2])]), (1, 2));
    }
}

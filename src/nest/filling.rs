//! More pieces where there is room on sheets that are needed anyway.

use crate::nest::Item;
use crate::nest::Layout;
use crate::nest::Rules;
use crate::nest::Sheet;
use crate::nest::Stock;
use crate::nest::audit;
use crate::nest::pack;
use crate::nest::turn::Turn;

/// Adds to each sheet in turn as many fillings as find room, largest first. A layout that
/// leaves over what was asked for stays as it is, and so does a sheet that with its
/// fillings would not keep the rules.
pub(super) fn fill(
    items: &[Item],
    turns: &[Vec<Turn>],
    stock: &[Stock],
    rules: Rules,
    layout: &mut Layout,
) {
    if !layout.unplaced.is_empty() {
        return;
    }
    let mut left: Vec<u32> = items.iter().map(|item| item.fill).collect();
    for sheet in &mut layout.sheets {
        let size = &stock[sheet.stock];
        let taken = sheet.placed.iter().map(|p| items[p.item].region.outer().moved(&p.place));
        let room = Stock {
            keep_outs: size.keep_outs.iter().cloned().chain(taken).collect(),
            count: Some(1),
            ..size.clone()
        };
        // No more than its area holds, so that "as many as find room" stays a small job.
        let most = |item: &Item| (size.region.area() / item.region.area()) as u32;
        let wanted = items.iter().zip(&left);
        let more: Vec<Item> = wanted
            .map(|(item, n)| Item { quantity: (*n).min(most(item)), fill: 0, ..item.clone() })
            .collect();
        if more.iter().all(|item| item.quantity == 0) {
            continue;
        }
        let Some(found) = pack::pack(&more, turns, &[room], rules).patterns.into_iter().next()
        else {
            continue;
        };
        let mut placed = sheet.placed.clone();
        placed.extend(&found.placed);
        if let Ok(survey) = audit::survey(items, size, &rules, &placed) {
            found.placed.iter().for_each(|p| left[p.item] -= 1);
            let (least_gap, least_margin) = (survey.least_gap, survey.least_margin);
            *sheet = Sheet { placed, least_gap, least_margin, ..sheet.clone() };
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::Point;
    use crate::geom::Region;
    use crate::geom::rectangle;
    use crate::nest::nest;
    use crate::nest::unwatched;

    fn plate(width: f64, height: f64, quantity: u32, fill: u32) -> Item {
        let region = Region::solid(rectangle(Point::ZERO, width, height, 0.0).unwrap());
        Item { fill, ..Item::new(region, quantity) }
    }

    fn laid(items: &[Item], units: u64) -> Vec<u32> {
        let rules = Rules { gap: 3.0, margin: 5.0, units, ..Rules::default() };
        let stock = [Stock::whole(400.0, 300.0).unwrap()];
        let layout = nest(items, &stock, rules, &unwatched);
        assert_eq!(audit::audit(items, &stock, rules, &layout), Ok(()));
        assert_eq!(layout.sheets.len(), 1);
        let count = |i| layout.sheets[0].placed.iter().filter(|p| p.item == i).count() as u32;
        (0..items.len()).map(count).collect()
    }

    #[test]
    fn a_sheet_that_is_needed_anyway_is_filled() {
        for units in [0, 2_000] {
            // Rows of three times four plates of 90 by 60 go on 390 by 290.
            let all = laid(&[plate(90.0, 60.0, 2, 1_000)], units);
            assert!(all[0] >= 14, "{all:?}");
            assert_eq!(laid(&[plate(90.0, 60.0, 2, 5)], units), [7]);
        }
    }

    #[test]
    fn what_was_asked_for_comes_before_any_filling() {
        let both = laid(&[plate(180.0, 140.0, 4, 0), plate(40.0, 30.0, 0, 1_000)], 0);
        assert_eq!(both[0], 4);
        assert_eq!(laid(&[plate(90.0, 60.0, 2, 0)], 0), [2]);
    }
}

//! More parts pressed onto sheets than were laid there: put over the others, then driven
//! apart.

use crate::geom::Place;
use crate::nest::overlap::compress::EXPLORER;
use crate::nest::overlap::improve::MOST_KINDS;
use crate::nest::overlap::improve::POSITIONS;
use crate::nest::overlap::improve::SEARCHERS;
use crate::nest::overlap::separate::Parted;
use crate::nest::overlap::separate::separate;
use crate::nest::overlap::setup::Field;
use crate::nest::overlap::setup::Tools;
use crate::nest::problem::item::Item;
use crate::nest::problem::layout::Placed;
use crate::nest::problem::rules::Rules;
use crate::nest::problem::stock::Stock;
use crate::nest::random::Dice;
use crate::nest::shape::mask::GRAZE;
use crate::nest::shape::orientation::Turn;
use crate::nest::task::Task;
use crate::nest::value::candidate::Draft;
use rayon::prelude::*;

/// More parts than these are not pressed together: the tables of a search would be large.
/// Our choice.
const MOST_PARTS: usize = 1000;

/// Whether so many of each item may be pressed together.
pub(crate) fn is_small_enough(counts: &[u32]) -> bool {
    let parts = counts.iter().map(|n| *n as usize).sum::<usize>();
    parts <= MOST_PARTS && counts.iter().filter(|n| **n > 0).count() <= MOST_KINDS
}

/// What came of it: the sheets with all parts, or nothing; and units of work done.
pub(crate) type Squeezed = (Option<Vec<Draft>>, u64);

/// Presses one part of each item named onto the sheets, besides what lies there, with no
/// more than so many units of work. Sheets may come out in which nothing lies any longer;
/// these are left out.
pub(crate) fn squeeze(
    task: &Task,
    tools: &Tools,
    sheets: &[Draft],
    more: &[usize],
    units: u64,
) -> Squeezed {
    let Task { items, turns, stock, rules, .. } = task;
    let mut crowded = sheets.to_vec();
    let lying: Vec<usize> = crowded.iter().map(|sheet| sheet.placed.len()).collect();
    for (i, item) in more.iter().enumerate() {
        let n = crowded.len();
        let any = (0..n).map(|k| (i + k) % n).find_map(|sheet| {
            let dropped =
                dropped(&items[*item], &turns[*item], &stock[crowded[sheet].stock], rules)?;
            Some((sheet, dropped))
        });
        let Some((sheet, place)) = any else { return (None, 0) };
        crowded[sheet].placed.push(Placed { item: *item, place });
    }
    let Some(field) = Field::new(task, tools, &crowded) else { return (None, 0) };
    let mut ground = field.ground();
    ground.hold();
    // What has just been dropped on a sheet to be used first need not stay there.
    let mut first = 0;
    for (sheet, lying) in crowded.iter().zip(lying) {
        (first + lying..first + sheet.placed.len()).for_each(|part| ground.release(part));
        first += sheet.placed.len();
    }
    let until = units.saturating_mul(POSITIONS) / SEARCHERS;
    let searched = (0..SEARCHERS).into_par_iter().map(|i| {
        let (mut ground, mut dice) = (ground.clone(), Dice::new(rules.seed, SEARCHERS + i));
        let parted = separate(&mut ground, &field.items, EXPLORER, until, &mut dice);
        let parts = (parted == Parted::Free).then(|| ground.parts().to_vec());
        (parts, ground.asked)
    });
    let searched: Vec<_> = searched.collect();
    let asked: u64 = searched.iter().map(|s| s.1).sum();
    let found = searched.into_iter().find_map(|(parts, _)| {
        let parts = parts?;
        let drafts = field.drafts(&parts);
        drafts.iter().all(|d| d.keeps(task)).then_some(drafts)
    });
    (found, asked / POSITIONS)
}

/// A part in the middle of a sheet, in the first turn in which it fits there at all.
fn dropped(item: &Item, turns: &[Turn], stock: &Stock, rules: &Rules) -> Option<Place> {
    let room = stock.room(rules.kept_margin())?;
    turns.iter().find_map(|turn| {
        let turned = Place { turn: turn.angle(), ..Place::default() };
        let size = item.region.outer().moved(&turned).bounds();
        let fits = size.width() <= room.width() + GRAZE && size.height() <= room.height() + GRAZE;
        fits.then(|| Place { shift: room.centre() - size.centre(), ..turned })
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::Outline;
    use crate::geom::Point;
    use crate::geom::Region;
    use crate::geom::Vec2;
    use crate::geom::Vertex;
    use crate::geom::rectangle;
    use crate::nest::shape::orientation::turns;
    use crate::nest::task::Masks;
    use crate::nest::value::audit;

    fn plate(width: f64, height: f64) -> Item {
        let middle = Point::new(width / 2.0, height / 2.0);
        Item::new(Region::solid(rectangle(middle, width, height, 0.0).unwrap()), 1)
    }

    fn squeezed(
        items: &[Item],
        stock: &[Stock],
        rules: Rules,
        sheets: &[Draft],
        more: &[usize],
        units: u64,
    ) -> Squeezed {
        let turns = &turns(items, stock, &rules);
        let masks = Masks::default();
        let task = Task { items, turns, stock, rules, masks: &masks };
        let tools = Tools::new(&task, &vec![1; items.len()]).unwrap();
        squeeze(&task, &tools, sheets, more, units)
    }

    /// Two triangles make a rectangle: the first lies in the middle, so it has to move.
    #[test]
    fn parts_move_aside_for_one_more() {
        let corners = [(0.0, 0.0), (100.0, 0.0), (0.0, 80.0)].map(|(x, y)| Vertex::sharp(x, y));
        let items = [Item::new(Region::solid(Outline::new(corners).unwrap()), 2)];
        let rules = Rules { gap: 2.0, margin: 3.0, seed: 1, ..Rules::default() };
        let stock = [Stock::whole(120.0, 94.0).unwrap()];
        let place = Place { shift: Vec2::new(10.0, 7.0), ..Place::default() };
        let sheet = [Draft { stock: 0, placed: vec![Placed { item: 0, place }] }];
        let (found, units) = squeezed(&items, &stock, rules, &sheet, &[0], 100_000);
        let found = found.unwrap();
        assert_eq!((found.len(), found[0].placed.len()), (1, 2));
        audit::survey(&items, &stock[0], &rules, &found[0].placed).unwrap();
        assert!((1..=100_000).contains(&units), "{units}");
    }

    #[test]
    fn what_does_not_go_is_given_up_within_the_budget() {
        let items = [plate(60.0, 60.0), plate(300.0, 10.0)];
        let rules = Rules { gap: 2.0, margin: 3.0, ..Rules::default() };
        let stock = [Stock::whole(100.0, 100.0).unwrap()];
        let place = Place { shift: Vec2::new(3.0, 3.0), ..Place::default() };
        let sheet = [Draft { stock: 0, placed: vec![Placed { item: 0, place }] }];
        let (found, units) = squeezed(&items, &stock, rules, &sheet, &[0], 2_000);
        // The last round over the parts may go beyond it.
        assert!(found.is_none() && units < 2_500, "{units}");
        // What fits the bare sheet in no turn is no work at all.
        let (found, units) = squeezed(&items, &stock, rules, &sheet, &[1], 2_000);
        assert!(found.is_none() && units == 0);
    }
}

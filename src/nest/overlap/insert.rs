//! Insertion: one more part is placed over those of a full sheet, then the overlaps are separated.

use crate::geom::Place;
use crate::nest::overlap::compress::EXPLORATION;
use crate::nest::overlap::improve::MAX_KINDS;
use crate::nest::overlap::improve::POSITIONS;
use crate::nest::overlap::improve::SEARCHERS;
use crate::nest::overlap::separate::Separation;
use crate::nest::overlap::separate::separate;
use crate::nest::overlap::setup::Setup;
use crate::nest::overlap::setup::Tools;
use crate::nest::problem::item::Item;
use crate::nest::problem::layout::Placed;
use crate::nest::problem::rules::Rules;
use crate::nest::problem::stock::Stock;
use crate::nest::random::Rng;
use crate::nest::shape::mask::GRAZE;
use crate::nest::shape::orientation::Orientation;
use crate::nest::task::Task;
use crate::nest::value::candidate::Candidate;
use rayon::prelude::*;

/// Maximum number of parts in an insertion. Our choice: the tables stay small.
const MAX_PARTS: usize = 1000;

/// Whether this number of each item may take part in an insertion.
pub(crate) fn is_small_enough(counts: &[u32]) -> bool {
    let parts = counts.iter().map(|n| *n as usize).sum::<usize>();
    parts <= MAX_PARTS && counts.iter().filter(|n| **n > 0).count() <= MAX_KINDS
}

/// The result: the sheets with all parts, or nothing; and units of work done.
pub(crate) type Inserted = (Option<Vec<Candidate>>, u64);

/// Inserts one part of each item named into the sheets, within a number of units of work. Sheets
/// that become empty are left out.
pub(crate) fn insert(
    task: &Task,
    tools: &Tools,
    sheets: &[Candidate],
    more: &[usize],
    units: u64,
) -> Inserted {
    let Task { items, orientations, stock, rules, .. } = task;
    let mut overfull = sheets.to_vec();
    let present: Vec<usize> = overfull.iter().map(|sheet| sheet.placed.len()).collect();
    for (i, item) in more.iter().enumerate() {
        let n = overfull.len();
        let any = (0..n).map(|k| (i + k) % n).find_map(|sheet| {
            let dropped =
                dropped(&items[*item], &orientations[*item], &stock[overfull[sheet].stock], rules)?;
            Some((sheet, dropped))
        });
        let Some((sheet, place)) = any else { return (None, 0) };
        overfull[sheet].placed.push(Placed { item: *item, place });
    }
    let Some(setup) = Setup::new(task, tools, &overfull) else { return (None, 0) };
    let mut placements = setup.placements();
    placements.hold();
    // An inserted part need not stay on a sheet to be used first.
    let mut first = 0;
    for (sheet, present) in overfull.iter().zip(present) {
        (first + present..first + sheet.placed.len()).for_each(|part| placements.release(part));
        first += sheet.placed.len();
    }
    let until = units.saturating_mul(POSITIONS) / SEARCHERS;
    let searched = (0..SEARCHERS).into_par_iter().map(|i| {
        let (mut placements, mut rng) = (placements.clone(), Rng::new(rules.seed, SEARCHERS + i));
        let separation = separate(&mut placements, &setup.items, EXPLORATION, until, &mut rng);
        let parts = (separation == Separation::Free).then(|| placements.parts().to_vec());
        (parts, placements.asked)
    });
    let searched: Vec<_> = searched.collect();
    let asked: u64 = searched.iter().map(|s| s.1).sum();
    let found = searched.into_iter().find_map(|(parts, _)| {
        let parts = parts?;
        let candidates = setup.candidates(&parts);
        candidates.iter().all(|d| d.keeps(task)).then_some(candidates)
    });
    (found, asked / POSITIONS)
}

/// A part in the centre of a sheet, in the first orientation in which it fits there alone.
fn dropped(
    item: &Item,
    orientations: &[Orientation],
    stock: &Stock,
    rules: &Rules,
) -> Option<Place> {
    let room = stock.room(rules.kept_margin())?;
    orientations.iter().find_map(|orientation| {
        let rotated = Place { rotation: orientation.angle(), ..Place::default() };
        let size = item.region.outer().moved(&rotated).bounds();
        let fits = size.width() <= room.width() + GRAZE && size.height() <= room.height() + GRAZE;
        fits.then(|| Place { shift: room.centre() - size.centre(), ..rotated })
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
    use crate::nest::problem::progress::Stop;
    use crate::nest::shape::orientation::orientations;
    use crate::nest::task::Masks;
    use crate::nest::value::audit;

    fn plate(width: f64, height: f64) -> Item {
        let middle = Point::new(width / 2.0, height / 2.0);
        Item::new(Region::solid(rectangle(middle, width, height, 0.0).unwrap()), 1)
    }

    fn inserted(
        items: &[Item],
        stock: &[Stock],
        rules: Rules,
        sheets: &[Candidate],
        more: &[usize],
        units: u64,
    ) -> Inserted {
        let orientations = &orientations(items, stock, &rules);
        let masks = Masks::default();
        let stop = &Stop::never();
        let task = Task { items, orientations, stock, rules, masks: &masks, stop };
        let tools = Tools::new(&task, &vec![1; items.len()]).unwrap();
        insert(&task, &tools, sheets, more, units)
    }

    /// Two triangles make a rectangle: the first is in the centre, so it has to move.
    #[test]
    fn parts_move_aside_for_one_more() {
        let corners = [(0.0, 0.0), (100.0, 0.0), (0.0, 80.0)].map(|(x, y)| Vertex::sharp(x, y));
        let items = [Item::new(Region::solid(Outline::new(corners).unwrap()), 2)];
        let rules = Rules { gap: 2.0, margin: 3.0, seed: 1, ..Rules::default() };
        let stock = [Stock::whole(120.0, 94.0).unwrap()];
        let place = Place { shift: Vec2::new(10.0, 7.0), ..Place::default() };
        let sheet = [Candidate { stock: 0, placed: vec![Placed { item: 0, place }] }];
        let (found, units) = inserted(&items, &stock, rules, &sheet, &[0], 100_000);
        let found = found.unwrap();
        assert_eq!((found.len(), found[0].placed.len()), (1, 2));
        audit::survey(&items, &stock[0], &rules, &found[0].placed).unwrap();
        assert!((1..=100_000).contains(&units), "{units}");
    }

    #[test]
    fn what_does_not_fit_is_given_up_within_the_budget() {
        let items = [plate(60.0, 60.0), plate(300.0, 10.0)];
        let rules = Rules { gap: 2.0, margin: 3.0, ..Rules::default() };
        let stock = [Stock::whole(100.0, 100.0).unwrap()];
        let place = Place { shift: Vec2::new(3.0, 3.0), ..Place::default() };
        let sheet = [Candidate { stock: 0, placed: vec![Placed { item: 0, place }] }];
        let (found, units) = inserted(&items, &stock, rules, &sheet, &[0], 2_000);
        // The last sweep may exceed the budget.
        assert!(found.is_none() && units < 2_500, "{units}");
        // An item that fits the bare sheet in no orientation costs no work.
        let (found, units) = inserted(&items, &stock, rules, &sheet, &[1], 2_000);
        assert!(found.is_none() && units == 0);
    }
}

//! One nest asked for in two ways is as good either way, and loses nothing.

use platewright::geom::Outline;
use platewright::geom::Place;
use platewright::geom::Point;
use platewright::geom::Region;
use platewright::geom::Vertex;
use platewright::geom::rectangle;
use platewright::nest::Item;
use platewright::nest::Layout;
use platewright::nest::Limits;
use platewright::nest::Orientations;
use platewright::nest::Placed;
use platewright::nest::Progress;
use platewright::nest::Rules;
use platewright::nest::Stock;
use platewright::nest::Why;
use platewright::nest::audit;
use platewright::nest::nest;
use platewright::nest::unwatched;
use platewright::num::Angle;
use proptest::prelude::*;
use std::ops::ControlFlow;
use std::sync::Mutex;
use std::sync::atomic::AtomicU64;
use std::sync::atomic::Ordering;

/// Of two first answers to one job, one may be so much fuller by luck, as a share of the
/// sheets. Our choice, from some hundred jobs.
const LUCK: f64 = 0.15;

const RULES: Rules = Rules {
    gap: 3.0,
    margin: 5.0,
    min_cut_out: 0.0,
    cut_out_gap: 0.0,
    min_remnant: 100.0,
    units: 0,
    stop_at: None,
    extra_metal: None,
    seed: 1,
};

/// Plates, gussets and ells, as a small shop has them.
pub(super) fn item() -> impl Strategy<Value = Item> {
    let turns = prop_oneof![
        Just(Orientations::Free),
        Just(Orientations::Quarters),
        Just(Orientations::Half),
        Just(Orientations::Fixed)
    ];
    let sizes = (25.0..140.0f64, 25.0..110.0f64, 0..3u8);
    (sizes, 1..7u32, turns, any::<bool>()).prop_map(|((w, h, shape), quantity, turns, holed)| {
        let chain = |corners: &[(f64, f64)]| {
            Outline::new(corners.iter().map(|(x, y)| Vertex::sharp(*x, *y))).unwrap()
        };
        let region = match shape {
            0 => Region::solid(rectangle(Point::new(w / 2.0, h / 2.0), w, h, 4.0).unwrap()),
            1 => Region::solid(chain(&[(0.0, 0.0), (w, 0.0), (w, 8.0), (8.0, h), (0.0, h)])),
            _ => {
                let leg = w.min(h) / 3.0;
                Region::solid(chain(&[
                    (0.0, 0.0),
                    (w, 0.0),
                    (w, leg),
                    (leg, leg),
                    (leg, h),
                    (0.0, h),
                ]))
            }
        };
        let hole = rectangle(Point::new(7.0, 7.0), 5.0, 5.0, 0.0).unwrap();
        let region = if holed && shape == 0 { region.pierced(hole).unwrap() } else { region };
        Item { orientations: turns, ..Item::new(region, quantity) }
    })
}

/// The first answer alone, or a search on from it.
fn units() -> impl Strategy<Value = u64> {
    prop_oneof![Just(0), Just(2_000)]
}

/// How many lie, and how full the sheets are; the layout is audited first.
fn judged(items: &[Item], stock: &[Stock], layout: &Layout) -> (usize, f64) {
    assert_eq!(audit(items, stock, RULES, layout), Ok(()));
    let laid = layout.sheets.iter().map(|sheet| sheet.placed.len()).sum();
    (laid, Limits::new(items, stock, RULES).filled(&layout.sheets).gross)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 10, ..ProptestConfig::default() })]

    /// By a half, the same job is seen from the other side, and no less is used of the last
    /// sheet; by a quarter, the sheets are filled from another side of the parts, and only
    /// their number can be compared.
    #[test]
    fn a_job_turned_as_a_whole_is_filled_as_well(
        items in prop::collection::vec(item(), 1..7),
        quarters in 1..4u32,
        units in units(),
    ) {
        let rotation = Angle::from_degrees(90.0 * f64::from(quarters));
        let place = Place { rotation, ..Place::default() };
        let turned: Vec<Item> =
            items.iter().map(|i| Item { region: i.region.moved(&place), ..i.clone() }).collect();
        let (length, width) = (400.0, 300.0);
        let stock = [Stock::whole(length, width).unwrap()];
        let aside = if quarters % 2 == 1 { (width, length) } else { (length, width) };
        let other = [Stock::whole(aside.0, aside.1).unwrap()];
        let rules = Rules { units, ..RULES };
        let layouts = [
            nest(&items, &stock, rules, &unwatched),
            nest(&turned, &other, rules, &unwatched),
        ];
        let (n, full) = judged(&items, &stock, &layouts[0]);
        let (m, other_full) = judged(&turned, &other, &layouts[1]);
        let asked: u32 = items.iter().map(|i| i.quantity).sum();
        prop_assert_eq!((n, m), (asked as usize, asked as usize));
        let sheets = layouts.map(|l| l.sheets.len());
        prop_assert!(sheets[0].abs_diff(sheets[1]) <= 1, "{sheets:?} sheets");
        if quarters == 2 && sheets[0] == sheets[1] {
            prop_assert!((full - other_full).abs() <= LUCK, "{full} {other_full}");
        }
    }

    /// However a piece that may lie at any angle is drawn, it finds its place.
    #[test]
    fn free_parts_may_be_drawn_at_any_angle(
        items in prop::collection::vec(item(), 1..6),
        degrees in prop::collection::vec(-180.0..180.0f64, 6),
        over in any::<bool>(),
    ) {
        let stock = [Stock::whole(600.0, 400.0).unwrap()];
        let free = |i: &Item| Item { orientations: Orientations::Free, ..i.clone() };
        let items: Vec<Item> = items.iter().map(free).collect();
        let turned = items.iter().zip(&degrees).map(|(item, degrees)| {
            let place = Place { mirrored: over, rotation: Angle::from_degrees(*degrees), ..Place::default() };
            Item { region: item.region.moved(&place), ..item.clone() }
        });
        let turned: Vec<Item> = turned.collect();
        let (n, _) = judged(&items, &stock, &nest(&items, &stock, RULES, &unwatched));
        let (m, _) = judged(&turned, &stock, &nest(&turned, &stock, RULES, &unwatched));
        let asked: u32 = items.iter().map(|i| i.quantity).sum();
        prop_assert_eq!((n, m), (asked as usize, asked as usize));
    }

    /// The first answer looks at quarter turns as well, so it is never worse.
    #[test]
    fn to_be_allowed_any_angle_costs_nothing(items in prop::collection::vec(item(), 1..6)) {
        let stock = [Stock::whole(400.0, 300.0).unwrap()];
        let all = |turns: Orientations| -> Vec<Item> {
            items.iter().map(|i| Item { orientations: turns, ..i.clone() }).collect()
        };
        let size = |items: &[Item]| {
            let layout = nest(items, &stock, RULES, &unwatched);
            judged(items, &stock, &layout);
            let end = |p: &Placed| items[p.item].region.moved(&p.place).bounds().max.x;
            let last = layout.sheets.last().unwrap();
            (layout.sheets.len(), last.placed.iter().map(end).fold(0.0, f64::max))
        };
        let (quarters, free) = (size(&all(Orientations::Quarters)), size(&all(Orientations::Free)));
        let shorter = free.0 == quarters.0 && free.1 <= quarters.1 + 1e-9;
        prop_assert!(free.0 < quarters.0 || shorter, "{free:?} {quarters:?}");
    }

    #[test]
    fn the_order_of_the_lines_hardly_matters(
        items in prop::collection::vec(item(), 2..8),
        by in 1..7usize,
        units in units(),
    ) {
        let stock = [Stock::whole(600.0, 400.0).unwrap()];
        let rules = Rules { units, ..RULES };
        let mut other = items.clone();
        other.rotate_left(by % items.len());
        other.reverse();
        let (n, full) = judged(&items, &stock, &nest(&items, &stock, rules, &unwatched));
        let (m, other_full) = judged(&other, &stock, &nest(&other, &stock, rules, &unwatched));
        prop_assert_eq!(n, m);
        prop_assert!((full - other_full).abs() <= LUCK, "{full} {other_full}");
    }

    /// Stopped by the watcher at any call, between the stages or within one: no piece is lost, and
    /// the budget and the number of stages give the same layout again.
    #[test]
    fn what_was_stopped_is_found_again_by_its_stage(
        items in prop::collection::vec(item(), 2..6),
        looks in prop_oneof![0..60u64, 0..2_000u64, 0..100_000u64],
        units in prop_oneof![Just(0u64), Just(3_000), Just(8_000)],
        counted in prop_oneof![Just(None), Just(Some(1))],
    ) {
        let stock = [Stock { count: counted, ..Stock::whole(500.0, 300.0).unwrap() }];
        let rules = Rules { units, ..RULES };
        let stopped = nest(&items, &stock, rules, &after(looks));
        judged(&items, &stock, &stopped);
        let rules = Rules { stop_at: Some(stopped.stages), ..rules };
        let again = nest(&items, &stock, rules, &unwatched);
        prop_assert_eq!(&again, &stopped);
    }
}

/// Ends a nesting at a look.
fn after(looks: u64) -> impl Fn(&Progress) -> ControlFlow<()> + Sync {
    let looked = AtomicU64::new(0);
    move |_| match looked.fetch_add(1, Ordering::Relaxed) {
        n if n >= looks => ControlFlow::Break(()),
        _ => ControlFlow::Continue(()),
    }
}

fn chain(corners: &[(f64, f64)]) -> Region {
    let corners = corners.iter().map(|(x, y)| Vertex::sharp(*x, *y));
    Region::solid(Outline::new(corners).unwrap())
}

/// Many pieces of two kinds, which are nested in patterns, on two sheets.
fn many() -> (Vec<Item>, [Stock; 1]) {
    let gusset = chain(&[(0.0, 0.0), (120.0, 0.0), (120.0, 12.0), (12.0, 90.0), (0.0, 90.0)]);
    let plate = chain(&[(0.0, 0.0), (70.0, 0.0), (70.0, 30.0), (0.0, 30.0)]);
    (vec![Item::new(gusset, 40), Item::new(plate, 24)], [Stock::whole(600.0, 500.0).unwrap()])
}

/// A few pieces of many kinds, which do not, on two sheets.
fn mixed() -> (Vec<Item>, [Stock; 1]) {
    let item = |i: u32| {
        let (w, h) = (60.0 + 7.0 * f64::from(i), 90.0 - 5.0 * f64::from(i));
        let corners = [(0.0, 0.0), (w, 0.0), (w, 12.0), (15.0, h), (0.0, h)];
        Item::new(chain(&corners), 4)
    };
    ((0..8).map(item).collect(), [Stock::whole(400.0, 220.0).unwrap()])
}

/// A fake clock that runs out after so many looks, for looks over the whole of a nesting: whatever
/// it was doing, the layout keeps the rules and every piece is placed, in rows where nothing had
/// been packed yet.
#[test]
fn a_nesting_may_be_stopped_at_any_look() {
    for ((items, stock), pieces, fewest) in [(many(), 64, 3), (mixed(), 32, 6)] {
        let rules = Rules { units: 30_000, ..RULES };
        let looked = AtomicU64::new(0);
        let whole = nest(&items, &stock, rules, &|_| {
            looked.fetch_add(1, Ordering::Relaxed);
            ControlFlow::Continue(())
        });
        let all = looked.into_inner();
        let mut stages = Vec::new();
        let looks = (0..12).map(|i| i * i).chain((1..=16).map(|i| all * i / 17));
        for looks in looks {
            let layout = nest(&items, &stock, rules, &after(looks));
            let (placed, _) = judged(&items, &stock, &layout);
            let left = layout.unplaced.len();
            assert_eq!((placed, left), (pieces, 0), "after {looks} of {all} looks");
            stages.push(layout.stages);
        }
        assert_eq!(stages[0], 0, "nothing was packed at the first look");
        assert!(stages.iter().all(|n| *n <= whole.stages), "{stages:?}");
        stages.sort_unstable();
        stages.dedup();
        assert!(stages.len() >= fewest, "{stages:?} of {}", whole.stages);
    }
}

/// Within each stage there are looks enough: a stage is the longest time between two of them only
/// where it does next to nothing.
#[test]
fn the_work_looks_up_more_often_than_it_ends_a_stage() {
    let (items, stock) = mixed();
    let at = Mutex::new(Vec::new());
    let rules = Rules { units: 40_000, ..RULES };
    let layout = nest(&items, &stock, rules, &|progress| {
        at.lock().unwrap().push(progress.units);
        ControlFlow::Continue(())
    });
    let at = at.into_inner().unwrap();
    assert!(at.len() as u64 > 40 * layout.stages, "{} looks, {} stages", at.len(), layout.stages);
    // One relocation of a part evaluates some hundred positions, ten to the unit of work.
    let of_search = at.iter().filter(|units| **units > 0).count() as u64;
    assert!(of_search * 100 > layout.units, "{of_search} looks, {} units", layout.units);
}

/// Sheets that are no plain rectangles get no rows: what is left is not lost, and said to be not
/// reached.
#[test]
fn what_is_not_reached_is_said_to_be_so() {
    let (items, [sheet]) = many();
    let hole = rectangle(Point::new(300.0, 250.0), 40.0, 40.0, 0.0).unwrap();
    let stock = [Stock { region: sheet.region.clone().pierced(hole).unwrap(), ..sheet }];
    let layout = nest(&items, &stock, RULES, &after(0));
    assert!(layout.sheets.is_empty());
    let left: Vec<(Why, u32)> = layout.unplaced.iter().map(|u| (u.why, u.quantity)).collect();
    assert_eq!(left, [(Why::NotReached, 40), (Why::NotReached, 24)]);
    assert_eq!(audit(&items, &stock, RULES, &layout), Ok(()));
}

/// The rows keep orientations, counts, priorities and the sheets to be used first.
#[test]
fn rows_keep_the_rules_of_every_item() {
    let (mut items, [sheet]) = many();
    items[0].orientations = Orientations::Half;
    items[1].priority = 1;
    let stock = [
        Stock { count: Some(1), ..sheet.clone() },
        Stock { count: Some(1), first: true, ..Stock::whole(400.0, 200.0).unwrap() },
    ];
    let layout = nest(&items, &stock, RULES, &after(0));
    assert_eq!(audit(&items, &stock, RULES, &layout), Ok(()));
    assert_eq!(layout.sheets.iter().map(|s| s.stock).collect::<Vec<_>>(), [1, 0]);
    assert!(layout.sheets[0].placed.iter().all(|p| p.item == 1), "the higher priority comes first");
    assert!(layout.unplaced.iter().all(|u| u.why == Why::NoSheetLeft), "{:?}", layout.unplaced);
    let again = nest(&items, &stock, Rules { stop_at: Some(0), ..RULES }, &unwatched);
    assert_eq!(again, layout);
}

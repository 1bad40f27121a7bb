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
use platewright::nest::Rules;
use platewright::nest::Stock;
use platewright::nest::audit;
use platewright::nest::nest;
use platewright::nest::unwatched;
use platewright::num::Angle;
use proptest::prelude::*;
use std::ops::ControlFlow;
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
    seed: 1,
};

/// Plates, gussets and ells, as a small shop has them.
fn item() -> impl Strategy<Value = Item> {
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
    prop_oneof![Just(0), Just(4_000)]
}

/// How many lie, and how full the sheets are; the layout is audited first.
fn judged(items: &[Item], stock: &[Stock], layout: &Layout) -> (usize, f64) {
    assert_eq!(audit(items, stock, RULES, layout), Ok(()));
    let laid = layout.sheets.iter().map(|sheet| sheet.placed.len()).sum();
    (laid, Limits::new(items, stock, RULES).filled(&layout.sheets).gross)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, ..ProptestConfig::default() })]

    /// By a half, the same job is seen from the other side, and no less is used of the last
    /// sheet; by a quarter, the sheets are filled from another side of the parts, and only
    /// their number can be compared.
    #[test]
    fn a_job_turned_as_a_whole_is_filled_as_well(
        items in prop::collection::vec(item(), 1..7),
        quarters in 1..4u32,
        units in units(),
    ) {
        let turn = Angle::from_degrees(90.0 * f64::from(quarters));
        let place = Place { turn, ..Place::default() };
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
            let place = Place { mirrored: over, turn: Angle::from_degrees(*degrees), ..Place::default() };
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
            let end = |p: &Placed| items[p.item].region.moved(&p.place).bounds().most.x;
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

    /// Stopped by whoever watches, at whatever moment: the budget and the stage it came to
    /// give the same layout again.
    #[test]
    fn what_was_stopped_is_found_again_by_its_stage(
        items in prop::collection::vec(item(), 2..6),
        calls in 0..45u64,
        units in prop_oneof![Just(3_000u64), Just(20_000)],
    ) {
        let stock = [Stock::whole(500.0, 300.0).unwrap()];
        let rules = Rules { units, ..RULES };
        let calls_so_far = AtomicU64::new(0);
        let stopped = nest(&items, &stock, rules, &|_| {
            let calls_so_far = calls_so_far.fetch_add(1, Ordering::Relaxed);
            if calls_so_far >= calls { ControlFlow::Break(()) } else { ControlFlow::Continue(()) }
        });
        let rules = Rules { stop_at: Some(stopped.stages), ..rules };
        let again = nest(&items, &stock, rules, &unwatched);
        prop_assert_eq!(&again, &stopped);
        judged(&items, &stock, &again);
    }
}

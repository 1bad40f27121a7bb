//! Layouts as a whole: they keep the rules, and lose nothing that matters by how a job is
//! written or searched.

use platewright::geom::Disc;
use platewright::geom::Outline;
use platewright::geom::Place;
use platewright::geom::Point;
use platewright::geom::Region;
use platewright::geom::Vertex;
use platewright::geom::belt;
use platewright::geom::disc;
use platewright::geom::rectangle;
use platewright::nest::Item;
use platewright::nest::Layout;
use platewright::nest::Limits;
use platewright::nest::MAX_PARTS;
use platewright::nest::Orientations;
use platewright::nest::Placed;
use platewright::nest::Progress;
use platewright::nest::Rules;
use platewright::nest::Sides;
use platewright::nest::Stock;
use platewright::nest::Unplaced;
use platewright::nest::Why;
use platewright::nest::audit;
use platewright::nest::nest;
use platewright::nest::unwatched;
use platewright::num::Angle;
use proptest::prelude::*;
use std::ops::ControlFlow;

const RULES: Rules = Rules {
    gap: 3.0,
    margin: 5.0,
    min_cut_out: 0.0,
    cut_out_gap: 0.0,
    min_remnant: 100.0,
    units: 0,
    stop_at: None,
    extra_metal: None,
    seed: 0,
};

fn plate(width: f64, height: f64, quantity: u32) -> Item {
    let outline = rectangle(Point::new(10.0, -20.0), width, height, 0.0).unwrap();
    Item::new(Region::solid(outline), quantity)
}

fn round(radius: f64, quantity: u32) -> Item {
    let outline = disc(Point::ZERO, radius).unwrap();
    Item::new(Region::solid(outline), quantity)
}

fn sheet(width: f64, height: f64, count: Option<u32>) -> Stock {
    Stock { count, ..Stock::whole(width, height).unwrap() }
}

fn placed(layout: &Layout) -> usize {
    layout.sheets.iter().map(|s| s.placed.len()).sum()
}

/// A job like a small shop's: L brackets, gussets, base plates with a cut-out, tabs.
fn brackets() -> Vec<Item> {
    let chain = |corners: &[(f64, f64)]| {
        let sharp = corners.iter().map(|(x, y)| Vertex::sharp(*x, *y));
        Region::solid(Outline::new(sharp).unwrap())
    };
    let tee = [
        (0.0, 0.0),
        (90.0, 0.0),
        (90.0, 30.0),
        (60.0, 30.0),
        (60.0, 80.0),
        (30.0, 80.0),
        (30.0, 30.0),
        (0.0, 30.0),
    ];
    let gusset = [(0.0, 0.0), (120.0, 0.0), (120.0, 12.0), (12.0, 90.0), (0.0, 90.0)];
    let cut_out = rectangle(Point::new(10.0, -20.0), 120.0, 62.0, 5.0).unwrap();
    let mut base = plate(180.0, 120.0, 8);
    base.region = base.region.pierced(cut_out).unwrap();
    vec![
        plate(120.0, 80.0, 16),
        Item::new(chain(&gusset), 14),
        base,
        Item::new(chain(&tee), 10),
        plate(40.0, 25.0, 8),
        round(22.0, 4),
    ]
}

#[test]
fn a_mixed_job_fills_its_length_well() {
    let (items, stock) = (brackets(), [sheet(2438.0, 1219.0, None)]);
    let rules = Rules { margin: 0.0, ..RULES };
    let layout = nest(&items, &stock, rules, &unwatched);
    assert_eq!(audit(&items, &stock, rules, &layout), Ok(()));
    assert_eq!((placed(&layout), layout.sheets.len(), &layout.unplaced), (60, 1, &vec![]));
    let placed = &layout.sheets[0].placed;
    let regions: Vec<Region> =
        placed.iter().map(|p| items[p.item].region.moved(&p.place)).collect();
    let used = regions.iter().map(|r| r.bounds().max.x).fold(0.0, f64::max);
    let area: f64 = regions.iter().map(|r| r.outer().area()).sum();
    let density = area / (used * 1219.0);
    assert!(density > 0.75, "{density:.3} over {used:.1} mm");
}

#[test]
fn a_sheet_made_to_measure_fits_its_parts() {
    // 4 by 3 plates with their gaps leave nothing over.
    let items = [plate(100.0, 50.0, 12)];
    let stock = [sheet(4.0 * 100.0 + 3.0 * 3.0 + 10.0, 3.0 * 50.0 + 2.0 * 3.0 + 10.0, None)];
    let layout = nest(&items, &stock, RULES, &unwatched);
    assert_eq!(audit(&items, &stock, RULES, &layout), Ok(()));
    assert_eq!((layout.sheets.len(), placed(&layout)), (1, 12));
    assert!((layout.sheets[0].min_gap.unwrap() - 3.0).abs() < 1e-9);
    assert!((layout.sheets[0].min_margin - 5.0).abs() < 1e-9);
    let alone = nest(&[plate(409.0, 156.0, 1)], &stock, RULES, &unwatched);
    assert_eq!((placed(&alone), alone.sheets[0].min_gap), (1, None));
}

#[test]
fn parts_too_large_or_too_many_are_reported() {
    let items = [plate(300.0, 20.0, 2), plate(150.0, 80.0, 7), plate(20.0, 20.0, 0)];
    let stock = [sheet(200.0, 100.0, Some(2)), sheet(160.0, 90.0, Some(3))];
    let layout = nest(&items, &stock, RULES, &unwatched);
    assert_eq!(audit(&items, &stock, RULES, &layout), Ok(()));
    assert_eq!(layout.sheets.iter().map(|s| s.stock).collect::<Vec<_>>(), [0, 0, 1, 1, 1]);
    let left = |item, quantity, why| Unplaced { item, quantity, why };
    assert_eq!(layout.unplaced, [left(0, 2, Why::TooLarge), left(1, 2, Why::NoSheetLeft)]);
    let none = nest(&items[..1], &[], RULES, &unwatched);
    assert_eq!(none.unplaced, [left(0, 2, Why::NoSheetLeft)]);
}

#[test]
fn grain_keeps_a_blank_lengthwise() {
    let tall = [sheet(100.0, 400.0, None)];
    let mut item = plate(300.0, 60.0, 1);
    for (orientations, fits) in
        [(Orientations::Quarters, 1), (Orientations::Half, 0), (Orientations::Fixed, 0)]
    {
        item.orientations = orientations;
        let layout = nest(&[item.clone()], &tall, RULES, &unwatched);
        assert_eq!(audit(&[item.clone()], &tall, RULES, &layout), Ok(()));
        assert_eq!(placed(&layout), fits, "{orientations:?}");
    }
}

#[test]
fn nonsense_is_reported_and_not_placed() {
    let items = [plate(20.0, 10.0, 3)];
    let nan = f64::NAN;
    let plain = || sheet(100.0, 100.0, None);
    let clamped = |left| Stock { clamps: Sides { left, ..Sides::default() }, ..plain() };
    let bad = [
        (sheet(1e200, 100.0, None), RULES),
        (clamped(nan), RULES),
        (clamped(f64::INFINITY), RULES),
        (clamped(96.0), RULES),
        (plain(), Rules { gap: nan, ..RULES }),
        (plain(), Rules { margin: nan, ..RULES }),
        (plain(), Rules { margin: 60.0, ..RULES }),
    ];
    for (stock, rules) in bad {
        for stock in [&[stock.clone()][..], &[stock.clone(), stock.clone()]] {
            let layout = nest(&items, stock, rules, &unwatched);
            let left = Unplaced { item: 0, quantity: 3, why: Why::TooLarge };
            assert_eq!((layout.sheets.len(), layout.unplaced), (0, vec![left]), "{stock:?}");
        }
    }
}

#[test]
fn huge_and_thin_sheets_and_huge_gaps_stay_cheap() {
    let items = [plate(20.0, 10.0, 4), plate(1e6, 0.5, 1)];
    for (width, height, gap) in
        [(1e8, 1e8, 1.0), (1e8, 20.0, 1.0), (1e7, 1e3, 1e7), (1e7, 1e3, 1e308)]
    {
        let (stock, rules) = ([sheet(width, height, None)], Rules { gap, margin: 0.0, ..RULES });
        let layout = nest(&items, &stock, rules, &unwatched);
        assert_eq!(audit(&items, &stock, rules, &layout), Ok(()), "{width} {height} {gap}");
        assert_eq!(placed(&layout), 5);
    }
}

#[test]
fn many_copies_repeat_a_sheet_and_too_many_are_reported() {
    let items = [plate(90.0, 90.0, u32::MAX), plate(90.0, 90.0, 1)];
    let stock = [sheet(200.0, 200.0, None)];
    let layout = nest(&items, &stock, RULES, &unwatched);
    assert_eq!(layout.sheets.len(), MAX_PARTS as usize / 4);
    let left = |item, quantity, why| Unplaced { item, quantity, why };
    let over = u32::MAX - MAX_PARTS;
    assert_eq!(layout.unplaced, [left(0, over, Why::TooMany), left(1, 1, Why::TooMany)]);
}

/// This far from its own origin, a part's corners are known to a tenth of a micrometre only.
#[test]
fn what_cannot_be_measured_is_not_placed() {
    let corners = [(0.0, 0.0), (64.0, 0.0), (64.0, 64.0), (0.0, 64.0)];
    let far = corners.map(|(x, y)| Vertex::sharp(x + 3.0e12, y));
    let region = Region::solid(Outline::new(far).unwrap());
    let item = Item { orientations: Orientations::Fixed, ..Item::new(region, 3) };
    let (items, stock) = ([item, plate(50.0, 50.0, 2)], [sheet(400.0, 200.0, None)]);
    let rules = Rules { margin: 5.0001, ..RULES };
    let layout = nest(&items, &stock, rules, &unwatched);
    assert_eq!(audit(&items, &stock, rules, &layout), Ok(()));
    let left = Unplaced { item: 0, quantity: 3, why: Why::Unsure };
    assert_eq!((placed(&layout), layout.unplaced), (2, vec![left]));
}

#[test]
fn the_order_of_the_items_loses_nothing() {
    let stock = [sheet(700.0, 400.0, None)];
    let mut items = brackets();
    let forward = nest(&items, &stock, RULES, &unwatched);
    items.reverse();
    let backward = nest(&items, &stock, RULES, &unwatched);
    assert_eq!(audit(&items, &stock, RULES, &backward), Ok(()));
    assert_eq!(placed(&forward), 60);
    assert_eq!(placed(&forward), placed(&backward));
    assert_eq!(forward.sheets.len(), backward.sheets.len());
}

#[test]
fn rotating_the_whole_job_loses_nothing() {
    let quarter = Place { rotation: Angle::QUARTER, ..Place::default() };
    let items = brackets();
    let turned: Vec<Item> =
        items.iter().map(|i| Item { region: i.region.moved(&quarter), ..i.clone() }).collect();
    for (items, stock) in [(items, sheet(700.0, 400.0, None)), (turned, sheet(400.0, 700.0, None))]
    {
        let stock = [stock];
        let layout = nest(&items, &stock, RULES, &unwatched);
        assert_eq!(audit(&items, &stock, RULES, &layout), Ok(()));
        assert_eq!((placed(&layout), layout.unplaced.len()), (60, 0));
    }
}

#[test]
fn the_number_of_threads_changes_nothing() {
    let (items, stock) = (few_brackets(), [sheet(900.0, 300.0, None)]);
    let with = |threads: usize| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
        let rules = Rules { units: 10_000, ..RULES };
        pool.install(|| nest(&items, &stock, rules, &unwatched))
    };
    let one = with(1);
    assert_eq!(one, with(4));
    assert!(one.units > 0 && !one.sheets.is_empty());
}

/// A quarter of the job.
fn few_brackets() -> Vec<Item> {
    let fewer = |item: Item| Item { quantity: item.quantity / 4, ..item };
    brackets().into_iter().map(fewer).collect()
}

/// How far the last sheet is used, in mm.
fn reach(items: &[Item], layout: &Layout) -> f64 {
    let end = |p: &Placed| items[p.item].region.moved(&p.place).bounds().max.x;
    layout.sheets.last().unwrap().placed.iter().map(end).fold(0.0, f64::max)
}

#[test]
fn searching_leaves_a_larger_remnant_than_the_first_answer() {
    let (items, stock) = (few_brackets(), [sheet(900.0, 300.0, None)]);
    let first = nest(&items, &stock, RULES, &unwatched);
    let reports = std::sync::Mutex::new(Vec::new());
    let rules = Rules { units: 60_000, ..RULES };
    let watch = |progress: &Progress| {
        reports.lock().unwrap().push(*progress);
        ControlFlow::Continue(())
    };
    let searched = nest(&items, &stock, rules, &watch);
    assert_eq!(audit(&items, &stock, rules, &searched), Ok(()));
    assert_eq!((placed(&searched), searched.sheets.len()), (placed(&first), 1));
    assert!(reach(&items, &searched) <= reach(&items, &first));
    let limits = Limits::new(&items, &stock, rules);
    let left = |layout: &Layout| {
        let remnant = limits.usage(layout.sheets.last().unwrap()).remnant.unwrap();
        remnant.width() * remnant.height()
    };
    let (before, after) = (left(&first), left(&searched));
    assert!(after > 1.03 * before, "{before:.0} {after:.0}");
    let reports = reports.into_inner().unwrap();
    assert!(reports.windows(2).all(|t| t[0].usage <= t[1].usage && t[0].units <= t[1].units));
    assert!(reports.iter().all(|t| t.usage <= t.max));
    // Stopped at once, before anything is packed, every piece still has its place.
    let stopped = nest(&items, &stock, rules, &|_: &Progress| ControlFlow::Break(()));
    assert_eq!(audit(&items, &stock, rules, &stopped), Ok(()));
    assert_eq!((placed(&stopped), stopped.stages), (placed(&first), 0));
}

#[test]
fn a_part_that_fits_a_cut_out_is_placed_in_it_if_allowed() {
    let frame = rectangle(Point::ZERO, 95.0, 95.0, 0.0).unwrap();
    let cut_out = rectangle(Point::ZERO, 70.0, 70.0, 0.0).unwrap();
    let frame = Item::new(Region::solid(frame).pierced(cut_out).unwrap(), 4);
    let frames = [Item { cut_outs: true, ..frame }, round(25.0, 4)];
    let stock = [sheet(500.0, 210.0, None)];
    let rules = Rules { units: 20_000, ..RULES };
    let layout = nest(&frames, &stock, rules, &unwatched);
    assert_eq!(audit(&frames, &stock, rules, &layout), Ok(()));
    assert_eq!((placed(&layout), layout.sheets.len()), (8, 1));
    // Two frames side by side are 198 mm and their margin.
    assert!(reach(&frames, &layout) < 210.0, "{}", reach(&frames, &layout));
}

#[test]
fn the_search_keeps_the_highest_priority_on_early_sheets() {
    // With their gaps ten squares of 100 mm and eight halves; a sheet has room for eight squares.
    let mut items = [plate(97.0, 97.0, 10), plate(47.0, 97.0, 8)];
    let stock = [sheet(413.0, 213.0, Some(3))];
    let rules = Rules { units: 20_000, ..RULES };
    let layout = nest(&items, &stock, rules, &unwatched);
    assert_eq!(audit(&items, &stock, rules, &layout), Ok(()));
    assert_eq!((placed(&layout), layout.sheets.len()), (18, 2));
    items[1].priority = 1;
    let layout = nest(&items, &stock, rules, &unwatched);
    assert_eq!(audit(&items, &stock, rules, &layout), Ok(()));
    let first = &layout.sheets[0].placed;
    assert_eq!(first.iter().filter(|p| p.item == 1).count(), 8);
}

/// An L-shaped remnant with a hole and a damaged spot: no part comes near them.
#[test]
fn remnants_are_used_first_and_only_where_there_is_metal() {
    let corners =
        [(0.0, 0.0), (400.0, 0.0), (400.0, 90.0), (150.0, 90.0), (150.0, 300.0), (0.0, 300.0)];
    let ell = Outline::new(corners.map(|(x, y)| Vertex::sharp(x, y))).unwrap();
    let ell = Region::solid(ell).pierced(disc(Point::new(60.0, 200.0), 20.0).unwrap()).unwrap();
    let marred = vec![disc(Point::new(300.0, 45.0), 10.0).unwrap()];
    let remnant = Stock { count: Some(1), first: true, keep_outs: marred, ..Stock::new(ell) };
    let stock = [sheet(500.0, 400.0, None), remnant];
    let items = [plate(45.0, 30.0, 30), round(14.0, 12)];
    let layout = nest(&items, &stock, RULES, &unwatched);
    assert_eq!(audit(&items, &stock, RULES, &layout), Ok(()));
    assert_eq!(layout.sheets.iter().map(|s| s.stock).collect::<Vec<_>>(), [1, 0]);
    assert_eq!(placed(&layout), 42);
    assert!(layout.sheets[0].placed.len() > 12, "{}", layout.sheets[0].placed.len());
}

/// The remnant has room for a few parts; two whole sheets follow, and the search looks for room on
/// the first of them.
#[test]
fn the_search_keeps_parts_on_a_remnant_to_be_used_first() {
    let remnant = Stock { first: true, ..sheet(230.0, 120.0, Some(1)) };
    let stock = [sheet(413.0, 213.0, None), remnant];
    let items = [plate(97.0, 77.0, 9), plate(47.0, 67.0, 9), round(24.0, 7)];
    let on_first = |units, seed| {
        let rules = Rules { units, seed, ..RULES };
        let layout = nest(&items, &stock, rules, &unwatched);
        assert_eq!(audit(&items, &stock, rules, &layout), Ok(()));
        assert_eq!(placed(&layout), 25);
        let first = layout.sheets.iter().filter(|s| s.stock == 1).flat_map(|s| &s.placed);
        first.map(|p| items[p.item].region.outer().area()).sum::<f64>()
    };
    let min = on_first(0, 0);
    assert!(min > 0.0);
    for seed in 0..6 {
        let now = on_first(8_000, seed);
        assert!(now >= min - 1e-6, "{now} {min} with seed {seed}");
    }
}

#[test]
fn the_cheapest_sheets_that_do_are_taken() {
    let priced = |width, height, price| Stock { price, ..sheet(width, height, None) };
    let items = [plate(100.0, 50.0, 4)];
    let stock = [priced(1000.0, 500.0, 80.0), priced(250.0, 200.0, 9.0)];
    let layout = nest(&items, &stock, RULES, &unwatched);
    assert_eq!(layout.sheets.iter().map(|s| s.stock).collect::<Vec<_>>(), [1]);
}

#[test]
fn the_highest_priority_is_placed_when_sheets_run_out() {
    let mut items = [plate(90.0, 90.0, 4), plate(80.0, 80.0, 4)];
    items[1].priority = 1;
    let stock = [sheet(200.0, 200.0, Some(1))];
    let layout = nest(&items, &stock, RULES, &unwatched);
    let left = Unplaced { item: 0, quantity: 4, why: Why::NoSheetLeft };
    assert_eq!(layout.unplaced, [left]);
}

fn item() -> impl Strategy<Value = Item> {
    let point = |x, y, radius| Disc { centre: Point::new(x, y), radius };
    let region = prop_oneof![
        (1.0..150.0f64, 1.0..150.0f64).prop_map(|(w, h)| rectangle(
            Point::new(w, -h),
            w,
            h,
            w.min(h) / 5.0
        )),
        (0.5..60.0f64).prop_map(|r| disc(Point::new(-r, 3.0), r)),
        (5.0..90.0f64, 5.0..90.0f64, 0.0..30.0f64).prop_map(move |(x, y, r)| belt(&[
            point(0.0, 0.0, r),
            point(x, 0.0, 1.0),
            point(0.3 * x, y, 4.0)
        ])),
        // Concave, so that one part reaches round another.
        (10.0..120.0f64, 10.0..120.0f64, 0.1..0.9f64).prop_map(|(x, y, t)| Outline::new(
            [(0.0, 0.0), (x, 0.0), (x, t * y), (t * x, t * y), (t * x, y), (0.0, y)]
                .map(|(x, y)| Vertex { at: Point::new(x, y), bulge: 0.0 })
                .map(|v| if v.at.x == v.at.y { v } else { Vertex { bulge: 0.05 * t, ..v } })
        )),
    ];
    let orientations = prop_oneof![
        Just(Orientations::Quarters),
        Just(Orientations::Half),
        Just(Orientations::Fixed)
    ];
    (region, 0..6u32, orientations).prop_filter_map(
        "is an outline",
        |(outline, quantity, orientations)| {
            Some(Item { orientations, ..Item::new(Region::solid(outline.ok()?), quantity) })
        },
    )
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 16, ..ProptestConfig::default() })]
    #[test]
    fn every_layout_searched_passes_the_audit(
        items in prop::collection::vec(item(), 1..5),
        sizes in prop::collection::vec((60.0..400.0f64, 60.0..400.0f64, 0..4u32), 1..3),
        gap in 0.0..6.0f64,
        margin in 0.0..12.0f64,
        seed in 0..9u64,
    ) {
        let stock: Vec<Stock> =
            sizes.iter().map(|(w, h, n)| sheet(*w, *h, (*n > 0).then_some(*n))).collect();
        let rules = Rules { gap, margin, seed, units: 1_500, ..RULES };
        let first = nest(&items, &stock, Rules { units: 0, ..rules }, &unwatched);
        let layout = nest(&items, &stock, rules, &unwatched);
        prop_assert_eq!(audit(&items, &stock, rules, &layout), Ok(()));
        // It may find room for more; with the same parts it takes no more sheets.
        prop_assert!(placed(&layout) >= placed(&first));
        if layout.unplaced == first.unplaced {
            prop_assert!(layout.sheets.len() <= first.sheets.len());
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, ..ProptestConfig::default() })]
    #[test]
    fn every_layout_passes_the_audit(
        items in prop::collection::vec(item(), 1..6),
        sizes in prop::collection::vec((40.0..400.0f64, 40.0..400.0f64, 0..4u32), 1..3),
        gap in 0.0..6.0f64,
        margin in 0.0..12.0f64,
    ) {
        let stock: Vec<Stock> =
            sizes.iter().map(|(w, h, n)| sheet(*w, *h, (*n > 0).then_some(*n))).collect();
        let rules = Rules { gap, margin, ..RULES };
        let layout = nest(&items, &stock, rules, &unwatched);
        prop_assert_eq!(audit(&items, &stock, rules, &layout), Ok(()));
        prop_assert!(layout.unplaced.iter().all(|u| u.why != Why::Unsure));
    }
}

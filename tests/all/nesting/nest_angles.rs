//! Parts that may lie at any angle: what that is good for, and that it is right.

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
use platewright::nest::Rules;
use platewright::nest::Stock;
use platewright::nest::Why;
use platewright::nest::audit;
use platewright::nest::fitting_rotation;
use platewright::nest::nest;
use platewright::nest::unwatched;

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

fn chain(corners: &[(f64, f64)]) -> Region {
    Region::solid(Outline::new(corners.iter().map(|(x, y)| Vertex::sharp(*x, *y))).unwrap())
}

fn plate(width: f64, height: f64, round: f64) -> Region {
    Region::solid(rectangle(Point::new(7.0, -4.0), width, height, round).unwrap())
}

fn item(region: &Region, quantity: u32, turns: Orientations) -> Item {
    Item { orientations: turns, ..Item::new(region.clone(), quantity) }
}

fn laid(items: &[Item], stock: &[Stock], rules: Rules) -> Layout {
    let layout = nest(items, stock, rules, &unwatched);
    assert_eq!(audit(items, stock, rules, &layout), Ok(()));
    layout
}

/// Parts that lie at no quarter turn.
fn askew(layout: &Layout) -> usize {
    let placed = layout.sheets.iter().flat_map(|sheet| &sheet.placed);
    placed.filter(|p| p.place.rotation.degrees() % 90.0 != 0.0).count()
}

#[test]
fn a_bar_fits_a_narrow_sheet_from_corner_to_corner_only() {
    // 450 mm by 300 mm within the margins.
    let stock = [Stock::whole(460.0, 310.0).unwrap()];
    for units in [0, 500] {
        let rules = Rules { units, ..RULES };
        for (length, round) in [(480.0, 0.0), (500.0, 15.0)] {
            let bar = plate(length, 30.0, round);
            let level = [item(&bar, 1, Orientations::Quarters)];
            let left = laid(&level, &stock, rules);
            assert_eq!((left.sheets.len(), left.unplaced[0].why), (0, Why::TooLarge));
            let rotation = fitting_rotation(&level[0], &stock, &rules).unwrap();
            let layout = laid(&[item(&bar, 1, Orientations::Free)], &stock, rules);
            assert_eq!((layout.sheets.len(), layout.unplaced.len(), askew(&layout)), (1, 0, 1));
            // At the angle given it fits, and there may be others.
            let size = bar.moved(&Place { rotation, ..Place::default() }).bounds();
            assert!(size.width() <= 450.0 + 1e-6 && size.height() <= 300.0 + 1e-6, "{rotation}");
        }
        // √(450² + 300²) is 541 mm, but not for a bar that has a width.
        let long = [item(&plate(530.0, 30.0, 0.0), 1, Orientations::Free)];
        assert_eq!(laid(&long, &stock, rules).unplaced[0].why, Why::TooLarge);
        assert_eq!(fitting_rotation(&long[0], &stock, &rules), None);
    }
}

/// Several bars share the sheet with plates that lie as they like.
#[test]
fn the_search_goes_on_from_bars_that_fit_askew_only() {
    let stock = [Stock::whole(460.0, 310.0).unwrap()];
    let items = [
        item(&plate(480.0, 30.0, 6.0), 2, Orientations::Free),
        item(&plate(90.0, 60.0, 6.0), 6, Orientations::Half),
    ];
    let rules = Rules { units: 3_000, ..RULES };
    let layout = laid(&items, &stock, rules);
    assert_eq!(layout.unplaced, []);
    let bars = layout.sheets.iter().flat_map(|s| &s.placed).filter(|p| p.item == 0).count();
    assert_eq!((bars, askew(&layout)), (2, 2));
}

/// Triangles that are rows in one direction only, and plates along the slanting side of a
/// remnant: shares of the sheets, of the last as far as it is used.
#[test]
fn any_angle_fills_sheets_better_than_quarter_turns() {
    let triangle = chain(&[(0.0, 0.0), (130.0, 0.0), (40.0, 80.0)]);
    let corner = chain(&[(0.0, 0.0), (700.0, 0.0), (0.0, 420.0)]);
    for (name, part, quantity, stock, gain) in [
        ("triangles", triangle, 24, Stock::whole(1000.0, 400.0).unwrap(), 0.05),
        ("plates", plate(140.0, 50.0, 4.0), 16, Stock::new(corner), 0.03),
    ] {
        let stock = [stock];
        let rules = Rules { units: 10_000, ..RULES };
        let full = |turns: Orientations| {
            let items = [item(&part, quantity, turns)];
            let layout = laid(&items, &stock, rules);
            assert_eq!(layout.unplaced, []);
            (Limits::new(&items, &stock, rules).filled(&layout.sheets).gross, askew(&layout))
        };
        let ((level, none), (free, some)) =
            (full(Orientations::Quarters), full(Orientations::Free));
        println!("{name}: {level:.4} by quarter turns, {free:.4} at any angle, {some} askew");
        assert_eq!(none, 0);
        assert!(some > 0 && free > level + gain, "{name}: {level:.4} {free:.4}");
    }
}

#[test]
fn the_number_of_threads_changes_nothing() {
    let items = [
        item(&chain(&[(0.0, 0.0), (110.0, 0.0), (55.0, 95.0)]), 5, Orientations::Free),
        Item {
            mirror: true,
            ..item(&chain(&[(0.0, 0.0), (150.0, 0.0), (25.0, 60.0)]), 4, Orientations::Free)
        },
        item(&plate(90.0, 40.0, 5.0), 5, Orientations::Half),
    ];
    let stock = [Stock::whole(500.0, 260.0).unwrap()];
    let with = |threads: usize| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
        pool.install(|| laid(&items, &stock, Rules { units: 4_000, ..RULES }))
    };
    let one = with(1);
    assert!(one.units > 0 && one.unplaced.is_empty());
    assert_eq!(one, with(2));
    assert_eq!(one, with(5));
}

//! How well and how quickly sheets are filled: `cargo bench --bench nest`.
//!
//! Every layout is audited. Density is the area within the rims of the parts, windows
//! counted as metal, over the area of the sheets, the last sheet counted only as far
//! as it is used.

#![expect(clippy::print_stdout, reason = "a bench prints its figures")]
#![expect(clippy::disallowed_methods, reason = "a bench looks at the clock")]
#![expect(clippy::unwrap_used, reason = "a set that is no set ends the bench")]

use platewright::geom::Outline;
use platewright::geom::Point;
use platewright::geom::Region;
use platewright::geom::Vertex;
use platewright::geom::rectangle;
use platewright::nest::Item;
use platewright::nest::Layout;
use platewright::nest::Rules;
use platewright::nest::Stock;
use platewright::nest::audit;
use platewright::nest::nest;
use platewright::nest::unwatched;
use std::time::Instant;

/// 8 ft by 4 ft, with the gap usual for thin plate.
const SHEET: (f64, f64) = (2438.0, 1219.0);
const GAP: f64 = 3.0;

fn main() {
    println!(
        "{:<28} {:>6} {:>6} {:>6} {:>9} {:>8} {:>7}",
        "set", "parts", "left", "sheets", "last, mm", "density", "ms"
    );
    run("brackets, 60 of 6 kinds", &brackets(1));
    run("brackets, 960 of 6 kinds", &brackets(16));
    run("plates, 1,000 of 12 kinds", &kinds(12, 1000));
    run("plates, 1,000 of 1,000 kinds", &kinds(1000, 1000));
    run("tabs, 10,000 of 1 kind", &[item(plate(40.0, 25.0, 6.0), 10_000)]);
    run("gussets, 120 of 1 kind", &[item(gusset(120.0, 90.0), 120)]);
    run("ells, 120 of 1 kind", &[item(ell(120.0, 80.0, 40.0), 120)]);
}

fn run(name: &str, items: &[Item]) {
    let stock = [Stock::whole(SHEET.0, SHEET.1).unwrap()];
    let rules = Rules { gap: GAP, ..Rules::default() };
    let start = Instant::now();
    let layout = nest(items, &stock, rules, &unwatched);
    let ms = start.elapsed().as_millis();
    audit(items, &stock, rules, &layout).unwrap();
    let parts: usize = layout.sheets.iter().map(|s| s.placed.len()).sum();
    let left: u32 = layout.unplaced.iter().map(|u| u.quantity).sum();
    let last = used(items, &layout);
    let whole = layout.sheets.len().saturating_sub(1) as f64 * SHEET.0;
    let area: f64 = layout
        .sheets
        .iter()
        .flat_map(|s| &s.placed)
        .map(|p| items[p.item].region.outer().area())
        .sum();
    let density = 100.0 * area / ((whole + last) * SHEET.1);
    let sheets = layout.sheets.len();
    println!("{name:<28} {parts:>6} {left:>6} {sheets:>6} {last:>9.1} {density:>7.1}% {ms:>7}");
}

/// How far the last sheet is used.
fn used(items: &[Item], layout: &Layout) -> f64 {
    let last = layout.sheets.last().unwrap();
    last.placed
        .iter()
        .map(|p| items[p.item].region.moved(&p.place).bounds().most.x)
        .fold(0.0, f64::max)
}

/// A mixed job of small brackets, `times` over.
fn brackets(times: u32) -> Vec<Item> {
    let window = rectangle(Point::new(90.0, 60.0), 120.0, 62.0, 5.0).unwrap();
    let base = plate(180.0, 120.0, 10.0).pierced(window).unwrap();
    [
        (plate(120.0, 80.0, 8.0), 16),
        (gusset(120.0, 90.0), 14),
        (base, 8),
        (chain(&[(0, 0), (90, 0), (90, 30), (60, 30), (60, 80), (30, 80), (30, 30), (0, 30)]), 10),
        (plate(40.0, 25.0, 6.0), 8),
        (chain(&[(0, 0), (100, 0), (100, 70), (70, 70), (70, 30), (30, 30), (30, 70), (0, 70)]), 4),
    ]
    .map(|(region, n)| item(region, n * times))
    .into()
}

/// Plates, gussets and ells of many sizes.
fn kinds(kinds: u32, parts: u32) -> Vec<Item> {
    (0..kinds)
        .map(|i| {
            let (w, h) = (f64::from(40 + i * 37 % 160), f64::from(30 + i * 53 % 110));
            let region = match i % 3 {
                0 => plate(w, h, 5.0),
                1 => gusset(w, h),
                _ => ell(w, h, w.min(h) / 2.0),
            };
            item(region, parts / kinds + u32::from(i < parts % kinds))
        })
        .collect()
}

fn item(region: Region, quantity: u32) -> Item {
    Item::new(region, quantity)
}

fn plate(width: f64, height: f64, corner: f64) -> Region {
    let centre = Point::new(width / 2.0, height / 2.0);
    Region::solid(rectangle(centre, width, height, corner).unwrap())
}

/// A triangle with its sharp corners cut off.
fn gusset(width: f64, height: f64) -> Region {
    let corners = [(0.0, 0.0), (width, 0.0), (width, 12.0), (12.0, height), (0.0, height)];
    Region::solid(Outline::new(corners.map(|(x, y)| Vertex::sharp(x, y))).unwrap())
}

fn ell(width: f64, height: f64, leg: f64) -> Region {
    let corners =
        [(0.0, 0.0), (width, 0.0), (width, leg), (leg, leg), (leg, height), (0.0, height)];
    Region::solid(Outline::new(corners.map(|(x, y)| Vertex::sharp(x, y))).unwrap())
}

fn chain(corners: &[(i32, i32)]) -> Region {
    let sharp = |(x, y): &(i32, i32)| Vertex::sharp(f64::from(*x), f64::from(*y));
    Region::solid(Outline::new(corners.iter().map(sharp)).unwrap())
}

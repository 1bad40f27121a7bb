//! How long it takes to put bends in order: `cargo bench --bench order`.

#![expect(clippy::unwrap_used, reason = "in a bench a panic is the message")]

#[path = "../all/tree.rs"]
mod tree;

use platewright::bend::Method;
use platewright::diag::Sources;
use platewright::flat;
use platewright::recipe::CornerShape;
use platewright::recipe::Measured;
use platewright::sequence;
use platewright::sequence::Metal;
use platewright::sequence::Task;
use platewright::shop;
use platewright::table::Tables;
use tree::Flange;

fn main() {
    divan::main();
}

fn flange(on: usize, edge: usize, long: f64, angle: f64, up: bool) -> Flange {
    Flange {
        on,
        edge,
        size: [60.0, long],
        aside: 0.0,
        angle,
        radius: 2.0,
        up,
        measured: Measured::Outside,
        corner: CornerShape::Open,
    }
}

/// Six bends up either side of a base; `deep` makes walls that close on themselves.
fn twelve(deep: bool) -> Vec<Flange> {
    let mut flanges = Vec::new();
    for (edge, first) in [(2, 0), (0, 6)] {
        for i in 0..6 {
            let on = if i == 0 { 0 } else { first + i };
            let (edge, angle) = (if i == 0 { edge } else { 1 }, if deep { 85.0 } else { 30.0 });
            flanges.push(flange(on, edge, 40.0, angle, deep || i % 2 == 0));
        }
    }
    flanges
}

fn find(bencher: divan::Bencher, deep: bool) {
    let text = include_str!("../../parts/shop.toml");
    let source = Sources::default().add("shop.toml", text);
    let shop = shop::read(source, text, &Tables::shipped()).unwrap();
    let part = tree::part(1.5, [60.0, 80.0], &twelve(deep), Method::Din6935).unwrap();
    let flat = flat::unfold(&part).unwrap();
    let metal = Metal {
        tensile_strength: 450.0,
        yield_strength: 235.0,
        elastic: 210_000.0,
        springback: None,
    };
    let task = Task { part: &part, flat: &flat, metal, material: "S235", shop: &shop };
    assert_eq!(sequence::find(&task).is_whole(), !deep);
    bencher.bench_local(|| sequence::find(&task));
}

#[divan::bench(sample_count = 3)]
fn twelve_bends_that_can_be_made(bencher: divan::Bencher) {
    find(bencher, false);
}

#[divan::bench(sample_count = 3)]
fn twelve_bends_that_cannot(bencher: divan::Bencher) {
    find(bencher, true);
}

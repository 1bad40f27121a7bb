//! How quickly bent parts are developed, folded and drawn: `cargo bench --bench fold`.
//!
//! A thousand random parts of six bends each that can be cut from one blank; those that
//! cannot are refused on the way and are not counted. As a test, `cargo test --bench fold`,
//! there are ten.

#![expect(clippy::print_stdout, reason = "a bench prints its figures")]
#![expect(clippy::disallowed_methods, reason = "a bench looks at the clock")]
#![expect(clippy::unwrap_used, reason = "a part that is none ends the bench")]

#[path = "../all/random.rs"]
mod random;
#[path = "../all/tree.rs"]
mod tree;

use platewright::flat;
use platewright::fold;
use platewright::fold::Folded;
use platewright::part::Part;
use platewright::solid;
use platewright::view;
use platewright::view::Camera;
use platewright::view::Sight;
use platewright::view::Skin;
use random::Rng;
use std::time::Instant;

/// How many parts, as a bench and as a test.
const PARTS: usize = 1000;
const SHORT_PARTS: usize = 10;

/// Bends of each.
const BENDS: usize = 6;

fn main() {
    // Only `cargo bench` says so.
    let is_bench = std::env::args().any(|argument| argument == "--bench");
    let count = if is_bench { PARTS } else { SHORT_PARTS };
    let mut rng = Rng(31);
    let mut parts: Vec<Part> = Vec::with_capacity(count);
    let mut tried = 0;
    while parts.len() < count {
        let part = random::part(&mut rng, BENDS);
        tried += 1;
        if flat::unfold(&part).is_ok() {
            parts.push(part);
        }
    }
    let start = Instant::now();
    let folded: Vec<_> = parts
        .iter()
        .map(|part| {
            let flat = flat::unfold(part).unwrap();
            fold::fold(part, &flat, &fold::full(part))
        })
        .collect();
    let spent = start.elapsed().as_secs_f64() * 1e3;
    println!("{count} parts of {BENDS} bends ({tried} tried) developed and folded: {spent:.0} ms");
    let start = Instant::now();
    let clashes =
        parts.iter().zip(&folded).filter(|(p, f)| !fold::clashes(p, f).is_empty()).count();
    let spent = start.elapsed().as_secs_f64() * 1e3;
    println!(
        "searched for flanges that run into each other: {spent:.0} ms, {clashes} parts have some"
    );
    pictures(&parts, &folded);
}

/// A picture of each part: its lines without the hidden ones, and its tones.
fn pictures(parts: &[Part], folded: &[Folded]) {
    let start = Instant::now();
    let mut lines = 0;
    for (part, folded) in parts.iter().zip(folded) {
        let flat = flat::unfold(part).unwrap();
        let Ok(solid) = solid::solid(part, &flat, folded) else { continue };
        let skin = Skin::of(&[solid]);
        let sight = Sight::new(&skin, Camera::towards([1.0, -1.0, 1.0]));
        lines += view::see(&sight, &folded.bends, part.thickness).lines.len();
    }
    let each = start.elapsed().as_secs_f64() * 1e3 / parts.len() as f64;
    println!("seen from one side: {each:.2} ms a part, {} lines each", lines / parts.len());
}

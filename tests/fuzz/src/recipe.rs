//! Any text as a recipe: read, resolved by its defaults, built, unfolded, checked and
//! written. It may be refused, but must not panic, hang or fill the memory; and what is
//! written must read back as it was drawn.
//!
//! Bytes alone seldom come upon a whole construct: half of the mutations set one in, or change
//! a number or a line.

#![no_main]

mod grammar;

use grammar::mutated;
use libfuzzer_sys::fuzz_mutator;
use libfuzzer_sys::fuzz_target;
use libfuzzer_sys::fuzzer_mutate;
use platewright::diag::Sources;
use platewright::job;
use platewright::job::Shelf;
use platewright::make;
use platewright::solve;
use platewright::table::Tables;
use std::sync::LazyLock;

static TABLES: LazyLock<Tables> = LazyLock::new(Tables::shipped);

const JOB: &str = r#"
process = "waterjet"
coating = "0.1 mm"

[[sheet]]
name = "S235 4 mm"
material = "S235"
thickness = "4 mm"
stock = []

[[part]]
recipe = "any"
name = "any"
sheet = "S235 4 mm"
"#;

fuzz_target!(|text: &str| {
    let shipped = Shelf::shipped(&TABLES);
    // Recipes may use the shipped ones.
    let recipe = |name: &str| match name {
        "any" => Some(("any.toml".to_owned(), text.to_owned())),
        _ => (shipped.recipe)(name),
    };
    let shelf = Shelf { recipe: &recipe, ..shipped };
    let mut sources = Sources::default();
    let source = sources.add("job.toml", JOB);
    let job = job::read("job", source, JOB, &shelf, &mut sources).expect("the job itself is good");
    match solve::solve(&job, &shelf, &mut sources, &|| {}) {
        Ok((solved, _)) => {
            for part in &solved {
                let area = part.flat.region.area();
                assert!(area.is_finite() && area > 0.0, "{area}");
            }
            make::flats(&job, &solved).expect("what can be solved can be written and read back");
        }
        Err(findings) => {
            assert!(!findings.is_empty());
            for finding in &findings {
                // Drawing reads every span.
                let drawn = sources.draw(finding, false);
                assert!(!drawn.is_empty());
            }
        }
    }
});

fuzz_mutator!(|data: &mut [u8], size: usize, max_size: usize, seed: u32| {
    let text = std::str::from_utf8(&data[..size]).ok();
    match text.and_then(|text| mutated(text, seed)).filter(|new| new.len() <= max_size) {
        Some(new) => {
            data[..new.len()].copy_from_slice(new.as_bytes());
            new.len()
        }
        None => fuzzer_mutate(data, size, max_size),
    }
});

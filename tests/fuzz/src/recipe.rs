//! Any text as a recipe: read, resolved by its defaults, built, unfolded, checked and
//! written. It may be refused, but must not panic, hang or fill the memory; and what is
//! written must read back as it was drawn.

#![no_main]

use libfuzzer_sys::fuzz_target;
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

//! Links and the clevises that hold them: one rod end in one place, and all that follows.

use platewright::diag::Finding;
use platewright::diag::Sources;
use platewright::formula::Value;
use platewright::job;
use platewright::job::Job;
use platewright::job::Made;
use platewright::job::Shelf;
use platewright::job::Solved;
use platewright::recipe::SHIPPED;
use platewright::table::Tables;
use proptest::prelude::*;
use std::fs;
use std::path::Path;

type Solution = (Job, Vec<Solved>, Vec<Finding>);

fn with_shelf<T>(text: &str, run: impl FnOnce(Solution, &Sources) -> T) -> Result<T, Vec<Finding>> {
    let tables = Tables::shipped();
    let parts = Path::new(env!("CARGO_MANIFEST_DIR")).join("parts");
    let recipe = |wanted: &str| {
        let (name, text) = SHIPPED.iter().find(|(name, _)| *name == wanted)?;
        Some((format!("{name}.toml"), (*text).to_owned()))
    };
    let file = |name: &str| {
        let text = fs::read_to_string(parts.join("jobs").join(name)).ok()?;
        Some((name.to_owned(), text))
    };
    let shelf = Shelf {
        file: &file,
        drawing: &|name| fs::read(parts.join(name)).ok(),
        recipe: &recipe,
        names: &Vec::new,
        tables: &tables,
    };
    let mut sources = Sources::default();
    let source = sources.add("job.toml", text);
    let job = job::read("job", source, text, &shelf, &mut sources)?;
    let (solved, found) = job::solve(&job, &shelf, &mut sources, &|| {})?;
    Ok(run((job, solved, found), &sources))
}

fn solve(text: &str) -> Result<Solution, Vec<Finding>> {
    with_shelf(text, |solution, _| solution)
}

fn make(text: &str) -> (Job, Vec<Solved>, Made) {
    let run = |(job, solved, found): Solution, sources: &Sources| {
        let made =
            job::make(&job, &solved, found, sources, &job::Search::none()).expect("it can be made");
        (job, solved, made)
    };
    with_shelf(text, run).expect("it can be solved")
}

fn length(solved: &Solved, name: &str) -> f64 {
    match solved.params.get(name) {
        Some(Value::Quantity(q)) => q.value,
        other => panic!("`{name}` is {other:?}"),
    }
}

const HEAD: &str = r#"
process = "waterjet"

[[sheet]]
name      = "4 mm"
material  = "S235"
thickness = "4 mm"
stock     = [ { size = ["1000 mm", "500 mm"] } ]
"#;

/// A link with a clevis at its first end.
fn link(more: &str, part: &str) -> String {
    format!(
        "{HEAD}\n[[link]]\nname = \"drag-link\"\n{more}\n[[part]]\nrecipe = \"clevis-plates\"\n\
         name = \"ears\"\nsheet = \"4 mm\"\nlink = \"drag-link\"\n{part}"
    )
}

/// The demo's drag link by hand, with the figures of the tables: M10 rod ends 48 mm from the
/// ball to the end of the shank, 29 mm of it threaded, jam nuts of 5 mm, bungs with 25 mm of
/// thread and a shoulder of 3 mm. Engaged by ¾ × 25 = 18.75 mm each stands out by 29.25 mm:
/// tube and bungs 620 − 2 × 29.25 = 561.5 mm, the tube alone 555.5 mm. Screwed out to one
/// diameter, 10 mm: 620 + 2 × 8.75 = 637.5 mm. Screwed in until 29 − 5 = 24 mm are engaged:
/// 620 − 2 × 5.25 = 609.5 mm. One turn of the tube moves 2 × 1.5 mm. Over the heads of 28 mm
/// the longest is 637.5 + 28 = 665.5 mm.
#[test]
fn the_sums_of_a_link_are_those_done_by_hand() {
    let (job, ..) = solve(&link("pins = \"620 mm\"\nrod_end = \"M10\"", "")).unwrap();
    let setting = job.links[0].setting();
    let by_hand = [555.5, 561.5, 609.5, 637.5, 665.5, 3.0];
    let sums = [
        setting.cut,
        setting.welded,
        setting.shortest,
        setting.longest,
        setting.over_all,
        setting.per_turn,
    ];
    for (sum, hand) in sums.iter().zip(by_hand) {
        assert!((sum - hand).abs() < 1e-9, "{sums:?}");
    }
}

#[test]
fn one_word_changes_link_holes_gap_ears_tube_and_hardware() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("parts/jobs/vineyard-cart.toml");
    let before = fs::read_to_string(path).unwrap();
    let after = before.replacen("rod_end  = \"M10\"", "rod_end  = \"M12\"", 1);
    assert_ne!(before, after, "the demo's drag link has M10 rod ends");
    let (old_job, old, old_made) = make(&before);
    let (new_job, new, new_made) = make(&after);
    let rod_ends = |job: &Job| job.links[0].ends.each_ref().map(|e| e.rod_end.name().to_owned());
    assert_eq!(rod_ends(&old_job), ["M10", "M10"]);
    assert_eq!(rod_ends(&new_job), ["M12", "M12"]);
    // Tube and bungs follow the thread; 620 − 2 × (54 − 22.5) − 2 × 3 = 551.
    assert_eq!(
        (old_job.links[0].tube.name(), new_job.links[0].tube.name()),
        ("25 x 2.5", "28 x 2")
    );
    assert!((new_job.links[0].setting().cut - 551.0).abs() < 1e-9);
    let mut ears = 0;
    for (old, new) in old.iter().zip(&new) {
        if !new.name.starts_with("ears-drag-link") {
            assert_eq!(old.flat.region, new.flat.region, "{} has nothing to do with it", new.name);
            continue;
        }
        ears += 1;
        // ISO 273 close 10.5 and 13, and two films; balls 14 and 16, 0.2 of room, two films.
        for (solved, hole, gap) in [(old, 10.66, 14.36), (new, 13.16, 16.36)] {
            assert!((length(solved, "hole") - hole).abs() < 1e-9, "{}", solved.name);
            assert!((length(solved, "gap") - gap).abs() < 1e-9, "{}", solved.name);
            assert!((length(solved, "eye") - 1.5 * hole).abs() < 1e-9, "{}", solved.name);
        }
    }
    assert_eq!(ears, 2);
    // kind, thread, …, parts
    let sizes = |made: &Made, kind: &str| {
        let list = made.files.iter().find(|f| f.name == "hardware.csv").unwrap();
        let mut reader = csv::Reader::from_reader(list.bytes.as_slice());
        let rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
        let of_drag = rows.iter().filter(|r| &r[0] == kind && r[8].contains("drag-link"));
        let mut sizes: Vec<String> = of_drag.map(|row| row[1].to_owned()).collect();
        sizes.dedup();
        sizes
    };
    assert_eq!(
        (sizes(&old_made, "bolt"), sizes(&new_made, "bolt")),
        (vec!["M10".into()], vec!["M12".into()])
    );
    for kind in ["rod end", "bung", "jam nut"] {
        assert_eq!(sizes(&old_made, kind), ["M10x1.5"], "{kind}");
        assert_eq!(sizes(&new_made, kind), ["M12x1.75"], "{kind}");
    }
}

#[test]
fn an_open_spacer_is_the_thinnest_that_swings_enough() {
    let part = "given = { swing = \"9 deg\" }\nopen = { spacer = [\"0 mm\", \"1 mm\", \"2 mm\", \"3 mm\"] }\n";
    let (_, solved, _) = solve(&link("pins = \"620 mm\"\nrod_end = \"M12\"", part)).unwrap();
    let choice = solved[0].choice.as_deref().unwrap();
    let lighter = choice.lighter.as_ref().unwrap();
    assert_eq!(choice.chosen, [("spacer".to_owned(), "2 mm".to_owned())]);
    assert_eq!((lighter.code, lighter.values[0].1.as_str()), ("rod-end-swing", "1 mm"));
}

#[test]
fn each_end_brings_its_own_rod_end_and_spacer() {
    let ends = "pins = \"620 mm\"\nrod_end = [\"M10\", \"3/8\"]\nspacer = [\"0 mm\", \"2 mm\"]\n\
        tube = \"25 x 2.5\"\nbung = [\"M10x1.5\", \"3/8-24\"]";
    let (job, solved, _) = solve(&link(ends, "end = 2")).unwrap();
    assert!((length(&solved[0], "gap") - (12.7 + 4.0 + 0.2)).abs() < 1e-9);
    let [first, second] = &job.links[0].ends;
    assert!((first.pitch() - 1.5).abs() < 1e-9 && (second.pitch() - 25.4 / 24.0).abs() < 1e-9);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, ..ProptestConfig::default() })]

    #[test]
    fn the_gap_that_is_asked_for_grows_by_two_films_and_is_the_same_when_coated(
        film in 0.0..0.4f64, more in 0.0..0.4f64,
    ) {
        let gap = |film: f64| {
            let text = link("pins = \"620 mm\"\nrod_end = \"M10\"", "");
            let (_, solved, _) = solve(&format!("coating = \"{film} mm\"{text}")).unwrap();
            length(&solved[0], "gap")
        };
        let (thin, thick) = (gap(film), gap(film + more));
        prop_assert!(thick >= thin - 1e-9);
        prop_assert!((thin - 2.0 * film - 14.2).abs() < 1e-9);
        prop_assert!((thick - 2.0 * (film + more) - 14.2).abs() < 1e-9);
    }

    #[test]
    fn a_link_grows_by_what_its_pins_are_further_apart(
        pins in 200.0..900.0f64, more in 0.0..900.0f64,
    ) {
        let setting = |pins: f64| {
            let text = link(&format!("pins = \"{pins} mm\"\nrod_end = \"M10\""), "");
            solve(&text).unwrap().0.links[0].setting()
        };
        let (short, long) = (setting(pins), setting(pins + more));
        for (short, long) in [
            (short.cut, long.cut),
            (short.welded, long.welded),
            (short.shortest, long.shortest),
            (short.longest, long.longest),
            (short.over_all, long.over_all),
        ] {
            prop_assert!((long - short - more).abs() < 1e-9);
        }
        prop_assert_eq!(short.per_turn, long.per_turn);
    }
}

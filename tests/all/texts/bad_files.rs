//! Texts that are never typed by hand: huge, deep, random. Each ends quickly, with a finding and
//! without a panic.

#![expect(clippy::disallowed_methods, reason = "how long it takes is what is tested")]

use platewright::bend::Method;
use platewright::diag::Finding;
use platewright::diag::SourceId;
use platewright::diag::Sources;
use platewright::diag::Span;
use platewright::flat;
use platewright::fold;
use platewright::formula::Value;
use platewright::job;
use platewright::job::Shelf;
use platewright::part;
use platewright::recipe;
use platewright::recipe::Surroundings;
use platewright::solve;
use platewright::table::Tables;
use proptest::prelude::*;
use std::fmt::Write;
use std::time::Duration;
use std::time::Instant;

/// A debug build on a busy machine; the release build takes a tenth of it.
const QUICKLY: Duration = Duration::from_secs(20);

fn as_recipe(sources: &mut Sources, text: &str) -> Vec<Finding> {
    let source = sources.add("hostile.toml", text);
    let tables = Tables::shipped();
    let here = Span { source, start: 0, end: 0 };
    let surroundings: Surroundings =
        [("thickness", Value::length(4.0)), ("bend_radius", Value::length(4.0))].into();
    let found = || {
        let recipe = recipe::read("hostile", source, text, &|_| None)?;
        let params = recipe::resolve(&recipe, &[], here, &surroundings, &tables)?;
        for part in part::build(&recipe, &params, &tables, Method::Din6935, "hostile")? {
            flat::unfold(&flat::lighten(fold::cut_tubes(part)?)?)?;
        }
        Ok(Vec::new())
    };
    found().unwrap_or_else(|findings: Vec<Finding>| findings)
}

fn as_job(sources: &mut Sources, source: SourceId, text: &str) -> Vec<Finding> {
    let tables = Tables::shipped();
    let shelf = Shelf::shipped(&tables);
    let mut found = || {
        let job = job::read("hostile", source, text, &shelf, sources)?;
        solve::solve(&job, &shelf, sources, &|| {}).map(|(_, findings)| findings)
    };
    found().unwrap_or_else(|findings| findings)
}

/// The codes found in a text, read as a recipe and as a job, and shown as the terminal does.
fn refused(what: &str, text: &str) -> Vec<&'static str> {
    let start = Instant::now();
    let mut sources = Sources::default();
    let mut found = as_recipe(&mut sources, text);
    let source = sources.add("job.toml", text);
    let as_job = as_job(&mut sources, source, text);
    assert!(!as_job.is_empty(), "{what} is a good job");
    assert!(!found.is_empty(), "{what} is a good recipe");
    found.extend(as_job);
    for finding in found.iter().take(40) {
        sources.draw(finding, false);
    }
    let took = start.elapsed();
    assert!(took < QUICKLY, "{what} took {took:?}");
    found.iter().map(|f| f.code).collect()
}

/// A recipe of one face with these steps and holes.
fn plate(steps: &str, holes: &str) -> String {
    format!("about = \"x\"\n[face.plate]\nblank = [\n{steps}\n]\nholes = [\n{holes}\n]\n")
}

const PLATE: &str = "{ add = \"rectangle\", width = \"900 mm\", height = \"900 mm\" },";

#[test]
fn ten_megabytes_of_brackets_are_refused() {
    for bracket in ["[", "{", "]", "a = [", "a.", "\"", "'''", "(", "=", "\n[", "#", "[[a]]\n"] {
        for megabytes in [1, 10] {
            let text = bracket.repeat((megabytes << 20) / bracket.len());
            refused(&format!("{megabytes} MB of {bracket:?}"), &text);
        }
    }
}

#[test]
fn deep_tables_do_not_exhaust_the_stack() {
    let deep = "a.".repeat(50_000);
    for text in [
        format!("{deep}a = 1"),
        format!("[{deep}a]\nb = 1"),
        format!("x = {}1{}", "{a=".repeat(50_000), "}".repeat(50_000)),
        format!("x = {}1{}", "[".repeat(50_000), "]".repeat(50_000)),
        format!("[[{deep}a]]\nb = 1\n").repeat(20),
    ] {
        refused(&text[..40], &text);
    }
}

#[test]
fn a_hundred_thousand_keys_are_refused() {
    let keys = (0..100_000).fold(String::new(), |mut text, i| {
        let _ = writeln!(text, "key{i} = {i}");
        text
    });
    refused("keys", &keys);
    refused("inputs", &format!("[inputs]\n{keys}"));
    refused("derived", &format!("about = \"x\"\n[derived]\n{keys}"));
    let inputs = keys.replace(" = ", " = { kind = \"length\", about = \"x\", default = ");
    let inputs = inputs.replace('\n', " }\n");
    refused("typed inputs", &format!("about = \"x\"\n[inputs]\n{inputs}"));
}

#[test]
fn huge_lists_are_refused() {
    let corners: String =
        (0..100_000).map(|i| format!("[\"{i} mm\", \"{} mm\"],", i % 7)).collect();
    let polygon = format!("{{ add = \"polygon\", corners = [{corners}] }}");
    assert!(refused("corners", &plate(&polygon, "")).contains(&"blank"));
    let steps = PLATE.repeat(50_000);
    assert!(refused("steps", &plate(&steps, "")).contains(&"blank"));
    let grid = "grid = { columns = 200, rows = 200, pitch = [\"4 mm\", \"4 mm\"] }";
    let holes = format!("{{ name = \"a\", diameter = \"1 mm\", {grid} }},");
    assert!(refused("holes", &plate(PLATE, &holes.repeat(100))).contains(&"too-many"));
    let belt = format!("{{ add = \"belt\", round = [{}] }}", "{ disc = \"1 mm\" },".repeat(50_000));
    assert!(refused("belt", &plate(&belt, "")).contains(&"blank"));
}

#[test]
fn many_faces_and_bends_are_refused() {
    let mut text = plate(PLATE, "");
    for i in 0..2000 {
        let _ = write!(
            text,
            "[face.f{i}]\nblank = [{PLATE}]\n[bend.b{i}]\non = \"plate.top\"\nto = \"f{i}\"\nangle = \"90 deg\"\n"
        );
    }
    refused("bends", &text);
}

/// The longest chains and formulas that are accepted, one after the other, need the most stack.
#[test]
fn long_chains_of_long_formulas_do_not_exhaust_the_stack() {
    for (before, after) in [("", "+ 1 mm".repeat(600)), ("(".repeat(60).as_str(), ")".repeat(60))] {
        for length in [150, 900] {
            let mut text = "about = \"x\"\n[derived]\n".to_owned();
            for i in 0..length {
                let _ = writeln!(text, "n{i} = \"{before}n{}{after}\"", i + 1);
            }
            let _ = writeln!(text, "n{length} = \"1 deg\"");
            let step = "{ add = \"disc\", radius = \"n0\" },";
            text += &plate(step, "").replace("about = \"x\"\n", "");
            let codes = refused("chain", &text);
            assert!(codes.contains(&"formula") || codes.contains(&"formula-loop"), "{codes:?}");
        }
    }
}

#[test]
fn a_job_of_many_mistakes_is_refused() {
    let head = "process = \"waterjet\"\n[[sheet]]\nname = \"s\"\nmaterial = \"S235\"\n\
        thickness = \"4 mm\"\nstock = [ { size = [\"500 mm\", \"400 mm\"] } ]\n";
    let part = |i: usize, recipe: &str| {
        format!("[[part]]\nrecipe = \"{recipe}\"\nname = \"p{i}\"\nsheet = \"s\"\n")
    };
    let unknown: String = (0..20_000).map(|i| part(i, &format!("r{i}"))).collect();
    refused("unknown recipes", &format!("{head}{unknown}"));
    let same: String = (0..20_000).map(|_| part(1, "tab")).collect();
    refused("one name", &format!("{head}{same}"));
    let sheets = format!("{head}{}", head.split_once('\n').unwrap().1.repeat(5000));
    refused("sheets", &sheets);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    #[test]
    fn random_text_is_refused_without_a_panic(text in "\\PC{0,200}") {
        refused("random text", &text);
    }

    /// Pieces of real recipes and jobs in any order are nearly valid.
    #[test]
    fn shuffled_pieces_are_read_or_refused_without_a_panic(
        pieces in prop::collection::vec(prop::sample::select(PIECES.to_vec()), 0..25)
    ) {
        let mut sources = Sources::default();
        let text = pieces.concat();
        let mut found = as_recipe(&mut sources, &text);
        let source = sources.add("job.toml", &text);
        found.extend(as_job(&mut sources, source, &text));
        for finding in &found {
            prop_assert!(!finding.marks.is_empty(), "{finding:?}");
            prop_assert!(finding.help.is_some(), "{finding:?}");
            let drawn = sources.draw(finding, false);
            prop_assert!(drawn.contains(finding.code));
        }
    }
}

const PIECES: &[&str] = &[
    "about = \"x\"\n",
    "[inputs]\n",
    "[derived]\n",
    "[facts]\n",
    "[face.plate]\n",
    "[face.leg]\n",
    "[bend.heel]\n",
    "[[require]]\n",
    "[[part]]\n",
    "[[family]]\n",
    "[[sheet]]\n",
    "blank = [ { add = \"rectangle\", width = \"w\", height = \"40 mm\" } ]\n",
    "blank = [ { add = \"disc\", radius = \"10 mm\" }, { cut = \"disc\", radius = \"w\" } ]\n",
    "holes = [ { name = \"a\", diameter = \"w\" } ]\n",
    "holes = [ { name = \"a\", diameter = \"2 mm\", row = { count = 3, pitch = \"w\" } } ]\n",
    "w = { kind = \"length\", default = \"30 mm\", about = \"across\" }\n",
    "w = \"30 mm\"\n",
    "w = { kind = \"bolt\", about = \"a\" }\n",
    "on = \"plate.top\"\n",
    "to = \"leg\"\n",
    "angle = \"90 deg\"\n",
    "radius = \"w\"\n",
    "that = \"w > 3 mm\"\n",
    "else = \"no\"\n",
    "recipe = \"tab\"\n",
    "name = \"a\"\n",
    "name = \"a-{bolt}\"\n",
    "sheet = \"a\"\n",
    "given = { bolt = \"M8\", reach = \"40 mm\" }\n",
    "each = { bolt = [\"M6\", \"M8\"] }\n",
    "open = { foot = [\"20 mm\", \"30 mm\"] }\n",
    "material = \"S235\"\n",
    "thickness = \"4 mm\"\n",
    "stock = [ { size = [\"500 mm\", \"400 mm\"], count = 1 } ]\n",
    "process = \"laser\"\n",
    "units = \"in\"\n",
    "copies = 2\n",
    "é = \"ß\"\n",
    "\u{feff}",
    "\r\n",
];

//! Every shipped recipe over many values, its flats and sheets measured independently by
//! `tests/outside/check_shapes.py`.
//!
//! The values come from the recipe itself: its defaults, then each input changed alone, numbers
//! down in the one sheet and up in the other, words, and every fifth row of a table, half of them
//! in each sheet. Sets refused by the recipe are left out; the rest must be eight sets at least.
//! Beside them are sets that turn on options that are off by default.

use crate::python;
use platewright::diag::Sources;
use platewright::formula::Value;
use platewright::job;
use platewright::job::Job;
use platewright::job::Shelf;
use platewright::make;
use platewright::make::LeftOut;
use platewright::make::Parts;
use platewright::make::Wanted;
use platewright::num::Angle;
use platewright::place::Search;
use platewright::recipe::SHIPPED;
use platewright::solve;
use platewright::solve::Solved;
use platewright::table::Tables;
use rayon::prelude::*;
use serde_json::json;
use std::fs;
use std::path::Path;

/// Steel in mm, and aluminium in inches, which is bent by another rule.
const SHEETS: [&str; 2] = [
    r#"
units = "mm"
process = "waterjet"
coating = "0.08 mm"
sheet = [ { name = "sheet", material = "S235", thickness = "4 mm", stock = [ { size = ["2000 mm", "1000 mm"] } ] } ]
"#,
    r#"
units = "in"
process = "laser"
gap = "1/4 in"
sheet = [ { name = "sheet", material = "5052-H32", thickness = "11 ga", bend_radius = "5/32 in", stock = [ { size = ["96 in", "48 in"] } ] } ]
"#,
];

/// Options that are off by default.
const MORE: &[(&str, &[&str])] = &[
    (
        "tab",
        &[
            r#"tube = "38 mm""#,
            r#"tube = "60.3 mm", angle = "45 deg""#,
            r#"tube = "38 mm", angle = "70 deg", foot = "24 mm", reach = "1-1/4 in""#,
        ],
    ),
    ("clevis-plates", &[r#"tube = "60.3 mm""#, r#"rod_end = "3/8", spacer = "3 mm""#]),
    (
        "gusset",
        &[
            r#"lightening = "16 mm""#,
            r#"offset = "8 mm", angle = "55 deg""#,
            r#"post = "60.3 mm", post_angle = "75 deg", clip = "0 mm""#,
        ],
    ),
    (
        "end-cap",
        &[
            r#"section = "square", outside = "40 mm", wall = "3 mm", fit = "slip-in", nut = "M8", seat = "round""#,
            r#"section = "rectangular", outside = "80 mm", across = "40 mm", fit = "overlap""#,
        ],
    ),
    (
        "bellcrank",
        &[
            r#"lighten = false, arm_a = "120 mm", angle = "45 deg""#,
            r#"lighten = false, arm_b = "110 mm", angle = "140 deg", pivot = "40 mm""#,
            r#"lighten = false, bolt = "M16", metal = "20 mm", arm_a = "4 in", arm_b = "5 in""#,
            r#"hollow = "20 mm", arm_a = "120 mm", arm_b = "110 mm", angle = "110 deg""#,
        ],
    ),
    ("angle", &[r#"angle = "45 deg", base_holes = 2, width = "80 mm", leg_holes = 0"#]),
];

/// The results of every set in the thinner sheet where it does not change them: heads that do not
/// pass through.
const THIN: &[(&str, &str, &str)] = &[("cover-plate", "bolt", r#"bolt = "M3""#)];

/// The sets of values to try, as the inside of `given = { … }`.
fn sets(name: &str, text: &str, head: &str, tables: &Tables) -> Vec<String> {
    let recipe: toml::Table = text.parse().unwrap();
    let half = usize::from(head == SHEETS[1]);
    let mut sets = vec![String::new()];
    for (input, about) in recipe["inputs"].as_table().unwrap() {
        let kind = about["kind"].as_str().unwrap();
        let default = about.get("default").map(|d| d.as_str().map_or(d.to_string(), str::to_owned));
        let words = match (kind, default) {
            ("length" | "angle" | "ratio" | "force", Some(default)) => {
                vec![format!("{} * ({default})", [0.8, 1.35][half])]
            }
            ("count", Some(default)) => vec![format!("{default} + {}", 1 + half)],
            ("flag", _) => {
                sets.extend(["true", "false"].map(|flag| format!("{input} = {flag}")));
                continue;
            }
            ("choice", _) => {
                let of = about["of"].as_array().unwrap().iter();
                of.map(|word| word.as_str().unwrap().to_owned()).collect()
            }
            ("lengths" | "angles", _) => {
                let values = about["default"].as_array().unwrap();
                let lists = lists(values, [[0.93, 1.004], [0.997, 1.1]][half]);
                sets.extend(lists.map(|list| format!("{input} = {list:?}")));
                continue;
            }
            (table, _) => match tables.table(table) {
                Some(table) => {
                    let rows = table.rows().skip(5 * half).step_by(10);
                    rows.map(|row| row.name().to_owned()).collect()
                }
                None => continue,
            },
        };
        sets.extend(words.iter().map(|word| format!("{input} = {word:?}")));
    }
    let more = MORE.iter().find(|(n, _)| *n == name).map_or(&[][..], |(_, more)| more);
    sets.extend(more.iter().map(|set| (*set).to_owned()));
    let thin = THIN.iter().filter(|(recipe, ..)| *recipe == name && head == SHEETS[1]);
    for (_, input, given) in thin {
        let others = sets.iter_mut().filter(|set| !set.starts_with(&format!("{input} =")));
        others.for_each(|set| *set = [given, set.as_str()].join(", "));
    }
    sets
}

/// A list with all its values changed alike, and with each changed alone.
fn lists(values: &[toml::Value], factors: [f64; 2]) -> impl Iterator<Item = Vec<String>> {
    let list = move |alone: Option<usize>, factor: f64| {
        let value = |(i, value): (usize, &toml::Value)| {
            let factor = if alone.is_none_or(|j| i == j) { factor } else { 1.0 };
            format!("{factor} * ({})", value.as_str().unwrap())
        };
        values.iter().enumerate().map(value).collect()
    };
    let alone = (0..values.len()).map(Some).chain([None]);
    alone.flat_map(move |alone| factors.map(|factor| list(alone, factor)))
}

fn solve(
    text: &str,
    tables: &Tables,
    sources: &mut Sources,
) -> Result<(Job, Vec<Solved>), Vec<String>> {
    let words = |findings: Vec<platewright::diag::Finding>| {
        findings.into_iter().map(|f| f.headline).collect::<Vec<_>>()
    };
    let shelf = Shelf::shipped(tables);
    let source = sources.add("job.toml", text);
    let job = job::read("grid", source, text, &shelf, sources).map_err(words)?;
    let (solved, _) = solve::solve(&job, &shelf, sources, &|| {}).map_err(words)?;
    Ok((job, solved))
}

/// The discs under the belt that a recipe of an eye on a straight foot lays round them.
fn belt(solved: &Solved) -> serde_json::Value {
    let length = |name: &str| match solved.params.get(name) {
        Some(Value::Quantity(q)) => q.value,
        other => panic!("{name}: {other:?}"),
    };
    let (eye, reach, half) = (length("eye"), length("reach"), length("foot") / 2.0);
    json!({
        "discs": [[0.0, reach, eye], [-half, 0.0, 0.0], [half, 0.0, 0.0]],
        "holes": [[0.0, reach, length("hole") / 2.0]],
    })
}

/// The discs that the outline of a bellcrank runs round, where it has no hollow, and its bores;
/// `None` if it is lightened.
fn crank(solved: &Solved) -> Option<serde_json::Value> {
    let number = |name: &str| match solved.params.get(name) {
        Some(Value::Quantity(q)) => q.value,
        other => panic!("{name}: {other:?}"),
    };
    let plain = matches!(solved.params.get("lighten"), Some(Value::Flag(false)));
    if !plain || number("hollow") > 0.0 {
        return None;
    }
    let (a, b, angle) = (number("arm_a"), number("arm_b"), Angle::from_degrees(number("angle")));
    let (pivot, eye, metal) = (number("pivot"), number("eye"), number("metal"));
    let at = [[0.0, 0.0], [a, 0.0], [b * angle.cos(), b * angle.sin()]];
    let round = [pivot / 2.0, eye / 2.0, eye / 2.0];
    let discs: Vec<_> = at.iter().zip(round).map(|(at, r)| [at[0], at[1], r + metal]).collect();
    let bores = [(pivot - 0.5) / 2.0, eye / 2.0, eye / 2.0];
    let holes: Vec<_> = at.iter().zip(bores).map(|(at, r)| [at[0], at[1], r]).collect();
    Some(json!({ "discs": discs, "holes": holes }))
}

fn has_flat_foot(solved: &Solved) -> bool {
    matches!(solved.params.get("tube"), Some(Value::Quantity(q)) if q.value == 0.0)
}

/// Solves all sets of a recipe, writes them into a folder; gives how many there were
/// and how many belts.
fn write(name: &str, text: &str, head: &str, folder: &Path) -> (usize, usize) {
    let tables = Tables::shipped();
    let line = |number: usize, given: &str| {
        format!(
            "\n[[part]]\nrecipe = \"{name}\"\nname = \"{name}-{number}\"\nsheet = \"sheet\"\ngiven = {{ {given} }}\n"
        )
    };
    let sets = sets(name, text, head, &tables);
    let whole = |sets: &[String]| {
        let lines = sets.iter().enumerate().map(|(number, given)| line(number, given));
        lines.fold(head.to_owned(), |text, line| text + &line)
    };
    let mut sources = Sources::default();
    let (count, (mut job, solved)) = match solve(&whole(&sets), &tables, &mut sources) {
        Ok(solved) => (sets.len(), solved),
        // Refused sets are left out, except for the required ones.
        Err(_) => {
            let taken = |given: &String| match solve(
                &whole(std::slice::from_ref(given)),
                &tables,
                &mut Sources::default(),
            ) {
                Ok(_) => true,
                Err(words) => {
                    let must = MORE.iter().any(|(_, more)| more.contains(&given.as_str()));
                    assert!(!must, "{name} refuses {given}: {words:?}");
                    false
                }
            };
            let sets: Vec<String> = sets.into_iter().filter(taken).collect();
            sources = Sources::default();
            (sets.len(), solve(&whole(&sets), &tables, &mut sources).unwrap())
        }
    };
    // Only cut files are measured.
    job.paper = None;
    let undrawn = Wanted::while_still(&|| false);
    let of = Parts { solved: &solved, machine: None, left_out: &LeftOut::default() };
    let nested = make::nest(&job, &solved, Vec::new(), &Search::none()).unwrap();
    let of_parts = make::of_parts(&job, of, &undrawn).unwrap();
    let made = make::laid(&job, of, (nested, of_parts), &sources, &undrawn).unwrap();
    for file in &made.files {
        fs::create_dir_all(folder.join(&file.name).parent().unwrap()).unwrap();
        fs::write(folder.join(&file.name), &file.bytes).unwrap();
    }
    let mut belts = serde_json::Map::new();
    if ["tab", "clevis-plates"].contains(&name) {
        let flat = solved.iter().filter(|s| has_flat_foot(s));
        belts.extend(flat.map(|s| (s.name.clone(), belt(s))));
    }
    if name == "bellcrank" {
        let known = solved.iter().filter_map(|s| Some((s.name.clone(), crank(s)?)));
        belts.extend(known);
        assert!(belts.len() >= 4, "only {} bellcranks are known by their discs", belts.len());
    }
    let found = belts.len();
    fs::write(folder.join("belts.json"), serde_json::Value::Object(belts).to_string()).unwrap();
    (count, found)
}

#[test]
fn other_tools_measure_every_recipe_as_the_report_does() {
    let all: Vec<_> =
        SHIPPED.iter().flat_map(|shipped| SHEETS.map(|head| (shipped, head))).collect();
    let tried = all.into_par_iter().map(|((name, text), head)| {
        let folder = tempfile::tempdir().unwrap();
        let (sets, found) = write(name, text, head, folder.path());
        assert!(sets >= 4, "only {sets} sets of values of {name} could be solved");
        let passed = python::accepted("check_shapes.py", folder.path());
        assert!(passed >= 9 * sets, "only {passed} facts about {sets} flats of {name}");
        println!("{name}: {sets} sets, {found} belts, {passed} facts");
        (*name, sets, found)
    });
    // Workers that wait for the check are separate from those that other tests share.
    let workers = rayon::ThreadPoolBuilder::new().num_threads(2).build().unwrap();
    let done: Vec<(&str, usize, usize)> = workers.install(|| tried.collect());
    for of_both in done.chunk_by(|a, b| a.0 == b.0) {
        let sets: usize = of_both.iter().map(|(_, sets, _)| sets).sum();
        assert!(sets >= 8, "only {sets} sets of values of {} could be solved", of_both[0].0);
    }
    let belts: usize = done.iter().map(|(.., belts)| belts).sum();
    assert!(belts >= 40, "only {belts} belts were held against a hull");
}

#[test]
fn a_wrong_belt_is_refused() {
    let folder = tempfile::tempdir().unwrap();
    let (name, text) = SHIPPED.iter().find(|(name, _)| *name == "tab").unwrap();
    write(name, text, SHEETS[0], folder.path());
    let path = folder.path().join("belts.json");
    let mut belts: serde_json::Value = serde_json::from_slice(&fs::read(&path).unwrap()).unwrap();
    let radius = belts.pointer_mut("/tab-0/discs/0/2").unwrap();
    *radius = json!(radius.as_f64().unwrap() + 0.02);
    fs::write(&path, belts.to_string()).unwrap();
    let (accepted, said) = python::outside("check_shapes.py", folder.path());
    assert!(!accepted && said.contains("from the hull of its discs"), "{said}");
}

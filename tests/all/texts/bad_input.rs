//! Every file in `parts/bad` gives in its own comments the expected finding, on the line to change:
//!
//! ```toml
//! thickness = "4"    # error wrong-unit: a length is needed here
//! ```
//!
//! Where what is to be typed matters, it follows: `# error CODE: WORDS => HELP`, with `⏎` for a
//! new line.
//!
//! The line is that of the first mark that lies in the file; a caution is noted as
//! `# caution CODE: WORDS`. The test fails on a finding nobody wrote down, on a note
//! nobody meets, and on a finding without a remedy.

use platewright::as_built;
use platewright::bend::Method;
use platewright::check;
use platewright::check::Subject;
use platewright::diag::Finding;
use platewright::diag::SourceId;
use platewright::diag::Sources;
use platewright::diag::Span;
use platewright::diag::Weight;
use platewright::fit;
use platewright::flat;
use platewright::fold;
use platewright::formula::Value;
use platewright::job;
use platewright::job::Shelf;
use platewright::make;
use platewright::part;
use platewright::place::Search;
use platewright::quantity::Units;
use platewright::recipe;
use platewright::recipe::Others;
use platewright::recipe::Surroundings;
use platewright::solve;
use platewright::table::Tables;
use std::cell::RefCell;
use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::path::PathBuf;

fn folder(kind: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("parts/bad").join(kind)
}

/// The files of a folder by name, with their text.
pub(super) fn files(kind: &str) -> BTreeMap<String, String> {
    let entries = fs::read_dir(folder(kind)).expect("the folder is there");
    let toml = |entry: &Result<fs::DirEntry, std::io::Error>| {
        entry.as_ref().is_ok_and(|e| e.path().extension().is_some_and(|e| e == "toml"))
    };
    let file = |entry: Result<fs::DirEntry, std::io::Error>| {
        let path = entry.expect("it can be listed").path();
        let name = path.file_stem().expect("it has a name").to_string_lossy().into_owned();
        (name, fs::read_to_string(&path).expect("it is text"))
    };
    entries.filter(toml).map(file).collect()
}

/// An outline file that is shipped with the examples.
fn outline(name: &str) -> Option<Vec<u8>> {
    let parts = Path::new(env!("CARGO_MANIFEST_DIR")).join("parts");
    name.starts_with("outlines/").then(|| fs::read(parts.join(name)).ok()).flatten()
}

/// The recipe with its defaults on 4 mm of S235, the shipped ones and the bad ones beside it, as
/// far as it gets.
pub(super) fn find_in_recipe(
    name: &str,
    source: SourceId,
    text: &str,
    tables: &Tables,
    sources: &mut Sources,
) -> Vec<Finding> {
    let shipped = Shelf::shipped(tables);
    let sources = RefCell::new(sources);
    let other = |other: &str| {
        let own = (other == name).then(|| (format!("{name}.toml"), text.to_owned()));
        let (path, text) = own.or_else(|| (shipped.recipe)(other))?;
        Some((sources.borrow_mut().add(path, &text), text))
    };
    let others = Others::new(&other, shipped.names);
    let here = Span { source, start: 0, end: text.find('\n').unwrap_or(text.len()) };
    let row = |table: &str, name: &str| tables.row(table, name).expect("it is shipped").clone();
    let surroundings: Surroundings = [
        ("thickness", Value::length(4.0)),
        ("material", Value::Row(row("material", "S235"))),
        ("bend_radius", Value::length(4.0)),
        ("kerf", Value::length(1.0)),
        ("coating", Value::length(0.0)),
        ("part_thickness", Value::length(4.0)),
        ("min_web", Value::length(4.0)),
    ]
    .into();
    let found = || {
        let recipe = recipe::read_among(name, source, text, &outline, &others)?;
        let params = recipe::resolve(&recipe, &[], here, &surroundings, tables)?;
        let mut findings = Vec::new();
        for part in part::build(&recipe, &params, tables, Method::Din6935, name)? {
            let part = flat::lighten(fold::cut_tubes(part)?)?;
            let flat = flat::unfold(&part)?;
            let shop =
                fit::Shop { tables, coating: 0.0, films: None, process: "waterjet", cut: None };
            findings.extend(check::all(&Subject {
                name,
                folded: &fold::fold(&part, &flat, &fold::full(&part)),
                clevis: fit::clevis(&part, &shop, &[]).as_ref(),
                nut: fit::nut(&part, tables).as_ref(),
                loads: &[],
                verdicts: &[],
                recipe: &recipe,
                params: &params,
                part: &part,
                flat: &flat,
                material: &row("material", "S235"),
                process: &row("process", "waterjet"),
                tables,
                here,
                units: Units::Millimetre,
                shop: None,
                limits: &check::Limits::default(),
                near: &[],
                tail: &[],
            }));
        }
        Ok(findings)
    };
    found().unwrap_or_else(|findings: Vec<Finding>| findings)
}

/// The job with the shipped recipes and the bad ones beside them, as far as it gets.
pub(super) fn find_in_job(
    name: &str,
    source: SourceId,
    text: &str,
    sources: &mut Sources,
) -> Vec<Finding> {
    let tables = Tables::shipped();
    let own = files("recipes");
    let shipped = Shelf::shipped(&tables);
    let recipe = |name: &str| match own.get(name) {
        Some(text) => Some((format!("{name}.toml"), text.clone())),
        None => (shipped.recipe)(name),
    };
    let table = |name: &str| {
        let text = fs::read_to_string(folder("jobs").join(name)).ok()?;
        Some((name.to_owned(), text))
    };
    let shelf = Shelf { file: &table, recipe: &recipe, ..shipped };
    let mut found = || {
        let job = job::read(name, source, text, &shelf, sources)?;
        let (solved, mut found) = solve::solve(&job, &shelf, sources, &|| {})?;
        found.extend(as_built::found(&job, &solved)?.into_iter().flat_map(|f| f.findings));
        make::make(&job, &solved, found, sources, &Search::none()).map(|made| made.findings)
    };
    found().unwrap_or_else(|findings| findings)
}

/// `(line, weight, code, words)` of every note in a text.
fn notes(text: &str) -> Vec<(usize, Weight, String, String)> {
    let note = |(i, line): (usize, &str)| {
        let (weight, rest) = match line.split_once("# error ") {
            Some((_, rest)) => (Weight::Stop, rest),
            None => (Weight::Caution, line.split_once("# caution ")?.1),
        };
        let (code, words) = rest.split_once(": ")?;
        Some((i + 1, weight, code.to_owned(), words.trim().to_owned()))
    };
    text.lines().enumerate().filter_map(note).collect()
}

/// What speaks against a file: findings and notes that do not meet.
fn faults(source: SourceId, sources: &Sources, found: &[Finding]) -> Vec<String> {
    let mut open = notes(sources.text(source));
    let mut faults = Vec::new();
    if open.is_empty() {
        faults.push("the file notes nothing".to_owned());
    }
    for finding in found {
        let mark = finding.marks.iter().find(|m| m.span.source == source);
        let line = mark.map_or(0, |m| sources.line_and_column(m.span).0);
        let meets = open.iter().position(|(at, weight, code, words)| {
            let same = (*at, *weight, code.as_str()) == (line, finding.weight, finding.code);
            let (headline, help) = words.split_once(" => ").unwrap_or((words, ""));
            let said = finding.help.as_deref().unwrap_or_default().replace('\n', "⏎");
            same && finding.headline.contains(headline) && said.contains(help)
        });
        match meets {
            Some(i) => drop(open.remove(i)),
            None => faults.push(format!("no note on line {line} expects this")),
        }
        if finding.help.as_deref().is_none_or(str::is_empty) {
            faults.push(format!("`{}` offers no help", finding.code));
        }
        if finding.notes.iter().any(String::is_empty) {
            faults.push(format!("`{}` has an empty note", finding.code));
        }
    }
    let unmet = open.iter().map(|(line, _, code, words)| {
        format!("line {line}: nothing was found of the note `{code}: {words}`")
    });
    faults.extend(unmet);
    faults
}

fn judge(kind: &str, find: impl Fn(&str, SourceId, &str, &mut Sources) -> Vec<Finding>) -> usize {
    let files = files(kind);
    let mut report = String::new();
    for (name, text) in &files {
        let mut sources = Sources::default();
        let source = sources.add(format!("parts/bad/{kind}/{name}.toml"), text);
        let found = find(name, source, text, &mut sources);
        let faults = faults(source, &sources, &found);
        if !faults.is_empty() {
            let drawn: Vec<String> = found.iter().map(|f| sources.draw(f, false)).collect();
            report += &format!("--- {kind}/{name}: {}\n{}\n", faults.join("; "), drawn.join("\n"));
        }
    }
    assert!(report.is_empty(), "\n{report}");
    files.len()
}

#[test]
fn each_bad_recipe_is_refused_for_the_reason_it_states() {
    let tables = Tables::shipped();
    let seen = judge("recipes", |name, source, text, sources| {
        find_in_recipe(name, source, text, &tables, sources)
    });
    assert!(seen >= 60, "only {seen} files");
}

#[test]
fn each_bad_job_is_refused_for_the_reason_it_states() {
    let seen = judge("jobs", find_in_job);
    assert!(seen >= 40, "only {seen} files");
}

/// Every bad job once more in inches: whatever is found, nothing but what was or is to be typed
/// speaks of millimetres.
#[test]
fn a_job_in_inches_is_told_in_inches() {
    let mut told = 0;
    let mut metric = String::new();
    for (name, text) in files("jobs").iter().filter(|(_, text)| !text.contains("\nunits")) {
        let text = format!("units = \"in\"\n{text}");
        let mut sources = Sources::default();
        let source = sources.add(format!("{name}.toml"), &text);
        for finding in find_in_job(name, source, &text, &mut sources) {
            let labels = finding.marks.iter().map(|mark| &mark.label);
            let words = [&finding.headline].into_iter().chain(&finding.notes);
            for words in words.chain(&finding.help).chain(labels) {
                let outside: String = words.split('`').step_by(2).collect();
                told += usize::from(outside.contains(" in"));
                let is_metric =
                    outside.match_indices(" mm").any(|(at, _)| is_converted(&outside[..at]));
                if is_metric || shares_a_unit(&outside) {
                    metric += &format!("{name}: {}: {words}\n", finding.code);
                }
            }
        }
    }
    assert!(metric.is_empty(), "\n{metric}");
    assert!(told > 150, "only {told} texts with a length");
}

/// Whether words before a unit end with a length that is converted: the V of a tool stays in the unit
/// it is made in.
fn is_converted(words: &str) -> bool {
    let rest = words.trim_end_matches(|c: char| c.is_ascii_digit() || c == '.');
    rest.len() < words.len() && !["V ", "V of ", "V of about "].iter().any(|of| rest.ends_with(of))
}

/// Of two lengths in a row with one unit behind them, only the second would be converted.
fn shares_a_unit(words: &str) -> bool {
    let number = |c: char| c.is_ascii_digit() || "./-".contains(c);
    let after = |rest: &str| {
        let unit = rest.trim_start_matches(number);
        unit.len() < rest.len()
            && unit.strip_prefix(" in").is_some_and(|s| !s.starts_with(char::is_alphabetic))
    };
    [" to ", " and ", " or "].iter().any(|between| {
        words.match_indices(between).any(|(at, _)| {
            words[..at].ends_with(|c: char| c.is_ascii_digit())
                && after(&words[at + between.len()..])
        })
    })
}

#[test]
fn two_lengths_with_one_unit_are_seen() {
    assert!(shares_a_unit("from 3 to 1/8 in") && shares_a_unit("25.4 and 1-1/2 in wide"));
    assert!(!shares_a_unit("from 1/16 in to 1/8 in, 2 × 1/2 in"));
    assert!(!shares_a_unit("bends 1 and 2 inside"));
}

#[test]
fn a_note_is_met_by_its_own_finding_only() {
    let mut sources = Sources::default();
    let text = "a = 1    # error x: no good\nb = 2    # caution y: look\n";
    let source = sources.add("x.toml", text);
    let at = |start: usize| Span { source, start, end: start + 1 };
    let good = Finding::stop("x", "this is no good").at(at(0), "").help("h");
    let look = Finding::caution("y", "look here").at(at(text.len() / 2 + 3), "").help("h");
    let of = |found: &[Finding]| faults(source, &sources, found).len();
    assert_eq!(of(&[good.clone(), look.clone()]), 0);
    assert_eq!(of(std::slice::from_ref(&good)), 1, "a note nobody meets");
    assert_eq!(of(&[good.clone(), look.clone(), look.clone()]), 1, "a finding nobody wrote down");
    let elsewhere = Finding { marks: look.marks.clone(), ..good.clone() };
    assert_eq!(of(&[elsewhere, look.clone()]), 2, "another line");
    let helpless = Finding { help: None, ..good };
    assert_eq!(of(&[helpless, look]), 1, "no remedy");
}

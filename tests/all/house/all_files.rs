//! A file that the program of all tests does not name is never compiled, and its tests
//! never run: nothing else would say so.

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

/// Names of the entries of a folder, with whether each is a folder.
fn entries(folder: &Path) -> Vec<(String, bool)> {
    let entries = fs::read_dir(folder).unwrap().map(Result::unwrap);
    entries
        .map(|e| (e.file_name().into_string().unwrap(), e.file_type().unwrap().is_dir()))
        .collect()
}

/// The files that a program's root names, `folder/file` for those of an inline module.
fn named(root: &str) -> BTreeSet<String> {
    let mut folder = "";
    let mut named = BTreeSet::new();
    for line in root.lines() {
        if let Some(name) = line.strip_prefix("mod ").and_then(|l| l.strip_suffix(" {")) {
            folder = name;
        } else if line == "}" {
            folder = "";
        } else if let Some(name) = line.trim().strip_prefix("mod ") {
            let name = name.strip_suffix(';').unwrap();
            named.insert(if folder.is_empty() { name.into() } else { format!("{folder}/{name}") });
        }
    }
    named
}

#[test]
fn no_file_of_tests_is_left_out() {
    let tests = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests");
    let all = tests.join("all");
    let mut there = BTreeSet::new();
    let source = |name: &str| name.strip_suffix(".rs").map(str::to_owned);
    for (name, is_folder) in entries(&all) {
        if is_folder {
            let files = entries(&all.join(&name)).into_iter().map(|(file, is_folder)| {
                assert!(!is_folder, "tests/all/{name}/{file}: folders are one deep");
                format!("{name}/{}", source(&file).unwrap())
            });
            there.extend(files);
        } else {
            there.extend(source(&name).filter(|name| name != "main"));
        }
    }
    assert!(there.len() > 40, "only {} files: is this the whole of tests/all?", there.len());
    assert_eq!(named(&fs::read_to_string(all.join("main.rs")).unwrap()), there);
    for (name, is_folder) in entries(&tests) {
        let own = !is_folder && name.ends_with(".rs");
        assert!(!own, "tests/{name} would be linked alone: put it into tests/all");
    }
}

#[test]
fn a_file_that_is_not_named_is_seen() {
    let root = "mod tree;\n\nmod house {\n    mod docs;\n}\nmod last;\n";
    assert_eq!(named(root), ["house/docs", "last", "tree"].map(str::to_owned).into());
}

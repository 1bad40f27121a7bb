//! `platewright licences` names everything in the program, and what may not go into it is
//! refused when it is built.

#[path = "../../../src/build/licences.rs"]
mod gathering;

use serde_json::Value;
use serde_json::json;
use std::fs;
use std::path::Path;
use std::process::Command;
use tempfile::TempDir;

const MIT: &str = "MIT License\n\nCopyright (c) Someone\n\nPermission is hereby granted, free of charge,\nto any \
    person obtaining a copy of this software …\nThe above copyright notice and this permission\nnotice …";
const LLVM: &str = "Apache License\nVersion 2.0, January 2004\n2. Grant of Copyright License.\n\
    ---- LLVM Exceptions to the Apache 2.0 License ----";

fn printed() -> String {
    gathering::answer(Command::new(env!("CARGO_BIN_EXE_platewright")).arg("licences")).unwrap()
}

/// Every crate that Cargo compiles into the program, `name version`.
fn compiled() -> Vec<String> {
    let mut tree = Command::new(env!("CARGO"));
    tree.args(["tree", "--locked", "--offline", "-e", "normal", "--prefix", "none", "-f", "{p}"]);
    tree.current_dir(env!("CARGO_MANIFEST_DIR"));
    let tree = gathering::answer(&mut tree).unwrap();
    let name = |line: &str| {
        let mut words = line.split(' ');
        let name = words.next().unwrap();
        format!("{name} {}", words.next().unwrap().trim_start_matches('v'))
    };
    tree.lines().skip(1).filter(|line| !line.is_empty()).map(name).collect()
}

#[test]
fn every_crate_in_the_program_is_named_with_a_text() {
    let printed = printed();
    let compiled = compiled();
    assert!(compiled.len() > 100, "only {} crates", compiled.len());
    let owners: Vec<Vec<&str>> = printed
        .lines()
        .filter_map(|line| line.strip_prefix("Text ")?.split_once(", of "))
        .map(|(_, owners)| owners.split(", ").collect())
        .collect();
    for name in compiled {
        let line = printed.lines().find(|line| line.starts_with(&format!("{name}: ")));
        assert!(line.is_some_and(|line| line.contains("; text")), "{name}: {line:?}");
        assert!(owners.iter().any(|owners| owners.contains(&name.as_str())), "{name} has no text");
    }
}

#[test]
fn our_own_licence_comes_first_and_the_fonts_is_among_the_others() {
    let printed = printed();
    assert!(printed.starts_with(include_str!("../../../LICENSE")));
    assert!(printed.contains("\nNoto Sans\n"), "no notice of the font");
    assert!(printed.contains("SIL OPEN FONT LICENSE Version 1.1"));
    assert!(printed.contains("SQLite") && printed.contains("dedicated it to the public domain"));
    assert!(printed.contains("\nRust standard library rustc "));
    assert!(printed.contains("The sources of i_key_sort 0.12.0 hold no text of their licence."));
}

/// Gathered again, it is identical byte for byte; each text is there once.
#[test]
fn what_is_gathered_is_what_is_printed() {
    let rustc =
        |argument: &[&str]| gathering::answer(Command::new("rustc").args(argument)).unwrap();
    let host = rustc(&["--print", "host-tuple"]);
    let lock = Path::new(env!("CARGO_MANIFEST_DIR")).join("Cargo.lock");
    let found = gathering::resolved(Path::new(env!("CARGO")), &lock, host.trim()).unwrap();
    let crates = gathering::gather(&found).unwrap();
    let (toolchain, version) = (rustc(&["--print", "sysroot"]), rustc(&["--version"]));
    let library = gathering::standard::library(Path::new(toolchain.trim()), version.trim());
    assert!(printed().ends_with(&gathering::page(&crates, &library)));
    assert!(gathering::page(&crates, &Err("none".into())).contains("came without its notices"));
}

/// Cargo's output for a program with one crate that contains these files.
fn crafted(folder: &Path, name: &str, licence: &Value, files: &[(&str, &str)]) -> Value {
    for (file, text) in files {
        let path = folder.join(file);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, text).unwrap();
    }
    let manifest = folder.join("Cargo.toml");
    json!({
        "packages": [
            { "id": "root", "name": "root", "version": "1.0.0", "manifest_path": "Cargo.toml" },
            {
                "id": "one", "name": name, "version": "1.2.3", "license": licence,
                "authors": ["A. Author"], "manifest_path": manifest,
            },
            { "id": "two", "name": "tool", "version": "1.0.0", "manifest_path": manifest },
        ],
        "resolve": { "root": "root", "nodes": [
            { "id": "root", "deps": [
                { "pkg": "one", "dep_kinds": [{ "kind": null }] },
                { "pkg": "two", "dep_kinds": [{ "kind": "dev" }, { "kind": "build" }] },
            ] },
            { "id": "one", "deps": [] },
            { "id": "two", "deps": [] },
        ] },
    })
}

/// The page for a crate `loose` with these files, or why it is refused.
fn tried(licence: &Value, files: &[(&str, &str)]) -> Result<String, String> {
    let folder = TempDir::new().unwrap();
    match gathering::gather(&crafted(folder.path(), "loose", licence, files)) {
        Ok(crates) => Ok(gathering::page(&crates, &Err("none".into()))),
        Err(refused) => Err(refused.join("\n")),
    }
}

#[test]
fn a_crate_that_cannot_be_handed_out_is_refused() {
    let text = &[("LICENSE", MIT)];
    for (licence, files, why) in [
        (Value::Null, text.as_slice(), "loose 1.2.3 names no licence"),
        (json!("MIT"), &[], "loose 1.2.3 is under `MIT`, but its sources hold no text of it"),
        (json!("MIT"), &[("tests/LICENSE", MIT)], "hold no text of it"),
        (json!("MIT"), &[("LICENSE", "See ../LICENSE.")], "hold no text of it"),
        (json!("Apache-2.0"), text, "hold no text of it"),
        (json!("MIT AND Apache-2.0"), text, "hold no text of it"),
        (json!("Apache-2.0 WITH LLVM-exception"), text, "hold no text of it"),
        (json!("GPL-3.0-only"), text, "is under `GPL-3.0-only`; accepted are 0BSD, "),
        (json!("MIT AND GPL-3.0-only"), text, "accepted are"),
        (json!("Free for all"), text, "is not a licence expression"),
    ] {
        let refused = tried(&licence, files).unwrap_err();
        assert!(refused.contains(why), "{licence}: {refused}");
    }
}

#[test]
fn one_licence_of_several_is_enough_where_the_crate_says_or() {
    let page = tried(&json!("MIT OR GPL-3.0-only"), &[("LICENSE-MIT", MIT)]).unwrap();
    assert!(page.contains("loose 1.2.3: MIT OR GPL-3.0-only; text 1\n"), "{page}");
    assert!(page.contains(MIT) && !page.contains("tool 1.0.0"), "{page}");
    assert!(tried(&json!("MIT/Apache-2.0"), &[("docs/COPYING", MIT)]).is_ok());
    assert!(tried(&json!("Apache-2.0 WITH LLVM-exception"), &[("LICENSE", LLVM)]).is_ok());
    let both = [("LICENSE-MIT", MIT), ("LICENSE-APACHE", LLVM), ("NOTICE", "Thanks.")];
    let page = tried(&json!("MIT AND Apache-2.0"), &both).unwrap();
    assert!(page.contains("; texts 1, 2, 3\n") && page.contains("\nThanks.\n"), "{page}");
}

/// Known to have no text of its own: that of SPDX with the crate's authors, and the notice says so.
#[test]
fn a_standard_text_says_that_it_is_one() {
    let folder = TempDir::new().unwrap();
    let found = crafted(folder.path(), "i_key_sort", &json!("MIT"), &[]);
    let page = gathering::page(&gathering::gather(&found).unwrap(), &Err("none".into()));
    assert!(page.contains("The sources of i_key_sort 1.2.3 hold no text of their licence."));
    assert!(page.contains("Copyright (c) A. Author\n\nPermission is hereby granted"), "{page}");
}

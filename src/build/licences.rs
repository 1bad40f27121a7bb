//! The notices of everything in the program, from the sources of the crates themselves.
//!
//! The input is what Cargo resolved for the target, the output a page of text. A crate whose
//! licence is not accepted here, or whose sources contain no text of it, is refused.

pub(crate) mod standard;

use serde_json::Value;
use spdx::Expression;
use spdx::LicenseReq;
use spdx::ParseMode;
use std::collections::BTreeMap;
use std::collections::BTreeSet;
use std::fs;
use std::path::Path;
use std::path::PathBuf;
use std::process::Command;

/// The licences we accept, and the words by which the text of each is known, in lower case
/// and with single spaces. Our choice: all of them permit a program like this one to be
/// handed out under any terms, as long as their texts go with it.
const ACCEPTED: &[(&str, &[&str])] = &[
    ("0BSD", &["permission to use, copy, modify, and/or distribute this software"]),
    ("Apache-2.0", &["apache license version 2.0, january 2004", "2. grant of copyright license"]),
    (
        "Apache-2.0 WITH LLVM-exception",
        &["apache license version 2.0, january 2004", "llvm exceptions to the apache 2.0 license"],
    ),
    (
        "BSD-2-Clause",
        &["redistribution and use in source and binary forms", "this list of conditions"],
    ),
    ("BSD-3-Clause", &["redistribution and use in source and binary forms", "neither the name"]),
    ("BSL-1.0", &["boost software license - version 1.0"]),
    (
        "ISC",
        &[
            "permission to use, copy, modify, and",
            "provided that the above copyright notice and this",
        ],
    ),
    (
        "MIT",
        &[
            "permission is hereby granted, free of charge, to any person obtaining a copy of this software",
            "the above copyright notice and this permission notice",
        ],
    ),
    ("CC0-1.0", &["creative commons", "cc0 1.0 universal"]),
    ("OFL-1.1", &["sil open font license version 1.1"]),
    ("Unicode-3.0", &["unicode license v3"]),
    ("Unlicense", &["this is free and unencumbered software released into the public domain"]),
    ("Zlib", &["this software is provided 'as-is'", "the origin of this software must not be"]),
];

/// Crates whose sources contain no text of their own licence, and the licence of theirs that is
/// used: Apache-2.0 where they offer it, since its text names no holder. Looked at one by one.
const WITHOUT_TEXT: &[(&str, &str)] = &[
    ("cavalier_contours", "Apache-2.0"),
    ("i_key_sort", "MIT"),
    ("i_overlay", "Apache-2.0"),
    ("krilla", "Apache-2.0"),
];

/// How names of files with licences and notices begin, in capitals.
const FILES: &[&str] =
    &["LICENSE", "LICENCE", "COPYING", "COPYRIGHT", "NOTICE", "UNLICENSE", "OFL", "UFL"];

/// Folders of a crate that are not built into the program.
const ASIDE: &[&str] = &["benches", "examples", "target", "tests"];

/// The line between two texts.
const RULE: &str = "==============================================================================";

/// One crate with its texts.
pub(crate) struct Notice {
    /// Name and version.
    pub(crate) name: String,
    /// The expression by which it may be used.
    pub(crate) licence: String,
    /// Who wrote it, where no text says so.
    authors: Vec<String>,
    /// All texts in its sources.
    pub(crate) texts: Vec<String>,
}

/// The notices of all crates the root needs but for building and testing, by name.
///
/// # Errors
/// One sentence for each crate that cannot be handed out as it is.
pub(crate) fn gather(metadata: &Value) -> Result<Vec<Notice>, Vec<String>> {
    let (mut notices, mut refused) = (Vec::new(), Vec::new());
    for package in linked(metadata) {
        match notice(package) {
            Ok(notice) => notices.push(notice),
            Err(why) => refused.push(why),
        }
    }
    if refused.is_empty() { Ok(notices) } else { Err(refused) }
}

/// The packages that Cargo resolved for a target, as `cargo metadata` prints them. It needs no
/// network, unless Cargo has not fetched yet what only the tests need.
///
/// # Errors
/// When Cargo cannot say.
pub(crate) fn resolved(cargo: &Path, lock: &Path, target: &str) -> Result<Value, String> {
    let manifest = lock.with_file_name("Cargo.toml");
    let asked = |more: &[&str]| {
        answer(
            Command::new(cargo)
                .args([
                    "metadata",
                    "--format-version",
                    "1",
                    "--locked",
                    "--filter-platform",
                    target,
                ])
                .args(more)
                .arg("--manifest-path")
                .arg(&manifest),
        )
    };
    let text = asked(&["--offline"]).or_else(|_| asked(&[]))?;
    serde_json::from_str(&text).map_err(|e| format!("cargo metadata: {e}"))
}

/// The standard output of a command.
///
/// # Errors
/// When it cannot be run or fails: what it said.
pub(crate) fn answer(command: &mut Command) -> Result<String, String> {
    let name = command.get_program().to_string_lossy().into_owned();
    let output = command.output().map_err(|e| format!("{name}: {e}"))?;
    if !output.status.success() {
        let said = String::from_utf8_lossy(&output.stderr).replace('\n', " ");
        return Err(format!("{name}: {said}"));
    }
    String::from_utf8(output.stdout).map_err(|e| format!("{name}: {e}"))
}

/// All packages that normal dependencies lead to from the root, without it, by name and
/// version. Procedural macros are among them, since what they write is compiled too.
fn linked(metadata: &Value) -> Vec<&Value> {
    let nodes = list(&metadata["resolve"]["nodes"]);
    let nodes: BTreeMap<&str, &Value> = nodes.iter().map(|n| (text(&n["id"]), n)).collect();
    let root = text(&metadata["resolve"]["root"]);
    let mut met = BTreeSet::new();
    let mut open = vec![root];
    while let Some(next) = open.pop() {
        let Some(node) = nodes.get(next).filter(|_| met.insert(next)) else { continue };
        for dependency in list(&node["deps"]) {
            if list(&dependency["dep_kinds"]).iter().any(|kind| kind["kind"].is_null()) {
                open.push(text(&dependency["pkg"]));
            }
        }
    }
    met.remove(root);
    let packages = list(&metadata["packages"]).iter();
    let mut found: Vec<&Value> = packages.filter(|p| met.contains(text(&p["id"]))).collect();
    found.sort_by_key(|package| (text(&package["name"]), text(&package["version"])));
    found
}

fn list(value: &Value) -> &[Value] {
    value.as_array().map(Vec::as_slice).unwrap_or_default()
}

fn text(value: &Value) -> &str {
    value.as_str().unwrap_or_default()
}

fn notice(package: &Value) -> Result<Notice, String> {
    let name = text(&package["name"]);
    let manifest = Path::new(text(&package["manifest_path"]));
    let mut files = Vec::new();
    licence_files(manifest.parent().unwrap_or(manifest), &mut files)?;
    files.sort();
    let mut texts = Vec::new();
    for file in files {
        let bytes = fs::read(&file).map_err(|e| format!("{}: {e}", file.display()))?;
        texts.push(tidy(&String::from_utf8_lossy(&bytes)));
    }
    let notice = Notice {
        name: format!("{name} {}", text(&package["version"])),
        licence: text(&package["license"]).to_owned(),
        authors: list(&package["authors"]).iter().map(|name| text(name).to_owned()).collect(),
        texts,
    };
    let taken = WITHOUT_TEXT.iter().find(|(without, _)| *without == name);
    judged(notice, taken.map(|(_, licence)| *licence))
}

fn licence_files(folder: &Path, found: &mut Vec<PathBuf>) -> Result<(), String> {
    let unread = |e| format!("{}: {e}", folder.display());
    for entry in fs::read_dir(folder).map_err(unread)? {
        let path = entry.map_err(unread)?.path();
        let name = path.file_name().unwrap_or_default().to_string_lossy().to_uppercase();
        let aside = ASIDE.iter().any(|aside| name.eq_ignore_ascii_case(aside));
        if path.is_dir() {
            if !aside && !name.starts_with('.') {
                licence_files(&path, found)?;
            }
        } else if !name.ends_with(".RS") && FILES.iter().any(|start| name.starts_with(start)) {
            found.push(path);
        }
    }
    Ok(())
}

/// Whether a crate may be distributed with its texts; `taken` is the licence whose standard text is
/// added if its sources contain none.
fn judged(mut notice: Notice, taken: Option<&str>) -> Result<Notice, String> {
    let Notice { name, licence, .. } = &notice;
    if licence.is_empty() {
        return Err(format!("{name} names no licence"));
    }
    let expression = Expression::parse_mode(licence, ParseMode::LAX)
        .map_err(|e| format!("{name}: `{licence}` is not a licence expression: {}", e.reason))?;
    if !expression.evaluate(|req| words_of(req).is_some()) {
        let accepted: Vec<&str> = ACCEPTED.iter().map(|(name, _)| *name).collect();
        return Err(format!("{name} is under `{licence}`; accepted are {}", accepted.join(", ")));
    }
    if let Some(standard) = taken.filter(|_| !has_texts(&expression, &notice.texts)) {
        notice.texts.push(standard_text(&notice, standard)?);
    }
    if has_texts(&expression, &notice.texts) {
        return Ok(notice);
    }
    let Notice { name, licence, .. } = &notice;
    Err(format!("{name} is under `{licence}`, but its sources hold no text of it"))
}

/// The words by which the text of an accepted licence is known.
fn words_of(licence: &LicenseReq) -> Option<&'static [&'static str]> {
    let name = licence.to_string();
    ACCEPTED.iter().find(|(accepted, _)| *accepted == name).map(|(_, words)| *words)
}

fn has_texts(expression: &Expression, texts: &[String]) -> bool {
    let texts: Vec<String> = texts.iter().map(|text| same(text).to_lowercase()).collect();
    expression.evaluate(|req| {
        words_of(req).is_some_and(|words| {
            texts.iter().any(|text| words.iter().all(|word| text.contains(word)))
        })
    })
}

/// The text of a licence as SPDX has it, with a line that says where it comes from.
fn standard_text(notice: &Notice, licence: &str) -> Result<String, String> {
    let id = spdx::license_id(licence).ok_or_else(|| format!("SPDX knows no `{licence}`"))?;
    let by = match notice.authors.is_empty() {
        true => format!("the authors of {}", notice.name),
        false => notice.authors.join(", "),
    };
    let text = id.text().replace("<year> <copyright holders>", &by);
    Ok(tidy(&format!(
        "The sources of {} hold no text of their licence. What follows is the text of {licence}\n\
         as SPDX has it. The authors, by the crate's own manifest: {by}\n\n{text}",
        notice.name
    )))
}

/// One text in another's layout is the same text.
fn same(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Without blanks at the ends of lines, and blank lines at either end.
fn tidy(text: &str) -> String {
    let lines: Vec<&str> = text.lines().map(str::trim_end).collect();
    lines.join("\n").trim_matches('\n').to_owned()
}

/// The page: each crate with its licence and the numbers of its texts, then each text once.
pub(crate) fn page(crates: &[Notice], library: &Result<Vec<Notice>, String>) -> String {
    let mut texts = Texts::default();
    let mut out = "Crates in this program, each with its licence and the numbers of its texts:\n\n"
        .to_owned();
    out.extend(crates.iter().map(|notice| texts.line(notice)));
    match library {
        Ok(notices) => {
            out += "\nThe Rust standard library, and the crates that go into it on one platform or \
                another:\n\n";
            out.extend(notices.iter().map(|notice| texts.line(notice)));
        }
        Err(_) => {
            out += "\nThe Rust standard library: MIT OR Apache-2.0. The toolchain that built this \
                program\ncame without its notices; they are in the sources at \
                https://github.com/rust-lang/rust\n";
        }
    }
    for (i, (text, owners)) in texts.all.iter().enumerate() {
        let owners = owners.join(", ");
        out += &format!("\n{RULE}\nText {}, of {owners}\n{RULE}\n\n{text}\n", i + 1);
    }
    out
}

/// Each text once, with those it belongs to.
#[derive(Default)]
struct Texts<'n> {
    all: Vec<(&'n str, Vec<&'n str>)>,
    numbers: BTreeMap<String, usize>,
}

impl<'n> Texts<'n> {
    /// The line of one crate, whose texts are added.
    fn line(&mut self, notice: &'n Notice) -> String {
        let mut own = BTreeSet::new();
        for text in &notice.texts {
            let number = *self.numbers.entry(same(text)).or_insert_with(|| {
                self.all.push((text, Vec::new()));
                self.all.len()
            });
            if own.insert(number) {
                self.all[number - 1].1.push(&notice.name);
            }
        }
        let own: Vec<String> = own.iter().map(ToString::to_string).collect();
        let own = match own.as_slice() {
            [] => "no text".to_owned(),
            [one] => format!("text {one}"),
            more => format!("texts {}", more.join(", ")),
        };
        format!("{}: {}; {own}\n", notice.name, notice.licence)
    }
}

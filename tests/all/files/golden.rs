//! The files of the demo and of a job of bent parts, byte for byte as they were when somebody last
//! checked them.
//!
//! A net for unintended changes; the other tests decide what is right. After an intended change,
//! `PLATEWRIGHT_BLESS=1 cargo test --test all golden::` writes the files again: look through `git
//! diff tests/golden` before committing.

#![expect(clippy::disallowed_methods, reason = "the switch to write anew is in the environment")]

use crate::demo;
use std::collections::BTreeMap;
use std::fmt::Write;
use std::fs;
use std::path::Path;
use std::process::Command;

/// The one sheet that is kept; the report has the places of all.
const SHEET: &str = "sheets/4130-3-16-01.";

/// The one solid that is kept.
const SOLID: &str = "folded/box-switch.step";

/// Most lines of a difference that are shown.
const SHOWN: usize = 12;

type Files = BTreeMap<String, Vec<u8>>;

/// The files of a folder that are kept, by name.
fn kept(folder: &Path) -> Files {
    let mut files = Files::new();
    for sub in ["", "flats", "folded", "sheets"] {
        let Ok(entries) = fs::read_dir(folder.join(sub)) else { continue };
        for entry in entries.map(Result::unwrap) {
            let name = entry.file_name().into_string().unwrap();
            let name = if sub.is_empty() { name } else { format!("{sub}/{name}") };
            // Of the solids one is enough; each is read by a kernel elsewhere.
            if name.ends_with(".step") && name != SOLID {
                continue;
            }
            if sub == "flats" || sub == "folded" || name.starts_with(SHEET) || name == "report.json"
            {
                files.insert(name, fs::read(entry.path()).unwrap());
            }
        }
    }
    files
}

/// Where two texts differ: the text between the lines they share at both ends.
fn difference(name: &str, wanted: &[u8], found: &[u8]) -> String {
    let [wanted, found] = [wanted, found].map(String::from_utf8_lossy);
    let lines = |text: &str| text.split('\n').map(str::to_owned).collect::<Vec<_>>();
    let (wanted, found) = (lines(&wanted), lines(&found));
    let same = wanted.iter().zip(&found).take_while(|(a, b)| a == b).count();
    let rest = wanted.len().min(found.len()) - same;
    let ends = wanted.iter().rev().zip(found.iter().rev()).take(rest);
    let tail = ends.take_while(|(a, b)| a == b).count();
    let mut out = format!("{name}, from line {}:\n", same + 1);
    for (sign, lines) in [('-', &wanted), ('+', &found)] {
        let differing = &lines[same..lines.len() - tail];
        for line in differing.iter().take(SHOWN) {
            writeln!(out, "{sign} {}", line.escape_debug()).unwrap();
        }
        if differing.len() > SHOWN {
            writeln!(out, "{sign} … {} lines more", differing.len() - SHOWN).unwrap();
        }
    }
    out
}

/// Compares the files of a job with those kept of it in a folder of `tests/golden`.
fn comes_out(made: &Path, golden: &str, min: usize) {
    let found = kept(made);
    assert!(found.len() >= min, "{golden}: only {} files are made", found.len());
    let golden = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/golden").join(golden);
    if std::env::var("PLATEWRIGHT_BLESS").is_ok_and(|v| v == "1") {
        let _ = fs::remove_dir_all(&golden);
        for sub in ["flats", "folded", "sheets"] {
            fs::create_dir_all(golden.join(sub)).unwrap();
        }
        for (name, bytes) in &found {
            fs::write(golden.join(name), bytes).unwrap();
        }
    }
    let wanted = kept(&golden);
    let mut faults = Vec::new();
    for name in wanted.keys().filter(|name| !found.contains_key(*name)) {
        faults.push(format!("{name} is not made any more\n"));
    }
    for (name, found) in &found {
        match wanted.get(name) {
            None => faults.push(format!("{name} is new\n")),
            Some(wanted) if wanted != found => faults.push(difference(name, wanted, found)),
            Some(_) => {}
        }
    }
    let shown: String = faults.iter().take(SHOWN).cloned().collect();
    assert!(
        faults.is_empty(),
        "{} files differ from tests/golden:\n{shown}\
         If that was meant, run `PLATEWRIGHT_BLESS=1 cargo test --test all golden::` and look through the diff.",
        faults.len()
    );
}

#[test]
fn the_demo_comes_out_byte_for_byte() {
    comes_out(&demo::made().folder, "vineyard-cart", 40);
}

/// Parts that show every kind of bending, beside the bent parts of the demo: at least twelve in
/// all, each viewed as a flat and as formed.
#[test]
fn bent_parts_come_out_byte_for_byte() {
    let made = tempfile::tempdir().unwrap();
    let mut program = Command::new(env!("CARGO_BIN_EXE_platewright"));
    program.current_dir(env!("CARGO_MANIFEST_DIR"));
    program.args(["make", "tests/data/bent/job.toml", "--effort", "0", "--out"]);
    let run = program.arg(made.path()).output().unwrap();
    assert!(run.status.success(), "{}", String::from_utf8_lossy(&run.stderr));
    comes_out(made.path(), "bent", 24);
}

#[test]
fn a_difference_is_shown_by_its_lines() {
    let shown = difference("a.svg", b"one\ntwo\nthree\n", b"one\n2\nzwei\nthree\n");
    assert_eq!(shown, "a.svg, from line 2:\n- two\n+ 2\n+ zwei\n");
    let longer = difference("a.svg", b"one\n", b"one\none\n");
    assert_eq!(longer, "a.svg, from line 2:\n+ one\n");
}

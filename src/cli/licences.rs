//! `licences`: the authors and licences of everything in the program.

use crate::cli::ending::Ending;
use crate::cli::terminal;
use platewright::paper;

/// Our own licence.
const OWN: &str = include_str!("../../LICENSE");

/// The notices of all crates in the program, gathered when it was built.
const OTHERS: &str = include_str!(concat!(env!("OUT_DIR"), "/licences.txt"));

/// The one work in the program that is in no crate's own licence.
const SQLITE: &str =
    "The database of the stock book is SQLite, whose source the crate libsqlite3-sys holds.
Its authors have dedicated it to the public domain; no licence applies.
";

/// Prints all of them.
pub(super) fn licences() -> anyhow::Result<Ending> {
    let font = paper::font_notice();
    let font = match font.is_empty() {
        true => String::new(),
        false => format!("Fonts of the drawings, by the crate notosans:\n\n{font}\n\n"),
    };
    terminal::data(&format!("{OWN}\n{RULE}\n\n{font}{SQLITE}\n{OTHERS}"));
    Ok(Ending::Done)
}

/// The line between our own licence and the others.
const RULE: &str = "==============================================================================";

//! The conductor: a job's text in, named bytes and a report out.
//!
//! A job says what to make of which sheets. [`read`] takes it apart, [`solve`] turns
//! every line into a checked flat, [`make`] nests the flats and writes everything.
//! This is the only place that names the stages in order.

mod bent;
mod draw;
mod family;
mod label;
mod lay;
mod make;
mod open;
mod papers;
mod read;
mod report;
mod sheet;
mod solve;
mod tools;
mod view;

pub use make::Made;
pub use make::NamedFile;
pub use make::fits;
pub use make::flats;
pub use make::make;
pub use make::old_flats;
pub use make::picture;
pub use open::Choice;
pub use read::read;
pub use report::Report;
pub use sheet::Sheet;
pub use sheet::Stock;
pub use solve::Solved;
pub use solve::solve;

use crate::diag::Span;
use crate::document::Entry;
use crate::paper::Format;
use crate::quantity::Units;
use crate::recipe;
use crate::shop::Shop;
use crate::table::Row;
use crate::table::Tables;
use std::sync::Arc;

/// Said wherever numbers could be taken for proof.
pub const CAUTION: &str = "Screening calculations only: no check here proves strength. \
     Local codes and a licensed engineer's judgement decide.";

/// What to make, of what.
#[derive(Clone, Debug)]
pub struct Job {
    /// Its name, that of its file.
    pub name: String,
    /// One sentence.
    pub about: String,
    /// How lengths are printed and files are written.
    pub units: Units,
    /// The size of the papers and templates, where any are wanted.
    pub paper: Option<Format>,
    /// The way of cutting, with the shop's own figures.
    pub process: Arc<Row>,
    /// The shop, where the job names one.
    pub shop: Option<Arc<Shop>>,
    /// Film on every face, mm.
    pub coating: f64,
    /// Least distance between parts on a sheet, mm; by the process and thickness when not given.
    pub gap: Option<f64>,
    /// Least distance from the rim of a sheet, mm.
    pub margin: f64,
    /// The sheets in stock.
    pub sheets: Vec<Sheet>,
    /// What to make, families told out.
    pub lines: Vec<Line>,
}

/// One part to make.
#[derive(Clone, Debug)]
pub struct Line {
    /// Name of the recipe, and where it stands.
    pub recipe: (String, Span),
    /// Name of the part.
    pub name: String,
    /// How many sets.
    pub quantity: u32,
    /// Index of its sheet.
    pub sheet: usize,
    /// The values given, by input.
    pub given: Vec<(String, Entry)>,
    /// The values to choose from, by input; `sheet` stands for the sheet itself.
    pub open: Vec<(String, Entry)>,
    /// Where its name stands.
    pub here: Span,
}

/// What a job may call upon.
pub struct Shelf<'a> {
    /// A file named by the job: where it was found, and its text.
    pub file: &'a dyn Fn(&str) -> Option<(String, String)>,
    /// The bytes of a drawing that a recipe names, when there is one.
    pub drawing: recipe::Files<'a>,
    /// The name and text of a recipe, when there is one.
    pub recipe: &'a dyn Fn(&str) -> Option<(String, String)>,
    /// The names of all recipes, to offer the nearest.
    pub names: &'a dyn Fn() -> Vec<String>,
    /// The tables.
    pub tables: &'a Tables,
}

impl Job {
    /// The gap kept on a sheet, mm.
    pub fn gap_on(&self, sheet: &Sheet) -> f64 {
        let of = |field: &str| self.process.measure(field);
        self.gap.unwrap_or_else(|| (of("gap_ratio") * sheet.thickness).max(of("least_gap")))
    }
}

//! Strips into the stock book, where there is one.

use crate::cli::args::CalibrateArgs;
use crate::cli::book::Book;
use crate::cli::book::StripEntry;
use crate::cli::day::day;
use crate::cli::past;
use crate::cli::shelf;
use crate::cli::shelf::shown;
use crate::cli::terminal;
use crate::cli::terminal::plural;
use platewright::shop::Calibration;
use platewright::shop::Said;
use platewright::shop::Strip;
use platewright::shop::Strips;
use std::path::Path;

/// Keeps the strips in the book of the shop file or job that is named, else of this folder, while
/// `appended` adds their row to the shop file: both or none.
pub(super) fn record(
    args: &CalibrateArgs,
    strips: &Strips,
    said: &Calibration,
    appended: impl FnOnce() -> anyhow::Result<()>,
) -> anyhow::Result<()> {
    let path = match (&args.into, &args.job) {
        (Some(shop), _) => shelf::book_of(shop),
        (None, Some(job)) => past::book_of(job)?,
        (None, None) => shelf::book_of(Path::new(shelf::SHOP)),
    };
    let Some(mut book) = Book::open(&path)? else { return appended() };
    let today = day(None)?;
    let entry = |(strip, says): (&Strip, &Said)| StripEntry {
        day: today.clone(),
        material: strips.material.clone(),
        nominal: strips.nominal,
        thickness: strips.thickness,
        v: strips.v,
        radius: strips.radius,
        legs: strip.legs,
        blank: strip.blank,
        angle: strip.angle.degrees(),
        k: says.k,
        deduction: says.deduction,
    };
    let entries: Vec<StripEntry> = strips.bent.iter().zip(&said.each).map(entry).collect();
    let new = book.measured(&entries, appended)?;
    terminal::say(&match new {
        0 => format!("the book {} already has these strips", shown(&path)),
        n => format!("{} in the book {}", plural(n, "strip"), shown(&path)),
    });
    Ok(())
}

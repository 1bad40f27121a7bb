//! Pictures of sheets for people: what lies where, in which order it is cut, and what is left.
//!
//! The cut files stay plain; a picture has the pieces tinted and numbered, and what must not be
//! cut hatched and named. Where a number has no room at the scale of the whole sheet, pages follow
//! that show the sheet larger, part by part.

mod hatch;
mod keys;
mod legend;
mod metal;
mod pages;
mod parts;
mod scale;
mod shown;
mod strip;
mod view;

use crate::diag::Finding;
use crate::drawings::file::pdf;
use crate::drawings::sheets::shown::Shown;
pub(crate) use crate::drawings::sheets::shown::kinds;
use crate::drawings::wanted::Wanted;
use crate::job::Job;
use crate::paper;
use crate::paper::Pages;
use crate::place::NestedSheet;
use crate::report::SheetRow;
use crate::solve::Solved;
use crate::write::NamedFile;
use rayon::prelude::*;

/// Names of pictures end so, that they are not taken for the cut files of the same sheet.
const PICTURE: &str = "-picture";

/// The pictures of all sheets as PDF and as SVG; `rows` is what the report says of each. Nothing
/// where the job wants no drawings.
///
/// # Errors
/// When one cannot be written.
pub(crate) fn sheets(
    job: &Job,
    solved: &[Solved],
    nested: &[NestedSheet],
    rows: &[SheetRow],
    wanted: &Wanted,
) -> Result<Vec<NamedFile>, Vec<Finding>> {
    let Some(format) = job.paper else { return Ok(Vec::new()) };
    let one = |(i, (nested, row)): (usize, (&NestedSheet, &SheetRow))| {
        let of = [i + 1, rows.len()];
        let [print, screen] = ["pdf", "svg"].map(|end| format!("{}{PICTURE}.{end}", nested.file()));
        if !wanted.is([print.clone(), screen.clone()]) {
            return Ok(Vec::new());
        }
        let pages = picture(job, solved, nested, row, format.size(), of);
        let svg = NamedFile { name: screen, bytes: paper::svg(&pages).into_bytes() };
        Ok(vec![pdf(print, &pages, job.sheets[nested.sheet].span)?, svg])
    };
    let both: Vec<_> = nested.iter().zip(rows).enumerate().collect();
    let made: Result<Vec<_>, Vec<Finding>> =
        both.into_par_iter().with_max_len(1).map(one).collect();
    made.map(|files| files.into_iter().flatten().collect())
}

/// The picture of a sheet, the first number of `of` among so many, on paper of an upright size.
fn picture(
    job: &Job,
    solved: &[Solved],
    nested: &NestedSheet,
    row: &SheetRow,
    upright: [f64; 2],
    of: [usize; 2],
) -> Pages {
    pages::pages(&Shown::new(job, solved, nested, row), upright, of)
}

//! Pictures of sheets for people: the pieces, the cutting order, and the remnant.
//!
//! The cut files stay plain; a picture has the pieces tinted and numbered, and the areas that must
//! not be cut hatched and named. A number or a name that has no room where it belongs is beside it,
//! with a leader; where there is no room either, pages follow that show the sheet larger, part by
//! part.

mod hatch;
mod keys;
mod leaders;
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
pub(crate) use crate::drawings::sheets::leaders::Beside;
pub(crate) use crate::drawings::sheets::leaders::beside;
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

/// The pictures of all sheets as PDF and as SVG; `rows` are their rows in the report. A sheet that
/// is `known` is not drawn again. Empty if the job asks for no drawings.
///
/// # Errors
/// When one cannot be written.
pub(crate) fn sheets(
    job: &Job,
    solved: &[Solved],
    nested: &[NestedSheet],
    rows: &[SheetRow],
    (known, wanted): (&PictureLookup, &Wanted),
) -> Result<Vec<NamedFile>, Vec<Finding>> {
    if job.paper.is_none() {
        return Ok(Vec::new());
    }
    let one = |(i, (nested, row)): (usize, (&NestedSheet, &SheetRow))| {
        let of = [i + 1, rows.len()];
        match known(nested, row, of) {
            Some(files) => Ok(files),
            None if wanted.is(names(nested)) => {
                let files = sheet(job, solved, (nested, row), of, &|| true)?;
                Ok(files.unwrap_or_default())
            }
            None => Ok(Vec::new()),
        }
    };
    let both: Vec<_> = nested.iter().zip(rows).enumerate().collect();
    let made: Result<Vec<_>, Vec<Finding>> =
        both.into_par_iter().with_max_len(1).map(one).collect();
    made.map(|files| files.into_iter().flatten().collect())
}

/// Pictures made already: the files of a sheet with an equal row in the report, the first number
/// and the total.
pub(crate) type PictureLookup<'a> =
    dyn Fn(&NestedSheet, &SheetRow, [usize; 2]) -> Option<Vec<NamedFile>> + Sync + 'a;

fn names(nested: &NestedSheet) -> [String; 2] {
    ["pdf", "svg"].map(|end| format!("{}{PICTURE}.{end}", nested.file()))
}

/// The picture of one sheet as PDF and as SVG; `None` where it may no longer `go_on`.
///
/// # Errors
/// When one cannot be written.
pub(crate) fn sheet(
    job: &Job,
    solved: &[Solved],
    (nested, row): (&NestedSheet, &SheetRow),
    of: [usize; 2],
    go_on: &dyn Fn() -> bool,
) -> Result<Option<Vec<NamedFile>>, Vec<Finding>> {
    let Some(format) = job.paper else { return Ok(Some(Vec::new())) };
    let [print, screen] = names(nested);
    let pages = picture(job, solved, nested, row, format.size(), of);
    if !go_on() {
        return Ok(None);
    }
    let svg = NamedFile { name: screen, bytes: paper::svg(&pages).into_bytes() };
    if !go_on() {
        return Ok(None);
    }
    Ok(Some(vec![pdf(print, &pages, job.sheets[nested.sheet].span)?, svg]))
}

/// The picture of a sheet, the first number of `of` the second, on paper of an upright size.
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

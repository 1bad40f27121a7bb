//! Drawings as cut files, read back before they are handed out, and as pictures.

use crate::diag::Finding;
use crate::draw;
use crate::draw::Spots;
use crate::job::Job;
use crate::place;
use crate::place::NestedSheet;
use crate::solve::Solved;
use crate::write;
use crate::write::Drawing;
use crate::write::NamedFile;
use crate::write::Version;
use rayon::prelude::*;

/// The files in order, or the first that failed, regardless of threads.
pub(super) fn all(
    written: Vec<Result<[NamedFile; 2], Finding>>,
) -> Result<Vec<NamedFile>, Vec<Finding>> {
    let files: Result<Vec<_>, Finding> = written.into_iter().collect();
    files.map(|files| files.into_iter().flatten().collect()).map_err(|finding| vec![finding])
}

/// Files made already: the cut files of a sheet, read back.
pub(super) type CutFileLookup<'a> = dyn Fn(&NestedSheet) -> Option<[NamedFile; 2]> + Sync + 'a;

/// The sheets with everything on them; a sheet that is `known` is not drawn again.
pub(super) fn sheets(
    job: &Job,
    solved: &[Solved],
    nested: &[NestedSheet],
    known: &CutFileLookup,
) -> Result<Vec<NamedFile>, Vec<Finding>> {
    let known: Vec<Option<[NamedFile; 2]>> = nested.par_iter().map(known).collect();
    let new = nested.iter().zip(&known).filter(|(_, known)| known.is_none());
    let spots = Spots::of(solved, new.map(|(sheet, _)| sheet));
    let firsts = place::firsts(nested);
    let drawn = |i: usize| -> Result<[NamedFile; 2], Finding> {
        let drawing = draw::sheet(job, solved, &nested[i], &spots);
        let files = sheet_files(&nested[i], &drawing);
        reads_back(&files[0].name, &drawing, &files[0].bytes)?;
        Ok(files)
    };
    // A known file was read back when it was made.
    let first = |(i, known): (usize, Option<[NamedFile; 2]>)| {
        known.map(Ok).or_else(|| (firsts[i] == i).then(|| drawn(i))).transpose()
    };
    let made: Result<Vec<Option<[NamedFile; 2]>>, Finding> =
        known.into_par_iter().enumerate().with_max_len(1).map(first).collect();
    let made = made.map_err(|finding| vec![finding])?;
    let other = |i: usize| {
        let of_first = || renamed(made[firsts[i]].as_ref()?, [&nested[firsts[i]], &nested[i]]);
        made[i].clone().or_else(of_first).map_or_else(|| drawn(i), Ok)
    };
    all((0..nested.len()).into_par_iter().with_max_len(1).map(other).collect())
}

/// The files of the second of two sheets that are the same but for their names, made from those of the
/// first; `None` if the name of the first is not only where it is known to be.
pub(super) fn renamed(
    files: &[NamedFile; 2],
    [from, to]: [&NestedSheet; 2],
) -> Option<[NamedFile; 2]> {
    let again = |file: &NamedFile, end: &str, places: usize| {
        let text = std::str::from_utf8(&file.bytes).ok()?;
        let bytes = called(text, [&from.name, &to.name], places)?.into_bytes();
        Some(NamedFile { name: format!("{}.{end}", to.file()), bytes })
    };
    let [dxf, svg] = files;
    // In the text below the sheet; SVG has a title as well.
    Some([again(dxf, "dxf", 1)?, again(svg, "svg", 2)?])
}

/// A text with another name in so many places; `None` if the name is in more or fewer of them, or of
/// another length, on which the frame of a drawing depends.
fn called(text: &str, [from, to]: [&str; 2], places: usize) -> Option<String> {
    let is_safe = from.len() == to.len() && text.matches(from).count() == places;
    is_safe.then(|| text.replace(from, to))
}

/// A sheet as DXF, read back, and as SVG.
pub(super) fn sheet(
    job: &Job,
    solved: &[Solved],
    sheet: &NestedSheet,
) -> Result<[NamedFile; 2], Finding> {
    let drawing = draw::sheet(job, solved, sheet, &Spots::of(solved, std::iter::once(sheet)));
    let files = sheet_files(sheet, &drawing);
    reads_back(&files[0].name, &drawing, &files[0].bytes)?;
    Ok(files)
}

fn sheet_files(sheet: &NestedSheet, drawing: &Drawing) -> [NamedFile; 2] {
    let file = |end: &str, bytes| NamedFile { name: format!("{}.{end}", sheet.file()), bytes };
    let svg = write::svg(drawing).into_bytes();
    [file("dxf", write::dxf(drawing, Version::R2000)), file("svg", svg)]
}

/// The name of a flat without its ending, and the flat.
pub(super) fn flat(job: &Job, solved: &Solved) -> (String, Drawing) {
    (format!("flats/{}", solved.name), draw::flat(job, solved))
}

/// A drawing as DXF and as SVG.
pub(super) fn both(name: &str, drawing: &Drawing) -> Result<[NamedFile; 2], Finding> {
    let svg = write::svg(drawing).into_bytes();
    let dxf = dxf(format!("{name}.dxf"), drawing, Version::R2000)?;
    Ok([dxf, NamedFile { name: format!("{name}.svg"), bytes: svg }])
}

/// The names of these two.
pub(super) fn names_of_both((name, _): &(String, Drawing)) -> Vec<String> {
    vec![format!("{name}.dxf"), format!("{name}.svg")]
}

/// A drawing as DXF, read back and compared.
pub(super) fn dxf(name: String, drawing: &Drawing, version: Version) -> Result<NamedFile, Finding> {
    let bytes = write::dxf(drawing, version);
    reads_back(&name, drawing, &bytes)?;
    Ok(NamedFile { name, bytes })
}

/// Reads a file back and compares it with the drawing.
fn reads_back(name: &str, drawing: &Drawing, bytes: &[u8]) -> Result<(), Finding> {
    write::compare(drawing, bytes).map_err(|mismatch| {
        let headline = format!("{name} does not read back as drawn: {mismatch}");
        Finding::internal("read-back", headline)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_is_replaced_only_where_it_is_known_to_be() {
        let text = "TEXT\r\nS235-01: 2 m\r\n10\r\n4.5\r\n";
        let again = called(text, ["S235-01", "S235-02"], 1);
        assert_eq!(again.as_deref(), Some("TEXT\r\nS235-02: 2 m\r\n10\r\n4.5\r\n"));
        assert_eq!(called(text, ["S235-01", "S235-02"], 2), None);
        assert_eq!(called(text, ["S235-01", "S235-100"], 1), None, "it would be longer");
        let twice = format!("{text}TEXT\r\nS235-01\r\n");
        assert_eq!(called(&twice, ["S235-01", "S235-02"], 1), None, "a part is called so");
    }
}

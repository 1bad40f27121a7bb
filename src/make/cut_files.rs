//! Drawings as cut files, read back before they are handed out, and as pictures.

use crate::diag::Finding;
use crate::draw;
use crate::draw::Spots;
use crate::job::Job;
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
    let of = |(sheet, known): (&NestedSheet, Option<[NamedFile; 2]>)| match known {
        Some(files) => (None, files),
        None => {
            let drawing = draw::sheet(job, solved, sheet, &spots);
            let files = sheet_files(sheet, &drawing);
            (Some(drawing), files)
        }
    };
    let drawn: Vec<(Option<Drawing>, [NamedFile; 2])> =
        nested.par_iter().zip(known).with_max_len(1).map(of).collect();
    let read_back = |i: usize| {
        let (sheet, (drawing, [dxf, _])) = (&nested[i], &drawn[i]);
        // A known file was read back when it was made.
        let Some(drawing) = drawing else { return Ok(()) };
        let is_again = i.checked_sub(1).is_some_and(|before| {
            let (other, [dxf_before, _]) = (&nested[before], &drawn[before].1);
            sheet.is_like(other)
                && is_renamed(&dxf_before.bytes, [&other.name, &sheet.name], &dxf.bytes)
        });
        // The one before is read back itself, or is that before it once more.
        if is_again { Ok(()) } else { reads_back(&dxf.name, drawing, &dxf.bytes) }
    };
    let read: Vec<Result<(), Finding>> =
        (0..nested.len()).into_par_iter().with_max_len(1).map(read_back).collect();
    read.into_iter().collect::<Result<(), Finding>>().map_err(|finding| vec![finding])?;
    Ok(drawn.into_iter().flat_map(|(_, files)| files).collect())
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

/// Whether a file is a copy of another under a different name.
fn is_renamed(other: &[u8], [from, to]: [&str; 2], file: &[u8]) -> bool {
    let text = |bytes| std::str::from_utf8(bytes).ok();
    text(other).zip(text(file)).is_some_and(|(other, file)| other.replace(from, to) == file)
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
    fn a_sheet_that_is_another_once_more_differs_by_its_name_alone() {
        let first = b"TEXT\r\nS235-01: 2 m\r\n10\r\n4.5\r\n";
        let names = ["S235-01", "S235-02"];
        assert!(is_renamed(first, names, b"TEXT\r\nS235-02: 2 m\r\n10\r\n4.5\r\n"));
        assert!(!is_renamed(first, names, b"TEXT\r\nS235-02: 2 m\r\n10\r\n4.6\r\n"));
        assert!(!is_renamed(first, names, first), "its own name is missing");
    }
}

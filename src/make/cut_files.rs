//! Drawings as cut files, read back before they are handed out, and as pictures.

use crate::diag::Finding;
use crate::draw;
use crate::drawings;
use crate::job::Job;
use crate::solve::Solved;
use crate::write;
use crate::write::Drawing;
use crate::write::NamedFile;
use crate::write::Version;

/// The files in order, or the first that failed, whichever thread was first.
pub(super) fn all(
    written: Vec<Result<[NamedFile; 2], Finding>>,
) -> Result<Vec<NamedFile>, Vec<Finding>> {
    let files: Result<Vec<_>, Finding> = written.into_iter().collect();
    files.map(|files| files.into_iter().flatten().collect()).map_err(|finding| vec![finding])
}

/// The name of a flat without its ending, and the flat.
pub(super) fn flat(job: &Job, solved: &Solved) -> (String, Drawing) {
    (format!("flats/{}", solved.name), draw::flat(job, solved))
}

/// The picture of a bent part as it is in the end.
pub(super) fn folded(job: &Job, solved: &Solved) -> Option<NamedFile> {
    let bytes = drawings::formed(job, solved)?.into_bytes();
    Some(NamedFile { name: name_of_folded(solved), bytes })
}

/// The name of that picture.
pub(super) fn name_of_folded(solved: &Solved) -> String {
    format!("folded/{}.svg", solved.name)
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
    match write::compare(drawing, &bytes) {
        Ok(()) => Ok(NamedFile { name, bytes }),
        Err(mismatch) => {
            let headline = format!("{name} does not read back as drawn: {mismatch}");
            Err(Finding::internal("read-back", headline))
        }
    }
}

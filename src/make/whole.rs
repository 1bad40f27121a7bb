//! The report with what only the makers of the files know: their names, and the solids.

use crate::make::solids::Solids;
use crate::report;
use crate::report::Input;
use crate::report::Report;
use crate::write::NamedFile;

/// The report of a job whose files are made. `part_files` are the names of the files of each
/// part, `solids` its solid, both in the order of the parts.
pub(super) fn report(
    input: &Input,
    part_files: &[Vec<String>],
    solids: &Solids,
    files: &[NamedFile],
) -> Report {
    let mut report = report::report(input);
    for (part, names) in report.parts.iter_mut().zip(part_files) {
        part.files = names.clone();
    }
    for (part, solid) in report.parts.iter_mut().zip(solids) {
        part.solid = solid.as_ref().map(|(_, row)| row.clone());
    }
    report.files = files.iter().map(|file| file.name.clone()).collect();
    report
}

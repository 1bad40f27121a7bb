//! Lists as CSV of RFC 4180.

use crate::diag::Finding;
use crate::write::file::NamedFile;
use serde::Serialize;

/// A list as a file: the head are the names of the fields of a row.
///
/// # Errors
/// When a row cannot be written, which is a fault of ours.
pub(crate) fn csv<R: Serialize>(
    name: &str,
    rows: impl IntoIterator<Item = R>,
) -> Result<NamedFile, Finding> {
    let mut writer =
        ::csv::WriterBuilder::new().terminator(::csv::Terminator::CRLF).from_writer(vec![]);
    let fault =
        |error: String| Finding::internal("list", format!("{name} cannot be written: {error}"));
    for row in rows {
        writer.serialize(row).map_err(|e| fault(e.to_string()))?;
    }
    let bytes = writer.into_inner().map_err(|e| fault(e.to_string()))?;
    Ok(NamedFile { name: name.to_owned(), bytes })
}

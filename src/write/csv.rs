//! Lists as CSV of RFC 4180.

use crate::diag::Finding;
use crate::write::file::NamedFile;

/// A list as a file.
pub(crate) fn csv(
    name: &str,
    head: &[&str],
    rows: impl IntoIterator<Item = Vec<String>>,
) -> Result<NamedFile, Finding> {
    let mut writer =
        ::csv::WriterBuilder::new().terminator(::csv::Terminator::CRLF).from_writer(vec![]);
    let fault =
        |error: String| Finding::internal("list", format!("{name} cannot be written: {error}"));
    writer.write_record(head).map_err(|e| fault(e.to_string()))?;
    for row in rows {
        writer.write_record(row).map_err(|e| fault(e.to_string()))?;
    }
    let bytes = writer.into_inner().map_err(|e| fault(e.to_string()))?;
    Ok(NamedFile { name: name.to_owned(), bytes })
}

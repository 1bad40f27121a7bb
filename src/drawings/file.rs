//! A drawing as a file.

use crate::diag::Finding;
use crate::diag::Span;
use crate::paper;
use crate::paper::Pages;
use crate::write::NamedFile;

/// A drawing as PDF; `here` is the position of its subject.
pub(super) fn pdf(name: String, drawing: &Pages, here: Span) -> Result<NamedFile, Vec<Finding>> {
    match paper::pdf(drawing) {
        Ok(bytes) => Ok(NamedFile { name, bytes }),
        Err(error) => Err(vec![
            Finding::internal("drawing", format!("{name} cannot be written: {error}")).at(here, ""),
        ]),
    }
}

/// The names of a drawing as PDF and as SVG.
pub(super) fn names_of_both(folder: &str, name: &str) -> [String; 2] {
    ["pdf", "svg"].map(|end| format!("{folder}/{name}.{end}"))
}

//! Quantities of a load that must be more than 0.

use crate::diag::Finding;
use crate::document::Fields;
use crate::document::Findings;
use crate::document::Item;
use crate::entry;
use crate::quantity::Dimension;

/// A length of more than 0 mm, where it is given.
pub(super) fn above_zero(fields: &Fields, name: &str) -> Option<f64> {
    let item = fields.get(name)?;
    let mm = entry::length(item, fields.findings())?;
    if mm > 0.0 {
        return Some(mm);
    }
    fields.add(
        Finding::stop("out-of-range", format!("`{name}` must be more than 0 mm"))
            .at(item.letters, "")
            .help(format!("remove `{name}` if it is not known")),
    );
    None
}

/// A force of more than 0, N.
pub(super) fn force(item: &Item, findings: &Findings) -> Option<f64> {
    let newtons = entry::measure(item, Dimension::FORCE, "a force", "kN", findings)?;
    if newtons > 0.0 {
        return Some(newtons);
    }
    findings.add(
        Finding::stop("out-of-range", "a force must be more than 0")
            .at(item.letters, "")
            .help("reverse it with `direction`: `\"push\"` is the reverse of `\"pull\"`"),
    );
    None
}

//! `[[weldment]]`: an assembly that is welded together and coated in one piece, by its overall
//! size.

use crate::diag::Finding;
use crate::diag::Span;
use crate::document::Fields;
use crate::document::Findings;
use crate::document::Item;
use crate::entry;

/// A weldment of the job.
#[derive(Clone, Debug)]
pub struct Weldment {
    /// Its name.
    pub name: String,
    /// Overall size, as coated, mm.
    pub size: [f64; 3],
    /// The position of its name.
    pub here: Span,
}

/// The weldments of a job.
pub(super) fn read(fields: &Fields) -> Vec<Weldment> {
    let findings = fields.findings();
    fields.list("weldment").iter().filter_map(|item| one(item, findings)).collect()
}

fn one(item: &Item, findings: &Findings) -> Option<Weldment> {
    const EXAMPLE: &str = "[\"1200 mm\", \"800 mm\", \"60 mm\"]";
    let fields = Fields::of(item, findings)?;
    let name = fields.needed_label("name", "\"frame\"").map(str::to_owned);
    let here = fields.get("name").map_or(item.span, |item| item.letters);
    fields.need("size", EXAMPLE);
    let sides = entry::lengths(&fields, "size");
    if sides.as_ref().is_some_and(|sides| sides.len() != 3) {
        let finding = Finding::stop("wrong-kind", "a weldment has three lengths");
        let at = fields.get("size").map_or(item.span, |item| item.span);
        fields.add(finding.at(at, "").help(format!("write `size = {EXAMPLE}`")));
    }
    fields.finish();
    let size = <[f64; 3]>::try_from(sides?).ok()?;
    Some(Weldment { name: name?, size, here })
}

//! A weld on a metal that must not be welded.
//!
//! # Looks for
//! A fillet along an edge of a part whose metal has `weld = no` in the `material` table (stop), as
//! 7075-T6 has.
//!
//! # Why it matters
//! Aluminium alloys with zinc and copper crack as the weld cools, or later under load; the metal
//! beside the weld has no published strength.
//!
//! # Example
//! A tab of 7075-T6 whose foot is welded to a tube.
//!
//! # Remedy
//! Bolt it, or use an alloy that is welded, such as 6061-T6.
//!
//! # Source
//! That 7075 is not welded where it carries a load: common practice. EN 1999-1-1 gives no strength
//! beside a weld for it.

use crate::check::subject::Subject;
use crate::diag::EdgeId;
use crate::diag::Feature;
use crate::diag::Finding;
use crate::diag::Weight;
use crate::part::Face;
use crate::part::Weld;
use crate::strength::Metal;
use crate::table::Row;
use crate::table::Table;
use std::sync::Arc;

const CODE: &str = "weld-metal";

pub(super) fn check(subject: &Subject) -> Vec<Finding> {
    let metal = subject.material;
    if metal.text("weld") != Some("no") {
        return Vec::new();
    }
    let welds = |row: &&Arc<Row>| {
        row.text("metal") == metal.text("metal") && Metal::beside_weld(row).is_some()
    };
    let rows = subject.tables.table("material").into_iter().flat_map(Table::rows);
    let other = rows.into_iter().find(welds);
    let other = other.map_or(String::new(), |row| format!(", such as `{}`", row.name()));
    let faces = subject.part.faces.iter().enumerate();
    let welds = faces.flat_map(|(index, face)| face.welds.iter().map(move |w| (index, face, w)));
    let found = |(index, face, weld): (usize, &Face, &Weld)| {
        let edge = face.edges.iter().position(|edge| edge.name == weld.edge);
        let edge = edge.map(|edge| Feature::Edge(EdgeId { face: index, edge }));
        let headline =
            format!("edge `{}` is welded, but {} must not be welded", weld.edge, metal.name());
        subject
            .finding(Weight::Stop, CODE, headline, &weld.depends, weld.span)
            .about(subject.of_part(edge))
            .help(format!("use a weldable metal{other}, or a part that is bolted"))
    };
    welds.map(found).collect()
}

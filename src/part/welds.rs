//! The welded edges of a face.

use crate::diag::Finding;
use crate::diag::instead;
use crate::geom::Edge;
use crate::part::face::Weld;
use crate::part::values::Values;
use crate::recipe;

/// The welds of the face called `name`, whose edges and arcs have these names; `None` when
/// something was reported.
pub(super) fn build(
    name: &str,
    face: &recipe::Face,
    named: &[(&str, Edge)],
    values: &Values,
) -> Option<Vec<Weld>> {
    let mut welds = Vec::new();
    for weld in &face.welds {
        values.each(weld.each.as_ref(), |values| {
            welds.push(one(name, weld, named, values)?);
            Some(())
        })?;
    }
    Some(welds)
}

fn one(name: &str, weld: &recipe::Weld, named: &[(&str, Edge)], values: &Values) -> Option<Weld> {
    let edge = values.edge_name(&weld.edge);
    let stretches: Vec<Edge> =
        named.iter().filter(|(name, _)| *name == edge).map(|(_, edge)| *edge).collect();
    let length: f64 = stretches.iter().map(Edge::length).sum();
    if length == 0.0 {
        let mut names: Vec<&str> = named.iter().map(|(name, _)| *name).collect();
        names.dedup();
        let headline = format!("face `{name}` has no edge `{edge}` to weld");
        let help = instead(&edge, &names, "its named edges are");
        values.findings.add(Finding::stop("weld", headline).at(weld.span, "").help(help));
        return None;
    }
    let leg = match &weld.leg {
        Some(leg) => Some(values.length(leg)?),
        None => None,
    };
    Some(Weld {
        edge,
        length,
        stretches,
        sides: weld.sides,
        all_round: weld.all_round,
        leg,
        note: weld.note.clone(),
    })
}

//! Values to a part: faces joined by bends.
//!
//! Each face is drawn in its own plane, by its outside (or inside) measures as one
//! would take them on the finished piece; [`crate::flat`] takes off what the bends
//! use up. In the face that a bend carries, x runs along the edge from its middle
//! and y away from it.

mod bevel;
mod blank;
mod captured;
mod clevis;
mod depends;
mod drawn_holes;
mod edges;
mod face;
mod hands;
mod holes;
mod insert;
mod joint;
mod marks;
mod recess;
mod relief;
mod shape;
mod tongue;
mod tree;
mod values;
mod whole;

use crate::bend::Development;
use crate::diag::Finding;
use crate::diag::instead;
use crate::document::Findings;
use crate::geom::Edge;
use crate::recipe::Params;
use crate::recipe::Recipe;
use crate::table::Tables;
pub use bevel::Bevel;
pub use face::Cope;
pub use face::CornerStep;
pub use face::Face;
pub use face::Hole;
pub use face::HoleSize;
pub use face::Idle;
pub use face::Mark;
pub use face::Marked;
pub use face::NamedEdge;
pub use face::Weld;
pub use insert::Insert;
pub use joint::Bend;
pub use joint::Relief;
pub use recess::Recess;
use values::Values;
pub use whole::Captured;
pub use whole::Clevis;
pub use whole::Fact;
pub use whole::Part;

/// Builds the parts that a recipe and its values describe: most often one; several for
/// a weldment of loose plates, and for bent parts that are needed in both hands. A bend
/// goes by what `development` has under its name, else by its recipe, else by what is
/// usual there. `name` is for the words that are marked on the parts.
///
/// # Errors
/// Everything that cannot be built, each with its place in the recipe.
pub fn build(
    recipe: &Recipe,
    params: &Params,
    tables: &Tables,
    development: impl Into<Development>,
    name: &str,
) -> Result<Vec<Part>, Vec<Finding>> {
    let development = development.into();
    let findings = Findings::default();
    let values = Values { params, tables, findings: &findings };
    let Some(thickness) = params.get("thickness").and_then(values::as_length) else {
        return Err(vec![Finding::stop("missing-input", "the sheet has no thickness")]);
    };
    let faces: Vec<Face> = recipe
        .faces
        .iter()
        .filter_map(|(name, face)| one_face(name, face, &values, thickness))
        .collect();
    let mut parts = Vec::new();
    if findings.is_empty() {
        parts = tree::parts(recipe, faces, &values, &development);
        marks::tick(recipe, &mut parts, &values);
    }
    let facts = recipe.facts.iter().filter_map(|fact| {
        let value = values.value(&fact.value)?;
        Some(Fact { name: fact.name.clone(), value, about: fact.about.clone() })
    });
    let facts: Vec<Fact> = facts.collect();
    if let Some(first) = parts.first_mut() {
        first.facts = facts;
    }
    if !parts.is_empty() {
        clevis::add(recipe, &mut parts, &values);
        captured::add(recipe, &mut parts, &values);
    }
    if recipe.mirror {
        parts = hands::both(parts);
    }
    for part in &mut parts {
        // One slip is one finding, however many parts have it.
        if findings.is_empty() {
            let name = format!("{name}{}", part.suffix);
            marks::letter(part, &name, &values);
        }
    }
    let findings = findings.take();
    if findings.is_empty() { Ok(parts) } else { Err(findings) }
}

fn one_face(
    name: &str,
    face: &crate::recipe::Face,
    values: &Values,
    thickness: f64,
) -> Option<Face> {
    let blank::Blank { region, edges, arcs, coped, files, idle, copes } =
        blank::build(face, values, thickness)?;
    let (region, drawn) = drawn_holes::take(region, &files);
    let holes = holes::build(face, &region, &[edges.as_slice(), &arcs].concat(), drawn, values)?;
    // What is left of an edge of a name, whatever it is for.
    let left = |edge: &str, span, (code, what): (&'static str, &str)| {
        let named = edges.iter().chain(&arcs).filter(|e| e.name == edge).map(|e| e.edge);
        let curved = coped.iter().filter(|(name, _)| *name == edge).flat_map(|c| c.1.clone());
        let stretches: Vec<Edge> = named.chain(curved).collect();
        if !stretches.is_empty() {
            return Some(stretches);
        }
        let named = edges.iter().chain(&arcs).map(|e| e.name.as_str());
        let mut names: Vec<&str> = named.chain(coped.iter().map(|c| c.0.as_str())).collect();
        names.dedup();
        let headline = format!("face `{name}` has no edge `{edge}` to {what}");
        let help = instead(edge, &names, "its named edges are");
        values.findings.add(Finding::stop(code, headline).at(span, "").help(help));
        None
    };
    let mut bevels = Vec::new();
    for bevel in &face.bevels {
        let stretches = left(&bevel.edge, bevel.span, ("bevel", "bevel"))?;
        bevels.push(bevel::build(bevel, stretches, thickness, values)?);
    }
    let mut welds = Vec::new();
    for weld in &face.welds {
        let stretches = left(&weld.edge, weld.span, ("weld", "weld"))?;
        welds.push(one_weld(weld, stretches, values)?);
    }
    let marks = marks::build(face, values)?;
    let files = files.into_iter().map(|of| of.file).collect();
    Some(Face {
        name: name.to_owned(),
        blank: region,
        edges,
        arcs,
        holes,
        marks,
        welds,
        bevels,
        files,
        idle,
        copes,
    })
}

/// A weld along what is left of its edge.
fn one_weld(weld: &crate::recipe::Weld, stretches: Vec<Edge>, values: &Values) -> Option<Weld> {
    let leg = match &weld.leg {
        Some(leg) => Some(values.length(leg)?),
        None => None,
    };
    Some(Weld {
        edge: weld.edge.clone(),
        length: stretches.iter().map(Edge::length).sum(),
        stretches,
        sides: weld.sides,
        all_round: weld.all_round,
        leg,
        note: weld.note.clone(),
    })
}

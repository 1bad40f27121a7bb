//! The obstacles of a face, in a recipe.

use crate::diag::Finding;
use crate::diag::Span;
use crate::document::Fields;
use crate::document::Findings;
use crate::document::Item;
use crate::recipe::each::Each;
use crate::recipe::expr::Expr;
use crate::recipe::measures::Measures;
use crate::recipe::outline::Files;
use crate::recipe::shape::Placed;
use crate::recipe::shape::placed;

/// Something that a face must stay clear of, seen square to it.
#[derive(Clone, Debug)]
pub struct Obstacle {
    /// Its name.
    pub name: String,
    /// Its shape.
    pub shape: Placed,
    /// Required clearance between it and the metal; 0 when left out.
    pub clearance: Option<Expr>,
    /// Only when this is true.
    pub when: Option<Expr>,
    /// Once for each value of lists.
    pub each: Option<Each>,
    /// The whole entry.
    pub span: Span,
}

/// The shapes an obstacle may have: those with an area.
pub(crate) const OBSTACLES: &[&str] =
    &["disc", "slot", "rectangle", "polygon", "belt", "hexagon", "arm"];

/// Reads an entry of `obstacles`.
pub(super) fn read(item: &Item, files: Files, findings: &Findings) -> Option<Obstacle> {
    let measures = Measures(Fields::of(item, findings)?);
    let name = measures.0.needed_label("name", "\"lever\"").map(str::to_owned);
    let shape = shape(&measures, files);
    let (clearance, when) = (measures.may("clearance"), measures.may("when"));
    let each = Each::read(&measures);
    if shape.is_some() {
        measures.0.finish();
    }
    let (name, shape, each) = (name?, shape?, each?);
    Some(Obstacle { name, shape, clearance, when, each, span: item.span })
}

fn shape(measures: &Measures, files: Files) -> Option<Placed> {
    let item = measures.0.need("shape", "\"arm\"")?;
    if item.text().is_some_and(|shape| OBSTACLES.contains(&shape)) {
        return placed(measures, "shape", files);
    }
    let headline = format!("the `shape` of an obstacle is one of: {}", OBSTACLES.join(", "));
    let help = "write `shape = \"disc\", radius = \"10 mm\"`, or another of them";
    measures.0.add(Finding::stop("unknown-shape", headline).at(item.span, "").help(help));
    None
}

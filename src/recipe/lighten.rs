//! The lightening openings of a face, as the recipe gives them.

use crate::diag::Finding;
use crate::diag::Span;
use crate::document::Fields;
use crate::document::Findings;
use crate::document::Item;
use crate::recipe::around::Around;
use crate::recipe::each::Each;
use crate::recipe::expr::Expr;
use crate::recipe::measures::Measures;
use crate::recipe::measures::both;
use crate::recipe::outline::Files;
use crate::recipe::shape::Placed;
use crate::recipe::shape::list;
use crate::recipe::shape::placed;

/// Openings wherever a face is wider than its walls.
#[derive(Clone, Debug)]
pub struct Lighten {
    /// Width of metal left inside the outline and round every hole and cut-out.
    pub wall: Expr,
    /// Radius of the corners of the openings.
    pub round: Expr,
    /// Narrower openings are left out.
    pub smallest: Option<Expr>,
    /// They stay within this shape.
    pub within: Option<Placed>,
    /// Ribs left across them.
    pub ribs: Vec<Rib>,
    /// Only when this is true.
    pub when: Option<Expr>,
    /// Once for each value of lists.
    pub each: Option<Each>,
    /// The whole entry.
    pub span: Span,
}

/// A straight rib.
#[derive(Clone, Debug)]
pub struct Rib {
    /// Where its centre line begins.
    pub from: [Expr; 2],
    /// Where it ends.
    pub to: [Expr; 2],
    /// Across; the wall when it is left out.
    pub width: Option<Expr>,
    /// Once for each value of lists.
    pub each: Option<Each>,
    /// Repeated round a point.
    pub around: Option<Around>,
    /// The whole entry.
    pub span: Span,
}

/// The shapes openings may be confined to: those with an inside and no key that has another
/// meaning here.
pub(crate) const WITHIN: &[&str] = &["disc", "slot", "rectangle", "polygon", "hexagon"];

/// Reads an entry of `lighten`.
pub(super) fn read(item: &Item, files: Files, findings: &Findings) -> Option<Lighten> {
    let measures = Measures(Fields::of(item, findings)?);
    let (wall, round) = (measures.need("wall"), measures.need("round"));
    let smallest = measures.may("smallest");
    let within = within(&measures, files)?;
    let ribs = if measures.0.has("ribs") { list(&measures, "ribs", rib)? } else { Vec::new() };
    let (when, each) = (measures.may("when"), Each::read(&measures));
    measures.0.finish();
    let (wall, round) = both(wall, round)?;
    Some(Lighten { wall, round, smallest, within, ribs, when, each: each?, span: item.span })
}

/// The shape they are confined to, if any; `None` when it cannot be read.
fn within(measures: &Measures, files: Files) -> Option<Option<Placed>> {
    let Some(item) = measures.0.get("within") else { return Some(None) };
    if item.text().is_some_and(|shape| WITHIN.contains(&shape)) {
        return placed(measures, "within", files).map(Some);
    }
    let headline = format!("`within` is one of: {}", WITHIN.join(", "));
    measures.0.add(
        Finding::stop("unknown-shape", headline)
            .at(item.span, "")
            .help("write `within = \"rectangle\", width = \"60 mm\", height = \"40 mm\"`"),
    );
    None
}

fn rib(item: &Item, findings: &Findings) -> Option<Rib> {
    let measures = Measures(Fields::of(item, findings)?);
    let end = |name: &str| {
        measures.0.need(name, "[\"0\", \"0\"]")?;
        measures.point(name)
    };
    let ends = both(end("from"), end("to"));
    let (width, each) = (measures.may("width"), Each::read(&measures));
    let around = Around::read(&measures);
    measures.0.finish();
    let (from, to) = ends?;
    Some(Rib { from, to, width, each: each?, around: around?, span: item.span })
}

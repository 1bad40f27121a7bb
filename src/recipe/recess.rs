//! Countersinks and counterbores of holes, as a recipe gives them.

use crate::diag::Finding;
use crate::diag::Span;
use crate::document::Fields;
use crate::recipe::expr::Expr;
use crate::recipe::measures::Measures;
use crate::recipe::measures::word;

/// A side of the sheet.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Side {
    /// The top side, which drawings show.
    #[default]
    Up,
    /// The bottom side.
    Down,
}

impl Side {
    /// As drawings say it.
    pub(crate) const fn word(self) -> &'static str {
        match self {
            Self::Up => "top side",
            Self::Down => "bottom side",
        }
    }
}

/// A countersink or a counterbore. Dimensions left out follow from the rest, or from the head of
/// the screw that the hole is for.
#[derive(Clone, Debug)]
pub struct Recess {
    /// Whether it is a counterbore: a cylinder, and no cone.
    pub flat: bool,
    /// Included angle of the cone.
    pub angle: Option<Expr>,
    /// Diameter at the surface.
    pub diameter: Option<Expr>,
    /// Below the surface.
    pub depth: Option<Expr>,
    /// From which side it is made.
    pub side: Side,
    /// Its entry.
    pub span: Span,
}

impl Recess {
    /// As the trade calls it.
    pub(crate) const fn word(&self) -> &'static str {
        if self.flat { "counterbore" } else { "countersink" }
    }

    /// The dimensions it gives.
    pub(crate) fn measures(&self) -> impl Iterator<Item = &Expr> {
        self.angle.iter().chain(&self.diameter).chain(&self.depth)
    }
}

/// The recess of a hole; `None` if it has no recess, or after a finding.
pub(super) fn read(hole: &Measures) -> Option<Recess> {
    let keys = [("countersink", false), ("counterbore", true)];
    let mut found = keys.into_iter().filter_map(|(key, flat)| Some((hole.0.get(key)?, flat)));
    let (item, flat) = found.next()?;
    if let Some((second, _)) = found.next() {
        hole.0.add(
            Finding::stop("wrong-kind", "a hole has a countersink or a counterbore, not both")
                .at(second.span, "")
                .help("remove one of them"),
        );
    }
    let inner = Measures(Fields::of(item, hole.0.findings())?);
    let angle = if flat { None } else { inner.may("angle") };
    let (diameter, depth) = (inner.may("diameter"), inner.may("depth"));
    let side = side(&inner.0);
    inner.0.finish();
    Some(Recess { flat, angle, diameter, depth, side, span: item.span })
}

/// The side that `side` names; the top side when it is left out.
pub(super) fn side(fields: &Fields) -> Side {
    word(fields, "side", &[("up", Side::Up), ("down", Side::Down)]).unwrap_or_default()
}

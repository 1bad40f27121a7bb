//! Tongues on an edge, and their slots: welded frames that locate themselves for welding.
//!
//! Tongue and slot agree when `count`, `width` and `span` do. The clearance is given
//! once, at the slot: a tongue is as wide as it says and as thick as its plate.

use crate::diag::Finding;
use crate::diag::Span;
use crate::recipe::expr::Expr;
use crate::recipe::measures::Measures;
use crate::recipe::measures::both;

/// A step that adds tongues to a named straight edge: `{ add = "tongue", edge = "foot", count =
/// "2", width = "12 mm", span = "60 mm" }`.
#[derive(Clone, Debug)]
pub struct Tongue {
    /// `edge`: name of the edge.
    pub edge: String,
    /// `count`: how many; one if its position is given.
    pub count: Option<Expr>,
    /// `width`: of each, along the edge.
    pub width: Expr,
    /// Their positions.
    pub spread: Spread,
    /// `depth`: how far each stands out; the thickness of this sheet when left out.
    pub depth: Option<Expr>,
    /// `relief`: radius of the half rounds that free the corners beside its root, at least
    /// half the kerf; three quarters of it when left out, and 0.3 mm or more.
    pub relief: Option<Expr>,
}

/// The positions of tongues along their edge.
#[derive(Clone, Debug)]
pub enum Spread {
    /// Each in the centre of an equal share of the edge.
    Even,
    /// `span`: from the centre of the first to that of the last, about the midpoint of the edge.
    Span(Expr),
    /// `ends`: from the ends of the edge to the centres of the outer ones.
    Ends(Expr),
    /// `at`: beside a point of the face, where that is nearest to the edge.
    At([Expr; 2]),
}

/// The shape of a slot for a tongue, in a hole
/// `{ name = "seat", tongue_slot = { count = "2", width = "12 mm", span = "60 mm", fit = "0.1 mm" } }`.
///
/// Each is `width + 2 fit` long and `plate + 2 fit` wide, in a row along x before rotation; `count`
/// and `span` are those of the tongues. The cutter makes up for its kerf, so no kerf is drawn; but
/// it leaves inside corners round by half of it. So each corner is the centre of a round of radius
/// `relief`, and a square tongue seats.
#[derive(Clone, Debug)]
pub struct TongueSlot {
    /// `width` of the tongue.
    pub width: Expr,
    /// `fit`: clearance on each side after cutting.
    pub fit: Expr,
    /// `plate`: thickness of the plate with the tongues; that of this sheet when left out.
    pub plate: Option<Expr>,
    /// `relief`: as at the tongue.
    pub relief: Option<Expr>,
}

pub(super) fn tongue(measures: &Measures) -> Option<Tongue> {
    measures.0.get("add");
    let edge = measures.0.needed_text("edge", "\"foot\"").map(str::to_owned);
    let is_placed = measures.0.has("at");
    let count = match is_placed {
        true => Some(None),
        false => measures.need_count("count").map(Some),
    };
    let counted = both(count, measures.need("width"));
    let spread = spread(measures, is_placed);
    let (depth, relief) = (measures.may("depth"), measures.may("relief"));
    let (edge, (count, width)) = both(edge, counted)?;
    Some(Tongue { edge, count, width, spread: spread?, depth, relief })
}

/// The positions of tongues: by one of its keys.
fn spread(measures: &Measures, is_placed: bool) -> Option<Spread> {
    let refuse = |words: &str, at: Span, key: &str| {
        let finding = Finding::stop("wrong-kind", words).at(at, "");
        measures.0.add(finding.help(format!("remove `{key}`")));
    };
    if is_placed {
        for key in ["count", "span", "ends"] {
            if let Some(item) = measures.0.get(key) {
                refuse("a tongue with a position, `at`, is a single one", item.span, key);
                return None;
            }
        }
        return measures.point("at").map(Spread::At);
    }
    let (span, ends) = (measures.may("span"), measures.may("ends"));
    Some(match (span, ends) {
        (None, None) => Spread::Even,
        (Some(span), None) => Spread::Span(span),
        (None, Some(ends)) => Spread::Ends(ends),
        (Some(_), Some(ends)) => {
            refuse("tongues are placed by `span` or by `ends`", ends.span, "ends");
            return None;
        }
    })
}

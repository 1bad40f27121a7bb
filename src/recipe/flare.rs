//! Flares of holes, as a recipe gives them: lips that a die pair forms after cutting.

use crate::diag::Finding;
use crate::diag::Span;
use crate::document::Fields;
use crate::recipe::expr::Expr;
use crate::recipe::measures::Measures;
use crate::recipe::recess;
use crate::recipe::recess::Side;

/// The conical lip of a hole. The diameter of the hole is the final one, at the mouth of the lip.
#[derive(Clone, Debug)]
pub struct Flare {
    /// Height of the lip above the sheet.
    pub height: Expr,
    /// Where it begins, or how steep it is.
    pub reach: Reach,
    /// Inside radius at its foot; `None` if that is sharp.
    pub radius: Option<Expr>,
    /// The side of the sheet it is on.
    pub side: Side,
    /// Its entry.
    pub span: Span,
}

/// The key that sets how far a lip reaches out.
#[derive(Clone, Debug)]
pub enum Reach {
    /// The diameter at which it leaves the sheet.
    Outside(Expr),
    /// Between the lip and the sheet.
    Angle(Expr),
}

impl Flare {
    /// The dimensions it gives.
    pub(crate) fn measures(&self) -> impl Iterator<Item = &Expr> {
        let (Reach::Outside(reach) | Reach::Angle(reach)) = &self.reach;
        [&self.height, reach].into_iter().chain(&self.radius)
    }
}

/// Keys that a flared hole has not, and why.
const ALONE: [(&str, &str); 4] = [
    ("countersink", "a flared hole has no countersink"),
    ("counterbore", "a flared hole has no counterbore"),
    ("insert", "an insert needs a flat seat, and a flared hole has none"),
    ("made", "a flared hole is cut, then formed: it cannot be drilled, reamed or tapped"),
];

/// The flare of a hole; `None` if it has no flare, or after a finding.
pub(super) fn read(hole: &Measures) -> Option<Flare> {
    let item = hole.0.get("flare")?;
    hole.alone("flare", &ALONE);
    let inner = Measures(Fields::of(item, hole.0.findings())?);
    let height = inner.need("height");
    let (outside, angle) = (inner.may("outside"), inner.may("angle"));
    let (radius, side) = (inner.may("radius"), recess::side(&inner.0));
    inner.0.finish();
    let reach = match (outside, angle) {
        (Some(outside), None) => Reach::Outside(outside),
        (None, Some(angle)) => Reach::Angle(angle),
        (outside, _) => {
            let headline = match outside {
                Some(_) => "give `outside` or `angle` of a flare: one follows from the other",
                None => "a flare needs its `outside` diameter or its `angle`",
            };
            let help = "write `flare = { height = \"6 mm\", outside = \"60 mm\" }`";
            hole.0.add(Finding::stop("flare", headline).at(item.span, "").help(help));
            return None;
        }
    };
    Some(Flare { height: height?, reach, radius, side, span: item.span })
}

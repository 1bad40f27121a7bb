//! Findings for a `fill` or `round` whose disc does not fit.

use crate::diag::Finding;
use crate::diag::Span;
use crate::geom::Corners;
use crate::geom::Region;
use crate::part::face::CornerStep;
use crate::part::values::Values;

/// Radii are offered in steps of this many mm, rounded down. Our choice.
const STEP: f64 = 0.1;

/// Reports where a disc of this radius, mm, does not fit, and the radius that would.
pub(super) fn report(does: CornerStep, radius: f64, span: Span, before: &Region, values: &Values) {
    let corners = match does {
        CornerStep::Fill => Corners::Inward,
        CornerStep::Round => Corners::Outward,
    };
    let unfit = before.unfit(corners, radius);
    let show = |mm: f64| values.params.units().length(mm);
    let at = unfit.at.map(|at| format!(" at {}, {}", show(at.x), show(at.y))).unwrap_or_default();
    let needs = show(2.0 * radius);
    let (what, why) = match (does, unfit.width) {
        (CornerStep::Fill, Some(width)) => {
            ("close a gap", format!(": it is {} wide there, and {needs} is needed", show(width)))
        }
        (CornerStep::Fill, None) => {
            ("close a gap", ": it reaches no inside corner there".to_owned())
        }
        (CornerStep::Round, Some(width)) => (
            "remove metal",
            format!(" that is {} wide there, where {needs} is needed", show(width)),
        ),
        (CornerStep::Round, None) => ("remove metal", " that is too narrow for it".to_owned()),
    };
    let step = match does {
        CornerStep::Fill => "fill",
        CornerStep::Round => "round",
    };
    let headline = format!("a {step} of {} would {what}{at}{why}", show(radius));
    let fits = (unfit.fits / STEP).floor() * STEP;
    let there = if unfit.at.is_some() { " there" } else { "" };
    let wider = match does {
        CornerStep::Fill => format!("make the gap wider{there}"),
        CornerStep::Round => format!("make the metal wider{there}"),
    };
    let help = match fits > 0.0 {
        true => format!("write `{step} = \"{}\"` or less, or {wider}", show(fits)),
        false => format!("{wider}, or leave out this `{step}`"),
    };
    let mut finding = Finding::stop("blank", headline).at(span, "").help(help);
    if unfit.at.is_some() {
        finding = finding.note("positions are in the drawing of the face, as its steps have them");
    }
    values.findings.add(finding);
}

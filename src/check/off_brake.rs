//! What the checks of rolled bends and hems share: bends that no brake makes.

use crate::check::subject::Subject;
use crate::diag::Feature;
use crate::diag::Finding;
use crate::diag::Weight;
use crate::part::Bend;
use crate::sequence::Unfit;

/// A finding about a bend, with its weight, code and subject, which distinguish the findings of one
/// bend.
pub(super) fn found(
    subject: &Subject,
    of: (Weight, &'static str, &str),
    at: (usize, &Bend),
    headline: String,
) -> Finding {
    let ((weight, code, label), (i, bend)) = (of, at);
    subject
        .finding(weight, code, headline, &bend.depends, bend.span)
        .at(bend.span, label)
        .about(subject.of_part([Feature::Bend(i)]))
}

/// The finding with the reason why each tool of the shop is unsuitable.
pub(super) fn because(finding: Finding, subject: &Subject, unfit: &[(String, Unfit)]) -> Finding {
    unfit.iter().fold(finding, |finding, (name, why)| {
        finding.note(format!("{name}: {}", words(subject, *why)))
    })
}

/// Why a tool does not make a rolled bend or a hem.
fn words(subject: &Subject, why: Unfit) -> String {
    let show = |mm: f64| subject.show(mm);
    match why {
        Unfit::Takes { length, thickest } => {
            format!(
                "it bends lengths up to {}, in sheet equivalent to {} of the metal it is rated \
                 for",
                show(length),
                show(thickest)
            )
        }
        Unfit::Radius { is, min, max } => {
            let to = if max.is_finite() { format!("to {}", show(max)) } else { "or more".into() };
            format!(
                "its inside radii are {} {to}; this one is {} before springback",
                show(min),
                show(is)
            )
        }
        Unfit::FlatEnd { is, min } => {
            format!(
                "it leaves {} straight at the end; the sheet ends {} from the bend",
                show(min),
                show(is)
            )
        }
        Unfit::Return { is, min } => {
            format!("the return is {}, but {} is needed", show(is), show(min))
        }
        Unfit::Acute { min } => {
            format!("none of the shop's brakes can make the acute bend of {min} that comes first")
        }
    }
}

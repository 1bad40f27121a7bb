//! A fillet far larger than its plate.
//!
//! # Looks for
//! A `leg` of a weld of more than 10 mm that is more than one and a half times the thickness of its
//! plate.
//!
//! # Why it matters
//! A fillet as large as the thinner plate is as strong as that plate; more costs time, pulls the
//! part out of shape and burns through thin sheet. So large a leg is often a slip of the pen, and
//! every sum with it flatters.
//!
//! # Example
//! A leg of 50 mm along a plate of 5 mm, where 5 mm was meant.
//!
//! # Remedy
//! Give the leg that is welded, or leave it out.
//!
//! # Source
//! Common practice: the leg is at most the thickness of the thinner plate. From where it is said:
//! our choice, as the other plate may be thicker.

use crate::check::subject::Subject;
use crate::diag::Finding;
use crate::diag::Weight;

const CODE: &str = "weld-leg";

/// A leg of up to so many thicknesses may suit a thicker plate beside. Our choice.
const THICKNESSES: f64 = 1.5;

/// A leg of so much is made along sheet of any thickness, mm. Our choice.
const SMALL: f64 = 10.0;

pub(super) fn look(subject: &Subject) -> Vec<Finding> {
    let thickness = subject.part.thickness;
    let welds = subject.part.faces.iter().flat_map(|face| &face.welds);
    let mut findings: Vec<Finding> = Vec::new();
    for weld in welds {
        let Some(leg) = weld.leg.filter(|leg| *leg > SMALL.max(THICKNESSES * thickness)) else {
            continue;
        };
        // One word for each entry, however many pieces its edge is in.
        if findings.iter().any(|finding| finding.marks.iter().any(|m| m.span == weld.span)) {
            continue;
        }
        let (leg, plate) = (subject.show(leg), subject.show(thickness));
        let headline = format!(
            "the fillet along edge `{}` has a leg of {leg}, on a plate of {plate}",
            weld.edge
        );
        findings.push(
            subject
                .finding(Weight::Caution, CODE, headline, &[], weld.span)
                .note("as large as the thinner plate is as strong as it (common practice)")
                .help(format!("write the leg that is welded, such as `leg = \"{plate}\"`")),
        );
    }
    findings
}

//! A relief too small to keep the sheet from tearing.
//!
//! # Looks for
//! A cut beside the end of a bend that is narrower than the sheet thickness or the
//! narrowest slot of the process, or does not reach 1/32 in behind the line where the bend
//! begins (caution); one narrower than the kerf, which cannot be cut at all (stop).
//!
//! # Why it matters
//! The metal at the end of a bend has nowhere to go: it bulges into a slit and tears where
//! a relief ends too early.
//!
//! # Example
//! In 4 mm sheet a relief 2 mm wide.
//!
//! # Remedy
//! Leave `relief_width` and `relief_depth` out, or make them larger.
//!
//! # Source
//! Width: a trade text, at least one sheet thickness. Depth: FAA-H-8083-31, 1/32 to 1/16 in
//! behind the tangent line. Kerf and narrowest slot: the row of the process.

use crate::check::subject::Subject;
use crate::check::subject::short;
use crate::diag::Feature;
use crate::diag::Finding;
use crate::diag::Weight;
use crate::quantity::MM_PER_INCH;
use crate::recipe::ReliefShape;
use crate::table::ProcessLimit;

const CODE: &str = "relief-size";

pub(super) fn check(subject: &Subject) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (i, bend) in subject.part.bends.iter().enumerate() {
        let relief = &bend.relief;
        let cut = match relief.shape {
            ReliefShape::Square | ReliefShape::Round | ReliefShape::Hole => true,
            ReliefShape::Tear | ReliefShape::None => false,
        };
        let (width, depth) = (relief.width, relief.depth);
        let slot = subject.limit(ProcessLimit::SLOT);
        let kerf = subject.process.measure("kerf");
        let faults = [
            (Weight::Stop, "wide", width, kerf, "the kerf"),
            (Weight::Caution, "wide", width, subject.part.thickness, "the thickness"),
            (Weight::Caution, "wide", width, slot, "the narrowest slot of the process"),
            (Weight::Caution, "deep", depth, MM_PER_INCH / 32.0, "behind where the bend begins"),
        ];
        let mut said = "";
        for (weight, what, is, needed, why) in faults {
            if !cut || !short(is, needed) || said == what {
                continue;
            }
            said = what;
            let (is, needed) = (subject.show(is), subject.show(needed));
            let headline = format!(
                "the relief at bend `{}` is {is} {what}, but {needed} is needed",
                bend.name
            );
            findings.push(
                subject
                    .finding(weight, CODE, headline, &bend.depends, bend.span)
                    .about(subject.of_part([Feature::Bend(i)]))
                    .note(format!("{needed}: {why}"))
                    .help(format!("make it {needed} {what}, or leave its size out")),
            );
        }
    }
    findings
}

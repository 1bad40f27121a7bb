//! Too little metal between two cuts.
//!
//! # Looks for
//! Two holes, at their finished size, with less metal between them than the process
//! leaves sound: a share of the thickness, or a least width of its own.
//!
//! # Why it matters
//! A thin web overheats and warps under a beam, breaks out under a jet, and tears later.
//!
//! # Example
//! Two 9 mm holes 11 mm apart in 3 mm plate leave a web of 2 mm where 3 mm are needed.
//!
//! # Remedy
//! Move the holes apart, make them smaller, or join them into a slot.
//!
//! # Source
//! Common practice; the figures stand in the table `process`.

use crate::check::Subject;
use crate::check::growth;
use crate::diag::Finding;
use crate::diag::Weight;
use crate::geom::outline_distance;

const CODE: &str = "web";

pub(super) fn look(subject: &Subject) -> Vec<Finding> {
    let least = subject.by_thickness("least_web_ratio", Some("least_web"));
    let holes: Vec<_> =
        subject.holes().map(|(flat, hole)| (flat, hole, flat.outline.bounds())).collect();
    let mut findings = Vec::new();
    for (i, (a, first, a_box)) in holes.iter().enumerate() {
        for (b, second, b_box) in &holes[i + 1..] {
            let grown = growth(first) + growth(second);
            if a_box.distance(b_box) - grown >= least {
                continue;
            }
            let web = outline_distance(&a.outline, &b.outline) - grown;
            if web >= least - 1e-9 {
                continue;
            }
            let (is, needed) = (subject.show(web.max(0.0)), subject.show(least));
            let headline = format!(
                "the web between `{}` and `{}` is {is}, but {needed} are needed",
                first.name, second.name
            );
            let names = [first.depends.clone(), second.depends.clone()].concat();
            findings.push(
                subject
                    .finding(Weight::Stop, CODE, headline, &names, second.span)
                    .note(format!(
                        "least web by {} in {}: {needed}",
                        subject.process.name(),
                        subject.show(subject.part.thickness)
                    ))
                    .help(format!("move them {} further apart", subject.show(least - web))),
            );
        }
    }
    findings
}

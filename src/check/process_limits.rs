//! A part too small, or a sheet too thin, for the cutting process.
//!
//! # Looks for
//! A part whose flat is narrower overall than three kerfs; a sheet thinner than the process
//! cuts (`min_thickness` of the `process` table).
//!
//! # Why it matters
//! A piece a few kerfs wide burns, is washed away or falls through the slats; foil warps
//! and tears before it is cut. The usual cause is a mistyped unit.
//!
//! # Example
//! A strap 2 mm wide, cut by waterjet with a kerf of 1 mm.
//!
//! # Remedy
//! Check the units; if they are right, make the part larger, or use another process.
//!
//! # Source
//! Three kerfs: our choice. Thinnest sheet: common practice; the figures are in the `process`
//! table and can be replaced by the shop's own.

use crate::check::subject::Subject;
use crate::check::subject::short;
use crate::diag::Finding;

const CODE: &str = "process-limits";

/// Narrowest part, in kerfs. Our choice.
const KERFS: f64 = 3.0;

/// Whether the whole flat is narrower than the process cuts.
pub(super) fn is_too_small(subject: &Subject) -> bool {
    let bounds = subject.flat.region.bounds();
    short(bounds.width().min(bounds.height()), smallest(subject))
}

/// The narrowest part of the process, mm.
fn smallest(subject: &Subject) -> f64 {
    KERFS * subject.process.measure("kerf")
}

pub(super) fn check(subject: &Subject) -> Vec<Finding> {
    let (process, show) = (subject.process.name(), |mm: f64| subject.show(mm));
    let finding = |headline: String, help: String| {
        Finding::stop(CODE, headline).about(subject.of_part([])).at(subject.here, "").help(help)
    };
    let mut findings = Vec::new();
    let bounds = subject.flat.region.bounds();
    if is_too_small(subject) {
        let headline = format!(
            "the flat is {} × {}: {process} needs {}, three kerfs",
            show(bounds.width()),
            show(bounds.height()),
            show(smallest(subject))
        );
        let help = "make the part larger, or check its units".to_owned();
        findings.push(finding(headline, help));
    }
    let thinnest = subject.process.quantity("min_thickness").map_or(0.0, |min| min.value);
    if short(subject.part.thickness, thinnest) {
        let headline = format!(
            "the sheet is {} thick, but {process} needs {}",
            show(subject.part.thickness),
            show(thinnest)
        );
        let help = "use a thicker sheet, or another process".to_owned();
        findings.push(finding(headline, help));
    }
    findings
}

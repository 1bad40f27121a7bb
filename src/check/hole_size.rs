//! Holes and slots too small for the cutting process.
//!
//! # Looks for
//! A round hole, slot or hexagon that is narrower, as cut, than the process can pierce and
//! follow: a multiple of the thickness, or a minimum size of its own.
//!
//! # Why it matters
//! The jet or beam needs room to pierce and to change direction. A smaller hole comes out
//! tapered, burnt or not at all, and the cutting service rejects the file.
//!
//! # Example
//! A 4 mm hole in 6 mm plate, to be cut by waterjet, which needs 6 mm.
//!
//! # Remedy
//! Make the hole larger, or use thinner sheet. Where it has to be that small, leave it
//! out, mark its centre and drill it. Another process may do it. A recipe can require what it
//! needs: in formulas the smallest hole is `min_hole`.
//!
//! # Source
//! Common practice; the figures are in the `process` table and can be replaced by
//! the shop's own.

use crate::check::subject::Subject;
use crate::check::subject::short;
use crate::diag::Finding;
use crate::diag::Weight;
use crate::part::HoleSize;
use crate::table::ProcessLimit;

const CODE: &str = "hole-size";

pub(super) fn check(subject: &Subject) -> Vec<Finding> {
    let (hole, slot) = (ProcessLimit::HOLE, ProcessLimit::SLOT);
    let mut findings = Vec::new();
    for opening in subject.openings() {
        let (what, is, limit) = match (opening.hole.map(|h| h.size), opening.outline.circle()) {
            (Some(HoleSize::Round { diameter }), _) => ("hole", diameter, hole),
            (Some(HoleSize::Slot { width, .. } | HoleSize::ArcSlot { width, .. }), _) => {
                ("slot", width, slot)
            }
            (Some(HoleSize::TongueSlot { width, .. }), _) => ("slot for a tongue", width, slot),
            (Some(HoleSize::Hexagon { flats }), _) => ("hexagon", flats, hole),
            (None, Some((_, radius))) => ("hole", 2.0 * radius, hole),
            // The width of any other opening is not a single number.
            (None, None) => continue,
        };
        let min = subject.limit(limit);
        if !short(is, min) {
            continue;
        }
        let process = subject.process.name();
        let [shown, needed] = subject.show_short([is, min]);
        let headline = format!("{} is {shown} wide, but {process} needs {needed}", opening.words);
        let help = match opening.hole.map(|h| h.size) {
            // It grows with its sheet, so that by a coarse process no sheet helps.
            Some(HoleSize::TongueSlot { .. }) if !subject.finer().is_empty() => {
                "have it cut by a finer process, such as laser or waterjet: the slot is as wide as \
                 the plate with the tongue is thick"
                    .to_owned()
            }
            _ => format!(
                "make it {needed} or larger{}{}",
                subject.thinner(is, limit),
                subject.finer()
            ),
        };
        findings.push(
            subject
                .about(&opening, Weight::Stop, CODE, headline)
                .note(format!(
                    "sheet {} thick; smallest {what} by {process}: {needed}",
                    subject.show(subject.part.thickness)
                ))
                .help(help),
        );
    }
    findings
}

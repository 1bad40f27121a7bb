//! A flat computed for a different tool from the one that bends it.
//!
//! # Looks for
//! Where the job names a shop: a bend computed from a measured row, but made over another V
//! than that row was measured over, or on a brake without a V.
//!
//! # Why it matters
//! In air bending the V sets the radius and with it the bend deduction. A row measured over
//! 32 mm makes the legs of a bend over 50 mm too long or too short by a millimetre.
//!
//! # Example
//! The shop has measured 4 mm S235 over 32 mm; a bend with 90 mm of flange goes over 50 mm.
//!
//! # Remedy
//! Measure a strip over the V that is used (`platewright calibrate`), or compute the bend by a
//! formula: `method` in the recipe, or `bends` of the part.
//!
//! # Source
//! Shops that measured both find deductions an eighth apart between two tools (a shop's
//! table, 0.120 in steel: 0.180 in and 0.205 in).

use crate::bend::Method;
use crate::check::subject::Subject;
use crate::diag::Feature;
use crate::diag::Finding;
use crate::diag::Weight;

const CODE: &str = "measured-tool";

/// Two openings are one when they differ by less, mm.
const SAME_V: f64 = 0.5;

pub(super) fn look(subject: &Subject) -> Vec<Finding> {
    let Some((shop, plan)) = subject.shop else { return Vec::new() };
    let steps = plan.steps.iter().filter_map(|step| {
        let bend = &subject.part.bends[step.bend];
        let Method::Measured { v: measured, .. } = bend.bend.method() else { return None };
        let made = step.way.v(shop);
        if made.is_some_and(|v| (v - measured).abs() < SAME_V) {
            return None;
        }
        let over = match made {
            Some(v) => format!("over a V of {}", subject.show(v)),
            None => format!("on the {}", shop.brakes[step.way.brake].name),
        };
        let headline = format!(
            "bend `{}` is made {over}, but computed from a row measured over {}",
            bend.name,
            subject.show(measured)
        );
        Some(
            subject
                .finding(Weight::Caution, CODE, headline, &bend.depends, bend.span)
                .about(subject.of_part([Feature::Bend(step.bend)]))
                .help("measure a strip on that tool, or compute this bend by a formula"),
        )
    });
    steps.collect()
}

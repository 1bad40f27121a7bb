//! A flat computed for a different tool from the one that bends it.
//!
//! # Looks for
//! Where the job names a shop: a bend computed from a measured row, but made over another V
//! than that row was measured over, or on a brake without a V (caution); and one whose inside
//! radius is more than 1.5 times the one the row was measured at, or less than 1/1.5 (stop):
//! a K-factor is valid for a range of radius over thickness only.
//!
//! # Why it matters
//! In air bending the V sets the radius and with it the bend deduction. A row measured over
//! 32 mm makes the legs of a bend over 50 mm too long or too short by a millimetre.
//!
//! # Example
//! The shop has measured 4 mm S235 over 32 mm; a bend with a 90 mm flange is made over 50 mm.
//!
//! # Remedy
//! Measure a strip over the V that is used (`platewright calibrate`), or compute the bend by a
//! formula: `method` in the recipe, or `bends` of the part.
//!
//! # Source
//! Shops that measured both find bend deductions that differ by an eighth between two tools (a
//! shop's table, 0.120 in steel: 0.180 in and 0.205 in).

use crate::bend::Method;
use crate::check::subject::Subject;
use crate::diag::Feature;
use crate::diag::Finding;
use crate::diag::Weight;
use crate::part::Bend;
use crate::shop::SAME_V;
use crate::shop::Shop;

const CODE: &str = "measured-tool";

/// A row is valid up to this multiple of its radius, and down to its inverse. Our choice.
const RANGE: f64 = 1.5;

pub(super) fn check(subject: &Subject) -> Vec<Finding> {
    let Some((shop, plan)) = subject.shop else { return Vec::new() };
    let mut findings = out_of_range(subject, shop);
    let steps = plan.steps.iter().filter_map(|step| {
        let bend = &subject.part.bends[step.bend];
        let Method::Measured { v: measured, .. } = bend.bend.method() else { return None };
        let made = step.setup.v(shop);
        if made.is_some_and(|v| (v - measured).abs() < SAME_V) {
            return None;
        }
        let over = match made {
            Some(v) => format!("over a V of {}", subject.show_size(v)),
            None => shop.brakes[step.setup.brake].place(),
        };
        let headline = format!(
            "bend `{}` is made {over}, but computed from a row measured over {}",
            bend.name,
            subject.show_size(measured)
        );
        Some(
            subject
                .finding(Weight::Caution, CODE, headline, &bend.depends, bend.span)
                .about(subject.of_part([Feature::Bend(step.bend)]))
                .help("measure a strip on that tool, or compute this bend by a formula"),
        )
    });
    findings.extend(steps);
    findings
}

/// Bends whose radius is far from the one their row was measured at.
fn out_of_range(subject: &Subject, shop: &Shop) -> Vec<Finding> {
    let (material, thickness) = (subject.material.name(), subject.part.thickness);
    let finding = |(i, bend): (usize, &Bend)| {
        let Method::Measured { v, .. } = bend.bend.method() else { return None };
        let at = shop.measured(material, thickness, v)?.radius;
        let asked = bend.bend.radius();
        if asked <= RANGE * at && asked >= at / RANGE {
            return None;
        }
        let headline = format!(
            "bend `{}` has an inside radius of {}, but is computed from a row measured at {}",
            bend.name,
            subject.show(asked),
            subject.show(at)
        );
        let finding = subject.finding(Weight::Stop, CODE, headline, &bend.depends, bend.span);
        Some(finding.about(subject.of_part([Feature::Bend(i)])).help("compute this bend by a formula, `method = \"DIN 6935\"` in its recipe or `bends` in the part, or specify the measured radius"))
    };
    subject.part.bends.iter().enumerate().filter_map(finding).collect()
}

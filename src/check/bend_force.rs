//! A bend that needs more force than the brake has.
//!
//! # Looks for
//! Where the job names a shop: a bend for which every brake that is long enough is too weak,
//! or has no die near the usual V (stop); and a bend that needs more than five sixths of the
//! force of its brake (caution). Over a V a bend of length L takes
//! 1.48 Rm L T² / V; a folding brake is rated by the thickness of mild steel (450 MPa) it bends, or
//! of the metal its file names; for other metals the thickness is converted by the square root of
//! the ratio of tensile strengths. Rm is typical or maximum, `bend_tensile` in the `material`
//! table: sheet is usually stronger than its minimum.
//!
//! # Why it matters
//! The brake stalls during the stroke, or is permanently bent.
//!
//! # Example
//! 6 mm S235, 1 m long, needs 480 kN over a V of 50 mm; the brake has 400 kN.
//!
//! # Remedy
//! A wider V (with a longer flange and a larger radius), a shorter bend, thinner sheet, or
//! another shop.
//!
//! # Source
//! Four air-bending charts for mild steel, which differ from each other by a fifth: hence
//! the five sixths.

use crate::brake;
use crate::check::bend_sequence;
use crate::check::subject::Subject;
use crate::diag::Feature;
use crate::diag::Finding;
use crate::diag::Weight;
use crate::num;
use crate::sequence::Cause;
use crate::sequence::Refusal;
use crate::sequence::Why;

const CODE: &str = "bend-force";

/// Factor by which the charts may be too low.
const SCATTER: f64 = 1.2;

pub(super) fn check(subject: &Subject) -> Vec<Finding> {
    let mut findings = bend_sequence::blocked(subject, CODE, Cause::Force, |bend, refused| {
        let has_no_die = |refusal: &Refusal| matches!(refusal.why, Why::NoDie { .. });
        match refused.iter().any(has_no_die) {
            true => {
                format!("no brake in the shop has the force and the die for bend `{}`", bend.name)
            }
            false => {
                format!("bend `{}` needs more force than any brake in the shop has", bend.name)
            }
        }
    });
    let Some((shop, plan)) = subject.shop else { return findings };
    let tensile = subject.material.bending_strength();
    for step in &plan.steps {
        let (bend, strip) = (&subject.part.bends[step.bend], &subject.flat.bends[step.bend]);
        let brake = &shop.brakes[step.setup.brake];
        let Some((v, max)) = step.setup.v(shop).zip(brake.force) else { continue };
        let takes = brake::force(tensile, strip.begins.length(), subject.part.thickness, v);
        if takes * SCATTER <= max {
            continue;
        }
        let [takes, max] = [takes, max].map(|kn| num::text(kn, 0));
        let headline = format!(
            "bend `{}` needs about {takes} kN of the {max} kN that the {} has",
            bend.name, brake.name
        );
        findings.push(
            subject
                .finding(Weight::Caution, CODE, headline, &bend.depends, bend.span)
                .about(subject.of_part([Feature::Bend(step.bend)]))
                .note("published bending forces differ by up to 20 %")
                .help("bend it over a wider V, or make the bend shorter"),
        );
    }
    findings
}

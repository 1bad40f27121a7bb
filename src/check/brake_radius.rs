//! An inside radius that the brake does not give.
//!
//! # Looks for
//! Where the job names a shop: a bend for which every brake that is long and strong enough
//! gives another inside radius (stop). Over a V the specified radius may be up to 1.5 times
//! what the V gives, 0.16 of its opening, or down to 1/1.5 of it; on a folding brake up to
//! six thicknesses, which `min_radius` and `max_radius` in the shop file replace; over a V they can
//! only narrow what it gives. And an
//! inside radius that differs by more than a fifth from the one its V gives (caution).
//!
//! # Why it matters
//! In air bending the V sets the radius, whatever the drawing says. The flat was computed
//! with the specified radius, so the flanges come out too long or too short.
//!
//! # Example
//! Over a V of 32 mm the inside radius is about 5.1 mm. The drawing says 4 mm: a caution; it
//! says 3 mm: a stop.
//!
//! # Remedy
//! Specify the radius the V gives, bend over another V, or measure a strip
//! (`platewright calibrate`).
//!
//! # Source
//! Four air-bending charts: V 16 gives 2.6, 25 gives 4.0, 40 gives 6.5, 63 gives 10 mm.
//! The fifth, by which charts and metals differ, is our choice; so are the 1.5 and the six
//! thicknesses.

use crate::brake;
use crate::check::bend_sequence;
use crate::check::subject::Subject;
use crate::diag::Feature;
use crate::diag::Finding;
use crate::diag::Weight;
use crate::sequence::Cause;
use crate::sequence::measured_over;

const CODE: &str = "brake-radius";

/// How far the two may differ, as a share of the radius the V gives.
const SHARE: f64 = 0.2;

pub(super) fn check(subject: &Subject) -> Vec<Finding> {
    let mut findings = bend_sequence::blocked(subject, CODE, Cause::Radius, |bend, _| {
        format!(
            "no brake in the shop bends `{}` to an inside radius of {}",
            bend.name,
            subject.show(bend.bend.radius())
        )
    });
    let Some((shop, plan)) = subject.shop else { return findings };
    let steps = plan.steps.iter().filter_map(|step| {
        let bend = &subject.part.bends[step.bend];
        let (v, asked) = (step.setup.v(shop)?, bend.bend.radius());
        let gives = step.setup.radius(shop, &bend.bend);
        if (asked - gives).abs() <= SHARE * gives {
            return None;
        }
        let headline = format!(
            "bend `{}` has an inside radius of {}, but a V of {} gives about {}",
            bend.name,
            subject.show(asked),
            subject.show_size(v),
            subject.show(gives)
        );
        let made_in = subject.units.of_size(v);
        let from = match measured_over(&bend.bend, v) {
            Some(radius) => format!("{} was measured over this V", subject.show(radius)),
            None => format!("0.16 × V {} = {}", subject.show_size(v), subject.show(gives)),
        };
        Some(
            subject
                .finding(Weight::Caution, CODE, headline, &bend.depends, bend.span)
                .about(subject.of_part([Feature::Bend(step.bend)]))
                .note(from)
                .help(format!(
                    "specify {0} (`bend_radius = \"{0}\"` in the sheet's entry), measure a strip, or \
                     bend over a V of about {1}, which gives {2}",
                    subject.show(gives),
                    made_in.length(brake::opening(asked).round()),
                    subject.show(asked)
                )),
        )
    });
    findings.extend(steps);
    findings
}

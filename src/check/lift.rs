//! A piece too heavy for one person to lift.
//!
//! # Looks for
//! A single piece heavier than one person should lift: 23 kg, or what the job says in `lift`.
//!
//! # Why it matters
//! It has to be flipped over at the brake, hung in the oven and held up for welding.
//!
//! # Example
//! A base plate of 700 × 500 × 10 mm weighs 27 kg.
//!
//! # Remedy
//! Make it lighter or in two pieces, or plan for a hoist: then say so with `lift = "60 kg"`.
//!
//! # Source
//! 23 kg: the load constant of the NIOSH lifting equation (1991), from memory: the maximum in
//! the best posture. The law may require less.

use crate::check::link_subject::LinkSubject;
use crate::check::subject::Subject;
use crate::check::subject::short;
use crate::diag::About;
use crate::diag::Finding;
use crate::diag::Span;
use crate::num;

const CODE: &str = "lift";

pub(super) fn check(subject: &Subject) -> Vec<Finding> {
    let volume = subject.flat.region.area() * subject.part.thickness;
    let mass = volume * subject.material.measure("density");
    found(mass, subject.limits.lift, subject.here, subject.of_part([]))
}

pub(super) fn look_at_link(subject: &LinkSubject) -> Vec<Finding> {
    let mass = subject.link.tube_mass().unwrap_or(0.0);
    let about = subject.of_link();
    found(mass, subject.limits.lift, subject.link.places.name, about)
}

fn found(mass: f64, max: f64, here: Span, about: About) -> Vec<Finding> {
    if !short(max, mass) {
        return Vec::new();
    }
    let [mass, max] = [mass, max].map(|kg| num::text(kg, 1));
    let headline =
        format!("one piece weighs {mass} kg; one person should lift no more than {max} kg");
    let help = "plan for a hoist and say so with `lift`, or make it lighter";
    vec![Finding::caution(CODE, headline).about(about).at(here, "").help(help)]
}

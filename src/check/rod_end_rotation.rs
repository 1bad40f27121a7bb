//! A rod end that cannot rotate about its pin as far as it must.
//!
//! # Looks for
//! A clevis in which the head of the rod end, its shank, or the jam nut and tube of the link
//! it belongs to touch, in the plane of the ears: the weld along their foot, the plate or
//! tube they stand on, the bridge between them, or the ears themselves, before the angle
//! that the part's `rotation` requires, to either side of the direction in which the rod end
//! points. Without a `rotation` only a rod end that touches in the direction in which it points is
//! reported; the report has the angles in any case.
//!
//! # Why it matters
//! A working link rotates about its pin as well as it swings. Where its shank meets the
//! plate before the end of the stroke, it levers the bolt out of the ears.
//!
//! # Example
//! Over a flat plate a shank rotates by 90° either way. The tube of the link, 30 mm across and
//! beginning 29 mm from the pin, touches at 88° where the pin is 14 mm above the plate.
//!
//! # Remedy
//! Use a longer `reach`, a narrower `foot`, or ears that lean the way the rod end points. Leave
//! `reach` open and the smallest that allows the rotation is found:
//! `open = { reach = { from = "20 mm", to = "60 mm", step = "1 mm" } }`.
//!
//! # Source
//! A disc and endless cylinders, swept over the view along the pin: geometry. The base of the ears
//! is assumed to extend without limit.

use crate::check::subject::Subject;
use crate::check::subject::short;
use crate::diag::Finding;
use crate::diag::Weight;
use crate::fit;
use crate::part::Clevis;

const CODE: &str = "rod-end-rotation";

/// How much further from the pin the ground is tried, mm. Our choice.
const FURTHEST: f64 = 200.0;

pub(super) fn check(subject: &Subject) -> Vec<Finding> {
    let Some((clevis, fit)) = subject.part.clevis.as_ref().zip(subject.clevis) else {
        return Vec::new();
    };
    let (gap, sides) = (fit.gap.coated(), fit.rotation);
    let [left, right] = sides;
    let (side, min) = match right.angle.degrees() < left.angle.degrees() {
        true => ("clockwise", right),
        false => ("anticlockwise", left),
    };
    let touches_at_rest = sides.iter().all(|s| s.angle.degrees() == 0.0);
    let (is, wanted) = (min.angle.degrees(), clevis.rotation.degrees());
    if !short(is, wanted) && !touches_at_rest {
        return Vec::new();
    }
    let rod_end = clevis.rod_end.name();
    let headline = match touches_at_rest {
        true => format!(
            "rod end {rod_end} touches the {} in the direction in which it points",
            min.touches
        ),
        false => format!(
            "rod end {rod_end} rotates {is:.1}° {side} about its pin before it touches the {}, but \
             {wanted:.1}° is required",
            min.touches
        ),
    };
    let help = match raised(subject, clevis, gap) {
        Some(more) => {
            format!("make the reach about {} longer, or the foot narrower", subject.show(more))
        }
        None => "a longer reach does not help: point the rod end in another direction, or require \
                 less rotation"
            .to_owned(),
    };
    vec![
        subject
            .finding(Weight::Stop, CODE, headline, &clevis.rotation_depends, clevis.span)
            .about(subject.of_ear(clevis))
            .note("seen as the ear is drawn, foot at the bottom")
            .help(help),
    ]
}

/// How much further the ground must lie from the pin, in whole millimetres.
fn raised(subject: &Subject, clevis: &Clevis, gap: f64) -> Option<f64> {
    let rotates = |more: f64| {
        let higher = Clevis { floor: clevis.floor + more, ..clevis.clone() };
        let sides = fit::rotations(subject.part, &higher, gap, subject.tail);
        let free = sides.iter().any(|s| s.angle.degrees() > 0.0);
        free && sides.iter().all(|s| !short(s.angle.degrees(), clevis.rotation.degrees()))
    };
    if !rotates(FURTHEST) {
        return None;
    }
    let (mut low, mut high) = (0.0, FURTHEST);
    while high - low > 0.1 {
        let middle = (low + high) / 2.0;
        if rotates(middle) { high = middle } else { low = middle }
    }
    Some(high.ceil())
}

//! A rod end that cannot swing as far as it must.
//!
//! # Looks for
//! A clevis in which the head or the shank of the rod end touches an ear, a weld between the
//! ears, the bolt's head or its nut, or the ball its own housing, before the misalignment
//! angle that the part's `swing` requires, to either side, at every rotation about its pin
//! within the part's `rotation`: in the gap as drawn (stop), and in the narrowest gap by root
//! sum square (caution). Where it touches only in the worst case, drawing and report say so.
//! Without a `swing` nothing is required; the report has the angles in any case, with the
//! spacers and without.
//!
//! # Why it matters
//! The catalogue's angle is that of the bare rod end. Between ears its head touches much
//! earlier; a joint that is forced further breaks its shank.
//!
//! # Example
//! An M10 rod end centred in a gap of 14.2 mm, its head 28 mm across and 10.5 mm wide,
//! touches large ears at 7.8°; the catalogue says 13°.
//!
//! # Remedy
//! Use spacers, a smaller `eye`, or a rod end with a larger misalignment angle. Leave them
//! open and the lightest that swings enough is found: `open = { spacer = ["0 mm", "2 mm", "3 mm"] }`.
//!
//! # Source
//! Sweep of a disc with sharp edges and of a cylinder; catalogue angle from the `rod-end`
//! table. A fabricator measured 5.5° for a rod end of 3/4 in bore without spacers; the
//! sweep gives 4.0° to 5.6° between ears 1-3/4 to 1-1/4 in wide.

use crate::check::subject::Subject;
use crate::check::subject::short;
use crate::diag::Finding;
use crate::diag::Weight;
use crate::fit;
use crate::fit::Swing;
use crate::fit::Touched;
use crate::num::Angle;
use crate::part::Clevis;

const CODE: &str = "rod-end-swing";

/// Thickest spacer that is offered, by the width of the ball. Our choice.
const THICKEST: f64 = 1.0;

pub(super) fn check(subject: &Subject) -> Vec<Finding> {
    let Some((clevis, fit)) = subject.part.clevis.as_ref().zip(subject.clevis) else {
        return Vec::new();
    };
    let (gap, wanted) = (fit.gap.coated(), angle(clevis.swing));
    let rod_end = clevis.rod_end.name();
    let falls_short = |swing: [Swing; 2]| {
        let (side, min) = narrower(swing);
        short(min.angle.degrees(), clevis.swing.degrees()).then_some((side, min))
    };
    let likely = fit.swing_at_tolerance.map(|[likely, _]| likely);
    let (weight, headline, between) = if let Some((side, min)) = falls_short(fit.swing) {
        let headline = format!(
            "rod end {rod_end} swings {} {}, but {wanted} is required",
            angle(min.angle),
            until(side, min)
        );
        (Weight::Stop, headline, gap)
    } else if let Some((side, min)) = likely.and_then(falls_short) {
        let headline = format!(
            "rod end {rod_end} may swing only {} {}, but {wanted} is required, at the narrowest gap that is likely (root sum square)",
            angle(min.angle),
            until(side, min)
        );
        (Weight::Caution, headline, fit.gap.likely()[1][0])
    } else {
        return Vec::new();
    };
    let catalogue = clevis.rod_end.measure("swing");
    let help = match spacer(subject, clevis, between) {
        Some(more) => format!(
            "use spacers of {} on each side, or a smaller eye",
            subject.show(clevis.spacer + more)
        ),
        None => "choose a rod end with a larger misalignment angle, or require less".to_owned(),
    };
    vec![
        subject
            .finding(weight, CODE, headline, &clevis.swing_depends, clevis.span)
            .about(subject.of_ear(clevis))
            .note(format!(
                "between coated ears {} apart; the catalogue says {}",
                subject.show(between),
                angle(Angle::from_degrees(catalogue))
            ))
            .help(help),
    ]
}

/// Where the swing towards a side ends.
fn until(side: &str, swing: Swing) -> String {
    match swing.touches {
        Touched::Ball => "at most, the limit of its ball".to_owned(),
        touched => format!("towards the {side} before it touches the {touched}"),
    }
}

/// The side to which a rod end swings less.
fn narrower([head, nut]: [Swing; 2]) -> (&'static str, Swing) {
    if nut.angle < head.angle { ("nut", nut) } else { ("bolt head", head) }
}

fn angle(angle: Angle) -> String {
    format!("{:.1}°", angle.degrees())
}

/// The increase of each spacer, in tenths of a millimetre; `None` if none is sufficient.
fn spacer(subject: &Subject, clevis: &Clevis, gap: f64) -> Option<f64> {
    let swings = |more: f64| {
        let both = fit::swing(subject.part, clevis, gap + 2.0 * more, subject.tables);
        both.iter().all(|s| !short(s.angle.degrees(), clevis.swing.degrees()))
    };
    let max = THICKEST * clevis.rod_end.measure("ball_width");
    if !swings(max) {
        return None;
    }
    // More room never tilts less, so that bisection finds the minimum.
    let (mut low, mut high) = (0.0, max);
    while high - low > 0.05 {
        let middle = (low + high) / 2.0;
        if swings(middle) { high = middle } else { low = middle }
    }
    Some((high * 10.0).ceil() / 10.0)
}

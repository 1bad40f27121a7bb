//! Bends in bend sequence, and the notes at their lines.

use crate::bend::Bend;
use crate::bend::Form;
use crate::geom::Edge;
use crate::job::Job;
use crate::num;
use crate::num::Angle;
use crate::paper::figure_text;
use crate::quantity::Units;
use crate::solve::Solved;

/// The bends by index, in the order of making; those without a place in it at the end.
fn in_order(solved: &Solved) -> Vec<usize> {
    let place = |bend: usize| solved.plan.as_ref().and_then(|plan| plan.number(bend));
    let number = |bend: usize| place(bend).unwrap_or(usize::MAX);
    let mut order: Vec<usize> = (0..solved.part.bends.len()).collect();
    order.sort_by_key(|bend| (number(*bend), *bend));
    order
}

/// An angle to a tenth of a degree.
pub(super) fn degrees(angle: Angle) -> String {
    format!("{}°", num::text(angle.degrees(), 1))
}

/// A rotation, anticlockwise from above, in words.
pub(super) fn round(rotate: Angle) -> String {
    let is = rotate.degrees();
    let angle = num::text(is.abs(), 1);
    match is {
        is if (is.abs() - 180.0).abs() < 0.05 => "180°".into(),
        is if is > 0.0 => format!("{angle}° anticlockwise"),
        _ => format!("{angle}° clockwise"),
    }
}

/// The check dimensions of a rolled bend: its radius, and the chord of its inside.
pub(super) fn rolled(units: Units, bend: &Bend) -> String {
    let half = Angle::from_degrees(bend.angle().degrees() / 2.0);
    let chord = 2.0 * bend.radius() * half.sin();
    let [radius, chord] = [bend.radius(), chord].map(|mm| figure_text(units, mm));
    format!(
        "Check the inside with a template of *R{radius}*: *{chord}* straight across from tangent \
         point to tangent point"
    )
}

fn direction(up: bool) -> &'static str {
    if up { "up" } else { "down" }
}

/// The label of each bend line of a drawing: its number, angle and direction. A rolled bend has a
/// line where it begins and one where it ends.
pub(super) fn labelled(job: &Job, solved: &Solved) -> Vec<(String, Edge)> {
    let label = |(number, bend): (usize, usize)| {
        let (drawn, strip) = (&solved.part.bends[bend], &solved.flat.bends[bend]);
        let (number, up) = (number + 1, direction(drawn.up));
        let angle = degrees(drawn.bend.angle());
        match drawn.bend.form() {
            Form::Bent => vec![(format!("{number}: {angle} {up}"), strip.line)],
            form @ (Form::OpenHem | Form::ClosedHem) => {
                vec![(format!("{number}: {} {up}", form.words()), strip.line)]
            }
            Form::Rolled => {
                let [begins, ends] = strip.tangents;
                let radius = figure_text(job.units, drawn.bend.radius());
                vec![
                    (format!("{number}: roll R{radius} {angle} {up}"), begins),
                    (format!("{number}: roll ends"), ends),
                ]
            }
        }
    };
    in_order(solved).into_iter().enumerate().flat_map(label).collect()
}

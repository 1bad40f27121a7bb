//! The fits of a part: its rod end, and its captured nut.

use crate::drawings::gap_picture;
use crate::fit::ClevisFit;
use crate::job::Job;
use crate::num;
use crate::paper;
use crate::paper::Block;
use crate::paper::Unit;
use crate::paper::figure_text;
use crate::part;
use crate::report;
use crate::report::ClevisRow;
use crate::report::NutRow;
use crate::report::WORST_CASE;
use crate::solve::Solved;
use std::sync::Arc;

/// The clevis with its rod end, for a column; empty if the part has none.
pub(super) fn units(job: &Job, solved: &Solved, column: f64) -> Vec<Unit> {
    let mut units = Vec::new();
    if let Some(fit) = &solved.clevis {
        units.extend(clevis(job, solved, &report::clevis(job, solved, fit), column));
    }
    units
}

/// The gap to weld or bend to and its contents, for a column.
pub(super) fn gap(job: &Job, row: &ClevisRow, column: f64) -> Vec<Unit> {
    let width = column - 5.0;
    let heading = format!("Gap between the ears, rod end {}", row.rod_end);
    let mut units = Unit::heading(&heading, width);
    units.push(gap_picture::stack(job, row, width));
    units
}

/// The gap to weld or bend to, and how far the rod swings and rotates in it.
fn clevis(job: &Job, solved: &Solved, row: &ClevisRow, column: f64) -> Vec<Unit> {
    let width = column - 5.0;
    let text = |mm: f64| job.units.length(mm);
    let mut units = gap(job, row, column);
    units.push(gap_picture::ranges(job, row, width));
    let worst = row.min_play_mm.worst_case;
    let mut lines = vec![format!("Play {} as drawn.", text(row.play_mm))];
    lines.push(match worst < 0.0 {
        true => format!("{WORST_CASE}: the stack is {} wider than the gap.", text(-worst)),
        false => format!("{WORST_CASE}: play {}.", text(worst)),
    });
    lines.extend(row.tolerances(job.units).map(|words| words + "."));
    lines.extend(row.worst_case_notes.iter().cloned());
    let words = |lines| paper::units(&[Block::Lines { heading: String::new(), lines }], column);
    units.extend(words(lines));
    // If the text on the gap has no room below its picture, the heading is repeated.
    let again = Unit::whole_heading("Gap between the ears, continued", width);
    if let Some(head) = again.map(|unit| Arc::new(Unit::picture(unit.height, unit.items))) {
        // The first is the heading itself.
        let headed = |(i, unit): (usize, Unit)| match i == 0 || unit.is_gap() {
            true => unit,
            false => unit.headed(&head),
        };
        units = units.into_iter().enumerate().map(headed).collect();
    }
    units.extend(Unit::heading("Swing (misalignment angle)", width));
    let swing = gap_picture::swing(row, width);
    // The text on it is below it.
    units.push(if row.swing_without_spacers.is_some() { swing.leading() } else { swing });
    if let Some(without) = &row.swing_without_spacers {
        let degrees = |angle: f64| num::text(angle, 1);
        units.extend(words(vec![format!(
            "Without spacers, in the narrower gap: {}° to the bolt head, {}° to the nut.",
            degrees(without.towards_bolt_head_deg),
            degrees(without.towards_nut_deg)
        )]));
    }
    if let Some(clevis) = &solved.part.clevis {
        units.extend(Unit::heading("Rotation about the pin", width));
        let ear = solved.flat.faces[clevis.eye.face].outer();
        let pin = solved.part.hole(clevis.eye).at;
        let points = clevis.direction.degrees();
        units.push(gap_picture::rotation(row, ear, pin, points, width));
    }
    units
}

/// Whether a rod end does not fit between its ears in the worst case of all tolerances.
pub(super) fn is_too_narrow(fit: &ClevisFit) -> bool {
    fit.gap.min_play()[1] < 0.0
}

/// By how much the gap is then too narrow, as a note.
pub(super) fn narrow(job: &Job, solved: &Solved) -> Option<String> {
    let fit = solved.clevis.as_ref().filter(|fit| is_too_narrow(fit))?;
    let by = job.units.length(-fit.gap.min_play()[1]);
    Some(format!(
        "Fit: with all tolerances stacked the gap between the ears is {by} too narrow; see “Gap \
         between the ears”."
    ))
}

/// The captured nut as notes: how it is retained, its tube, and whether it fits.
pub(super) fn nut(job: &Job, solved: &Solved) -> Vec<String> {
    let Some((fit, captured)) = solved.nut.as_ref().zip(solved.part.captured.as_ref()) else {
        return Vec::new();
    };
    let row = report::nut(fit);
    let figure = |mm: f64| figure_text(job.units, mm);
    let text = |mm: f64| format!("{} {}", figure(mm), job.units.word());
    let fillet = match captured.weld > 0.0 {
        true => format!("fillet z{}", figure(captured.weld)),
        false => "no fillet inside the tube".to_owned(),
    };
    let held = match part::seat(solved.part.hole(captured.seat), &captured.nut) {
        part::Seat::Behind => format!("Weld the {} nut behind the plate; {fillet}.", row.nut),
        part::Seat::Loose => format!("Weld the {} nut into its seat; {fillet}.", row.nut),
        part::Seat::Pressed => format!("Press the {} nut into its seat.", row.nut),
    };
    let mut lines = vec![
        held,
        format!(
            "Nut in the tube, {} inside, wall {}: clearance per side {}, {} in the smallest bore{}.",
            figure(captured.bore),
            figure(captured.wall),
            text(row.clearance_mm),
            text(row.worst_case_clearance_mm),
            taken_off(&row, &figure)
        ),
    ];
    // A leg that the recipe names is among the notes already.
    let has_leg = solved.part.facts.iter().any(|fact| fact.name == "weld");
    if solved.part.faces.iter().all(|face| face.welds.is_empty()) {
        let unsaid = if has_leg { "" } else { "; leg not given" };
        lines.push(format!("Weld all round to the tube{unsaid}."));
    }
    lines
}

/// What else is in the tube and reduces the clearance of the nut.
fn taken_off(row: &NutRow, figure: &dyn Fn(f64) -> String) -> String {
    let all = [
        (row.weld_round_nut_mm, "for the fillet round the nut"),
        (row.weld_root_mm, "for the root of the weld of the tube"),
        (row.off_centre_mm, "for a seat off centre"),
    ];
    let all = all.iter().filter(|(mm, _)| *mm > 0.0);
    let all: Vec<String> = all.map(|(mm, what)| format!("{} {what}", figure(*mm))).collect();
    match all.is_empty() {
        true => String::new(),
        false => format!(", after {}", all.join(", ")),
    }
}

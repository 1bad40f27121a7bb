//! What the part is put together with: its rod end, its captured nut, and what goes through
//! its holes.

use crate::fit::Touched;
use crate::job::Job;
use crate::num;
use crate::paper::Block;
use crate::paper::Cell;
use crate::paper::Table;
use crate::paper::both_units;
use crate::paper::figure_text;
use crate::report;
use crate::report::ClevisRow;
use crate::report::GapRow;
use crate::report::NutRow;
use crate::report::RotationRow;
use crate::report::SwingRow;
use crate::solve::Solved;

/// The clevis and its rod end, the captured nut, then the hardware; nothing where the part
/// has none of them.
pub(super) fn blocks(job: &Job, solved: &Solved) -> Vec<Block> {
    let mut blocks = {
        let row = |fit| report::clevis(job, solved, fit);
        solved.clevis.iter().flat_map(|fit| clevis(job, &row(fit))).collect::<Vec<_>>()
    };
    blocks.extend(solved.nut.iter().map(|fit| nut(job, &report::nut(fit))));
    blocks
}

/// The gap to weld or bend to, and how far the rod swings in it.
fn clevis(job: &Job, row: &ClevisRow) -> Vec<Block> {
    let text = |mm: f64| figure_text(job.units, mm);
    let gap = |name: &str, gap: &GapRow| {
        let [min, max] = gap.worst_case_mm;
        [name.to_owned(), text(gap.drawn_mm), text(min), text(max)]
    };
    let mut gaps = vec![gap("bare", &row.bare_gap)];
    if row.coated_gap != row.bare_gap {
        gaps.push(gap("coated", &row.coated_gap));
    }
    let heads = ["gap between the ears", "nominal", "min", "max"];
    let table = Table {
        heading: format!("Fit on rod end {}", row.rod_end),
        heads: heads.map(String::from).to_vec(),
        rows: gaps.into_iter().map(|row| row.map(Cell::Words).to_vec()).collect(),
    };
    let spacers = match row.spacer_mm > 0.0 {
        true => format!("spacer {} each side", both_units(job.units, row.spacer_mm)),
        false => "no spacers".to_owned(),
    };
    let mut lines = vec![
        "Min, max: worst case, with cutting, sheet, bend, weld and coating tolerances all stacked."
            .to_owned(),
        format!(
            "Between the ears: ball {} wide, {spacers}; total play {}.",
            both_units(job.units, row.ball_width_mm),
            both_units(job.units, row.play_mm)
        ),
        format!("Swing (misalignment angle): {}.", swing(&row.swing)),
    ];
    lines.push(rotation(&row.rotation));
    lines.extend(row.worst_case_notes.iter().cloned());
    if let Some(without) = &row.swing_without_spacers {
        lines.push(format!("Swing without spacers, the gap reduced by both: {}.", swing(without)));
    }
    vec![Block::Table(table), Block::Lines { heading: String::new(), lines }]
}

fn swing(row: &SwingRow) -> String {
    let until = |what: Touched| match what {
        Touched::Ball => "limit of the ball".to_owned(),
        what => format!("touches the {what}"),
    };
    format!(
        "{}° towards the bolt head ({}), {}° towards the nut ({})",
        num::text(row.towards_bolt_head_deg, 1),
        until(row.touches),
        num::text(row.towards_nut_deg, 1),
        until(row.touches_there)
    )
}

/// How far the rod end goes round its pin.
fn rotation(row: &RotationRow) -> String {
    let side = |degrees: f64, touches: Touched| match touches {
        Touched::Nothing => "unlimited".to_owned(),
        what => format!("{}° (touches the {what})", num::text(degrees, 1)),
    };
    format!(
        "Rotation about the pin, seen with the foot of the ear at the bottom: anticlockwise {}, clockwise {}.",
        side(row.anticlockwise_deg, row.touches),
        side(row.clockwise_deg, row.touches_there)
    )
}

/// Whether the captured nut goes into the tube.
fn nut(job: &Job, row: &NutRow) -> Block {
    let text = |mm: f64| figure_text(job.units, mm);
    let [drawn, min] = [
        ("nominal", row.bore_mm, row.clearance_mm),
        ("minimum bore", row.min_bore_mm, row.worst_case_clearance_mm),
    ]
    .map(|(name, bore, clear)| {
        [name.to_owned(), text(bore), text(row.weld_root_mm), text(row.corners_mm), text(clear)]
            .map(Cell::Words)
            .to_vec()
    });
    let heads =
        ["case", "bore", "weld root or backing", "nut across corners", "clearance per side"];
    Block::Table(Table {
        heading: format!("Nut {} in the tube", row.nut),
        heads: heads.map(String::from).to_vec(),
        rows: vec![drawn, min],
    })
}

//! What the report says of fit: links, clevises, captured nuts and what is masked.

use crate::fit;
use crate::fit::Range;
use crate::fit::Swing;
use crate::job::Job;
use crate::job::Line;
use crate::job::Solved;
use crate::job::linked;
use crate::job::report::rounded;
use crate::link::Link;
use crate::part::Part;
use crate::recipe::Making;
use crate::table::Tables;
use serde::Serialize;
use std::collections::BTreeMap;

/// A link.
#[derive(Clone, Debug, Serialize)]
pub struct LinkRow {
    /// Its name.
    pub name: String,
    /// How many.
    pub quantity: u32,
    /// From pin to pin.
    pub pins_mm: f64,
    /// Row of the tube, and its length as it is cut.
    pub tube: String,
    /// Length of the tube as it is cut.
    pub tube_cut_mm: f64,
    /// Tube and the shoulders of both bungs.
    pub welded_mm: f64,
    /// From pin to pin, screwed in and screwed out as far as they may be.
    pub range_mm: [f64; 2],
    /// Over both heads at the longest setting.
    pub overall_mm: f64,
    /// Least engagement that is kept.
    pub min_engagement_mm: f64,
    /// Whether the tube is turned to set it, or one end that is off its pin.
    pub adjusted_by: &'static str,
    /// Turns that change the length by 1 mm.
    pub turns_per_mm: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    tube_mass_kg: Option<f64>,
    ends: Vec<EndRow>,
}

#[derive(Clone, Debug, Serialize)]
struct EndRow {
    rod_end: String,
    thread: String,
    hand: &'static str,
    bung: String,
    engagement_mm: f64,
    /// From the pin to the face of the bung.
    projection_mm: f64,
}

/// How a clevis fits its rod end.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ClevisRow {
    pub(super) rod_end: String,
    pub(super) ball_width_mm: f64,
    pub(super) spacer_mm: f64,
    /// Least, drawn, most.
    pub(super) bare_gap: GapRow,
    pub(super) coated_gap: GapRow,
    pub(super) play_mm: f64,
    pub(super) varies_by_mm: BTreeMap<&'static str, f64>,
    pub(super) swing: SwingRow,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) swing_without_spacers: Option<SwingRow>,
    pub(super) catalogue_swing_deg: f64,
    pub(super) rotation: TurnRow,
}

/// The room between the ears.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub(super) struct GapRow {
    pub(super) drawn_mm: f64,
    pub(super) worst_case_mm: Range,
    pub(super) root_sum_square_mm: Range,
}

/// How far the rod tilts either way, and what it touches then.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub(super) struct SwingRow {
    pub(super) towards_bolt_head_deg: f64,
    pub(super) touches: &'static str,
    pub(super) towards_nut_deg: f64,
    pub(super) touches_there: &'static str,
}

/// How a captured nut fits the bore of its tube.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct NutRow {
    pub(super) nut: String,
    pub(super) corners_mm: f64,
    pub(super) bore_mm: f64,
    pub(super) min_bore_mm: f64,
    pub(super) weld_root_mm: f64,
    pub(super) weld_round_nut_mm: f64,
    pub(super) off_centre_mm: f64,
    /// Between a corner and the wall or what stands out of it: as drawn, and at the worst.
    pub(super) clearance_mm: f64,
    pub(super) worst_case_clearance_mm: f64,
}

/// How far the rod end turns about its pin in the plane of the ears, seen as the ear is drawn
/// with its foot below, and what it touches then.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub(super) struct TurnRow {
    pub(super) anticlockwise_deg: f64,
    pub(super) touches: &'static str,
    pub(super) clockwise_deg: f64,
    pub(super) touches_there: &'static str,
}

/// The row of a link.
pub(super) fn link(link: &Link) -> LinkRow {
    let setting = link.setting();
    let end = |end: &crate::link::End| EndRow {
        rod_end: end.rod_end.name().to_owned(),
        thread: end.thread.name().to_owned(),
        hand: end.hand.word(),
        bung: end.bung.name().to_owned(),
        engagement_mm: rounded(end.engagement),
        projection_mm: rounded(end.stands_out()),
    };
    LinkRow {
        name: link.name.clone(),
        quantity: link.quantity,
        pins_mm: rounded(link.pins),
        tube: link.tube.name().to_owned(),
        tube_cut_mm: rounded(setting.cut),
        welded_mm: rounded(setting.welded),
        range_mm: [rounded(setting.shortest), rounded(setting.longest)],
        overall_mm: rounded(setting.over_all),
        min_engagement_mm: rounded(link.least),
        adjusted_by: if link.turns() { "tube" } else { "one end" },
        turns_per_mm: rounded(1.0 / setting.per_turn),
        tube_mass_kg: link.tube_mass().map(rounded),
        ends: link.ends.iter().map(end).collect(),
    }
}

/// How a part fits its rod end, where it holds one.
pub(super) fn clevis(job: &Job, line: &Line, part: &Part, tables: &Tables) -> Option<ClevisRow> {
    let clevis = part.clevis.as_ref()?;
    let shop = fit::Shop {
        tables,
        coating: job.coating,
        process: job.process.name(),
        cut: job.limits.cut,
    };
    let gap = fit::gap(part, clevis, &shop);
    let swing = |gap| swing_row(fit::swing(part, clevis, gap, tables));
    let [worst, likely] = [gap.worst(), gap.likely()].map(|pair| pair.map(|r| r.map(rounded)));
    let row = |i: usize, drawn: f64| GapRow {
        drawn_mm: rounded(drawn),
        worst_case_mm: worst[i],
        root_sum_square_mm: likely[i],
    };
    let bare_swing = gap.coated() - 2.0 * gap.spacer;
    let turn = fit::turn(part, clevis, gap.coated(), &linked::tail(job, line));
    Some(ClevisRow {
        rod_end: clevis.rod_end.name().to_owned(),
        ball_width_mm: rounded(gap.ball),
        spacer_mm: rounded(gap.spacer),
        bare_gap: row(0, gap.bare),
        coated_gap: row(1, gap.coated()),
        play_mm: rounded(gap.play()),
        varies_by_mm: gap.shares.iter().map(|s| (s.what, rounded(s.times * s.each))).collect(),
        swing: swing(gap.coated()),
        swing_without_spacers: (gap.spacer > 0.0).then(|| swing(bare_swing)),
        catalogue_swing_deg: rounded(clevis.rod_end.measure("swing")),
        rotation: turn_row(turn),
    })
}

/// How the captured nut of a part fits its tube, where it holds one.
pub(super) fn nut(part: &Part, tables: &Tables) -> Option<NutRow> {
    let captured = part.captured.as_ref()?;
    let room = fit::nut_room(captured, tables);
    let [clear, worst] = room.clear();
    Some(NutRow {
        nut: captured.nut.name().to_owned(),
        corners_mm: rounded(room.corners),
        bore_mm: rounded(room.bore),
        min_bore_mm: rounded(room.least_bore),
        weld_root_mm: rounded(room.root),
        weld_round_nut_mm: rounded(room.weld),
        off_centre_mm: rounded(room.off),
        clearance_mm: rounded(clear),
        worst_case_clearance_mm: rounded(worst),
    })
}

/// Tenths of a degree are more than anybody can set.
fn degrees(swing: Swing) -> f64 {
    rounded((swing.angle.degrees() * 100.0).round() / 100.0)
}

fn turn_row([left, right]: [Swing; 2]) -> TurnRow {
    TurnRow {
        anticlockwise_deg: degrees(left),
        touches: left.touches,
        clockwise_deg: degrees(right),
        touches_there: right.touches,
    }
}

fn swing_row([head, nut]: [Swing; 2]) -> SwingRow {
    SwingRow {
        towards_bolt_head_deg: degrees(head),
        touches: head.touches,
        towards_nut_deg: degrees(nut),
        touches_there: nut.touches,
    }
}

/// The holes that are masked when a part is coated: threads and fits.
pub(super) fn masked(job: &Job, solved: &Solved) -> Vec<String> {
    if job.coating == 0.0 {
        return Vec::new();
    }
    let holes = solved.part.faces.iter().flat_map(|face| &face.holes);
    let masked = holes.filter(|hole| matches!(hole.making, Making::Tap | Making::Ream));
    masked.map(|hole| hole.name.clone()).collect()
}

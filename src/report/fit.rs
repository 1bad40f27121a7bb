//! Rows of the report on fit: links, clevises and captured nuts.

use crate::fit::ClevisFit;
use crate::fit::NutFit;
use crate::fit::Range;
use crate::fit::Swing;
use crate::fit::Touched;
use crate::job::Job;
use crate::link::Chosen;
use crate::link::Link;
use crate::num::on_grid;
use crate::quantity::Units;
use crate::solve::Solved;
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
    pub(crate) pins_mm: f64,
    /// Row of the tube, and its cut length.
    pub tube: String,
    /// The choice of an open tube, and why nothing lighter.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) open: Option<OpenTubeRow>,
    /// Cut length of the tube.
    pub(crate) tube_cut_mm: f64,
    /// Tube and the shoulders of both bungs.
    pub(crate) welded_mm: f64,
    /// From pin to pin, screwed in and screwed out as far as they may be.
    pub(crate) range_mm: [f64; 2],
    /// The same by turning the tube, both ends on their pins; `None` where both threads have one hand.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) range_by_turning_tube_mm: Option<[f64; 2]>,
    /// Over both heads at the longest setting.
    pub(crate) overall_mm: f64,
    /// Minimum engagement that is kept.
    pub(crate) min_engagement_mm: f64,
    /// The part that is turned to set its length.
    pub(crate) adjusted_by: AdjustedBy,
    /// Turns that change the length by 1 mm.
    pub(crate) turns_per_mm: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    tube_mass_kg: Option<f64>,
    ends: Vec<EndRow>,
}

impl LinkRow {
    /// What turning the tube gives, where that is less than both ends give.
    pub(crate) fn turned_less(&self) -> Option<[f64; 2]> {
        self.range_by_turning_tube_mm.filter(|turned| *turned != self.range_mm)
    }
}

/// The part that is turned to set a link: its tube, or one end that is off its pin.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub(crate) enum AdjustedBy {
    Tube,
    #[serde(rename = "one end")]
    OneEnd,
}

/// The choice of an open tube.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct OpenTubeRow {
    /// How many tubes there were to choose from.
    pub(crate) choices: usize,
    /// The check that the next lighter tube fails.
    governed_by: Option<&'static str>,
    pub(crate) next_lighter: Option<String>,
    pub(crate) failed_on: Option<String>,
}

fn open_row(chosen: &Chosen) -> OpenTubeRow {
    let lighter = chosen.lighter.as_ref();
    OpenTubeRow {
        choices: chosen.tried,
        governed_by: lighter.map(|unfit| unfit.code),
        next_lighter: lighter.map(|unfit| unfit.tube.clone()),
        failed_on: lighter.map(|unfit| unfit.headline.clone()),
    }
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
    /// How far it can be screwed in, and out, from there.
    adjusts_mm: [f64; 2],
}

/// How the range of a fit comes about: no piece has less.
pub(crate) const WORST_CASE: &str = "Worst case, all tolerances stacked";

/// How a clevis fits its rod end.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ClevisRow {
    pub(crate) rod_end: String,
    pub(crate) ball_width_mm: f64,
    pub(crate) spacer_mm: f64,
    /// Without a coating.
    pub(crate) bare_gap: GapRow,
    pub(crate) coated_gap: GapRow,
    pub(crate) play_mm: f64,
    /// Play where the coated gap comes out narrow: by root sum square, and in the worst case.
    pub(crate) min_play_mm: MinPlayRow,
    pub(crate) varies_by_mm: BTreeMap<&'static str, f64>,
    pub(crate) swing: SwingRow,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) swing_without_spacers: Option<SwingRow>,
    pub(crate) catalogue_swing_deg: f64,
    pub(crate) rotation: RotationRow,
    /// What the worst case of all tolerances does not allow, though root sum square does.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub(crate) worst_case_notes: Vec<String>,
}

impl ClevisRow {
    /// The variations of the gap; `None` if there are none.
    pub(crate) fn tolerances(&self, units: Units) -> Option<String> {
        let share = |(what, by): (&&str, &f64)| format!("{what} ±{}", units.length(*by));
        let shares: Vec<String> = self.varies_by_mm.iter().map(share).collect();
        (!shares.is_empty()).then(|| format!("Tolerances: {}", shares.join(", ")))
    }
}

/// The smallest play.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub(crate) struct MinPlayRow {
    pub(crate) root_sum_square: f64,
    pub(crate) worst_case: f64,
}

/// The room between the ears.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub(crate) struct GapRow {
    pub(crate) drawn_mm: f64,
    pub(crate) worst_case_mm: Range,
    pub(crate) root_sum_square_mm: Range,
}

/// How far the rod tilts either way, and what it then touches.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub(crate) struct SwingRow {
    pub(crate) towards_bolt_head_deg: f64,
    pub(crate) touches: Touched,
    pub(crate) towards_nut_deg: f64,
    pub(crate) touches_there: Touched,
}

/// How a captured nut fits the bore of its tube.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct NutRow {
    pub(crate) nut: String,
    pub(crate) corners_mm: f64,
    pub(crate) bore_mm: f64,
    pub(crate) min_bore_mm: f64,
    pub(crate) weld_root_mm: f64,
    pub(crate) weld_round_nut_mm: f64,
    pub(crate) off_centre_mm: f64,
    /// Between a corner and the wall or a projection from it: as drawn, and in the worst case.
    pub(crate) clearance_mm: f64,
    pub(crate) worst_case_clearance_mm: f64,
}

/// How far the rod end rotates about its pin in the plane of the ears, seen as the ear is drawn
/// with its foot below, and what it then touches.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub(crate) struct RotationRow {
    pub(crate) anticlockwise_deg: f64,
    pub(crate) touches: Touched,
    pub(crate) clockwise_deg: f64,
    pub(crate) touches_there: Touched,
}

/// The row of a link.
pub(crate) fn link(link: &Link) -> LinkRow {
    let setting = link.setting();
    let end = |end: &crate::link::End| EndRow {
        rod_end: end.rod_end.name().to_owned(),
        thread: end.thread.name().to_owned(),
        hand: end.hand.word(),
        bung: end.bung.name().to_owned(),
        engagement_mm: on_grid(end.engagement),
        projection_mm: on_grid(end.stands_out()),
        adjusts_mm: end.room(link.min).map(on_grid),
    };
    LinkRow {
        name: link.name.clone(),
        quantity: link.quantity,
        pins_mm: on_grid(link.pins),
        tube: link.tube.name().to_owned(),
        open: link.chosen.as_ref().map(open_row),
        tube_cut_mm: on_grid(setting.cut),
        welded_mm: on_grid(setting.welded),
        range_mm: [on_grid(setting.shortest), on_grid(setting.longest)],
        range_by_turning_tube_mm: link.turns().then(|| setting.turned.map(on_grid)),
        overall_mm: on_grid(setting.over_all),
        min_engagement_mm: on_grid(link.min),
        adjusted_by: if link.turns() { AdjustedBy::Tube } else { AdjustedBy::OneEnd },
        turns_per_mm: on_grid(1.0 / setting.per_turn),
        tube_mass_kg: link.tube_mass().map(on_grid),
        ends: link.ends.iter().map(end).collect(),
    }
}

/// The row of a clevis.
pub(crate) fn clevis(job: &Job, solved: &Solved, fit: &ClevisFit) -> ClevisRow {
    let gap = &fit.gap;
    let [likely_play, worst_play] = gap.min_play();
    let [worst, likely] = [gap.worst(), gap.likely()].map(|pair| pair.map(|r| r.map(on_grid)));
    let row = |i: usize, drawn: f64| GapRow {
        drawn_mm: on_grid(drawn),
        worst_case_mm: worst[i],
        root_sum_square_mm: likely[i],
    };
    ClevisRow {
        rod_end: fit.rod_end.name().to_owned(),
        ball_width_mm: on_grid(gap.ball),
        spacer_mm: on_grid(gap.spacer),
        bare_gap: row(0, gap.bare),
        coated_gap: row(1, gap.coated()),
        play_mm: on_grid(gap.play()),
        min_play_mm: MinPlayRow {
            root_sum_square: on_grid(likely_play),
            worst_case: on_grid(worst_play),
        },
        varies_by_mm: gap.shares.iter().map(|s| (s.what, on_grid(s.times * s.each))).collect(),
        swing: swing_row(fit.swing),
        swing_without_spacers: fit.swing_without_spacers.map(swing_row),
        catalogue_swing_deg: on_grid(fit.rod_end.measure("swing")),
        rotation: rotation_row(fit.rotation),
        worst_case_notes: worst_case(job, solved, fit),
    }
}

/// What the worst case of all tolerances does not allow, where root sum square allows it.
fn worst_case(job: &Job, solved: &Solved, fit: &ClevisFit) -> Vec<String> {
    let mut notes = Vec::new();
    let [likely, worst] = fit.gap.min_play();
    if worst < -NOTHING && likely >= -NOTHING {
        notes.push(format!(
            "In the worst case the coated gap is {} too narrow for rod end {}: measure before assembly.",
            job.units.length(-worst),
            fit.rod_end.name()
        ));
    }
    let required = solved.part.clevis.as_ref().map_or(0.0, |clevis| clevis.swing.degrees());
    let min = |[head, nut]: [Swing; 2]| head.angle.degrees().min(nut.angle.degrees());
    if let Some([likely, worst]) = fit.swing_at_tolerance.map(|both| both.map(min))
        && worst < required - NOTHING
        && likely >= required - NOTHING
    {
        notes.push(format!(
            "In the worst case the rod end swings {worst:.1}°; {required:.1}° is required."
        ));
    }
    notes
}

/// The row of a captured nut.
pub(crate) fn nut(fit: &NutFit) -> NutRow {
    let room = &fit.room;
    let [clear, worst] = room.clear();
    NutRow {
        nut: fit.nut.name().to_owned(),
        corners_mm: on_grid(room.corners),
        bore_mm: on_grid(room.bore),
        min_bore_mm: on_grid(room.min_bore),
        weld_root_mm: on_grid(room.root),
        weld_round_nut_mm: on_grid(room.weld),
        off_centre_mm: on_grid(room.off),
        clearance_mm: on_grid(clear),
        worst_case_clearance_mm: on_grid(worst),
    }
}

/// Less than this, in mm or degrees, is rounding.
const NOTHING: f64 = 1e-9;

/// Tenths of a degree are more than anybody can set.
fn degrees(swing: Swing) -> f64 {
    on_grid((swing.angle.degrees() * 100.0).round() / 100.0)
}

fn rotation_row([left, right]: [Swing; 2]) -> RotationRow {
    RotationRow {
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

//! Rows of the report on the handling of a bend: how the part lies, the gauge of its line, the
//! dimension to check afterwards.

use crate::geom::Place;
use crate::num::on_grid;
use crate::report::ends::ends;
use crate::sequence::Action;
use crate::sequence::Flip;
use crate::sequence::Gauge;
use crate::sequence::GaugeFrom;
use crate::sequence::Handling;
use crate::solve::SideUp;
use crate::solve::Solved;
use serde::Serialize;

/// How a bend is handled at its step.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct StepRow {
    /// Its number in the order; without a shop, in that of the recipe.
    pub(crate) sequence: usize,
    /// The face that is clamped, or lies against the back gauge of a press brake.
    hold: String,
    /// The face on the other side of the bend, towards the operator.
    to_operator: String,
    /// Which side of the sheet is up; in a vice, towards the operator.
    top: SideUp,
    /// Whether it is clamped upright, in a vice.
    upright: bool,
    action: ActionRow,
    /// `None` if no edge parallel to the bend line can be reached.
    #[serde(skip_serializing_if = "Option::is_none")]
    gauge: Option<GaugeRow>,
    /// Outside leg from the bend to where it ends, once the bend is made.
    #[serde(skip_serializing_if = "Option::is_none")]
    leg_mm: Option<f64>,
    /// Where it ends; `None` if that is the gauge edge.
    #[serde(skip_serializing_if = "Option::is_none")]
    leg_to: Option<GaugeRow>,
    /// From the bend line to the sight line, towards the operator; over no V.
    #[serde(skip_serializing_if = "Option::is_none")]
    sight_mm: Option<f64>,
    /// The range of angles the bend may need under load.
    #[serde(skip_serializing_if = "Option::is_none")]
    bend_to_deg: Option<[f64; 2]>,
    /// Where each tool that comes in sections begins, from the left end of the line as the operator
    /// sees it, in the order of `made.sections`.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    from_left_mm: Vec<f64>,
}

/// What brings the part there from the bend before.
#[derive(Clone, Debug, Serialize)]
#[serde(tag = "kind", rename_all = "lowercase")]
enum ActionRow {
    /// It is laid down: as the first, or with another face level than before.
    Lay,
    /// Turned over where said, then rotated.
    Move {
        #[serde(skip_serializing_if = "Option::is_none")]
        flip: Option<&'static str>,
        /// Anticlockwise as seen from above.
        rotate_deg: f64,
    },
}

/// The gauge of a bend line.
#[derive(Clone, Debug, Serialize)]
struct GaugeRow {
    /// `edge`, `flange` or `tip`.
    from: &'static str,
    face: String,
    /// The bend that made the flange.
    #[serde(skip_serializing_if = "Option::is_none")]
    bend: Option<String>,
    distance_mm: f64,
    /// `held` or `moving`.
    side: &'static str,
    /// Whether the tools cover it once they are closed.
    covered: bool,
    /// Whether no gauge bar can rest against it: it lies beside the bend, or other metal reaches
    /// out further straight behind the bend.
    alone: bool,
    /// The edge in the flat, or where the bend of the flange begins.
    line_mm: [[f64; 2]; 2],
}

/// The row of a bend; `place` brings the flat to where its file has it.
pub(crate) fn row(solved: &Solved, sequence: usize, handling: &Handling, place: &Place) -> StepRow {
    let part = &solved.part;
    let name = |face: usize| part.faces[face].name.clone();
    let row = |gauge: Gauge| {
        let (from, face, bend) = match gauge.from {
            GaugeFrom::Edge { face } => ("edge", face, None),
            GaugeFrom::Flange { bend, face } => {
                ("flange", face, Some(part.bends[bend].name.clone()))
            }
            GaugeFrom::Tip { face } => ("tip", face, None),
        };
        GaugeRow {
            from,
            face: name(face),
            bend,
            distance_mm: on_grid(gauge.distance),
            side: if gauge.held { "held" } else { "moving" },
            covered: gauge.hidden,
            alone: gauge.alone,
            line_mm: ends(&gauge.line.moved(place)),
        }
    };
    let leg_to = handling.leg.map(|leg| leg.gauge).filter(|to| {
        handling.gauge.is_none_or(|gauge| (gauge.from, gauge.line) != (to.from, to.line))
    });
    let action = match handling.action {
        Action::Lay => ActionRow::Lay,
        Action::Move { flip, rotate } => ActionRow::Move {
            flip: flip.map(|flip| match flip {
                Flip::Sideways => "left for right",
                Flip::Endways => "front for back",
            }),
            rotate_deg: on_grid(rotate.degrees()),
        },
    };
    StepRow {
        sequence,
        hold: name(handling.hold),
        to_operator: name(handling.moves),
        top: if handling.orientation.mirrored { SideUp::Bottom } else { SideUp::Top },
        upright: handling.upright,
        action,
        gauge: handling.gauge.map(row),
        leg_mm: handling.leg.map(|leg| on_grid(leg.mm)),
        leg_to: leg_to.map(row),
        sight_mm: handling.sight.map(on_grid),
        bend_to_deg: handling.range.map(|range| range.map(|angle| on_grid(angle.degrees()))),
        from_left_mm: handling.from_left.iter().map(|mm| on_grid(*mm)).collect(),
    }
}

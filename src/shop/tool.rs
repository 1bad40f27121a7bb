//! Brakes, as a shop file has them.

use crate::brake;
use crate::diag::Finding;
use crate::document::Fields;
use crate::entry;
use crate::num::Angle;
use crate::quantity::Dimension;
use crate::shop::brakes::Brake;
use crate::shop::brakes::Fingers;
use crate::shop::brakes::Folding;
use crate::shop::brakes::FoldingKind;
use crate::shop::brakes::Tools;
use crate::shop::by_hand;
use crate::shop::fields::size;
use crate::shop::fields::sizes;
use crate::shop::press;
use crate::shop::section::GAP;
use crate::shop::section::Part;
use crate::shop::section::angle;
use crate::shop::section::section;
use crate::table::Tables;

/// A brake.
pub(super) fn brake(fields: &Fields, tables: &Tables) -> Option<Brake> {
    let findings = fields.findings();
    let rated = fields.get("rated_for");
    let rated = rated.and_then(|i| entry::row(i, "material", tables, findings));
    let name = fields.needed_label("name", "\"straight brake\"").map(str::to_owned);
    let span = fields.get("name").map_or(fields.here, |i| i.letters);
    let kind = fields.needed_text("kind", "\"straight\"");
    let length = size(fields, "length", "\"1250 mm\"");
    let max_angle = max_angle(fields, kind);
    let radius = |name| fields.get(name).and_then(|i| entry::length(i, findings));
    let (min_radius, max_radius) = (radius("min_radius"), radius("max_radius"));
    let folding = |kind| {
        let thickest = size(fields, "max_thickness", "\"2 mm\"");
        let folding = folding(fields, kind);
        Some((None, (None, Some(thickest?)), Tools::Folding(folding?)))
    };
    let tools = match kind? {
        "straight" => folding(FoldingKind::Straight),
        "box-and-pan" => folding(FoldingKind::BoxAndPan),
        "vice" => folding(FoldingKind::Vice),
        "press" => {
            let force = fields.need("force", "\"400 kN\"");
            let force =
                force.and_then(|i| entry::measure(i, Dimension::FORCE, "a force", "kN", findings));
            press::read(fields).and_then(|press| {
                // Newtons in the document, kN in here.
                Some((Some(force? / 1000.0), (None, None), Tools::Press(press)))
            })
        }
        "hand" => by_hand::read(fields, tables)
            .map(|(pull, thickest, tools)| (None, (pull, thickest), tools)),
        _ => {
            let span = fields.get("kind").map_or(fields.here, |i| i.letters);
            fields.add(
                Finding::stop(
                    "unknown-word",
                    "a brake is straight, box-and-pan, press, vice or hand",
                )
                .at(span, "")
                .help("write `kind = \"straight\"`"),
            );
            None
        }
    };
    let (force, (pull, thickest), tools) = tools?;
    Some(Brake {
        name: name?,
        length: length?,
        force,
        thickest,
        pull,
        rated_for: rated.map_or(brake::MILD_STEEL, |row| row.bending_strength()),
        max_angle: max_angle?,
        min_radius,
        max_radius,
        tools,
        span,
    })
}

/// Maximum bend angle: as given, or by hand the common one.
fn max_angle(fields: &Fields, kind: Option<&str>) -> Option<Angle> {
    match kind {
        Some("hand") if !fields.has("max_angle") => Some(Angle::from_degrees(by_hand::MAX_ANGLE)),
        // Over a V of 80° no sheet comes further than 100°.
        Some("press") => angle(fields, "max_angle", "\"95 deg\""),
        _ => angle(fields, "max_angle", "\"135 deg\""),
    }
}

fn folding(fields: &Fields, kind: FoldingKind) -> Option<Folding> {
    let min_clamp = size(fields, "min_clamp", "\"20 mm\"");
    let min_flange = size(fields, "min_flange", "\"12 mm\"");
    let throat = match (kind, fields.get("throat")) {
        (FoldingKind::Vice, Some(_)) => size(fields, "throat", "\"95 mm\""),
        _ => None,
    };
    let (beam, bed) = (section(fields, "beam", Part::Above), section(fields, "bed", Part::Below));
    let leaf = match kind {
        FoldingKind::Vice | FoldingKind::Hand(_) => None,
        FoldingKind::Straight | FoldingKind::BoxAndPan => {
            Some(section(fields, "leaf", Part::Leaf)?)
        }
    };
    let fingers = match kind {
        FoldingKind::BoxAndPan => {
            fields.need("fingers", "[\"25 mm\", \"50 mm\", \"75 mm\"]");
            let widths = sizes(fields, "fingers");
            let gap = fields.get("gap");
            let gap = gap.and_then(|i| entry::length(i, fields.findings()));
            let section = section(fields, "finger", Part::Above);
            Some(Fingers { section: section?, widths, gap: gap.unwrap_or(GAP) })
        }
        FoldingKind::Straight | FoldingKind::Vice | FoldingKind::Hand(_) => None,
    };
    Some(Folding {
        kind,
        min_clamp: min_clamp?,
        min_flange: min_flange?,
        throat,
        beam: beam?,
        bed: bed?,
        leaf,
        fingers,
    })
}

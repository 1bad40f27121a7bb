//! Brakes, as a shop file has them.

use crate::brake as sums;
use crate::diag::Finding;
use crate::document;
use crate::document::Fields;
use crate::document::Findings;
use crate::document::Item;
use crate::document::Value;
use crate::entry;
use crate::geom::Outline;
use crate::geom::Point;
use crate::geom::Vertex;
use crate::num::Angle;
use crate::quantity::Dimension;
use crate::shop::Brake;
use crate::shop::Fingers;
use crate::shop::Folding;
use crate::shop::FoldingKind;
use crate::shop::Tools;
use crate::shop::press;
use crate::shop::read::size;
use crate::shop::read::sizes;
use crate::table::Tables;

/// How much of a bend line may stay without a tool when nothing is said, mm. Our choice.
pub(super) const GAP: f64 = 12.0;

/// A brake.
pub(super) fn brake(fields: &Fields, tables: &Tables) -> Option<Brake> {
    let findings = fields.findings();
    let rated = fields.get("rated_for");
    let rated = rated.and_then(|i| entry::row(i, "material", tables, findings));
    let name = fields.needed_text("name", "\"straight brake\"").map(str::to_owned);
    let span = fields.get("name").map_or(fields.here, |i| i.letters);
    let kind = fields.needed_text("kind", "\"straight\"");
    let length = size(fields, "length", "\"1250 mm\"");
    let most_turn = angle(fields, "most_turn", "\"135 deg\"");
    let radius = |name| fields.get(name).and_then(|i| entry::length(i, findings));
    let (min_radius, max_radius) = (radius("min_radius"), radius("max_radius"));
    let folding = |kind| {
        let thickest = size(fields, "thickest", "\"2 mm\"");
        Some((None, Some(thickest?), Tools::Folding(folding(fields, kind)?)))
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
                Some((Some(force? / 1000.0), None, Tools::Press(press)))
            })
        }
        _ => {
            let span = fields.get("kind").map_or(fields.here, |i| i.letters);
            fields.add(
                Finding::stop("unknown-word", "a brake is straight, box-and-pan, press or vice")
                    .at(span, "")
                    .help("write `kind = \"straight\"`"),
            );
            None
        }
    };
    let (force, thickest, tools) = tools?;
    Some(Brake {
        name: name?,
        length: length?,
        force,
        thickest,
        rated_for: rated.map_or(sums::MILD_STEEL, |row| row.bending_strength()),
        most_turn: most_turn?,
        min_radius,
        max_radius,
        tools,
        span,
    })
}

fn folding(fields: &Fields, kind: FoldingKind) -> Option<Folding> {
    let least_clamp = size(fields, "least_clamp", "\"20 mm\"");
    let least_flange = size(fields, "least_flange", "\"12 mm\"");
    let (beam, bed) = (section(fields, "beam"), section(fields, "bed"));
    let leaf = match kind {
        FoldingKind::Vice => None,
        FoldingKind::Straight | FoldingKind::BoxAndPan => Some(section(fields, "leaf")?),
    };
    let fingers = match kind {
        FoldingKind::BoxAndPan => {
            fields.need("fingers", "[\"25 mm\", \"50 mm\", \"75 mm\"]");
            let widths = sizes(fields, "fingers");
            let gap = fields.get("gap");
            let gap = gap.and_then(|i| entry::length(i, fields.findings()));
            let section = section(fields, "finger");
            Some(Fingers { section: section?, widths, gap: gap.unwrap_or(GAP) })
        }
        FoldingKind::Straight | FoldingKind::Vice => None,
    };
    Some(Folding {
        kind,
        least_clamp: least_clamp?,
        least_flange: least_flange?,
        beam: beam?,
        bed: bed?,
        leaf,
        fingers,
    })
}

/// An angle of more than 0° and less than 180° that must be there.
pub(super) fn angle(fields: &Fields, name: &str, example: &str) -> Option<Angle> {
    let item = fields.need(name, example)?;
    let findings = fields.findings();
    let degrees = entry::measure(item, Dimension::ANGLE, "an angle", "deg", findings)?;
    if degrees > 0.0 && degrees < 180.0 {
        return Some(Angle::from_degrees(degrees));
    }
    fields.add(
        Finding::stop("out-of-range", "an angle between 0 and 180 degrees is needed here")
            .at(item.letters, "")
            .help(format!("write `{name} = {example}`")),
    );
    None
}

/// The section of a tool: its corners in order.
pub(super) fn section(fields: &Fields, name: &str) -> Option<Outline> {
    let item = fields
        .need(name, "[[\"0 mm\", \"0 mm\"], [\"0 mm\", \"40 mm\"], [\"-60 mm\", \"40 mm\"]]")?;
    let findings = fields.findings();
    let items = fields.list(name);
    let corners: Vec<Vertex> = items.iter().filter_map(|i| corner(i, findings)).collect();
    if corners.len() < items.len() {
        return None;
    }
    let outline = Outline::new(corners);
    if let Err(error) = &outline {
        findings.add(
            Finding::stop("tool-section", format!("this is no section of a tool: {error}"))
                .at(item.span, "")
                .help("give its corners in order, `[\"across\", \"up\"]` each, three at least"),
        );
    }
    outline.ok()
}

fn corner(item: &Item, findings: &Findings) -> Option<Vertex> {
    let Value::List(pair) = &item.value else {
        findings.add(document::wrong_kind(item, "a corner, `[\"across\", \"up\"]`,"));
        return None;
    };
    let of = |i: &Item| entry::measure(i, Dimension::LENGTH, "a length", "mm", findings);
    let [across, up] = pair.as_slice() else {
        findings.add(
            Finding::stop("wrong-kind", "a corner has two measures: across and up")
                .at(item.span, "")
                .help("write `[\"-60 mm\", \"40 mm\"]`"),
        );
        return None;
    };
    let (across, up) = (of(across), of(up));
    Some(Vertex { at: Point::new(across?, up?), bulge: 0.0 })
}

/// The shortest flange of a die: what it says, else by its opening.
pub(super) fn least_flange(fields: &Fields, v: Option<f64>) -> Option<f64> {
    match fields.get("least_flange") {
        Some(item) => entry::length(item, fields.findings()),
        None => v.map(sums::least_flange),
    }
}

/// Brakes are told apart by name.
pub(super) fn names_differ(brakes: &[Brake], findings: &Findings) {
    for (i, brake) in brakes.iter().enumerate() {
        let same = brakes[..i].iter().find(|other| other.name == brake.name);
        if let Some(other) = same {
            let headline = format!("two brakes are called `{}`", brake.name);
            findings.add(
                Finding::stop("double-name", headline)
                    .at(brake.span, "")
                    .at(other.span, "the other")
                    .help("give one of them another name"),
            );
        }
    }
}

//! Angles, sections and flanges of tools, as a shop file has them.

use crate::brake as sums;
use crate::diag::Finding;
use crate::document::Fields;
use crate::entry;
use crate::geom::Outline;
use crate::geom::Vertex;
use crate::num::Angle;
use crate::quantity::Dimension;

/// How much of a bend line may stay without a tool when nothing is said, mm. Our choice.
pub(super) const GAP: f64 = 12.0;

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
    let corners = entry::corners(fields.list(name), ["across", "up"], findings)?;
    let outline = Outline::new(corners.into_iter().map(|[u, v]| Vertex::sharp(u, v)));
    if let Err(error) = &outline {
        findings.add(
            Finding::stop("tool-section", format!("this tool section is not valid: {error}"))
                .at(item.span, "")
                .help("give at least three corners in order, each `[\"across\", \"up\"]`"),
        );
    }
    outline.ok()
}

/// The shortest flange of a die: what it says, else by its opening.
pub(super) fn min_flange(fields: &Fields, v: Option<f64>) -> Option<f64> {
    match fields.get("min_flange") {
        Some(item) => entry::length(item, fields.findings()),
        None => v.map(sums::min_flange),
    }
}

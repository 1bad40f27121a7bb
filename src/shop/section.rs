//! Angles, sections and flanges of tools, as a shop file has them.

use crate::brake as sums;
use crate::diag::Finding;
use crate::document::Fields;
use crate::document::Item;
use crate::document::Value;
use crate::document::wrong_kind;
use crate::entry;
use crate::geom::Outline;
use crate::geom::OutlineError;
use crate::geom::Vertex;
use crate::num::Angle;
use crate::quantity::Dimension;
use crate::shop::fields::size;
use crate::shop::shapes;
use crate::shop::shapes::Block;

/// Default length of a bend line that may be without a tool, mm. Our choice.
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

/// Which tool a section is of, which says where it lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Part {
    /// On the sheet and behind: a beam, a finger, the upper jaw.
    Above,
    /// Below the sheet and behind: a bed, the lower jaw.
    Below,
    /// In front of and below the flange.
    Leaf,
    /// Of a press brake, above the punch.
    Ram,
    /// Of a press brake, below the die.
    Table,
}

impl Part {
    /// A valid section of this kind, to be replaced by measured values.
    fn usual(self) -> Result<Outline, OutlineError> {
        let nose = Angle::from_degrees(if self == Self::Above { 45.0 } else { 90.0 });
        let block = Block {
            depth: 140.0,
            height: if self == Self::Above { 160.0 } else { 80.0 },
            nose,
            face: 45.0,
        };
        match self {
            Self::Above => block.section(true),
            Self::Below => block.section(false),
            Self::Leaf => shapes::leaf(60.0, 40.0),
            Self::Ram => shapes::slab(120.0, HIGH, true),
            Self::Table => shapes::slab(90.0, HIGH, false),
        }
    }

    /// Valid dimensions in braces, to be replaced by measured values.
    const fn example(self) -> &'static str {
        match self {
            Self::Above => {
                "{ depth = \"140 mm\", height = \"160 mm\", nose = \"45 deg\", face = \"45 mm\" }"
            }
            Self::Below => "{ depth = \"140 mm\", height = \"80 mm\" }",
            Self::Leaf => "{ depth = \"60 mm\", thickness = \"40 mm\" }",
            Self::Ram => "{ thickness = \"120 mm\" }",
            Self::Table => "{ thickness = \"90 mm\" }",
        }
    }

    /// In whose sections it must not be drawn as well: these are only as long as their pieces.
    const fn apart(self) -> &'static str {
        match self {
            Self::Ram => ", and leave the ram out of the sections of the punches",
            Self::Table => ", and leave the bed out of the sections of the dies",
            _ => "",
        }
    }

    /// Its section by dimensions.
    fn measured(self, fields: &Fields) -> Option<Result<Outline, OutlineError>> {
        let may = |name: &str, usual: f64| match fields.get(name) {
            Some(item) => {
                entry::size(item, "write what you measured on the tool", fields.findings())
            }
            None => Some(usual),
        };
        match self {
            Self::Above | Self::Below => {
                let depth = size(fields, "depth", "\"140 mm\"");
                let height = size(fields, "height", "\"80 mm\"");
                let nose = match fields.has("nose") {
                    true => angle(fields, "nose", "\"45 deg\""),
                    false => Some(Angle::QUARTER),
                };
                let face = may("face", f64::INFINITY);
                let (depth, height) = (depth?, height?);
                Some(Block { depth, height, nose: nose?, face: face? }.section(self == Self::Above))
            }
            Self::Leaf => {
                let depth = size(fields, "depth", "\"60 mm\"");
                let thickness = size(fields, "thickness", "\"40 mm\"");
                Some(shapes::leaf(depth?, thickness?))
            }
            Self::Ram | Self::Table => {
                let thickness = size(fields, "thickness", "\"120 mm\"");
                let height = may("height", HIGH);
                Some(shapes::slab(thickness?, height?, self == Self::Ram))
            }
        }
    }
}

/// Default height of a ram and depth of a bed, mm: beyond any part on it. Our choice.
const HIGH: f64 = 300.0;

/// The section of a tool: by its dimensions in braces, or its corners in order.
pub(super) fn section(fields: &Fields, name: &str, part: Part) -> Option<Outline> {
    let usual = part.usual().map(|section| shapes::written(&section)).unwrap_or_default();
    // Findings show corners to users who draw corners; all others need no more than dimensions.
    let add = format!("add `{name} = {}`{}", part.example(), part.apart());
    let item = fields.need_or(name, &add)?;
    match &item.value {
        Value::Table(_) => {
            let measures = Fields::of(item, fields.findings())?;
            let made = part.measured(&measures);
            measures.finish();
            valid(made?, item, &format!("write `{name} = {}`", part.example()), fields)
        }
        Value::List(_) => drawn(fields, name, &usual),
        _ => {
            let finding = wrong_kind(item, "a section, or its dimensions in braces,");
            fields.add(finding.help(format!("write `{name} = {}`", part.example())));
            None
        }
    }
}

/// A section by its corners; `example` is one that is right.
pub(super) fn drawn(fields: &Fields, name: &str, example: &str) -> Option<Outline> {
    let item = fields.need(name, example)?;
    let corners = entry::corners(fields.list(name), ["across", "up"], fields.findings())?;
    let outline = Outline::new(corners.into_iter().map(|[u, v]| Vertex::sharp(u, v)));
    valid(outline, item, &format!("write `{name} = {example}`"), fields)
}

/// The section, where it is an outline.
pub(super) fn valid(
    made: Result<Outline, OutlineError>,
    item: &Item,
    help: &str,
    fields: &Fields,
) -> Option<Outline> {
    if let Err(error) = &made {
        fields.add(
            Finding::stop("tool-section", format!("this tool section is not valid: {error}"))
                .at(item.span, "")
                .note("the corners of a section go round it in order, each `[\"across\", \"up\"]`")
                .help(help),
        );
    }
    made.ok()
}

/// The minimum flange of a die: as given, else by its opening.
pub(super) fn min_flange(fields: &Fields, v: Option<f64>) -> Option<f64> {
    match fields.get("min_flange") {
        Some(item) => entry::length(item, fields.findings()),
        None => v.map(sums::min_flange),
    }
}

//! The tools of a shop for large radii and for hems.

use crate::brake;
use crate::diag::Finding;
use crate::diag::Span;
use crate::document::Fields;
use crate::entry;
use crate::num::Angle;
use crate::shop::fields::size;
use crate::shop::section::angle;
use crate::table::Tables;

/// Rolls, or a vice and a former.
#[derive(Clone, Debug)]
pub struct Roll {
    /// Its name.
    pub name: String,
    /// Its kind.
    pub kind: RollKind,
    /// The sheets it takes.
    pub takes: Takes,
    /// Smallest inside radius, mm.
    pub min_radius: f64,
    /// Largest inside radius, mm, where the shop says.
    pub max_radius: Option<f64>,
    /// What stays straight at either end of a rolled bend, mm.
    pub flat_end: f64,
}

/// How a large radius is made.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RollKind {
    /// Between rolls.
    Rolls,
    /// Pulled or hammered round a former.
    Former,
}

/// What flattens hems after the acute bend.
#[derive(Clone, Debug)]
pub struct Hemming {
    /// Its name.
    pub name: String,
    /// The sheets it takes.
    pub takes: Takes,
    /// How far the sheet must be bent before it can be flattened.
    pub acute: Angle,
    /// Shortest return, mm, measured to the outside of the fold.
    pub min_return: f64,
}

/// The sheet that a tool takes.
#[derive(Clone, Copy, Debug)]
pub struct Takes {
    /// Longest bend, mm.
    pub length: f64,
    /// Thickest sheet of the metal it is rated for, mm.
    pub thickest: f64,
    /// Tensile strength of that metal for bending, MPa.
    pub rated_for: f64,
    /// The position of its name.
    pub span: Span,
}

impl Takes {
    /// Whether it takes a bend of a length in sheet of a thickness, mm, and a strength, MPa.
    pub(crate) fn takes(&self, length: f64, thickness: f64, tensile: f64) -> bool {
        length <= self.length + SAME
            && brake::as_hard(tensile, self.rated_for, thickness) <= self.thickest + SAME
    }
}

/// Pulled round a bar, a bend may come out as much larger than the bar. Our choice.
const LOOSE: f64 = 1.1;

/// A length or thickness that exceeds a limit by no more than this is within it, mm.
const SAME: f64 = 1e-6;

fn takes(fields: &Fields, tables: &Tables) -> Option<Takes> {
    let findings = fields.findings();
    let rated = fields.get("rated_for");
    let rated = rated.and_then(|i| entry::row(i, "material", tables, findings));
    let span = fields.get("name").map_or(fields.here, |i| i.letters);
    let length = size(fields, "length", "\"1000 mm\"");
    let thickest = size(fields, "max_thickness", "\"2 mm\"");
    Some(Takes {
        length: length?,
        thickest: thickest?,
        rated_for: rated.map_or(brake::MILD_STEEL, |row| row.bending_strength()),
        span,
    })
}

/// An entry of `[[roll]]`.
pub(super) fn roll(fields: &Fields, tables: &Tables) -> Option<Roll> {
    let name = fields.needed_label("name", "\"three-roll bender\"").map(str::to_owned);
    let kind = match fields.needed_text("kind", "\"rolls\"") {
        Some("rolls") => Some(RollKind::Rolls),
        Some("former") => Some(RollKind::Former),
        Some(_) => {
            let span = fields.get("kind").map_or(fields.here, |i| i.letters);
            fields.add(
                Finding::stop(
                    "unknown-word",
                    "large radii are made on `rolls` or round a `former`",
                )
                .at(span, "")
                .help("write `kind = \"rolls\"`, or `\"former\"` for a vice and a former"),
            );
            None
        }
        None => None,
    };
    let takes = takes(fields, tables);
    let bar = fields.has("bar").then(|| size(fields, "bar", "\"30 mm\"")).flatten();
    let min_radius = match bar {
        Some(bar) => Some(bar / 2.0),
        None if fields.has("bar") => None,
        None => size(fields, "min_radius", "\"40 mm\""),
    };
    let max_radius = match bar {
        Some(bar) => Some(bar / 2.0 * LOOSE),
        None => fields.get("max_radius").and_then(|i| entry::length(i, fields.findings())),
    };
    let flat_end = fields.need("flat_end", "\"20 mm\"");
    let flat_end = flat_end.and_then(|i| entry::length(i, fields.findings()));
    Some(Roll {
        name: name?,
        kind: kind?,
        takes: takes?,
        min_radius: min_radius?,
        max_radius,
        flat_end: flat_end?,
    })
}

/// An entry of `[[hemming]]`.
pub(super) fn hemming(fields: &Fields, tables: &Tables) -> Option<Hemming> {
    let name = fields.needed_label("name", "\"flattening die\"").map(str::to_owned);
    let takes = takes(fields, tables);
    let acute = angle(fields, "acute", "\"135 deg\"");
    let min_return = size(fields, "min_return", "\"12 mm\"");
    Some(Hemming { name: name?, takes: takes?, acute: acute?, min_return: min_return? })
}

//! Bending by hand: what grips the sheet, the pull and its lever.
//!
//! Corners are not required: where the shop draws no jaws, they are as large as such tools commonly
//! are: table `hand-tool`. A part that clears them clears smaller ones.

use crate::diag::Finding;
use crate::document::Fields;
use crate::entry;
use crate::geom::Outline;
use crate::num::Angle;
use crate::quantity::Dimension;
use crate::shop::brakes::Folding;
use crate::shop::brakes::FoldingKind;
use crate::shop::brakes::Grip;
use crate::shop::brakes::Pull;
use crate::shop::brakes::Tools;
use crate::shop::fields::size;
use crate::shop::section::Part;
use crate::shop::section::section;
use crate::shop::section::valid;
use crate::shop::shapes::Block;
use crate::table::Row;
use crate::table::Tables;
use std::sync::Arc;

/// The pull of a person with both hands, standing firmly, N, unless the shop gives it: common
/// practice.
const PULL: f64 = 400.0;

/// Maximum angle of a bend by hand, unless the shop gives it: common practice, a right angle and
/// its springback.
pub(super) const MAX_ANGLE: f64 = 100.0;

impl Grip {
    /// The grip that a file names.
    fn named(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|grip| grip.word() == word)
    }
}

/// What limits how thick a sheet is bent by hand, and the tools: a pull, or a thickness.
pub(super) type ByHand = (Option<Pull>, Option<f64>, Tools);

/// A tool of the kind `hand`.
pub(super) fn read(fields: &Fields, tables: &Tables) -> Option<ByHand> {
    let grip = grip(fields);
    let limit = match grip {
        Some(Grip::HammerForm) => {
            size(fields, "max_thickness", "\"2 mm\"").map(|thickest| (None, Some(thickest)))
        }
        _ => pull(fields).map(|pull| (Some(pull), None)),
    };
    let jaws = grip.and_then(|grip| jaws(fields, grip, tables));
    let (pull, thickest) = limit?;
    Some((pull, thickest, Tools::Folding(jaws?)))
}

fn grip(fields: &Fields) -> Option<Grip> {
    let item = fields.need("grip", "\"wrench\"")?;
    let grip = item.text().and_then(Grip::named);
    if grip.is_none() {
        let headline =
            "a bend by hand is gripped in a `vice`, with a `wrench` or in a `hammer form`";
        let finding = Finding::stop("unknown-word", headline).at(item.span, "");
        fields.add(finding.help("write `grip = \"wrench\"`"));
    }
    grip
}

fn pull(fields: &Fields) -> Option<Pull> {
    let lever = size(fields, "lever", "\"300 mm\"");
    let findings = fields.findings();
    let most = match fields.get("pull") {
        None => Some(PULL),
        Some(item) => {
            let force = entry::measure(item, Dimension::FORCE, "a force", "N", findings);
            let is_none = force.is_some_and(|force| force <= 0.0);
            if is_none {
                let finding = Finding::stop("out-of-range", "a pull of more than 0 is needed here");
                let help = "write what one person pulls: `pull = \"400 N\"`";
                findings.add(finding.at(item.letters, "").help(help));
            }
            force.filter(|_| !is_none)
        }
    };
    Some(Pull { lever: lever?, max: most? })
}

/// The columns of the table `hand-tool` that jaws or blocks are made from.
const SIZES: [&str; 5] = ["depth", "height", "lean", "min_clamp", "min_flange"];

/// The row of the table `hand-tool` for a grip, with all its sizes: one laid on it may lack some.
fn usual<'a>(fields: &Fields, grip: Grip, tables: &'a Tables) -> Option<&'a Arc<Row>> {
    let row = tables.row("hand-tool", grip.word())?;
    let Some(empty) = SIZES.into_iter().find(|key| row.quantity(key).is_none()) else {
        return Some(row);
    };
    let headline = format!("row `{}` of the `hand-tool` table has no `{empty}`", grip.word());
    let finding = Finding::stop("missing-cell", headline).at(fields.here, "");
    fields.add(finding.help("fill the cell in `tables/hand-tool.csv` beside the job"));
    None
}

/// The jaws or blocks: as the shop draws them, else of a common size.
fn jaws(fields: &Fields, grip: Grip, tables: &Tables) -> Option<Folding> {
    let row = usual(fields, grip, tables)?;
    let depth = row.measure("depth");
    // A wrench is put over the free end of its leg, and reaches no deeper than its jaws.
    let throat = match (grip, fields.get("throat")) {
        (Grip::HammerForm, _) => Some(None),
        (_, Some(_)) => size(fields, "throat", "\"45 mm\"").map(Some),
        (Grip::Wrench, None) => Some(Some(depth)),
        (Grip::Vice, None) => Some(None),
    };
    let length = |key: &str| match fields.get(key) {
        Some(item) => entry::length(item, fields.findings()),
        None => Some(row.measure(key)),
    };
    let (min_clamp, min_flange) = (length("min_clamp"), length("min_flange"));
    let block = Block {
        depth,
        height: row.measure("height"),
        nose: Angle::from_degrees(90.0 - row.measure("lean")),
        face: f64::INFINITY,
    };
    let jaw = |key: &str, part: Part| -> Option<Outline> {
        match fields.get(key) {
            Some(_) => section(fields, key, part),
            None => {
                let item = fields.get("grip")?;
                valid(block.section(part == Part::Above), item, "draw `beam` and `bed`", fields)
            }
        }
    };
    let (beam, bed) = (jaw("beam", Part::Above), jaw("bed", Part::Below));
    Some(Folding {
        kind: FoldingKind::Hand(grip),
        min_clamp: min_clamp?,
        min_flange: min_flange?,
        throat: throat?,
        beam: beam?,
        bed: bed?,
        leaf: None,
        fingers: None,
    })
}

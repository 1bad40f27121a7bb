//! How the pieces of a line may be placed on their sheets.

use crate::diag::Finding;
use crate::diag::Span;
use crate::document::Fields;
use crate::document::Item;
use crate::document::Value;
use crate::job::bridges::OwnBridges;
use crate::nest::Orientations;
use crate::recipe::Grain;

/// How the pieces of a line may be placed on their sheets, beyond what their recipe says.
#[derive(Clone, Debug, Default)]
pub struct Placing {
    /// This many more may fill free area on sheets that are needed anyway.
    pub fill: u32,
    /// The higher, the sooner it is placed.
    pub priority: u32,
    /// In place of the grain of the recipe.
    pub grain: Option<Grain>,
    /// In place of the orientations that the grain leaves, and where that is given.
    pub orientations: Option<(Orientations, Span)>,
    /// The position of the key that allows flipping, as both faces are alike.
    pub may_flip: Option<Span>,
    /// Its number of bridges, in place of the job's.
    pub bridges: Option<OwnBridges>,
    /// Whether its cut-outs stay empty though the job allows parts in cut-outs.
    pub(crate) cut_outs_closed: bool,
}

/// The cut-outs in which a job lets parts be nested.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CutOuts {
    /// Minimum width, mm.
    pub min: f64,
    /// Minimum distance from a part to the edge of its cut-out, mm.
    pub gap: f64,
}

/// Maximum number of pieces that fill a sheet. Our choice.
const MAX_FILLING: u32 = 100_000;

/// Highest priority. Our choice.
const HIGHEST: u32 = 1000;

const ORIENTATIONS: [(&str, Orientations); 4] = [
    ("fixed", Orientations::Fixed),
    ("half-turns", Orientations::Half),
    ("quarter-turns", Orientations::Quarters),
    ("any", Orientations::Free),
];

const GRAINS: [(&str, Grain); 3] =
    [("free", Grain::Free), ("x", Grain::AlongX), ("y", Grain::AlongY)];

impl Placing {
    pub(super) fn read(fields: &Fields) -> Self {
        let word_of = |name: &str| fields.get(name);
        let orientations = word_of("orientations").and_then(|item| {
            let known = word(fields, item, "orientations", &ORIENTATIONS)?;
            Some((known, item.span))
        });
        Self {
            fill: fill(fields),
            priority: fields.count("priority", HIGHEST).unwrap_or(0),
            grain: word_of("grain").and_then(|item| word(fields, item, "grain", &GRAINS)),
            orientations,
            may_flip: fields
                .flag("may_flip")
                .then(|| fields.get("may_flip").map(|item| item.span))
                .flatten(),
            bridges: OwnBridges::read(fields),
            cut_outs_closed: fields.has("cutouts") && !fields.flag("cutouts"),
        }
    }
}

fn word<T: Copy>(fields: &Fields, item: &Item, name: &str, words: &[(&str, T)]) -> Option<T> {
    let found = item.text().and_then(|text| words.iter().find(|(word, _)| *word == text));
    if found.is_none() {
        let list: Vec<String> = words.iter().map(|(word, _)| format!("`{word}`")).collect();
        let headline = format!("`{name}` is one of {}", list.join(", "));
        fields.add(
            Finding::stop("unknown-word", headline)
                .at(item.span, "")
                .help(format!("write `{name} = \"{}\"`", words[0].0)),
        );
    }
    found.map(|(_, meant)| *meant)
}

/// `fill = true` is as many as find room, a number no more than that.
fn fill(fields: &Fields) -> u32 {
    match fields.get("fill") {
        None | Some(Item { value: Value::Flag(false), .. }) => 0,
        Some(Item { value: Value::Flag(true), .. }) => MAX_FILLING,
        Some(Item { value: Value::Number(n), .. })
            if n.fract() == 0.0 && (0.0..=f64::from(MAX_FILLING)).contains(n) =>
        {
            *n as u32
        }
        Some(item) => {
            let headline =
                format!("`fill` must be `true` or a whole number from 0 to {MAX_FILLING}");
            let help = "write `fill = true`, or the most pieces that may be added";
            fields.add(Finding::stop("wrong-kind", headline).at(item.span, "").help(help));
            0
        }
    }
}

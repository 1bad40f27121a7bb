//! The layers of a joint and the tabs round the end of a tube: one more, one less, another order.

use crate::quantity::Units;
use crate::serve::begins;
use crate::serve::begins::Begins;
use crate::serve::begins::begin;
use crate::serve::changed::Refused;
use crate::serve::nested;
use crate::serve::nested::Choices;
use crate::serve::path;
use serde::Deserialize;
use serde_json::Value;
use serde_json::json;
use toml_edit::InlineTable;

/// A change of such a list.
#[derive(Clone, Debug, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub(super) enum RowChange {
    /// One more: a hole, a filler by its word, or the part of a tab.
    Add { what: String },
    /// One less; what the page shows of it.
    Take { row: usize, was: Option<String> },
    /// One place earlier.
    Earlier { row: usize, was: Option<String> },
}

/// What a new layer between plates begins with, by its word.
const FILLERS: [(&str, Begins); 4] = [
    ("laminate", begins::LAMINATE),
    ("rubber", begins::RUBBER),
    ("spacer", begins::SPACER),
    ("barrier", begins::BARRIER),
];

/// The list of a form as the page shows it: its entries as written, and what may be added.
pub(super) fn shown(text: &str, (form, index): (&str, usize), choices: &Choices) -> Option<Value> {
    let (list, word, _) = nested::list(form)?;
    let path = format!("{form}.{index}.{list}");
    let all: Vec<Option<String>> = (0..path::count(text, &path))
        .map(|n| path::written(text, &format!("{path}.{n}")))
        .collect();
    let fillers = FILLERS.iter().map(|(word, _)| [*word; 2].map(str::to_owned));
    let more: Vec<[String; 2]> = match form {
        "joint" => fillers.chain(choices.holes.iter().cloned()).collect(),
        _ => choices.parts.clone(),
    };
    Some(
        json!({ "word": word.to_lowercase(), "all": all, "more": more, "ordered": form == "joint" }),
    )
}

/// The text after a change of the list of a form, and what was done.
///
/// # Errors
/// When what the page shows is no longer there.
pub(super) fn changed(
    text: &str,
    ((form, index), units): ((&str, usize), Units),
    change: &RowChange,
) -> Result<(String, String), Refused> {
    let (list, word, _) = nested::list(form).ok_or_else(|| format!("a {form} has no list"))?;
    let word = word.to_lowercase();
    let path = format!("{form}.{index}.{list}");
    let same = |row: usize, was: &Option<String>| {
        let words = format!("this {word} was changed in the file meanwhile");
        let is_same =
            path::written(text, &format!("{path}.{row}")) == *was && row < path::count(text, &path);
        is_same.then_some(()).ok_or(Refused::Outside(words))
    };
    Ok(match change {
        RowChange::Add { what } => {
            let end = path::count(text, &path);
            let filler = FILLERS.iter().find(|(known, _)| form == "joint" && known == what);
            // A filler is between two plates.
            let at = if filler.is_some() { end.saturating_sub(1) } else { end };
            let new = match (form, filler) {
                (_, Some((key, first))) => one([(*key, begin(*first, units))]),
                ("joint", None) => toml_edit::Value::from(what.as_str()),
                _ => {
                    let at = begin(begins::TAB, units);
                    one([("part", what.as_str()), ("at", at), ("clock", "0 deg")])
                }
            };
            (path::insert(text, &path, at, new)?, format!("{word} {what} added"))
        }
        RowChange::Take { row, was } => {
            same(*row, was)?;
            let text = path::set(text, &format!("{path}.{row}"), None)?;
            // A list of nothing is left out.
            let text = match path::count(&text, &path) {
                0 => path::set(&text, &path, None)?,
                _ => text,
            };
            (text, format!("{word} {} removed", row + 1))
        }
        RowChange::Earlier { row, was } => {
            same(*row, was)?;
            let before = row.checked_sub(1).ok_or_else(|| format!("this {word} is the first"))?;
            (path::exchange(text, &path, before)?, format!("{word} {} moved", row + 1))
        }
    })
}

fn one<const N: usize>(keys: [(&str, &str); N]) -> toml_edit::Value {
    keys.into_iter().collect::<InlineTable>().into()
}

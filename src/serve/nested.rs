//! The layers of a joint and the tabs round the end of a tube: tables within a list of an entry, each
//! value with a separate field, `stack.1.laminate`, the layers counted from 0 as in a path.

use crate::quantity::Units;
use crate::serve::changed::Refused;
use crate::serve::entries;
use crate::serve::path;
use crate::serve::sort::Sort;
use crate::serve::typed;
use serde_json::Value;
use serde_json::json;
use toml_edit::InlineTable;

/// A value of such a table.
struct Inner {
    /// Within the table, `sleeve.outside` within `sleeve`.
    key: &'static str,
    called: &'static str,
    sort: Sort,
    /// The value if the key is left out.
    default: &'static str,
}

/// The name of a table, from its first value, and all of its values.
struct Kind {
    word: &'static str,
    values: &'static [Inner],
}

const fn inner(key: &'static str, called: &'static str, sort: Sort) -> Inner {
    Inner { key, called, sort, default: "" }
}

const TOLERANCE: Inner = inner("tolerance", "tolerance of the thickness", Sort::Length);

const LAMINATE: Kind = Kind {
    word: "laminate",
    values: &[
        inner("laminate", "thickness", Sort::Length),
        TOLERANCE,
        inner("fibre", "fibre", Sort::Choice(&["carbon", "glass", "aramid"])),
        inner("hole", "diameter of its holes", Sort::Length),
        inner("edge", "hole to the nearest edge", Sort::Length),
        inner("min_edge", "min. edge distance", Sort::Length),
        inner("bearing", "allowable bearing stress", Sort::Word),
        inner("sleeve.outside", "sleeve: outside diameter", Sort::Length),
        inner("sleeve.less", "sleeve: shorter than the laminate by", Sort::Length),
    ],
};

const RUBBER: Kind = Kind {
    word: "rubber",
    values: &[
        inner("rubber", "thickness", Sort::Length),
        TOLERANCE,
        inner("squeeze", "compressed by", Sort::Length),
    ],
};

const SPACER: Kind =
    Kind { word: "spacer", values: &[inner("spacer", "thickness", Sort::Length), TOLERANCE] };

const BARRIER: Kind =
    Kind { word: "barrier", values: &[inner("barrier", "thickness", Sort::Length), TOLERANCE] };

const TAB: Kind = Kind {
    word: "tab",
    values: &[
        inner("part", "part", Sort::Part),
        inner("at", "from the end of the tube", Sort::Length),
        inner("clock", "clock position from the heel line", Sort::Angle),
        Inner { default: "0 mm", ..inner("reach", "reaches out from the tube by", Sort::Length) },
    ],
};

/// The list of tables of a form, and its keys.
fn list_of(form: &str) -> Option<(&'static str, &'static str, &'static [Kind])> {
    match form {
        "joint" => Some(("stack", "Layer", &[LAMINATE, RUBBER, SPACER, BARRIER])),
        "tube_end" => Some(("tabs", "Tab", &[TAB])),
        _ => None,
    }
}

/// The list of tables of a form: its key, what one of them is called, and the words of its kinds.
pub(super) fn list(form: &str) -> Option<(&'static str, &'static str, Vec<&'static str>)> {
    let (list, word, kinds) = list_of(form)?;
    Some((list, word, kinds.iter().map(|kind| kind.word).collect()))
}

/// The possible values of a field: parts, or the holes of parts.
#[derive(Default)]
pub(super) struct Choices {
    pub(super) parts: Vec<[String; 2]>,
    pub(super) holes: Vec<[String; 2]>,
}

/// The fields of the list of an entry, a group for each of its tables.
pub(super) fn fields(
    text: &str,
    (form, index): (&str, usize),
    units: Units,
    choices: &Choices,
) -> Vec<Value> {
    let Some((list, word, kinds)) = list_of(form) else { return Vec::new() };
    let start = format!("{form}.{index}.{list}");
    let item = |n: usize| -> Vec<Value> {
        let of = |inner: &str| match inner {
            "" => format!("{list}.{n}"),
            inner => format!("{list}.{n}.{inner}"),
        };
        let given = |inner: &str| path::get(text, &format!("{form}.{index}.{}", of(inner)));
        let has = |kind: &&Kind| given(kind.values[0].key).is_some();
        let group = |of: &str| match word.eq_ignore_ascii_case(of) {
            true => format!("{word} {}", n + 1),
            false => format!("{word} {}: {of}", n + 1),
        };
        let one = |group: &str, inner: &Inner, about: String| {
            let usual = (!is_needed(kinds, inner.key)).then(|| units.said(inner.default));
            json!({
                "key": of(inner.key), "called": inner.called, "group": group, "row": n, "about": about,
                "hint": if inner.key.is_empty() { list } else { inner.key },
                "kind": kind_of(inner.sort), "unit": inner.sort.unit(units),
                "given": given(inner.key), "value": null, "default": usual,
                "min": null, "max": null, "options": options(inner.sort, choices),
            })
        };
        let Some(kind) = kinds.iter().find(has) else {
            let hole = inner("", "holes it goes through", Sort::Hole);
            return vec![one(
                &group("plate"),
                &hole,
                "a part and its hole or holes: PART.HOLE".to_owned(),
            )];
        };
        let about = |inner: &Inner| units.said(&entries::about_in(form, list, inner.key));
        kind.values.iter().map(|inner| one(&group(kind.word), inner, about(inner))).collect()
    };
    (0..path::count(text, &start)).flat_map(item).collect()
}

/// Whether a table is nothing without a key.
fn is_needed(kinds: &[Kind], key: &str) -> bool {
    ["part", "at", "clock", ""].contains(&key) || kinds.iter().any(|of| of.word == key)
}

fn options(sort: Sort, choices: &Choices) -> Vec<[String; 2]> {
    match sort {
        Sort::Part => choices.parts.clone(),
        Sort::Hole => choices.holes.clone(),
        Sort::Choice(words) => {
            words.iter().map(|word| [(*word).to_owned(), (*word).to_owned()]).collect()
        }
        _ => Vec::new(),
    }
}

fn kind_of(sort: Sort) -> &'static str {
    match sort {
        Sort::Length | Sort::Angle => "number",
        Sort::Hole => "free",
        Sort::Part | Sort::Choice(_) => "choice",
        _ => "word",
    }
}

/// The field at a place of an entry, `stack-2.laminate`; `None` if it is in no such list.
pub(super) fn field(form: &str, place: &str) -> Option<String> {
    let (list, ..) = list_of(form)?;
    let rest = place.strip_prefix(list)?;
    let Some(rest) = rest.strip_prefix('-') else { return Some(list.to_owned()) };
    let (n, inner) = rest.split_once('.').unwrap_or((rest, ""));
    let n = n.parse::<usize>().ok()?.checked_sub(1)?;
    Some(if inner.is_empty() { format!("{list}.{n}") } else { format!("{list}.{n}.{inner}") })
}

/// Whether a field is one of such a list.
pub(super) fn is_field(form: &str, field: &str) -> bool {
    let list = list_of(form).and_then(|(list, ..)| field.strip_prefix(list));
    list.is_some_and(|rest| rest.starts_with('.'))
}

/// What kind of value a field of such a list has, `stack.1.sleeve.outside`.
fn sort_of(form: &str, field: &str) -> Option<Sort> {
    let (list, _, kinds) = list_of(form)?;
    let (_, key) = field.strip_prefix(list)?.strip_prefix('.')?.split_once('.')?;
    let mut all = kinds.iter().flat_map(|kind| kind.values);
    all.find(|inner| inner.key == key).map(|inner| inner.sort)
}

/// The text with another value in a field, and what was there before.
///
/// # Errors
/// When something else stands there by now, or the table is nothing without it.
pub(super) fn set(
    text: &str,
    ((form, index), units): ((&str, usize), Units),
    (field, value, was): (&str, Option<&str>, Option<&str>),
) -> Result<(String, Option<String>), Refused> {
    let path = format!("{form}.{index}.{field}");
    let there = path::get(text, &path);
    if there.as_deref() != was {
        let now = there.as_deref().unwrap_or("its default");
        let words =
            format!("`{field}` was changed in the file meanwhile, to {now}; that value is kept");
        return Err(Refused::Outside(words));
    }
    let unit = sort_of(form, field).map_or("", |sort| sort.unit(units));
    let value = value.map(|value| match unit {
        "" => Ok(value.to_owned()),
        unit => typed::whole(value, there.as_deref(), unit),
    });
    let value = value.transpose()?;
    let value = value.as_deref();
    let (table, key) = path.rsplit_once('.').unwrap_or_default();
    let (_, word, kinds) = list_of(form).unwrap_or(("", "list", &[]));
    let stays = !table.ends_with(".sleeve") && is_needed(kinds, key);
    let new = match value {
        None if stays || key.parse::<usize>().is_ok() => {
            let word = word.to_lowercase();
            return Err(format!(
                "this {word} needs the value: to remove the whole {word}, use its *Remove* button"
            )
            .into());
        }
        // A sleeve without an outside diameter is none.
        None if path.ends_with(".sleeve.outside") => path::set(text, table, None)?,
        None => path::set(text, &path, None)?,
        Some(value) if table.ends_with(".sleeve") && !path::is_table(text, table) => {
            let own: InlineTable = std::iter::once((key, value)).collect();
            path::set(text, table, Some(own.into()))?
        }
        Some(value) => path::set(text, &path, Some(value.into()))?,
    };
    Ok((new, there))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_value_of_a_layer_and_of_a_tab_says_what_it_means() {
        for form in ["joint", "tube_end"] {
            let (list, _, kinds) = list_of(form).expect("a list");
            for inner in kinds.iter().flat_map(|kind| kind.values) {
                assert!(!entries::about_in(form, list, inner.key).is_empty(), "{}", inner.key);
            }
        }
        assert_eq!(field("joint", "stack-2.hole").as_deref(), Some("stack.1.hole"));
        assert_eq!(field("joint", "stack-1").as_deref(), Some("stack.0"));
        assert_eq!(field("link", "stack-1"), None);
    }

    #[test]
    fn a_sleeve_is_put_into_a_laminate_and_taken_out() {
        const JOB: &str = "[[joint]]\nstack = [\"a.b\", { laminate = \"9 mm\" }] # glued\n";
        let own = (("joint", 0), Units::Inch);
        let put = |text: &str, value| set(text, own, ("stack.1.sleeve.outside", value, None));
        let (with, _) = put(JOB, Some("12 mm")).expect("set");
        assert!(with.contains("sleeve = { outside = \"12 mm\" }") && with.ends_with("# glued\n"));
        let none = ("stack.1.sleeve.outside", None, Some("12 mm"));
        assert_eq!(set(&with, own, none).expect("taken out").0, JOB);
        assert!(set(JOB, own, ("stack.1.laminate", None, Some("9 mm"))).is_err());
        let (with, _) = put(JOB, Some("15/32")).expect("set");
        assert!(with.contains("outside = \"15/32 in\""), "{with}");
    }
}

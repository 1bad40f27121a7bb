//! A list of words of the file in one field: `["16 mm", "22 mm"]` is shown and typed as `16 mm, 22 mm`.

use crate::recipe::Kind;
use crate::serve::typed;
use toml_edit::Array;
use toml_edit::Value;

/// The words of a list as it is written; nothing of anything else, or where a word has a comma of its own.
pub(super) fn words(raw: &str) -> Option<Vec<String>> {
    let Ok(Value::Array(all)) = raw.trim().parse() else { return None };
    let all: Option<Vec<String>> = all.iter().map(|one| one.as_str().map(str::to_owned)).collect();
    all.filter(|all| all.iter().all(|word| !word.contains([',', ';'])))
}

/// What is written for an input as its field shows it.
pub(super) fn shown(raw: String, kind: Option<&Kind>) -> String {
    match kind {
        Some(Kind::List(_)) => words(&raw).map_or(raw, |all| all.join(", ")),
        _ => raw,
    }
}

/// What was typed in the field of a list as a value of the file; a list as it is written stays so, and
/// so does a formula of a function, which gives the whole list.
pub(super) fn of_file(typed: &str) -> Value {
    if typed.starts_with(['[', '{']) {
        return typed.parse().unwrap_or_else(|_| Value::from(typed));
    }
    let mut all = typed::apart(typed);
    all.retain(|one| !one.is_empty());
    match all.as_slice() {
        [one] if one.contains('(') => Value::from(*one),
        all => Value::Array(all.iter().copied().collect::<Array>()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_list_of_words_is_one_field_with_commas() {
        let kind = Kind::List(Box::new(Kind::Count));
        let of = |raw: &str| shown(raw.to_owned(), Some(&kind));
        assert_eq!(of("[\"16 mm\", \"22 mm\"]"), "16 mm, 22 mm");
        assert_eq!(shown("[\"a\"]".to_owned(), None), "[\"a\"]");
        for raw in ["[1, 2]", "[{ x = \"1\" }]", "[\"8,5 mm\"]", "steps"] {
            assert_eq!(of(raw), raw);
        }
        let typed = |typed: &str| of_file(typed).to_string();
        assert_eq!(typed("16 mm, 22 mm"), "[\"16 mm\", \"22 mm\"]");
        assert_eq!(typed("5/8 in"), "[\"5/8 in\"]");
        assert_eq!(typed("[ 1, 2 ]"), "[ 1, 2 ]");
        for formula in ["spaced(widths, 2 mm)", "rest(spaced(widths, max(gap, 2 mm)))"] {
            assert_eq!(typed(formula), format!("\"{formula}\""));
        }
        let mixed = typed("max(gap, 2 mm), 22 mm; min(a, b)");
        assert_eq!(mixed, "[\"max(gap, 2 mm)\", \"22 mm\", \"min(a, b)\"]");
    }
}

//! What is typed in a field of an entry, as a value of the file.

use crate::quantity::Units;
use crate::serve::changed::Refused;
use crate::serve::entries::Key;
use crate::serve::entries::Many;
use crate::serve::sort::Sort;
use crate::serve::typed;
use toml_edit::Array;
use toml_edit::Value;

/// What was typed, with the unit of its field where it has none.
///
/// # Errors
/// When a fraction is typed in a field whose unit is not of inches.
pub(super) fn whole(
    key: &Key,
    value: Option<&str>,
    there: Option<&str>,
    units: Units,
) -> Result<Option<String>, Refused> {
    let Some(value) = value else { return Ok(None) };
    Ok(Some(match (key.sort.unit(units), key.many) {
        ("", _) => value.to_owned(),
        (unit, Many::List) => typed::all(&apart(key, value), there, unit)?.join(", "),
        (unit, _) => typed::whole(value, there, unit)?,
    }))
}

/// The values of a list. Names may have a comma without a blank between them, numbers only a decimal one.
fn apart<'v>(key: &Key, value: &'v str) -> Vec<&'v str> {
    let mut all = match key.sort {
        Sort::Length | Sort::Angle | Sort::Force => typed::apart(value),
        _ => value.split([',', ';']).map(str::trim).collect(),
    };
    all.retain(|one| !one.is_empty());
    all
}

/// What was typed as a value of the file; one tube alone is no list.
pub(super) fn of_file(key: &Key, value: &str) -> Value {
    if key.many == Many::List {
        return match apart(key, value).as_slice() {
            [one] if key.sort == Sort::Row("tube") => Value::from(*one),
            all => Value::Array(all.iter().copied().collect::<Array>()),
        };
    }
    match (key.sort, value.parse::<i64>()) {
        (Sort::Count, Ok(whole)) => Value::from(whole),
        (Sort::Flag, _) if matches!(value, "true" | "false") => Value::from(value == "true"),
        _ => Value::from(value),
    }
}

//! The fastener or other item in a hole.

use crate::diag::Finding;
use crate::part::values::Values;
use crate::recipe::HoleSet;
use crate::recipe::Meant;
use crate::table::Row;
use std::sync::Arc;

/// The row of a table for the item in the holes of a set, if there is one; `None` when something
/// was reported.
pub(super) fn row(set: &HoleSet, values: &Values) -> Option<Option<Arc<Row>>> {
    let Some(meant) = &set.through else { return Some(None) };
    let row = values.row(meant, "bolt")?;
    if row.is_some() || is_value(meant, set, values) || !reads_like_a_thread(&meant.word) {
        return Some(row);
    }
    let headline = format!("`{}` is not in the `bolt` table: no bolt would be ordered", meant.word);
    let names = values.tables.table("bolt").into_iter().flat_map(|table| table.rows());
    let names: Vec<&str> = names.map(|row| row.name()).collect();
    let first = meant.word.split(|c: char| c.is_whitespace() || c == 'x').next();
    let near = first.and_then(|first| values.tables.row("bolt", first));
    let help = match near {
        Some(near) => format!("write `for = \"{}\"`", near.name()),
        None => format!("write one of {}, or give a table of your own", names.join(", ")),
    };
    values.findings.add(Finding::stop("hole", headline).at(set.span, "").help(help));
    None
}

/// Whether a word is written as metric threads are: an `M` and a number.
fn reads_like_a_thread(word: &str) -> bool {
    let rest = word.trim().strip_prefix(['M', 'm']).map(str::trim_start);
    rest.is_some_and(|rest| rest.starts_with(|c: char| c.is_ascii_digit()))
}

fn is_value(meant: &Meant, set: &HoleSet, values: &Values) -> bool {
    let params = values.params.at(set.span.source);
    params.get(&meant.word).is_some() || values.is_local(&meant.word)
}

/// The item in the hole, by the name of its input; by that of its row where it is a member of a
/// list.
pub(super) fn called(meant: &Meant, row: Option<&Row>, set: &HoleSet, values: &Values) -> String {
    let is_input = values.params.at(set.span.source).get(&meant.word).is_some();
    match row.filter(|_| !is_input || values.is_local(&meant.word)) {
        Some(row) => row.name().to_owned(),
        None => values.params.outside(set.span.source, &meant.word),
    }
}

//! Where the entries of a job and their values are in its text.

use crate::serve::text::Entry;
use crate::serve::text::KINDS;
use crate::serve::text::as_before;
use crate::serve::text::inner;
use crate::serve::text::open;
use crate::serve::text::put;
use crate::serve::text::tables;
use std::ops::Range;
use toml_edit::Document;
use toml_edit::InlineTable;
use toml_edit::Item;
use toml_edit::TableLike;
use toml_edit::Value;

/// The entries of a text, each with the position of its name.
pub(super) struct Entries(Vec<(Range<usize>, Entry)>);

impl Entries {
    pub(super) fn of(text: &str) -> Self {
        let mut all = Vec::new();
        if let Ok(document) = Document::parse(text) {
            for (kind, key) in KINDS.iter().enumerate() {
                let tables = document.as_table().get(key).map(tables).unwrap_or_default();
                let names = tables.iter().map(|table| table.get("name").and_then(Item::span));
                let named = names
                    .enumerate()
                    .filter_map(|(index, span)| Some((span?, Entry { kind, index })));
                all.extend(named);
            }
        }
        all.sort_by_key(|(span, _)| span.start);
        Self(all)
    }

    /// The entry that a place in the text belongs to: that of its name.
    pub(super) fn at(&self, at: usize) -> Option<Entry> {
        let after = self.0.partition_point(|(span, _)| span.start <= at);
        let (span, entry) = self.0.get(after.checked_sub(1)?)?;
        (at <= span.end).then_some(*entry)
    }
}

/// The keys of an entry, `start.main` within `start`, each with the places in the text of the key
/// and of its value.
pub(super) fn places(text: &str, entry: Entry) -> Vec<Placed> {
    let mut all = Vec::new();
    let Ok(document) = Document::parse(text) else { return all };
    let Some(item) = document.as_table().get(KINDS[entry.kind]) else { return all };
    if let Some(table) = tables(item).get(entry.index) {
        placed(*table, "", (true, &mut all));
    }
    all
}

/// The keys below a key of the job, `rail.from.foot`, each with its places as those of an entry.
pub(super) fn places_below(text: &str, key: &str) -> Vec<Placed> {
    let mut all = Vec::new();
    let Ok(document) = Document::parse(text) else { return all };
    if let Some(table) = document.as_table().get(key).and_then(Item::as_table_like) {
        placed(table, "", (false, &mut all));
    }
    all
}

/// The path of a value, and the positions of its key and the value.
type Placed = (String, [Range<usize>; 2]);

/// Those of a table; where it is `deep` also of tables within lists, `stack-2.laminate`.
fn placed(table: &dyn TableLike, before: &str, (deep, all): (bool, &mut Vec<Placed>)) {
    for (name, item) in table.iter() {
        let path = format!("{before}{name}");
        let key = table.get_key_value(name).and_then(|(key, _)| key.span());
        if let Some(inner) = item.as_table_like() {
            placed(inner, &format!("{path}."), (deep, all));
        }
        // Of a list each value as well, before the whole of it.
        for (n, value) in item.as_array().into_iter().flatten().enumerate() {
            if let Some(inner) = value.as_inline_table().filter(|_| deep) {
                placed(inner, &format!("{path}-{}.", n + 1), (deep, all));
            }
            let span = value.span();
            all.extend(span.map(|span| (format!("{path}-{}", n + 1), [span.clone(), span])));
        }
        if let Some(value) = item.span() {
            all.push((path, [key.unwrap_or(value.clone()), value]));
        }
    }
}

/// The value of an entry at the end of some keys, each within the one before; as
/// [`crate::serve::text::value`] gives it.
pub(super) fn deep(text: &str, entry: Entry, keys: &[&str]) -> Option<String> {
    let document = Document::parse(text).ok()?;
    let all = tables(document.as_table().get(KINDS[entry.kind])?);
    let (last, before) = keys.split_last()?;
    let table =
        before.iter().try_fold(*all.get(entry.index)?, |at, key| at.get(key)?.as_table_like());
    let item = table?.get(last)?;
    Some(match item.as_str() {
        Some(word) => word.to_owned(),
        None => text.get(item.span()?)?.to_owned(),
    })
}

/// Sets it there; missing tables of the path are added.
pub(super) fn set_deep(
    text: &str,
    entry: Entry,
    keys: &[&str],
    value: Value,
) -> Result<String, String> {
    let mut document = open(text)?;
    let gone = || "the part is no longer there".to_owned();
    let item = document.as_table_mut().get_mut(KINDS[entry.kind]).ok_or_else(gone)?;
    let (last, before) = keys.split_last().ok_or_else(gone)?;
    let mut table: &mut dyn TableLike = match item {
        Item::ArrayOfTables(all) => all.get_mut(entry.index).ok_or_else(gone)?,
        Item::Value(Value::Array(all)) => {
            let mut tables = all.iter_mut().filter_map(Value::as_inline_table_mut);
            tables.nth(entry.index).ok_or_else(gone)?
        }
        _ => return Err(gone()),
    };
    for key in before {
        if table.get(key).is_none() {
            put(table, key, Value::InlineTable(InlineTable::new()));
        }
        table = inner(table, key)?;
    }
    put(table, last, value);
    Ok(as_before(text, &document))
}

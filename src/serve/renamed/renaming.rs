//! One name that becomes another in the tables of a job.

use std::collections::BTreeSet;
use toml_edit::DocumentMut;
use toml_edit::Item;
use toml_edit::TableLike;
use toml_edit::Value;

/// One name that becomes another.
pub(super) struct Renaming<'a> {
    pub(super) from: &'a str,
    pub(super) to: &'a str,
    /// Its aliases, and those that were used.
    pub(super) aliases: BTreeSet<String>,
    pub(super) used: BTreeSet<String>,
}

impl Renaming<'_> {
    /// The value of a key: a name, a list of names, or names by others.
    pub(super) fn key(&mut self, table: &mut dyn TableLike, key: &str) {
        match table.get_mut(key) {
            Some(Item::Value(value)) => self.value(value),
            Some(Item::Table(table)) => {
                table.iter_mut().filter_map(|(_, item)| item.as_value_mut()).for_each(|value| {
                    self.value(value);
                });
            }
            _ => {}
        }
    }

    fn value(&mut self, value: &mut Value) {
        match value {
            Value::Array(all) => all.iter_mut().for_each(|value| self.value(value)),
            Value::InlineTable(table) => {
                table.iter_mut().for_each(|(_, value)| self.value(value));
            }
            _ => {
                let Some(word) = value.as_str() else { return };
                if self.aliases.contains(word) {
                    self.used.insert(word.to_owned());
                } else if word == self.from {
                    put(value, self.to);
                }
            }
        }
    }
}

/// Does something with each table of a list of them.
pub(super) fn each(
    document: &mut DocumentMut,
    kind: &str,
    does: &mut dyn FnMut(&mut dyn TableLike),
) {
    each_in(document.get_mut(kind), does);
}

/// The same with a list, or a single table in place of one.
pub(super) fn each_in(list: Option<&mut Item>, does: &mut dyn FnMut(&mut dyn TableLike)) {
    match list {
        Some(Item::ArrayOfTables(all)) => all.iter_mut().for_each(|table| does(table)),
        Some(Item::Value(Value::Array(all))) => {
            all.iter_mut().filter_map(Value::as_inline_table_mut).for_each(|table| does(table));
        }
        Some(item) => item.as_table_like_mut().into_iter().for_each(does),
        None => {}
    }
}

/// Puts a word in the place of another, dressed as that was.
pub(super) fn put(value: &mut Value, word: &str) {
    let decor = value.decor().clone();
    *value = Value::from(word);
    *value.decor_mut() = decor;
}

//! A value of a text by its path, `sheet.0.stock.1.count`, changed in place: all else stays.

mod between;

use crate::serve::text::as_before;
use crate::serve::text::open;
use crate::serve::text::put;
use crate::serve::text::read;
use crate::serve::text::take;
use std::ops::Range;
use toml_edit::Array;
use toml_edit::Item;
use toml_edit::Table;
use toml_edit::TableLike;
use toml_edit::Value;

/// The steps of a path.
fn steps(path: &str) -> Vec<&str> {
    path.split('.').collect()
}

/// The value at a path, without quotes if it is a word; `None` if there is none.
pub(super) fn get(text: &str, path: &str) -> Option<String> {
    let document = read(text).ok()?;
    let item = walk(document.as_table(), &steps(path))?;
    Some(match item {
        At::Value(value) => match value.as_str() {
            Some(word) => word.to_owned(),
            None => text.get(value.span()?)?.to_owned(),
        },
        At::Table(_) => return None,
    })
}

/// The same, and of a table its text.
pub(super) fn written(text: &str, path: &str) -> Option<String> {
    let document = read(text).ok()?;
    match walk(document.as_table(), &steps(path))? {
        At::Value(_) => get(text, path),
        At::Table(table) => {
            Some(table.iter().map(|(key, item)| format!("{key} ={item}\n")).collect())
        }
    }
}

/// The words of the list at a path; `None` if there is none.
pub(super) fn words(text: &str, path: &str) -> Option<Vec<String>> {
    let document = read(text).ok()?;
    let At::Value(Value::Array(all)) = walk(document.as_table(), &steps(path))? else {
        return None;
    };
    Some(all.iter().filter_map(Value::as_str).map(str::to_owned).collect())
}

/// The position of the value at a path in the text.
pub(super) fn place(text: &str, path: &str) -> Option<Range<usize>> {
    let document = read(text).ok()?;
    match walk(document.as_table(), &steps(path))? {
        At::Value(value) => value.span(),
        At::Table(_) => None,
    }
}

/// Whether there is a table at a path.
pub(super) fn is_table(text: &str, path: &str) -> bool {
    let Ok(document) = read(text) else { return false };
    match walk(document.as_table(), &steps(path)) {
        Some(At::Table(_)) => true,
        Some(At::Value(value)) => value.is_inline_table(),
        None => false,
    }
}

/// How many there are in the list at a path.
pub(super) fn count(text: &str, path: &str) -> usize {
    let Ok(document) = read(text) else { return 0 };
    let count = || {
        let steps = steps(path);
        let (last, before) = steps.split_last()?;
        let table = match before {
            [] => document.as_table() as &dyn TableLike,
            before => match walk(document.as_table(), before)? {
                At::Table(table) => table,
                At::Value(value) => value.as_inline_table()?,
            },
        };
        match table.get(last)? {
            Item::ArrayOfTables(all) => Some(all.len()),
            item => item.as_array().map(Array::len),
        }
    };
    count().unwrap_or(0)
}

/// Where a path leads.
enum At<'a> {
    Table(&'a dyn TableLike),
    Value(&'a Value),
}

fn walk<'a>(table: &'a dyn TableLike, path: &[&str]) -> Option<At<'a>> {
    let [key, rest @ ..] = path else { return Some(At::Table(table)) };
    match (table.get(key)?, rest) {
        (Item::Value(value), []) => Some(At::Value(value)),
        (Item::Value(Value::Array(all)), [n, rest @ ..]) => within(all, n, rest),
        (Item::ArrayOfTables(all), [n, rest @ ..]) => walk(all.get(n.parse().ok()?)?, rest),
        (item, rest) => walk(item.as_table_like()?, rest),
    }
}

fn within<'a>(all: &'a Array, n: &str, rest: &[&str]) -> Option<At<'a>> {
    let value = all.get(n.parse().ok()?)?;
    match (value, rest) {
        (value, []) => Some(At::Value(value)),
        (Value::Array(all), [n, rest @ ..]) => within(all, n, rest),
        (value, rest) => walk(value.as_inline_table()?, rest),
    }
}

/// Sets the value at a path, or removes it if there is no value.
///
/// # Errors
/// When the text cannot be read, or a table of the path is missing.
pub(super) fn set(text: &str, path: &str, value: Option<Value>) -> Result<String, String> {
    let mut document = open(text)?;
    put_at(document.as_table_mut(), &steps(path), value).ok_or_else(gone)?;
    Ok(as_before(text, &document))
}

/// The text with a new table under a key, if there is none.
///
/// # Errors
/// When the text cannot be read.
pub(super) fn with_table(text: &str, key: &str) -> Result<String, String> {
    let mut document = open(text)?;
    if document.get(key).is_some() {
        return Ok(text.to_owned());
    }
    document.insert(key, Item::Table(Table::new()));
    Ok(as_before(text, &document))
}

fn gone() -> String {
    "this is no longer there".to_owned()
}

fn put_at(table: &mut dyn TableLike, path: &[&str], value: Option<Value>) -> Option<()> {
    match path {
        [] => None,
        [key] => {
            match value {
                Some(value) => put(table, key, value),
                None => take(table, key),
            }
            Some(())
        }
        [key, rest @ ..] => match (table.get_mut(key)?, rest) {
            (Item::Value(Value::Array(all)), [n, rest @ ..]) => put_in(all, n, rest, value),
            (Item::ArrayOfTables(all), [n]) if value.is_none() => {
                let n = n.parse().ok().filter(|n| *n < all.len())?;
                all.remove(n);
                Some(())
            }
            (Item::ArrayOfTables(all), [n, rest @ ..]) => {
                put_at(all.get_mut(n.parse().ok()?)?, rest, value)
            }
            (item, rest) => put_at(item.as_table_like_mut()?, rest, value),
        },
    }
}

fn put_in(all: &mut Array, n: &str, rest: &[&str], value: Option<Value>) -> Option<()> {
    let n: usize = n.parse().ok()?;
    match (all.get_mut(n)?, rest, value) {
        (_, [], None) => between::take_from(all, n),
        (old, [], Some(mut value)) => {
            *value.decor_mut() = old.decor().clone();
            *old = value;
        }
        (Value::Array(all), [n, rest @ ..], value) => put_in(all, n, rest, value)?,
        (old, rest, value) => put_at(old.as_inline_table_mut()?, rest, value)?,
    }
    Some(())
}

/// Adds a value at the end of the list at a path, which is made where there is none.
///
/// # Errors
/// When the text cannot be read, or there is no such list.
pub(super) fn add(text: &str, path: &str, value: impl Into<Value>) -> Result<String, String> {
    let end = count(text, path);
    insert(text, path, end, value)
}

/// Puts a value before another of the list at a path; at the end, which is made where there is no list.
///
/// # Errors
/// When the text cannot be read, or there is no such list.
pub(super) fn insert(
    text: &str,
    path: &str,
    at: usize,
    value: impl Into<Value>,
) -> Result<String, String> {
    let mut document = open(text)?;
    let mut value = value.into();
    let steps = steps(path);
    let (last, before) = steps.split_last().ok_or_else(gone)?;
    match item(document.as_table_mut(), before, last) {
        None => {
            let list = Value::Array(std::iter::once(value).collect());
            return set(text, path, Some(list));
        }
        // Under headings of their own.
        Some(Item::ArrayOfTables(all)) => match value {
            Value::InlineTable(table) if at == all.len() => all.push(table.into_table()),
            _ => return Err("these can only be changed in the text".to_owned()),
        },
        Some(item) => {
            let list = item.as_array_mut().ok_or_else(gone)?;
            between::dress(list, at, &mut value);
            list.insert_formatted(at.min(list.len()), value);
        }
    }
    Ok(as_before(text, &document))
}

fn item<'a>(table: &'a mut dyn TableLike, path: &[&str], last: &str) -> Option<&'a mut Item> {
    match path {
        [] => table.get_mut(last),
        [key, rest @ ..] => match (table.get_mut(key)?, rest) {
            (Item::ArrayOfTables(all), [n, rest @ ..]) => {
                item(all.get_mut(n.parse().ok()?)?, rest, last)
            }
            (Item::Value(Value::Array(all)), [n, rest @ ..]) => {
                item(all.get_mut(n.parse().ok()?)?.as_inline_table_mut()?, rest, last)
            }
            (within, rest) => item(within.as_table_like_mut()?, rest, last),
        },
    }
}

/// Exchanges a value of the list at a path with the one after it, each with its comments.
///
/// # Errors
/// When the text cannot be read, or there are no two such values.
pub(super) fn exchange(text: &str, path: &str, at: usize) -> Result<String, String> {
    let mut document = open(text)?;
    let steps = steps(path);
    let (last, before) = steps.split_last().ok_or_else(gone)?;
    let found = item(document.as_table_mut(), before, last).and_then(Item::as_array_mut);
    found.and_then(|list| between::exchange(list, at)).ok_or_else(gone)?;
    Ok(as_before(text, &document))
}

#[cfg(test)]
mod tests {
    use super::*;
    use toml_edit::InlineTable;

    const JOB: &str = "margin = \"8 mm\" # edge\n\n[[sheet]]\nname  = \"S\"\nstock = [\n  { size = [\"600 mm\", \"400 mm\"], count = 6 }, # rack\n  # Left over.\n  { size = [\"100 mm\", \"90 mm\"] },\n]\n\n[rates]\nhour = 60.0\n";

    #[test]
    fn the_value_at_a_path_is_found() {
        let of = |path: &str| get(JOB, path);
        assert_eq!(of("margin").as_deref(), Some("8 mm"));
        assert_eq!(of("sheet.0.stock.0.count").as_deref(), Some("6"));
        assert_eq!(of("sheet.0.stock.1.size.1").as_deref(), Some("90 mm"));
        assert_eq!((of("sheet.1.name"), of("rates")), (None, None));
        assert_eq!(
            (count(JOB, "sheet"), count(JOB, "sheet.0.stock"), count(JOB, "part")),
            (1, 2, 0)
        );
    }

    #[test]
    fn one_value_is_changed_wherever_it_stands() {
        let to = |path: &str, value: Value| set(JOB, path, Some(value)).expect("set");
        assert_eq!(to("sheet.0.stock.0.count", 4.into()), JOB.replace("count = 6", "count = 4"));
        assert_eq!(to("sheet.0.stock.1.size.0", "120 mm".into()), JOB.replace("100 mm", "120 mm"));
        assert_eq!(to("rates.hour", 62.5.into()), JOB.replace("60.0", "62.5"));
        let priced = to("sheet.0.stock.1.price", 9.5.into());
        assert!(
            priced.contains("  { size = [\"100 mm\", \"90 mm\"], price = 9.5 },\n]"),
            "{priced}"
        );
        let bare = set(JOB, "margin", None).expect("taken out");
        assert!(!bare.contains("margin"), "{bare}");
        assert!(set(JOB, "sheet.3.name", Some("x".into())).is_err());
    }

    #[test]
    fn sizes_are_added_and_taken_out_between_their_comments() {
        let mut table = InlineTable::new();
        table.insert("size", Value::Array(["50 mm", "40 mm"].into_iter().collect()));
        let more = add(JOB, "sheet.0.stock", table.clone()).expect("added");
        let line = "  { size = [\"50 mm\", \"40 mm\"] },\n]";
        assert!(more.contains(line) && more.matches("# Left over.").count() == 1, "{more}");
        assert_eq!(set(&more, "sheet.0.stock.2", None).expect("out"), JOB);
        let new = add("[[sheet]]\nname = \"S\"\n", "sheet.0.stock", table.clone()).expect("made");
        assert!(new.contains("stock = [{ size = [\"50 mm\", \"40 mm\"] }]\n"), "{new}");
        let one = add("stock = [ { size = [] } ]\n", "stock", table).expect("added");
        assert_eq!(one, "stock = [ { size = [] }, { size = [\"50 mm\", \"40 mm\"] } ]\n");
    }

    #[test]
    fn a_list_is_changed_at_any_place_and_its_blanks_stay() {
        const STACK: &str = "stack = [\"a\", { spacer = \"2 mm\" }, \"b\"] # from the head\n";
        let put = |at| insert(STACK, "stack", at, "c").expect("put");
        assert_eq!(put(0), STACK.replace("[\"a\"", "[\"c\", \"a\""));
        assert_eq!(put(2), STACK.replace("\"b\"", "\"c\", \"b\""));
        assert_eq!(put(3), STACK.replace("\"b\"", "\"b\", \"c\""));
        for at in [0, 2, 3] {
            assert_eq!(set(&put(at), &format!("stack.{at}"), None).expect("removed"), STACK);
        }
        let other = exchange(STACK, "stack", 0).expect("exchanged");
        assert_eq!(other, "stack = [{ spacer = \"2 mm\" }, \"a\", \"b\"] # from the head\n");
        assert_eq!(exchange(&other, "stack", 0).expect("exchanged"), STACK);
        assert!(exchange(STACK, "stack", 2).is_err());
    }

    #[test]
    fn a_comment_stays_with_the_layer_it_is_beside_or_above() {
        for (end, close) in [(",", "\n]"), ("", "\n]")] {
            let row = |name: &str, end: &str| {
                format!("\n  # {name} above\n  \"{name}\"{end} # {name} beside")
            };
            let list = |names: &[&str]| {
                let (last, rest) = names.split_last().expect("some");
                let rest: String = rest.iter().map(|name| row(name, ",")).collect();
                format!("stack = [ # head{rest}{}{close} # foot\n", row(last, end))
            };
            let three = list(&["a", "b", "c"]);
            for (at, left) in [(0, ["b", "c"]), (1, ["a", "c"]), (2, ["a", "b"])] {
                let less = set(&three, &format!("stack.{at}"), None).expect("removed");
                assert_eq!(less, list(&left), "{at}");
            }
            for at in 0..=3 {
                let more = insert(&three, "stack", at, "d").expect("put");
                // One line more, and no other line differs; a comma at the end is no difference.
                let bare = |text: &str| -> Vec<String> {
                    let all = text.lines().filter(|line| !line.trim().starts_with("\"d\""));
                    all.map(|line| line.replace("\",", "\"")).collect()
                };
                assert_eq!(more.lines().count(), three.lines().count() + 1, "{more}");
                assert_eq!(bare(&more), bare(&three), "{at}: {more}");
                assert_eq!(
                    words(&more, "stack").expect("a list").iter().position(|of| of == "d"),
                    Some(at)
                );
                let back = set(&more, &format!("stack.{at}"), None).expect("removed");
                assert_eq!(back, three, "{at}");
            }
            for (at, order) in [(0, ["b", "a", "c"]), (1, ["a", "c", "b"])] {
                assert_eq!(exchange(&three, "stack", at).expect("exchanged"), list(&order));
            }
        }
        let one = "stack = [\n  \"a\", # only\n]\n";
        assert_eq!(set(one, "stack.0", None).expect("removed"), "stack = []\n");
        let flat = "stack = [\"a\", # a\n  \"b\", \"c\"]\n";
        assert_eq!(set(flat, "stack.1", None).expect("removed"), "stack = [\"a\", # a\n  \"c\"]\n");
        assert_eq!(set(flat, "stack.0", None).expect("removed"), "stack = [\"b\", \"c\"]\n");
    }

    #[test]
    fn tables_under_headings_of_their_own_are_added_and_taken_out() {
        const TABS: &str = "[[end]]\ntube = \"a\"\n\n[[end.tabs]]\npart = \"x\" # left\n";
        let table: InlineTable = std::iter::once(("part", Value::from("y"))).collect();
        let two = add(TABS, "end.0.tabs", table).expect("added");
        assert!(two.starts_with(TABS) && two.contains("[[end.tabs]]\npart = \"y\"\n"), "{two}");
        assert_eq!(count(&two, "end.0.tabs"), 2);
        assert_eq!(set(&two, "end.0.tabs.1", None).expect("removed"), TABS);
    }
}

//! The text of a job changed in place: comments, blank lines and whatever is not meant stay.

use std::ops::Range;
use toml_edit::Array;
use toml_edit::Decor;
use toml_edit::Document;
use toml_edit::DocumentMut;
use toml_edit::InlineTable;
use toml_edit::Item;
use toml_edit::Table;
use toml_edit::TableLike;
use toml_edit::Value;

/// The keys of lists of entries.
pub(super) const KINDS: [&str; 10] = [
    "part", "family", "link", "tube", "load", "as_built", "sheet", "obstacle", "joint", "tube_end",
];

/// An entry of a list of tables, such as `[[part]]`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Entry {
    /// Which of [`KINDS`].
    pub(super) kind: usize,
    pub(super) index: usize,
}

impl Entry {
    /// An entry by the key of its list and its place in it, whether it is there or not.
    pub(super) fn new(kind: &str, index: usize) -> Option<Self> {
        let kind = KINDS.iter().position(|key| *key == kind)?;
        Some(Self { kind, index })
    }

    /// The key of its list.
    pub(super) fn kind(self) -> &'static str {
        KINDS[self.kind]
    }

    /// Whether it makes several parts.
    pub(super) fn is_family(self) -> bool {
        self.kind == 1
    }
}

/// The text is not TOML: it can only be corrected as text.
pub(super) const NOT_TOML: &str = "the text of the job cannot be read; correct it first";

pub(super) fn read(text: &str) -> Result<Document<&str>, String> {
    Document::parse(text).map_err(|_| NOT_TOML.to_owned())
}

pub(super) fn open(text: &str) -> Result<DocumentMut, String> {
    text.parse::<DocumentMut>().map_err(|_| NOT_TOML.to_owned())
}

/// The tables under a key, each with its position.
pub(super) fn tables<'a>(item: &'a Item) -> Vec<&'a dyn TableLike> {
    match item {
        Item::ArrayOfTables(all) => all.iter().map(|table| table as &dyn TableLike).collect(),
        Item::Value(Value::Array(all)) => {
            let table = |value: &'a Value| value.as_inline_table();
            all.iter().filter_map(table).map(|table| table as &dyn TableLike).collect()
        }
        _ => Vec::new(),
    }
}

/// How many entries there are under a key.
pub(super) fn count(text: &str, kind: &str) -> usize {
    let document = Document::parse(text).ok();
    document.and_then(|document| Some(tables(document.as_table().get(kind)?).len())).unwrap_or(0)
}

/// The values of a list of an entry, or its one value; words without quotes. `None` if it is not
/// given.
pub(super) fn values(text: &str, entry: Entry, key: &str) -> Option<Vec<String>> {
    let document = Document::parse(text).ok()?;
    let all = tables(document.as_table().get(KINDS[entry.kind])?);
    let item = (*all.get(entry.index)?).get(key)?;
    let word = |value: &Value| match value.as_str() {
        Some(word) => word.to_owned(),
        None => value.span().and_then(|span| text.get(span)).unwrap_or_default().to_owned(),
    };
    match item.as_value()? {
        Value::Array(all) => Some(all.iter().map(word).collect()),
        value => Some(vec![word(value)]),
    }
}

/// A value of an entry as in the text, without quotes if it is a word: `sheet`, or `given.reach`.
/// `None` if it is not given.
pub(super) fn value(text: &str, entry: Entry, key: &str) -> Option<String> {
    let document = Document::parse(text).ok()?;
    value_in(document.as_table(), text, entry, key)
}

/// The same in a text that was read already.
pub(super) fn value_in(root: &Table, text: &str, entry: Entry, key: &str) -> Option<String> {
    let all = tables(root.get(KINDS[entry.kind])?);
    let table = *all.get(entry.index)?;
    let item = match key.split_once('.') {
        None => table.get(key)?,
        Some((first, rest)) => table.get(first)?.as_table_like()?.get(rest)?,
    };
    Some(match item.as_str() {
        Some(word) => word.to_owned(),
        None => text.get(item.span()?)?.to_owned(),
    })
}

/// Sets something of an entry, or takes it out where there is no value.
pub(super) fn set(
    text: &str,
    entry: Entry,
    key: &str,
    value: Option<Value>,
) -> Result<String, String> {
    let mut document = open(text)?;
    let gone = || "the part is no longer there".to_owned();
    let item = document.as_table_mut().get_mut(KINDS[entry.kind]).ok_or_else(gone)?;
    let table: &mut dyn TableLike = match item {
        Item::ArrayOfTables(all) => all.get_mut(entry.index).ok_or_else(gone)?,
        Item::Value(Value::Array(all)) => {
            let tables = all.iter_mut().filter_map(Value::as_inline_table_mut);
            tables.into_iter().nth(entry.index).ok_or_else(gone)?
        }
        _ => return Err(gone()),
    };
    match (key.split_once('.'), value) {
        (None, Some(value)) => put(table, key, value),
        (None, None) => take(table, key),
        (Some((first, rest)), Some(value)) => {
            // A word in place of a table, `start = "square"`, is replaced by it.
            if table.get(first).is_none_or(|item| item.is_str()) {
                put(table, first, Value::InlineTable(InlineTable::new()));
            }
            put(inner(table, first)?, rest, value);
        }
        (Some((first, rest)), None) => {
            if table.get(first).is_some() {
                let inner = inner(table, first)?;
                take(inner, rest);
                if inner.is_empty() && first != "given" {
                    take(table, first);
                }
            }
        }
    }
    Ok(as_before(text, &document))
}

/// A document as text, with the line ends and the mark at the beginning that the text had.
pub(super) fn as_before(text: &str, document: &DocumentMut) -> String {
    let mut new = document.to_string().replace("\r\n", "\n");
    if text.contains("\r\n") {
        new = new.replace('\n', "\r\n");
    }
    let mark = '\u{feff}';
    if text.starts_with(mark) && !new.starts_with(mark) {
        new.insert(0, mark);
    }
    new
}

pub(super) fn inner<'a>(
    table: &'a mut dyn TableLike,
    key: &str,
) -> Result<&'a mut dyn TableLike, String> {
    let found = table.get_mut(key).and_then(Item::as_table_like_mut);
    found.ok_or_else(|| format!("`{key}` is not a table; correct it in the text"))
}

/// Puts a value under a key, dressed as the one before it was, or as its neighbours are.
pub(super) fn put(table: &mut dyn TableLike, key: &str, mut value: Value) {
    if let Some(old) = table.get_mut(key).and_then(Item::as_value_mut) {
        *value.decor_mut() = old.decor().clone();
        *old = value;
        return;
    }
    let last = table.iter().last().map(|(name, _)| name.to_owned());
    let is_inline = table.get_values().len() == table.len() && is_in_line(table, last.as_deref());
    let Some(last) = last.filter(|_| is_inline) else {
        table.insert(key, Item::Value(value));
        pad(table, key);
        return;
    };
    // The blank before the brace belongs to the last value.
    if let Some(old) = table.get_mut(&last).and_then(Item::as_value_mut) {
        let end = old.decor().suffix().cloned();
        old.decor_mut().set_suffix("");
        *value.decor_mut() = Decor::new(" ", end.unwrap_or_else(|| " ".into()));
    }
    table.insert(key, Item::Value(value));
    if let Some((mut name, _)) = table.get_key_value_mut(key) {
        name.leaf_decor_mut().set_prefix(" ");
        name.leaf_decor_mut().set_suffix(" ");
    }
}

/// Whether the keys of a table are on one line.
fn is_in_line(table: &dyn TableLike, last: Option<&str>) -> bool {
    let key = last.and_then(|last| table.get_key_value(last));
    let before = key.and_then(|(key, _)| key.leaf_decor().prefix()?.as_str());
    before.is_some_and(|before| before.starts_with(' '))
}

/// Brings the sign of equality under that of the keys before.
fn pad(table: &mut dyn TableLike, key: &str) {
    let width = |key: &toml_edit::Key| {
        let after = key.leaf_decor().suffix().and_then(|s| s.as_str()).unwrap_or(" ");
        key.display_repr().len() + after.len()
    };
    let others = table.iter().filter(|(name, _)| *name != key);
    let names: Vec<String> = others.map(|(name, _)| name.to_owned()).collect();
    let widths = names.iter().filter_map(|name| Some(width(table.get_key_value(name)?.0)));
    let wide = widths.max().unwrap_or(0).max(key.len() + 1);
    if let Some((mut name, item)) = table.get_key_value_mut(key)
        && item.as_value().is_some()
    {
        name.leaf_decor_mut().set_suffix(" ".repeat(wide - key.len()));
    }
}

/// Takes a key out.
pub(super) fn take(table: &mut dyn TableLike, key: &str) {
    let last = table.iter().last().is_some_and(|(name, _)| name == key);
    let Some(gone) = table.remove(key) else { return };
    let end = gone.as_value().and_then(|value| value.decor().suffix().cloned());
    let before = table.iter().last().map(|(name, _)| name.to_owned());
    if let (true, Some(before), Some(end)) = (last, before, end)
        && let Some(value) = table.get_mut(&before).and_then(Item::as_value_mut)
        && value.decor().suffix().and_then(|s| s.as_str()).is_none_or(str::is_empty)
    {
        value.decor_mut().set_suffix(end);
    }
}

/// The lines of an entry under its own heading, `[[part]]`, with its inner tables and the comments
/// right above it; nothing of one that is in a list.
fn lines(text: &str, entry: Entry) -> Option<Range<usize>> {
    let document = Document::parse(text).ok()?;
    let Item::ArrayOfTables(all) = document.as_table().get(KINDS[entry.kind])? else { return None };
    let name = all.get(entry.index)?.iter().find_map(|(_, item)| item.span())?.start;
    let begin = starts(text).filter(|at| *at < name && is_heading(text, *at, "[[")).last()?;
    let inner = format!("[{}.", KINDS[entry.kind]);
    let ends =
        |at: &usize| *at > begin && !text[*at..].starts_with(&inner) && is_heading(text, *at, "[");
    let next = starts(text).find(ends).unwrap_or(text.len());
    let above = |at: usize| starts(&text[..at]).last().filter(|_| at > 0);
    let is = |from: usize, to: usize, comment: bool| {
        let line = text[from..to].trim();
        line.starts_with('#') || (!comment && line.is_empty())
    };
    let mut first = begin;
    while let Some(before) = above(first).filter(|before| is(*before, first, true)) {
        first = before;
    }
    let mut end = next;
    while let Some(before) = above(end).filter(|before| is(*before, end, false)) {
        end = before;
    }
    Some(first..end)
}

/// Where lines begin.
fn starts(text: &str) -> impl Iterator<Item = usize> {
    let after = text.match_indices('\n').map(|(at, _)| at + 1).filter(|at| *at < text.len());
    std::iter::once(0).filter(|_| !text.is_empty()).chain(after)
}

/// Whether a line is a heading, and not within a text or a list of several lines: the text before
/// it is complete.
fn is_heading(text: &str, at: usize, begin: &str) -> bool {
    text[at..].starts_with(begin) && Document::parse(&text[..at]).is_ok()
}

/// Takes an entry out, with its comments.
pub(super) fn take_out(text: &str, entry: Entry) -> Result<String, String> {
    let Some(lines) = lines(text, entry) else {
        let mut document = open(text)?;
        list(&mut document, entry)?.remove(entry.index);
        return Ok(as_before(text, &document));
    };
    let (before, after) = (&text[..lines.start], &text[lines.end..]);
    // One blank line is removed with it.
    let after = match before.is_empty() || before.ends_with("\n\n") {
        true => after.strip_prefix('\n').unwrap_or(after),
        false => after,
    };
    // At the end of the text it is the one before.
    let before = match after.is_empty() {
        true => before.strip_suffix('\n').filter(|rest| rest.ends_with('\n')).unwrap_or(before),
        false => before,
    };
    Ok(format!("{before}{after}"))
}

/// The list of entries that are in one.
fn list(document: &mut DocumentMut, entry: Entry) -> Result<&mut Array, String> {
    let item = document.as_table_mut().get_mut(KINDS[entry.kind]);
    item.and_then(Item::as_array_mut).ok_or_else(|| "the part is no longer there".to_owned())
}

/// Puts a copy of an entry under another name right after it, without its comments.
pub(super) fn copy(text: &str, entry: Entry, name: &str) -> Result<String, String> {
    let next = Entry { index: entry.index + 1, ..entry };
    let copied = match lines(text, entry) {
        Some(lines) => {
            let own = &text[lines.clone()];
            let from = starts(own).find(|at| !own[*at..].starts_with('#')).unwrap_or(0);
            let end = if own.ends_with('\n') { "" } else { "\n" };
            format!("{}{end}\n{}{}", &text[..lines.end], &own[from..], &text[lines.end..])
        }
        None => {
            let mut document = open(text)?;
            let all = list(&mut document, entry)?;
            let own = all.get(entry.index).cloned();
            let own = own.ok_or_else(|| "the part is no longer there".to_owned())?;
            all.insert_formatted(next.index, own);
            as_before(text, &document)
        }
    };
    set(&copied, next, "name", Some(Value::from(name)))
}

/// Adds a part after the last one.
pub(super) fn add(text: &str, recipe: &str, name: &str, sheet: &str) -> Result<String, String> {
    let keys = [
        ("recipe", recipe.into()),
        ("name", name.into()),
        ("quantity", 1.into()),
        ("sheet", sheet.into()),
    ];
    add_entry(text, KINDS[0], &keys)
}

/// Adds an entry after the last one of its kind, or at the end.
pub(super) fn add_entry(text: &str, kind: &str, keys: &[(&str, Value)]) -> Result<String, String> {
    read(text)?;
    let count = count(text, kind);
    let last = Entry::new(kind, count.saturating_sub(1)).ok_or_else(|| NOT_TOML.to_owned())?;
    if let (true, None) = (count > 0, lines(text, last)) {
        let mut document = open(text)?;
        let all = list(&mut document, last)?;
        let dress = all.get(last.index).map(|value| value.decor().clone()).unwrap_or_default();
        let words: Vec<String> =
            keys.iter().map(|(key, value)| format!("{key} = {value}")).collect();
        let words = format!("{{ {} }}", words.join(", "));
        let mut value: Value = words.parse().map_err(|_| NOT_TOML.to_owned())?;
        *value.decor_mut() = dress;
        all.push_formatted(value);
        return Ok(as_before(text, &document));
    }
    let wide = keys.iter().map(|(key, _)| key.len()).max().unwrap_or(0);
    let end = if text.contains("\r\n") { "\r\n" } else { "\n" };
    let line = |(key, value): &(&str, Value)| format!("{key:wide$} = {value}{end}");
    let words = keys.iter().map(line).collect::<String>();
    let words = format!("[[{kind}]]{end}{words}");
    let at = if count > 0 { lines(text, last).map(|lines| lines.end) } else { None };
    let at = at.unwrap_or(text.len());
    let (before, after) = text.split_at(at);
    let gap = match before {
        "" => String::new(),
        before if before.ends_with(&end.repeat(2)) => String::new(),
        before if before.ends_with('\n') => end.to_owned(),
        _ => end.repeat(2),
    };
    Ok(format!("{before}{gap}{words}{after}"))
}

#[cfg(test)]
mod tests {
    use super::*;

    const JOB: &str = "process = \"laser\"   # kept\n\n# ---- frame\n\n[[part]]\nrecipe   = \"tab\"\nname     = \"a\"   # the first\ngiven    = { bolt = \"M8\", reach = \"30 mm\" }\n\n# The other.\n[[part]]\nrecipe = \"tab\"\nname = \"b\"\n\n[part.given]\nbolt = \"M6\" # small\n\n# ---- loads\n\n[[load]]\nname = \"x\"\n";

    /// The entry whose name is at a place.
    fn find(text: &str, at: usize) -> Option<Entry> {
        let all = ["part", "load"].into_iter().flat_map(|kind| {
            (0..count(text, kind)).filter_map(move |index| Entry::new(kind, index))
        });
        let is_before = |entry: &Entry| {
            let name = value(text, *entry, "name").unwrap_or_default();
            text.find(&format!("\"{name}\"")).is_some_and(|start| start < at)
                && text[at..].starts_with(&name)
        };
        all.into_iter().find(is_before)
    }

    fn entry(name: &str) -> Entry {
        let at = JOB.find(&format!("\"{name}\"")).expect("it is there");
        find(JOB, at + 1).expect("it is a part")
    }

    /// The lines that differ.
    fn differ(text: &str) -> Vec<String> {
        let was: Vec<&str> = JOB.lines().collect();
        text.lines().filter(|line| !was.contains(line)).map(str::to_owned).collect()
    }

    #[test]
    fn a_value_is_changed_and_nothing_else() {
        let text = set(JOB, entry("a"), "given.reach", Some("34 mm".into())).expect("set");
        assert_eq!(differ(&text), ["given    = { bolt = \"M8\", reach = \"34 mm\" }"]);
        assert_eq!(text.lines().count(), JOB.lines().count());
        let text = set(JOB, entry("b"), "given.bolt", Some("M8".into())).expect("set");
        assert_eq!(differ(&text), ["bolt = \"M8\" # small"]);
        let text = set(JOB, entry("a"), "quantity", Some(3.into())).expect("set");
        assert_eq!(differ(&text), ["quantity = 3"]);
    }

    #[test]
    fn line_ends_stay_as_they_are() {
        let text = format!("\u{feff}{}", JOB.replace('\n', "\r\n"));
        let a = find(&text, text.find("\"a\"").expect("there") + 1).expect("a part");
        let new = set(&text, a, "given.reach", Some("34 mm".into())).expect("set");
        assert_eq!(new, text.replace("30 mm", "34 mm"));
    }

    #[test]
    fn a_value_is_added_and_taken_out_as_its_neighbours_stand() {
        let text = set(JOB, entry("a"), "given.foot", Some("20 mm".into())).expect("set");
        let line = "given    = { bolt = \"M8\", reach = \"30 mm\", foot = \"20 mm\" }";
        assert_eq!(differ(&text), [line]);
        let back = set(&text, entry("a"), "given.foot", None).expect("taken out");
        assert_eq!(back, JOB);
        let text = set(JOB, entry("b"), "given.bolt", None).expect("taken out");
        assert_eq!(value(&text, entry("b"), "given.bolt"), None);
        assert_eq!(differ(&text), [""; 0]);
    }

    #[test]
    fn parts_are_copied_taken_out_and_added_between_their_comments() {
        let text = copy(JOB, entry("a"), "a-2").expect("copied");
        assert_eq!(differ(&text), ["name     = \"a-2\"   # the first"]);
        assert_eq!(take_out(&text, Entry { kind: 0, index: 1 }).expect("taken out"), JOB);
        let text = take_out(JOB, entry("b")).expect("taken out");
        assert!(!text.contains("The other") && text.contains("# ---- loads\n\n[[load]]"), "{text}");
        let text = add(JOB, "strap", "s", "S \"4\"").expect("added");
        let at = text.find("strap").expect("it is there");
        assert!(at < text.find("# ---- loads").expect("kept"), "{text}");
        assert_eq!(add("", "tab", "t", "S").expect("added").lines().count(), 5);
    }

    #[test]
    fn parts_in_a_list_are_changed_as_well() {
        let text = "part = [\n  { recipe = \"tab\", name = \"a\", given = {} }, # one\n]\n";
        let a = find(text, text.find("\"a\"").expect("there") + 1).expect("a part");
        let with = set(text, a, "given.bolt", Some("M8".into())).expect("set");
        assert!(with.contains("given = { bolt = \"M8\" } }, # one"), "{with}");
        let two = copy(text, a, "b").expect("copied");
        assert_eq!(take_out(&two, Entry { kind: 0, index: 1 }).expect("out"), text);
        assert!(add(text, "tab", "c", "S").expect("added").contains("name = \"c\""));
    }
}

//! Parts that are those of another job file, or others of this one, with changes.

use crate::diag::Finding;
use crate::diag::Sources;
use crate::diag::instead;
use crate::document;
use crate::document::Entry;
use crate::document::Findings;
use crate::document::Item;
use crate::document::Table;
use crate::document::Value;
use crate::job::asked::Shelf;
use crate::job::elsewhere;
use crate::job::names::Names;
use crate::job::points::Points;

/// Keys that are not taken over: they belong to one job.
const OWN: &[&str] = &["quantity", "fill", "from", "on"];

/// Keys whose values are changed one by one.
const BY_NAME: &[&str] = &["given", "open", "bends", "sheets"];

/// Maximum number of parts that are each from the next. Our choice.
const DEEPEST: usize = 50;

/// Where parts are looked for.
pub(super) struct Looked<'a> {
    pub(super) shelf: &'a Shelf<'a>,
    pub(super) sources: &'a mut Sources,
    pub(super) findings: &'a Findings,
    /// The parts that are being looked for, each by the one before it.
    path: Vec<String>,
}

impl<'a> Looked<'a> {
    pub(super) fn new(
        shelf: &'a Shelf<'a>,
        sources: &'a mut Sources,
        findings: &'a Findings,
    ) -> Self {
        Self { shelf, sources, findings, path: Vec::new() }
    }

    /// An entry of `[[part]]` with all that the part has which it is `from`: as
    /// `from = "frame.toml#mount"` says, or `from = "#mount"` for one of `own`, the parts beside
    /// it. An entry without `from` as it is; `None` when something was reported.
    pub(super) fn whole(&mut self, item: &Item, own: &[Item], file: &str) -> Option<Item> {
        let Value::Table(table) = &item.value else { return Some(item.clone()) };
        let Some(from) = table.get("from") else { return Some(item.clone()) };
        let refuse = |code, headline: String, help: String| {
            self.findings.add(Finding::stop(code, headline).at(from.item.letters, "").help(help));
        };
        let Some((named, part)) = from.item.text().and_then(|text| text.split_once('#')) else {
            let headline = "`from` is a file, `#` and the name of a part in it".to_owned();
            refuse("wrong-kind", headline, "write `from = \"frame.toml#mount\"`".into());
            return None;
        };
        if let Some(recipe) = table.get("recipe") {
            self.findings.add(
                Finding::stop("wrong-kind", "a part taken `from` another uses its recipe")
                    .at(recipe.key, "")
                    .at(from.key, "from another")
                    .help("remove `recipe`, or `from`"),
            );
            return None;
        }
        let file = &if named.is_empty() { file.to_owned() } else { elsewhere::beside(file, named) };
        let called = format!("{file}#{part}");
        if self.path.len() >= DEEPEST {
            let headline = format!("part `{part}` is taken from another, {DEEPEST} levels deep");
            refuse("part-loop", headline, "give one of them a `recipe`".into());
            return None;
        }
        if let Some(at) = self.path.iter().position(|other| *other == called) {
            let ring = self.path[at..].join(" → ");
            let headline = format!("part `{part}` is taken from itself: {ring} → {called}");
            refuse("part-loop", headline, "give one of them a `recipe`".into());
            return None;
        }
        let read;
        let parts = if named.is_empty() {
            own
        } else {
            read = self.parts_of(file, &from.item)?;
            &read
        };
        let is_named = |item: &&Item| name(item) == Some(part);
        let Some(other) = parts.iter().find(is_named) else {
            let names: Vec<&str> = parts.iter().filter_map(name).collect();
            let shown = if named.is_empty() { "this job".into() } else { format!("`{file}`") };
            let help = match names.is_empty() {
                true => "name a job with a `[[part]]`".to_owned(),
                false => instead(part, &names, "its parts are"),
            };
            refuse("unknown-part", format!("there is no part `{part}` in {shown}"), help);
            return None;
        };
        if let Some(finding) = elsewhere::differs(self.shelf, file, other, &from.item) {
            self.findings.add(finding);
            return None;
        }
        self.path.push(called);
        let other = self.whole(other, parts, file);
        self.path.pop();
        Some(merged(item, table, &other?, from))
    }

    /// The parts of another job file.
    fn parts_of(&mut self, file: &str, from: &Item) -> Option<Vec<Item>> {
        let Some((path, text)) = (self.shelf.file)(file) else {
            self.findings.add(
                Finding::stop("no-file", format!("there is no file `{file}` that can be read"))
                    .at(from.letters, "")
                    .help("put it beside the job, and write its name with the extension `.toml`"),
            );
            return None;
        };
        let source = self.sources.add(path, &text);
        match document::read(source, &text) {
            Ok(table) => {
                let (_, table) = Names::read(&table, self.findings);
                let (_, table) = Points::read(&table, from.span, self.shelf.tables, self.findings);
                match table.get("part").map(|entry| &entry.item.value) {
                    Some(Value::List(items)) => Some(items.clone()),
                    _ => Some(Vec::new()),
                }
            }
            Err(found) => {
                found.into_iter().for_each(|f| self.findings.add(f.at(from.letters, "used here")));
                None
            }
        }
    }
}

/// The name of a part: its own, else that of the one it is from.
fn name(item: &Item) -> Option<&str> {
    let Value::Table(table) = &item.value else { return None };
    let text = |key: &str| table.get(key).and_then(|entry| entry.item.text());
    text("name").or_else(|| Some(text("from")?.split_once('#')?.1))
}

/// The entries of a part over those of the one it is from. Without a name of its own it has that of
/// the other, at the position where it names it.
fn merged(item: &Item, own: &Table, other: &Item, from: &Entry) -> Item {
    let Value::Table(other) = &other.value else { return item.clone() };
    let here = |entry: &Entry| Entry {
        key: entry.key,
        item: Item { span: from.item.span, letters: from.item.letters, ..entry.item.clone() },
    };
    let taken = other.iter().filter(|(key, _)| !OWN.contains(key));
    let taken = taken.map(|(key, entry)| match key {
        "name" => (key, here(entry)),
        _ => (key, entry.clone()),
    });
    let mut all: Vec<(&str, Entry)> = taken.collect();
    for (key, entry) in own.iter().filter(|(key, _)| *key != "from") {
        let place = all.iter_mut().find(|(other, _)| *other == key);
        match place {
            None => all.push((key, entry.clone())),
            Some((_, there)) if BY_NAME.contains(&key) => *there = over(there, entry),
            Some((_, there)) => *there = entry.clone(),
        }
    }
    // What one leaves open the other may give, and the other way round.
    for (key, rival) in [("given", "open"), ("open", "given")] {
        let Some(Value::Table(names)) = own.get(key).map(|entry| &entry.item.value) else {
            continue;
        };
        if let Some((_, there)) = all.iter_mut().find(|(other, _)| *other == rival)
            && own.get(rival).is_none()
            && let Value::Table(table) = &there.item.value
        {
            let left = table.iter().filter(|(name, _)| names.get(name).is_none());
            let left = left.map(|(name, entry)| (name.to_owned(), entry.clone())).collect();
            there.item.value = Value::Table(left);
        }
    }
    let table = all.into_iter().map(|(key, entry)| (key.to_owned(), entry)).collect();
    Item { value: Value::Table(table), ..item.clone() }
}

/// The entries of a table over those of another.
fn over(there: &Entry, own: &Entry) -> Entry {
    let (Value::Table(old), Value::Table(new)) = (&there.item.value, &own.item.value) else {
        return own.clone();
    };
    let kept = old.iter().filter(|(name, _)| new.get(name).is_none());
    let both = kept.chain(new.iter()).map(|(name, entry)| (name.to_owned(), entry.clone()));
    let value = Value::Table(both.collect());
    Entry { key: own.key, item: Item { value, ..own.item.clone() } }
}

//! The entries of a table, read one by one; what is missing, unknown or of the wrong kind
//! is gathered.

use crate::diag::Finding;
use crate::diag::Span;
use crate::diag::nearest;
use crate::document::label;
use crate::document::renamed;
use crate::document::tree::Entry;
use crate::document::tree::Item;
use crate::document::tree::Table;
use crate::document::tree::Value;
use crate::document::wrong::wrong_kind;
use std::cell::RefCell;

/// More mistakes of one sort than this are not reported: nobody reads them at once.
const MAX_REPORTED: usize = 20;

/// Where findings are gathered while a document is read.
#[derive(Debug, Default)]
pub struct Findings(RefCell<Vec<Finding>>);

impl Findings {
    /// Keeps a finding.
    pub fn add(&self, finding: Finding) {
        self.0.borrow_mut().push(finding);
    }

    /// Takes back what is not so.
    fn forget(&self, is_not_so: impl Fn(&Finding) -> bool) {
        self.0.borrow_mut().retain(|finding| !is_not_so(finding));
    }

    /// All that were kept, in order.
    pub fn take(self) -> Vec<Finding> {
        self.0.into_inner()
    }

    /// How many there are.
    pub(crate) fn count(&self) -> usize {
        self.0.borrow().len()
    }

    /// Whether there is none.
    pub fn is_empty(&self) -> bool {
        self.0.borrow().is_empty()
    }
}

/// Reads the entries of one table and remembers which were read.
pub(crate) struct Fields<'a> {
    table: &'a Table,
    /// Where the table, or the key it is behind, is: for what is missing in it.
    pub here: Span,
    findings: &'a Findings,
    asked: RefCell<Vec<String>>,
}

impl<'a> Fields<'a> {
    /// The entries of a table that is at `here`.
    pub(crate) fn new(table: &'a Table, here: Span, findings: &'a Findings) -> Self {
        Self { table, here, findings, asked: RefCell::default() }
    }

    /// The entries of an item, which must be a table.
    pub(crate) fn of(item: &'a Item, findings: &'a Findings) -> Option<Self> {
        match &item.value {
            Value::Table(table) => Some(Self::new(table, item.span, findings)),
            _ => {
                findings.add(wrong_kind(item, "a table"));
                None
            }
        }
    }

    /// Keeps a finding.
    pub(crate) fn add(&self, finding: Finding) {
        self.findings.add(finding);
    }

    /// The collector behind.
    pub(crate) fn findings(&self) -> &'a Findings {
        self.findings
    }

    /// Whether a key is there; it counts as asked for.
    pub(crate) fn has(&self, name: &str) -> bool {
        self.get(name).is_some()
    }

    /// The item of a key, when it is there.
    pub(crate) fn get(&self, name: &str) -> Option<&'a Item> {
        self.entry(name).map(|entry| &entry.item)
    }

    /// The entry of a key, when it is there.
    pub(crate) fn entry(&self, name: &str) -> Option<&'a Entry> {
        self.asked.borrow_mut().push(name.to_owned());
        self.table.get(name)
    }

    /// The item of a key; a finding when it is missing. `example` is a possible value, or a
    /// `[[table]]`.
    pub(crate) fn need(&self, name: &str, example: &str) -> Option<&'a Item> {
        self.need_or(
            name,
            &match is_header(example) {
                true => format!("add {example}"),
                false => format!("add `{name} = {example}`"),
            },
        )
    }

    /// The same with the whole remedy if it is missing.
    pub(crate) fn need_or(&self, name: &str, help: &str) -> Option<&'a Item> {
        let item = self.get(name);
        if item.is_none() && !self.has_old_name(name) {
            self.add(Finding::stop(MISSING, missing(name)).at(self.here, "").help(help));
        }
        item
    }

    /// Whether a missing key is there under its old name: then that is what is wrong.
    fn has_old_name(&self, name: &str) -> bool {
        let entry = |old| Some((old, self.table.get(old)?));
        let Some((old, entry)) = renamed::once_called(name).find_map(entry) else { return false };
        if !self.asked.borrow().iter().any(|asked| asked == old) {
            self.asked.borrow_mut().push(old.to_owned());
            self.add(renamed::finding(old, name, entry.key));
        }
        true
    }

    /// A text that may be left out.
    pub(crate) fn text(&self, name: &str) -> Option<&'a str> {
        let item = self.get(name)?;
        let text = item.text();
        if text.is_none() {
            self.add(wrong_kind(item, "text"));
        }
        text
    }

    /// A text that must be there.
    pub(crate) fn needed_text(&self, name: &str, example: &str) -> Option<&'a str> {
        self.need(name, example)?;
        self.text(name)
    }

    /// A text that names something, and may be left out; `example` is one that could be there.
    /// One that is no name is reported, and given all the same: what refers to it is not unknown.
    pub(crate) fn label(&self, name: &str, example: &str) -> Option<&'a str> {
        let (text, span) = (self.text(name)?, self.get(name)?.span);
        let refused = label::finding(text, span, format!("write `{name} = {example}`"));
        refused.into_iter().for_each(|finding| self.add(finding));
        Some(text)
    }

    /// The same where it must be there.
    pub(crate) fn needed_label(&self, name: &str, example: &str) -> Option<&'a str> {
        self.need(name, example)?;
        self.label(name, example)
    }

    /// The entries of a table whose keys are names; `example` is a possible key.
    pub(crate) fn labelled(&self, table: &str, example: &str) -> Vec<(&'a str, &'a Entry)> {
        let entries = self.entries(table);
        let help = || format!("write `{example}`");
        let refused = entries.iter().filter_map(|(n, e)| label::finding(n, e.key, help()));
        refused.for_each(|finding| self.add(finding));
        entries
    }

    /// A yes or no; no when it is left out.
    pub(crate) fn flag(&self, name: &str) -> bool {
        match self.get(name) {
            None => false,
            Some(Item { value: Value::Flag(flag), .. }) => *flag,
            Some(item) => {
                self.add(wrong_kind(item, "`true` or `false`"));
                false
            }
        }
    }

    /// A whole number from 0 to `max`, when it is there.
    pub(crate) fn count(&self, name: &str, max: u32) -> Option<u32> {
        self.count_from(name, 0, max)
    }

    /// A whole number from `min` to `max`, when it is there.
    pub(crate) fn count_from(&self, name: &str, min: u32, max: u32) -> Option<u32> {
        let item = self.get(name)?;
        let range = f64::from(min)..=f64::from(max);
        match item.value {
            Value::Number(n) if n.fract() == 0.0 && range.contains(&n) => Some(n as u32),
            _ => {
                let is = match item.value {
                    Value::Number(n) => format!(", not {n}"),
                    _ => String::new(),
                };
                let headline = format!("`{name}` must be a whole number from {min} to {max}{is}");
                self.add(Finding::stop("wrong-kind", headline).at(item.span, "").help(
                    match item.text().and_then(|t| t.trim().parse::<u32>().ok()) {
                        Some(n) => format!("write `{name} = {n}`, without quotes"),
                        None => format!("write `{name} = 1`"),
                    },
                ));
                None
            }
        }
    }

    /// A list; empty when it is left out.
    pub(crate) fn list(&self, name: &str) -> &'a [Item] {
        self.list_or(name, |item| format!("write `{name} = [ {} ]`", item.written()))
    }

    /// The same, with what to write in place of something that is no list.
    pub(crate) fn list_or(&self, name: &str, to_write: impl Fn(&Item) -> String) -> &'a [Item] {
        match self.get(name) {
            None => &[],
            Some(Item { value: Value::List(items), .. }) => items,
            Some(item) => {
                let headed = self.table.get(name).filter(|entry| entry.is_headed());
                let help = match headed {
                    // `[rates.cutting]`: what is before the name belongs to it.
                    Some(entry) if entry.is_within() => {
                        "write two brackets on either side of it, `[[` and `]]`".to_owned()
                    }
                    Some(_) => format!("write `[[{name}]]`, with two brackets"),
                    None => to_write(item),
                };
                self.add(wrong_kind(item, "a list, `[ … ]`").help(help));
                &[]
            }
        }
    }

    /// The entries of a table within; none when it is left out.
    pub(crate) fn entries(&self, name: &str) -> Vec<(&'a str, &'a Entry)> {
        match self.get(name) {
            None => Vec::new(),
            Some(Item { value: Value::Table(table), .. }) => table.iter().collect(),
            Some(item) => {
                self.add(wrong_kind(item, "a table"));
                Vec::new()
            }
        }
    }

    /// Reports the keys that were never asked for.
    pub(crate) fn finish(self) {
        self.finish_with(&|_, _| None);
    }

    /// The same, where some of them belong elsewhere: `elsewhere` says of a key what to do about it.
    pub(crate) fn finish_with(self, elsewhere: &dyn Fn(&str, &Item) -> Option<String>) {
        let asked = self.asked.into_inner();
        let unknown = self.table.iter().filter(|(name, _)| asked.iter().all(|a| a != name));
        let unknown: Vec<(&str, &Entry)> = unknown.take(MAX_REPORTED).collect();
        let near = |name: &str| nearest(name, asked.iter().map(String::as_str));
        let slips = unknown.iter().filter_map(|(name, _)| near(name));
        let mut decides = false;
        for key in slips.filter(|key| self.table.get(key).is_none()) {
            decides |= explained(self.findings, self.here, key);
        }
        for (name, entry) in unknown {
            if let Some(new) = renamed::now_called(name, |new| asked.iter().any(|a| a == new)) {
                self.findings.add(renamed::finding(name, new, entry.key));
                continue;
            }
            let help = match (elsewhere(name, &entry.item), near(name)) {
                (Some(help), _) => help,
                (None, Some(near)) => format!("write `{near}`"),
                // It may be one of those that the slip would let in.
                (None, None) if decides => continue,
                (None, None) if TOP.contains(&name) => {
                    format!("move `{name}` to the top of the file, above the first `[…]`")
                }
                (None, None) => format!("keys here are {}", listed(&asked)),
            };
            self.findings.add(
                Finding::stop("unknown-key", format!("there is no key `{name}` here"))
                    .at(entry.key, "")
                    .help(help),
            );
        }
    }
}

/// The code of a finding about a key that is missing.
const MISSING: &str = "missing-key";

fn missing(name: &str) -> String {
    format!("`{name}` is missing here")
}

/// Takes back what a slip in the name of a key explains: that this key is missing in its table; or,
/// where it need not be there, all that is missing, as it may say what else is needed. Says whether
/// it is such a key.
fn explained(findings: &Findings, here: Span, key: &str) -> bool {
    let of_table =
        |f: &Finding| f.code == MISSING && f.marks.first().is_some_and(|m| m.span == here);
    let is_needed = |f: &Finding| of_table(f) && f.headline == missing(key);
    let needed = findings.0.borrow().iter().any(is_needed);
    match needed {
        true => findings.forget(is_needed),
        false => findings.forget(of_table),
    }
    !needed
}

/// Keys of a whole recipe or job. TOML assigns them to the table above when they come further down.
const TOP: &[&str] = &[
    "about",
    "copies",
    "mirror",
    "grain",
    "bend_ticks",
    "etch_names",
    "tape",
    "units",
    "process",
    "coating",
    "gap",
    "margin",
    "min_remnant",
];

/// Whether an example is the header of a table, `[[sheet]]`, and no list of lists.
fn is_header(example: &str) -> bool {
    example.strip_prefix("[[").is_some_and(|rest| rest.starts_with(char::is_alphabetic))
}

fn listed(names: &[String]) -> String {
    let mut names: Vec<String> = names.iter().map(|n| format!("`{n}`")).collect();
    names.sort();
    names.dedup();
    names.join(", ")
}

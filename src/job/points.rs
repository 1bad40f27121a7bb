//! The points of a machine in a job, and the texts that use them: `distance(rail, foot)`.
//!
//! A call of [`CALLS`] with names of points, and a coordinate such as `rail.z`, are replaced by
//! their values wherever a value is typed. A formula that then contains numbers alone is replaced
//! by its value.

use crate::diag::Finding;
use crate::diag::Span;
use crate::diag::instead;
use crate::document::Entry;
use crate::document::Fields;
use crate::document::Findings;
use crate::document::Item;
use crate::document::Table;
use crate::document::Value;
use crate::formula;
use crate::formula::Formula;
use crate::formula::Scope;
use crate::geom::Space;
use crate::job::names::FORMULAS;
use crate::job::names::PLAIN;
use crate::num;
use crate::quantity::Dimension;
use crate::quantity::Quantity;
use crate::recipe;
use crate::recipe::Params;
use crate::recipe::Recipe;
use crate::table::Tables;
use indexmap::IndexMap;
use std::sync::Arc;

/// The functions of formulas that take points and nothing else.
const CALLS: &[&str] = &["distance", "angle", "lean", "twist"];

/// Sections in which points are not replaced, as they have formulas of their own.
const OWN: &[&str] = &["points", "names", "tape"];

/// The points of a machine, in one frame.
#[derive(Clone, Debug, Default)]
pub struct Points {
    /// Where they are, in the order of the text, mm.
    pub at: IndexMap<String, Space>,
    /// Whether they could all be read.
    pub(super) complete: bool,
    measured: Option<Arc<(Recipe, Params)>>,
}

impl Points {
    /// The points of a job, and its table with calls and coordinates replaced by their values.
    pub(super) fn read(
        job: &Table,
        here: Span,
        tables: &Tables,
        findings: &Findings,
    ) -> (Self, Table) {
        if job.get("points").is_none() {
            return (Self { complete: true, ..Self::default() }, job.clone());
        }
        let before = findings.count();
        if let (Some(Value::Table(points)), Some(Value::Table(names))) =
            (value_of(job, "points"), value_of(job, "names"))
        {
            let twice = points.iter().filter(|(name, _)| names.get(name).is_some());
            twice.for_each(|(name, entry)| recipe::check_name(name, entry.key, true, findings));
        }
        let Some((recipe, params)) = recipe::machine_points(job, here, tables, findings) else {
            return (Self::default(), job.clone());
        };
        let place = |name: &String| match params.get(name) {
            Some(formula::Value::Space(point)) => Some((name.clone(), point.at)),
            _ => None,
        };
        let at = recipe.points.keys().filter_map(place).collect();
        let complete = findings.count() == before;
        let points = Self { at, complete, measured: Some(Arc::new((recipe, params))) };
        let table = JobWithPoints { points: &points, tables, findings }.in_table(job, false);
        (points, table)
    }

    /// The entries of a job, those of its points counted as read.
    pub(super) fn counted_as_read<'a>(fields: Fields<'a>) -> Fields<'a> {
        let _ = (fields.get("points"), fields.get("tape"));
        fields
    }

    /// The recipe and the values behind, for the checks of the measurements.
    pub(crate) fn measured(&self) -> Option<&(Recipe, Params)> {
        self.measured.as_deref()
    }

    /// The place of the point that an item names; a finding where there is none.
    pub(super) fn named(&self, item: &Item, findings: &Findings) -> Option<Space> {
        let Some(name) = item.text() else {
            let wanted = crate::document::wrong_kind(item, "the name of a point");
            findings.add(wanted.help("name a point of `[points]`, such as `\"rail\"`"));
            return None;
        };
        let place = self.at.get(name.trim()).copied();
        // While the points cannot be read, it may be one of them.
        if place.is_none() && self.complete {
            findings.add(self.unknown(name, item.letters));
        }
        place
    }

    /// A value with its calls and coordinates calculated: a cell of a table beside the job.
    pub(super) fn in_item(&self, item: &Item, tables: &Tables, findings: &Findings) -> Item {
        if self.at.is_empty() {
            return item.clone();
        }
        JobWithPoints { points: self, tables, findings }.in_item(item, true)
    }

    fn unknown(&self, name: &str, at: Span) -> Finding {
        let known: Vec<&str> = self.at.keys().map(String::as_str).collect();
        let help = match known.is_empty() {
            true => format!("add `[points]` with `{name} = [\"0 mm\", \"0 mm\", \"0 mm\"]`"),
            false => instead(name, &known, "points are"),
        };
        Finding::stop("unknown-point", format!("there is no point `{name}`")).at(at, "").help(help)
    }
}

fn value_of<'a>(table: &'a Table, key: &str) -> Option<&'a Value> {
    table.get(key).map(|entry| &entry.item.value)
}

/// A job with its points.
struct JobWithPoints<'a> {
    points: &'a Points,
    tables: &'a Tables,
    findings: &'a Findings,
}

impl JobWithPoints<'_> {
    fn in_table(&self, table: &Table, formulas: bool) -> Table {
        let entry = |(key, entry): (&str, &Entry)| {
            let lists = matches!(&entry.item.value, Value::List(_) | Value::Table(_));
            let plain = OWN.contains(&key) || (PLAIN.contains(&key) && !formulas && !lists);
            let item = match plain {
                true => entry.item.clone(),
                false => self.in_item(&entry.item, formulas || FORMULAS.contains(&key)),
            };
            (key.to_owned(), Entry { key: entry.key, item })
        };
        table.iter().map(entry).collect()
    }

    fn in_item(&self, item: &Item, formula: bool) -> Item {
        let value = match &item.value {
            Value::Text(text) => match self.in_text(text, item.letters, formula) {
                Some(text) => Value::Text(text),
                None => return item.clone(),
            },
            Value::List(items) => {
                Value::List(items.iter().map(|item| self.in_item(item, formula)).collect())
            }
            Value::Table(table) => Value::Table(self.in_table(table, formula)),
            Value::Number(_) | Value::Flag(_) => return item.clone(),
        };
        Item { value, ..item.clone() }
    }

    /// A text with the values of its points; `None` if it uses no points.
    fn in_text(&self, text: &str, at: Span, formula: bool) -> Option<String> {
        let mut made = String::new();
        let mut end = 0;
        for (from, to) in point_uses(text, &|name| self.points.at.contains_key(name)) {
            let value = self.value(&text[from..to], at)?;
            made.push_str(&text[end..from]);
            made.push_str(&format!("({value})"));
            end = to;
        }
        if end == 0 {
            return None;
        }
        made.push_str(&text[end..]);
        match self.worked_out(&made) {
            Ok(formula::Value::Quantity(q)) => typed(&q).or(Some(made)),
            Err(error) if !formula => {
                let headline = format!("`{}` is not a value: {error}", text.trim());
                let help = "write it with points and numbers only: `distance(rail, foot) - 12 mm`";
                self.findings.add(Finding::stop("points", headline).at(at, "").help(help));
                Some(made)
            }
            _ => Some(made),
        }
    }

    /// The value of a call or a coordinate, as it is typed.
    fn value(&self, words: &str, at: Span) -> Option<String> {
        let mut names = arguments(words).into_iter();
        if let Some(name) = names.find(|name| !self.points.at.contains_key(*name)) {
            self.findings.add(self.points.unknown(name, at));
            return Some(stand_in(words).to_owned());
        }
        match self.worked_out(words) {
            Ok(formula::Value::Quantity(q)) => typed(&q),
            Ok(_) => None,
            Err(error) => {
                let finding = Finding::stop("points", format!("`{words}`: {error}")).at(at, "");
                self.findings.add(finding.help("name other points"));
                Some(stand_in(words).to_owned())
            }
        }
    }

    fn worked_out(&self, text: &str) -> Result<formula::Value, String> {
        let name = |name: &str| self.points.at.get(name).map(|at| formula::Value::in_space(*at));
        let known = || self.points.at.keys().cloned().collect();
        let scope = Scope { name: &name, known: &known, tables: self.tables };
        let read = Formula::read(text).and_then(|formula| formula.value(&scope));
        read.map_err(|error| error.fault.to_string())
    }
}

/// A placeholder for a call that was reported, so that it is not reported again.
fn stand_in(call: &str) -> &'static str {
    if call.starts_with("distance") { "1000 mm" } else { "45 deg" }
}

/// A length, an angle or a number as it is typed; `None` for other dimensions.
fn typed(of: &Quantity) -> Option<String> {
    let number = num::text(of.value, 9);
    match of.dimension {
        Dimension::LENGTH => Some(format!("{number} mm")),
        Dimension::ANGLE => Some(format!("{number} deg")),
        Dimension::NONE => Some(number),
        _ => None,
    }
}

/// The positions in a text of calls with the name of a point, and of coordinates of points.
fn point_uses(text: &str, is_point: &dyn Fn(&str) -> bool) -> Vec<(usize, usize)> {
    let (mut found, mut at, mut quoted) = (Vec::new(), 0, false);
    while let Some(c) = text[at..].chars().next() {
        let word = if quoted { "" } else { word(&text[at..]) };
        if word.is_empty() {
            quoted ^= c == '\'';
            at += c.len_utf8();
            continue;
        }
        let after = at + word.len();
        let end =
            call(text, word, after, is_point).or_else(|| coordinate(text, word, after, is_point));
        // A field, or the unit of a number.
        let is_part = |c: char| c == '.' || c.is_ascii_alphanumeric();
        let end = end.filter(|_| !text[..at].ends_with(is_part));
        found.extend(end.map(|end| (at, end)));
        at = end.unwrap_or(after);
    }
    found
}

/// Where a call of a function of points ends, which names one.
fn call(text: &str, word: &str, after: usize, is_point: &dyn Fn(&str) -> bool) -> Option<usize> {
    let open = text[after..].trim_start();
    if !CALLS.contains(&word) || !open.starts_with('(') {
        return None;
    }
    let end = text.len() - open.len() + open.find(')')? + 1;
    let names = arguments(&text[after..end]);
    names.iter().any(|name| is_point(name)).then_some(end)
}

/// Where a coordinate of a point ends.
fn coordinate(
    text: &str,
    word: &str,
    after: usize,
    is_point: &dyn Fn(&str) -> bool,
) -> Option<usize> {
    let field = text[after..].strip_prefix('.')?;
    let is_one = ["x", "y", "z"].contains(&self::word(field)) && is_point(word);
    is_one.then_some(after + 2)
}

/// The names in the brackets of a call.
fn arguments(call: &str) -> Vec<&str> {
    let inside = call.split_once('(').and_then(|(_, rest)| rest.rsplit_once(')'));
    inside.map_or_else(Vec::new, |(inside, _)| inside.split(',').map(str::trim).collect())
}

/// The name that a text begins with.
fn word(text: &str) -> &str {
    let is_letter = |c: char| c.is_ascii_alphanumeric() || c == '_';
    match text.starts_with(|c: char| c.is_ascii_digit()) {
        // The unit of a number is no name: 12mm.
        true => "",
        false => &text[..text.find(|c: char| !is_letter(c)).unwrap_or(text.len())],
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn calls_and_coordinates_of_points_are_found_in_a_text() {
        let is_point = |name: &str| ["rail", "foot"].contains(&name);
        let found = |text: &'static str| -> Vec<&str> {
            point_uses(text, &is_point).into_iter().map(|(from, to)| &text[from..to]).collect()
        };
        assert_eq!(found("2 * distance(rail, foot) - rail.z"), ["distance(rail, foot)", "rail.z"]);
        assert_eq!(found("lean (rail , new)"), ["lean (rail , new)"]);
        for text in ["rail", "distance(A, B)", "bolt.rail.x", "row('bolt', 'rail.x')", "12rail.x"] {
            assert_eq!(found(text), [""; 0], "{text}");
        }
    }
}

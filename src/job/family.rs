//! Families: one line of a job expanded into many parts.

use crate::diag::Finding;
use crate::diag::SourceId;
use crate::diag::Sources;
use crate::diag::Span;
use crate::document::Entry;
use crate::document::Fields;
use crate::document::Findings;
use crate::document::Item;
use crate::document::Value;
use crate::document::wrong_kind;
use crate::entry::file_word;
use crate::entry::typed;
use crate::job::asked::Line;
use crate::job::asked::Shelf;
use crate::job::names::Names;
use crate::job::points::Points;
use crate::table::csv_cells;
use std::ops::Range;

/// Maximum number of parts in one family. Our choice: ten times an ordinary day's.
const MAX: usize = 100_000;

/// The parts of a `[[family]]`: `each` lists values, of which every combination is made;
/// `table` names a CSV file with a line for each part.
pub(super) fn read(
    fields: &Fields,
    line: Option<Line>,
    typed: (&Names, &Points),
    shelf: &Shelf,
    sources: &mut Sources,
) -> Vec<Line> {
    let (each, table) = (fields.entries("each"), fields.get("table"));
    let Some(line) = line else { return Vec::new() };
    match (fields.has("each"), table) {
        (true, None) if each.is_empty() => no_lists(fields),
        (true, None) => expand(&line, &each, fields.findings()),
        (false, Some(item)) => {
            from_table(&line, item, typed, shelf, sources, fields.findings()).unwrap_or_default()
        }
        _ => {
            fields.add(
                Finding::stop("missing-key", "a family has either `each` or `table`")
                    .at(line.here, "")
                    .help("write `each = { bolt = [\"M6\", \"M8\"] }` or `table = \"tabs.csv\"`"),
            );
            Vec::new()
        }
    }
}

/// Every combination of the listed values, the last list running fastest; the name's
/// `{input}` replaced by the value.
fn expand(line: &Line, each: &[(&str, &Entry)], findings: &Findings) -> Vec<Line> {
    let mut lists: Vec<(&str, &Entry, &[Item])> = Vec::new();
    for (name, entry) in each {
        match &entry.item.value {
            Value::List(items) if !items.is_empty() => lists.push((name, entry, items)),
            value => {
                let headline = format!("`{name}` needs a list of values");
                let example = match value {
                    Value::List(_) => "\"20 mm\", \"30 mm\"".to_owned(),
                    _ => entry.item.written(),
                };
                findings.add(
                    Finding::stop("wrong-kind", headline)
                        .at(entry.item.span, "")
                        .help(format!("write `{name} = [{example}]`")),
                );
                return Vec::new();
            }
        }
    }
    let total = lists.iter().try_fold(1usize, |n, (_, _, items)| n.checked_mul(items.len()));
    let Some(total) = total.filter(|n| *n <= MAX) else {
        findings.add(
            Finding::stop("too-many", format!("the family has more than {MAX} parts"))
                .at(line.here, "")
                .help("split it into several families"),
        );
        return Vec::new();
    };
    for (name, entry, items) in &lists {
        if items.len() > 1 && !line.name.contains(&format!("{{{name}}}")) {
            findings.add(unnamed(line, name, entry.key));
            return Vec::new();
        }
    }
    if let Some(unknown) = unknown_braces(&line.name, &lists) {
        let names: Vec<String> = lists.iter().map(|(name, ..)| format!("`{{{name}}}`")).collect();
        findings.add(
            Finding::stop("bad-name", format!("this family has no list `{unknown}`"))
                .at(line.here, "")
                .help(format!("the name may contain {}", names.join(", "))),
        );
        return Vec::new();
    }
    let member = |number: usize| {
        let mut made = line.clone();
        let mut rest = number;
        for (name, entry, items) in lists.iter().rev() {
            set(&mut made, name, entry.key, &items[rest % items.len()]);
            rest /= items.len();
        }
        made
    };
    (0..total).map(member).collect()
}

/// The finding for an empty `each`; one that is no table has been reported.
fn no_lists(fields: &Fields) -> Vec<Line> {
    if let Some(Item { value: Value::Table(_), span, .. }) = fields.get("each") {
        fields.add(
            Finding::stop("missing-key", "a family needs a list of values")
                .at(*span, "")
                .help("write `each = { bolt = [\"M6\", \"M8\"] }`"),
        );
    }
    Vec::new()
}

/// What is in braces in a name, and is none of the lists.
fn unknown_braces<'a>(name: &'a str, lists: &[(&str, &Entry, &[Item])]) -> Option<&'a str> {
    let pieces = name.split('{').skip(1).filter_map(|rest| Some(rest.split_once('}')?.0));
    let mut unknown = pieces.filter(|piece| lists.iter().all(|(list, ..)| list != piece));
    unknown.next()
}

fn unnamed(line: &Line, name: &str, varies: Span) -> Finding {
    Finding::stop("duplicate-name", format!("the name does not say which `{name}` a part has"))
        .at(line.here, "")
        .at(varies, "varies here")
        .help(format!("write `name = \"{}-{{{name}}}\"`", line.name))
}

/// Gives a part one value, also in its name.
fn set(line: &mut Line, name: &str, key: Span, item: &Item) {
    line.name = line.name.replace(&format!("{{{name}}}"), &file_word(&typed(item)));
    line.given.retain(|(given, _)| given != name);
    line.given.push((name.to_owned(), Entry { key, item: item.clone() }));
}

/// A part for each line of a CSV file. The columns are inputs; `quantity` is the number
/// of sets, and a column `name` is the part's whole name where the pattern is `{name}`.
fn from_table(
    line: &Line,
    item: &Item,
    (names, points): (&Names, &Points),
    shelf: &Shelf,
    sources: &mut Sources,
    findings: &Findings,
) -> Option<Vec<Line>> {
    let Some(name) = item.text() else {
        findings.add(wrong_kind(item, "the name of a CSV file"));
        return None;
    };
    let made = match (shelf.file)(name) {
        Some((path, text)) => {
            let source = sources.add(path, &text);
            // What a cell says of names and of points is calculated.
            let value =
                |cell: &Item| points.in_item(&names.in_item(cell, true), shelf.tables, findings);
            members(line, item, name, (source, &value), &csv_cells(&text))
        }
        None => Err(refused(
            item.letters,
            format!("there is no file `{name}` that can be read"),
            "name a CSV file beside the job",
        )),
    };
    made.map_err(|finding| findings.add(finding)).ok()
}

/// A cell of a table and where it is in the text.
type Cell = (String, Range<usize>);

/// The parts of the lines of a table called `name`.
fn members(
    line: &Line,
    item: &Item,
    name: &str,
    (source, value): (SourceId, &dyn Fn(&Item) -> Item),
    rows: &[Vec<Cell>],
) -> Result<Vec<Line>, Finding> {
    let Some((header, rows)) = rows.split_first().filter(|(_, rows)| !rows.is_empty()) else {
        let headline = format!("`{name}` has no lines");
        return Err(refused(item.letters, headline, "its first line names the columns"));
    };
    for (i, (column, at)) in header.iter().enumerate() {
        if column.contains(';') {
            let headline = "the columns are separated by semicolons".into();
            let help = "save the file with commas between the columns";
            return Err(refused(span(source, at), headline, help));
        }
        if header[..i].iter().any(|(other, _)| other == column) {
            let headline = format!("there are two columns `{column}`");
            return Err(refused(span(source, at), headline, "remove one of them"));
        }
    }
    if rows.len() > MAX {
        let headline = format!("`{name}` has more than {MAX} lines");
        return Err(refused(item.letters, headline, "split it into several"));
    }
    rows.iter().map(|cells| row(line, (source, value), header, cells)).collect()
}

/// The part of one line of a table.
fn row(
    line: &Line,
    (source, value): (SourceId, &dyn Fn(&Item) -> Item),
    header: &[Cell],
    cells: &[Cell],
) -> Result<Line, Finding> {
    let first = span(source, &cells[0].1);
    if cells.len() != header.len() {
        let headline =
            format!("this line has {} cells, the first line {}", cells.len(), header.len());
        return Err(refused(first, headline, "give every line as many cells as the first"));
    }
    let mut made = line.clone();
    made.here = first;
    for ((column, at), (cell, place)) in header.iter().zip(cells) {
        let place = span(source, place);
        let item = Item { value: Value::Text(cell.clone()), span: place, letters: place };
        match column.as_str() {
            "name" => made.name = made.name.replace("{name}", cell),
            "quantity" => match cell.parse::<u32>() {
                Ok(quantity) => made.quantity = quantity,
                Err(_) => {
                    let headline = format!("`{cell}` is not a number of pieces");
                    return Err(refused(place, headline, "write a whole number"));
                }
            },
            _ if cell.is_empty() => {}
            _ => set(&mut made, column, span(source, at), &value(&item)),
        }
    }
    Ok(made)
}

fn span(source: SourceId, at: &Range<usize>) -> Span {
    Span { source, start: at.start, end: at.end }
}

fn refused(span: Span, headline: String, help: &str) -> Finding {
    Finding::stop("family-table", headline).at(span, "").help(help)
}

//! Reading the text of one table, with all that is wrong in it.

use crate::diag::nearest;
use crate::document::now_called;
use crate::quantity;
use crate::quantity::Dimension;
use crate::quantity::Quantity;
use crate::quantity::Reading;
use crate::table::claims;
use crate::table::column::Column;
use crate::table::column::Kind;
use crate::table::fault::TableError;
use crate::table::fault::TableFault;
use crate::table::line::Line;
use crate::table::line::lines;
use crate::table::row;
use crate::table::row::Basis;
use crate::table::row::Cell;
use crate::table::row::Row;
use crate::table::sound;
use indexmap::IndexMap;
use std::ops::Range;

/// The additions of a text to a table.
pub(super) struct Layer {
    pub(super) about: String,
    pub(super) columns: Vec<Column>,
    /// With the line of each, counted from 1.
    pub(super) rows: Vec<(usize, Row)>,
}

/// A comment `# field NAME: about` or `# text NAME: about`.
struct Described {
    field: String,
    about: String,
    is_text: bool,
    line: usize,
    bytes: Range<usize>,
}

/// The table that a text is laid on.
pub(super) trait Below {
    /// Its columns.
    fn columns(&self) -> &[Column];

    /// The name of the row that is meant by a name.
    fn means(&self, name: &str) -> Option<&str>;
}

/// Reads a table; `below` is the one it is laid on, if there is one; `diameter` gives that
/// of a row of a table, in mm.
pub(super) fn read(
    table: &str,
    text: &str,
    below: Option<&dyn Below>,
    diameter: impl Fn(&str, &str) -> Option<f64>,
) -> Result<Layer, Vec<TableError>> {
    let known = below.map(Below::columns);
    let lines = lines(text);
    if let Some(line) = lines.iter().find(|line| line.is_open()) {
        let (line, at) = (line.number, line.bytes.clone());
        return Err(vec![TableError { line, at, fault: TableFault::Open }]);
    }
    let (comments, rows): (Vec<_>, Vec<_>) = lines.into_iter().partition(Line::is_comment);
    let (about, described) = comments_say(&comments);
    let Some((header, rows)) = rows.split_first() else {
        return Err(vec![TableError { line: 1, at: 0..text.len(), fault: TableFault::NoHeader }]);
    };
    let mut errors = Vec::new();
    check_header(text, header, known, &mut errors);
    check_described(header, &described, &mut errors);
    check_lengths(header, rows, &mut errors);
    if !errors.is_empty() {
        return Err(in_order(errors));
    }
    let columns: Vec<_> = (1..header.cells.len())
        .map(|i| column(i, header, rows, &described, known.unwrap_or_default()))
        .collect();
    let mut first_lines = IndexMap::new();
    let mut read = Vec::new();
    for line in rows {
        let row =
            read_row(table, line, &columns, |i, fault| errors.push(line.error(text, i, fault)));
        let row = sound::filled(row);
        if let Some(first) = first_lines.insert(row::key(&row.name), line.number) {
            let fault = TableFault::RepeatedRow { row: row.name.clone(), first };
            errors.push(line.error(text, 0, fault));
        }
        let source = header.cells.iter().position(|name| name == "source");
        if let (Some(cell), true, None) = (source, below.is_some(), row.source()) {
            errors.push(line.error(text, cell, TableFault::NoSource));
        }
        for (field, fault) in sound::faults(&row, &diameter) {
            let cell = header.cells.iter().position(|name| name == field);
            let error = line.error(text, cell.unwrap_or(0), fault);
            // A cell that cannot be read is not said to be missing as well.
            let is_unread = cell.is_some() && matches!(error.fault, TableFault::Missing { .. });
            if !(is_unread && errors.iter().any(|other| other.at == error.at)) {
                errors.push(error);
            }
        }
        read.push((line.number, row));
    }
    let means = |name: &str| below.and_then(|below| below.means(name));
    claims::check(text, header, rows, means, &mut errors);
    if !errors.is_empty() {
        return Err(in_order(errors));
    }
    let fields = columns.into_iter().filter(|c| !SPECIAL.contains(&c.name.as_str())).collect();
    Ok(Layer { about, columns: fields, rows: read })
}

/// A row with all that can be read of it; `fail` is given the cells that cannot.
fn read_row(
    table: &str,
    line: &Line,
    columns: &[Column],
    mut fail: impl FnMut(usize, TableFault),
) -> Row {
    let (table, name) = (table.to_owned(), line.cells[0].clone());
    if name.is_empty() {
        fail(0, TableFault::NoName);
    }
    let mut row = Row { table, name, cells: IndexMap::new(), source: None, basis: None };
    for (i, (column, cell)) in columns.iter().zip(&line.cells[1..]).enumerate() {
        if let Err(fault) = fill(&mut row, column, cell) {
            fail(i + 1, fault);
        }
    }
    row
}

/// Columns that are no fields.
const SPECIAL: [&str; 3] = ["name", "source", "basis"];

fn in_order(mut errors: Vec<TableError>) -> Vec<TableError> {
    errors.sort_by_key(|error| error.at.start);
    errors
}

/// The description of the table, from the comments down to the first that is empty or describes a
/// column; and the columns described.
fn comments_say(comments: &[Line]) -> (String, Vec<Described>) {
    let mut about = Vec::new();
    let mut described = Vec::new();
    let mut beginning = true;
    for line in comments {
        let said = line.comment();
        let is_text = said.starts_with("text ");
        let words = said.strip_prefix("field ").or_else(|| said.strip_prefix("text "));
        match words.and_then(|words| words.split_once(':')) {
            Some((field, about)) if is_field_name(field.trim()) => {
                beginning = false;
                described.push(Described {
                    field: field.trim().to_owned(),
                    about: about.trim().to_owned(),
                    is_text,
                    line: line.number,
                    bytes: line.bytes.clone(),
                });
            }
            _ if said.is_empty() => beginning = false,
            _ if beginning => about.push(said),
            _ => {}
        }
    }
    (about.join(" "), described)
}

fn check_header(text: &str, header: &Line, known: Option<&[Column]>, errors: &mut Vec<TableError>) {
    for (i, name) in header.cells.iter().enumerate() {
        let fault = if i == 0 && name != "name" {
            TableFault::FirstColumn(name.clone())
        } else if header.cells[..i].contains(name) {
            TableFault::RepeatedField(name.clone())
        } else if SPECIAL.contains(&name.as_str()) {
            continue;
        } else if !is_field_name(name) {
            TableFault::FieldName(name.clone())
        } else if let Some(known) = known
            && name != row::ALSO
            && !known.iter().any(|column| column.name == *name)
        {
            unknown(name, known.iter().map(|column| column.name.as_str()))
        } else {
            continue;
        };
        errors.push(header.error(text, i, fault));
    }
}

fn check_described(header: &Line, described: &[Described], errors: &mut Vec<TableError>) {
    for comment in described.iter().filter(|d| !header.cells.contains(&d.field)) {
        errors.push(TableError {
            line: comment.line,
            at: comment.bytes.clone(),
            fault: unknown(&comment.field, header.cells[1..].iter().map(String::as_str)),
        });
    }
}

fn check_lengths(header: &Line, rows: &[Line], errors: &mut Vec<TableError>) {
    let wanted = header.cells.len();
    errors.extend(rows.iter().filter(|line| line.cells.len() != wanted).map(|line| TableError {
        line: line.number,
        at: line.bytes.clone(),
        fault: TableFault::Cells { wanted, got: line.cells.len() },
    }));
}

fn unknown<'a>(field: &str, known: impl Iterator<Item = &'a str>) -> TableFault {
    let known: Vec<&str> = known.collect();
    let renamed = now_called(field, |new| known.contains(&new));
    let nearest = renamed.or_else(|| nearest(field, known.iter().copied()));
    TableFault::UnknownField { field: field.to_owned(), nearest: nearest.map(str::to_owned) }
}

fn is_field_name(name: &str) -> bool {
    name.starts_with(|c: char| c.is_ascii_lowercase())
        && name.chars().all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '_')
}

/// The column under cell `i` of the header. Its kind is that of the table below, or as described,
/// or quantities as soon as one cell is one.
fn column(
    i: usize,
    header: &Line,
    rows: &[Line],
    described: &[Described],
    known: &[Column],
) -> Column {
    let name = header.cells[i].clone();
    let described = described.iter().find(|d| d.field == name);
    let known = known.iter().find(|c| c.name == name).and_then(|c| c.kind);
    let cells = || rows.iter().map(|line| line.cells[i].as_str()).filter(|cell| !cell.is_empty());
    let kind = known.or_else(|| match described {
        _ if name == row::ALSO => Some(Kind::Text),
        Some(comment) if comment.is_text => Some(Kind::Text),
        _ if cells().next().is_none() => None,
        _ => match cells().find_map(|cell| quantity(&name, cell).ok()) {
            Some(quantity) => Some(Kind::Quantity(quantity.dimension)),
            // Not one can be read, so each will be refused.
            None if described.is_some() => Some(Kind::Quantity(Dimension::NONE)),
            None => Some(Kind::Text),
        },
    });
    Column { about: described.map(|d| d.about.clone()).unwrap_or_default(), name, kind }
}

/// Puts the content of a cell in its place.
fn fill(row: &mut Row, column: &Column, cell: &str) -> Result<(), TableFault> {
    let field = &column.name;
    if cell.is_empty() {
        return Ok(());
    }
    match (field.as_str(), column.kind) {
        ("source", _) => row.source = Some(cell.to_owned()),
        ("basis", _) => {
            let basis = Basis::read(cell).ok_or_else(|| TableFault::Basis(cell.to_owned()))?;
            row.basis = Some(basis);
        }
        (_, Some(Kind::Quantity(wanted))) => {
            let quantity = quantity(field, cell)?;
            let got = quantity.dimension;
            if got != wanted {
                return Err(TableFault::Dimension { field: field.clone(), wanted, got });
            }
            row.cells.insert(field.clone(), Cell::Quantity(quantity));
        }
        (_, Some(Kind::Text) | None) => {
            row.cells.insert(field.clone(), Cell::Text(cell.to_owned()));
        }
    }
    Ok(())
}

fn quantity(field: &str, cell: &str) -> Result<Quantity, TableFault> {
    match quantity::read(cell) {
        Ok(Reading::Quantity(quantity)) => Ok(quantity),
        Ok(Reading::Gauge { .. }) => Err(TableFault::Gauge(cell.to_owned())),
        Err(error) => Err(TableFault::Quantity { field: field.to_owned(), error }),
    }
}

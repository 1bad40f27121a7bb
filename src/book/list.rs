//! The sheets of a book as a list that spreadsheets read and write.

use crate::book::corners::Corners;
use crate::book::entry::Entry;
use crate::diag::Finding;
use crate::diag::SourceId;
use crate::diag::Span;
use csv::ErrorKind;
use csv::ReaderBuilder;
use csv::StringRecord;
use csv::Writer;
use serde::Deserialize;
use serde::Serialize;

/// The code of its findings.
const CODE: &str = "stock-list";

/// A line of the list. A rectangle has a length and a width, anything else corners.
#[derive(Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Row {
    #[serde(default)]
    id: Option<i64>,
    material: String,
    thickness_mm: f64,
    #[serde(default)]
    length_mm: Option<f64>,
    #[serde(default)]
    width_mm: Option<f64>,
    #[serde(default)]
    corners_mm: String,
    quantity: u32,
    #[serde(default)]
    remnant: Option<bool>,
    #[serde(default)]
    price: Option<f64>,
    #[serde(default)]
    currency: String,
    #[serde(default)]
    name: String,
    #[serde(default)]
    from: String,
}

/// The columns, for a list without a line.
const COLUMNS: [&str; 12] = [
    "id",
    "material",
    "thickness_mm",
    "length_mm",
    "width_mm",
    "corners_mm",
    "quantity",
    "remnant",
    "price",
    "currency",
    "name",
    "from",
];

/// The text of a list.
///
/// # Panics
/// Never: what is written to is memory.
pub fn written(entries: &[Entry]) -> String {
    let mut writer = Writer::from_writer(Vec::new());
    let whole = "a list in memory is written";
    if entries.is_empty() {
        writer.write_record(COLUMNS).expect(whole);
    }
    for entry in entries {
        let [length, width] = entry.corners.size();
        let plain = entry.corners.is_rectangle();
        writer
            .serialize(Row {
                id: entry.id,
                material: entry.material.clone(),
                thickness_mm: entry.thickness,
                length_mm: plain.then_some(length),
                width_mm: plain.then_some(width),
                corners_mm: if plain { String::new() } else { entry.corners.to_string() },
                quantity: entry.quantity,
                remnant: Some(entry.remnant),
                price: entry.price,
                currency: entry.currency.clone(),
                name: entry.name.clone(),
                from: entry.from.clone(),
            })
            .expect(whole);
    }
    let bytes = writer.into_inner().expect(whole);
    String::from_utf8(bytes).expect("only text was written")
}

/// Reads a list.
///
/// # Errors
/// Everything that is wrong with it, each with its place.
pub fn read(source: SourceId, text: &str) -> Result<Vec<Entry>, Vec<Finding>> {
    let mut reader = ReaderBuilder::new().trim(csv::Trim::All).from_reader(text.as_bytes());
    let headers = match reader.headers() {
        Ok(headers) => headers.clone(),
        Err(error) => return Err(vec![wrong(source, text, &StringRecord::new(), &error, &[])]),
    };
    let names: Vec<&str> = headers.iter().collect();
    let (mut entries, mut findings) = (Vec::new(), heads(source, text, &names));
    if !findings.is_empty() {
        return Err(findings);
    }
    for record in reader.into_records() {
        let record = match record {
            Ok(record) => record,
            Err(error) => {
                findings.push(wrong(source, text, &StringRecord::new(), &error, &names));
                continue;
            }
        };
        match record.deserialize::<Row>(Some(&headers)) {
            Err(error) => findings.push(wrong(source, text, &record, &error, &names)),
            Ok(row) => match entry(row) {
                Ok(entry)
                    if entry.id.is_some() && entries.iter().any(|e: &Entry| e.id == entry.id) =>
                {
                    let words = format!("`{}` is in the list twice", entry.called());
                    findings.push(error_at(words, cell(source, text, &record, None)));
                }
                Ok(entry) => entries.push(entry),
                Err((key, words)) => {
                    let column = names.iter().position(|name| *name == key);
                    findings.push(error_at(words, cell(source, text, &record, column)));
                }
            },
        }
    }
    if findings.is_empty() { Ok(entries) } else { Err(findings) }
}

/// What is wrong with the columns.
fn heads(source: SourceId, text: &str, names: &[&str]) -> Vec<Finding> {
    let end = text.find('\n').unwrap_or(text.len());
    let span = Span { source, start: 0, end };
    let columns = || format!("the columns are {}", COLUMNS.join(", "));
    let unknown = names.iter().filter(|name| !COLUMNS.contains(name));
    let unknown = unknown.map(|name| format!("there is no column `{name}`"));
    let needed = ["material", "thickness_mm", "quantity"];
    let missing = needed.iter().filter(|name| !names.contains(name));
    let missing = missing.map(|name| format!("the column `{name}` is missing"));
    unknown
        .chain(missing)
        .map(|words| Finding::stop(CODE, words).at(span, "").help(columns()))
        .collect()
}

/// A line as an entry; the column that is wrong and the words otherwise.
fn entry(row: Row) -> Result<Entry, (&'static str, String)> {
    let corners = match (row.corners_mm.as_str(), row.length_mm, row.width_mm) {
        ("", Some(length), Some(width)) if length > 0.0 && width > 0.0 => {
            Corners::rectangle(length, width).map_err(|error| ("length_mm", error.to_string()))?
        }
        ("", ..) => {
            let words = "a sheet has a length and a width, more than 0, or corners";
            return Err(("length_mm", words.into()));
        }
        (text, None, None) => {
            Corners::read(text).map_err(|error| ("corners_mm", error.to_string()))?
        }
        _ => {
            let words = "a sheet has a length and a width, or corners, and not both";
            return Err(("corners_mm", words.into()));
        }
    };
    let entry = Entry {
        id: row.id,
        material: row.material,
        thickness: row.thickness_mm,
        corners,
        quantity: row.quantity,
        remnant: row.remnant.unwrap_or(false),
        price: row.price,
        currency: row.currency,
        name: row.name,
        from: row.from,
    };
    entry.check()?;
    Ok(entry)
}

/// The finding for a line that is no row.
fn wrong(
    source: SourceId,
    text: &str,
    record: &StringRecord,
    error: &csv::Error,
    names: &[&str],
) -> Finding {
    let (words, column) = match error.kind() {
        ErrorKind::Deserialize { err, .. } => {
            let column = err.field().map(|column| column as usize);
            let name = column.and_then(|column| names.get(column));
            let of = name.map_or_else(String::new, |name| format!("`{name}`: "));
            (format!("{of}{}", err.kind()), column)
        }
        ErrorKind::UnequalLengths { expected_len, len, .. } => {
            (format!("cells in this line: {len}, columns of the list: {expected_len}"), None)
        }
        _ => (error.to_string(), None),
    };
    let mut record = record.clone();
    if record.position().is_none() {
        record.set_position(error.position().cloned());
    }
    error_at(words, cell(source, text, &record, column))
}

fn error_at(words: String, at: Span) -> Finding {
    Finding::stop(CODE, words).at(at, "").help(
        "lengths and prices are numbers with a point, `remnant` is true or false; \
         `platewright stock export` prints a list to go by",
    )
}

/// Where a cell is; the whole line where cells are in quotes.
fn cell(source: SourceId, text: &str, record: &StringRecord, column: Option<usize>) -> Span {
    let begin = record.position().map_or(0, |position| position.byte() as usize);
    let begin = begin.min(text.len());
    // A reader may be at the end of the line before.
    let blank = text[begin..].len() - text[begin..].trim_start_matches(['\r', '\n']).len();
    let start = begin + blank;
    let line = text[start..].lines().next().unwrap_or_default();
    let whole = Span { source, start, end: start + line.len() };
    let Some(column) = column.filter(|_| !line.contains('"')) else { return whole };
    let before: usize = line.split(',').take(column).map(|cell| cell.len() + 1).sum();
    match line.split(',').nth(column) {
        Some(cell) if !cell.is_empty() => {
            Span { start: start + before, end: start + before + cell.len(), ..whole }
        }
        _ => whole,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diag::Sources;

    fn read_text(text: &str) -> (Result<Vec<Entry>, Vec<Finding>>, Sources) {
        let mut sources = Sources::default();
        let source = sources.add("stock.csv", text);
        (read(source, text), sources)
    }

    #[test]
    fn a_list_is_read_as_it_was_written() {
        let sheet = Entry {
            id: Some(3),
            material: "S235".into(),
            thickness: 4.0,
            corners: Corners::rectangle(24.0 * 25.4, 500.0).unwrap(),
            quantity: 5,
            remnant: false,
            price: Some(42.5),
            currency: "EUR".into(),
            name: String::new(),
            from: "delivery, \"March\"".into(),
        };
        let corners = Corners::read("0 0, 400 0, 400 120, 150 120, 150 300.25, 0 300.25").unwrap();
        let remnant = Entry { id: None, corners, remnant: true, price: None, ..sheet.clone() };
        let entries = vec![sheet, remnant];
        let text = written(&entries);
        assert_eq!(read_text(&text).0.unwrap(), entries, "{text}");
        assert_eq!(read_text(&written(&[])).0.unwrap(), []);
        let short = "material,thickness_mm,length_mm,width_mm,quantity\nS235,4,1000,500,2\n";
        let read = read_text(short).0.unwrap();
        assert_eq!((read[0].size().as_str(), read[0].remnant), ("1000 mm × 500 mm", false));
    }

    #[test]
    fn an_error_in_a_list_names_its_cell() {
        let head = "material,thickness_mm,length_mm,width_mm,corners_mm,quantity";
        for (line, wanted, place) in [
            ("S235,four,1000,500,,2", "`thickness_mm`: invalid float literal", (2, 6)),
            ("S235,4,1000,500,,-2", "`quantity`: invalid digit found in string", (2, 18)),
            ("S235,4,1000,,,2", "a sheet has a length and a width", (2, 8)),
            ("S235,4,1000,-5,,2", "a sheet has a length and a width", (2, 8)),
            ("S235,4,,,0 0 1 1,2", "`0 0 1 1` is not a corner", (2, 10)),
            ("S235,0,1000,500,,2", "a thickness is more than 0", (2, 6)),
            ("S235,4,1000,500,,99999", "at most 10000 sheets", (2, 18)),
            (",4,1000,500,,2", "a material is a row", (2, 1)),
            ("S235,4,1000", "cells in this line: 3, columns of the list: 6", (2, 1)),
        ] {
            let (read, sources) = read_text(&format!("{head}\n{line}\n"));
            let found = read.unwrap_err();
            assert!(found[0].headline.contains(wanted), "{line}: {}", found[0].headline);
            let at = sources.line_and_column(found[0].marks[0].span);
            assert_eq!(at, place, "{line}");
        }
        let line = "7,S235,4,500,400,1";
        let twice =
            format!("id,material,thickness_mm,length_mm,width_mm,quantity\n{line}\n{line}\n");
        let (read, sources) = read_text(&twice);
        let found = read.unwrap_err();
        assert_eq!(found[0].headline, "`no. 7` is in the list twice");
        assert_eq!(sources.line_and_column(found[0].marks[0].span), (3, 1));
        let (read, _) = read_text("materials,thickness_mm\n");
        let found: Vec<String> = read.unwrap_err().into_iter().map(|f| f.headline).collect();
        let wanted = [
            "there is no column `materials`",
            "the column `material` is missing",
            "the column `quantity` is missing",
        ];
        assert_eq!(found, wanted);
    }
}

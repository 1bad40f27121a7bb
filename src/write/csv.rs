//! Lists as CSV of RFC 4180.

use crate::diag::Finding;
use crate::num;
use crate::quantity::KG_PER_LB;
use crate::quantity::MM_PER_INCH;
use crate::quantity::Units;
use crate::write::file::NamedFile;
use serde::Serialize;

/// A list as a file: the head are the names of the fields of a row. Rows are in mm, mm² and kg,
/// and say so in those names; where the `units` are inches, the file is in in, in² and lb, and
/// says so.
///
/// # Errors
/// When a row cannot be written, which is a fault of ours.
pub(crate) fn csv<R: Serialize>(
    name: &str,
    units: Units,
    rows: impl IntoIterator<Item = R>,
) -> Result<NamedFile, Finding> {
    let fault =
        |error: String| Finding::internal("list", format!("{name} cannot be written: {error}"));
    let mut writer = writer();
    for row in rows {
        writer.serialize(row).map_err(|e| fault(e.to_string()))?;
    }
    let bytes = writer.into_inner().map_err(|e| fault(e.to_string()))?;
    let bytes = match units {
        Units::Millimetre => bytes,
        Units::Inch => in_inches(&bytes).map_err(|e| fault(e.to_string()))?,
    };
    Ok(NamedFile { name: name.to_owned(), bytes })
}

fn writer() -> ::csv::Writer<Vec<u8>> {
    ::csv::WriterBuilder::new().terminator(::csv::Terminator::CRLF).from_writer(vec![])
}

/// What a column is in: its ending, that in inches, one of those in these, and the decimals that
/// are kept: a ten-thousandth of an inch of a length.
const COLUMNS: [(&str, &str, f64, usize); 3] = [
    ("mm", "in", MM_PER_INCH, 4),
    ("mm2", "in2", MM_PER_INCH * MM_PER_INCH, 6),
    ("kg", "lb", KG_PER_LB, 6),
];

/// The same list in inches.
fn in_inches(list: &[u8]) -> Result<Vec<u8>, ::csv::Error> {
    let mut reader = ::csv::ReaderBuilder::new().has_headers(false).from_reader(list);
    let mut writer = writer();
    let mut columns: Vec<Option<(f64, usize)>> = Vec::new();
    for (row, record) in reader.records().enumerate() {
        let record = record?;
        if row == 0 {
            let head = record.iter().map(|name| {
                let (name, column) = column(name);
                columns.push(column);
                name
            });
            writer.write_record(head.collect::<Vec<_>>())?;
            continue;
        }
        let cells = record.iter().zip(&columns).map(|(cell, column)| {
            let number = column.and_then(|column| Some((cell.parse::<f64>().ok()?, column)));
            number.map_or_else(
                || cell.to_owned(),
                |(number, (each, decimals))| num::text(number / each, decimals),
            )
        });
        writer.write_record(cells.collect::<Vec<_>>())?;
    }
    writer.into_inner().map_err(|error| error.into_error().into())
}

/// The name of a column in inches, and what its numbers are divided by.
fn column(name: &str) -> (String, Option<(f64, usize)>) {
    let (base, each) = match name.strip_suffix("_each") {
        Some(base) => (base, "_each"),
        None => (name, ""),
    };
    let known = COLUMNS.iter().find_map(|(ending, inches, size, decimals)| {
        let stem = base.strip_suffix(ending)?.strip_suffix('_')?;
        Some((format!("{stem}_{inches}{each}"), Some((*size, *decimals))))
    });
    known.unwrap_or_else(|| (name.to_owned(), None))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[derive(Serialize)]
    struct Row {
        part: &'static str,
        length_mm: &'static str,
        area_mm2_each: &'static str,
        mass_kg_each: &'static str,
        pierces_each: u32,
    }

    /// 25.4 mm are 1 in; 645.16 mm² are 1 in²; 0.45359237 kg are 1 lb.
    #[test]
    fn a_list_in_inches_says_so_and_is() {
        let rows = || {
            let row = ("a, b", "76.2", "1290.32", "0.45359237");
            let (part, length_mm, area_mm2_each, mass_kg_each) = row;
            let row = Row { part, length_mm, area_mm2_each, mass_kg_each, pierces_each: 3 };
            [
                row,
                Row {
                    part: "total",
                    length_mm: "",
                    area_mm2_each: "",
                    mass_kg_each: "",
                    pierces_each: 3,
                },
            ]
        };
        let text = |units| String::from_utf8(csv("x.csv", units, rows()).unwrap().bytes).unwrap();
        assert_eq!(
            text(Units::Inch),
            "part,length_in,area_in2_each,mass_lb_each,pierces_each\r\n\
             \"a, b\",3,2,1,3\r\ntotal,,,,3\r\n"
        );
        assert!(text(Units::Millimetre).starts_with("part,length_mm,area_mm2_each"));
    }
}

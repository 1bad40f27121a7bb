//! Tables of hardware and stock: the shipped ones, and a shop's own laid on top.
//!
//! A table is a CSV file. Its first column is `name`; `source` and `basis` say
//! where the figures of a row come from; every other column is a field. Comment
//! lines start with `#`, unless a digit follows: `#10` is the name of a screw.
//!
//! ```text
//! # Pins we keep.
//! # field diameter: of the shank
//! # text finish: what the pin is coated with
//! name, diameter, finish, source, basis
//! P8,   8 mm,     zinc,   measured,   practice
//! ```
//!
//! A `field` is a column of quantities of one kind, a `text` one of words; of a
//! column that no comment describes, the cells decide. An empty cell is a figure
//! that is not known. The column `also` has other names of the row, with semicolons between
//! them. No kind of table but the gauges is known to the program.

mod blank;
mod claims;
mod column;
mod fault;
mod instead;
mod line;
mod metal;
mod process;
mod radius;
mod read;
mod row;
mod socket;
mod sound;
mod whole;

pub use column::Kind;
pub use fault::TableFault;
pub use process::ProcessLimit;
pub use radius::RadiusBasis;
pub use radius::RadiusLimits;
pub use row::Basis;
pub use row::Cell;
pub use row::Row;
pub use whole::SHIPPED;
pub use whole::Shadowed;
pub use whole::Table;
pub use whole::Tables;

/// The lines of any CSV text that are neither empty nor comments, each cell with its bytes.
pub(crate) fn csv_cells(text: &str) -> Vec<Vec<(String, std::ops::Range<usize>)>> {
    let places = |line: &line::Line| {
        let cell = |(i, cell): (usize, &String)| (cell.clone(), line.cell(text, i));
        line.cells.iter().enumerate().map(cell).collect()
    };
    line::lines(text).iter().filter(|line| !line.is_comment()).map(places).collect()
}

/// What a row of a table is, in words: a rod end, of the table `rod-end`.
pub(crate) fn in_words(table: &str) -> String {
    table.replace('-', " ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::Dimension;
    use crate::quantity::Quantity;
    use crate::table::fault::TableError;
    use std::sync::Arc;

    const PINS: &str = "\
# Pins we keep.
# Ask before taking the last one.
# field diameter: of the shank, greatest
# text finish: coating, if any
name, diameter, finish, source, basis
P8,   8 mm,     zinc,   drawer, practice
P1/4, 1/4 in,   ,       ,
";

    fn with(text: &str) -> Tables {
        let mut tables = Tables::default();
        assert_eq!(tables.add("pin", text), Ok(vec![]));
        tables
    }

    /// Line, the text that is marked, and the words.
    fn refused(mut tables: Tables, name: &str, text: &str) -> Vec<(usize, String, String)> {
        let before = tables.clone();
        let errors = tables.add(name, text).unwrap_err();
        assert_eq!(tables, before, "a refused text leaves no trace");
        let found = |e: TableError| (e.line, text[e.at].to_owned(), e.fault.to_string());
        errors.into_iter().map(found).collect()
    }

    fn mm(tables: &Tables, table: &str, row: &str, field: &str) -> Option<f64> {
        tables.row(table, row)?.quantity(field).map(|q| q.value)
    }

    #[test]
    fn a_table_says_what_it_is_and_what_its_fields_mean() {
        let tables = with(PINS);
        let pin = tables.table("pin").unwrap();
        assert_eq!(pin.about(), "Pins we keep. Ask before taking the last one.");
        let length = Some(Kind::Quantity(Dimension::LENGTH));
        let found = pin.column("diameter").unwrap();
        assert_eq!((found.about.as_str(), found.kind), ("of the shank, greatest", length));
        assert_eq!(pin.column("finish").unwrap().kind, Some(Kind::Text));
        assert_eq!(pin.columns().len(), 2);
    }

    #[test]
    fn an_empty_cell_is_not_known() {
        let tables = with(PINS);
        let (zinc, bare) =
            (tables.row("pin", "p8").unwrap(), tables.row("pin", "P 1/4\"").unwrap());
        assert_eq!((zinc.text("finish"), bare.text("finish")), (Some("zinc"), None));
        assert_eq!((zinc.source(), zinc.basis()), (Some("drawer"), Some(Basis::Practice)));
        assert_eq!((bare.source(), bare.basis()), (None, None));
        assert_eq!(zinc.quantity("finish"), None);
        assert_eq!(bare.fields().count(), 1);
    }

    #[test]
    fn a_laid_row_replaces_and_is_reported() {
        let mut tables = Tables::shipped();
        let rows = tables.table("bolt").unwrap().rows().len();
        let shadowed = tables.add("bolt", "name,normal\nM27,30 mm\n\nm 8,8.7 mm\n").unwrap();
        assert_eq!(shadowed.len(), 1);
        let change = &shadowed[0];
        assert_eq!((change.line, change.was.name(), change.now.name()), (4, "M8", "m 8"));
        assert_eq!(change.was.quantity("normal"), Some(Quantity::length(9.0)));
        assert_eq!(mm(&tables, "bolt", "M8", "normal"), Some(8.7));
        assert_eq!(mm(&tables, "bolt", "M8", "close"), None, "nothing of the old row is left");
        assert_eq!(mm(&tables, "bolt", "M27", "normal"), Some(30.0));
        assert_eq!(tables.table("bolt").unwrap().rows().len(), rows + 1);
        assert_eq!(tables.table("bolt").unwrap().rows().nth(4), Some(&change.now));
    }

    #[test]
    fn a_column_that_was_empty_takes_the_kind_of_what_is_laid() {
        let mut tables = with("name,length\nP8,\n");
        assert_eq!(tables.table("pin").unwrap().column("length").unwrap().kind, None);
        assert_eq!(tables.add("pin", "name,length\nP9,9 mm\n"), Ok(vec![]));
        let kind = tables.table("pin").unwrap().column("length").unwrap().kind;
        assert_eq!(kind, Some(Kind::Quantity(Dimension::LENGTH)));
    }

    #[test]
    fn refuses_a_column_the_table_does_not_have() {
        let text = "name,normel,colour\nM27,30 mm,red\n";
        let mut tables = Tables::shipped();
        let errors = tables.add("bolt", text).unwrap_err();
        let found: Vec<_> = errors.iter().map(|e| (e.to_string(), e.fault.help())).collect();
        assert_eq!(found[0].0, "line 1: the table has no column `normel`");
        assert_eq!(found[0].1, "write `normal`");
        assert_eq!(found[1].1, "remove the column, or make a table of your own");
        assert_eq!(&text[errors[0].at.clone()], "normel");
    }

    #[test]
    fn refuses_bad_cells_with_their_lines_and_all_at_once() {
        let text = "# of ours\nname,diameter,finish\n\"P,8\", 8 mmm ,\"1, 2\"\nP9,9 deg,\n\
            P10,16 ga,\nP1/4\",,\np9,9 mm,\n,1 mm,\nP11,\"11,5 mm\",\n";
        let refused = refused(with(PINS), "pin", text);
        let wanted = [
            (3, "8 mmm", "`diameter`: `mmm` is not a unit"),
            (4, "9 deg", "`diameter` is a length, but this is an angle"),
            (5, "16 ga", "`16 ga` is a gauge: a table needs the thickness itself"),
            (7, "p9", "there is already a row `p9`, on line 4"),
            (8, "", "this row has no name"),
            (
                9,
                "\"11,5 mm\"",
                "`diameter`: `11,5 mm` has a comma: decimals are written with a point",
            ),
        ];
        let wanted = wanted.map(|(line, at, said)| (line, at.to_owned(), said.to_owned()));
        assert_eq!(refused, wanted);
    }

    #[test]
    fn refuses_what_is_no_table() {
        let empty = Tables::default;
        for (text, line, at, said) in [
            ("", 1, "", "a table needs a line that names its columns"),
            ("# nothing\n", 1, "# nothing\n", "a table needs a line that names its columns"),
            (
                "size;width\n1;2\n",
                1,
                "size;width",
                "the first column of a table is `name`, not `size;width`",
            ),
            (
                "name,Ball Width\n",
                1,
                "Ball Width",
                "`Ball Width` is not a field name: lower-case letters, digits and `_`, a letter first",
            ),
            ("name,a,a\n", 1, "a", "there are two columns `a`"),
            ("name,a\nx,1,2\n", 2, "x,1,2", "this line has 3 cells, but there are 2 columns"),
            (
                "name,a\n\"x,1\ny,2\n",
                2,
                "\"x,1",
                "a cell in quotation marks runs over the end of this line",
            ),
            (
                "# field b: width\nname,a\nx,1\n",
                1,
                "# field b: width",
                "the table has no column `b`",
            ),
            (
                "# field a: width\nname,a\nx,wide\n",
                3,
                "wide",
                "`a`: `wide` does not start with a number",
            ),
            ("name,a,basis\nx,1,sen\n", 2, "sen", "`sen` is not a basis"),
        ] {
            let found = refused(empty(), "own", text);
            assert_eq!(found, [(line, at.to_owned(), said.to_owned())], "{text:?}");
        }
    }

    #[test]
    fn a_table_saved_by_a_spreadsheet_is_read_alike() {
        let saved = "\u{feff}# Pins we keep.,,,,\r\n# Ask before taking the last one.,,,,\r\n\
            \"# field diameter: of the shank, greatest\",,,,\r\n\
            \"# text finish: coating, if any\",,,,\r\nname,diameter,finish,source,basis\r\n\
            P8,8 mm,zinc,drawer,practice\r\nP1/4,1/4 in,,,\r\n,,,,\r\n";
        assert_eq!(with(saved), with(PINS));
    }

    #[test]
    fn number_sizes_are_no_comments() {
        let tables = with("name,diameter\n#10,0.19 in\n# 8,0.164 in\n");
        assert_eq!(tables.table("pin").unwrap().rows().len(), 1);
        assert!(tables.row("pin", "#10").is_some());
    }

    #[test]
    fn gauges_are_looked_up_by_metal() {
        let tables = Tables::shipped();
        let inch = |metal, number| tables.gauge(metal, number).map(|q| q.value / 25.4);
        let near = |got: Option<f64>, wanted: f64| (got.unwrap() - wanted).abs() < 1e-9;
        assert!(near(inch("steel", 16), 0.0598));
        assert!(near(inch("Aluminum", 16), 0.0508));
        assert!(near(inch("stainless ", 16), 0.0625));
        assert_eq!((inch("brass", 16), inch("steel", 30)), (None, None));
    }

    #[test]
    fn every_shipped_file_can_be_read_and_says_what_it_is() {
        for (name, text) in SHIPPED {
            let laid = Tables::default().add(name, text);
            assert_eq!(laid, Ok(vec![]), "{name}");
        }
        let tables = Tables::shipped();
        for table in tables.names().filter_map(|name| tables.table(name)) {
            assert!(!table.about().is_empty() && table.rows().len() > 2, "{}", table.name());
            for column in table.columns() {
                assert!(!column.about.is_empty(), "{} {}", table.name(), column.name);
                // What manufacturers do not agree on is left to the shop's own table.
                let is_open = table.rows().all(|row| row.quantity(&column.name).is_none());
                let is_known = column.kind.is_some() || is_open;
                assert!(is_known, "{} {}", table.name(), column.name);
            }
            for row in table.rows() {
                assert!(
                    row.source().is_some() && row.basis().is_some(),
                    "{} {}",
                    table.name(),
                    row.name()
                );
            }
        }
    }

    #[test]
    fn every_shipped_size_is_known_and_more_than_nothing() {
        /// Fields that published tables leave open for some rows.
        const OPEN: &[&str] = &[
            "bolt close",
            "bolt normal",
            "bolt loose",
            "bolt head_flats",
            "bolt washer_outside",
            "bolt washer_thickness",
            "rod-end head_listed",
            "rod-end static_load",
            "material yield",
            "bend-limit r_5083_h321",
            "bend-limit-metric r_5754_h22",
            "bend-limit-metric r_6082_t6",
            "bend-limit-metric r_7075_t6",
            "bend-limit-steel r_s355mc",
            "bend-limit-steel r_304",
            "material welded_yield",
            "material welded_tensile",
            "tube design_wall",
            "tube inside",
            "tube across",
            "tolerance length",
            "tolerance angle",
            "tolerance share",
            "general-tolerance up_to_3",
            "cut-tolerance up_to_3",
            "insert max_thickness",
            "bush length",
            "min-radius r_304",
            "screw-head counterbore",
            "min-radius r_302",
        ];
        let tables = Tables::shipped();
        for table in tables.names().filter_map(|name| tables.table(name)) {
            for column in table.columns() {
                let Some(Kind::Quantity(_)) = column.kind else { continue };
                let place = format!("{} {}", table.name(), column.name);
                let blank = table.rows().filter(|row| row.field(&column.name).is_none()).count();
                assert_eq!(blank > 0, OPEN.contains(&place.as_str()), "{place}: {blank} blank");
                let known = table.rows().filter_map(|row| row.quantity(&column.name));
                // Soft sheet may be bent flat, and not every insert has a body below the sheet:
                // only there is 0 a figure.
                let may_be_zero = table.name().starts_with("bend-limit") || place == "insert body";
                let min = if may_be_zero { -1.0 } else { 0.0 };
                assert!(known.into_iter().all(|q| q.value > min), "{place}");
            }
        }
        let no_holes = |row: &&Arc<Row>| row.field("normal").is_none();
        let bolts: Vec<_> = tables.table("bolt").unwrap().rows().filter(no_holes).collect();
        assert_eq!(bolts.iter().map(|row| row.name()).collect::<Vec<_>>(), ["9/16"]);
    }

    #[test]
    fn a_cell_that_names_a_row_names_one_that_is_there() {
        let tables = Tables::shipped();
        let mut seen = 0;
        for row in tables.names().filter_map(|name| tables.table(name)).flat_map(Table::rows) {
            for (field, cell) in row.fields() {
                let (Some(table), Cell::Text(name)) = (tables.table(field), cell) else { continue };
                assert!(
                    table.row(name).is_some(),
                    "{} {}: {field} {name}",
                    row.table(),
                    row.name()
                );
                seen += 1;
            }
            if let Some(column) = row.text("bend_table") {
                let has = |table| tables.table(table).unwrap().column(column).is_some();
                let tables = ["min-radius", "bend-limit", "bend-limit-metric", "bend-limit-steel"];
                assert!(tables.into_iter().any(has), "{column}");
            }
            if let Some(metal) = row.text("metal") {
                assert!(tables.gauge(metal, 16).is_some(), "{metal}");
            }
        }
        assert!(seen > 40, "{seen}");
    }

    #[test]
    fn shipped_figures_agree_with_each_other() {
        let tables = Tables::shipped();
        let value = |row: &Row, field: &str| row.quantity(field).map(|q| q.value);
        for row in tables.table("bolt").unwrap().rows() {
            let get = |field| value(row, field);
            let (diameter, tap) = (get("diameter").unwrap(), get("tap_drill").unwrap());
            let rule = diameter - get("pitch").unwrap();
            assert!(
                (tap - rule).abs() < 0.05 * diameter,
                "{}: drill {tap}, rule {rule}",
                row.name()
            );
            let holes =
                [Some(diameter), get("close"), get("normal"), get("loose"), get("washer_outside")];
            let known: Vec<_> = holes.into_iter().flatten().collect();
            assert!(known.is_sorted_by(|a, b| a < b), "{}: {known:?}", row.name());
        }
        for row in tables.table("nut").unwrap().rows() {
            let (flats, corners) = (value(row, "flats").unwrap(), value(row, "corners").unwrap());
            let sharp = flats / crate::num::Angle::from_degrees(30.0).cos();
            assert!((corners - sharp).abs() < 0.03, "{}: {corners} for {sharp}", row.name());
        }
        for row in tables.table("rod-end").unwrap().rows() {
            let widths = ["bore", "ball_width", "head"].map(|field| value(row, field).unwrap());
            assert!(widths.is_sorted_by(|a, b| a < b), "{}: {widths:?}", row.name());
            assert!(value(row, "body_width") < value(row, "ball_width"), "{}", row.name());
        }
        for row in tables.table("tube").unwrap().rows() {
            let (outside, wall) = (value(row, "outside").unwrap(), value(row, "wall").unwrap());
            let bore = (row.text("shape") == Some("round")).then_some(outside - 2.0 * wall);
            let off = value(row, "inside").zip(bore).map(|(a, b)| (a - b).abs() < 1e-9);
            assert_eq!(off, bore.map(|_| true), "{}", row.name());
        }
    }

    proptest::proptest! {
        #[test]
        fn any_text_is_laid_or_refused_with_places_in_it(text in "(name,a\n)?[na#:1mé,\"; \r\n\u{feff}]{0,60}") {
            for mut tables in [Tables::default(), with("name,a,m\nn,1 mm,a\n")] {
                for error in tables.add("pin", &text).err().unwrap_or_default() {
                    proptest::prop_assert!(text.get(error.at.clone()).is_some(), "{error:?}");
                    let line = text[..error.at.start].matches('\n').count() + 1;
                    proptest::prop_assert_eq!(line, error.line, "{:?}", error);
                }
            }
        }
    }
}

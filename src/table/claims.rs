//! Names that two rows claim.

use crate::table::fault::TableError;
use crate::table::fault::TableFault;
use crate::table::line::Line;
use crate::table::row::ALSO;
use crate::table::row::key;
use crate::table::row::names;
use indexmap::IndexMap;

/// Reports each name, own or other, that another row has already: in this text, or, if `means` says
/// so, in the table it is added to. Rows of one own name are not compared.
pub(super) fn check<'t>(
    text: &str,
    header: &Line,
    rows: &'t [Line],
    means: impl Fn(&str) -> Option<&'t str>,
    errors: &mut Vec<TableError>,
) {
    let also = header.cells.iter().position(|cell| cell == ALSO);
    let mut claimed: IndexMap<String, &str> =
        rows.iter().map(|line| (key(&line.cells[0]), line.cells[0].as_str())).collect();
    for line in rows {
        let own = line.cells[0].as_str();
        if let Some(other) = means(own).filter(|other| key(other) != key(own)) {
            errors.push(line.error(text, 0, fault(own, other)));
        }
        let Some((i, cell)) = also.map(|i| (i, &line.cells[i])) else { continue };
        for name in names(cell) {
            let here = *claimed.entry(key(name)).or_insert(own);
            let other = [Some(here), means(name)].into_iter().flatten();
            if let Some(other) = other.into_iter().find(|other| key(other) != key(own)) {
                errors.push(line.error(text, i, fault(name, other)));
            }
        }
    }
}

fn fault(name: &str, other: &str) -> TableFault {
    TableFault::Claimed { name: name.to_owned(), row: other.to_owned() }
}

#[cfg(test)]
mod tests {
    use crate::table::Tables;

    fn laid(table: &str, text: &str) -> Result<Tables, Vec<(usize, String, String)>> {
        let mut tables = Tables::shipped();
        let found = |e: crate::table::fault::TableError| {
            (e.line, text[e.at].to_owned(), e.fault.to_string())
        };
        let laid = tables.add(table, text);
        laid.map(|_| tables).map_err(|errors| errors.into_iter().map(found).collect())
    }

    #[test]
    fn a_row_is_found_by_its_other_names() {
        let tables = Tables::shipped();
        for (typed, name) in [
            ("1.4301", "304"),
            ("x5crni18-10", "304"),
            ("S355J2", "S355"),
            ("S235JR", "S235"),
            ("42CrMo4+QT", "42CrMo4-QT"),
            ("EN AW-6082-T6", "6082-T6"),
            ("304", "304"),
        ] {
            assert_eq!(tables.row("material", typed).map(|row| row.name()), Some(name), "{typed}");
        }
        assert_eq!(tables.row("material", "1.4305"), None);
    }

    /// A certificate's own row by the name of the shipped one keeps its other names.
    #[test]
    fn a_row_in_place_of_another_keeps_its_other_names() {
        let own = "name,metal,yield\n304,stainless,250 MPa\n";
        let tables = laid("material", own).unwrap();
        for name in ["304", "1.4301"] {
            assert_eq!(tables.row("material", name).unwrap().measure("yield"), 250.0, "{name}");
        }
    }

    #[test]
    fn other_names_are_added_by_an_own_table_of_any_kind() {
        let own =
            "name,also,shape,outside,wall\nour 38,pipe of the frame; frame 38,round,38 mm,2 mm\n";
        let tables = laid("tube", own).unwrap();
        assert_eq!(tables.row("tube", "Frame 38").map(|row| row.name()), Some("our 38"));
        assert!(tables.table("tube").unwrap().column("also").is_some());
        // A number is a name there.
        assert!(laid("material", "name,also\nA1,1.9999\n").is_ok());
    }

    #[test]
    fn a_name_that_two_rows_claim_is_refused() {
        let said = |name: &str, row: &str| format!("`{name}` is already a name of the row `{row}`");
        for (text, line, at, words) in [
            ("name,metal\n1.4301,stainless\n", 2, "1.4301", said("1.4301", "304")),
            ("name,also\nA1,S235\n", 2, "S235", said("S235", "S235")),
            ("name,also\nA1,one; 1.4301\n", 2, "one; 1.4301", said("1.4301", "304")),
            ("name,also\nA1,one\nA2,One\n", 3, "One", said("One", "A1")),
            ("name,also\nA1,A2\nA2,\n", 2, "A2", said("A2", "A2")),
        ] {
            let found = laid("material", text).unwrap_err();
            assert_eq!(found, [(line, at.to_owned(), words)], "{text:?}");
        }
    }

    #[test]
    fn a_name_nearly_typed_is_offered_by_its_other_name_as_well() {
        assert_eq!(Tables::shipped().instead("material", "1.4302"), "write `1.4301`");
    }
}

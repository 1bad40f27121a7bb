//! A row to fill in for a table of one's own.

use crate::quantity::Units;
use crate::table::column::Kind;
use crate::table::row::ALSO;
use crate::table::row::Basis;
use crate::table::row::Cell;
use crate::table::row::Row;
use crate::table::whole::Table;

/// The name of the row to fill in.
const NAME: &str = "NAME";

impl Table {
    /// The text of a user's own table with one row to fill in: what each column means, the first
    /// existing row as an example, and cells that may be left empty, except the source. With it, the
    /// text can be added to this table.
    pub fn blank(&self) -> String {
        let mut lines = vec![
            format!("# A row of your own for the {} table: {}", self.name(), self.about()),
            format!("# Save this as tables/{}.csv beside the job, with one line for each row.", self.name()),
            "# Leave a cell empty if you do not know the figure: a check that needs it then stops the part, or \
             reports that it cannot judge it."
                .into(),
            "#".into(),
        ];
        lines.extend(self.columns().iter().map(|column| {
            let kind = if column.kind == Some(Kind::Text) { "text" } else { "field" };
            format!("# {kind} {}: {}", column.name, column.about)
        }));
        let words: Vec<_> = Basis::WORDS.iter().map(|(word, _)| *word).collect();
        lines.push("#".into());
        lines.push(
            "# source: where the figures are from, in a few words; an empty cell is refused".into(),
        );
        lines.push(format!("# basis: how reliable they are: {}", words.join(", ")));
        if let Some(row) = self.rows().next() {
            lines.push(format!("# for example: {}", self.cells(row).join(", ")));
        }
        let fields = self.columns().iter().map(|column| column.name.as_str());
        let head: Vec<_> = ["name"].into_iter().chain(fields).chain(["source", "basis"]).collect();
        lines.push(head.join(", "));
        let empty = ", ".repeat(self.columns().len());
        lines.push(format!("{NAME}, {empty}, "));
        lines.iter().map(|line| format!("{}\n", line.trim_end())).collect()
    }

    /// A row as typed, except for its other names.
    fn cells(&self, row: &Row) -> Vec<String> {
        let cell = |field: &str| match row.field(field) {
            Some(Cell::Text(_)) if field == ALSO => String::new(),
            Some(Cell::Text(text)) => text.clone(),
            Some(Cell::Quantity(quantity)) => quantity.show(Units::Millimetre),
            None => String::new(),
        };
        let mut cells = vec![row.name().to_owned()];
        cells.extend(self.columns().iter().map(|column| cell(&column.name)));
        cells.push(row.source().unwrap_or_default().to_owned());
        cells.extend(row.basis().map(|basis| basis.word().to_owned()));
        cells
    }
}

#[cfg(test)]
mod tests {
    use crate::table::Tables;

    /// The printed text can be saved with a source: the row is there, with no values known. A tube
    /// needs its section as well.
    #[test]
    fn a_row_to_fill_in_can_be_laid_on_its_table() {
        let shipped = Tables::shipped();
        for table in shipped.names().filter_map(|name| shipped.table(name)) {
            let (name, text) = (table.name(), table.blank());
            let mut tables = shipped.clone();
            let errors = tables.add(name, &text).unwrap_err();
            let said: Vec<String> = errors.iter().map(|error| error.fault.to_string()).collect();
            let needed: &[&str] = match name {
                "tube" => &["`shape`", "`outside`", "`wall`"],
                _ => &[],
            };
            let wanted = needed.iter().chain(&["source"]);
            let wanted: Vec<String> =
                wanted.map(|what| format!("this row has no {what}")).collect();
            assert_eq!(said, wanted, "{name}");
            let text = format!("{} ours,\n", text.strip_suffix(" ,\n").unwrap());
            if !needed.is_empty() {
                let errors = tables.add(name, &text).unwrap_err();
                assert_eq!(errors.len(), needed.len(), "{name}: {errors:?}");
                continue;
            }
            assert_eq!(tables.add(name, &text), Ok(vec![]), "{name}: {text}");
            let row = tables.row(name, "NAME").unwrap();
            assert_eq!((row.fields().count(), row.basis()), (0, None), "{name}");
            for column in table.columns() {
                assert!(text.contains(&format!(" {}: {}", column.name, column.about)), "{text}");
            }
        }
    }

    #[test]
    fn a_row_to_fill_in_has_the_first_row_as_an_example() {
        let text = Tables::shipped().table("washer").unwrap().blank();
        let example = "# for example: M3 large, M3, large, 3.2 mm, 9 mm, 0.9 mm, ISO 7093 (copied in bd_warehouse), copy\n";
        assert!(text.contains(example), "{text}");
        let row = "name, bolt, kind, bore, outside, thickness, source, basis\nNAME, , , , , , ,\n";
        assert!(text.ends_with(row), "{text}");
    }
}

//! How far sheets and cuts differ from the drawing, from the tables.

use crate::table::Row;
use crate::table::Tables;

/// Deviation of the thickness of a sheet, mm, plus or minus: the first row of the table
/// `sheet-tolerance` that is thick enough, or its last.
pub(crate) fn sheet_tolerance(thickness: f64, tables: &Tables) -> f64 {
    let Some(table) = tables.table("sheet-tolerance") else { return 0.0 };
    let enough = |row: &&std::sync::Arc<Row>| thickness <= row.measure("up_to");
    let row = table.rows().find(enough).or_else(|| table.rows().last());
    row.map_or(0.0, |row| row.measure("tolerance"))
}

/// How far a cut dimension of `length` mm differs, either way: ISO 9013 by the class that the
/// table `process` names, its thickest row for what is thicker; ISO 2768-1 medium where it
/// names no class.
pub(crate) fn cut_tolerance(process: &str, thickness: f64, length: f64, tables: &Tables) -> f64 {
    let class = tables.row("process", process).and_then(|row| row.text("cut_class"));
    let of_class = |class: &str| {
        let prefix = format!("{class} ");
        let of_class = |row: &&std::sync::Arc<Row>| row.name().starts_with(&prefix);
        let mut rows: Vec<_> = tables.table("cut-tolerance")?.rows().filter(of_class).collect();
        let last = rows.pop()?;
        let enough = rows.into_iter().find(|row| thickness <= row.measure("thickness"));
        by_length(enough.unwrap_or(last), length)
    };
    let general = || by_length(tables.row("general-tolerance", "m")?, length);
    class.and_then(of_class).or_else(general).unwrap_or(0.0)
}

/// The first field `up_to_…` that reaches the length and is known; the last for what is longer.
fn by_length(row: &Row, length: f64) -> Option<f64> {
    let mut last = None;
    for (field, _) in row.fields() {
        let Some(max) = field.strip_prefix("up_to_").and_then(|n| n.parse::<f64>().ok()) else {
            continue;
        };
        last = row.quantity(field).map(|q| q.value).or(last);
        if length <= max && last.is_some() {
            return last;
        }
    }
    last
}

#[cfg(test)]
mod tests {
    use super::*;

    /// ISO 9013:2017 class 1, ISO 2768-1 m: rows of the tables, by hand.
    #[test]
    fn the_row_and_the_column_are_those_of_the_standards() {
        let tables = Tables::shipped();
        let near = |a: f64, b: f64| (a - b).abs() < 1e-9;
        assert!(near(cut_tolerance("laser", 4.0, 60.0, &tables), 0.25));
        assert!(near(cut_tolerance("laser", 4.7625, 14.36, &tables), 0.25));
        assert!(near(cut_tolerance("plasma", 4.0, 60.0, &tables), 0.9));
        assert!(near(cut_tolerance("waterjet", 4.0, 14.36, &tables), 0.2));
        assert!(near(cut_tolerance("plasma", 10.0, 14.0, &tables), 0.9));
        assert!(near(cut_tolerance("laser", 8.0, 2.0, &tables), 0.25));
        assert!(near(sheet_tolerance(4.0, &tables), 0.22));
        assert!(near(sheet_tolerance(60.0, &tables), 0.4));
    }
}

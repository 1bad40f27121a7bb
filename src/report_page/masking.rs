//! The section of the page on plugging and masking before coating.

use crate::report_page::Page;
use crate::report_page::html::Html;
use crate::report_page::table::Table;

impl Page<'_> {
    pub(super) fn masking(&self) -> Html {
        let rows = &self.report.masking;
        if rows.is_empty() {
            return Html::default();
        }
        let mut table = Table::new(
            "masking-table",
            "Plugged or masked before coating, all pieces together",
            &["Cover", "Part", "Place", "What", "Diameter", "Qty"],
        );
        for row in rows {
            table.row([
                row.cover.to_owned(),
                row.part.clone(),
                row.place.clone(),
                row.what.clone(),
                self.length(row.diameter_mm),
                row.quantity.to_string(),
            ]);
        }
        table.html()
    }
}

//! The section of the page on the work at the bench.

use crate::report_page::Page;
use crate::report_page::html::Html;
use crate::report_page::table::Table;

impl Page<'_> {
    pub(super) fn bench(&self) -> Html {
        let rows = &self.report.bench;
        if rows.is_empty() {
            return Html::default();
        }
        let head = ["No.", "Stage", "Of", "Qty", "What"];
        let mut table = Table::new("bench-table", "In the order of the work", &head);
        for (i, row) in rows.iter().enumerate() {
            table.row([
                (i + 1).to_string(),
                row.stage.to_owned(),
                row.of.clone(),
                row.quantity.to_string(),
                row.what.replace('`', ""),
            ]);
        }
        table.html()
    }
}

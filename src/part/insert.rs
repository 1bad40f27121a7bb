//! The threaded inserts of holes.

use crate::diag::Finding;
use crate::formula::Value;
use crate::part::values::Values;
use crate::recipe;
use crate::recipe::Side;
use crate::table::Row;
use std::sync::Arc;

/// A thread that is set, pressed or welded into a hole.
#[derive(Clone, Debug)]
pub struct Insert {
    /// Its row of the table `insert`.
    pub row: Arc<Row>,
    /// On which side its head is.
    pub side: Side,
}

impl Insert {
    /// What is done with it: `set rivet nut M6, head on the top side`.
    pub(crate) fn work(&self) -> String {
        let (name, side) = (self.row.name(), self.side.word());
        match self.row.text("kind") {
            Some("rivet nut") => format!("set {name} after coating, head on the {side}"),
            Some("press nut") => format!("press in {name} from the {side}"),
            _ => format!("weld {name} on the {side}"),
        }
    }

    /// Whether its thread is there before the part is coated.
    pub(crate) fn is_coated(&self) -> bool {
        self.row.text("kind") != Some("rivet nut")
    }
}

/// The insert that an input or a row of the table is; `None` after a finding.
pub(super) fn build(insert: &recipe::Insert, values: &Values) -> Option<Insert> {
    let row = match values.params.get(&insert.name) {
        Some(Value::Row(row)) if row.table() == "insert" => Some(row),
        Some(_) => None,
        None => values.tables.row("insert", &insert.name),
    };
    if row.is_none() {
        let headline = format!("there is no insert `{}`", insert.name);
        values.findings.add(
            Finding::stop("unknown-row", headline)
                .at(insert.span, "")
                .help("`platewright tables insert` lists them; or name an input of kind `insert`"),
        );
    }
    Some(Insert { row: row?.clone(), side: insert.side })
}

//! The threaded inserts of holes.

use crate::diag::Finding;
use crate::diag::nearest;
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
    /// The fitting instruction: `set M6 rivet nut after coating, head on the top side`.
    pub(crate) fn work(&self) -> String {
        let (name, side) = (self.thread_first(), self.side.word());
        match self.row.text("kind") {
            Some("rivet nut") => format!("set {name} after coating, head on the {side}"),
            Some("press nut") => format!("press in {name} from the {side}"),
            _ => format!("weld on {name}, {side}"),
        }
    }

    /// Its name with the kind last: `M8 weld nut`, so that no verb meets the `weld` of a name.
    pub(crate) fn thread_first(&self) -> String {
        let (name, kind) = (self.row.name(), self.row.text("kind").unwrap_or_default());
        match name.strip_prefix(kind) {
            Some(thread) if !kind.is_empty() => format!("{} {kind}", thread.trim_start()),
            _ => name.to_owned(),
        }
    }

    /// One of them, with its article: `an M8 weld nut`.
    pub(crate) fn one(&self) -> String {
        let name = self.thread_first();
        let an = name.starts_with(['M', '8']) || name.starts_with("11") || name.starts_with("18");
        format!("{} {name}", if an { "an" } else { "a" })
    }

    /// Whether its thread is there before the part is coated.
    pub(crate) fn is_coated(&self) -> bool {
        self.row.text("kind") != Some("rivet nut")
    }
}

/// The insert that an input or a row of the table is; `None` after a finding.
pub(super) fn build(insert: &recipe::Insert, values: &Values) -> Option<Insert> {
    let word = &insert.name.word;
    let row = values.row(&insert.name, "insert")?.filter(|row| row.table() == "insert");
    if row.is_none() {
        let headline = format!("there is no insert `{word}`");
        values.findings.add(
            Finding::stop("unknown-row", headline).at(insert.span, "").help(instead(word, values)),
        );
    }
    Some(Insert { row: row?, side: insert.side })
}

/// What to write for a name that no insert has: the nearest row, those of the kind it names, or
/// where all are.
fn instead(typed: &str, values: &Values) -> String {
    let rows: Vec<&Row> = values
        .tables
        .table("insert")
        .into_iter()
        .flat_map(|t| t.rows())
        .map(AsRef::as_ref)
        .collect();
    if let Some(near) = nearest(typed, rows.iter().map(|row| row.name())) {
        return format!("write `{near}`");
    }
    let is_meant = |row: &&&Row| row.text("kind").is_some_and(|kind| typed.contains(kind));
    let alike: Vec<&str> = rows.iter().filter(is_meant).map(|row| row.name()).collect();
    match alike.is_empty() {
        true => "`platewright tables insert` lists them; or name an input of kind `insert`".into(),
        false => format!("choose from {}", alike.join(", ")),
    }
}

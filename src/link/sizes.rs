//! The sizes of a link's tube to choose from, and bungs that are turned to suit them.

use crate::diag::Finding;
use crate::document::Findings;
use crate::document::Item;
use crate::document::Value;
use crate::entry;
use crate::link::setting::Link;
use crate::quantity::Dimension;
use crate::quantity::Quantity;
use crate::table::Row;
use crate::table::Tables;
use std::sync::Arc;

/// How much less than the bore of its tube the spigot of a turned bung is, mm: as in the table
/// `bung`, common practice for a sliding fit.
const SLIDES: f64 = 0.1;

/// Maximum number of sizes to choose from. Our choice: each is looked at in the whole machine.
const MAX: usize = 100;

/// In place of a row of the table `bung`.
pub(super) const TURNED: &str = "turned";

/// The rows that the entry `tube` names: one, or a list to choose from; nothing where something was
/// reported.
pub(super) fn rows(item: &Item, tables: &Tables, findings: &Findings) -> Option<Vec<Arc<Row>>> {
    let Value::List(items) = &item.value else {
        return entry::row(item, "tube", tables, findings).map(|row| vec![row]);
    };
    if items.is_empty() {
        let finding = Finding::stop("wrong-kind", "`tube` is an empty list");
        let finding = finding.at(item.span, "");
        findings
            .add(finding.help("list rows of the `tube` table: `tube = [\"25 x 2\", \"28 x 2\"]`"));
        return None;
    }
    if items.len() > MAX {
        let headline = format!("there are more than {MAX} tubes to choose from");
        let finding = Finding::stop("too-many", headline).at(item.span, "");
        findings.add(finding.help("shorten the list"));
        return None;
    }
    let rows: Vec<Option<Arc<Row>>> =
        items.iter().map(|item| entry::row(item, "tube", tables, findings)).collect();
    rows.into_iter().collect()
}

/// A link with the first of these tubes, and with all of them to choose from where there are more;
/// bungs are turned to suit at the ends that ask for that.
pub(super) fn of_tubes(link: &Link, tubes: &[Arc<Row>], turned: [bool; 2]) -> Link {
    let sizes: Vec<Link> = tubes.iter().map(|tube| sized(link, tube, turned)).collect();
    match sizes.as_slice() {
        [first, _, ..] => Link { sizes: sizes.clone(), ..first.clone() },
        [only] => only.clone(),
        [] => link.clone(),
    }
}

/// A link with this tube, and with bungs turned to suit it at the ends that ask for that.
fn sized(link: &Link, tube: &Arc<Row>, turned: [bool; 2]) -> Link {
    let mut made = Link { tube: Arc::clone(tube), ..link.clone() };
    for (end, turned) in made.ends.iter_mut().zip(turned) {
        if turned {
            end.bung = turned_bung(&end.bung, tube);
        }
    }
    made
}

/// A bung of the thread, its spigot turned for a tube. If the bore is smaller than the spigot of
/// the row there is too little metal round the thread: the row is kept, which does not fit.
fn turned_bung(row: &Arc<Row>, tube: &Row) -> Arc<Row> {
    let spigot = tube.measure("inside") - SLIDES;
    if tube.text("shape") != Some("round") || spigot <= row.measure("spigot") {
        return Arc::clone(row);
    }
    let quantity = Quantity { value: spigot, dimension: Dimension::LENGTH };
    let name = format!("{} turned for {}", row.name(), tube.name());
    Arc::new(row.with(&[("spigot".to_owned(), quantity)]).named(name))
}

impl Link {
    /// Whether its tube is to be chosen.
    pub(crate) fn is_open(&self) -> bool {
        self.sizes.len() > 1
    }

    /// The area of its tube times its cut length, mm³: what the tubes to choose from are compared by.
    pub(crate) fn metal(&self) -> f64 {
        let (outside, wall) = (self.tube.measure("outside"), self.tube.measure("wall"));
        crate::num::PI * wall * (outside - wall) * self.setting().cut
    }
}

//! A `[[link]]` of a job to [`Link`].

use crate::diag::Finding;
use crate::document::Entry;
use crate::document::Fields;
use crate::document::Findings;
use crate::document::Item;
use crate::document::Value;
use crate::entry;
use crate::link::setting::End;
use crate::link::setting::Hand;
use crate::link::setting::Link;
use crate::link::setting::Places;
use crate::link::setting::deepest;
use crate::link::sizes;
use crate::quantity::Dimension;
use crate::table::Row;
use crate::table::Tables;
use std::sync::Arc;

/// Share of the bung's thread that is engaged to start with: common practice, so that there
/// is room to set the link both ways. Where the rod end's thread is short, the same share of
/// the way from least engagement to the deepest.
const START: f64 = 0.75;

/// Maximum quantity of one link. Our choice.
const MAX: u32 = 10_000;

/// Reads a link; `None` when something was reported.
pub(crate) fn read(item: &Item, tables: &Tables, findings: &Findings) -> Option<Link> {
    let fields = Fields::of(item, findings)?;
    let name = fields.needed_label("name", "\"drag-link\"").map(str::to_owned);
    let quantity = if fields.has("quantity") { fields.count("quantity", MAX) } else { Some(1) };
    let pins = fields.need("pins", "\"900 mm\"");
    let length = |name: &str| fields.get(name).and_then(|i| more_than_nothing(i, findings));
    let (engagement, min) = (length("engagement"), length("min_engagement"));
    fields.need("rod_end", "\"M10\"");
    let pairs = PAIRS.map(|of| pair(&fields, of));
    let named = |name: &str, table: &str| {
        fields.get(name).and_then(|i| entry::row(i, table, tables, findings))
    };
    let material = named("material", "material");
    let tubes = fields.get("tube").and_then(|item| sizes::rows(item, tables, findings));
    let place = |name: &str| fields.get(name).map(|i| i.span);
    let places = Places {
        name: fields.get("name").map_or(item.span, |i| i.letters),
        pins: pins.map_or(item.span, |i| i.letters),
        tube: place("tube"),
        hand: place("hand"),
        engagement: place("engagement"),
    };
    let pins = pins.and_then(|i| more_than_nothing(i, findings));
    let (has_tube, has_engagement) = (fields.has("tube"), fields.has("engagement"));
    fields.finish();
    let [rod_ends, hands, bungs, spacers, ratings] = pairs;
    let reader = Reader { tables, findings, engagement };
    let end = |i: usize, hand| {
        reader.end(
            rod_ends.as_ref()?[i].clone(),
            hands.as_ref().map(|p| &p[i].item),
            hand,
            bungs.as_ref().map(|p| &p[i].item),
            (spacers.as_ref().map(|p| &p[i]), ratings.as_ref().map(|p| &p[i].item)),
        )
    };
    // Both ends may come from one value: its error is reported once.
    let first = end(0, Hand::Right)?;
    let second = end(1, Hand::Left)?;
    if (has_tube && tubes.is_none()) || (has_engagement && engagement.is_none()) {
        return None;
    }
    let tubes = tubes.or_else(|| Some(vec![reader.tube(&first)?]))?;
    let shank = |end: &End| end.rod_end.measure("shank");
    let usual = shank(&first).max(shank(&second));
    let link = Link {
        name: name?,
        quantity: quantity?,
        pins: pins?,
        tube: Arc::clone(&tubes[0]),
        material,
        min: min.unwrap_or(usual),
        places,
        ends: [first, second],
        sizes: Vec::new(),
        chosen: None,
    };
    let turned = bungs.map_or([false; 2], |pair| pair.map(|entry| is_turned(&entry.item)));
    Some(sizes::of_tubes(&link, &tubes, turned))
}

struct Reader<'a> {
    tables: &'a Tables,
    findings: &'a Findings,
    engagement: Option<f64>,
}

impl Reader<'_> {
    fn end(
        &self,
        rod_end_entry: Entry,
        hand: Option<&Item>,
        usual: Hand,
        bung: Option<&Item>,
        (spacer, rating): (Option<&Entry>, Option<&Item>),
    ) -> Option<End> {
        let item = &rod_end_entry.item;
        let rod_end = entry::row(item, "rod-end", self.tables, self.findings)?;
        let needed = ["head", "shank", "length", "threaded"];
        if !entry::has(&rod_end, &needed, ("a link", item), self.tables, self.findings) {
            return None;
        }
        let thread = rod_end.text("thread").unwrap_or_default().to_owned();
        let of_thread = |table: &str| self.of_thread(table, &thread, item);
        let bung = match bung {
            Some(item) if is_turned(item) => of_thread("bung"),
            Some(item) => entry::row(item, "bung", self.tables, self.findings),
            None => of_thread("bung"),
        };
        let (row, jam_nut) = (of_thread("thread"), of_thread("jam-nut"));
        let hand = hand.map_or(Some(usual), |item| self.hand(item));
        let thickness = match spacer {
            Some(entry) => entry::length(&entry.item, self.findings),
            None => Some(0.0),
        };
        let listed = rod_end.quantity("static_load").map(|load| load.value);
        let rating = match rating {
            Some(item) => self.rating(item).map(Some),
            None => Some(listed),
        };
        let (bung, jam_nut) = (bung?, jam_nut?);
        let engagement = self.engagement.unwrap_or_else(|| {
            let (min, deepest) = (rod_end.measure("shank"), deepest(&rod_end, &jam_nut));
            (START * bung.measure("length")).min(min + START * (deepest - min))
        });
        Some(End {
            rod_end,
            thread: row?,
            engagement,
            bung,
            jam_nut,
            hand: hand?,
            spacer: thickness?,
            rating: rating?,
            spacer_entry: spacer.cloned(),
            rod_end_entry,
        })
    }

    /// The row of a thread in a table; a finding when there is none.
    fn of_thread(&self, table: &str, thread: &str, item: &Item) -> Option<Arc<Row>> {
        let row = self.tables.row(table, thread).cloned();
        if row.is_none() {
            let headline = format!("the `{table}` table has no row `{thread}` for this rod end");
            self.findings.add(
                Finding::stop("unknown-row", headline)
                    .at(item.letters, "")
                    .help(format!("add one in `tables/{table}.csv` beside the job")),
            );
        }
        row
    }

    fn hand(&self, item: &Item) -> Option<Hand> {
        match item.text() {
            Some("right") => Some(Hand::Right),
            Some("left") => Some(Hand::Left),
            _ => {
                self.findings.add(
                    Finding::stop("unknown-word", "the hand of a thread is `right` or `left`")
                        .at(item.span, "")
                        .help("write `hand = [\"right\", \"left\"]`"),
                );
                None
            }
        }
    }

    /// The static load rating of a rod end, N.
    fn rating(&self, item: &Item) -> Option<f64> {
        let force = entry::measure(item, Dimension::FORCE, "a force", "kN", self.findings)?;
        if force > 0.0 {
            return Some(force);
        }
        self.findings.add(
            Finding::stop("out-of-range", "the rating of a rod end must be more than 0")
                .at(item.letters, "")
                .help("write the manufacturer's static load rating: `rating = \"14 kN\"`"),
        );
        None
    }

    /// The tube the first bung is turned for.
    fn tube(&self, end: &End) -> Option<Arc<Row>> {
        let name = end.bung.text("tube").unwrap_or_default();
        let tube = self.tables.row("tube", name).cloned();
        if tube.is_none() {
            let headline = format!("the bung `{}` does not name its tube", end.bung.name());
            self.findings.add(
                Finding::stop("missing-key", headline)
                    .at(end.rod_end_entry.item.letters, "")
                    .help("name a row of the `tube` table: `tube = \"25 x 2\"`"),
            );
        }
        tube
    }
}

/// Whether a bung is to be turned to suit its tube.
fn is_turned(item: &Item) -> bool {
    item.text() == Some(sizes::TURNED)
}

/// A length in mm, more than 0; a finding when it is none.
fn more_than_nothing(item: &Item, findings: &Findings) -> Option<f64> {
    let length = entry::length(item, findings)?;
    if length == 0.0 {
        let finding = Finding::stop("out-of-range", "a length of more than 0 is needed here");
        findings.add(finding.at(item.letters, "").help("write a length such as `900 mm`"));
        return None;
    }
    Some(length)
}

/// Keys that take one value for both ends or a list of two, and such a list.
const PAIRS: [[&str; 2]; 5] = [
    ["rod_end", "[\"M10\", \"M8\"]"],
    ["hand", "[\"right\", \"left\"]"],
    ["bung", "[\"M10x1.5\", \"M8x1.25\"]"],
    ["spacer", "[\"2 mm\", \"1 mm\"]"],
    ["rating", "[\"14 kN\", \"9 kN\"]"],
];

/// A value for both ends, or a list of two: one for each.
fn pair(fields: &Fields, [name, example]: [&str; 2]) -> Option<[Entry; 2]> {
    let entry = fields.entry(name)?;
    let of = |item: &Item| Entry { key: entry.key, item: item.clone() };
    match &entry.item.value {
        Value::List(items) => match items.as_slice() {
            [first, second] => Some([of(first), of(second)]),
            _ => {
                let headline = format!(
                    "one value for both ends, or a list of two, is needed here, not a list of {}",
                    items.len()
                );
                let finding = Finding::stop("wrong-kind", headline).at(entry.item.span, "");
                fields.add(finding.help(format!("write `{name} = {example}`")));
                None
            }
        },
        _ => Some([of(&entry.item), of(&entry.item)]),
    }
}

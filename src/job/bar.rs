//! `[[bar]]`: in which lengths tube is bought, and the kerf of the saw.

use crate::diag::Finding;
use crate::document::Fields;
use crate::document::Findings;
use crate::document::Item;
use crate::entry;
use crate::job::tube;
use crate::quantity::MM_PER_INCH;
use crate::quantity::Units;
use crate::table::Tables;

/// Bars of tube.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bar {
    /// Outside and wall of the tube, mm; none: of any other tube.
    pub size: Option<[f64; 2]>,
    /// mm.
    pub length: f64,
    /// Of the saw, mm.
    pub kerf: f64,
    /// Whether the job gives the length.
    pub said: bool,
}

/// Kerf of a saw when none is given, mm: common practice for a band saw or a thin cold saw.
const KERF: f64 = 2.0;

/// Length of a bar when none is given: 6 m, or 20 ft. Common practice.
const LENGTHS: [f64; 2] = [6000.0, 240.0 * MM_PER_INCH];

/// The bars of a job.
pub(super) fn read(fields: &Fields, tables: &Tables) -> Vec<Bar> {
    let items = fields.list("bar");
    let bars: Vec<Bar> =
        items.iter().filter_map(|item| one(item, tables, fields.findings())).collect();
    if bars.len() < items.len() {
        return bars;
    }
    for (i, bar) in bars.iter().enumerate() {
        if bars[..i].iter().any(|other| other.size == bar.size) {
            fields.add(
                Finding::stop("duplicate-name", "there are two bars of this tube")
                    .at(items[i].span, "")
                    .help("remove one of them"),
            );
        }
    }
    bars
}

fn one(item: &Item, tables: &Tables, findings: &Findings) -> Option<Bar> {
    let fields = Fields::of(item, findings)?;
    let size = fields.get("tube").map(|item| {
        let row = entry::row(item, "tube", tables, findings)?;
        let help = "the tubes and links of a job are round: name the section they are cut from";
        Some([tube::round(item, &row, help, findings)?, row.measure("wall")])
    });
    let help = "write the length of a bar as it is bought: `length = \"6 m\"`";
    let length = fields.need("length", "\"6 m\"").and_then(|i| entry::size(i, help, findings));
    let kerf = fields.get("kerf").map_or(Some(KERF), |i| entry::length(i, findings));
    fields.finish();
    let size = size.map_or(Some(None), |size| size.map(Some))?;
    Some(Bar { size, length: length?, kerf: kerf?, said: true })
}

/// The bar for a tube of some outside and wall, mm.
pub(super) fn of(bars: &[Bar], size: [f64; 2], units: Units) -> Bar {
    let same = |own: [f64; 2]| (0..2).all(|i| (own[i] - size[i]).abs() < SAME);
    let own = bars.iter().find(|bar| bar.size.is_some_and(same));
    let length = LENGTHS[usize::from(units == Units::Inch)];
    let usual = Bar { size: None, length, kerf: KERF, said: false };
    own.or_else(|| bars.iter().find(|bar| bar.size.is_none())).copied().unwrap_or(usual)
}

/// Sizes that differ by less are one, mm.
const SAME: f64 = 0.01;

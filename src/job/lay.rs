//! The flats of a job on its sheets: one nest for each kind of sheet.

use crate::diag::Finding;
use crate::geom::Place;
use crate::geom::Region;
use crate::job::Job;
use crate::job::Solved;
use crate::nest;
use crate::nest::Item;
use crate::nest::Rules;
use crate::nest::Turns;
use crate::nest::Why;
use crate::num::Angle;
use crate::recipe::Grain;
use rayon::prelude::*;

/// One sheet to cut.
pub(super) struct Laid {
    /// Index of its kind in the job.
    pub(super) sheet: usize,
    /// Index of its size among those of its kind.
    pub(super) stock: usize,
    /// Which of the solved parts lies where.
    pub(super) placed: Vec<(usize, Place)>,
    /// Least distance between two parts, mm.
    pub(super) least_gap: Option<f64>,
    /// Least distance from the rim, mm.
    pub(super) least_margin: f64,
}

/// What could not be placed.
pub(super) struct LeftOver {
    /// Index of the solved part.
    pub(super) part: usize,
    /// How many of it.
    pub(super) quantity: u32,
}

/// Pieces to cut of a solved part.
pub(super) fn pieces(job: &Job, solved: &Solved) -> u32 {
    job.lines[solved.line].quantity.saturating_mul(solved.part.copies)
}

/// Lays all parts out, sheet by sheet in the order of the job.
pub(super) fn lay(job: &Job, solved: &[Solved]) -> (Vec<Laid>, Vec<LeftOver>, Vec<Finding>) {
    let kinds: Vec<usize> = (0..job.sheets.len()).collect();
    let results: Vec<_> = kinds.par_iter().map(|kind| one_kind(job, *kind, solved)).collect();
    let (mut laid, mut left, mut findings) = (Vec::new(), Vec::new(), Vec::new());
    for (sheets, over, found) in results {
        laid.extend(sheets);
        left.extend(over);
        findings.extend(found);
    }
    (laid, left, findings)
}

fn one_kind(job: &Job, kind: usize, solved: &[Solved]) -> (Vec<Laid>, Vec<LeftOver>, Vec<Finding>) {
    let sheet = &job.sheets[kind];
    let of_kind = |i: &usize| solved[*i].sheet == kind;
    let parts: Vec<usize> = (0..solved.len()).filter(of_kind).collect();
    let items: Vec<Item> = parts.iter().map(|i| item(job, &solved[*i])).collect();
    let stock: Vec<nest::Stock> = sheet.stock.iter().map(|s| s.sheet.clone()).collect();
    let rules = Rules { gap: job.gap_on(sheet), margin: job.margin, ..Rules::default() };
    let layout = nest::nest(&items, &stock, rules, &nest::unwatched);
    let laid = layout.sheets.into_iter().map(|laid| Laid {
        sheet: kind,
        stock: laid.stock,
        placed: laid
            .placed
            .iter()
            .map(|p| {
                let part = parts[p.item];
                (part, upright(solved[part].part.grain).then(&p.place))
            })
            .collect(),
        least_gap: laid.least_gap,
        least_margin: laid.least_margin,
    });
    let laid = laid.collect();
    let mut left = Vec::new();
    let mut findings = Vec::new();
    for over in &layout.unplaced {
        let part = parts[over.item];
        left.push(LeftOver { part, quantity: over.quantity });
        findings.push(left_over(job, kind, &solved[part], over.why, over.quantity));
    }
    (laid, left, findings)
}

/// A part whose y must lie along the grain is laid on its side first.
fn upright(grain: Grain) -> Place {
    let turn = if grain == Grain::AlongY { Angle::from_degrees(270.0) } else { Angle::ZERO };
    Place { turn, ..Place::default() }
}

fn item(job: &Job, solved: &Solved) -> Item {
    let grain = solved.part.grain;
    let turns = if grain == Grain::Free { Turns::Quarters } else { Turns::Half };
    let region: Region = solved.flat.region.moved(&upright(grain));
    Item { turns, ..Item::new(region, pieces(job, solved)) }
}

fn left_over(job: &Job, kind: usize, solved: &Solved, why: Why, quantity: u32) -> Finding {
    let (line, sheet) = (&job.lines[solved.line], &job.sheets[kind]);
    let bounds = solved.flat.region.bounds();
    let show = |mm: f64| job.units.length(mm);
    let size = format!("{} × {}", show(bounds.width()), show(bounds.height()));
    let name = &solved.name;
    match why {
        Why::TooLarge => {
            let sizes: Vec<String> = sheet
                .stock
                .iter()
                .map(|s| format!("{} × {}", show(s.length()), show(s.width())))
                .collect();
            let headline = format!("`{name}` is {size} and fits on no sheet of `{}`", sheet.name);
            Finding::stop("too-large", headline)
                .at(line.here, "")
                .at(sheet.span, "its sheet")
                .note(format!(
                    "in stock: {}; margin {} all round{}",
                    sizes.join(", "),
                    show(job.margin),
                    if solved.part.grain == Grain::Free {
                        ""
                    } else {
                        "; the grain allows half turns only"
                    }
                ))
                .help("take a larger sheet, or make the part of two pieces")
        }
        Why::NoSheetLeft => {
            let headline = format!("{quantity} of `{name}` found no place: the sheets are used up");
            Finding::caution("sheets-used-up", headline)
                .at(line.here, "")
                .at(sheet.span, "its sheet")
                .help("raise `count` of the sheet, or add another size to its `stock`")
        }
        Why::TooMany => {
            let headline =
                format!("`{name}` and its companions are more pieces than one job takes");
            Finding::stop("too-many", headline)
                .at(line.here, "")
                .note(format!("most pieces on one kind of sheet: {}", nest::MOST_PARTS))
                .help("make several jobs of it")
        }
        Why::Unsure => {
            let headline = format!("{quantity} of `{name}` cannot be placed with certainty");
            Finding::caution("unsure", headline)
                .at(line.here, "")
                .help("draw it nearer to the origin of its face")
        }
    }
}

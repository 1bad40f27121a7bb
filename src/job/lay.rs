//! The flats of a job on its sheets: one nest for each kind of sheet.

use crate::diag::Finding;
use crate::geom::Place;
use crate::geom::Region;
use crate::job::Job;
use crate::job::Search;
use crate::job::Solved;
use crate::job::bridges;
use crate::job::common;
use crate::job::lie;
use crate::nest;
use crate::nest::Filled;
use crate::nest::Item;
use crate::nest::Limits;
use crate::nest::Rules;
use crate::nest::Turns;
use crate::nest::Unplaced;
use crate::nest::Usage;
use crate::nest::Why;
use crate::num::Angle;
use crate::recipe::Grain;
use crate::route;
use crate::route::Cut;
use crate::route::Route;
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
    /// How it is filled.
    pub(super) usage: Usage,
    /// Every cut in order; pieces are counted as they are placed.
    pub(super) route: Route,
}

impl Laid {
    /// The pieces in the order in which they come free.
    pub(super) fn in_order(&self) -> impl Iterator<Item = &(usize, Place)> {
        self.route.cuts.iter().filter_map(|cut| match cut {
            Cut::Rim(piece) => Some(&self.placed[*piece]),
            _ => None,
        })
    }
}

/// What could not be placed.
pub(super) struct LeftOver {
    /// Index of the solved part.
    pub(super) part: usize,
    /// How many of it.
    pub(super) quantity: u32,
}

/// All parts of a job on their sheets.
#[derive(Default)]
pub(super) struct Laying {
    /// Sheet by sheet, in the order of the job.
    pub(super) sheets: Vec<Laid>,
    pub(super) left: Vec<LeftOver>,
    pub(super) findings: Vec<Finding>,
    /// What was searched, for each kind of sheet.
    pub(super) searched: Vec<Searched>,
}

/// What came of the search on one kind of sheet.
pub(super) struct Searched {
    /// Units of work allowed.
    pub(super) budget: u64,
    /// Units of work done.
    pub(super) units: u64,
    /// Stages gone through.
    pub(super) stages: u64,
    /// How full all sheets of the kind are, and could be.
    pub(super) filled: Filled,
    /// How many sheets these parts need at least; none where the stock cannot hold them.
    pub(super) least_sheets: Option<u32>,
}

/// Pieces to cut of a solved part.
pub(super) fn pieces(job: &Job, solved: &Solved) -> u32 {
    job.lines[solved.line].quantity.saturating_mul(solved.part.copies)
}

/// Lays all parts out.
pub(super) fn lay(job: &Job, solved: &[Solved], search: &Search) -> Laying {
    let mut conflicts: Vec<Finding> = solved.iter().flat_map(|s| lie::conflicts(job, s)).collect();
    conflicts.extend(bridges::check(job));
    conflicts.extend(common::check(job));
    if !conflicts.is_empty() {
        return Laying { findings: conflicts, ..Laying::default() };
    }
    let kinds: Vec<usize> = (0..job.sheets.len()).collect();
    let results: Vec<Laying> =
        kinds.par_iter().map(|kind| one_kind(job, *kind, solved, search)).collect();
    let mut all = Laying::default();
    all.findings.extend(solved.iter().filter_map(|s| bridges::too_small(job, s)));
    for one in results {
        all.sheets.extend(one.sheets);
        all.left.extend(one.left);
        all.findings.extend(one.findings);
        all.searched.extend(one.searched);
    }
    all
}

/// What the nest is asked for on one kind of sheet.
pub(super) struct Question {
    /// Which of the solved parts each item is.
    pub(super) parts: Vec<usize>,
    pub(super) items: Vec<Item>,
    pub(super) stock: Vec<nest::Stock>,
    pub(super) rules: Rules,
}

impl Question {
    pub(super) fn new(job: &Job, kind: usize, solved: &[Solved], search: &Search) -> Self {
        let sheet = &job.sheets[kind];
        let of_kind = |i: &usize| solved[*i].sheet == kind;
        let parts: Vec<usize> = (0..solved.len()).filter(of_kind).collect();
        let items: Vec<Item> = parts.iter().map(|i| item(job, &solved[*i])).collect();
        let pieces = items.iter().map(|item| item.quantity).fold(0, u32::saturating_add);
        let all = solved.iter().map(|s| self::pieces(job, s)).fold(0, u32::saturating_add);
        let stock = sheet.stock.iter().map(|s| s.sheet.clone()).collect();
        let rules = Rules {
            gap: job.gap_on(sheet),
            margin: job.margin,
            least_window: job.windows.map_or(0.0, |w| w.least),
            window_gap: job.windows.map_or(0.0, |w| w.gap),
            least_remnant: job.least_remnant,
            units: search.units_of(kind, pieces, all),
            stop_at: search.stop_of(kind),
            seed: search.seed,
        };
        Self { parts, items, stock, rules }
    }
}

fn one_kind(job: &Job, kind: usize, solved: &[Solved], search: &Search) -> Laying {
    let Question { parts, items, stock, rules } = Question::new(job, kind, solved, search);
    let layout = nest::nest(&items, &stock, rules, &|progress| (search.watch)(kind, progress));
    let limits = Limits::new(&items, &stock, rules);
    let mut laid_of = vec![0; items.len()];
    for placed in layout.sheets.iter().flat_map(|sheet| &sheet.placed) {
        laid_of[placed.item] += 1;
    }
    let searched = Searched {
        budget: rules.units,
        units: layout.units,
        stages: layout.stages,
        filled: limits.filled(&layout.sheets),
        least_sheets: limits.least_sheets(&laid_of),
    };
    let sheets = layout.sheets.par_iter().map(|laid| {
        let placed = laid.placed.iter().map(|p| {
            let part = parts[p.item];
            (part, upright(lie::turns(job, &solved[part]).0).then(&p.place))
        });
        let placed: Vec<(usize, Place)> = placed.collect();
        let pieces: Vec<Region> =
            placed.iter().map(|(part, place)| solved[*part].flat.region.moved(place)).collect();
        let alone: Vec<bool> =
            placed.iter().map(|(part, _)| common::stands_alone(job, &solved[*part])).collect();
        Laid {
            sheet: kind,
            stock: laid.stock,
            route: route::order(&pieces, common::sharing(job, &alone)),
            placed,
            least_gap: laid.least_gap,
            least_margin: laid.least_margin,
            usage: limits.usage(laid),
        }
    });
    let sheets = sheets.collect();
    let mut left = Vec::new();
    let mut findings = Vec::new();
    for over in &layout.unplaced {
        let part = parts[over.item];
        left.push(LeftOver { part, quantity: over.quantity });
        let turn = nest::fitting_turn(&items[over.item], &stock, &rules);
        findings.push(left_over(job, kind, &solved[part], over, turn));
    }
    Laying { sheets, left, findings, searched: vec![searched] }
}

/// A part whose y must lie along the grain is laid on its side first.
fn upright(grain: Grain) -> Place {
    let turn = if grain == Grain::AlongY { Angle::from_degrees(270.0) } else { Angle::ZERO };
    Place { turn, ..Place::default() }
}

fn item(job: &Job, solved: &Solved) -> Item {
    let (grain, turns) = lie::turns(job, solved);
    let line = &job.lines[solved.line];
    let region: Region = solved.flat.region.moved(&upright(grain));
    Item {
        region,
        quantity: pieces(job, solved),
        fill: line.lie.fill,
        turns,
        mirror: line.lie.faces_alike.is_some(),
        urgency: line.lie.urgency,
        windows: job.windows.is_some() && !line.lie.windows_closed,
    }
}

/// What is to be said of pieces left over; `turn` is one they may not lie at, but would fit.
fn left_over(
    job: &Job,
    kind: usize,
    solved: &Solved,
    over: &Unplaced,
    turn: Option<Angle>,
) -> Finding {
    let Unplaced { why, quantity, .. } = *over;
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
            let remark = match lie::turns(job, solved) {
                (Grain::Free, Turns::Free) => "; it was tried at every angle",
                (Grain::Free, _) => "",
                _ => "; the grain allows half-turns only",
            };
            let help = match (turn, lie::turns(job, solved).0) {
                (None, _) => "use a larger sheet, or make the part in two pieces".to_owned(),
                (Some(turn), Grain::Free) => {
                    format!(
                        "write `orientations = \"any\"` for this part: rotated by {turn} it fits"
                    )
                }
                // Its own x may lie along y by now, so the angle would mislead.
                (Some(_), _) => "if the grain does not matter, write `grain = \"free\"` and \
                                 `orientations = \"any\"` for this part: it fits at an angle"
                    .to_owned(),
            };
            Finding::stop("too-large", headline)
                .at(line.here, "")
                .at(sheet.span, "its sheet")
                .note(format!(
                    "in stock: {}; margin {} all round{remark}",
                    sizes.join(", "),
                    show(job.margin),
                ))
                .help(help)
        }
        Why::NoSheetLeft => {
            let headline =
                format!("{quantity} of `{name}` could not be placed: the sheets are used up");
            Finding::caution("sheets-used-up", headline)
                .at(line.here, "")
                .at(sheet.span, "its sheet")
                .help("raise `count` of the sheet, or add another size to its `stock`")
        }
        Why::TooMany => {
            let headline =
                format!("`{name}` and the other parts are more pieces than one job takes");
            Finding::stop("too-many", headline)
                .at(line.here, "")
                .note(format!(
                    "maximum number of pieces on one kind of sheet: {}",
                    nest::MOST_PARTS
                ))
                .help("split it into several jobs")
        }
        Why::Unsure => {
            let headline = format!("{quantity} of `{name}` cannot be placed with certainty");
            Finding::caution("unsure", headline)
                .at(line.here, "")
                .help("draw it nearer to the origin of its face")
        }
    }
}

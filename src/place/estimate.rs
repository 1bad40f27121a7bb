//! The sheets a job will need, before anything is written.

use crate::diag::Finding;
use crate::job::Job;
use crate::nest;
use crate::nest::Item;
use crate::nest::Limits;
use crate::nest::Rules;
use crate::nest::Stock;
use crate::place::budget::Search;
use crate::place::nesting::Question;
use crate::place::nesting::place;
use crate::solve;
use crate::solve::Solved;
use rayon::prelude::*;

/// The sheets a job will need.
#[derive(Clone, Debug)]
pub struct Estimate {
    /// Each kind of sheet that something is cut from.
    pub kinds: Vec<KindEstimate>,
    /// What nesting finds: parts that fit on no sheet, and sheets that run out.
    pub findings: Vec<Finding>,
}

/// The sheets it will need of one kind.
#[derive(Clone, Debug)]
pub struct KindEstimate {
    /// Index of the kind in the job.
    pub sheet: usize,
    /// Pieces asked for.
    pub pieces: u32,
    /// Minimum number of sheets, proved; `None` if the stock does not have enough room for the
    /// pieces.
    pub min_sheets: Option<u32>,
    /// Sheets of each stock that a first nest takes.
    pub likely: Vec<usize>,
    /// The area within the outlines of the pieces over that of all sheets, 0 to 1, and its upper
    /// bound.
    pub filled: nest::SheetUsage,
    /// The minimum cost of the sheets, and that in the first nest; `None` if one has no price.
    pub cost: Option<(f64, f64)>,
    /// The largest stock, on which parts are counted.
    pub largest: usize,
    /// How many of each part fit on the largest stock.
    pub holds: Vec<Holds>,
}

/// How many of a part fit on one sheet.
#[derive(Clone, Debug, PartialEq)]
pub struct Holds {
    /// Index of the solved part.
    pub part: usize,
    /// How many a first nest places.
    pub likely: usize,
    /// More cannot be.
    pub max: u32,
}

/// Maximum number of pieces that are counted on one sheet. Our choice: it keeps the answer quick.
const MAX_COUNTED: u32 = 2000;

/// Estimates a job by its bounds and by a first nest.
pub fn estimate(job: &Job, solved: &[Solved]) -> Estimate {
    let search = Search::none();
    let placement = place(job, solved, &search);
    let kinds: Vec<usize> =
        (0..placement.searched.len()).filter(|k| solved.iter().any(|s| s.sheet == *k)).collect();
    let kind = |kind: &usize| {
        let question = Question::new(job, *kind, solved, &search);
        let stock = &job.sheets[*kind].stock;
        let mut likely = vec![0; stock.len()];
        for nested in placement.sheets.iter().filter(|nested| nested.sheet == *kind) {
            likely[nested.stock] += 1;
        }
        let limits = Limits::new(&question.items, &question.stock, question.rules);
        let counts: Vec<u32> = question.items.iter().map(|item| item.quantity).collect();
        let locked = stock.iter().filter(|stock| stock.locked.is_some()).count() as u32;
        let of_kind = solved.iter().filter(|s| s.sheet == *kind);
        let priced = likely.iter().zip(stock).all(|(n, stock)| *n == 0 || stock.priced);
        let taken: f64 = likely.iter().zip(stock).map(|(n, s)| *n as f64 * s.sheet.price).sum();
        let searched = &placement.searched[*kind];
        let largest = largest(&question.stock);
        KindEstimate {
            sheet: *kind,
            pieces: of_kind.map(|s| solve::pieces(job, s)).fold(0, u32::saturating_add),
            min_sheets: limits.min_sheets(&counts).map(|n| n.max(locked)),
            likely,
            filled: searched.filled,
            cost: priced.then(|| (limits.min_cost(&counts).min(taken), taken)),
            largest,
            holds: holds(&question, stock.get(largest).map(|stock| &stock.sheet)),
        }
    };
    Estimate { kinds: kinds.iter().map(kind).collect(), findings: placement.findings }
}

/// The stock of the largest area, of equal ones the first.
fn largest(stock: &[Stock]) -> usize {
    let area = |i: &usize| stock[*i].region.area();
    (0..stock.len()).rev().max_by(|a, b| area(a).total_cmp(&area(b))).unwrap_or(0)
}

/// How many of each part fit on one bare sheet.
fn holds(question: &Question, sheet: Option<&Stock>) -> Vec<Holds> {
    let one_of = sheet.map(|s| Stock { count: Some(1), ..s.clone() });
    let stock: Vec<Stock> = one_of.into_iter().collect();
    if stock.is_empty() {
        return Vec::new();
    }
    let rules = Rules { units: 0, ..question.rules };
    let count = |(part, item): (&usize, &Item)| {
        let items = [Item { fill: 0, quantity: 1, ..item.clone() }];
        let max = Limits::new(&items, &stock, rules).max_on_one(0, 0);
        let [item] = items;
        let items = [Item { quantity: max.min(MAX_COUNTED), ..item }];
        let layout = nest::nest(&items, &stock, rules, &nest::unwatched);
        let likely = layout.sheets.iter().map(|sheet| sheet.placed.len()).sum();
        Holds { part: *part, likely, max }
    };
    question.parts.par_iter().zip(&question.items).map(count).collect()
}

//! Sheets with parts on them, and what could not be placed.

use crate::diag::Finding;
use crate::geom::Edge;
use crate::geom::Outline;
use crate::geom::Place;
use crate::geom::Region;
use crate::job::Job;
use crate::job::Stock;
use crate::nest::SheetUsage;
use crate::nest::Usage;
use crate::place::bridges;
use crate::route::Cut;
use crate::route::Route;
use crate::solve::Solved;

/// One sheet to cut.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct NestedSheet {
    /// Its name: `S235-4-mm-01`, numbered for each kind.
    pub(crate) name: String,
    /// Index of its kind in the job.
    pub(crate) sheet: usize,
    /// Index of its size among those of its kind.
    pub(crate) stock: usize,
    /// Which of the solved parts lies where.
    pub(crate) placed: Vec<(usize, Place)>,
    /// The kits of which it has pieces.
    pub(crate) kits: Vec<String>,
    /// How many of the pieces, the first ones, are locked where an earlier layout had them.
    pub(crate) locked: usize,
    /// Smallest distance between two parts, mm.
    pub(crate) min_gap: Option<f64>,
    /// Smallest distance from the sheet edge, mm.
    pub(crate) min_margin: f64,
    /// How it is filled.
    pub(crate) usage: Usage,
    /// Every cut in order; pieces are counted in the order of placing.
    pub(crate) route: Route,
}

/// The names of the sheets of a kind, by their index among them.
pub(super) fn sheet_name(job: &Job, kind: usize, i: usize) -> String {
    format!("{}-{:02}", job.sheets[kind].file_word(), i + 1)
}

/// For each sheet the index of the first of the sheets in a row that are the same but for their names.
pub(crate) fn firsts(nested: &[NestedSheet]) -> Vec<usize> {
    let mut firsts: Vec<usize> = (0..nested.len()).collect();
    for i in 1..nested.len() {
        if nested[i].is_like(&nested[i - 1]) {
            firsts[i] = firsts[i - 1];
        }
    }
    firsts
}

impl NestedSheet {
    /// Its size or outline, among those of its kind.
    pub(crate) fn stock<'j>(&self, job: &'j Job) -> &'j Stock {
        &job.sheets[self.sheet].stock[self.stock]
    }

    /// Whether the same lies at the same places of another.
    pub(crate) fn holds_the_same(&self, other: &Self) -> bool {
        (self.sheet, self.stock) == (other.sheet, other.stock) && self.placed == other.placed
    }

    /// Whether the same lies at the same places of another, and is cut in the same order.
    pub(crate) fn is_like(&self, other: &Self) -> bool {
        self.holds_the_same(other) && self.route == other.route
    }

    /// The outlines of each piece, on the sheet.
    pub(crate) fn pieces(&self, solved: &[Solved]) -> Vec<Region> {
        self.placed.iter().map(|(part, place)| solved[*part].flat.region.moved(place)).collect()
    }

    /// How the outline of a piece is cut, if not in one go: as open chains beside common cuts, or
    /// between bridges.
    pub(crate) fn open_chains(
        &self,
        job: &Job,
        solved: &[Solved],
        piece: usize,
        outline: &Outline,
    ) -> Option<Vec<Vec<Edge>>> {
        let part = &solved[self.placed[piece].0];
        self.route.rests[piece].clone().or_else(|| bridges::chains(job, part, outline))
    }

    /// The name of its files, without an ending.
    pub(crate) fn file(&self) -> String {
        format!("sheets/{}", self.name)
    }

    /// The pieces in the order in which they come free.
    pub(crate) fn in_order(&self) -> impl Iterator<Item = &(usize, Place)> {
        self.indices_in_order().map(|piece| &self.placed[piece])
    }

    /// The same by their indices among those placed.
    pub(crate) fn indices_in_order(&self) -> impl Iterator<Item = usize> {
        self.route.cuts.iter().filter_map(|cut| match cut {
            Cut::Outline(piece) => Some(*piece),
            _ => None,
        })
    }
}

/// What could not be placed.
pub(crate) struct NotPlaced {
    /// Index of the solved part.
    pub(crate) part: usize,
    /// How many of it.
    pub(crate) quantity: u32,
}

/// All parts of a job on their sheets.
#[derive(Default)]
pub(crate) struct Placement {
    /// Sheet by sheet, in the order of the job.
    pub(crate) sheets: Vec<NestedSheet>,
    pub(crate) left: Vec<NotPlaced>,
    pub(crate) findings: Vec<Finding>,
    /// The data of the search, for each kind of sheet.
    pub(crate) searched: Vec<Searched>,
}

/// The results of the search on one kind of sheet.
pub(crate) struct Searched {
    /// Units of work allowed.
    pub(crate) budget: u64,
    /// Units of work done.
    pub(crate) units: u64,
    /// Stages completed.
    pub(crate) stages: u64,
    /// How full all sheets of the kind are, and could be.
    pub(crate) filled: SheetUsage,
    /// Minimum number of sheets for these parts; `None` if the stock does not have enough room.
    pub(crate) min_sheets: Option<u32>,
}

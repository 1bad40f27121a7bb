//! The contents of the picture of a sheet.

use crate::geom::Edge;
use crate::geom::Place;
use crate::geom::Region;
use crate::geom::Vec2;
use crate::job::Job;
use crate::job::Sheet;
use crate::job::Stock;
use crate::paper::Roomy;
use crate::place::Division;
use crate::place::NestedSheet;
use crate::report::SheetRow;
use crate::route::Cut;
use crate::solve::Solved;
use std::cell::RefCell;
use std::collections::HashMap;
use std::rc::Rc;

/// All pieces of one part.
pub(super) struct Kind {
    /// Index of the solved part.
    pub(super) part: usize,
    /// How many are on the sheet.
    pub(super) count: usize,
}

/// A sheet and its pieces.
pub(super) struct Shown<'a> {
    pub(super) job: &'a Job,
    pub(super) solved: &'a [Solved],
    pub(super) nested: &'a NestedSheet,
    /// Its row in the report.
    pub(super) row: &'a SheetRow,
    /// In the order in which the first piece of each is cut: the first has the number 1.
    pub(super) kinds: Vec<Kind>,
    /// By piece, its outlines on the sheet.
    pub(super) pieces: Vec<Region>,
    /// How the sheet is divided.
    pub(super) division: Division,
    /// The room for text in pieces measured already, with the shift of the piece measured.
    pub(super) roomy: RefCell<HashMap<Oriented, (Rc<Roomy>, Vec2)>>,
}

/// The orientation of a part on a sheet, without its place: its index, whether it is flipped over,
/// and its rotation as bits.
pub(super) type Oriented = (usize, bool, u64);

/// The parts on a sheet by index, in the order in which the first piece of each is cut: their
/// numbers, from 1, wherever the sheet is shown.
pub(crate) fn kinds(nested: &NestedSheet) -> Vec<usize> {
    let mut kinds: Vec<usize> = Vec::new();
    for cut in &nested.route.cuts {
        let (Cut::Hole { piece, .. } | Cut::Outline(piece)) = *cut else { continue };
        let part = nested.placed[piece].0;
        if !kinds.contains(&part) {
            kinds.push(part);
        }
    }
    kinds
}

impl<'a> Shown<'a> {
    pub(super) fn new(
        job: &'a Job,
        solved: &'a [Solved],
        nested: &'a NestedSheet,
        row: &'a SheetRow,
    ) -> Self {
        let count = |part: usize| nested.placed.iter().filter(|(of, _)| *of == part).count();
        let kinds = kinds(nested).into_iter().map(|part| Kind { part, count: count(part) });
        let kinds = kinds.collect();
        let (pieces, division) = (nested.pieces(solved), nested.division(job));
        let roomy = RefCell::default();
        Self { job, solved, nested, row, kinds, pieces, division, roomy }
    }

    /// Its kind.
    pub(super) fn sheet(&self) -> &'a Sheet {
        &self.job.sheets[self.nested.sheet]
    }

    /// Its size or outline.
    pub(super) fn stock(&self) -> &'a Stock {
        self.nested.stock(self.job)
    }

    /// By piece, the number of its kind.
    pub(super) fn number(&self, piece: usize) -> usize {
        let part = self.nested.placed[piece].0;
        self.kinds.iter().position(|kind| kind.part == part).map_or(0, |kind| kind + 1)
    }

    /// The part of a piece and where it lies.
    pub(super) fn placed(&self, piece: usize) -> (&'a Solved, &'a Place) {
        let (part, place) = &self.nested.placed[piece];
        (&self.solved[*part], place)
    }

    /// How the outline of a piece is cut: whole, or as open chains between bridges and beside
    /// common cuts.
    pub(super) fn chains(&self, piece: usize) -> Vec<Vec<Edge>> {
        let outline = self.pieces[piece].outer();
        let chains = self.nested.open_chains(self.job, self.solved, piece, outline);
        chains.unwrap_or_else(|| vec![outline.edges().collect()])
    }

    /// Bend lines and marks of a piece on the sheet.
    pub(super) fn bends(&self, piece: usize) -> Vec<Edge> {
        let (part, place) = self.placed(piece);
        let lines = part.flat.bends.iter().flat_map(|strip| strip.lines());
        lines.map(|line| line.moved(place)).collect()
    }

    /// The etched marks of a piece.
    pub(super) fn marks(&self, piece: usize) -> Vec<Vec<Edge>> {
        let (part, place) = self.placed(piece);
        let strokes = part.flat.marks.iter().flat_map(|mark| &mark.strokes);
        strokes.map(|stroke| stroke.iter().map(|e| e.moved(place)).collect()).collect()
    }
}

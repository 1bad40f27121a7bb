//! A part of the job, solved and checked.

use crate::diag::Finding;
use crate::diag::Span;
use crate::fit::ClevisFit;
use crate::fit::NutFit;
use crate::flat::Flat;
use crate::fold::Folded;
use crate::geom::Edge;
use crate::geom::Frame;
use crate::job::Job;
use crate::job::Line;
use crate::joint::Bolted;
use crate::part::Hole;
use crate::part::Part;
use crate::part::Weld;
use crate::recipe::Params;
use crate::sequence::Plan;
use crate::solve::choice::Choice;
use crate::solve::issue::Issue;
use crate::strength::Verdict;
use std::sync::Arc;

/// A line of the job, solved.
#[derive(Clone, Debug)]
pub struct Solved {
    /// Index of the line in the job.
    pub line: usize,
    /// Name of the part: that of the line, with the suffix that distinguishes it from the line's
    /// others.
    pub name: String,
    /// Index of its sheet.
    pub sheet: usize,
    /// Its values.
    pub params: Arc<Params>,
    /// The choice of the open inputs.
    pub choice: Option<Arc<Choice>>,
    /// The part.
    pub part: Part,
    /// Its flat.
    pub flat: Flat,
    /// By hole of the flat, the number of its set, from 0: equal holes of one entry of the recipe,
    /// on either hand.
    pub hole_sets: Vec<usize>,
    /// The part with every bend made.
    pub folded: Arc<Folded>,
    /// In which order it is bent, where it is bent and the job names a shop.
    pub plan: Option<Plan>,
    /// The findings of the checks.
    pub found: Vec<Finding>,
    /// The fit of its rod end, if it has one.
    pub clevis: Option<ClevisFit>,
    /// How the nut it captures fits its tube, where it captures one.
    pub nut: Option<NutFit>,
    /// The results of the loads on it, each with the place of its load.
    pub verdicts: Vec<(Span, Verdict)>,
    /// The joints it is in, in the order of the job.
    pub(crate) joints: Vec<Arc<Bolted>>,
    /// Its issue.
    pub issue: Issue,
}

impl Solved {
    /// The length of a weld of a face, mm: that of the metal along its edge, since bends, holes and
    /// reliefs interrupt the weld.
    pub(crate) fn weld_length(&self, face: usize, weld: &Weld) -> f64 {
        self.folded.left_of(face, &weld.stretches).iter().map(Edge::length).sum()
    }

    /// The position of the formed part in the space of its recipe; `None` if no points place it.
    pub(super) fn in_space(&self) -> Option<Frame> {
        let (face, frame) = self.part.stands.as_ref()?;
        Some(frame.within(&self.folded.faces[*face].frame.back()))
    }
}

/// Pieces to cut of a solved part.
pub(crate) fn pieces(job: &Job, solved: &Solved) -> u32 {
    job.lines[solved.line].quantity.saturating_mul(solved.part.copies)
}

/// Whether the ears of a part are for its rod end: not if its eyes are on both sides of a tube, or of the layers of
/// a joint, unless a link names it.
pub(crate) fn takes_rod_end(job: &Job, line: &Line, part: &Part) -> bool {
    let width = part
        .clevis
        .as_ref()
        .and_then(|clevis| part.faces[clevis.eye.face].holes[clevis.eye.hole].diameter());
    // The far ear has an eye as wide.
    let is_eye = |hole: &Hole| hole.eye || hole.diameter() == width;
    let named = |name: &str| {
        width.is_none() || part.holes().any(|(_, hole)| hole.is_of(name) && is_eye(hole))
    };
    job.takes_rod_end(line, &named)
}

//! What is sunk into the edges of the holes of a patch, or formed there.

use crate::geom::Edge;
use crate::geom::Point;
use crate::num;
use crate::part::Flare;
use crate::part::Hole;
use crate::part::Recess;
use crate::solid::error::SolidError;

/// Nearer than this the centre of an opening is that of the hole it is cut as, mm.
const SAME_CENTRE: f64 = 1e-3;

/// What is done to the edge of a hole.
#[derive(Clone, Copy)]
pub(super) enum Work {
    /// A countersink or a counterbore.
    Recess(Recess),
    /// A lip is formed.
    Flare(Flare),
}

/// A hole with its countersink, counterbore or lip.
#[derive(Clone, Copy)]
pub(super) struct Sunk {
    pub(super) centre: Point,
    /// Radius of the hole as it is cut, mm.
    cut: f64,
    pub(super) what: Work,
}

impl Sunk {
    /// What is sunk into a hole of a plate so thick; none where nothing is.
    pub(super) fn of(hole: &Hole, thickness: f64) -> Result<Option<Self>, SolidError> {
        let (recess, flare) = (hole.recess.map(Work::Recess), hole.flare.map(Work::Flare));
        let Some(what) = recess.or(flare) else { return Ok(None) };
        if hole.recess.is_some_and(|recess| recess.depth >= thickness) {
            return Err(Self::missing(hole));
        }
        let cut = hole.outline.bounds().width() / 2.0;
        Ok(Some(Self { centre: hole.at, cut, what }))
    }

    /// What of a hole cannot be cut from the solid.
    pub(super) fn missing(hole: &Hole) -> SolidError {
        let word = hole.recess.map_or("flare", |recess| recess.word());
        SolidError::Recess(word, hole.name.clone())
    }

    /// Whether these edges are those of its hole.
    pub(super) fn is_in(&self, edges: &[Edge]) -> bool {
        let is_own = |edge: &Edge| {
            let centre = edge.arc().map(|arc| arc.centre);
            centre.is_some_and(|c| (c - self.centre).hypot() < SAME_CENTRE)
        };
        edges.iter().all(is_own)
    }

    /// What the finished hole takes beside the hole as it is cut, mm³.
    pub(super) fn volume(&self, thickness: f64) -> f64 {
        let recess = match self.what {
            Work::Recess(recess) => recess,
            Work::Flare(flare) => return flare.loss(2.0 * self.cut),
        };
        let finished = recess.hole / 2.0;
        let wider = num::PI * (finished * finished - self.cut * self.cut) * thickness;
        recess.volume() + wider
    }
}

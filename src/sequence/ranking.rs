//! The ways to make one bend, ranked by the room they leave.

use crate::sequence::plan::Step;
use crate::sequence::refusal::Refusal;
use crate::sequence::refusal::Why;
use crate::sequence::room::Setup;
use crate::sequence::way::Way;

/// A way that goes, its setup, and the ways that were tried besides.
#[derive(Clone, Debug)]
pub(super) struct Found {
    pub(super) way: Way,
    pub(super) setup: Setup,
    pub(super) refused: Vec<Refusal>,
}

impl Found {
    pub(super) fn step(self, bend: usize) -> Step {
        Step { bend, way: self.way, setup: self.setup, refused: self.refused }
    }
}

/// The ways tried so far.
pub(super) struct Ranking {
    best: Option<(Way, Setup)>,
    refused: Vec<Refusal>,
    /// Room beyond which more is no better, mm.
    pub(super) enough: f64,
}

impl Ranking {
    pub(super) fn new(enough: f64) -> Self {
        Self { best: None, refused: Vec::new(), enough }
    }

    /// Notes a way that is not worth a trial.
    pub(super) fn refuse(&mut self, refusal: Refusal) {
        self.refused.push(refusal);
    }

    /// Room that the best way leaves, mm; 0 while there is none.
    pub(super) fn room(&self) -> f64 {
        self.best.as_ref().map_or(0.0, |(_, setup)| setup.room.mm)
    }

    pub(super) fn add(&mut self, way: Way, tried: Result<Setup, Why>) {
        match tried {
            Ok(setup) => {
                let tighter = self.best.replace((way, setup));
                let refusal =
                    |(way, setup): (Way, Setup)| Refusal { way, why: setup.room.too_little() };
                self.refused.extend(tighter.map(refusal));
            }
            Err(why) => {
                // What both ways of holding are refused for is said once.
                let last = self.refused.last();
                let same = |r: &Refusal| r.why == why && r.way.same_tool(&way);
                if !last.is_some_and(same) {
                    self.refused.push(Refusal { way, why });
                }
            }
        }
    }

    pub(super) fn end(self) -> Result<Found, Vec<Refusal>> {
        match self.best {
            Some((way, setup)) => Ok(Found { way, setup, refused: self.refused }),
            None => Err(self.refused),
        }
    }
}

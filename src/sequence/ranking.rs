//! The setups for one bend, ranked by the room they leave.

use crate::sequence::plan::Step;
use crate::sequence::refusal::Refusal;
use crate::sequence::refusal::Why;
use crate::sequence::room::Tooling;
use crate::sequence::setup::Setup;

/// A setup that works, its tooling, and the setups that were tried besides.
#[derive(Clone, Debug)]
pub(super) struct Found {
    pub(super) setup: Setup,
    pub(super) tooling: Tooling,
    pub(super) refused: Vec<Refusal>,
}

impl Found {
    pub(super) fn step(self, bend: usize) -> Step {
        Step { bend, setup: self.setup, tooling: self.tooling, refused: self.refused }
    }
}

/// The setups tried so far.
pub(super) struct Ranking {
    best: Option<(Setup, Tooling)>,
    refused: Vec<Refusal>,
    /// Room beyond which more is no better, mm.
    pub(super) enough: f64,
}

impl Ranking {
    pub(super) fn new(enough: f64) -> Self {
        Self { best: None, refused: Vec::new(), enough }
    }

    /// Notes a setup that is not worth a trial.
    pub(super) fn refuse(&mut self, refusal: Refusal) {
        self.refused.push(refusal);
    }

    /// Room that the best setup leaves, mm; 0 while there is none.
    pub(super) fn room(&self) -> f64 {
        self.best.as_ref().map_or(0.0, |(_, tooling)| tooling.room.mm)
    }

    pub(super) fn add(&mut self, setup: Setup, tried: Result<Tooling, Why>) {
        match tried {
            Ok(tooling) => {
                let tighter = self.best.replace((setup, tooling));
                let refusal = |(setup, tooling): (Setup, Tooling)| Refusal {
                    setup,
                    why: tooling.room.too_little(),
                };
                self.refused.extend(tighter.map(refusal));
            }
            Err(why) => {
                // What both ways of clamping are refused for is said once.
                let last = self.refused.last();
                let same = |r: &Refusal| r.why == why && r.setup.same_tool(&setup);
                if !last.is_some_and(same) {
                    self.refused.push(Refusal { setup, why });
                }
            }
        }
    }

    pub(super) fn end(self) -> Result<Found, Vec<Refusal>> {
        match self.best {
            Some((setup, tooling)) => Ok(Found { setup, tooling, refused: self.refused }),
            None => Err(self.refused),
        }
    }
}

//! The setups for one bend, ranked: of those over a V the one whose radius is nearest to that of the
//! flat, as long as it has the shop's margin, then the one with most room.

use crate::sequence::plan::Step;
use crate::sequence::refusal::Refusal;
use crate::sequence::refusal::Why;
use crate::sequence::room::Tooling;
use crate::sequence::room::enough;
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

/// Two radii are alike, as ratios to the one asked for. Our choice.
const ALIKE: f64 = 0.01;

/// A setup that works.
struct Kept {
    setup: Setup,
    tooling: Tooling,
    /// How far the radius of its V is off, as a ratio of 1 or more.
    off: f64,
}

/// The setups tried, with the best.
pub(super) struct Ranking {
    /// On a brake without a V.
    folded: Option<Kept>,
    /// Over a V.
    pressed: Option<Kept>,
    refused: Vec<Refusal>,
    /// The shop's margin, mm.
    margin: f64,
    /// Room beyond which more is no better, mm.
    pub(super) enough: f64,
}

impl Ranking {
    pub(super) fn new(margin: f64) -> Self {
        let enough = enough(margin);
        Self { folded: None, pressed: None, refused: Vec::new(), margin, enough }
    }

    /// Notes a setup that is not worth a trial.
    pub(super) fn refuse(&mut self, refusal: Refusal) {
        self.refused.push(refusal);
    }

    /// Clearance beyond which a setup is worth a trial, mm: over a V whose radius is this far off,
    /// or on a brake without one. `None` where a better V has room enough for the shop.
    pub(super) fn floor(&self, off: Option<f64>) -> Option<f64> {
        let known = if off.is_some() { &self.pressed } else { &self.folded };
        let Some(known) = known else { return Some(0.0) };
        let room = known.tooling.room.mm;
        match off {
            Some(off) if room >= self.margin && off > known.off + ALIKE => None,
            // A better radius needs no more clearance than the shop's margin.
            Some(off) if off < known.off - ALIKE => Some(room.min(self.margin - LESS).max(0.0)),
            _ => Some(room),
        }
    }

    /// Whether a setup works.
    pub(super) fn works(&self) -> bool {
        self.pressed.is_some() || self.folded.is_some()
    }

    /// Whether no other setup can rank before the best.
    pub(super) fn is_done(&self) -> bool {
        let ample = |kept: &Kept| kept.tooling.room.mm >= self.enough;
        self.folded.as_ref().is_some_and(ample)
            || self.pressed.as_ref().is_some_and(|kept| kept.off <= 1.0 + ALIKE && ample(kept))
    }

    pub(super) fn add(&mut self, setup: Setup, off: Option<f64>, tried: Result<Tooling, Why>) {
        match tried {
            Ok(tooling) => {
                let place = if off.is_some() { &mut self.pressed } else { &mut self.folded };
                let before = place.replace(Kept { setup, tooling, off: off.unwrap_or(1.0) });
                self.refused.extend(before.map(passed_over));
            }
            Err(why) => {
                // A reason that applies to both clampings is given once.
                let last = self.refused.last();
                let same = |r: &Refusal| r.why == why && r.setup.same_tool(&setup);
                if !last.is_some_and(same) {
                    self.refused.push(Refusal { setup, why });
                }
            }
        }
    }

    pub(super) fn end(mut self) -> Result<Found, Vec<Refusal>> {
        let room = |kept: &Kept| kept.tooling.room.mm.min(self.enough);
        let (best, other) = match (self.folded, self.pressed) {
            (Some(folded), Some(pressed)) => {
                let first = folded.setup.brake <= pressed.setup.brake;
                let [more, less] = [room(&folded) > room(&pressed), room(&folded) < room(&pressed)];
                match more || (first && !less) {
                    true => (folded, Some(pressed)),
                    false => (pressed, Some(folded)),
                }
            }
            (Some(one), None) | (None, Some(one)) => (one, None),
            (None, None) => return Err(self.refused),
        };
        self.refused.extend(other.map(passed_over));
        Ok(Found { setup: best.setup, tooling: best.tooling, refused: self.refused })
    }
}

/// A clearance less than a limit by no more than this, mm, counts as equal: rounding.
const LESS: f64 = 1e-6;

/// A setup that works, but ranks after another.
fn passed_over(kept: Kept) -> Refusal {
    Refusal { setup: kept.setup, why: kept.tooling.room.too_little() }
}

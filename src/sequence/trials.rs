//! The results of setups, for orders that ask for the same ones again.

use crate::sequence::refusal::Why;
use crate::sequence::room::Tooling;
use crate::sequence::section::Bending;
use crate::sequence::setup::Setup;
use crate::sequence::setup::Tool;
use std::cell::RefCell;
use std::collections::HashMap;

/// The results of the setups tried.
#[derive(Default)]
pub(super) struct Trials(RefCell<HashMap<TrialKey, TrialResult>>);

/// The setup, its tool and angle known, and the results of it.
type TrialResult = (Setup, Result<Tooling, Why>);

/// The bends made before, the bend and its angle, the brake with its die and punch, the face that
/// is clamped, and the known clearance: numbers as bits. Empty where nothing is stored.
type TrialKey = Option<(u32, usize, u64, (usize, Option<(usize, usize)>), usize, u64)>;

/// The key of a trial of a setup.
pub(super) fn asked(bending: &Bending, setup: &Setup, floor: f64) -> TrialKey {
    let tools = match setup.tool {
        Tool::Fold { .. } => None,
        Tool::Press { die, punch, .. } => Some((die, punch)),
    };
    let (made, bend) = bending.which();
    let target = bending.target.degrees().to_bits();
    let asked = (made, bend, target, (setup.brake, tools), setup.hold, floor.to_bits());
    (!bending.body.plain).then_some(asked)
}

impl Trials {
    /// The results of a trial before, else the result of it now.
    pub(super) fn or(
        &self,
        asked: TrialKey,
        setup: &mut Setup,
        run: impl FnOnce(&mut Setup) -> Result<Tooling, Why>,
    ) -> Result<Tooling, Why> {
        let known = asked.and_then(|_| self.0.borrow().get(&asked).cloned());
        if let Some((known, tried)) = known {
            *setup = known;
            return tried;
        }
        let tried = run(setup);
        if asked.is_some() {
            self.0.borrow_mut().insert(asked, (*setup, tried.clone()));
        }
        tried
    }
}

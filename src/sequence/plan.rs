//! The bend sequence of a part: which bend comes when, and how it is made.

use crate::sequence::formed::Formed;
use crate::sequence::handled::Handling;
use crate::sequence::refusal::Refusal;
use crate::sequence::room::Tooling;
use crate::sequence::setup::Setup;

/// One bend of an order.
#[derive(Clone, Debug)]
pub struct Step {
    /// Index of the bend in the part.
    pub bend: usize,
    /// How it is made.
    pub setup: Setup,
    /// With which pieces of tool, and how much room that leaves.
    pub tooling: Tooling,
    /// The setups tried before, and why not.
    pub refused: Vec<Refusal>,
}

/// An order, or how far one comes.
#[derive(Clone, Debug, Default)]
pub struct Plan {
    /// The bends that no brake makes: rolled bends and hems, in the order of the part.
    pub formed: Vec<Formed>,
    /// Whether those come last. They come first, out of the flat sheet, where the others can then
    /// be bent.
    pub formed_last: bool,
    /// The bends made on brakes, in order; all of them unless some are blocked.
    pub steps: Vec<Step>,
    /// The bends that cannot be made after the steps, with every setup and why not; empty
    /// when the order is whole.
    pub blocked: Vec<(usize, Vec<Refusal>)>,
    /// The first bend that cannot be made in the order as drawn, and why not.
    pub as_drawn: Option<(usize, Vec<Refusal>)>,
    /// How each bend that has a place in the order is handled, in that order.
    pub handling: Vec<Handling>,
}

impl Plan {
    /// Whether every bend can be made.
    pub fn is_whole(&self) -> bool {
        self.blocked.is_empty()
    }

    /// The step that makes a bend, and its number from 1.
    pub fn step(&self, bend: usize) -> Option<(usize, &Step)> {
        let at = self.steps.iter().position(|step| step.bend == bend)?;
        let before = if self.formed_last { 0 } else { self.formed.len() };
        Some((before + at + 1, &self.steps[at]))
    }

    /// The number of a bend in the order, from 1, whatever it is made on.
    pub fn number(&self, bend: usize) -> Option<usize> {
        let before = if self.formed_last { self.steps.len() } else { 0 };
        let formed = self.formed.iter().position(|formed| formed.bend == bend);
        let formed = formed.map(|at| before + at + 1);
        formed.or_else(|| self.step(bend).map(|(number, _)| number))
    }
}

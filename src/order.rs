//! In which order a part is bent, on which of the shop's tools, and how it is held.
//!
//! A way to make one bend names the tool, which face is held and so which lies towards the
//! operator; the inside of the bend is always up. A way is refused by what the tool can
//! take (length, force, turn), by what it needs of the sheet (clamp, flange), and by what
//! the part, folded as far as it is then, would hit.
//!
//! The last is tried by sections: each face and each bend is cut to the stretch along the
//! bend line where the tool stands, projected on the plane square to the line, and must
//! keep half a thickness from the tool's section, at five stages of the turn. Whatever
//! lies askew covers more in projection than it is, so this errs to refusal.
//!
//! The search goes depth first and remembers from which sets of made bends no way leads
//! on; it tries bends in the order of the part and tools in that of the shop, so the
//! first order found is the one a person would try first.

mod refusal;
mod section;
mod way;

use crate::flat::Flat;
use crate::num::Angle;
use crate::part::Part;
use crate::shop::Shop;
pub use refusal::Cause;
pub use refusal::Refusal;
pub use refusal::Why;
use section::Stages;
use std::collections::HashSet;
pub use way::Tool;
pub use way::Way;

/// What the metal of the sheet is like, MPa.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Metal {
    /// Tensile strength.
    pub tensile: f64,
    /// Yield strength.
    pub yields: f64,
    /// Elastic modulus.
    pub elastic: f64,
}

/// A part to be bent.
#[derive(Clone, Copy)]
pub struct Task<'a> {
    /// The part.
    pub part: &'a Part,
    /// Its flat.
    pub flat: &'a Flat,
    /// Its metal.
    pub metal: Metal,
    /// The tools.
    pub shop: &'a Shop,
}

/// One bend of an order.
#[derive(Clone, Debug)]
pub struct Step {
    /// Index of the bend in the part.
    pub bend: usize,
    /// How it is made.
    pub way: Way,
    /// The ways tried before, and why not.
    pub refused: Vec<Refusal>,
}

/// An order, or how far one comes.
#[derive(Clone, Debug)]
pub struct Plan {
    /// The bends in order; all of them unless some are blocked.
    pub steps: Vec<Step>,
    /// The bends that cannot be made after the steps, with every way and why not; empty
    /// when the order is whole.
    pub blocked: Vec<(usize, Vec<Refusal>)>,
    /// The first bend that cannot be made when they are made as they were drawn, and why not.
    pub as_drawn: Option<(usize, Vec<Refusal>)>,
}

impl Plan {
    /// Whether every bend can be made.
    pub fn is_whole(&self) -> bool {
        self.blocked.is_empty()
    }

    /// The step that makes a bend, and its number from 1.
    pub fn step(&self, bend: usize) -> Option<(usize, &Step)> {
        let at = self.steps.iter().position(|step| step.bend == bend)?;
        Some((at + 1, &self.steps[at]))
    }
}

/// Most bends of one part that are put in order. Our choice: sets of bends are bits of a word.
pub const MOST_BENDS: usize = 24;

/// Sets of made bends looked at before the search gives up: all there are of 12 bends.
const MOST_SETS: usize = 1 << 12;

/// Finds an order.
///
/// A part of more than [`MOST_BENDS`] bends comes back blocked, without refusals.
pub fn find(task: &Task) -> Plan {
    let count = task.part.bends.len();
    if count > MOST_BENDS {
        let blocked = (0..count).map(|bend| (bend, Vec::new())).collect();
        return Plan { steps: Vec::new(), blocked, as_drawn: None };
    }
    let mut search = Search { task, dead: HashSet::new(), best: Vec::new() };
    let mut steps = Vec::with_capacity(count);
    let whole = search.go_on(&mut steps);
    let as_drawn = as_drawn(task, &steps);
    if whole {
        return Plan { steps, blocked: Vec::new(), as_drawn };
    }
    let steps = search.best;
    let made = made(&steps);
    let left = (0..count).filter(|bend| made & (1 << bend) == 0);
    let refused = |bend: usize| (bend, way::first(task, made, bend).err().unwrap_or_default());
    Plan { blocked: left.map(refused).collect(), steps, as_drawn }
}

/// Where the order of the drawing fails; what of it the found order shares is not tried again.
fn as_drawn(task: &Task, found: &[Step]) -> Option<(usize, Vec<Refusal>)> {
    let shared = found.iter().enumerate().take_while(|(i, step)| *i == step.bend).count();
    (shared..task.part.bends.len()).find_map(|bend| {
        let made = (1_u32 << bend) - 1;
        way::first(task, made, bend).err().map(|refused| (bend, refused))
    })
}

/// The bends of the steps, as bits.
fn made(steps: &[Step]) -> u32 {
    steps.iter().fold(0, |set, step| set | 1 << step.bend)
}

struct Search<'a> {
    task: &'a Task<'a>,
    /// Sets of made bends from which no way leads to the end.
    dead: HashSet<u32>,
    /// The longest row of steps so far.
    best: Vec<Step>,
}

impl Search<'_> {
    /// Whether the steps could be led on to the end; then they are whole.
    fn go_on(&mut self, steps: &mut Vec<Step>) -> bool {
        let set = made(steps);
        let count = self.task.part.bends.len();
        if steps.len() == count {
            return true;
        }
        if self.dead.contains(&set) || self.dead.len() >= MOST_SETS {
            return false;
        }
        for bend in (0..count).filter(|bend| set & (1 << bend) == 0) {
            let Ok((way, refused)) = way::first(self.task, set, bend) else { continue };
            steps.push(Step { bend, way, refused });
            if self.go_on(steps) {
                return true;
            }
            steps.pop();
        }
        if steps.len() > self.best.len() {
            self.best.clone_from(steps);
        }
        self.dead.insert(set);
        false
    }
}

/// How far each bend has been turned when those of a set are made and one is under way.
fn turns(part: &Part, made: u32, under_way: usize, turn: Angle) -> Vec<Angle> {
    let bends = part.bends.iter().enumerate();
    let turn = |(i, bend): (usize, &crate::part::Bend)| match i == under_way {
        true => turn,
        false if made & (1 << i) != 0 => bend.bend.turn(),
        false => Angle::ZERO,
    };
    bends.map(turn).collect()
}

//! In which order a part is bent, on which of the shop's tools, and how it is held.
//!
//! A way to make one bend names the tool, which face is held and so which lies towards the
//! operator; the inside of the bend is always up. A way is refused by what the tool can
//! take (length, force, turn), by what it needs of the sheet (clamp, flange), and by what
//! the part, folded as far as it is then, would hit.
//!
//! The last is tried by sections: what of the part passes a tool along the bend line, whole
//! thickness and all, is projected on the plane square to the line and must stay clear of
//! the tool's section from flat to the angle of the overbend. Steps are as large as the
//! room there is allows, half a degree at the least. The part must also come between the tools, and off them.
//!
//! Of the ways to make a bend the one with most room is taken, of equal ones the first tool
//! of the shop; room beyond [`ENOUGH`] counts as equal. The search goes depth first, for an
//! order in which every bend has enough room, then for one in which every bend has the
//! shop's margin, then for any, and remembers from which sets of made bends none leads on.
//! It tries bends in the order of the part.

mod body;
mod escape;
mod extent;
mod hull;
mod pieces;
mod ranking;
mod refusal;
mod room;
mod section;
mod setup;
mod tools;
mod view;
mod way;

use crate::brake;
use crate::brake::Springback;
use crate::flat::Flat;
use crate::num::Angle;
use crate::part::Part;
use crate::shop::Shop;
use crate::table::Row;
use body::Body;
pub use refusal::Cause;
pub use refusal::Refusal;
pub use refusal::Why;
pub use room::ENOUGH;
pub use room::MARGIN;
pub use room::Room;
pub use room::Setup;
pub use room::Stack;
use std::collections::HashMap;
use std::collections::HashSet;
use std::rc::Rc;
pub use way::Tool;
pub use way::Way;

/// What the metal of the sheet is like, MPa.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Metal {
    /// Tensile strength that the brake must overcome: typical or greatest.
    pub tensile: f64,
    /// Yield strength.
    pub yields: f64,
    /// Elastic modulus.
    pub elastic: f64,
    /// Its row in a handbook's table of springback, where it has one.
    pub springback: Option<Springback>,
}

impl Metal {
    /// A row of the table `material`.
    pub fn of(material: &Row) -> Self {
        Self {
            tensile: material.bending_strength(),
            yields: material.measure("yield"),
            elastic: material.measure("elastic"),
            springback: material.text("springback").and_then(Springback::named),
        }
    }

    /// What a bend round a radius keeps of its angle when the tool lets go: kR where the
    /// handbook has it, else by the formula; none where the sheet springs back whole.
    pub fn kept(&self, radius: f64, thickness: f64) -> Option<f64> {
        let by_row = self.springback.and_then(|row| row.kept(radius / thickness));
        by_row.or_else(|| brake::kept(radius, thickness, self.yields, self.elastic))
    }
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
    /// With which pieces of tool, and how much room that leaves.
    pub setup: Setup,
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
    let mut search = Search::new(task);
    let mut steps = Vec::with_capacity(count);
    let whole = search.levels().into_iter().any(|level| search.run(level, &mut steps));
    let as_drawn = search.as_drawn(&steps);
    if whole {
        return Plan { steps, blocked: Vec::new(), as_drawn };
    }
    let steps = std::mem::take(&mut search.best);
    let made = made(&steps);
    let left = (0..count).filter(|bend| made & (1 << bend) == 0);
    let blocked = left.map(|bend| (bend, search.try_bend(made, bend).refusals())).collect();
    Plan { blocked, steps, as_drawn }
}

/// The bends of the steps, as bits.
fn made(steps: &[Step]) -> u32 {
    steps.iter().fold(0, |set, step| set | 1 << step.bend)
}

/// What came of trying to make a bend: a way, or why there is none.
type Outcome = Result<ranking::Found, Vec<Refusal>>;

struct Search<'a> {
    task: &'a Task<'a>,
    body: Body<'a>,
    /// The sections of the shop's tools.
    tools: tools::Sections,
    /// What is known of a bend after a set of others.
    tried: HashMap<(u32, usize), Rc<Tried>>,
    /// Sets of made bends from which no way leads to the end.
    dead: HashSet<u32>,
    /// The longest row of steps so far.
    best: Vec<Step>,
}

struct Tried(Outcome);

impl Tried {
    fn refusals(&self) -> Vec<Refusal> {
        self.0.as_ref().err().cloned().unwrap_or_default()
    }
}

impl<'a> Search<'a> {
    fn new(task: &'a Task<'a>) -> Self {
        Self {
            task,
            body: Body::new(task.part, task.flat),
            tools: tools::Sections::of(task.shop),
            tried: HashMap::new(),
            dead: HashSet::new(),
            best: Vec::new(),
        }
    }

    /// How much room every bend is to have, most first, mm.
    fn levels(&self) -> [f64; 3] {
        let margin = margin(self.task.shop);
        [setup::enough(margin), margin, 0.0]
    }

    fn run(&mut self, level: f64, steps: &mut Vec<Step>) -> bool {
        self.dead.clear();
        steps.clear();
        self.go_on(level, steps)
    }

    fn try_bend(&mut self, made: u32, bend: usize) -> Rc<Tried> {
        if let Some(known) = self.tried.get(&(made, bend)) {
            return Rc::clone(known);
        }
        let tried = Rc::new(Tried(setup::best(self.task, &self.body, &self.tools, made, bend)));
        self.tried.insert((made, bend), Rc::clone(&tried));
        tried
    }

    /// Whether the steps could be led on to the end; then they are whole.
    fn go_on(&mut self, level: f64, steps: &mut Vec<Step>) -> bool {
        let set = made(steps);
        let count = self.task.part.bends.len();
        if steps.len() == count {
            return true;
        }
        if self.dead.contains(&set) || self.dead.len() >= MOST_SETS {
            return false;
        }
        for bend in (0..count).filter(|bend| set & (1 << bend) == 0) {
            let tried = self.try_bend(set, bend);
            let Ok(found) = &tried.0 else { continue };
            if found.setup.room.mm < level {
                continue;
            }
            steps.push(found.clone().step(bend));
            if self.go_on(level, steps) {
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

    /// Where the order of the drawing fails; what of it the found order shares is known.
    fn as_drawn(&mut self, found: &[Step]) -> Option<(usize, Vec<Refusal>)> {
        let shared = found.iter().enumerate().take_while(|(i, step)| *i == step.bend).count();
        (shared..self.task.part.bends.len()).find_map(|bend| {
            let tried = self.try_bend((1_u32 << bend) - 1, bend);
            tried.0.as_ref().err().map(|refused| (bend, refused.clone()))
        })
    }
}

/// The room the shop wants between part and tools, mm.
pub fn margin(shop: &Shop) -> f64 {
    shop.clearance.unwrap_or(MARGIN)
}

/// How far each bend has been made when those of a set are finished and one is under way.
fn bend_angles(part: &Part, made: u32, under_way: usize, turn: Angle) -> Vec<Angle> {
    let bends = part.bends.iter().enumerate();
    let turn = |(i, bend): (usize, &crate::part::Bend)| match i == under_way {
        true => turn,
        false if made & (1 << i) != 0 => bend.bend.turn(),
        false => Angle::ZERO,
    };
    bends.map(turn).collect()
}

//! The order in which a part is bent, on which of the shop's tools, and how it is clamped.
//!
//! A setup names the tool, which face is clamped and so which is towards the operator; the inside
//! of the bend is always up. A setup is refused by the limits of the tool (length, force, bend
//! angle), by its requirements on the sheet (clamp, flange), and by collisions of the part, as
//! folded at that moment.
//!
//! The last is tried by sections: what of the part passes a tool along the bend line, whole
//! thickness and all, is projected on the plane square to the line and must stay clear of the
//! tool's section from flat to the angle of the overbend. Steps are as large as the clearance
//! allows, at least half a degree. The part must also pass between the tools, and come off them.
//!
//! Of the dies that work for a bend with the shop's margin, the one with the radius nearest to that
//! of the flat is used; of the setups with it, and of folding brakes beside it, the one with the
//! most clearance, and of equal ones the first tool of the shop; clearances beyond `room::ENOUGH`
//! count as equal. If that would change dies within a part, one die is used for all if it does as
//! well; if it would change machines, the part stays on one while that works with the shop's
//! margin. The search is depth first, for an order in which every bend has enough clearance, then
//! for one in which every bend has the shop's margin, then for any, and remembers from which sets
//! of made bends no order continues. It tries bends in the order of the part.
//!
//! Bends are made by hand, where the shop has a tool for it, only if no order makes all of them on
//! its brakes. A bend is then made by hand only at a step at which no brake can make it, and of
//! bends with equal room those of a brake come first: one by hand comes earlier only where that
//! gives more room, or no other order works.
//!
//! Rolled bends and hems are made on no brake: they are made first, out of the flat sheet, and
//! the other bends are tried round them; where that does not work, last.
//!
//! Each bend of the order comes with how it is handled: what its line is measured from as the part
//! lies then, how the part is brought there, what to measure afterwards.

mod block_outline;
mod body;
mod escape;
mod extent;
mod formed;
mod gauge;
mod handled;
mod handling;
mod hull;
mod making;
mod one_die;
mod one_machine;
mod orientation;
mod pieces;
mod plan;
mod plane;
mod prospect;
mod ranking;
mod refusal;
mod room;
mod section;
mod setup;
mod step_section;
mod stretch;
mod task;
mod tool_collision;
mod tools;
mod trial;
mod trials;
mod view;
mod wanted;

use crate::bend::Form;
use crate::shop::Brake;
use body::Body;
pub(crate) use extent::SLANTED_SHARE;
pub use formed::Formed;
pub use formed::Unfit;
pub(crate) use formed::face_reach;
pub(crate) use formed::flat_ends;
pub(crate) use formed::hem_return;
pub use gauge::Gauge;
pub use gauge::Leg;
pub use handled::Handling;
pub use handling::without_tools;
pub(crate) use hull::clipped;
pub use orientation::Action;
pub use orientation::Flip;
pub use plan::Plan;
pub use plan::Step;
pub(crate) use refusal::Cause;
pub(crate) use refusal::Refusal;
pub use refusal::Why;
pub use room::MARGIN;
pub use room::Room;
pub use room::Stack;
pub use room::Tooling;
pub use room::margin;
pub use setup::Setup;
pub use setup::Tool;
pub(crate) use setup::measured_over;
use std::collections::HashMap;
use std::collections::HashSet;
use std::rc::Rc;
pub use step_section::StepSection;
pub use stretch::From as GaugeFrom;
pub use task::Metal;
pub use task::Task;
use tools::Allowed;
use trials::Trials;

/// Maximum number of bends of one part that are put in order. Our choice: sets of bends are bits of
/// a word.
pub const MAX_BENDS: usize = 24;

/// Maximum number of sets of made bends before the search gives up: all those of 12 bends.
const MAX_SETS: usize = 1 << 12;

/// Finds an order.
///
/// A part of more than [`MAX_BENDS`] bends comes back blocked, without refusals.
pub fn find(task: &Task) -> Plan {
    found(task, false)
}

/// Whether a bend can be made after the steps of an order, by hand where the shop has a tool for that.
pub(crate) fn is_made_after(task: &Task, plan: &Plan, bend: usize) -> bool {
    let body = Body::new(task.part, task.flat);
    let tools = tools::Sections::of(task.shop, Allowed { v: None, brake: None, by_hand: true });
    let formed = plan.formed.iter().filter(|_| !plan.formed_last);
    let set = formed.fold(made(&plan.steps), |set, formed| set | 1 << formed.bend);
    let of = (bend, task.part.bends[bend].bend.angle());
    wanted::best(task, &body, (&tools, &Trials::default()), set, of).is_ok()
}

/// The same order, found slowly: every moment of every bend is tested, all of the part is
/// calculated again at each, and nothing is stored. The shortcuts of [`find`] are tested against
/// it.
pub fn find_plainly(task: &Task) -> Plan {
    found(task, true)
}

fn found(task: &Task, plain: bool) -> Plan {
    let count = task.part.bends.len();
    if count > MAX_BENDS {
        let blocked = (0..count).map(|bend| (bend, Vec::new())).collect();
        return Plan { blocked, ..Plan::default() };
    }
    let mut body = Body::new(task.part, task.flat);
    body.plain = plain;
    let known = (&body, &Trials::default());
    let over = |brake: Option<usize>| {
        let of = |v: Option<f64>| ordered(task, known, Allowed { v, brake, by_hand: false });
        one_die::over(task, of(None), &|v| of(Some(v)))
    };
    let plan = one_machine::over(task, known, over(None), &|brake| over(Some(brake)));
    Plan { handling: handling::all(task, &plan), ..plan }
}

/// The part as it is bent, and the results of earlier trials.
type Known<'a> = (&'a Body<'a>, &'a Trials);

/// The order with its setups.
fn ordered(task: &Task, known: Known, allowed: Allowed) -> Plan {
    let count = task.part.bends.len();
    let is_formed = |bend: &usize| task.part.bends[*bend].bend.form() != Form::Bent;
    let (formed, bent): (Vec<usize>, Vec<usize>) = (0..count).partition(is_formed);
    let first = planned(task, known, [&formed, &bent], (false, allowed));
    if formed.is_empty() || first.is_whole() {
        return first;
    }
    let last = planned(task, known, [&formed, &bent], (true, allowed));
    if last.is_whole() { last } else { first }
}

/// The order of the bends that are made on brakes, before or after the others.
fn planned(
    task: &Task,
    known: Known,
    [formed, bent]: [&[usize]; 2],
    (formed_last, allowed): (bool, Allowed),
) -> Plan {
    let start = if formed_last { 0 } else { formed.iter().fold(0, |set, bend| set | 1 << bend) };
    let mut steps = Vec::with_capacity(bent.len());
    let mut search = Search::new((task, known), bent, start, allowed);
    let mut whole = search.is_found(&mut steps);
    if !whole && task.shop.brakes.iter().any(Brake::is_by_hand) {
        let by_hand = Allowed { by_hand: true, ..allowed };
        search = Search::new((task, known), bent, start, by_hand);
        whole = search.is_found(&mut steps);
    }
    let as_drawn = search.as_drawn(&steps);
    let plan = Plan {
        formed: search.formed(formed, formed_last),
        formed_last,
        as_drawn,
        ..Plan::default()
    };
    if whole {
        return Plan { steps, ..plan };
    }
    let steps = std::mem::take(&mut search.best);
    let made = start | made(&steps);
    let left = bent.iter().filter(|bend| made & (1 << **bend) == 0);
    let blocked = left.map(|bend| (*bend, search.try_bend(made, *bend).refusals())).collect();
    Plan { blocked, steps, ..plan }
}

/// The bends of the steps, as bits.
fn made(steps: &[Step]) -> u32 {
    steps.iter().fold(0, |set, step| set | 1 << step.bend)
}

/// The results of trying to make a bend: a setup, or why there is none.
type Outcome = Result<ranking::Found, Vec<Refusal>>;

struct Search<'a> {
    task: &'a Task<'a>,
    /// The bends that are to be made on brakes, in the order of the part.
    bent: &'a [usize],
    /// The bends that are made before, as bits.
    start: u32,
    body: &'a Body<'a>,
    trials: &'a Trials,
    /// The sections of the shop's tools.
    tools: tools::Sections,
    /// The result of a bend after a set of others.
    tried: HashMap<(u32, usize), Rc<Tried>>,
    /// Sets of made bends from which no order leads to the end.
    dead: HashSet<u32>,
    /// The longest row of steps found.
    best: Vec<Step>,
}

struct Tried(Outcome);

impl Tried {
    fn refusals(&self) -> Vec<Refusal> {
        self.0.as_ref().err().cloned().unwrap_or_default()
    }
}

impl<'a> Search<'a> {
    fn new(
        (task, (body, trials)): (&'a Task<'a>, Known<'a>),
        bent: &'a [usize],
        start: u32,
        allowed: Allowed,
    ) -> Self {
        Self {
            task,
            bent,
            start,
            body,
            trials,
            tools: tools::Sections::of(task.shop, allowed),
            tried: HashMap::new(),
            dead: HashSet::new(),
            best: Vec::new(),
        }
    }

    /// How much room every bend is to have, most first, mm.
    fn levels(&self) -> [f64; 3] {
        let margin = margin(self.task.shop);
        [room::enough(margin), margin, 0.0]
    }

    /// Whether there is an order, of which the steps are then those.
    fn is_found(&mut self, steps: &mut Vec<Step>) -> bool {
        self.levels().into_iter().any(|level| self.run(level, steps))
    }

    /// The bends that are not made yet, in the order in which they are tried: that of the part, those
    /// that only a person makes behind the others.
    fn left(&mut self, set: u32) -> Vec<usize> {
        let bent = self.bent.iter().copied();
        let mut left: Vec<usize> = bent.filter(|bend| set & (1 << bend) == 0).collect();
        if self.tools.allowed.by_hand {
            let brakes = &self.task.shop.brakes;
            left.sort_by_key(|bend| {
                let tried = self.try_bend(set, *bend);
                tried.0.as_ref().is_ok_and(|found| brakes[found.setup.brake].is_by_hand())
            });
        }
        left
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
        let of = (bend, self.task.part.bends[bend].bend.angle());
        let tried = Rc::new(Tried(wanted::best(
            self.task,
            self.body,
            (&self.tools, self.trials),
            made,
            of,
        )));
        self.tried.insert((made, bend), Rc::clone(&tried));
        tried
    }

    /// Whether the steps could be led on to the end; then they are whole.
    fn go_on(&mut self, level: f64, steps: &mut Vec<Step>) -> bool {
        let set = self.start | made(steps);
        if steps.len() == self.bent.len() {
            return true;
        }
        if self.dead.contains(&set) || self.dead.len() >= MAX_SETS {
            return false;
        }
        for bend in self.left(set) {
            let tried = self.try_bend(set, bend);
            let Ok(found) = &tried.0 else { continue };
            if found.tooling.room.mm < level {
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

    /// What each rolled bend and each hem is made on: out of the flat sheet, or after the others.
    fn formed(&self, bends: &[usize], last: bool) -> Vec<Formed> {
        let made = if last { self.bent.iter().fold(0, |set, bend| set | 1 << bend) } else { 0 };
        let of = making::Making {
            task: self.task,
            body: self.body,
            sections: (&self.tools, self.trials),
            made,
            is_flat: bends.len() == 1 && !last,
        };
        bends.iter().map(|bend| of.formed(*bend)).collect()
    }

    /// Where the order of the drawing fails; what of it the found order shares is known.
    fn as_drawn(&mut self, found: &[Step]) -> Option<(usize, Vec<Refusal>)> {
        let bent = self.bent;
        let shared = bent.iter().zip(found).take_while(|(bend, step)| **bend == step.bend).count();
        (shared..bent.len()).find_map(|at| {
            let before = bent[..at].iter().fold(self.start, |set, bend| set | 1 << bend);
            let bend = bent[at];
            let tried = self.try_bend(before, bend);
            tried.0.as_ref().err().map(|refused| (bend, refused.clone()))
        })
    }
}

//! Few changes of machine and of tool within a part: where the one at hand does as well, the part
//! stays there.
//!
//! The order is searched again on each machine alone, in parts of few bends. Otherwise it is left as
//! it is, and each machine is kept for as many bends as it makes in a row, then each of its tools. What
//! is bent in a vice or by hand stays there, and nothing else is brought to it: a brake bends better.

use crate::sequence::body::Body;
use crate::sequence::one_die::as_good_radius;
use crate::sequence::plan::Plan;
use crate::sequence::plan::Step;
use crate::sequence::ranking::Found;
use crate::sequence::refusal::Refusal;
use crate::sequence::refusal::Why;
use crate::sequence::room::margin;
use crate::sequence::setup::Setup;
use crate::sequence::task::Task;
use crate::sequence::tools::Allowed;
use crate::sequence::tools::Sections;
use crate::sequence::trials::Trials;
use crate::sequence::wanted;
use crate::shop::FoldingKind;
use crate::shop::Tools;

/// Maximum number of bends of a part whose order is searched again on one machine. Our choice: the
/// time doubles with each.
const FEW: usize = 6;

/// The plan with as few changes of machine and of tool as the shop's room between part and tools
/// allows. `ordered` finds the order on one machine.
pub(super) fn over(
    task: &Task,
    known: (&Body, &Trials),
    plan: Plan,
    ordered: &dyn Fn(usize) -> Plan,
) -> Plan {
    let used = brakes(task, &plan);
    let changes = plan.steps.windows(2).any(|both| both[0].setup.brake != both[1].setup.brake);
    if !plan.is_whole() || (!changes && tools(task, &plan).len() < 2) {
        return plan;
    }
    if changes && plan.steps.len() <= FEW {
        let as_good = |other: &Plan| is_as_good(task, &plan, other);
        if let Some(better) = used.iter().map(|brake| ordered(*brake)).find(as_good) {
            return kept(task, known, better);
        }
    }
    kept(task, known, plan)
}

/// Whether another plan is on one machine with the shop's margin, or that of the plan, no radius
/// much farther off, and no more bends by hand.
fn is_as_good(task: &Task, plan: &Plan, other: &Plan) -> bool {
    let room = |plan: &Plan| {
        let all = plan.steps.iter().map(|step| step.tooling.room.mm);
        all.fold(f64::INFINITY, f64::min)
    };
    let by_hand =
        |plan: &Plan| plan.steps.iter().filter(|step| is_by_hand(task, &step.setup)).count();
    let is_near = |step: &Step| {
        plan.step(step.bend).is_some_and(|(_, own)| as_good_radius(task, own, &step.setup))
    };
    other.is_whole()
        && brakes(task, other).len() < 2
        && room(other) >= room(plan).min(margin(task.shop))
        && by_hand(other) <= by_hand(plan)
        && other.steps.iter().all(is_near)
}

fn is_by_hand(task: &Task, setup: &Setup) -> bool {
    task.shop.brakes[setup.brake].is_by_hand()
}

/// Whether a setup is on a brake, rather than in a vice or by hand.
fn is_on_brake(task: &Task, setup: &Setup) -> bool {
    match &task.shop.brakes[setup.brake].tools {
        Tools::Folding(folding) => {
            !matches!(folding.kind, FoldingKind::Vice | FoldingKind::Hand(_))
        }
        Tools::Press(_) => true,
    }
}

/// The brakes of a plan, in its order.
fn brakes(task: &Task, plan: &Plan) -> Vec<usize> {
    let mut used: Vec<usize> = Vec::new();
    for step in plan.steps.iter().filter(|step| is_on_brake(task, &step.setup)) {
        if !used.contains(&step.setup.brake) {
            used.push(step.setup.brake);
        }
    }
    used
}

/// A setup for each of the tools of its brakes, in its order.
fn tools(task: &Task, plan: &Plan) -> Vec<Setup> {
    let mut used: Vec<Setup> = Vec::new();
    for step in plan.steps.iter().filter(|step| is_on_brake(task, &step.setup)) {
        if !used.iter().any(|known| known.same_tool(&step.setup)) {
            used.push(step.setup);
        }
    }
    used
}

/// What came of a bend on one of the tools.
enum Came {
    Works(Found),
    Refused(Vec<Refusal>),
}

/// The plan in its order, each machine kept for as many bends as it can make in a row.
fn kept(task: &Task, (body, trials): (&Body, &Trials), mut plan: Plan) -> Plan {
    let tools = tools(task, &plan);
    let sections = Sections::of(task.shop, Allowed { by_hand: true, ..Allowed::default() });
    let formed = if plan.formed_last { &[][..] } else { &plan.formed };
    let mut made = formed.iter().fold(0, |set, formed| set | 1 << formed.bend);
    let mut came: Vec<Vec<Came>> = Vec::with_capacity(plan.steps.len());
    for step in &plan.steps {
        let of = (step.bend, task.part.bends[step.bend].bend.angle());
        let on = |tool: &Setup| {
            if !is_on_brake(task, &step.setup) {
                return Came::Refused(Vec::new());
            }
            if tool.same_tool(&step.setup) {
                let (setup, tooling) = (step.setup, step.tooling.clone());
                return Came::Works(Found { setup, tooling, refused: step.refused.clone() });
            }
            let tried = wanted::best_on(task, body, (&sections, trials), made, of, tool);
            judged(task, step, tried)
        };
        came.push(tools.iter().map(on).collect());
        made |= 1 << step.bend;
    }
    for ((step, row), tool) in plan.steps.iter_mut().zip(&came).zip(chosen(&tools, &came)) {
        if let Some(Came::Works(found)) = tool.map(|tool| &row[tool]) {
            *step = instead(step, found);
        }
    }
    say_why(&mut plan, &tools, &came);
    plan
}

/// The result of a setup in place of that of a step: rejected if it has less than the shop's margin
/// and the step has more, or if its radius is worse.
fn judged(task: &Task, step: &Step, tried: Result<Found, Vec<Refusal>>) -> Came {
    match tried {
        Err(refused) => Came::Refused(refused),
        Ok(found) => {
            let wanted = margin(task.shop).min(step.tooling.room.mm);
            let has_room = found.tooling.room.mm >= wanted;
            match has_room && as_good_radius(task, step, &found.setup) {
                true => Came::Works(found),
                false if has_room => Came::Refused(Vec::new()),
                false => {
                    let why = found.tooling.room.too_little();
                    Came::Refused(vec![Refusal { setup: found.setup, why }])
                }
            }
        }
    }
}

/// The tool of each bend; `None` if it is made in a vice or by hand.
fn chosen(tools: &[Setup], came: &[Vec<Came>]) -> Vec<Option<usize>> {
    let room = |at: usize, tool: usize| match &came[at][tool] {
        Came::Works(found) => Some(found.tooling.room.mm),
        Came::Refused(_) => None,
    };
    let works = |at: usize, tool: usize| room(at, tool).is_some();
    let mut chosen = Vec::with_capacity(came.len());
    while chosen.len() < came.len() {
        let at = chosen.len();
        // The machine that makes most in a row, then its tool that does.
        let run = |on: &dyn Fn(usize, usize) -> bool| {
            (at..came.len()).take_while(|at| (0..tools.len()).any(|tool| on(*at, tool))).count()
        };
        let on_brake = |tool: usize| {
            run(&|at, other| tools[other].brake == tools[tool].brake && works(at, other))
        };
        let on_tool = |tool: usize| run(&|at, other| other == tool && works(at, other));
        let can = (0..tools.len()).filter(|tool| works(at, *tool));
        let least = |tool: usize| {
            let rooms = (at..at + on_tool(tool)).filter_map(|at| room(at, tool));
            rooms.fold(f64::INFINITY, f64::min)
        };
        // Of equal ones that with most room, then the first that the plan names.
        let best = can.rev().max_by(|a, b| {
            let long = |tool: usize| (on_brake(tool), on_tool(tool));
            long(*a).cmp(&long(*b)).then(least(*a).total_cmp(&least(*b)))
        });
        match best {
            Some(tool) => chosen.extend(std::iter::repeat_n(Some(tool), on_tool(tool))),
            None => chosen.push(None),
        }
    }
    chosen
}

/// A setup in place of that of a step.
fn instead(step: &Step, found: &Found) -> Step {
    if found.setup.same_tool(&step.setup) {
        return step.clone();
    }
    let mut refused = step.refused.clone();
    refused.retain(|refusal| !refusal.setup.same_tool(&found.setup));
    refused.push(Refusal { setup: step.setup, why: Why::NotNeeded });
    Step { refused, ..found.clone().step(step.bend) }
}

/// Adds to each step at which the machine changes why the one before does not make it.
fn say_why(plan: &mut Plan, tools: &[Setup], came: &[Vec<Came>]) {
    for at in 1..plan.steps.len() {
        let before = plan.steps[at - 1].setup;
        if before.brake == plan.steps[at].setup.brake {
            continue;
        }
        let of = tools.iter().zip(&came[at]).filter(|(tool, _)| tool.brake == before.brake);
        for refused in of.filter_map(|(_, came)| match came {
            Came::Refused(refused) => Some(refused),
            Came::Works(_) => None,
        }) {
            let known = &mut plan.steps[at].refused;
            let new = refused.iter().filter(|refusal| !known.contains(refusal));
            let new: Vec<Refusal> = new.cloned().collect();
            known.extend(new);
        }
    }
}

//! One die for all bends of a part, where one does as well as several: fewer tools are changed.

use crate::bend::Bend;
use crate::sequence::plan::Plan;
use crate::sequence::plan::Step;
use crate::sequence::room::margin;
use crate::sequence::task::Task;
use crate::sequence::tools::SAME_V;
use crate::sequence::tools::off;

/// A radius so many times the one asked for, or that part of it, is as good as a nearer one: what
/// brings no caution. Our choice.
const AS_GOOD: f64 = 1.2;

/// The plan, or one over a single V of those it uses: with the room the shop wants, and no radius
/// farther off than what is as good, or than in the plan. `ordered` finds the order over one V.
pub(super) fn over(task: &Task, plan: Plan, ordered: &dyn Fn(f64) -> Plan) -> Plan {
    let used = used(task, &plan);
    if used.len() < 2 || !plan.is_whole() {
        return plan;
    }
    let least = |plan: &Plan| {
        plan.steps.iter().map(|step| step.tooling.room.mm).fold(f64::INFINITY, f64::min)
    };
    let room = least(&plan).min(margin(task.shop));
    let ratio = |step: &Step| step.setup.v(task.shop).map_or(1.0, |v| off(bend(task, step), v));
    let farthest = |plan: &Plan, of: usize| plan.step(of).map_or(1.0, |(_, step)| ratio(step));
    let as_good = |other: &Plan| {
        let far = |step: &Step| ratio(step) > AS_GOOD.max(farthest(&plan, step.bend));
        other.is_whole() && least(other) >= room && !other.steps.iter().any(far)
    };
    let others = used.into_iter().map(ordered);
    let better = others.filter(as_good).min_by(|a, b| {
        let worst = |plan: &Plan| plan.steps.iter().map(ratio).fold(1.0, f64::max);
        worst(a).total_cmp(&worst(b))
    });
    better.unwrap_or(plan)
}

fn bend<'a>(task: &Task<'a>, step: &Step) -> &'a Bend {
    &task.part.bends[step.bend].bend
}

/// The openings the plan uses, mm, in its order.
fn used(task: &Task, plan: &Plan) -> Vec<f64> {
    let mut used: Vec<f64> = Vec::new();
    for v in plan.steps.iter().filter_map(|step| step.setup.v(task.shop)) {
        if !used.iter().any(|known| (known - v).abs() < SAME_V) {
            used.push(v);
        }
    }
    used
}

//! One die for all bends of a part, where one does as well as several: fewer tools are changed.

use crate::bend::Bend;
use crate::bend::Method;
use crate::sequence::plan::Plan;
use crate::sequence::plan::Step;
use crate::sequence::room::margin;
use crate::sequence::setup::Setup;
use crate::sequence::setup::measured_over;
use crate::sequence::task::Task;
use crate::sequence::tools::off;
use crate::shop::SAME_V;

/// A radius within this ratio of the required one is as good as a nearer one: no larger deviation
/// than the limit of the caution. Our choice.
const AS_GOOD: f64 = 1.2;

/// The plan, or one over a single V of those it uses: with the shop's margin, and no radius farther
/// off than the tolerance, or than in the plan. `ordered` finds the order over one V.
pub(super) fn over(task: &Task, plan: Plan, ordered: &dyn Fn(f64) -> Plan) -> Plan {
    let used = used(task, &plan);
    if used.len() < 2 || !plan.is_whole() {
        return plan;
    }
    let least = |plan: &Plan| {
        plan.steps.iter().map(|step| step.tooling.room.mm).fold(f64::INFINITY, f64::min)
    };
    let room = least(&plan).min(margin(task.shop));
    let ratio = |step: &Step| ratio(bend(task, step), &step.setup, task);
    let as_good = |other: &Plan| {
        let far = |step: &Step| {
            let own = plan.step(step.bend);
            own.is_some_and(|(_, own)| !as_good_radius(task, own, &step.setup))
        };
        other.is_whole() && least(other) >= room && !other.steps.iter().any(far)
    };
    let others = used.into_iter().map(ordered);
    let better = others.filter(as_good).min_by(|a, b| {
        let worst = |plan: &Plan| plan.steps.iter().map(ratio).fold(1.0, f64::max);
        worst(a).total_cmp(&worst(b))
    });
    better.unwrap_or(plan)
}

/// Whether the radius of a bend in another setup is as good as that of its step, or no farther off.
pub(super) fn as_good_radius(task: &Task, step: &Step, other: &Setup) -> bool {
    let bend = bend(task, step);
    let was = ratio(bend, &step.setup, task);
    // A row is valid for its own V alone: another radius within the tolerance brings a caution.
    let most = if is_measured(bend) { was } else { AS_GOOD.max(was) };
    ratio(bend, other, task) <= most
}

/// The deviation of a setup's radius from the required one. A bend by a measured row is farther off
/// over any other V than its own, and on a tool without a V farther than over any.
fn ratio(bend: &Bend, setup: &Setup, task: &Task) -> f64 {
    match setup.v(task.shop) {
        Some(v) if is_measured(bend) && measured_over(bend, v).is_none() => off(bend, v).next_up(),
        Some(v) => off(bend, v),
        None if is_measured(bend) => f64::INFINITY,
        None => 1.0,
    }
}

fn is_measured(bend: &Bend) -> bool {
    matches!(bend.method(), Method::Measured { .. })
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

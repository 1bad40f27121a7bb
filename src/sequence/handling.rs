//! The operator's data for each bend of a sequence besides the tool: how the part lies, the gauge
//! of its line, the dimension to check afterwards.

use crate::bend::Form;
use crate::brake;
use crate::flat::Flat;
use crate::geom::cross;
use crate::geom::dot;
use crate::num::Angle;
use crate::part::Part;
use crate::sequence::body::Body;
use crate::sequence::extent;
use crate::sequence::gauge;
use crate::sequence::gauge::Leg;
use crate::sequence::gauge::Reach;
use crate::sequence::handled::Handling;
use crate::sequence::orientation;
use crate::sequence::orientation::Action;
use crate::sequence::plan::Plan;
use crate::sequence::plan::Step;
use crate::sequence::room::Stack;
use crate::sequence::section::Bending;
use crate::sequence::stretch::Line;
use crate::sequence::task::Task;
use crate::shop::Folding;
use crate::shop::Shop;
use crate::shop::Tools;

/// One bend to be handled.
struct Doing<'a> {
    bend: usize,
    made: u32,
    step: Option<&'a Step>,
}

/// How every bend of a plan is handled, in its order.
pub(super) fn all(task: &Task, plan: &Plan) -> Vec<Handling> {
    let formed = plan.formed.iter().map(|formed| (formed.bend, None));
    let bent = plan.steps.iter().map(|step| (step.bend, Some(step)));
    let order: Vec<(usize, Option<&Step>)> = match plan.formed_last {
        true => bent.chain(formed).collect(),
        false => formed.chain(bent).collect(),
    };
    of_order(task.part, task.flat, &order, Some(task))
}

/// How the bends are handled with no tools: in the order of the recipe, but rolled bends and hems
/// first, while no flange beside them keeps out what closes them.
///
/// Empty for a part of more bends than a word has bits.
pub fn without_tools(part: &Part, flat: &Flat) -> Vec<Handling> {
    let is_bent = |i: &usize| part.bends[*i].bend.form() == Form::Bent;
    let (bent, formed): (Vec<usize>, Vec<usize>) = (0..part.bends.len()).partition(is_bent);
    let order = formed.into_iter().chain(bent);
    let order: Vec<(usize, Option<&Step>)> = order.map(|bend| (bend, None)).collect();
    let few = part.bends.len() <= u32::BITS as usize;
    if few { of_order(part, flat, &order, None) } else { Vec::new() }
}

fn of_order(
    part: &Part,
    flat: &Flat,
    order: &[(usize, Option<&Step>)],
    task: Option<&Task>,
) -> Vec<Handling> {
    let body = Body::new(part, flat);
    let mut made = 0;
    let mut found: Vec<Handling> = Vec::with_capacity(order.len());
    let mut plate_before: Vec<bool> = Vec::new();
    for (bend, step) in order {
        let doing = Doing { bend: *bend, made, step: *step };
        let target = part.bends[*bend].bend.angle();
        let bending = Bending::new(&body, made, (*bend, target));
        let mut handling = one(&bending, &doing, task);
        let shares = handling.level.iter().zip(&plate_before).any(|(now, before)| *now && *before);
        let upright = handling.upright || found.last().is_some_and(|before| before.upright);
        if let (true, Some(before)) = (shares && !upright, found.last()) {
            handling.action = orientation::between(&before.orientation, &handling.orientation);
        }
        plate_before.clone_from(&handling.level);
        found.push(handling);
        made |= 1 << bend;
    }
    found
}

fn one(bending: &Bending, doing: &Doing, task: Option<&Task>) -> Handling {
    let (part, drawn) = (bending.body.part, bending.drawn());
    let hold = doing.step.map_or(drawn.from, |step| step.setup.hold);
    let moves = if hold == drawn.from { drawn.to } else { drawn.from };
    let line = Line::new(bending, hold);
    let made_on = doing.step.zip(task);
    let folding = made_on.and_then(|(step, task)| folding(task.shop, step));
    let reach = match (made_on, folding) {
        (None, _) => Reach::All,
        (Some(_), Some(folding)) => Reach::Covered(depth(folding)),
        (Some(_), None) => Reach::Stop,
    };
    let gauge = gauge::find(bending, &line, reach);
    let bend = &drawn.bend;
    let upright = folding.is_some_and(|folding| folding.kind.stands_up());
    let towards = if upright { -line.towards() } else { line.towards() };
    let moving = moving(bending, hold);
    let leg = gauge::to_check(bending, &line, gauge, &moving);
    let to_outside = bend.caliper_setback() - bend.allowance() / 2.0;
    Handling {
        bend: doing.bend,
        made: doing.made,
        hold,
        moves,
        level: (0..part.faces.len()).map(|face| bending.is_plate(face)).collect(),
        gauge,
        leg: leg
            .filter(|_| bend.form() != Form::Rolled)
            .map(|gauge| Leg { gauge, mm: gauge.distance + to_outside }),
        moving,
        upright,
        hangs: doing.step.filter(|_| upright).map(|step| extent::hangs(bending, &step.setup)),
        orientation: orientation::place(towards, drawn.up),
        action: Action::Lay,
        sight: folding.map(|_| brake::sight_line(bend.radius()) - bend.allowance() / 2.0),
        range: made_on.and_then(|(step, task)| {
            let radius = step.setup.radius(task.shop, bend);
            if task.measured(step.setup.v(task.shop)).is_some() {
                return None;
            }
            bend_to(task, bend.angle(), radius)
        }),
        from_left: doing.step.map_or_else(Vec::new, |step| {
            step.tooling.stacks.iter().map(|stack| from_left(bending, hold, stack)).collect()
        }),
    }
}

/// The faces on the moving side of a bend.
fn moving(bending: &Bending, hold: usize) -> Vec<bool> {
    let drawn = bending.drawn();
    let mut carried = vec![false; bending.body.part.faces.len()];
    // A bend comes after the one that carries its face.
    for bend in &bending.body.part.bends {
        carried[bend.to] = std::ptr::eq(bend, drawn) || carried[bend.from];
    }
    let held_stands = hold == drawn.from;
    carried.into_iter().map(|carried| carried == held_stands).collect()
}

/// The folding brake of a step.
fn folding<'a>(shop: &'a Shop, step: &Step) -> Option<&'a Folding> {
    match &shop.brakes[step.setup.brake].tools {
        Tools::Folding(folding) => Some(folding),
        Tools::Press(_) => None,
    }
}

/// How far behind the bend the tools of a folding brake cover the sheet, mm.
fn depth(folding: &Folding) -> f64 {
    let fingers = folding.fingers.as_ref().map(|fingers| &fingers.section);
    let all = [Some(&folding.beam), Some(&folding.bed), fingers].into_iter().flatten();
    all.map(|section| -section.bounds().min.x).fold(0.0, f64::max)
}

/// The range of angles a bend may need under load to rest at its nominal angle, where its
/// springback is computed and was not measured.
///
/// The sheet yields somewhere between the yield strength of its row and its tensile strength, which
/// it cannot exceed; the handbook's share is added. `None` if it springs back fully.
fn bend_to(task: &Task, angle: Angle, radius: f64) -> Option<[Angle; 2]> {
    let (metal, thickness) = (task.metal, task.part.thickness);
    let by = |yields: f64| brake::kept(radius, thickness, yields, metal.elastic);
    let shares =
        [metal.kept(radius, thickness)?, by(metal.yield_strength)?, by(metal.tensile_strength)?];
    let max = shares.into_iter().fold(0.0, f64::max);
    let min = shares.into_iter().fold(f64::INFINITY, f64::min);
    Some([max, min].map(|kept| brake::angle_under_load(angle, kept)))
}

/// Where pieces of a tool begin, mm from the end of the line at the operator's left.
fn from_left(bending: &Bending, hold: usize, stack: &Stack) -> f64 {
    let sign = if hold == bending.drawn().from { 1.0 } else { -1.0 };
    let plane = bending.plane(&bending.flat.bend.frame_at(0.5), sign);
    // To the right for a viewer looking against u, v up.
    let right = cross(plane.v, plane.u);
    let starts_left = dot(right, bending.flat.bend.start.x) > 0.0;
    let strip = bending.strip();
    let ends = [strip.line.from, strip.line.to].map(|p| strip.to_its_own().apply(p).x);
    let [low, high] = [ends[0].min(ends[1]), ends[0].max(ends[1])];
    if starts_left { stack.from - low } else { high - stack.from - stack.width() }
}

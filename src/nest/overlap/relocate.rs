//! Moving one part to where it overlaps less.

use crate::nest::overlap::placements::Ground;
use crate::nest::overlap::placements::Seat;
use crate::nest::random::Dice;

/// Places tried near the part, and anywhere. Both after arXiv 2509.13329.
const NEAR: usize = 25;
const ANYWHERE: usize = 50;

/// So many of the best are improved step by step. After the same.
const KEPT: usize = 3;

/// A place and what its overlaps count there.
type Found = (f64, Seat);

/// Puts a part to the best place found, never to a worse one.
pub(crate) fn relocate(ground: &mut Ground, item: usize, part: usize, dice: &mut Dice) {
    let now = ground.parts()[part];
    let loss = ground.loss(part, &now, f64::INFINITY);
    let mut best: Vec<Found> = vec![(loss, now)];
    let form = &ground.kit.forms[now.form];
    let small = (form.most.0 - form.least.0).min(form.most.1 - form.least.1);
    let (half_x, half_y) = ((form.most.0 - form.least.0) / 2.0, (form.most.1 - form.least.1) / 2.0);
    let centre =
        (now.x + (form.most.0 + form.least.0) / 2.0, now.y + (form.most.1 + form.least.1) / 2.0);
    let home = ground
        .yards
        .iter()
        .position(|y| y.low.0 <= centre.0 && centre.0 <= y.high.0)
        .unwrap_or_default();
    let forms = ground.kit.forms_of(item);
    let (leans, level) = (ground.kit.leans(item), ground.kit.level_of(item));
    for i in 0..NEAR + ANYWHERE {
        let any = dice.below(forms.len());
        // Of many forms, the present one is tried as often as all others together.
        let form = match leans {
            true if i % 2 == 0 => now.form,
            true if ground.level => level[any % level.len()],
            _ => forms.start + any,
        };
        let shape = &ground.kit.forms[form];
        let yard = if i < NEAR || !ground.roaming { home } else { any_yard(ground, part, dice) };
        let Some((low, high)) = ground.yards[yard].room(shape) else { continue };
        let (x, y) = if i < NEAR {
            let middle_x = centre.0 - (shape.most.0 + shape.least.0) / 2.0;
            let middle_y = centre.1 - (shape.most.1 + shape.least.1) / 2.0;
            let x = dice.between(middle_x - half_x, middle_x + half_x).clamp(low.0, high.0);
            (x, dice.between(middle_y - half_y, middle_y + half_y).clamp(low.1, high.1))
        } else {
            (dice.between(low.0, high.0), dice.between(low.1, high.1))
        };
        let seat =
            Seat { form, x: x.round().clamp(low.0, high.0), y: y.round().clamp(low.1, high.1) };
        let limit = if best.len() < KEPT { f64::INFINITY } else { best[best.len() - 1].0 };
        let loss = ground.loss(part, &seat, limit);
        if loss < limit {
            keep(&mut best, (loss, seat), 0.05 * small);
        }
    }
    for found in &mut best {
        *found = descend(ground, part, *found, 0.25 * small, 0.02 * small, dice);
    }
    let first = |a: &Found, b: &Found| a.0.total_cmp(&b.0);
    let Some(found) = best.into_iter().min_by(first) else { return };
    let found = descend(ground, part, found, 0.01 * small, 0.001 * small, dice);
    if found.1 != now {
        ground.put(part, found.1);
    }
}

/// A yard by chance that a part may lie on, the larger the likelier.
fn any_yard(ground: &Ground, part: usize, dice: &mut Dice) -> usize {
    let yards = &ground.yards;
    if yards.len() == 1 {
        return 0;
    }
    let length = |i: usize| match ground.admits(&yards[i], part) {
        true => yards[i].high.0 - yards[i].low.0,
        false => 0.0,
    };
    let all: f64 = (0..yards.len()).map(length).sum();
    let mut at = dice.unit() * all;
    (0..yards.len())
        .find(|i| {
            at -= length(*i);
            at < 0.0
        })
        .unwrap_or_default()
}

/// Keeps the few best that are not all but the same.
fn keep(best: &mut Vec<Found>, found: Found, apart: f64) {
    let same = |a: &Seat, b: &Seat| {
        a.form == b.form && (a.x - b.x).abs() < apart && (a.y - b.y).abs() < apart
    };
    if let Some(twin) = best.iter().position(|b| same(&b.1, &found.1)) {
        if best[twin].0 <= found.0 {
            return;
        }
        best.remove(twin);
    }
    let at = best.partition_point(|b| b.0 <= found.0);
    best.insert(at, found);
    best.truncate(KEPT);
}

/// Steps along the axes and the diagonals as long as they help, ever smaller ones.
fn descend(
    ground: &mut Ground,
    part: usize,
    mut best: Found,
    step: f64,
    least: f64,
    dice: &mut Dice,
) -> Found {
    let shape = &ground.kit.forms[best.1.form];
    let x = best.1.x + (shape.most.0 + shape.least.0) / 2.0;
    let home = ground.yards.iter().find(|y| y.low.0 <= x && x <= y.high.0);
    let Some((low, high)) = home.and_then(|y| y.room(shape)) else { return best };
    let (mut step_x, mut step_y) = (step, step);
    let mut axis = dice.below(4);
    let least = least.max(1.0);
    while best.0 > 0.0 && step_x.max(step_y) >= least {
        let (dx, dy) = match axis {
            0 => (step_x, 0.0),
            1 => (0.0, step_y),
            2 => (step_x, step_y),
            _ => (step_x, -step_y),
        };
        let mut better = false;
        let from = best.1;
        for (dx, dy) in [(dx, dy), (-dx, -dy)] {
            let seat = Seat {
                form: from.form,
                x: (from.x + dx).round().clamp(low.0, high.0),
                y: (from.y + dy).round().clamp(low.1, high.1),
            };
            if seat == from {
                continue;
            }
            let loss = ground.loss(part, &seat, best.0);
            if loss < best.0 {
                best = (loss, seat);
                better = true;
            }
        }
        let factor = if better { 1.1 } else { 0.5 };
        match axis {
            0 => step_x *= factor,
            1 => step_y *= factor,
            _ => {
                let factor = factor.sqrt();
                step_x *= factor;
                step_y *= factor;
            }
        }
        if !better {
            axis = dice.below(4);
        }
    }
    best
}

//! Moving one part to where it overlaps less: sampling, then coordinate descent.

use crate::nest::overlap::placements::Placement;
use crate::nest::overlap::placements::Placements;
use crate::nest::random::Rng;

/// Positions sampled near the part, and in its whole container or any: arXiv 2509.13329.
const NEAR: usize = 25;
const ANYWHERE: usize = 50;

/// Best samples that the descent starts from: arXiv 2509.13329.
const KEPT: usize = 3;

/// Samples nearer to each other than this are the same, as a share of the smaller side of the
/// part's bounding box: arXiv 2509.13329.
const DIFFERENT: f64 = 0.05;

/// First and last step of the descent from each of the best samples, and of the second descent
/// from the best of all, as shares of that side: arXiv 2509.13329.
const COARSE: (f64, f64) = (0.25, 0.02);
const FINE: (f64, f64) = (0.01, 0.001);

/// Factors of the step after one that helps, and after one that does not: arXiv 2509.13329.
const LONGER: f64 = 1.1;
const SHORTER: f64 = 0.5;

/// The weighted overlap, and the placement that has it.
type Found = (f64, Placement);

/// Moves a part to the best placement found, never to a worse one.
pub(crate) fn relocate(placements: &mut Placements, item: usize, part: usize, rng: &mut Rng) {
    let now = placements.parts()[part];
    let loss = placements.loss(part, &now, f64::INFINITY);
    let mut best: Vec<Found> = vec![(loss, now)];
    let form = &placements.cache.forms[now.form];
    let small = (form.max.0 - form.min.0).min(form.max.1 - form.min.1);
    let (half_x, half_y) = ((form.max.0 - form.min.0) / 2.0, (form.max.1 - form.min.1) / 2.0);
    let centre = (now.x + (form.max.0 + form.min.0) / 2.0, now.y + (form.max.1 + form.min.1) / 2.0);
    let home = placements
        .containers
        .iter()
        .position(|y| y.low.0 <= centre.0 && centre.0 <= y.high.0)
        .unwrap_or_default();
    let forms = placements.cache.forms_of(item);
    let (skews, unskewed) = (placements.cache.is_skewed(item), placements.cache.unskewed_of(item));
    for i in 0..NEAR + ANYWHERE {
        let any = rng.below(forms.len());
        // Where there are many forms, the present one is sampled as often as all others together.
        let form = match skews {
            true if i % 2 == 0 => now.form,
            true if placements.unskewed_only => unskewed[any % unskewed.len()],
            _ => forms.start + any,
        };
        let shape = &placements.cache.forms[form];
        let container = if i < NEAR || !placements.roaming {
            home
        } else {
            any_container(placements, part, rng)
        };
        let Some((low, high)) = placements.containers[container].range(shape) else { continue };
        let (x, y) = if i < NEAR {
            let middle_x = centre.0 - (shape.max.0 + shape.min.0) / 2.0;
            let middle_y = centre.1 - (shape.max.1 + shape.min.1) / 2.0;
            let x = rng.between(middle_x - half_x, middle_x + half_x).clamp(low.0, high.0);
            (x, rng.between(middle_y - half_y, middle_y + half_y).clamp(low.1, high.1))
        } else {
            (rng.between(low.0, high.0), rng.between(low.1, high.1))
        };
        let placement = Placement {
            form,
            x: x.round().clamp(low.0, high.0),
            y: y.round().clamp(low.1, high.1),
        };
        let limit = if best.len() < KEPT { f64::INFINITY } else { best[best.len() - 1].0 };
        let loss = placements.loss(part, &placement, limit);
        if loss < limit {
            keep(&mut best, (loss, placement), DIFFERENT * small);
        }
    }
    for found in &mut best {
        *found = descend(placements, part, *found, COARSE.0 * small, COARSE.1 * small, rng);
    }
    let first = |a: &Found, b: &Found| a.0.total_cmp(&b.0);
    let Some(found) = best.into_iter().min_by(first) else { return };
    let found = descend(placements, part, found, FINE.0 * small, FINE.1 * small, rng);
    if found.1 != now {
        placements.put(part, found.1);
    }
}

/// A random container for a part, the larger the likelier.
fn any_container(placements: &Placements, part: usize, rng: &mut Rng) -> usize {
    let containers = &placements.containers;
    if containers.len() == 1 {
        return 0;
    }
    let length = |i: usize| match placements.admits(&containers[i], part) {
        true => containers[i].high.0 - containers[i].low.0,
        false => 0.0,
    };
    let all: f64 = (0..containers.len()).map(length).sum();
    let mut at = rng.unit() * all;
    (0..containers.len())
        .find(|i| {
            at -= length(*i);
            at < 0.0
        })
        .unwrap_or_default()
}

/// Keeps the best few that differ from each other.
fn keep(best: &mut Vec<Found>, found: Found, apart: f64) {
    let same = |a: &Placement, b: &Placement| {
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

/// Coordinate descent: steps along the axes and diagonals while they help, ever smaller.
fn descend(
    placements: &mut Placements,
    part: usize,
    mut best: Found,
    step: f64,
    min: f64,
    rng: &mut Rng,
) -> Found {
    let shape = &placements.cache.forms[best.1.form];
    let x = best.1.x + (shape.max.0 + shape.min.0) / 2.0;
    let home = placements.containers.iter().find(|y| y.low.0 <= x && x <= y.high.0);
    let Some((low, high)) = home.and_then(|y| y.range(shape)) else { return best };
    let (mut step_x, mut step_y) = (step, step);
    let mut axis = rng.below(4);
    let min = min.max(1.0);
    while best.0 > 0.0 && step_x.max(step_y) >= min {
        let (dx, dy) = match axis {
            0 => (step_x, 0.0),
            1 => (0.0, step_y),
            2 => (step_x, step_y),
            _ => (step_x, -step_y),
        };
        let mut better = false;
        let from = best.1;
        for (dx, dy) in [(dx, dy), (-dx, -dy)] {
            let placement = Placement {
                form: from.form,
                x: (from.x + dx).round().clamp(low.0, high.0),
                y: (from.y + dy).round().clamp(low.1, high.1),
            };
            if placement == from {
                continue;
            }
            let loss = placements.loss(part, &placement, best.0);
            if loss < best.0 {
                best = (loss, placement);
                better = true;
            }
        }
        let factor = if better { LONGER } else { SHORTER };
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
            axis = rng.below(4);
        }
    }
    best
}

//! The densest lattices of a part, alone or with its half turn.

use crate::nest::pattern::forbidden::Forbidden;
use crate::nest::pattern::kin::Group;
use crate::nest::pattern::kin::Kin;
use crate::nest::pattern::kin::Repeat;
use crate::nest::problem::progress::Stop;
use crate::nest::shape::polygon::Spot;
use rayon::prelude::*;

/// Contacts of the pair tried at first, and how many of them are refined. Our choice.
const CONTACTS: f64 = 40.0;
const CLOSER: usize = 10;
/// Steps across one period at first, and when refining. Our choice.
const COARSE: usize = 12;
const FINE: usize = 96;
/// When refining, each edge of the forbidden region is tried at this number of places. Our choice.
const PIECES: u32 = 8;

/// The densest repeats found, the best first.
pub(super) fn lattices(kin: &Kin, stop: &Stop) -> Vec<Repeat> {
    let spacing = kin.perimeter() / CONTACTS;
    let mut groups = vec![vec![(0, Spot::default())]];
    groups.extend(kin.pairs(spacing));
    let found = best(kin, groups, COARSE, stop);
    let closer = found.into_iter().flat_map(|r| nearby(kin, r.group, spacing)).collect();
    let found = best(kin, closer, COARSE, stop);
    let groups = found.into_iter().map(|r| r.group).collect();
    best(kin, groups, FINE, stop)
}

fn best(kin: &Kin, groups: Vec<Group>, steps: usize, stop: &Stop) -> Vec<Repeat> {
    let mut found: Vec<Repeat> =
        groups.into_par_iter().filter_map(|group| densest(kin, group, steps, stop)).collect();
    found.sort_by(|a, b| a.cell().total_cmp(&b.cell()));
    found.dedup();
    found.truncate(CLOSER);
    found
}

/// The group and the ones whose second part is a little further along its contact.
fn nearby(kin: &Kin, group: Group, spacing: f64) -> Vec<Group> {
    let Some((_, here)) = group.get(1).copied() else { return vec![group] };
    let close = |other: &Group| {
        let to = other[1].1 - here;
        to.x.abs().max(to.y.abs()) as f64 <= spacing
    };
    let mut groups: Vec<Group> = kin.pairs(spacing / 8.0).into_iter().filter(close).collect();
    groups.push(group);
    groups
}

/// The best lattice of a group: one vector to a corner of the forbidden region, the other as near
/// beside it as possible.
fn densest(kin: &Kin, group: Group, steps: usize, stop: &Stop) -> Option<Repeat> {
    let forbidden = Forbidden::between(kin, &group, &group);
    let free = |u: Spot| {
        group.iter().all(|(a, at)| group.iter().all(|(b, to)| !kin.overlaps(*a, *b, *to + u - *at)))
    };
    let pieces = if steps >= FINE { PIECES } else { 1 };
    let mut ends: Vec<Spot> = forbidden
        .sides()
        .flat_map(|((x, y), (u, v))| {
            let share = |i: u32| f64::from(i) / f64::from(pieces);
            (0..pieces).map(move |i| (x + (u - x) * share(i), y + (v - y) * share(i)))
        })
        .map(|(x, y)| Spot::new(x.round() as i64, y.round() as i64))
        .filter(|u| u.y > 0 || (u.y == 0 && u.x > 0))
        .collect();
    ends.sort_unstable();
    ends.dedup();
    let mut found: Vec<Repeat> = ends
        .into_iter()
        .filter(|u| !stop.now() && free(*u))
        .filter_map(|u| {
            // Across the longer side of the vector its slope stays small.
            let flat = u.y < u.x.abs();
            let (frame, along) = if flat {
                (forbidden.swapped(), Spot::new(u.y, u.x))
            } else {
                (forbidden.clone(), u)
            };
            let v = beside(&frame, along, steps)?;
            let v = if flat { Spot::new(v.y, v.x) } else { v };
            Some(Repeat { group: group.clone(), u, v })
        })
        .collect();
    found.sort_by(|a, b| a.cell().total_cmp(&b.cell()));
    found.into_iter().find(|r| stop.now() || r.is_disjoint(kin))
}

/// The second vector with the smallest area.
fn beside(forbidden: &Forbidden, u: Spot, steps: usize) -> Option<Spot> {
    let (slope, period) = (u.x as f64 / u.y as f64, u.y.abs() as f64);
    let upright = forbidden.upright(slope);
    let mut ups: Vec<f64> = (0..steps).map(|i| period * i as f64 / steps as f64).collect();
    if steps >= FINE {
        ups.extend(upright.corners().map(|(_, y)| y.rem_euclid(period)));
    }
    let mut best: Option<(f64, f64)> = None;
    for up in ups.into_iter().map(f64::round) {
        let of_use = |right: f64| best.is_none_or(|(least, _)| right <= least);
        let Some(once) = upright.step_of_use(up, period, of_use) else { continue };
        let twice = upright.step_of_use(2.0 * up, period, |right| of_use(right / 2.0));
        let Some(right) = twice.map(|twice| once.max(twice / 2.0)) else { continue };
        if best.is_none_or(|best| (right, up) < best) {
            best = Some((right, up));
        }
    }
    let (right, up) = best?;
    // Away from the slanting edge: one micrometre for rounding.
    Some(Spot::new((right + slope * up).ceil() as i64 + i64::from(slope != 0.0), up as i64))
}

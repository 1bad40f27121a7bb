//! Where two bodies come nearest to each other.

use crate::machine::convex::Convex;
use crate::machine::convex::box_gap;
use crate::machine::convex::box_of;
use crate::machine::gjk::Apart;
use crate::machine::gjk::separation;

/// Where two bodies of many pieces are nearest; nothing where they are further apart than `beyond`,
/// mm.
pub fn nearest(a: &[Convex], b: &[Convex], beyond: f64) -> Option<Apart> {
    let near = |own: &[Convex], other: &[Convex]| -> Vec<usize> {
        let all = box_of(other.iter());
        let is_near = |i: &usize| box_gap(own[*i].bounds(), all) <= beyond;
        (0..own.len()).filter(is_near).collect()
    };
    let (own, others) = (near(a, b), near(b, a));
    let mut pairs: Vec<(f64, usize, usize)> = Vec::new();
    for i in own {
        let gaps = others.iter().map(|j| (box_gap(a[i].bounds(), b[*j].bounds()), i, *j));
        pairs.extend(gaps.filter(|(gap, ..)| *gap <= beyond));
    }
    pairs.sort_by(|one, other| one.0.total_cmp(&other.0));
    let mut best: Option<Apart> = None;
    for (gap, i, j) in pairs {
        let least = best.map_or(beyond, |best| best.distance);
        if gap > least || best.is_some_and(|best| best.distance <= 0.0) {
            break;
        }
        let found = separation(&a[i], &b[j]);
        if found.distance < least || (best.is_none() && found.distance <= beyond) {
            best = Some(found);
        }
    }
    best
}

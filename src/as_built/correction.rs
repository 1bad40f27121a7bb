//! The bend deduction with which the next pieces come out as drawn.

use crate::as_built::cause::Cause;
use crate::as_built::cause::Kind;
use crate::as_built::model::At;
use crate::as_built::model::Model;
use crate::bend::Method;

/// A size that follows a deduction by less than this share of it is not corrected by it. Our choice.
const MIN: f64 = 0.2;

/// Another bend deduction for the bends of a part that are made alike. The nominal dimensions, also
/// as measured after bending, do not change: only the flat does.
#[derive(Clone, Debug, PartialEq)]
pub struct Correction {
    /// Indices of the bends of the part.
    pub bends: Vec<usize>,
    /// Bend deduction at 90°, mm: the one in use, and the one to use.
    pub deduction: [f64; 2],
    /// K-factor: the one in use, and the one that gives that deduction.
    pub k: [f64; 2],
    /// Whether they are calculated from a measured row of the shop file, which is what to correct
    /// then.
    pub by_row: bool,
}

/// The deduction that reduces the dimension at a place by `by` (mm); `None` if no bend deduction
/// does.
pub(super) fn correction(model: &Model, at: &At, by: f64) -> Option<Correction> {
    let nothing = vec![0.0; model.causes.len()];
    let slope = |(i, cause): (usize, &Cause)| match cause.kind {
        Kind::Deduction { group } => Some((group, model.slope(at, &nothing, i))),
        _ => None,
    };
    let all = model.causes.iter().enumerate().filter_map(slope);
    let (group, slope) = all.max_by(|a, b| a.1.abs().total_cmp(&b.1.abs()))?;
    if slope.abs() < MIN {
        return None;
    }
    let (of, more) = (&model.groups[group], by / slope);
    let alike = model.of_bend[at.part].iter().enumerate();
    let alike = alike.filter(|(_, own)| **own == Some(group)).map(|(bend, _)| bend);
    Some(Correction {
        bends: alike.collect(),
        deduction: [of.deduction, of.deduction + more],
        k: [of.k, of.k_of(more, 0.0)],
        by_row: matches!(of.method, Method::Measured { .. }),
    })
}

//! Parts that are cut alike, or so nearly that they cannot be distinguished by eye.

use crate::changes;
use crate::flat::to_origin;
use crate::geom::Edge;
use crate::geom::Outline;
use crate::job::Job;
use crate::paper::figure_text;
use crate::solve::Solved;

/// Flats that differ by no more than this are equal, mm: less than a drawing shows.
const ALIKE: f64 = 5e-3;
/// Flats that differ by no more than this are not distinguished in a bin, mm. Our choice.
const NEARLY: f64 = 0.5;

/// Which other parts of the job are cut as this one is, or nearly so.
pub(super) fn lines(job: &Job, all: &[Solved], solved: &Solved) -> Vec<String> {
    let off = |other: &Solved| Some((other.name.clone(), max_difference(job, solved, other)?));
    let found: Vec<(String, f64)> = all.iter().filter_map(off).collect();
    let (alike, near): (Vec<_>, Vec<_>) = found.into_iter().partition(|(_, off)| *off < ALIKE);
    let names: Vec<String> = alike.into_iter().map(|(name, _)| name).collect();
    let same = (!names.is_empty()).then(|| format!("Same flat as {}.", names.join(", ")));
    let near = near.into_iter().map(|(name, off)| {
        let off = figure_text(job.units, off);
        format!("Easily confused with {name}, which differs by {off} at most: mark the pieces.")
    });
    same.into_iter().chain(near).collect()
}

/// The largest difference of the flats of two flat parts of one metal, with their lower left
/// corners on each other, mm; `None` if they are of different kinds, or too different to be
/// mistaken.
fn max_difference(job: &Job, one: &Solved, other: &Solved) -> Option<f64> {
    let [a, b] = [one, other].map(|part| &job.sheets[part.sheet]);
    let is_flat = |part: &Solved| part.part.bends.is_empty();
    let is_alike = one.name != other.name
        && a.material.name() == b.material.name()
        && (a.thickness - b.thickness).abs() < ALIKE
        && is_flat(one)
        && is_flat(other);
    if !is_alike {
        return None;
    }
    let outlines = |part: &Solved| -> Vec<Outline> {
        let place = to_origin(&part.flat.region);
        part.flat.region.outlines().map(|outline| outline.moved(&place)).collect()
    };
    let (first, second) = (outlines(one), outlines(other));
    let is_like = |(a, b): (&Outline, &Outline)| {
        let (p, q) = (a.bounds(), b.bounds());
        a.edges().count() == b.edges().count()
            && (p.min - q.min).hypot() <= 2.0 * NEARLY
            && (p.max - q.max).hypot() <= 2.0 * NEARLY
    };
    if first.len() != second.len() || !first.iter().zip(&second).all(is_like) {
        return None;
    }
    let edges = |outline: &Outline| outline.edges().collect::<Vec<Edge>>();
    let off = first.iter().zip(&second).map(|(a, b)| {
        changes::max_deviation(&edges(a), &edges(b)).map_or(0.0, |(distance, _)| distance)
    });
    Some(off.fold(0.0, f64::max)).filter(|off| *off <= NEARLY)
}

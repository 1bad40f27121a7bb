//! The effect of the causes of some measurements on the next pieces and on other parts.

use crate::as_built::cause::Kind;
use crate::as_built::least_squares::Estimate;
use crate::as_built::least_squares::LIMIT;
use crate::as_built::least_squares::Observation;
use crate::as_built::model::At;
use crate::as_built::model::Model;
use crate::as_built::target::Target;
use crate::as_built::words;

/// A part that the same causes touch. Lengths are mm, angles degrees.
#[derive(Clone, Debug)]
pub struct OtherFound {
    /// Its name.
    pub part: String,
    /// The dimension with the largest deviation, in words.
    pub words: String,
    /// Whether that is an angle.
    pub is_angle: bool,
    /// As asked for.
    pub asked: f64,
    /// Its deviation, and the 95 % limit of that.
    pub by: [f64; 2],
}

/// Off by less, mm or degrees, is not reported: a caliper does not show it. Our choice.
const MIN: f64 = 0.05;

/// A measurement is worth naming if it leaves no more than this share of the uncertainty. Our
/// choice.
const HELPS: f64 = 0.8;

/// The mean of the next pieces and its limit, by the causes that persist.
pub(super) fn next(model: &Model, estimate: &Estimate, at: &At) -> [f64; 2] {
    let stays = |i: usize| model.causes[i].kind.stays();
    let only = |value: f64, i: usize| if stays(i) { value } else { 0.0 };
    let x: Vec<f64> = estimate.x.iter().enumerate().map(|(i, x)| only(*x, i)).collect();
    let next = At { piece: 0, deduction: None, ..*at };
    let slopes = model.slopes(&next, &x);
    let slopes: Vec<f64> = slopes.iter().enumerate().map(|(i, slope)| only(*slope, i)).collect();
    [model.predicted(&next, &x), LIMIT * estimate.spread_of(&slopes)]
}

/// All that can be measured on a part.
pub(super) fn places(model: &Model, part: usize, piece: u32) -> Vec<At> {
    let of = &model.solved[part].part;
    let bends = || (0..of.bends.len()).filter(|bend| model.of_bend[part][*bend].is_some());
    let mut targets = vec![Target::Thickness];
    targets.extend(bends().flat_map(|bend| {
        let drawn = &of.bends[bend];
        let outside = [drawn.from, drawn.to].map(|face| Target::Outside { face, bend });
        [Target::Angle(bend), Target::Radius(bend), outside[0], outside[1]]
    }));
    if of.clevis.is_some() {
        targets.push(Target::Gap);
    }
    let at = |target| At { part, piece, target, coated: false, deduction: None };
    targets.into_iter().map(at).collect()
}

/// The parts that were not measured and that the causes affect, each with its largest deviation.
pub(super) fn others(model: &Model, estimate: &Estimate, seen: &[Observation]) -> Vec<OtherFound> {
    let nothing = vec![0.0; model.causes.len()];
    let of_part = |part: usize| {
        let of_place = |at: At| {
            let asked = model.predicted(&At { piece: 0, ..at }, &nothing);
            let [next, limit] = next(model, estimate, &at);
            (at, asked, [next - asked, limit])
        };
        let coated = model.film(part) > 0.0;
        let shown = |at: &At| !matches!(at.target, Target::Radius(_) | Target::Thickness);
        let all = places(model, part, 0).into_iter().filter(shown);
        let all =
            all.map(|at| At { coated: coated && at.target == Target::Gap, ..at }).map(of_place);
        let off = all.filter(|(_, _, [by, limit])| by.abs() >= MIN && by.abs() > limit / LIMIT);
        let weight = |(at, _, [by, _]): &(At, f64, [f64; 2])| {
            // A gap decides a fit; a degree is less than a millimetre.
            let first = if at.target == Target::Gap { 10.0 } else { 1.0 };
            first * by.abs() * if matches!(at.target, Target::Angle(_)) { 0.2 } else { 1.0 }
        };
        let (at, asked, by) = off.max_by(|a, b| weight(a).total_cmp(&weight(b)))?;
        Some(OtherFound {
            part: model.solved[part].name.clone(),
            words: words::target(model, &at),
            is_angle: matches!(at.target, Target::Angle(_)),
            asked,
            by,
        })
    };
    let is_measured = |part: &usize| seen.iter().any(|seen| seen.at.part == *part);
    (0..model.solved.len()).filter(|part| !is_measured(part)).filter_map(of_part).collect()
}

/// The measurement that separates a cause from the others, on the pieces that were measured; `None`
/// if the cause does not persist or no measurement does.
pub(super) fn to_measure(
    model: &Model,
    estimate: &Estimate,
    seen: &[Observation],
    cause: usize,
) -> Option<String> {
    if !model.causes[cause].kind.stays() || matches!(model.causes[cause].kind, Kind::Film { .. }) {
        return None;
    }
    let mut pieces: Vec<(usize, u32)> =
        seen.iter().map(|seen| (seen.at.part, seen.at.piece)).collect();
    pieces.sort_unstable();
    pieces.dedup();
    let is_measured =
        |at: &At| seen.iter().any(|seen| At { coated: false, deduction: None, ..seen.at } == *at);
    let all = pieces.into_iter().flat_map(|(part, piece)| places(model, part, piece));
    let left = all.filter(|at| !is_measured(at)).map(|at| {
        let slopes = model.slopes(&at, &estimate.x);
        let uncertainty = words::what(at.target).usual();
        (estimate.left(cause, &slopes, uncertainty), at)
    });
    let (left, at) = left.min_by(|a, b| a.0.total_cmp(&b.0))?;
    (left <= HELPS * estimate.spread(cause)).then(|| words::place(model, &at))
}

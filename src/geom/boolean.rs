//! Adding and cutting outlines, with true arcs, behind a guard.
//!
//! The library underneath can be silently wrong when shapes meet within its
//! tolerance. So all four operations are done at one tolerance and must agree with
//! each other in area (what is in A or B, less what is in both, is A plus B, …), and
//! the midpoint of every edge must be on the side that the operation requires; else the next
//! tolerance is tried, and finally the operation is refused. The guard shows that the answers
//! agree, not that they are true: the tests compare them with an independent polygon library as
//! well.

use crate::geom::outline::Outline;
use crate::geom::outline::OutlineError;
use cavalier_contours::polyline::BooleanOp;
use cavalier_contours::polyline::PlineBooleanOptions;
use cavalier_contours::polyline::PlineSource;
use cavalier_contours::polyline::Polyline;
use kurbo::Point;
use thiserror::Error;

/// Why two shapes cannot be combined.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum BooleanError {
    /// At no tolerance do the four operations agree.
    #[error(
        "the shapes only just touch and cannot be combined: move one of them by 0.01 mm or more"
    )]
    Unsure,
    /// The result touches itself in a point.
    #[error("the result is pinched: {0}")]
    Pinched(#[from] OutlineError),
}

/// Tolerances tried in turn, in mm; found by stress tests with shapes that nearly touch.
const LADDER: [f64; 5] = [1e-5, 1e-7, 1e-9, 1e-4, 1e-3];

/// Pieces smaller than this, in mm², are dust between shapes that only seem to touch.
const DUST: f64 = 1e-4;

/// Points nearer to an edge than this, in mm, are no witnesses of either side.
const BESIDE: f64 = 0.01;

/// Shapes nearer than this, in mm, may have an edge in common: its two ends were rounded.
const ROUNDED: f64 = 1e-6;

/// Outlines of metal, and outlines of gaps in it.
type Pieces = (Vec<Outline>, Vec<Outline>);

/// The union of two shapes: the pieces, and the gaps they enclose.
///
/// # Errors
/// When the shapes touch too finely for the answer to be sure.
pub fn unite(a: &Outline, b: &Outline) -> Result<Pieces, BooleanError> {
    if are_apart(a, b) {
        return Ok((vec![a.clone(), b.clone()], Vec::new()));
    }
    combine(a, b, BooleanOp::Or)
}

/// The area in `a` but not in `b`: the pieces, and the gaps in them.
///
/// # Errors
/// When the shapes touch too finely for the answer to be sure.
pub fn cut(a: &Outline, b: &Outline) -> Result<Pieces, BooleanError> {
    if are_apart(a, b) {
        return Ok((vec![a.clone()], Vec::new()));
    }
    combine(a, b, BooleanOp::Not)
}

/// The intersection of two shapes: the pieces, and the gaps in them.
///
/// # Errors
/// When the shapes touch too finely for the answer to be sure.
pub(super) fn common(a: &Outline, b: &Outline) -> Result<Pieces, BooleanError> {
    if are_apart(a, b) {
        return Ok((Vec::new(), Vec::new()));
    }
    combine(a, b, BooleanOp::And)
}

/// Whether two shapes are separate, as far as their bounding rectangles show.
fn are_apart(a: &Outline, b: &Outline) -> bool {
    a.bounds().distance(&b.bounds()) > ROUNDED
}

fn combine(a: &Outline, b: &Outline, wanted: BooleanOp) -> Result<Pieces, BooleanError> {
    let (first, second) = (a.to_polyline(), b.to_polyline());
    let (area_a, area_b) = (a.area(), b.area());
    let lengths = a.length() + b.length();
    for eps in LADDER {
        let options = PlineBooleanOptions { pos_equal_eps: eps, ..Default::default() };
        let run = |op| {
            let result = first.boolean_opt(&second, op, &options);
            let keep = |line: &Polyline<f64>| line.area().abs() > DUST;
            let pieces: Vec<_> =
                result.pos_plines.into_iter().map(|p| p.pline).filter(keep).collect();
            let gaps: Vec<_> =
                result.neg_plines.into_iter().map(|p| p.pline).filter(keep).collect();
            (pieces, gaps)
        };
        let answers = [BooleanOp::Or, BooleanOp::And, BooleanOp::Not, BooleanOp::Xor].map(run);
        let total = |lines: &[Polyline<f64>]| lines.iter().map(|l| l.area().abs()).sum::<f64>();
        let [or, and, not, xor] = [0, 1, 2, 3].map(|i| {
            let (pieces, gaps) = &answers[i];
            total(pieces) - total(gaps)
        });
        // However coarse the tolerance, no more than a ten-thousandth of the smaller shape.
        let slack = (20.0 * eps * lengths).min(1e-4 * area_a.min(area_b));
        let near = |x: f64| x.abs() < 1e-3 + slack;
        let agree = near(or + and - area_a - area_b)
            && near(not + and - area_a)
            && near(xor + and - or)
            && and <= area_a.min(area_b) + 1e-3
            && or >= area_a.max(area_b) - 1e-3;
        if agree {
            let (pieces, gaps) = match wanted {
                BooleanOp::Or => &answers[0],
                BooleanOp::And => &answers[1],
                _ => &answers[2],
            };
            let outlines = |lines: &[Polyline<f64>]| {
                lines.iter().map(Outline::from_polyline).collect::<Result<Vec<_>, _>>()
            };
            let answer = (outlines(pieces)?, outlines(gaps)?);
            if witnessed(a, b, &answer, wanted) {
                return Ok(answer);
            }
        }
    }
    Err(BooleanError::Unsure)
}

/// Whether the midpoint of every edge lies where the answer says. Two shapes side by side
/// of one area, taken for one in the other, agree in all areas and are caught here.
fn witnessed(a: &Outline, b: &Outline, answer: &Pieces, wanted: BooleanOp) -> bool {
    let off = |outline: &Outline, p: Point| outline.distance(p) > BESIDE;
    let within = |outline: &Outline, p: Point| outline.contains(p) && off(outline, p);
    let without = |outline: &Outline, p: Point| !outline.contains(p) && off(outline, p);
    let on_edge = |p: Point| answer.0.iter().chain(&answer.1).any(|o| !off(o, p));
    let in_metal =
        |p: Point| answer.0.iter().any(|o| within(o, p)) && !answer.1.iter().any(|o| within(o, p));
    let middles = |outline: &Outline| outline.edges().map(|e| e.point_at(0.5)).collect::<Vec<_>>();
    let sound = |p: Point, other: &Outline, of_first: bool| match (within(other, p), wanted) {
        (true, BooleanOp::Or) => in_metal(p) || on_edge(p),
        (true, BooleanOp::And) => on_edge(p),
        // The edge of the first shape is cut away here, that of the second is laid bare.
        (true, _) => on_edge(p) != of_first,
        (false, _) if !without(other, p) => true,
        (false, BooleanOp::Or) => on_edge(p),
        (false, BooleanOp::And) => !on_edge(p),
        (false, _) => on_edge(p) == of_first,
    };
    middles(a).into_iter().all(|p| sound(p, b, true))
        && middles(b).into_iter().all(|p| sound(p, a, false))
}

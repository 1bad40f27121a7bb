//! What a rolled bend or a hem is made on: rolls or a former, or a tool that flattens it.

use crate::bend::Form;
use crate::brake;
use crate::flat::BendStrip;
use crate::flat::Flat;
use crate::geom::Line;
use crate::geom::Outline;
use crate::geom::Vec2;
use crate::num::Angle;
use crate::part::Bend;
use crate::sequence::task::Task;
use crate::shop::Shop;
use crate::shop::Takes;

/// A bend that no brake makes, and what it is made on.
#[derive(Clone, Debug)]
pub struct Formed {
    /// Index of the bend in the part.
    pub bend: usize,
    /// The name of the tool; else every one there is, and why it does not make it.
    pub tool: Result<String, Vec<(String, Unfit)>>,
}

/// Why a tool does not make a rolled bend or a hem. Lengths are mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Unfit {
    /// The bend is too long or the sheet too thick for its metal.
    Takes {
        /// Longest bend.
        length: f64,
        /// Thickest sheet of the metal it is rated for.
        thickest: f64,
    },
    /// Another radius.
    Radius {
        /// Smallest.
        min: f64,
        /// Largest.
        max: f64,
    },
    /// What stays straight beside the bend is longer than the sheet there.
    FlatEnd {
        /// Of the sheet, at the shorter end.
        is: f64,
        /// What the tool leaves straight.
        min: f64,
    },
    /// A return that is too short.
    Return {
        /// Measured to the outside of the fold.
        is: f64,
        /// Needed.
        min: f64,
    },
    /// No brake of the shop bends the sheet far enough to flatten it.
    Acute {
        /// Needed.
        min: Angle,
    },
}

/// How far a flat sheet goes on behind and beyond a bend, mm: the least over its width.
pub(crate) fn flat_ends(strip: &BendStrip, blank: &Outline) -> [f64; 2] {
    let [near, far] = strip.tangents;
    let across = (far.from - near.from).normalize();
    let allowance = strip.bend.allowance();
    let ends = |share: f64| {
        let ray = Line { at: near.point_at(share), along: across };
        let within = |[from, to]: &[f64; 2]| *from < INTO && *to > allowance - INTO;
        let stretch = ray.stretches(blank).into_iter().find(within);
        stretch.map_or([0.0; 2], |[from, to]| [-from, to - allowance])
    };
    let all = BESIDE.map(ends);
    [0, 1].map(|side| all.iter().map(|ends| ends[side]).fold(f64::INFINITY, f64::min).max(0.0))
}

/// Where along a bend the sheet beside it is measured, as shares of its length. Our choice.
const BESIDE: [f64; 5] = [0.02, 0.25, 0.5, 0.75, 0.98];

/// What runs so far into the bend, mm, goes through it.
const INTO: f64 = 0.01;

/// What each rolled bend and each hem is made on; out of the flat sheet, unless they come `last`.
pub(super) fn formed(task: &Task, bends: &[usize], last: bool) -> Vec<Formed> {
    let is_flat = bends.len() == 1 && !last;
    let one = |bend: &usize| Formed { bend: *bend, tool: tool(task, *bend, is_flat) };
    bends.iter().map(one).collect()
}

fn tool(task: &Task, bend: usize, is_flat: bool) -> Result<String, Vec<(String, Unfit)>> {
    let (made, strip) = (&task.part.bends[bend], &task.flat.bends[bend]);
    let tensile = task.metal.tensile_strength;
    let length = strip.begins.length();
    let takes = |takes: &Takes| {
        let fits = takes.takes(length, made.bend.thickness(), tensile);
        let Takes { length, thickest, .. } = *takes;
        (!fits).then_some(Unfit::Takes { length, thickest })
    };
    let mut unfit = Vec::new();
    if made.bend.form() == Form::Rolled {
        let ends = ends(task.flat, made, strip, is_flat);
        for roll in &task.shop.rolls {
            let why = takes(&roll.takes).or_else(|| {
                let (is, max) = (made.bend.radius(), roll.max_radius.unwrap_or(f64::INFINITY));
                let off = is < roll.min_radius - SAME || is > max + SAME;
                off.then_some(Unfit::Radius { min: roll.min_radius, max })
            });
            let short = ends[0].min(ends[1]);
            let why = why.or_else(|| {
                let min = roll.flat_end;
                (short < min - SAME).then_some(Unfit::FlatEnd { is: short, min })
            });
            match why {
                None => return Ok(roll.name.clone()),
                Some(why) => unfit.push((roll.name.clone(), why)),
            }
        }
        return Err(unfit);
    }
    let is = hem_return(made, strip, task.flat);
    for tool in &task.shop.hemming {
        let why = takes(&tool.takes)
            .or_else(|| {
                (is < tool.min_return - SAME).then_some(Unfit::Return { is, min: tool.min_return })
            })
            .or_else(|| {
                let thickness = made.bend.thickness();
                let bends = reaches(task.shop, tool.acute, [length, thickness, tensile]);
                (!bends).then_some(Unfit::Acute { min: tool.acute })
            });
        match why {
            None => return Ok(tool.name.clone()),
            Some(why) => unfit.push((tool.name.clone(), why)),
        }
    }
    Err(unfit)
}

/// What passes a limit by no more than this keeps it, mm: rounding.
const SAME: f64 = 1e-6;

/// How far the flat sheet goes on beside a rolled bend: all of the blank where that is still
/// flat, else the faces alone.
fn ends(flat: &Flat, made: &Bend, strip: &BendStrip, is_flat: bool) -> [f64; 2] {
    let whole = flat_ends(strip, flat.region.outer());
    if is_flat {
        return whole;
    }
    let back = face_reach(strip, flat, made.from, true);
    let ahead = face_reach(strip, flat, made.to, false);
    [back.min(whole[0]), ahead.min(whole[1])]
}

/// How far a face reaches away from a bend at its middle, mm.
fn face_reach(strip: &BendStrip, flat: &Flat, face: usize, behind: bool) -> f64 {
    let edge = if behind { strip.begins } else { strip.ends };
    let along = edge.direction_at_start();
    let away = Vec2::new(-along.y, along.x);
    let reach = |share: f64| {
        let ray = Line { at: edge.point_at(share), along: away };
        let near = |[from, to]: &[f64; 2]| *from < INTO && *to > INTO;
        ray.stretches(flat.faces[face].outer()).into_iter().find(near).map_or(0.0, |[_, to]| to)
    };
    BESIDE.map(reach).into_iter().fold(f64::INFINITY, f64::min)
}

/// Length of the return of a hem, measured to the outside of its fold, mm.
pub(crate) fn hem_return(made: &Bend, strip: &BendStrip, flat: &Flat) -> f64 {
    face_reach(strip, flat, made.to, false) + made.bend.caliper_setback()
}

/// Whether a brake of the shop bends a sheet so far: its length, thickness and strength.
fn reaches(shop: &Shop, angle: Angle, [length, thickness, tensile]: [f64; 3]) -> bool {
    shop.brakes.iter().any(|of| {
        let hard = brake::as_hard(tensile, of.rated_for, thickness);
        of.max_angle.degrees() >= angle.degrees() - SAME
            && of.length >= length - SAME
            && of.thickest.is_none_or(|thickest| hard <= thickest + SAME)
            && of.force.is_none_or(|force| {
                let v = shop.nearest_v(thickness).unwrap_or(brake::v_opening(thickness));
                brake::force(tensile, length, thickness, v) <= force
            })
    })
}

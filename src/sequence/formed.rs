//! The tools for rolled bends and hems: rolls or a former, or a tool that flattens it.

use crate::flat::BendStrip;
use crate::flat::Flat;
use crate::geom::Line;
use crate::geom::Outline;
use crate::geom::Vec2;
use crate::num::Angle;
use crate::part::Bend;
use crate::sequence::refusal::Refusal;

/// A bend that no brake makes, and its tool.
#[derive(Clone, Debug)]
pub struct Formed {
    /// Index of the bend in the part.
    pub bend: usize,
    /// The name of the tool; else every one there is, and why it does not make it.
    pub tool: Result<String, Vec<(String, Unfit)>>,
    /// The setups that were tried for the acute bend of a hem, and why not, where none makes it.
    pub acute: Vec<Refusal>,
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
        /// Needed, before the sheet springs back.
        is: f64,
        /// Smallest.
        min: f64,
        /// Largest.
        max: f64,
    },
    /// What stays straight beside the bend is longer than the sheet there.
    FlatEnd {
        /// Of the sheet, at the shorter end.
        is: f64,
        /// The length the tool leaves straight.
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

/// How far a flat sheet continues behind and beyond a bend, mm: the minimum over its width.
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

/// Metal that runs this far into the bend, mm, passes through it.
const INTO: f64 = 0.01;

/// How far a face reaches away from a bend at its centre, mm.
pub(crate) fn face_reach(strip: &BendStrip, flat: &Flat, face: usize, behind: bool) -> f64 {
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

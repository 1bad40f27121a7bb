//! How a bend is set up in the shop: its place in the order, its tool, what that tool gives.

use crate::brake;
use crate::flat::BendStrip;
use crate::geom::Edge;
use crate::geom::Line;
use crate::geom::Outline;
use crate::job::Job;
use crate::num::Angle;
use crate::part::Bend;
use crate::recipe::Grain;
use crate::sequence;
use crate::sequence::Handling;
use crate::sequence::Stack;
use crate::sequence::Step;
use crate::shop::Shop;
use crate::solve::solved::Solved;
use serde::Serialize;
use serde::Serializer;
use std::borrow::Cow;

/// How one bend is made. Lengths are mm, angles degrees.
pub(crate) struct Setup<'a> {
    /// Its number in the order of bending, from 1.
    pub(crate) order: usize,
    /// Whose tools they are.
    pub(crate) shop: &'a Shop,
    /// The tool with the clamped face, and the setups tried before.
    pub(crate) step: &'a Step,
    /// Opening of the V; none on a brake without one.
    pub(crate) v: Option<f64>,
    /// Inside radius that comes out.
    pub(crate) radius: f64,
    /// The shortest flange that this tool can bend.
    pub(crate) min_flange: f64,
    /// In kN; none on a brake without a V.
    pub(crate) force: Option<f64>,
    /// The pull of a person and the lever, N and mm, and the moment, N·mm; `None` on a brake.
    pub(crate) pull: Option<Pulled>,
    /// The springback: how far the bend is overbent under load.
    pub(crate) over_bend: f64,
    /// The line set under the nose of a folding brake, in the flat; `None` over a V.
    pub(crate) sight_line: Option<Edge>,
    /// The positions of the sections of its tools along the bend line, in the flat.
    pub(crate) stacks: Vec<(&'a Stack, Edge)>,
    /// How the bend line runs to the grain.
    pub(crate) grain: ToGrain,
    /// Which side of the sheet is up while the bend is made.
    pub(crate) side_up: SideUp,
}

/// A bend that a person pulls over with a lever.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Pulled {
    /// The pull, N.
    pub(crate) force: f64,
    /// From the bend to the hands, mm.
    pub(crate) lever: f64,
    /// The moment that bends, N·m.
    pub(crate) moment: f64,
}

/// The side of the sheet that is up on the brake: the top side is the one drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum SideUp {
    Top,
    Bottom,
}

impl SideUp {
    /// As printed.
    pub(crate) fn word(self) -> &'static str {
        match self {
            Self::Top => "top side",
            Self::Bottom => "bottom side",
        }
    }
}

impl Serialize for SideUp {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.serialize_str(self.word())
    }
}

/// How a bend line runs to the grain of its sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum ToGrain {
    /// The part may be placed either way.
    Free,
    /// Within 30 degrees of it.
    Along,
    /// Between the two.
    Diagonal,
    /// Within 30 degrees of square to it.
    Across,
}

impl ToGrain {
    fn of(grain: Grain, strip: &BendStrip) -> Self {
        let line = strip.line.direction_at_start();
        let angle = Angle::of(line.x.abs(), line.y.abs()).degrees();
        let from = match grain {
            Grain::Free => return Self::Free,
            Grain::AlongX => angle,
            Grain::AlongY => 90.0 - angle,
        };
        match from {
            a if a < 30.0 => Self::Along,
            a if a > 60.0 => Self::Across,
            _ => Self::Diagonal,
        }
    }

    /// As the report and the drawings call it.
    pub(crate) fn word(self) -> &'static str {
        match self {
            Self::Free => "free: any orientation",
            Self::Along => "along",
            Self::Diagonal => "diagonal",
            Self::Across => "across",
        }
    }
}

impl Serialize for ToGrain {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.serialize_str(self.word())
    }
}

impl Setup<'_> {
    /// How the sheet is handled: which face is clamped, which side is up.
    pub(crate) fn handling(&self, face: &str) -> String {
        let flip = if self.side_up == SideUp::Top { "" } else { " (flip over)" };
        format!("clamp {face}, {} up{flip}", self.side_up.word())
    }
}

/// How a bend of a part is made; none without a shop, or where it has no place in the order.
pub(crate) fn setup<'a>(job: &'a Job, solved: &'a Solved, bend: usize) -> Option<Setup<'a>> {
    let (shop, plan) = job.shop.as_deref().zip(solved.plan.as_ref())?;
    let (order, step) = plan.step(bend)?;
    let (part, strip) = (&solved.part, &solved.flat.bends[bend]);
    let (drawn, chosen) = (&part.bends[bend], &step.setup);
    let v = chosen.v(shop);
    let tensile = job.sheets[solved.sheet].material.bending_strength();
    Some(Setup {
        order,
        shop,
        step,
        v,
        radius: chosen.radius(shop, &drawn.bend),
        min_flange: chosen.min_flange(shop),
        force: v.map(|v| brake::force(tensile, strip.line.length(), part.thickness, v)),
        pull: shop.brakes[chosen.brake].pull.map(|pull| {
            let moment = brake::moment_by_hand(tensile, strip.net_width(), part.thickness);
            let (force, moment) = (moment / pull.lever, moment / 1000.0);
            Pulled { force, lever: pull.lever, moment }
        }),
        over_bend: chosen.under_load.degrees() - drawn.bend.angle().degrees(),
        sight_line: v.is_none().then(|| {
            sight_line(strip, drawn, chosen.hold == drawn.from, solved.flat.region.outer())
        }),
        stacks: step
            .tooling
            .stacks
            .iter()
            .map(|stack| (stack, section_positions(strip, stack)))
            .collect(),
        grain: ToGrain::of(part.grain, strip),
        side_up: if chosen.drawn_side_up { SideUp::Top } else { SideUp::Bottom },
    })
}

/// How the bends of a part are handled, in their order: on the tools of the shop, or as the recipe
/// has them where the job names none. A bend without a place in the order is left out.
pub(crate) fn handled(solved: &Solved) -> Cow<'_, [Handling]> {
    match &solved.plan {
        Some(plan) => Cow::Borrowed(&plan.handling),
        None => Cow::Owned(sequence::without_tools(&solved.part, &solved.flat)),
    }
}

/// The positions of sections of a tool on the bend line. The folded bend has its origin at the end
/// of the line.
fn section_positions(strip: &BendStrip, stack: &Stack) -> Edge {
    let line = strip.middle();
    let along = -line.direction_at_start();
    let at = |mm: f64| line.to + along * mm;
    Edge::line(at(stack.from), at(stack.from + stack.width()))
}

/// One inside radius from where the bend begins on the clamped side, towards the other; from edge
/// to edge of the blank, where it can be scribed.
fn sight_line(strip: &BendStrip, bend: &Bend, holds_standing: bool, blank: &Outline) -> Edge {
    let [near, far] = strip.tangents;
    let (held, other) = if holds_standing { (near, far) } else { (far, near) };
    let across = other.from - held.from;
    let by = across * (brake::sight_line(bend.bend.radius()) / across.hypot());
    let shifted = Edge::line(held.from + by, held.to + by);
    let line = Line { at: shifted.from, along: shifted.direction_at_start() };
    // The stretches that continue from within the bend: of a line through notches there are
    // several.
    let length = shifted.length();
    let inside = line.stretches(blank).into_iter().filter(|[a, b]| a.max(0.0) < b.min(length));
    let ends = inside.reduce(|[from, to], [a, b]| [from.min(a), to.max(b)]);
    ends.map_or(shifted, |[a, b]| Edge::line(line.point(a), line.point(b)))
}

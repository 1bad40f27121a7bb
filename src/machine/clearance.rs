//! What is left between bodies, and what must be.

use crate::geom::Space;
use crate::machine::body::Body;
use crate::machine::body::Kind;
use crate::machine::convex::box_gap;
use crate::machine::convex::box_of;
use crate::machine::nearest::nearest;
use rayon::prelude::*;

/// What is left between two bodies that are near each other.
#[derive(Clone, Copy, Debug)]
pub struct Clearance {
    /// Their indices, the lower one first.
    pub bodies: [usize; 2],
    /// mm, never more than it is; 0 where they touch or collide.
    pub distance: f64,
    /// What must be left, mm; 0 where only contact is ruled out.
    pub needed: f64,
    /// Whether one of them asks for it by its own `clearance`; else it is the usual one.
    pub is_asked: bool,
    /// The nearest places, on the one and on the other.
    pub at: [Space; 2],
}

/// The default clearances, mm.
#[derive(Clone, Copy, Debug)]
pub struct Defaults {
    /// To a panel of the body.
    pub panel: f64,
    /// To what moves.
    pub moving: f64,
}

/// What lies so much further apart than it must is of no interest, mm. Our choice.
const FAR: f64 = 50.0;

/// Distances are compared within this, mm: rounding.
const SAME: f64 = 1e-6;

impl Clearance {
    /// Whether the two touch or collide.
    pub fn is_contact(&self) -> bool {
        self.distance <= SAME
    }

    /// Whether less is left than must be.
    pub fn is_short(&self) -> bool {
        self.distance < self.needed - SAME
    }
}

/// What is left between all bodies that are not joined and no more than some way apart, the
/// tightest first.
pub fn clearances(bodies: &[Body], defaults: Defaults) -> Vec<Clearance> {
    let boxes: Vec<[Space; 2]> = bodies.iter().map(|body| box_of(body.pieces.iter())).collect();
    let mut pairs = Vec::new();
    for (i, one) in bodies.iter().enumerate() {
        for (j, other) in bodies.iter().enumerate().skip(i + 1) {
            // Two mirror images are as far apart as what they are images of.
            let known = one.other_side && other.other_side;
            let given = one.is_given() && other.is_given();
            // Bodies joined on one side are not joined across, unless they are on the centre plane.
            let across = one.other_side != other.other_side;
            let apart = across && [one, other].iter().all(|body| has_image(bodies, body));
            let joined = one.joins(other) && !apart;
            let usual = usual(one, other, defaults);
            let asked = one.clearance.into_iter().chain(other.clearance).fold(0.0, f64::max);
            let needed = asked.max(usual);
            let is_near = box_gap(boxes[i], boxes[j]) <= needed + FAR;
            if !(known || given || joined) && is_near {
                pairs.push((i, j, needed, asked > usual));
            }
        }
    }
    let of = |&(i, j, needed, is_asked): &(usize, usize, f64, bool)| {
        let found = nearest(&bodies[i].pieces, &bodies[j].pieces, needed + FAR)?;
        let (distance, at) = (found.distance, found.at);
        Some(Clearance { bodies: [i, j], distance, needed, is_asked, at })
    };
    let mut found: Vec<Clearance> = pairs.par_iter().filter_map(of).collect();
    found.sort_by(|a, b| (a.distance - a.needed).total_cmp(&(b.distance - b.needed)));
    found
}

/// Whether a body exists on both sides.
fn has_image(bodies: &[Body], of: &Body) -> bool {
    let image = |body: &Body| body.other_side && body.kind == of.kind && body.name == of.name;
    of.other_side || bodies.iter().any(image)
}

/// The usual clearance between two bodies, mm, which `clearance` may raise and does not lower.
fn usual(one: &Body, other: &Body, defaults: Defaults) -> f64 {
    let panel = |body: &Body| if body.kind == Kind::Panel { defaults.panel } else { 0.0 };
    let moving = if one.moves || other.moves { defaults.moving } else { 0.0 };
    panel(one).max(panel(other)).max(moving)
}

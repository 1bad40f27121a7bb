//! A bend along the grain of a hard alloy.
//!
//! # Looks for
//! In an alloy whose preferred inside radius at this thickness is two thicknesses or more,
//! in a bend of no more than twice that radius: a bend line within 30° of the rolling
//! direction of the sheet. Where the grain is free in the recipe the nesting sets the
//! orientation, and the bend may run along the grain: the finding says so.
//!
//! # Why it matters
//! Rolled metal cracks more easily along its grain: a radius that is sound across it cracks along it.
//!
//! # Example
//! 2.3 mm 6061-T6 bent to an inside radius of 7 mm, the bend line along the grain.
//!
//! # Remedy
//! Rotate the part on the sheet by 90° (`grain = "x"` or `"y"`), bend to a larger radius, or
//! use a softer temper.
//!
//! # Source
//! FAA-H-8083-31: bend across the grain, from memory; 30° and the two thicknesses
//! are our choice.

use crate::check::subject::Subject;
use crate::diag::Feature;
use crate::diag::Finding;
use crate::diag::Weight;
use crate::flat::BendStrip;
use crate::geom::Vec2;
use crate::num;
use crate::num::Angle;
use crate::part::Bend;
use crate::recipe::Grain;

const CODE: &str = "bend-grain";

/// Nearer to the grain than this, degrees, is along it.
pub(super) const ALONG: f64 = 30.0;

/// An alloy is hard if it needs this radius in thicknesses.
const HARD: f64 = 2.0;

/// The angle of a bend line to the grain, degrees; `None` where the recipe leaves the grain free.
pub(super) fn to_grain(subject: &Subject, strip: &BendStrip) -> Option<f64> {
    let grain = match subject.part.grain {
        Grain::Free => return None,
        Grain::AlongX => Vec2::new(1.0, 0.0),
        Grain::AlongY => Vec2::new(0.0, 1.0),
    };
    let line = strip.line.direction_at_start();
    Some(Angle::of(line.dot(grain).abs(), line.cross(grain).abs()).degrees())
}

pub(super) fn check(subject: &Subject) -> Vec<Finding> {
    let preferred = subject
        .tables
        .listed_radius("min-radius", subject.material, subject.part.thickness)
        .unwrap_or(0.0);
    if preferred < HARD * subject.part.thickness {
        return Vec::new();
    }
    let bends = subject.part.bends.iter().zip(&subject.flat.bends);
    let tight = bends.enumerate().filter(|(_, (bend, _))| bend.bend.radius() <= 2.0 * preferred);
    let metal = subject.material.name();
    let finding = |(i, (bend, strip)): (usize, (&Bend, &BendStrip))| {
        let (headline, note, help) = match to_grain(subject, strip) {
            None => (
                format!("bend `{}` may run along the grain, and {metal} is hard", bend.name),
                "the grain is free in the recipe, so the nesting sets the orientation".into(),
                "fix the grain so that the bends run across it: `grain = \"x\"` or `\"y\"`",
            ),
            Some(angle) if angle >= ALONG => return None,
            Some(angle) => (
                format!("bend `{}` runs along the grain, and {metal} is hard", bend.name),
                format!("{}° between the bend line and the grain", num::text(angle, 0)),
                "rotate the part by 90° on the sheet, or bend to a larger radius",
            ),
        };
        let base = subject.finding(Weight::Caution, CODE, headline, &bend.depends, bend.span);
        Some(base.about(subject.of_part([Feature::Bend(i)])).note(note).help(help))
    };
    tight.filter_map(finding).collect()
}

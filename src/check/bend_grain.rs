//! A bend along the grain of a hard sheet.
//!
//! # Looks for
//! In an alloy whose preferred inside radius at this thickness is two thicknesses or more,
//! and a bend no rounder than twice that radius: a bend line within 30° of the direction in
//! which the sheet was rolled. Where the recipe leaves the grain free the nest decides how
//! the part lies, and the bend may come along the grain: that is said instead.
//!
//! # Why it matters
//! Rolled metal tears more easily along its grain: a bend that holds across it cracks along it.
//!
//! # Example
//! 6061-T6 of 2.3 mm bent round 7 mm, the bend line along the grain.
//!
//! # Remedy
//! Turn the part on the sheet by a quarter (`grain = "x"` or `"y"`), bend rounder, or take
//! a softer temper.
//!
//! # Source
//! FAA-H-8083-31 tells to bend across the grain, from memory; 30° and the two thicknesses
//! are our choice.

use crate::check::least_radius;
use crate::check::subject::Subject;
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
const ALONG: f64 = 30.0;

/// An alloy is hard when it wants so many thicknesses of radius.
const HARD: f64 = 2.0;

pub(super) fn look(subject: &Subject) -> Vec<Finding> {
    let grain = match subject.part.grain {
        Grain::Free => None,
        Grain::AlongX => Some(Vec2::new(1.0, 0.0)),
        Grain::AlongY => Some(Vec2::new(0.0, 1.0)),
    };
    let preferred = least_radius::listed(subject, "min-radius").unwrap_or(0.0);
    if preferred < HARD * subject.part.thickness {
        return Vec::new();
    }
    let bends = subject.part.bends.iter().zip(&subject.flat.bends);
    let tight = bends.filter(|(bend, _)| bend.bend.radius() <= 2.0 * preferred);
    let metal = subject.material.name();
    let finding = |(bend, strip): (&Bend, &BendStrip)| {
        let (headline, note, help) = match grain {
            None => (
                format!(
                    "bend `{}` may come to lie along the grain, and {metal} is hard",
                    bend.name
                ),
                "the recipe leaves the grain free, so the nest turns the part as it fits".into(),
                "tie the part to the sheet, its bends across the grain: `grain = \"x\"` or `\"y\"`",
            ),
            Some(grain) => {
                let line = strip.line.direction_at_start();
                let angle = Angle::of(line.dot(grain).abs(), line.cross(grain).abs()).degrees();
                if angle >= ALONG {
                    return None;
                }
                (
                    format!("bend `{}` lies along the grain, and {metal} is hard", bend.name),
                    format!("{}° between the bend line and the grain", num::text(angle, 0)),
                    "turn the part by a quarter on the sheet, or bend it rounder",
                )
            }
        };
        let base = subject.finding(Weight::Caution, CODE, headline, &bend.depends, bend.span);
        Some(base.note(note).help(help))
    };
    tight.filter_map(finding).collect()
}

//! A bend along the grain of a hard sheet.
//!
//! # Looks for
//! A bend line within 30° of the direction in which the sheet was rolled, where the recipe
//! ties the part to the grain, in an alloy whose preferred inside radius at this thickness
//! is two thicknesses or more, if the bend is no rounder than twice that radius.
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

use crate::check::Subject;
use crate::check::least_radius;
use crate::diag::Finding;
use crate::diag::Weight;
use crate::geom::Vec2;
use crate::num::Angle;
use crate::recipe::Grain;

const CODE: &str = "bend-grain";

/// Nearer to the grain than this, degrees, is along it.
const ALONG: f64 = 30.0;

/// An alloy is hard when it wants so many thicknesses of radius.
const HARD: f64 = 2.0;

pub(super) fn look(subject: &Subject) -> Vec<Finding> {
    let grain = match subject.part.grain {
        Grain::Free => return Vec::new(),
        Grain::AlongX => Vec2::new(1.0, 0.0),
        Grain::AlongY => Vec2::new(0.0, 1.0),
    };
    let preferred = least_radius::listed(subject, "min-radius").unwrap_or(0.0);
    if preferred < HARD * subject.part.thickness {
        return Vec::new();
    }
    let bends = subject.part.bends.iter().zip(&subject.flat.bends);
    let along = bends.filter_map(|(bend, strip)| {
        let line = strip.line.direction_at_start();
        let angle = Angle::of(line.dot(grain).abs(), line.cross(grain).abs());
        if angle.degrees() >= ALONG || bend.bend.radius() > 2.0 * preferred {
            return None;
        }
        let headline = format!(
            "bend `{}` lies along the grain, and {} is hard",
            bend.name,
            subject.material.name()
        );
        let degrees = crate::num::text(angle.degrees(), 0);
        Some(
            subject
                .finding(Weight::Caution, CODE, headline, &bend.depends, bend.span)
                .note(format!("{degrees}° between the bend line and the grain"))
                .help("turn the part by a quarter on the sheet, or bend it rounder"),
        )
    });
    along.collect()
}

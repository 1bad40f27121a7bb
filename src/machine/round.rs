//! Round bodies: bars with flat ends, bent tubes, rings.

use crate::geom::CentreLine;
use crate::geom::NEAR;
use crate::geom::Space;
use crate::geom::cross;
use crate::geom::length;
use crate::geom::minus;
use crate::geom::plus;
use crate::geom::times;
use crate::geom::unit;
use crate::machine::convex::Convex;
use crate::machine::convex::Disc;
use crate::num;
use crate::num::Angle;

/// An arc leaves its chord by this at most, mm, which is added to the metal. Our choice.
pub(super) const CHORD: f64 = 0.02;

/// A round bar with flat ends; nothing where it has no length.
pub fn bar([from, to]: [Space; 2], radius: f64) -> Option<Convex> {
    let way = minus(to, from);
    let long = length(way);
    let disc = |centre| Disc { centre, normal: times(way, 1.0 / long), radius };
    (long > NEAR).then(|| Convex::new(vec![disc(from), disc(to)], 0.0))
}

/// A tube, bent or not: its legs have flat ends. `bend` is the radius of its centre line.
pub fn tube(line: &CentreLine, bend: f64, radius: f64) -> Vec<Convex> {
    let mut pieces: Vec<Convex> =
        line.legs.iter().filter_map(|leg| bar([leg.from, leg.end()], radius)).collect();
    for pair in line.spans().windows(2) {
        let (from, to) = (pair[0][1], pair[1][0]);
        let (steps, off) = chords(bend, (to - from) / bend.max(NEAR));
        let at = |i: usize| line.at(from + (to - from) * i as f64 / steps as f64);
        let chord = |i: usize| Convex::points([at(i), at(i + 1)], radius + off);
        pieces.extend((0..steps).map(chord));
    }
    pieces
}

/// A ring about an axis, of a round section.
pub fn torus(centre: Space, axis: Space, ring: f64, section: f64) -> Vec<Convex> {
    let axis = unit(axis);
    // The axis of space that is most across.
    let least = (0..3).min_by(|a, b| axis[*a].abs().total_cmp(&axis[*b].abs())).unwrap_or(0);
    let mut across = [0.0; 3];
    across[least] = 1.0;
    let x = unit(cross(axis, across));
    let y = cross(axis, x);
    let (steps, off) = chords(ring, 2.0 * num::PI);
    let at = |i: usize| {
        let angle = Angle::from_degrees(360.0 * i as f64 / steps as f64);
        plus(centre, plus(times(x, ring * angle.cos()), times(y, ring * angle.sin())))
    };
    (0..steps).map(|i| Convex::points([at(i), at(i + 1)], section + off)).collect()
}

/// The number of chords for an arc of a radius and an angle in radians, and the error of these, mm.
pub(super) fn chords(radius: f64, radians: f64) -> (usize, f64) {
    let half = num::acos(1.0 - (CHORD / radius.max(CHORD)).min(0.5)).radians();
    let steps = (radians / (2.0 * half)).ceil().max(1.0);
    let off = radius * (1.0 - Angle::from_degrees((radians / steps / 2.0).to_degrees()).cos());
    (steps as usize, off)
}

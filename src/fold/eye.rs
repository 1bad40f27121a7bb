//! The distance between a rolled bend of more than half a turn and the sheet it begins on.

use crate::flat::Flat;
use crate::geom::Edge;
use crate::geom::Region;
use crate::num;
use crate::num::Angle;
use crate::part::Part;

/// Steps round the bend, degrees. Our choice.
const STEP: f64 = 0.5;

/// Steps along the face it carries, in thicknesses. Our choice.
const ALONG: f64 = 0.1;

/// How far a face reaches back from a bend that begins on it along an edge, metal to its left, mm.
fn reach(edge: &Edge, face: &Region) -> f64 {
    let along = edge.direction_at_start();
    let back = |p: &crate::geom::Vertex| along.cross(p.at - edge.from);
    face.outer().vertices().iter().map(back).fold(0.0, f64::max)
}

/// The clear distance between a bend of more than 180°, with the face it carries, and the face it
/// starts from, mm; no more than 0 if they collide; `None` for a smaller angle.
pub fn eye_gap(part: &Part, flat: &Flat, bend: usize) -> Option<f64> {
    let (made, strip) = (&part.bends[bend], &flat.bends[bend]);
    let degrees = made.bend.angle().degrees();
    if degrees <= 180.0 {
        return None;
    }
    let (t, r) = (made.bend.thickness(), made.bend.radius());
    let base = reach(&strip.begins, &flat.faces[made.from]);
    let carried = reach(&strip.ends, &flat.faces[made.to]);
    // Across and up from where the bend begins on its inside; the base lies behind and below.
    let at = |radius: f64, angle: Angle| [radius * angle.sin(), r - radius * angle.cos()];
    let gap = |[y, z]: [f64; 2]| {
        let out = [(-base - y).max(y).max(0.0), z.max(-t - z)];
        if out[0] > 0.0 { num::hypot(out[0], out[1].max(0.0)) } else { out[1] }
    };
    let turns = ((degrees - 180.0) / STEP).ceil();
    let round = (0..=turns as usize).map(|i| {
        let share = i as f64 / turns;
        at(r + t, Angle::from_degrees(180.0 + (degrees - 180.0) * share))
    });
    let end = made.bend.angle();
    let steps = (carried / (ALONG * t)).ceil().max(1.0);
    let tail = [r, r + t].into_iter().flat_map(|radius| {
        let from = at(radius, end);
        (0..=steps as usize).map(move |i| {
            let by = carried * i as f64 / steps;
            [from[0] + by * end.cos(), from[1] + by * end.sin()]
        })
    });
    Some(round.chain(tail).map(gap).fold(f64::INFINITY, f64::min))
}

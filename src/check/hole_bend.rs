//! A hole too near a bend.
//!
//! # Looks for
//! A hole whose rim is nearer to a bend than the metal can hold it in shape. Measured
//! from the inside face of the bent-up leg (for 90°: the inside radius more than from
//! where the bend begins), a round hole or hexagon needs 1.5 T + R; a slot along the
//! bend needs 2 T + R up to 1 in long, 2.5 T + R up to 2 in, 3 T + R beyond.
//!
//! # Why it matters
//! The bend draws the hole into a pear; a bolt no longer seats and an eye no longer lines up.
//!
//! # Example
//! In 3 mm sheet bent round 3 mm a round hole must stay 7.5 mm from the inside face.
//!
//! # Remedy
//! Move the hole, make the flange longer, bend round a smaller radius, or drill after bending.
//!
//! # Source
//! A stamping design text; the longest slots by its lower figure.

use crate::check::Subject;
use crate::check::growth;
use crate::diag::Finding;
use crate::diag::Weight;
use crate::flat::BendStrip;
use crate::geom::Outline;
use crate::geom::edge_distance;
use crate::part::HoleSize;
use crate::quantity::MM_PER_INCH;

const CODE: &str = "hole-bend";

pub(super) fn look(subject: &Subject) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (flat, hole) in subject.holes() {
        for (strip, bend) in subject.flat.bends.iter().zip(&subject.part.bends) {
            let (thickness, radius) = (strip.bend.thickness(), strip.bend.radius());
            let times = match hole.size {
                HoleSize::Slot { length, .. } | HoleSize::Mortise { length, .. }
                    if length > 2.0 * MM_PER_INCH =>
                {
                    3.0
                }
                HoleSize::Slot { length, .. } | HoleSize::Mortise { length, .. }
                    if length > MM_PER_INCH =>
                {
                    2.5
                }
                HoleSize::Slot { .. } | HoleSize::Mortise { .. } => 2.0,
                HoleSize::Round { .. } | HoleSize::Hexagon { .. } => 1.5,
            };
            let needed = times * thickness + radius;
            let is = distance(&flat.outline, strip) + strip.bend.inside_setback() - growth(hole);
            if is >= needed - 1e-9 {
                continue;
            }
            let (shown, wanted) = (subject.show(is), subject.show(needed));
            let headline = format!(
                "hole `{}` is {shown} from the inside of bend `{}`, but {wanted} are needed",
                hole.name, bend.name
            );
            let names = [hole.depends.clone(), bend.depends.clone()].concat();
            findings.push(
                subject
                    .finding(Weight::Stop, CODE, headline, &names, hole.span)
                    .at(bend.span, "this bend")
                    .note(format!(
                        "{times} × thickness + radius = {times} × {} + {} = {wanted}",
                        subject.show(thickness),
                        subject.show(radius)
                    ))
                    .help(format!("move it {} away from the bend", subject.show(needed - is))),
            );
        }
    }
    findings
}

/// From a hole to the strip that becomes the bend, mm; 0 inside it.
fn distance(hole: &Outline, strip: &BendStrip) -> f64 {
    let [near, far] = strip.tangents;
    let strip = [
        near,
        crate::geom::Edge::line(near.to, far.to),
        far,
        crate::geom::Edge::line(far.from, near.from),
    ];
    let least = hole
        .edges()
        .flat_map(|e| strip.iter().map(move |s| edge_distance(&e, s)))
        .fold(f64::INFINITY, f64::min);
    let middle = hole.bounds().centre();
    let across = far.from - near.from;
    let share = (middle - near.from).dot(across) / across.hypot2();
    let along = near.direction_at_start();
    let run = (middle - near.from).dot(along);
    let within = (0.0..=1.0).contains(&share) && (0.0..=near.length()).contains(&run);
    if within { 0.0 } else { least }
}

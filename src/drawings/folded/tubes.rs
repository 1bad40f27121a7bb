//! The tubes a formed part is welded to, as phantom lines with their size and angle.

use crate::fold::Axis;
use crate::geom::Edge;
use crate::geom::Frame;
use crate::geom::Point;
use crate::geom::Space;
use crate::geom::cross;
use crate::geom::length;
use crate::geom::minus;
use crate::job::Job;
use crate::num;
use crate::paper::Pen;
use crate::paper::figure_text;
use crate::solid::Solid;
use crate::solve::Solved;
use crate::view;
use crate::view::Camera;
use crate::view::Sight;
use crate::view::Skin;

/// Two axes are one within this, mm and as a sine.
const SAME: f64 = 1e-3;

/// How far a tube is drawn beyond the part, in its diameters. Our choice.
const BEYOND: f64 = 0.3;

/// A tube beside a part.
struct Beside {
    axis: Axis,
    /// Outside diameter, mm.
    outside: f64,
    /// Between its axis and the sheet of the face it meets, degrees.
    angle: f64,
}

/// Lines, and labels with the places they may lead to.
pub(crate) type Drawn = (Vec<(Pen, Vec<Edge>)>, Vec<(String, Vec<Point>)>);

/// The tubes at a part that is placed in the machine, as seen beside and behind some bodies.
pub(crate) fn phantoms(
    job: &Job,
    solved: &Solved,
    at: &Frame,
    mut bodies: Vec<Solid>,
    camera: Camera,
) -> Drawn {
    let (mut lines, mut labels): Drawn = (Vec::new(), Vec::new());
    for tube in tubes(solved, at) {
        let bar = view::bar(&tube.axis.frame(), tube.outside / 2.0, reach(&bodies, &tube));
        bodies.push(bar);
        let skin = Skin::of(&bodies);
        bodies.pop();
        let seen = view::see_last(&Sight::new(&skin, camera));
        let on = |edge: &Edge| [0.5, 0.2, 0.8].map(|t| edge.point_at(t));
        let mut places: Vec<Edge> = seen.iter().flat_map(|l| &l.edges).copied().collect();
        places.sort_by(|a, b| b.length().total_cmp(&a.length()));
        let text = label(job, &tube);
        // Tubes of one size and angle are labelled once.
        if labels.iter().all(|(known, _)| *known != text) {
            labels.push((text, places.iter().take(6).flat_map(on).collect()));
        }
        lines.extend(seen.into_iter().map(|line| (Pen::Phantom, line.edges)));
    }
    (lines, labels)
}

/// From where to where a tube is drawn along its axis: where the metal is near it, and some way
/// beyond.
fn reach(bodies: &[Solid], tube: &Beside) -> [f64; 2] {
    let along = |p: &Space| tube.axis.reach(*p);
    let touches = |p: &&Space| tube.axis.distance(**p) < tube.outside * 0.75;
    let points = || bodies.iter().flat_map(|body| &body.points);
    let none = [f64::INFINITY, f64::NEG_INFINITY];
    let with = |[a, b]: [f64; 2], p: &Space| [a.min(along(p)), b.max(along(p))];
    let near = points().filter(touches).fold(none, with);
    let [from, to] = if near[0] <= near[1] { near } else { points().fold(none, with) };
    [from - BEYOND * tube.outside, to + BEYOND * tube.outside]
}

/// `tube Ø60.3`, with its angle to the sheet if it is neither normal nor parallel to it.
fn label(job: &Job, tube: &Beside) -> String {
    let size = figure_text(job.units, tube.outside);
    let angle = num::text(tube.angle, 1);
    match angle.as_str() {
        "0" | "90" => format!("tube Ø{size}"),
        _ => format!("tube Ø{size} at {angle}°"),
    }
}

/// The tubes that are cut out of the formed part, then those its faces are coped to; each once.
fn tubes(solved: &Solved, stands: &Frame) -> Vec<Beside> {
    let (part, folded) = (&solved.part, &solved.folded);
    let angle = |rise: f64| num::asin(rise.abs().min(1.0)).degrees();
    let mut all: Vec<Beside> = Vec::new();
    for tube in part.tubes.iter().filter(|tube| tube.met) {
        let axis = Axis::of_tube(tube, &stands.within(&folded.faces[tube.face].frame));
        all.push(Beside { axis, outside: tube.outside, angle: angle(tube.along[2]) });
    }
    for (face, of) in part.faces.iter().zip(&folded.faces) {
        let frame = stands.within(&of.frame);
        for cope in &face.copes {
            let axis = Axis::of_cope(cope, &frame, part.thickness);
            all.push(Beside { axis, outside: cope.outside, angle: angle(cope.rise) });
        }
    }
    let mut each: Vec<Beside> = Vec::new();
    for tube in all {
        let is_known = each.iter().any(|other| {
            let (own, other) = (&tube.axis, &other.axis);
            let off = minus(own.at, other.at);
            length(cross(own.along, other.along)) < SAME
                && other.distance(own.at) < SAME * (1.0 + length(off)) + 0.05
        });
        if !is_known {
            each.push(tube);
        }
    }
    each
}

//! The tubes a formed part is welded to, as phantom lines with their size and angle.

use crate::fold::Frame;
use crate::fold::Space;
use crate::fold::cross;
use crate::fold::dot;
use crate::fold::length;
use crate::fold::minus;
use crate::fold::plus;
use crate::fold::times;
use crate::geom::Edge;
use crate::geom::Point;
use crate::geom::Vec2;
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
    at: Space,
    along: Space,
    /// Outside diameter, mm.
    outside: f64,
    /// Between its axis and the sheet of the face it meets, degrees.
    angle: f64,
}

/// Lines, and labels with the places they may lead to.
type Drawn = (Vec<(Pen, Vec<Edge>)>, Vec<(String, Vec<Point>)>);

/// The tubes of a part as they are seen behind and beside it.
pub(super) fn phantoms(job: &Job, solved: &Solved, body: Solid, camera: Camera) -> Drawn {
    let (mut lines, mut labels): Drawn = (Vec::new(), Vec::new());
    let mut bodies = vec![body];
    for tube in tubes(solved) {
        let reach = bodies[0].points.iter().map(|p| dot(minus(*p, tube.at), tube.along));
        let (low, high) =
            reach.fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), t| (a.min(t), b.max(t)));
        let near = near(solved, &tube, [low, high]);
        let bar = view::bar(&frame(&tube), tube.outside / 2.0, near);
        bodies.push(bar);
        let skin = Skin::of(&bodies);
        bodies.pop();
        let seen = view::see_last(&Sight::new(&skin, camera));
        let on = |edge: &Edge| [0.5, 0.2, 0.8].map(|t| edge.point_at(t));
        let mut places: Vec<Edge> = seen.iter().flat_map(|l| &l.edges).copied().collect();
        places.sort_by(|a, b| b.length().total_cmp(&a.length()));
        labels.push((label(job, &tube), places.iter().take(6).flat_map(on).collect()));
        lines.extend(seen.into_iter().map(|line| (Pen::Phantom, line.edges)));
    }
    (lines, labels)
}

/// How much of a tube is drawn: along the part, but no more than a few diameters beyond where it
/// is nearest.
fn near(solved: &Solved, tube: &Beside, [low, high]: [f64; 2]) -> [f64; 2] {
    let touches = |p: &Space| {
        let from = minus(*p, tube.at);
        let off = minus(from, times(tube.along, dot(from, tube.along)));
        length(off) < tube.outside * 0.75
    };
    let mut reach = [f64::INFINITY, f64::NEG_INFINITY];
    for face in &solved.folded.faces {
        for edge in face.region.outer().edges() {
            for p in [edge.from, edge.point_at(0.5)] {
                for p in [0.0, -solved.part.thickness].map(|h| face.frame.point(p, h)) {
                    if touches(&p) {
                        let t = dot(minus(p, tube.at), tube.along);
                        reach = [reach[0].min(t), reach[1].max(t)];
                    }
                }
            }
        }
    }
    let [from, to] = if reach[0] <= reach[1] { reach } else { [low, high] };
    [from - BEYOND * tube.outside, to + BEYOND * tube.outside]
}

fn frame(tube: &Beside) -> Frame {
    let off = if tube.along[2].abs() < 0.9 { [0.0, 0.0, 1.0] } else { [1.0, 0.0, 0.0] };
    let x = cross(off, tube.along);
    let x = times(x, 1.0 / length(x));
    Frame { origin: tube.at, x, y: cross(tube.along, x), z: tube.along }
}

/// `tube Ø60.3`, with its angle to the sheet where that is neither square to it nor along it.
fn label(job: &Job, tube: &Beside) -> String {
    let size = figure_text(job.units, tube.outside);
    let angle = num::text(tube.angle, 1);
    match angle.as_str() {
        "0" | "90" => format!("tube Ø{size}"),
        _ => format!("tube Ø{size} at {angle}°"),
    }
}

/// The tubes that are cut out of the folded part, then those its faces are coped to; each once.
fn tubes(solved: &Solved) -> Vec<Beside> {
    let (part, folded) = (&solved.part, &solved.folded);
    let angle = |rise: f64| num::asin(rise.abs().min(1.0)).degrees();
    let mut all: Vec<Beside> = Vec::new();
    for tube in part.tubes.iter().filter(|tube| tube.met) {
        let frame = &folded.faces[tube.face].frame;
        let [x, y, z] = tube.at;
        let [u, v, rise] = tube.along;
        let along = plus(frame.direction(Vec2::new(u, v)), times(frame.z, rise));
        let at = frame.point(Point::new(x, y), z);
        all.push(Beside { at, along, outside: tube.outside, angle: angle(rise) });
    }
    for (face, of) in part.faces.iter().zip(&folded.faces) {
        for cope in &face.copes {
            let at = of.frame.point(cope.at, cope.above - part.thickness / 2.0);
            let along = plus(of.frame.direction(cope.along), times(of.frame.z, cope.rise));
            let along = times(along, 1.0 / length(along));
            all.push(Beside { at, along, outside: cope.outside, angle: angle(cope.rise) });
        }
    }
    let mut each: Vec<Beside> = Vec::new();
    for tube in all {
        let is_known = each.iter().any(|other| {
            let off = minus(tube.at, other.at);
            length(cross(tube.along, other.along)) < SAME
                && length(cross(off, other.along)) < SAME * (1.0 + length(off)) + 0.05
        });
        if !is_known {
            each.push(tube);
        }
    }
    each
}

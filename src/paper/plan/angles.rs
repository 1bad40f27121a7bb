//! Angles of slanting edges. Their ends give them already, so they are in brackets, as auxiliary
//! dimensions of ISO 129-1 do (from memory), and only where there is room.

use crate::geom::Edge;
use crate::geom::Point;
use crate::geom::Vec2;
use crate::num;
use crate::num::Angle;
use crate::paper::clear::Clear;
use crate::paper::crossed::Leader;
use crate::paper::figures::times;
use crate::paper::plan::scale::Scale;
use crate::paper::plan::shape::Shape;
use crate::paper::scene::Item;
use crate::paper::scene::Note;
use crate::paper::scene::Pen;
use crate::paper::scene::Words;
use crate::paper::sheet::SMALL;

/// Edges shorter than this on paper get no angle, mm.
const SHORT: f64 = 12.0;
/// Radius of the arc, and how far the level or upright line reaches beyond it, mm.
const RADIUS: f64 = 9.0;
const BEYOND: f64 = 2.0;

/// Each angle once, with how many edges have it.
pub(super) fn draw(clear: &mut Clear, scale: &Scale, shapes: &[Shape]) {
    let slants = shapes.iter().flat_map(|shape| &shape.slants);
    let mut all: Vec<(String, Vec<Edge>)> = Vec::new();
    for edge in slants.map(|edge| scale.edge(edge)).filter(|edge| edge.length() > SHORT) {
        let text = format!("{}°", num::text(to_axis(&edge).0, 1));
        match all.iter_mut().find(|(other, _)| *other == text) {
            Some((_, edges)) => edges.push(edge),
            None => all.push((text, vec![edge])),
        }
    }
    for (text, edges) in all {
        let words = format!("{}({text})", times(edges.len()));
        let ends = edges.iter().flat_map(|edge| [*edge, edge.reversed()]);
        for edge in ends {
            if put(clear, &edge, &words) {
                break;
            }
        }
    }
}

/// The angle of an edge to the nearer axis, degrees, and the direction of that axis as the edge
/// runs.
fn to_axis(edge: &Edge) -> (f64, Vec2) {
    let along = (edge.to - edge.from).normalize();
    let axis = match along.x.abs() >= along.y.abs() {
        true => Vec2::new(along.x.signum(), 0.0),
        false => Vec2::new(0.0, along.y.signum()),
    };
    (Angle::of(along.dot(axis), along.cross(axis).abs()).degrees(), axis)
}

/// Arc, line and words at the start of an edge, where there is room.
fn put(clear: &mut Clear, edge: &Edge, words: &str) -> bool {
    let (degrees, axis) = to_axis(edge);
    let along = (edge.to - edge.from).normalize();
    let at = edge.from;
    let (a, b) = (at + axis * RADIUS, at + along * RADIUS);
    let sign = axis.cross(along).signum();
    let arc = Edge { from: a, to: b, bulge: sign * Angle::from_degrees(degrees / 4.0).tan() };
    let line = [at + axis * 1.0, at + axis * (RADIUS + BEYOND)];
    let label = Words::plain(Point::ZERO, SMALL, words);
    let middle = (axis + along).normalize();
    let far = RADIUS + 1.2 + label.length() / 2.0 * middle.x.abs() + SMALL / 2.0 * middle.y.abs();
    let label = label.centred(at + middle * far);
    let round = arc.bounds().grown(0.2);
    let crossed = clear.crossed(at, &[line[1], line[0]]);
    if !clear.is_free(label.bounds())
        || crossed > Leader::OverOutlines
        || !clear.is_open(&line)
        || !clear.is_open(&[round.min, round.max])
    {
        return false;
    }
    let note =
        Note { kind: "angle", text: words.to_owned(), feet: vec![at, a, edge.to], scale: 1.0 };
    let items = vec![
        Item::line(Pen::Narrow, line[0], line[1]),
        Item::Line(Pen::Narrow, vec![arc]),
        Item::Words(label),
    ];
    clear.draw(Item::Noted(note, items));
    true
}

//! The named edges of a blank.

use crate::diag::instead;
use crate::geom::Arc;
use crate::geom::Edge;
use crate::geom::NEAR;
use crate::geom::Outline;
use crate::geom::Point;
use crate::geom::Region;
use crate::num::Angle;
use crate::part::face::NamedEdge;

/// The index of the one edge of a name; the words and the remedy when there is none, when it
/// was cut into pieces, or when it is one of the `arcs`.
pub(super) fn only_edge(
    edges: &[NamedEdge],
    arcs: &[NamedEdge],
    name: &str,
) -> Result<usize, (String, String)> {
    let mut found = edges.iter().enumerate().filter(|(_, e)| e.name == name).map(|(i, _)| i);
    match (found.next(), found.count()) {
        (Some(i), 0) => Ok(i),
        (Some(_), more) => Err((
            format!("edge `{name}` is in {} pieces", more + 1),
            "end the cut before the edge, or draw the face as a polygon whose corners name the \
             pieces of the edge one by one"
                .into(),
        )),
        (None, _) if arcs.iter().any(|arc| arc.name == name) => Err((
            format!("edge `{name}` is an arc"),
            "name a straight edge: a bend or a tongue cannot be on an arc".into(),
        )),
        (None, _) if edges.is_empty() => Err((
            format!("there is no straight edge `{name}`"),
            "give a straight edge its name with `edge = \"foot\"`".into(),
        )),
        (None, _) => {
            let mut names: Vec<&str> = edges.iter().map(|e| e.name.as_str()).collect();
            names.dedup();
            let help = instead(name, &names, "its named edges are");
            Err((format!("there is no straight edge `{name}`"), help))
        }
    }
}

/// The stretches of the outline that lie on a named edge, with the metal on their left.
pub(super) fn surviving(named: &NamedEdge, blank: &Region) -> Vec<NamedEdge> {
    let left = match named.edge.arc() {
        Some(arc) => joined(blank.outer().edges().filter(|e| is_on_arc(e, &arc)).collect()),
        None => blank.along(&named.edge),
    };
    let part = |edge| NamedEdge { name: named.name.clone(), edge, centre: named.centre };
    left.into_iter().map(part).collect()
}

/// The edges of a blank, of its outline and of its openings, that lie on a shape, with the metal on
/// their left.
pub(super) fn common(blank: &Region, shape: &Outline) -> Vec<Edge> {
    let on = |p: Point| shape.distance(p) < 10.0 * NEAR;
    let is_common = |e: &Edge| [0.0, 0.5, 1.0].iter().all(|t| on(e.point_at(*t)));
    blank.outer().edges().chain(round_openings(blank)).filter(is_common).collect()
}

/// The edges of the openings of a blank, with the metal on their left.
fn round_openings(blank: &Region) -> impl Iterator<Item = Edge> {
    blank.holes().iter().flat_map(Outline::edges).map(|edge| edge.reversed())
}

/// The stretches of an edge that an opening of a blank still has, with the metal on their left.
pub(super) fn of_openings(edge: &Edge, blank: &Region) -> Vec<Edge> {
    let Some(arc) = edge.arc() else {
        return blank.along_openings(edge);
    };
    round_openings(blank).filter(|edge| is_on_arc(edge, &arc)).collect()
}

/// Whether an edge of an outline is a stretch of an arc.
fn is_on_arc(edge: &Edge, arc: &Arc) -> bool {
    let on = |t: f64| {
        let out = edge.point_at(t) - arc.centre;
        (out.hypot() - arc.radius).abs() < 10.0 * NEAR
    };
    let middle = edge.point_at(0.5) - arc.centre;
    !edge.is_line()
        && [0.0, 0.5, 1.0].into_iter().all(on)
        && arc.includes(Angle::of(middle.x, middle.y))
}

/// Stretches of one arc in the order of the outline, with adjoining ones merged.
fn joined(stretches: Vec<Edge>) -> Vec<Edge> {
    let mut joined: Vec<Edge> = Vec::new();
    for next in stretches {
        match joined.last_mut().and_then(|last| Some((one(last, &next)?, last))) {
            Some((both, last)) => *last = both,
            None => joined.push(next),
        }
    }
    // The outline begins somewhere, perhaps within the arc.
    let around = match joined.as_slice() {
        [first, .., last] => one(last, first),
        _ => None,
    };
    if let Some(both) = around {
        joined.pop();
        joined[0] = both;
    }
    joined
}

/// Two stretches of one arc as one, where the second begins at the end of the first.
fn one(first: &Edge, second: &Edge) -> Option<Edge> {
    let sweep = first.arc()?.sweep.degrees() + second.arc()?.sweep.degrees();
    let bulge = Angle::from_degrees(sweep / 4.0).tan();
    let meet = (second.from - first.to).hypot() < 10.0 * NEAR;
    meet.then_some(Edge { from: first.from, to: second.to, bulge })
}

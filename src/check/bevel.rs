//! A bevel that reaches a hole, or lies along a bend.
//!
//! # Looks for
//! A hole or opening that a bevel reaches, or comes nearer to than the metal that the process
//! leaves sound beside a cut, and a bevel on an edge that carries a flange.
//!
//! # Why it matters
//! A bevel that opens into a hole leaves a notch where the weld begins. On an edge that is bent
//! there is nothing to bevel.
//!
//! # Example
//! A bevel of 45° with a land of 1 mm on 8 mm plate reaches 7 mm in: a hole whose edge is 9 mm
//! from the edge of the plate keeps 2 mm.
//!
//! # Remedy
//! Move the hole, leave a larger land, or use a smaller angle.
//!
//! # Source
//! Geometry; the metal beside a cut is in the table `process`.

use crate::check::subject::Subject;
use crate::check::subject::short;
use crate::diag::EdgeId;
use crate::diag::Feature;
use crate::diag::Finding;
use crate::diag::Weight;
use crate::geom::Edge;
use crate::geom::Outline;
use crate::geom::edge_distance;
use crate::part::Bevel;
use crate::table::ProcessLimit;

const CODE: &str = "bevel";

pub(super) fn look(subject: &Subject) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (index, face) in subject.part.faces.iter().enumerate() {
        for bevel in &face.bevels {
            let edge = face.edges.iter().position(|edge| edge.name == bevel.edge);
            let about = edge.map(|edge| Feature::Edge(EdgeId { face: index, edge }));
            let found = on_a_bend(subject, index, bevel).or_else(|| near(subject, index, bevel));
            let Some((headline, help)) = found else { continue };
            findings.push(
                subject
                    .finding(Weight::Stop, CODE, headline, &bevel.depends, bevel.span)
                    .about(subject.of_part(about))
                    .help(help),
            );
        }
    }
    findings
}

fn on_a_bend(subject: &Subject, face: usize, bevel: &Bevel) -> Option<(String, String)> {
    let named = |edge: usize| subject.part.faces[face].edges[edge].name == bevel.edge;
    let bend = subject.part.bends.iter().find(|b| b.from == face && named(b.edge))?;
    let headline = format!("edge `{}` carries bend `{}`: it has no bevel", bevel.edge, bend.name);
    Some((headline, "bevel the end of the flange instead".to_owned()))
}

/// The opening that leaves too little metal beside a bevel.
fn near(subject: &Subject, face: usize, bevel: &Bevel) -> Option<(String, String)> {
    let place = &subject.flat.places[face];
    let edges: Vec<Edge> = bevel.stretches.iter().map(|edge| edge.moved(place)).collect();
    let apart = |outline: &Outline| {
        let pairs = outline.edges().flat_map(|a| edges.iter().map(move |b| edge_distance(&a, b)));
        pairs.fold(f64::INFINITY, f64::min)
    };
    let room = |opening: &super::subject::Opening| apart(opening.outline) - opening.growth();
    let openings = subject.openings();
    let nearest = openings.iter().min_by(|a, b| room(a).total_cmp(&room(b)))?;
    let (is, needed) = (room(nearest) - bevel.width(), subject.limit(ProcessLimit::WEB));
    short(is, needed).then(|| {
        let headline = format!(
            "the bevel of edge `{}` reaches {} in and leaves {} beside {}, but {} is needed",
            bevel.edge,
            subject.show(bevel.width()),
            subject.show(is.max(0.0)),
            nearest.words,
            subject.show(needed)
        );
        (headline, format!("move it {} away, or leave a larger land", subject.show(needed - is)))
    })
}

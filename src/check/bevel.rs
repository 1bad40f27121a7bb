//! A bevel that reaches a hole or the other side of the plate, or lies along a bend.
//!
//! # Looks for
//! A hole or opening that a bevel reaches, or that it leaves with less metal beside it than the
//! process needs to keep it sound; a bevel that reaches the edge opposite, or the bevel there; a
//! second bevel on an edge; and a bevel on an edge that carries a flange.
//!
//! # Why it matters
//! A bevel that opens into a hole leaves a notch where the weld begins. One that reaches the other
//! side leaves the plate smaller than its cut file. An edge that carries a bend cannot be bevelled.
//!
//! # Example
//! A bevel of 45° with a land of 1 mm on 8 mm plate reaches 7 mm in: a hole whose edge is 9 mm
//! from the edge of the plate keeps 2 mm.
//!
//! # Remedy
//! Move the hole, make the plate wider, leave a larger land, or use a smaller angle.
//!
//! # Source
//! Geometry; the metal beside a cut is in the `process` table. How the plate is measured across,
//! and that a bevel may run out in a corner, are our choice.

use crate::check::subject::Opening;
use crate::check::subject::ROUNDING;
use crate::check::subject::Subject;
use crate::check::subject::short;
use crate::diag::EdgeId;
use crate::diag::Feature;
use crate::diag::Finding;
use crate::diag::Span;
use crate::diag::Weight;
use crate::geom::Edge;
use crate::geom::Outline;
use crate::geom::Point;
use crate::geom::Vec2;
use crate::geom::edges_distance;
use crate::num::Angle;
use crate::part::Bevel;
use crate::recipe::BevelSides;
use crate::table::ProcessLimit;

const CODE: &str = "bevel";

/// Number of measurements of the plate across a bevelled stretch. Our choice.
const ACROSS: u32 = 16;

/// A point nearer to a line than this, mm, is on it: beyond rounding.
const ON: f64 = 1e-5;

/// An edge that leans less from a bevelled one faces it. Our choice.
const FACING: Angle = Angle::from_degrees(30.0);

pub(super) fn check(subject: &Subject) -> Vec<Finding> {
    let (mut findings, mut told) = (Vec::new(), Vec::new());
    for (index, face) in subject.part.faces.iter().enumerate() {
        for bevel in &face.bevels {
            let edge = face.edges.iter().position(|edge| edge.name == bevel.edge);
            let about = edge.map(|edge| Feature::Edge(EdgeId { face: index, edge }));
            let found = on_a_bend(subject, index, bevel)
                .or_else(|| twice(&face.bevels, bevel))
                .or_else(|| near(subject, index, bevel))
                .or_else(|| across(subject, index, bevel, &told));
            let Some((headline, help)) = found else { continue };
            told.push(bevel.span);
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
    let headline =
        format!("edge `{}` carries bend `{}` and cannot have a bevel", bevel.edge, bend.name);
    Some((headline, "bevel the end of the flange instead".to_owned()))
}

/// The opening that leaves too little metal beside a bevel.
fn near(subject: &Subject, face: usize, bevel: &Bevel) -> Option<(String, String)> {
    let place = &subject.flat.places[face];
    let edges: Vec<Edge> = bevel.stretches.iter().map(|edge| edge.moved(place)).collect();
    let room =
        |opening: &Opening| edges_distance(opening.outline.edges(), &edges) - opening.growth();
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

/// An edge that has a bevel already.
fn twice(bevels: &[Bevel], bevel: &Bevel) -> Option<(String, String)> {
    let first = bevels.iter().find(|other| other.edge == bevel.edge)?;
    (first.span != bevel.span).then(|| {
        let headline = format!("edge `{}` has two bevels", bevel.edge);
        (headline, "remove one; for a bevel from both sides write `side = \"both\"`".to_owned())
    })
}

/// The place where a bevel removes the whole plate. Bevels with another finding do not count.
fn across(
    subject: &Subject,
    face: usize,
    bevel: &Bevel,
    told: &[Span],
) -> Option<(String, String)> {
    let edges: Vec<Edge> = subject.flat.region.outlines().flat_map(Outline::edges).collect();
    let place = &subject.flat.places[face];
    let (mut least, mut missing) = (None, -ROUNDING);
    for stretch in bevel.stretches.iter().map(|edge| edge.moved(place)) {
        for i in 0..ACROSS {
            let share = (f64::from(i) + 0.5) / f64::from(ACROSS);
            let from = stretch.point_at(share);
            let along = direction(&stretch, from);
            let left = if place.mirrored { -1.0 } else { 1.0 };
            let inwards = Vec2::new(-along.y, along.x) * left;
            let Some((edge, width)) = first_met(&edges, from, inwards) else { continue };
            let end = from + inwards * width;
            // In a corner every bevel runs out: there only what faces it counts.
            let faces = direction(edge, end).dot(along).abs() > FACING.cos();
            if !faces && !(0.25..=0.75).contains(&share) {
                continue;
            }
            let opposite = met(subject, end).filter(|other| !told.contains(&other.span));
            let reach = reach(bevel, opposite);
            if reach - width > missing {
                (least, missing) = (Some((width, reach)), reach - width);
            }
        }
    }
    let (width, reach) = least?;
    let with =
        if short(bevel.width(), reach) { "with the one opposite reaches" } else { "reaches" };
    let [width, reach, more] = [width, reach, reach - width].map(|mm| subject.show(mm));
    let headline = format!(
        "the bevel of edge `{}` {with} {reach} in, but the plate is {width} wide there",
        bevel.edge
    );
    Some((headline, format!("make the plate more than {more} wider, or leave a larger land")))
}

/// Unit direction of travel of an edge at one of its points.
fn direction(edge: &Edge, at: Point) -> Vec2 {
    let Some(arc) = edge.arc() else { return (edge.to - edge.from).normalize() };
    let out = (at - arc.centre).normalize();
    Vec2::new(-out.y, out.x) * arc.sweep.degrees().signum()
}

/// The first edge that a ray meets, and how far from its start, mm.
fn first_met(edges: &[Edge], from: Point, ray: Vec2) -> Option<(&Edge, f64)> {
    let met = edges.iter().flat_map(|edge| meets(edge, from, ray).map(move |mm| (edge, mm)));
    let met = met.filter_map(|(edge, mm)| Some((edge, mm.filter(|mm| *mm > ON)?)));
    met.min_by(|a, b| a.1.total_cmp(&b.1))
}

/// How far along a ray of direction 1 it meets an edge, mm; less than 0 is behind its start.
fn meets(edge: &Edge, from: Point, ray: Vec2) -> [Option<f64>; 2] {
    let Some(arc) = edge.arc() else {
        let (chord, between) = (edge.to - edge.from, edge.from - from);
        let turn = ray.cross(chord);
        let share = between.cross(ray) / turn;
        let on = turn.abs() > ROUNDING && (-ROUNDING..=1.0 + ROUNDING).contains(&share);
        return [on.then(|| between.cross(chord) / turn), None];
    };
    let to_centre = arc.centre - from;
    let (along, off) = (to_centre.dot(ray), to_centre.cross(ray));
    let half = (arc.radius * arc.radius - off * off).sqrt();
    let on = |mm: f64| {
        let out = from + ray * mm - arc.centre;
        half.is_finite() && arc.includes(Angle::of(out.x, out.y))
    };
    [along - half, along + half].map(|mm| Some(mm).filter(|mm| on(*mm)))
}

/// The bevel of the edge at a point of the flat.
fn met<'s>(subject: &'s Subject, at: Point) -> Option<&'s Bevel> {
    let faces = subject.part.faces.iter().zip(&subject.flat.places);
    let mut bevels = faces.flat_map(|(face, place)| face.bevels.iter().map(move |b| (b, place)));
    let is_met = |edge: &Edge| (edge.nearest(at) - at).hypot() < ON;
    let found = bevels.find(|(b, place)| b.stretches.iter().any(|e| is_met(&e.moved(place))));
    found.map(|(bevel, _)| bevel)
}

/// How far a bevel and the one opposite reach in on the side of the sheet where that is most, mm.
fn reach(bevel: &Bevel, opposite: Option<&Bevel>) -> f64 {
    let on = |bevel: &Bevel, side: BevelSides| {
        let is = bevel.sides == side || bevel.sides == BevelSides::Both;
        if is { bevel.width() } else { 0.0 }
    };
    let sum = |side| on(bevel, side) + opposite.map_or(0.0, |other| on(other, side));
    sum(BevelSides::Up).max(sum(BevelSides::Down))
}

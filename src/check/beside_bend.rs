//! How far the sheet goes on beside a bend: from the metal that is there, point by point along it.

use crate::bend::Form;
use crate::check::subject::Subject;
use crate::geom::Edge;
use crate::geom::Line;
use crate::geom::Point;
use crate::geom::Vec2;
use crate::sequence::SLANTED_SHARE;

/// Places along a bend at which the sheet beside it is measured. Our choice.
const PLACES: u32 = 200;

/// This share of a bend is left out at either end, but no more than the required distance: a corner
/// cut at 45° takes that. Our choice.
const END_SHARE: f64 = 0.125;

/// An edge this near to a bend begins at it, mm.
const AT: f64 = 0.1;

/// A face that ends at the line of another bend is this near to it, mm.
const ENDS: f64 = 0.05;

/// The sheet at one place beside a bend.
pub(super) struct Place {
    /// How long it is, measured outside, mm.
    pub(super) length: f64,
    /// The bend at whose beginning it ends; none at an edge, and at a hem or a rolled bend, which
    /// are made before.
    pub(super) at: Option<usize>,
}

/// The features beside a bend on the face it starts from (0) or carries (1), wherever there is
/// metal; the ends left out, `needed` mm at most: beside a line that crosses the edge at a slant,
/// which `bend-taper` looks at, a quarter. With how much of the bend that is, mm.
pub(super) fn places(
    subject: &Subject,
    bend: usize,
    side: usize,
    needed: f64,
) -> (Vec<Place>, f64) {
    let (strip, made) = (&subject.flat.bends[bend], &subject.part.bends[bend]);
    let (edge, face) = [(strip.begins, made.from), (strip.ends, made.to)][side];
    let setback = made.bend.caliper_setback();
    let long = edge.length();
    let slanted = made.zone.as_ref().is_some_and(|zone| !zone.is_square());
    let end = match slanted {
        true => SLANTED_SHARE * long,
        false => (END_SHARE * long).min((needed - setback).max(0.0)),
    };
    let along = edge.direction_at_start();
    let out = Vec2::new(-along.y, along.x);
    let outline = subject.flat.faces[face].outer();
    let place = |i: u32| {
        let mm = end + (long - 2.0 * end) * f64::from(i) / f64::from(PLACES);
        let ray = Line { at: edge.from + along * mm, along: out };
        let begins = |[from, to]: &[f64; 2]| *from < AT && *to > AT;
        let [_, to] = ray.stretches(outline).into_iter().find(begins)?;
        let next = next(subject, (face, bend), ray.point(to));
        let beyond = next.map_or(0.0, |next| formed_setback(subject, next));
        let is_bent = |next: &usize| subject.part.bends[*next].bend.form() == Form::Bent;
        Some(Place { length: to + setback + beyond, at: next.filter(is_bent) })
    };
    ((0..=PLACES).filter_map(place).collect(), long - 2.0 * end)
}

/// The other bend of a face that begins at a point.
fn next(subject: &Subject, (face, own): (usize, usize), at: Point) -> Option<usize> {
    let near = |edge: &Edge| (edge.nearest(at) - at).hypot() < ENDS;
    let begins = |i: &usize| {
        let (bend, strip) = (&subject.part.bends[*i], &subject.flat.bends[*i]);
        (bend.from == face && near(&strip.begins)) || (bend.to == face && near(&strip.ends))
    };
    (0..subject.part.bends.len()).filter(|i| *i != own).find(begins)
}

/// A flange with a hem is measured to the outside of it. A rolled bend leads the sheet away from
/// the tool: the flat metal ends where it begins.
fn formed_setback(subject: &Subject, bend: usize) -> f64 {
    let made = &subject.part.bends[bend].bend;
    if made.form().is_hem() { made.caliper_setback() } else { 0.0 }
}

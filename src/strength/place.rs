//! Where a load acts.

use crate::geom::Edge;
use crate::geom::Point;
use crate::geom::Vec2;
use crate::geom::disc;
use crate::part::Hole;
use crate::part::HoleSize;
use crate::part::Part;
use crate::strength::load::At;

/// The face where a load acts, the holes it acts in, and the middle of these or of the edge.
pub(super) struct Spot<'a> {
    pub(super) face: usize,
    pub(super) holes: Vec<&'a Hole>,
    pub(super) centre: Point,
    /// How far above the upper side of the face, mm; `None` in the middle of the sheet.
    pub(super) above: Option<f64>,
}

/// Whether a part has the place where a load acts.
pub fn acts_on(part: &Part, at: &At) -> bool {
    spot(part, at).is_some()
}

/// Finds where a load acts.
pub(super) fn spot<'a>(part: &'a Part, at: &At) -> Option<Spot<'a>> {
    part.faces.iter().enumerate().find_map(|(i, face)| match at {
        At::Hole(name) => {
            let holes: Vec<&Hole> = face.holes.iter().filter(|h| is_of(h, name)).collect();
            (!holes.is_empty()).then(|| {
                let centre = centre(&holes);
                Spot { face: i, holes, centre, above: None }
            })
        }
        At::Edge(name) => {
            let edge = face.edges.iter().find(|e| e.name == *name)?.edge;
            let centre = edge.from.midpoint(edge.to);
            Some(Spot { face: i, holes: Vec::new(), centre, above: None })
        }
        At::Point { at: centre, above } => {
            let (centre, above) = (*centre, Some(*above));
            let screwed = face.holes.iter().any(|hole| hole.through.is_some());
            screwed.then_some(Spot { face: i, holes: Vec::new(), centre, above })
        }
    })
}

/// The middle of some holes.
pub(super) fn centre(holes: &[&Hole]) -> Point {
    let sum = holes.iter().fold(Vec2::ZERO, |sum, hole| sum + hole.at.to_vec2());
    (sum / holes.len().max(1) as f64).to_point()
}

/// The names a load of this sort may give: of holes and their sets, or of straight edges.
pub fn names<'a>(part: &'a Part, at: &At) -> Vec<&'a str> {
    let mut names: Vec<&str> = match at {
        At::Hole(_) | At::Point { .. } => {
            let holes = part.faces.iter().flat_map(|f| &f.holes).map(|h| h.name.as_str());
            holes.flat_map(|name| [Some(name), set_of(name)]).flatten().collect()
        }
        At::Edge(_) => part.faces.iter().flat_map(|f| &f.edges).map(|e| e.name.as_str()).collect(),
    };
    names.sort_unstable();
    names.dedup();
    names
}

/// The name of the set of a hole that has a number.
pub(super) fn set_of(name: &str) -> Option<&str> {
    let (set, number) = name.rsplit_once(' ')?;
    number.chars().all(|c| c.is_ascii_digit()).then_some(set)
}

/// Whether a hole is the one of this name, or one of the set of this name.
pub(super) fn is_of(hole: &Hole, name: &str) -> bool {
    hole.name == name || set_of(&hole.name) == Some(name)
}

/// The finished diameter of a round hole.
pub(super) fn diameter(hole: &Hole) -> Option<f64> {
    match hole.size {
        HoleSize::Round { diameter } => Some(hole.finished.unwrap_or(diameter)),
        _ => None,
    }
}

/// The outline of a hole in the end: one that is made larger later counts at its final size.
pub(super) fn finished(hole: &Hole) -> Vec<Edge> {
    let larger = diameter(hole).filter(|_| hole.finished.is_some());
    let final_outline = larger.and_then(|d| disc(hole.at, d / 2.0).ok());
    final_outline.as_ref().unwrap_or(&hole.outline).edges().collect()
}

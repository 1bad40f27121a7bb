//! Where a load acts.

use crate::fold::Folded;
use crate::geom::Edge;
use crate::geom::NEAR;
use crate::geom::Point;
use crate::geom::Vec2;
use crate::geom::disc;
use crate::part::Face;
use crate::part::Hole;
use crate::part::NamedEdge;
use crate::part::Part;
use crate::part::Recess;
use crate::part::set_of;
use crate::strength::load::At;

/// The face where a load acts, the holes it acts in, and the centre of these or the midpoint of the
/// edge.
pub(super) struct Spot<'a> {
    pub(super) face: usize,
    pub(super) holes: Vec<&'a Hole>,
    pub(super) centre: Point,
    /// How far above the top side of the face, mm; `None` at mid-thickness.
    pub(super) above: Option<f64>,
}

/// Whether a part has the place where a load acts.
pub fn acts_on(part: &Part, folded: &Folded, at: &At) -> bool {
    spot(part, folded, at).is_some()
}

/// The face on which a load acts.
pub(crate) fn face_of(part: &Part, folded: &Folded, at: &At) -> Option<usize> {
    spot(part, folded, at).map(|spot| spot.face)
}

/// Finds where a load acts. Of the faces that have an edge of one name, the first on which
/// there is metal at it.
pub(super) fn spot<'a>(part: &'a Part, folded: &Folded, at: &At) -> Option<Spot<'a>> {
    if let At::Edge(name) = at {
        let left = stretches(part, folded, name);
        let drawn = || {
            let mut faces = part.faces.iter().enumerate();
            faces.find_map(|(i, face)| Some((i, named(face, name).next()?)))
        };
        let (face, edge) = left.into_iter().next().or_else(drawn)?;
        let centre = edge.edge.from.midpoint(edge.edge.to);
        return Some(Spot { face, holes: Vec::new(), centre, above: None });
    }
    part.faces.iter().enumerate().find_map(|(i, face)| match at {
        At::Hole(name) => {
            let holes: Vec<&Hole> = face.holes.iter().filter(|h| h.is_of(name)).collect();
            (!holes.is_empty()).then(|| {
                let centre = centre(&holes);
                Spot { face: i, holes, centre, above: None }
            })
        }
        At::Edge(_) => None,
        At::Point { at: centre, above } => {
            let (centre, above) = (*centre, Some(*above));
            let screwed = face.holes.iter().any(|hole| hole.through.is_some());
            screwed.then_some(Spot { face: i, holes: Vec::new(), centre, above })
        }
    })
}

/// The face off whose plate a point lies at which a load acts. An opening is of the plate: what
/// bears on it may span one.
pub(super) fn off(part: &Part, folded: &Folded, at: &At, spot: &Spot) -> Option<String> {
    let plate = folded.faces[spot.face].region.outer();
    let is_off = !plate.contains(spot.centre) && plate.distance(spot.centre) > NEAR;
    let is_point = matches!(at, At::Point { .. });
    (is_point && is_off).then(|| part.faces[spot.face].name.clone())
}

/// Whether a job means this edge of a face: `top`, or with its face `ear.top`.
pub(crate) fn is_edge(face: &Face, edge: &str, named: &str) -> bool {
    let of_face = |(face_named, edge_named)| face_named == face.name && edge_named == edge;
    edge == named || named.split_once('.').is_some_and(of_face)
}

/// The stretches of a face that a job means by a name.
pub(super) fn named<'a>(face: &'a Face, name: &str) -> impl Iterator<Item = &'a NamedEdge> {
    face.edges.iter().filter(move |edge| is_edge(face, &edge.name, name))
}

/// The straight stretches that a job means by a name, each with its face, as far as a bend
/// leaves metal at them: a fold line that crosses an edge leaves one on either side.
pub(super) fn stretches<'a>(
    part: &'a Part,
    folded: &Folded,
    name: &str,
) -> Vec<(usize, &'a NamedEdge)> {
    let faces = part.faces.iter().enumerate();
    let all = faces.flat_map(|(i, face)| named(face, name).map(move |edge| (i, edge)));
    all.filter(|(face, edge)| !folded.left_of(*face, &[edge.edge]).is_empty()).collect()
}

/// The centre of some holes.
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

/// The diameter of the widest hole equal to a round one at the surface, mm: that of its countersink
/// or counterbore, if it has one, or of the foot of its flare, whose lip is ignored.
pub(super) fn widest(hole: &Hole) -> Option<f64> {
    let sunk = hole.recess.map_or(0.0, |recess| recess.diameter);
    let formed = hole.flare.map_or(0.0, |flare| flare.outside);
    Some(hole.diameter()?.max(sunk).max(formed))
}

/// The diameter of a plain hole that removes as much of a section through its centre as a round one
/// with its countersink or counterbore in a plate of a thickness, mm.
pub(super) fn by_area(hole: &Hole, thickness: f64) -> Option<f64> {
    if hole.flare.is_some() {
        return widest(hole);
    }
    let sunk = hole.recess.map_or(0.0, |recess| recess.section());
    Some((hole.diameter()? + sunk / thickness).min(widest(hole)?))
}

/// The thickness on which a bolt in a hole bears, mm: without the part of a countersink above its
/// head and half of the part filled by the head, and without a counterbore (BS 5950-1 6.3.3.2 and
/// EN 1993-1-8 table 3.4, from a copy, for a head that fills it; AISC 360 gives no figure). An
/// unknown head fills nothing.
pub(super) fn bearing(hole: &Hole, thickness: f64) -> f64 {
    let lost = |recess: Recess| recess.depth - recess.filled.unwrap_or(0.0) / 2.0;
    (thickness - hole.recess.map_or(0.0, lost)).max(0.0)
}

/// The thickness below a countersink or counterbore, mm.
pub(super) fn land(hole: &Hole, thickness: f64) -> f64 {
    (thickness - hole.recess.map_or(0.0, |recess| recess.depth)).max(0.0)
}

/// The final outline of a hole: one that is enlarged later has its final size, and a countersink
/// or counterbore counts over the full thickness.
pub(super) fn finished(hole: &Hole) -> Vec<Edge> {
    let is_larger = hole.finished.is_some() || hole.recess.is_some() || hole.flare.is_some();
    let larger = widest(hole).filter(|_| is_larger);
    let final_outline = larger.and_then(|d| disc(hole.at, d / 2.0).ok());
    final_outline.as_ref().unwrap_or(&hole.outline).edges().collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diag::Sources;
    use crate::diag::Span;
    use crate::geom;
    use crate::part::Bears;
    use crate::part::HoleSize;
    use crate::recipe::Making;
    use crate::recipe::Side;

    /// Ø9 with a countersink of Ø17 × 90° in 8 mm: 4 mm deep, 16 mm² beside the hole, as much as
    /// a hole 2 mm wider; a bolt whose head fills it bears on 6 mm, one whose head takes 3 mm of
    /// it on 5.5, one with a head that is not known on 4. A counterbore of Ø15, 5 mm deep: 30 mm²,
    /// 3 mm.
    #[test]
    fn a_recess_takes_of_net_section_and_bearing_computed_by_hand() {
        let cone = Recess {
            angle: Some(90.0),
            hole: 9.0,
            diameter: 17.0,
            depth: 4.0,
            filled: Some(4.0),
            side: Side::Up,
        };
        let bore = Recess { angle: None, diameter: 15.0, depth: 5.0, filled: None, ..cone };
        let source = Sources::default().add("recipe.toml", "");
        let hole = |recess| Hole {
            name: "bolt".into(),
            outline: geom::disc(Point::ZERO, 4.5).expect("a disc of 4.5 mm radius is one"),
            at: Point::ZERO,
            size: HoleSize::Round { diameter: 9.0 },
            circle: None,
            finished: None,
            making: Making::Cut,
            recess: Some(recess),
            flare: None,
            insert: None,
            through: None,
            row: None,
            thread: None,
            eye: false,
            bears: Bears::Nothing,
            span: Span { source, start: 0, end: 0 },
            depends: Vec::new(),
        };
        let sunken = Recess { filled: Some(3.0), ..cone };
        let unknown = Recess { filled: None, ..cone };
        assert_eq!([sunken, unknown].map(|recess| bearing(&hole(recess), 8.0)), [5.5, 4.0]);
        let (cone, bore) = (hole(cone), hole(bore));
        assert_eq!([by_area(&cone, 8.0), by_area(&bore, 8.0)], [Some(11.0), Some(12.75)]);
        assert_eq!([bearing(&cone, 8.0), bearing(&bore, 8.0)], [6.0, 3.0]);
        assert_eq!([land(&cone, 8.0), land(&bore, 8.0)], [4.0, 3.0]);
        assert_eq!([widest(&cone), widest(&bore)], [Some(17.0), Some(15.0)]);
        // Deeper than the plate: no thickness is left, and none is negative.
        assert_eq!([bearing(&bore, 4.0), land(&cone, 3.0)], [0.0, 0.0]);
    }
}

//! Where a hole would be made in metal that its face is not.

use crate::flat::pattern::BendStrip;
use crate::geom::Outline;
use crate::geom::Place;
use crate::geom::Point;
use crate::geom::Region;
use crate::part::Part;

/// Every edge of a hole is tested at this number of points. Our choice.
const POINTS: u32 = 16;

/// Metal that is not of a hole's own face, by name.
pub(super) enum There<'a> {
    Face(&'a str),
    Bend(&'a str),
}

/// The metal of a part in its flat, by face and bend.
pub(super) struct Elsewhere {
    /// Which drawn face each face is a piece of: those on both sides of a fold line are one.
    drawn: Vec<usize>,
    faces: Vec<Outline>,
    /// The metal of each bend, and the faces on its two sides.
    bends: Vec<(Outline, [usize; 2])>,
    names: [Vec<String>; 2],
}

impl Elsewhere {
    /// Of faces that are cut back to their bends.
    pub(super) fn new(
        part: &Part,
        faces: &[Region],
        places: &[Place],
        strips: &[BendStrip],
    ) -> Self {
        let mut drawn: Vec<usize> = (0..part.faces.len()).collect();
        for bend in part.bends.iter().filter(|bend| bend.zone.is_some()) {
            drawn[bend.to] = drawn[bend.from];
        }
        let bends = strips.iter().zip(&part.bends);
        Self {
            drawn,
            faces: faces.iter().zip(places).map(|(f, place)| f.outer().moved(place)).collect(),
            bends: bends.map(|(s, b)| (s.metal.outer().clone(), [b.from, b.to])).collect(),
            names: [
                part.faces.iter().map(|face| face.name.clone()).collect(),
                part.bends.iter().map(|bend| bend.name.clone()).collect(),
            ],
        }
    }

    /// Another face, or a bend that is not beside its own, in which a hole of a face would be made.
    /// One that is in its own face as well may run through a bend into the next. A bend beside it
    /// is judged by the checks.
    pub(super) fn of(&self, face: usize, hole: &Outline) -> Option<There<'_>> {
        let share = |i: u32| f64::from(i) / f64::from(POINTS);
        let points: Vec<Point> =
            hole.edges().flat_map(|e| (0..POINTS).map(move |i| e.point_at(share(i)))).collect();
        let is_own = |other: usize| self.drawn[other] == self.drawn[face];
        let meets = |metal: &Outline| points.iter().any(|p| metal.contains(*p));
        let starts_here = (0..self.faces.len()).any(|f| is_own(f) && meets(&self.faces[f]));
        let is_next = |other: usize| {
            let joins =
                |[a, b]: &[usize; 2]| (is_own(*a) && *b == other) || (is_own(*b) && *a == other);
            self.bends.iter().any(|(_, sides)| joins(sides))
        };
        let is_free = |other: usize| starts_here && is_next(other);
        let mut others = (0..self.faces.len()).filter(|f| !is_own(*f) && !is_free(*f));
        if let Some(other) = others.find(|other| meets(&self.faces[*other])) {
            return Some(There::Face(&self.names[0][other]));
        }
        let far = self
            .bends
            .iter()
            .position(|(metal, sides)| !sides.iter().any(|side| is_own(*side)) && meets(metal));
        far.map(|bend| There::Bend(&self.names[1][bend]))
    }
}

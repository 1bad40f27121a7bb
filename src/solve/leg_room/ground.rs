//! A face on which the leg of a fillet lies, in its flat.

use crate::geom::Line;
use crate::geom::Outline;
use crate::geom::Point;
use crate::geom::Vec2;
use crate::geom::offset;
use crate::part::LegRoom;
use crate::solve::solved::Solved;

/// What ends nearer to a weld than this is at it, mm: rounding. Our choice.
const AT: f64 = 0.01;

/// Metal farther from a weld than this has nothing to do with it, mm: more than any leg. Our
/// choice.
pub(super) const FAR: f64 = 60.0;

/// The metal of a face, in the coordinates of its flat.
pub(super) struct Ground<'a> {
    outer: &'a Outline,
    edge: String,
    /// Holes and other openings.
    openings: Vec<(String, Outline)>,
    /// Bends and bevels of the face, and plates on it.
    others: Vec<(String, Outline)>,
}

impl<'a> Ground<'a> {
    /// The metal of a face.
    pub(super) fn of(on: &'a Solved, face: usize) -> Self {
        Self::without(on, face, &[])
    }

    /// The metal of a face, with the holes filled through which a plate stands there.
    pub(super) fn without(on: &'a Solved, face: usize, filled: &[usize]) -> Self {
        let name = &on.part.faces[face].name;
        let holes = on
            .flat
            .holes
            .iter()
            .filter(|flat| flat.id.face != face || !filled.contains(&flat.id.hole));
        let holes = holes.map(|flat| {
            let hole = on.part.hole(flat.id);
            // One too fine to be offset is used as it is.
            let outline = offset(&flat.outline, hole.growth());
            let words = format!("hole `{}`", hole.name);
            (words, outline.unwrap_or_else(|_| flat.outline.clone()))
        });
        let gaps = on.flat.gaps().iter();
        let gaps = gaps.map(|gap| (format!("an opening of face `{name}`"), gap.clone()));
        let bends = on.part.bends.iter().zip(&on.flat.bends);
        let bends = bends
            .map(|(bend, strip)| (format!("bend `{}`", bend.name), strip.metal.outer().clone()));
        let bevels = on.part.faces.iter().zip(&on.flat.places).flat_map(|(face, place)| {
            face.bevels.iter().flat_map(move |bevel| {
                let words = format!("the bevel of edge `{}`", bevel.edge);
                let strips = bevel.strips().into_iter();
                strips.map(move |strip| (words.clone(), strip.moved(place)))
            })
        });
        Self {
            outer: on.flat.region.outer(),
            edge: format!("the edge of face `{name}`"),
            openings: holes.chain(gaps).collect(),
            others: bends.chain(bevels).collect(),
        }
    }

    /// With another plate or feature on it.
    pub(super) fn add(&mut self, words: String, outline: Outline) {
        self.others.push((words, outline));
    }

    /// Whether a point is on its metal.
    pub(super) fn contains(&self, at: Point) -> bool {
        self.outer.contains(at) && !self.openings.iter().any(|(_, of)| of.contains(at))
    }

    /// Distance to the end of the metal from a point in a direction; `None` if that is far.
    pub(super) fn room(&self, from: Point, way: Vec2) -> Option<LegRoom> {
        let line = Line { at: from, along: way };
        let inside = line.stretches(self.outer);
        let here = inside.into_iter().find(|[a, b]| *a <= AT && *b > AT);
        let edge = LegRoom { mm: here.map_or(0.0, |[_, b]| b), till: self.edge.clone() };
        let all = [nearest(line, &self.openings), nearest(line, &self.others), Some(edge)];
        let room = all.into_iter().flatten().min_by(|a, b| a.mm.total_cmp(&b.mm))?;
        (room.mm < FAR).then_some(room)
    }

    /// Distance to the nearest hole or opening from a point in a direction; `None` if none is near.
    pub(super) fn to_opening(&self, from: Point, way: Vec2) -> Option<LegRoom> {
        nearest(Line { at: from, along: way }, &self.openings).filter(|room| room.mm < FAR)
    }
}

/// The nearest of some outlines along a line, from its start on.
fn nearest(line: Line, all: &[(String, Outline)]) -> Option<LegRoom> {
    let near = all.iter().filter(|(_, of)| of.bounds().grown(FAR).contains(line.at));
    let ahead = near.flat_map(|(words, of)| {
        let ahead = line.stretches(of).into_iter().filter(|[_, b]| *b > AT);
        ahead.map(move |[a, _]| (a.max(0.0), words))
    });
    let (mm, words) = ahead.min_by(|a, b| a.0.total_cmp(&b.0))?;
    Some(LegRoom { mm, till: words.clone() })
}

//! The metal of a bend that is drawn across a face.

use crate::geom::Edge;
use crate::geom::NEAR;
use crate::geom::Outline;
use crate::geom::OutlineError;
use crate::geom::Place;
use crate::geom::Vertex;
use crate::geom::backwards;

/// The metal of a bend that is drawn across a face, in the drawing of the face it stands on.
///
/// The edge on which the bend stands is where it begins, metal of that face on its left.
#[derive(Clone, Debug)]
pub struct Zone {
    /// Its ends, at the start and at the end of that edge: each from the face it stands on to
    /// the one it carries. The last vertex has no arc.
    pub(crate) sides: [Vec<Vertex>; 2],
    /// The line in its middle, as far as there is metal, along that edge.
    pub(crate) line: Edge,
    /// Cut-outs of the face that reach into it. The faces beside it are drawn without them.
    pub(crate) openings: Vec<Outline>,
}

impl Zone {
    /// Where it begins and where it ends, along the edge.
    pub(crate) fn tangents(&self) -> [Edge; 2] {
        let [start, end] = &self.sides;
        let (first, last) = (start.len() - 1, end.len() - 1);
        [Edge::line(start[0].at, end[0].at), Edge::line(start[first].at, end[last].at)]
    }

    /// All of it, openings too.
    ///
    /// # Errors
    /// When its ends cross.
    pub(crate) fn outline(&self) -> Result<Outline, OutlineError> {
        let [start, end] = &self.sides;
        Outline::new(start.iter().copied().chain(backwards(end)))
    }

    /// Whether it is a rectangle without openings, as at a flange on an edge.
    pub(crate) fn is_plain(&self) -> bool {
        let [near, far] = self.tangents();
        let along = near.direction_at_start();
        let square = [far.from - near.from, far.to - near.to];
        self.openings.is_empty()
            && self.sides.iter().all(|side| side.len() == 2 && side[0].bulge == 0.0)
            && square.iter().all(|way| way.dot(along).abs() < NEAR)
    }

    /// The same elsewhere, by a place that mirrors nothing.
    pub(crate) fn moved(&self, place: &Place) -> Self {
        let side = |side: &Vec<Vertex>| {
            side.iter().map(|v| Vertex { at: place.apply(v.at), ..*v }).collect()
        };
        Self {
            sides: self.sides.each_ref().map(side),
            line: self.line.moved(place),
            openings: self.openings.iter().map(|o| o.moved(place)).collect(),
        }
    }

    /// The same on the other hand of the part.
    pub(super) fn mirrored(&self) -> Self {
        let over = Place { mirrored: true, ..Place::default() };
        let turned = |side: &Vec<Vertex>| {
            let turn = |v: &Vertex| Vertex { at: over.apply(v.at), bulge: -v.bulge };
            side.iter().map(turn).collect::<Vec<_>>()
        };
        let [start, end] = &self.sides;
        Self {
            sides: [turned(end), turned(start)],
            line: self.line.moved(&over).reversed(),
            openings: self.openings.iter().map(|o| o.moved(&over)).collect(),
        }
    }
}

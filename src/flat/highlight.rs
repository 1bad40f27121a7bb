//! Where a feature of a part is seen in its flat.

use crate::diag::Feature;
use crate::diag::Spot;
use crate::flat::pattern::Flat;
use crate::geom::Bounds;
use crate::geom::Edge;
use crate::geom::Outline;
use crate::geom::Point;
use crate::part::Part;

/// In a millimetre.
const MICROMETRES: f64 = 1000.0;

/// The place of the flat that a rectangle in mm covers.
pub(crate) fn spot(bounds: Bounds) -> Spot {
    let whole = |mm: f64| (mm * MICROMETRES).round() as i64;
    let corner = |p: Point| [whole(p.x), whole(p.y)];
    Spot { min: corner(bounds.min), max: corner(bounds.max) }
}

/// A feature as it is marked in a drawing of the flat.
#[derive(Clone, Debug, PartialEq)]
pub enum Highlight {
    /// Something to draw a ring round.
    Round(Bounds),
    /// A line to draw over.
    Along(Vec<Edge>),
}

impl Flat {
    /// Some features of the part whose flat this is, in its own coordinates; its outer edge
    /// where `features` is empty and the whole part is meant. One that the flat does not have
    /// is left out.
    pub fn seen(&self, part: &Part, features: &[Feature]) -> Vec<Highlight> {
        if features.is_empty() {
            return vec![Highlight::Along(self.region.outer().edges().collect())];
        }
        features.iter().filter_map(|feature| self.one_seen(part, *feature)).collect()
    }

    fn one_seen(&self, part: &Part, feature: Feature) -> Option<Highlight> {
        let round = |outline: &Outline| Highlight::Round(outline.bounds());
        match feature {
            Feature::Hole(id) => {
                self.holes.iter().find(|hole| hole.id == id).map(|hole| round(&hole.outline))
            }
            Feature::Opening(index) => self.gaps().get(index).map(round),
            Feature::Bend(index) => {
                self.bends.get(index).map(|bend| Highlight::Along(vec![bend.line]))
            }
            Feature::Face(index) => {
                let (face, place) = self.faces.get(index).zip(self.places.get(index))?;
                Some(Highlight::Along(face.outer().moved(place).edges().collect()))
            }
            Feature::Edge(id) => {
                let edge = part.faces.get(id.face)?.edges.get(id.edge)?.edge;
                Some(Highlight::Along(vec![edge.moved(self.places.get(id.face)?)]))
            }
            Feature::Mark(index) => {
                let edges = self.marks.get(index)?.strokes.iter().flatten();
                Some(Highlight::Round(
                    edges.fold(Bounds::EMPTY, |all, edge| all.and(edge.bounds())),
                ))
            }
            Feature::Spot(spot) => {
                let point =
                    |[x, y]: [i64; 2]| Point::new(x as f64 / MICROMETRES, y as f64 / MICROMETRES);
                Some(Highlight::Round(Bounds::EMPTY.with(point(spot.min)).with(point(spot.max))))
            }
        }
    }
}

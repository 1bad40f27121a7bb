//! Lightening openings, as required and as made.

use crate::diag::Span;
use crate::geom::Outline;
use crate::geom::Place;
use crate::geom::Point;

/// Openings that are to lighten a face, wherever it is wider than its walls.
#[derive(Clone, Debug)]
pub struct Lighten {
    /// Width of metal left inside the outline and round every hole and cut-out, mm.
    pub wall: f64,
    /// Radius of the corners, mm.
    pub radius: f64,
    /// Narrower ones are left out, mm.
    pub smallest: f64,
    /// The shape they stay in.
    pub within: Option<Outline>,
    /// Ribs left across them.
    pub ribs: Vec<Rib>,
    /// The entry in the recipe.
    pub span: Span,
}

impl Lighten {
    /// The same elsewhere, or on the other hand of the part.
    pub(super) fn moved(&self, place: &Place) -> Self {
        let rib = |r: &Rib| Rib { from: place.apply(r.from), to: place.apply(r.to), ..*r };
        Self {
            within: self.within.as_ref().map(|within| within.moved(place)),
            ribs: self.ribs.iter().map(rib).collect(),
            ..self.clone()
        }
    }
}

/// A straight rib across openings.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rib {
    /// Where its centre line begins.
    pub from: Point,
    /// Where it ends.
    pub to: Point,
    /// Across, mm.
    pub width: f64,
}

/// The lightening openings made.
#[derive(Clone, Debug)]
pub struct Lightened {
    /// The openings cut.
    pub openings: Vec<Outline>,
    /// How many were left out because they are too narrow.
    pub left_out: usize,
    /// If none is cut: the largest radius with which one would be, mm, 0 if there is none.
    pub fits: f64,
    /// Where there are ribs: the areas they leave between them.
    pub areas: Vec<RibArea>,
}

/// What ribs and the walls of the outline would leave for an opening, were there no holes.
#[derive(Clone, Debug)]
pub struct RibArea {
    /// It, in the drawing of the face.
    pub outline: Outline,
    /// The number of openings in it, including those that are too narrow.
    pub openings: usize,
}

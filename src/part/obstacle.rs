//! The obstacles of a face: outlines in its drawing.

use crate::diag::Span;
use crate::geom::Outline;
use crate::geom::Place;

/// Something that a face must stay clear of, seen square to it.
#[derive(Clone, Debug)]
pub struct Obstacle {
    /// Its name.
    pub name: String,
    /// Its outline, in the drawing of the face.
    pub outline: Outline,
    /// Required between it and the metal, mm.
    pub clear: f64,
    /// Its entry in the recipe.
    pub span: Span,
}

impl Obstacle {
    /// The same in another place.
    pub(super) fn moved(&self, place: &Place) -> Self {
        Self { outline: self.outline.moved(place), ..self.clone() }
    }
}

//! A tube in space that passes a part.

use crate::diag::Span;
use crate::geom::CentreLine;

/// A tube in space, as a face of a part that lies on three points has it. Lengths are mm.
#[derive(Clone, Debug)]
pub struct Passing {
    /// Its name.
    pub name: String,
    /// Its centre line in the drawing of the face, z above its top side.
    pub line: CentreLine,
    /// Half its outside diameter.
    pub radius: f64,
    /// Index of the face.
    pub face: usize,
    /// Whether it is cut out of a face of the part.
    pub is_cut: bool,
    /// Its entry in the recipe.
    pub span: Span,
}

impl Passing {
    /// The same on the other hand of the part.
    pub(super) fn mirrored(&self) -> Self {
        Self { line: self.line.mirrored(), ..self.clone() }
    }
}

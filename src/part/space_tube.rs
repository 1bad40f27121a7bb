//! Tubes in space: as their recipe lays them, and as a face of a part has them.

use crate::diag::Span;
use crate::geom::CentreLine;
use crate::geom::Frame;
use crate::geom::Space;
use indexmap::IndexMap;

/// A tube in space as its recipe lays it. Lengths are mm.
#[derive(Clone, Debug)]
pub(super) struct SpaceTube {
    /// The points of its axis.
    pub(super) points: Vec<Space>,
    /// Radius of its centre line in the bends.
    pub(super) bend: f64,
    /// Half its outside diameter.
    pub(super) radius: f64,
}

/// The tubes of a recipe by name: nothing for one that `when` leaves out, no entry for one of
/// which something was reported.
pub(super) type SpaceTubes = IndexMap<String, Option<SpaceTube>>;

impl SpaceTube {
    /// Its centre line in a frame.
    pub(super) fn seen(&self, frame: &Frame) -> Option<CentreLine> {
        let points: Vec<Space> = self.points.iter().map(|p| frame.seen(*p)).collect();
        CentreLine::new(&points, self.bend)
    }
}

/// A tube in space that passes a part, as a face that lies on three points has it. Lengths are mm.
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

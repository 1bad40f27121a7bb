//! The marks of a part, as they are drawn.

use crate::geom::Edge;
use crate::geom::Place;
use crate::solve::Solved;

/// The strokes of all marks, where a place brings the flat.
pub(super) fn marks(solved: &Solved, place: &Place) -> Vec<Vec<Edge>> {
    let strokes = solved.flat.marks.iter().flat_map(|mark| &mark.strokes);
    strokes.map(|stroke| stroke.iter().map(|e| e.moved(place)).collect()).collect()
}

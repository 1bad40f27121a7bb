//! The seams of a set: each weld of its parts with a letter, and where it is seen.

use crate::drawings::assembly::stand::Piece;
use crate::geom::Edge;
use crate::geom::Point;
use crate::geom::Vec2;
use crate::part::Bevel;
use crate::part::Weld;
use crate::solve::Solved;
use crate::view::Sight;

/// Where along each stretch of a seam visibility is tested, and how far within the edge, mm. Our
/// choice.
const SHARES: [f64; 5] = [0.5, 0.35, 0.65, 0.2, 0.8];
const WITHIN: f64 = 0.3;

/// A seam of a part of the set.
pub(super) struct Seam<'a> {
    /// `W1`, `W2`, …
    pub(super) label: String,
    /// The number of its part.
    pub(super) item: usize,
    /// How many pieces have it.
    pub(super) pieces: u32,
    pub(super) weld: &'a Weld,
    /// Its length on one piece, mm.
    pub(super) length: f64,
    /// The bevel of its edge, where there is one.
    pub(super) bevel: Option<&'a Bevel>,
}

/// All seams of a set, with the places of each that are seen.
pub(super) fn seams<'a>(
    set: &[&'a Solved],
    stands: &[Piece],
    sight: &Sight,
) -> Vec<(Seam<'a>, Vec<Point>)> {
    let mut seams = Vec::new();
    for (i, part) in set.iter().enumerate() {
        for (face, of) in part.part.faces.iter().enumerate() {
            for weld in &of.welds {
                let seam = Seam {
                    label: format!("W{}", seams.len() + 1),
                    item: i + 1,
                    pieces: part.part.copies,
                    weld,
                    length: part.weld_length(face, weld),
                    bevel: of.bevels.iter().find(|bevel| bevel.edge == weld.edge),
                };
                let own = stands.iter().filter(|piece| piece.solved.name == part.name);
                let places = own.flat_map(|piece| seen(piece, face, weld, sight));
                let places = places.collect();
                seams.push((seam, places));
            }
        }
    }
    seams
}

/// Places along a seam of a face of a piece, on the side of the sheet that faces the viewer, where
/// it is not hidden.
fn seen(piece: &Piece, face: usize, weld: &Weld, sight: &Sight) -> Vec<Point> {
    let frame = piece.at.within(&piece.solved.folded.faces[face].frame);
    let is_above = sight.camera.faces(frame.z) > 0.0;
    let height = if is_above { 0.0 } else { -piece.solved.part.thickness };
    let at = |share: f64| weld.stretches.iter().map(move |edge| within(edge, share));
    let places = SHARES.into_iter().flat_map(at).map(|p| frame.point(p, height));
    places.filter(|p| !sight.hides(*p)).map(|p| sight.camera.paper(p)).collect()
}

/// A point just within an edge: the metal is to its left.
fn within(edge: &Edge, share: f64) -> Point {
    const STEP: f64 = 1e-3;
    let along = (edge.point_at(share + STEP) - edge.point_at(share - STEP)).normalize();
    edge.point_at(share) + Vec2::new(-along.y, along.x) * WITHIN
}

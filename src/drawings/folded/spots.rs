//! Places on a formed part of which a picture should show as many as it can, and the beads on it.

use crate::fold::FoldedFace;
use crate::geom::Edge;
use crate::geom::Frame;
use crate::geom::Point;
use crate::geom::Space;
use crate::part::Part;
use crate::recipe::Side;
use crate::solve::Solved;
use crate::view;
use crate::view::SeenLine;
use crate::view::Sight;
use crate::view::Spots;

/// Places tested along either side of a face, and round a hole. Our choice.
const ACROSS: usize = 9;
const ROUND: usize = 16;

/// The places of a part.
pub(super) fn spots(solved: &Solved) -> Spots {
    let (part, folded) = (&solved.part, &solved.folded);
    let holes = solved.flat.holes.iter().map(|flat| {
        let (hole, frame) = (part.hole(flat.id), &folded.faces[flat.id.face].frame);
        let edges: Vec<Edge> = hole.outline.edges().collect();
        let each = (ROUND / edges.len().max(1)).max(1);
        let share = |i: usize| i as f64 / each as f64;
        let along = edges.iter().flat_map(|e| (0..each).map(move |i| e.point_at(share(i))));
        (frame.z, along.map(|p| on_both(part, frame, p)).collect())
    });
    Spots { faces: on_faces(solved, &Frame::default(), ACROSS), holes: holes.collect() }
}

/// For each face of a part that stands somewhere the normal of its top side, and places on it, so
/// many along either side, on the top side and on the bottom side.
pub(crate) fn on_faces(
    solved: &Solved,
    stands: &Frame,
    across: usize,
) -> Vec<(Space, Vec<[Space; 2]>)> {
    let of = |face: &FoldedFace| {
        let frame = stands.within(&face.frame);
        let bounds = face.region.bounds();
        let at = |i: usize, size: f64| (i as f64 + 0.5) / across as f64 * size;
        let all = (0..across * across).map(|i| {
            bounds.min + (at(i % across, bounds.width()), at(i / across, bounds.height()))
        });
        let places = all.filter(|p| face.region.contains(*p));
        (frame.z, places.map(|p| on_both(&solved.part, &frame, p)).collect())
    };
    solved.folded.faces.iter().map(of).collect()
}

/// A place of a drawing on both sides of its sheet.
fn on_both(part: &Part, frame: &Frame, p: Point) -> [Space; 2] {
    [0.0, -part.thickness].map(|height| frame.point(p, height))
}

/// The visible outlines of beads where they leave the sheet.
pub(super) fn beads(solved: &Solved, sight: &Sight) -> Vec<SeenLine> {
    /// Pieces of a line between two points, each tested for visibility.
    const PIECES: usize = 24;
    let mut lines = Vec::new();
    for (face, folded) in solved.part.faces.iter().zip(&solved.folded.faces) {
        let is_above = sight.camera.faces(folded.frame.z) > 0.0;
        let height = if is_above { 0.0 } else { -solved.part.thickness };
        for bead in &face.beads {
            let stands_out = (bead.side == Side::Up) == is_above;
            let ridge = if stands_out { bead.edges() } else { Vec::new() };
            for edge in bead.outline().iter().chain(&ridge) {
                let at = |i: usize| edge.point_at(i as f64 / PIECES as f64);
                let points: Vec<Space> =
                    (0..=PIECES).map(|i| folded.frame.point(at(i), height)).collect();
                lines.extend(view::see_edges(sight, &points));
            }
        }
    }
    lines
}

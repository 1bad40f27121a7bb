//! Where tubes in space run into a formed part.
//!
//! A tube is in the metal of a plate where the place of the plate nearest to its centre line is
//! metal within the tube, or where an edge of the metal, the lip of a hole or a bead enters it.

use crate::fold::clash;
use crate::fold::clash::Piece;
use crate::fold::clash::TOUCH;
use crate::fold::folded::Folded;
use crate::fold::folded::FoldedFace;
use crate::fold::formed;
use crate::fold::formed::Formed;
use crate::geom::Frame;
use crate::geom::Point;
use crate::geom::Space;
use crate::geom::length;
use crate::geom::minus;
use crate::geom::plus;
use crate::geom::times;
use crate::part::Part;
use crate::part::Passing;

/// A tube that runs into a piece of a formed part.
#[derive(Clone, Copy, Debug)]
pub struct TubeClash {
    /// Index of the tube among those that pass the part.
    pub tube: usize,
    /// The piece.
    pub piece: Piece,
    /// The formed feature of that piece, if that is in the tube.
    pub formed: Option<Formed>,
    /// How far metal reaches into the tube, mm.
    pub depth: f64,
}

/// Steps along an edge and along a centre line, in thicknesses. Our choice.
const STEP: f64 = 0.25;

/// Every tube that runs into a piece, in the order of the part.
pub fn tube_clashes(part: &Part, folded: &Folded) -> Vec<TubeClash> {
    if part.passing.is_empty() {
        return Vec::new();
    }
    let mut found = Vec::new();
    let pieces = clash::edges(part, folded);
    for (tube, passing) in part.passing.iter().enumerate() {
        let seat = &folded.faces[passing.face].frame;
        for (piece, edges) in &pieces {
            let along = along_edges(passing, seat, edges, part);
            let within = match *piece {
                Piece::Face(face) => through(passing, seat, &folded.faces[face], part.thickness),
                Piece::Bend(_) => 0.0,
            };
            let depth = along.max(within);
            if depth > 3.0 * TOUCH {
                found.push(TubeClash { tube, piece: *piece, formed: None, depth });
            }
        }
    }
    found.extend(formed_clashes(part, folded));
    found
}

/// Every tube that runs into a lip or a bead.
fn formed_clashes(part: &Part, folded: &Folded) -> Vec<TubeClash> {
    let mut found = Vec::new();
    for standing in formed::all(part) {
        let places = formed::places(part, folded, &standing);
        for (tube, passing) in part.passing.iter().enumerate() {
            let seat = &folded.faces[passing.face].frame;
            let depths = places.iter().map(|place| depth(passing, seat, *place));
            let depth = depths.fold(0.0, f64::max);
            if depth > 3.0 * TOUCH {
                let formed = standing.formed;
                let piece = Piece::Face(formed.face());
                found.push(TubeClash { tube, piece, formed: Some(formed), depth });
            }
        }
    }
    found
}

/// How far a place is within a tube, mm; less than 0 outside.
fn depth(passing: &Passing, seat: &Frame, place: Space) -> f64 {
    let off = passing.line.distance(seat.seen(place));
    off.map_or(f64::NEG_INFINITY, |off| passing.radius - off)
}

/// How far the edges of a piece enter a tube.
fn along_edges(passing: &Passing, seat: &Frame, edges: &[[Space; 2]], part: &Part) -> f64 {
    let step = STEP * part.thickness;
    let depth = |p: Space| depth(passing, seat, p);
    let mut deepest = 0.0_f64;
    for [from, to] in edges {
        let way = minus(*to, *from);
        let count = (length(way) / step).ceil().max(1.0);
        let mut i = 0.0;
        while i <= count {
            let here = depth(plus(*from, times(way, i / count)));
            deepest = deepest.max(here);
            // No nearer place can be in it before so many steps.
            let skipped = if here.is_finite() { (-here / step).floor().max(1.0) } else { 1.0 };
            i += skipped;
        }
    }
    deepest
}

/// How far a tube reaches into a plate under its centre line.
fn through(passing: &Passing, seat: &Frame, plate: &FoldedFace, thickness: f64) -> f64 {
    let long = passing.line.long();
    let count = (long / (STEP * thickness).max(long / MAX)).ceil().max(1.0);
    let mut deepest = 0.0_f64;
    for i in 1..count as usize {
        let at = seat.at(passing.line.at(long * i as f64 / count));
        let [x, y, z] = plate.frame.seen(at);
        let nearest = [x, y, z.clamp(-thickness, 0.0)];
        let place = plate.frame.point(Point::new(x, y), nearest[2]);
        let depth = depth(passing, seat, place);
        if depth > deepest && plate.region.contains(Point::new(x, y)) {
            deepest = depth;
        }
    }
    deepest
}

/// Maximum number of places along a centre line. Our choice.
const MAX: f64 = 20_000.0;

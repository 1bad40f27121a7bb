//! The positions of the plates of a set relative to one another, as far as the recipe gives them:
//! plates that lie on others, pairs of ears, and the base and the web that ears are slotted into.

use crate::drawings::folded::on_faces;
use crate::fold::FoldedBend;
use crate::geom::Bounds;
use crate::geom::Frame;
use crate::geom::Place;
use crate::geom::Point;
use crate::geom::Space;
use crate::geom::Vec2;
use crate::geom::cross;
use crate::geom::times;
use crate::part::Clevis;
use crate::part::HoleSize;
use crate::solve::Solved;
use crate::solve::seen;

/// Sizes are one within this, mm: more than the play of a tongue.
const SAME: f64 = 0.5;

/// Places tested along either side of a face.
const ACROSS: usize = 7;

/// One piece of a set.
pub(super) struct Piece<'a> {
    pub(super) solved: &'a Solved,
    pub(super) at: Frame,
    /// Whether its position is known.
    pub(super) is_known: bool,
    /// Whether the tubes it is welded to are drawn for it.
    pub(super) carries_tubes: bool,
}

impl Piece<'_> {
    /// Places on the two sides of each face, with the normal of the top side.
    pub(super) fn faces(&self) -> Vec<(Space, Vec<[Space; 2]>)> {
        on_faces(self.solved, &self.at, ACROSS)
    }

    /// Its bends in position.
    pub(super) fn bends(&self) -> Vec<FoldedBend> {
        let moved = |bend: &FoldedBend| FoldedBend { start: self.at.within(&bend.start), ..*bend };
        self.solved.folded.bends.iter().map(moved).collect()
    }
}

/// The pieces of a set, each in its position; those of unknown position beside the others.
pub(super) fn pieces<'a>(set: &[&'a Solved]) -> Vec<Piece<'a>> {
    let mut pieces: Vec<Piece> = Vec::new();
    for solved in set {
        if let Some(clevis) = solved.part.clevis.as_ref().filter(|c| is_pair(solved, c)) {
            ears(&mut pieces, solved, clevis);
            let others = set.iter().filter(|other| other.name != solved.name);
            pieces.extend(others.filter_map(|other| joined(solved, clevis, other)));
        }
    }
    let mut left: Vec<&Solved> = set.iter().copied().filter(|s| !is_in(&pieces, s)).collect();
    // What carries others first.
    left.sort_by_key(|solved| solved.part.laid.is_some());
    for solved in left {
        let on = pieces.iter().find_map(|piece| lying(solved, piece));
        let is_first = pieces.is_empty();
        let at = on.unwrap_or_else(|| beside(&pieces, solved));
        let is_known = on.is_some() || is_first;
        pieces.push(Piece { solved, at, is_known, carries_tubes: is_first || !is_known });
    }
    pieces
}

fn is_in(pieces: &[Piece], solved: &Solved) -> bool {
    pieces.iter().any(|piece| piece.solved.name == solved.name)
}

/// Whether a part is one of two loose ears.
fn is_pair(solved: &Solved, clevis: &Clevis) -> bool {
    solved.part.bends.is_empty() && clevis.ears == 1 && solved.part.copies.is_multiple_of(2)
}

/// Two ears upright, the gap between them.
fn ears<'a>(pieces: &mut Vec<Piece<'a>>, solved: &'a Solved, clevis: &Clevis) {
    for (i, off) in [0.0, -(clevis.gap + solved.part.thickness)].into_iter().enumerate() {
        let at = Frame {
            origin: [off, 0.0, 0.0],
            x: [0.0, 1.0, 0.0],
            y: [0.0, 0.0, 1.0],
            z: [1.0, 0.0, 0.0],
        };
        pieces.push(Piece { solved, at, is_known: true, carries_tubes: i == 0 });
    }
}

/// The web between two ears, or the base they are slotted into.
fn joined<'a>(ear: &Solved, clevis: &Clevis, other: &'a Solved) -> Option<Piece<'a>> {
    let at = web(ear, clevis, other).or_else(|| base(ear, clevis, other))?;
    Some(Piece { solved: other, at, is_known: true, carries_tubes: false })
}

/// A plate as thick and as high as the bridge is in the ear, and as wide as the gap.
fn web(ear: &Solved, clevis: &Clevis, other: &Solved) -> Option<Frame> {
    let bridge = clevis.bridge.as_ref()?.bounds();
    let (thickness, bounds) = (other.part.thickness, other.flat.region.bounds());
    let ears = clevis.gap + 2.0 * ear.part.thickness;
    let is_web = (thickness - bridge.width()).abs() < SAME
        && (bounds.height() - bridge.height()).abs() < SAME
        && (clevis.gap - SAME..ears + SAME).contains(&bounds.width())
        && other.part.bends.is_empty();
    let (centre, own) = (bridge.centre(), bounds.centre());
    let middle = -ear.part.thickness - clevis.gap / 2.0;
    is_web.then(|| Frame {
        origin: [middle - own.x, centre.x - thickness / 2.0, centre.y - own.y],
        x: [1.0, 0.0, 0.0],
        y: [0.0, 0.0, 1.0],
        z: [0.0, -1.0, 0.0],
    })
}

/// A plate with slots for tongues as far apart as the ears are.
fn base(ear: &Solved, clevis: &Clevis, other: &Solved) -> Option<Frame> {
    let is_slot = |hole: &&crate::part::Hole| matches!(hole.size, HoleSize::TongueSlot { .. });
    let slots: Vec<Point> =
        other.part.holes().map(|(_, hole)| hole).filter(is_slot).map(|h| h.at).collect();
    let bounds = slots.iter().fold(Bounds::EMPTY, |b, p| b.with(*p));
    let apart = clevis.gap + ear.part.thickness;
    let is_across = (bounds.width() - apart).abs() < SAME;
    let is_base = slots.len() > 1
        && other.part.bends.is_empty()
        && (is_across || (bounds.height() - apart).abs() < SAME);
    if !is_base {
        return None;
    }
    let level = ear.part.hole(clevis.eye).at.y - clevis.floor;
    let feet = ear.flat.region.outer().edges().map(|e| e.from).filter(|p| p.y < level - SAME);
    let feet = feet.fold(Bounds::EMPTY, |b, p| b.with(p));
    let along = if feet.width() > 0.0 { feet.centre().x } else { 0.0 };
    let middle = Point::new(-ear.part.thickness - clevis.gap / 2.0, along);
    let (x, y) = if is_across {
        ([1.0, 0.0, 0.0], [0.0, 1.0, 0.0])
    } else {
        ([0.0, -1.0, 0.0], [1.0, 0.0, 0.0])
    };
    let own = bounds.centre();
    let turned = Vec2::new(x[0] * own.x + y[0] * own.y, x[1] * own.x + y[1] * own.y);
    let origin = middle - turned;
    Some(Frame { origin: [origin.x, origin.y, level], x, y, z: [0.0, 0.0, 1.0] })
}

/// Where a plate lies on a face of a piece.
fn lying(solved: &Solved, piece: &Piece) -> Option<Frame> {
    let (face, place) = seen(solved, piece.solved)?;
    let below = piece.at.within(&piece.solved.folded.faces[face].frame);
    Some(below.within(&on_top(&place, solved.part.thickness)))
}

/// A place in the plane as one in space, for a plate that lies on that plane.
fn on_top(place: &Place, thickness: f64) -> Frame {
    let [x, y] = [Vec2::new(1.0, 0.0), Vec2::new(0.0, 1.0)].map(|v| {
        let v = place.direction(v);
        [v.x, v.y, 0.0]
    });
    let (at, z) = (place.apply(Point::ZERO), cross(x, y));
    // Turned over, its top side is below.
    let height = if z[2] > 0.0 { thickness } else { 0.0 };
    Frame { origin: [at.x, at.y, height], x, y, z }
}

/// How far across all four corners of a rectangle are: it may lie turned in any way.
fn across(frame: &Frame, bounds: &Bounds) -> [f64; 4] {
    let Bounds { min, max } = *bounds;
    let corners = [min, max, Point::new(min.x, max.y), Point::new(max.x, min.y)];
    corners.map(|corner| frame.point(corner, 0.0)[0])
}

/// To the right of the pieces placed already.
fn beside(pieces: &[Piece], solved: &Solved) -> Frame {
    let corners = |piece: &Piece| {
        let frames: Vec<(Frame, Bounds)> = piece
            .solved
            .folded
            .faces
            .iter()
            .map(|face| (piece.at.within(&face.frame), face.region.bounds()))
            .collect();
        frames.into_iter().flat_map(|(frame, bounds)| across(&frame, &bounds))
    };
    let right = pieces.iter().flat_map(corners).fold(0.0, f64::max);
    let own = solved.folded.faces.iter().flat_map(|f| across(&f.frame, &f.region.bounds()));
    let left = own.fold(f64::INFINITY, f64::min);
    let gap = times([1.0, 0.0, 0.0], right - left + 8.0 * solved.part.thickness);
    Frame { origin: gap, ..Frame::default() }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_face_that_lies_turned_reaches_as_far_as_its_corners() {
        let (x, y) = ([0.6, 0.8, 0.0], [-0.8, 0.6, 0.0]);
        let frame = Frame { x, y, ..Frame::default() };
        let bounds = Bounds { min: Point::ZERO, max: Point::new(10.0, 10.0) };
        let at = across(&frame, &bounds);
        let (left, right) =
            (at.into_iter().fold(0.0, f64::min), at.into_iter().fold(0.0, f64::max));
        assert!((left + 8.0).abs() < 1e-9 && (right - 6.0).abs() < 1e-9, "{at:?}");
    }
}

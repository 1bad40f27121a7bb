//! Right and left hands.

use crate::geom::Place;
use crate::part::face::Face;
use crate::part::face::Hole;
use crate::part::joint::Bend;
use crate::part::space_tube::Passing;
use crate::part::tube::Tube;
use crate::part::whole::Laid;
use crate::part::whole::Part;
use crate::part::zone::Zone;
use crate::recipe::Hand;

/// Every part in both hands. A bent part becomes two, `-right` as drawn and `-left` mirrored, and
/// so does a flat plate with a top side: one that is marked, bevelled on one side, or has a bead, a
/// flare, a countersink, a counterbore or an insert. Another flat plate only has to be flipped
/// over, so it is made twice.
pub(super) fn both(parts: Vec<Part>) -> Vec<Part> {
    let mut hands = Vec::with_capacity(2 * parts.len());
    for part in parts {
        if part.bends.is_empty() && !part.faces.iter().any(has_a_top) {
            hands.push(Part { copies: part.copies.saturating_mul(2), ..part });
            continue;
        }
        let left = left(&part);
        hands.push(right(part));
        hands.push(left);
    }
    hands
}

/// Every part in both hands, which differ in more than mirroring: the parts as drawn for each hand.
pub(super) fn unlike(rights: Vec<Part>, lefts: &[Part]) -> Vec<Part> {
    rights.into_iter().map(right).chain(lefts.iter().map(left)).collect()
}

fn right(part: Part) -> Part {
    Part { suffix: suffix(&part, Hand::Right), hand: Some(Hand::Right), ..part }
}

fn suffix(part: &Part, hand: Hand) -> String {
    format!("{}-{}", part.suffix, hand.word())
}

/// A part in the mirror.
fn left(part: &Part) -> Part {
    let mirror = Place { mirrored: true, ..Place::default() };
    let over = |place: &Place| mirror.then(place).then(&mirror);
    Part {
        suffix: suffix(part, Hand::Left),
        hand: Some(Hand::Left),
        faces: part.faces.iter().map(mirrored).collect(),
        bends: part.bends.iter().map(bend).collect(),
        tubes: part.tubes.iter().map(Tube::mirrored).collect(),
        passing: part.passing.iter().map(Passing::mirrored).collect(),
        stands: None,
        facts: Vec::new(),
        clevis: None,
        laid: part.laid.as_ref().map(|laid| Laid { place: over(&laid.place), ..laid.clone() }),
        ..part.clone()
    }
}

fn bend(bend: &Bend) -> Bend {
    let zone = bend.zone.as_ref().map(Zone::mirrored);
    Bend { aside: -bend.aside, zone, ..bend.clone() }
}

/// Whether a flat face differs from the same one flipped over.
fn has_a_top(face: &Face) -> bool {
    !face.marks.is_empty()
        || face.bevels.iter().any(|bevel| bevel.sides.is_one_sided())
        || !face.beads.is_empty()
        || face.holes.iter().any(Hole::is_one_sided)
}

/// A face in the mirror.
pub(super) fn mirrored(face: &Face) -> Face {
    face.moved(&Place { mirrored: true, ..Place::default() })
}

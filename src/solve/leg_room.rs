//! How much metal there is for the leg of a fillet on the surface it lies on.
//!
//! A fillet has two legs: for a plate on its edge, one on the plate itself and one on its base; for
//! a plate lying flat, one on its edge and one beside it. If its base is known, rays square to the
//! weld are followed to where the metal ends.

mod ground;
mod in_space;
mod on_plate;
mod own;
mod seam;
mod slotted;
mod wall;

use crate::solve::leg_room::seam::Found;
use crate::solve::solved::Solved;

/// Gives every weld the room for its leg, if that is known.
pub(super) fn measure(solved: &mut [Solved]) {
    let mut all: Vec<Found> = Vec::new();
    all.extend(own::rooms(solved));
    all.extend(on_plate::rooms(solved));
    all.extend(slotted::rooms(solved));
    all.extend(in_space::rooms(solved));
    all.extend(wall::rooms(solved));
    for Found { of: [part, face, weld], room } in all {
        let weld = &mut solved[part].part.faces[face].welds[weld];
        if weld.room.as_ref().is_none_or(|known| room.mm < known.mm) {
            weld.room = Some(room);
        }
    }
}

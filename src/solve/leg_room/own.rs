//! A plate on its edge: one leg of its fillet is on the plate itself.

use crate::geom::NEAR;
use crate::part::Weld;
use crate::solve::leg_room::ground::Ground;
use crate::solve::leg_room::seam::Found;
use crate::solve::leg_room::seam::Spot;
use crate::solve::leg_room::seam::narrowest;
use crate::solve::leg_room::seam::spots;
use crate::solve::leg_room::seam::welds;
use crate::solve::solved::Solved;

/// On the plate itself, which is on its edge. At the end of the weld its own edge or bend may be as
/// near as its angle puts it: there a fillet runs out.
pub(super) fn rooms(solved: &[Solved]) -> Vec<Found> {
    let stands = |(_, of, weld): &([usize; 3], &Solved, &Weld)| {
        of.part.laid.is_none() && (weld.sides == 2 || weld.all_round)
    };
    let one = |(of, part, weld): ([usize; 3], &Solved, &Weld)| {
        let face = &part.part.faces[of[1]];
        if face.bevels.iter().any(|bevel| bevel.edge == weld.edge) {
            return None;
        }
        let ground = Ground::of(part, of[1]);
        let place = &part.flat.places[of[1]];
        let leg = weld.leg.unwrap_or(part.part.thickness);
        let room = |spot: &Spot| {
            let (at, way) = (place.apply(spot.at), place.direction(-spot.out));
            match spot.to_end < 2.0 * leg + NEAR {
                true => ground.to_opening(at, way),
                false => ground.room(at, way),
            }
        };
        let room = narrowest(spots(part, of[1], weld).iter().filter_map(room))?;
        Some(Found { of, room })
    };
    welds(solved).filter(stands).filter_map(one).collect()
}

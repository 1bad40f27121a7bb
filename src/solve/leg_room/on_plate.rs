//! A plate that lies flat on another: beside its edge the other plate continues.

use crate::geom::Place;
use crate::part::Weld;
use crate::solve::leg_room::ground::Ground;
use crate::solve::leg_room::seam::Found;
use crate::solve::leg_room::seam::Spot;
use crate::solve::leg_room::seam::narrowest;
use crate::solve::leg_room::seam::spots;
use crate::solve::lying::SHARED;
use crate::solve::lying::shared;
use crate::solve::on_sheets::seen;
use crate::solve::solved::Solved;

/// The rooms beside plates that lie on others, and below plates that reach over them.
pub(super) fn rooms(all: &[Solved]) -> Vec<Found> {
    let mut found = Vec::new();
    for (i, upper) in all.iter().enumerate() {
        for (j, lower) in all.iter().enumerate() {
            let Some((face, place)) = seen(upper, lower) else { continue };
            found.extend(beside(all, [i, j], face, &place));
            found.extend(below([i, j], [upper, lower], face, &place));
        }
    }
    found
}

/// Beside the edges of a plate, on the face below it.
fn beside(all: &[Solved], [i, j]: [usize; 2], face: usize, place: &Place) -> Vec<Found> {
    let (upper, lower) = (&all[i], &all[j]);
    let in_flat = &lower.flat.places[face];
    let mut ground = Ground::of(lower, face);
    let outer = upper.part.faces[0].blank.outer().moved(place);
    for other in all.iter().filter(|other| other.name != upper.name) {
        let Some((_, there)) = seen(other, lower).filter(|(of, _)| *of == face) else { continue };
        let outline = other.part.faces[0].blank.outer().moved(&there);
        // Two plates at one place lie on the two sides of the face.
        if shared(&outer, &outline) < SHARED {
            let name = format!("face `{}`", other.part.faces[0].name);
            ground.add(name, outline.moved(in_flat));
        }
    }
    let to_flat = place.then(in_flat);
    let welds = upper.part.faces[0].welds.iter().enumerate();
    let room = |spots: Vec<Spot>| {
        let room = |s: &Spot| ground.room(to_flat.apply(s.at), to_flat.direction(s.out));
        narrowest(spots.iter().filter_map(room))
    };
    welds
        .filter_map(|(w, weld)| Some(Found { of: [i, 0, w], room: room(spots(upper, 0, weld))? }))
        .collect()
}

/// Beside those edges of a plate that lie wholly below a larger one, on the underside of that.
fn below(
    [_, j]: [usize; 2],
    [upper, lower]: [&Solved; 2],
    face: usize,
    place: &Place,
) -> Vec<Found> {
    let ground = Ground::of(upper, 0);
    let to_flat = place.back().then(&upper.flat.places[0]);
    let outer = upper.part.faces[0].blank.outer().moved(place);
    let one = |(w, weld): (usize, &Weld)| {
        let spots = spots(lower, face, weld);
        let is_below = |s: &Spot| outer.contains(s.at) && outer.distance(s.at) > SHARED;
        if !spots.iter().all(is_below) {
            return None;
        }
        let room = |s: &Spot| ground.room(to_flat.apply(s.at), to_flat.direction(s.out));
        Some(Found { of: [j, face, w], room: narrowest(spots.iter().filter_map(room))? })
    };
    lower.part.faces[face].welds.iter().enumerate().filter_map(one).collect()
}

//! The plates of a joint by their layers, and in their places in the machine.

use crate::joint::Between;
use crate::joint::Bolted;
use crate::joint::Plate;
use crate::solve::joint_places::meeting::Standing;
use crate::solve::machine::Machine;
use crate::solve::solved::Solved;

/// A plate of the stack, by the number of its layer, in its places.
pub(super) struct InPlaces<'b> {
    pub(super) layer: usize,
    pub(super) plate: &'b Plate,
    pub(super) places: Vec<Standing>,
}

/// The plates of a joint that are placed.
pub(super) fn in_places<'b>(
    solved: &[Solved],
    machine: &Machine,
    bolted: &'b Bolted,
) -> Vec<InPlaces<'b>> {
    let of = |(layer, plate): (usize, &'b Plate)| {
        let of = solved.iter().find(|of| of.name == plate.part)?;
        let places = machine.places.iter().enumerate();
        let places = places.filter(|(_, (name, _))| *name == plate.part);
        let places: Vec<Standing> = places
            .map(|(place, (_, frame))| Standing::of(of, frame, place, (bolted, plate)))
            .collect();
        (!places.is_empty()).then_some(InPlaces { layer, plate, places })
    };
    plates(bolted).filter_map(of).collect()
}

/// The plates of a joint, each by the number of its layer.
pub(super) fn plates(bolted: &Bolted) -> impl Iterator<Item = (usize, &Plate)> {
    bolted.layers.iter().enumerate().filter_map(|(i, layer)| match layer {
        Between::Plate(plate) => Some((i, plate.as_ref())),
        _ => None,
    })
}

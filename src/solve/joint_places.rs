//! The parts of a joint together: two by two where the machine has them, and the legs of one piece.

mod layers;
mod legs;
mod meeting;
mod neighbours;
mod overlap;

use crate::check::Together;
use crate::job::Job;
use crate::joint::Bolted;
use crate::solve::joint_places::layers::in_places;
use crate::solve::joint_places::legs::Legs;
use crate::solve::machine::Machine;
use crate::solve::solved::Solved;

/// The parts of a joint together.
pub(super) fn together<'b>(
    job: &Job,
    solved: &[Solved],
    machine: Option<&Machine>,
    bolted: &'b Bolted,
) -> Together<'b> {
    let legs = legs::of(job, solved, bolted);
    let mut together = Together::default();
    if let Some(machine) = machine {
        let plates = in_places(solved, machine, bolted);
        together.met = neighbours::met(bolted, &plates, &legs);
        together.overlaps = overlap::of(job, solved, machine, bolted);
    }
    // Two pieces that are placed are compared there.
    let is_placed = |legs: &Legs| {
        let of = legs.plates[0].part.as_str();
        machine.is_some_and(|m| m.places.iter().filter(|(name, _)| *name == of).count() > 1)
    };
    let own = legs.into_iter().filter(|legs| legs.face || !legs.may_be_two || !is_placed(legs));
    together.legs = own.map(Legs::judged).collect();
    together
}

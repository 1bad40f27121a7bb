//! The cost of one piece by the shop's rates: metal, machine, labour.

use crate::bend::Form;
use crate::job::Job;
use crate::part::Bead;
use crate::part::Hole;
use crate::solve::Solved;

/// Time and price of one piece. Values without a rate of the shop are `None`.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Price {
    /// Of the flat, kg.
    pub(crate) mass: f64,
    pub(crate) pierces: usize,
    /// Operations on holes after cutting.
    pub(crate) later: usize,
    /// Length of its bevels, each side counted, mm.
    pub(crate) bevel_length: f64,
    /// Length of its beads, mm.
    pub(crate) bead_length: f64,
    pub(crate) cutting_minutes: Option<f64>,
    pub(crate) hand_minutes: Option<f64>,
    /// The metal in the flat, without scrap.
    pub(crate) metal: Option<f64>,
    machine: Option<f64>,
    hands: Option<f64>,
    pub(crate) currency: String,
}

impl Price {
    /// All of it.
    pub(crate) fn each(&self) -> Option<f64> {
        Some(self.metal? + self.machine? + self.hands?)
    }
}

/// Length of all bevels of a part, each side counted, mm.
fn bevel_length(solved: &Solved) -> f64 {
    let bevels = solved.part.faces.iter().flat_map(|face| &face.bevels);
    bevels.map(|bevel| bevel.length() * f64::from(bevel.sides.count())).sum()
}

/// Length of all beads of a part, mm.
fn bead_length(solved: &Solved) -> f64 {
    solved.part.faces.iter().flat_map(|face| &face.beads).map(Bead::length).sum()
}

/// Minutes for a length at a speed; 0 for no length, `None` if the shop gives no speed.
fn minutes(length: f64, speed: Option<f64>) -> Option<f64> {
    if length > 0.0 { speed.map(|speed| length / speed) } else { Some(0.0) }
}

/// The price of one piece of a part.
pub(crate) fn price(job: &Job, solved: &Solved) -> Price {
    let sheet = &job.sheets[solved.sheet];
    let region = &solved.flat.region;
    let holes = solved.part.faces.iter().flat_map(|f| &f.holes);
    let mut price = Price {
        mass: region.area() * sheet.thickness * sheet.material.measure("density"),
        pierces: 1 + region.holes().len(),
        bevel_length: bevel_length(solved),
        bead_length: bead_length(solved),
        later: holes.clone().map(Hole::operations).sum(),
        ..Price::default()
    };
    let Some(rates) = job.rates() else { return price };
    let metal = sheet.material.name();
    let cut = rates.cut(job.process.name(), metal, sheet.thickness);
    let cutting = cut.map(|rate| rate.minutes(region.length(), price.pierces));
    let bends = solved.part.bends.iter().map(|bend| match bend.bend.form() {
        Form::Bent => rates.bend_minutes,
        Form::Rolled => rates.roll_minutes,
        Form::OpenHem | Form::ClosedHem => rates.hem_minutes,
    });
    let bends: f64 = bends.sum();
    let sunk = holes.clone().filter(|hole| hole.recess.is_some()).count();
    let flares = holes.filter(|hole| hole.flare.is_some()).count();
    let holes = (price.later - sunk - flares) as f64 * rates.hole_minutes
        + sunk as f64 * rates.countersink_minutes
        + flares as f64 * rates.flare_minutes;
    let along = minutes(price.bevel_length, rates.bevel_per_minute)
        .zip(minutes(price.bead_length, rates.bead_per_minute));
    let hands = along.map(|(bevels, beads)| bends + holes + bevels + beads);
    price.currency = rates.currency.clone();
    price.cutting_minutes = cutting;
    price.hand_minutes = hands;
    price.metal = rates.kilogram(metal).map(|kilogram| kilogram * price.mass);
    price.machine = cut.zip(cutting).map(|(rate, minutes)| minutes / 60.0 * rate.hour);
    price.hands = match rates.hand_hour {
        Some(hour) => hands.map(|hands| hands / 60.0 * hour),
        // No work costs nothing, whatever an hour costs.
        None => hands.filter(|hands| *hands == 0.0),
    };
    price
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 1.2 m at 0.4 m a minute; a length without a speed is not guessed.
    #[test]
    fn a_length_takes_minutes_only_where_its_speed_is_known() {
        assert_eq!(minutes(1200.0, Some(400.0)), Some(3.0));
        assert_eq!([minutes(1200.0, None), minutes(0.0, None)], [None, Some(0.0)]);
    }
}

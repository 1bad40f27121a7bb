//! What one piece costs by the shop's rates: metal, machine, hands.

use crate::job::Job;
use crate::part::Hole;
use crate::solve::Solved;

/// Time and price of one piece. What the shop gives no rate for is none.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Price {
    /// Of the flat, kg.
    pub(crate) mass: f64,
    pub(crate) pierces: usize,
    /// Operations on holes after cutting.
    pub(crate) later: usize,
    pub(crate) cutting_minutes: Option<f64>,
    pub(crate) hand_minutes: Option<f64>,
    /// The metal in the flat; what is left of the sheet is not in it.
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

/// The price of one piece of a part.
pub(crate) fn price(job: &Job, solved: &Solved) -> Price {
    let sheet = &job.sheets[solved.sheet];
    let region = &solved.flat.region;
    let holes = solved.part.faces.iter().flat_map(|f| &f.holes);
    let mut price = Price {
        mass: region.area() * sheet.thickness * sheet.material.measure("density"),
        pierces: 1 + region.holes().len(),
        later: holes.clone().map(Hole::operations).sum(),
        ..Price::default()
    };
    let Some(rates) = job.rates() else { return price };
    let metal = sheet.material.name();
    let cut = rates.cut(job.process.name(), metal, sheet.thickness);
    let minutes = cut.map(|rate| rate.minutes(region.length(), price.pierces));
    let bends = solved.part.bends.len() as f64;
    let sunk = holes.filter(|hole| hole.recess.is_some()).count();
    let holes = (price.later - sunk) as f64 * rates.hole_minutes;
    let hands = bends * rates.bend_minutes + holes + sunk as f64 * rates.countersink_minutes;
    price.currency = rates.currency.clone();
    price.cutting_minutes = minutes;
    price.hand_minutes = Some(hands);
    price.metal = rates.kilogram(metal).map(|kilogram| kilogram * price.mass);
    price.machine = cut.zip(minutes).map(|(rate, minutes)| minutes / 60.0 * rate.hour);
    price.hands = Some(hands / 60.0 * rates.hand_hour);
    price
}

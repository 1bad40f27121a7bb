//! What one piece costs by the shop's rates: metal, machine, hands.

use crate::bend::Form;
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
    /// Length of its bevels, each side counted, mm.
    pub(crate) bevel_length: f64,
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

/// Length of all bevels of a part, each side counted, mm.
fn bevel_length(solved: &Solved) -> f64 {
    let bevels = solved.part.faces.iter().flat_map(|face| &face.bevels);
    bevels.map(|bevel| bevel.length() * f64::from(bevel.sides.count())).sum()
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
        later: holes.clone().map(Hole::operations).sum(),
        ..Price::default()
    };
    let Some(rates) = job.rates() else { return price };
    let metal = sheet.material.name();
    let cut = rates.cut(job.process.name(), metal, sheet.thickness);
    let minutes = cut.map(|rate| rate.minutes(region.length(), price.pierces));
    let bends = solved.part.bends.iter().map(|bend| match bend.bend.form() {
        Form::Bent => rates.bend_minutes,
        Form::Rolled => rates.roll_minutes,
        Form::OpenHem | Form::ClosedHem => rates.hem_minutes,
    });
    let bends: f64 = bends.sum();
    let sunk = holes.filter(|hole| hole.recess.is_some()).count();
    let holes = (price.later - sunk) as f64 * rates.hole_minutes;
    let bevels = match (price.bevel_length > 0.0, rates.bevel_per_minute) {
        (false, _) => Some(0.0),
        (true, speed) => speed.map(|speed| price.bevel_length / speed),
    };
    let sunk = sunk as f64 * rates.countersink_minutes;
    let hands = bevels.map(|bevels| bends + holes + sunk + bevels);
    price.currency = rates.currency.clone();
    price.cutting_minutes = minutes;
    price.hand_minutes = hands;
    price.metal = rates.kilogram(metal).map(|kilogram| kilogram * price.mass);
    price.machine = cut.zip(minutes).map(|(rate, minutes)| minutes / 60.0 * rate.hour);
    price.hands = hands.map(|hands| hands / 60.0 * rates.hand_hour);
    price
}

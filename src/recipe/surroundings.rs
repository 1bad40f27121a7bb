//! What a formula may use without declaring it: the sheet, the process and the coating.

use crate::formula::Value;
use crate::quantity::Quantity;
use crate::quantity::Units;
use crate::recipe::hand::HAND;
use crate::recipe::hand::Hand;
use std::collections::HashMap;

/// Names every formula may use without declaring them, and what they are.
pub const IMPLICIT: &[(&str, &str)] = &[
    ("thickness", "thickness of the sheet"),
    ("part_thickness", "thickness of the part's own sheet, where a plate is cut from another"),
    ("material", "the sheet's row in the table of materials"),
    ("bend_radius", "the usual inside radius for bending this sheet"),
    ("kerf", "width of the cut"),
    ("min_web", "minimum metal between two cuts in this sheet"),
    ("coating", "thickness of the coating on every face"),
    (
        "size_step",
        "the step to which default sizes are rounded: 1 mm, or 1/16 in in a job in inches",
    ),
];

/// The values of the [`IMPLICIT`] names for one sheet and process.
#[derive(Clone, Debug, Default)]
pub struct Surroundings {
    pub(super) values: HashMap<&'static str, Value>,
    pub(super) units: Units,
}

impl Surroundings {
    /// The same, for words in these units.
    #[must_use]
    pub(crate) fn in_units(self, units: Units) -> Self {
        Self { units, ..self }
    }

    /// The same on a sheet so thick, mm.
    pub(super) fn of_thickness(&self, thickness: f64) -> Self {
        let mut values = self.values.clone();
        values.insert("thickness", Value::Quantity(Quantity::length(thickness)));
        Self { values, units: self.units }
    }

    /// The same where formulas know the hand of the part, or do not.
    pub(super) fn of_hand(&self, hand: Option<Hand>) -> Self {
        let mut values = self.values.clone();
        values.remove(HAND);
        values.extend(hand.map(|hand| (HAND, hand.value())));
        Self { values, units: self.units }
    }
}

impl<const N: usize> From<[(&'static str, Value); N]> for Surroundings {
    fn from(values: [(&'static str, Value); N]) -> Self {
        Self { values: values.into(), units: Units::default() }
    }
}

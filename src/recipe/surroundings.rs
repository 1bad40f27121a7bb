//! What a formula may use without declaring it: the sheet, the process and the coating.

use crate::formula::Value;
use crate::quantity::Units;
use crate::recipe::hand::HAND;
use crate::recipe::hand::Hand;
use crate::table::ProcessLimit;
use crate::table::Row;
use std::collections::HashMap;

/// Names every formula may use without declaring them, and what they are.
pub const IMPLICIT: &[(&str, &str)] = &[
    ("thickness", "thickness of the sheet"),
    ("part_thickness", "thickness of the part's own sheet, where a plate is cut from another"),
    ("material", "the sheet's row in the table of materials"),
    ("bend_radius", "the usual inside radius for bending this sheet"),
    ("kerf", "width of the cut"),
    ("min_hole", "smallest hole that the process cuts in this sheet"),
    ("min_web", "minimum metal between two cuts in this sheet"),
    ("coating", "thickness of the coating on every face"),
    (
        "size_step",
        "the step to which default sizes are rounded: 1 mm, or 1/16 in in a job in inches",
    ),
];

/// Those of them that are of the process.
pub(super) const OF_PROCESS: [&str; 3] = ["kerf", "min_hole", "min_web"];

/// The values of the [`IMPLICIT`] names for one sheet and process.
#[derive(Clone, Debug, Default)]
pub struct Surroundings {
    pub(super) values: HashMap<&'static str, Value>,
    pub(super) units: Units,
    /// By which [`OF_PROCESS`] follow from the sheet; `None` where they are given as they are.
    process: Option<Row>,
}

impl Surroundings {
    /// The same, cut by this process.
    #[must_use]
    pub(crate) fn cut_by(self, process: &Row) -> Self {
        Self { process: Some(process.clone()), ..self }.with_limits()
    }

    /// The name of the process, where it is known.
    pub(super) fn process(&self) -> Option<&str> {
        self.process.as_ref().map(Row::name)
    }

    /// The same, for words in these units.
    #[must_use]
    pub(crate) fn in_units(self, units: Units) -> Self {
        Self { units, ..self }
    }

    /// The same on a sheet so thick, mm.
    pub(super) fn of_thickness(&self, thickness: f64) -> Self {
        let mut other = self.clone();
        other.values.insert("thickness", Value::length(thickness));
        other.with_limits()
    }

    /// The same with the limits of its process in its sheet, where it knows both.
    fn with_limits(mut self) -> Self {
        if let (Some(process), Some(Value::Quantity(thickness))) =
            (&self.process, self.values.get("thickness"))
        {
            let at = |limit: ProcessLimit| Value::length(limit.at(process, thickness.value));
            let limits = [
                Value::length(process.measure("kerf")),
                at(ProcessLimit::HOLE),
                at(ProcessLimit::WEB),
            ];
            self.values.extend(OF_PROCESS.into_iter().zip(limits));
        }
        self
    }

    /// The same where formulas know the hand of the part, or do not.
    pub(super) fn of_hand(&self, hand: Option<Hand>) -> Self {
        let mut other = self.clone();
        other.values.remove(HAND);
        other.values.extend(hand.map(|hand| (HAND, hand.value())));
        other
    }
}

impl<const N: usize> From<[(&'static str, Value); N]> for Surroundings {
    fn from(values: [(&'static str, Value); N]) -> Self {
        Self { values: values.into(), ..Self::default() }
    }
}

//! Rows of the report on the bodies of the machine.

use crate::machine::Clearance;
use crate::num::on_grid;
use crate::solve::BoltedTogether;
use crate::solve::Machine;
use serde::Serialize;

/// The clearance between two bodies that are near each other.
#[derive(Clone, Debug, Serialize)]
pub struct ClearanceRow {
    /// Both in words: link `brace`.
    pub between: [String; 2],
    /// Never more than it is; 0 where they touch or collide.
    pub distance_mm: f64,
    /// The required clearance.
    pub needed_mm: f64,
    /// The nearest places, on the one and on the other, in the frame of the machine.
    pub at_mm: [[f64; 3]; 2],
    /// Whether they touch or collide, or come nearer than they must.
    pub is_short: bool,
}

/// Two parts of one joint that are both in the machine: the checks of the joint judge them.
#[derive(Clone, Debug, Serialize)]
pub struct BoltedRow {
    /// Both in words.
    pub between: [String; 2],
    /// The joint.
    pub joint: String,
}

/// The parts of joints that are in the machine, two by two.
pub(super) fn bolted(machine: Option<&Machine>) -> Vec<BoltedRow> {
    let Some(machine) = machine else { return Vec::new() };
    let row = |of: &BoltedTogether| BoltedRow {
        between: of.bodies.map(|i| machine.bodies[i].words()),
        joint: of.joint.clone(),
    };
    machine.bolted.iter().map(row).collect()
}

/// All that is left between bodies that are near each other, the tightest first.
pub(super) fn rows(machine: Option<&Machine>) -> Vec<ClearanceRow> {
    let Some(machine) = machine else { return Vec::new() };
    let row = |of: &Clearance| ClearanceRow {
        between: of.bodies.map(|i| machine.bodies[i].words()),
        distance_mm: on_grid(of.distance),
        needed_mm: on_grid(of.needed),
        at_mm: of.at.map(|place| place.map(on_grid)),
        is_short: of.is_contact() || of.is_short(),
    };
    machine.clearances.iter().map(row).collect()
}

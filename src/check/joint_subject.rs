//! What a check of joints looks at.

use crate::check::joint_placed::Together;
use crate::diag::Finding;
use crate::joint::Bolted;
use crate::num::on_grid;
use crate::quantity::Units;

/// The data of a joint check.
pub(crate) struct JointSubject<'a> {
    /// The joint.
    pub(super) bolted: &'a Bolted,
    /// Its parts together.
    pub(super) together: &'a Together<'a>,
    /// How lengths are printed.
    pub(super) units: Units,
}

impl JointSubject<'_> {
    /// A length as printed.
    pub(super) fn show(&self, mm: f64) -> String {
        self.units.length(on_grid(mm))
    }

    /// The hole that the bolt clears, normal fit, mm: the bore of sleeves and spacers.
    pub(super) fn clearance_hole(&self) -> f64 {
        let bolt = &self.bolted.joint.bolt;
        bolt.quantity("normal").map_or(bolt.measure("diameter"), |size| size.value)
    }

    /// The name of the joint in words.
    pub(super) fn name(&self) -> String {
        format!("joint `{}`", self.bolted.joint.name)
    }

    /// A finding about all parts of the joint, at its name.
    pub(super) fn here(&self, finding: Finding) -> Finding {
        let plates = self.bolted.plates();
        let finding =
            plates.fold(finding, |finding, (_, plate)| finding.about(plate.about.clone()));
        finding.at(self.bolted.joint.here, "")
    }
}

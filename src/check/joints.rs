//! The checks of joints.

use crate::check::check_of::CheckOf;
use crate::check::joint_bolt;
use crate::check::joint_holes;
use crate::check::joint_laminate;
use crate::check::joint_place;
use crate::check::joint_placed::Together;
use crate::check::joint_subject::JointSubject;
use crate::diag::Finding;
use crate::joint::Bolted;
use crate::quantity::Units;

/// A check of joints.
pub(crate) type JointCheck = CheckOf<fn(&JointSubject) -> Vec<Finding>>;

/// Every check of joints, in their order.
pub(crate) const JOINT_CHECKS: &[JointCheck] = &[
    JointCheck {
        code: "joint-holes",
        source: include_str!("joint_holes.rs"),
        run: joint_holes::check,
    },
    JointCheck {
        code: "joint-bolt",
        source: include_str!("joint_bolt.rs"),
        run: joint_bolt::check,
    },
    JointCheck {
        code: "joint-laminate",
        source: include_str!("joint_laminate.rs"),
        run: joint_laminate::check,
    },
    JointCheck {
        code: "joint-place",
        source: include_str!("joint_place.rs"),
        run: joint_place::check,
    },
];

/// The findings of all checks of a joint.
pub(crate) fn joint(bolted: &Bolted, together: &Together, units: Units) -> Vec<Finding> {
    let subject = JointSubject { bolted, together, units };
    JOINT_CHECKS.iter().flat_map(|check| (check.run)(&subject)).collect()
}

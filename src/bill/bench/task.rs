//! One task at the bench.

use crate::job::Job;
use crate::quantity::Units;

/// A stage of the work, in its order.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Stage {
    Fit,
    Tack,
    Align,
    Weld,
    Grind,
    /// What is set on a tube once that is ground.
    SetOnGround,
    WeldOnGround,
    Finish,
    Chase,
    Plug,
    Coat,
    Check,
    Assemble,
}

impl Stage {
    /// As the list says it.
    pub(crate) const fn word(self) -> &'static str {
        match self {
            Self::Fit => "fit",
            Self::Tack => "tack",
            Self::Align => "align",
            Self::Weld => "weld",
            Self::Grind => "grind",
            Self::SetOnGround => "tack after grinding",
            Self::WeldOnGround => "weld after grinding",
            Self::Finish => "drill and ream",
            Self::Chase => "chase threads",
            Self::Plug => "plug and mask",
            Self::Coat => "coat",
            Self::Check => "check",
            Self::Assemble => "assemble",
        }
    }
}

/// One task.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Task {
    pub(crate) stage: Stage,
    /// The part, link, tube or weldment.
    pub(crate) of: String,
    /// How many of it.
    pub(crate) quantity: u32,
    /// The task, in a sentence.
    pub(crate) what: String,
}

impl Task {
    pub(super) fn new(stage: Stage, of: &str, quantity: u32, what: String) -> Self {
        Self { stage, of: of.to_owned(), quantity, what }
    }
}

/// Resolution of legs in metric units, mm: that of a weld gauge. Our choice.
const LEG_STEP: f64 = 0.1;

/// Within this share of a step a leg is on it.
const ON_STEP: f64 = 1e-6;

/// The leg of a fillet as printed for a welder: in metric units rounded down to a tenth of a
/// millimetre, in inches as it is.
pub(super) fn leg_text(job: &Job, leg: f64) -> String {
    let told = match job.units {
        Units::Millimetre => whole_tenths(leg),
        Units::Inch => leg,
    };
    job.units.length(told)
}

/// Rounded down to a tenth of a millimetre; unchanged below one.
fn whole_tenths(leg: f64) -> f64 {
    if leg < LEG_STEP { leg } else { (leg / LEG_STEP + ON_STEP).floor() * LEG_STEP }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_leg_is_rounded_down_to_a_tenth_and_never_up() {
        for (leg, told) in [(2.304, 2.3), (2.3, 2.3), (2.999, 2.9), (4.0, 4.0), (0.05, 0.05)] {
            assert!((whole_tenths(leg) - told).abs() < 1e-9, "{leg} {}", whole_tenths(leg));
        }
    }
}

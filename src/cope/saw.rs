//! The hole saw for a coped end, and how it is set.

use crate::cope::end::Cope;
use crate::num::Angle;

/// A hole saw and how well it fits.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Saw {
    /// Diameter of its cut, mm.
    pub diameter: f64,
    /// The widest gap that is left round the joint, along the branch, mm.
    pub gap: f64,
}

/// Steps round the branch when the gap is looked for.
const STEPS: u32 = 360;

/// The saw of these diameters that leaves the smallest gap, of equal ones the larger; `None`
/// when the branch passes through none of them.
///
/// A saw at the joint is like the main: its axis at the angle of the main, at the same distance
/// from the branch's axis. The right size is the outside of the main.
pub(crate) fn saw(cope: &Cope, diameters: impl IntoIterator<Item = f64>) -> Option<Saw> {
    const ROUNDING: f64 = 1e-6;
    let min = cope.outside() + 2.0 * cope.offset().abs();
    let fitting = diameters.into_iter().filter(|d| *d >= min - ROUNDING);
    let saws = fitting.map(|diameter| Saw { diameter, gap: gap(cope, diameter) });
    saws.min_by(|a, b| a.gap.total_cmp(&b.gap).then(b.diameter.total_cmp(&a.diameter)))
}

/// What is left between the main and the cut of a saw pushed against it.
fn gap(cope: &Cope, diameter: f64) -> f64 {
    let radius = cope.outside() / 2.0;
    let off = (0..STEPS).map(|i| {
        let phi = Angle::from_degrees(360.0 * f64::from(i) / f64::from(STEPS));
        cope.met(diameter / 2.0, radius, phi) - cope.met(cope.main() / 2.0, radius, phi)
    });
    let min = off.clone().fold(f64::INFINITY, f64::min);
    off.fold(f64::NEG_INFINITY, f64::max) - min
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cope::Cut;

    fn cope(main: f64, outside: f64) -> Cope {
        Cope::new(main, outside, 2.0, Angle::from_degrees(75.0), 0.0, Cut::Fitted).unwrap()
    }

    #[test]
    fn a_saw_of_the_mains_diameter_leaves_no_gap() {
        let saw = saw(&cope(60.3, 48.3), [51.0, 60.3, 64.0]).unwrap();
        assert_eq!(saw.diameter, 60.3);
        assert!(saw.gap < 1e-9);
    }

    #[test]
    fn of_other_saws_the_nearest_is_taken_that_the_branch_passes() {
        // 60 mm is nearer than 64 mm; the gap at the sides, √ by hand:
        // (30 − √(30² − 24.15²)) − (30.15 − √(30.15² − 24.15²)), over sin 75°.
        let saw = saw(&cope(60.3, 48.3), [44.0, 60.0, 64.0]).unwrap();
        assert_eq!(saw.diameter, 60.0);
        let by_hand: f64 = (30.0 - (900.0_f64 - 24.15 * 24.15).sqrt())
            - (30.15 - (30.15_f64 * 30.15 - 24.15 * 24.15).sqrt());
        let sine = Angle::from_degrees(75.0).sin();
        assert!((saw.gap - by_hand.abs() / sine).abs() < 1e-9, "{}", saw.gap);
        assert_eq!(super::saw(&cope(60.3, 48.3), [44.0]), None);
    }
}

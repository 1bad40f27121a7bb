//! A plate loaded by one pin, by AISC 360-16 section D5.

use crate::strength::limit::Limit;
use crate::strength::limit::Metal;
use crate::strength::limit::Shape;
use crate::strength::method::AISC_RUPTURE;
use crate::strength::method::AISC_YIELD;

/// What D5 adds to twice the thickness for the effective width: 0.63 in, 16 mm.
const EFFECTIVE: f64 = 16.0;

/// How much a hole may be larger than its pin: 1/32 in, 1 mm.
const LOOSE: f64 = 1.0;

/// The surroundings of a pin hole, seen along the pull, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Eye {
    /// Thickness of the plate, t.
    pub(super) thickness: f64,
    /// Diameter of the hole.
    pub(super) hole: f64,
    /// Diameter of the pin, d.
    pub(super) pin: f64,
    /// From the edge of the hole to the edge of the plate in the direction of the pull, a.
    pub(super) beyond: f64,
    /// The same at 45° to it, the lesser side.
    pub(super) diagonal: f64,
    /// From the edge of the hole to the edge of the plate, square to the pull, either side.
    pub(super) beside: [f64; 2],
    /// From the edge of the hole to the edge of the plate or the support, against the pull, c.
    pub(super) behind: f64,
}

impl Eye {
    /// The effective width each side of the hole, be: no more than D5.1(a) gives, than there
    /// is, and than the metal beyond the hole serves, straight on or at a cut corner (D5.2:
    /// a ≥ 1.33 be). So the plate keeps that rule, and w ≥ 2 be + d, of itself.
    pub(super) fn effective(&self) -> f64 {
        let served = self.beyond.min(self.diagonal) / 1.33;
        (2.0 * self.thickness + EFFECTIVE).min(self.min_beside()).min(served).max(0.0)
    }

    pub(super) fn min_beside(&self) -> f64 {
        self.beside[0].min(self.beside[1])
    }

    /// The width of the plate at the pin, across the pull.
    pub(super) fn width(&self) -> f64 {
        self.beside[0] + self.hole + self.beside[1]
    }

    /// The limits of a pull, by D5.1: rupture beside and beyond the hole, bearing of the
    /// pin, yield of the whole width.
    pub(super) fn limits(&self, metal: Metal) -> [Limit; 4] {
        let (t, d) = (self.thickness, self.pin);
        let sheared = 2.0 * t * (self.beyond + d / 2.0).max(0.0);
        let limit = |what, rule, nominal, factor| Limit::new(what, rule, nominal, factor);
        [
            limit(
                "net section at the hole, tensile rupture",
                "AISC 360-16 D5-1",
                metal.tensile_strength * 2.0 * t * self.effective(),
                AISC_RUPTURE,
            ),
            limit(
                "shear rupture beyond the hole",
                "AISC 360-16 D5-2",
                0.6 * metal.tensile_strength * sheared,
                AISC_RUPTURE,
            ),
            self.bearing(metal),
            limit(
                "gross section at the hole, yielding",
                "AISC 360-16 D2-1",
                metal.yield_strength * t * self.width(),
                AISC_YIELD,
            ),
        ]
    }

    /// The limit of a push or a pull where the pin bears on the hole.
    pub(super) fn bearing(&self, metal: Metal) -> Limit {
        Limit::new(
            "bearing of the pin",
            "AISC 360-16 J7-1",
            1.8 * metal.yield_strength * self.pin * self.thickness,
            AISC_RUPTURE,
        )
    }

    /// The rules of D5.2 that no choice of the effective width can keep.
    pub(super) fn shapes(&self) -> [Shape; 2] {
        let shape = |what, is, wanted, max| {
            let rule = "AISC 360-16 D5.2";
            Shape { what, rule, is, wanted, max }
        };
        [
            shape("clearance of the pin in its hole", self.hole - self.pin, LOOSE, true),
            shape("metal behind the hole", self.behind, self.beyond, false),
        ]
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const INCH: f64 = 25.4;
    const KIP: f64 = 4_448.221_615_260_5;
    const KSI: f64 = KIP / (INCH * INCH);
    const A36: Metal =
        Metal { yield_strength: 36.0 * KSI, tensile_strength: 58.0 * KSI, elastic: 29_000.0 * KSI };

    /// AISC Design Examples, Example D.7: plate 4.25 × 1/2 in of A36, 1 in pin in a hole
    /// 1/32 in larger, a = 2.25 in, c = 2.50 in. The example takes be = 1.61 in, the distance
    /// from the hole to the edge of the plate, and 2t + 0.63 in = 1.63 in would be more.
    fn d7() -> Eye {
        let hole = 1.0 + 1.0 / 32.0;
        let beside = (4.25 - hole) / 2.0;
        Eye {
            thickness: 0.5 * INCH,
            hole: hole * INCH,
            pin: INCH,
            beyond: 2.25 * INCH,
            diagonal: 2.25 * INCH,
            beside: [beside * INCH; 2],
            behind: 2.5 * INCH,
        }
    }

    #[test]
    fn aisc_example_d7_comes_out() {
        let eye = d7();
        assert!((eye.effective() / INCH - 1.61).abs() < 0.005, "{}", eye.effective() / INCH);
        let got: Vec<f64> = eye.limits(A36).iter().map(|l| l.nominal / KIP).collect();
        // Printed: 93.4, 95.7, 32.4; the gross yield is printed as 76.7, exact 76.5.
        for (got, printed) in got.iter().zip([93.4, 95.7, 32.4, 76.5]) {
            assert!((got / printed - 1.0).abs() < 0.005, "{got} for {printed}");
        }
        let min = eye.limits(A36).map(|l| l.allowable() / KIP);
        assert!((min[2] - 16.2).abs() < 0.01, "32.4 / 2.00, computed: {}", min[2]);
        assert!(min.iter().all(|l| *l >= min[2]), "bearing governs: {min:?}");
    }

    #[test]
    fn the_plate_of_example_d7_keeps_every_rule_of_shape() {
        for shape in d7().shapes() {
            assert!(shape.kept(), "{shape:?}");
        }
        // Its printed comparisons: w = 4.25 ≥ 4.22, a = 2.25 ≥ 2.14, c = 2.50 ≥ 2.25.
        let be = d7().effective() / INCH;
        assert!((2.0 * be + 1.0 - 4.22).abs() < 0.005 && (1.33 * be - 2.14).abs() < 0.005, "{be}");
        assert!((d7().shapes()[1].wanted / INCH - 2.25).abs() < 1e-9);
    }

    #[test]
    fn a_loose_hole_and_a_short_back_break_their_rules() {
        let eye = Eye { hole: 27.5, behind: 50.0, ..d7() };
        let broken: Vec<&str> = eye.shapes().iter().filter(|s| !s.kept()).map(|s| s.what).collect();
        assert_eq!(broken, ["clearance of the pin in its hole", "metal behind the hole"]);
    }

    #[test]
    fn a_short_edge_beyond_the_hole_takes_from_the_width_beside_it() {
        let short = Eye { beyond: 20.0, diagonal: 20.0, ..d7() };
        assert!((short.effective() - 20.0 / 1.33).abs() < 1e-9);
        let clipped = Eye { diagonal: 15.0, ..d7() };
        assert!((clipped.effective() - 15.0 / 1.33).abs() < 1e-9);
    }

    proptest! {
        /// More metal is never weaker.
        #[test]
        fn strength_never_falls_when_metal_grows(
            t in 1.0..30.0f64, hole in 4.0..40.0f64, play in 0.0..2.0f64,
            a in 1.0..80.0f64, left in 1.0..80.0f64, right in 1.0..80.0f64, more in 0.0..20.0f64,
        ) {
            let eye = Eye {
                thickness: t, hole, pin: hole - play, beyond: a, diagonal: a,
                beside: [left, right], behind: a,
            };
            let grown = [
                Eye { thickness: t + more, ..eye },
                Eye { beyond: a + more, diagonal: a + more, ..eye },
                Eye { beside: [left + more, right], ..eye },
                Eye { beside: [left + more, right + more], ..eye },
            ];
            for larger in grown {
                for (before, after) in eye.limits(A36).iter().zip(larger.limits(A36)) {
                    prop_assert!(after.nominal >= before.nominal, "{before:?} {after:?}");
                }
            }
        }
    }
}

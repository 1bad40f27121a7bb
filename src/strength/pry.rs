//! A leg bent by the bolts that clamp it, and the prying of its toe on them.
//!
//! It yields along two lines across it, at its heel and at the bolt, each with its own metal: a
//! weld beside one of them does not weaken the other.

use crate::strength::heat::Strip;
use crate::strength::limit::Limit;
use crate::strength::limit::Metal;
use crate::strength::method::Method;

/// The share of a leg that one bolt clamps, mm: the model of a tee for prying (AISC
/// manual, part 9).
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Pried {
    /// Thickness of the leg.
    pub(super) thickness: f64,
    /// Diameter of the bolt.
    pub(super) bolt: f64,
    /// Diameter of its hole, d'.
    pub(super) hole: f64,
    /// From the centre of the bolt to what pulls at the leg, b.
    pub(super) heel: f64,
    /// From the centre of the bolt to the toe, a.
    pub(super) toe: f64,
    /// Of the leg, that belongs to the bolt, p.
    pub(super) width: f64,
    /// The lines along which it yields, in the drawing of its face: the bend at the heel, and
    /// the line through the bolt, as wide as its hole.
    pub(super) lines: Lines<Strip>,
}

/// Something at either line along which a leg yields.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Lines<T> {
    pub(super) heel: T,
    pub(super) bolt: T,
}

impl<T> Lines<T> {
    pub(super) fn map<U>(self, of: impl Fn(T) -> U) -> Lines<U> {
        Lines { heel: of(self.heel), bolt: of(self.bolt) }
    }
}

/// The toe counts for no more than this multiple of the heel (part 9).
const LONGEST_TOE: f64 = 1.25;

impl Pried {
    fn heel(&self) -> f64 {
        (self.heel - self.bolt / 2.0).max(0.0)
    }

    fn toe(&self) -> f64 {
        self.toe.clamp(0.0, LONGEST_TOE * self.heel) + self.bolt / 2.0
    }

    /// δ: the share of the width beside the hole.
    fn left(&self) -> f64 {
        (1.0 - self.hole / self.width).clamp(0.0, 1.0)
    }

    /// The tension allowed through this leg by a bolt with an allowable `bolt` N, over that: 1 if
    /// the leg is too thick to pry. `stress` is the allowable stress of its metal.
    ///
    /// For one metal this is part 9 with its α; for two the same balance: the heel yields, and the
    /// bolt reaches its allowable or the line through it yields as well.
    pub(super) fn share(&self, bolt: f64, stress: Lines<f64>) -> f64 {
        let (heel, toe) = (self.heel(), self.toe());
        if heel == 0.0 {
            return 1.0;
        }
        // (t / tc)², with tc the thickness at which nothing pries.
        let square = self.thickness * self.thickness * self.width;
        let thick = stress.map(|stress| square * stress / (4.0 * bolt * heel));
        let by_bolt = (toe + heel * thick.heel) / (toe + heel);
        let by_leg = thick.heel + self.left() * thick.bolt;
        by_bolt.min(by_leg).min(1.0)
    }

    /// The pull at which the leg is bent at its heel and at the bolt (α = 1), N.
    pub(super) fn bent(&self, metal: Lines<Metal>, method: Method) -> Option<Limit> {
        let heel = self.heel();
        let strength = metal.map(|metal| metal.tensile_strength);
        let both = strength.heel + self.left() * strength.bolt;
        let nominal = both * self.width * self.thickness * self.thickness / (4.0 * heel);
        let rule = "AISC manual part 9, prying";
        (heel > 0.0).then(|| Limit::new("leg bent by prying", rule, nominal, method.yielding()))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::Point;
    use proptest::prelude::*;

    const INCH: f64 = 25.4;
    const KIP: f64 = 4_448.221_615_260_5;
    const KSI: f64 = KIP / (INCH * INCH);

    const NOWHERE: Lines<Strip> =
        Lines { heel: ([Point::ZERO; 2], 0.0), bolt: ([Point::ZERO; 2], 0.0) };

    fn even<T: Copy>(of: T) -> Lines<T> {
        Lines { heel: of, bolt: of }
    }

    fn published() -> Pried {
        Pried {
            thickness: 0.715 * INCH,
            bolt: 0.875 * INCH,
            hole: 0.9375 * INCH,
            heel: 2.035 * INCH,
            toe: 1.3125 * INCH,
            width: 3.0 * INCH,
            lines: NOWHERE,
        }
    }

    /// R. Brockenbrough and F. Merritt, Structural Steel Designer's Handbook, 4th edition,
    /// section 3.7: a flange of 0.715 in, Fu = 65 ksi (φ 0.90), bolts that may take 40.6 kips:
    /// b' 1.598, a' 1.75, δ 0.6875, tc 1.215 in, α' 1.44, taken as 1: 23.7 kips.
    #[test]
    fn a_published_flange_comes_out() {
        let pried = published();
        assert!(
            (pried.heel() / INCH - 1.598).abs() < 1e-3 && (pried.toe() / INCH - 1.75).abs() < 1e-9
        );
        assert!((pried.left() - 0.6875).abs() < 1e-9);
        let kips = 40.6 * pried.share(40.6 * KIP, even(0.9 * 65.0 * KSI));
        assert!((kips - 23.7).abs() < 0.05, "{kips}");
        // At α = 1 the leg alone decides: 23.7 / 0.9 is its nominal strength.
        let metal = Metal {
            yield_strength: 50.0 * KSI,
            tensile_strength: 65.0 * KSI,
            elastic: 29_000.0 * KSI,
        };
        let bent = pried.bent(even(metal), Method::Aisc360).unwrap();
        assert!((0.9 * bent.nominal / KIP - 23.7).abs() < 0.05, "{}", bent.nominal / KIP);
    }

    /// At its thickness tc nothing pries: tc² = 4 B b' / (p Fu).
    #[test]
    fn a_thick_leg_does_not_pry() {
        let thick = Pried { thickness: 1.216 * INCH, ..published() };
        assert_eq!(thick.share(40.6 * KIP, even(0.9 * 65.0 * KSI)), 1.0);
        let thinner = Pried { thickness: 1.20 * INCH, ..published() };
        assert!(thinner.share(40.6 * KIP, even(0.9 * 65.0 * KSI)) < 1.0);
    }

    /// The flange again, weak at one of its lines: 0.75 · 65 ksi for 65. By hand, in in and kips:
    /// 3 · 0.715² / (4 · 1.598) = 0.2399 times 58.5 ksi are 14.04 kips at the heel and 0.6875 of that at
    /// the bolt, 9.65; a quarter of either is lost.
    #[test]
    fn a_line_that_is_weaker_takes_its_own_share() {
        let (whole, weak) = (0.9 * 65.0 * KSI, 0.9 * 0.75 * 65.0 * KSI);
        let kips = |heel, bolt| 40.6 * published().share(40.6 * KIP, Lines { heel, bolt });
        for (is, by_hand) in [
            (kips(whole, whole), 14.04 + 9.65),
            (kips(weak, whole), 0.75 * 14.04 + 9.65),
            (kips(whole, weak), 14.04 + 0.75 * 9.65),
            (kips(weak, weak), 0.75 * (14.04 + 9.65)),
        ] {
            assert!((is - by_hand).abs() < 0.02, "{is}, by hand {by_hand}");
        }
    }

    proptest! {
        /// The formula of part 9, written with its α.
        #[test]
        fn of_one_metal_it_is_the_formula_of_the_manual(
            t in 1.0..20.0f64, bolt in 1e3..1e5f64, heel in 10.0..60.0f64, toe in 5.0..60.0f64,
            width in 15.0..120.0f64, stress in 50.0..400.0f64,
        ) {
            let lines = NOWHERE;
            let pried = Pried { thickness: t, bolt: 10.0, hole: 11.0, heel, toe, width, lines };
            let (b, a, left) = (heel - 5.0, toe.min(1.25 * heel) + 5.0, (1.0 - 11.0 / width).max(0.0));
            let thick = t * t * width * stress / (4.0 * bolt * b);
            let alpha = (1.0 / thick - 1.0) / (left * (1.0 + b / a));
            let by_alpha = match alpha <= 0.0 {
                true => 1.0,
                false => (thick * (1.0 + left * alpha.min(1.0))).min(1.0),
            };
            let is = pried.share(bolt, even(stress));
            prop_assert!((is - by_alpha).abs() < 1e-9, "{} {}", is, by_alpha);
        }

        #[test]
        fn a_thicker_or_wider_leg_never_leaves_less(
            t in 1.0..20.0f64, more in 0.0..10.0f64, bolt in 1e3..1e5f64, heel in 10.0..60.0f64,
            toe in 5.0..60.0f64, width in 15.0..120.0f64,
        ) {
            let lines = NOWHERE;
            let pried = Pried { thickness: t, bolt: 10.0, hole: 11.0, heel, toe, width, lines };
            let share = |p: Pried| p.share(bolt, even(200.0));
            let before = share(pried);
            prop_assert!((0.0..=1.0).contains(&before));
            let thicker = share(Pried { thickness: t + more, ..pried });
            let wider = share(Pried { width: width + more, ..pried });
            let longer = share(Pried { heel: heel + more, ..pried });
            prop_assert!(thicker >= before - 1e-12 && wider >= before - 1e-12);
            prop_assert!(longer <= before + 1e-9, "{} {}", longer, before);
        }
    }
}

//! A leg bent by the bolts that pull it down, and the bolts pried by its toe.

use crate::strength::limit::Limit;
use crate::strength::limit::Metal;
use crate::strength::method::Method;

/// The share of a leg that one bolt holds down, mm: the model of a tee for prying (AISC
/// manual, part 9).
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Pried {
    /// Thickness of the leg.
    pub(super) thickness: f64,
    /// Diameter of the bolt.
    pub(super) bolt: f64,
    /// Diameter of its hole, d'.
    pub(super) hole: f64,
    /// From the middle of the bolt to what pulls at the leg, b.
    pub(super) heel: f64,
    /// From the middle of the bolt to the toe, a.
    pub(super) toe: f64,
    /// Of the leg, that belongs to the bolt, p.
    pub(super) width: f64,
}

/// No more of the toe counts than so many times the heel (part 9).
const LONGEST_TOE: f64 = 1.25;

impl Pried {
    fn heel(&self) -> f64 {
        (self.heel - self.bolt / 2.0).max(0.0)
    }

    fn toe(&self) -> f64 {
        self.toe.clamp(0.0, LONGEST_TOE * self.heel) + self.bolt / 2.0
    }

    /// δ: what the hole leaves of the width.
    fn left(&self) -> f64 {
        (1.0 - self.hole / self.width).clamp(0.0, 1.0)
    }

    /// What a bolt that may be pulled with `bolt` N may take through this leg, over that: 1
    /// where the leg is so thick that nothing pries. `stress` is what its metal may bear.
    pub(super) fn share(&self, bolt: f64, stress: f64) -> f64 {
        let (heel, toe, left) = (self.heel(), self.toe(), self.left());
        if heel == 0.0 {
            return 1.0;
        }
        // (t / tc)², with tc the thickness at which nothing pries.
        let thick = self.thickness * self.thickness * self.width * stress / (4.0 * bolt * heel);
        let alpha = (1.0 / thick - 1.0) / (left * (1.0 + heel / toe));
        if alpha <= 0.0 { 1.0 } else { (thick * (1.0 + left * alpha.min(1.0))).min(1.0) }
    }

    /// The pull at which the leg is bent at its heel and at the bolt (α = 1), N.
    pub(super) fn bent(&self, metal: Metal, method: Method) -> Option<Limit> {
        let heel = self.heel();
        (heel > 0.0).then(|| {
            Limit::new(
                "leg bent by prying",
                "AISC manual part 9, prying",
                metal.tensile_strength
                    * self.width
                    * self.thickness
                    * self.thickness
                    * (1.0 + self.left())
                    / (4.0 * heel),
                method.yielding(),
            )
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const INCH: f64 = 25.4;
    const KIP: f64 = 4_448.221_615_260_5;
    const KSI: f64 = KIP / (INCH * INCH);

    fn published() -> Pried {
        Pried {
            thickness: 0.715 * INCH,
            bolt: 0.875 * INCH,
            hole: 0.9375 * INCH,
            heel: 2.035 * INCH,
            toe: 1.3125 * INCH,
            width: 3.0 * INCH,
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
        let kips = 40.6 * pried.share(40.6 * KIP, 0.9 * 65.0 * KSI);
        assert!((kips - 23.7).abs() < 0.05, "{kips}");
        // At α = 1 the leg alone decides: 23.7 / 0.9 is its nominal strength.
        let metal = Metal {
            yield_strength: 50.0 * KSI,
            tensile_strength: 65.0 * KSI,
            elastic: 29_000.0 * KSI,
        };
        let bent = pried.bent(metal, Method::Aisc360).unwrap();
        assert!((0.9 * bent.nominal / KIP - 23.7).abs() < 0.05, "{}", bent.nominal / KIP);
    }

    /// At its thickness tc nothing pries: tc² = 4 B b' / (p Fu).
    #[test]
    fn a_thick_leg_does_not_pry() {
        let thick = Pried { thickness: 1.216 * INCH, ..published() };
        assert_eq!(thick.share(40.6 * KIP, 0.9 * 65.0 * KSI), 1.0);
        let thinner = Pried { thickness: 1.20 * INCH, ..published() };
        assert!(thinner.share(40.6 * KIP, 0.9 * 65.0 * KSI) < 1.0);
    }

    proptest! {
        #[test]
        fn a_thicker_or_wider_leg_never_leaves_less(
            t in 1.0..20.0f64, more in 0.0..10.0f64, bolt in 1e3..1e5f64, heel in 10.0..60.0f64,
            toe in 5.0..60.0f64, width in 15.0..120.0f64,
        ) {
            let pried = Pried { thickness: t, bolt: 10.0, hole: 11.0, heel, toe, width };
            let share = |p: Pried| p.share(bolt, 200.0);
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

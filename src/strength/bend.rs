//! A flat plate bent by a load at its free end, by AISC 360-16 section F11.

use crate::strength::Limit;
use crate::strength::Metal;
use crate::strength::Method;

/// A plate that stands on its root, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Leg {
    /// Thickness of the plate.
    pub thickness: f64,
    /// Width at the root.
    pub width: f64,
    /// From the root to the load.
    pub reach: f64,
}

impl Leg {
    /// The force square to the plate that bends it, N; F11-1 about the weak axis.
    ///
    /// The section modulus of a flat bar is bt²/6 elastic and bt²/4 plastic: the quotient 1.5
    /// stays below the 1.6 that F11-1 allows.
    pub fn sideways(&self, metal: Metal, method: Method) -> Limit {
        let plastic = self.width * self.thickness * self.thickness / 4.0;
        Limit {
            what: "plate bent sideways at its root",
            rule: "AISC 360-16 F11-1",
            nominal: metal.yields * plastic / self.reach,
            factor: method.yielding(),
        }
    }

    /// The force in the plane of the plate and along its root that bends it, N; F11-1, or
    /// F11-2 and F11-3 where it tips over first, with Cb = 1.
    pub fn edgeways(&self, metal: Metal, method: Method) -> Limit {
        let (t, b) = (self.thickness, self.width);
        let (elastic, plastic) = (t * b * b / 6.0, t * b * b / 4.0);
        let slenderness = self.reach * b / (t * t);
        let share = metal.yields / metal.elastic;
        let (rule, moment) = if slenderness <= 0.08 / share {
            ("AISC 360-16 F11-1", metal.yields * plastic)
        } else if slenderness <= 1.9 / share {
            let moment = (1.52 - 0.274 * slenderness * share) * metal.yields * elastic;
            ("AISC 360-16 F11-2", moment.min(metal.yields * plastic))
        } else {
            ("AISC 360-16 F11-3", 1.9 * metal.elastic / slenderness * elastic)
        };
        Limit {
            what: "plate bent edgeways at its root",
            rule,
            nominal: moment / self.reach,
            factor: method.yielding(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const STEEL: Metal = Metal { yields: 235.0, breaks: 360.0, elastic: 210_000.0 };

    #[test]
    fn a_leg_computed_by_hand() {
        // Z = 40 · 5² / 4 = 250 mm³, M = 235 · 250 = 58 750 Nmm, over 50 mm 1175 N.
        let leg = Leg { thickness: 5.0, width: 40.0, reach: 50.0 };
        let limit = leg.sideways(STEEL, Method::Aisc360);
        assert!((limit.nominal - 1175.0).abs() < 1e-9);
        assert!((limit.allowable() - 1175.0 / 1.67).abs() < 1e-9);
        // Edgeways: Lb d/t² = 80 > 0.08 E/Fy = 71.5, so F11-2:
        // (1.52 − 0.274 · 80 · 235/210 000) · 235 · 5 · 40²/6 = 468 583 Nmm, below Mp = 470 000 Nmm.
        let limit = leg.edgeways(STEEL, Method::Aisc360);
        assert_eq!(limit.rule, "AISC 360-16 F11-2");
        let wanted = (1.52 - 0.274 * 80.0 * 235.0 / 210_000.0) * 235.0 * 8000.0 / 6.0 / 50.0;
        assert!((limit.nominal - wanted).abs() < 1e-6, "{}", limit.nominal);
    }

    proptest! {
        #[test]
        fn a_thicker_or_wider_leg_never_bears_less(
            t in 1.0..20.0f64, width in 5.0..200.0f64, reach in 5.0..300.0f64, more in 0.0..20.0f64,
        ) {
            let leg = Leg { thickness: t, width, reach };
            let grown = [Leg { thickness: t + more, ..leg }, Leg { width: width + more, ..leg }];
            let sideways = |leg: &Leg| leg.sideways(STEEL, Method::Aisc360).nominal;
            let edgeways = |leg: &Leg| leg.edgeways(STEEL, Method::Aisc360).nominal;
            for larger in &grown {
                prop_assert!(sideways(larger) >= sideways(&leg));
            }
            // A wider plate tips over sooner; a thicker one does not. Where F11-2 gives way
            // to F11-3 the published figures step by a few per cent.
            prop_assert!(edgeways(&grown[0]) >= edgeways(&leg) * 0.99);
        }
    }
}

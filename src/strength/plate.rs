//! A plate in tension, compression or block shear, by AISC 360-16 sections J4 and E3.

use crate::num;
use crate::strength::column::buckling_stress;
use crate::strength::limit::Limit;
use crate::strength::limit::Metal;
use crate::strength::method::Method;

/// How much a bolt hole counts larger where it weakens a net section (B4.3b): 1/16 in, 2 mm.
pub(super) const HOLE_GROWTH: f64 = 2.0;

/// A plate of one width that ends free: its buckling length in lengths (commentary C-A-7.1,
/// case e, the value recommended for design).
const FREE_END: f64 = 2.1;

/// Below this slenderness a connecting plate yields before it buckles (J4.4).
const STOCKY: f64 = 25.0;

/// A plate `width` × `thickness` compressed towards its support over `length`, mm: yield
/// (J4-6), or buckling (E3) where it is slender.
pub(super) fn compression(
    width: f64,
    thickness: f64,
    length: f64,
    metal: Metal,
    method: Method,
) -> Limit {
    let slenderness = FREE_END * length / (thickness / 12.0_f64.sqrt());
    let (rule, stress) = if slenderness <= STOCKY {
        ("AISC 360-16 J4-6", metal.yield_strength)
    } else {
        let euler = num::PI * num::PI * metal.elastic / (slenderness * slenderness);
        ("AISC 360-16 E3", buckling_stress(metal.yield_strength, euler))
    };
    let nominal = stress * width * thickness;
    Limit::new("plate in compression", rule, nominal, method.yielding())
}

/// Areas round a piece that bolts tear out of a plate, mm².
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Block {
    /// In shear, holes counted as metal.
    pub(super) sheared: f64,
    /// In shear, without holes.
    pub(super) sheared_net: f64,
    /// In tension, without holes.
    pub(super) pulled_net: f64,
}

/// Block shear (J4-5) with even tension, Ubs = 1.
pub(super) fn block_shear(block: &Block, metal: Metal, method: Method) -> Limit {
    let pulled = metal.tensile_strength * block.pulled_net;
    let sheared = (0.6 * metal.tensile_strength * block.sheared_net)
        .min(0.6 * metal.yield_strength * block.sheared);
    Limit::new("block shear", "AISC 360-16 J4-5", sheared + pulled, method.rupture())
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

    /// Course example of J4-5: A36, Anv 5.0, Ant 0.5, Agv 7.5 in², Ubs 1: 203 kips by
    /// rupture, limited by yield to 191 kips.
    #[test]
    fn the_published_block_comes_out() {
        let square = INCH * INCH;
        let block =
            Block { sheared: 7.5 * square, sheared_net: 5.0 * square, pulled_net: 0.5 * square };
        let limit = block_shear(&block, A36, Method::Aisc360);
        assert!((limit.nominal / KIP - 191.0).abs() < 0.05, "{}", limit.nominal / KIP);
        let by_rupture = Metal { yield_strength: 100.0 * KSI, ..A36 };
        let limit = block_shear(&block, by_rupture, Method::Aisc360);
        assert!((limit.nominal / KIP - 203.0).abs() < 0.05, "{}", limit.nominal / KIP);
    }

    /// The formulas of E3 meet where Fy/Fe = 2.25: 0.658^2.25 × 2.25 = 0.877 within 0.1 %.
    #[test]
    fn buckling_has_no_step_where_its_formulas_meet() {
        let euler = |length: f64| {
            let slenderness = FREE_END * length / (6.0 / 12.0_f64.sqrt());
            num::PI * num::PI * A36.elastic / (slenderness * slenderness)
        };
        let meeting = (num::PI * num::PI * A36.elastic * 2.25 / A36.yield_strength).sqrt() * 6.0
            / (12.0_f64.sqrt() * FREE_END);
        assert!((A36.yield_strength / euler(meeting) - 2.25).abs() < 1e-9);
        let at = |length: f64| compression(40.0, 6.0, length, A36, Method::Aisc360).nominal;
        let (before, after) = (at(meeting - 1e-6), at(meeting + 1e-6));
        assert!((before / after - 1.0).abs() < 2e-3, "{before} {after}");
        assert_eq!(compression(40.0, 6.0, 10.0, A36, Method::Aisc360).rule, "AISC 360-16 J4-6");
    }

    proptest! {
        #[test]
        fn a_thicker_plate_never_bears_less_push(
            t in 1.0..20.0f64, more in 0.0..10.0f64, width in 5.0..100.0f64, length in 5.0..300.0f64,
        ) {
            let at = |t| compression(width, t, length, A36, Method::Aisc360).nominal;
            prop_assert!(at(t + more) >= at(t) * (1.0 - 1e-3), "{} {}", at(t), at(t + more));
        }
    }
}

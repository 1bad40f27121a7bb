//! A flat bar in in-plane bending, by AISC 360-16 section F11.

use crate::strength::limit::Limit;
use crate::strength::limit::Metal;
use crate::strength::method::Method;

/// The moment at which a bar bent in plane yields, or tips over first, with Cb = 1 (F11-1 to
/// F11-3), N·mm. The moduli, elastic and plastic, are those of a bar 1 mm thick, mm²; depth
/// and free length are mm.
///
/// By F11-2 a bar ends a little lower than F11-3 begins: there the lesser counts.
pub(super) fn edgeways(
    thickness: f64,
    (elastic, plastic): (f64, f64),
    (depth, length): (f64, f64),
    metal: Metal,
    method: Method,
) -> Limit {
    let (elastic, plastic) = (elastic * thickness, plastic * thickness);
    let whole = metal.yield_strength * method.modulus(elastic, plastic);
    let slenderness = length * depth / (thickness * thickness);
    let share = metal.yield_strength / metal.elastic;
    let (rule, moment) = if slenderness <= 0.08 / share {
        ("AISC 360-16 F11-1", whole)
    } else if slenderness <= 1.9 / share {
        let moment = (1.52 - 0.274 * slenderness * share) * metal.yield_strength * elastic;
        ("AISC 360-16 F11-2", moment.min(whole))
    } else {
        let min = (1.52 - 0.274 * 1.9) * metal.yield_strength;
        let critical = (1.9 * metal.elastic / slenderness).min(min);
        ("AISC 360-16 F11-3", (critical * elastic).min(whole))
    };
    Limit::new("in-plane bending", rule, moment, method.yielding())
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const STEEL: Metal =
        Metal { yield_strength: 235.0, tensile_strength: 360.0, elastic: 210_000.0 };

    fn solid(t: f64, depth: f64, length: f64) -> Limit {
        let moduli = (depth * depth / 6.0, depth * depth / 4.0);
        edgeways(t, moduli, (depth, length), STEEL, Method::Aisc360)
    }

    /// 5 × 40, 50 mm long: Lb d/t² = 80 > 0.08 E/Fy = 71.5, so F11-2:
    /// (1.52 − 0.274 · 80 · 235/210 000) · 235 · 5 · 40²/6 = 468 583 N·mm, below Mp = 470 000.
    #[test]
    fn a_bar_computed_by_hand() {
        let limit = solid(5.0, 40.0, 50.0);
        assert_eq!(limit.rule, "AISC 360-16 F11-2");
        let by_hand = (1.52 - 0.274 * 80.0 * 235.0 / 210_000.0) * 235.0 * 8000.0 / 6.0;
        assert!((limit.nominal - by_hand).abs() < 1e-6, "{}", limit.nominal);
        let short = solid(5.0, 40.0, 10.0);
        assert!((short.nominal - 470_000.0).abs() < 1e-6 && short.rule.ends_with("F11-1"));
    }

    proptest! {
        #[test]
        fn a_thicker_deeper_or_shorter_bar_never_bears_less(
            t in 1.0..20.0f64, depth in 5.0..200.0f64, length in 5.0..300.0f64, more in 0.0..20.0f64,
        ) {
            let before = solid(t, depth, length).nominal;
            for after in [
                solid(t + more, depth, length),
                solid(t, depth + more, length),
                solid(t, depth, (length - more).max(0.0)),
            ] {
                prop_assert!(after.nominal >= before * (1.0 - 1e-3), "{before} {}", after.nominal);
            }
        }
    }
}

//! A pin-connected plate of a lifting device, by ASME BTH-1.

use crate::num::Angle;
use crate::strength::eye::Eye;
use crate::strength::limit::Limit;
use crate::strength::limit::Metal;
use crate::strength::method::BTH_RUPTURE;
use crate::strength::method::Category;

impl Eye {
    /// The limits of a pull by ASME BTH-1 section 3-3.3: tension beside the hole (3-45),
    /// splitting beyond it (3-49), double plane shear (3-50), bearing (3-53).
    ///
    /// The shear takes the length beyond the hole along the pull; an edge that is curved there
    /// has a little less metal, by which it may be up to 1 % too high.
    pub(super) fn lifting_limits(&self, metal: Metal, category: Category) -> [Limit; 4] {
        let nd = category.factor();
        let (t, pin, hole) = (self.thickness, self.pin, self.hole);
        let (be, beyond) = (self.min_beside(), self.beyond.max(0.0));
        let ratio = (pin / hole).min(1.0);
        // 3-48: a pin that is loose in its hole bears on less of it.
        let loose = 1.0 - 0.275 * (1.0 - ratio * ratio).sqrt();
        // 3-46, 3-47.
        let by_strength =
            be * 0.6 * (metal.tensile_strength / metal.yield_strength) * (hole / be).sqrt();
        let effective = be.min(4.0 * t).min(by_strength);
        let split = 1.13 * beyond + 0.92 * be / (1.0 + be / hole);
        // 3-51, 3-52.
        let phi = Angle::from_degrees(55.0 * ratio);
        let sheared = 2.0 * (beyond + pin / 2.0 * (1.0 - phi.cos())) * t;
        let limit = |what, rule, nominal| Limit::new(what, rule, nominal, BTH_RUPTURE * nd);
        [
            limit(
                "net section at the hole, tensile rupture",
                "ASME BTH-1 3-45",
                loose * metal.tensile_strength * 2.0 * t * effective,
            ),
            limit(
                "single-plane fracture beyond the hole",
                "ASME BTH-1 3-49",
                loose * metal.tensile_strength * split * t,
            ),
            limit(
                "double-plane shear beyond the hole",
                "ASME BTH-1 3-50",
                0.7 * metal.tensile_strength * sheared,
            ),
            self.lifting_bearing(metal, category),
        ]
    }

    /// The limit of the pin's bearing on the hole, by ASME BTH-1 3-53.
    pub(super) fn lifting_bearing(&self, metal: Metal, category: Category) -> Limit {
        Limit::new(
            "bearing of the pin",
            "ASME BTH-1 3-53",
            1.25 * metal.yield_strength * self.pin * self.thickness,
            category.factor(),
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const INCH: f64 = 25.4;
    const KIP: f64 = 4_448.221_615_260_5;
    const KSI: f64 = KIP / (INCH * INCH);
    const A36: Metal =
        Metal { yield_strength: 36.0 * KSI, tensile_strength: 58.0 * KSI, elastic: 29_000.0 * KSI };

    /// A spreadsheet for ASME BTH-1 that gives its equation numbers: Nd 2; in inches
    /// t 0.75, a 3.3125, be 1.66, Dp 1.375, Dh 1.6875, A36. It prints Cr 0.841, Pt 49.30, Pb 68.76 and
    /// Pp 23.20 kips; Pv without its reduction for the curved edge is 89.12 (computed).
    #[test]
    fn the_published_lug_comes_out() {
        let hole = 1.6875;
        let eye = Eye {
            thickness: 0.75 * INCH,
            hole: hole * INCH,
            pin: 1.375 * INCH,
            beyond: BEYOND * INCH,
            diagonal: BEYOND * INCH,
            beside: [1.66 * INCH; 2],
            behind: 4.0 * INCH,
        };
        let limits = eye.lifting_limits(A36, Category::A);
        let got = limits.map(|l| l.allowable() / KIP);
        for (got, printed) in got.iter().zip([49.30, 68.76, 89.12, 23.20]) {
            assert!((got / printed - 1.0).abs() < 0.001, "{got} for {printed}, all {got:?}");
        }
    }

    /// From the edge of the hole to the edge of the plate, a, in inches.
    const BEYOND: f64 = 3.3125;

    #[test]
    fn a_harder_use_wants_a_larger_factor() {
        let factors = [Category::A, Category::B, Category::C].map(Category::factor);
        assert_eq!(factors, [2.0, 3.0, 6.0]);
    }
}

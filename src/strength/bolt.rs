//! Bolts and the holes they bear on, by AISC 360-16 section J3.

use crate::num;
use crate::part::Hole;
use crate::quantity::MM_PER_INCH;
use crate::strength::limit::Limit;
use crate::strength::limit::Metal;
use crate::strength::method::Method;
use crate::strength::place;

/// A clamped bolt in its hole, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct BoltHole {
    /// Thickness of the plate.
    pub(super) thickness: f64,
    /// Diameter of the bolt.
    pub(super) bolt: f64,
    /// From the edge of the hole to the next hole or to the edge, along the force.
    pub(super) clear: f64,
}

impl BoltHole {
    /// A bolt in a hole of a plate of a thickness; `clear` to the next edge or hole; all mm.
    pub(super) fn of(hole: &Hole, thickness: f64, bolt: f64, clear: f64) -> Self {
        Self { thickness: place::bearing(hole, thickness), bolt, clear }
    }

    /// Punching shear of a head that is pulled through what is left below it, on a cylinder as
    /// wide as the bolt (EN 1993-1-8 table 3.4, from a copy, by the width of the head), N.
    pub(super) fn pulled_through(&self, metal: Metal, method: Method) -> Limit {
        let area = num::PI * self.bolt * self.thickness;
        Limit::new(
            "pull-through of the countersunk head",
            "EN 1993-1-8 table 3.4",
            0.6 * metal.tensile_strength * area,
            method.rupture(),
        )
    }

    /// Bearing and tear-out (J3-6a, J3-6c), N for one bolt, where the hole's growth
    /// under the service load matters.
    pub(super) fn limits(&self, metal: Metal, method: Method) -> [Limit; 2] {
        let of = |what, rule, nominal| Limit::new(what, rule, nominal, method.rupture());
        [
            of(
                "bearing of the bolt",
                "AISC 360-16 J3-6a",
                2.4 * self.bolt * self.thickness * metal.tensile_strength,
            ),
            of(
                "bolt tear-out to the edge or the next hole",
                "AISC 360-16 J3-6c",
                1.2 * self.clear.max(0.0) * self.thickness * metal.tensile_strength,
            ),
        ]
    }
}

/// The bolt itself.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Bolt {
    /// Diameter of the thread, mm.
    pub(super) diameter: f64,
    /// Tensile strength of its grade, N/mm².
    pub(super) tensile_strength: f64,
    /// Whether its head is countersunk.
    pub(super) flat_head: bool,
}

/// Shear strength of a bolt as a share of its tensile strength, the thread in the plane of
/// shear (commentary to J3.6).
const SHEARED_IN_THREAD: f64 = 0.45;

/// Tensile strength of a bolt on its whole section as a share of that of its metal
/// (commentary to J3.6).
const PULLED: f64 = 0.75;

/// The tensile strength of a countersunk bolt as a share of another's: k2 of 0.63 in place of 0.9
/// (EN 1993-1-8 table 3.4, from a copy; AISC 360 has no countersunk bolts).
const FLAT_HEAD: f64 = 0.63 / 0.9;

impl Bolt {
    /// Pulled along itself (J3-1), N.
    pub(super) fn tension(&self, method: Method) -> Limit {
        let nominal = PULLED * self.tensile_strength * self.area();
        let what = "mounting bolt, in tension";
        match self.flat_head {
            true => {
                let rule = "AISC 360-16 J3-1, EN 1993-1-8 table 3.4";
                Limit::new(what, rule, FLAT_HEAD * nominal, method.rupture())
            }
            false => Limit::new(what, "AISC 360-16 J3-1", nominal, method.rupture()),
        }
    }

    /// The load under which the bolt fails, if each newton of it is `shear` across and `pulled`
    /// along the bolt (J3-1, J3-3b): the utilisations of tension and shear together may not exceed
    /// 1.3.
    pub(super) fn together(&self, shear: f64, pulled: f64, method: Method) -> Option<Limit> {
        let tension = self.tension(method);
        let of_shear = shear / self.shear(method).nominal;
        let of_pull = pulled / tension.nominal;
        let both = (of_shear + of_pull) / 1.3;
        let max = of_shear.max(of_pull).max(both);
        let (what, rule) = match max {
            _ if max == both => ("mounting bolt, in tension and shear", "AISC 360-16 J3-3b"),
            _ if max == of_pull => (tension.what, tension.rule),
            _ => ("mounting bolt, in shear, thread in the shear plane", "AISC 360-16 J3-1"),
        };
        (max > 0.0).then(|| Limit::new(what, rule, 1.0 / max, method.rupture()))
    }

    fn area(&self) -> f64 {
        num::PI * self.diameter * self.diameter / 4.0
    }

    /// Shear over one plane (J3-1), the thread in it, N.
    pub(super) fn shear(&self, method: Method) -> Limit {
        Limit::new(
            "bolt in shear, thread in the shear plane",
            "AISC 360-16 J3-1",
            SHEARED_IN_THREAD * self.tensile_strength * self.area(),
            method.rupture(),
        )
    }
}

/// Table J3.4: diameter of the bolt and minimum distance of its centre from an edge, in.
const INCH_EDGES: &[(f64, f64)] = &[
    (0.5, 0.75),
    (0.625, 0.875),
    (0.75, 1.0),
    (0.875, 1.125),
    (1.0, 1.25),
    (1.125, 1.5),
    (1.25, 1.625),
];

/// Table J3.4M, mm.
const METRIC_EDGES: &[(f64, f64)] = &[
    (16.0, 22.0),
    (20.0, 26.0),
    (22.0, 28.0),
    (24.0, 30.0),
    (27.0, 34.0),
    (30.0, 38.0),
    (36.0, 46.0),
];

/// Above the tables, in diameters (tables J3.4 and J3.4M).
const ABOVE: f64 = 1.25;

/// Below the tables, in diameters: what table J3.4 has for its smallest bolt. Our choice.
const BELOW: f64 = 1.5;

/// The minimum distance from the centre of a bolt hole to an edge of the plate, mm, by tables
/// J3.4 and J3.4M of AISC 360-16. Between two rows the larger bolt counts.
pub(super) fn min_edge_distance(bolt: f64) -> f64 {
    const ROUNDING: f64 = 1e-6;
    let inches = bolt / MM_PER_INCH;
    let sixteenths = inches * 16.0;
    let is_inch = (sixteenths - sixteenths.round()).abs() < ROUNDING;
    let (table, size, unit) = match is_inch {
        true => (INCH_EDGES, inches, MM_PER_INCH),
        false => (METRIC_EDGES, bolt, 1.0),
    };
    match table.first() {
        Some((min, _)) if size < min - ROUNDING => BELOW * bolt,
        _ => {
            let row = table.iter().find(|(row, _)| size <= row + ROUNDING);
            row.map_or(ABOVE * bolt, |(_, edge)| edge * unit)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const STEEL: Metal =
        Metal { yield_strength: 235.0, tensile_strength: 360.0, elastic: 210_000.0 };

    /// Tables J3.4 (in) and J3.4M (mm) of AISC 360-16; a copy prints 48 for M36, the
    /// specification has 46.
    #[test]
    fn edge_distances_are_those_of_the_tables() {
        for (size, edge) in [
            (1.0 / 2.0, 3.0 / 4.0),
            (5.0 / 8.0, 7.0 / 8.0),
            (3.0 / 4.0, 1.0),
            (7.0 / 8.0, 1.125),
            (1.0, 1.25),
            (1.125, 1.5),
            (1.25, 1.625),
            (1.5, 1.25 * 1.5),
        ] {
            let got = min_edge_distance(size * MM_PER_INCH) / MM_PER_INCH;
            assert!((got - edge).abs() < 1e-9, "{size} in: {got}");
        }
        for (size, edge) in [
            (16.0, 22.0),
            (20.0, 26.0),
            (22.0, 28.0),
            (24.0, 30.0),
            (27.0, 34.0),
            (30.0, 38.0),
            (36.0, 46.0),
            (42.0, 52.5),
            (18.0, 26.0),
            (8.0, 12.0),
        ] {
            assert!((min_edge_distance(size) - edge).abs() < 1e-9, "M{size}");
        }
    }

    #[test]
    fn bolts_computed_by_hand() {
        // M10 in 4 mm of 360 N/mm², 15 mm clear: 2.4 · 10 · 4 · 360 and 1.2 · 15 · 4 · 360.
        let hole = BoltHole { thickness: 4.0, bolt: 10.0, clear: 15.0 };
        let [bearing, torn] = hole.limits(STEEL, Method::Aisc360);
        assert!((bearing.nominal - 34_560.0).abs() < 1e-9);
        assert!((torn.nominal - 25_920.0).abs() < 1e-9);
        assert!((torn.allowable() - 12_960.0).abs() < 1e-9, "Ω = 2.00");
        // A325, 3/4 in, thread in the plane: Fnv = 54 ksi (table J3.2), Ab = 0.442 in²:
        // 23.9 kips, allowable 11.9.
        let ksi = 4_448.221_615_260_5 / (25.4 * 25.4);
        let bolt = Bolt { diameter: 0.75 * 25.4, tensile_strength: 120.0 * ksi, flat_head: false };
        let kips = bolt.shear(Method::Aisc360).nominal / 4_448.221_615_260_5;
        assert!((kips - 54.0 * 0.4418).abs() < 0.01, "{kips}");
    }

    proptest! {
        #[test]
        fn strength_never_falls_when_thickness_or_edge_distance_grows(
            t in 1.0..30.0f64, bolt in 3.0..36.0f64, clear in 0.0..100.0f64, more in 0.0..20.0f64,
        ) {
            let hole = BoltHole { thickness: t, bolt, clear };
            let larger =
                [BoltHole { thickness: t + more, ..hole }, BoltHole { clear: clear + more, ..hole }];
            for larger in larger {
                let pairs = hole.limits(STEEL, Method::Aisc360).into_iter();
                for (before, after) in pairs.zip(larger.limits(STEEL, Method::Aisc360)) {
                    prop_assert!(after.nominal >= before.nominal);
                }
            }
        }
    }
}

//! Fillet welds, by AISC 360-16 section J2.

use crate::geom::Space;
use crate::geom::length;
use crate::geom::plus;
use crate::num;
use crate::num::Angle;
use crate::quantity::MM_PER_INCH;
use crate::strength::limit::Forces;
use crate::strength::limit::Limit;
use crate::strength::limit::Shape;
use crate::strength::method::Method;

/// A fillet weld.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Fillet {
    /// Leg, w, mm.
    pub(crate) leg: f64,
    /// Shear strength of the weld metal on the throat: 0.60 FEXX, N/mm².
    pub(crate) shear: f64,
}

/// The throat of a fillet with equal legs.
pub(super) const THROAT: f64 = 0.707;

/// The deduction of table J2.1 from the depth of a bevel groove welded in any position, mm: 1/8 in,
/// 3 mm.
const NOT_FUSED: f64 = MM_PER_INCH / 8.0;

/// The effective throat of a bevel groove of partial joint penetration, mm, by its angle in
/// degrees and its depth (table J2.1, from a copy): 1/8 in less than the depth from 45° on, for
/// any process and position; the whole depth counts only for processes and positions that are
/// not known here. Below 45° the table has nothing.
pub(super) fn groove_throat(angle: f64, depth: f64) -> Option<f64> {
    const ROUNDING: f64 = 1e-9;
    (angle >= 45.0 - ROUNDING).then(|| (depth - NOT_FUSED).max(0.0))
}

/// How far from mid-thickness of the plate two lines must be to resist the same moment out of the
/// plane as the section of two throats at its surfaces, elastic to the extreme fibre, mm.
pub(super) fn lever(throat: f64, thickness: f64) -> f64 {
    let out = ((thickness - throat) / 2.0).max(0.0);
    (throat * throat / 12.0 + out * out) / (out + throat / 2.0).max(f64::MIN_POSITIVE)
}

/// The rule for the throat of a groove in a plate: table J2.3 (3, 5, 6, 8 mm and their inches,
/// from a copy) has the figures of table J2.4 up to 38 mm.
pub(super) fn groove_shape(throat: f64, thickness: f64) -> Shape {
    Shape {
        what: "effective throat of the groove",
        rule: "AISC 360-16 table J2.3",
        is: throat,
        wanted: min_size(thickness),
        max: false,
    }
}

impl Fillet {
    /// A groove of an effective throat as the fillet of the same longitudinal strength.
    pub(super) fn groove(throat: f64, shear: f64) -> Self {
        Self { leg: throat / THROAT, shear }
    }

    /// Strength of one mm of weld loaded at `angle` to its length (J2-4 and J2-5), N.
    pub(crate) fn strength(&self, angle: Angle) -> f64 {
        let sine = angle.sin().abs();
        self.shear * (1.0 + 0.5 * num::pow(sine, 1.5)) * THROAT * self.leg
    }

    /// The rules for its size between this plate and its support: minimum (table J2.4), maximum
    /// along an edge (J2.2b), and minimum length (J2.2b), mm.
    pub(crate) fn shapes(&self, thickness: f64, length: f64) -> [Shape; 3] {
        let shape = |what, rule, is, wanted, max| Shape { what, rule, is, wanted, max };
        [
            shape(
                "leg of the fillet",
                "AISC 360-16 table J2.4",
                self.leg,
                min_leg(thickness),
                false,
            ),
            shape(
                "leg of the fillet",
                "AISC 360-16 J2.2b",
                self.leg,
                greatest_leg(thickness),
                true,
            ),
            shape("length of the fillet", "AISC 360-16 J2.2b", length, 4.0 * self.leg, false),
        ]
    }
}

/// Up to this thickness of the thinner part, in inches, and the minimum leg for it in mm: the
/// lesser of table J2.4 (1/8, 3/16, 1/4 in) and table J2.4M (3, 5, 6 mm, from memory), so that a
/// leg by either is large enough.
const MIN_LEGS: &[(f64, f64)] = &[(0.25, 3.0), (0.5, 4.7625), (0.75, 6.0)];

/// The same for any thicker part: 5/16 in, 8 mm.
const MIN_LEG_BEYOND: f64 = 7.9375;

/// The minimum size of a weld by the thinner part, mm, by table J2.4.
fn min_size(thickness: f64) -> f64 {
    const ROUNDING: f64 = 1e-6;
    let inches = thickness / MM_PER_INCH;
    let row = MIN_LEGS.iter().find(|(max, _)| inches <= max + ROUNDING);
    row.map_or(MIN_LEG_BEYOND, |(_, leg)| *leg)
}

/// The minimum leg of a fillet on a plate, mm, by table J2.4; no more than the plate is thick.
pub(crate) fn min_leg(thickness: f64) -> f64 {
    min_size(thickness).min(greatest_leg(thickness))
}

/// The greatest leg along the edge of a plate, mm (J2.2b): its thickness, from 1/4 in on
/// 1/16 in less.
fn greatest_leg(thickness: f64) -> f64 {
    match thickness < 0.25 * MM_PER_INCH {
        true => thickness,
        false => (thickness - MM_PER_INCH / 16.0).max(0.25 * MM_PER_INCH - 1e-9),
    }
}

/// A plate welded on its edge: a fillet along one face, or one along each.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Seam {
    /// The fillets.
    pub(super) fillet: Fillet,
    /// How many: 1 or 2.
    pub(super) lines: u32,
    /// Length of each, mm.
    pub(super) length: f64,
    /// How far they stretch along the edge, mm.
    pub(super) width: f64,
    /// Between which angles to the edge, degrees, they run.
    pub(super) turns: [f64; 2],
    /// Thickness of the plate between them, mm.
    pub(super) thickness: f64,
    /// Whether they are grooves of partial joint penetration: no increase for the angle of the load
    /// (table J2.5).
    pub(super) groove: bool,
}

/// The strength of a seam.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Hold {
    /// As a multiple of the load.
    Limit(Box<Limit>),
    /// One fillet that is bent or pulled open at its root, on which J2.2b does not allow to
    /// count.
    OpenRoot,
}

impl Seam {
    /// How many times these forces about its centre the seam can carry.
    ///
    /// The elastic method: the worst millimetre breaks first. The strength that J2-5 adds is
    /// for a seam loaded at one angle; here it is taken for the force through its centre, and
    /// less of it the more the moments add at the worst millimetre, none from where they add
    /// as much as the force itself: so nothing steps where a load leaves the centre. Of a seam
    /// that turns, the millimetre counts that runs most nearly along the force.
    pub(super) fn capacity(&self, forces: &Forces, method: Method) -> Hold {
        const NOTHING: f64 = 1e-9;
        let even = 1.0 / (f64::from(self.lines) * self.length);
        let direct = [forces.normal, forces.shear, forces.across].map(|f| f * even);
        let corners = self.corners(forces);
        let opens = corners.iter().any(|m| direct[0] + m[0] > NOTHING * even);
        let is_bent = forces.bend_out.abs() > NOTHING * self.length;
        if self.lines < 2 && (opens || is_bent) {
            return Hold::OpenRoot;
        }
        let straight = length(direct);
        let across = self.across(direct) / straight.max(f64::MIN_POSITIVE);
        let added = if self.groove { 0.0 } else { num::pow(across.min(1.0), 1.5) / 2.0 };
        let strength = corners.iter().map(|moments| {
            let whole = length(plus(direct, *moments));
            let share = match straight > 0.0 {
                true => (1.0 - length(*moments) / straight).max(0.0),
                false => 0.0,
            };
            (self.fillet.strength(Angle::ZERO) * (1.0 + added * share) / whole, share)
        });
        let (nominal, share) = strength
            .fold((f64::INFINITY, 0.0), |known, next| if next.0 < known.0 { next } else { known });
        let (what, rule) = match (self.groove, added * share > NOTHING) {
            (true, _) => ("groove weld", "AISC 360-16 J2-3, tables J2.1 and J2.5"),
            (_, true) => ("fillet weld", "AISC 360-16 J2-4, J2-5"),
            (_, false) => ("fillet weld", "AISC 360-16 J2-4, elastic"),
        };
        Hold::Limit(Box::new(Limit::new(what, rule, nominal, method.rupture())))
    }

    /// The lowest strength under a force that is square to any of the seam.
    fn across(&self, [normal, along, square]: Space) -> f64 {
        let [low, high] = self.turns;
        let runs =
            |way: f64| [way - 180.0, way, way + 180.0].iter().any(|a| (low..=high).contains(a));
        let angle = Angle::of(along, normal).degrees();
        let off = |turn: Angle| (along * turn.sin() - normal * turn.cos()).abs();
        let ends = self.turns.map(|turn| off(Angle::from_degrees(turn)));
        let in_plane = if runs(angle) { 0.0 } else { ends[0].min(ends[1]) };
        num::hypot(in_plane, square)
    }

    /// The force per mm from the moments at the ends of each line: square to the seam, along it and
    /// normal to the plate.
    fn corners(&self, forces: &Forces) -> Vec<Space> {
        let lines = f64::from(self.lines);
        let half = self.width / 2.0;
        // As lines: w³/12 for each, and its distance from mid-thickness of the plate.
        let edgeways = lines * self.width * self.width * self.width / 12.0;
        let off = if self.lines < 2 { 0.0 } else { self.thickness / 2.0 };
        let out = lines * self.length * off * off;
        let polar = edgeways + out;
        let corners = [(-half, -off), (-half, off), (half, -off), (half, off)];
        let at = |(x, z): (f64, f64)| {
            let bent = if out > 0.0 { forces.bend_out * z / out } else { 0.0 };
            [
                bent - forces.bend_in * x / edgeways,
                -forces.torsion * z / polar,
                forces.torsion * x / polar,
            ]
        };
        corners.map(at).into()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// The strength of a seam under a force of 1 N, normal, along it and out of plane, that acts
    /// at this distance in front of it.
    fn of(seam: &Seam, [normal, shear, across]: [f64; 3], reach: f64) -> Limit {
        let (bend_in, bend_out) = (shear * reach, across * reach);
        let forces = Forces { normal, shear, across, bend_in, bend_out, torsion: 0.0 };
        match seam.capacity(&forces, Method::Aisc360) {
            Hold::Limit(limit) => *limit,
            Hold::OpenRoot => panic!("{seam:?} opens"),
        }
    }

    const INCH: f64 = 25.4;
    const KIP: f64 = 4_448.221_615_260_5;
    const KSI: f64 = KIP / (INCH * INCH);
    const E70: f64 = 42.0 * KSI;

    /// University course notes, weld connections, examples 1 and 2: E70, 3/4 in leg, 8 in:
    /// 0.75 Rn = 133.62 kips along, 200.4 kips across. For 45° they print the factor 1.2925
    /// where the formula has 1.2973: a slip of theirs.
    #[test]
    fn the_published_welds_come_out() {
        let fillet = Fillet { leg: 0.75 * INCH, shear: E70 };
        let kips =
            |degrees| 0.75 * fillet.strength(Angle::from_degrees(degrees)) * 8.0 * INCH / KIP;
        assert!((kips(0.0) / 133.62 - 1.0).abs() < 1e-3, "{}", kips(0.0));
        assert!((kips(90.0) / 200.4 - 1.0).abs() < 1e-3, "{}", kips(90.0));
        assert!((kips(45.0) / kips(0.0) - 1.2973).abs() < 1e-4);
    }

    /// A constant of the AISC manual: a sixteenth of leg carries 0.928 kips an inch, Ω = 2.00.
    #[test]
    fn a_sixteenth_an_inch_long_holds_what_the_manual_says() {
        let fillet = Fillet { leg: INCH / 16.0, shear: E70 };
        let seam = Seam {
            fillet,
            lines: 1,
            length: INCH,
            width: INCH,
            turns: [0.0; 2],
            thickness: 6.0,
            groove: false,
        };
        let along = of(&seam, [0.0, 1.0, 0.0], 0.0);
        assert!((along.allowable() / KIP - 0.928).abs() < 1e-3, "{}", along.allowable() / KIP);
    }

    /// Table J2.4 and J2.2b of AISC 360-16, in inches; table J2.4M requires 3 and 6 mm where
    /// these are 3.175 and 6.35 mm.
    #[test]
    fn least_and_greatest_legs_are_those_of_the_tables() {
        for (thickness, min, greatest) in [
            (0.125, 0.125, 0.125),
            (0.1875, 0.125, 0.1875),
            (0.25, 0.125, 0.25),
            (0.375, 0.1875, 0.3125),
            (0.5, 0.1875, 0.4375),
            (0.75, 0.25, 0.6875),
            (1.0, 0.3125, 0.9375),
        ] {
            let got = (min_leg(thickness * INCH) / INCH, greatest_leg(thickness * INCH) / INCH);
            assert!(got.0 < min + 1e-9 && min - got.0 < 0.015, "{thickness}: {got:?}");
            assert!((got.1 - greatest).abs() < 1e-6, "{thickness}: {got:?}");
        }
        let fillet = Fillet { leg: 5.0, shear: E70 };
        let kept = fillet.shapes(4.0, 18.0).map(|s| s.kept());
        assert_eq!(kept, [true, false, false], "5 mm on 4 mm of plate, 18 mm long");
    }

    /// Two throats of 4 mm are all of a plate of 8 mm: 8²/6 a millimetre. Of 2 mm: (8³ − 4³)/48.
    #[test]
    fn two_throats_are_bent_as_their_section_computed_by_hand() {
        for (throat, section) in [(4.0, 64.0 / 6.0), (2.0, (512.0 - 64.0) / 48.0)] {
            let is = 2.0 * throat * lever(throat, 8.0);
            assert!((is - section).abs() < 1e-9, "{is}, by hand {section}");
        }
    }

    #[test]
    fn a_seam_computed_by_hand() {
        // Two fillets of 3 mm, 40 mm long, shear strength 290: 290 · 0.707 · 3 = 615.09 N/mm.
        let fillet = Fillet { leg: 3.0, shear: 290.0 };
        let seam = Seam {
            fillet,
            lines: 2,
            length: 40.0,
            width: 40.0,
            turns: [0.0; 2],
            thickness: 5.0,
            groove: false,
        };
        let of = |direction| of(&seam, direction, 30.0).nominal;
        // Straight out: 80 mm at 1.5 times.
        assert!((of([1.0, 0.0, 0.0]) - 615.09 * 1.5 * 80.0).abs() < 1e-6);
        // Sideways: 1/80 across and 30/(40 · 5) = 0.15 out, together 0.15052.
        let worst = (0.15_f64 * 0.15 + 0.0125 * 0.0125).sqrt();
        assert!((of([0.0, 0.0, 1.0]) - 615.09 / worst).abs() < 1e-6);
        // Along: 1/80 along and 30 · 6/(2 · 40²) = 0.05625 out.
        let worst = (0.05625_f64 * 0.05625 + 0.0125 * 0.0125).sqrt();
        assert!((of([0.0, 1.0, 0.0]) - 615.09 / worst).abs() < 1e-6);
    }

    /// Pulled 45 mm off its centre, two fillets of 3 mm, 120 mm long: 1/240 and
    /// 45 · 6 / (2 · 120²), together 0.013 542 N/mm; straight out 1.5 times 1/240; half way to
    /// where the moment adds as much as the force, at 10 mm, 1.25 times 1.5 / 240.
    #[test]
    fn a_seam_pulled_off_its_middle_computed_by_hand() {
        let fillet = Fillet { leg: 3.0, shear: 290.0 };
        let seam = Seam {
            fillet,
            lines: 2,
            length: 120.0,
            width: 120.0,
            turns: [0.0; 2],
            thickness: 6.0,
            groove: false,
        };
        let at = |off: f64| {
            let forces = Forces { normal: 1.0, bend_in: off, ..Forces::default() };
            match seam.capacity(&forces, Method::Aisc360) {
                Hold::Limit(limit) => limit.nominal,
                other => panic!("{other:?}"),
            }
        };
        assert!((at(45.0) / (615.09 / (1.0 / 240.0 + 0.009_375)) - 1.0).abs() < 1e-9);
        assert!((at(0.0) / (615.09 * 1.5 * 240.0) - 1.0).abs() < 1e-9);
        assert!((at(10.0) / (615.09 * 1.25 * 240.0 / 1.5) - 1.0).abs() < 1e-9);
        let one = Seam { lines: 1, ..seam };
        let pulled = Forces { normal: 1.0, ..Forces::default() };
        assert_eq!(one.capacity(&pulled, Method::Aisc360), Hold::OpenRoot);
        let bent = Forces { bend_out: 30.0, across: 1.0, ..Forces::default() };
        assert_eq!(one.capacity(&bent, Method::Aisc360), Hold::OpenRoot);
        assert!(matches!(one.capacity(&pulled.times(-1.0), Method::Aisc360), Hold::Limit(_)));
    }

    /// Half a circle of 40 mm, pulled straight out or along: somewhere it runs along the force, where
    /// J2-5 adds nothing. A quarter is nowhere nearer than 45° to a pull: 1 + sin^1.5 45° / 2. Square to
    /// the plate all of it is across.
    #[test]
    fn what_is_added_is_that_of_the_millimetre_along_the_force() {
        let fillet = Fillet { leg: 3.0, shear: 290.0 };
        let length = 20.0 * num::PI;
        let half = Seam {
            fillet,
            lines: 2,
            length,
            width: 40.0,
            turns: [-90.0, 90.0],
            thickness: 5.0,
            groove: false,
        };
        let of =
            |seam: &Seam, direction| of(seam, direction, 0.0).nominal / (615.09 * 2.0 * length);
        for (seam, direction, by_hand) in [
            (half, [1.0, 0.0, 0.0], 1.0),
            (half, [-0.6, 0.8, 0.0], 1.0),
            (half, [0.0, 0.0, 1.0], 1.5),
            (Seam { turns: [-45.0, 45.0], ..half }, [1.0, 0.0, 0.0], 1.297_301_778),
            (Seam { turns: [-45.0, 45.0], ..half }, [0.0, -1.0, 0.0], 1.0),
            (Seam { turns: [0.0; 2], ..half }, [1.0, 0.0, 0.0], 1.5),
        ] {
            let is = of(&seam, direction);
            assert!((is - by_hand).abs() < 1e-6, "{direction:?}: {is}, by hand {by_hand}");
        }
    }

    proptest! {
        #[test]
        fn a_longer_weld_or_a_larger_leg_never_holds_less(
            leg in 1.0..10.0f64, length in 10.0..200.0f64, t in 1.0..20.0f64, reach in 0.0..100.0f64,
            pull in -1.0..1.0f64, along in -1.0..1.0f64, sideways in -1.0..1.0f64, more in 0.0..20.0f64,
        ) {
            let fillet = Fillet { leg, shear: E70 };
            let seam = Seam { fillet, lines: 2, length, width: length, turns: [0.0; 2], thickness: t, groove: false };
            let of = |seam: Seam| of(&seam, [pull, along, sideways], reach).nominal;
            let longer = Seam { length: length + more, width: length + more, ..seam };
            let larger = Seam { fillet: Fillet { leg: leg + more, ..fillet }, ..seam };
            let thicker = Seam { thickness: t + more, ..seam };
            prop_assert!([longer, larger, thicker].into_iter().all(|s| of(s) >= of(seam) * (1.0 - 1e-12)));
        }

        #[test]
        fn legs_grow_with_the_plate(t in 0.5..60.0f64, more in 0.0..20.0f64) {
            prop_assert!(min_leg(t + more) >= min_leg(t) - 1e-6);
        }
    }
}

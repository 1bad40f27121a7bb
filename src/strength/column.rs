//! A strut between two pins whose ends are more slender than its centre part.
//!
//! Its elastic critical force is that of its pieces in a row, each bent as y″ = −P/(E·I)·y, with
//! y and y′ the same on both sides of a joint (Timoshenko and Gere, Theory of elastic stability,
//! bars with change in cross section). AISC 360-16 lets Fe come from such an analysis (E4 and the
//! commentary to E3).

use crate::num;
use crate::num::PI;

/// Fy/Fe beyond which a strut buckles elastically (E3).
const ELASTIC: f64 = 2.25;

/// Steps of halving in which the critical force is found: to the last bit of a number.
const HALVINGS: usize = 80;

/// The nominal stress Fn of a strut in compression, N/mm², by its yield strength and its elastic
/// buckling stress Fe (E3-2, E3-3).
pub(crate) fn buckling_stress(yield_strength: f64, elastic: f64) -> f64 {
    match yield_strength / elastic <= ELASTIC {
        true => num::pow(0.658, yield_strength / elastic) * yield_strength,
        false => 0.877 * elastic,
    }
}

/// A length of a strut with one section.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Piece {
    /// Length, mm, more than 0.
    pub(crate) length: f64,
    /// Second moment of area, mm⁴, more than 0.
    pub(crate) inertia: f64,
}

/// A strut of pieces in a row between two pins.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Strut<'a> {
    /// From pin to pin, one or more.
    pub(crate) pieces: &'a [Piece],
    /// Modulus of elasticity, N/mm².
    pub(crate) elastic: f64,
}

/// The phase and amplitude of the wave at the end of a piece: y = amplitude · sin(phase).
#[derive(Clone, Copy)]
struct Wave {
    phase: f64,
    amplitude: f64,
}

impl Wave {
    fn height(self) -> f64 {
        self.amplitude * sine(self.phase)
    }
}

fn sine(radians: f64) -> f64 {
    num::Angle::from_radians(radians).sin()
}

fn cosine(radians: f64) -> f64 {
    num::Angle::from_radians(radians).cos()
}

impl Strut<'_> {
    /// From pin to pin, mm.
    pub(crate) fn length(&self) -> f64 {
        self.pieces.iter().map(|piece| piece.length).sum()
    }

    /// The force at which it buckles while it is elastic, N.
    pub(crate) fn critical_force(&self) -> f64 {
        let stiffest = self.pieces.iter().map(|piece| piece.inertia).fold(0.0, f64::max);
        // No strut of these pieces carries more than one that is as stiff as the stiffest
        // throughout.
        let mut high = PI * PI * self.elastic * stiffest / (self.length() * self.length());
        let mut low = 0.0;
        for _ in 0..HALVINGS {
            let middle = 0.5 * (low + high);
            let end = self.waves(middle).last().map_or(0.0, |(_, end)| end.phase);
            if end < PI { low = middle } else { high = middle }
        }
        low
    }

    /// How far the joint behind a piece moves aside as it buckles, as a share of the place that
    /// moves most.
    pub(crate) fn share_at(&self, piece: usize) -> f64 {
        let waves = self.waves(self.critical_force());
        let highest = |(begins, ends): &(Wave, Wave)| {
            let has_crest = begins.phase <= PI / 2.0 && ends.phase >= PI / 2.0;
            if has_crest { begins.amplitude } else { begins.height().max(ends.height()) }
        };
        let most = waves.iter().map(highest).fold(0.0, f64::max);
        waves.get(piece).map_or(0.0, |(_, ends)| ends.height() / most)
    }

    /// The wave at both ends of every piece under a force.
    fn waves(&self, force: f64) -> Vec<(Wave, Wave)> {
        let mut waves: Vec<(Wave, Wave)> = Vec::with_capacity(self.pieces.len());
        let number = |piece: &Piece| (force / (self.elastic * piece.inertia)).sqrt();
        let mut before: Option<(Wave, f64)> = None;
        for piece in self.pieces {
            let k = number(piece);
            let begins = before.map_or(Wave { phase: 0.0, amplitude: 1.0 / k }, |(wave, last)| {
                across(wave, last, k)
            });
            let ends = Wave { phase: begins.phase + k * piece.length, ..begins };
            waves.push((begins, ends));
            before = Some((ends, k));
        }
        waves
    }
}

/// The wave beyond a joint from a piece with wave number `from` to one with `to`: its height and
/// its slope stay.
fn across(wave: Wave, from: f64, to: f64) -> Wave {
    let halves = (wave.phase / PI).floor();
    let rest = wave.phase - halves * PI;
    let (height, slope) = (sine(rest), cosine(rest) * from / to);
    let phase = halves * PI + num::Angle::of(slope, height).radians();
    Wave { phase, amplitude: wave.amplitude * num::hypot(height, slope) }
}

/// The force at which a section that is pressed and bent reaches a stress at its edge, N: it is
/// `off` mm off the line of the force at first, and moves on as the force nears the critical one
/// (second order: 1 / (1 − N/Pcr)). Area mm², modulus mm³, stress N/mm².
pub(crate) fn pressed_and_bent(
    [area, modulus]: [f64; 2],
    stress: f64,
    off: f64,
    critical: f64,
) -> f64 {
    let linear = 1.0 / area + off / modulus + stress / critical;
    let root = linear * linear - 4.0 * stress / (area * critical);
    2.0 * stress / (linear + root.max(0.0).sqrt())
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const KSI: f64 = 6.894_757_293;
    const INCH: f64 = 25.4;
    const KIP: f64 = 4_448.221_615_260_5;

    fn piece(length: f64, inertia: f64) -> Piece {
        Piece { length, inertia }
    }

    /// Round tube of one section from pin to pin: Pn in kips from its area and radius of gyration
    /// in inches.
    fn nominal(area: f64, gyration: f64, length: f64, yield_ksi: f64) -> f64 {
        let elastic = 29_000.0 * KSI;
        let inertia = area * gyration * gyration * INCH * INCH * INCH * INCH;
        let strut = Strut { pieces: &[piece(length * INCH, inertia)], elastic };
        let area = area * INCH * INCH;
        buckling_stress(yield_ksi * KSI, strut.critical_force() / area) * area / KIP
    }

    /// AISC Design Examples 14.0, example E.11: Pipe 10 Std. of 35 ksi, 30 ft between pins, area
    /// 11.5 in² and r 3.68 in (both from memory): KL/r 97.8, available strength 222 kips (0.90) and
    /// 148 kips (Ω 1.67), from memory; a public recalculation of it prints 221 and 147.
    #[test]
    fn the_pipe_column_of_the_design_examples_comes_out() {
        let nominal = nominal(11.5, 3.68, 360.0, 35.0);
        assert!((0.9 * nominal / 222.0 - 1.0).abs() < 5e-3, "{}", 0.9 * nominal);
        assert!((nominal / 1.67 / 148.0 - 1.0).abs() < 5e-3, "{}", nominal / 1.67);
    }

    /// A public validation of AISC 360-16 for a pipe of 10 in outside and 0.25 in wall, 50 ksi,
    /// 60 in between pins: A 7.66 in², r 3.448 in, KL/r 17.40, Fcr 48.91 ksi, Pn 374.5 kips.
    #[test]
    fn the_pipe_of_ten_inches_comes_out() {
        let nominal = nominal(7.66, 3.448, 60.0, 50.0);
        assert!((nominal / 374.5 - 1.0).abs() < 1e-3, "{nominal}");
    }

    /// Columns of 36 and 50 ksi by their slenderness, ksi: E3-2 up to 4.71 √(E/Fy), E3-3 beyond, worked
    /// calculated independently. Fe of a strut of one piece is that of its slenderness.
    #[test]
    fn critical_stresses_by_slenderness_come_out() {
        for (yield_ksi, slenderness, stress) in [
            (36.0, 100.0, 21.265257),
            (50.0, 60.0, 38.428556),
            (50.0, 113.0, 19.656117),
            (50.0, 150.0, 11.156162),
            (36.0, 200.0, 6.275341),
        ] {
            let is = nominal(1.0, 1.0, slenderness, yield_ksi);
            assert!((is / stress - 1.0).abs() < 1e-5, "{yield_ksi} {slenderness}: {is}");
        }
    }

    /// The curves of E3 meet where Fy/Fe = 2.25.
    #[test]
    fn the_column_curve_does_not_step() {
        let stress = |elastic| buckling_stress(235.0, elastic);
        assert!((stress(235.0 / 2.2499) / stress(235.0 / 2.2501) - 1.0).abs() < 1e-3);
    }

    /// Timoshenko and Gere, a strut with half of its length in the centre four times as stiff as
    /// its ends: by hand tan(k1·a)·tan(k2·b) = k1/k2 with a = b = L/4 and k1 = 2·k2, so that
    /// tan(2u)·tan(u) = 2, tan²u = 1/2, u = 35.264°: P = (4u/L)²·E·I2.
    #[test]
    fn a_stepped_strut_computed_by_hand() {
        let pieces = [piece(250.0, 1000.0), piece(500.0, 4000.0), piece(250.0, 1000.0)];
        let strut = Strut { pieces: &pieces, elastic: 2.1e5 };
        let angle = num::atan(0.5_f64.sqrt());
        let number = 4.0 * angle.radians() / 1000.0;
        let by_hand = number * number * 2.1e5 * 4000.0;
        assert!((strut.critical_force() / by_hand - 1.0).abs() < 1e-9);
        // At the joint it has moved cos(u) of the centre.
        assert!((strut.share_at(0) - angle.cos()).abs() < 1e-9);
        assert!((strut.share_at(1) - angle.cos()).abs() < 1e-9);
    }

    #[test]
    fn what_is_straight_and_never_buckles_reaches_its_stress_everywhere() {
        let force = pressed_and_bent([50.0, 80.0], 300.0, 0.0, 1e30);
        assert!((force / 15_000.0 - 1.0).abs() < 1e-9, "{force}");
    }

    proptest! {
        #[test]
        fn weaker_ends_never_help_and_a_strut_may_be_turned_round(
            ends in [5.0..80.0f64, 5.0..80.0], middle in 100.0..2000.0f64,
            inertia in [50.0..5000.0f64, 50.0..5000.0], tube in 200.0..50_000.0f64,
        ) {
            let [one, two] = [0, 1].map(|i| piece(ends[i], inertia[i].min(tube)));
            let critical = |pieces: &[Piece]| Strut { pieces, elastic: 2.1e5 }.critical_force();
            let is = critical(&[one, piece(middle, tube), two]);
            let round = critical(&[two, piece(middle, tube), one]);
            let even = critical(&[piece(ends[0] + middle + ends[1], tube)]);
            prop_assert!((is / round - 1.0).abs() < 1e-9);
            prop_assert!(is <= even * (1.0 + 1e-9) && is > 0.0);
            let pieces = [one, piece(middle, tube), two];
            let strut = Strut { pieces: &pieces, elastic: 2.1e5 };
            prop_assert!((0..2).all(|i| (0.0..=1.0 + 1e-9).contains(&strut.share_at(i))));
        }

        #[test]
        fn what_is_pressed_and_bent_reaches_its_stress(
            area in 10.0..500.0f64, modulus in 10.0..2000.0f64, stress in 50.0..800.0f64,
            off in 0.0..3.0f64, critical in 1e3..1e6f64,
        ) {
            let n = pressed_and_bent([area, modulus], stress, off, critical);
            prop_assert!(n < critical);
            let is = n / area + n * off / (1.0 - n / critical) / modulus;
            prop_assert!((is / stress - 1.0).abs() < 1e-6, "{is} of {stress}");
        }
    }
}

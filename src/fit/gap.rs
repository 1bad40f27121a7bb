//! The gap between two ears, bare and coated, and the play beside the ball.

use crate::fit::tolerance::cut_tolerance;
use crate::fit::tolerance::sheet_tolerance;
use crate::num::Angle;
use crate::part::Clevis;
use crate::part::Part;
use crate::recipe::Inaccuracy;
use crate::table::Tables;

/// The data besides the part.
pub struct Shop<'a> {
    /// The tables.
    pub tables: &'a Tables,
    /// Coating thickness on every face, mm.
    pub coating: f64,
    /// The minimum and maximum thickness of its coating, mm, where that is known.
    pub films: Option<[f64; 2]>,
    /// Name of the cutting process.
    pub process: &'a str,
    /// How far a cut edge may be off in this shop, mm, either way, where it is known.
    pub cut: Option<f64>,
}

/// The gap of a clevis, with all that makes it differ.
pub(crate) fn gap(part: &Part, clevis: &Clevis, shop: &Shop) -> Gap {
    let row = |name: &str| shop.tables.row("tolerance", name);
    let length = |name: &str| row(name).map_or(0.0, |r| r.measure("length"));
    let rotation = Angle::from_degrees(row("bend").map_or(0.0, |r| r.measure("angle")));
    let each = |inaccuracy: Inaccuracy| match inaccuracy {
        Inaccuracy::Thickness => sheet_tolerance(part.thickness, shop.tables),
        Inaccuracy::Cut => shop.cut.unwrap_or_else(|| {
            cut_tolerance(shop.process, part.thickness, clevis.gap, shop.tables)
        }),
        Inaccuracy::Bend => length("bend"),
        Inaccuracy::Angle => clevis.floor * rotation.tan(),
        Inaccuracy::Weld => length("weld"),
    };
    let shares = clevis.varies.iter().map(|(inaccuracy, times)| Share {
        what: inaccuracy.word(),
        each: each(*inaccuracy),
        times: *times,
    });
    let varies = if shop.coating > 0.0 { length("coating") } else { 0.0 };
    let about = [(shop.coating - varies).max(0.0), shop.coating + varies];
    Gap {
        bare: clevis.gap,
        film: shop.coating,
        films: shop.films.unwrap_or(about),
        ball: clevis.rod_end.measure("ball_width"),
        spacer: clevis.spacer,
        shares: shares.filter(|share| share.times > 0.0).collect(),
    }
}

/// A gap and what makes it differ from the drawing.
#[derive(Clone, Debug, PartialEq)]
pub struct Gap {
    /// Between the bare ears.
    pub bare: f64,
    /// Film on each of the two faces.
    pub film: f64,
    /// The minimum and maximum coating thickness on a face.
    pub(crate) films: [f64; 2],
    /// Width of the ball.
    pub ball: f64,
    /// Thickness of the spacer on each side.
    pub spacer: f64,
    /// What makes the bare gap differ.
    pub shares: Vec<Share>,
}

/// One inaccuracy of a gap.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Share {
    /// Its word.
    pub what: &'static str,
    /// How far it rotates either way.
    pub each: f64,
    /// How often it enters.
    pub times: f64,
}

/// Minimum and maximum.
pub(crate) type Range = [f64; 2];

impl Gap {
    /// Between the coated ears: a coating on each.
    pub fn coated(&self) -> f64 {
        self.bare - 2.0 * self.film
    }

    /// The ball and its spacers.
    pub fn width(&self) -> f64 {
        self.ball + 2.0 * self.spacer
    }

    /// Clearance between the coated ears; negative if the rod end does not fit.
    pub fn play(&self) -> f64 {
        self.coated() - self.width()
    }

    /// Everything at its worst at once: added to and taken from the bare and the coated gap.
    pub fn worst(&self) -> [Range; 2] {
        let sum: f64 = self.shares.iter().map(|s| s.times * s.each).sum();
        let [thin, thick] = self.films;
        let (bare, off) = (self.bare, sum);
        [[bare - off, bare + off], [bare - 2.0 * thick - off, bare - 2.0 * thin + off]]
    }

    /// The root of the sum of squares: independent inaccuracies. A coating is midway between its
    /// thinnest and its thickest, plus or minus half of the difference.
    pub fn likely(&self) -> [Range; 2] {
        let sum: f64 = self.shares.iter().map(|s| s.times * s.each * s.each).sum();
        let [thin, thick] = self.films;
        let half = (thick - thin) / 2.0;
        let range = |mean: f64, off: f64| [mean - off, mean + off];
        let coated = (sum + 2.0 * half * half).sqrt();
        [range(self.bare, sum.sqrt()), range(self.bare - thin - thick, coated)]
    }

    /// The clearance beside the rod end when the coated gap is narrow: by root sum square, and in
    /// the worst case; negative if the rod end does not fit. A ball is never wider than its nominal
    /// width.
    pub fn min_play(&self) -> [f64; 2] {
        [self.likely()[1][0], self.worst()[1][0]].map(|min| min - self.width())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn gap(film: f64) -> Gap {
        let shares = vec![
            Share { what: "thickness", each: 0.3, times: 2.0 },
            Share { what: "weld", each: 0.4, times: 1.0 },
        ];
        let films = [film - 0.01, film + 0.01];
        Gap { bare: 14.36, film, films, ball: 14.0, spacer: 0.0, shares }
    }

    /// By hand: 14.36 − 2 × 0.08 = 14.2; worst 2 × 0.3 + 0.4 = 1; √(0.09 + 0.09 + 0.16) = 0.5831.
    #[test]
    fn the_sums_are_those_done_by_hand() {
        let gap = gap(0.08);
        let near = |a: f64, b: f64| (a - b).abs() < 1e-4;
        assert!(near(gap.coated(), 14.2) && near(gap.play(), 0.2));
        let [bare, coated] = gap.worst();
        assert!(near(bare[0], 13.36) && near(bare[1], 15.36));
        assert!(near(coated[0], 13.18) && near(coated[1], 15.22));
        let [bare, coated] = gap.likely();
        assert!(near(bare[1] - 14.36, 0.5831), "{bare:?}");
        assert!(near(coated[1] - 14.2, 0.5833), "{coated:?}");
    }

    /// Powder of 0.06 to 0.1 mm, 0.08 as a rule: 14.36 − 2 × 0.1 − 1 = 13.16; by root sum square
    /// 14.36 − 0.16 − √(0.34 + 2 × 0.02²) = 13.6162. The ball of 14 mm lacks 0.84 and 0.3838.
    #[test]
    fn films_count_by_their_own_thinnest_and_thickest() {
        let gap = Gap { films: [0.06, 0.1], ..gap(0.08) };
        let [likely, worst] = gap.min_play();
        assert!((worst + 0.84).abs() < 1e-9 && (likely + 0.3838).abs() < 1e-4, "{likely} {worst}");
        assert!((gap.worst()[1][1] - 15.24).abs() < 1e-9);
    }

    #[test]
    fn likely_lies_within_worst() {
        for film in [0.0, 0.05, 0.2] {
            for (worst, likely) in gap(film).worst().iter().zip(gap(film).likely()) {
                assert!(worst[0] <= likely[0] && likely[1] <= worst[1]);
            }
        }
    }
}

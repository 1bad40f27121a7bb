//! The gap between two ears, bare and coated, and what is left beside the ball.

use crate::fit::tolerance::cut_tolerance;
use crate::fit::tolerance::sheet_tolerance;
use crate::num::Angle;
use crate::part::Clevis;
use crate::part::Part;
use crate::recipe::Inaccuracy;
use crate::table::Tables;

/// What is known besides the part.
pub struct Shop<'a> {
    /// The tables.
    pub tables: &'a Tables,
    /// Film on every face, mm.
    pub coating: f64,
    /// Name of the cutting process.
    pub process: &'a str,
    /// How far a cut edge may be off in this shop, mm, either way, where it is known.
    pub cut: Option<f64>,
}

/// The gap of a clevis, with all that makes it differ.
pub(crate) fn gap(part: &Part, clevis: &Clevis, shop: &Shop) -> Gap {
    let row = |name: &str| shop.tables.row("tolerance", name);
    let length = |name: &str| row(name).map_or(0.0, |r| r.measure("length"));
    let turn = Angle::from_degrees(row("bend").map_or(0.0, |r| r.measure("angle")));
    let each = |inaccuracy: Inaccuracy| match inaccuracy {
        Inaccuracy::Thickness => sheet_tolerance(part.thickness, shop.tables),
        Inaccuracy::Cut => shop.cut.unwrap_or_else(|| {
            cut_tolerance(shop.process, part.thickness, clevis.gap, shop.tables)
        }),
        Inaccuracy::Bend => length("bend"),
        Inaccuracy::Angle => clevis.floor * turn.tan(),
        Inaccuracy::Weld => length("weld"),
    };
    let shares = clevis.varies.iter().map(|(inaccuracy, times)| Share {
        what: inaccuracy.word(),
        each: each(*inaccuracy),
        times: *times,
    });
    let film = if shop.coating > 0.0 { length("coating") } else { 0.0 };
    Gap {
        bare: clevis.gap,
        film: shop.coating,
        film_varies: film,
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
    /// How far the film varies, either way.
    pub(crate) film_varies: f64,
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
    /// How far it goes either way.
    pub each: f64,
    /// How often it enters.
    pub times: f64,
}

/// Least and most.
pub(crate) type Range = [f64; 2];

impl Gap {
    /// Between the coated ears: a film on each.
    pub fn coated(&self) -> f64 {
        self.bare - 2.0 * self.film
    }

    /// The ball and its spacers.
    pub fn width(&self) -> f64 {
        self.ball + 2.0 * self.spacer
    }

    /// What is left between the coated ears; less than 0 when the rod end does not go in.
    pub fn play(&self) -> f64 {
        self.coated() - self.width()
    }

    /// Everything at its worst at once: added to and taken from the bare and the coated gap.
    pub fn worst(&self) -> [Range; 2] {
        let sum: f64 = self.shares.iter().map(|s| s.times * s.each).sum();
        self.about(sum, sum + 2.0 * self.film_varies)
    }

    /// The root of the sum of squares: inaccuracies that know nothing of each other.
    pub fn likely(&self) -> [Range; 2] {
        let sum: f64 = self.shares.iter().map(|s| s.times * s.each * s.each).sum();
        let film = 2.0 * self.film_varies * self.film_varies;
        self.about(sum.sqrt(), (sum + film).sqrt())
    }

    fn about(&self, bare: f64, coated: f64) -> [Range; 2] {
        let range = |middle: f64, off: f64| [middle - off, middle + off];
        [range(self.bare, bare), range(self.coated(), coated)]
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
        Gap { bare: 14.36, film, film_varies: 0.01, ball: 14.0, spacer: 0.0, shares }
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

    #[test]
    fn likely_lies_within_worst() {
        for film in [0.0, 0.05, 0.2] {
            for (worst, likely) in gap(film).worst().iter().zip(gap(film).likely()) {
                assert!(worst[0] <= likely[0] && likely[1] <= worst[1]);
            }
        }
    }
}

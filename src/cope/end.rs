//! The end of a tube that is cut to lie on another.

use crate::num;
use crate::num::Angle;
use thiserror::Error;

/// How the end of the branch is cut, which decides what touches the main first.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Cut {
    /// Both edges of the wall follow the main: a hole saw does that, or grinding after a
    /// template. The line on the outside counts.
    #[default]
    Fitted,
    /// Square through the wall everywhere, as a torch or a thin disc cuts along a template.
    /// Then the inside edge touches first, and the line lies farther back to let it.
    Square,
}

/// One end of a branch on its main.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cope {
    main: f64,
    outside: f64,
    inside: f64,
    angle: Angle,
    offset: f64,
    cut: Cut,
}

/// Why a tube end cannot be coped.
#[derive(Clone, Copy, Debug, PartialEq, Error)]
pub enum CopeError {
    /// A size of nothing or less.
    #[error("the outside diameter and the wall of a tube are more than 0 mm")]
    Size,
    /// No bore left.
    #[error("a wall of {} mm leaves no bore in {} mm", num::text(*wall, 3), num::text(*outside, 3))]
    Wall {
        /// Wall, mm.
        wall: f64,
        /// Outside diameter, mm.
        outside: f64,
    },
    /// The branch reaches past the side of the main.
    #[error("the branch reaches {} mm past the side of the main", num::text(*past, 3))]
    Wider {
        /// How far, mm.
        past: f64,
    },
    /// Too flat, or measured on the other side.
    #[error("the axes must meet at {MIN}° to 90°, not {0}")]
    Angle(Angle),
}

/// Minimum angle between the axes, degrees: below, the cut is four diameters long. Our choice.
pub(super) const MIN: f64 = 15.0;

/// A branch may be this much wider than its main by rounding, mm.
pub(super) const ROUNDING: f64 = 1e-9;

/// Steps round the branch when its extremes are looked for.
pub(super) const STEPS: u32 = 360;

impl Cope {
    /// A branch of `outside` diameter and `wall` on a main of diameter `main`, the axes at
    /// `angle` to each other and `offset` apart.
    ///
    /// # Errors
    /// When a dimension is none, or the branch does not lie wholly within the main's width.
    pub fn new(
        main: f64,
        outside: f64,
        wall: f64,
        angle: Angle,
        offset: f64,
        cut: Cut,
    ) -> Result<Self, CopeError> {
        let sizes = [main, outside, wall];
        if !sizes.iter().all(|mm| mm.is_finite() && *mm > 0.0) || !offset.is_finite() {
            return Err(CopeError::Size);
        }
        let inside = outside - 2.0 * wall;
        if inside <= 0.0 {
            return Err(CopeError::Wall { wall, outside });
        }
        if !(MIN..=90.0).contains(&angle.degrees()) {
            return Err(CopeError::Angle(angle));
        }
        let past = outside / 2.0 + offset.abs() - main / 2.0;
        if past > ROUNDING {
            return Err(CopeError::Wider { past });
        }
        Ok(Self { main, outside, inside, angle, offset, cut })
    }

    /// The same in the mirror.
    #[must_use]
    pub(crate) fn mirrored(&self) -> Self {
        Self { offset: -self.offset, ..*self }
    }

    /// Outside diameter of the branch, mm.
    pub const fn outside(&self) -> f64 {
        self.outside
    }

    /// Outside diameter of the main, mm.
    pub const fn main(&self) -> f64 {
        self.main
    }

    /// Between the axes.
    pub const fn angle(&self) -> Angle {
        self.angle
    }

    /// From axis to axis, mm.
    pub const fn offset(&self) -> f64 {
        self.offset
    }

    /// Where the outside of the branch meets the main, mm.
    pub fn outer(&self, phi: Angle) -> f64 {
        self.met(self.main / 2.0, self.outside / 2.0, phi)
    }

    /// Where the bore of the branch meets the main, mm.
    pub fn inner(&self, phi: Angle) -> f64 {
        self.met(self.main / 2.0, self.inside / 2.0, phi)
    }

    /// The line to cut along on the outside of the branch, mm.
    pub fn line(&self, phi: Angle) -> f64 {
        match self.cut {
            Cut::Fitted => self.outer(phi),
            // Within the wall s is concave in ρ: its greatest is where its slope is 0, or at
            // a face of the wall.
            Cut::Square => {
                let (radius, sine) = (self.main / 2.0, phi.sin());
                let slope = phi.cos() * self.angle.cos();
                let aside = -radius * slope / num::hypot(slope, sine) * sine.signum();
                let rho =
                    ((aside - self.offset) / sine).clamp(self.inside / 2.0, self.outside / 2.0);
                let faces = self.inner(phi).max(self.outer(phi));
                if rho.is_nan() { faces } else { faces.max(self.met(radius, rho, phi)) }
            }
        }
    }

    /// The long point: the least s of the line, mm. The node of the axes is this far beyond it.
    pub fn long(&self) -> f64 {
        -extreme(|phi| -self.line(phi))
    }

    /// The short point: the greatest s of the line, mm.
    pub fn short(&self) -> f64 {
        extreme(|phi| self.line(phi))
    }

    /// Where a line of the branch at radius ρ meets a main of this radius.
    pub(super) fn met(&self, main: f64, rho: f64, phi: Angle) -> f64 {
        let aside = rho * phi.sin() + self.offset;
        let above = (main * main - aside * aside).max(0.0).sqrt();
        (above - rho * phi.cos() * self.angle.cos()) / self.angle.sin()
    }
}

/// The greatest value of a smooth function of φ.
pub(super) fn extreme(f: impl Fn(Angle) -> f64) -> f64 {
    let step = 360.0 / f64::from(STEPS);
    let at = |degrees: f64| f(Angle::from_degrees(degrees));
    let sampled = (0..STEPS).map(|i| f64::from(i) * step).map(|degrees| (degrees, at(degrees)));
    let start = (0.0, f64::NEG_INFINITY);
    let (best, max) = sampled.fold(start, |best, s| if s.1 > best.1 { s } else { best });
    let (mut from, mut to) = (best - step, best + step);
    for _ in 0..80 {
        let third = (to - from) / 3.0;
        match at(from + third) < at(to - third) {
            true => from += third,
            false => to -= third,
        }
    }
    at(from).max(max)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn degrees(d: f64) -> Angle {
        Angle::from_degrees(d)
    }

    fn cope(main: f64, outside: f64, angle: f64, offset: f64) -> Cope {
        Cope::new(main, outside, outside / 10.0, degrees(angle), offset, Cut::Fitted).unwrap()
    }

    /// Builders' note: equal 1-1/2 in tubes at 90° are notched by one radius, 0.75 in.
    #[test]
    fn equal_tubes_are_notched_by_a_radius() {
        let equal = cope(38.1, 38.1, 90.0, 0.0);
        assert!((equal.short() - equal.long() - 0.75 * 25.4).abs() < 1e-9);
        // Their saddle is two planes: s = r |cos φ|.
        for d in 0..360 {
            let phi = degrees(f64::from(d));
            assert!((equal.outer(phi) - 19.05 * phi.cos().abs()).abs() < 1e-6, "{d}°");
        }
    }

    /// Computed from the development for 60°, both radii 0.75 in: s(0°) 0.4330,
    /// s(90°) 0, s(180°) 1.2990 in.
    #[test]
    fn equal_tubes_at_60_degrees() {
        let equal = cope(38.1, 38.1, 60.0, 0.0);
        for (phi, wanted) in [(0.0, 0.4330), (90.0, 0.0), (180.0, 1.2990)] {
            let is = equal.outer(degrees(phi)) / 25.4;
            assert!((is - wanted).abs() < 5e-5, "{phi}: {is}");
        }
    }

    /// An independent intersection: the line of the branch is walked in space and the
    /// distance from the main's axis bisected, without the development's formula.
    fn walked(cope: &Cope, rho: f64, phi: Angle) -> f64 {
        let (theta, e) = (cope.angle, cope.offset);
        let distance = |s: f64| {
            // The main lies along x. Axis of the branch, its heel, and their cross product.
            let axis = [theta.cos(), 0.0, theta.sin()];
            let heel = [-theta.sin(), 0.0, theta.cos()];
            let side = [
                axis[1] * heel[2] - axis[2] * heel[1],
                axis[2] * heel[0] - axis[0] * heel[2],
                axis[0] * heel[1] - axis[1] * heel[0],
            ];
            let point: Vec<f64> = (0..3)
                .map(|i| s * axis[i] + rho * phi.cos() * heel[i] + (rho * phi.sin() + e) * side[i])
                .collect();
            (point[1] * point[1] + point[2] * point[2]).sqrt()
        };
        // Where the line is nearest to the main's axis, and far outside.
        let (mut inside, mut outside) = (-rho * phi.cos() * theta.cos() / theta.sin(), 1e5);
        for _ in 0..200 {
            let middle = 0.5 * (inside + outside);
            match distance(middle) < cope.main / 2.0 {
                true => inside = middle,
                false => outside = middle,
            }
        }
        0.5 * (inside + outside)
    }

    proptest! {
        #[test]
        fn the_development_meets_two_cylinders_cut_numerically(
            main in 10.0..200.0f64, share in 0.05..1.0f64, aside in -1.0..1.0f64,
            angle in 15.0..90.0f64, wall in 0.02..0.45f64, phi in 0.0..360.0f64,
        ) {
            let outside = main * share;
            let offset = aside * (main - outside) / 2.0;
            let cope = Cope::new(
                main, outside, wall * outside, degrees(angle), offset, Cut::Fitted).unwrap();
            let phi = degrees(phi);
            let off = (cope.outer(phi) - walked(&cope, outside / 2.0, phi)).abs();
            prop_assert!(off < 1e-6, "outside off by {off}");
            let off = (cope.inner(phi) - walked(&cope, cope.inside / 2.0, phi)).abs();
            prop_assert!(off < 1e-6, "inside off by {off}");
        }

        #[test]
        fn a_saddle_without_offset_is_the_same_on_both_sides(
            main in 10.0..200.0f64, share in 0.05..1.0f64, angle in 15.0..90.0f64,
            phi in 0.0..360.0f64, aside in -1.0..1.0f64,
        ) {
            let middle = cope(main, main * share, angle, 0.0);
            let (right, left) = (degrees(phi), degrees(-phi));
            prop_assert!((middle.outer(right) - middle.outer(left)).abs() < 1e-9);
            // At 90° heel and throat are alike, and an offset is the mirror of its reverse.
            let square = cope(main, main * share, 90.0, 0.0);
            prop_assert!((square.outer(right) - square.outer(degrees(180.0 - phi))).abs() < 1e-9);
            let offset = aside * main * (1.0 - share) / 2.0;
            let one = cope(main, main * share, angle, offset).outer(right);
            let other = cope(main, main * share, angle, -offset).outer(left);
            prop_assert!((one - other).abs() < 1e-9);
        }

        #[test]
        fn a_cut_square_through_the_wall_leaves_nothing_inside_the_main(
            main in 20.0..200.0f64, share in 0.1..1.0f64, angle in 15.0..90.0f64,
            aside in -1.0..1.0f64, wall in 0.02..0.3f64, phi in 0.0..360.0f64, depth in 0.0..1.0f64,
        ) {
            let outside = main * share;
            let cope = Cope::new(main, outside, wall * outside, degrees(angle),
                aside * (main - outside) / 2.0, Cut::Square).unwrap();
            let rho = cope.inside / 2.0 + depth * wall * outside;
            let phi = degrees(phi);
            prop_assert!(cope.line(phi) >= walked(&cope, rho, phi) - 1e-6);
            prop_assert!(cope.long() <= cope.line(phi) + 1e-9 && cope.line(phi) <= cope.short() + 1e-9);
        }
    }

    #[test]
    fn a_square_cut_touches_inside_first() {
        let fitted = Cope::new(60.3, 48.3, 3.2, degrees(90.0), 0.0, Cut::Fitted).unwrap();
        let square = Cope::new(60.3, 48.3, 3.2, degrees(90.0), 0.0, Cut::Square).unwrap();
        // At the sides: √(30.15² − 24.15²) on the outside, √(30.15² − 20.95²) in the bore.
        assert!((fitted.long() - 18.049_931).abs() < 1e-5, "{}", fitted.long());
        assert!((square.long() - 21.682_251).abs() < 1e-5, "{}", square.long());
        assert!((fitted.short() - 30.15).abs() < 1e-9 && (square.short() - 30.15).abs() < 1e-9);
    }

    #[test]
    fn refuses_what_cannot_be_coped() {
        let new = |main, outside, wall, angle, offset| {
            Cope::new(main, outside, wall, degrees(angle), offset, Cut::Fitted).unwrap_err()
        };
        assert_eq!(new(38.0, 48.3, 2.0, 90.0, 0.0), CopeError::Wider { past: 48.3 / 2.0 - 19.0 });
        assert!(matches!(new(60.0, 40.0, 2.0, 90.0, -11.0), CopeError::Wider { .. }));
        assert_eq!(new(60.0, 40.0, -2.0, 90.0, 0.0), CopeError::Size);
        assert_eq!(new(60.0, 40.0, 20.0, 90.0, 0.0), CopeError::Wall { wall: 20.0, outside: 40.0 });
        assert_eq!(new(60.0, 40.0, 2.0, 120.0, 0.0), CopeError::Angle(degrees(120.0)));
        assert_eq!(new(f64::NAN, 40.0, 2.0, 90.0, 0.0), CopeError::Size);
    }
}

//! Where a shape lies: mirrored or not, turned, then shifted.

use crate::num::Angle;
use kurbo::Point;
use kurbo::Vec2;

/// A rigid motion: first mirrored across the y axis if asked, then turned about the origin, then shifted.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Place {
    /// Turned over, left for right, before everything else.
    pub mirrored: bool,
    /// Anticlockwise about the origin.
    pub rotation: Angle,
    /// Added last.
    pub shift: Vec2,
}

impl Place {
    /// A shift alone.
    pub fn at(point: Point) -> Self {
        Self { shift: point.to_vec2(), ..Self::default() }
    }

    /// A turn about the origin, then a shift.
    pub fn rotated(rotation: Angle, to: Point) -> Self {
        Self { mirrored: false, rotation, shift: to.to_vec2() }
    }

    /// The image of a point.
    pub fn apply(&self, p: Point) -> Point {
        let x = if self.mirrored { -p.x } else { p.x };
        let (sin, cos) = (self.rotation.sin(), self.rotation.cos());
        Point::new(x * cos - p.y * sin + self.shift.x, x * sin + p.y * cos + self.shift.y)
    }

    /// The image of a direction: the same without the shift.
    pub fn direction(&self, v: Vec2) -> Vec2 {
        Self { shift: Vec2::ZERO, ..*self }.apply(v.to_point()).to_vec2()
    }

    /// The motion that undoes this one, which mirrors nothing.
    #[must_use]
    pub(crate) fn back(&self) -> Self {
        let back = Self::rotated(Angle::from_degrees(-self.rotation.degrees()), Point::ZERO);
        Self { shift: -back.apply(self.shift.to_point()).to_vec2(), ..back }
    }

    /// This motion first, then `next`.
    #[must_use]
    pub fn then(&self, next: &Self) -> Self {
        let rotation =
            if next.mirrored { -self.rotation.degrees() } else { self.rotation.degrees() };
        Self {
            mirrored: self.mirrored != next.mirrored,
            rotation: Angle::from_degrees((rotation + next.rotation.degrees()).rem_euclid(360.0)),
            shift: next.apply(self.shift.to_point()).to_vec2(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_after_the_other_is_both() {
        let turns = [0.0, 90.0, 37.5, 200.0];
        for (i, a) in turns.iter().enumerate() {
            for (j, b) in turns.iter().enumerate() {
                let place = |rotation: &f64, mirrored| Place {
                    mirrored,
                    rotation: Angle::from_degrees(*rotation),
                    shift: Vec2::new(3.0 * rotation, 1.0),
                };
                let (first, second) = (place(a, i % 2 == 1), place(b, j % 2 == 1));
                let p = Point::new(2.0, 5.0);
                let stepwise = second.apply(first.apply(p));
                assert!((first.then(&second).apply(p) - stepwise).hypot() < 1e-9);
            }
        }
    }
}

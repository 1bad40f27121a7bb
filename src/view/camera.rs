//! From where a part is seen.

use crate::geom::Point;
use crate::geom::Space;
use crate::geom::cross;
use crate::geom::dot;
use crate::geom::length;
use crate::geom::minus;
use crate::geom::plus;
use crate::geom::times;
use crate::num::Angle;

/// A parallel projection: three unit directions, square to each other.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Camera {
    /// To the right on paper.
    pub right: Space,
    /// Up on paper.
    pub up: Space,
    /// Towards the viewer.
    pub near: Space,
}

/// Azimuths within a quarter of a turn, degrees: that of the isometric view first, then two
/// beside it for faces that it would see edge-on. Our choice.
const AZIMUTHS: [f64; 3] = [45.0, 27.0, 63.0];

/// Above the horizon, degrees: that of the isometric view.
const RISE: f64 = 35.264_389_682_754_654;

impl Camera {
    /// Seen from a direction, with z as far up on paper as can be; x where that is z itself.
    pub fn towards(near: Space) -> Self {
        let near = times(near, 1.0 / length(near));
        let of = |up: Space| minus(up, times(near, dot(near, up)));
        let upright = of([0.0, 0.0, 1.0]);
        let up = if length(upright) > 1e-6 { upright } else { of([1.0, 0.0, 0.0]) };
        let up = times(up, 1.0 / length(up));
        Self { right: cross(up, near), up, near }
    }

    /// All directions that are tried, in the order of preference among equal ones: the eight
    /// corners of a box, those above it first and the one at the lower right of the plan before
    /// them, then sixteen beside them.
    pub fn all() -> Vec<Self> {
        let mut all = Vec::with_capacity(24);
        for azimuth in AZIMUTHS {
            for rise in [RISE, -RISE] {
                all.extend([-90.0, 180.0, 0.0, 90.0].map(|quarter| {
                    let (round, rise) =
                        (Angle::from_degrees(azimuth + quarter), Angle::from_degrees(rise));
                    let flat = rise.cos();
                    Self::towards([round.cos() * flat, round.sin() * flat, rise.sin()])
                }));
            }
        }
        all
    }

    /// Where a point or a direction is seen on paper.
    pub fn paper(&self, p: Space) -> Point {
        Point::new(dot(p, self.right), dot(p, self.up))
    }

    /// How far a direction leads towards the viewer.
    pub(crate) fn faces(&self, normal: Space) -> f64 {
        dot(normal, self.near)
    }

    /// The brightness of a surface, 0 to 1, by its normal: the light is above to the left.
    pub(super) fn light(&self, normal: Space) -> f64 {
        let from =
            plus(plus(times(self.right, -0.35), times(self.up, 0.80)), times(self.near, 0.49));
        (0.5 + 0.5 * dot(normal, from)).clamp(0.0, 1.0)
    }
}

//! Convex pieces: what lies between discs, and all within a radius of that.

use crate::geom::Space;
use crate::geom::dot;
use crate::geom::length;
use crate::geom::minus;
use crate::geom::plus;
use crate::geom::times;

/// A flat round disc in space; of radius 0 a point.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Disc {
    /// Its centre, mm.
    pub centre: Space,
    /// Square to it, of length 1.
    pub normal: Space,
    /// mm.
    pub radius: f64,
}

impl Disc {
    /// A point.
    pub const fn point(centre: Space) -> Self {
        Self { centre, normal: [0.0, 0.0, 1.0], radius: 0.0 }
    }

    /// Its place that is furthest in a direction.
    fn furthest(&self, way: Space) -> Space {
        if self.radius == 0.0 {
            return self.centre;
        }
        // Twice: of a direction that is all but square to the disc, the first leaves noise out of its plane.
        let in_plane = |way: Space| minus(way, times(self.normal, dot(way, self.normal)));
        let flat = in_plane(in_plane(way));
        let long = length(flat);
        match long > 0.0 {
            true => plus(self.centre, times(flat, self.radius / long)),
            false => self.centre,
        }
    }

    /// How far it reaches from its centre along each axis.
    fn reach(&self) -> Space {
        self.normal.map(|n| self.radius * (1.0 - n * n).max(0.0).sqrt())
    }
}

/// All within a radius of the hull of some discs.
#[derive(Clone, Debug)]
pub struct Convex {
    discs: Vec<Disc>,
    radius: f64,
    min: Space,
    max: Space,
}

impl Convex {
    /// The hull of discs, and what is within a radius of it, mm. There must be a disc.
    pub fn new(discs: Vec<Disc>, radius: f64) -> Self {
        let (mut min, mut max) = ([f64::INFINITY; 3], [f64::NEG_INFINITY; 3]);
        for disc in &discs {
            let reach = disc.reach();
            for i in 0..3 {
                min[i] = min[i].min(disc.centre[i] - reach[i] - radius);
                max[i] = max[i].max(disc.centre[i] + reach[i] + radius);
            }
        }
        Self { discs, radius, min, max }
    }

    /// The hull of points, and what is within a radius of it, mm.
    pub fn points(points: impl IntoIterator<Item = Space>, radius: f64) -> Self {
        Self::new(points.into_iter().map(Disc::point).collect(), radius)
    }

    /// The discs it lies between.
    pub fn discs(&self) -> &[Disc] {
        &self.discs
    }

    /// How far it reaches beyond these, mm.
    pub const fn radius(&self) -> f64 {
        self.radius
    }

    /// The box round it: its lowest and its highest corner.
    pub const fn bounds(&self) -> [Space; 2] {
        [self.min, self.max]
    }

    /// The same with more metal all round, mm.
    #[must_use]
    pub fn grown(&self, by: f64) -> Self {
        Self::new(self.discs.clone(), self.radius + by)
    }

    /// The place of its core that is furthest in a direction.
    pub(super) fn furthest(&self, way: Space) -> Space {
        let mut best = self.discs[0].furthest(way);
        let mut far = dot(best, way);
        for disc in &self.discs[1..] {
            let place = disc.furthest(way);
            let reach = dot(place, way);
            if reach > far {
                (best, far) = (place, reach);
            }
        }
        best
    }

    /// A place within its core.
    pub(super) fn middle(&self) -> Space {
        let sum = self.discs.iter().fold([0.0; 3], |sum, disc| plus(sum, disc.centre));
        times(sum, 1.0 / self.discs.len() as f64)
    }
}

/// How far two boxes are apart at least, mm.
pub(super) fn box_gap([a_min, a_max]: [Space; 2], [b_min, b_max]: [Space; 2]) -> f64 {
    let off = |i: usize| (a_min[i] - b_max[i]).max(b_min[i] - a_max[i]).max(0.0);
    length([off(0), off(1), off(2)])
}

/// The box round boxes.
pub(super) fn box_of<'a>(pieces: impl Iterator<Item = &'a Convex>) -> [Space; 2] {
    let none = [[f64::INFINITY; 3], [f64::NEG_INFINITY; 3]];
    pieces.fold(none, |[min, max], piece| {
        let [low, high] = piece.bounds();
        [0, 1].map(|side| {
            [0, 1, 2].map(|i| match side {
                0 => f64::min(min[i], low[i]),
                _ => f64::max(max[i], high[i]),
            })
        })
    })
}

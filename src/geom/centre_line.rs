//! The centre line of a round tube: straight legs joined by bends.

use crate::geom::frame::Space;
use crate::geom::frame::cross;
use crate::geom::frame::dot;
use crate::geom::frame::length;
use crate::geom::frame::minus;
use crate::geom::frame::plus;
use crate::geom::frame::times;
use crate::geom::frame::unit;
use crate::geom::near::NEAR;
use crate::num;
use crate::num::Angle;

/// Straight legs joined by bends. Lengths are mm.
#[derive(Clone, Debug)]
pub struct CentreLine {
    /// The legs, in order.
    pub legs: Vec<Leg>,
    /// The bend after each leg but the last.
    pub bends: Vec<TubeBend>,
}

/// A straight leg.
#[derive(Clone, Copy, Debug)]
pub struct Leg {
    /// Where it begins.
    pub from: Space,
    /// Its direction, of length 1.
    pub along: Space,
    /// How long it is.
    pub long: f64,
}

/// A bend: the line turns about a centre, from one direction to another.
#[derive(Clone, Copy, Debug)]
pub struct TubeBend {
    centre: Space,
    out: Space,
    along: Space,
    radius: f64,
    angle: Angle,
}

/// Sharper bends have no place between their legs, degrees. Our choice.
const SHARPEST: f64 = 179.0;

impl CentreLine {
    /// The line through these points, its corners bent to a radius; `None` if they do not fit in.
    pub fn new(points: &[Space], radius: f64) -> Option<Self> {
        let ways: Vec<Space> = points.windows(2).map(|pair| minus(pair[1], pair[0])).collect();
        let long: Vec<f64> = ways.iter().map(|way| length(*way)).collect();
        if long.iter().any(|mm| *mm < NEAR) {
            return None;
        }
        let along: Vec<Space> =
            ways.iter().zip(&long).map(|(way, mm)| times(*way, 1.0 / mm)).collect();
        let mut back = vec![0.0; points.len()];
        let mut bends = Vec::new();
        for (i, pair) in along.windows(2).enumerate() {
            let (u, v) = (pair[0], pair[1]);
            let angle = Angle::of(dot(u, v), length(cross(u, v)));
            if angle.degrees() > SHARPEST {
                return None;
            }
            back[i + 1] = radius * Angle::from_degrees(angle.degrees() / 2.0).tan();
            let start = minus(points[i + 1], times(u, back[i + 1]));
            let side = minus(v, times(u, dot(u, v)));
            let inward = if length(side) > 0.0 { unit(side) } else { [0.0; 3] };
            let centre = plus(start, times(inward, radius));
            bends.push(TubeBend { centre, out: times(inward, -1.0), along: u, radius, angle });
        }
        let mut legs = Vec::new();
        for (i, along) in along.iter().enumerate() {
            let left = long[i] - back[i] - back[i + 1];
            if left < -NEAR {
                return None;
            }
            let from = plus(points[i], times(*along, back[i]));
            legs.push(Leg { from, along: *along, long: left.max(0.0) });
        }
        Some(Self { legs, bends })
    }

    /// The same with x the other way.
    #[must_use]
    pub fn mirrored(&self) -> Self {
        let over = |[x, y, z]: Space| [-x, y, z];
        let leg = |leg: &Leg| Leg { from: over(leg.from), along: over(leg.along), ..*leg };
        let bend = |bend: &TubeBend| TubeBend {
            centre: over(bend.centre),
            out: over(bend.out),
            along: over(bend.along),
            ..*bend
        };
        Self {
            legs: self.legs.iter().map(leg).collect(),
            bends: self.bends.iter().map(bend).collect(),
        }
    }

    /// The distance of a place from it, if that is neither before nor behind its ends.
    pub fn distance(&self, p: Space) -> Option<f64> {
        let last = self.legs.len() - 1;
        let leg = |(i, leg): (usize, &Leg)| {
            let from = minus(p, leg.from);
            let along = dot(from, leg.along);
            let is_beyond = (i == 0 && along < NEAR) || (i == last && along > leg.long - NEAR);
            let nearest = times(leg.along, along.clamp(0.0, leg.long));
            (!is_beyond).then(|| length(minus(from, nearest)))
        };
        let legs = self.legs.iter().enumerate().filter_map(leg);
        legs.chain(self.bends.iter().filter_map(|bend| bend.distance(p))).reduce(f64::min)
    }

    /// How long it is.
    pub fn long(&self) -> f64 {
        let legs: f64 = self.legs.iter().map(|leg| leg.long).sum();
        legs + self.bends.iter().map(TubeBend::long).sum::<f64>()
    }

    /// The place at this distance along it.
    pub fn at(&self, along: f64) -> Space {
        let mut left = along.max(0.0);
        for (i, leg) in self.legs.iter().enumerate() {
            if left <= leg.long || i == self.bends.len() {
                return plus(leg.from, times(leg.along, left.min(leg.long)));
            }
            left -= leg.long;
            let bend = &self.bends[i];
            if left <= bend.long() {
                return bend.at(left / bend.long());
            }
            left -= bend.long();
        }
        self.legs[0].from
    }

    /// The start and end of each leg along the line.
    pub fn spans(&self) -> Vec<[f64; 2]> {
        let mut from = 0.0;
        let bends = self.bends.iter().map(TubeBend::long).chain([0.0]);
        let span = |(leg, bend): (&Leg, f64)| {
            let span = [from, from + leg.long];
            from = span[1] + bend;
            span
        };
        self.legs.iter().zip(bends).map(span).collect()
    }
}

impl Leg {
    /// Where it ends.
    pub fn end(&self) -> Space {
        plus(self.from, times(self.along, self.long))
    }
}

impl TubeBend {
    /// Length of its arc.
    pub fn long(&self) -> f64 {
        self.radius * self.angle.radians()
    }

    /// How far a place beside it is from it.
    fn distance(&self, p: Space) -> Option<f64> {
        let from = minus(p, self.centre);
        let (x, y) = (dot(from, self.out), dot(from, self.along));
        let up = dot(from, cross(self.out, self.along));
        let turned = Angle::of(x, y).degrees().rem_euclid(360.0);
        let off = num::hypot(num::hypot(x, y) - self.radius, up);
        (turned <= self.angle.degrees()).then_some(off)
    }

    /// The place at a share of it.
    fn at(&self, share: f64) -> Space {
        let angle = Angle::from_degrees(self.angle.degrees() * share);
        let out = times(self.out, self.radius * angle.cos());
        plus(self.centre, plus(out, times(self.along, self.radius * angle.sin())))
    }

    /// Its bulge in a plane along which it lies: positive where it turns left.
    pub fn bulge(&self) -> f64 {
        let left = self.along[0] * -self.out[1] - self.along[1] * -self.out[0];
        Angle::from_degrees(self.angle.degrees() / 4.0).tan() * left.signum()
    }
}

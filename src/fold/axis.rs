//! The axis of a straight tube in space.

use crate::geom::Frame;
use crate::geom::Space;
use crate::geom::Vec2;
use crate::geom::cross;
use crate::geom::dot;
use crate::geom::length;
use crate::geom::minus;
use crate::geom::plus;
use crate::geom::times;
use crate::part::Cope;
use crate::part::Tube;

/// A straight line without ends.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Axis {
    /// A point of it, mm.
    pub(crate) at: Space,
    /// Its direction, of length 1.
    pub(crate) along: Space,
}

impl Axis {
    /// Of a tube that is cut out of a formed part; `frame` is that of the face it is placed by.
    pub(crate) fn of_tube(tube: &Tube, frame: &Frame) -> Self {
        Self { at: frame.at(tube.at), along: direction(frame, tube.along) }
    }

    /// Of the tube to which a face of some thickness is cut, mm.
    pub(crate) fn of_cope(cope: &Cope, frame: &Frame, thickness: f64) -> Self {
        let along = direction(frame, [cope.along.x, cope.along.y, cope.rise]);
        Self {
            at: frame.point(cope.at, cope.above - thickness / 2.0),
            along: times(along, 1.0 / length(along)),
        }
    }

    /// How far along it from its point a place lies, mm.
    pub(crate) fn reach(&self, p: Space) -> f64 {
        dot(minus(p, self.at), self.along)
    }

    /// From it to a place, mm.
    pub(crate) fn distance(&self, p: Space) -> f64 {
        length(minus(minus(p, self.at), times(self.along, self.reach(p))))
    }

    /// A frame whose z runs along it, from its point.
    pub(crate) fn frame(&self) -> Frame {
        let off = if self.along[2].abs() < 0.9 { [0.0, 0.0, 1.0] } else { [1.0, 0.0, 0.0] };
        let x = cross(off, self.along);
        let x = times(x, 1.0 / length(x));
        Frame { origin: self.at, x, y: cross(self.along, x), z: self.along }
    }
}

fn direction(frame: &Frame, [x, y, z]: Space) -> Space {
    plus(frame.direction(Vec2::new(x, y)), times(frame.z, z))
}

//! How the holes of two plates of a joint meet in space.

use crate::check::Meeting;
use crate::diag::HoleId;
use crate::geom::Frame;
use crate::geom::Space;
use crate::geom::dot;
use crate::geom::length;
use crate::geom::minus;
use crate::geom::plus;
use crate::geom::times;
use crate::joint::Bolted;
use crate::joint::Plate;
use crate::num;
use crate::part::Hole;
use crate::solve::solved::Solved;

/// A plate of a joint in one of its places.
pub(super) struct Standing {
    /// Its place among those of the machine.
    pub(super) place: usize,
    holes: Vec<Seat>,
}

/// A hole in space.
pub(super) struct Seat {
    /// Its centre on the top side, and on the bottom side.
    pub(super) ends: [Space; 2],
    /// Its direction, out of the top side.
    pub(super) axis: Space,
    /// How far a bolt may be off its centre, mm; along a slot, where that is more.
    allowed: f64,
}

impl Standing {
    /// A plate where a frame brings its part.
    pub(super) fn of(
        of: &Solved,
        frame: &Frame,
        place: usize,
        (bolted, plate): (&Bolted, &Plate),
    ) -> Self {
        let bolt = bolted.joint.bolt.measure("diameter");
        let holes = of.part.holes().filter(|(_, hole)| hole.is_of(&plate.hole));
        let seat = |(id, hole): (HoleId, &Hole)| {
            let face = frame.within(&of.folded.faces[id.face].frame);
            let bounds = hole.outline.bounds();
            let long = bounds.width().max(bounds.height()).max(plate.passage);
            Seat {
                ends: [0.0, -of.part.thickness].map(|height| face.point(hole.at, height)),
                axis: face.z,
                // A thread holds the bolt where it is.
                allowed: if plate.thread.is_some() { 0.0 } else { ((long - bolt) / 2.0).max(0.0) },
            }
        };
        Self { place, holes: holes.map(seat).collect() }
    }

    /// Its holes.
    pub(super) fn holes(&self) -> &[Seat] {
        &self.holes
    }
}

/// How the holes of two plates meet, each with the nearest that is free; `stack` is what lies between them,
/// and how much more or less that may be, mm.
pub(super) fn meeting([one, other]: [&Standing; 2], [stack, stack_off]: [f64; 2]) -> Meeting {
    let mut free: Vec<&Seat> = other.holes.iter().collect();
    let mut worst = (f64::NEG_INFINITY, 0.0, 0.0);
    let (mut tilt, mut gap) = (0.0_f64, [f64::INFINITY, f64::NEG_INFINITY]);
    for seat in &one.holes {
        let aside = |of: &Seat| {
            let way = minus(centre(of), seat.ends[0]);
            length(minus(way, times(seat.axis, dot(way, seat.axis))))
        };
        let near = (0..free.len()).min_by(|a, b| aside(free[*a]).total_cmp(&aside(free[*b])));
        let Some(of) = near.map(|near| free.swap_remove(near)) else { break };
        let (off, allowed) = (aside(of), seat.allowed + of.allowed);
        if off - allowed > worst.0 {
            worst = (off - allowed, off, allowed);
        }
        let level = |at: Space| dot(minus(at, seat.ends[0]), seat.axis);
        let own = seat.ends.map(level);
        let its = of.ends.map(level);
        let apart = (its[0].min(its[1]) - own[0]).max(own[1] - its[0].max(its[1]));
        gap = [gap[0].min(apart), gap[1].max(apart)];
        tilt = tilt.max(num::acos(dot(seat.axis, of.axis).abs().min(1.0)).degrees());
    }
    Meeting { off: worst.1, allowed: worst.2, tilt, gap, stack, stack_off }
}

fn centre(of: &Seat) -> Space {
    times(plus(of.ends[0], of.ends[1]), 0.5)
}

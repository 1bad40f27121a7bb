//! The plates of a joint where the machine has them.

use crate::check::MEASURED;
use crate::check::Meeting;
use crate::check::Placed;
use crate::diag::HoleId;
use crate::fold::clash_between;
use crate::geom::Frame;
use crate::geom::Space;
use crate::geom::dot;
use crate::geom::length;
use crate::geom::minus;
use crate::geom::plus;
use crate::geom::times;
use crate::joint::Between;
use crate::joint::Bolted;
use crate::joint::Plate;
use crate::num;
use crate::part::Hole;
use crate::solve::machine::Machine;
use crate::solve::solved::Solved;

/// A plate of a joint in one of its places.
struct Standing<'a> {
    of: &'a Solved,
    frame: &'a Frame,
    /// Its place among those of the machine.
    place: usize,
    holes: Vec<Seat>,
}

/// A hole in the machine.
struct Seat {
    /// Its centre on the top side, and on the bottom side.
    ends: [Space; 2],
    /// Its direction, out of the top side.
    axis: Space,
    /// How far a bolt may be off its centre, mm; along a slot, where that is more.
    allowed: f64,
}

/// A plate of the stack, by the number of its layer, in its places.
type InPlaces<'a, 'b> = (usize, &'b Plate, Vec<Standing<'a>>);

/// The plates of a joint that are placed, two by two.
pub(super) fn placed<'b>(
    solved: &[Solved],
    machine: Option<&Machine>,
    bolted: &'b Bolted,
) -> Vec<Placed<'b>> {
    let Some(machine) = machine else { return Vec::new() };
    let layers = bolted.layers.iter().enumerate();
    let plates = layers.filter_map(|(i, layer)| match layer {
        Between::Plate(plate) => Some((i, plate.as_ref())),
        _ => None,
    });
    let plates: Vec<InPlaces> = plates
        .map(|(i, plate)| (i, plate, standing(solved, machine, bolted, plate)))
        .filter(|(.., places)| !places.is_empty())
        .collect();
    let mut all = Vec::new();
    for (i, one) in plates.iter().enumerate() {
        for (j, other) in plates.iter().enumerate().skip(i + 1) {
            all.extend(pairs(bolted, one, other, j == i + 1));
        }
    }
    all
}

fn standing<'a>(
    solved: &'a [Solved],
    machine: &'a Machine,
    bolted: &Bolted,
    plate: &Plate,
) -> Vec<Standing<'a>> {
    let Some(of) = solved.iter().find(|of| of.name == plate.part) else { return Vec::new() };
    let places = machine.places.iter().enumerate().filter(|(_, (name, _))| *name == plate.part);
    let bolt = bolted.joint.bolt.measure("diameter");
    let standing = |(place, (_, frame)): (usize, &'a (String, Frame))| {
        let holes = of.part.holes().filter(|(_, hole)| hole.is_of(&plate.hole));
        let seat = |(id, hole): (HoleId, &Hole)| {
            let face = frame.within(&of.folded.faces[id.face].frame);
            let bounds = hole.outline.bounds();
            let long = bounds.width().max(bounds.height()).max(plate.passage);
            Seat {
                ends: [0.0, -of.part.thickness].map(|height| face.point(hole.at, height)),
                axis: face.z,
                // A thread locates the bolt.
                allowed: if plate.thread.is_some() { 0.0 } else { ((long - bolt) / 2.0).max(0.0) },
            }
        };
        Standing { of, frame, place, holes: holes.map(seat).collect() }
    };
    places.map(standing).collect()
}

/// Two plates in their places: each piece of the one of which fewer are placed, with the nearest of
/// the other; and whatever pieces overlap.
fn pairs<'b>(
    bolted: &Bolted,
    (i, one, ones): &InPlaces<'_, 'b>,
    (j, other, others): &InPlaces<'_, 'b>,
    are_neighbours: bool,
) -> Vec<Placed<'b>> {
    let between = &bolted.layers[i + 1..*j];
    let stack: f64 = between.iter().map(Between::clamped).sum();
    let laid = [one, other].map(|plate| plate.thickness_off);
    let stack_off = between.iter().map(Between::over).sum::<f64>() + laid.iter().sum::<f64>();
    let mut all = Vec::new();
    let flipped = ones.len() > others.len();
    let (few, many) = if flipped { (others, ones) } else { (ones, others) };
    for own in few {
        let there: Vec<&Standing> = many.iter().filter(|of| of.place != own.place).collect();
        let met = there.iter().map(|of| {
            let meeting = meeting([own, of], stack, stack_off);
            let far = meeting.off + (meeting.gap[1] - stack).abs();
            (*of, meeting, far)
        });
        let mut met: Vec<(&Standing, Meeting, f64)> = met.collect();
        met.sort_by(|a, b| a.2.total_cmp(&b.2));
        for (k, (of, meeting, _)) in met.into_iter().enumerate() {
            let collide = collide(own, of);
            let meeting = (k == 0 && are_neighbours).then_some(meeting);
            if collide || meeting.is_some() {
                all.push(Placed { plates: [*one, *other], collide, meeting });
            }
        }
    }
    all
}

/// How the holes of two plates meet, each with the nearest that is free.
fn meeting([one, other]: [&Standing; 2], stack: f64, stack_off: f64) -> Meeting {
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

/// Whether two parts overlap by more than the accuracy of points: in their places, and moved apart
/// by that along the axes of each.
fn collide(one: &Standing, other: &Standing) -> bool {
    let clash = |by: Space| {
        let moved = Frame { origin: plus(other.frame.origin, by), ..*other.frame };
        let own = (&one.of.part, &*one.of.folded, one.frame);
        clash_between([own, (&other.of.part, &*other.of.folded, &moved)]).is_some()
    };
    let first = |of: &Standing| of.holes.first().map(|seat| seat.axis);
    let axes = [one, other].into_iter().flat_map(|of| {
        [first(of), Some(of.frame.x), Some(of.frame.y), Some(of.frame.z)].into_iter().flatten()
    });
    clash([0.0; 3])
        && axes.flat_map(|axis| [axis, times(axis, -1.0)]).all(|way| clash(times(way, MEASURED)))
}

//! The space a link sweeps: over its whole adjustment, and wherever its far pin moves.

use crate::geom::NEAR;
use crate::geom::Space;
use crate::geom::cross;
use crate::geom::dot;
use crate::geom::length;
use crate::geom::minus;
use crate::geom::plus;
use crate::geom::times;
use crate::geom::unit;
use crate::machine::convex::Convex;
use crate::machine::convex::Disc;
use crate::machine::round::chords;
use crate::num::Angle;

/// A stretch of a link with round ends, from its near pin along it, mm.
#[derive(Clone, Copy, Debug)]
pub struct Zone {
    /// From where to where.
    pub along: [f64; 2],
    /// Half of its width.
    pub radius: f64,
}

/// How a link moves about its near pin.
#[derive(Clone, Debug, Default)]
pub struct Travel {
    /// Places to which its far pin moves, from the present one and from one to the next, each on an
    /// arc about the near pin.
    pub to: Vec<Space>,
    /// How far it swings to every side.
    pub swing: Angle,
}

/// The metal of a link whose pins are at two places, in all positions; nothing where the pins are
/// at one place.
pub fn swept([from, to]: [Space; 2], zones: &[Zone], travel: &Travel) -> Vec<Convex> {
    let way = minus(to, from);
    if length(way) <= NEAR {
        return Vec::new();
    }
    let along = unit(way);
    let mut pieces: Vec<Convex> =
        zones.iter().map(|zone| cone(from, along, zone, travel.swing)).collect();
    let there = travel.to.iter().map(|place| minus(*place, from));
    let ends: Vec<Space> = there.filter(|way| length(*way) > NEAR).map(unit).collect();
    // From where it is to each place, and from each place to the next of the list.
    let from_start = ends.iter().map(|end| [along, *end]);
    let in_turn = ends.windows(2).map(|pair| [pair[0], pair[1]]);
    for [start, end] in from_start.chain(in_turn) {
        for pair in fan(start, end, zones).windows(2) {
            let ways = [pair[0], pair[1]];
            pieces.extend(zones.iter().map(|zone| sector(from, ways, zone, travel.swing)));
        }
    }
    pieces.extend(
        ends.iter().flat_map(|end| zones.iter().map(|zone| cone(from, *end, zone, travel.swing))),
    );
    pieces
}

/// Directions from one to another in steps small enough for these zones.
fn fan(from: Space, to: Space, zones: &[Zone]) -> Vec<Space> {
    let (cos, sin) = (dot(from, to), length(cross(from, to)));
    let whole = Angle::of(cos, sin);
    let side = minus(to, times(from, cos));
    // Straight back there is no plane to swing in: any will do, and it is one of them.
    let side = match length(side) > 1e-9 {
        true => unit(side),
        false => return vec![from, to],
    };
    let reach = zones.iter().flat_map(|zone| zone.along).fold(0.0, |a: f64, b| a.max(b.abs()));
    let (steps, _) = chords(reach, whole.radians());
    let at = |i: usize| {
        let angle = Angle::from_degrees(whole.degrees() * i as f64 / steps as f64);
        plus(times(from, angle.cos()), times(side, angle.sin()))
    };
    (0..=steps).map(at).collect()
}

/// A zone between two directions, swinging to every side of each between them: both its ends, and
/// what the arc leaves of its chord.
fn sector(from: Space, ways: [Space; 2], zone: &Zone, swing: Angle) -> Convex {
    let half = length(minus(ways[1], ways[0])) / 2.0;
    // What swings is farther from the pin than what does not, by the cosine.
    let reach = zone.along[0].abs().max(zone.along[1].abs()) / swing.cos();
    let off = reach * (1.0 - (1.0 - half * half).max(0.0).sqrt());
    let discs = ways.into_iter().flat_map(|way| ends(from, way, zone, swing));
    Convex::new(discs.collect(), zone.radius + off)
}

/// A zone that swings to every side of a direction.
fn cone(from: Space, along: Space, zone: &Zone, swing: Angle) -> Convex {
    Convex::new(ends(from, along, zone, swing).to_vec(), zone.radius)
}

/// The ends of a zone that swings to every side of a direction.
fn ends(from: Space, along: Space, zone: &Zone, swing: Angle) -> [Disc; 2] {
    let at = |mm: f64| plus(from, times(along, mm));
    if swing.degrees() <= 0.0 {
        return zone.along.map(|mm| Disc::point(at(mm)));
    }
    // The near end swings back to its cosine; the far one lies within the flat before it.
    let [near, far] = zone.along;
    let (cos, sin, tan) = (swing.cos(), swing.sin(), swing.tan());
    let disc = |mm: f64, radius: f64| Disc { centre: at(mm), normal: along, radius };
    [disc(near.min(near * cos), (near * sin).abs()), disc(far, far.abs() * tan)]
}

/// Steeper swings no rod end allows. Our choice.
pub(crate) const STEEPEST: f64 = 60.0;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::machine::gjk::separation;

    /// A point beside the arc of the far pin: what is swept reaches it between its ends.
    #[test]
    fn a_link_sweeps_the_arc_of_its_far_pin_and_never_less() {
        let zones = [Zone { along: [0.0, 200.0], radius: 5.0 }];
        let turned = |degrees: f64| {
            let angle = Angle::from_degrees(degrees);
            [200.0 * angle.cos(), 200.0 * angle.sin(), 0.0]
        };
        let travel = Travel { to: vec![turned(40.0)], ..Travel::default() };
        let swept = swept([[0.0; 3], turned(0.0)], &zones, &travel);
        for degrees in [0.0, 7.3, 20.0, 33.3, 40.0] {
            let out = times(turned(degrees), 230.0 / 200.0);
            let ball = Convex::points([out], 1.0);
            let far = swept.iter().map(|piece| separation(piece, &ball).distance);
            let far = far.fold(f64::INFINITY, f64::min);
            assert!(far <= 24.0 + 1e-6 && far > 23.9, "{degrees}: {far}");
        }
    }

    #[test]
    fn a_link_that_swings_to_every_side_holds_every_position() {
        let zone = [Zone { along: [20.0, 180.0], radius: 8.0 }];
        let travel = Travel { swing: Angle::from_degrees(12.0), ..Travel::default() };
        let swept = swept([[0.0; 3], [0.0, 0.0, 200.0]], &zone, &travel);
        for (tilt, round) in [(0.0, 0.0), (12.0, 30.0), (11.9, 200.0), (6.0, 77.0)] {
            let (tilt, round) = (Angle::from_degrees(tilt), Angle::from_degrees(round));
            let way = [tilt.sin() * round.cos(), tilt.sin() * round.sin(), tilt.cos()];
            for mm in [20.0, 100.0, 180.0] {
                let place = Convex::points([times(way, mm)], 0.0);
                let far = separation(&swept[0].grown(-8.0), &place).distance;
                assert!(far < 1e-6, "{far} at {mm}");
            }
        }
    }

    /// The far pin moves to two places to either side of where it is: a point halfway between them,
    /// off both arcs from the start, lies on the arc from the one to the other.
    #[test]
    fn a_link_sweeps_from_one_place_of_its_travel_to_the_next() {
        let turned = |across: f64, up: f64| unit([200.0, across, up]);
        let zones = [Zone { along: [0.0, 200.0], radius: 6.0 }];
        let to = [turned(150.0, 150.0), turned(-150.0, 150.0)].map(|way| times(way, 200.0));
        let halfway = times(unit(plus(to[0], to[1])), 200.0);
        let near = |to: &[Space]| {
            let travel = Travel { to: to.to_vec(), ..Travel::default() };
            let swept = swept([[0.0; 3], [200.0, 0.0, 0.0]], &zones, &travel);
            let ball = Convex::points([halfway], 1.0);
            swept.iter().map(|p| separation(p, &ball).distance).fold(f64::INFINITY, f64::min)
        };
        assert!(near(&to) <= 1e-9, "{}", near(&to));
        // Back at the start in between, no arc comes near that point.
        assert!(near(&[to[0], [200.0, 0.0, 0.0], to[1]]) > 20.0);
    }

    /// Halfway along its arc a link swings off its path as far as at the ends of it.
    #[test]
    fn a_link_swings_all_along_its_travel() {
        let travel = Travel { to: vec![[0.0, 200.0, 0.0]], swing: Angle::from_degrees(10.0) };
        let zones = [Zone { along: [0.0, 200.0], radius: 6.0 }];
        let swept = swept([[0.0; 3], [200.0, 0.0, 0.0]], &zones, &travel);
        let (half, off) = (Angle::from_degrees(45.0), Angle::from_degrees(9.9));
        let way = [half.cos() * off.cos(), half.sin() * off.cos(), off.sin()];
        let place = Convex::points([times(way, 200.0)], 0.0);
        let far = swept.iter().map(|piece| separation(&piece.grown(-6.0), &place).distance);
        let far = far.fold(f64::INFINITY, f64::min);
        assert!(far < 1e-6, "{far}");
    }

    #[test]
    fn nothing_is_swept_between_pins_at_one_place() {
        let zones = [Zone { along: [0.0, 9.0], radius: 1.0 }];
        assert!(swept([[1.0; 3]; 2], &zones, &Travel::default()).is_empty());
    }
}

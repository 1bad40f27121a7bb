//! What a link sweeps: over its whole adjustment, and wherever its far pin goes.

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
    /// Half of what it measures across.
    pub radius: f64,
}

/// How a link moves about its near pin.
#[derive(Clone, Debug, Default)]
pub struct Travel {
    /// Places to which its far pin goes from where it is, each on an arc about the near pin.
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
    for place in &travel.to {
        let there = minus(*place, from);
        if length(there) <= NEAR {
            continue;
        }
        let ways = fan(along, unit(there), zones);
        for pair in ways.windows(2) {
            pieces.extend(zones.iter().map(|zone| sector(from, [pair[0], pair[1]], zone)));
        }
        let end = ways[ways.len() - 1];
        pieces.extend(zones.iter().map(|zone| cone(from, end, zone, travel.swing)));
    }
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

/// A zone between two directions: its corners, and what the arc leaves of its chord.
fn sector(from: Space, ways: [Space; 2], zone: &Zone) -> Convex {
    let half = length(minus(ways[1], ways[0])) / 2.0;
    let reach = zone.along[0].abs().max(zone.along[1].abs());
    let off = reach * (1.0 - (1.0 - half * half).max(0.0).sqrt());
    let corners = ways.into_iter().flat_map(|way| zone.along.map(|mm| plus(from, times(way, mm))));
    Convex::points(corners, zone.radius + off)
}

/// A zone that swings to every side of a direction.
fn cone(from: Space, along: Space, zone: &Zone, swing: Angle) -> Convex {
    let at = |mm: f64| plus(from, times(along, mm));
    if swing.degrees() <= 0.0 {
        return Convex::points(zone.along.map(at), zone.radius);
    }
    // The near end swings back to its cosine; the far one lies within the flat before it.
    let [near, far] = zone.along;
    let (cos, sin, tan) = (swing.cos(), swing.sin(), swing.tan());
    let disc = |mm: f64, radius: f64| Disc { centre: at(mm), normal: along, radius };
    let (near, far) = (disc(near.min(near * cos), (near * sin).abs()), disc(far, far.abs() * tan));
    Convex::new(vec![near, far], zone.radius)
}

/// Steeper swings no rod end allows. Our choice.
pub(crate) const STEEPEST: f64 = 60.0;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::machine::gjk::apart;

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
            let far = swept.iter().map(|piece| apart(piece, &ball).distance);
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
                let far = apart(&swept[0].grown(-8.0), &place).distance;
                assert!(far < 1e-6, "{far} at {mm}");
            }
        }
    }

    #[test]
    fn nothing_is_swept_between_pins_at_one_place() {
        let zones = [Zone { along: [0.0, 9.0], radius: 1.0 }];
        assert!(swept([[1.0; 3]; 2], &zones, &Travel::default()).is_empty());
    }
}

//! A plate that is welded to the wall of a round tube: the leg on the wall ends where the wall
//! turns away beside the plate, or where the tube ends.

use crate::geom::Point;
use crate::geom::Vec2;
use crate::num;
use crate::num::PI;
use crate::part;
use crate::part::Cope;
use crate::part::LegRoom;
use crate::part::Part;
use crate::part::Weld;
use crate::solve::leg_room::seam::Found;
use crate::solve::leg_room::seam::narrowest;
use crate::solve::leg_room::seam::spots;
use crate::solve::leg_room::seam::welds;
use crate::solve::solved::Solved;

/// A tube lies along a sheet, or square to it, within this, as a sine.
const SAME: f64 = 1e-6;

/// An axis is the same within this, mm.
const NEAR: f64 = 0.05;

/// The rooms on the walls of tubes.
pub(super) fn rooms(all: &[Solved]) -> Vec<Found> {
    let one = |(of, solved, weld): ([usize; 3], &Solved, &Weld)| {
        let part = &solved.part;
        let cope = part::coped_to(&part.faces[of[1]], weld, part.thickness)?;
        let room = match cope.rise.abs() {
            rise if rise < SAME => Some(along(cope, weld, part.thickness)),
            rise if rise > 1.0 - SAME => {
                let round = if weld.all_round { ends(cope, solved, of[1], weld) } else { None };
                narrowest([round, to_tube_end(part, of[1], cope)].into_iter().flatten())
            }
            _ => None,
        };
        Some(Found { of, room: room? })
    };
    welds(all).filter_map(one).collect()
}

fn tube(cope: &Cope) -> String {
    format!("the side of its tube Ø{} mm", num::text(cope.outside, 2))
}

/// From a place at a distance from the crest of a tube, round its wall to its side.
fn to_side(cope: &Cope, beside: f64) -> LegRoom {
    let radius = cope.outside / 2.0;
    let turned = num::asin((beside / radius).clamp(-1.0, 1.0)).radians();
    LegRoom { mm: radius * (PI / 2.0 - turned), till: tube(cope) }
}

/// Beside a plate along a tube, on the side where it is nearer to the side of the tube; of one
/// fillet, on the other.
fn along(cope: &Cope, weld: &Weld, thickness: f64) -> LegRoom {
    let off = cope.above.abs();
    let beside = if weld.sides < 2 && !weld.all_round { -off } else { off };
    to_side(cope, beside + thickness / 2.0)
}

/// Beyond the ends of a foot across a tube, where the fillet runs round it.
fn ends(cope: &Cope, solved: &Solved, face: usize, weld: &Weld) -> Option<LegRoom> {
    let inwards = spots(solved, face, weld).iter().fold(Vec2::ZERO, |sum, spot| sum - spot.out);
    let (first, last) = (weld.stretches.first()?, weld.stretches.last()?);
    // A weld all round a through tube has no ends, and metal on all sides.
    if inwards.hypot() < SAME || (first.from - last.to).hypot() < NEAR {
        return None;
    }
    let up = inwards.normalize();
    let room = |p: crate::geom::Point| to_side(cope, up.cross(p - cope.at).abs());
    let is_past = |p: crate::geom::Point| up.dot(p - cope.at) < 0.0;
    let ends = [first.from, last.to].map(|p| match is_past(p) {
        true => LegRoom { mm: 0.0, till: tube(cope) },
        false => room(p),
    });
    narrowest(ends.into_iter())
}

/// Along a tube in space to which the plate is square, from either side of the plate to the end of
/// the tube.
fn to_tube_end(part: &Part, face: usize, cope: &Cope) -> Option<LegRoom> {
    let passing = part.passing.iter().filter(|of| of.face == face);
    let rooms = passing.flat_map(|of| {
        let legs = &of.line.legs;
        let ends = [legs.first().map(|leg| leg.from), legs.last().map(|leg| leg.end())];
        ends.into_iter().flatten().filter_map(|[x, y, z]| {
            let off = (Point::new(x, y) - cope.at).hypot();
            let mm = if z > 0.0 { z } else { -part.thickness - z };
            let till = format!("the end of tube `{}`", of.name);
            (off < NEAR && mm >= 0.0).then_some(LegRoom { mm, till })
        })
    });
    narrowest(rooms)
}

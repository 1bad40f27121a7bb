//! A plate whose edge is on a face of the same formed part, or on that of another plate, where
//! three points place both: that face continues beside it.

use crate::geom::Frame;
use crate::geom::Point;
use crate::geom::Vec2;
use crate::geom::dot;
use crate::geom::times;
use crate::part::LegRoom;
use crate::part::Weld;
use crate::solve::leg_room::ground::Ground;
use crate::solve::leg_room::seam::Found;
use crate::solve::leg_room::seam::Spot;
use crate::solve::leg_room::seam::narrowest;
use crate::solve::leg_room::seam::spots;
use crate::solve::leg_room::seam::welds;
use crate::solve::solved::Solved;

/// An edge is on a face that is no farther away, mm: the gap of a fillet. Our choice.
const GAP: f64 = 0.6;

/// It counts as square on it within this, as the sine of its inclination: less than 10°.
const LEANS: f64 = 0.17;

/// Where the two are flush it is the outside of a corner, mm, and no fillet lies there.
const FLUSH: f64 = 0.05;

/// A face where it is in space.
struct Placed<'a> {
    solved: &'a Solved,
    face: usize,
    frame: Frame,
    /// Parts whose places to each other are known have the same.
    world: usize,
}

/// The legs available beside edges that are on faces.
pub(super) fn rooms(all: &[Solved]) -> Vec<Found> {
    let placed: Vec<Placed> = all.iter().enumerate().flat_map(|(i, of)| placed(i, of)).collect();
    let one = |(of, solved, weld): ([usize; 3], &Solved, &Weld)| {
        let own = placed.iter().find(|p| p.solved.name == solved.name && p.face == of[1])?;
        let is_other = |p: &&Placed| p.world == own.world && !is_same(p, own);
        let rooms = placed.iter().filter(is_other).filter_map(|other| own.on(other, weld));
        Some(Found { of, room: narrowest(rooms)? })
    };
    welds(all).filter_map(one).collect()
}

fn is_same(a: &Placed, b: &Placed) -> bool {
    a.solved.name == b.solved.name && a.face == b.face
}

/// The faces of a part in space: in that of the recipe where it is placed there.
fn placed(i: usize, solved: &Solved) -> Vec<Placed<'_>> {
    let faces = &solved.folded.faces;
    let (world, to_space) = match solved.in_space() {
        // All that are placed share one.
        Some(frame) => (usize::MAX, frame),
        None => (i, Frame::default()),
    };
    let place = |of: &crate::fold::FoldedFace| {
        let frame = to_space.within(&of.frame);
        Placed { solved, face: of.face, frame, world }
    };
    faces.iter().map(place).collect()
}

impl Placed<'_> {
    /// The leg available beside a weld of this face on another that its edge is on; `None` if there
    /// is no such face.
    fn on(&self, other: &Placed, weld: &Weld) -> Option<LegRoom> {
        let (half, below) = (self.solved.part.thickness / 2.0, other.solved.part.thickness);
        let in_flat = &other.solved.flat.places[other.face];
        let ground = Ground::of(other.solved, other.face);
        let spots = spots(self.solved, self.face, weld);
        let stands = |spot: &&Spot| {
            let out = dot(self.frame.direction(spot.out), other.frame.z);
            let [x, y, z] = other.frame.seen(self.frame.point(spot.at, -half));
            let is_on = if out < 0.0 { z.abs() < GAP } else { (z + below).abs() < GAP };
            let is_square = 1.0 - out.abs() < LEANS * LEANS / 2.0;
            is_square && is_on && ground.contains(in_flat.apply(Point::new(x, y)))
        };
        let standing: Vec<&Spot> = spots.iter().filter(stands).collect();
        if 2 * standing.len() < spots.len() || standing.is_empty() {
            return None;
        }
        let side = |height: f64, up: f64| {
            let room = |spot: &&Spot| {
                let [x, y, _] = other.frame.seen(self.frame.point(spot.at, height));
                let way = times(self.frame.z, up);
                let way = Vec2::new(dot(way, other.frame.x), dot(way, other.frame.y));
                let at = in_flat.apply(Point::new(x, y));
                ground.room(at, in_flat.direction(way.normalize()))
            };
            narrowest(standing.iter().filter_map(room))
        };
        let sides = [side(0.0, 1.0), side(-2.0 * half, -1.0)];
        // The outside of a corner takes no fillet.
        let sides = sides.map(|room| room.filter(|room| room.mm > FLUSH));
        match (sides, weld.sides < 2 && !weld.all_round) {
            // Which of the two it is on is not known.
            ([Some(a), Some(b)], true) => Some(if a.mm > b.mm { a } else { b }),
            (_, true) => None,
            (sides, false) => narrowest(sides.into_iter().flatten()),
        }
    }
}

//! A part as convex blocks, folded to its state at one moment of a bend.
//!
//! A face is cut into prisms as thick as the sheet, a finished bend into chunks of a hollow
//! cylinder whose outside is not inside the true one. Holes and cut-outs count as filled. Both err
//! towards refusal.

use crate::flat::Flat;
use crate::fold;
use crate::fold::FoldedBend;
use crate::geom::Frame;
use crate::geom::Point;
use crate::geom::Side;
use crate::geom::Space;
use crate::geom::flatten;
use crate::num::Angle;
use crate::part::Part;
use crate::sequence::hull;
use crate::sequence::refusal::Obstacle;
use std::rc::Rc;

/// How far the chords of a rounded corner may leave it, mm.
const CHORD: f64 = 0.2;

/// Largest angle of one chunk of a bend, degrees: its chords leave the arcs by less than 2 %.
const CHUNK: f64 = 22.5;

/// A convex piece of the part: two rings of corners that face each other.
#[derive(Clone, Debug)]
pub(super) struct Block {
    /// The piece it belongs to.
    pub(super) what: Obstacle,
    /// Whether the bend under way carries it, directly or through others.
    pub(super) carried: bool,
    /// Whether it lies in one plane with the face beside the bend under way.
    pub(super) plate: bool,
    /// One ring, then the other: of both surfaces of the sheet, or of both ends of a bend made.
    pub(super) corners: Vec<Space>,
}

/// The faces of a part cut into convex pieces.
pub(super) struct Body<'a> {
    pub(super) part: &'a Part,
    pub(super) flat: &'a Flat,
    faces: Vec<Vec<Vec<Point>>>,
    /// Whether everything is calculated at every moment, and nothing remembered.
    pub(super) plain: bool,
}

/// Which faces and bends hang together on either side of a bend.
struct Sides {
    carried: Vec<bool>,
    plate: Vec<bool>,
}

/// The part at one moment of a bend.
pub(super) struct Pose {
    /// How far the bend has been made.
    pub(super) angle: Angle,
    /// The bend under way.
    pub(super) bend: FoldedBend,
    /// All the rest; the side that the bend under way does not carry is the same at every moment of
    /// it.
    pub(super) blocks: Vec<Rc<Block>>,
    /// Where the faces lie, and the bends.
    frames: (Vec<Frame>, Vec<FoldedBend>),
}

impl Pose {
    /// All blocks but those of the bend under way, in an order that is the same at every moment.
    pub(super) fn all(&self) -> impl Iterator<Item = &Block> {
        self.blocks.iter().map(Rc::as_ref)
    }
}

impl<'a> Body<'a> {
    pub(super) fn new(part: &'a Part, flat: &'a Flat) -> Self {
        let pieces = |region: &crate::geom::Region| {
            hull::convex_pieces(&flatten(region.outer(), CHORD, Side::Outside))
        };
        Self { part, flat, faces: flat.faces.iter().map(pieces).collect(), plain: false }
    }

    /// The part when a bend has been made to an angle, and those of a set before.
    pub(super) fn pose(&self, made: u32, bend: usize, angle: Angle) -> Pose {
        let angles = bend_angles(self.part, made, bend, angle);
        let frames = fold::frames(self.part, self.flat, &angles);
        let sides = self.sides(made, bend);
        let blocks = self.blocks(&frames, &sides, bend, &|_, _| None);
        Pose { angle, bend: frames.1[bend], blocks, frames }
    }

    /// Another moment of the bend of a pose: the side that the bend does not carry is not moved.
    pub(super) fn later(&self, pose: &Pose, (made, bend): (u32, usize), angle: Angle) -> Pose {
        let angles = bend_angles(self.part, made, bend, angle);
        let sides = self.sides(made, bend);
        let moves = |i: usize| i == bend || sides.carried[self.part.bends[i].from];
        let frames = fold::moved(self.part, self.flat, (&pose.frames, &moves), &angles);
        let stays = |at: usize, carried: bool| (!carried).then(|| Rc::clone(&pose.blocks[at]));
        let blocks = self.blocks(&frames, &sides, bend, &stays);
        Pose { angle, bend: frames.1[bend], blocks, frames }
    }

    /// The blocks of a part; `stays` gives the known ones, by their number and whether the bend
    /// under way carries them.
    fn blocks(
        &self,
        (frames, bends): &(Vec<Frame>, Vec<FoldedBend>),
        sides: &Sides,
        bend: usize,
        stays: &dyn Fn(usize, bool) -> Option<Rc<Block>>,
    ) -> Vec<Rc<Block>> {
        let thickness = self.part.thickness;
        let mut blocks = Vec::new();
        for (face, frame) in frames.iter().enumerate() {
            let (carried, plate) = (sides.carried[face], sides.plate[face]);
            for piece in &self.faces[face] {
                let what = Obstacle::Face(face);
                let corners = || prism(piece, frame, thickness);
                let new = || Rc::new(Block { what, carried, plate, corners: corners() });
                blocks.push(stays(blocks.len(), carried).unwrap_or_else(new));
            }
        }
        for other in bends.iter().filter(|other| other.bend != bend) {
            let ends = &self.part.bends[other.bend];
            let plate = sides.plate[ends.from] && sides.plate[ends.to];
            let (what, carried) = (Obstacle::Bend(other.bend), sides.carried[ends.to]);
            let count = if plate { 1 } else { chunk_count(other) };
            let known: Option<Vec<Rc<Block>>> =
                (0..count).map(|i| stays(blocks.len() + i, carried)).collect();
            blocks.extend(known.unwrap_or_else(|| {
                let pieces = if plate { vec![strip(other)] } else { chunks(other) };
                let new = |corners| Rc::new(Block { what, carried, plate, corners });
                pieces.into_iter().map(new).collect()
            }));
        }
        blocks
    }

    fn sides(&self, made: u32, bend: usize) -> Sides {
        let part = self.part;
        let mut carried = vec![false; part.faces.len()];
        for (i, b) in part.bends.iter().enumerate() {
            carried[b.to] = i == bend || carried[b.from];
        }
        let mut plate = vec![false; part.faces.len()];
        let own = &part.bends[bend];
        (plate[own.from], plate[own.to]) = (true, true);
        // A bend comes after the one that carries its face, so two passes reach all: towards the
        // first face against that order, then with it.
        let flat = |i: &usize| *i != bend && made & (1 << *i) == 0;
        for i in (0..part.bends.len()).rev().filter(flat) {
            plate[part.bends[i].from] |= plate[part.bends[i].to];
        }
        for i in (0..part.bends.len()).filter(flat) {
            plate[part.bends[i].to] |= plate[part.bends[i].from];
        }
        Sides { carried, plate }
    }
}

fn prism(piece: &[Point], frame: &Frame, thickness: f64) -> Vec<Space> {
    let rings = [0.0, -thickness];
    rings.iter().flat_map(|h| piece.iter().map(|p| frame.point(*p, *h))).collect()
}

/// A bend that is not made yet: a piece of the sheet like a face, both surfaces of it.
fn strip(bend: &FoldedBend) -> Vec<Space> {
    let [from, to] = [bend.frame_at(0.0), bend.frame_at(1.0)];
    let ends = [(0.0, &from), (bend.width, &from), (bend.width, &to), (0.0, &to)];
    let surface =
        |height: f64| ends.map(|(along, frame)| frame.point(Point::new(along, 0.0), height));
    [surface(0.0), surface(-bend.thickness)].concat()
}

/// In how many chunks a bend is cut.
fn chunk_count(bend: &FoldedBend) -> usize {
    (bend.angle.degrees() / CHUNK).ceil().max(1.0) as usize
}

/// A bend as prisms along its line; flat while it is not made.
pub(super) fn chunks(bend: &FoldedBend) -> Vec<Vec<Space>> {
    let degrees = bend.angle.degrees();
    let count = chunk_count(bend);
    let half = Angle::from_degrees(degrees / count as f64 / 2.0);
    // Outside, the tangents at both ends of a chunk meet in a corner beyond the arc.
    let beyond = if bend.radius.is_finite() {
        (bend.radius + bend.thickness) * (1.0 / half.cos() - 1.0)
    } else {
        0.0
    };
    let [inner, outer, corner] = if bend.up {
        [0.0, -bend.thickness, -bend.thickness - beyond]
    } else {
        [-bend.thickness, 0.0, beyond]
    };
    // At the ends and in the centre of each chunk.
    let share = |halves: usize| halves as f64 / 2.0 / count as f64;
    let frames: Vec<Frame> = (0..=2 * count).map(|halves| bend.frame_at(share(halves))).collect();
    let chunk = |i: usize| {
        let [from, middle, to] = [0, 1, 2].map(|half| &frames[2 * i + half]);
        let ring = |along: f64| {
            [(from, inner), (to, inner), (to, outer), (middle, corner), (from, outer)]
                .map(|(frame, height)| frame.point(Point::new(along, 0.0), height))
        };
        [ring(0.0), ring(bend.width)].concat()
    };
    (0..count).map(chunk).collect()
}

/// How far each bend has been made when those of a set are finished and one is under way.
fn bend_angles(part: &Part, made: u32, under_way: usize, angle: Angle) -> Vec<Angle> {
    let bends = part.bends.iter().enumerate();
    let of = |(i, bend): (usize, &crate::part::Bend)| match i == under_way {
        true => angle,
        false if made & (1 << i) != 0 => bend.bend.angle(),
        false => Angle::ZERO,
    };
    bends.map(of).collect()
}

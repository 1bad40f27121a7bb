//! Formed features on the faces of a formed part: the lips of flares, and beads.
//!
//! Their surface is tested at places a quarter of the thickness apart, on both sides of the metal.

use crate::diag::HoleId;
use crate::fold::folded::Folded;
use crate::fold::folded::FoldedFace;
use crate::geom::Point;
use crate::geom::Space;
use crate::geom::Vec2;
use crate::geom::ray;
use crate::num;
use crate::part::Bead;
use crate::part::Flare;
use crate::part::Part;

/// A formed feature of a face.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Formed {
    /// The lip of a hole.
    Lip(HoleId),
    /// A bead, by the indices of its face and in it.
    Bead {
        /// Of the face.
        face: usize,
        /// In the face.
        bead: usize,
    },
}

impl Formed {
    /// Index of its face.
    pub const fn face(self) -> usize {
        match self {
            Self::Lip(id) => id.face,
            Self::Bead { face, .. } => face,
        }
    }
}

/// From one place to the next, thicknesses. Our choice.
const STEP: f64 = 0.25;

/// Maximum number of places round a lip, or along a stretch of a bead. Our choice.
const MAX: f64 = 2000.0;

/// A formed feature of a face, with its dimensions.
pub(super) struct FormedFeature<'a> {
    /// Its kind.
    pub(super) formed: Formed,
    shape: Shape<'a>,
}

enum Shape<'a> {
    /// About the centre of a hole.
    Lip(Point, &'a Flare),
    Bead(&'a Bead),
}

/// Everything that is formed out of the faces of a part.
pub(super) fn all(part: &Part) -> Vec<FormedFeature<'_>> {
    let mut all = Vec::new();
    for (face, drawn) in part.faces.iter().enumerate() {
        for (hole, of) in drawn.holes.iter().enumerate() {
            let formed = Formed::Lip(HoleId { face, hole });
            all.extend(
                of.flare.iter().map(|f| FormedFeature { formed, shape: Shape::Lip(of.at, f) }),
            );
        }
        for (bead, of) in drawn.beads.iter().enumerate() {
            let formed = Formed::Bead { face, bead };
            all.push(FormedFeature { formed, shape: Shape::Bead(of) });
        }
    }
    all
}

/// Places of the surface of a formed feature.
pub(super) fn places(part: &Part, folded: &Folded, of: &FormedFeature) -> Vec<Space> {
    let step = STEP * part.thickness;
    let face = &folded.faces[of.formed.face()];
    match of.shape {
        Shape::Lip(at, flare) => lip(face, at, flare, step),
        Shape::Bead(bead) => self::bead(face, bead, part.thickness, step),
    }
}

/// How many steps a length takes.
fn steps(long: f64, step: f64) -> usize {
    (long / step).ceil().clamp(1.0, MAX) as usize
}

/// From 0 to 1 in this number of steps.
fn shares(count: usize) -> impl Iterator<Item = f64> + Clone {
    (0..=count).map(move |i| i as f64 / count as f64)
}

/// The directions of a whole turn.
fn turn(radius: f64, step: f64) -> impl Iterator<Item = Vec2> + Clone {
    let count = steps(2.0 * num::PI * radius, step);
    (0..count).map(move |i| ray(360.0 * i as f64 / count as f64))
}

/// Places of the lip of a hole.
fn lip(face: &FoldedFace, at: Point, flare: &Flare, step: f64) -> Vec<Space> {
    let mut around = turn(flare.outside / 2.0, step);
    let section = flare.side_of_lip(step);
    let place = |out: Vec2, [radius, height]: [f64; 2]| {
        let z = if flare.is_up() { height } else { -flare.thickness - height };
        face.frame.point(at + out * radius, z)
    };
    let mut places = Vec::new();
    around.by_ref().for_each(|out| places.extend(section.iter().map(|of| place(out, *of))));
    places
}

/// Places of a bead.
fn bead(face: &FoldedFace, bead: &Bead, thickness: f64, step: f64) -> Vec<Space> {
    let half = bead.width / 2.0;
    let mut places = Vec::new();
    let mut add = |at: Point, off: f64| {
        let height = bead.height(off);
        for out in [height, height - thickness] {
            let z = if bead.is_up() { out } else { -thickness - out };
            places.push(face.frame.point(at, z));
        }
    };
    let across = shares(steps(bead.width, step)).map(|share| (2.0 * share - 1.0) * half);
    for edge in bead.edges() {
        let along = edge.direction_at_start();
        let normal = Vec2::new(-along.y, along.x);
        for share in shares(steps(edge.length(), step)) {
            let at = edge.point_at(share);
            across.clone().for_each(|off| add(at + normal * off, off.abs()));
        }
    }
    // Its round ends, and the outsides of its corners.
    for (i, at) in bead.line.iter().enumerate() {
        let from = i.checked_sub(1).map(|before| *at - bead.line[before]);
        let to = bead.line.get(i + 1).map(|after| *after - *at);
        let beyond = |out: &Vec2| {
            from.is_none_or(|way| out.dot(way) >= 0.0) && to.is_none_or(|way| out.dot(way) <= 0.0)
        };
        for out in turn(half, step).filter(beyond) {
            shares(steps(half, step))
                .for_each(|share| add(*at + out * (share * half), share * half));
        }
    }
    places
}

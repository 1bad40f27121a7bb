//! Which pieces of a formed part run into each other.
//!
//! Two solids with flat sides that run into each other have an edge of one that enters the other.
//! So the edges of each piece, arcs and bends as short chords, are followed through every other
//! piece in steps well below the thickness. They are drawn in a little, so that they are found even
//! where two pieces coincide. What enters by less than three times [`TOUCH`] may only touch. A bend
//! is the rest of its strip: the area cut at its corners is no metal.

use crate::fold::folded::Folded;
use crate::fold::folded::FoldedBend;
use crate::fold::folded::FoldedFace;
use crate::fold::formed;
use crate::fold::formed::Formed;
use crate::geom::Frame;
use crate::geom::Point;
use crate::geom::Region;
use crate::geom::Side;
use crate::geom::Space;
use crate::geom::flatten;
use crate::geom::length;
use crate::geom::minus;
use crate::geom::offset;
use crate::geom::plus;
use crate::geom::rings_at;
use crate::geom::times;
use crate::num;
use crate::num::Angle;
use crate::part::Part;

/// A piece this near only touches, mm: far below the measuring accuracy of a shop on a flange, far
/// above rounding errors. Our choice.
pub(super) const TOUCH: f64 = 0.02;

/// The edges are offset inwards by this, mm: more than mere contact.
const INSET: f64 = 2.0 * TOUCH;

/// Maximum deviation of chords from arcs, mm: below contact.
const CHORD: f64 = 0.01;

/// Steps along an edge, in thicknesses. Our choice.
const STEP: f64 = 0.25;

/// A solid piece of a formed part.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Piece {
    /// A face, by its index in the part.
    Face(usize),
    /// A bend, by its index in the part.
    Bend(usize),
}

/// A piece with data for the search.
struct Solid<'a> {
    piece: Piece,
    shape: Shape<'a>,
    frame: Frame,
    edges: Vec<[Space; 2]>,
    /// Its box in its own frame.
    min: Space,
    max: Space,
    thickness: f64,
}

enum Shape<'a> {
    Plate(&'a Region),
    Sector(&'a FoldedBend, &'a Region),
}

/// Every pair of pieces that run into each other, in the order of the part. A bend and
/// the faces it joins are one sheet and never a pair.
pub fn clashes(part: &Part, folded: &Folded) -> Vec<(Piece, Piece)> {
    let solids = solids(part, folded);
    let mut pairs = Vec::new();
    for (i, a) in solids.iter().enumerate() {
        for b in &solids[i + 1..] {
            if !joined(part, a.piece, b.piece) && (a.enters(b) || b.enters(a)) {
                pairs.push((a.piece, b.piece));
            }
        }
    }
    pairs
}

/// The first pieces of two parts that run into each other, each part where a frame brings it.
pub fn clash_between([one, other]: [(&Part, &Folded, &Frame); 2]) -> Option<(Piece, Piece)> {
    let [one, other] = [one, other].map(|(part, folded, to)| {
        solids(part, folded).into_iter().map(|solid| solid.moved(to)).collect::<Vec<_>>()
    });
    let mut pairs = one.iter().flat_map(|a| other.iter().map(move |b| (a, b)));
    let (a, b) = pairs.find(|(a, b)| a.enters(b) || b.enters(a))?;
    Some((a.piece, b.piece))
}

/// Every bead and lip with each piece that it runs into, except for the face it is formed out of, in
/// the order of the part.
pub fn formed_clashes(part: &Part, folded: &Folded) -> Vec<(Formed, Piece)> {
    let all = if folded.bends.is_empty() { Vec::new() } else { formed::all(part) };
    if all.is_empty() {
        return Vec::new();
    }
    let solids = solids(part, folded);
    let mut pairs = Vec::new();
    for standing in &all {
        let formed = standing.formed;
        let places = formed::places(part, folded, standing);
        let others = solids.iter().filter(|solid| solid.piece != Piece::Face(formed.face()));
        let meets = |solid: &&Solid| {
            places.iter().any(|place| {
                let seen = solid.frame.seen(*place);
                solid.within(seen, seen).is_some() && solid.contains(seen)
            })
        };
        pairs.extend(others.filter(meets).map(|solid| (formed, solid.piece)));
    }
    pairs
}

/// The edges of each piece, faces first, drawn in a little, as short chords.
pub(super) fn edges(part: &Part, folded: &Folded) -> Vec<(Piece, Vec<[Space; 2]>)> {
    solids(part, folded).into_iter().map(|solid| (solid.piece, solid.edges)).collect()
}

/// The pieces with data for the search, faces first.
fn solids<'a>(part: &Part, folded: &'a Folded) -> Vec<Solid<'a>> {
    let faces = folded.faces.iter().map(|face| plate(face, part.thickness));
    let bends = folded.bends.iter().zip(&folded.strips).map(|(bend, strip)| sector(bend, strip));
    faces.chain(bends).collect()
}

fn joined(part: &Part, a: Piece, b: Piece) -> bool {
    match (a, b) {
        (Piece::Face(face), Piece::Bend(bend)) | (Piece::Bend(bend), Piece::Face(face)) => {
            part.bends[bend].from == face || part.bends[bend].to == face
        }
        _ => false,
    }
}

fn plate(face: &FoldedFace, thickness: f64) -> Solid<'_> {
    let mut edges = Vec::new();
    let heights = [-INSET, -thickness / 2.0, INSET - thickness];
    let outer = face.region.outer();
    let loops =
        std::iter::once((outer, -INSET)).chain(face.region.holes().iter().map(|h| (h, INSET)));
    for (outline, by) in loops {
        // A piece too fine to be offset is used as it is.
        let inset = offset(outline, by).unwrap_or_else(|_| outline.clone());
        let corners = flatten(&inset, CHORD, Side::On);
        for (i, corner) in corners.iter().enumerate() {
            let next = corners[(i + 1) % corners.len()];
            edges.push([heights[0], heights[2]].map(|h| face.frame.point(*corner, h)));
            edges.extend(heights.map(|h| [*corner, next].map(|p| face.frame.point(p, h))));
        }
    }
    let bounds = face.region.bounds();
    Solid {
        piece: Piece::Face(face.face),
        shape: Shape::Plate(&face.region),
        frame: face.frame,
        edges,
        min: [bounds.min.x, bounds.min.y, -thickness],
        max: [bounds.max.x, bounds.max.y, 0.0],
        thickness,
    }
}

fn sector<'a>(bend: &'a FoldedBend, strip: &'a Region) -> Solid<'a> {
    let outside = bend.radius + bend.thickness;
    let cos = 1.0 - (CHORD / outside).min(0.5);
    let chord = 2.0 * num::acos(cos).degrees();
    let steps =
        if outside.is_finite() { (bend.angle.degrees() / chord).ceil().max(1.0) } else { 1.0 };
    let mut edges = Vec::new();
    let heights = [-INSET, -bend.thickness / 2.0, INSET - bend.thickness];
    let outer = strip.outer();
    let inset = offset(outer, -INSET).unwrap_or_else(|_| outer.clone());
    let corners = flatten(&inset, CHORD, Side::On);
    let at = |p: Point, h: f64| bend.point(p.x, p.y / bend.allowance, h);
    for (i, corner) in corners.iter().enumerate() {
        edges.push([heights[0], heights[2]].map(|h| at(*corner, h)));
        // Along the bend it is straight, round it in short chords.
        let way = corners[(i + 1) % corners.len()] - *corner;
        let pieces = (steps * way.y.abs() / bend.allowance).ceil().max(1.0);
        for j in 0..pieces as usize {
            let ends = [j, j + 1].map(|j| *corner + way * (j as f64 / pieces));
            edges.extend(heights.map(|h| ends.map(|p| at(p, h))));
        }
    }
    // Lines along the bend between its ends, wherever there is metal all the way.
    for i in 1..steps as usize {
        let y = bend.allowance * i as f64 / steps;
        for (from, to) in stretches(&corners, y) {
            edges.extend(heights.map(|h| [from, to].map(|x| at(Point::new(x, y), h))));
        }
    }
    let (mut min, mut max) = ([f64::INFINITY; 3], [f64::NEG_INFINITY; 3]);
    for point in edges.iter().flatten() {
        let seen = bend.start.seen(*point);
        for axis in 0..3 {
            // The edges are drawn in, and a chord cuts off a little of the arc.
            min[axis] = min[axis].min(seen[axis] - 2.0 * INSET);
            max[axis] = max[axis].max(seen[axis] + 2.0 * INSET);
        }
    }
    Solid {
        piece: Piece::Bend(bend.bend),
        shape: Shape::Sector(bend, strip),
        frame: bend.start,
        edges,
        min,
        max,
        thickness: bend.thickness,
    }
}

/// The intervals of x in which a polygon contains the line at a height y.
fn stretches(corners: &[Point], y: f64) -> Vec<(f64, f64)> {
    let at = rings_at([corners], y);
    at.chunks_exact(2).map(|pair| (pair[0], pair[1])).collect()
}

impl Solid<'_> {
    /// The same where a frame brings its part.
    fn moved(self, to: &Frame) -> Self {
        let edges = self.edges.iter().map(|ends| ends.map(|p| to.at(p))).collect();
        Self { frame: to.within(&self.frame), edges, ..self }
    }

    /// Whether an edge of this piece enters another.
    fn enters(&self, other: &Self) -> bool {
        self.edges.iter().any(|[from, to]| {
            let (from, to) = (other.frame.seen(*from), other.frame.seen(*to));
            other.within(from, to).is_some_and(|(low, high)| {
                let way = minus(to, from);
                let length = length(way) * (high - low);
                let steps = (length / (STEP * other.thickness)).ceil().max(2.0);
                // The ends of the stretch lie on the box, so only what is between counts.
                (0..=steps as usize).any(|i| {
                    let share = low + (high - low) * i as f64 / steps;
                    other.contains(plus(from, times(way, share)))
                })
            })
        })
    }

    /// Which stretch of a line in its own frame lies in its box, as shares of the line.
    fn within(&self, from: Space, to: Space) -> Option<(f64, f64)> {
        let (mut low, mut high) = (0.0_f64, 1.0_f64);
        for axis in 0..3 {
            let (min, max) = (self.min[axis] + TOUCH, self.max[axis] - TOUCH);
            let way = to[axis] - from[axis];
            if way.abs() < 1e-12 {
                if from[axis] < min || from[axis] > max {
                    return None;
                }
                continue;
            }
            let ends = [(min - from[axis]) / way, (max - from[axis]) / way];
            low = low.max(ends[0].min(ends[1]));
            high = high.min(ends[0].max(ends[1]));
        }
        (low <= high).then_some((low, high))
    }

    /// Whether a point of its own frame lies in it, deeper than contact.
    fn contains(&self, p: Space) -> bool {
        match self.shape {
            Shape::Plate(region) => {
                let at = Point::new(p[0], p[1]);
                let deep = p[2] <= -TOUCH + 1e-9 && p[2] >= TOUCH - self.thickness - 1e-9;
                let clear = |o: &crate::geom::Outline| o.distance(at) >= TOUCH;
                deep && region.contains(at) && region.outlines().all(clear)
            }
            Shape::Sector(bend, strip) => {
                if bend.angle == Angle::ZERO {
                    return strip.contains(Point::new(p[0], p[1]));
                }
                let (inner, outer) = (bend.radius, bend.radius + bend.thickness);
                // From the axis; the bend begins straight away from the inside.
                let (y, z) = if bend.up { (p[1], inner - p[2]) } else { (p[1], p[2] + outer) };
                let radius = num::hypot(y, z);
                let rotated = Angle::of(z, y).degrees();
                let before = rotated < 0.0 && bend.angle.degrees() > 180.0;
                let rotated = if before { rotated + 360.0 } else { rotated };
                let touch = Angle::from_radians(TOUCH / outer).degrees();
                let around = rotated >= touch && rotated <= bend.angle.degrees() - touch;
                let deep = radius >= inner + TOUCH && radius <= outer - TOUCH;
                let share = rotated / bend.angle.degrees();
                deep && around && strip.contains(Point::new(p[0], share * bend.allowance))
            }
        }
    }
}

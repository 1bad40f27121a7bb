//! Where a part ends beside a bend line, as it lies at its step.

use crate::bend::Form;
use crate::geom::Edge;
use crate::geom::Place;
use crate::geom::Point;
use crate::geom::Vec2;
use crate::num::Angle;
use crate::sequence::section::Bending;

/// Edges out of parallel by no more than this over their length are parallel, mm.
pub(super) const PARALLEL: f64 = 1e-5;

/// What reaches out no further is level with it, mm.
pub(super) const LEVEL: f64 = 0.01;

/// The reference of a distance.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum From {
    /// A free edge of a face.
    Edge {
        /// Index of the face.
        face: usize,
    },
    /// The outside of a flange, by the bend that made it.
    Flange {
        /// Index of the bend.
        bend: usize,
        /// Index of the face it is on.
        face: usize,
    },
    /// The outermost place of a round edge.
    Tip {
        /// Index of the face.
        face: usize,
    },
}

impl From {
    /// Index of the face it is on.
    pub const fn face(self) -> usize {
        match self {
            Self::Edge { face } | Self::Flange { face, .. } | Self::Tip { face } => face,
        }
    }
}

/// A bend in the flat: x along it from where it begins, u from the clamped side to the other, from
/// its centre.
pub(super) struct Line {
    own: Place,
    /// Half of the bend allowance, mm.
    pub(super) half: f64,
    pub(super) sign: f64,
    /// From where to where along it the bend is made, mm.
    pub(super) x: [f64; 2],
}

impl Line {
    pub(super) fn new(bending: &Bending, hold: usize) -> Self {
        let strip = bending.strip();
        let own = strip.to_its_own();
        let [a, b] = [strip.line.from, strip.line.to].map(|p| own.apply(p).x);
        Self {
            own,
            x: [a.min(b), a.max(b)],
            half: strip.bend.allowance() / 2.0,
            sign: if hold == bending.drawn().from { 1.0 } else { -1.0 },
        }
    }

    fn at(&self, p: Point) -> [f64; 2] {
        let seen = self.own.apply(p);
        [seen.x, (seen.y - self.half) * self.sign]
    }

    /// The direction in the flat from the clamped side to the other.
    pub(super) fn towards(&self) -> Vec2 {
        self.own.back().direction(Vec2::new(0.0, self.sign))
    }
}

/// A stretch that may serve.
pub(super) struct Stretch {
    pub(super) from: From,
    pub(super) line: Edge,
    /// Along the bend, mm.
    pub(super) x: [f64; 2],
    /// Of the bend line, mm.
    pub(super) u: f64,
}

impl Stretch {
    pub(super) fn length(&self) -> f64 {
        self.x[1] - self.x[0]
    }

    /// How much of it lies straight across from the bend, mm; below 0 beside it.
    pub(super) fn across_from(&self, line: &Line) -> f64 {
        self.x[1].min(line.x[1]) - self.x[0].max(line.x[0])
    }

    pub(super) fn is_tip(&self) -> bool {
        matches!(self.from, From::Tip { .. })
    }

    /// Edges come before flanges, flanges before tips.
    pub(super) fn kind(&self) -> u8 {
        match self.from {
            From::Edge { .. } => 0,
            From::Flange { .. } => 1,
            From::Tip { .. } => 2,
        }
    }
}

/// All stretches beside a bend.
pub(super) fn all(bending: &Bending, line: &Line) -> Vec<Stretch> {
    let mut all = edges(bending, line);
    all.extend(flanges(bending, line));
    all.extend(tips(bending, line));
    let near = line.half + bending.body.part.thickness;
    all.retain(|s| s.u.abs() > near);
    all
}

/// The stretches of the blank's outline that run beside the bend on faces that lie flat with it.
fn edges(bending: &Bending, line: &Line) -> Vec<Stretch> {
    let flat = bending.flat();
    let mut found = Vec::new();
    for edge in flat.region.outer().edges().filter(Edge::is_line) {
        let [a, b] = [line.at(edge.from), line.at(edge.to)];
        // Metal lies to its left, and must lie towards the bend.
        let outward = (a[0] - b[0]) * line.sign;
        let u = f64::midpoint(a[1], b[1]);
        if (a[1] - b[1]).abs() > PARALLEL || outward * u <= 0.0 {
            continue;
        }
        for (from, to) in pieces(bending, &edge) {
            let stretch = Edge::line(edge.point_at(from), edge.point_at(to));
            let Some(face) = face_beside(bending, &stretch) else { continue };
            let [x, y] = [stretch.from, stretch.to].map(|p| line.at(p)[0]);
            let x = [x.min(y), x.max(y)];
            found.push(Stretch { from: From::Edge { face }, line: stretch, x, u });
        }
    }
    found
}

/// The outermost places of the blank's round edges on faces that lie flat with the bend.
fn tips(bending: &Bending, line: &Line) -> Vec<Stretch> {
    let mut found = Vec::new();
    for edge in bending.flat().region.outer().edges().filter(|edge| edge.bulge > 0.0) {
        let Some(arc) = edge.arc() else { continue };
        for out in [-1.0, 1.0] {
            let way = line.towards() * out;
            let angle = Angle::of(way.x, way.y);
            let at = arc.point(angle);
            let [x, u] = line.at(at);
            let face = face_at(bending, at - way * LEVEL);
            if let (true, Some(face)) = (arc.includes(angle) && u * out > 0.0, face) {
                let line = Edge::line(at, at);
                found.push(Stretch { from: From::Tip { face }, line, x: [x, x], u });
            }
        }
    }
    found
}

/// An edge of the blank split where bends cross it, as shares of it.
fn pieces(bending: &Bending, edge: &Edge) -> Vec<(f64, f64)> {
    let along = edge.to - edge.from;
    let mut cuts = vec![0.0, 1.0];
    for side in bending.flat().bends.iter().flat_map(|strip| strip.tangents) {
        let way = side.to - side.from;
        let across = along.cross(way);
        if across.abs() > PARALLEL {
            let share = (side.from - edge.from).cross(way) / across;
            cuts.extend((0.0..1.0).contains(&share).then_some(share));
        }
    }
    cuts.sort_by(f64::total_cmp);
    let long = edge.length();
    let pairs = cuts.windows(2).map(|pair| (pair[0], pair[1]));
    pairs.filter(|(from, to)| (to - from) * long > LEVEL).collect()
}

/// The face on the left of a stretch, where it lies flat with the bend.
fn face_beside(bending: &Bending, stretch: &Edge) -> Option<usize> {
    let along = stretch.direction_at_start();
    face_at(bending, stretch.point_at(0.5) + Vec2::new(-along.y, along.x) * LEVEL)
}

/// The face at a point of the flat, where it lies flat with the bend.
fn face_at(bending: &Bending, within: Point) -> Option<usize> {
    let flat = bending.flat();
    let holds = |face: &usize| flat.faces[*face].contains(flat.places[*face].back().apply(within));
    (0..flat.faces.len()).find(holds).filter(|face| bending.is_plate(*face))
}

/// The flanges beside the bend on a face that is flat with it.
fn flanges(bending: &Bending, line: &Line) -> Vec<Stretch> {
    let (part, flat) = (bending.body.part, bending.flat());
    let mut found = Vec::new();
    for (i, (bend, strip)) in part.bends.iter().zip(&flat.bends).enumerate() {
        let [near, far] = [bend.from, bend.to].map(|face| bending.is_plate(face));
        let is_square = bend.bend.angle().degrees() >= 90.0 - 1e-9;
        if !bending.is_made(i) || near == far || !is_square || bend.bend.form() == Form::Rolled {
            continue;
        }
        let [begins, ends] = strip.tangents;
        let (begins, ends, face) =
            if near { (begins, ends, bend.to) } else { (ends, begins, bend.from) };
        let [a, b] = [line.at(begins.from), line.at(begins.to)];
        let u = f64::midpoint(a[1], b[1]);
        let out = (line.at(ends.from)[1] - u).signum();
        if (a[1] - b[1]).abs() > PARALLEL || out * u <= 0.0 {
            continue;
        }
        let u = u + out * (bend.bend.radius() + bend.bend.thickness());
        let x = [a[0].min(b[0]), a[0].max(b[0])];
        found.push(Stretch { from: From::Flange { bend: i, face }, line: begins, x, u });
    }
    found
}

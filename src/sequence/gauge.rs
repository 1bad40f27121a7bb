//! From what a bend line can be measured as the part lies at its step.
//!
//! That is a free edge parallel to the line on the faces that still lie flat with it, or the
//! outside of a flange already bent there, of 90° or more. Nothing may stand before it, and
//! it must be long enough to measure from or to lay against a stop. Where there is none, the
//! tip of a round edge has to do.

use crate::bend::Form;
use crate::geom::Edge;
use crate::geom::Place;
use crate::geom::Point;
use crate::geom::Vec2;
use crate::num::Angle;
use crate::sequence::body::Block;
use crate::sequence::body::Pose;
use crate::sequence::hull;
use crate::sequence::section::Bending;

/// Edges out of parallel by no more than this over their length are parallel, mm.
const PARALLEL: f64 = 1e-5;

/// An edge is at least so long, mm, or half as long as the bend where that is less. Our choice:
/// a stop finger, or the head of a square.
const LONG: f64 = 20.0;

/// What is free to the outside of a gauge edge: half the width of a stop finger, mm. Our choice.
const FINGER: f64 = 5.0;

/// What reaches out no further is level with it, mm.
const LEVEL: f64 = 0.01;

/// The same at a round edge, whose blocks are cut along chords outside it, mm.
const ROUND: f64 = 0.25;

/// What a distance is measured from.
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
        /// Index of the face that stands.
        face: usize,
    },
    /// The outermost place of a round edge.
    Tip {
        /// Index of the face.
        face: usize,
    },
}

/// A distance to set a bend line by.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gauge {
    /// What it is measured from.
    pub from: From,
    /// In the flat: the edge, or where the bend of the flange begins on the side that lies flat.
    pub line: Edge,
    /// To the bend line, square to it, as the part lies, mm.
    pub distance: f64,
    /// Whether it is on the side that is held.
    pub held: bool,
    /// Whether the tools cover it: it is measured before they close.
    pub hidden: bool,
}

/// Which gauges a tool leaves.
#[derive(Clone, Copy, Debug)]
pub(super) enum Reach {
    /// None is there: all are reached.
    All,
    /// A stop behind the die: those on the held side first.
    Stop,
    /// The held side is covered so far behind the line, mm.
    Covered(f64),
}

/// A bend in the flat: x along it from where it begins, u from the held side to the other, from
/// its middle.
pub(super) struct Line {
    own: Place,
    half: f64,
    sign: f64,
}

impl Line {
    pub(super) fn new(bending: &Bending, hold: usize) -> Self {
        let strip = bending.strip();
        Self {
            own: strip.to_its_own(),
            half: strip.bend.allowance() / 2.0,
            sign: if hold == bending.drawn().from { 1.0 } else { -1.0 },
        }
    }

    fn at(&self, p: Point) -> [f64; 2] {
        let seen = self.own.apply(p);
        [seen.x, (seen.y - self.half) * self.sign]
    }

    /// The way in the flat from the held side to the other.
    pub(super) fn towards(&self) -> Vec2 {
        self.own.back().direction(Vec2::new(0.0, self.sign))
    }
}

/// A stretch that may serve.
struct Stretch {
    from: From,
    line: Edge,
    /// Along the bend, mm.
    x: [f64; 2],
    /// Of the bend line, mm.
    u: f64,
}

impl Stretch {
    fn length(&self) -> f64 {
        self.x[1] - self.x[0]
    }

    fn is_tip(&self) -> bool {
        matches!(self.from, From::Tip { .. })
    }

    /// Edges come before flanges, flanges before tips.
    fn kind(&self) -> u8 {
        match self.from {
            From::Edge { .. } => 0,
            From::Flange { .. } => 1,
            From::Tip { .. } => 2,
        }
    }
}

/// What a bend line is best measured from; none where nothing parallel to it can be reached.
pub(super) fn find(bending: &Bending, line: &Line, reach: Reach) -> Option<Gauge> {
    let mut all = edges(bending, line);
    all.extend(flanges(bending, line));
    all.extend(tips(bending, line));
    let near = line.half + bending.body.part.thickness;
    all.retain(|s| s.u.abs() > near);
    let width = bending.width();
    let together = |s: &Stretch| {
        let level = all.iter().filter(|o| (o.u - s.u).abs() < LEVEL && o.kind() == s.kind());
        level.map(Stretch::length).sum::<f64>()
    };
    let usable = all.iter().filter(|s| {
        let long = LONG.min(width / 2.0);
        let is_long = s.is_tip() || together(s) >= long - PARALLEL;
        is_long && is_free(bending, &bending.flat, line, s)
    });
    let hidden = |s: &Stretch| match reach {
        Reach::All => false,
        Reach::Stop => s.u > 0.0,
        Reach::Covered(depth) => s.u < 0.0 && -s.u < depth,
    };
    let key = |s: &Stretch| {
        let short = together(s) < width / 2.0;
        (hidden(s), short, s.kind(), s.u.abs(), -s.length())
    };
    let best = usable.min_by(|a, b| {
        let (a, b) = (key(a), key(b));
        let words = (a.0, a.1, a.2).cmp(&(b.0, b.1, b.2));
        // Stretches of one edge are level but for rounding: then the longest.
        let apart = (a.3 - b.3).abs() > PARALLEL;
        let near = if apart { a.3.total_cmp(&b.3) } else { std::cmp::Ordering::Equal };
        words.then(near).then(a.4.total_cmp(&b.4))
    })?;
    let covered = matches!(reach, Reach::Covered(_)) && hidden(best);
    Some(Gauge {
        from: best.from,
        line: best.line,
        distance: best.u.abs(),
        held: best.u < 0.0,
        hidden: covered,
    })
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
            if let (true, Some(face)) = (arc.holds(angle) && u * out > 0.0, face) {
                let line = Edge::line(at, at);
                found.push(Stretch { from: From::Tip { face }, line, x: [x, x], u });
            }
        }
    }
    found
}

/// An edge of the blank parted where bends cross it, as shares of it.
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

/// The flanges that stand beside the bend on a face that lies flat with it.
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

/// Whether nothing of the part lies before the middle of a stretch, at the height of the sheet.
fn is_free(bending: &Bending, pose: &Pose, line: &Line, stretch: &Stretch) -> bool {
    let plane = bending.plane(&pose.bend.frame_at(0.5), line.sign);
    let thickness = bending.body.part.thickness;
    let middle = f64::midpoint(stretch.x[0], stretch.x[1]);
    let (half, level) = match stretch.is_tip() {
        true => (FINGER, ROUND),
        false => (FINGER.min(stretch.length() / 2.0), LEVEL),
    };
    let out = stretch.u.signum();
    let before = |block: &Block| {
        let seen: Vec<[f64; 3]> = block.corners.iter().map(|c| plane.seen(*c)).collect();
        let under = |c: &[f64; 3]| c[2] < -LEVEL;
        let over = |c: &[f64; 3]| c[2] > -thickness + LEVEL;
        if !seen.iter().any(under) || !seen.iter().any(over) {
            return false;
        }
        let flat = hull::hull(seen.iter().map(|[x, u, _]| Point::new(*x, *u)).collect());
        let (along, far) = (Vec2::new(1.0, 0.0), out * (stretch.u.abs() + level));
        let cut = hull::clipped(&flat, Point::new(middle - half, 0.0), along);
        let cut = hull::clipped(&cut, Point::new(middle + half, 0.0), -along);
        cut.iter().any(|p| (p.y - far) * out > 0.0)
    };
    !pose.blocks.iter().any(before)
}

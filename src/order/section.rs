//! The part at some stages of one bend, held against sections of tools.

use crate::brake;
use crate::fold;
use crate::fold::Folded;
use crate::fold::FoldedBend;
use crate::fold::Frame;
use crate::fold::Space;
use crate::geom::Edge;
use crate::geom::Outline;
use crate::geom::Point;
use crate::geom::Side;
use crate::geom::edge_distance;
use crate::geom::flatten;
use crate::num::Angle;
use crate::order::refusal::Obstacle;
use crate::order::refusal::Why;
use crate::order::task::Task;
use crate::order::way::Way;
use crate::part::Part;

/// Stages of a turn that are looked at, flat first.
const STAGES: usize = 5;

/// How far the chords of a rounded corner may leave it, mm.
const CHORD: f64 = 0.2;

/// Faces that lie on a tool touch it; what comes nearer than this is inside it, mm.
const TOUCH: f64 = 0.05;

/// One thing that can be in the way: corners in the middle of the sheet.
struct Piece {
    what: Obstacle,
    corners: Vec<Space>,
}

/// The part at one stage.
struct Stage {
    turn: Angle,
    bend: FoldedBend,
    pieces: Vec<Piece>,
}

/// The part at all stages of a bend.
pub(super) struct Stages<'a> {
    part: &'a Part,
    bend: usize,
    stages: Vec<Stage>,
    /// For each face, whether the bend carries it, directly or through others.
    carried: Vec<bool>,
}

/// A tool's plane: where it stands, along the bend, towards the operator, up.
struct Plane {
    origin: Space,
    along: Space,
    u: Space,
    v: Space,
}

impl<'a> Stages<'a> {
    /// The stages of a bend while those of a set are made already.
    pub(super) fn new(task: &Task<'a>, made: u32, bend: usize) -> Self {
        let (part, metal) = (task.part, task.metal);
        let own = part.bends[bend].bend;
        let kept = brake::kept(own.radius(), own.thickness(), metal.yields, metal.elastic);
        let full = brake::turn_under_load(own.turn(), kept.unwrap_or(1.0));
        let stage = |i: usize| {
            let turn = Angle::from_degrees(full.degrees() * i as f64 / (STAGES - 1) as f64);
            let folded = fold::fold(part, task.flat, &turns(part, made, bend, turn));
            let pieces = pieces(&folded, bend, part.thickness);
            Stage { turn, bend: folded.bends[bend], pieces }
        };
        let mut carried = vec![false; part.faces.len()];
        for (i, b) in part.bends.iter().enumerate() {
            carried[b.to] = i == bend || carried[b.from];
        }
        Self { part, bend, stages: (0..STAGES).map(stage).collect(), carried }
    }

    /// How far the bend turns in the end.
    pub(super) fn turn(&self) -> Angle {
        self.part.bends[self.bend].bend.turn()
    }

    /// Its inside radius, mm.
    pub(super) fn radius(&self) -> f64 {
        self.part.bends[self.bend].bend.radius()
    }

    /// From where it begins to the sharp outside corner, mm.
    pub(super) fn setback(&self) -> f64 {
        self.part.bends[self.bend].bend.setback()
    }

    /// Its length along the line, mm.
    pub(super) fn width(&self) -> f64 {
        self.stages[0].bend.width
    }

    /// How far the sheet reaches flat from where the bend begins, on the held side and on the other.
    pub(super) fn extents(&self, hold: usize) -> [f64; 2] {
        let bend = &self.part.bends[self.bend];
        let stage = &self.stages[0];
        let reach = |plane: &Plane, carried: bool, sign: f64| {
            let mut most = 0.0_f64;
            for piece in &stage.pieces {
                let Obstacle::Face(face) = piece.what else { continue };
                if self.carried[face] != carried {
                    continue;
                }
                let seen: Vec<[f64; 3]> = piece.corners.iter().map(|p| plane.seen(*p)).collect();
                if seen.iter().all(|c| (c[2] + self.part.thickness / 2.0).abs() < TOUCH) {
                    most = seen.iter().map(|c| sign * c[1]).fold(most, f64::max);
                }
            }
            most
        };
        let standing = Plane::new(&stage.bend.frame_at(0.0), self.up(), self.part.thickness, 1.0);
        let carried = Plane::new(&stage.bend.frame_at(1.0), self.up(), self.part.thickness, 1.0);
        let both = [reach(&standing, false, -1.0), reach(&carried, true, 1.0)];
        if hold == bend.from { both } else { [both[1], both[0]] }
    }

    fn up(&self) -> bool {
        self.part.bends[self.bend].up
    }

    /// u runs from the held side to the other.
    fn sign(&self, way: &Way) -> f64 {
        if way.hold == self.part.bends[self.bend].from { 1.0 } else { -1.0 }
    }

    /// The plane where the held side ends, or the other where `other`.
    fn at_end(&self, stage: &Stage, way: &Way, other: bool) -> Plane {
        let holds_standing = way.hold == self.part.bends[self.bend].from;
        let share = if holds_standing == other { 1.0 } else { 0.0 };
        let frame = stage.bend.frame_at(share);
        Plane::new(&frame, self.up(), self.part.thickness, self.sign(way))
    }

    /// Whether a tool on the held side clears: its foot stands on the sight line.
    pub(super) fn clamped(
        &self,
        way: &Way,
        tool: &Outline,
        name: &'static str,
        width: Option<f64>,
    ) -> Result<(), Why> {
        // The fold lays a bend half made in a wider arc than the nose, round which it goes.
        let free = self.radius() + self.part.thickness;
        self.all_but(tool, name, width, free, |stage| {
            // Turned past its angle the sheet is tighter than in the end, and draws to the nose.
            let sight = brake::sight_line(self.radius().min(stage.bend.radius));
            self.at_end(stage, way, false).shifted(sight, 0.0)
        })
    }

    /// Whether a tool under the held side clears.
    pub(super) fn clamped_below(
        &self,
        way: &Way,
        tool: &Outline,
        name: &'static str,
        width: Option<f64>,
    ) -> Result<(), Why> {
        let down = -self.part.thickness;
        self.all(tool, name, width, |stage| self.at_end(stage, way, false).shifted(0.0, down))
    }

    /// Whether a tool that swings under the flange clears.
    pub(super) fn swung(&self, way: &Way, tool: &Outline, name: &'static str) -> Result<(), Why> {
        let down = -self.part.thickness;
        self.all(tool, name, None, |stage| self.at_end(stage, way, true).shifted(0.0, down))
    }

    /// Whether a punch clears; its tip stands in the bend.
    pub(super) fn pushed(
        &self,
        way: &Way,
        tool: &Outline,
        name: &'static str,
        v: f64,
        width: Option<f64>,
    ) -> Result<(), Why> {
        // The tip itself is pressed into the sheet: the two faces there close on it by
        // their angle, which is tried apart, and so does the sheet within the V.
        self.all_but(tool, name, width, v / 2.0, |stage| self.in_middle(stage, way))
    }

    /// Whether a die clears; its mouth lies under the bend as deep as the punch has gone.
    pub(super) fn received(
        &self,
        way: &Way,
        tool: &Outline,
        name: &'static str,
        v: f64,
        width: Option<f64>,
    ) -> Result<(), Why> {
        let thickness = self.part.thickness;
        self.all_but(tool, name, width, v, |stage| {
            let top = brake::shoulders(v, thickness, stage.bend.radius, stage.turn);
            self.in_middle(stage, way).shifted(0.0, top)
        })
    }

    fn in_middle(&self, stage: &Stage, way: &Way) -> Plane {
        let frame = stage.bend.frame_at(0.5);
        Plane::new(&frame, self.up(), self.part.thickness, self.sign(way))
    }

    fn all(
        &self,
        tool: &Outline,
        name: &'static str,
        width: Option<f64>,
        plane: impl Fn(&Stage) -> Plane,
    ) -> Result<(), Why> {
        self.all_but(tool, name, width, 0.0, plane)
    }

    /// Whether a tool clears at every stage. The two faces beside the bend may touch it
    /// within `free` of its origin, across and up.
    fn all_but(
        &self,
        tool: &Outline,
        name: &'static str,
        width: Option<f64>,
        free: f64,
        plane: impl Fn(&Stage) -> Plane,
    ) -> Result<(), Why> {
        let edges: Vec<Edge> = tool.edges().collect();
        let bounds = tool.bounds().grown(self.part.thickness);
        let bend = &self.part.bends[self.bend];
        for stage in &self.stages {
            let plane = plane(stage);
            let middle = stage.bend.width / 2.0;
            for piece in &stage.pieces {
                let mut seen: Vec<[f64; 3]> =
                    piece.corners.iter().map(|p| plane.seen(*p)).collect();
                if let Some(width) = width {
                    seen = cut(&seen, 0, middle - width / 2.0, middle + width / 2.0);
                }
                let sides: Vec<Vec<[f64; 3]>> = match piece.what {
                    Obstacle::Face(face) if face == bend.from || face == bend.to => {
                        let far = f64::INFINITY;
                        let beside = [cut(&seen, 1, free, far), cut(&seen, 1, -far, -free)];
                        let above = cut(&cut(&seen, 1, -free, free), 2, free, far);
                        beside.into_iter().chain([above]).collect()
                    }
                    _ => vec![seen],
                };
                for side in sides.iter().filter(|side| !side.is_empty()) {
                    let flat: Vec<Point> = side.iter().map(|c| Point::new(c[1], c[2])).collect();
                    let own = flat.iter().skip(1).fold(boxed(flat[0]), |b, p| b.with(*p));
                    let near = own.distance(&bounds) <= 0.0;
                    let least = self.part.thickness / 2.0 - TOUCH;
                    if near && distance(&flat, tool, &edges) < least {
                        return Err(Why::Hits { what: piece.what, tool: name, at: stage.turn });
                    }
                }
            }
        }
        Ok(())
    }
}

impl Plane {
    /// The plane over a frame, from the sheet's inside face up; u along its y or against it.
    fn new(frame: &Frame, up: bool, thickness: f64, sign: f64) -> Self {
        let (v, origin) = match up {
            true => (frame.z, frame.origin),
            false => (
                fold::times(frame.z, -1.0),
                fold::plus(frame.origin, fold::times(frame.z, -thickness)),
            ),
        };
        Self { origin, along: frame.x, u: fold::times(frame.y, sign), v }
    }

    fn shifted(self, u: f64, v: f64) -> Self {
        let moved = fold::plus(fold::times(self.u, u), fold::times(self.v, v));
        Self { origin: fold::plus(self.origin, moved), ..self }
    }

    fn seen(&self, p: Space) -> [f64; 3] {
        let from = fold::minus(p, self.origin);
        [self.along, self.u, self.v].map(|axis| fold::dot(from, axis))
    }
}

fn boxed(p: Point) -> crate::geom::Bounds {
    crate::geom::Bounds { least: p, most: p }
}

/// Faces and bends of a folded part, but for the bend under way.
fn pieces(folded: &Folded, under_way: usize, thickness: f64) -> Vec<Piece> {
    let middle = -thickness / 2.0;
    let faces = folded.faces.iter().map(|face| {
        let corners = flatten(face.region.outer(), CHORD, Side::On);
        let corners = corners.into_iter().map(|p| face.frame.point(p, middle));
        Piece { what: Obstacle::Face(face.face), corners: corners.collect() }
    });
    let bends = folded.bends.iter().filter(|bend| bend.bend != under_way).flat_map(|bend| {
        [0.0, 0.5].map(|from| {
            let ends =
                [(0.0, from), (bend.width, from), (bend.width, from + 0.5), (0.0, from + 0.5)];
            let corners = ends.map(|(along, share)| bend.point(along, share, middle));
            Piece { what: Obstacle::Bend(bend.bend), corners: corners.to_vec() }
        })
    });
    faces.chain(bends).collect()
}

/// The part of a polygon between two values of one coordinate.
fn cut(polygon: &[[f64; 3]], axis: usize, low: f64, high: f64) -> Vec<[f64; 3]> {
    let above = half(polygon, axis, low, 1.0);
    half(&above, axis, high, -1.0)
}

fn half(polygon: &[[f64; 3]], axis: usize, at: f64, sign: f64) -> Vec<[f64; 3]> {
    if at.is_infinite() {
        return polygon.to_vec();
    }
    let over = |c: &[f64; 3]| sign * (c[axis] - at);
    let mut kept = Vec::with_capacity(polygon.len() + 2);
    let next = polygon.iter().cycle().skip(1);
    for (a, b) in polygon.iter().zip(next) {
        let (from, to) = (over(a), over(b));
        if from > 0.0 {
            kept.push(*a);
        }
        if (from > 0.0) != (to > 0.0) {
            let share = from / (from - to);
            kept.push([0, 1, 2].map(|i| a[i] + (b[i] - a[i]) * share));
        }
    }
    kept
}

/// From a polygon to a tool, mm; 0 where they overlap.
fn distance(polygon: &[Point], tool: &Outline, edges: &[Edge]) -> f64 {
    if polygon.iter().any(|p| tool.contains(*p)) || within(polygon, edges[0].from) {
        return 0.0;
    }
    let mut least = f64::INFINITY;
    let next = polygon.iter().cycle().skip(1);
    for (a, b) in polygon.iter().zip(next) {
        let edge = Edge::line(*a, *b);
        for tool in edges {
            least = least.min(edge_distance(&edge, tool));
        }
    }
    least
}

/// Whether a point lies in a polygon.
fn within(polygon: &[Point], p: Point) -> bool {
    let next = polygon.iter().cycle().skip(1);
    let crossings = polygon.iter().zip(next).filter(|(a, b)| {
        let straddles = (a.y > p.y) != (b.y > p.y);
        straddles && p.x < a.x + (b.x - a.x) * (p.y - a.y) / (b.y - a.y)
    });
    crossings.count() % 2 == 1
}

/// How far each bend has been turned when those of a set are made and one is under way.
pub(super) fn turns(part: &Part, made: u32, under_way: usize, turn: Angle) -> Vec<Angle> {
    let bends = part.bends.iter().enumerate();
    let turn = |(i, bend): (usize, &crate::part::Bend)| match i == under_way {
        true => turn,
        false if made & (1 << i) != 0 => bend.bend.turn(),
        false => Angle::ZERO,
    };
    bends.map(turn).collect()
}

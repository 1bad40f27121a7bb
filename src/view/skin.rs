//! The skin of one or several solids, ready for lines of sight.

use crate::geom::Bounds;
use crate::geom::Point;
use crate::geom::Space;
use crate::geom::cross;
use crate::geom::dot;
use crate::geom::length;
use crate::geom::minus;
use crate::geom::plus;
use crate::geom::ring_holds;
use crate::geom::times;
use crate::solid::Solid;
use crate::view::camera::Camera;
use crate::view::course::Course;
use crate::view::course::TURN;
use crate::view::shape::Shape;

/// A surface this near to the start of a line of sight does not hide that place, mm: it is its own.
const OWN: f64 = 4e-3;

/// Sine of an angle at which two sides run on smoothly into each other.
const SMOOTH: f64 = 1e-3;

/// A piece of skin.
pub(super) struct Side {
    pub(super) shape: Shape,
    /// 1 where the shape's own normal points out of the metal, else −1.
    pub(super) sign: f64,
    /// Its outline and its openings in the shape's own coordinates, metal to the left as seen
    /// from outside.
    pub(super) rings: Vec<Vec<Point>>,
    extent: Bounds,
    /// Points along them, in space.
    pub(super) points: Vec<Space>,
    /// The body it belongs to.
    pub(super) body: usize,
}

/// An edge between two sides.
pub(super) struct SkinEdge {
    pub(super) course: Course,
    /// The side that passes it from start to end, then the other.
    pub(super) sides: [usize; 2],
    /// Whether it surrounds an opening of either.
    pub(super) is_inner: bool,
}

/// How an edge is seen at one of its places, before anything else hides it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Look {
    /// The metal beside it hides it.
    Away,
    /// Two sides run on into each other.
    Smooth,
    /// Both sides beside it are seen.
    Crease,
    /// One side is visible, the other faces away.
    Contour,
}

/// The skin of all bodies of a view.
pub struct Skin {
    pub(super) sides: Vec<Side>,
    pub(super) edges: Vec<SkinEdge>,
}

impl Skin {
    /// The skin of solids, each in its position.
    pub fn of(solids: &[Solid]) -> Self {
        let mut skin = Self { sides: Vec::new(), edges: Vec::new() };
        for (body, solid) in solids.iter().enumerate() {
            skin.add(solid, body);
        }
        skin
    }

    fn add(&mut self, solid: &Solid, body: usize) {
        let first = self.sides.len();
        let courses: Vec<Course> = solid.edges.iter().map(|e| Course::of(solid, e)).collect();
        let mut beside = vec![([first; 2], false); courses.len()];
        for side in &solid.sides {
            let index = self.sides.len();
            for (l, edges) in side.loops.iter().enumerate() {
                for (edge, forward) in edges {
                    let (sides, is_inner) = &mut beside[*edge];
                    sides[usize::from(!*forward)] = index;
                    *is_inner |= l > 0;
                }
            }
            self.sides.push(Side::of(side, &courses, body));
        }
        let edges = courses.into_iter().zip(beside);
        self.edges.extend(edges.map(|(course, (sides, is_inner))| SkinEdge {
            course,
            sides,
            is_inner,
        }));
    }

    /// The normal out of the metal on a side at a place.
    pub(super) fn normal(&self, side: usize, at: Space) -> Space {
        times(self.sides[side].shape.normal(at), self.sides[side].sign)
    }

    /// How an edge is seen at a place on it, which runs along a direction there.
    pub(super) fn look(&self, edge: &SkinEdge, at: Space, along: Space, near: Space) -> Look {
        let normals = edge.sides.map(|side| self.normal(side, at));
        let towards = normals.map(|n| dot(n, near));
        if dot(normals[0], normals[1]) > 0.0 && length(cross(normals[0], normals[1])) < SMOOTH {
            return if towards[0] > -1e-9 { Look::Smooth } else { Look::Away };
        }
        // Into the first side from the edge.
        let into = cross(normals[0], along);
        let is_convex = dot(into, normals[1]) < 0.0;
        let seen = towards.map(|t| t > 1e-6);
        match (is_convex, seen) {
            (_, [true, true]) => Look::Crease,
            (true, [true, false] | [false, true]) => Look::Contour,
            // A hollow whose other side is seen edge-on.
            (false, [true, false] | [false, true]) if towards.iter().all(|t| *t > -1e-6) => {
                Look::Crease
            }
            _ => Look::Away,
        }
    }
}

impl Side {
    fn of(side: &crate::solid::Side, courses: &[Course], body: usize) -> Self {
        let starts = side.loops.iter().flatten().map(|(edge, _)| courses[*edge].at(0.0));
        let (shape, turned) = Shape::of(&side.surface, starts);
        let (mut rings, mut points) = (Vec::new(), Vec::new());
        let mut extent = Bounds::EMPTY;
        for edges in &side.loops {
            let mut ring: Vec<Point> = Vec::new();
            for (edge, forward) in edges {
                let (course, pieces) = (&courses[*edge], courses[*edge].pieces());
                for i in 0..pieces {
                    let share = i as f64 / pieces as f64;
                    let p = course.at(if *forward { share } else { 1.0 - share });
                    let round = ring.last().map_or(0.0, |last| last.x);
                    ring.push(shape.own(p, round));
                    points.push(p);
                }
            }
            if rings.is_empty() {
                extent = ring.iter().fold(Bounds::EMPTY, |b, p| b.with(*p));
            } else if matches!(shape, Shape::Round { .. }) {
                let middle = extent.centre().x - ring.first().map_or(0.0, |p| p.x);
                let turns = TURN * (middle / TURN).round();
                ring.iter_mut().for_each(|p| p.x += turns);
            }
            rings.push(ring);
        }
        if let Shape::Ruled(pairs) = &shape {
            points.extend(pairs.iter().flatten());
        }
        let sign = if side.outward == turned { -1.0 } else { 1.0 };
        Self { shape, sign, rings, extent, points, body }
    }

    /// Whether a place in the shape's own coordinates is on it.
    pub(super) fn contains(&self, p: Point) -> bool {
        let within = |p: Point| {
            self.extent.contains(p)
                && self.rings.iter().filter(|ring| ring_holds(ring, p)).count() % 2 == 1
        };
        match self.shape {
            Shape::Plane(_) => within(p),
            Shape::Round { .. } => {
                // Its angle may be any number of turns off.
                let off = ((self.extent.min.x - p.x) / TURN).ceil() * TURN;
                within(Point::new(p.x + off, p.y))
            }
            Shape::Ruled(_) => false,
        }
    }

    /// Distances along a line of sight at which it meets sides that face the viewer: nearest and
    /// farthest.
    pub(super) fn met(&self, from: Space, way: Space) -> [Option<f64>; 2] {
        if let Shape::Ruled(pairs) = &self.shape {
            return self.met_ruled(pairs, from, way);
        }
        self.shape.met(from, way).map(|t| {
            t.filter(|t| {
                let p = plus(from, times(way, *t));
                dot(self.shape.normal(p), way) * self.sign > 1e-9
                    && self.contains(self.shape.own(p, 0.0))
            })
        })
    }

    fn met_ruled(&self, pairs: &[[Space; 2]], from: Space, way: Space) -> [Option<f64>; 2] {
        let mut met = [None, None];
        for two in pairs.windows(2) {
            let [[a, b], [c, d]] = [two[0], two[1]];
            for t in [[a, c, d], [a, d, b]]
                .into_iter()
                .filter_map(|tri| triangle(&tri, from, way, self.sign))
            {
                met[0] = Some(met[0].map_or(t, |m: f64| m.min(t)));
                met[1] = Some(met[1].map_or(t, |m: f64| m.max(t)));
            }
        }
        met
    }
}

/// How far along a line of sight a triangle is met whose corners run anticlockwise seen against
/// its normal.
fn triangle([a, b, c]: &[Space; 3], from: Space, way: Space, sign: f64) -> Option<f64> {
    let (u, v) = (minus(*b, *a), minus(*c, *a));
    let normal = cross(u, v);
    let speed = dot(normal, way);
    if speed * sign <= 1e-12 {
        return None;
    }
    let t = dot(minus(*a, from), normal) / speed;
    let p = minus(plus(from, times(way, t)), *a);
    let square = dot(normal, normal);
    let [s, r] = [dot(cross(p, v), normal) / square, dot(cross(u, p), normal) / square];
    (s >= 0.0 && r >= 0.0 && s + r <= 1.0).then_some(t)
}

/// The sides that face a viewer, with their positions on paper.
pub struct Sight<'a> {
    pub(super) skin: &'a Skin,
    /// From where.
    pub camera: Camera,
    sides: Vec<(usize, Bounds)>,
}

impl<'a> Sight<'a> {
    /// The visible sides of a skin.
    pub fn new(skin: &'a Skin, camera: Camera) -> Self {
        let bounds =
            |side: &Side| side.points.iter().fold(Bounds::EMPTY, |b, p| b.with(camera.paper(*p)));
        let may_hide = |side: &Side| match &side.shape {
            Shape::Plane(frame) => camera.faces(frame.z) * side.sign > 1e-9,
            _ => true,
        };
        let sides = skin.sides.iter().enumerate().filter(|(_, side)| may_hide(side));
        let sides = sides.map(|(i, side)| (i, bounds(side))).collect();
        Self { skin, camera, sides }
    }

    /// Whether metal hides a place, which may be on its surface.
    pub(crate) fn hides(&self, at: Space) -> bool {
        self.met(at).any(|t| t > OWN)
    }

    /// How far below a place, along the line of sight, there is metal; `None` if there is only air.
    pub(super) fn below(&self, at: Space) -> Option<f64> {
        self.met(at).filter(|t| *t <= OWN).map(|t| -t).min_by(f64::total_cmp)
    }

    fn met(&self, at: Space) -> impl Iterator<Item = f64> {
        let (near, p) = (self.camera.near, self.camera.paper(at));
        let over =
            move |b: &Bounds| b.min.x <= p.x && p.x <= b.max.x && b.min.y <= p.y && p.y <= b.max.y;
        let sides = self.sides.iter().filter(move |(_, bounds)| over(bounds));
        sides.flat_map(move |(i, _)| self.skin.sides[*i].met(at, near)).flatten()
    }
}

//! Segments that divide a face by themselves.
//!
//! A path may turn in the plane of its face, and the metal may be narrowest at any angle: so the
//! outline is cut along parallel lines in all directions, and where it is narrowest at its inside
//! corners.

use crate::geom::Edge;
use crate::geom::Outline;
use crate::geom::Point;
use crate::geom::Vec2;
use crate::geom::heading;
use crate::geom::rotated;
use crate::num::Angle;
use crate::strength::line::Line;

/// Directions of the lines, over half a turn. Our choice.
const DIRECTIONS: u32 = 36;
/// Lines in each direction. Our choice.
const OFFSETS: u32 = 60;
/// Pieces of an arc of the outline, and how many of these count as one corner.
const PIECES: u32 = 32;
const PER_CORNER: usize = 4;
/// Maximum number of inside corners that are joined. Our choice.
const MAX_CORNERS: usize = 64;
/// Maximum number of inside corners from which chords run in all directions. Our choice.
const MAX_RAYED: usize = 24;
/// Number of other sides to which the shortest line from a corner is sought: the pieces of arcs
/// near it, and those beyond. Our choice.
const MAX_SIDES: usize = 4 * PIECES as usize;
/// A point of an outline is moved into the metal by this, mm.
const INTO: f64 = 2e-3;
/// A chord to the end of a side stops this short of it, mm: more than the size of a rounded
/// corner. Shorter sides are pieces of arcs, which chords in all directions meet anyway.
const BEFORE_END: f64 = 0.02;
const SHORT_SIDE: f64 = 1.0;
/// A shorter segment parts nothing, mm.
const SHORTEST: f64 = 1e-2;
/// Two places nearer than this are one, mm: more than the rounding of coordinates, so that the
/// drawing of a face has no influence.
const SAME: f64 = 1e-6;

/// An outline in straight pieces, anticlockwise.
pub(super) struct Contour {
    pub(super) points: Vec<Point>,
    /// The inside corners.
    corners: Vec<usize>,
    /// Where its edges meet and some of the points of its arcs; all of a circle.
    pub(super) marks: Vec<Point>,
}

/// A place of an outline: the number of its piece, and the share of that.
#[derive(Clone, Copy, Debug)]
pub(super) struct Place {
    pub(super) at: Point,
    pub(super) order: f64,
}

/// A segment inside an outline, from place to place of it.
#[derive(Clone, Copy, Debug)]
pub(super) struct Chord {
    pub(super) from: Place,
    pub(super) to: Place,
}

impl Chord {
    /// Its line through its first end, the load on its right; and how long it is, mm.
    pub(super) fn line(&self) -> (Line, f64) {
        let step = self.to.at - self.from.at;
        let along = step.normalize();
        (Line { at: self.from.at, toward: Vec2::new(along.y, -along.x) }, step.hypot())
    }

    pub(super) fn reversed(&self) -> Self {
        Self { from: self.to, to: self.from }
    }
}

impl Contour {
    /// An outline; a circle from a direction, so that the way it is drawn has no influence.
    pub(super) fn of(outline: &Outline, first: Vec2) -> Self {
        let mut points: Vec<(Point, bool)> = Vec::new();
        if let Some((centre, radius)) = outline.circle() {
            let out = |i: u32| turned(first, i, 2 * PIECES) * radius;
            points.extend((0..2 * PIECES).map(|i| (centre + out(i), false)));
        } else {
            for edge in outline.edges() {
                let count = if edge.arc().is_some() { PIECES } else { 1 };
                let at = |i: u32| edge.point_at(f64::from(i) / f64::from(count));
                points.extend((0..count).map(|i| (at(i), (i as usize).is_multiple_of(PER_CORNER))));
            }
        }
        let count = points.len();
        let area: f64 = (0..count)
            .map(|i| points[i].0.to_vec2().cross(points[(i + 1) % count].0.to_vec2()))
            .sum();
        if area < 0.0 {
            points.reverse();
        }
        let bends_in = |i: &usize| {
            let (before, after) = (points[(i + count - 1) % count].0, points[(i + 1) % count].0);
            let (into, out) = (points[*i].0 - before, after - points[*i].0);
            points[*i].1 && into.cross(out) < -1e-6 * into.hypot() * out.hypot()
        };
        let corners = (0..count).filter(bends_in).collect();
        let is_circle = outline.circle().is_some();
        let marks = points.iter().filter(|p| is_circle || p.1).map(|p| p.0).collect();
        Self { points: points.into_iter().map(|p| p.0).collect(), corners, marks }
    }

    /// With the inside corners nearest to the load and the support first, limited to the maximum
    /// number: the same ones wherever the outline begins.
    pub(super) fn between(mut self, load: Point, held: Point) -> Self {
        let way = |i: &usize| {
            let corner = self.points[*i];
            (corner - load).hypot() + (corner - held).hypot()
        };
        self.corners.sort_by(|a, b| way(a).total_cmp(&way(b)));
        self.corners.truncate(MAX_CORNERS);
        self
    }

    fn sides(&self) -> impl Iterator<Item = (Point, Point)> + '_ {
        let next = self.points.iter().cycle().skip(1);
        self.points.iter().copied().zip(next.copied())
    }

    /// A place of the outline, or one inside it, moved into its metal.
    pub(super) fn inner(&self, p: Point) -> Option<Point> {
        let moved = (0..16).map(|i| {
            let rotation = Angle::from_degrees(22.5 * f64::from(i));
            p + heading(rotation) * INTO
        });
        // Clear of the outline: at a corner many ways lead out.
        let (sum, count) = moved
            .filter(|q| contains(&self.points, *q))
            .fold((Vec2::ZERO, 0.0), |(sum, n), q| (sum + q.to_vec2(), n + 1.0));
        (count > 0.0).then(|| (sum / count).to_point())
    }

    /// The chords that separate all of `load` from all of `held`, with the load on their right.
    pub(super) fn separating(
        &self,
        load: &[Point],
        held: &[Point],
        open: &[Self],
        path: Vec2,
    ) -> Vec<Chord> {
        // From the path, so that the way the face is drawn has no influence.
        let mut chords = self.parallel(path);
        chords.extend(self.shortest());
        chords.extend(self.rays(path));
        chords.extend(self.to_ends());
        chords.extend(open.iter().flat_map(|opening| self.past(opening, path)));
        chords.iter().filter_map(|chord| self.separated(chord, load, held)).collect()
    }

    /// A chord with all of `load` on its right and all of `held` on its left.
    pub(super) fn separated(&self, chord: &Chord, load: &[Point], held: &[Point]) -> Option<Chord> {
        let piece = self.right_of(chord);
        let is_in = |p: &Point| contains(&piece, *p);
        let is_long = chord.line().1 > SHORTEST;
        if load.iter().all(is_in) && !held.iter().any(is_in) {
            return is_long.then_some(*chord);
        }
        let is_turned = held.iter().all(is_in) && !load.iter().any(is_in);
        (is_turned && is_long).then(|| chord.reversed())
    }

    /// What of the outline is on the right of a chord.
    fn right_of(&self, chord: &Chord) -> Vec<Point> {
        let (from, to) = (chord.from, chord.to);
        let count = self.points.len();
        let (first, last) = (from.order.floor() as usize, to.order.floor() as usize);
        let is_straight_on = first == last && to.order >= from.order;
        let steps = if is_straight_on { 0 } else { (last + count - first - 1) % count + 1 };
        let between = (1..=steps).map(|i| self.points[(first + i) % count]);
        std::iter::once(from.at).chain(between).chain(std::iter::once(to.at)).collect()
    }

    /// The chords along parallel lines in all directions, counted from one.
    fn parallel(&self, first: Vec2) -> Vec<Chord> {
        let mut chords = Vec::new();
        for i in 0..DIRECTIONS {
            let toward = turned(first, i, 2 * DIRECTIONS);
            let heights = self.points.iter().map(|p| p.to_vec2().dot(toward));
            let (low, high) =
                heights.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), d| (l.min(d), h.max(d)));
            for i in 0..OFFSETS {
                let height = low + (high - low) * (f64::from(i) + 0.5) / f64::from(OFFSETS);
                chords.extend(self.along(&Line { at: (toward * height).to_point(), toward }));
            }
        }
        chords
    }

    pub(super) fn along(&self, line: &Line) -> Vec<Chord> {
        let crossed = self.sides().enumerate().filter_map(|(i, (from, to))| {
            let (a, b) = (line.ahead(from), line.ahead(to));
            ((a >= 0.0) != (b >= 0.0)).then(|| {
                let share = a / (a - b);
                Place { at: from.lerp(to, share), order: i as f64 + share.min(1.0 - 1e-9) }
            })
        });
        let mut places: Vec<Place> = crossed.collect();
        places.sort_by(|a, b| line.place(a.at).total_cmp(&line.place(b.at)));
        places.chunks_exact(2).map(|pair| Chord { from: pair[0], to: pair[1] }).collect()
    }

    /// The chords between inside corners, and from each to the side nearest to it and square to
    /// all.
    fn shortest(&self) -> Vec<Chord> {
        let corner = |i: &usize| Place { at: self.points[*i], order: *i as f64 };
        let mut chords = Vec::new();
        for (n, i) in self.corners.iter().enumerate() {
            let from = corner(i);
            let others = self.corners[n + 1..].iter().map(|j| Chord { from, to: corner(j) });
            chords.extend(others.filter(|chord| self.is_inside(chord)));
            let place = |(j, (a, b)): (usize, (Point, Point))| {
                let step = b - a;
                let share = (from.at - a).dot(step) / step.dot(step);
                let past = SAME / step.hypot();
                let is_square = (-past..=1.0 + past).contains(&share);
                let share = share.clamp(0.0, 1.0);
                let order = j as f64 + share.min(1.0 - 1e-9);
                (Place { at: a.lerp(b, share), order }, is_square)
            };
            let mut near: Vec<(Place, bool)> = self.sides().enumerate().map(place).collect();
            let far = |place: &Place| (place.at - from.at).hypot();
            near.retain(|(place, _)| far(place) > SHORTEST);
            near.sort_by(|a, b| far(&a.0).total_cmp(&far(&b.0)));
            let ways = near.iter().take(MAX_SIDES);
            let ways = ways.map(|(to, is_square)| (Chord { from, to: *to }, *is_square));
            let mut ways = ways.filter(|(chord, _)| self.is_inside(chord));
            let Some((first, _)) = ways.next() else { continue };
            // Of equally short lines all count, and all that are square to a side: the nearest may
            // only cut off a notch beside the corner.
            let min = far(&first.to) + SAME;
            chords.push(first);
            let counts = |(chord, is_square): &(Chord, bool)| *is_square || far(&chord.to) < min;
            chords.extend(ways.filter(counts).map(|(chord, _)| chord));
        }
        chords
    }

    /// The chords from each inside corner in all directions: where a path turns round it, that
    /// which governs need not be the shortest.
    fn rays(&self, path: Vec2) -> Vec<Chord> {
        let corners = self.corners.iter().take(MAX_RAYED);
        let from = corners.map(|i| Place { at: self.points[*i], order: *i as f64 });
        let ways = |from| (0..2 * DIRECTIONS).map(move |i| (from, turned(path, i, 2 * DIRECTIONS)));
        let chords = from.flat_map(ways).flat_map(|(from, way)| self.ray(from, way));
        chords.filter(|chord| self.is_inside(chord)).collect()
    }

    /// The chords in one direction to the first side that is met, and to those of which before it
    /// only an end is met: by rounding that may be missed or not.
    fn ray(&self, from: Place, way: Vec2) -> Vec<Chord> {
        let met = self.sides().enumerate().filter_map(|(j, (a, b))| {
            let (side, off) = (b - a, a - from.at);
            let far = off.cross(side) / way.cross(side);
            let share = off.cross(way) / way.cross(side);
            let past = SAME / side.hypot();
            let is_met = far > SHORTEST && (-past..1.0 + past).contains(&share);
            let is_end = share < past || share > 1.0 - past;
            is_met.then_some((far, j as f64 + share.clamp(0.0, 1.0 - 1e-9), is_end))
        });
        let mut met: Vec<(f64, f64, bool)> = met.collect();
        met.sort_by(|a, b| a.0.total_cmp(&b.0));
        let first = met.iter().position(|(.., is_end)| !is_end).unwrap_or(met.len());
        let chord = |(far, order, _): &(f64, f64, bool)| Chord {
            from,
            to: Place { at: from.at + way * *far, order: *order },
        };
        met.iter().take(first + 1).map(chord).collect()
    }

    /// The chords from each inside corner to the ends of the straight sides: no direction beyond
    /// these, or close to them, need be tried.
    fn to_ends(&self) -> Vec<Chord> {
        let corners = self.corners.iter().take(MAX_RAYED);
        let long = |(_, (a, b)): &(usize, (Point, Point))| (*b - *a).hypot();
        let sides = self.sides().enumerate().filter(|side| long(side) > SHORT_SIDE);
        let mut sides: Vec<_> = sides.collect();
        sides.sort_by(|a, b| long(b).total_cmp(&long(a)));
        let ends = sides.into_iter().take(MAX_CORNERS).flat_map(|(j, (a, b))| {
            let share = BEFORE_END / (b - a).hypot();
            [share, 1.0 - share].map(|at| Place { at: a.lerp(b, at), order: j as f64 + at })
        });
        let ends: Vec<Place> = ends.collect();
        let from = corners.map(|i| Place { at: self.points[*i], order: *i as f64 });
        let chords = from.flat_map(|from| ends.iter().map(move |to| Chord { from, to: *to }));
        chords.filter(|chord| self.is_inside(chord)).collect()
    }

    /// The chords through the corners of an opening, along the shortest way from each to the
    /// outline, to its inside corners and in all directions: there ligaments are narrowest.
    fn past(&self, opening: &Self, path: Vec2) -> Vec<Chord> {
        let sum = opening.points.iter().fold(Vec2::ZERO, |sum, p| sum + p.to_vec2());
        let centre = (sum / opening.points.len() as f64).to_point();
        let away = |corner: Point, (a, b): (Point, Point)| {
            let share = ((corner - a).dot(b - a) / (b - a).dot(b - a)).clamp(0.0, 1.0);
            a.lerp(b, share) - corner
        };
        // The pieces of an arc are no corners: lines in all directions meet it anyway.
        let turns = if opening.points.len() < PIECES as usize { DIRECTIONS } else { 0 };
        let around = (0..turns).map(|i| turned(path, i, 2 * DIRECTIONS));
        let ways = |corner: Point| {
            let ways = self.sides().map(|side| away(corner, side));
            let min = ways.min_by(|a, b| a.hypot().total_cmp(&b.hypot()));
            let corners = self.corners.iter().map(move |i| self.points[*i] - corner);
            let all = min.into_iter().chain(corners);
            all.chain(around.clone()).filter(|way| way.hypot() > SHORTEST)
        };
        let through = |(corner, way): (Point, Vec2)| {
            // Through the opening, not along its corner.
            let at = corner.lerp(centre, INTO);
            let line = Line { at, toward: Vec2::new(way.y, -way.x).normalize() };
            let is_here = |c: &Chord| line.place(c.from.at) < 0.0 && line.place(c.to.at) > 0.0;
            self.along(&line).into_iter().find(is_here)
        };
        let corners = opening.marks.iter().copied().take(MAX_CORNERS);
        corners
            .flat_map(|corner| ways(corner).map(move |way| (corner, way)))
            .filter_map(through)
            .collect()
    }

    /// Whether a segment runs inside the outline, and not along it.
    pub(super) fn is_inside(&self, chord: &Chord) -> bool {
        let (a, b) = (chord.from.at, chord.to.at);
        let step = b - a;
        let is_between = |p: Point, q: Point| {
            let (of_p, of_q) = (step.cross(p - a), step.cross(q - a));
            let (of_a, of_b) = ((q - p).cross(a - p), (q - p).cross(b - p));
            let apart = |x: f64, y: f64| x * y < 0.0 && x.abs().min(y.abs()) > 1e-6;
            apart(of_p, of_q) && apart(of_a, of_b)
        };
        let is_inside = |p: Point| {
            let mut sides = self.sides().map(|(from, to)| Edge::line(from, to));
            contains(&self.points, p) && !sides.any(|side| (side.nearest(p) - p).hypot() < SAME)
        };
        let inside = [0.02, 0.5, 0.98].iter().all(|t| is_inside(a.lerp(b, *t)));
        step.hypot() > SHORTEST && inside && !self.sides().any(|(p, q)| is_between(p, q))
    }
}

/// A direction rotated by a share of a full turn.
fn turned(first: Vec2, parts: u32, of: u32) -> Vec2 {
    rotated(first, 360.0 / f64::from(of) * f64::from(parts))
}

/// Whether a point is in a polygon: an odd number of its sides is above it.
fn contains(polygon: &[Point], p: Point) -> bool {
    let next = polygon.iter().cycle().skip(1);
    let is_above = |(a, b): &(&Point, &Point)| {
        (a.x > p.x) != (b.x > p.x) && a.y + (b.y - a.y) * (p.x - a.x) / (b.x - a.x) > p.y
    };
    polygon.iter().zip(next).filter(is_above).count() % 2 == 1
}

//! The lines of a view: edges and contours as far as nothing hides them.

use crate::geom::Bounds;
use crate::geom::Edge;
use crate::geom::Point;
use crate::geom::Space;
use crate::geom::Vec2;
use crate::geom::dot;
use crate::geom::minus;
use crate::geom::plus;
use crate::geom::ring_sides;
use crate::geom::times;
use crate::view::course::Course;
use crate::view::course::TURN;
use crate::view::crossings::Crossings;
use crate::view::shape::Shape;
use crate::view::skin::Look;
use crate::view::skin::Side;
use crate::view::skin::Sight;
use crate::view::skin::Skin;
use crate::view::skin::SkinEdge;

/// Shorter lengths of an edge are merged with their neighbours, mm.
const SPECK: f64 = 2e-3;

/// A turning point this near to the end of a round side, radians, is that end.
const EDGE: f64 = 1e-6;

/// The kind of a line of a view.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum LineKind {
    /// The part ends here, and the background is far off or empty.
    Silhouette,
    /// An edge of the metal.
    Edge,
    /// A bend begins or ends here.
    Tangent,
}

/// A line of a view.
#[derive(Clone, Debug)]
pub struct SeenLine {
    /// Its kind.
    pub kind: LineKind,
    /// Along it, on paper at true size, mm.
    pub edges: Vec<Edge>,
}

/// Something that may be drawn: an edge, or where a round side turns away.
struct Candidate<'a> {
    course: Of<'a>,
    edge: Option<&'a SkinEdge>,
    body: usize,
}

enum Of<'a> {
    Known(&'a Course),
    Own(Course),
}

impl Candidate<'_> {
    fn course(&self) -> &Course {
        match &self.course {
            Of::Known(course) => course,
            Of::Own(course) => course,
        }
    }

    /// How it is seen at a share of its way, before others hide it.
    fn look(&self, sight: &Sight, share: f64) -> Look {
        let Some(edge) = self.edge else { return Look::Contour };
        let step = 1e-4;
        let (a, b) = ((share - step).max(0.0), (share + step).min(1.0));
        let along = minus(edge.course.at(b), edge.course.at(a));
        sight.skin.look(edge, edge.course.at(share), along, sight.camera.near)
    }
}

/// The visible lines of bodies from `first` on. A contour is a silhouette if the surface behind it
/// is more than `far` mm farther off; without `far` none is. `begins` says whether at a place on a
/// smooth edge a bend begins.
pub(super) fn lines(
    sight: &Sight,
    first: usize,
    far: Option<f64>,
    begins: &dyn Fn(Space) -> bool,
) -> Vec<SeenLine> {
    let candidates = candidates(sight, begins);
    let paper = |p: Space| sight.camera.paper(p);
    let mut crossings = Crossings::default();
    let mut stops: Vec<Vec<f64>> = Vec::with_capacity(candidates.len());
    for candidate in &candidates {
        let pieces = candidate.course().pieces();
        let mut at: Vec<f64> = (0..=pieces).map(|i| i as f64 / pieces as f64).collect();
        at.extend(flips(sight, candidate, &at));
        at.sort_by(f64::total_cmp);
        for two in at.windows(2) {
            if candidate.look(sight, (two[0] + two[1]) / 2.0) == Look::Contour {
                crossings.add(two.iter().map(|t| paper(candidate.course().at(*t))));
            }
        }
        stops.push(at);
    }
    let crossings = crossings.sorted();
    let mut lines = Vec::new();
    for (candidate, at) in candidates.iter().zip(stops).filter(|(c, _)| c.body >= first) {
        let mut cuts = at.clone();
        for two in at.windows(2) {
            let [from, to] = [two[0], two[1]];
            let ends = [from, to].map(|t| paper(candidate.course().at(t)));
            cuts.extend(crossings.along(ends).map(|share| from + (to - from) * share));
        }
        cuts.sort_by(f64::total_cmp);
        runs(sight, candidate, &cuts, far, &mut lines);
    }
    lines
}

/// Edges that may be seen, and the lines along which round sides turn away from the viewer.
fn candidates<'a>(sight: &Sight<'a>, begins: &dyn Fn(Space) -> bool) -> Vec<Candidate<'a>> {
    let skin: &Skin = sight.skin;
    let mut all = Vec::new();
    for edge in &skin.edges {
        let middle = edge.course.at(0.5);
        let along = minus(edge.course.at(0.5001), middle);
        let look = skin.look(edge, middle, along, sight.camera.near);
        let is_away = edge.course.is_line() && look == Look::Away && !is_by_ruled(skin, edge);
        if is_away || (look == Look::Smooth && !begins(middle)) {
            continue;
        }
        let body = skin.sides[edge.sides[0]].body;
        all.push(Candidate { course: Of::Known(&edge.course), edge: Some(edge), body });
    }
    for side in &skin.sides {
        let lines = match &side.shape {
            Shape::Plane(_) => Vec::new(),
            Shape::Round { .. } if side.sign < 0.0 => Vec::new(),
            Shape::Round { .. } => round_contours(sight, side),
            Shape::Ruled(pairs) => ruled_contours(sight, pairs, side.sign),
        };
        all.extend(lines.into_iter().map(|l| Candidate {
            course: Of::Own(Course::Line(l)),
            edge: None,
            body: side.body,
        }));
    }
    all
}

/// Whether an edge bounds a ruled side, whose normal varies along a straight line as well.
fn is_by_ruled(skin: &Skin, edge: &SkinEdge) -> bool {
    edge.sides.iter().any(|side| matches!(skin.sides[*side].shape, Shape::Ruled(_)))
}

/// Where a round side, seen from outside, turns away: lengths of straight lines on it.
fn round_contours(sight: &Sight, side: &Side) -> Vec<[Space; 2]> {
    let mut lines = Vec::new();
    let bounds = side.rings.iter().flatten().fold(Bounds::EMPTY, |b, p| b.with(*p));
    for angle in side.shape.edge_on(sight.camera.near) {
        // Where the side begins or ends just there, on the side.
        let turns = ((bounds.min.x - EDGE - angle) / TURN).ceil() * TURN;
        if angle + turns > bounds.max.x + EDGE {
            continue;
        }
        let angle = (angle + turns).clamp(bounds.min.x + EDGE, bounds.max.x - EDGE);
        let mut at: Vec<f64> = Vec::new();
        for ring in &side.rings {
            for (a, b) in ring_sides(ring) {
                if (a.x > angle) != (b.x > angle) {
                    at.push(a.y + (angle - a.x) / (b.x - a.x) * (b.y - a.y));
                }
            }
        }
        at.sort_by(f64::total_cmp);
        let ends = at.chunks_exact(2).map(|two| [two[0], two[1]]);
        lines.extend(ends.map(|z| z.map(|z| side.shape.space(Point::new(angle, z)))));
    }
    lines
}

/// Where a ruled side turns away as a bulge does.
fn ruled_contours(sight: &Sight, pairs: &[[Space; 2]], sign: f64) -> Vec<[Space; 2]> {
    let near = sight.camera.near;
    let normal = |i: usize| times(Shape::ruled_normal(pairs, i), sign);
    let towards: Vec<f64> = (0..pairs.len()).map(|i| dot(normal(i), near)).collect();
    let mut lines = Vec::new();
    for i in 1..pairs.len() {
        let (a, b) = (towards[i - 1], towards[i]);
        if (a > 0.0) == (b > 0.0) {
            continue;
        }
        let along = minus(pairs[i][0], pairs[i - 1][0]);
        let turned = minus(normal(i), normal(i - 1));
        if dot(along, turned) <= 0.0 {
            continue;
        }
        let t = a / (a - b);
        let mix = |end: usize| plus(times(pairs[i - 1][end], 1.0 - t), times(pairs[i][end], t));
        lines.push([mix(0), mix(1)]);
    }
    lines
}

/// Parameters at which the visibility of a curved edge changes, between those tested.
fn flips(sight: &Sight, candidate: &Candidate, at: &[f64]) -> Vec<f64> {
    let Some(edge) = candidate.edge else { return Vec::new() };
    if edge.course.is_line() && !is_by_ruled(sight.skin, edge) {
        return Vec::new();
    }
    let towards = |side: usize, t: f64| {
        sight.camera.faces(sight.skin.normal(edge.sides[side], edge.course.at(t)))
    };
    let mut found = Vec::new();
    for side in [0, 1] {
        if matches!(sight.skin.sides[edge.sides[side]].shape, Shape::Plane(_)) {
            continue;
        }
        for two in at.windows(2) {
            let (mut low, mut high) = (two[0], two[1]);
            let first = towards(side, low) > 0.0;
            if first == (towards(side, high) > 0.0) {
                continue;
            }
            for _ in 0..30 {
                let middle = (low + high) / 2.0;
                if (towards(side, middle) > 0.0) == first { low = middle } else { high = middle }
            }
            found.push(low);
        }
    }
    found
}

/// The lengths of a candidate that are seen, between the places where that may change.
fn runs(
    sight: &Sight,
    candidate: &Candidate,
    cuts: &[f64],
    far: Option<f64>,
    lines: &mut Vec<SeenLine>,
) {
    let course = candidate.course();
    let paper = |t: f64| sight.camera.paper(course.at(t));
    let mut before: Option<LineKind> = None;
    for two in cuts.windows(2) {
        let [from, to] = [two[0], two[1]];
        let ends = [paper(from), paper(to)];
        let middle = (from + to) / 2.0;
        let long = (ends[1] - ends[0]).hypot();
        if long < 1e-9 {
            continue;
        }
        let kind = if long < SPECK { before } else { kind(sight, candidate, middle, ends, far) };
        if let Some(kind) = kind {
            let bulge = bulge(ends, paper(middle));
            let edge = Edge { from: ends[0], to: ends[1], bulge };
            match lines.last_mut().filter(|line| before == Some(kind) && line.kind == kind) {
                Some(line) => line.edges.push(edge),
                None => lines.push(SeenLine { kind, edges: vec![edge] }),
            }
        }
        before = kind;
    }
}

/// The bulge of an arc between two points through a third, halfway.
fn bulge([from, to]: [Point; 2], middle: Point) -> f64 {
    let chord = to - from;
    let off = chord.cross(middle - from) / chord.hypot();
    let bulge = -2.0 * off / chord.hypot();
    if bulge.abs() < 1e-6 { 0.0 } else { bulge.clamp(-1.0, 1.0) }
}

/// The line drawn at a parameter of a candidate; `None` if it is hidden.
fn kind(
    sight: &Sight,
    candidate: &Candidate,
    share: f64,
    ends: [Point; 2],
    far: Option<f64>,
) -> Option<LineKind> {
    let look = candidate.look(sight, share);
    let at = candidate.course().at(share);
    if look == Look::Away || sight.hides(at) {
        return None;
    }
    match look {
        Look::Away => None,
        Look::Smooth => Some(LineKind::Tangent),
        Look::Crease => Some(LineKind::Edge),
        Look::Contour if candidate.edge.is_some_and(|edge| edge.is_inner) => Some(LineKind::Edge),
        Look::Contour => {
            let Some(far) = far else { return Some(LineKind::Edge) };
            // Beside it on either side: on one the part itself, on the other the background.
            let along = (ends[1] - ends[0]).normalize();
            let beside = Vec2::new(-along.y, along.x) * (far * 0.02);
            let drop = |v: Vec2| {
                let shift = plus(times(sight.camera.right, v.x), times(sight.camera.up, v.y));
                sight.below(plus(at, shift)).unwrap_or(f64::INFINITY)
            };
            let behind = drop(beside).max(drop(-beside));
            Some(if behind > far { LineKind::Silhouette } else { LineKind::Edge })
        }
    }
}

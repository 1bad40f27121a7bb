//! How much longer the faces beside a bend must be so that it can be made: parts with longer faces
//! are tried.

use crate::check::subject::Subject;
use crate::check::tried::makes;
use crate::geom::Edge;
use crate::geom::Outline;
use crate::geom::Point;
use crate::geom::Region;
use crate::geom::Vec2;
use crate::geom::Vertex;
use crate::part::Face;
use crate::part::Part;

/// A face beside a bend, by its index, and how much longer it is to be, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Longer {
    pub(super) face: usize,
    pub(super) by: f64,
}

/// What is tried beyond what a tool needs, as shares of the length it needs. Our choice.
const BEYOND: [f64; 5] = [0.0, 0.1, 0.25, 0.5, 1.0];

/// Nearer to the bend than this nothing is moved, mm.
const FOOT: f64 = 0.01;

/// The least of some lengthenings, each with the length that the tool needs, or of larger ones, with
/// which a bend can be made; none where no such part can be drawn or the bend still cannot be made.
pub(super) fn enough(
    subject: &Subject,
    bend: usize,
    wanted: &[(Longer, f64)],
) -> Option<Vec<Longer>> {
    if wanted.is_empty() {
        return None;
    }
    BEYOND.into_iter().find_map(|share| {
        let more = |(longer, needed): &(Longer, f64)| Longer {
            by: rounded(longer.by + share * needed),
            ..*longer
        };
        let longer: Vec<Longer> = wanted.iter().map(more).collect();
        is_made(subject, bend, &longer).then_some(longer)
    })
}

/// Rounded up to a tenth, with some more for rounding in print, mm.
fn rounded(by: f64) -> f64 {
    (by * 10.0 + 0.2).ceil() / 10.0
}

/// Whether the part with longer faces has a bend sequence that makes a bend.
fn is_made(subject: &Subject, bend: usize, longer: &[Longer]) -> bool {
    let Some((shop, _)) = subject.shop else { return false };
    let stretched = |part: Part, of: &Longer| stretched(part, bend, *of);
    let part = longer.iter().try_fold(subject.part.clone(), stretched);
    part.is_some_and(|part| makes(subject, bend, &part, shop))
}

/// The part with one face stretched away from a bend. On a face that the bend carries, what is
/// beyond the foot moves out; on the face that carries it, the bend moves, since the place of that
/// face may hang on another. None across a face, where a bend has a zone of its own.
fn stretched(mut part: Part, bend: usize, longer: Longer) -> Option<Part> {
    let of = &part.bends[bend];
    let is_beside = [of.from, of.to].contains(&longer.face);
    if !is_beside || of.zone.is_some() {
        return None;
    }
    let carries = of.from == longer.face;
    let face = &mut part.faces[longer.face];
    let (at, inward) = match carries {
        true => {
            let edge = face.edges[of.edge].edge;
            let along = edge.direction_at_start();
            (edge.from, Vec2::new(-along.y, along.x))
        }
        false => (Point::ZERO, Vec2::new(0.0, 1.0)),
    };
    let across = Across { at, inward, cut: 0.0, by: longer.by, near: carries };
    *face = across.cut_clear_of(face)?.face(face)?;
    Some(part)
}

/// A line beside a bend at which a face is stretched.
struct Across {
    /// On the bend.
    at: Point,
    /// From the bend into the face.
    inward: Vec2,
    /// How far the line is from the bend, mm.
    cut: f64,
    by: f64,
    /// Whether what lies towards the bend moves; else what lies beyond.
    near: bool,
}

impl Across {
    /// The nearest line that cuts no arc and no hole.
    fn cut_clear_of(mut self, face: &Face) -> Option<Self> {
        let arcs = face.blank.outlines().flat_map(Outline::edges).filter(|edge| !edge.is_line());
        let mut whole: Vec<[f64; 2]> = arcs.map(|arc| self.reach([arc])).collect();
        whole.extend(face.holes.iter().map(|hole| self.reach(hole.outline.edges())));
        let mut cuts: Vec<f64> = whole.iter().map(|[_, high]| *high).collect();
        cuts.retain(|u| *u > 0.0);
        cuts.push(0.0);
        cuts.sort_by(f64::total_cmp);
        let is_clear = |cut: &f64| whole.iter().all(|[low, high]| cut < low || cut > high);
        self.cut = cuts.into_iter().map(|u| u + FOOT).find(is_clear)?;
        Some(self)
    }

    /// From where to where edges reach, from the bend.
    fn reach(&self, edges: impl IntoIterator<Item = Edge>) -> [f64; 2] {
        edges.into_iter().fold([f64::INFINITY, f64::NEG_INFINITY], |ends, edge| {
            let seen = (0..=8).map(|i| self.u(edge.point_at(f64::from(i) / 8.0)));
            // Between these places an arc, of half a turn at most, bulges by less.
            let bulge = if edge.is_line() { 0.0 } else { edge.length() / 50.0 };
            seen.fold(ends, |[low, high], u| [low.min(u - bulge), high.max(u + bulge)])
        })
    }

    fn u(&self, p: Point) -> f64 {
        (p - self.at).dot(self.inward)
    }

    fn point(&self, p: Point) -> Point {
        match (self.near, self.u(p) < self.cut) {
            (true, true) => p - self.inward * self.by,
            (false, false) => p + self.inward * self.by,
            _ => p,
        }
    }

    fn outline(&self, outline: &Outline) -> Option<Outline> {
        let moved = |v: &Vertex| Vertex { at: self.point(v.at), ..*v };
        Outline::new(outline.vertices().iter().map(moved)).ok()
    }

    fn edge(&self, edge: Edge) -> Edge {
        Edge { from: self.point(edge.from), to: self.point(edge.to), ..edge }
    }

    /// The face, without what bends do not depend on.
    fn face(&self, face: &Face) -> Option<Face> {
        let mut longer = face.clone();
        let solid = Region::solid(self.outline(face.blank.outer())?);
        let opened = face
            .blank
            .holes()
            .iter()
            .try_fold(solid, |region, hole| region.pierced(self.outline(hole)?).ok());
        longer.blank = opened?;
        for named in longer.edges.iter_mut().chain(&mut longer.arcs) {
            named.edge = self.edge(named.edge);
            named.centre = self.point(named.centre);
        }
        for hole in &mut longer.holes {
            hole.outline = self.outline(&hole.outline)?;
            hole.at = self.point(hole.at);
        }
        longer.marks.clear();
        longer.welds.clear();
        longer.bevels.clear();
        longer.beads.clear();
        longer.copes.clear();
        longer.obstacles.clear();
        Some(longer)
    }
}

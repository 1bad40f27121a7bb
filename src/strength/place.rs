//! What a load meets in a face: the metal round a hole, and what holds the face.

use crate::geom::Edge;
use crate::geom::NEAR;
use crate::geom::Outline;
use crate::geom::Point;
use crate::geom::Vec2;
use crate::num::Angle;
use crate::part::Face;
use crate::part::Hole;
use crate::part::HoleSize;
use crate::part::Part;
use crate::part::Weld;
use crate::strength::At;
use crate::strength::Fault;

/// Rays across a hole when the nearest rim is looked for: an odd number, one of them through
/// the middle.
const RAYS: usize = 17;

/// Pieces of an edge when the centroid of a line is looked for.
const PIECES: u32 = 64;

/// What holds a face.
#[derive(Clone, Debug)]
pub enum Held<'a> {
    /// A welded edge.
    Weld(&'a Weld, Root),
    /// A bend, or an edge that is held by other means.
    Edge(String, Root),
    /// The other holes.
    Holes(Root),
}

/// The line along which a face is held.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Root {
    /// Its middle.
    pub middle: Point,
    /// Away from it into the face, of length 1.
    pub pull: Vec2,
    /// How far it stretches, mm.
    pub width: f64,
}

impl Root {
    /// Along it: a quarter turn anticlockwise from its pull.
    pub(super) fn along(&self) -> Vec2 {
        Vec2::new(-self.pull.y, self.pull.x)
    }
}

impl Held<'_> {
    /// Where it holds.
    pub fn root(&self) -> &Root {
        match self {
            Self::Weld(_, root) | Self::Edge(_, root) | Self::Holes(root) => root,
        }
    }

    /// In words.
    pub fn words(&self) -> String {
        match self {
            Self::Weld(weld, _) => format!("weld of `{}`", weld.edge),
            Self::Edge(name, _) => format!("`{name}`"),
            Self::Holes(_) => "its other holes".to_owned(),
        }
    }
}

/// The face where a load acts, the holes it acts in, and the middle of these or of the edge.
pub(super) struct Spot<'a> {
    pub(super) face: usize,
    pub(super) holes: Vec<&'a Hole>,
    pub(super) middle: Point,
    /// How far above the upper side of the face, mm.
    pub(super) above: f64,
}

/// Whether a part has the place where a load acts.
pub fn acts_on(part: &Part, at: &At) -> bool {
    spot(part, at).is_some()
}

/// Finds where a load acts.
pub(super) fn spot<'a>(part: &'a Part, at: &At) -> Option<Spot<'a>> {
    part.faces.iter().enumerate().find_map(|(i, face)| match at {
        At::Hole(name) => {
            let holes: Vec<&Hole> = face.holes.iter().filter(|h| is_of(h, name)).collect();
            let sum = holes.iter().fold(Vec2::ZERO, |sum, hole| sum + hole.at.to_vec2());
            let middle = (sum / holes.len().max(1) as f64).to_point();
            (!holes.is_empty()).then_some(Spot { face: i, holes, middle, above: 0.0 })
        }
        At::Edge(name) => {
            let edge = face.edges.iter().find(|e| e.name == *name)?.edge;
            let middle = edge.from.midpoint(edge.to);
            Some(Spot { face: i, holes: Vec::new(), middle, above: 0.0 })
        }
        At::Point { at: middle, above } => {
            let (middle, above) = (*middle, *above);
            let screwed = face.holes.iter().any(|hole| hole.through.is_some());
            screwed.then_some(Spot { face: i, holes: Vec::new(), middle, above })
        }
    })
}

/// The names a load of this sort may give: of holes and their sets, or of straight edges.
pub fn names<'a>(part: &'a Part, at: &At) -> Vec<&'a str> {
    let mut names: Vec<&str> = match at {
        At::Hole(_) | At::Point { .. } => {
            let holes = part.faces.iter().flat_map(|f| &f.holes).map(|h| h.name.as_str());
            holes.flat_map(|name| [Some(name), set_of(name)]).flatten().collect()
        }
        At::Edge(_) => part.faces.iter().flat_map(|f| &f.edges).map(|e| e.name.as_str()).collect(),
    };
    names.sort_unstable();
    names.dedup();
    names
}

/// The name of the set of a hole that has a number.
fn set_of(name: &str) -> Option<&str> {
    let (set, number) = name.rsplit_once(' ')?;
    number.chars().all(|c| c.is_ascii_digit()).then_some(set)
}

/// Whether a hole is the one of this name, or one of the set of this name.
pub(super) fn is_of(hole: &Hole, name: &str) -> bool {
    hole.name == name || set_of(&hole.name) == Some(name)
}

/// What holds the face of a load: what is named, else its one welded edge, else the bend
/// that carries it, else its only bend, else its other holes.
///
/// # Errors
/// When that is not clear or not there.
pub fn held<'a>(part: &'a Part, at: &At, named: Option<&str>) -> Result<Held<'a>, Fault> {
    let spot = spot(part, at).ok_or_else(|| Fault::Nowhere(at.clone()))?;
    let face = &part.faces[spot.face];
    let bends = || part.bends.iter().filter(|b| b.to == spot.face || b.from == spot.face);
    let by_bend = |bend: &crate::part::Bend| {
        // In the face that a bend carries, it lies along x.
        let edge = match bend.to == spot.face {
            true => Edge::line(
                Point::new(-carried_width(part, bend) / 2.0, 0.0),
                Point::new(carried_width(part, bend) / 2.0, 0.0),
            ),
            false => face.edges[bend.edge].edge,
        };
        Held::Edge(bend.name.clone(), line(&[edge]))
    };
    if let At::Point { .. } = at {
        let screwed = named.is_none_or(|named| named == "holes");
        let middle = middle(&others(face, at));
        return match screwed {
            // Straight away is up in the drawing: the point may be over the middle.
            true => Ok(Held::Holes(Root { middle, pull: Vec2::new(0.0, 1.0), width: 0.0 })),
            false => Err(Fault::HeldByNothing {
                named: named.unwrap_or_default().to_owned(),
                ways: vec!["holes".into()],
            }),
        };
    }
    let ways = || {
        let welds = face.welds.iter().map(|w| w.edge.clone());
        let mut ways: Vec<String> = welds.chain(bends().map(|b| b.name.clone())).collect();
        ways.extend(face.edges.iter().map(|e| e.name.clone()));
        if face.holes.len() > spot.holes.len() {
            ways.push("holes".into());
        }
        ways.sort_unstable();
        ways.dedup();
        ways
    };
    if let Some(named) = named {
        if let Some(weld) = face.welds.iter().find(|w| w.edge == named) {
            return Ok(Held::Weld(weld, line(&weld.stretches)));
        }
        if let Some(bend) = bends().find(|b| b.name == named) {
            return Ok(by_bend(bend));
        }
        if let Some(edge) = face.edges.iter().find(|e| e.name == named) {
            return Ok(Held::Edge(edge.name.clone(), line(&[edge.edge])));
        }
        if named == "holes"
            && let Some(root) = other_holes(face, at, &spot)
        {
            return Ok(Held::Holes(root));
        }
        return Err(Fault::HeldByNothing { named: named.to_owned(), ways: ways() });
    }
    if let [weld] = face.welds.as_slice() {
        return Ok(Held::Weld(weld, line(&weld.stretches)));
    }
    let carrying = part.bends.iter().find(|b| b.to == spot.face);
    let only = bends().next().filter(|_| bends().count() == 1);
    if face.welds.is_empty() {
        if let Some(bend) = carrying.or(only) {
            return Ok(by_bend(bend));
        }
        if let Some(root) = other_holes(face, at, &spot) {
            return Ok(Held::Holes(root));
        }
    }
    Err(Fault::Unclear(ways()))
}

fn carried_width(part: &Part, bend: &crate::part::Bend) -> f64 {
    let bounds = part.faces[bend.to].blank.bounds();
    part.faces[bend.from].edges[bend.edge].edge.length().min(bounds.width())
}

/// The line that follows pieces of the rim, metal to their left.
fn line(stretches: &[Edge]) -> Root {
    let length: f64 = stretches.iter().map(Edge::length).sum();
    // The middle of an arc is not its centroid: short pieces of it are near enough.
    let piece = |e: &Edge, i: u32| {
        e.point_at((f64::from(i) + 0.5) / f64::from(PIECES)).to_vec2() * e.length()
    };
    let pieces = stretches.iter().flat_map(|e| (0..PIECES).map(move |i| piece(e, i)));
    let sum = pieces.fold(Vec2::ZERO, |sum, p| sum + p) / f64::from(PIECES);
    let along = stretches.iter().fold(Vec2::ZERO, |sum, e| sum + (e.to - e.from)).normalize();
    let middle = (sum / length).to_point();
    let ends = stretches.iter().flat_map(|e| [e.from, e.to]);
    let spread = ends.map(|p| (p - middle).dot(along));
    let (least, most) = spread
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(least, most), s| (least.min(s), most.max(s)));
    Root { middle, pull: Vec2::new(-along.y, along.x), width: most - least }
}

/// The holes of a face in which a load does not act: of these, where there are any, those
/// that something goes through.
pub(super) fn others<'a>(face: &'a Face, at: &At) -> Vec<&'a Hole> {
    let of = |hole: &&Hole| !matches!(at, At::Hole(name) if is_of(hole, name));
    let screwed = face.holes.iter().filter(of).filter(|h| h.through.is_some());
    let screwed: Vec<&Hole> = screwed.collect();
    if screwed.is_empty() { face.holes.iter().filter(of).collect() } else { screwed }
}

fn middle(holes: &[&Hole]) -> Point {
    let sum = holes.iter().fold(Vec2::ZERO, |sum, hole| sum + hole.at.to_vec2());
    (sum / holes.len().max(1) as f64).to_point()
}

/// The other holes of a face, as what holds it.
fn other_holes(face: &Face, at: &At, spot: &Spot) -> Option<Root> {
    let others = others(face, at);
    let middle = middle(&others);
    let away = spot.middle - middle;
    (!others.is_empty() && away.hypot() > NEAR).then(|| Root {
        middle,
        pull: away.normalize(),
        width: 0.0,
    })
}

/// The finished diameter of a round hole.
pub(super) fn diameter(hole: &Hole) -> Option<f64> {
    match hole.size {
        HoleSize::Round { diameter } => Some(hole.finished.unwrap_or(diameter)),
        _ => None,
    }
}

/// The metal of a face round a point.
pub(super) struct Metalwork<'a> {
    outlines: Vec<&'a Outline>,
}

impl<'a> Metalwork<'a> {
    /// The rim and the openings of a face, without one of its holes.
    pub(super) fn round(face: &'a Face, hole: Option<&Hole>) -> Self {
        let others = face.holes.iter().filter(|h| hole.is_none_or(|hole| h.name != hole.name));
        Self { outlines: face.blank.outlines().chain(others.map(|h| &h.outline)).collect() }
    }

    /// The rim and the openings of a face, its holes taken for metal.
    pub(super) fn solid(face: &'a Face) -> Self {
        Self { outlines: face.blank.outlines().collect() }
    }

    /// From a point in a direction of length 1 to the next rim or opening; 0 when there is none.
    pub(super) fn free(&self, from: Point, towards: Vec2) -> f64 {
        let edges = self.outlines.iter().flat_map(|outline| outline.edges());
        let met =
            edges.filter_map(|edge| crossing(&edge, from, towards)).fold(f64::INFINITY, f64::min);
        if met.is_finite() { met } else { 0.0 }
    }

    /// From the edge of a round hole to the next rim or opening, measured along a direction
    /// over its whole breadth: the least.
    pub(super) fn beyond(&self, middle: Point, diameter: f64, towards: Vec2) -> f64 {
        let (radius, across) = (diameter / 2.0, Vec2::new(-towards.y, towards.x));
        let ray = |i: usize| {
            let aside = radius * (2.0 * i as f64 / (RAYS - 1) as f64 - 1.0);
            let in_hole = (radius * radius - aside * aside).max(0.0).sqrt();
            self.free(middle + across * aside, towards) - in_hole
        };
        (0..RAYS).map(ray).fold(f64::INFINITY, f64::min)
    }
}

/// How far a ray runs to an edge.
fn crossing(edge: &Edge, from: Point, towards: Vec2) -> Option<f64> {
    let behind = |t: f64| t > NEAR;
    let Some(arc) = edge.arc() else {
        let along = edge.to - edge.from;
        let den = towards.cross(along);
        if den.abs() < NEAR * along.hypot() {
            return None;
        }
        let t = (edge.from - from).cross(along) / den;
        let s = (edge.from - from).cross(towards) / den;
        return (behind(t) && (-NEAR..=1.0 + NEAR).contains(&s)).then_some(t);
    };
    let to_centre = arc.centre - from;
    let middle = to_centre.dot(towards);
    let aside = to_centre.cross(towards);
    let half = arc.radius * arc.radius - aside * aside;
    if half < 0.0 {
        return None;
    }
    let half = half.sqrt();
    // A ray through the joint of two arcs must not slip between them.
    let on_arc = |t: &f64| {
        let (p, near) = (from + towards * *t, 10.0 * NEAR);
        let out = p - arc.centre;
        arc.holds(Angle::of(out.x, out.y))
            || p.distance(edge.from) < near
            || p.distance(edge.to) < near
    };
    [middle - half, middle + half].into_iter().filter(|t| behind(*t)).find(on_arc)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::Region;
    use crate::geom::disc;
    use crate::geom::rectangle;

    fn face(outer: Outline) -> Face {
        Face {
            name: "plate".into(),
            blank: Region::solid(outer),
            edges: vec![],
            holes: vec![],
            marks: vec![],
            welds: vec![],
        }
    }

    #[test]
    fn rays_end_at_lines_and_arcs() {
        let plate = face(rectangle(Point::new(0.0, 0.0), 40.0, 20.0, 0.0).unwrap());
        let metal = Metalwork::round(&plate, None);
        assert!((metal.free(Point::new(5.0, 1.0), Vec2::new(1.0, 0.0)) - 15.0).abs() < 1e-9);
        assert!((metal.free(Point::new(5.0, 1.0), Vec2::new(0.0, -1.0)) - 11.0).abs() < 1e-9);
        let round = face(disc(Point::new(3.0, 0.0), 10.0).unwrap());
        let metal = Metalwork::round(&round, None);
        for turn in [0.0, 30.0, 90.0, 200.0] {
            let angle = Angle::from_degrees(turn);
            let free = metal.free(Point::new(3.0, 0.0), Vec2::new(angle.cos(), angle.sin()));
            assert!((free - 10.0).abs() < 1e-9, "{turn}: {free}");
        }
        // In an eye with its hole in the middle the least metal lies straight ahead.
        let least = metal.beyond(Point::new(3.0, 0.0), 8.0, Vec2::new(0.0, 1.0));
        assert!((least - 6.0).abs() < 1e-9);
        // A corner clipped beside the hole counts.
        let side = metal.beyond(Point::new(7.0, 0.0), 8.0, Vec2::new(0.0, 1.0));
        assert!(side < metal.free(Point::new(7.0, 0.0), Vec2::new(0.0, 1.0)) - 4.0 + 1e-9);
    }

    #[test]
    fn the_root_of_a_straight_edge_pulls_into_the_metal() {
        let foot = Edge::line(Point::new(-20.0, 0.0), Point::new(20.0, 0.0));
        let root = line(&[foot]);
        assert!((root.pull - Vec2::new(0.0, 1.0)).hypot() < 1e-12);
        assert!((root.width - 40.0).abs() < 1e-12 && root.middle.distance(Point::ZERO) < 1e-12);
        // The centroid of a half circle lies 2/π of its radius from its middle.
        let saddle = Edge { from: Point::new(-20.0, 0.0), to: Point::new(20.0, 0.0), bulge: -1.0 };
        let root = line(&[saddle]);
        assert!((root.middle.y - 20.0 * 2.0 / crate::num::PI).abs() < 2e-3, "{:?}", root.middle);
    }
}

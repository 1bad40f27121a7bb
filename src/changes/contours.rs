//! Outlines and openings of a flat, compared with the earlier ones.

use crate::geom::Edge;
use crate::geom::Point;
use crate::geom::Vec2;
use crate::history::PartState;
use crate::history::edges;
use crate::quantity::Units;

/// Programs round to three decimals; what moved less did not move, mm. Our choice.
pub(crate) const SAME: f64 = 0.002;

/// An opening that moved counts as the same if it moved less than this share of its own size, or
/// this many mm, unless its name decides. Our choice.
const NEAR: (f64, f64) = (2.0, 5.0);

/// An opening by name.
#[derive(Clone, Debug)]
struct Opening<'a> {
    name: &'a str,
    edges: Vec<Edge>,
}

impl Opening<'_> {
    fn centre(&self) -> Point {
        bounds(&self.edges).0
    }

    /// Its longer side, mm.
    fn size(&self) -> f64 {
        let size = bounds(&self.edges).1;
        size.x.max(size.y)
    }

    fn words(&self) -> String {
        match self.name {
            "" => "a cut-out".to_owned(),
            name => format!("hole `{name}`"),
        }
    }
}

/// What differs in the flats of a part, and whether what was cut can be made into what is now.
#[derive(Default)]
pub(super) struct Flats {
    /// In sentences.
    pub(super) differences: Vec<String>,
    /// Openings that are where they were, under other names: ``hole `a` → hole `b` ``.
    pub(super) renamed: Vec<String>,
    /// Whether openings were only added or opened up.
    pub(super) only_larger: bool,
}

/// Compares two flats; `shift` brings the old one over the new one.
pub(super) fn compare(was: &PartState, now: &PartState, shift: Vec2, units: Units) -> Flats {
    let mut flats = Flats { only_larger: true, ..Flats::default() };
    let (old, new) = (outline(was, shift), outline(now, Vec2::ZERO));
    let sizes = [&old, &new].map(|edges| bounds(edges).1);
    if (sizes[0] - sizes[1]).hypot() > SAME {
        let [was, now] = sizes.map(|s| format!("{} × {}", units.length(s.x), units.length(s.y)));
        flats.differences.push(format!("blank {was} → {now}"));
        flats.only_larger = false;
    }
    if let Some((off, at)) = max_deviation(&old, &new) {
        let (off, at) = (units.length(off), place(at, units));
        flats.differences.push(format!("outline differs by {off} near {at}"));
        flats.only_larger = false;
    }
    holes(&mut flats, &openings(was, shift), openings(now, Vec2::ZERO), units);
    flats.only_larger &= !flats.differences.is_empty();
    flats
}

/// How the old flat is laid over the new one: corner on corner, or by the origin of the recipe's
/// drawing where more stays in its place by that.
pub(super) fn shift(was: &PartState, now: &PartState) -> Vec2 {
    let by_corner = Vec2::ZERO;
    let [x, y] = [0, 1].map(|i| was.corner_mm[i] - now.corner_mm[i]);
    let by_drawing = Vec2::new(x, y);
    let new: Vec<Point> = points(now, Vec2::ZERO);
    let stay = |shift: Vec2| {
        let near = |p: &&Point| new.iter().any(|q| (**p - *q).hypot() <= SAME);
        points(was, shift).iter().filter(near).count()
    };
    if stay(by_drawing) > stay(by_corner) { by_drawing } else { by_corner }
}

/// The corners of the outline and the centres of the openings.
fn points(part: &PartState, shift: Vec2) -> Vec<Point> {
    let corners = outline(part, shift).into_iter().map(|edge| edge.from);
    corners.chain(openings(part, shift).iter().map(Opening::centre)).collect()
}

pub(super) fn outline(part: &PartState, shift: Vec2) -> Vec<Edge> {
    moved(edges(&part.outline).unwrap_or_default(), shift)
}

fn openings(part: &PartState, shift: Vec2) -> Vec<Opening<'_>> {
    let all = part.openings.iter();
    all.map(|[name, text]| {
        let edges = moved(edges(text).unwrap_or_default(), shift);
        Opening { name, edges }
    })
    .collect()
}

/// All contours of a flat.
pub(super) fn contours(part: &PartState, shift: Vec2) -> Vec<Vec<Edge>> {
    let openings = openings(part, shift).into_iter().map(|opening| opening.edges);
    std::iter::once(outline(part, shift)).chain(openings).collect()
}

pub(super) fn moved(edges: Vec<Edge>, by: Vec2) -> Vec<Edge> {
    let moved = |e: Edge| Edge { from: e.from + by, to: e.to + by, bulge: e.bulge };
    edges.into_iter().map(moved).collect()
}

/// Compares openings: those that stayed first, then those of the same name, then the nearest.
fn holes(flats: &mut Flats, was: &[Opening], mut left: Vec<Opening>, units: Units) {
    let mut pending: Vec<&Opening> = Vec::new();
    for old in was {
        let same =
            |new: &Opening| new.name == old.name && max_deviation(&old.edges, &new.edges).is_none();
        match left.iter().position(same) {
            Some(at) => drop(left.remove(at)),
            None => pending.push(old),
        }
    }
    let mut gone = Vec::new();
    for old in pending {
        let away = |new: &Opening| (new.centre() - old.centre()).hypot();
        let reach = (NEAR.0 * old.size()).max(NEAR.1);
        let fits = |new: &Opening| match old.name {
            "" => new.name.is_empty() && away(new) <= reach,
            name => new.name == name,
        };
        let found = (0..left.len()).filter(|i| fits(&left[*i]));
        match found.min_by(|a, b| away(&left[*a]).total_cmp(&away(&left[*b]))) {
            Some(at) => change(flats, old, &left.remove(at), units),
            None => gone.push(old),
        }
    }
    for old in gone {
        // One that was only named differently is where it was.
        let same = |new: &Opening| max_deviation(&old.edges, &new.edges).is_none();
        if let Some(at) = left.iter().position(same) {
            flats.renamed.push(format!("{} → {}", old.words(), left.remove(at).words()));
            continue;
        }
        let at = place(old.centre(), units);
        flats.differences.push(format!("{} at {at} removed", old.words()));
        flats.only_larger = false;
    }
    for new in left {
        let (at, size) = (place(new.centre(), units), units.length(new.size()));
        flats.differences.push(format!("new: {} at {at}, {size} across", new.words()));
    }
}

/// What differs in one opening.
fn change(flats: &mut Flats, old: &Opening, new: &Opening, units: Units) {
    let by = new.centre() - old.centre();
    let mut words = Vec::new();
    if by.hypot() > SAME {
        words.push(format!("moved by X {}, Y {}", units.length(by.x), units.length(by.y)));
        flats.only_larger = false;
    }
    let (was, is) = (old.size(), new.size());
    if (was - is).abs() > SAME {
        words.push(format!("is {} instead of {}", units.length(is), units.length(was)));
    }
    let round = [old, new].iter().all(|o| o.edges.len() == 2 && !o.edges[0].is_line());
    flats.only_larger &= round && is > was;
    if words.is_empty() {
        words.push("has a different shape".to_owned());
    }
    let at = place(old.centre(), units);
    flats.differences.push(format!("{} at {at} {}", old.words(), words.join(" and ")));
}

fn place(at: Point, units: Units) -> String {
    format!("({}, {})", units.length(at.x), units.length(at.y))
}

/// Centre and sides of the rectangle round some edges.
fn bounds(edges: &[Edge]) -> (Point, Vec2) {
    let all = edges.iter().map(Edge::bounds).reduce(|a, b| a.and(b));
    all.map_or((Point::ZERO, Vec2::ZERO), |b| (b.centre(), Vec2::new(b.width(), b.height())))
}

/// The largest distance between two contours and where it is; none when they are the same.
pub(crate) fn max_deviation(a: &[Edge], b: &[Edge]) -> Option<(f64, Point)> {
    let away = |p: Point, from: &[Edge]| {
        from.iter().map(|e| (e.nearest(p) - p).hypot()).fold(f64::INFINITY, f64::min)
    };
    let points = |of: &[Edge]| -> Vec<Point> {
        of.iter()
            .flat_map(|e| [e.from, e.point_at(0.25), e.point_at(0.5), e.point_at(0.75)])
            .collect()
    };
    let off = |of: &[Edge], from: &[Edge]| {
        let distances = points(of).into_iter().map(|p| (away(p, from), p));
        distances.max_by(|x, y| x.0.total_cmp(&y.0))
    };
    let worst = [off(a, b), off(b, a)].into_iter().flatten().max_by(|x, y| x.0.total_cmp(&y.0));
    worst.filter(|(distance, _)| *distance > SAME)
}

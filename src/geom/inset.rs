//! Openings that keep a wall: the area farther inside an outline, and farther from everything in
//! it, than a distance, opened by a disc.
//!
//! The centres of the disc are where it keeps every distance; they are found first, by offsets and
//! cuts, and each piece of theirs is grown by the radius. So every corner of an opening has the
//! radius, and an area narrower than the disc is left as metal. If two openings come nearer to each
//! other than permitted, at a neck between two holes, a straight rib across it separates them. The
//! result is measured against everything it keeps clear of.

use crate::geom::boolean::BooleanError;
use crate::geom::boolean::common;
use crate::geom::clearance::outline_distance;
use crate::geom::distance::nearest_pairs;
use crate::geom::edge::Edge;
use crate::geom::near::NEAR;
use crate::geom::offset::OffsetError;
use crate::geom::offset::pieces;
use crate::geom::outline::Outline;
use crate::geom::outline::OutlineError;
use crate::geom::place::Place;
use crate::geom::region::Region;
use crate::geom::shape::slot;
use crate::num::Angle;
use kurbo::Point;
use thiserror::Error;

/// Tolerance of a clear distance for rounding, mm.
const ROUNDING: f64 = 1e-6;

/// Maximum number of ribs between openings that come too near each other. Our choice.
const MAX_RIBS: usize = 200;

/// Something an opening keeps clear of.
#[derive(Clone, Debug)]
pub(crate) struct Kept {
    /// Its outline.
    pub(crate) outline: Outline,
    /// The clear distance, mm.
    pub(crate) by: f64,
}

/// What openings are like.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Inset<'a> {
    /// Clear distance from the outline, mm.
    pub(crate) wall: f64,
    /// Clear distance between two openings, mm.
    pub(crate) between: f64,
    /// Radius of their corners, mm.
    pub(crate) radius: f64,
    /// The shape they stay in, to its very edge.
    pub(crate) within: Option<&'a Outline>,
}

/// Why there are no such openings.
#[derive(Clone, Debug, PartialEq, Error)]
pub(crate) enum InsetError {
    /// An opening would run right round metal, which lies in this outline.
    #[error("an opening would run right round metal, which would fall out")]
    Island(Outline),
    /// The openings do not keep their distances, or touch too finely to be sure.
    #[error("the walls only just meet, so the opening cannot be computed")]
    Unsure,
}

impl From<BooleanError> for InsetError {
    fn from(_: BooleanError) -> Self {
        Self::Unsure
    }
}

impl From<OffsetError> for InsetError {
    fn from(_: OffsetError) -> Self {
        Self::Unsure
    }
}

impl From<OutlineError> for InsetError {
    fn from(_: OutlineError) -> Self {
        Self::Unsure
    }
}

/// The openings in an outline, the largest first; empty if the disc fits nowhere.
///
/// # Errors
/// When metal would be cut free, or the walls meet too finely.
pub(crate) fn inset(
    outer: &Outline,
    kept: &[Kept],
    asked: &Inset,
) -> Result<Vec<Outline>, InsetError> {
    let mut cores = Vec::new();
    for core in pieces(outer, -asked.wall - asked.radius)? {
        cores.extend(confined(core, asked)?.into_iter().map(Region::solid));
    }
    for Kept { outline, by } in kept {
        let tool = grown(outline, by + asked.radius)?;
        let mut left = Vec::with_capacity(cores.len());
        for core in cores {
            left.extend(core.pieces_without(&tool)?);
        }
        cores = left;
    }
    let cores = cores.iter().map(whole).collect::<Result<Vec<_>, _>>()?;
    let cores = spaced(cores, asked.between + 2.0 * asked.radius)?;
    let mut openings = Vec::with_capacity(cores.len());
    for core in &cores {
        openings.push(rounded(core, asked.radius)?);
    }
    openings.sort_by(|a, b| b.area().total_cmp(&a.area()));
    if keeps(&openings, outer, kept, asked) { Ok(openings) } else { Err(InsetError::Unsure) }
}

/// What of the centres of the disc keeps it within the shape.
fn confined(core: Outline, asked: &Inset) -> Result<Vec<Outline>, InsetError> {
    let Some(within) = asked.within else { return Ok(vec![core]) };
    let mut left = Vec::new();
    for room in pieces(within, -asked.radius)? {
        left.extend(common(&core, &room)?.0);
    }
    Ok(left)
}

/// An outline grown, with its interior: metal in the bay of an opening is not checked.
fn grown(outline: &Outline, by: f64) -> Result<Outline, InsetError> {
    let pieces = pieces(outline, by)?.into_iter();
    pieces.max_by(|a, b| a.area().total_cmp(&b.area())).ok_or(InsetError::Unsure)
}

/// The outline of a core round which no metal stays.
fn whole(core: &Region) -> Result<Outline, InsetError> {
    match core.holes().first() {
        Some(island) => Err(InsetError::Island(island.clone())),
        None => Ok(core.outer().clone()),
    }
}

/// The opening swept by a disc whose centres fill a core.
fn rounded(core: &Outline, radius: f64) -> Result<Outline, InsetError> {
    let mut pieces = pieces(core, radius)?;
    pieces.sort_by(|a, b| b.area().total_cmp(&a.area()));
    match pieces.len() {
        0 => Err(InsetError::Unsure),
        1 => Ok(pieces.remove(0)),
        // Its arms meet on the far side of the island.
        _ => Err(InsetError::Island(pieces.remove(1))),
    }
}

/// Cores no nearer to each other than a distance.
fn spaced(mut cores: Vec<Outline>, distance: f64) -> Result<Vec<Outline>, InsetError> {
    for _ in 0..MAX_RIBS {
        let Some((i, j, ends)) = too_near(&cores, distance) else { return Ok(cores) };
        let rib = rib(ends, distance)?;
        let pair = [cores.remove(j), cores.remove(i)];
        for core in pair {
            for left in Region::solid(core).pieces_without(&rib)? {
                cores.push(whole(&left)?);
            }
        }
    }
    Err(InsetError::Unsure)
}

/// The first two cores that are too near each other, and where they are nearest.
fn too_near(cores: &[Outline], distance: f64) -> Option<(usize, usize, (Point, Point))> {
    for j in 1..cores.len() {
        for i in 0..j {
            let near = cores[i].bounds().distance(&cores[j].bounds()) < distance;
            if near && outline_distance(&cores[i], &cores[j]) < distance - ROUNDING {
                return Some((i, j, nearest(&cores[i], &cores[j])));
            }
        }
    }
    None
}

/// Where two outlines that do not meet are nearest to each other.
fn nearest(a: &Outline, b: &Outline) -> (Point, Point) {
    let edges = a.edges().flat_map(|e| b.edges().map(move |f| (e, f)));
    let pairs = edges.flat_map(|(e, f)| nearest_pairs(&e, &f));
    let apart = |(p, q): &(Point, Point)| (*q - *p).hypot();
    pairs.min_by(|a, b| apart(a).total_cmp(&apart(b))).unwrap_or((Point::ZERO, Point::ZERO))
}

/// The area cut out of two cores with these nearest points: a strip as wide as their required
/// distance, half way between them and square to the connecting line, four times as long as wide.
fn rib((p, q): (Point, Point), distance: f64) -> Result<Outline, InsetError> {
    let way = q - p;
    if way.hypot() < NEAR {
        return Err(InsetError::Unsure);
    }
    let across = Angle::of(-way.y, way.x);
    let strip = slot(Point::ZERO, 4.0 * distance, distance)?;
    Ok(strip.moved(&Place::rotated(across, p.midpoint(q))))
}

/// Whether openings keep every distance, measured exactly.
fn keeps(openings: &[Outline], outer: &Outline, kept: &[Kept], asked: &Inset) -> bool {
    let corner = |outline: &Outline| outline.vertices()[0].at;
    let beside = |a: &Outline, b: &Outline| !a.contains(corner(b)) && !b.contains(corner(a));
    let clear = |a: &Outline, b: &Outline, by: f64| {
        a.bounds().distance(&b.bounds()) >= by || outline_distance(a, b) >= by - ROUNDING
    };
    let sound = |(i, opening): (usize, &Outline)| {
        outer.contains(corner(opening))
            && clear(opening, outer, asked.wall)
            && kept.iter().all(|k| beside(opening, &k.outline) && clear(opening, &k.outline, k.by))
            && openings[..i]
                .iter()
                .all(|other| beside(opening, other) && clear(opening, other, asked.between))
            && asked.within.is_none_or(|within| inside(opening, within))
    };
    openings.iter().enumerate().all(sound)
}

/// Whether no edge of an opening leaves a shape.
fn inside(opening: &Outline, within: &Outline) -> bool {
    let mut points = opening.edges().flat_map(|e: Edge| [e.from, e.point_at(0.5)]);
    points.all(|p| within.contains(p) || within.distance(p) < ROUNDING)
}

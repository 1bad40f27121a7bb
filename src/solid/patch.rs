//! The patches of a formed part, and where the sheet continues from one to the next.

use crate::flat::BendStrip;
use crate::flat::Flat;
use crate::flat::FlatHole;
use crate::fold::Folded;
use crate::fold::FoldedBend;
use crate::geom::Edge;
use crate::geom::Frame;
use crate::geom::Outline;
use crate::geom::Place;
use crate::geom::Point;
use crate::geom::Region;
use crate::geom::RegionError;
use crate::geom::Vec2;
use crate::num::Angle;
use crate::part::Bend;
use crate::part::Hole;
use crate::part::Part;
use crate::solid::error::SolidError;
use crate::solid::same::SAME;
use crate::solid::sunk::Sunk;
use std::collections::BTreeMap;
use std::ops::Range;

/// How a patch lies in space.
#[derive(Clone, Copy)]
pub(super) enum Lay {
    /// In a plane.
    Flat(Frame),
    /// Round a cylinder: x of its drawing runs along the bend, y across it.
    Rolled(FoldedBend),
}

/// A drawing of sheet and how it lies.
pub(super) struct Patch {
    pub(super) lay: Lay,
    /// Its edges, metal to their left: the outline, then the holes.
    pub(super) loops: Vec<Vec<Edge>>,
    /// What is sunk into the edge of each.
    pub(super) sunk: Vec<Option<Sunk>>,
    area: f64,
}

impl Patch {
    fn new(lay: Lay, region: &Region) -> Self {
        let outline = region.outer().edges().collect();
        let hole = |hole: &Outline| {
            let edges: Vec<Edge> = hole.edges().collect();
            edges.iter().rev().map(Edge::reversed).collect()
        };
        let loops: Vec<Vec<Edge>> =
            std::iter::once(outline).chain(region.holes().iter().map(hole)).collect();
        Self { lay, sunk: vec![None; loops.len()], loops, area: region.area() }
    }

    /// In mm³.
    pub(super) fn volume(&self, thickness: f64) -> f64 {
        let whole = match self.lay {
            Lay::Flat(_) => self.area * thickness,
            Lay::Rolled(bend) => FoldedBend { area: self.area, ..bend }.volume(),
        };
        let sunk = self.sunk.iter().flatten().map(|sunk| sunk.volume(thickness));
        whole - sunk.sum::<f64>()
    }
}

/// A line on which two patches may continue into each other.
struct Seam {
    patches: [usize; 2],
    /// From the drawing of each to one in which the line is the x axis.
    places: [Place; 2],
}

/// Which corners and edges of patches are one in space. They are numbered through all
/// patches; an edge has the number of the corner where it starts.
pub(super) struct Shared {
    starts: Vec<Vec<usize>>,
    ends: Vec<Vec<usize>>,
    mates: BTreeMap<usize, usize>,
    corners: Vec<usize>,
}

impl Shared {
    /// The numbers of a loop's corners.
    pub(super) fn ids(&self, patch: usize, of: usize) -> Range<usize> {
        self.starts[patch][of]..self.ends[patch][of]
    }

    /// The edge of another patch that is this one, passed the other way.
    pub(super) fn mate(&self, edge: usize) -> Option<usize> {
        self.mates.get(&edge).copied()
    }

    /// The least number among the corners that are one with this one.
    pub(super) fn corner(&self, mut id: usize) -> usize {
        while self.corners[id] != id {
            id = self.corners[id];
        }
        id
    }

    fn join(&mut self, a: usize, b: usize) {
        let (a, b) = (self.corner(a), self.corner(b));
        self.corners[a.max(b)] = a.min(b);
    }
}

/// The patches: the faces, then the bends, in the order of the part.
pub(super) fn patches(
    part: &Part,
    flat: &Flat,
    folded: &Folded,
) -> Result<(Vec<Patch>, Shared), SolidError> {
    let mut patches = Vec::with_capacity(part.faces.len() + part.bends.len());
    let mut of_face = Vec::with_capacity(part.faces.len());
    for face in &folded.faces {
        let own = onto_origin(&flat.places[face.face]);
        let others = flat.holes.iter().filter(|hole| hole.id.face != face.face);
        let metal = pierced(part, &face.region, others, &own)?;
        let pieces = added(&mut patches, Lay::Flat(face.frame), &metal);
        sink(&mut patches[pieces.clone()], &part.faces[face.face].holes, part.thickness)?;
        of_face.push(pieces);
    }
    let mut seams = Vec::with_capacity(2 * part.bends.len());
    for ((bend, strip), made) in part.bends.iter().zip(&flat.bends).zip(&folded.bends) {
        let own = along(strip.tangents[0].to, -strip.tangents[0].direction_at_start());
        let metal = pierced(part, &strip.metal.moved(&own), flat.holes.iter(), &own)?;
        let metal = opened(metal, bend, strip, &own)?;
        let lay =
            if made.angle == Angle::ZERO { Lay::Flat(made.start) } else { Lay::Rolled(*made) };
        let this = added(&mut patches, lay, &metal);
        let BendStrip { begins, ends, .. } = strip;
        let near = along(begins.to, -begins.direction_at_start());
        let far = along(ends.from, ends.direction_at_start());
        let back = Place::at(Point::new(0.0, -made.allowance));
        for strip in this {
            let seam = |face, of_face, of_strip| Seam {
                patches: [face, strip],
                places: [of_face, of_strip],
            };
            seams.extend(of_face[bend.from].clone().map(|f| seam(f, near, Place::default())));
            seams.extend(of_face[bend.to].clone().map(|f| seam(f, far, back)));
        }
    }
    for seam in &seams {
        split(&mut patches, seam);
    }
    let shared = shared(&patches, &seams);
    Ok((patches, shared))
}

/// Tells the pieces of a face what is sunk into its holes.
fn sink(pieces: &mut [Patch], holes: &[Hole], thickness: f64) -> Result<(), SolidError> {
    for hole in holes {
        let Some(sunk) = Sunk::of(hole, thickness)? else { continue };
        let of_piece = |piece: &mut Patch| {
            let own = (1..piece.loops.len()).find(|l| sunk.is_in(&piece.loops[*l]))?;
            piece.sunk[own] = Some(sunk);
            Some(())
        };
        pieces.iter_mut().find_map(of_piece).ok_or_else(|| Sunk::missing(hole))?;
    }
    Ok(())
}

/// Adds the pieces of a face or a bend; gives their numbers.
fn added(patches: &mut Vec<Patch>, lay: Lay, metal: &[Region]) -> Range<usize> {
    let first = patches.len();
    patches.extend(metal.iter().map(|region| Patch::new(lay, region)));
    first..patches.len()
}

/// The motion that takes a point to the origin and a unit direction to x.
fn along(origin: Point, x: Vec2) -> Place {
    let rotated = Place { rotation: Angle::of(x.x, -x.y), ..Place::default() };
    Place { shift: -rotated.direction(origin.to_vec2()), ..rotated }
}

/// The motion that undoes one that mirrors nothing.
fn onto_origin(place: &Place) -> Place {
    along(place.apply(Point::ZERO), place.direction(Vec2::new(1.0, 0.0)))
}

/// A region without the holes that reach into it, which lie in the flat; it may be cut into pieces.
fn pierced<'a>(
    part: &Part,
    region: &Region,
    holes: impl Iterator<Item = &'a FlatHole>,
    own: &Place,
) -> Result<Vec<Region>, SolidError> {
    let mut metal = vec![region.clone()];
    for hole in holes {
        let outline = hole.outline.moved(own);
        let mut left = Vec::with_capacity(metal.len());
        for region in metal {
            let less = without(region, &outline)
                .ok_or_else(|| SolidError::Hole(part.hole(hole.id).name.clone()))?;
            left.extend(less);
        }
        metal = left;
    }
    Ok(metal)
}

/// The metal of a bend without the cut-outs that reach into it, which lie in the flat.
fn opened(
    mut metal: Vec<Region>,
    bend: &Bend,
    strip: &BendStrip,
    own: &Place,
) -> Result<Vec<Region>, SolidError> {
    for opening in strip.openings.iter().map(|opening| opening.moved(own)) {
        let mut left = Vec::with_capacity(metal.len() + 1);
        for region in metal {
            let less = without(region, &opening);
            left.extend(
                less.ok_or_else(|| SolidError::Hole(format!("the cut-out in {}", bend.name)))?,
            );
        }
        metal = left;
    }
    Ok(metal)
}

fn without(region: Region, hole: &Outline) -> Option<Vec<Region>> {
    if region.bounds().distance(&hole.bounds()) > 0.0 {
        return Some(vec![region]);
    }
    match region.without(hole) {
        Ok(less) => Some(vec![less]),
        Err(RegionError::Misses) => Some(vec![region]),
        Err(RegionError::Pieces(_)) if region.holes().is_empty() => {
            let (pieces, _) = crate::geom::cut(region.outer(), hole).ok()?;
            Some(pieces.into_iter().map(Region::solid).collect())
        }
        Err(_) => None,
    }
}

/// Where an edge lies on a seam, from and to; none when it lies elsewhere.
fn on(edge: &Edge, place: &Place) -> Option<(f64, f64)> {
    let (from, to) = (place.apply(edge.from), place.apply(edge.to));
    let flat = from.y.abs() < SAME && to.y.abs() < SAME;
    (edge.is_line() && flat).then_some((from.x, to.x))
}

/// Splits the edges on a seam so that both sides have their corners at the same places.
fn split(patches: &mut [Patch], seam: &Seam) {
    let mut stops = Vec::new();
    for (patch, place) in seam.patches.iter().zip(&seam.places) {
        let edges = patches[*patch].loops.iter().flatten();
        stops.extend(edges.filter_map(|e| on(e, place)).flat_map(|(a, b)| [a, b]));
    }
    for (patch, place) in seam.patches.iter().zip(&seam.places) {
        for edges in &mut patches[*patch].loops {
            let cut = edges.iter().flat_map(|edge| pieces(edge, on(edge, place), &stops));
            *edges = cut.collect();
        }
    }
}

fn pieces(edge: &Edge, on: Option<(f64, f64)>, stops: &[f64]) -> Vec<Edge> {
    let Some((from, to)) = on else { return vec![*edge] };
    let share = |x: &f64| (x - from) / (to - from);
    let near = SAME / (to - from).abs();
    let mut shares: Vec<f64> =
        stops.iter().map(share).filter(|s| *s > near && *s < 1.0 - near).collect();
    shares.sort_by(f64::total_cmp);
    shares.dedup_by(|a, b| (*a - *b).abs() < near);
    let mut points = vec![edge.from];
    points.extend(shares.iter().map(|s| edge.from.lerp(edge.to, *s)));
    points.push(edge.to);
    points.windows(2).map(|two| Edge::line(two[0], two[1])).collect()
}

fn shared(patches: &[Patch], seams: &[Seam]) -> Shared {
    let mut count = 0;
    let (mut starts, mut ends) = (Vec::new(), Vec::new());
    for patch in patches {
        let lengths = patch.loops.iter().map(Vec::len);
        let range: Vec<Range<usize>> = lengths
            .map(|n| {
                count += n;
                count - n..count
            })
            .collect();
        starts.push(range.iter().map(|r| r.start).collect());
        ends.push(range.iter().map(|r| r.end).collect());
    }
    let mut shared = Shared { starts, ends, mates: BTreeMap::new(), corners: (0..count).collect() };
    for seam in seams {
        let [near, far] =
            [0, 1].map(|side| stretches(patches, &shared, seam.patches[side], &seam.places[side]));
        for (id, next, (from, to)) in &near {
            let mate = far.iter().find(|(_, _, (start, end))| {
                (from - end).abs() < SAME && (to - start).abs() < SAME
            });
            if let Some((other, other_next, _)) = mate {
                shared.mates.extend([(*id, *other), (*other, *id)]);
                shared.join(*id, *other_next);
                shared.join(*next, *other);
            }
        }
    }
    shared
}

/// An edge on a seam: its number, that of the corner where it ends, and where it lies.
type Stretch = (usize, usize, (f64, f64));

fn stretches(patches: &[Patch], shared: &Shared, patch: usize, place: &Place) -> Vec<Stretch> {
    let mut found = Vec::new();
    for (l, edges) in patches[patch].loops.iter().enumerate() {
        let ids = shared.ids(patch, l);
        for (k, edge) in edges.iter().enumerate() {
            let next = if k + 1 == edges.len() { ids.start } else { ids.start + k + 1 };
            found.extend(on(edge, place).map(|at| (ids.start + k, next, at)));
        }
    }
    found
}

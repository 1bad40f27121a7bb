//! Two outlines joined along a line where the bend between them begins.

use crate::geom::Edge;
use crate::geom::NEAR;
use crate::geom::Outline;
use crate::geom::Point;
use crate::geom::Region;
use crate::geom::Vertex;
use crate::geom::backwards;

/// The lines to join along, and the strip between.
pub(super) struct Seam {
    /// Where the bend begins, travelled with the standing face's metal on its left.
    pub(super) tangent: Edge,
    /// Where it ends, travelled with the carried face's metal on its left.
    pub(super) far: Edge,
    /// The ends of the strip at the start and at the end of the line where they are not
    /// straight: from the standing face to the carried one.
    pub(super) sides: [Option<Vec<Vertex>>; 2],
}

/// The stretch of an outline that lies on the line y = `height` with metal above it: from x, to x.
pub(super) fn foot(outline: &Outline, height: f64) -> Option<(f64, f64)> {
    let on = |p: Point| (p.y - height).abs() < 10.0 * NEAR;
    let mut feet = outline.edges().filter(|e| e.is_line() && on(e.from) && on(e.to));
    let first = feet.next()?;
    // Two feet would be two flanges.
    if feet.next().is_some() { None } else { Some((first.from.x, first.to.x)) }
}

/// The carried face spliced into the standing one.
///
/// The standing face travels along the seam from a to b, the carried one, beyond the
/// strip, from c back to d. The joined outline leaves a, crosses the strip to the
/// carried face, follows its outline, and comes back to b.
pub(super) fn join(standing: &Region, carried: &Region, seam: Seam) -> Result<Region, String> {
    let near = on_line(standing.outer(), &seam.tangent)
        .ok_or("the edge is not straight where the bend begins")?;
    let far = seam.far;
    let beyond =
        on_line(carried.outer(), &far).ok_or("the flange is not straight where the bend ends")?;
    let (ours, theirs) = (standing.outer().vertices(), carried.outer().vertices());
    let mut chain: Vec<Vertex> = Vec::with_capacity(ours.len() + theirs.len() + 4);
    chain.extend(&ours[..=near]);
    let plain = |from: Point, to: Point| [from, to].map(|at| Vertex { at, bulge: 0.0 }).to_vec();
    let [start, end] = seam.sides;
    // The strip may be narrower than either face.
    chain.extend(start.unwrap_or_else(|| plain(seam.tangent.from, far.to)));
    // From the end of their seam edge all round to its start.
    for i in 1..=theirs.len() {
        chain.push(theirs[(beyond + i) % theirs.len()]);
    }
    if let Some(last) = chain.last_mut() {
        last.bulge = 0.0;
    }
    let end = end.map(|side| backwards(&side));
    chain.extend(end.unwrap_or_else(|| plain(far.from, seam.tangent.to)));
    chain.extend(&ours[near + 1..]);
    let outer = Outline::new(chain).map_err(|e| e.to_string())?;
    let holes = standing.holes().iter().chain(carried.holes());
    holes.cloned().try_fold(Region::solid(outer), Region::pierced).map_err(|e| e.to_string())
}

/// Index of the straight edge that lies along a line, in its direction, and overlaps it.
pub(super) fn on_line(outline: &Outline, line: &Edge) -> Option<usize> {
    let along = line.direction_at_start();
    let length = line.length();
    let on = |p: Point| (p - line.from).cross(along).abs() < 10.0 * NEAR;
    outline.edges().position(|e| {
        let (a, b) = ((e.from - line.from).dot(along), (e.to - line.from).dot(along));
        e.is_line() && on(e.from) && on(e.to) && a < b && a < length - NEAR && b > NEAR
    })
}

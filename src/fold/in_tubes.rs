//! What of a formed part is in a tube that is cut out of one of its faces.

use crate::fold::axis::Axis;
use crate::fold::clash::Piece;
use crate::fold::folded::Folded;
use crate::geom::Frame;
use crate::geom::Point;
use crate::geom::Region;
use crate::geom::Space;
use crate::geom::Vec2;
use crate::part::Part;

/// Metal less deep in a tube than this is ignored, mm: the error of the arcs of a saddle and
/// rounding. Our choice.
const SEEN: f64 = 0.1;

/// From one place to the next along an edge, mm. Our choice.
const STEP: f64 = 0.5;

/// Every face, with a face or a bend that obstructs a tube cut out of it. The tubes are unlimited.
pub fn in_tubes(part: &Part, folded: &Folded) -> Vec<(usize, Piece)> {
    let mut found = Vec::new();
    for (face, drawn) in part.faces.iter().enumerate() {
        for cope in &drawn.copes {
            let axis = Axis::of_cope(cope, &folded.faces[face].frame, part.thickness);
            let tube = Tube { axis, radius: cope.radius };
            // A face that was divided by a fold line has the tubes of the whole.
            if !tube.touches(&folded.faces[face].region, &folded.faces[face].frame, part.thickness)
            {
                continue;
            }
            let others = folded.faces.iter().filter(|other| other.face != face);
            let others = others.filter(|other| {
                let at = |p, depth| other.frame.point(p, -part.thickness * depth);
                tube.contains_metal(&other.region, at)
            });
            found.extend(others.map(|other| (face, Piece::Face(other.face))));
            let bends = folded.bends.iter().zip(&folded.strips).filter(|(bend, strip)| {
                let at = |p: Point, depth| {
                    bend.point(p.x, p.y / bend.allowance, -bend.thickness * depth)
                };
                tube.contains_metal(strip, at)
            });
            found.extend(bends.map(|(bend, _)| (face, Piece::Bend(bend.bend))));
        }
    }
    found.dedup();
    found
}

/// A tube to which a face is cut.
struct Tube {
    axis: Axis,
    radius: f64,
}

impl Tube {
    /// Whether its skin lies along an edge of a face.
    fn touches(&self, region: &Region, frame: &Frame, thickness: f64) -> bool {
        let near = |p: Point| {
            let depths = [0.0, 0.5, 1.0].into_iter();
            let mut apart =
                depths.map(|depth| self.axis.distance(frame.point(p, -thickness * depth)));
            apart.any(|mm| (mm - self.radius).abs() < SEEN)
        };
        along_edges(region).any(near)
    }

    /// Whether metal is in it, which lies in space where `at` says, at a share of its depth.
    fn contains_metal(&self, region: &Region, at: impl Fn(Point, f64) -> Space) -> bool {
        let within = |p: Point| {
            [0.0, 0.5, 1.0]
                .into_iter()
                .any(|depth| self.axis.distance(at(p, depth)) < self.radius - SEEN)
        };
        along_edges(region).any(within)
            || inner(region, self.radius / 2.0).any(|p| within(p) && region.contains(p))
    }
}

/// Points along all edges.
fn along_edges(region: &Region) -> impl Iterator<Item = Point> {
    region.outlines().flat_map(|outline| outline.edges()).flat_map(|edge| {
        let steps = (edge.length() / STEP).ceil().max(1.0) as u32;
        (0..steps).map(move |i| edge.point_at(f64::from(i) / f64::from(steps)))
    })
}

/// Points in the bounds of a region, no more than `pitch` apart.
fn inner(region: &Region, pitch: f64) -> impl Iterator<Item = Point> {
    let bounds = region.bounds();
    let steps = |long: f64| (long / pitch).ceil().max(1.0) as u32;
    let (across, up) = (steps(bounds.width()), steps(bounds.height()));
    let share = |i: u32, n: u32| (f64::from(i) + 0.5) / f64::from(n);
    (0..across).flat_map(move |i| {
        (0..up).map(move |j| {
            let size = Vec2::new(bounds.width() * share(i, across), bounds.height() * share(j, up));
            bounds.min + size
        })
    })
}

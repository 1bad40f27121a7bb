//! A part or several plates as they are seen: lines of which the hidden ones are left out, and
//! areas in tones.
//!
//! Everything comes from the closed skin of the solid. A line is cut where a contour crosses it on
//! paper; each length is seen when its middle is: no side of the skin that looks towards the
//! viewer meets the line of sight from there. Planes, cylinders and cones are met exactly, ruled
//! sides to within some thousandths of a millimetre.

mod camera;
mod choice;
mod course;
mod crossings;
mod outlines;
mod shape;
mod skin;
mod tones;

use crate::fold::FoldedBend;
use crate::fold::Frame;
use crate::fold::Space;
use crate::geom::Edge;
use crate::geom::Point;
use crate::solid::Curve;
use crate::solid::Side;
use crate::solid::Solid;
use crate::solid::SolidEdge;
use crate::solid::Surface;
pub use camera::Camera;
pub(crate) use choice::Spots;
pub(crate) use choice::best;
pub(crate) use choice::share;
pub use outlines::LineKind;
pub use outlines::SeenLine;
pub use skin::Sight;
pub use skin::Skin;
pub use tones::Tone;

/// What is seen, at true size on paper, mm.
#[derive(Clone, Debug, Default)]
pub struct Seen {
    /// The lines.
    pub lines: Vec<SeenLine>,
    /// The areas, each in its tone.
    pub tones: Vec<Tone>,
    /// The area of all of it, by the even-odd rule.
    pub whole: Vec<Vec<Point>>,
}

/// What is seen of a skin; `bends` are those of its bodies, where they stand.
pub fn see(sight: &Sight, bends: &[FoldedBend], thickness: f64) -> Seen {
    let begins = |p: Space| bends.iter().any(|bend| begins(bend, p));
    let lines = outlines::lines(sight, 0, 3.0 * thickness, &begins);
    let (tones, whole) = tones::tones(sight);
    Seen { lines, tones, whole }
}

/// The lines of the last body alone, as far as neither it nor another hides them.
pub(crate) fn see_last(sight: &Sight) -> Vec<SeenLine> {
    let last = sight.skin.sides.iter().map(|side| side.body).max().unwrap_or(0);
    outlines::lines(sight, last, f64::INFINITY, &|_| false)
}

/// What is seen of a line on the surface of a skin.
pub(crate) fn see_edges(sight: &Sight, points: &[Space]) -> Vec<SeenLine> {
    let paper: Vec<Point> = points.iter().map(|p| sight.camera.paper(*p)).collect();
    let mut lines: Vec<SeenLine> = Vec::new();
    let mut was_seen = false;
    for (two, flat) in points.windows(2).zip(paper.windows(2)) {
        let is_seen = !sight.hides(crate::fold::times(crate::fold::plus(two[0], two[1]), 0.5));
        if is_seen {
            let edge = Edge::line(flat[0], flat[1]);
            match lines.last_mut().filter(|_| was_seen) {
                Some(line) => line.edges.push(edge),
                None => lines.push(SeenLine { kind: LineKind::Tangent, edges: vec![edge] }),
            }
        }
        was_seen = is_seen;
    }
    lines
}

/// A round bar of a radius along an axis from one place on it to another.
pub(crate) fn bar(axis: &Frame, radius: f64, [low, high]: [f64; 2]) -> Solid {
    let ring = |z: f64| [radius, -radius].map(|x| axis.point(Point::new(x, 0.0), z));
    let mut points = ring(low).to_vec();
    points.extend(ring(high));
    let centre = |z: f64| Frame { origin: axis.point(Point::ZERO, z), ..*axis };
    let circle =
        |from, to, z| SolidEdge { from, to, curve: Curve::Circle { frame: centre(z), radius } };
    let line = |from, to| SolidEdge { from, to, curve: Curve::Line };
    let edges = vec![
        circle(0, 1, low),
        circle(1, 0, low),
        circle(2, 3, high),
        circle(3, 2, high),
        line(0, 2),
        line(1, 3),
    ];
    let round = |loops| Side {
        surface: Surface::Cylinder { frame: *axis, radius },
        outward: true,
        loops: vec![loops],
    };
    let flat = |z, outward, loops| Side {
        surface: Surface::Plane(centre(z)),
        outward,
        loops: vec![loops],
    };
    let sides = vec![
        round(vec![(0, true), (5, true), (2, false), (4, false)]),
        round(vec![(1, true), (4, true), (3, false), (5, false)]),
        flat(low, false, vec![(1, false), (0, false)]),
        flat(high, true, vec![(2, true), (3, true)]),
    ];
    Solid { points, edges, sides, volume: 0.0, approximate: false }
}

/// Whether a bend begins or ends at a place on either side of the sheet.
fn begins(bend: &FoldedBend, p: Space) -> bool {
    /// Rounding, mm.
    const SAME: f64 = 1e-4;
    [0.0, 1.0].into_iter().any(|share| {
        let [_, y, z] = bend.frame_at(share).seen(p);
        y.abs() < SAME && (z.abs() < SAME || (z + bend.thickness).abs() < SAME)
    })
}

/// A solid that stands elsewhere.
pub(crate) fn placed(solid: &Solid, at: &Frame) -> Solid {
    let frame = |frame: &Frame| at.within(frame);
    let point = |p: &Space| at.within(&Frame { origin: *p, ..Frame::default() }).origin;
    let mut solid = solid.clone();
    solid.points.iter_mut().for_each(|p| *p = point(p));
    for edge in &mut solid.edges {
        match &mut edge.curve {
            Curve::Line => {}
            Curve::Circle { frame: own, .. } => *own = frame(own),
            Curve::Cubics(points) => points.iter_mut().for_each(|p| *p = point(p)),
        }
    }
    for side in &mut solid.sides {
        match &mut side.surface {
            Surface::Plane(own)
            | Surface::Cylinder { frame: own, .. }
            | Surface::Cone { frame: own, .. }
            | Surface::Torus { frame: own, .. } => *own = frame(own),
            Surface::Ruled(rails) => {
                rails.iter_mut().flatten().for_each(|p| *p = point(p));
            }
        }
    }
    solid
}

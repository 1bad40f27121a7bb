//! The view of a part or several plates: lines without the hidden ones, and areas in tones.
//!
//! Everything comes from the closed skin of the solid. A line is cut where a contour crosses it on
//! paper; each length is visible if its midpoint is: no side of the skin that faces the viewer
//! meets the line of sight from there. Planes, cylinders and cones are met exactly, ruled sides to
//! within some thousandths of a millimetre; a radius at the foot of a flare is treated as the cone
//! between its edges.

mod bodies;
mod camera;
mod choice;
mod course;
mod crossings;
mod outlines;
mod patches;
mod pieces;
mod shape;
mod skin;
mod tones;

use crate::fold::FoldedBend;
use crate::geom::Edge;
use crate::geom::Point;
use crate::geom::Space;
use crate::geom::plus;
use crate::geom::times;
pub(crate) use bodies::bar;
pub(crate) use bodies::placed;
pub use camera::Camera;
pub(crate) use choice::Spots;
pub(crate) use choice::best;
pub(crate) use choice::share;
pub use outlines::LineKind;
pub use outlines::SeenLine;
pub use patches::Patches;
pub use skin::Sight;
pub use skin::Skin;
pub use tones::Tone;

/// The visible lines and areas, at true size on paper, mm.
#[derive(Clone, Debug, Default)]
pub struct Projection {
    /// The lines.
    pub lines: Vec<SeenLine>,
    /// The areas, each in its tone.
    pub tones: Vec<Tone>,
    /// The area of all of it, by the even-odd rule.
    pub whole: Vec<Vec<Point>>,
}

/// The visible lines of a skin; `bends` are those of its bodies, in position.
pub fn see(sight: &Sight, bends: &[FoldedBend], thickness: f64) -> Projection {
    let begins = |p: Space| bends.iter().any(|bend| begins(bend, p));
    let lines = outlines::lines(sight, 0, Some(3.0 * thickness), &begins);
    let (tones, whole) = tones::tones(sight);
    Projection { lines, tones, whole }
}

/// The lines of the last body alone, as far as neither it nor another hides them.
pub(crate) fn see_last(sight: &Sight) -> Vec<SeenLine> {
    let last = sight.skin.sides.iter().map(|side| side.body).max().unwrap_or(0);
    outlines::lines(sight, last, None, &|_| false)
}

/// The visible pieces of a line on the surface of a skin.
pub(crate) fn see_edges(sight: &Sight, points: &[Space]) -> Vec<SeenLine> {
    let paper: Vec<Point> = points.iter().map(|p| sight.camera.paper(*p)).collect();
    let mut lines: Vec<SeenLine> = Vec::new();
    let mut was_seen = false;
    for (two, flat) in points.windows(2).zip(paper.windows(2)) {
        let is_seen = !sight.hides(times(plus(two[0], two[1]), 0.5));
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

/// Whether a bend begins or ends at a place on either side of the sheet.
fn begins(bend: &FoldedBend, p: Space) -> bool {
    /// Rounding, mm.
    const SAME: f64 = 1e-4;
    [0.0, 1.0].into_iter().any(|share| {
        let [_, y, z] = bend.frame_at(share).seen(p);
        y.abs() < SAME && (z.abs() < SAME || (z + bend.thickness).abs() < SAME)
    })
}

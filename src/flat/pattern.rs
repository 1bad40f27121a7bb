//! The flat pattern: its outlines, its bend lines, and the place of each face.

use crate::bend;
use crate::bend::Form;
use crate::diag::HoleId;
use crate::diag::Span;
use crate::geom::Edge;
use crate::geom::Line;
use crate::geom::Outline;
use crate::geom::Place;
use crate::geom::Region;
use crate::num::Angle;

/// A flat pattern.
#[derive(Clone, Debug)]
pub struct Flat {
    /// The outlines to cut: the blank with all its holes.
    pub region: Region,
    /// The holes, in the order of the faces.
    pub holes: Vec<FlatHole>,
    /// The bends, in the order of the part.
    pub bends: Vec<BendStrip>,
    /// The scribed or etched marks.
    pub marks: Vec<FlatMark>,
    /// The placement of each face of the part.
    pub places: Vec<Place>,
    /// Each face in its own drawing, cut back to where its bends begin, with its holes.
    pub faces: Vec<Region>,
    /// The corners that are not closed as their recipe requires.
    pub short_corners: Vec<ShortCorner>,
    /// The corners at which two flanges are to meet.
    pub corners: Vec<Corner>,
}

/// A corner at which two flanges are to meet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Corner {
    /// Indices of their bends: the edge of the first ends where that of the second begins.
    pub bends: [usize; 2],
    /// Clear distance of the two flanges, mm.
    pub gap: f64,
}

/// A flange whose `corner` requires it to meet another one, which it does not.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ShortCorner {
    /// Index of its bend.
    pub bend: usize,
    /// The bend of the other flange, and the gap by which this one misses it, mm; `None` if there
    /// is no flange at either end of the edge.
    pub other: Option<(usize, f64)>,
}

impl Flat {
    /// Openings that no hole is: those of cuts and of drawings.
    pub fn gaps(&self) -> &[Outline] {
        let all = self.region.holes();
        &all[..all.len() - self.holes.len()]
    }
}

/// A hole in the flat.
#[derive(Clone, Debug)]
pub struct FlatHole {
    /// Which one.
    pub id: HoleId,
    /// Its outline as cut.
    pub outline: Outline,
}

/// A mark on the flat.
#[derive(Clone, Debug)]
pub struct FlatMark {
    /// Index of its face in the part; `None` for the ticks of a bend.
    pub face: Option<usize>,
    /// Chains of edges.
    pub strokes: Vec<Vec<Edge>>,
    /// Its entry in the recipe, or that of its bend.
    pub span: Span,
}

/// The strip of sheet that becomes a bend.
#[derive(Clone, Debug)]
pub struct BendStrip {
    /// Where the bend begins on the side of the face it is on, and on that of the face it carries.
    pub tangents: [Edge; 2],
    /// The centre line of the strip, as far as there is metal.
    pub line: Edge,
    /// Where it begins, in the drawing of the face it is on, metal to its left.
    pub begins: Edge,
    /// Where it ends, in the drawing of the face it carries, metal to its left. The end of
    /// one line faces the start of the other.
    pub ends: Edge,
    /// Its metal in mm², without the areas cut at corners.
    pub area: f64,
    /// The same metal, in the flat; holes that run over the bend are not cut out of it.
    pub metal: Region,
    /// Cut-outs that reach into it, where it is drawn across a face.
    pub openings: Vec<Outline>,
    /// How it is bent, and its bend allowance.
    pub bend: bend::Bend,
}

impl BendStrip {
    /// The lines drawn of it: its centre line, or where it begins and ends if it is rolled.
    pub fn lines(&self) -> Vec<Edge> {
        match self.bend.form() {
            Form::Rolled => self.tangents.to_vec(),
            _ => vec![self.line],
        }
    }

    /// The line half way between the tangents, as long as they are.
    pub(crate) fn middle(&self) -> Edge {
        let [near, far] = self.tangents;
        Edge::line(near.from.midpoint(far.from), near.to.midpoint(far.to))
    }

    /// The metal along the bend beside the cut-outs that reach into it, mm: on that line, of where it
    /// begins, its middle and where it ends, that has most.
    pub(crate) fn net_width(&self) -> f64 {
        let metal = |edge: Edge| {
            let line = Line { at: edge.from, along: edge.direction_at_start() };
            let length = edge.length();
            let within = |[from, to]: [f64; 2]| (to.min(length) - from.max(0.0)).max(0.0);
            let cut = self.openings.iter().flat_map(|opening| line.stretches(opening));
            length - cut.map(within).sum::<f64>()
        };
        let [near, far] = self.tangents;
        [near, self.middle(), far].map(metal).into_iter().fold(0.0, f64::max)
    }

    /// The four sides of the strip.
    pub(crate) fn sides(&self) -> [Edge; 4] {
        let [near, far] = self.tangents;
        [near, Edge::line(near.to, far.to), far, Edge::line(far.from, near.from)]
    }

    /// From the flat to the strip's own drawing: x along the bend from the end of the first
    /// tangent to its start, y across it to the second.
    pub(crate) fn to_its_own(&self) -> Place {
        let near = self.tangents[0];
        let x = (near.from - near.to).normalize();
        Place::rotated(Angle::of(x.x, x.y), near.to).back()
    }
}

//! What of a flat is shown.

use crate::geom::Edge;
use crate::geom::Outline;
use crate::geom::Point;
use crate::geom::Region;
use crate::paper::figures::figure_text;
use crate::paper::spot::Found;
use crate::paper::spot::Ring;
use crate::paper::spot::Spot;
use crate::paper::tag::Tag;
use crate::quantity::Units;

/// A bend line with its sign.
#[derive(Clone, Debug, PartialEq)]
pub struct PlanBend {
    /// Its number in the bend sequence.
    pub number: String,
    /// Towards the viewer.
    pub up: bool,
    /// Behind the number, such as `90°`; empty where only the line is drawn.
    pub words: String,
    /// Where it lies.
    pub line: Edge,
}

/// Holes of one size, with their text.
#[derive(Clone, Debug, PartialEq)]
pub struct Callout {
    /// The size with its count, and remarks, a line each.
    pub lines: Vec<String>,
    /// The letters of its holes, such as `A1–A4`; empty if they have no letters.
    pub letters: String,
    /// Which of the spots.
    pub of: Vec<usize>,
}

/// A note on an edge: a weld symbol, a bevel, the adjoining body.
#[derive(Clone, Debug, PartialEq)]
pub struct EdgeNote {
    /// The edges, metal to their left; it points at one of them.
    pub edges: Vec<Edge>,
    /// The text.
    pub tag: Tag,
    /// Radius of a circle where its leader bends: a weld all round; 0 for none.
    pub ring: f64,
}

/// An adjoining body.
#[derive(Clone, Debug, PartialEq)]
pub struct Phantom {
    /// Its edges.
    pub edges: Vec<Edge>,
    /// Its name; empty for none.
    pub label: String,
}

/// What of a flat is shown. Its lower left corner is the datum of all dimensions.
#[derive(Clone, Debug)]
pub struct Plan {
    /// The outlines to cut.
    pub region: Region,
    /// The outlines whose corners are dimensioned.
    pub defined: Vec<Outline>,
    /// The words for the outline, where it is by a file and not by dimensions; else empty.
    pub by_file: Vec<String>,
    /// The scribed or etched marks.
    pub marks: Vec<Vec<Edge>>,
    /// Its bends.
    pub bends: Vec<PlanBend>,
    /// Its faces by name.
    pub faces: Vec<(String, Region)>,
    /// Its holes, with a letter where they have one.
    pub spots: Vec<Spot>,
    /// Which of them are located by running dimensions.
    pub located: Vec<usize>,
    /// Other points that are located: of the centre lines of beads.
    pub points: Vec<Point>,
    /// Corners of the plates on it.
    pub laid: Vec<Point>,
    /// Sizes of holes.
    pub callouts: Vec<Callout>,
    /// Whether these are in a table as well.
    pub tabled: bool,
    /// Notes on edges.
    pub notes: Vec<EdgeNote>,
    /// Edges of countersinks and bevels, visible or on the bottom side.
    pub rings: Vec<Ring>,
    /// What its findings are about.
    pub found: Vec<Found>,
    /// The adjoining bodies.
    pub phantoms: Vec<Phantom>,
    /// The units of the job.
    pub units: Units,
    /// The largest scale it is drawn at, mm on paper for one of the part.
    pub largest: f64,
}

impl Callout {
    /// All in a line, behind the letters.
    pub fn line(&self) -> String {
        let letters = match self.letters.is_empty() {
            true => String::new(),
            false => format!("{}: ", self.letters),
        };
        format!("{letters}{}", self.lines.join(", "))
    }
}

impl Plan {
    /// A size as drawings write it: hundredths of a millimetre, thousandths of an inch.
    pub(super) fn size_text(&self, mm: f64) -> String {
        figure_text(self.units, mm)
    }
}

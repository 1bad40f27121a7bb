//! How an outline file is to be read, the result, and why not.

use crate::dxf_in::DxfError;
use crate::geom::Edge;
use crate::geom::Point;
use crate::num::text;
use crate::quantity::Units;
use crate::svg_in::SvgError;
use indexmap::IndexMap;
use thiserror::Error;

/// A drawing of more lines and arcs is a picture, not a plate; and each is compared with
/// each. Our choice.
pub const MAX_EDGES: usize = 20_000;

/// The use of the entities on a layer.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Use {
    /// It is cut.
    Cut,
    /// It is scribed or etched.
    Mark,
    /// It is the centre line of a bend.
    Bend,
    /// Nothing.
    Nothing,
}

impl Use {
    /// As a recipe writes it.
    pub const WORDS: [(&str, Self); 4] =
        [("cut", Self::Cut), ("mark", Self::Mark), ("bend", Self::Bend), ("none", Self::Nothing)];

    /// As a recipe writes it.
    pub fn word(self) -> &'static str {
        Self::WORDS.iter().find(|(_, of)| *of == self).map_or("none", |(word, _)| word)
    }
}

/// How a file is to be read.
#[derive(Clone, Debug, Default)]
pub struct Wish<'a> {
    /// Its unit, in place of the one in the file.
    pub units: Option<Units>,
    /// Pixels to the inch, of an SVG file in pixels.
    pub per_inch: Option<f64>,
    /// The layer to read; without it `CUT` where the file has it, else all.
    pub layer: Option<&'a str>,
    /// What each layer means; `*` is any other. Empty: `layer` says what is cut.
    pub layers: Vec<(&'a str, Use)>,
}

/// The contents of a file, in mm.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Found {
    /// What is cut.
    pub cut: Vec<Edge>,
    /// What is marked, piece by piece.
    pub marks: Vec<Vec<Edge>>,
    /// The centre lines of bends, straight, from the bottom, from the left.
    pub bends: Vec<Edge>,
    /// Kinds that mean nothing for an outline, how many.
    pub passed: IndexMap<String, usize>,
    /// What nobody would see on a print, why, and how many.
    pub hidden: IndexMap<String, usize>,
    /// How many are on other layers than the one that was read.
    pub elsewhere: usize,
    /// Gaps between ends that are joined, mm.
    pub joined: Vec<f64>,
    /// The code page that its header names, where its texts cannot be read by it.
    pub unknown_page: Option<String>,
    /// In words, what of its styles is ignored though it hides or dashes elements.
    pub ignored: Option<String>,
    /// Where lines coincided with others.
    pub doubled: Vec<(Point, Point)>,
    /// Where bend lines coincided with others.
    pub bends_doubled: Vec<(Point, Point)>,
    /// The units by which it was read, as it says them itself; none where they were given.
    pub header_units: Option<&'static str>,
    /// The largest deviation of arcs from the curves they replace, mm; 0 if there are none.
    pub off: f64,
}

/// Why an outline file cannot be read.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum OutlineError {
    /// Of another format: which.
    #[error("it is {0}, not a DXF or SVG file")]
    Foreign(&'static str),
    /// As a DXF file.
    #[error(transparent)]
    Dxf(#[from] DxfError),
    /// As an SVG file.
    #[error(transparent)]
    Svg(#[from] SvgError),
    /// An SVG file whose units are no lengths.
    #[error("its units are pixels, which have no size: {0}")]
    NoScale(String),
    /// An SVG file whose width or height is not a length, though the other is.
    #[error("the scale is not known, as its width and its height are not both lengths: {0}")]
    OddSize(String),
    /// Pixels per inch of a file that is not in pixels: what it says of its units.
    #[error("it is not in pixels, so pixels per inch are not used: {0}")]
    NoPixels(String),
    /// What is not read, with the place of the first of each kind.
    #[error("it has {words}, which {verb} not read")]
    Kinds {
        /// Which.
        words: String,
        /// `is` or `are`.
        verb: &'static str,
    },
    /// A layer that the map leaves out.
    #[error("nothing says what layer `{0}` means")]
    Unsaid(String),
    /// A layer of the map that the file does not have.
    #[error("there is nothing on layer `{wanted}`")]
    NoLayer {
        /// As the map has it.
        wanted: String,
        /// Those there are.
        known: Vec<String>,
    },
    /// A bend that is no straight line.
    #[error(
        "the {kind} on layer `{layer}` ({place}), from {from} to {to}, is not a straight line, and a bend must be one"
    )]
    Crooked {
        /// What it is.
        kind: String,
        /// On which layer.
        layer: String,
        /// Where in the file.
        place: String,
        /// Where it begins.
        from: String,
        /// Where it ends.
        to: String,
    },
}

/// A place, in words.
pub(super) fn place(p: Point) -> String {
    format!("({}, {})", text(p.x, 3), text(p.y, 3))
}

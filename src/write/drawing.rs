//! What a file shows, before it is in any format.

use crate::geom::Bounds;
use crate::geom::Edge;
use crate::geom::Outline;
use crate::geom::Point;
use crate::geom::Region;
use crate::num;
use crate::quantity::Units;

/// What is done along a stroke. Machines and shops sort by these.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Layer {
    /// Cut through.
    Cut,
    /// Cut through with no offset for the kerf: what is cut parts two pieces.
    CutCommon,
    /// Etched or scribed.
    Mark,
    /// Where the centre of a bend lies; not cut.
    Bend,
    /// For the reader only.
    Note,
}

impl Layer {
    /// All of them, in the order files list them.
    pub(crate) const ALL: [Self; 5] =
        [Self::Cut, Self::CutCommon, Self::Mark, Self::Bend, Self::Note];

    /// Its name in files.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Cut => "CUT",
            Self::CutCommon => "CUT-COMMON",
            Self::Mark => "MARK",
            Self::Bend => "BEND",
            Self::Note => "NOTE",
        }
    }
}

/// One item drawn, in mm. Each becomes exactly one entity of a DXF file.
#[derive(Clone, Debug, PartialEq)]
pub enum Stroke {
    /// A closed outline; a full circle is written as a circle.
    Outline(Outline),
    /// A single line.
    Line(Point, Point),
    /// An open chain, each edge starting where the last one ended.
    Path(Vec<Edge>),
    /// One line of text, upright, read along x.
    Text {
        /// Left end of its baseline.
        at: Point,
        /// Height of a capital letter in mm.
        height: f64,
        /// The words.
        text: String,
    },
}

impl Stroke {
    /// The rectangle round it, in mm; for text one that surely encloses it.
    pub fn bounds(&self) -> Bounds {
        match self {
            Self::Outline(outline) => outline.bounds(),
            Self::Line(from, to) => Bounds::EMPTY.with(*from).with(*to),
            Self::Path(edges) => edges.iter().fold(Bounds::EMPTY, |b, e| b.and(e.bounds())),
            Self::Text { at, height, text } => {
                // Fonts differ. Hardly any has letters wider than high on the average,
                // or tails longer than a third of a capital.
                let width = text.chars().count() as f64 * height;
                Bounds { min: *at - (0.0, height / 3.0), max: *at + (width, *height) }
            }
        }
    }
}

/// All that is drawn in one file.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Drawing {
    /// What it shows. SVG carries it; DXF has no place for it that all readers accept.
    pub title: String,
    /// The units of the file. Everything in here is in mm whatever they are.
    pub units: Units,
    /// In the order in which they are written.
    pub strokes: Vec<(Layer, Stroke)>,
}

impl Drawing {
    /// Nothing drawn yet.
    pub fn new(title: impl Into<String>, units: Units) -> Self {
        Self { title: title.into(), units, strokes: Vec::new() }
    }

    /// Adds one stroke.
    pub fn draw(&mut self, layer: Layer, stroke: Stroke) {
        self.strokes.push((layer, stroke));
    }

    /// Adds a plate to be cut: its outline, then its holes.
    pub fn cut(&mut self, plate: &Region) {
        let outlines = plate.outlines().cloned();
        self.strokes.extend(outlines.map(|o| (Layer::Cut, Stroke::Outline(o))));
    }

    /// The rectangle round everything, in mm; a point at the origin when there is nothing.
    pub fn bounds(&self) -> Bounds {
        if self.strokes.is_empty() {
            return Bounds::EMPTY.with(Point::ZERO);
        }
        self.strokes.iter().fold(Bounds::EMPTY, |b, (_, stroke)| b.and(stroke.bounds()))
    }

    /// The outlines to be cut, in order.
    pub(super) fn cut_outlines(&self) -> impl Iterator<Item = &Outline> {
        self.strokes.iter().filter_map(|(layer, stroke)| match stroke {
            Stroke::Outline(outline) if *layer == Layer::Cut => Some(outline),
            _ => None,
        })
    }

    /// The open chains to be cut, in order.
    pub(super) fn cut_chains(&self) -> impl Iterator<Item = &[Edge]> {
        self.strokes.iter().filter_map(|(layer, stroke)| match stroke {
            Stroke::Path(edges) if *layer == Layer::Cut => Some(edges.as_slice()),
            _ => None,
        })
    }

    /// The layers files name: those everyone looks for, and the common cuts where there are any.
    pub(super) fn layers(&self) -> impl Iterator<Item = Layer> + '_ {
        let used = |layer: &Layer| self.strokes.iter().any(|(on, _)| on == layer);
        Layer::ALL.into_iter().filter(move |layer| *layer != Layer::CutCommon || used(layer))
    }

    /// The lines on a layer from end to end, in order.
    pub(super) fn lines(&self, on: Layer) -> Vec<[Point; 2]> {
        let ends = |(layer, stroke): &(Layer, Stroke)| match stroke {
            Stroke::Line(from, to) if *layer == on => Some([*from, *to]),
            _ => None,
        };
        self.strokes.iter().filter_map(ends).collect()
    }

    /// A length in mm as a number of the file: to 1e-6 mm, or to 1e-7 in, which is 2.5e-6 mm.
    pub(super) fn number(&self, mm: f64) -> String {
        match self.units {
            Units::Millimetre => num::file_text(mm),
            Units::Inch => num::text(mm / self.units.in_mm(), 7),
        }
    }
}

//! The contents of a page, independent of any format: lines, fills and words, in mm.
//!
//! The origin is the lower left corner of the page, and y points up.

use crate::geom::Bounds;
use crate::geom::Edge;
use crate::geom::Outline;
use crate::geom::Place;
use crate::geom::Point;
use crate::geom::Vec2;
use crate::geom::heading;
use crate::num::Angle;
use crate::paper::font;
use crate::paper::font::Weight;

/// What lines and letters are drawn with.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ink {
    /// All that is drawn of the part and said of it.
    Black,
    /// What findings mark.
    Red,
    /// Bends: lines, signs, what moves.
    Accent,
    /// Labels, and secondary items.
    Grey,
}

impl Ink {
    /// Shares of red, green and blue, 0 to 255; `None` for black.
    pub(super) fn colour(self) -> Option<[u8; 3]> {
        match self {
            Self::Black => None,
            Self::Red => Some([179, 32, 12]),
            Self::Accent => Some([0x1d, 0x5a, 0x8c]),
            Self::Grey => Some([0x55, 0x55, 0x55]),
        }
    }
}

/// How a line is drawn: two widths in the ratio 2:1, kinds of ISO 128-2 (from memory).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Pen {
    /// Continuous, 0.5 mm: visible edges of the part.
    Wide,
    /// Continuous, 0.25 mm: dimensions, leaders.
    Narrow,
    /// Continuous, 0.25 mm: rules of tables and marks of the sheet.
    Fine,
    /// Dashed, 0.25 mm: edges on the other side.
    Dashed,
    /// Short dashes, 0.25 mm, grey: the margin of a sheet.
    Margin,
    /// Long dash and dot, 0.25 mm: centres.
    Chain,
    /// Long dash and two dots, 0.25 mm: adjoining bodies.
    Phantom,
    /// Continuous, 0.25 mm, accent: bend lines.
    Bend,
    /// Continuous, 0.25 mm, grey: edges between faces that run smoothly into each other; marks of a
    /// template.
    Tangent,
    /// Continuous, 0.5 mm, red: the subject of a finding.
    Found,
    /// Continuous, 1 mm, accent: the section that governs, in the picture of a load.
    Governs,
    /// Continuous, 0.5 mm, accent: the arrow of a load.
    Load,
}

impl Pen {
    /// In mm.
    pub(super) fn width(self) -> f64 {
        match self {
            Self::Wide | Self::Found | Self::Load => 0.5,
            Self::Governs => 1.0,
            _ => 0.25,
        }
    }

    /// Its colour.
    pub(super) fn ink(self) -> Ink {
        match self {
            Self::Found => Ink::Red,
            Self::Bend | Self::Governs | Self::Load => Ink::Accent,
            Self::Tangent | Self::Margin => Ink::Grey,
            _ => Ink::Black,
        }
    }

    /// Lengths of dashes and gaps alternately, mm; empty for a continuous line.
    pub(super) fn dashes(self) -> &'static [f64] {
        match self {
            Self::Dashed => &[3.0, 1.2],
            Self::Margin => &[1.6, 1.2],
            Self::Chain => &[6.0, 1.1, 0.3, 1.1],
            Self::Phantom => &[7.0, 1.1, 0.3, 1.1, 0.3, 1.1],
            _ => &[],
        }
    }
}

/// Which way words are read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Reading {
    /// Along x.
    Level,
    /// Upwards, from the right of the page.
    Upward,
    /// Along a line at this many tenths of a degree above x.
    Slanting(i16),
}

impl Reading {
    /// Direction of the line.
    pub(crate) fn angle(self) -> Angle {
        match self {
            Self::Level => Angle::ZERO,
            Self::Upward => Angle::QUARTER,
            Self::Slanting(tenths) => Angle::from_degrees(f64::from(tenths) / 10.0),
        }
    }

    /// Directions along the line and upwards from it.
    fn axes(self) -> (Vec2, Vec2) {
        let angle = self.angle();
        (heading(angle), Vec2::new(-angle.sin(), angle.cos()))
    }
}

/// One line of words.
#[derive(Clone, Debug, PartialEq)]
pub struct Words {
    /// Start of its baseline.
    pub at: Point,
    /// Height of a capital, mm.
    pub height: f64,
    /// How heavy.
    pub weight: Weight,
    /// Which way.
    pub reading: Reading,
    /// In which ink.
    pub ink: Ink,
    /// The words.
    pub text: String,
}

impl Words {
    /// Plain words along x.
    pub fn plain(at: Point, height: f64, text: impl AsRef<str>) -> Self {
        let text = font::known(text.as_ref());
        Self { at, height, weight: Weight::Plain, reading: Reading::Level, ink: Ink::Black, text }
    }

    /// Heavy words along x.
    pub fn heavy(at: Point, height: f64, text: impl AsRef<str>) -> Self {
        Self::plain(at, height, text).made_heavy()
    }

    /// The same in heavy letters.
    #[must_use]
    pub(crate) fn made_heavy(self) -> Self {
        Self { weight: Weight::Heavy, ..self }
    }

    /// The same in red.
    #[must_use]
    pub(crate) fn made_red(self) -> Self {
        Self { ink: Ink::Red, ..self }
    }

    /// The same in another ink.
    #[must_use]
    pub(crate) fn in_ink(self, ink: Ink) -> Self {
        Self { ink, ..self }
    }

    /// The same, read upwards.
    #[must_use]
    pub(crate) fn upward(self) -> Self {
        Self { reading: Reading::Upward, ..self }
    }

    /// The same with its centre at a place.
    #[must_use]
    pub(crate) fn centred(self, centre: Point) -> Self {
        let (half, high) = (self.length() / 2.0, self.height / 2.0);
        let at = match self.reading {
            Reading::Level => centre - (half, high),
            Reading::Upward => centre - (-high, half),
            Reading::Slanting(_) => {
                let (along, up) = self.reading.axes();
                centre - along * half - up * high
            }
        };
        Self { at, ..self }
    }

    /// Length of the line, mm.
    pub fn length(&self) -> f64 {
        font::width_in(self.weight, &self.text, self.height)
    }

    /// The rectangle round it, mm: from below the tails to above the tallest letters.
    pub fn bounds(&self) -> Bounds {
        let (below, above) = font::reach(self.height);
        let (length, at) = (self.length(), self.at);
        match self.reading {
            Reading::Level => Bounds { min: at - (0.0, below), max: at + (length, above) },
            Reading::Upward => Bounds { min: at - (above, 0.0), max: at + (below, length) },
            Reading::Slanting(_) => {
                self.corners().into_iter().fold(Bounds::EMPTY, |b, corner| b.with(corner))
            }
        }
    }

    /// The corners of the rectangle round it that lies along it, mm.
    pub(crate) fn corners(&self) -> [Point; 4] {
        let (below, above) = font::reach(self.height);
        let length = self.length();
        let (along, up) = self.reading.axes();
        let low = self.at - up * below;
        let high = self.at + up * above;
        [low, low + along * length, high + along * length, high]
    }

    /// The same in grey.
    #[must_use]
    pub(crate) fn made_grey(self) -> Self {
        Self { ink: Ink::Grey, ..self }
    }
}

/// One item of a page.
#[derive(Clone, Debug, PartialEq)]
pub enum Item {
    /// A line along edges that follow each other.
    Line(Pen, Vec<Edge>),
    /// An area: 0 is black, 1 white; loops within loops are left out of it.
    Fill(f64, Vec<Vec<Edge>>),
    /// An area in an ink; loops within loops are left out of it.
    Area(Ink, Vec<Vec<Edge>>),
    /// Words.
    Words(Words),
    /// What of some items lies within a rectangle.
    Window(Bounds, Vec<Item>),
    /// Some items with data for programs.
    Noted(Note, Vec<Item>),
}

/// Data on some items of a picture for programs: a dimension with its feet, an outline.
#[derive(Clone, Debug, PartialEq)]
pub struct Note {
    /// Its kind, such as `dimension`.
    pub kind: &'static str,
    /// Its text.
    pub text: String,
    /// The features of the part it concerns, on the page, mm.
    pub feet: Vec<Point>,
    /// Length on the page of a millimetre of the part.
    pub scale: f64,
}

impl Item {
    /// A straight line.
    pub fn line(pen: Pen, from: Point, to: Point) -> Self {
        Self::Line(pen, vec![Edge::line(from, to)])
    }

    /// A closed outline.
    pub fn outline(pen: Pen, outline: &Outline) -> Self {
        Self::Line(pen, outline.edges().collect())
    }

    /// A rectangle's outline.
    pub fn frame(pen: Pen, bounds: Bounds) -> Self {
        Self::Line(pen, outline(bounds))
    }

    /// The rectangle round it, mm, line widths left out.
    pub fn bounds(&self) -> Bounds {
        let of = |edges: &[Edge]| edges.iter().fold(Bounds::EMPTY, |b, e| b.and(e.bounds()));
        match self {
            Self::Line(_, edges) => of(edges),
            Self::Fill(_, loops) | Self::Area(_, loops) => {
                loops.iter().fold(Bounds::EMPTY, |b, l| b.and(of(l)))
            }
            Self::Words(words) => words.bounds(),
            Self::Window(bounds, _) => *bounds,
            Self::Noted(_, items) => items.iter().fold(Bounds::EMPTY, |b, i| b.and(i.bounds())),
        }
    }

    /// The same elsewhere.
    #[must_use]
    pub fn shifted(self, by: (f64, f64)) -> Self {
        let place = Place::at(Point::new(by.0, by.1));
        let edges = |edges: Vec<Edge>| edges.iter().map(|e| e.moved(&place)).collect();
        match self {
            Self::Line(pen, path) => Self::Line(pen, edges(path)),
            Self::Fill(tone, loops) => Self::Fill(tone, loops.into_iter().map(edges).collect()),
            Self::Area(ink, loops) => Self::Area(ink, loops.into_iter().map(edges).collect()),
            Self::Words(words) => Self::Words(Words { at: words.at + by, ..words }),
            Self::Window(bounds, items) => Self::Window(
                bounds.shifted(by.into()),
                items.into_iter().map(|i| i.shifted(by)).collect(),
            ),
            Self::Noted(note, items) => Self::Noted(
                Note { feet: note.feet.iter().map(|p| *p + by).collect(), ..note },
                items.into_iter().map(|i| i.shifted(by)).collect(),
            ),
        }
    }
}

/// The rectangle round some items; that of the origin where there are none.
pub(crate) fn extent(items: &[Item]) -> Bounds {
    let bounds = items.iter().map(Item::bounds).fold(Bounds::EMPTY, Bounds::and);
    if bounds.min.x > bounds.max.x { bounds.with(Point::ZERO) } else { bounds }
}

/// The outline of a rectangle as edges.
pub(super) fn outline(bounds: Bounds) -> Vec<Edge> {
    let Bounds { min, max } = bounds;
    closed(&[min, Point::new(max.x, min.y), max, Point::new(min.x, max.y)])
}

/// Straight edges from corner to corner, and from the last to the first.
pub(super) fn closed(corners: &[Point]) -> Vec<Edge> {
    let next = corners.iter().cycle().skip(1);
    corners.iter().zip(next).map(|(a, b)| Edge::line(*a, *b)).collect()
}

/// One page.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Page {
    /// Its items, in the order of drawing.
    pub items: Vec<Item>,
    /// The rectangle of each block; none lies on another.
    pub blocks: Vec<Bounds>,
}

/// Some pages of one size.
#[derive(Clone, Debug, PartialEq)]
pub struct Pages {
    /// Its title.
    pub title: String,
    /// Width and height of a page, mm.
    pub size: [f64; 2],
    /// The pages in order.
    pub pages: Vec<Page>,
}

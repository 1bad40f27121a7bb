//! Pages for the shop: figures, tables and words, as PDF and as SVG.
//!
//! A drawing is a list of [`Block`]s that [`flow()`] lays onto pages; it knows nothing of
//! jobs. A [`Template`] is printed at true size over as many pages as it needs. Everything
//! is drawn from one kind of scene, so both formats show the same.

mod clear;
mod dimensioned;
mod figures;
mod flow;
mod font;
mod head;
mod labels;
mod pdf;
mod piece;
mod running;
mod scene;
mod solid;
mod strip;
mod svg;
mod table;
mod template;

pub use self::dimensioned::Found;
pub use self::dimensioned::Plan;
pub use self::dimensioned::Ring;
pub use self::dimensioned::Seam;
pub use self::dimensioned::Spot;
pub(crate) use self::figures::both_units;
pub(crate) use self::figures::figure_text;
pub(crate) use self::figures::rule_text;
pub use self::flow::Block;
pub(crate) use self::flow::Figure;
pub use self::flow::flow;
pub use self::font::font_notice;
pub use self::head::Frame;
pub use self::labels::PlanBend;
pub use self::pdf::PdfError;
pub use self::pdf::pdf;
pub use self::scene::Ink;
pub use self::scene::Item;
pub use self::scene::Page;
pub use self::scene::Pages;
pub use self::scene::Pen;
pub use self::scene::Reading;
pub use self::scene::Weight;
pub use self::scene::Words;
pub(crate) use self::solid::Size;
pub use self::solid::Solid;
pub use self::strip::BendStep;
pub use self::strip::EndView;
pub use self::strip::Line as StripLine;
pub use self::strip::PlanView;
pub use self::strip::Row as StripRow;
pub use self::strip::scale as strip_scale;
pub use self::strip::words_row as strip_words;
pub use self::svg::svg;
pub use self::table::Cell;
pub use self::table::Table;
pub use self::template::Template;
pub use self::template::can_be_printed;

/// A size of paper.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Format {
    /// 210 mm × 297 mm (ISO 216).
    A4,
    /// 8-1/2 in × 11 in.
    Letter,
}

impl Format {
    /// Width and height, upright, mm.
    pub const fn size(self) -> [f64; 2] {
        match self {
            Self::A4 => [210.0, 297.0],
            Self::Letter => [215.9, 279.4],
        }
    }

    /// The format of this name.
    pub fn named(name: &str) -> Option<Self> {
        match name {
            "A4" => Some(Self::A4),
            "Letter" => Some(Self::Letter),
            _ => None,
        }
    }
}

/// Between two things on a page, mm.
pub(crate) const BETWEEN: f64 = flow::BETWEEN;

/// From the edge of a page to what stands on it, mm, on either side.
pub const MARGIN: f64 = head::MARGIN;

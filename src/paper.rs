//! Pages for the shop: figures, tables and words, as PDF and as SVG.
//!
//! A shop drawing is a framed sheet of panels: a [`Plan`] in one, pictures, [`Block`]s of words and
//! tables in others; it is independent of jobs. A [`Template`] is printed at true size over as many
//! pages as it needs. Everything is drawn from one kind of scene, so both formats show the same.

mod clear;
mod columns;
mod crossed;
mod figures;
mod flags;
mod font;
mod leaders;
mod lines;
mod pdf;
mod plan;
mod roomiest;
mod running;
mod scales;
mod scene;
mod sheet;
mod solid;
mod spot;
mod straight;
mod strip;
mod svg;
mod table;
mod tag;
mod template;
mod unit;

pub(crate) use self::clear::is_free;
pub use self::columns::Block;
pub(crate) use self::columns::count_fitting;
pub(crate) use self::columns::first;
pub(crate) use self::columns::height;
pub(crate) use self::columns::led;
pub(crate) use self::columns::place;
pub(crate) use self::columns::split_index;
pub(crate) use self::columns::total;
pub(crate) use self::columns::units;
pub(crate) use self::columns::widest;
pub(crate) use self::figures::both_units;
pub(crate) use self::figures::figure_text;
pub(crate) use self::figures::size_figure;
pub(crate) use self::figures::size_text;
pub use self::font::Weight;
pub use self::font::font_notice;
pub(crate) use self::font::wrap;
pub(crate) use self::leaders::Leading;
pub(crate) use self::leaders::Small;
pub use self::pdf::PdfError;
pub use self::pdf::pdf;
pub use self::plan::Callout;
pub use self::plan::Detail;
pub use self::plan::Drawn;
pub use self::plan::EdgeNote;
pub use self::plan::Phantom;
pub use self::plan::Plan;
pub use self::plan::PlanBend;
pub(crate) use self::roomiest::Place;
pub(crate) use self::roomiest::Roomy;
pub(crate) use self::running::arrow_head;
pub(crate) use self::running::load_head;
pub(crate) use self::scales::NOT_TO_SCALE;
pub(crate) use self::scales::STANDARD as STANDARD_SCALES;
pub(crate) use self::scales::scale_text;
pub(crate) use self::scales::scale_words;
pub use self::scene::Ink;
pub use self::scene::Item;
pub use self::scene::Note;
pub use self::scene::Page;
pub use self::scene::Pages;
pub use self::scene::Pen;
pub use self::scene::Reading;
pub use self::scene::Words;
pub(crate) use self::scene::extent;
pub(crate) use self::sheet::Field;
pub(crate) use self::sheet::Foot;
pub(crate) use self::sheet::LARGE;
pub(crate) use self::sheet::PITCH;
pub(crate) use self::sheet::SMALL;
pub(crate) use self::sheet::Strip;
pub(crate) use self::sheet::frame_width;
pub(crate) use self::sheet::framed;
pub(crate) use self::sheet::inside;
pub(crate) use self::solid::Letter;
pub use self::solid::Picture;
pub(crate) use self::solid::Size;
pub use self::solid::Solid;
pub use self::spot::Found;
pub use self::spot::Ring;
pub use self::spot::Spot;
pub(crate) use self::straight::pieces as straight_pieces;
pub use self::strip::BendStep;
pub use self::strip::EndView;
pub use self::strip::Line as StripLine;
pub use self::strip::PlanView;
pub use self::strip::Row as StripRow;
pub use self::strip::scale as strip_scale;
pub use self::strip::words_row as strip_words;
pub(crate) use self::svg::element as svg_element;
pub use self::svg::svg;
pub(crate) use self::svg::written;
pub use self::table::Cell;
pub use self::table::Table;
pub use self::tag::Tag;
pub(crate) use self::tag::circle;
pub(crate) use self::tag::wrapped;
pub(crate) use self::template::Cancelled;
pub use self::template::Template;
pub use self::template::can_be_printed;
pub(crate) use self::template::nested;
pub(crate) use self::unit::Unit;

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

    /// Its name, which is a keyword of CSS Paged Media as well.
    pub const fn name(self) -> &'static str {
        match self {
            Self::A4 => "A4",
            Self::Letter => "Letter",
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

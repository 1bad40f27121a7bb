//! The pieces of a sheet as they are drawn, with their numbers: the larger part of its picture, which
//! sheets with an equal layout share.

use crate::drawings;
use crate::drawings::Beside;
use crate::geom::Place;
use crate::geom::Point;
use crate::geom::Vec2;
use crate::job::Job;
use crate::num;
use crate::num::Angle;
use crate::place::NestedSheet;
use crate::report::PlacedRow;
use crate::report::SheetRow;
use crate::report_page::html::El;
use crate::report_page::html::Html;
use crate::report_page::html::el;
use crate::report_page::scale::Scale;
use crate::report_page::shapes;
use crate::report_page::shapes::Shape;
use crate::report_page::shapes::number;
use crate::solve::Solved;

/// Metal round a point at which a number is read, px, and for each of its figures.
const READ: f64 = 6.0;
const READ_EACH: f64 = 3.8;
/// Of the picture, to one mm of paper on which its letters would be as high as those of a drawing, px.
const PAPER: f64 = 2.5;
/// Radius of the dot at the end of a leader, px.
const DOT: f64 = 1.5;

/// A piece on a sheet.
pub(super) struct Piece<'a> {
    /// Index of its part.
    pub(super) part: usize,
    /// The number of its part on this sheet, as in the picture of the sheet.
    pub(super) number: usize,
    /// Where it was placed.
    pub(super) row: &'a PlacedRow,
}

/// The pieces of a sheet in the order in which they are cut.
pub(super) fn pieces<'a>(nested: &NestedSheet, row: &'a SheetRow) -> Vec<Piece<'a>> {
    let numbered = drawings::numbered_parts(nested);
    let number = |part| numbered.iter().position(|of| *of == part).map_or(0, |at| at + 1);
    let pieces = nested.in_order().zip(&row.placed);
    pieces.map(|((part, _), row)| Piece { part: *part, number: number(*part), row }).collect()
}

/// The pieces of a sheet, drawn in mm, and their numbers.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Laid {
    pub(super) metal: Html,
    pub(super) numbers: Html,
}

impl Laid {
    /// Those of a sheet; `shapes` are those of the parts.
    pub(crate) fn of(
        (job, solved): (&Job, &[Solved]),
        shapes: &[Shape],
        (nested, row): (&NestedSheet, &SheetRow),
    ) -> Self {
        let pieces = pieces(nested, row);
        let on = On { shapes, pieces: &pieces, scale: &Scale::of(row) };
        let metal = pieces.iter().map(piece).collect();
        let numbers: Html = pieces.iter().map(|piece| on.number(piece)).collect();
        let all = |stands: &[Option<Point>]| {
            drawings::numbers_beside((job, solved), (nested, row), on.scale.px / PAPER, stands)
        };
        Self { metal, numbers: numbers.and(on.beside(nested, &all)) }
    }
}

/// A sheet on which the numbers of pieces are placed.
struct On<'a> {
    shapes: &'a [Shape],
    pieces: &'a [Piece<'a>],
    scale: &'a Scale,
}

impl On<'_> {
    /// The numbers of pieces that have no room for them, beside them with a leader; `all` finds them
    /// from the places of the others.
    fn beside(&self, nested: &NestedSheet, all: &dyn Fn(&[Option<Point>]) -> Vec<Beside>) -> Html {
        // By piece in the order of placing, its index in the order of cutting.
        let mut cut = vec![None; nested.placed.len()];
        for (i, placed) in nested.indices_in_order().enumerate() {
            cut[placed] = Some(i);
        }
        let stands = |i: &Option<usize>| {
            let piece = &self.pieces[(*i)?];
            let (at, room) = self.shapes[piece.part].roomiest;
            (room * self.scale.px >= needed(piece)).then(|| place(piece.row).apply(at))
        };
        let stands: Vec<Option<Point>> = cut.iter().map(stands).collect();
        let led = |beside: &Beside| {
            let piece = &self.pieces[cut[beside.piece]?];
            let on = |p: Point| Point::new(p.x * PAPER, self.scale.high - p.y * PAPER);
            let [from, to] = beside.leader.map(on);
            let [x1, y1, x2, y2] = [from.x, from.y, to.x, to.y].map(number);
            let leader = shapes::path(&format!("M{x1} {y1}L{x2} {y2}")).at("class", "size");
            let dot = el("circle").at("class", "dot").at("cx", &x1).at("cy", &y1).at("r", DOT);
            let centre = on(beside.centre);
            let text = el("text").at("class", "n").at("data-p", piece.part);
            let text = text.at("x", number(centre.x)).at("y", number(centre.y));
            Some(Html::from(leader).and(dot).and(text.with(piece.number.to_string())))
        };
        all(&stands).iter().filter_map(led).collect()
    }

    /// The number of a piece's part, where there is most metal round it.
    fn number(&self, piece: &Piece) -> Html {
        let (at, room) = self.shapes[piece.part].roomiest;
        let (at, room) = (self.scale.at(place(piece.row).apply(at)), room * self.scale.px);
        let words = piece.number.to_string();
        let class = if room < needed(piece) { "n tiny" } else { "n" };
        let text = el("text").at("class", class).at("data-p", piece.part);
        let text = text.at("data-r", number(room)).at("x", number(at.x)).at("y", number(at.y));
        text.with(words).into()
    }
}

/// Metal round a point at which the number of a piece is read, px.
fn needed(piece: &Piece) -> f64 {
    READ.max(READ_EACH * piece.number.to_string().len() as f64)
}

/// A piece, which leads to the card of its part.
fn piece(piece: &Piece) -> El {
    let row = piece.row;
    let mirror = if row.mirrored { " scale(-1 1)" } else { "" };
    let rotate = match row.orientation_deg {
        0.0 => String::new(),
        degrees => format!(" rotate({})", num::text(-degrees, 4)),
    };
    let place = format!("translate({} {}){rotate}{mirror}", number(row.x_mm), number(-row.y_mm));
    let link = el("a").at("href", format_args!("#part-{}", row.part)).at("class", "piece");
    let link = link.at("data-p", piece.part).at("tabindex", -1);
    let title = el("title").with(format!("{} {}", piece.number, row.part));
    link.with(title).with(shapes::again(piece.part).at("class", "met").at("transform", place))
}

/// From a part's file to the sheet.
fn place(row: &PlacedRow) -> Place {
    Place {
        mirrored: row.mirrored,
        rotation: Angle::from_degrees(row.orientation_deg),
        shift: Vec2::new(row.x_mm, row.y_mm),
    }
}

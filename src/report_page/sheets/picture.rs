//! A sheet as a picture: metal, what is kept free of it, pieces with the numbers of their parts, the
//! remnant.

use crate::geom::Bounds;
use crate::geom::Place;
use crate::geom::Point;
use crate::geom::Vec2;
use crate::num;
use crate::num::Angle;
use crate::place::NestedSheet;
use crate::report::PlacedRow;
use crate::report::SheetRow;
use crate::report_page::Page;
use crate::report_page::dimensions;
use crate::report_page::dimensions::note;
use crate::report_page::dimensions::note_upward;
use crate::report_page::html::El;
use crate::report_page::html::Html;
use crate::report_page::html::el;
use crate::report_page::shapes;
use crate::report_page::shapes::number;
use crate::report_page::sheets::Piece;

/// Room for a sheet, px. Our choice.
const ROOM: [f64; 2] = [640.0, 460.0];
/// Metal round a point at which a number is read, px, and for each of its figures.
const READ: f64 = 6.0;
const READ_EACH: f64 = 3.8;
/// From one line of a hatch to the next, px.
const HATCH: f64 = 7.0;

/// A sheet being drawn: px for a mm, and its height, px.
struct Scale {
    px: f64,
    high: f64,
}

impl Scale {
    fn at(&self, p: Point) -> Point {
        Point::new(p.x * self.px, self.high - p.y * self.px)
    }
}

impl Page<'_> {
    /// The picture of a sheet, the first of which has the index 0.
    pub(super) fn sheet_picture(
        &self,
        index: usize,
        row: &SheetRow,
        nested: &NestedSheet,
        pieces: &[Piece],
    ) -> El {
        let stock = &nested.stock(self.job).sheet;
        let [length, width] = row.size_mm;
        let px = (ROOM[0] / length).min(ROOM[1] / width);
        let scale = Scale { px, high: width * px };
        let hatch = format!("h{index}");
        let mut metal =
            Html::from(shapes::path(&shapes::outlines(&stock.region)).at("class", "edge"));
        let mut words = Html::default();
        let (areas, names) = self.kept_free(nested, &scale, &hatch);
        metal = metal.and(areas);
        words = words.and(names);
        metal = metal.and(pieces.iter().map(piece).collect::<Html>());
        let numbers = pieces.iter().map(|piece| self.number(piece, &scale));
        words = words.and(numbers.collect::<Html>());
        if let Some((at, size)) = row.remnant_at_mm.zip(row.remnant_mm) {
            let min = Point::new(at[0], at[1]);
            let remnant = Bounds { min, max: min + (size[0], size[1]) };
            metal = metal.and(rect(&remnant, "remnant"));
            words =
                words.and(along(&scale, &remnant, &format!("remnant {}", self.both_down(size))));
        }
        let transform = format!("translate(0 {}) scale({})", number(scale.high), num::text(px, 5));
        let drawn = el("g").at("id", format_args!("g{index}")).at("class", "mm");
        let drawn = drawn.at("transform", transform).with(metal);
        let size = [length * px, scale.high];
        let dimensions = dimensions::overall(size, [&self.shop(length), &self.shop(width)]);
        // The caption, the legend and the table say the same in words.
        let svg = dimensions::drawing("dwg nest", size).at("aria-hidden", "true");
        svg.with(pattern(&hatch, px)).with(drawn).with(dimensions).with(words)
    }

    /// What is kept free of a sheet, drawn in mm, and its names.
    fn kept_free(&self, nested: &NestedSheet, scale: &Scale, hatch: &str) -> (Html, Html) {
        let (mut areas, mut names) = (Html::default(), Html::default());
        let hatched = |area: El| area.at("fill", format_args!("url(#{hatch})"));
        // What reaches out of the sheet is cut off at its edge.
        let sheet = &nested.stock(self.job).sheet.region;
        let clip = format!("{hatch}-sheet");
        let mut kept = Html::default();
        for (outline, name) in nested.keep_outs(self.job) {
            kept = kept.and(hatched(shapes::closed(outline).at("class", "out")));
            let seen = shared(&outline.bounds(), &sheet.bounds());
            names = names.and(note(scale.at(seen.centre()), name));
        }
        if nested.keep_outs(self.job).next().is_some() {
            let edge = el("clipPath").at("id", &clip).with(shapes::closed(sheet.outer()));
            let kept = el("g").at("clip-path", format_args!("url(#{clip})")).with(kept);
            areas = areas.and(edge).and(kept);
        }
        for (strip, _) in nested.clamped(self.job) {
            areas = areas.and(hatched(rect(&strip, "out")));
            names = names.and(along(scale, &strip, "clamp"));
        }
        let margin = nested.margin_lines(self.job);
        let margin = margin.iter().map(|line| shapes::closed(line).at("class", "margin"));
        (areas.and(margin.collect::<Html>()), names)
    }

    /// The number of a piece's part, where there is most metal round it.
    fn number(&self, piece: &Piece, scale: &Scale) -> Html {
        let (at, room) = self.shapes[piece.part].roomiest;
        let (at, room) = (scale.at(place(piece.row).apply(at)), room * scale.px);
        let words = piece.number.to_string();
        let needed = READ.max(READ_EACH * words.len() as f64);
        let class = if room < needed { "n tiny" } else { "n" };
        let text = el("text").at("class", class).at("data-p", piece.part);
        let text = text.at("data-r", number(room)).at("x", number(at.x)).at("y", number(at.y));
        text.with(words).into()
    }
}

/// What two rectangles share.
fn shared(a: &Bounds, b: &Bounds) -> Bounds {
    let min = Point::new(a.min.x.max(b.min.x), a.min.y.max(b.min.y));
    Bounds { min, max: Point::new(a.max.x.min(b.max.x), a.max.y.min(b.max.y)) }
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

/// The hatch of what is kept free, at a scale in px for a mm.
fn pattern(id: &str, px: f64) -> El {
    let step = num::text(HATCH / px, 3);
    let pattern = el("pattern").at("id", id).at("patternUnits", "userSpaceOnUse");
    let pattern = pattern.at("width", &step).at("height", &step);
    let line = shapes::path(&format!("M0 0V{step}")).at("class", "hatch");
    el("defs").with(pattern.at("patternTransform", "rotate(45)").with(line))
}

fn rect(bounds: &Bounds, class: &str) -> El {
    let (x, y) = (number(bounds.min.x), number(-bounds.max.y));
    let rect = el("rect").at("class", class).at("x", x).at("y", y);
    rect.at("width", number(bounds.width())).at("height", number(bounds.height()))
}

/// Words within a rectangle along its longer side.
fn along(scale: &Scale, within: &Bounds, words: &str) -> El {
    let at = scale.at(within.centre());
    if within.width() >= within.height() { note(at, words) } else { note_upward(at, words) }
}

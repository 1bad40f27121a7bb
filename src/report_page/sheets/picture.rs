//! A sheet as a picture: metal, keep-outs, pieces with the numbers of their parts, the remnant.

use crate::drawings;
use crate::drawings::Beside;
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
/// Of the picture, to one mm of paper on which its letters would be as high as those of a drawing, px.
const PAPER: f64 = 2.5;
/// Radius of the dot at the end of a leader, px.
const DOT: f64 = 1.5;
/// Maximum size of a letter of a name with the space round it, px: width, height.
const LETTER: [f64; 2] = [6.6, 18.0];
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
        words = words.and(self.beside((nested, row), pieces, &scale));
        if let Some((at, size)) = row.remnant_at_mm.zip(row.remnant_mm) {
            let min = Point::new(at[0], at[1]);
            let remnant = Bounds { min, max: min + (size[0], size[1]) };
            metal = metal.and(rect(&remnant, "remnant"));
            let sizes = format!("remnant {}", self.both_down(size));
            words = words.and(along(&scale, &remnant, &sizes));
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

    /// The keep-outs of a sheet, drawn in mm, and their names.
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
            if fits(name, &seen, scale) {
                names = names.and(note(scale.at(seen.centre()), name));
            }
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

    /// The numbers of pieces that have no room for them, beside them with a leader.
    fn beside(
        &self,
        (nested, row): (&NestedSheet, &SheetRow),
        pieces: &[Piece],
        scale: &Scale,
    ) -> Html {
        // By piece in the order of placing, its index in the order of cutting.
        let mut cut = vec![None; nested.placed.len()];
        for (i, placed) in nested.indices_in_order().enumerate() {
            cut[placed] = Some(i);
        }
        let stands = |i: &Option<usize>| {
            let piece = &pieces[(*i)?];
            let (at, room) = self.shapes[piece.part].roomiest;
            (room * scale.px >= needed(piece)).then(|| place(piece.row).apply(at))
        };
        let stands: Vec<Option<Point>> = cut.iter().map(stands).collect();
        let (job, sheet) = ((self.job, self.solved), (nested, row));
        let all = drawings::numbers_beside(job, sheet, scale.px / PAPER, &stands);
        let led = |beside: &Beside| {
            let piece = &pieces[cut[beside.piece]?];
            let on = |p: Point| Point::new(p.x * PAPER, scale.high - p.y * PAPER);
            let [from, to] = beside.leader.map(on);
            let [x1, y1, x2, y2] = [from.x, from.y, to.x, to.y].map(number);
            let leader = shapes::path(&format!("M{x1} {y1}L{x2} {y2}")).at("class", "size");
            let dot = el("circle").at("class", "dot").at("cx", &x1).at("cy", &y1).at("r", DOT);
            let centre = on(beside.centre);
            let text = el("text").at("class", "n").at("data-p", piece.part);
            let text = text.at("x", number(centre.x)).at("y", number(centre.y));
            Some(Html::from(leader).and(dot).and(text.with(piece.number.to_string())))
        };
        all.iter().filter_map(led).collect()
    }

    /// The number of a piece's part, where there is most metal round it.
    fn number(&self, piece: &Piece, scale: &Scale) -> Html {
        let (at, room) = self.shapes[piece.part].roomiest;
        let (at, room) = (scale.at(place(piece.row).apply(at)), room * scale.px);
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

/// Whether a name has room in the visible part of an area; else only the legend has it.
fn fits(name: &str, seen: &Bounds, scale: &Scale) -> bool {
    let [wide, high] = [seen.width(), seen.height()].map(|mm| mm * scale.px);
    wide >= LETTER[0] * name.chars().count() as f64 && high >= LETTER[1]
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

/// The hatch of keep-outs, at a scale in px for a mm.
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

/// Words within a rectangle along its longer side; `None` if there is no room.
fn along(scale: &Scale, within: &Bounds, words: &str) -> Option<El> {
    let at = scale.at(within.centre());
    let is_level = within.width() >= within.height();
    let room = within.width().max(within.height()) * scale.px;
    let has_room = room >= LETTER[0] * words.chars().count() as f64;
    has_room.then(|| if is_level { note(at, words) } else { note_upward(at, words) })
}

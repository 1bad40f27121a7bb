//! The pages that show a sheet enlarged, part by part: only those with a number that had no room
//! before.

use crate::drawings::sheets::keys::KEY_ROW;
use crate::drawings::sheets::metal::contains;
use crate::drawings::sheets::metal::intersection;
use crate::drawings::sheets::metal::outline;
use crate::drawings::sheets::scale::Scale;
use crate::drawings::sheets::shown::Shown;
use crate::drawings::sheets::view::View;
use crate::geom::Bounds;
use crate::geom::Point;
use crate::geom::Region;
use crate::geom::Vec2;
use crate::paper::Item;
use crate::paper::LARGE;
use crate::paper::Pen;
use crate::paper::SMALL;
use crate::paper::Words;
use crate::paper::figure_text;

/// Height of a title within the frame, mm.
pub(super) const TITLE: f64 = 9.0;
/// Beside the drawing, mm.
pub(super) const SIDE: f64 = 2.5;
/// How far neighbouring parts of a sheet show the same, mm of paper.
const OVERLAP: f64 = 12.0;
/// Margin shown round an enlarged view, as a share of its shorter side. Our choice.
const ROUND: f64 = 0.1;
/// Maximum number of pages on which a sheet is shown in parts. Our choice.
const MAX_PARTS: usize = 8;
/// Maximum number of parts that are tried for them. Our choice.
const MAX_TILES: usize = 96;

/// How far items extend beyond the window of a part of a sheet, mm: half of the widest line and
/// some.
const EDGE: f64 = 0.5;
/// Room for the picture of the whole sheet beside the title, mm, and how light the part of it is that
/// is shown; 1 is white.
const MAP: [f64; 2] = [24.0, 7.0];
const SHADED: f64 = 0.6;

/// The pages, each with its scale.
#[derive(Default)]
pub(super) struct Parts {
    pub(super) pages: Vec<(String, Vec<Item>)>,
    /// Pieces without a number on any page.
    pub(super) bare: usize,
}

/// A scale, and the parts of the sheet that show something new at it.
struct Division {
    scale: Scale,
    views: Vec<View>,
    /// By piece, whether it has a number on some page.
    known: Vec<bool>,
}

impl Division {
    fn bare(&self) -> usize {
        self.known.iter().filter(|known| !**known).count()
    }
}

/// `3 pieces are too small for a number: see the DXF`.
pub(super) fn too_small(count: usize) -> String {
    let pieces = if count == 1 { "piece is" } else { "pieces are" };
    format!("{count} {pieces} too small for a number: see the DXF")
}

/// A title, and plain words beside it.
pub(super) fn title(inside: &Bounds, words: &str, more: &str) -> Vec<Item> {
    let at = Point::new(inside.min.x + 2.5, inside.max.y - 6.0);
    let title = Words::heavy(at, LARGE, words);
    let after = at + (title.length() + 4.0, 0.0);
    let more = (!more.is_empty()).then(|| Item::Words(Words::plain(after, SMALL, more)));
    std::iter::once(Item::Words(title)).chain(more).collect()
}

/// The room for a part of the sheet on a page, and the area of the sheet that is shown: all pieces that
/// are not `known`, and something round them.
fn shown_in_parts(
    shown: &Shown,
    inside: &Bounds,
    whole: &Bounds,
    known: &[bool],
) -> (Bounds, Bounds) {
    let min = inside.min + (SIDE, SIDE + KEY_ROW);
    let room = Bounds { min, max: inside.max - (SIDE, TITLE + 1.0) };
    let pieces = shown.pieces.iter().zip(known).filter(|(_, known)| !**known);
    let pieces = pieces.fold(Bounds::EMPTY, |all, (piece, _)| all.and(piece.bounds()));
    let round = ROUND * pieces.width().min(pieces.height());
    let area = intersection(&pieces.grown(round.max(shown.job.margin)), whole).unwrap_or(*whole);
    (room, area)
}

/// The sheet in parts, at the scale at which most pieces get a number, of those the one that takes
/// fewest pages, then one of a standard, then the largest. `known` are the pieces that have one already.
pub(super) fn larger(
    shown: &Shown,
    inside: &Bounds,
    from: Scale,
    whole: &Bounds,
    known: &[bool],
) -> Parts {
    let (room, area) = shown_in_parts(shown, inside, whole, known);
    let mut best: Option<Division> = None;
    for scale in from.larger() {
        let views = tiles(&area, &room, scale);
        if views.len() > MAX_TILES {
            break;
        }
        let next = newly(shown, (&area, &room), scale, views, known);
        let units = shown.job.units;
        let rank = |of: &Division| (of.bare(), of.views.len(), !of.scale.is_standard(units));
        let better = best.as_ref().is_none_or(|best| rank(&next) <= rank(best));
        if better && !next.views.is_empty() && next.views.len() <= MAX_PARTS {
            best = Some(next);
        }
    }
    match best {
        Some(best) => {
            Parts { bare: best.bare(), pages: pages(shown, inside, (&area, &room), &best) }
        }
        None => Parts { pages: Vec::new(), bare: known.iter().filter(|known| !**known).count() },
    }
}

/// The views with at least one whole number that no earlier view has.
fn newly(
    shown: &Shown,
    (area, room): (&Bounds, &Bounds),
    scale: Scale,
    views: Vec<View>,
    known: &[bool],
) -> Division {
    let mut division = Division { scale, views: Vec::new(), known: known.to_vec() };
    let Some(first) = views.first() else { return division };
    // Numbers move with the view and are else the same.
    let numbers = shown.numbers(first);
    for view in &views {
        let window = intersection(&view.bounds(area), room).unwrap_or(*room);
        let by = view.point(Point::ZERO) - first.point(Point::ZERO);
        let moved = |words: &Words| Words { at: words.at + by, ..words.clone() };
        let numbers: Vec<Option<Words>> =
            numbers.iter().map(|words| words.as_ref().map(moved)).collect();
        let here = shown.known(view, window, &numbers, &division.known);
        let mut is_new = false;
        for (known, here) in division.known.iter_mut().zip(here) {
            is_new |= here && !*known;
            *known |= here;
        }
        if is_new {
            division.views.push(*view);
        }
    }
    division
}

fn pages(
    shown: &Shown,
    inside: &Bounds,
    (area, room): (&Bounds, &Bounds),
    division: &Division,
) -> Vec<(String, Vec<Item>)> {
    let count = division.views.len();
    let part = |(i, view): (usize, &View)| {
        let metal = shown.metal(view);
        let all = shown.stock().sheet.region.bounds();
        let words = match count {
            1 => "Area of the sheet, enlarged".to_owned(),
            _ => format!("Area {} of {count} of the sheet, enlarged", i + 1),
        };
        let mut items = title(inside, &words, "");
        let window = intersection(&view.bounds(area), room).unwrap_or(*room);
        items.extend(key_map(inside, view, &window, &all));
        let led = shown.led(view, window, &metal.items, &metal.numbers, &metal.names);
        let numbers = metal.numbers.into_iter().flatten();
        let whole = numbers.filter(|words| contains(&window, &words.bounds())).map(Item::Words);
        let is_whole = |item: &Item| match item {
            Item::Words(words) => contains(&window, &words.bounds()),
            _ => true,
        };
        let drawn = metal.items.into_iter().filter(is_whole);
        // Where the sheet ends its edge is seen whole; elsewhere it is cut off along a chain line.
        let shown_to = window.grown(EDGE);
        items.push(Item::Window(shown_to, drawn.chain(whole).chain(led.items).collect()));
        items.push(Item::frame(Pen::Chain, shown_to));
        let foot = foot(shown, view, &window, division);
        items.push(Item::Words(Words::plain(inside.min + (SIDE, SIDE), SMALL, foot)));
        (division.scale.words(shown.job.units), items)
    };
    division.views.iter().enumerate().map(part).collect()
}

/// The whole sheet, small, with the part of it that a window shows, at the right of the title.
fn key_map(inside: &Bounds, view: &View, window: &Bounds, sheet: &Bounds) -> Vec<Item> {
    let by = (MAP[0] / sheet.width()).min(MAP[1] / sheet.height());
    let size = Vec2::new(sheet.width(), sheet.height()) * by;
    let at = inside.max - (SIDE, 1.0) - size;
    let on = |p: Point| at + (p - sheet.min) * by;
    let seen = [window.min, window.max].map(|p| view.from + (p - view.at) / view.scale);
    let seen = Bounds { min: on(seen[0]), max: on(seen[1]) };
    let whole = Bounds { min: at, max: at + size };
    let shaded = outline(&intersection(&seen, &whole).unwrap_or(seen));
    let area = [Item::Fill(SHADED, vec![shaded.clone()]), Item::Line(Pen::Wide, shaded)];
    area.into_iter().chain([Item::frame(Pen::Narrow, whole)]).collect()
}

/// What of the sheet a window shows, and how many of the pieces in it have no number anywhere.
fn foot(shown: &Shown, view: &View, window: &Bounds, division: &Division) -> String {
    let [from, to] = [window.min, window.max].map(|p| view.from + (p - view.at) / view.scale);
    let span = |from: f64, to: f64| {
        let rounded = [from, to].map(|mm| figure_text(shown.job.units, mm));
        format!("{} to {}", rounded[0], rounded[1])
    };
    let foot = format!("X {}, Y {}", span(from.x, to.x), span(from.y, to.y));
    let pieces = shown.pieces.iter().zip(&division.known).filter(|(_, known)| !**known);
    let seen = |piece: &Region| intersection(&view.bounds(&piece.bounds()), window).is_some();
    match pieces.filter(|(piece, _)| seen(piece)).count() {
        0 => foot,
        bare => format!("{foot}; {}", too_small(bare)),
    }
}

/// The views that show an area in a room at a scale, row by row from the top.
fn tiles(area: &Bounds, room: &Bounds, scale: Scale) -> Vec<View> {
    let factor = scale.factor();
    let [wide, high] = [room.width(), room.height()].map(|mm| mm / factor);
    let shared = OVERLAP / factor;
    let count = |size: f64, window: f64| match size <= window {
        true => 1,
        false => ((size - shared) / (window - shared)).ceil() as usize,
    };
    let [columns, rows] = [count(area.width(), wide), count(area.height(), high)];
    let tile = |column: usize, row: usize| {
        let x = area.min.x + (wide - shared) * column as f64;
        let y = area.max.y - high - (high - shared) * row as f64;
        // A view smaller than the page is centred.
        let spare = |count: usize, window: f64, size: f64| match count {
            1 => (window - size) / 2.0 * factor,
            _ => 0.0,
        };
        let across = spare(columns, wide, area.width());
        let up = spare(rows, high, area.height());
        View { scale: factor, from: Point::new(x, y), at: room.min + (across, -up) }
    };
    (0..rows)
        .flat_map(|row| (0..columns).map(move |column| (column, row)))
        .map(|(c, r)| tile(c, r))
        .collect()
}

//! The pages of a picture: the whole sheet with its legend, then, where numbers had no room, the
//! sheet larger in parts, and more of the legend.

use crate::drawings::sheets::keys;
use crate::drawings::sheets::keys::KEY_ROW;
use crate::drawings::sheets::keys::OUT;
use crate::drawings::sheets::legend::Legend;
use crate::drawings::sheets::metal::Metal;
use crate::drawings::sheets::metal::contains;
use crate::drawings::sheets::metal::intersection;
use crate::drawings::sheets::scale::Scale;
use crate::drawings::sheets::shown::Shown;
use crate::drawings::sheets::view::View;
use crate::geom::Bounds;
use crate::geom::Point;
use crate::geom::Vec2;
use crate::paper;
use crate::paper::Item;
use crate::paper::LARGE;
use crate::paper::Page;
use crate::paper::Pages;
use crate::paper::Pen;
use crate::paper::SMALL;
use crate::paper::Strip;
use crate::paper::Words;
use crate::paper::figure_text;

/// Height of a title within the frame, mm.
const TITLE: f64 = 9.0;
/// Beside the drawing, mm.
const SIDE: f64 = 2.5;
/// How far neighbouring parts of a sheet show the same, mm of paper.
const OVERLAP: f64 = 12.0;
/// Maximum number of pages on which a sheet is shown in parts. Our choice.
const MAX_PARTS: usize = 8;

/// How the first page is laid out.
struct Layout {
    size: [f64; 2],
    /// What is left of the page above the title strip.
    inside: Bounds,
    /// Kept for the title strip, mm.
    reserved: f64,
    legend: Legend,
    scale: Scale,
    /// Where the sheet is drawn.
    room: Bounds,
    /// From the left of the frame to the legend, mm.
    width: f64,
}

/// All pages of the sheet `of` so many.
pub(super) fn pages(shown: &Shown, upright: [f64; 2], of: [usize; 2]) -> Pages {
    // What the strip says of scale and pages may take it a row more than was thought.
    let mut reserved = 0.0;
    loop {
        let (layout, bodies) = bodies(shown, upright, of, reserved);
        let count = bodies.len();
        let strip = |(i, (scale, _)): (usize, &(String, Vec<Item>))| {
            Strip::new(&shown.fields(scale, of, [i + 1, count]), paper::frame_width(layout.size))
        };
        let strips: Vec<Strip> = bodies.iter().enumerate().map(strip).collect();
        let high = strips.iter().map(Strip::height).fold(0.0, f64::max);
        if high > layout.reserved {
            reserved = high;
            continue;
        }
        let page = |((_, items), strip): ((String, Vec<Item>), Strip)| {
            let items = paper::framed(layout.size, &strip).into_iter().chain(items).collect();
            Page { items, blocks: vec![layout.inside] }
        };
        let pages = bodies.into_iter().zip(strips).map(page).collect();
        let title = format!("{}, picture of the sheet", shown.nested.name);
        return Pages { title, size: layout.size, pages };
    }
}

/// What stands above the strip of each page, with its scale; at least so much is kept for strips.
fn bodies(
    shown: &Shown,
    upright: [f64; 2],
    of: [usize; 2],
    reserved: f64,
) -> (Layout, Vec<(String, Vec<Item>)>) {
    let lying = [upright[1], upright[0]];
    let [first, second] = [lying, upright].map(|size| layout(shown, size, of, reserved));
    let layout = match second.scale.factor() > first.scale.factor() {
        true => second,
        false => first,
    };
    let whole = shown.stock().sheet.region.bounds();
    let view = centred(&whole, &layout.room, layout.scale);
    let metal = shown.metal(&view);
    let missing = metal.numbers.iter().any(Option::is_none);
    let mut bodies = vec![(layout.scale.words(), overview(shown, &layout, &view, metal))];
    bodies.extend(legends(shown, &layout));
    if missing {
        bodies.extend(parts(shown, &layout, &whole));
    }
    (layout, bodies)
}

/// The layout on paper of a size with the largest scale; of equal ones that of the largest
/// letters.
fn layout(shown: &Shown, size: [f64; 2], of: [usize; 2], reserved: f64) -> Layout {
    let strip = Strip::new(&shown.fields("1:2", of, [1, 1]), paper::frame_width(size));
    let mut inside = paper::inside(size, &strip);
    inside.min.y += (reserved - strip.height()).max(0.0);
    let reserved = reserved.max(strip.height());
    let high = inside.height();
    let ways = [(LARGE, 1), (SMALL, 1), (SMALL, 2)];
    let mut legends: Vec<Legend> = ways
        .into_iter()
        .filter_map(|(letters, columns)| shown.legend(letters, columns, high))
        .collect();
    if legends.is_empty() {
        let all: Vec<usize> = (0..shown.kinds.len()).collect();
        legends.push(shown.part_of_legend(&all, 1, high, true));
    }
    let sheet = shown.stock().sheet.region.bounds();
    let with = |legend: Legend| {
        let width = inside.width() - legend.width;
        let rows = keys::rows(&shown.keys(), Point::ZERO, width - 2.0 * SIDE).1 as f64;
        let division = &shown.division;
        let below = if division.is_across(&sheet) { OUT + 2.0 } else { 3.5 };
        let beside =
            if division.is_along(&sheet) && !division.is_across(&sheet) { OUT + 2.0 } else { 0.0 };
        let min = inside.min + (SIDE + OUT + 3.6, KEY_ROW * rows + 2.0 + below);
        let max =
            Point::new(inside.min.x + width - SIDE - beside, inside.max.y - TITLE - OUT - 2.0);
        let room = Bounds { min, max };
        let scale = Scale::fitting([sheet.width(), sheet.height()], [room.width(), room.height()]);
        (legend, room, scale, width)
    };
    let factor = |scale: &Option<Scale>| scale.map_or(0.0, Scale::factor);
    let best = legends.into_iter().map(with).reduce(|best, next| {
        // Of equal ones the first.
        if factor(&next.2) > factor(&best.2) { next } else { best }
    });
    let (legend, room, scale, width) = best.expect("there is one legend at least");
    let scale = scale.unwrap_or_else(Scale::smallest);
    Layout { size, inside, reserved, legend, scale, room, width }
}

/// A part of a sheet in the centre of a room on the page.
fn centred(part: &Bounds, room: &Bounds, scale: Scale) -> View {
    let factor = scale.factor();
    let half = Vec2::new(part.width(), part.height()) * (factor / 2.0);
    View { scale: factor, from: part.min, at: room.centre() - half }
}

/// The whole sheet with everything about it.
fn overview(shown: &Shown, layout: &Layout, view: &View, metal: Metal) -> Vec<Item> {
    let inside = &layout.inside;
    let short = metal.numbers.iter().any(Option::is_none);
    let mut items = whole_title(inside, short, layout.width);
    items.extend(metal.items);
    items.extend(metal.numbers.into_iter().flatten().map(Item::Words));
    items.extend(shown.dimensions(view));
    let rows = keys::rows(&shown.keys(), Point::ZERO, layout.width - 2.0 * SIDE);
    let foot = inside.min + (SIDE, KEY_ROW * (rows.1 as f64 - 0.5) + 1.0);
    items.extend(rows.0.into_iter().map(|item| item.shifted((foot.x, foot.y))));
    let corner = Point::new(inside.min.x + layout.width, inside.max.y);
    items.push(Item::line(Pen::Narrow, corner, Point::new(corner.x, inside.min.y)));
    let legend = layout.legend.items.iter().cloned();
    items.extend(legend.map(|item| item.shifted((corner.x, corner.y))));
    items
}

/// Titles of a whole sheet, and what is said beside them of missing numbers, the first that fits.
const WHOLE: [[&str; 2]; 3] = [
    ["Sheet as it lies on the table", "small pieces: numbered on the next pages"],
    ["Sheet", "small pieces: numbered on the next pages"],
    ["Sheet", "more: next pages"],
];

fn whole_title(inside: &Bounds, short: bool, width: f64) -> Vec<Item> {
    let all = WHOLE.map(|[words, more]| title(inside, words, if short { more } else { "" }));
    let end = inside.min.x + width - SIDE;
    let fits = |items: &Vec<Item>| items.iter().all(|item| item.bounds().max.x <= end);
    let [first, second, last] = all;
    [first, second].into_iter().find(fits).unwrap_or(last)
}

/// A title, and plain words beside it.
fn title(inside: &Bounds, words: &str, more: &str) -> Vec<Item> {
    let at = Point::new(inside.min.x + 2.5, inside.max.y - 6.0);
    let title = Words::heavy(at, LARGE, words);
    let after = at + (title.length() + 4.0, 0.0);
    let more = (!more.is_empty()).then(|| Item::Words(Words::plain(after, SMALL, more)));
    std::iter::once(Item::Words(title)).chain(more).collect()
}

/// What of the legend had no room on the first page.
fn legends(shown: &Shown, layout: &Layout) -> Vec<(String, Vec<Item>)> {
    let (mut pages, mut rest) = (Vec::new(), layout.legend.rest.clone());
    let inside = &layout.inside;
    let corner = (inside.min.x, inside.max.y);
    while !rest.is_empty() {
        let one = shown.part_of_legend(&rest, 1, inside.height(), false).width;
        let columns = (inside.width() / one).floor().max(1.0) as usize;
        let legend = shown.part_of_legend(&rest, columns, inside.height(), false);
        // A row that fits on no page would come for ever.
        if legend.rest.len() == rest.len() {
            break;
        }
        rest = legend.rest;
        pages.push(("–".to_owned(), legend.items.into_iter().map(|i| i.shifted(corner)).collect()));
    }
    pages
}

/// The room for a part of the sheet on a page, and the area of the sheet that is shown.
fn shown_in_parts(shown: &Shown, inside: &Bounds, whole: &Bounds) -> (Bounds, Bounds) {
    let min = inside.min + (SIDE, SIDE + KEY_ROW);
    let room = Bounds { min, max: inside.max - (SIDE, TITLE + 1.0) };
    let pieces = shown.pieces.iter().fold(Bounds::EMPTY, |all, piece| all.and(piece.bounds()));
    let area = intersection(&pieces.grown(shown.job.margin), whole).unwrap_or(*whole);
    (room, area)
}

/// The sheet in parts, at the scale at which all numbers have room, or the largest that takes no
/// more pages than are allowed.
fn parts(shown: &Shown, layout: &Layout, whole: &Bounds) -> Vec<(String, Vec<Item>)> {
    let inside = &layout.inside;
    let (room, area) = shown_in_parts(shown, inside, whole);
    let mut best: Option<(Scale, Vec<View>, usize)> = None;
    for scale in layout.scale.larger() {
        let views = tiles(&area, &room, scale);
        // Once all numbers have room, larger is better as long as it takes no page more.
        let more = |(_, known, missing): &(Scale, Vec<View>, usize)| {
            *missing == 0 && views.len() > known.len()
        };
        if views.len() > MAX_PARTS || best.as_ref().is_some_and(more) {
            break;
        }
        let missing = shown.metal(&views[0]).numbers.iter().filter(|n| n.is_none()).count();
        best = Some((scale, views, missing));
    }
    let Some((scale, views, missing)) = best else { return Vec::new() };
    let count = views.len();
    let part = |(i, view): (usize, View)| {
        let metal = shown.metal(&view);
        let words = match count {
            1 => "The used part of the sheet".to_owned(),
            _ => format!("Part {} of {count} of the sheet", i + 1),
        };
        let mut items = title(inside, &words, "");
        let window = intersection(&view.bounds(&area), &room).unwrap_or(room);
        let numbers = metal.numbers.into_iter().flatten();
        let whole = numbers.filter(|words| contains(&window, &words.bounds())).map(Item::Words);
        let is_whole = |item: &Item| match item {
            Item::Words(words) => contains(&window, &words.bounds()),
            _ => true,
        };
        let drawn = metal.items.into_iter().filter(is_whole);
        items.push(Item::Window(window, drawn.chain(whole).collect()));
        items.push(Item::frame(Pen::Fine, window));
        let [from, to] = [window.min, window.max].map(|p| view.from + (p - view.at) / view.scale);
        let span = |from: f64, to: f64| {
            let rounded = [from, to].map(|mm| figure_text(shown.job.units, mm));
            format!("{} to {}", rounded[0], rounded[1])
        };
        let (x, y) = (span(from.x, to.x), span(from.y, to.y));
        let mut foot = format!("X {x}, Y {y}");
        if missing > 0 {
            foot += &format!("; {missing} pieces are too small for a number: see the DXF");
        }
        let at = inside.min + (SIDE, SIDE);
        items.push(Item::Words(Words::plain(at, SMALL, foot)));
        (scale.words(), items)
    };
    views.into_iter().enumerate().map(part).collect()
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
        // What takes less than the page stands in the centre.
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

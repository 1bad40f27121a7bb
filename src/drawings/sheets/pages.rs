//! The pages of a picture: the whole sheet with its legend, then, where numbers had no room, the
//! sheet larger in parts, and more of the legend.

use crate::drawings::sheets::keys;
use crate::drawings::sheets::keys::KEY_ROW;
use crate::drawings::sheets::keys::OUT;
use crate::drawings::sheets::legend::Legend;
use crate::drawings::sheets::metal::Metal;
use crate::drawings::sheets::parts;
use crate::drawings::sheets::parts::Parts;
use crate::drawings::sheets::parts::SIDE;
use crate::drawings::sheets::parts::TITLE;
use crate::drawings::sheets::parts::title;
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

/// How the first page is laid out.
struct Layout {
    size: [f64; 2],
    /// The area of the page above the title block.
    inside: Bounds,
    /// Kept for the title block, mm.
    reserved: f64,
    legend: Legend,
    scale: Scale,
    /// Where the sheet is drawn.
    room: Bounds,
    /// From the left of the frame to the legend, mm.
    width: f64,
}

impl Layout {
    /// Between the sheet and the legend, down to a height.
    fn rule(&self, foot: f64) -> Item {
        let top = Point::new(self.inside.min.x + self.width, self.inside.max.y);
        Item::line(Pen::Narrow, top, Point::new(top.x, foot))
    }
}

/// All pages of the sheet, the first number of `of` the second.
pub(super) fn pages(shown: &Shown, upright: [f64; 2], of: [usize; 2]) -> Pages {
    // The text on scale and pages may make the strip one row higher than estimated.
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
        let page = |(i, ((_, items), strip)): (usize, ((String, Vec<Item>), Strip))| {
            let mut all = paper::framed(layout.size, &strip);
            if i == 0 {
                // The strip of this page may be lower than that of others.
                let foot = paper::inside(layout.size, &strip).min.y;
                all.push(layout.rule(foot));
            }
            all.extend(items);
            Page { items: all, blocks: vec![layout.inside] }
        };
        let pages = bodies.into_iter().zip(strips).enumerate().map(page).collect();
        let title = format!("{}, picture of the sheet", shown.nested.name);
        return Pages { title, size: layout.size, pages };
    }
}

/// The area above the strip of each page, with its scale; at least this much is reserved for
/// strips.
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
    let led = shown.led(&view, view.bounds(&whole), &metal.items, &metal.numbers, &metal.names);
    let larger = match led.known.iter().all(|known| *known) {
        true => Parts::default(),
        false => parts::larger(shown, &layout.inside, layout.scale, &whole, &led.known),
    };
    let more = [!larger.pages.is_empty(), larger.bare > 0];
    let title = whole_title(&layout, more, larger.bare);
    let first = overview(shown, &layout, &view, (metal, led.items), title);
    let mut bodies = vec![(layout.scale.words(shown.job.units), first)];
    bodies.extend(legends(shown, &layout));
    bodies.extend(larger.pages);
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
fn overview(
    shown: &Shown,
    layout: &Layout,
    view: &View,
    (metal, led): (Metal, Vec<Item>),
    mut items: Vec<Item>,
) -> Vec<Item> {
    let inside = &layout.inside;
    items.extend(metal.items);
    items.extend(metal.numbers.into_iter().flatten().map(Item::Words));
    items.extend(led);
    items.extend(shown.dimensions(view));
    let rows = keys::rows(&shown.keys(), Point::ZERO, layout.width - 2.0 * SIDE);
    let foot = inside.min + (SIDE, KEY_ROW * (rows.1 as f64 - 0.5) + 1.0);
    items.extend(rows.0.into_iter().map(|item| item.shifted((foot.x, foot.y))));
    let corner = Point::new(inside.min.x + layout.width, inside.max.y);
    let legend = layout.legend.items.iter().cloned();
    items.extend(legend.map(|item| item.shifted((corner.x, corner.y))));
    items
}

/// The title of a whole sheet, with a remark on missing numbers in the longest wording that fits:
/// whether some are on the next pages, and whether `bare` pieces have none anywhere.
fn whole_title(layout: &Layout, [next, bare]: [bool; 2], count: usize) -> Vec<Item> {
    let bare_words = parts::too_small(count);
    let (long, short) = match [next, bare] {
        [false, false] => (String::new(), String::new()),
        [true, false] => {
            ("small pieces: numbered on the next pages".into(), "more: next pages".into())
        }
        [false, true] => (bare_words.clone(), bare_words),
        [true, true] => (format!("more: next pages; {bare_words}"), bare_words),
    };
    let all =
        [("Sheet as loaded on the machine table", &long), ("Sheet", &long), ("Sheet", &short)];
    let [first, second, last] = all.map(|(words, more)| title(&layout.inside, words, more));
    let end = layout.inside.min.x + layout.width - SIDE;
    let fits = |items: &Vec<Item>| items.iter().all(|item| item.bounds().max.x <= end);
    [first, second].into_iter().find(fits).unwrap_or(last)
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

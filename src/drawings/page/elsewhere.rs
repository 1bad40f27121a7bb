//! On which sheet of a drawing to look for what the first has no room for.

use crate::drawings::framed::INSET;
use crate::drawings::hole_dimensions;
use crate::geom::Bounds;
use crate::geom::Point;
use crate::paper::Ink;
use crate::paper::Item;
use crate::paper::LARGE;
use crate::paper::Page;
use crate::paper::Pages;
use crate::paper::SMALL;
use crate::paper::Words;

/// Between the heading of the flat and words behind it, and beside any others, mm.
const APART: f64 = 4.0;

/// The number of the first sheet with a heading that begins with these words.
pub(super) fn sheet_of(pages: &Pages, heading: &str) -> Option<usize> {
    let is_it = |item: &Item| match item {
        Item::Words(words) => words.text.starts_with(heading),
        _ => false,
    };
    pages.pages.iter().position(|page| page.items.iter().any(is_it)).map(|i| i + 1)
}

/// Says in the panel of the flat on which further sheets the sizes and the centres of its holes are,
/// behind its heading or, where something is there, below it.
pub(super) fn point_to_holes(pages: &mut Pages, panel: Bounds, heading: &str) {
    let on = |table: &str| sheet_of(pages, table).filter(|sheet| *sheet > 1);
    let text = match (on(hole_dimensions::SIZES), on(hole_dimensions::CENTRES)) {
        (None, None) => return,
        (Some(sizes), Some(centres)) if sizes == centres => {
            format!("hole sizes and centres: see sheet {sizes}")
        }
        (Some(sizes), Some(centres)) => {
            format!("hole sizes: see sheet {sizes}, centres: see sheet {centres}")
        }
        (Some(sizes), None) => format!("hole sizes: see sheet {sizes}"),
        (None, Some(centres)) => format!("hole centres: see sheet {centres}"),
    };
    let start = Point::new(panel.min.x, panel.max.y) + (INSET.0, -INSET.1);
    let behind = Words::heavy(start, LARGE, heading).length() + APART;
    let words = |at: Point| Words::plain(at, SMALL, &text).in_ink(Ink::Grey);
    let Some(first) = pages.pages.first_mut() else { return };
    let places = [start + (behind, 0.0), start - (0.0, LARGE + 1.5)];
    let free = places.map(words).into_iter().find(|words| is_free(first, panel, words));
    first.items.extend(free.map(Item::Words));
}

/// Whether nothing on a page is near words, which are in a panel.
fn is_free(page: &Page, panel: Bounds, words: &Words) -> bool {
    let own = words.bounds();
    let is_clear = |item: &Item| {
        let Bounds { min, max } = item.bounds();
        let is_round = min.x <= panel.min.x && max.x >= panel.max.x;
        is_round
            || max.x + APART / 2.0 < own.min.x
            || min.x - APART / 2.0 > own.max.x
            || max.y + 0.5 < own.min.y
            || min.y - 0.5 > own.max.y
    };
    own.max.x < panel.max.x - INSET.0 && page.items.iter().all(is_clear)
}

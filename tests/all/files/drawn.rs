//! The items of a page, taken apart: for the tests of drawings.

use platewright::geom::Edge;
use platewright::geom::Point;
use platewright::paper::Item;
use platewright::paper::Note;
use platewright::paper::Page;
use platewright::paper::Pages;
use platewright::paper::Words;

/// All items of a page, those within groups too.
pub(crate) fn items(page: &Page) -> Vec<&Item> {
    fn add<'a>(items: &'a [Item], all: &mut Vec<&'a Item>) {
        for item in items {
            match item {
                Item::Noted(_, within) => {
                    all.push(item);
                    add(within, all);
                }
                _ => all.push(item),
            }
        }
    }
    let mut all = Vec::new();
    add(&page.items, &mut all);
    all
}

pub(crate) fn words(page: &Page) -> Vec<&Words> {
    let words = items(page).into_iter().filter_map(|item| match item {
        Item::Words(words) if !words.text.trim().is_empty() => Some(words),
        _ => None,
    });
    words.collect()
}

/// All words of a drawing, a line each.
pub(crate) fn text(drawing: &Pages) -> String {
    let words = drawing.pages.iter().flat_map(words);
    words.map(|w| format!("{}\n", w.text)).collect()
}

/// The data of items of some kinds on a page, with the items.
pub(crate) fn notes<'a>(page: &'a Page, kinds: &[&str]) -> Vec<(&'a Note, &'a [Item])> {
    let noted = items(page).into_iter().filter_map(|item| match item {
        Item::Noted(note, items) if kinds.contains(&note.kind) => Some((note, items.as_slice())),
        _ => None,
    });
    noted.collect()
}

/// An edge in straight pieces.
pub(crate) fn pieces(edge: &Edge) -> Vec<[Point; 2]> {
    let steps = if edge.is_line() { 1 } else { 16 };
    let at = |i: usize| edge.point_at(i as f64 / f64::from(steps));
    (0..steps as usize).map(|i| [at(i), at(i + 1)]).collect()
}

/// The lines of a page and the outlines of its small black shapes, in straight pieces.
pub(crate) fn lines(page: &Page) -> Vec<[Point; 2]> {
    let edges = items(page).into_iter().flat_map(|item| match item {
        Item::Line(_, edges) => edges.iter().collect::<Vec<_>>(),
        Item::Fill(0.0, loops) => loops.iter().flatten().collect(),
        _ => Vec::new(),
    });
    edges.flat_map(pieces).collect()
}

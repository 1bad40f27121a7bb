//! Paper templates at 1:1: printed, checked by their bars, joined, glued on and followed with
//! punch and saw.
//!
//! All lines are narrow, so that the edge stands out: the finished edge continuous, holes to be
//! opened dashed, bend lines with two dots (kinds of ISO 128-2, from memory). A drawing that fits a
//! page is printed as often as it is cut, side by side. A drawing larger than a page is spread over
//! several that overlap; the line in the centre of each overlap is on both pages, so that they are
//! laid line on line.

mod bars;
mod drawn;
mod measures;
mod piece;
mod rotations;
mod rows;
mod tiling;

use crate::geom::Bounds;
use crate::geom::Edge;
use crate::geom::Point;
use crate::num::Angle;
use crate::paper::font;
use crate::paper::scene::Item;
use crate::paper::scene::Page;
use crate::paper::scene::Pages;
use crate::paper::scene::Words;
use crate::paper::straight;
use crate::paper::template::measures::COLUMN;
use crate::paper::template::measures::HEIGHT;
use crate::paper::template::measures::MARGIN;
use drawn::Drawing;
use rotations::Part;
use rotations::Rotations;
use rows::Lying;
use tiling::Tiling;

pub use piece::Template;

/// Height of the capitals of the name, mm.
const NAME: f64 = 3.5;
/// From line to line of words, by the height of capitals.
const LEADING: f64 = 1.5;
/// The largest share of a page that words take. Our choice.
const MAX_STRIP: f64 = 0.4;

/// Said where pages must be joined.
const JOINING: &str = "To join: cut one of two pages along its chain line, align it with the \
    same line of the other and tape; then measure overall.";

/// Maximum number of pages of a template. Our choice: a flat larger than about 1.6 by 2.4 m on A4
/// is marked out with tape and square.
const MAX_PAGES: f64 = 100.0;

/// Maximum number of pages of pieces side by side; where more are needed, they are printed several
/// times. Our choice.
const MAX_NESTED: usize = 20;

/// Whether a drawing of this size, mm, is printed at true size on pages of a size. It is judged by
/// the page's own window, so that it is known before anything is drawn.
pub fn can_be_printed(drawing: Bounds, page: [f64; 2]) -> bool {
    let window = [page[0] - 2.0 * MARGIN - COLUMN, (1.0 - MAX_STRIP) * page[1] - 2.0 * MARGIN];
    drawing.width() / window[0] * (drawing.height() / window[1]) <= MAX_PAGES
}

impl Template {
    /// The template on pages of a size in mm: as often as it is cut if it fits a page, rotated if
    /// necessary; else over several pages.
    pub fn pages(&self, size: [f64; 2]) -> Pages {
        self.pages_while(size, &|| true).unwrap_or_else(|Cancelled| self.tiled(size))
    }

    /// The same, as long as it may `go_on`.
    ///
    /// # Errors
    /// When it may not, before the pages are made.
    pub(crate) fn pages_while(
        &self,
        size: [f64; 2],
        go_on: &dyn Fn() -> bool,
    ) -> Result<Pages, Cancelled> {
        let rotations = [Rotations::new(self)];
        let title = format!("{}, template 1:1", self.name);
        let mut best: Option<Pages> = None;
        for page in [size, [size[1], size[0]]] {
            let nested = side_by_side(&title, &rotations, &self.about, page, go_on)?;
            let pages = nested.map(|(pages, _)| pages);
            let few = |pages: &Pages| pages.pages.len();
            best = match (best, pages) {
                (Some(best), Some(next)) if few(&next) >= few(&best) => Some(best),
                (best, next) => next.or(best),
            };
        }
        Ok(best.unwrap_or_else(|| self.tiled(size)))
    }

    /// Over several pages, upright or on their sides, as it is or rotated by 90°: whichever needs
    /// the fewest.
    fn tiled(&self, size: [f64; 2]) -> Pages {
        let rotated = self.rotated(Angle::from_degrees(90.0));
        let drawings = [self, &rotated].map(|template| (template, template.drawing()));
        let mut best: Option<(Tiling, &Self)> = None;
        for (template, drawing) in &drawings {
            for page in [size, [size[1], size[0]]] {
                let one =
                    Tiling::new(drawing.bounds, page, strip(page, &self.lines(drawing, false)));
                let tiling = match one.count() {
                    1 => one,
                    _ => Tiling::new(drawing.bounds, page, strip(page, &self.lines(drawing, true))),
                };
                if best.as_ref().is_none_or(|(best, _)| tiling.count() < best.count()) {
                    best = Some((tiling, template));
                }
            }
        }
        let title = format!("{}, template 1:1", self.name);
        let Some((tiling, template)) = best else {
            return Pages { title, size, pages: Vec::new() };
        };
        let tiling = tiling.clear_of(&template.whole());
        let drawing = &template.drawing_over(&tiling.seams());
        let shows =
            |tile: &(usize, usize)| drawing.items.iter().any(|item| is_shown(&tiling, *tile, item));
        let all = (0..tiling.rows).flat_map(|row| (0..tiling.columns).map(move |c| (c, row)));
        let tiles: Vec<(usize, usize)> = all.filter(shows).collect();
        let about = self.lines(drawing, tiling.count() > 1);
        let page = |(i, _)| self.page(&tiling, drawing, &about, &tiles, i);
        let pages = tiles.iter().enumerate().map(page).collect();
        Pages { title, size: tiling.page, pages }
    }

    /// The text at the foot of each page, a sentence each.
    fn lines(&self, drawing: &Drawing, joined: bool) -> Vec<String> {
        let joining = joined.then(|| JOINING.to_owned());
        let again = (self.copies > 1)
            .then(|| format!("Print these pages {} times: one set is one piece.", self.copies));
        let all = self.about.iter().cloned().chain(drawing.notes.iter().cloned());
        all.chain(joining).chain(again).collect()
    }

    fn page(
        &self,
        tiling: &Tiling,
        drawing: &Drawing,
        about: &[String],
        tiles: &[(usize, usize)],
        i: usize,
    ) -> Page {
        let tile = tiles[i];
        let (seen, paper) = (tiling.window_of(tile), tiling.window(tile));
        let by = (paper.min.x - seen.min.x, paper.min.y - seen.min.y);
        let is_cut = |item: &&Item| {
            let around = item.bounds();
            let is_within = seen.contains(around.min) && seen.contains(around.max);
            matches!(item, Item::Words(_)) && !is_within
        };
        let own = drawing.items.iter().filter(|item| is_shown(tiling, tile, item));
        let (beyond, within): (Vec<&Item>, Vec<&Item>) = own.partition(is_cut);
        let moved = |item: &Item| item.clone().shifted(by);
        let mut items = vec![Item::Window(paper, within.into_iter().map(moved).collect())];
        items.extend(beyond.into_iter().map(moved));
        items.extend(tiling.joins(tile, tiles));
        items.extend(tiling.map(tile, tiles));
        let title = format!("{}, template 1:1, page {} of {}", self.name, i + 1, tiles.len());
        about_page(items, &title, about, tiling.page, tiling.strip)
    }
}

/// Pages that were abandoned before they were made, as they are no longer wanted.
#[derive(Debug)]
pub(crate) struct Cancelled;

/// Pages, and which of some parts do not fit one, by their indices; `None` if none fits.
type Nested = Option<(Pages, Vec<usize>)>;

/// Parts side by side on pages, each to its quantity, as long as it may `go_on`.
///
/// # Errors
/// When it may not, before the pages are made.
pub(crate) fn nested(
    title: &str,
    templates: &[Template],
    about: &[String],
    page: [f64; 2],
    go_on: &dyn Fn() -> bool,
) -> Result<Nested, Cancelled> {
    let rotations: Vec<Rotations> = templates.iter().map(Rotations::new).collect();
    side_by_side(title, &rotations, about, page, go_on)
}

fn side_by_side(
    title: &str,
    templates: &[Rotations],
    about: &[String],
    page: [f64; 2],
    go_on: &dyn Fn() -> bool,
) -> Result<Nested, Cancelled> {
    let mut lines = about.to_vec();
    // Notes make the window smaller, so that a part may no longer fit.
    let (mut parts, mut larger): (Vec<Part>, Vec<usize>) = Default::default();
    for again in [true, false] {
        let window = window(page, strip(page, &lines));
        let size = [window.width(), window.height()];
        let tried =
            templates.iter().map(|one| if go_on() { Ok(one.part(size)) } else { Err(Cancelled) });
        let tried = tried.collect::<Result<Vec<Option<Part>>, Cancelled>>()?;
        larger = (0..tried.len()).filter(|i| tried[*i].is_none()).collect();
        parts = tried.into_iter().flatten().collect();
        if again {
            lines.extend(parts.iter().flat_map(|part| part.notes.iter().cloned()));
            // Room for the note on several prints.
            lines.push(again_words(2));
        }
    }
    if parts.is_empty() {
        return Ok(None);
    }
    lines.pop();
    // The same room on all pages: on each is said what is about its own pieces.
    let strip = strip(page, &[lines, vec![again_words(2)]].concat());
    let window = window(page, strip);
    let size = [window.width(), window.height()];
    let mut laid = rows::packed(&parts, size, go_on).ok_or(Cancelled)?;
    let mut again = None;
    if laid.len() > MAX_NESTED {
        let times = laid.len().div_ceil(MAX_NESTED);
        parts.iter_mut().for_each(|part| part.copies = part.copies.div_ceil(times));
        laid = rows::packed(&parts, size, go_on).ok_or(Cancelled)?;
        again = Some(again_words(times));
    }
    let count = laid.len();
    let shown = |(i, page_of): (usize, &Vec<Lying>)| {
        let items = page_of.iter().flat_map(|lying| lying.items(&parts));
        let items = items.map(|item| item.shifted((window.min.x, window.min.y)));
        let title = match count {
            1 => title.to_owned(),
            _ => format!("{title}, page {} of {count}", i + 1),
        };
        let notes = own_notes(page_of, &parts);
        let lines: Vec<String> = about.iter().cloned().chain(notes).chain(again.clone()).collect();
        about_page(items.collect(), &title, &lines, page, strip)
    };
    let pages = laid.iter().enumerate().map(shown).collect();
    Ok(Some((Pages { title: title.to_owned(), size: page, pages }, larger)))
}

/// What is to be said of the pieces on a page, each once.
fn own_notes(page_of: &[Lying], parts: &[Part]) -> Vec<String> {
    let mut notes: Vec<String> = Vec::new();
    for note in page_of.iter().flat_map(|lying| parts[lying.part()].notes) {
        if !notes.contains(note) {
            notes.push(note.clone());
        }
    }
    notes
}

fn again_words(times: usize) -> String {
    format!("Print these pages {times} times for all pieces.")
}

/// The area for pieces on a page with a foot of this height.
fn window(page: [f64; 2], strip: f64) -> Bounds {
    let min = Point::new(MARGIN, MARGIN + strip);
    Bounds { min, max: Point::new(page[0] - MARGIN - COLUMN, page[1] - MARGIN) }
}

/// A page with its bars, its name and the text at its foot.
fn about_page(
    mut items: Vec<Item>,
    title: &str,
    about: &[String],
    page: [f64; 2],
    strip: f64,
) -> Page {
    items.extend(bars::level());
    items.extend(bars::upright(page[0], MARGIN + strip));
    let room = words_room(page);
    let mut y = MARGIN + strip - 4.5 - NAME;
    for line in font::wrap(&font::known(title), NAME, room) {
        items.push(Item::Words(Words::heavy(Point::new(MARGIN, y), NAME, line)));
        y -= NAME * LEADING;
    }
    let lines = wrapped(about, room);
    // One line is kept for the end.
    let fit = ((y - MARGIN - bars::LEVEL - 2.0) / (HEIGHT * LEADING)).max(0.0) as usize + 1;
    let cut_short = "More: see the drawing of the part.".to_owned();
    let short = (lines.len() > fit).then_some(cut_short);
    let kept = if short.is_some() { fit - 1 } else { lines.len() };
    for line in lines.into_iter().take(kept).chain(short) {
        items.push(Item::Words(Words::plain(Point::new(MARGIN, y), HEIGHT, line)));
        y -= HEIGHT * LEADING;
    }
    let max = Point::new(page[0] - MARGIN, MARGIN + strip - 4.5);
    let foot = Bounds { min: Point::new(MARGIN, MARGIN), max };
    Page { items, blocks: vec![window(page, strip), foot] }
}

/// Width of the words at the foot of a page, beside the picture of all pages, mm.
fn words_room(page: [f64; 2]) -> f64 {
    page[0] - 2.0 * MARGIN - tiling::MAP[0] - 4.0
}

fn wrapped(about: &[String], room: f64) -> Vec<String> {
    about.iter().flat_map(|line| font::wrap(&font::known(line), HEIGHT, room)).collect()
}

/// Room at the foot of a page for the name, these words, the bars and the picture of all
/// pages, mm.
fn strip(page: [f64; 2], about: &[String]) -> f64 {
    let lines = wrapped(about, words_room(page)).len() as f64;
    // The name may take two lines.
    let words = bars::LEVEL + 3.0 + lines * HEIGHT * LEADING + 2.0 * NAME * LEADING + 4.5;
    words.max(tiling::MAP[1] + 8.0).min(MAX_STRIP * page[1])
}

/// Whether an item is on a page: words on one alone, whole, with what they belong to.
fn is_shown(tiling: &Tiling, tile: (usize, usize), item: &Item) -> bool {
    match item {
        Item::Words(_) => tiling.is_on(tile, item.bounds().centre()),
        _ => touches(item, &tiling.window_of(tile)),
    }
}

/// Whether an item may be seen in a window.
fn touches(item: &Item, window: &Bounds) -> bool {
    let near = |edge: &Edge| edge.bounds().grown(0.2).distance(window) == 0.0;
    match item {
        Item::Line(_, edges) => edges.iter().any(|e| near(e) && runs_in(e, window)),
        other => other.bounds().distance(window) == 0.0,
    }
}

/// Whether an edge runs into a window.
fn runs_in(edge: &Edge, window: &Bounds) -> bool {
    const PIECES: usize = 24;
    let at = |i: usize| edge.point_at(i as f64 / PIECES as f64);
    let pieces = if edge.is_line() { 1 } else { PIECES };
    let at = |i: usize| if pieces == 1 { [edge.from, edge.to][i] } else { at(i) };
    (0..pieces).any(|i| straight::crosses(&[at(i), at(i + 1)], &window.grown(0.5)))
}

//! Pieces on pages: in rows, the tallest first, every piece rotated by 180° where that is nearer to
//! its neighbour.

use crate::geom::Outline;
use crate::geom::Point;
use crate::geom::outline_distance;
use crate::paper::scene::Item;
use crate::paper::template::rotations::APART;
use crate::paper::template::rotations::Part;
use crate::paper::template::rotations::Side;
use std::collections::BTreeSet;

/// Nearer than this to the gap a piece is near enough, mm.
const NEAR: f64 = 0.02;
/// Moves by which a piece comes near to its neighbours.
const MOVES: usize = 24;
/// How many pieces at the end of a row the next one may touch.
const NEIGHBOURS: usize = 4;

/// A row of pieces, from the left side of the window and the foot of the row.
#[derive(Clone)]
struct Row {
    /// How high pieces may be.
    height: f64,
    /// Shapes of the last pieces.
    shapes: Vec<Vec<Outline>>,
    end: f64,
    /// The same in rows that have the same pieces in the same places.
    state: usize,
}

/// A row on a page.
struct Shelf {
    page: usize,
    /// Where the pieces start.
    foot: f64,
    row: Row,
}

/// A piece on a page: which part, at which of its two angles, and where; places are those of the
/// window, its lower left corner at the origin.
pub(super) struct Lying {
    part: usize,
    side: usize,
    at: Point,
}

impl Lying {
    /// Which of the parts it is, by its index.
    pub(super) const fn part(&self) -> usize {
        self.part
    }

    /// Its items.
    pub(super) fn items(&self, parts: &[Part]) -> impl Iterator<Item = Item> {
        let by = (self.at.x, self.at.y);
        parts[self.part].sides[self.side].items.iter().map(move |item| item.clone().shifted(by))
    }
}

/// The pieces of some parts on their pages; `None` once it may not `go_on`.
pub(super) fn packed(
    parts: &[Part],
    window: [f64; 2],
    go_on: &dyn Fn() -> bool,
) -> Option<Vec<Vec<Lying>>> {
    let mut order: Vec<usize> = (0..parts.len()).collect();
    order.sort_by(|a, b| parts[*b].height().total_cmp(&parts[*a].height()));
    let mut laying = Laying::new(parts, window, go_on);
    for part in order {
        laying.part(part)?;
    }
    Some(laying.pages)
}

/// Pages while pieces are laid on them.
struct Laying<'p> {
    parts: &'p [Part<'p>],
    window: [f64; 2],
    go_on: &'p dyn Fn() -> bool,
    pages: Vec<Vec<Lying>>,
    /// The remaining height of each page below its shelves, mm.
    left: Vec<f64>,
    shelves: Vec<Shelf>,
    states: usize,
}

/// A full row of one part alone.
struct Full {
    pieces: Vec<(usize, f64)>,
    row: Row,
}

impl<'p> Laying<'p> {
    fn new(parts: &'p [Part<'p>], window: [f64; 2], go_on: &'p dyn Fn() -> bool) -> Self {
        let (pages, left, shelves) = (Vec::new(), Vec::new(), Vec::new());
        Self { parts, window, go_on, pages, left, shelves, states: 0 }
    }

    /// Lays all copies of a part, each on the first shelf with room for it. Rows of it alone are
    /// equal, so they are laid once; `None` once it must stop.
    fn part(&mut self, index: usize) -> Option<()> {
        let part = &self.parts[index];
        let mut copies = part.copies;
        // If a copy had no room, the next one has none either: the first shelf that may have some,
        // and the rows without room.
        let (mut first, mut without) = (0, BTreeSet::new());
        // The pieces of the last row that began with this part, and such a row once it is full.
        let (mut own, mut full): (Vec<(usize, f64)>, Option<Full>) = (Vec::new(), None);
        let mut has_own = false;
        while copies > 0 {
            if let Some((i, (side, x))) = self.room(part, first, &mut without)? {
                first = i;
                self.put(i, (index, side), x);
                own.push((side, x));
                copies -= 1;
                continue;
            }
            if let (true, None, Some(last)) = (has_own, &full, self.shelves.last()) {
                full = Some(Full { pieces: std::mem::take(&mut own), row: last.row.clone() });
            }
            first = self.shelf(part.height());
            has_own = true;
            own.clear();
            if let Some(Full { pieces, row }) = full.as_ref().filter(|f| f.pieces.len() <= copies) {
                self.shelves[first].row = row.clone();
                for (side, x) in pieces {
                    self.lay(first, (index, *side), *x);
                }
                copies -= pieces.len();
            } else if place(part, &self.shelves[first].row, self.window[0]).is_none() {
                // It has no room on an empty one.
                break;
            }
        }
        Some(())
    }

    /// The first shelf with room for a part, from `first` on, and its place there; `None` once it
    /// must stop. Rows `without` room are skipped, and grow in number.
    fn room(
        &self,
        part: &Part,
        first: usize,
        without: &mut BTreeSet<usize>,
    ) -> Option<Option<(usize, (usize, f64))>> {
        for (i, shelf) in self.shelves.iter().enumerate().skip(first) {
            if without.contains(&shelf.row.state) {
                continue;
            }
            if !(self.go_on)() {
                return None;
            }
            match place(part, &shelf.row, self.window[0]) {
                Some(found) => return Some(Some((i, found))),
                None => without.insert(shelf.row.state),
            };
        }
        Some(None)
    }

    /// Begins a shelf on the first page with room for it.
    fn shelf(&mut self, height: f64) -> usize {
        let page = self.left.iter().position(|left| *left >= height).unwrap_or(self.left.len());
        if page == self.left.len() {
            self.left.push(self.window[1]);
            self.pages.push(Vec::new());
        }
        let foot = self.left[page] - height;
        self.left[page] = foot - APART;
        self.states += 1;
        let row = Row { height, shapes: Vec::new(), end: 0.0, state: self.states };
        self.shelves.push(Shelf { page, foot, row });
        self.shelves.len() - 1
    }

    /// Puts a piece at the end of a shelf.
    fn put(&mut self, shelf: usize, (part, side): (usize, usize), x: f64) {
        self.lay(shelf, (part, side), x);
        let side = &self.parts[part].sides[side];
        self.states += 1;
        let row = &mut self.shelves[shelf].row;
        row.state = self.states;
        row.end = row.end.max(x + side.bounds.max.x);
        row.shapes.push(side.shapes_at(Point::new(x, -side.bounds.min.y)));
        if row.shapes.len() > NEIGHBOURS {
            row.shapes.remove(0);
        }
    }

    /// Notes a piece on the page of a shelf.
    fn lay(&mut self, shelf: usize, (part, side): (usize, usize), x: f64) {
        let Shelf { page, foot, .. } = self.shelves[shelf];
        let at = Point::new(x, foot - self.parts[part].sides[side].bounds.min.y);
        self.pages[page].push(Lying { part, side, at });
    }
}

/// At which of its two angles a piece ends farther left in a row, and where; `None` if it has no
/// room.
fn place(part: &Part, row: &Row, width: f64) -> Option<(usize, f64)> {
    if part.height() > row.height + 1e-9 {
        return None;
    }
    let slid = |(i, side): (usize, &Side)| {
        let first = if row.shapes.is_empty() { 0.0 } else { row.end + APART };
        let mut x = first - side.bounds.min.x;
        for _ in 0..MOVES {
            let here = side.shapes_at(Point::new(x, -side.bounds.min.y));
            let others = || row.shapes.iter().flatten();
            let apart = here
                .iter()
                .flat_map(|a| others().map(move |b| outline_distance(a, b)))
                .fold(f64::INFINITY, f64::min);
            if !apart.is_finite() || apart <= APART + NEAR {
                break;
            }
            x = (x - (apart - APART)).max(-side.bounds.min.x);
            if x <= -side.bounds.min.x {
                break;
            }
        }
        (i, x, x + side.bounds.max.x)
    };
    let both = part.sides.iter().enumerate().map(slid);
    let best = both.reduce(|a, b| if b.2 < a.2 - NEAR { b } else { a })?;
    (best.2 <= width + 1e-9).then_some((best.0, best.1))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::Region;
    use crate::geom::rectangle;
    use crate::paper::template::piece::Template;
    use crate::paper::template::rotations::Rotations;

    /// A tab, round at one end.
    fn tab(wide: f64, high: f64) -> Template {
        let outline = rectangle(Point::ZERO, wide, high, wide / 3.0).unwrap();
        let piece = Region::solid(outline);
        let cuts = vec![piece.outer().edges().collect()];
        Template { name: "tab".into(), piece: Some(piece), cuts, ..Template::default() }
    }

    /// Shelves without room for a copy are skipped for the next one: the result is the same as if
    /// each copy were a separate part.
    #[test]
    fn copies_lie_as_so_many_parts_would() {
        let window = [180.0, 250.0];
        let sizes = [(40.0, 60.0, 37), (22.0, 60.0, 9), (30.0, 35.0, 60), (12.0, 20.0, 90)];
        let of = |copies: usize, (wide, high, _): (f64, f64, usize)| Template {
            copies,
            ..tab(wide, high)
        };
        let once = sizes.map(|size| of(size.2, size));
        let each: Vec<Template> =
            sizes.into_iter().flat_map(|size| vec![of(1, size); size.2]).collect();
        let packed = |templates: &[Template]| {
            let rotations: Vec<Rotations> = templates.iter().map(Rotations::new).collect();
            let parts: Vec<Part> = rotations.iter().map(|r| r.part(window).unwrap()).collect();
            let pages = super::packed(&parts, window, &|| true).unwrap();
            let items = |page: &Vec<Lying>| -> Vec<Item> {
                page.iter().flat_map(|lying| lying.items(&parts)).collect()
            };
            format!("{:?}", pages.iter().map(items).collect::<Vec<_>>())
        };
        let pages = packed(&once);
        assert_eq!(pages, packed(&each));
        assert!(pages.len() > 1000);
    }

    /// Whenever it is stopped, there is no result.
    #[test]
    fn pages_that_are_no_longer_wanted_are_not_laid() {
        let template = Template { copies: 50, ..tab(40.0, 60.0) };
        let rotations = Rotations::new(&template);
        let parts = [rotations.part([180.0, 250.0]).unwrap()];
        let asked = |times: usize| {
            let left = std::cell::Cell::new(times);
            let go_on = || left.replace(left.get().saturating_sub(1)) > 0;
            packed(&parts, [180.0, 250.0], &go_on).is_some()
        };
        assert!(asked(50), "a row that is full is not laid again");
        assert!(!asked(0) && !asked(3));
    }
}

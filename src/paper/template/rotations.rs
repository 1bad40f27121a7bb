//! Pieces on pages: in shelves, the highest first, every piece rotated by 180° where that is
//! nearer to its neighbour.

use crate::geom::Bounds;
use crate::geom::Outline;
use crate::geom::Place;
use crate::geom::Point;
use crate::geom::outline_distance;
use crate::geom::rectangle;
use crate::num::Angle;
use crate::paper::scene::Item;
use crate::paper::template::drawn::Drawing;
use crate::paper::template::piece::Template;
use std::cell::OnceCell;

/// Between two pieces, mm: what scissors need. Our choice.
pub(super) const APART: f64 = 2.0;
/// Nearer than this to the gap a piece is near enough, mm.
const NEAR: f64 = 0.02;
/// Moves by which a piece comes near to its neighbours.
const MOVES: usize = 24;
/// How many pieces at the end of a shelf the next one may touch.
const NEIGHBOURS: usize = 4;

/// A piece at one of the two angles of a pair.
struct Side {
    items: Vec<Item>,
    /// Its outline, and words that stand beyond it.
    shapes: Vec<Outline>,
    bounds: Bounds,
}

impl Side {
    fn new(template: &Template, Drawing { items, bounds, .. }: Drawing) -> Self {
        let mut shapes: Vec<Outline> =
            template.piece.iter().map(|piece| piece.outer().clone()).collect();
        let mut whole = shapes.iter().fold(Bounds::EMPTY, |b, shape| b.and(shape.bounds()));
        whole = if shapes.is_empty() { bounds } else { whole };
        for item in &items {
            let Item::Words(words) = item else { continue };
            let Bounds { min, max } = words.bounds();
            let corners = [min, max, Point::new(min.x, max.y), Point::new(max.x, min.y)];
            let inside = template.piece.as_ref();
            if inside.is_none_or(|piece| !corners.iter().all(|p| piece.outer().contains(*p))) {
                whole = whole.and(Bounds { min, max });
                shapes.extend(rectangle(min.midpoint(max), max.x - min.x, max.y - min.y, 0.0));
            }
        }
        Self { items, shapes, bounds: whole }
    }

    fn shapes_at(&self, at: Point) -> Vec<Outline> {
        let place = Place::at(at);
        self.shapes.iter().map(|shape| shape.moved(&place)).collect()
    }
}

/// A piece at an angle, and rotated by 180° from there.
struct Rotated {
    sides: [Side; 2],
    /// Said at the foot of the pages.
    notes: Vec<String>,
}

impl Rotated {
    fn new(template: &Template, angle: f64) -> Self {
        let mut notes = Vec::new();
        let sides = [angle, angle + 180.0].map(|angle| {
            let rotated = match angle == 0.0 {
                true => template.clone(),
                false => template.rotated(Angle::from_degrees(angle)),
            };
            let drawing = rotated.drawing();
            notes.extend(drawing.notes.iter().cloned());
            Side::new(&rotated, drawing)
        });
        notes.dedup();
        Self { sides, notes }
    }
}

/// Angles at which a piece is tried: as it is, rotated by 90°, and where neither fits at a slant.
const ANGLES: [f64; 12] =
    [0.0, 90.0, 45.0, 135.0, 30.0, 60.0, 120.0, 150.0, 15.0, 75.0, 105.0, 165.0];
/// How many of them are no slants.
const STRAIGHT: usize = 2;

/// A template with what is known of it at each angle: it is drawn once for each.
pub(super) struct Rotations<'t> {
    template: &'t Template,
    rotated: [OnceCell<Rotated>; ANGLES.len()],
}

impl<'t> Rotations<'t> {
    pub(super) fn new(template: &'t Template) -> Self {
        Self { template, rotated: std::array::from_fn(|_| OnceCell::new()) }
    }

    /// The template at the angle at which most copies fit into a window; none where it does not
    /// fit.
    pub(super) fn part(&self, window: [f64; 2]) -> Option<Part<'_>> {
        let piece = self.template.piece.as_ref()?;
        let held = |angle: f64| {
            let place = Place { rotation: Angle::from_degrees(angle), ..Place::default() };
            let bounds = piece.outer().moved(&place).bounds();
            let count = |window: f64, size: f64| ((window + APART) / (size + APART)).floor();
            count(window[0], bounds.width()) * count(window[1], bounds.height())
        };
        let mut order: Vec<usize> = (0..ANGLES.len()).collect();
        let better = |a: &usize, b: &usize| held(ANGLES[*b]).total_cmp(&held(ANGLES[*a]));
        order[..STRAIGHT].sort_by(better);
        let fitting = order.into_iter().filter(|i| held(ANGLES[*i]) >= 1.0);
        fitting
            .map(|i| self.rotated[i].get_or_init(|| Rotated::new(self.template, ANGLES[i])))
            .find_map(|rotated| {
                // Words may take it out of the window.
                let fits = |side: &Side| {
                    side.bounds.width() <= window[0] && side.bounds.height() <= window[1]
                };
                rotated.sides.iter().all(fits).then_some(Part {
                    sides: &rotated.sides,
                    notes: &rotated.notes,
                    copies: self.template.copies.max(1),
                })
            })
    }
}

/// A part that fits on a page.
pub(super) struct Part<'t> {
    sides: &'t [Side; 2],
    pub(super) copies: usize,
    /// Said at the foot of the pages.
    pub(super) notes: &'t [String],
}

impl Part<'_> {
    fn height(&self) -> f64 {
        self.sides.iter().map(|side| side.bounds.height()).fold(0.0, f64::max)
    }
}

/// A row of pieces; places are those of the window, its lower left corner at the origin.
struct Shelf {
    page: usize,
    /// Where pieces stand, and how high they may be.
    foot: f64,
    height: f64,
    /// Shapes of the last pieces.
    shapes: Vec<Vec<Outline>>,
    end: f64,
}

/// The pages of some parts: what is drawn on each.
pub(super) fn pages(parts: &[Part], window: [f64; 2]) -> Vec<Vec<Item>> {
    let mut order: Vec<usize> = (0..parts.len()).collect();
    order.sort_by(|a, b| parts[*b].height().total_cmp(&parts[*a].height()));
    let copies = order.iter().flat_map(|part| std::iter::repeat_n(*part, parts[*part].copies));
    let (mut pages, mut shelves): (Vec<Vec<Item>>, Vec<Shelf>) = (Vec::new(), Vec::new());
    // What is left of each page below its shelves, mm.
    let mut left: Vec<f64> = Vec::new();
    // Where a copy of a part had no room the next one has none: the first shelf that may have some.
    let (mut last, mut first) = (None, 0);
    for part in copies {
        if last.replace(part) != Some(part) {
            first = 0;
        }
        let part = &parts[part];
        let known = (first..shelves.len())
            .find_map(|i| place(part, &shelves[i], window[0]).map(|found| (i, found)));
        let (i, (side, at)) = match known {
            Some(found) => found,
            None => {
                let height = part.height();
                let page = left.iter().position(|left| *left >= height).unwrap_or(left.len());
                if page == left.len() {
                    left.push(window[1]);
                    pages.push(Vec::new());
                }
                let foot = left[page] - height;
                left[page] = foot - APART;
                let shelf = Shelf { page, foot, height, shapes: Vec::new(), end: 0.0 };
                let Some(placed) = place(part, &shelf, window[0]) else { continue };
                shelves.push(shelf);
                (shelves.len() - 1, placed)
            }
        };
        first = i;
        let shelf = &mut shelves[i];
        let side = &part.sides[side];
        pages[shelf.page].extend(side.items.iter().map(|item| item.clone().shifted((at.x, at.y))));
        shelf.end = shelf.end.max(at.x + side.bounds.max.x);
        shelf.shapes.push(side.shapes_at(at));
        if shelf.shapes.len() > NEIGHBOURS {
            shelf.shapes.remove(0);
        }
    }
    pages
}

/// At which of its two angles a piece ends farther left on a shelf, and where; none where it has
/// no room.
fn place(part: &Part, shelf: &Shelf, width: f64) -> Option<(usize, Point)> {
    if part.height() > shelf.height + 1e-9 {
        return None;
    }
    let slid = |(i, side): (usize, &Side)| {
        let y = shelf.foot - side.bounds.min.y;
        let first = if shelf.shapes.is_empty() { 0.0 } else { shelf.end + APART };
        let mut x = first - side.bounds.min.x;
        for _ in 0..MOVES {
            let here = side.shapes_at(Point::new(x, y));
            let others = || shelf.shapes.iter().flatten();
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
        (i, Point::new(x, y), x + side.bounds.max.x)
    };
    let both = part.sides.iter().enumerate().map(slid);
    let best = both.reduce(|a, b| if b.2 < a.2 - NEAR { b } else { a })?;
    (best.2 <= width + 1e-9).then_some((best.0, best.1))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::Region;

    /// A tab, round at one end.
    fn tab(wide: f64, high: f64) -> Template {
        let outline = rectangle(Point::ZERO, wide, high, wide / 3.0).unwrap();
        let piece = Region::solid(outline);
        let cuts = vec![piece.outer().edges().collect()];
        Template { name: "tab".into(), piece: Some(piece), cuts, ..Template::default() }
    }

    /// Shelves on which a copy had no room are not asked again for the next one: nothing is laid
    /// otherwise than if each copy were a part of its own.
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
        let laid = |templates: &[Template]| {
            let rotations: Vec<Rotations> = templates.iter().map(Rotations::new).collect();
            let parts: Vec<Part> = rotations.iter().map(|r| r.part(window).unwrap()).collect();
            format!("{:?}", pages(&parts, window))
        };
        let pages = laid(&once);
        assert_eq!(pages, laid(&each));
        assert!(pages.len() > 1000);
    }
}

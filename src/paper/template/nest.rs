//! Pieces on pages: in shelves, the highest first, every piece turned by 180° where that is
//! nearer to its neighbour.

use crate::geom::Bounds;
use crate::geom::Outline;
use crate::geom::Place;
use crate::geom::Point;
use crate::geom::outline_distance;
use crate::geom::rectangle;
use crate::num::Angle;
use crate::paper::scene::Item;
use crate::paper::template::Template;
use crate::paper::template::drawn::Drawing;

/// Between two pieces, mm: what scissors need. Our choice.
pub(super) const APART: f64 = 2.0;
/// Nearer than this to the gap a piece is near enough, mm.
const NEAR: f64 = 0.02;
/// Moves by which a piece comes near to its neighbours.
const MOVES: usize = 24;
/// How many pieces at the end of a shelf the next one may touch.
const NEIGHBOURS: usize = 4;

/// A piece in one of its two ways up.
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

/// A part that fits on a page, in the way in which most of it fit.
pub(super) struct Part {
    sides: [Side; 2],
    pub(super) copies: usize,
    /// Said at the foot of the pages.
    pub(super) notes: Vec<String>,
}

/// Angles at which a piece is tried that fits neither as it is nor turned by 90°.
const SLANTS: [f64; 10] = [45.0, 135.0, 30.0, 60.0, 120.0, 150.0, 15.0, 75.0, 105.0, 165.0];

impl Part {
    /// A template as it fits into a window; none where it does not.
    pub(super) fn new(template: &Template, window: [f64; 2]) -> Option<Self> {
        let piece = template.piece.as_ref()?;
        let held = |angle: f64| {
            let place = Place { rotation: Angle::from_degrees(angle), ..Place::default() };
            let bounds = piece.outer().moved(&place).bounds();
            let count = |window: f64, size: f64| ((window + APART) / (size + APART)).floor();
            let (across, up) =
                (count(window[0], bounds.width()), count(window[1], bounds.height()));
            (across >= 1.0 && up >= 1.0).then_some((angle, across * up))
        };
        let best = |angles: &[f64]| {
            let all = angles.iter().filter_map(|angle| held(*angle));
            all.reduce(|best, next| if next.1 > best.1 { next } else { best })
        };
        let straight: Vec<Option<Self>> = best(&[0.0, 90.0])
            .into_iter()
            .chain(best(&[90.0, 0.0]))
            .map(|(angle, _)| Self::at(template, angle, window))
            .collect();
        let fits = straight.into_iter().flatten().next();
        fits.or_else(|| {
            SLANTS
                .iter()
                .filter(|angle| held(**angle).is_some())
                .find_map(|a| Self::at(template, *a, window))
        })
    }

    /// At an angle and turned over by 180°; none where words take it out of the window.
    fn at(template: &Template, angle: f64, window: [f64; 2]) -> Option<Self> {
        let mut notes = Vec::new();
        let sides = [angle, angle + 180.0].map(|angle| {
            let turned = match angle == 0.0 {
                true => template.clone(),
                false => template.turned(Angle::from_degrees(angle)),
            };
            let drawing = turned.drawing();
            notes.extend(drawing.notes.iter().cloned());
            Side::new(&turned, drawing)
        });
        notes.dedup();
        let fits = sides
            .iter()
            .all(|side| side.bounds.width() <= window[0] && side.bounds.height() <= window[1]);
        fits.then_some(Self { sides, copies: template.copies, notes })
    }

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

/// The pages of some parts: on each the part, which way up it lies, and where.
pub(super) fn pages(parts: &[Part], window: [f64; 2]) -> Vec<Vec<Item>> {
    let mut order: Vec<usize> = (0..parts.len()).collect();
    order.sort_by(|a, b| parts[*b].height().total_cmp(&parts[*a].height()));
    let copies = order.iter().flat_map(|part| std::iter::repeat_n(*part, parts[*part].copies));
    let (mut pages, mut shelves): (Vec<Vec<Item>>, Vec<Shelf>) = (Vec::new(), Vec::new());
    // What is left of each page below its shelves, mm.
    let mut left: Vec<f64> = Vec::new();
    for part in copies.map(|part| &parts[part]) {
        let on = |shelf: &Shelf| place(part, shelf, window[0]).map(|found| (shelf.page, found));
        let found = shelves.iter_mut().find_map(|shelf| on(shelf).map(|found| (found, shelf)));
        let ((page, (side, at)), shelf) = match found {
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
                shelves.push(Shelf { page, foot, height, shapes: Vec::new(), end: 0.0 });
                let Some(shelf) = shelves.last_mut() else { continue };
                let Some(placed) = place(part, shelf, window[0]) else { continue };
                ((page, placed), shelf)
            }
        };
        let side = &part.sides[side];
        pages[page].extend(side.items.iter().map(|item| item.clone().shifted((at.x, at.y))));
        shelf.end = shelf.end.max(at.x + side.bounds.max.x);
        shelf.shapes.push(side.shapes_at(at));
        if shelf.shapes.len() > NEIGHBOURS {
            shelf.shapes.remove(0);
        }
    }
    pages
}

/// Which way up a piece ends farther left on a shelf, and where; none where it has no room.
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

//! Pieces at the angles at which they fit onto a page.

use crate::geom::Bounds;
use crate::geom::Outline;
use crate::geom::Place;
use crate::geom::Point;
use crate::geom::rectangle;
use crate::num::Angle;
use crate::paper::scene::Item;
use crate::paper::template::drawn::Drawing;
use crate::paper::template::piece::Template;
use std::cell::OnceCell;

/// Between two pieces, mm: what scissors need. Our choice.
pub(super) const APART: f64 = 2.0;

/// A piece at one of the two angles of a pair.
pub(super) struct Side {
    pub(super) items: Vec<Item>,
    /// Its outline, and text beyond it.
    shapes: Vec<Outline>,
    pub(super) bounds: Bounds,
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

    /// Its shapes, its origin at a point.
    pub(super) fn shapes_at(&self, at: Point) -> Vec<Outline> {
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

/// Angles at which a piece is tried: unchanged, rotated by 90°, and if neither fits at a slant.
const ANGLES: [f64; 12] =
    [0.0, 90.0, 45.0, 135.0, 30.0, 60.0, 120.0, 150.0, 15.0, 75.0, 105.0, 165.0];
/// How many of them are no slants.
const STRAIGHT: usize = 2;

/// A template with its data at each angle: it is drawn once for each.
pub(super) struct Rotations<'t> {
    template: &'t Template,
    rotated: [OnceCell<Rotated>; ANGLES.len()],
}

impl<'t> Rotations<'t> {
    pub(super) fn new(template: &'t Template) -> Self {
        Self { template, rotated: std::array::from_fn(|_| OnceCell::new()) }
    }

    /// The template at the angle at which most copies fit a window; `None` if it does not fit.
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
    pub(super) sides: &'t [Side; 2],
    pub(super) copies: usize,
    /// Said at the foot of the pages.
    pub(super) notes: &'t [String],
}

impl Part<'_> {
    /// The room it takes upwards at either angle, mm.
    pub(super) fn height(&self) -> f64 {
        self.sides.iter().map(|side| side.bounds.height()).fold(0.0, f64::max)
    }
}

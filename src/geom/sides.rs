//! How long and wide an outline is.

use crate::geom::edge::Edge;
use crate::geom::near::NEAR;
use crate::geom::offset::OffsetError;
use crate::geom::offset::offset;
use crate::geom::outline::Outline;
use crate::geom::place::Place;
use crate::num::Angle;
use kurbo::Point;

/// Halvings in [`widest`].
const HALVINGS: usize = 40;

/// A disc that is this much too wide fits all the same, mm: the offset loses what is smaller.
const FITS: f64 = 1e-3;

/// Length and width of the narrowest rectangle round an outline that is parallel to one of its
/// straight edges, mm; of the upright one if it has no straight edges.
pub(crate) fn sides(outline: &Outline) -> (f64, f64) {
    let lines = outline.edges().filter(Edge::is_line);
    let turns = lines.map(|e| e.direction_at_start()).map(|d| Angle::of(d.x, -d.y));
    let boxes = std::iter::once(Angle::ZERO)
        .chain(turns)
        .map(|rotation| outline.moved(&Place::rotated(rotation, Point::ZERO)).bounds())
        .map(|b| (b.width().max(b.height()), b.width().min(b.height())));
    boxes.reduce(|a, b| if b.1 < a.1 { b } else { a }).unwrap_or((0.0, 0.0))
}

/// Whether an outline is a slot with round ends.
pub(crate) fn is_round_ended(outline: &Outline) -> bool {
    let half = outline.edges().filter(|e| (e.bulge - 1.0).abs() < NEAR).count();
    let lines: Vec<Edge> = outline.edges().filter(Edge::is_line).collect();
    half == 2 && lines.len() == 2 && outline.vertices().len() == 4
}

/// Diameter of the largest disc that fits into an outline, mm, but no more than `max`.
pub(crate) fn widest(outline: &Outline, max: f64) -> f64 {
    let fits = |d: f64| !matches!(offset(outline, -d / 2.0), Err(OffsetError::Nothing));
    if fits(max - FITS) {
        return max;
    }
    let (mut low, mut high) = (0.0, max);
    for _ in 0..HALVINGS {
        let middle = (low + high) / 2.0;
        if fits(middle) {
            low = middle;
        } else {
            high = middle;
        }
    }
    low
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::disc;
    use crate::geom::hexagon;
    use crate::geom::rectangle;
    use crate::geom::slot;

    #[test]
    fn a_turned_shape_is_as_long_and_wide_as_before() {
        let place = Place::rotated(Angle::from_degrees(33.0), Point::new(5.0, 6.0));
        let o = Point::ZERO;
        for (shape, wanted) in
            [(slot(o, 30.0, 8.0), (30.0, 8.0)), (rectangle(o, 20.0, 5.0, 1.0), (20.0, 5.0))]
        {
            let (length, width) = sides(&shape.unwrap().moved(&place));
            assert!((length - wanted.0).abs() < 1e-9 && (width - wanted.1).abs() < 1e-9);
        }
        assert!(is_round_ended(&slot(o, 30.0, 8.0).unwrap().moved(&place)));
        assert!(!is_round_ended(&rectangle(o, 30.0, 8.0, 2.0).unwrap()));
    }

    #[test]
    fn the_widest_disc_is_the_inscribed_one() {
        let o = Point::ZERO;
        assert!((widest(&hexagon(o, 2.0).unwrap(), 3.0) - 2.0).abs() < 1e-3);
        assert!((widest(&rectangle(o, 30.0, 0.5, 0.0).unwrap(), 3.0) - 0.5).abs() < 1e-3);
        assert_eq!(widest(&disc(o, 1.5).unwrap(), 3.0), 3.0);
    }
}

//! Outlines grown and shrunk, with true arcs.

use crate::geom::outline::Outline;
use crate::geom::outline::OutlineError;
use cavalier_contours::polyline::PlineOffsetOptions;
use cavalier_contours::polyline::PlineSource;
use thiserror::Error;

/// Pieces of less area, mm², are dust of rounding.
const DUST: f64 = 1e-6;

/// Why an outline cannot be offset.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum OffsetError {
    /// Nothing is left after shrinking.
    #[error("nothing is left of the outline")]
    Nothing,
    /// It separates into pieces, or holes appear.
    #[error("the outline is cut into {0} pieces")]
    Pieces(usize),
    /// The result touches itself in a point.
    #[error("the result is pinched: {0}")]
    Pinched(#[from] OutlineError),
    /// The result cannot be an offset.
    #[error("the outline is too fine to be offset by that much")]
    Unsure,
}

/// The outline grown (`by` positive) or shrunk by a distance in mm; corners that grow are rounded.
///
/// # Errors
/// When nothing or more than one piece is left, or the answer is not plausible.
pub(crate) fn offset(outline: &Outline, by: f64) -> Result<Outline, OffsetError> {
    if by == 0.0 {
        return Ok(outline.clone());
    }
    let options = PlineOffsetOptions { handle_self_intersects: true, ..Default::default() };
    // The library's offsets are to the left of travel, which is inward here.
    let lines = outline.to_polyline().parallel_offset_opt(-by, &options);
    match lines.len() {
        0 => return Err(OffsetError::Nothing),
        1 => {}
        n => return Err(OffsetError::Pieces(n)),
    }
    let grown = Outline::from_polyline(&lines[0])?;
    // Steiner: growing by d adds between perimeter·d − and + what rounding can change.
    let change = grown.area() - outline.area();
    let plausible = change * by > 0.0
        && change.abs() <= outline.length() * by.abs() + crate::num::PI * by * by + 1e-6;
    if plausible { Ok(grown) } else { Err(OffsetError::Unsure) }
}

/// The outline grown or shrunk by a distance in mm, in every case: its pieces when it shrinks; when
/// it grows, the largest is round it, and the others round gaps it closes to.
///
/// # Errors
/// When a piece is pinched.
pub(super) fn pieces(outline: &Outline, by: f64) -> Result<Vec<Outline>, OffsetError> {
    let options = PlineOffsetOptions { handle_self_intersects: true, ..Default::default() };
    let lines = outline.to_polyline().parallel_offset_opt(-by, &options);
    let whole = lines.iter().filter(|line| line.area().abs() > DUST);
    Ok(whole.map(Outline::from_polyline).collect::<Result<_, _>>()?)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::rectangle;
    use kurbo::Point;

    #[test]
    fn a_rectangle_grows_by_round_corners() {
        let outline = rectangle(Point::ZERO, 40.0, 20.0, 0.0).unwrap();
        let grown = offset(&outline, 3.0).unwrap();
        let wanted = 40.0 * 20.0 + 120.0 * 3.0 + crate::num::PI * 9.0;
        assert!((grown.area() - wanted).abs() < 1e-6);
        assert!((offset(&grown, -3.0).unwrap().area() - 800.0).abs() < 1e-6);
        assert_eq!(offset(&outline, -11.0), Err(OffsetError::Nothing));
    }
}

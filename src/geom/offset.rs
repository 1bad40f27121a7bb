//! Outlines grown and shrunk, with true arcs.

use crate::geom::outline::Outline;
use crate::geom::outline::OutlineError;
use cavalier_contours::polyline::PlineOffsetOptions;
use cavalier_contours::polyline::PlineSource;
use thiserror::Error;

/// Why an outline cannot be offset.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum OffsetError {
    /// Nothing is left after shrinking.
    #[error("nothing is left of the outline")]
    Nothing,
    /// It falls into pieces, or holes appear.
    #[error("the outline is cut into {0} pieces")]
    Pieces(usize),
    /// The result touches itself in a point.
    #[error("the result is pinched: {0}")]
    Pinched(#[from] OutlineError),
    /// The result is not what an offset can be.
    #[error("the outline is too fine to be offset by that much")]
    Unsure,
    /// No disc has such a radius.
    #[error("a radius must be 0 or more, this is {0:.3} mm")]
    Radius(f64),
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
    // The library's offsets go to the left of travel, which is inward here.
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

/// Every outward corner rounded with a radius in mm, as a disc of that size run round the inside.
///
/// # Errors
/// When the radius is negative, or the outline has a part narrower than the disc.
pub(crate) fn round_corners(outline: &Outline, radius: f64) -> Result<Outline, OffsetError> {
    offset(&offset(outline, -disc(radius)?)?, radius)
}

/// Every inward corner filled with a fillet of a radius in mm, as a disc run round the outside.
///
/// # Errors
/// When the radius is negative, or a notch narrower than the disc would close over a gap.
pub(crate) fn fill_corners(outline: &Outline, radius: f64) -> Result<Outline, OffsetError> {
    offset(&offset(outline, disc(radius)?)?, -radius)
}

/// The radius, when a disc can have it.
fn disc(radius: f64) -> Result<f64, OffsetError> {
    if radius >= 0.0 { Ok(radius) } else { Err(OffsetError::Radius(radius)) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::Vertex;
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

    #[test]
    fn corners_are_rounded_and_filled_by_their_exact_areas() {
        let ell = Outline::new(
            [(0.0, 0.0), (40.0, 0.0), (40.0, 10.0), (10.0, 10.0), (10.0, 40.0), (0.0, 40.0)]
                .map(|(x, y)| Vertex::sharp(x, y)),
        )
        .unwrap();
        let corner = |r: f64| r * r * (1.0 - crate::num::PI / 4.0);
        let filled = fill_corners(&ell, 4.0).unwrap();
        assert!((filled.area() - ell.area() - corner(4.0)).abs() < 1e-6);
        let rounded = round_corners(&ell, 2.0).unwrap();
        assert!((ell.area() - rounded.area() - 5.0 * corner(2.0)).abs() < 1e-6);
    }
}

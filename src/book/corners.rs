//! The outline of a sheet or remnant by its corners.

use crate::geom::Outline;
use crate::geom::OutlineError;
use crate::geom::Place;
use crate::geom::Point;
use crate::geom::Region;
use crate::geom::Vertex;
use std::fmt;

/// Longest sheet, mm. Our choice: beyond it a unit was mistyped.
const LONGEST: f64 = 100_000.0;

/// Maximum number of corners of an outline. Our choice.
const MAX_CORNERS: usize = 1000;

/// Corners off a rectangle by less, mm, are on it: what an inch comes out off. Our choice.
const NEAR: f64 = 1e-6;

/// An outline of straight lines, x along the grain.
///
/// Guarantees: it encloses metal and does not cross itself; the lower left corner of the rectangle
/// round it is the origin.
#[derive(Clone, Debug, PartialEq)]
pub struct Corners {
    region: Region,
}

/// Why corners are no outline.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum CornersError {
    /// They enclose nothing, or cross.
    #[error("{0}")]
    Outline(OutlineError),
    /// It is no pair of numbers.
    #[error(
        "`{0}` is not a corner: write two numbers, along and across the grain, such as `400 \
             300`"
    )]
    Corner(String),
    /// There are more than an outline may have.
    #[error("an outline has at most {MAX_CORNERS} corners")]
    Many,
    /// It is larger than any sheet.
    #[error("a sheet is at most {LONGEST} mm long and wide")]
    Large,
}

impl Corners {
    /// The outline through corners, mm, in order round it.
    ///
    /// # Errors
    /// When that is none.
    pub fn new(points: &[[f64; 2]]) -> Result<Self, CornersError> {
        if points.len() > MAX_CORNERS {
            return Err(CornersError::Many);
        }
        let sharp = points.iter().map(|[x, y]| Vertex::sharp(*x, *y));
        let region = Region::solid(Outline::new(sharp).map_err(CornersError::Outline)?);
        let bounds = region.bounds();
        // A NaN is not larger either.
        let sane = |x: f64| (0.0..=LONGEST).contains(&x);
        if !sane(bounds.width()) || !sane(bounds.height()) {
            return Err(CornersError::Large);
        }
        let home = Place::at(Point::ZERO - bounds.min.to_vec2());
        Ok(Self { region: region.moved(&home) })
    }

    /// A rectangle, along and across the grain, mm.
    ///
    /// # Errors
    /// When a side is not above 0.
    pub fn rectangle(length: f64, width: f64) -> Result<Self, CornersError> {
        Self::new(&[[0.0, 0.0], [length, 0.0], [length, width], [0.0, width]])
    }

    /// Those of a text as [`fmt::Display`] writes it: `0 0, 400 0, 400 300`.
    ///
    /// # Errors
    /// When it is none.
    pub fn read(text: &str) -> Result<Self, CornersError> {
        let corner = |text: &str| {
            let wrong = || CornersError::Corner(text.trim().to_owned());
            let numbers: Result<Vec<f64>, _> = text.split_whitespace().map(str::parse).collect();
            match numbers.map_err(|_| wrong())?.as_slice() {
                [x, y] if x.is_finite() && y.is_finite() => Ok([*x, *y]),
                _ => Err(wrong()),
            }
        };
        Self::new(&text.split(',').map(corner).collect::<Result<Vec<_>, _>>()?)
    }

    /// The metal.
    pub fn region(&self) -> &Region {
        &self.region
    }

    /// Along and across the grain, mm, of the rectangle round it.
    pub fn size(&self) -> [f64; 2] {
        let bounds = self.region.bounds();
        [bounds.width(), bounds.height()]
    }

    /// Area, mm².
    pub fn area(&self) -> f64 {
        self.region.area()
    }

    /// Whether it is the rectangle round it.
    pub fn is_rectangle(&self) -> bool {
        let [length, width] = self.size();
        let vertices = self.region.outer().vertices();
        let off = |x: f64, side: f64| x.abs().min((x - side).abs()) > NEAR;
        vertices.len() == 4 && !vertices.iter().any(|v| off(v.at.x, length) || off(v.at.y, width))
    }
}

impl fmt::Display for Corners {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (i, vertex) in self.region.outer().vertices().iter().enumerate() {
            if i > 0 {
                f.write_str(", ")?;
            }
            // Every digit: rounded, it could be larger than the metal is.
            write!(f, "{} {}", vertex.at.x, vertex.at.y)?;
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_outline_is_read_as_it_was_written_and_begins_at_its_corner() {
        let ell = Corners::read("10 20, 410 20, 410 140, 160 140, 160 320, 10 320").unwrap();
        assert_eq!(ell.to_string(), "0 0, 400 0, 400 120, 150 120, 150 300, 0 300");
        assert_eq!(Corners::read(&ell.to_string()).unwrap(), ell);
        assert_eq!(ell.size(), [400.0, 300.0]);
        assert!((ell.area() - (400.0 * 120.0 + 150.0 * 180.0)).abs() < 1e-9);
        assert!(!ell.is_rectangle());
        assert!(Corners::rectangle(24.0 * 25.4, 305.1).unwrap().is_rectangle());
    }

    #[test]
    fn text_that_is_no_outline_is_refused() {
        for bad in [
            "",
            "0 0",
            "0 0, 1 0",
            "0 0, 100 0, 0 100, 100 100",
            "0 0, 1 0, 1",
            "0 0, a 0, 1 1",
            "0 0, 10 0, 10 NaN",
            "0 0, 10 0, 10 inf",
            "0 0, 1e9 0, 1e9 10, 0 10",
        ] {
            assert!(Corners::read(bad).is_err(), "{bad}");
        }
        assert!(Corners::rectangle(0.0, 100.0).is_err());
        assert!(Corners::rectangle(-5.0, 100.0).map_or(true, |c| c.area() > 0.0));
    }
}

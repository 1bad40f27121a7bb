//! The division of a sheet into the used part and the remnant, in figures that add up.
//!
//! A remnant cut off straight begins where the used length ends, and is given no larger than it is:
//! the printed one, the one for the stock and the one drawn are one rectangle.

use crate::geom::Bounds;
use crate::job::Job;
use crate::place::sheet::NestedSheet;
use crate::quantity::MM_PER_INCH;
use crate::quantity::Units;

/// Rounding of a length before it is cut down to a step, in steps.
const NEAR: f64 = 1e-6;

/// The used part of a sheet and the remnant.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Division {
    /// From the left side of the sheet to where the remnant begins, or to the end of the parts and
    /// a margin behind them; mm.
    pub(crate) used: f64,
    /// The remnant on the sheet, rounded down.
    pub(crate) remnant: Option<Bounds>,
}

impl Division {
    /// Whether the remnant takes the whole width of a sheet, so that one cut across takes it off.
    pub(crate) fn is_across(&self, sheet: &Bounds) -> bool {
        self.remnant.is_some_and(|remnant| remnant.height() >= sheet.height() - NEAR)
    }

    /// Whether it takes the whole length.
    pub(crate) fn is_along(&self, sheet: &Bounds) -> bool {
        self.remnant.is_some_and(|remnant| remnant.width() >= sheet.width() - NEAR)
    }
}

impl NestedSheet {
    /// How it is divided.
    pub(crate) fn division(&self, job: &Job) -> Division {
        let sheet = self.stock(job).sheet.region.bounds();
        let remnant =
            self.usage.remnant.map(|exact| rounded(exact, &sheet, self.usage.length, job.units));
        let enough = |r: &Bounds| r.width().min(r.height()) >= job.min_remnant - NEAR;
        let mut division = Division { used: self.usage.length, remnant: remnant.filter(enough) };
        if division.is_across(&sheet)
            && let Some(remnant) = division.remnant.filter(|r| r.min.x > sheet.min.x)
        {
            division.used = remnant.min.x - sheet.min.x;
        }
        division
    }
}

/// The step to which remnants are rounded down, mm: the accuracy of a tape. Our choice.
fn step(units: Units) -> f64 {
    match units {
        Units::Millimetre => 0.1,
        Units::Inch => 0.01 * MM_PER_INCH,
    }
}

/// A remnant no larger than it is, at the sides of the sheet where it was; beside parts on the
/// left not before the used length ends.
fn rounded(exact: Bounds, sheet: &Bounds, used: f64, units: Units) -> Bounds {
    let step = step(units);
    let down = |mm: f64, whole: f64| match mm >= whole - NEAR {
        true => whole,
        false => (mm / step + NEAR).floor() * step,
    };
    let (left, low) = (exact.min.x <= sheet.min.x, exact.min.y <= sheet.min.y);
    let across = exact.height() >= sheet.height() - NEAR && !left;
    let width = if across { exact.width().min(sheet.width() - used) } else { exact.width() };
    let (width, height) = (down(width, sheet.width()), down(exact.height(), sheet.height()));
    let mut bounds = exact;
    if left {
        bounds.max.x = exact.min.x + width
    } else {
        bounds.min.x = exact.max.x - width
    }
    if low {
        bounds.max.y = exact.min.y + height
    } else {
        bounds.min.y = exact.max.y - height
    }
    bounds
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::Point;

    #[test]
    fn a_remnant_is_never_larger_than_it_is_and_begins_where_the_used_length_ends() {
        let sheet = Bounds { min: Point::ZERO, max: Point::new(600.0, 400.0) };
        let exact = Bounds { min: Point::new(472.621, 0.0), max: sheet.max };
        let kept = rounded(exact, &sheet, 476.621, Units::Millimetre);
        assert!((kept.width() - 123.3).abs() < 1e-9 && kept.height() == 400.0, "{kept:?}");
        assert_eq!(kept.max, sheet.max);
        let inches = rounded(exact, &sheet, 476.621, Units::Inch);
        assert!((inches.width() / MM_PER_INCH - 4.85).abs() < 1e-9, "{inches:?}");
        let corner = Bounds { min: Point::new(0.0, 300.07), max: Point::new(200.09, 400.0) };
        let kept = rounded(corner, &sheet, 476.6, Units::Millimetre);
        assert!((kept.min.y - 300.1).abs() < 1e-9 && (kept.max.x - 200.0).abs() < 1e-9, "{kept:?}");
    }
}

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
    /// Whether one cut across the sheet takes the remnant off: it takes the whole width, or all that
    /// keep-outs leave of it behind the parts.
    pub(crate) fn is_across(&self, sheet: &Bounds) -> bool {
        let is_whole = |r: Bounds| r.height() >= sheet.height() - NEAR;
        // Rounded down, it begins up to a step behind the used length.
        let is_behind =
            |r: Bounds| r.min.x > sheet.min.x && r.min.x - sheet.min.x >= self.used - NEAR;
        self.remnant.is_some_and(|remnant| is_whole(remnant) || is_behind(remnant))
    }

    /// Where on a sheet the remnant is, in words; nothing where it is what one cut across leaves of the
    /// whole width.
    pub(crate) fn place(&self, sheet: &Bounds) -> Option<&'static str> {
        let remnant = self.remnant?;
        let (left, low) =
            (remnant.min.x <= sheet.min.x + NEAR, remnant.min.y <= sheet.min.y + NEAR);
        let right = remnant.max.x >= sheet.max.x - NEAR;
        let high = remnant.max.y >= sheet.max.y - NEAR;
        match (low && high, left && right) {
            (true, whole) => (left && !whole).then_some("at the left"),
            (_, true) if low => Some("at the bottom"),
            (_, true) => Some("at the top"),
            _ => Some(match (left, low) {
                (true, true) => "in the lower left corner",
                (true, false) => "in the upper left corner",
                (false, true) => "in the lower right corner",
                (false, false) => "in the upper right corner",
            }),
        }
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
        let ends = Ends { used: self.usage.length, parts: self.usage.length - job.margin };
        let remnant = self.usage.remnant.map(|exact| rounded(exact, &sheet, ends, job.units));
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

/// Where the used length ends, and the parts, mm from the left side of the sheet.
#[derive(Clone, Copy)]
struct Ends {
    used: f64,
    parts: f64,
}

/// A remnant no larger than it is, at the sides of the sheet where it was; one behind all parts does
/// not begin before the used length ends.
fn rounded(exact: Bounds, sheet: &Bounds, ends: Ends, units: Units) -> Bounds {
    let step = step(units);
    let down = |mm: f64, whole: f64| match mm >= whole - NEAR {
        true => whole,
        false => (mm / step + NEAR).floor() * step,
    };
    let (left, low) = (exact.min.x <= sheet.min.x, exact.min.y <= sheet.min.y);
    let behind = !left && exact.min.x - sheet.min.x >= ends.parts - NEAR;
    let width = if behind { exact.width().min(sheet.width() - ends.used) } else { exact.width() };
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
        let ends = Ends { used: 476.621, parts: 468.621 };
        let kept = rounded(exact, &sheet, ends, Units::Millimetre);
        assert!((kept.width() - 123.3).abs() < 1e-9 && kept.height() == 400.0, "{kept:?}");
        assert_eq!(kept.max, sheet.max);
        let inches = rounded(exact, &sheet, ends, Units::Inch);
        assert!((inches.width() / MM_PER_INCH - 4.85).abs() < 1e-9, "{inches:?}");
        let corner = Bounds { min: Point::new(0.0, 300.07), max: Point::new(200.09, 400.0) };
        let kept = rounded(corner, &sheet, ends, Units::Millimetre);
        assert!((kept.min.y - 300.1).abs() < 1e-9 && (kept.max.x - 200.0).abs() < 1e-9, "{kept:?}");
    }

    #[test]
    fn what_a_keep_out_leaves_behind_the_parts_begins_where_the_used_length_ends() {
        let sheet = Bounds { min: Point::ZERO, max: Point::new(1250.0, 1250.0) };
        let ends = Ends { used: 634.5, parts: 626.5 };
        let under = Bounds { min: Point::new(629.5, 0.0), max: Point::new(1250.0, 1162.0) };
        let kept = rounded(under, &sheet, ends, Units::Millimetre);
        assert!((kept.min.x - 634.5).abs() < 1e-9 && kept.max.x == 1250.0, "{kept:?}");
        let division = Division { used: 634.46, remnant: Some(kept) };
        assert!(division.is_across(&sheet));
        assert_eq!(division.place(&sheet), Some("in the lower right corner"));
        // Beside parts that reach farther it is as large as it is.
        let beside = Bounds { min: Point::new(600.0, 0.0), max: Point::new(1250.0, 400.0) };
        let kept = rounded(beside, &sheet, ends, Units::Millimetre);
        assert!((kept.min.x - 600.0).abs() < 1e-9, "{kept:?}");
        assert!(!Division { used: 634.5, remnant: Some(kept) }.is_across(&sheet));
        let whole = |min: (f64, f64), max: (f64, f64)| Division {
            used: 634.5,
            remnant: Some(Bounds { min: min.into(), max: max.into() }),
        };
        assert_eq!(whole((634.5, 0.0), (1250.0, 1250.0)).place(&sheet), None);
        assert_eq!(whole((0.0, 900.0), (1250.0, 1250.0)).place(&sheet), Some("at the top"));
        assert_eq!(whole((0.0, 0.0), (500.0, 1250.0)).place(&sheet), Some("at the left"));
        assert_eq!(Division { used: 1250.0, remnant: None }.place(&sheet), None);
    }
}

//! The rotation at which an outline fits where it does not fit straight.

use crate::geom::Bounds;
use crate::geom::Outline;
use crate::geom::Place;
use crate::nest::shape::mask::GRAZE;
use crate::num::Angle;

/// Rotations tried over half a turn before the best of them are refined. Our choice: half a degree,
/// in which 1 m moves by 9 mm.
const ANGLES: usize = 360;

/// Thirds taken off the interval round the best rotation. Our choice: it ends below a millionth of
/// a degree.
const CLOSER: usize = 40;

/// The surplus of a sheet over the outline at a rotation, in the tighter direction, mm; negative
/// when it does not fit. True arcs. A part made to measure fits.
pub(super) fn spare(outline: &Outline, rotation: Angle, room: &Bounds) -> f64 {
    let size = outline.moved(&Place { rotation, ..Place::default() }).bounds();
    (room.width() - size.width()).min(room.height() - size.height()) + GRAZE
}

/// The rotation, below 180°, at which the outline has most to spare, rounded as far as it still
/// fits; `None` when it fits at none.
pub(super) fn fitting(outline: &Outline, room: &Bounds) -> Option<Angle> {
    let step = 180.0 / ANGLES as f64;
    let spare = |degrees: f64| spare(outline, Angle::from_degrees(degrees), room);
    let coarse: Vec<f64> = (0..ANGLES).map(|i| spare(i as f64 * step)).collect();
    let peak = |i: &usize| {
        let beside = [(i + 1) % ANGLES, (i + ANGLES - 1) % ANGLES];
        beside.iter().all(|j| coarse[*j] <= coarse[*i])
    };
    let closely = |i: usize| {
        let (mut low, mut high) = ((i as f64 - 1.0) * step, (i as f64 + 1.0) * step);
        for _ in 0..CLOSER {
            let third = (high - low) / 3.0;
            if spare(low + third) < spare(high - third) { low += third } else { high -= third }
        }
        f64::midpoint(low, high)
    };
    let peaks = (0..ANGLES).filter(peak).map(closely);
    let best = peaks.max_by(|a, b| spare(*a).total_cmp(&spare(*b)))?;
    let round = |scale: f64| (best * scale).round() / scale;
    let degrees = [1.0, 10.0, 100.0, 1e4].map(round).into_iter().chain([best]);
    degrees.filter(|d| spare(*d) >= 0.0).map(|d| Angle::from_degrees(d.rem_euclid(180.0))).next()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::Point;
    use crate::geom::disc;
    use crate::geom::rectangle;

    fn room(width: f64, height: f64) -> Bounds {
        Bounds { min: Point::new(5.0, 5.0), max: Point::new(5.0 + width, 5.0 + height) }
    }

    /// A bar of width b fits a square along its diagonal when it is no longer than
    /// √2 × side − b.
    #[test]
    fn a_bar_fits_a_square_up_to_its_diagonal_less_its_width() {
        let longest = 300.0 * 2.0f64.sqrt() - 40.0;
        let bar = |length: f64| rectangle(Point::new(9.0, -4.0), length, 40.0, 0.0).unwrap();
        let found = fitting(&bar(longest - 0.001), &room(300.0, 300.0)).unwrap();
        assert!([45.0, 135.0].contains(&found.degrees()), "{found}");
        assert_eq!(fitting(&bar(longest + 0.001), &room(300.0, 300.0)), None);
        // Round ends reach less far, by (√2 − 1) radii each.
        let round = |length: f64| rectangle(Point::ZERO, length, 40.0, 20.0).unwrap();
        let longest = (300.0 - 40.0) * 2.0f64.sqrt() + 40.0;
        assert!(fitting(&round(longest - 0.001), &room(300.0, 300.0)).is_some());
        assert_eq!(fitting(&round(longest + 0.001), &room(300.0, 300.0)), None);
    }

    #[test]
    fn angles_are_as_round_as_they_can_be() {
        let bar = rectangle(Point::ZERO, 480.0, 30.0, 0.0).unwrap();
        let found = fitting(&bar, &room(450.0, 300.0)).unwrap();
        assert_eq!(found.degrees(), found.degrees().round());
        assert!(spare(&bar, found, &room(450.0, 300.0)) >= 0.0);
        // With almost no play only few rotations fit.
        let tight = room(
            480.0 * found.cos().abs() + 30.0 * found.sin().abs(),
            480.0 * found.sin().abs() + 30.0 * found.cos().abs(),
        );
        assert!(fitting(&bar, &tight).is_some());
        assert_eq!(fitting(&disc(Point::ZERO, 200.0).unwrap(), &room(399.0, 900.0)), None);
    }
}

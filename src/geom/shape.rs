//! The plain shapes plates and holes are made of. All are centred on a point.

use crate::geom::outline::Outline;
use crate::geom::outline::OutlineError;
use crate::geom::outline::Vertex;
use crate::geom::ray::heading;
use crate::num::Angle;
use crate::num::asin;
use kurbo::Point;
use kurbo::Vec2;

/// A round disc.
///
/// # Errors
/// When the radius is not positive.
pub fn disc(centre: Point, radius: f64) -> Result<Outline, OutlineError> {
    positive(&[radius])?;
    let at = |dx: f64| Vertex { at: Point::new(centre.x + dx, centre.y), bulge: 1.0 };
    Outline::new([at(-radius), at(radius)])
}

/// A slot with round ends, overall `length` along x and `width` across.
///
/// # Errors
/// When a dimension is not positive or the slot is shorter than wide.
pub fn slot(centre: Point, length: f64, width: f64) -> Result<Outline, OutlineError> {
    positive(&[length, width])?;
    let (r, straight) = (width / 2.0, (length - width) / 2.0);
    if straight < 0.0 {
        return Err(OutlineError::Measures("a slot cannot be shorter than it is wide"));
    }
    let at = |x: f64, y: f64, bulge| Vertex { at: centre + (x, y), bulge };
    Outline::new([
        at(-straight, -r, 0.0),
        at(straight, -r, 1.0),
        at(straight, r, 0.0),
        at(-straight, r, 1.0),
    ])
}

/// A slot with round ends along an arc, `width` across. Its centre is `centre`, the centre of
/// the arc lies on its left, `radius` away, and `sweep` is the angle between the centres of
/// its ends.
///
/// # Errors
/// When a dimension is not positive, the arc is tighter than half the width, or the ends meet.
pub fn arc_slot(
    centre: Point,
    radius: f64,
    sweep: Angle,
    width: f64,
) -> Result<Outline, OutlineError> {
    positive(&[radius, sweep.degrees(), width])?;
    let half = width / 2.0;
    if radius <= half {
        return Err(OutlineError::Measures("the radius of its arc is half its width or less"));
    }
    if sweep.degrees() >= 360.0 - 2.0 * asin(half / radius).degrees() {
        return Err(OutlineError::Measures("its ends meet, and what is inside would fall out"));
    }
    let along = Angle::from_degrees(sweep.degrees() / 4.0).tan();
    let at = |out: f64, side: f64, bulge: f64| {
        let angle = Angle::from_degrees(side * sweep.degrees() / 2.0);
        let from_arc = heading(angle) * (radius + out);
        Vertex { at: centre + from_arc - Vec2::new(radius, 0.0), bulge }
    };
    Outline::new([
        at(half, -1.0, along),
        at(half, 1.0, 1.0),
        at(-half, 1.0, -along),
        at(-half, -1.0, 1.0),
    ])
}

/// A rectangle with rounded corners; `corner` 0 leaves them sharp.
///
/// # Errors
/// When a side is not positive or the corners do not fit.
pub fn rectangle(
    centre: Point,
    width: f64,
    height: f64,
    corner: f64,
) -> Result<Outline, OutlineError> {
    positive(&[width, height])?;
    if !(0.0..=width.min(height) / 2.0).contains(&corner) {
        return Err(OutlineError::Measures("a corner radius is 0 to half the shorter side"));
    }
    cornered(centre, (width, height), corner, Angle::QUARTER)
}

/// A rectangle, `width` by `height`, whose corners are arcs of `sweep` that begin and end
/// `corner` from where the sides would meet.
pub(super) fn cornered(
    centre: Point,
    (width, height): (f64, f64),
    corner: f64,
    sweep: Angle,
) -> Result<Outline, OutlineError> {
    let (x, y) = (width / 2.0, height / 2.0);
    let round = Angle::from_degrees(sweep.degrees() / 4.0).tan();
    let at = |x: f64, y: f64, bulge| Vertex { at: centre + (x, y), bulge };
    Outline::new([
        at(-x + corner, -y, 0.0),
        at(x - corner, -y, round),
        at(x, -y + corner, 0.0),
        at(x, y - corner, round),
        at(x - corner, y, 0.0),
        at(-x + corner, y, round),
        at(-x, y - corner, 0.0),
        at(-x, -y + corner, round),
    ])
}

/// A hexagon, `flats` across flats, two of them parallel to x.
///
/// # Errors
/// When the dimension is not positive.
pub fn hexagon(centre: Point, flats: f64) -> Result<Outline, OutlineError> {
    positive(&[flats])?;
    let corner = flats / 2.0 / Angle::from_degrees(30.0).cos();
    Outline::new((0..6).map(|i| {
        let angle = Angle::from_degrees(60.0 * f64::from(i));
        Vertex { at: centre + (corner * angle.cos(), corner * angle.sin()), bulge: 0.0 }
    }))
}

/// A round hole with two flats, `flats` apart across y.
///
/// # Errors
/// When a dimension is not positive or the flats lie outside the round.
pub(crate) fn double_flat(
    centre: Point,
    diameter: f64,
    flats: f64,
) -> Result<Outline, OutlineError> {
    positive(&[diameter, flats])?;
    let (r, half) = (diameter / 2.0, flats / 2.0);
    if half >= r {
        return Err(OutlineError::Measures("the flats must be inside the diameter"));
    }
    let x = (r * r - half * half).sqrt();
    let bulge = Angle::from_degrees(crate::num::asin(half / r).degrees() / 2.0).tan();
    let at = |x: f64, y: f64, bulge| Vertex { at: centre + (x, y), bulge };
    Outline::new([at(-x, -half, 0.0), at(x, -half, bulge), at(x, half, 0.0), at(-x, half, bulge)])
}

/// A round hole with a keyway upwards: `key` wide, its bottom `depth` from the far side of the round.
///
/// # Errors
/// When a dimension is not positive or the key does not project from the round.
pub(crate) fn keyway(
    centre: Point,
    diameter: f64,
    key: f64,
    depth: f64,
) -> Result<Outline, OutlineError> {
    positive(&[diameter, key, depth])?;
    let r = diameter / 2.0;
    if key / 2.0 >= r || depth <= diameter {
        return Err(OutlineError::Measures(
            "the key must project from the diameter, and be narrower",
        ));
    }
    let (half, top) = (key / 2.0, depth - r);
    let y = (r * r - half * half).sqrt();
    let sweep = 360.0 - 2.0 * crate::num::asin(half / r).degrees();
    let bulge = Angle::from_degrees(sweep / 4.0).tan();
    let at = |x: f64, y: f64, bulge| Vertex { at: centre + (x, y), bulge };
    Outline::new([at(half, y, 0.0), at(half, top, 0.0), at(-half, top, 0.0), at(-half, y, bulge)])
}

/// A keyhole: a round hole of a diameter `head` about a centre, and a slot of a width `neck` from it
/// to a point `along` to the right, where the neck of a screw or hook rests.
///
/// # Errors
/// When a dimension is not positive, or what passes the head is not kept at the end of the slot.
pub(crate) fn keyhole(
    centre: Point,
    head: f64,
    neck: f64,
    along: f64,
) -> Result<Outline, OutlineError> {
    positive(&[head, neck, along])?;
    if neck >= head || along <= head / 2.0 {
        return Err(OutlineError::Measures(
            "a keyhole holds nothing unless its neck is narrower than the head and ends beyond the round hole",
        ));
    }
    let (r, half) = (head / 2.0, neck / 2.0);
    let x = (r * r - half * half).sqrt();
    let sweep = 360.0 - 2.0 * crate::num::asin(half / r).degrees();
    let round = Angle::from_degrees(sweep / 4.0).tan();
    let at = |x: f64, y: f64, bulge| Vertex { at: centre + (x, y), bulge };
    let corners =
        [at(x, half, round), at(x, -half, 0.0), at(along, -half, 1.0), at(along, half, 0.0)];
    Outline::new(corners)
}

fn positive(measures: &[f64]) -> Result<(), OutlineError> {
    if measures.iter().any(|m| !m.is_finite()) {
        return Err(OutlineError::NotFinite);
    }
    let words = "every dimension must be more than 0";
    if measures.iter().all(|m| *m > 0.0) { Ok(()) } else { Err(OutlineError::Measures(words)) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::cut;
    use crate::geom::unite;

    const PI: f64 = crate::num::PI;

    #[test]
    fn areas_are_those_of_the_formulas() {
        let o = Point::new(7.0, -3.0);
        let area = |outline: Result<Outline, OutlineError>| outline.unwrap().area();
        let near = |a: f64, b: f64| assert!((a - b).abs() < 1e-9, "{a} is not {b}");
        near(area(disc(o, 5.0)), 25.0 * PI);
        near(area(slot(o, 30.0, 8.0)), 22.0 * 8.0 + 16.0 * PI);
        near(area(slot(o, 8.0, 8.0)), 16.0 * PI);
        near(area(rectangle(o, 40.0, 20.0, 4.0)), 800.0 - 16.0 * (4.0 - PI));
        near(area(rectangle(o, 20.0, 20.0, 10.0)), 100.0 * PI);
        near(area(hexagon(o, 16.0)), 16.0 * 16.0 * 3f64.sqrt() / 2.0);
    }

    #[test]
    fn flats_and_keys_agree_with_cutting_them() {
        let o = Point::ZERO;
        let round = disc(o, 10.0).unwrap();
        let bar = rectangle(o, 40.0, 14.0, 0.0).unwrap();
        let (outside, _) = cut(&round, &bar).unwrap();
        let rest: f64 = outside.iter().map(Outline::area).sum();
        let flat = double_flat(o, 20.0, 14.0).unwrap();
        assert!((flat.area() - (round.area() - rest)).abs() < 1e-6);
        let key = rectangle(Point::new(0.0, 6.5), 6.0, 13.0, 0.0).unwrap();
        let (whole, gaps) = unite(&round, &key).unwrap();
        assert!(gaps.is_empty());
        let both = unite(&disc(o, 8.5).unwrap(), &slot(o + (11.0, 0.0), 31.0, 9.0).unwrap());
        let both = both.unwrap().0[0].area();
        assert!((keyhole(o, 17.0, 9.0, 22.0).unwrap().area() - both).abs() < 1e-6);
        assert!((keyway(o, 20.0, 6.0, 23.0).unwrap().area() - whole[0].area()).abs() < 1e-6);
    }

    #[test]
    fn impossible_measures_are_refused() {
        let o = Point::ZERO;
        assert!(disc(o, 0.0).is_err() && disc(o, f64::NAN).is_err());
        assert!(slot(o, 5.0, 8.0).is_err());
        assert!(rectangle(o, 10.0, 10.0, 6.0).is_err());
        assert!(keyhole(o, 9.0, 9.0, 20.0).is_err() && keyhole(o, 17.0, 9.0, 8.5).is_err());
        assert!(double_flat(o, 10.0, 12.0).is_err() && keyway(o, 10.0, 3.0, 9.0).is_err());
    }
}

//! Where a round tube crosses a plate.

use crate::geom::biarc::biarc;
use crate::geom::outline::Outline;
use crate::geom::outline::OutlineError;
use crate::geom::outline::Vertex;
use crate::geom::place::Place;
use crate::num;
use crate::num::Angle;
use kurbo::Point;
use kurbo::Vec2;
use thiserror::Error;

/// A round tube and the plate it crosses, seen in the plane of the plate.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Saddle {
    /// Outside diameter of the tube, mm.
    pub tube: f64,
    /// Angle between the tube's axis and the plate: 90° is square to it, 0° along it.
    pub lean: Angle,
    /// How far the axis passes above mid-thickness of the plate over the origin, mm.
    pub aside: f64,
    /// Thickness of the plate that must clear the tube, mm. The cut is square to the plate.
    pub thickness: f64,
    /// How far a tube that lies along the plate is cut either way, mm.
    pub reach: f64,
}

/// Why there is no saddle.
#[derive(Clone, Copy, Debug, PartialEq, Error)]
pub enum SaddleError {
    /// The tube does not reach the plate.
    #[error("the tube passes {0:.3} mm above the plate and does not meet it")]
    Misses(f64),
    /// Neither along the plate nor steep enough to intersect it.
    #[error("the angle between tube and plate is 0° or at least {FLATTEST}°, not {0}")]
    Flat(Angle),
    /// The dimensions make no shape.
    #[error(transparent)]
    Outline(#[from] OutlineError),
}

/// How far the arcs may leave the true ellipse, mm. The promise is 0.01.
const CLOSE: f64 = 0.005;

/// Minimum lean of a tube that crosses, degrees: there the cut is 19 diameters long. Our choice.
const FLATTEST: f64 = 3.0;

impl Saddle {
    /// The area the tube removes from the plate: its axis runs along x and crosses over the origin.
    ///
    /// A tube that leans by θ meets each layer of the plate in an ellipse of half axes
    /// r/sin θ and r; over the thickness t the layers shift by t/tan θ along it. The cut
    /// clears them all, so it is two half ellipses with straight flanks between.
    ///
    /// # Errors
    /// When a dimension is not positive, the tube misses the plate or hardly crosses it.
    pub fn outline(&self) -> Result<Outline, SaddleError> {
        let Self { tube, lean, aside, thickness, reach } = *self;
        let r = tube / 2.0;
        if ![tube, lean.degrees(), aside, thickness, reach].iter().all(|x| x.is_finite()) {
            return Err(OutlineError::NotFinite.into());
        }
        if r <= 0.0 || thickness < 0.0 {
            return Err(OutlineError::Measures("every dimension must be more than 0").into());
        }
        if !(0.0..=90.0).contains(&lean.degrees()) {
            return Err(
                OutlineError::Measures("the angle between tube and plate is 0° to 90°").into()
            );
        }
        if lean.degrees() > 0.0 && lean.degrees() < FLATTEST {
            return Err(SaddleError::Flat(lean));
        }
        if lean == Angle::ZERO {
            let nearest = (aside.abs() - thickness / 2.0).max(0.0);
            if nearest >= r {
                return Err(SaddleError::Misses(nearest));
            }
            let half = (r * r - nearest * nearest).sqrt();
            return Ok(crate::geom::shape::rectangle(Point::ZERO, 2.0 * reach, 2.0 * half, 0.0)?);
        }
        let slope = 1.0 / lean.tan();
        let centre = -aside * slope;
        let shift = thickness / 2.0 * slope;
        let quarter = ellipse_quarter(r / lean.sin(), r);
        let mut vertices = Vec::new();
        for (turned, end) in [(false, centre + shift), (true, centre - shift)] {
            let place = Place {
                mirrored: false,
                rotation: Angle::from_degrees(if turned { 180.0 } else { 0.0 }),
                shift: Vec2::new(end, 0.0),
            };
            vertices.extend(
                half_ellipse(&quarter)
                    .into_iter()
                    .map(|v| Vertex { at: place.apply(v.at), bulge: v.bulge }),
            );
        }
        Ok(Outline::new(vertices)?)
    }
}

/// The right half of an ellipse from bottom to top, made of the quarter and its mirror image.
fn half_ellipse(quarter: &[Vertex]) -> Vec<Vertex> {
    let last = quarter.len() - 1;
    let mut half: Vec<Vertex> = (0..last)
        .map(|i| {
            let (from, before) = (quarter[last - i], quarter[last - i - 1]);
            Vertex { at: Point::new(from.at.x, -from.at.y), bulge: before.bulge }
        })
        .collect();
    half.extend_from_slice(quarter);
    half
}

/// A quarter of an ellipse from (a, 0) to (0, b) as arcs; the last vertex has no arc.
fn ellipse_quarter(a: f64, b: f64) -> Vec<Vertex> {
    let mut pieces = 1;
    loop {
        let chain = biarcs(a, b, pieces);
        if deviation(&chain, a, b) <= CLOSE || pieces > 512 {
            return chain;
        }
        pieces *= 2;
    }
}

/// Pairs of arcs with the ellipse's own tangents at `pieces + 1` points.
fn biarcs(a: f64, b: f64, pieces: usize) -> Vec<Vertex> {
    let at = |i: usize| Angle::from_degrees(90.0 * i as f64 / pieces as f64);
    let point = |t: Angle| Point::new(a * t.cos(), b * t.sin());
    let tangent = |t: Angle| Vec2::new(-a * t.sin(), b * t.cos()).normalize();
    let mut chain = Vec::with_capacity(2 * pieces + 1);
    for i in 0..pieces {
        let (from, to) = (at(i), at(i + 1));
        chain.extend(biarc((point(from), tangent(from)), (point(to), tangent(to))));
    }
    chain.push(Vertex { at: Point::new(0.0, b), bulge: 0.0 });
    chain
}

/// How far the arcs leave the ellipse, to first order, mm.
fn deviation(chain: &[Vertex], a: f64, b: f64) -> f64 {
    let off = |p: Point| {
        let value = (p.x / a) * (p.x / a) + (p.y / b) * (p.y / b) - 1.0;
        value.abs() / (2.0 * num::hypot(p.x / (a * a), p.y / (b * b)))
    };
    let mut max = 0.0_f64;
    for pair in chain.windows(2) {
        let edge =
            crate::geom::edge::Edge { from: pair[0].at, to: pair[1].at, bulge: pair[0].bulge };
        for i in 1..16 {
            max = max.max(off(edge.point_at(f64::from(i) / 16.0)));
        }
    }
    max
}

#[cfg(test)]
mod tests {
    use super::*;

    fn saddle(lean: f64, thickness: f64) -> Saddle {
        Saddle { tube: 38.0, lean: Angle::from_degrees(lean), aside: 0.0, thickness, reach: 100.0 }
    }

    #[test]
    fn a_tube_square_to_the_plate_cuts_a_circle() {
        let outline = saddle(90.0, 6.0).outline().unwrap();
        let (centre, radius) = outline.circle().unwrap();
        assert!(centre.to_vec2().hypot() < 1e-9 && (radius - 19.0).abs() < 1e-9);
    }

    /// Points of the tube's surface, found in space, lie within 0.01 mm of the cut of a
    /// thin plate, and none of a thick one lies outside its cut.
    #[test]
    fn the_cut_is_the_tube_in_the_plate() {
        for lean in [10.0, 30.0, 45.0, 60.0, 80.0] {
            for aside in [0.0, 7.0] {
                for thickness in [0.0, 4.0] {
                    let cut = Saddle { aside, ..saddle(lean, thickness) }.outline().unwrap();
                    let (sin, cos) =
                        (Angle::from_degrees(lean).sin(), Angle::from_degrees(lean).cos());
                    for i in 0..360 {
                        let phi = Angle::from_degrees(f64::from(i));
                        for z in [-thickness / 2.0, 0.0, thickness / 2.0] {
                            // Axis (0, 0, aside) + s(cos, 0, sin); round it r(cos φ n + sin φ y).
                            let (up, across) = (19.0 * phi.cos(), 19.0 * phi.sin());
                            let s = (z - aside - up * cos) / sin;
                            let p = Point::new(s * cos - up * sin, across);
                            if thickness == 0.0 {
                                assert!(cut.distance(p) < 0.01, "{lean} {aside} {i}");
                            } else {
                                assert!(cut.contains(p) || cut.distance(p) < 0.01);
                            }
                        }
                    }
                }
            }
        }
    }

    #[test]
    fn a_tube_along_the_plate_cuts_a_strip() {
        let strip = Saddle { aside: 12.0, ..saddle(0.0, 4.0) }.outline().unwrap();
        let half = (19.0f64 * 19.0 - 100.0).sqrt();
        assert!((strip.bounds().max.y - half).abs() < 1e-9);
        let above = Saddle { aside: 30.0, ..saddle(0.0, 4.0) }.outline();
        assert_eq!(above, Err(SaddleError::Misses(28.0)));
    }
}

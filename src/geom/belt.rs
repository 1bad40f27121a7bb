//! The tight outline round discs and points, as a belt lies round pulleys.

use crate::geom::outline::Outline;
use crate::geom::outline::OutlineError;
use crate::geom::outline::Vertex;
use crate::geom::ray::heading;
use crate::num::Angle;
use kurbo::Point;

/// A disc to lay the belt round; radius 0 is a point.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Disc {
    /// Its centre.
    pub centre: Point,
    /// In mm, 0 or more.
    pub radius: f64,
}

/// The belt round the discs: straight where it runs from disc to disc, an arc where it lies on one.
/// It is the outline of their convex hull.
///
/// # Errors
/// When there is no disc, a radius is negative, or everything lies on one line.
pub fn belt(discs: &[Disc]) -> Result<Outline, OutlineError> {
    let finite = |d: &Disc| d.centre.is_finite() && d.radius.is_finite();
    if !discs.iter().all(finite) {
        return Err(OutlineError::NotFinite);
    }
    if discs.is_empty() || discs.iter().any(|d| d.radius < 0.0) {
        return Err(OutlineError::Measures("a belt needs at least one disc, of radius 0 or more"));
    }
    let start = lowest(discs);
    let mut stops = vec![(start, -90.0)];
    // Each step turns the outward normal onward; once round is 360°. Twice as many
    // steps as pairs of discs cannot happen.
    for _ in 0..=2 * discs.len() * discs.len() {
        let (on, normal) = stops[stops.len() - 1];
        let Some((next, at)) = next_stop(discs, on, normal) else { break };
        if at >= 270.0 - 1e-9 {
            break;
        }
        stops.push((next, at));
    }
    if stops.len() == 1 {
        return crate::geom::shape::disc(discs[start].centre, discs[start].radius);
    }
    let mut vertices = Vec::new();
    for (i, (on, from)) in stops.iter().enumerate() {
        let to = stops.get(i + 1).map_or(270.0, |s| s.1);
        let disc = discs[*on];
        let at = |degrees: f64| {
            let a = Angle::from_degrees(degrees);
            disc.centre + heading(a) * disc.radius
        };
        let sweep = to - from;
        // No arc here is over half a circle: it is cut in two.
        let pieces = if sweep > 180.0 { 2.0 } else { 1.0 };
        let bulge = Angle::from_degrees(sweep / pieces / 4.0).tan();
        for piece in 0..pieces as usize {
            let turned = from + sweep * piece as f64 / pieces;
            vertices.push(Vertex { at: at(turned), bulge });
        }
        vertices.push(Vertex { at: at(to), bulge: 0.0 });
    }
    Outline::new(vertices)
}

/// The disc that reaches lowest; of those the rightmost, so that the belt leaves it upwards.
fn lowest(discs: &[Disc]) -> usize {
    let mut best = 0;
    for (i, d) in discs.iter().enumerate() {
        let (low, best_low) = (d.centre.y - d.radius, discs[best].centre.y - discs[best].radius);
        let level = (low - best_low).abs() < crate::geom::near::NEAR;
        if low < best_low && !level || level && d.centre.x > discs[best].centre.x {
            best = i;
        }
    }
    best
}

/// The disc the belt runs to next from disc `on`, having turned its normal to `normal` degrees,
/// and the normal of that run.
fn next_stop(discs: &[Disc], on: usize, normal: f64) -> Option<(usize, f64)> {
    let here = discs[on];
    let mut best: Option<(usize, f64, f64)> = None;
    for (i, there) in discs.iter().enumerate() {
        let between = there.centre - here.centre;
        let distance = between.hypot();
        // A disc inside the other has no tangent.
        let ratio = (here.radius - there.radius) / distance;
        if i == on || distance < crate::geom::near::NEAR || ratio.abs() >= 1.0 {
            continue;
        }
        let along = Angle::of(between.x, between.y).degrees();
        let tangent = along - crate::num::acos(ratio).degrees();
        let onward = (tangent - normal).rem_euclid(360.0);
        let onward = if onward > 360.0 - 1e-9 { 0.0 } else { onward };
        let run = distance;
        let better = best.is_none_or(|(_, turned, length)| {
            onward < turned - 1e-9 || (onward < turned + 1e-9 && run > length)
        });
        if better {
            best = Some((i, onward, run));
        }
    }
    best.map(|(i, turned, _)| (i, normal + turned))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn disc(x: f64, y: f64, radius: f64) -> Disc {
        Disc { centre: Point::new(x, y), radius }
    }

    #[test]
    fn two_equal_discs_make_a_slot() {
        let outline = belt(&[disc(0.0, 0.0, 5.0), disc(20.0, 0.0, 5.0)]).unwrap();
        assert!((outline.area() - (200.0 + 25.0 * crate::num::PI)).abs() < 1e-9);
        assert_eq!(outline.vertices().len(), 4);
    }

    #[test]
    fn an_eye_on_a_foot_touches_both_ends_of_the_foot() {
        let outline =
            belt(&[disc(0.0, 30.0, 10.0), disc(-20.0, 0.0, 0.0), disc(20.0, 0.0, 0.0)]).unwrap();
        assert_eq!(outline.vertices().len(), 4);
        assert_eq!(outline.vertices()[0].at, Point::new(-20.0, 0.0));
        // Tangent from (20, 0) to the disc: √(20² + 30² − 10²) long.
        let tangent = outline.edges().find(|e| e.from == Point::new(20.0, 0.0)).unwrap();
        assert!((tangent.length() - 1200f64.sqrt()).abs() < 1e-9);
    }

    #[test]
    fn discs_within_others_and_on_one_line_do_not_matter() {
        let plain = belt(&[disc(0.0, 0.0, 5.0), disc(30.0, 0.0, 5.0)]).unwrap();
        let more = belt(&[
            disc(0.0, 0.0, 5.0),
            disc(1.0, 0.0, 2.0),
            disc(12.0, 0.0, 5.0),
            disc(30.0, 0.0, 5.0),
        ])
        .unwrap();
        assert!((plain.area() - more.area()).abs() < 1e-9);
        assert!(belt(&[disc(0.0, 0.0, 0.0), disc(3.0, 0.0, 0.0)]).is_err());
        assert!(
            (belt(&[disc(1.0, 1.0, 4.0)]).unwrap().area() - 16.0 * crate::num::PI).abs() < 1e-9
        );
    }
}

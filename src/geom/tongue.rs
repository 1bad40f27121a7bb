//! Tongues on an edge, and their slots.
//!
//! A cutter leaves every inside corner round, by half the width of its cut. So that square plates
//! seat, the corners are cut clear: beside the root of a tongue a half round is cut into the
//! shoulder, and each corner of a slot is the centre of a round.

use crate::geom::edge::Edge;
use crate::geom::near::NEAR;
use crate::geom::outline::Outline;
use crate::geom::outline::OutlineError;
use crate::geom::outline::Vertex;
use crate::geom::shape::cornered;
use crate::num::Angle;
use kurbo::Point;
use kurbo::Vec2;
use thiserror::Error;

/// The dimensions of a tongue, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Tongue {
    /// Along the edge.
    pub width: f64,
    /// How far it projects.
    pub depth: f64,
    /// Radius of the half rounds beside its root; 0 leaves them out.
    pub relief: f64,
}

/// Why tongues cannot be added to an edge.
#[derive(Clone, Debug, PartialEq, Error)]
pub(crate) enum TongueError {
    /// A dimension is not positive.
    #[error("a tongue needs a width and a depth of more than 0 mm")]
    Measures,
    /// The outline has no such straight edge.
    #[error("the edge is gone, or not straight at the tongues")]
    NoEdge,
    /// Tongue and reliefs do not fit at their position.
    #[error("the tongues with their reliefs need {needed:.3} mm, but the edge has {there:.3} mm")]
    Room {
        /// Of one tongue and the metal beside it, mm.
        needed: f64,
        /// The available length, mm.
        there: f64,
    },
    /// They run into something else.
    #[error(transparent)]
    Outline(#[from] OutlineError),
}

/// The outline with tongues on one of its straight edges. `edge` runs with the metal on
/// its left; the centre of each tongue is measured from its start, in rising order.
///
/// # Errors
/// When the edge is not there or too short, or the tongues run into something.
pub(crate) fn tongues(
    outline: &Outline,
    edge: &Edge,
    middles: &[f64],
    tongue: Tongue,
) -> Result<Outline, TongueError> {
    let Tongue { width, depth, relief } = tongue;
    if !(width > 0.0 && depth > 0.0 && relief >= 0.0) {
        return Err(TongueError::Measures);
    }
    let half = width / 2.0 + 2.0 * relief;
    let ends = [-half, edge.length() + half];
    let stops: Vec<f64> = [&ends[..1], middles, &ends[1..]].concat();
    for pair in stops.windows(2) {
        let there = pair[1] - pair[0];
        if there < 2.0 * half - NEAR {
            return Err(TongueError::Room { needed: 2.0 * half, there: there.max(0.0) });
        }
    }
    let along = edge.direction_at_start();
    let out = Vec2::new(along.y, -along.x);
    let on = |p: Point| (p - edge.from).cross(along).abs() < 10.0 * NEAR;
    let at = |p: Point| (p - edge.from).dot(along);
    let holds = |e: &Edge| {
        let wide = at(e.from) < NEAR && at(e.to) > edge.length() - NEAR;
        e.is_line() && on(e.from) && on(e.to) && wide
    };
    let found = outline.edges().position(|e| holds(&e)).ok_or(TongueError::NoEdge)?;
    let mut chain = outline.vertices()[..=found].to_vec();
    for middle in middles {
        let mut step = |from_middle: f64, depth: f64, bulge: f64| {
            let at = edge.from + along * (middle + from_middle) + out * depth;
            chain.push(Vertex { at, bulge });
        };
        let side = width / 2.0;
        // A half round to the left of travel lies in the metal.
        let round = if relief > 0.0 { -1.0 } else { 0.0 };
        step(-half, 0.0, round);
        step(-side, 0.0, 0.0);
        step(-side, depth, 0.0);
        step(side, depth, 0.0);
        step(side, 0.0, round);
        step(half, 0.0, 0.0);
    }
    chain.extend(&outline.vertices()[found + 1..]);
    Ok(Outline::new(chain)?)
}

/// A slot: `length` along x, `width` across, each corner the centre of a round of
/// radius `relief`; 0 leaves the corners sharp.
///
/// # Errors
/// When a dimension is not positive, or the rounds leave no straight side.
pub(crate) fn tongue_slot(
    centre: Point,
    length: f64,
    width: f64,
    relief: f64,
) -> Result<Outline, OutlineError> {
    if relief == 0.0 {
        return crate::geom::shape::rectangle(centre, length, width, 0.0);
    }
    let r = relief;
    if !(r > 0.0 && length > 2.0 * r && width > 2.0 * r) {
        return Err(OutlineError::Empty);
    }
    // Three quarters of a round, outside the corner.
    cornered(centre, (length, width), r, Angle::from_degrees(270.0))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::disc;
    use crate::geom::edge_distance;
    use crate::geom::outline_distance;
    use crate::geom::rectangle;

    fn bar() -> (Outline, Edge) {
        let outline = rectangle(Point::new(50.0, 10.0), 100.0, 20.0, 0.0).unwrap();
        (outline, Edge::line(Point::new(100.0, 20.0), Point::new(0.0, 20.0)))
    }

    #[test]
    fn tongues_add_their_area_and_take_their_reliefs() {
        let (outline, edge) = bar();
        let tongue = Tongue { width: 12.0, depth: 4.0, relief: 0.8 };
        let made = tongues(&outline, &edge, &[25.0, 75.0], tongue).unwrap();
        let wanted = 2000.0 + 2.0 * (48.0 - crate::num::PI * 0.64);
        assert!((made.area() - wanted).abs() < 1e-9);
        assert!((made.bounds().max.y - 24.0).abs() < 1e-12);
        assert!(made.contains(Point::new(25.0, 22.0)) && !made.contains(Point::new(50.0, 22.0)));
    }

    /// Over a grid of values: the clearance is `fit` on each of the four sides, and a
    /// cutter whose kerf is twice the relief reaches the corners.
    #[test]
    fn a_tongue_in_its_slot_leaves_the_fit_on_each_side() {
        for plate in [2.0, 4.0, 10.0] {
            for width in [6.0, 12.0, 40.0] {
                for fit in [0.05, 0.1, 0.4] {
                    for relief in [0.3, 0.75] {
                        let o = Point::new(3.0, 4.0);
                        let (length, across) = (width + 2.0 * fit, plate + 2.0 * fit);
                        let slot = tongue_slot(o, length, across, relief).unwrap();
                        let tongue = rectangle(o, width, plate, 0.0).unwrap();
                        let gap = outline_distance(&slot, &tongue);
                        assert!((gap - fit).abs() < 1e-9, "{plate} {width} {fit} {relief}: {gap}");
                        for side in tongue.edges() {
                            let to = |e: Edge| edge_distance(&side, &e);
                            let gap = slot.edges().map(to).fold(f64::INFINITY, f64::min);
                            assert!((gap - fit).abs() < 1e-9, "{side:?}: {gap}");
                        }
                        // Where the sides would meet there is room all round for the cutter.
                        let square = rectangle(o, length, across, 0.0).unwrap();
                        for v in square.vertices() {
                            let room = slot.distance(v.at);
                            assert!(slot.contains(v.at) && (room - relief).abs() < 1e-9);
                        }
                    }
                }
            }
        }
    }

    #[test]
    fn beside_a_relieved_root_the_cutter_reaches_the_shoulder() {
        let (outline, edge) = bar();
        let relief = 0.8;
        let tongue = Tongue { width: 12.0, depth: 4.0, relief };
        let made = tongues(&outline, &edge, &[50.0], tongue).unwrap();
        // The cutter's round, tangent to the tongue with its centre on the shoulder.
        let cutter = disc(Point::new(56.0 + relief, 20.0), relief - 1e-3).unwrap();
        let middle = Point::new(56.0 + relief, 20.0 - relief / 2.0);
        assert!(cutter.contains(middle) && !made.contains(middle));
        assert!(outline_distance(&made, &cutter) > 0.9e-3);
    }

    #[test]
    fn what_does_not_fit_is_refused() {
        let (outline, edge) = bar();
        let tongue = Tongue { width: 12.0, depth: 4.0, relief: 1.0 };
        let on = |edge: &Edge, at: &[f64]| tongues(&outline, edge, at, tongue).unwrap_err();
        assert_eq!(on(&edge, &[20.0, 30.0]), TongueError::Room { needed: 16.0, there: 10.0 });
        assert!(matches!(on(&edge, &[5.0]), TongueError::Room { .. }));
        assert!(matches!(on(&edge, &[95.0]), TongueError::Room { .. }));
        assert_eq!(on(&edge.reversed(), &[50.0]), TongueError::NoEdge);
        let thin = Tongue { depth: 0.0, ..tongue };
        assert_eq!(tongues(&outline, &edge, &[50.0], thin), Err(TongueError::Measures));
        assert_eq!(tongue_slot(Point::ZERO, 12.0, 2.0, 1.0), Err(OutlineError::Empty));
    }
}

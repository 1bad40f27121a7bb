//! Bodies of a view that no part makes as they are in it: round bars, and solids in other places.

use crate::geom::Frame;
use crate::geom::Point;
use crate::solid::Curve;
use crate::solid::Side;
use crate::solid::Solid;
use crate::solid::SolidEdge;
use crate::solid::Surface;

/// A round bar of a radius along an axis from one place on it to another.
pub(crate) fn bar(axis: &Frame, radius: f64, [low, high]: [f64; 2]) -> Solid {
    let ring = |z: f64| [radius, -radius].map(|x| axis.point(Point::new(x, 0.0), z));
    let mut points = ring(low).to_vec();
    points.extend(ring(high));
    let centre = |z: f64| Frame { origin: axis.point(Point::ZERO, z), ..*axis };
    let circle =
        |from, to, z| SolidEdge { from, to, curve: Curve::Circle { frame: centre(z), radius } };
    let line = |from, to| SolidEdge { from, to, curve: Curve::Line };
    let edges = vec![
        circle(0, 1, low),
        circle(1, 0, low),
        circle(2, 3, high),
        circle(3, 2, high),
        line(0, 2),
        line(1, 3),
    ];
    let round = |loops| Side {
        surface: Surface::Cylinder { frame: *axis, radius },
        outward: true,
        loops: vec![loops],
    };
    let flat = |z, outward, loops| Side {
        surface: Surface::Plane(centre(z)),
        outward,
        loops: vec![loops],
    };
    let sides = vec![
        round(vec![(0, true), (5, true), (2, false), (4, false)]),
        round(vec![(1, true), (4, true), (3, false), (5, false)]),
        flat(low, false, vec![(1, false), (0, false)]),
        flat(high, true, vec![(2, true), (3, true)]),
    ];
    Solid { points, edges, sides, volume: 0.0, approximate: false }
}

/// A solid where a frame puts it.
pub(crate) fn placed(solid: &Solid, at: &Frame) -> Solid {
    let mut solid = solid.clone();
    solid.points.iter_mut().for_each(|p| *p = at.at(*p));
    for edge in &mut solid.edges {
        match &mut edge.curve {
            Curve::Line => {}
            Curve::Circle { frame: own, .. } => *own = at.within(own),
            Curve::Cubics(points) => points.iter_mut().for_each(|p| *p = at.at(*p)),
        }
    }
    for side in &mut solid.sides {
        match &mut side.surface {
            Surface::Plane(own)
            | Surface::Cylinder { frame: own, .. }
            | Surface::Cone { frame: own, .. }
            | Surface::Torus { frame: own, .. } => *own = at.within(own),
            Surface::Ruled(rails) => {
                rails.iter_mut().flatten().for_each(|p| *p = at.at(*p));
            }
        }
    }
    solid
}

//! Countersinks and counterbores in the solid: true cones, cylinders and floors.
//!
//! A hole with one is drawn at its final size.

use crate::geom::Edge;
use crate::geom::Frame;
use crate::geom::Point;
use crate::num::Angle;
use crate::part::Recess;
use crate::solid::Builder;
use crate::solid::Curve;
use crate::solid::Side;
use crate::solid::Surface;
use crate::solid::curve::flipped;
use crate::solid::patch::Lay;
use crate::solid::sunk::Sunk;
use crate::solid::sunk::Work;

/// A circle of the solid: its corners, and its edges from each to the next.
pub(super) struct Ring {
    pub(super) corners: Vec<usize>,
    edges: Vec<usize>,
}

impl Ring {
    /// Its edges, passed from start to end, or the other way round.
    pub(super) fn passed(&self, forward: bool) -> Vec<(usize, bool)> {
        let all = self.edges.iter().map(|edge| (*edge, forward));
        if forward { all.collect() } else { all.rev().collect() }
    }
}

impl Builder<'_> {
    /// Adds the walls of a hole with its countersink or counterbore; returns its circles in the
    /// upper and in the lower side.
    pub(super) fn sunk(
        &mut self,
        lay: &Lay,
        edges: &[Edge],
        sunk: &Sunk,
    ) -> [Vec<(usize, bool)>; 2] {
        let recess = match sunk.what {
            Work::Recess(recess) => recess,
            Work::Flare(flare) => return self.flared(lay, edges, sunk, &flare),
        };
        let Recess { angle, hole, diameter, depth, .. } = recess;
        let up = recess.is_up();
        let (small, large) = (hole / 2.0, diameter / 2.0);
        let (surface, floor, far) = match up {
            true => (0.0, -depth, -self.thickness),
            false => (-self.thickness, depth - self.thickness, 0.0),
        };
        let mut ring = |radius, height| self.ring(lay, edges, sunk.centre, radius, height);
        let (mouth, seat, end) = (ring(large, surface), ring(small, floor), ring(small, far));
        let foot = angle.is_none().then(|| ring(large, floor));
        self.wall(&[&end, &seat], up, lay.cylinder(sunk.centre, small, floor));
        let plane = lay.side(up, floor).0;
        match (angle, &foot) {
            (Some(angle), _) => {
                let cone =
                    lay.cone(sunk.centre, small, floor, up, Angle::from_degrees(angle / 2.0));
                self.wall(&[&seat, &mouth], up, cone);
            }
            (None, None) => {}
            (None, Some(foot)) => {
                self.wall(&[foot, &mouth], up, lay.cylinder(sunk.centre, large, floor));
                let loops = vec![foot.passed(!up), seat.passed(up)];
                self.solid.sides.push(Side { surface: plane, outward: up, loops });
            }
        }
        let (upper, lower) = if up { (&mouth, &end) } else { (&end, &mouth) };
        [upper.passed(true), lower.passed(false)]
    }

    /// A circle about a centre at a height, split where the edges of the hole are.
    pub(super) fn ring(
        &mut self,
        lay: &Lay,
        edges: &[Edge],
        centre: Point,
        radius: f64,
        height: f64,
    ) -> Ring {
        let scaled = |p: Point| centre + (p - centre).normalize() * radius;
        let first = self.solid.points.len();
        self.solid.points.extend(edges.iter().map(|e| lay.point(scaled(e.from), height)));
        let corners: Vec<usize> = (first..self.solid.points.len()).collect();
        let made = edges.iter().enumerate().map(|(k, edge)| {
            let to = corners[(k + 1) % corners.len()];
            let edge = Edge { from: scaled(edge.from), to: scaled(edge.to), bulge: edge.bulge };
            (corners[k], to, lay.curve(&edge, height))
        });
        let made: Vec<_> = made.collect();
        let edges = made.into_iter().map(|(from, to, curve)| self.edge(from, to, curve)).collect();
        Ring { corners, edges }
    }

    /// The wall between two circles, the one that is farther from the mouth first.
    fn wall(&mut self, [inner, outer]: &[&Ring; 2], up: bool, surface: Surface) {
        let (low, high) = if up { (inner, outer) } else { (outer, inner) };
        self.strip([low, high], surface, false);
    }

    /// The wall between two circles, the one that is nearer to the bottom side along the section
    /// first.
    pub(super) fn strip(&mut self, [low, high]: [&Ring; 2], surface: Surface, outward: bool) {
        let ends = low.corners.iter().zip(&high.corners);
        let ends: Vec<(usize, usize)> = ends.map(|(a, b)| (*a, *b)).collect();
        let through: Vec<usize> =
            ends.into_iter().map(|(a, b)| self.edge(a, b, Curve::Line)).collect();
        self.between([low, high], through, surface, outward);
    }

    /// The wall between two circles, by the edges from each corner of the lower one to its like.
    pub(super) fn between(
        &mut self,
        [low, high]: [&Ring; 2],
        through: Vec<usize>,
        surface: Surface,
        outward: bool,
    ) {
        for (k, (bottom, top)) in low.edges.iter().zip(&high.edges).enumerate() {
            let next = through[(k + 1) % through.len()];
            let ring = vec![(*bottom, true), (next, true), (*top, false), (through[k], false)];
            let surface = surface.clone();
            self.solid.sides.push(Side { surface, outward, loops: vec![ring] });
        }
    }
}

impl Lay {
    /// The frame in which the part lies at a point, its z out of the top side.
    pub(super) fn upright(&self, at: Point, height: f64) -> Frame {
        match self {
            Self::Flat(frame) => Frame { origin: frame.point(at, height), ..*frame },
            // Only faces have anything sunk into them.
            Self::Rolled(bend) => Frame { origin: self.point(at, height), ..bend.start },
        }
    }

    fn cylinder(&self, at: Point, radius: f64, height: f64) -> Surface {
        Surface::Cylinder { frame: self.upright(at, height), radius }
    }

    /// A cone that is wider above, or below.
    pub(super) fn cone(
        &self,
        at: Point,
        radius: f64,
        height: f64,
        up: bool,
        half: Angle,
    ) -> Surface {
        let frame = self.upright(at, height);
        Surface::Cone { frame: if up { frame } else { flipped(frame) }, radius, half }
    }
}

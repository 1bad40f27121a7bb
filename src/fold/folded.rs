//! A formed part: its faces and bends in space.

use crate::flat::BendStrip;
use crate::geom::Edge;
use crate::geom::Frame;
use crate::geom::Point;
use crate::geom::Region;
use crate::geom::Space;
use crate::geom::Vec2;
use crate::geom::plus;
use crate::geom::times;
use crate::num::Angle;
use crate::part::along;

/// A part with its bends made, wholly or in part.
#[derive(Clone, Debug)]
pub struct Folded {
    /// The faces, in the order of the part.
    pub faces: Vec<FoldedFace>,
    /// The bends, in the order of the part.
    pub bends: Vec<FoldedBend>,
    /// The strip of each bend while it was flat, x along the bend from the origin of its start and
    /// y across it, from 0 to the allowance: without the areas cut at corners.
    pub strips: Vec<Region>,
}

impl Folded {
    /// What of some edges of a face is its metal's: bends take from their ends.
    pub fn left_of(&self, face: usize, edges: &[Edge]) -> Vec<Edge> {
        along(edges, &self.faces[face].region)
    }
}

/// A face in space.
#[derive(Clone, Debug)]
pub struct FoldedFace {
    /// Its index in the part.
    pub face: usize,
    /// Where its drawing lies.
    pub frame: Frame,
    /// Its metal, in the face's own drawing: cut back to where the bends begin, with its holes.
    pub region: Region,
}

/// A bend in space: a sector of a hollow cylinder, or a flat strip while it is not made.
#[derive(Clone, Copy, Debug)]
pub struct FoldedBend {
    /// Its index in the part.
    pub bend: usize,
    /// Where it begins. The origin is the end of that line on the top side; x runs along
    /// the bend, y across the strip away from the standing face, z out of the top side.
    pub start: Frame,
    /// Extent along x, mm.
    pub width: f64,
    /// Of its strip in the flat, in mm²: width × allowance without the areas cut at corners.
    pub area: f64,
    /// Length of the fibre that keeps its length, mm.
    pub allowance: f64,
    /// Of the sheet, mm.
    pub thickness: f64,
    /// Towards `start.z`, or away.
    pub up: bool,
    /// How far it is bent at present; 0 is flat.
    pub angle: Angle,
    /// Present inside radius, mm; infinite while flat.
    pub radius: f64,
}

impl FoldedBend {
    pub(super) fn new(
        bend: usize,
        standing: &Frame,
        strip: &BendStrip,
        up: bool,
        angle: Angle,
    ) -> Self {
        let begins = strip.begins;
        let along = begins.direction_at_start();
        let out = Vec2::new(along.y, -along.x);
        let start = Frame {
            origin: standing.point(begins.to, 0.0),
            x: standing.direction(-along),
            y: standing.direction(out),
            z: standing.z,
        };
        let thickness = strip.bend.thickness();
        let allowance = strip.bend.allowance();
        // The depth that keeps its length, such that the finished bend has its own radius
        // to the last digit even where a formula's constants are rounded.
        let depth = allowance / strip.bend.angle().radians() - strip.bend.radius();
        let radius = allowance / angle.radians() - depth;
        Self {
            bend,
            start,
            width: begins.length(),
            area: strip.area,
            allowance,
            thickness,
            up,
            angle,
            radius: if angle == Angle::ZERO { f64::INFINITY } else { radius },
        }
    }

    /// A point of the axis, at the end of the bend where `start` lies, and the axis's
    /// direction, which is `start.x`; none while it is flat.
    pub fn axis(&self) -> Option<(Space, Space)> {
        let height = if self.up { self.radius } else { -(self.radius + self.thickness) };
        height
            .is_finite()
            .then(|| (plus(self.start.origin, times(self.start.z, height)), self.start.x))
    }

    /// The frame on the top side after a share of the angle: 0 where the bend begins, 1
    /// where it ends, which is how the carried face lies.
    pub(crate) fn frame_at(&self, share: f64) -> Frame {
        let start = &self.start;
        if self.angle == Angle::ZERO {
            return Frame {
                origin: plus(start.origin, times(start.y, self.allowance * share)),
                ..*start
            };
        }
        let rotated = Angle::from_degrees(self.angle.degrees() * share);
        let (sin, cos) = (rotated.sin(), rotated.cos());
        // Radius of the top side, and which way it rises.
        let (radius, rise) =
            if self.up { (self.radius, 1.0) } else { (self.radius + self.thickness, -1.0) };
        // 1 − cos without loss at small angles.
        let half = Angle::from_degrees(rotated.degrees() / 2.0).sin();
        let moved =
            plus(times(start.y, radius * sin), times(start.z, rise * radius * 2.0 * half * half));
        Frame {
            origin: plus(start.origin, moved),
            x: start.x,
            y: plus(times(start.y, cos), times(start.z, rise * sin)),
            z: plus(times(start.z, cos), times(start.y, -rise * sin)),
        }
    }

    /// A point of the bend: `along` mm from its end, after a share of the angle, `height` mm
    /// above the top side.
    pub fn point(&self, along: f64, share: f64, height: f64) -> Space {
        self.frame_at(share).point(Point::new(along, 0.0), height)
    }

    /// Volume in mm³. All of the strip is drawn out alike, in the ratio of its mid-plane
    /// to the neutral axis.
    pub fn volume(&self) -> f64 {
        let flat = self.area * self.thickness;
        if self.angle == Angle::ZERO {
            return flat;
        }
        flat * self.angle.radians() * (self.radius + self.thickness / 2.0) / self.allowance
    }
}

impl Folded {
    /// Volume of the metal in mm³.
    pub fn volume(&self, thickness: f64) -> f64 {
        let faces: f64 = self.faces.iter().map(|f| f.region.area() * thickness).sum();
        faces + self.bends.iter().map(FoldedBend::volume).sum::<f64>()
    }
}

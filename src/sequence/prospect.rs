//! The blocks of a part at one moment, in the coordinates of a tool.

use crate::geom::Bounds;
use crate::geom::Point;
use crate::sequence::block_outline::BlockOutline;
use crate::sequence::body::Block;
use crate::sequence::body::Pose;
use crate::sequence::plane::Plane;
use std::cell::OnceCell;

/// A part in the coordinates of a tool.
pub(super) struct Prospect {
    pub(super) plane: Plane,
    /// In the order of the blocks.
    pub(super) blocks: Vec<Lies>,
}

/// How a block lies before a tool.
pub(super) struct Lies {
    /// Its corners, once they are needed: along the bend, towards the operator, up.
    corners: OnceCell<Vec<[f64; 3]>>,
    /// From where to where it reaches along the bend, mm.
    pub(super) along: [f64; 2],
    /// The rectangle round it, in the plane square to the bend.
    pub(super) around: Bounds,
    /// What of it counts before a tool of the whole length of the brake: one that stays clear of the
    /// sheet, one that is meant to touch it.
    pub(super) whole: [OnceCell<Vec<BlockOutline>>; 2],
}

impl Prospect {
    pub(super) fn new(plane: Plane, pose: &Pose) -> Self {
        let blocks = pose.all().map(|block| Lies::new(&plane, block)).collect();
        Self { plane, blocks }
    }
}

impl Lies {
    fn new(plane: &Plane, block: &Block) -> Self {
        let mut along = [f64::INFINITY, f64::NEG_INFINITY];
        let mut around = Bounds::EMPTY;
        for corner in &block.corners {
            let [x, u, v] = plane.seen(*corner);
            along = [along[0].min(x), along[1].max(x)];
            around = around.with(Point::new(u, v));
        }
        Self { corners: OnceCell::new(), along, around, whole: Default::default() }
    }

    /// The corners of the block that lies so.
    pub(super) fn corners(&self, plane: &Plane, block: &Block) -> &[[f64; 3]] {
        self.corners.get_or_init(|| block.corners.iter().map(|c| plane.seen(*c)).collect())
    }

    /// How far it lies beside a stretch of the bend line, mm.
    pub(super) fn beside(&self, [low, high]: [f64; 2]) -> f64 {
        (low - self.along[1]).max(self.along[0] - high).max(0.0)
    }
}

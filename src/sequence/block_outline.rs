//! A block of the part in the coordinates of a tool.

use crate::geom::Point;

/// The outline of a block as a tool sees it.
#[derive(Clone)]
pub(super) struct BlockOutline {
    pub(super) polygon: Vec<Point>,
    /// From the polygon to the surface of the sheet, mm.
    pub(super) skin: f64,
    pub(super) berth: Berth,
}

/// How near metal may come to a tool.
#[derive(Clone, Copy, PartialEq)]
pub(super) enum Berth {
    /// It stays clear, and by how much counts.
    Clear,
    /// It closes on the tool and finally lies on it: it must only not collide with it.
    Closes,
    /// It reaches over the line where its side ends, towards the metal that moves or yields there:
    /// it must only not run into the tool, at any moment.
    Overhangs,
}

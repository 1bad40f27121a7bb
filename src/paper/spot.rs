//! What of a part has a letter or a ring on a drawing.

use crate::geom::Bounds;
use crate::geom::Edge;
use crate::geom::Outline;
use crate::geom::Point;

/// A hole with its letter.
#[derive(Clone, Debug, PartialEq)]
pub struct Spot {
    /// Such as `A2`.
    pub label: String,
    /// Its centre.
    pub at: Point,
    /// What is cut.
    pub outline: Outline,
}

/// A visible or hidden edge of what is sunk or bevelled.
#[derive(Clone, Debug, PartialEq)]
pub struct Ring {
    /// How it runs.
    pub edges: Vec<Edge>,
    /// Whether it is on the bottom side, which the drawing does not show.
    pub hidden: bool,
}

/// What a finding marks in red.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Found {
    /// Such as `F1`.
    pub label: String,
    /// What gets a ring round it.
    pub rings: Vec<Bounds>,
    /// Lines that are drawn over.
    pub lines: Vec<Vec<Edge>>,
}

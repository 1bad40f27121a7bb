//! What of a part has a letter or a ring on a drawing.

use crate::geom::Bounds;
use crate::geom::Edge;
use crate::geom::Outline;
use crate::geom::Point;
use crate::num::Angle;

/// A slot that is off an axis by less lies along it, degrees.
const LEVEL: f64 = 0.005;

/// A hole with its letter.
#[derive(Clone, Debug, PartialEq)]
pub struct Spot {
    /// Such as `A2`.
    pub label: String,
    /// Its centre, at which its letter is placed.
    pub at: Point,
    /// The outline cut.
    pub outline: Outline,
}

impl Spot {
    /// What locates it: its centre, of a slot along an arc the centre of that arc.
    pub fn centre(&self) -> Point {
        self.outline.arc_slot().map_or(self.at, |slot| slot.centre)
    }

    /// The angle of a straight slot that is neither horizontal nor vertical.
    pub fn slants(&self) -> Option<Angle> {
        self.outline.slot()?;
        self.outline.runs_at().filter(|angle| {
            let off = |axis: f64| (angle.degrees() - axis).abs() > LEVEL;
            off(0.0) && off(90.0) && off(180.0)
        })
    }
}

/// A visible or hidden edge of a countersink or bevel.
#[derive(Clone, Debug, PartialEq)]
pub struct Ring {
    /// How it runs.
    pub edges: Vec<Edge>,
    /// Whether it is on the bottom side, which the drawing does not show.
    pub hidden: bool,
}

/// The features a finding marks in red.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Found {
    /// Such as `F1`.
    pub label: String,
    /// What gets a ring round it.
    pub rings: Vec<Bounds>,
    /// Lines that are drawn over.
    pub lines: Vec<Vec<Edge>>,
}

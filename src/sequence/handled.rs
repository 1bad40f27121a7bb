//! How one bend of an order is handled, besides its tool.

use crate::geom::Place;
use crate::num::Angle;
use crate::sequence::gauge::Gauge;
use crate::sequence::gauge::Leg;
use crate::sequence::orientation::Action;

/// How one bend of an order is handled.
#[derive(Clone, Debug)]
pub struct Handling {
    /// Index of the bend in the part.
    pub bend: usize,
    /// The bends made before, as bits.
    pub made: u32,
    /// The face that is clamped, or lies against the back gauge of a press brake.
    pub hold: usize,
    /// The face on the other side of the bend.
    pub moves: usize,
    /// Of each face, whether it lies in one plane with those beside the bend.
    pub level: Vec<bool>,
    /// For each face, whether it is on the moving side of the bend.
    pub moving: Vec<bool>,
    /// The gauge of its line; `None` if no edge parallel to it can be reached.
    pub gauge: Option<Gauge>,
    /// Outside leg from the bend to the end of the moving or the clamped side, once it is made: to
    /// the mould line up to 90°, beyond that to the outside of the bend. From the gauge edge, where
    /// that ends one of the two. `None` where nothing parallel does, and for a rolled bend.
    pub leg: Option<Leg>,
    /// Whether it is clamped upright, in a vice: the moving side is above, its inside towards the
    /// operator.
    pub upright: bool,
    /// In a vice, how far the clamped side hangs below the tops of the jaws, mm.
    pub hangs: Option<f64>,
    /// From the flat, top side shown, to the operator's view: from above, the moving side towards
    /// the operator; in a vice from the front, what moves up.
    pub orientation: Place,
    /// What brings it there from the bend before.
    pub action: Action,
    /// From the bend line to the sight line under the nose, towards what moves, mm; none over a V
    /// and without a tool.
    pub sight: Option<f64>,
    /// The range of angles the bend may need under load, by the strength of the sheet, where its
    /// springback is computed; `None` where the shop has measured it.
    pub range: Option<[Angle; 2]>,
    /// For each tool that comes in pieces, in the order of the step: where they begin, mm from the
    /// end of the bend line at the operator's left.
    pub from_left: Vec<f64>,
}

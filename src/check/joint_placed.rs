//! The plates of a joint where the machine has them.

use crate::joint::Plate;

/// Points are measured as well as this, mm: that of a hole and its point. Our choice.
pub(crate) const MEASURED: f64 = 1.0;

/// Two plates of a joint where the machine has them. Lengths are mm.
pub(crate) struct Placed<'a> {
    /// Both, in the order of the stack.
    pub(crate) plates: [&'a Plate; 2],
    /// Whether they overlap by more than [`MEASURED`].
    pub(crate) collide: bool,
    /// How their holes meet, where they are next to each other in the stack.
    pub(crate) meeting: Option<Meeting>,
}

/// How the holes of two plates meet in the machine. Lengths are mm.
pub(crate) struct Meeting {
    /// The distance between the axes of the worst two.
    pub(crate) off: f64,
    /// The part of that the bolt allows.
    pub(crate) allowed: f64,
    /// The angle between their axes, degrees.
    pub(crate) tilt: f64,
    /// The distance between the plates along their holes: minimum and maximum.
    pub(crate) gap: [f64; 2],
    /// The thickness of the stack between them.
    pub(crate) stack: f64,
    /// How much more or less that may be.
    pub(crate) stack_off: f64,
}

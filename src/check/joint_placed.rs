//! The parts of a joint together: two by two where the machine has them, and the legs of one part.

use crate::joint::Plate;

/// Points are measured as well as this, mm: that of a hole and its point. Our choice.
pub(crate) const MEASURED: f64 = 1.0;

/// An error of more than this many times the measuring accuracy is a blunder. Our choice.
pub(crate) const BLUNDER: f64 = 5.0;

/// The parts of a joint together.
#[derive(Default)]
pub(crate) struct Together<'a> {
    /// Plates that are next to each other in the stack, where the machine has both.
    pub(crate) met: Vec<Met<'a>>,
    /// Parts that overlap where the machine has both.
    pub(crate) overlaps: Vec<Overlap>,
    /// Legs of one part that are both in the stack.
    pub(crate) legs: Vec<Legs<'a>>,
}

/// Two plates that are next to each other in the stack, where the machine has them.
pub(crate) struct Met<'a> {
    /// Both, in the order of the stack.
    pub(crate) plates: [&'a Plate; 2],
    /// How their holes meet.
    pub(crate) meeting: Meeting,
}

/// Two parts that overlap.
pub(crate) struct Overlap {
    /// Their names.
    pub(crate) parts: [String; 2],
    /// By this, mm.
    pub(crate) by: f64,
}

/// Two legs of one part that are both in the stack. Lengths are mm.
pub(crate) struct Legs<'a> {
    /// Both, in the order of the stack.
    pub(crate) plates: [&'a Plate; 2],
    /// Whether one bolt goes through both in one piece.
    pub(crate) face: bool,
    /// Whether enough is made that they may be two pieces.
    pub(crate) may_be_two: bool,
    /// How their holes meet in one piece.
    pub(crate) meeting: Meeting,
    /// How far the gap between them may be off, either way: by root sum square, and in the worst case.
    pub(crate) off: [f64; 2],
    /// What the stack has between them: the least and the most.
    pub(crate) stack: [f64; 2],
    /// Whether the stack has nothing between them.
    pub(crate) is_empty: bool,
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

//! The kinds of values of the fields of an entry.

use crate::quantity::Units;

/// What kind of value a key has.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Sort {
    /// Any word.
    Word,
    /// A number of pieces.
    Count,
    /// A length, an angle, a force.
    Length,
    Angle,
    Force,
    /// A row of a table.
    Row(&'static str),
    /// One of some words.
    Choice(&'static [&'static str]),
    /// A part of the job.
    Part,
    /// A hole, or an edge, of the part that the entry is about.
    Hole,
    Edge,
    /// One of some words, or an angle.
    Direction,
    /// A row of the table of tubes, or a diameter.
    Main,
    /// A point of the machine.
    Point,
    /// A body in the machine, or a tube there.
    Body,
    Tube,
    /// `true` or nothing.
    Flag,
    /// Tables, each value of which has its field: see [`crate::serve::nested`].
    Tables,
}

impl Sort {
    /// The unit of the value typed; empty if it has none.
    pub(super) fn unit(self, units: Units) -> &'static str {
        match (self, units) {
            (Self::Length | Self::Main, units) => units.word(),
            (Self::Angle | Self::Direction, _) => "deg",
            (Self::Force, Units::Inch) => "lbf",
            (Self::Force, Units::Millimetre) => "kN",
            _ => "",
        }
    }
}

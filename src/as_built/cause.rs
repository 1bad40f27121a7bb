//! What makes a part come out differently from its nominal dimensions.

/// What makes a part come out differently from its nominal dimensions.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// The bend deduction at 90° of a group of bends, mm.
    Deduction {
        /// Index of the group.
        group: usize,
    },
    /// The inside radius of a group of bends, mm.
    Radius {
        /// Index of the group.
        group: usize,
    },
    /// By how much the angle of a group of bends exceeds 90° at rest, degrees at 90°.
    Springback {
        /// Index of the group.
        group: usize,
    },
    /// Thickness of a sheet of the job, mm.
    Thickness {
        /// Index of the sheet.
        sheet: usize,
    },
    /// How far cut edges of a sheet are outside the drawn ones, mm.
    Cut {
        /// Index of the sheet.
        sheet: usize,
    },
    /// Coating thickness on a face, mm.
    Film {
        /// Index of the coating in the model.
        coating: usize,
    },
    /// Weld and setting of the plates of one piece, mm.
    Assembly {
        /// Index of the part.
        part: usize,
        /// Which piece.
        piece: u32,
    },
    /// The position of one bend of one piece, mm towards the face it carries.
    Line {
        /// Index of the part.
        part: usize,
        /// Which piece.
        piece: u32,
        /// Index of the bend.
        bend: usize,
    },
    /// How much farther one bend of one piece was bent than its group, degrees.
    Angle {
        /// Index of the part.
        part: usize,
        /// Which piece.
        piece: u32,
        /// Index of the bend.
        bend: usize,
    },
}

impl Kind {
    /// Whether it makes the next piece come out the same way.
    pub fn stays(self) -> bool {
        !matches!(self, Self::Assembly { .. } | Self::Line { .. } | Self::Angle { .. })
    }

    /// Whether it is reported even if no measurement shows it: it is common to several pieces.
    pub(super) fn is_always_told(self) -> bool {
        self.stays() && !matches!(self, Self::Cut { .. } | Self::Film { .. })
    }

    /// Whether it is an angle, degrees; a length in mm else.
    pub fn is_angle(self) -> bool {
        matches!(self, Self::Springback { .. } | Self::Angle { .. })
    }

    /// A word for programs.
    pub fn word(self) -> &'static str {
        match self {
            Self::Deduction { .. } => "bend deduction",
            Self::Radius { .. } => "inside radius",
            Self::Springback { .. } => "springback",
            Self::Thickness { .. } => "sheet thickness",
            Self::Cut { .. } => "cut edge",
            Self::Film { .. } => "coating thickness",
            Self::Assembly { .. } => "assembly",
            Self::Line { .. } => "bend line",
            Self::Angle { .. } => "angle of one bend",
        }
    }
}

/// A cause, before anything is measured: 0, give or take a standard deviation.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cause {
    /// Its kind.
    pub kind: Kind,
    /// Standard deviation, mm or degrees.
    pub spread: f64,
}

/// The result of the measurements for a cause.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// It is off.
    Off,
    /// It is as it should be, within its limit.
    Right,
    /// Not separable from these others; and the measurement that would separate them, if there is
    /// one.
    NotSeparated {
        /// The others, in words; empty if the measurements alone are too coarse.
        with: Vec<String>,
        /// In words.
        measure: Option<String>,
    },
    /// None of the measurements shows it.
    NotShown,
}

/// The estimate of a cause. Lengths are mm, angles degrees; limits are for 95 %.
#[derive(Clone, Debug)]
pub struct CauseFound {
    /// Which.
    pub kind: Kind,
    /// In words.
    pub words: String,
    /// The value in use, if it is a number.
    pub nominal: Option<f64>,
    /// How much it is off.
    pub by: f64,
    /// Limit of that.
    pub limit: f64,
    /// Its limit before anything was measured.
    pub before: f64,
    /// The result of the measurements.
    pub verdict: Verdict,
}

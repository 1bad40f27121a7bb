//! What holds for every part of a job, and what is beside a part.

use crate::diag::Span;
use crate::geom::Outline;

/// Less than this, in mm, is rounding.
pub(super) const ROUNDING: f64 = 1e-9;

/// The limits for every part of a job.
#[derive(Clone, Debug)]
pub struct Limits {
    /// How far a cut edge may be off in this shop, mm, either way, where it is known.
    pub cut: Option<f64>,
    /// The minimum and maximum thickness of the job's coating, mm, where its row says.
    pub films: Option<[f64; 2]>,
    /// Room in the oven, mm, where it is known and the coating needs one.
    pub oven: Option<[f64; 3]>,
    /// The longest piece that the coating line takes, mm, where its row says.
    pub largest: Option<f64>,
    /// Maximum mass that one person lifts, kg.
    pub lift: f64,
}

impl Limits {
    /// Whether a box of three dimensions, mm, fits into the oven, square to its walls; `None` where the
    /// oven is not known.
    pub(crate) fn goes_into_oven(&self, sides: [f64; 3]) -> Option<bool> {
        let oven = self.oven?;
        Some(sorted(sides).iter().zip(sorted(oven)).all(|(is, room)| *is <= room + ROUNDING))
    }

    /// The oven, where it is too small for a box of three dimensions, mm.
    pub(crate) fn too_small(&self, sides: [f64; 3]) -> Option<[f64; 3]> {
        self.oven.filter(|_| self.goes_into_oven(sides) == Some(false))
    }

    /// The longest piece that the coating line takes, mm, where a box of three dimensions, mm, is longer.
    pub(crate) fn too_long(&self, sides: [f64; 3]) -> Option<f64> {
        self.largest.filter(|largest| sorted(sides)[2] > largest + ROUNDING)
    }
}

/// The shortest side first.
pub(super) fn sorted(mut sides: [f64; 3]) -> [f64; 3] {
    sides.sort_by(f64::total_cmp);
    sides
}

impl Default for Limits {
    fn default() -> Self {
        Self { cut: None, films: None, oven: None, largest: None, lift: LIFT }
    }
}

/// Maximum mass that one person lifts, kg: the load constant of the NIOSH lifting equation.
const LIFT: f64 = 23.0;

/// A body beside a part.
#[derive(Clone, Debug)]
pub struct Near {
    /// Its name.
    pub name: String,
    /// In the drawing of which face, and where that is given; of the first when it is not.
    pub face: Option<(String, Span)>,
    /// Its outline.
    pub outline: Outline,
    /// Minimum room to be left, mm.
    pub clear: f64,
    /// Its entry in the job.
    pub span: Span,
}

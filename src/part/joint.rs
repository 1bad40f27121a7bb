//! A bend between two faces.

use crate::bend;
use crate::bend::Trust;
use crate::diag::Span;
use crate::part::zone::Zone;
use crate::recipe::CornerShape;
use crate::recipe::Measured;
use crate::recipe::ReliefShape;

/// One bend between two faces.
#[derive(Clone, Debug)]
pub struct Bend {
    /// Its name.
    pub name: String,
    /// The face it is on.
    pub from: usize,
    /// Index of the edge it is on, in that face.
    pub edge: usize,
    /// The face it carries.
    pub to: usize,
    /// How it is bent, and its bend allowance.
    pub bend: bend::Bend,
    /// The source of the allowance.
    pub by: Trust,
    /// Towards the viewer of the first face, or away.
    pub up: bool,
    /// To where the faces beside it are drawn.
    pub measured: Measured,
    /// How far the carried face is shifted along its own x from the midpoint of the edge, mm.
    pub aside: f64,
    /// The relief beside its ends.
    pub relief: Relief,
    /// How far the carried face reaches beside a flange on the next edge.
    pub corner: CornerShape,
    /// Clear distance of the two flanges at such a corner, mm, where the recipe says.
    pub gap: Option<f64>,
    /// Whether the ends of its line are marked.
    pub ticks: Ticks,
    /// Its metal, where it is drawn across a face; else it is a rectangle before an edge.
    pub zone: Option<Zone>,
    /// Its entry in the recipe.
    pub span: Span,
    /// The names its radius depends on.
    pub depends: Vec<String>,
}

/// Whether the ends of a bend line are marked.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ticks {
    /// The recipe does not say: as the job has it.
    Unsaid,
    /// Only if the job asks for them.
    Never,
    /// Like those of all bends: where there is metal for them.
    Fitting,
    /// By a separate mark, which runs off the metal where there is none.
    Named,
}

impl Ticks {
    /// As a recipe says it of all bends.
    pub(super) const fn from_recipe(of_all: Option<bool>) -> Self {
        match of_all {
            None => Self::Unsaid,
            Some(false) => Self::Never,
            Some(true) => Self::Fitting,
        }
    }

    /// Whether there are any.
    pub fn are_made(self) -> bool {
        matches!(self, Self::Fitting | Self::Named)
    }
}

impl Bend {
    /// From the line to which the faces beside it are drawn back to where it begins, mm.
    pub fn drawn_setback(&self) -> f64 {
        match self.measured {
            Measured::Outside => self.bend.setback(),
            Measured::TangentOutside => self.bend.caliper_setback(),
            Measured::Inside => self.bend.inside_setback(),
            Measured::Tangent => 0.0,
        }
    }

    /// From that line out to the end of a caliper's reading along a leg, mm; negative if a leg is
    /// drawn to a sharp corner farther out.
    pub fn to_caliper(&self) -> f64 {
        self.bend.caliper_setback() - self.drawn_setback()
    }
}

/// A cut beside the end of a bend.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Relief {
    /// Its shape.
    pub shape: ReliefShape,
    /// Across, or the diameter of a hole, mm.
    pub width: f64,
    /// How far it reaches behind the line where the bend begins, mm.
    pub depth: f64,
}

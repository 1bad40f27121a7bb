//! A joint of a job.

use crate::diag::Span;
use crate::table::Row;
use crate::table::Tables;
use std::sync::Arc;

/// The joints of a job, and the tables their tolerances are in, where there are any.
#[derive(Clone, Debug, Default)]
pub(crate) struct Joints {
    /// The joints, in the order of the text.
    pub(crate) all: Vec<Arc<Joint>>,
    /// The tables; empty where there is no joint.
    pub(crate) tables: Arc<Tables>,
}

/// A joint of the job.
#[derive(Clone, Debug)]
pub(crate) struct Joint {
    /// Its name.
    pub(crate) name: String,
    /// Its bolt: a row of the table `bolt`.
    pub(crate) bolt: Arc<Row>,
    /// The nut of that bolt, where the table has one.
    pub(crate) nut: Option<Arc<Row>>,
    /// The layers, from the head on.
    pub(crate) stack: Vec<Layer>,
    /// How many of it, where the job says.
    pub(crate) quantity: Option<u32>,
    /// Under the head, and under the nut.
    pub(crate) washers: [Washer; 2],
    /// Where these are given.
    pub(crate) washers_at: Option<Span>,
    /// The bolt that clamps it while it is drilled.
    pub(crate) pilot: Option<(Arc<Row>, Span)>,
    /// The part whose holes guide the drill.
    pub(crate) guide: Option<(String, Span)>,
    /// How far the bolt is to be screwed into a thread.
    pub(crate) engagement: Option<(f64, Span)>,
    /// How far the bolt may protrude beyond its nut or thread, mm.
    pub(crate) room: Option<(f64, Span)>,
    /// Shear force on the most heavily loaded bolt, N.
    pub(crate) shear: Option<f64>,
    /// Diameter of the zone in which the axis of a hole that is cut lies, where the job says.
    pub(crate) position: Option<f64>,
    /// How far a drilled hole wanders from its guide, either way.
    pub(crate) drilling: f64,
    /// The position of its name.
    pub(crate) here: Span,
}

/// A layer of the stack.
#[derive(Clone, Debug)]
pub(crate) struct Layer {
    /// Its kind.
    pub(crate) what: What,
    /// Its entry.
    pub(crate) at: Span,
}

/// The kind of a layer.
#[derive(Clone, Debug)]
pub(crate) enum What {
    /// A plate, by its part and the name of its holes.
    Hole {
        /// The part.
        part: String,
        /// A hole, or a set of holes.
        hole: String,
    },
    /// A laminate of resin and fibre.
    Laminate(Laminate),
    /// A layer without holes to line up.
    Fill(Fill),
}

/// A laminate.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Laminate {
    /// Nominal.
    pub(crate) thickness: f64,
    /// How much thicker or thinner it may be.
    pub(crate) tolerance: f64,
    /// Whether its fibre is carbon, if given.
    pub(crate) carbon: Option<bool>,
    /// Diameter of its holes, if given.
    pub(crate) hole: Option<f64>,
    /// From the centre of a hole to the nearest edge, as made.
    pub(crate) edge: Option<f64>,
    /// What that must be.
    pub(crate) min_edge: Option<f64>,
    /// The allowable bearing stress, MPa.
    pub(crate) bearing: Option<f64>,
    /// What keeps the bolt from crushing it.
    pub(crate) sleeve: Option<Sleeve>,
}

/// A crush sleeve.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Sleeve {
    /// Outside diameter.
    pub(crate) outside: f64,
    /// By how much it is shorter than its laminate.
    pub(crate) less: f64,
}

impl Laminate {
    /// The length of its sleeve.
    pub(crate) fn sleeve_length(&self) -> Option<f64> {
        self.sleeve.map(|sleeve| self.thickness - sleeve.less)
    }

    /// Where it may be thinnest.
    pub(crate) fn thinnest(&self) -> f64 {
        self.thickness - self.tolerance
    }
}

/// A layer without holes to line up.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Fill {
    /// Its kind.
    pub(crate) filling: Filling,
    /// Nominal, not clamped yet.
    pub(crate) thickness: f64,
    /// How much thicker or thinner it may be.
    pub(crate) tolerance: f64,
}

impl Fill {
    /// By how much it gives when it is clamped.
    pub(crate) fn squeeze(&self) -> f64 {
        match self.filling {
            Filling::Rubber(squeeze) => squeeze,
            Filling::Spacer | Filling::Barrier => 0.0,
        }
    }
}

/// The kind of a layer without holes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Filling {
    /// Rubber, with its compression when clamped.
    Rubber(f64),
    /// A spacer.
    Spacer,
    /// A barrier that keeps two materials apart.
    Barrier,
}

impl Filling {
    /// As typed and printed.
    pub(crate) const fn word(self) -> &'static str {
        match self {
            Self::Rubber(_) => "rubber",
            Self::Spacer => "spacer",
            Self::Barrier => "barrier",
        }
    }
}

/// A washer.
#[derive(Clone, Debug)]
pub(crate) enum Washer {
    /// None.
    None,
    /// The plain one of the bolt.
    Plain,
    /// A row of the table `washer`.
    Large(Arc<Row>),
}

impl Washer {
    /// Its outside diameter under a bolt, or that of the bare head or nut across its flats; `None`
    /// if the table of bolts lacks it.
    pub(crate) fn outside(&self, bolt: &Row) -> Option<f64> {
        match self {
            Self::None => bolt.quantity("head_flats").map(|size| size.value),
            Self::Plain => bolt.quantity("washer_outside").map(|size| size.value),
            Self::Large(row) => Some(row.measure("outside")),
        }
    }

    /// Its thickness under a bolt; `None` if the table of bolts lacks it.
    pub(crate) fn thickness(&self, bolt: &Row) -> Option<f64> {
        match self {
            Self::None => Some(0.0),
            Self::Plain => bolt.quantity("washer_thickness").map(|size| size.value),
            Self::Large(row) => Some(row.measure("thickness")),
        }
    }
}

//! The layers of a joint whose parts are solved.

use crate::diag::About;
use crate::diag::Span;
use crate::joint::asked::Fill;
use crate::joint::asked::Filling;
use crate::joint::asked::Laminate;
use crate::joint::line_up::At;
use crate::part::Recess;
use crate::quantity::Units;
use crate::recipe::Making;

/// A layer of the stack.
#[derive(Clone, Debug)]
pub(crate) enum Between {
    /// A plate.
    Plate(Box<Plate>),
    /// A laminate.
    Laminate(Laminate, Span),
    /// Anything without holes to line up.
    Fill(Fill),
}

/// A plate of the stack. Lengths are mm.
#[derive(Clone, Debug)]
pub(crate) struct Plate {
    /// Its part.
    pub(crate) part: String,
    /// The hole or the set of holes.
    pub(crate) hole: String,
    /// The face of the part that its holes are in.
    pub(crate) face: usize,
    /// Of all its pieces that lie there one on the other.
    pub(crate) thickness: f64,
    /// How much thicker or thinner that may be.
    pub(crate) thickness_off: f64,
    /// Its column in the table of gauges: steel, stainless or aluminium.
    pub(crate) metal: Option<String>,
    /// The centres of its holes, in the drawing of their face.
    pub(crate) holes: Vec<At>,
    /// Their final width, at the narrowest.
    pub(crate) passage: f64,
    /// How wide they are cut.
    pub(crate) as_cut: f64,
    /// How they are made to size.
    pub(crate) making: Making,
    /// How far a cut place is off, either way, and how far the width of a cut hole.
    pub(crate) cut: [f64; 2],
    /// Maximum coating thickness on a face, mm.
    pub(crate) coating: f64,
    /// Its recess for the head.
    pub(crate) recess: Option<Recess>,
    /// The bolt that its holes are for, where the recipe says.
    pub(crate) meant_for: Option<String>,
    /// Whether it has bends or lips, so that either of its sides is another.
    pub(crate) is_formed: bool,
    /// The thread it has for the bolt.
    pub(crate) thread: Option<Thread>,
    /// How many joints all its pieces make, with the holes that the joint names.
    pub(crate) joints: u32,
    /// How many pieces of it the job makes, and how many one joint takes.
    pub(crate) pieces: [u32; 2],
    /// The subject of a finding.
    pub(crate) about: About,
    /// Its entry in the job.
    pub(crate) at: Span,
}

/// The part with the thread, if that is not a loose nut.
#[derive(Clone, Debug)]
pub(crate) struct Thread {
    /// `M10 nut welded into its seat`.
    pub(crate) words: String,
    /// How far the thread reaches, mm.
    pub(crate) depth: f64,
    /// Whether the plate itself is clamped: the thread is behind it.
    pub(crate) is_behind: bool,
    /// Whether the bolt should protrude by two turns, as from a nut.
    pub(crate) is_nut: bool,
    /// Whether its full depth is enough by its make; a thread in the plate is to be as deep as
    /// the bolt is thick.
    pub(crate) is_made: bool,
}

impl Plate {
    /// Its part and holes, as the job names them.
    pub(crate) fn words(&self) -> String {
        format!("{}.{}", self.part, self.hole)
    }

    /// Whether its holes are drilled to size later.
    pub(crate) fn is_drilled(&self) -> bool {
        self.making == Making::Drill
    }

    /// Whether it cannot be flipped over in its place: it is formed, or something is sunk or set
    /// into one of its sides.
    pub(crate) fn has_sides(&self) -> bool {
        let is_made = self.thread.as_ref().is_some_and(|thread| thread.is_made);
        self.is_formed || self.recess.is_some() || is_made
    }

    /// Whether it is between head and thread.
    fn is_clamped(&self) -> bool {
        self.thread.as_ref().is_none_or(|thread| thread.is_behind)
    }

    /// What of it is between head and thread.
    pub(super) fn clamped(&self) -> f64 {
        if self.is_clamped() { self.thickness } else { 0.0 }
    }

    /// By how much more that may be: the tolerance of the sheet, and a film on either side; of a
    /// plate that has the thread itself, the film before it.
    fn over(&self) -> f64 {
        if self.is_clamped() { self.thickness_off + 2.0 * self.coating } else { self.coating }
    }

    /// By how much less that may be.
    fn under(&self) -> f64 {
        if self.is_clamped() { self.thickness_off } else { 0.0 }
    }
}

impl Between {
    /// What of it is between head and thread, mm.
    pub(crate) fn clamped(&self) -> f64 {
        match self {
            Self::Plate(plate) => plate.clamped(),
            Self::Laminate(laminate, _) => laminate.thickness,
            Self::Fill(fill) => fill.thickness - fill.squeeze(),
        }
    }

    /// The upper tolerance of its thickness, mm: as the job gives it, for a plate its tolerance and
    /// films, and the whole compression of rubber, as the nut is started before that is compressed.
    pub(crate) fn over(&self) -> f64 {
        match self {
            Self::Plate(plate) => plate.over(),
            Self::Laminate(laminate, _) => laminate.tolerance,
            Self::Fill(fill) => fill.tolerance + fill.squeeze(),
        }
    }

    /// By how much less it may be, mm, once it is clamped.
    pub(super) fn under(&self) -> f64 {
        match self {
            Self::Plate(plate) => plate.under(),
            Self::Laminate(laminate, _) => laminate.tolerance,
            Self::Fill(fill) => fill.tolerance,
        }
    }

    /// How thick it may be, mm, once it is clamped: the least and the most.
    pub(crate) fn range(&self) -> [f64; 2] {
        let more = match self {
            Self::Fill(fill) => fill.tolerance,
            _ => self.over(),
        };
        [self.clamped() - self.under(), self.clamped() + more]
    }

    /// In words: `base-seat 4 mm`, `laminate 12 mm with sleeve 11.9 mm`.
    pub(crate) fn words(&self, units: Units) -> String {
        let show = |mm: f64| units.length(crate::num::on_grid(mm));
        match self {
            Self::Plate(plate) => match &plate.thread {
                Some(thread) if !thread.is_behind => {
                    format!("{} with {}", plate.part, thread.words)
                }
                _ => format!("{} {}", plate.part, show(plate.thickness)),
            },
            Self::Laminate(laminate, _) => {
                let own = format!("laminate {}", show(laminate.thickness));
                match laminate.sleeve_length() {
                    Some(long) => format!("{own} with crush sleeve {}", show(long)),
                    None => own,
                }
            }
            Self::Fill(fill) => match fill.filling {
                Filling::Rubber(squeeze) if squeeze > 0.0 => {
                    let own = fill.thickness;
                    format!("rubber {} squeezed to {}", show(own), show(own - squeeze))
                }
                filling => format!("{} {}", filling.word(), show(fill.thickness)),
            },
        }
    }
}

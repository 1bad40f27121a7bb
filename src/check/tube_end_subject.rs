//! What the check of the end of a tube looks at.

use crate::check::spacer::Spacer;
use crate::diag::Span;
use crate::fit::TubeEnd;
use crate::num::on_grid;
use crate::quantity::Units;

/// The end of a tube, and what is said of it.
pub(crate) struct TubeEndSubject<'a> {
    /// The end.
    pub(crate) end: &'a TubeEnd,
    /// Name of the tube.
    pub(crate) tube: &'a str,
    /// `start` or `end`.
    pub(crate) which: &'static str,
    /// The cap: its part, where it is named, outside and wall of the tube it is drawn for where it
    /// says so, and how it sits by the part and by the job.
    pub(crate) cap: Option<CapSubject<'a>>,
    /// Minimum landing, mm, where the job says.
    pub(crate) landing: Option<f64>,
    /// Where the plates are named.
    pub(crate) cheeks: Option<Span>,
    /// How far the plates are set apart, where the job says.
    pub(crate) gap: Option<(f64, Span)>,
    /// What the tube measures where it is ground, where the job says.
    pub(crate) ground: Option<(f64, Span)>,
    /// The tabs whose feet are cut for a tube.
    pub(crate) tabs: Vec<TabSubject<'a>>,
    /// The caps that are named as something else, and as what.
    pub(crate) caps: Vec<(&'a str, Span, &'static str)>,
    /// How many there are of the parts that no end before names.
    pub(crate) counts: Vec<Count<'a>>,
    /// The legs of the bent part beside it, where one part is on both sides.
    pub(crate) legs: Option<CheekLegs<'a>>,
    /// What a joint has between the plates beside it.
    pub(crate) spacer: Option<Spacer<'a>>,
    /// How far the plates lap over the tube from its end as cut, mm, where the job says.
    pub(crate) lap: Option<(f64, Span)>,
    /// The plate on both sides, where it is flat.
    pub(crate) plate: Option<LappedPlate<'a>>,
    /// The bolts of joints with something between the plates.
    pub(crate) eyes: Vec<Eye<'a>>,
    /// What goes in.
    pub(crate) inside: Option<(&'a str, Span)>,
    /// How lengths are printed.
    pub(crate) units: Units,
}

/// A cap, and what is said of it.
pub(crate) struct CapSubject<'a> {
    /// Its part.
    pub(crate) part: &'a str,
    /// Where it is named.
    pub(crate) at: Span,
    /// Outside and wall of the tube it is drawn for, where it says so.
    pub(crate) drawn_for: [Option<f64>; 2],
    /// Whether the tube was cut for a cap inside.
    pub(crate) cut_for_inside: bool,
}

/// A flat plate that laps over a tube.
pub(crate) struct LappedPlate<'a> {
    /// Its part.
    pub(crate) part: &'a str,
    /// The longer side of the box round it, mm.
    pub(crate) long: f64,
    /// From corner to corner of that, mm.
    pub(crate) across: f64,
}

/// A bolt through two plates beside a tube, with layers between these.
pub(crate) struct Eye<'a> {
    /// Its joint.
    pub(crate) joint: &'a str,
    /// Where that is named.
    pub(crate) at: Span,
    /// The hole.
    pub(crate) hole: String,
    /// From its centre to the furthest edge of the plate, along or across its drawing, mm.
    pub(crate) from_edge: f64,
    /// Diameter of the bolt, mm.
    pub(crate) bolt: f64,
    /// Outside diameter of the sleeve round it, mm, where the job gives one.
    pub(crate) sleeve: Option<f64>,
}

/// A tab whose foot is cut for a tube.
pub(crate) struct TabSubject<'a> {
    /// Its part.
    pub(crate) part: &'a str,
    /// Its entry.
    pub(crate) at: Span,
    /// Outside diameter of the tube it is drawn for, mm.
    pub(crate) drawn_for: f64,
}

/// How many of a part there are, and how many the tubes take.
#[derive(Clone, Copy)]
pub(crate) struct Count<'a> {
    /// The part.
    pub(crate) part: &'a str,
    /// Where it is named.
    pub(crate) at: Span,
    /// What it is: cap, plate, tab or stub.
    pub(crate) what: &'static str,
    /// How many the job makes.
    pub(crate) made: u32,
    /// How many its tubes take.
    pub(crate) needed: u32,
}

/// A bent part beside a tube.
pub(crate) struct CheekLegs<'a> {
    /// Its name.
    pub(crate) part: &'a str,
    /// Where it is named.
    pub(crate) at: Span,
    /// Every two of its legs that face each other: the gap between them, and how far that may be off by
    /// root sum square, mm.
    pub(crate) gaps: Vec<[f64; 2]>,
}

impl CheekLegs<'_> {
    /// The two legs that the tube goes between, the gap and how far it may be off: those of the gap that is
    /// given, else the only two.
    pub(crate) fn nearest(&self, given: Option<f64>) -> Option<[f64; 2]> {
        let far = |gap: &[f64; 2]| given.map_or(0.0, |given| (gap[0] - given).abs());
        let nearest = self.gaps.iter().min_by(|a, b| far(a).total_cmp(&far(b)));
        nearest.filter(|_| self.gaps.len() == 1 || given.is_some()).copied()
    }
}

pub(super) fn show(of: &TubeEndSubject, mm: f64) -> String {
    of.units.length(on_grid(mm))
}

pub(super) fn words(of: &TubeEndSubject) -> String {
    format!("the {} of tube `{}`", of.which, of.tube)
}

//! What comes of a load, or why nothing does.

use crate::bend::Form;
use crate::strength::limit::Limit;
use crate::strength::limit::Shape;
use crate::strength::load::At;
use crate::strength::method::Method;
use thiserror::Error;

/// What comes of a load on a part. Forces are those on one of the pieces that share the load.
#[derive(Clone, Debug, PartialEq)]
pub struct Verdict {
    /// The case.
    pub case: String,
    /// Name of the part.
    pub part: String,
    /// Where it acts, in words.
    pub at: String,
    /// Which way, in words.
    pub direction: String,
    /// Both, as a drawing says it: tension at hole `eye`.
    pub acting: String,
    /// What holds the part, in words; empty where that is not clear.
    pub held: String,
    /// By which rules.
    pub method: Method,
    /// On the whole set, N.
    pub force: f64,
    /// Over how many pieces it is spread.
    pub pieces: u32,
    /// Whether it is judged.
    pub state: State,
    /// Every way to fail: at least one where it is judged, none where it is not.
    pub limits: Vec<Limit>,
    /// The rules of shape.
    pub shapes: Vec<Shape>,
    /// The wall of the tube below, where it is known: never more than a caution.
    pub wall: Option<Limit>,
    /// What was taken where the job and the recipe do not say it.
    pub assumed: Vec<String>,
    /// What could not be looked at beside what was, and why.
    pub not_judged: Vec<String>,
}

/// Whether a load was judged along its whole way.
#[derive(Clone, Debug, PartialEq)]
pub enum State {
    /// It was.
    Judged,
    /// It was not: there is no margin.
    NotJudged(Reason),
}

/// Why a load is not judged.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum Reason {
    /// Several things may hold it, or nothing does; what may be typed.
    #[error("it is not clear what holds the part")]
    Unclear(Vec<String>),
    /// More holds it than equilibrium can tell apart.
    #[error("statically indeterminate: {} hold it", .0.join(" and "))]
    Several(Vec<String>),
    /// An edge with stretches on several faces: each with its face, as it may be typed.
    #[error("edge `{0}` has stretches on several faces")]
    Faces(String, Vec<String>),
    /// Holes of one name in several faces: which.
    #[error("how the holes `{0}` of the faces {list} share the load is not known", list = .1.join(", "))]
    Scattered(String, Vec<String>),
    /// An edge that is parted within its face.
    #[error("how the stretches of edge `{0}` share the load is not known")]
    Stretches(String),
    /// A weld whose stretches go round something or face one another.
    #[error(
        "the weld of `{0}` goes round or faces itself: how such a seam shares the load is not checked"
    )]
    Ring(String),
    /// A pin through an eye that would have to hold a part along its own axis.
    #[error("a single pin in `{0}` does not hold the part square to its plate")]
    OnePin(String),
    /// A bend, beyond which nothing would be looked at; what may be typed.
    #[error("`{0}` is a bend, not a support: the part beyond it would not be checked")]
    Bend(String, Vec<String>),
    /// What the recipe offers, unasked, does not hold the load.
    #[error("the support that the recipe offers cannot carry it: {0}")]
    Offered(Fault),
    /// A bevel at an edge that no weld of the load's support fills.
    #[error(
        "edge `{0}` is bevelled and not the welded edge that holds the part: the sections beside it are not checked"
    )]
    Bevelled(String),
    /// A hole with an insert.
    #[error("how the insert in `{0}` holds in the sheet is not checked")]
    Insert(String),
    /// A fold line on the way, whose bend is no rectangle.
    #[error(
        "the load crosses bend `{0}`, whose ends are slanted, curved or opened: its sections are not checked"
    )]
    FoldLine(String),
    /// A bend that is longer than what leads to it.
    #[error(
        "the sheet beside bend `{0}` is in steps: the load does not spread along all of it at 45°"
    )]
    Stepped(String),
    /// A bead in a face that the load passes.
    #[error("bead `{0}` unfolds under load across it: the sections of its face are not known")]
    Beaded(String),
    /// A hole with a flare that is loaded, or holds.
    #[error("how a load goes into the lip of the flared hole `{0}` is not checked")]
    Flared(String),
    /// A rolled bend or a hem on the way.
    #[error(
        "the load crosses bend `{0}` ({words}), a curved beam or a folded edge whose sections are not checked",
        words = .1.words()
    )]
    Formed(String, Form),
    /// A cap in a tube.
    #[error("an end cap is held by its weld all round the tube, which is statically indeterminate")]
    Cap,
    /// A plate bent by something of unknown size that stands on it.
    #[error("the width of what bears on the plate is not known")]
    Foot,
    /// A bevel for which the standard has no effective throat.
    #[error(
        "the groove of the bevelled edge `{0}` is narrower than 45°: AISC 360-16 table J2.1 has no throat for it"
    )]
    Groove(String),
    /// A fillet on one side that opens at its root.
    #[error("the fillet on one side of `{0}` is bent open at its root (EN 1993-1-8 4.12)")]
    OpenRoot(String),
    /// A groove on one side that opens at its root.
    #[error("the groove on one side of `{0}` opens at its root (EN 1993-1-8 4.12)")]
    OpenGroove(String),
    /// Metal that parts and meets again in a way that is not looked at.
    #[error("the load path through `{0}` splits and rejoins: statically indeterminate")]
    Branched(String),
    /// A limit that is 0, or no number: what it is of.
    #[error("no strength can be calculated for: {0}")]
    NoFigure(&'static str),
    /// What a force square to the plate spreads to misses a section.
    #[error("a section of `{0}` is bent outside the 45° spread from the load and from its support")]
    Spread(String),
    /// An opening below the load, wider than the load spreads.
    #[error("the metal of `{0}` between the load and an opening spans it as a beam")]
    Bridge(String),
    /// Two openings of which neither is in the other's row.
    #[error("two openings of `{0}` are staggered: the load path between them is not followed")]
    Staggered(String),
    /// Bolts farther to the side than the load spreads.
    #[error("`{0}` is a beam between its bolts: the load does not spread to them at 45°")]
    Beam(String),
    /// Bolts in one line, over which a plate turns, without a section that could be cut.
    #[error("`{0}` pivots about its bolts, which are in one line, and bends between them")]
    InLine(String),
    /// The load does not act in front of what holds the part.
    #[error("the load acts at or behind the support")]
    Behind,
}

impl Reason {
    /// What to add to have it judged.
    pub fn help(&self) -> String {
        match self {
            Self::Unclear(ways) | Self::Bend(_, ways) => support(ways),
            Self::Offered(fault) => fault.help(&[]),
            Self::Several(_) => "name one of them, which then carries the load alone".into(),
            Self::Faces(_, faces) => {
                let faces: Vec<String> = faces.iter().map(|face| format!("`{face}`")).collect();
                format!("name the edge of one face: {}", faces.join(" or "))
            }
            Self::Scattered(..) => "give the holes of each face a name of their own".into(),
            Self::Stretches(_) => {
                "give the stretch that is loaded or holds a corner and an `edge` name of its own"
                    .into()
            }
            Self::OnePin(_) | Self::Ring(_) => {
                "name with `bolts` or `held` what else holds it, or prove it by test".into()
            }
            Self::Bevelled(_) => {
                "leave out the bevel, give the edge its `weld` and name it with `held`, or prove it \
                 by test"
                    .into()
            }
            Self::Insert(_) => "use the figures of its maker, or prove it by test".into(),
            Self::FoldLine(_) => "name a support with `held` or `bolts` on the load's side of the bend, \
                 draw the line square to the edges it crosses, or prove it by test"
                .into(),
            Self::Beaded(_) => "leave out the bead, or prove it by test".into(),
            Self::Flared(_) => "load or hold another hole, or prove it by test".into(),
            Self::Formed(..) | Self::Stepped(_) => "name a support with `held` or `bolts` on the load's side of the bend, or \
                 prove it by test"
                .into(),
            Self::Cap => "a round cap is judged for a load at its centre, along the tube: \
                 `direction = \"sideways\"` with the `leg` of its weld; else prove it by test"
                .into(),
            Self::Foot => "add `foot = \"40 mm\"`, the width of what bears on the plate".into(),
            Self::Groove(_) => "bevel it by 45° or more, or prove the groove by test".into(),
            Self::OpenRoot(_) => "weld it on both sides, or prove it by test".into(),
            Self::OpenGroove(_) => {
                "bevel it from both sides: `side = \"both\"`, or prove it by test".into()
            }
            Self::Branched(_) => "name another support, or prove it by test".into(),
            Self::NoFigure(_) => "change the dimensions there, or prove it by test".into(),
            Self::Spread(_) => {
                "move the support nearer to the load, stiffen it with a rib, or prove it by \
                 test"
                    .into()
            }
            Self::Staggered(_) => {
                "line the openings up along or across the load, or move them further apart".into()
            }
            Self::Bridge(_) => "add a plate there, or make the opening narrower".into(),
            Self::Beam(_) => {
                "move the bolts nearer to the load, stiffen the face with a rib, or prove it by \
                 test"
                    .into()
            }
            Self::InLine(_) => "add bolts off that line, or prove it by test".into(),
            Self::Behind => "name the support with `held` or `bolts`".into(),
        }
    }
}

impl Verdict {
    /// Where two ways of one load, or two holes, have one limit, the least counts; a rule of
    /// shape is reported once, as it fails.
    pub(super) fn keep_governing(&mut self) {
        let mut limits: Vec<Limit> = Vec::new();
        let key = |l: &Limit| (l.what, l.rule, l.member());
        for limit in self.limits.drain(..) {
            match limits.iter_mut().find(|l| key(l) == key(&limit)) {
                Some(known) if limit.allowable() < known.allowable() => *known = limit,
                Some(_) => {}
                None => limits.push(limit),
            }
        }
        self.limits = limits;
        let mut shapes: Vec<Shape> = Vec::new();
        for shape in self.shapes.drain(..) {
            match shapes
                .iter_mut()
                .find(|s| (s.what, s.rule, s.max) == (shape.what, shape.rule, shape.max))
            {
                Some(known) if known.kept() && !shape.kept() => *known = shape,
                Some(_) => {}
                None => shapes.push(shape),
            }
        }
        self.shapes = shapes;
        let mut said: Vec<String> = Vec::new();
        for words in self.assumed.drain(..) {
            if !said.contains(&words) {
                said.push(words);
            }
        }
        self.assumed = said;
        self.not_judged.sort_unstable();
        self.not_judged.dedup();
    }

    /// The first limit that allows nothing.
    pub(super) fn unsound(&self) -> Option<Reason> {
        let unsound = self.limits.iter().find(|limit| !limit.is_sound());
        unsound.map(|limit| Reason::NoFigure(limit.what))
    }

    /// Leaves no margin: what was found so far holds for a part of the way only.
    pub(super) fn refuse(&mut self, reason: Reason) {
        self.limits.clear();
        self.wall = None;
        self.state = State::NotJudged(reason);
    }

    /// Why it is not judged.
    pub fn refused(&self) -> Option<&Reason> {
        match &self.state {
            State::Judged => None,
            State::NotJudged(reason) => Some(reason),
        }
    }

    /// The limit that allows the least; none where the load is not judged.
    pub fn governing(&self) -> Option<&Limit> {
        self.limits.iter().min_by(|a, b| a.allowable().total_cmp(&b.allowable()))
    }

    /// What a set may carry by a limit, N.
    pub fn allowable(&self, limit: &Limit) -> f64 {
        limit.allowable() * f64::from(self.pieces)
    }

    /// What is left over by the limit that governs, as a share of the load: below 0 it does
    /// not hold. `None` where the load is not judged.
    pub fn margin(&self) -> Option<f64> {
        self.governing().map(|limit| self.allowable(limit) / self.force - 1.0)
    }
}

/// Why a load cannot be read: the job names what is not there, or does not say what it must.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum Fault {
    /// The part has no such hole or edge.
    #[error("{}", nowhere(.0))]
    Nowhere(At),
    /// What is said to hold it is not there.
    #[error("`{named}` does not hold this part")]
    HeldByNothing {
        /// What was named.
        named: String,
        /// What could be, as it is typed.
        ways: Vec<String>,
    },
    /// A slot, hexagon or slot for a tongue.
    #[error("hole `{0}` is not round: only round holes are judged")]
    NotRound(String),
    /// The diameter of the pin is not given.
    #[error("it is not known what goes through hole `{0}`")]
    NoPin(String),
    /// The diameter of a bolt that holds the part is not given.
    #[error("it is not known what bolt goes through hole `{0}`, which holds the part")]
    NoBolt(String),
    /// No holes for the bolts that are named.
    #[error("the part has no hole `{0}` for the bolts that hold it")]
    NoSuchBolts(String),
    /// A bolt about which the plate turns.
    #[error("a single bolt, about which the plate rotates, cannot carry this load")]
    OneBolt,
    /// No limit is known.
    #[error("no limit is known for this load")]
    Nothing,
    /// The pin does not go in.
    #[error("the pin is larger than hole `{0}`")]
    PinTooLarge(String),
    /// By how much welding weakens the metal is not known.
    #[error("the as-welded strength of {0} is not known")]
    Welded(String),
    /// No weld metal is known.
    #[error("no weld metal is known for {0}")]
    NoFiller(String),
    /// The load acts in the bolts that hold the part.
    #[error("the load acts at the bolts that hold the part")]
    NoReach,
}

impl Fault {
    /// What to do about it; `names` are those of the holes and edges of the part.
    pub fn help(&self, names: &[&str]) -> String {
        match self {
            Self::Nowhere(At::Hole(name) | At::Edge(name)) | Self::NoSuchBolts(name) => {
                crate::diag::instead(name, names, "choose from")
            }
            Self::Nowhere(At::Point { .. }) => {
                "a load at a point needs a plate with holes `for` bolts: name a `hole` or `edge`"
                    .into()
            }
            Self::NoBolt(_) => "say in the recipe what goes through: `for = \"bolt\"`; what an \
                 insert holds is not judged"
                .into(),
            Self::Nothing => {
                "add `bolts_grade = \"8.8\"`, a row of the table `bolt-grade`, and `bolts`, the \
                 holes of the bolts"
                    .into()
            }
            Self::OneBolt => {
                "name a set of two bolts or more, or say with `held` what else holds it".into()
            }
            Self::HeldByNothing { ways, .. } => support(ways),
            Self::NotRound(_) => "load a round hole".into(),
            Self::NoPin(_) => "add `pin = \"10 mm\"`, its diameter".into(),
            Self::PinTooLarge(_) => "make `pin` smaller, or remove it".into(),
            Self::Welded(_) => "use a weldable metal: 6061-T6, 5052-H32".into(),
            Self::NoFiller(_) => "add `filler`, a row of the table `filler`".into(),
            Self::NoReach => "name other bolts".into(),
        }
    }
}

/// That a part has no such place for a load.
fn nowhere(at: &At) -> String {
    match at {
        At::Hole(_) | At::Edge(_) => format!("the part has no {}", at.words()),
        At::Point { .. } => "no bolts hold the plate, which a load at a point needs".into(),
    }
}

/// Names what may hold the part, as it is typed.
fn support(ways: &[String]) -> String {
    let ways: Vec<String> = ways.iter().map(|way| format!("`{way}`")).collect();
    match ways.as_slice() {
        [] => "give the loaded plate a `weld`, or holes `for` bolts in which the load does not act"
            .into(),
        ways => format!("name the support: {}", ways.join(" or ")),
    }
}

//! What comes of a load, or why nothing does.

use crate::strength::At;
use crate::strength::Limit;
use crate::strength::Method;
use crate::strength::Shape;
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
    /// What holds the part, in words.
    pub held: String,
    /// By which rules.
    pub method: Method,
    /// On the whole set, N.
    pub force: f64,
    /// Over how many pieces it is spread.
    pub pieces: u32,
    /// Every way to fail, at least one.
    pub limits: Vec<Limit>,
    /// The rules of shape.
    pub shapes: Vec<Shape>,
    /// The wall of the tube below, where it is known: never more than a caution.
    pub wall: Option<Limit>,
    /// What was taken where the job and the recipe do not say it.
    pub assumed: Vec<String>,
    /// What could not be looked at, and why.
    pub not_judged: Vec<String>,
}

impl Verdict {
    /// Where two ways of one load, or two holes, have one limit, the least counts; a rule of
    /// shape is told once, as it fails.
    pub(super) fn keep_least(&mut self) {
        let mut limits: Vec<Limit> = Vec::new();
        for limit in self.limits.drain(..) {
            match limits.iter_mut().find(|l| (l.what, l.rule) == (limit.what, limit.rule)) {
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
                .find(|s| (s.what, s.rule, s.most) == (shape.what, shape.rule, shape.most))
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

    /// The limit that allows the least.
    pub fn governing(&self) -> Option<&Limit> {
        self.limits.iter().min_by(|a, b| a.allowable().total_cmp(&b.allowable()))
    }

    /// What a set may carry by a limit, N.
    pub fn allowable(&self, limit: &Limit) -> f64 {
        limit.allowable() * f64::from(self.pieces)
    }

    /// What is left over by the limit that governs, as a share of the load: below 0 it does
    /// not hold.
    pub fn margin(&self) -> f64 {
        self.governing().map_or(-1.0, |limit| self.allowable(limit) / self.force - 1.0)
    }
}

/// Why a load cannot be judged.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum Fault {
    /// The part has no such hole or edge.
    #[error("the part has no {}", .0.words())]
    Nowhere(At),
    /// What is said to hold it is not there.
    #[error("`{named}` is nothing that holds this face")]
    HeldByNothing {
        /// What was named.
        named: String,
        /// What could be.
        ways: Vec<String>,
    },
    /// Several things may hold it, or nothing does.
    #[error("it is not clear what holds the part")]
    Unclear(Vec<String>),
    /// A slot, hexagon or mortise.
    #[error("hole `{0}` is not round: only round holes are judged")]
    NotRound(String),
    /// Nobody says how thick the pin is.
    #[error("it is not known what goes through hole `{0}`")]
    NoPin(String),
    /// Nobody says how thick a bolt that holds the part is.
    #[error("it is not known what bolt goes through hole `{0}`, which holds the part")]
    NoBolt(String),
    /// No holes for the bolts that are named.
    #[error("the part has no hole `{0}` for the bolts that hold it")]
    NoSuchBolts(String),
    /// A bolt about which the plate turns.
    #[error("nothing but one bolt, about which the plate turns, holds it against this load")]
    OneBolt,
    /// No limit is known.
    #[error("nothing is known by which it could be judged")]
    Nothing,
    /// The pin does not go in.
    #[error("the pin is larger than hole `{0}`")]
    PinTooLarge(String),
    /// Welding weakens the metal by nobody knows how much.
    #[error("no strength is known of {0} that was welded")]
    Welded(String),
    /// No weld metal is known.
    #[error("no weld metal is known for {0}")]
    NoFiller(String),
    /// The point of the load lies on the line that holds the part.
    #[error("the load acts in what holds the part")]
    NoReach,
}

impl Fault {
    /// What to do about it; `names` are those of the holes and edges of the part.
    pub fn help(&self, names: &[&str]) -> String {
        match self {
            Self::Nowhere(At::Hole(name) | At::Edge(name)) | Self::NoSuchBolts(name) => {
                crate::diag::instead(name, names, "there are")
            }
            Self::Nowhere(At::Point { .. }) => {
                "a load at a point needs a plate with holes `for` bolts: name a `hole` or `edge`"
                    .into()
            }
            Self::NoBolt(_) => "say in the recipe what goes through: `for = \"bolt\"`".into(),
            Self::Nothing => {
                "add `bolts_grade = \"8.8\"`, a row of the table `bolt-grade`, and `bolts`, the \
                 holes of the bolts"
                    .into()
            }
            Self::OneBolt => {
                "name a set of two bolts or more, or say with `held` what else holds it".into()
            }
            Self::HeldByNothing { named, ways } => {
                let ways: Vec<&str> = ways.iter().map(String::as_str).collect();
                crate::diag::instead(named, &ways, "it may be held by")
            }
            Self::Unclear(ways) => match ways.first() {
                Some(first) => {
                    format!("say it: `held = \"{first}\"`; there are {}", ways.join(", "))
                }
                None => "give the recipe a `weld`, or another hole".into(),
            },
            Self::NotRound(_) => "load a round hole".into(),
            Self::NoPin(_) => "add `pin = \"10 mm\"`, its diameter".into(),
            Self::PinTooLarge(_) => "make `pin` smaller, or take the line away".into(),
            Self::Welded(_) => "take a metal that can be welded: 6061-T6, 5052-H32".into(),
            Self::NoFiller(_) => "add `filler`, a row of the table `filler`".into(),
            Self::NoReach => "say with `held` what holds the part".into(),
        }
    }
}

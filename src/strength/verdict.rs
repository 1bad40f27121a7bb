//! The result of a load.

use crate::geom::Space;
use crate::strength::limit::Limit;
use crate::strength::limit::Shape;
use crate::strength::method::Method;
use crate::strength::reason::Reason;

/// The result of a load on a part. Forces are those on one of the pieces that share the load.
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
    /// The same in the formed part; `None` where its support is not clear.
    pub acts: Option<Acts>,
    /// The support of the part, in words; empty where that is not clear.
    pub held: String,
    /// By which rules.
    pub method: Method,
    /// On the whole set, N.
    pub force: f64,
    /// Over how many pieces it is spread.
    pub pieces: u32,
    /// Whether it is judged.
    pub state: State,
    /// Every failure mode: at least one where it is judged, none where it is not.
    pub limits: Vec<Limit>,
    /// The rules of shape.
    pub shapes: Vec<Shape>,
    /// The wall of the tube below, where it is known: never more than a caution.
    pub wall: Option<Limit>,
    /// What was assumed where the job and the recipe do not say.
    pub assumed: Vec<String>,
    /// Checks that could not be made beside those that were, and why.
    pub not_judged: Vec<String>,
}

/// Where in the formed part a load acts, and which way.
#[derive(Clone, Debug, PartialEq)]
pub struct Acts {
    /// The places that share it, mm.
    pub at: Vec<Space>,
    /// What of the part carries each of them: the same, or the place below, mm.
    pub feet: Vec<Space>,
    /// The directions it may have, each of length 1.
    pub ways: Vec<Space>,
}

/// Whether a load was judged along its whole way.
#[derive(Clone, Debug, PartialEq)]
pub enum State {
    /// It was.
    Judged,
    /// It was not: there is no margin.
    NotJudged(Reason),
}

impl Verdict {
    /// If two directions of one load, or two holes, have one limit, the lower counts; a geometric
    /// rule is reported once, as it fails.
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
    pub(super) fn unsound(&self) -> Option<&Limit> {
        self.limits.iter().find(|limit| !limit.is_sound())
    }

    /// Sets no margin, unless a limit that was found is exceeded already: an unknown does not
    /// improve that.
    pub(super) fn lack(&mut self, reason: Reason) {
        self.limits.retain(Limit::is_sound);
        if reason.is_of_one() && self.margin().is_some_and(|margin| margin < 0.0) {
            self.not_judged.push(reason.to_string());
            self.keep_governing();
        } else {
            self.refuse(reason);
        }
    }

    /// Sets no margin: the limits found cover only a part of the path.
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

    /// The lowest limit; `None` where the load is not judged.
    pub fn governing(&self) -> Option<&Limit> {
        self.limits.iter().min_by(|a, b| a.allowable().total_cmp(&b.allowable()))
    }

    /// The allowable load of a set by a limit, N.
    pub fn allowable(&self, limit: &Limit) -> f64 {
        limit.allowable() * f64::from(self.pieces)
    }

    /// The remainder of the limit that governs, as a share of the load: negative if the limit
    /// is exceeded. `None` where the load is not judged.
    pub fn margin(&self) -> Option<f64> {
        self.governing().map(|limit| self.allowable(limit) / self.force - 1.0)
    }
}

//! The end of a tube and everything that belongs to it.

use crate::diag::Span;
use crate::fit::Tab;
use crate::table::Row;
use crate::table::Tables;
use std::sync::Arc;

/// The end of a tube.
#[derive(Clone, Debug)]
pub struct TubeEnd {
    /// Name of the tube.
    pub(crate) tube: String,
    /// Which end.
    pub(crate) end: usize,
    /// What closes it.
    pub(crate) cap: Option<Cap>,
    /// Whether the cap's weld is ground flush.
    pub(crate) ground: bool,
    /// Minimum width of wall under the cap, mm, where that is given.
    pub(crate) landing: Option<f64>,
    /// The plates on both sides of it.
    pub(crate) cheeks: Option<Cheeks>,
    /// The bung or stub.
    pub(crate) inside: Option<Inside>,
    /// Tabs set round it, each with its entry.
    pub(crate) tabs: Vec<(Tab, Span)>,
    /// Where its tube is named.
    pub(crate) here: Span,
}

impl TubeEnd {
    /// Whether nothing belongs to it: neither cap nor plates, bung, stub or tabs.
    pub(crate) fn is_bare(&self) -> bool {
        let Self { cap, cheeks, inside, tabs, .. } = self;
        cap.is_none() && cheeks.is_none() && inside.is_none() && tabs.is_empty()
    }

    /// What closes it, cap or bung, in words; none where nothing does.
    pub(crate) fn capped(&self) -> Option<String> {
        if let Some(inside) = self.inside.as_ref().filter(|inside| inside.bung.is_some()) {
            return Some(inside.words.clone());
        }
        let cap = self.cap.as_ref()?;
        let ground = if self.ground { ", weld ground flush" } else { "" };
        Some(format!("cap {}{ground}", cap.part))
    }

    /// By how much its tube is cut shorter for the cap or for the shoulder of the bung, mm.
    pub(crate) fn off(&self) -> f64 {
        let shoulder = self.inside.as_ref().map_or(0.0, Inside::shoulder);
        self.cap.as_ref().map_or(shoulder, |cap| cap.off)
    }
}

/// What goes into the end of a tube.
#[derive(Clone, Debug)]
pub(crate) struct Inside {
    /// `bung M10x1.5`, `stub spigot`.
    pub(crate) words: String,
    /// Its outside diameter in the tube, mm.
    pub(crate) outside: f64,
    /// The row of a bung.
    pub(crate) bung: Option<Arc<Row>>,
    /// The stub, if it is one.
    pub(crate) stub: Option<Stub>,
    /// Where it is named.
    pub(crate) at: Span,
}

/// A tube that goes into the end of another.
#[derive(Clone, Debug)]
pub(crate) struct Stub {
    /// Its name.
    pub(crate) tube: String,
    /// How far it goes in, mm, if that is given.
    pub(crate) depth: Option<(f64, Span)>,
}

impl Inside {
    /// How far a stub goes in, mm, if that is given.
    pub(crate) fn depth(&self) -> Option<f64> {
        Some(self.stub.as_ref()?.depth?.0)
    }

    /// What of a bung is outside the tube, mm.
    pub(crate) fn shoulder(&self) -> f64 {
        self.bung.as_ref().map_or(0.0, |row| row.measure("shoulder"))
    }
}

/// A cap.
#[derive(Clone, Debug)]
pub(crate) struct Cap {
    /// Name of its part.
    pub(crate) part: String,
    /// By how much the tube is cut shorter, mm.
    pub(crate) off: f64,
    /// Whether it sits inside.
    pub(crate) is_inside: bool,
    /// Where it is named.
    pub(crate) at: Span,
}

/// Two plates, one on each side.
#[derive(Clone, Debug)]
pub(crate) struct Cheeks {
    /// Name of their part.
    pub(crate) part: String,
    /// Left on each side, coated, mm.
    pub(crate) play: f64,
    /// The diameter of the tube there once it is ground, mm.
    pub(crate) ground: Option<(f64, Span)>,
    /// How far they lap over the tube, from its end as cut, mm, if it is given.
    pub(crate) lap: Option<(f64, Span)>,
    /// Their clear distance, mm, if it is given.
    pub(crate) gap: Option<(f64, Span)>,
    /// Where their part is named.
    pub(crate) at: Span,
}

/// The ends of tubes of a job, and the tables of tolerances, where there are any.
#[derive(Clone, Debug, Default)]
pub struct TubeEnds {
    /// The ends, in the order of the text.
    pub(crate) all: Vec<TubeEnd>,
    /// The tables; empty where no end is given.
    pub(crate) tables: Arc<Tables>,
}

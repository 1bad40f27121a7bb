//! How much a plate part holds: a screening by published formulas.
//!
//! Forces are newtons, lengths millimetres, stresses N/mm². Every way to fail is a
//! [`Limit`]: the force at which it happens and the factor of safety upon it, with the
//! number of its formula. The least allowable force governs.
//!
//! Two methods are known. AISC 360-16, in its allowable-strength form (Ω), is written for
//! steel in buildings; ASME BTH-1 for lifting devices, with a design factor Nd by the use.
//! Both are applied to other metals with those metals' own strengths, as a screening.

mod bend;
mod bolt;
mod eye;
mod group;
mod judge;
mod lift;
mod load;
mod place;
mod plate;
mod pry;
mod root;
mod seat;
mod torn;
mod tube;
mod verdict;
mod weld;

pub use bend::Leg;
pub use bolt::{Bolt, BoltHole, least_edge_distance};
pub use eye::Eye;
pub use group::{Group, Pull, Share, shares};
pub use judge::judge;
pub use lift::Category;
pub use load::{At, Direction, Load, Method};
pub use place::{Held, Root, acts_on, held, names};
pub use plate::{Block, block_shear, compression, tension};
pub use pry::Pried;
pub use tube::wall;
pub use verdict::{Fault, Verdict};
pub use weld::{Fillet, Seam};

use crate::table::Row;

/// Stands on everything that shows a strength.
pub const CAUTION: &str = "A screening calculation, not a substitute for local codes and a \
     licensed engineer's judgement.";

/// The strengths of a metal, N/mm².
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Metal {
    /// Yield strength, Fy.
    pub yields: f64,
    /// Tensile strength, Fu.
    pub breaks: f64,
    /// Modulus of elasticity, E.
    pub elastic: f64,
}

impl Metal {
    /// The metal of a row of the table of materials, away from any weld.
    pub fn of(row: &Row) -> Self {
        let of = |field: &str| row.measure(field);
        Self { yields: of("yield"), breaks: of("tensile"), elastic: of("elastic") }
    }

    /// The metal beside a weld: that of the row, or what the heat leaves of it. `None` where
    /// the heat weakens the metal and nobody published by how much.
    pub fn beside_weld(row: &Row) -> Option<Self> {
        if row.text("metal") != Some("aluminium") {
            return Some(Self::of(row));
        }
        let of = |field: &str| row.quantity(field).map(|q| q.value);
        let (yields, breaks) = (of("welded_yield")?, of("welded_tensile")?);
        Some(Self { yields, breaks, ..Self::of(row) })
    }
}

/// A way to fail.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Limit {
    /// What gives way: `bearing of the pin`.
    pub what: &'static str,
    /// Where its formula stands.
    pub rule: &'static str,
    /// The force at which it gives way, N.
    pub nominal: f64,
    /// Factor of safety: Ω, or what Nd makes of it.
    pub factor: f64,
}

impl Limit {
    /// The force that may be asked of it, N.
    pub fn allowable(&self) -> f64 {
        self.nominal / self.factor
    }

    /// The limit for a whole force, of which only `share` acts this way, and that over so
    /// many `pieces`.
    fn shared(self, share: f64, pieces: usize) -> Self {
        Self { nominal: self.nominal * pieces as f64 / share, ..self }
    }
}

/// A rule of shape: not a strength, but without it the formulas for strength do not hold.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Shape {
    /// What is measured.
    pub what: &'static str,
    /// Where the rule stands.
    pub rule: &'static str,
    /// What it is, mm.
    pub is: f64,
    /// What it must be, mm.
    pub wanted: f64,
    /// Whether `wanted` is the most it may be, not the least.
    pub most: bool,
}

impl Shape {
    /// Whether the rule is kept.
    pub fn kept(&self) -> bool {
        const ROUNDING: f64 = 1e-9;
        match self.most {
            true => self.is <= self.wanted + ROUNDING,
            false => self.is >= self.wanted - ROUNDING,
        }
    }
}

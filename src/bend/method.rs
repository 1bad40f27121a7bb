//! How the neutral axis of a bend is found.

use crate::num;
use std::fmt;

/// How the neutral axis is found.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Method {
    /// DIN 6935 for steel: k = 0.65 + 0.5 log₁₀(r/s), at most 1; K = k/2.
    Din6935,
    /// The formula of the FAA's Airframe Handbook (FAA-H-8083-31) and AC 43.13-1B for
    /// aircraft sheet: BA = (0.01743 R + 0.0078 T) for each degree.
    Faa,
    /// A K-factor of the shop's own: the neutral axis is K thicknesses outside the inner face.
    K(f64),
    /// The K of a bend the shop has measured over a V.
    Measured {
        /// As it follows from deduction and radius.
        k: f64,
        /// Opening of the V, mm.
        v: f64,
        /// The inside radius that was measured, mm.
        radius: f64,
    },
}

impl Method {
    /// The formula of this name: `DIN 6935` or `FAA`.
    pub fn named(name: &str) -> Option<Self> {
        match name {
            "DIN 6935" => Some(Self::Din6935),
            "FAA" => Some(Self::Faa),
            _ => None,
        }
    }
}

impl fmt::Display for Method {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Din6935 => f.write_str("DIN 6935"),
            Self::Faa => f.write_str("FAA formula"),
            Self::K(k) => write!(f, "K-factor {}", num::text(*k, 4)),
            Self::Measured { v, .. } => write!(f, "measured over V {} mm", num::text(*v, 2)),
        }
    }
}

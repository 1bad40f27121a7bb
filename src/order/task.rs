//! A part to be bent, and what its metal is like.

use crate::flat::Flat;
use crate::part::Part;
use crate::shop::Shop;

/// What the metal of the sheet is like, MPa.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Metal {
    /// Tensile strength.
    pub tensile: f64,
    /// Yield strength.
    pub yields: f64,
    /// Elastic modulus.
    pub elastic: f64,
}

/// A part to be bent.
#[derive(Clone, Copy)]
pub struct Task<'a> {
    /// The part.
    pub part: &'a Part,
    /// Its flat.
    pub flat: &'a Flat,
    /// Its metal.
    pub metal: Metal,
    /// The tools.
    pub shop: &'a Shop,
}

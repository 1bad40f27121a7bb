//! A part to be bent, and what its metal is like.

use crate::brake;
use crate::brake::Springback;
use crate::flat::Flat;
use crate::part::Part;
use crate::shop::Shop;
use crate::table::Row;

/// What the metal of the sheet is like, MPa.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Metal {
    /// Tensile strength that the brake must overcome: typical or maximum.
    pub tensile: f64,
    /// Yield strength.
    pub yields: f64,
    /// Elastic modulus.
    pub elastic: f64,
    /// Its row in a handbook's table of springback, where it has one.
    pub springback: Option<Springback>,
}

impl Metal {
    /// A row of the table `material`.
    pub fn of(material: &Row) -> Self {
        Self {
            tensile: material.bending_strength(),
            yields: material.measure("yield"),
            elastic: material.measure("elastic"),
            springback: material.text("springback").and_then(Springback::named),
        }
    }

    /// What a bend round a radius keeps of its angle when the tool lets go: kR where the
    /// handbook has it, else by the formula; none where the sheet springs back fully.
    pub fn kept(&self, radius: f64, thickness: f64) -> Option<f64> {
        let by_row = self.springback.and_then(|row| row.kept(radius / thickness));
        by_row.or_else(|| brake::kept(radius, thickness, self.yields, self.elastic))
    }
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

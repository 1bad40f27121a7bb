//! A part to be bent, and what its metal is like.

use crate::brake;
use crate::brake::Springback;
use crate::flat::Flat;
use crate::part::Part;
use crate::shop::SAME_V;
use crate::shop::Shop;
use crate::table::Row;

/// The metal of a sheet as a brake meets it, MPa: its tensile strength is typical or maximum, not
/// the minimum that a load may rely on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Metal {
    /// Tensile strength that the brake must overcome: typical or maximum.
    pub tensile_strength: f64,
    /// Yield strength.
    pub yield_strength: f64,
    /// Elastic modulus.
    pub elastic: f64,
    /// Its row in a handbook's table of springback, where it has one.
    pub springback: Option<Springback>,
}

impl Metal {
    /// A row of the table `material`.
    pub fn of(material: &Row) -> Self {
        Self {
            tensile_strength: material.bending_strength(),
            yield_strength: material.springing_strength(),
            elastic: material.measure("elastic"),
            springback: material.text("springback").and_then(Springback::named),
        }
    }

    /// The share of its angle that a bend round a radius keeps after springback: kR where the
    /// handbook has it, else by the formula; `None` where the sheet springs back fully.
    pub fn kept(&self, radius: f64, thickness: f64) -> Option<f64> {
        let by_row = self.springback.and_then(|row| row.kept(radius / thickness));
        by_row.or_else(|| brake::kept(radius, thickness, self.yield_strength, self.elastic))
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
    /// Row of the table `material`.
    pub material: &'a str,
    /// The tools.
    pub shop: &'a Shop,
}

impl Task<'_> {
    /// The share of its angle that a bend over a V keeps, if the shop has measured it.
    pub(super) fn measured(&self, v: Option<f64>) -> Option<f64> {
        let v = v?;
        let row = self.shop.measured(self.material, self.part.thickness, v)?;
        row.kept().filter(|_| (row.v - v).abs() < SAME_V)
    }

    /// The share of its angle that a bend round a radius, over a V if there is one, keeps: as the
    /// shop has measured it, else by its metal.
    pub(super) fn kept(&self, radius: f64, v: Option<f64>) -> Option<f64> {
        self.measured(v).or_else(|| self.metal.kept(radius, self.part.thickness))
    }
}

//! The tools of a shop, and its measurements.

use crate::bend::Method;
use crate::bend::Trust;
use crate::entry::Coating;
use crate::quantity::Quantity;
use crate::shop::brakes::Brake;
use crate::shop::brakes::Tools;
use crate::shop::formers::Hemming;
use crate::shop::formers::Roll;
use crate::shop::measured::Measured;
use crate::shop::measured::SAME_SHEET;
use crate::shop::rates::Rates;

/// A shop.
#[derive(Clone, Debug, Default)]
pub struct Shop {
    /// One sentence.
    pub about: String,
    /// Processes with the shop's own figures.
    pub cutting: Vec<Cutting>,
    /// How bends are computed where nothing was measured, if the shop says.
    pub method: Option<Method>,
    /// The sources of bend data, in order of precedence.
    pub trust: Vec<Trust>,
    /// Bends it has measured.
    pub measured: Vec<Measured>,
    /// Its brakes, in the order in which they are tried.
    pub brakes: Vec<Brake>,
    /// Its rolls and formers, in the order in which they are tried.
    pub rolls: Vec<Roll>,
    /// Its hemming tools, in the order in which they are tried.
    pub hemming: Vec<Hemming>,
    /// Required clearance between a part and the tools it does not touch, mm, if given.
    pub clearance: Option<f64>,
    /// Drills at hand, mm.
    pub(crate) drills: Vec<f64>,
    /// Hole saws at hand, mm.
    pub(crate) hole_saws: Vec<f64>,
    /// Its coating.
    pub coating: Option<Coating>,
    /// Room in the oven: length, width, height, mm.
    pub oven: Option<[f64; 3]>,
    /// What time and metal cost.
    pub rates: Option<Rates>,
}

/// Own figures of a cutting process.
#[derive(Clone, Debug)]
pub struct Cutting {
    /// Its row in the table `process`.
    pub process: String,
    /// The fields of that row it overrides.
    pub fields: Vec<(String, Quantity)>,
    /// How far a cut edge may be off, mm, either way.
    pub tolerance: Option<f64>,
}

impl Shop {
    /// The bend measured on this sheet with the V nearest to `v`.
    pub fn measured(&self, material: &str, thickness: f64, v: f64) -> Option<&Measured> {
        let near = |m: &&Measured| {
            m.material == material && (m.thickness - thickness).abs() <= SAME_SHEET * thickness
        };
        let off = |m: &&Measured| (m.v - v).abs();
        self.measured.iter().filter(near).min_by(|a, b| off(a).total_cmp(&off(b)))
    }

    /// The V nearest to the usual one of a thickness among all dies, mm.
    pub(crate) fn nearest_v(&self, thickness: f64) -> Option<f64> {
        let usual = crate::brake::v_opening(thickness);
        let press = |brake: &Brake| match &brake.tools {
            Tools::Press(press) => press.dies.iter().map(|die| die.v).collect(),
            Tools::Folding(_) => Vec::new(),
        };
        let all = self.brakes.iter().flat_map(press);
        all.min_by(|a: &f64, b: &f64| (a - usual).abs().total_cmp(&(b - usual).abs()))
    }
}

/// Two openings of a V are one when they differ by less, mm. Our choice.
pub(crate) const SAME_V: f64 = 0.5;

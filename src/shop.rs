//! The shop's own tools: how it cuts, what it bends on, what it has measured.
//!
//! Lengths are millimetres, forces kN. A tool's section is drawn on the plane square to
//! the bend line: u towards the operator, v upwards. A beam, a finger or a pair of jaws
//! has its origin at the foot of its front, on the sheet's upper face, and lies at
//! u ≤ 0, v ≥ 0; a bed the same below the sheet's lower face. A punch has its origin at
//! its tip, a die in the middle of its mouth; the ram of a press brake at the height of the
//! punch's top, its bed at that of the die's foot.

mod measured;
mod press;
mod rates;
mod read;
mod tool;

use crate::bend::Method;
use crate::bend::Trust;
use crate::diag::Span;
use crate::geom::Outline;
use crate::num::Angle;
use crate::quantity::Quantity;
pub use measured::MeasuredError;
pub use measured::Strip;
pub use rates::CutRate;
pub use rates::Rates;
pub use read::read;

/// A shop.
#[derive(Clone, Debug, Default)]
pub struct Shop {
    /// One sentence.
    pub about: String,
    /// Ways of cutting it has its own figures of.
    pub cutting: Vec<Cutting>,
    /// How bends are computed where nothing was measured, if the shop says.
    pub method: Option<Method>,
    /// Whose word on bends is asked first.
    pub trust: Vec<Trust>,
    /// Bends it has measured.
    pub measured: Vec<Measured>,
    /// What it bends on, in the order in which they are tried.
    pub brakes: Vec<Brake>,
    /// Room it wants between a part and the tools it does not touch, mm, where it says.
    pub clearance: Option<f64>,
    /// Drills at hand, mm.
    pub drills: Vec<f64>,
    /// Hole saws at hand, mm.
    pub hole_saws: Vec<f64>,
    /// Film of the coating, mm.
    pub coating: Option<f64>,
    /// Room in the oven: length, width, height, mm.
    pub oven: Option<[f64; 3]>,
    /// What time and metal cost.
    pub rates: Option<Rates>,
}

/// Own figures of a way of cutting.
#[derive(Clone, Debug)]
pub struct Cutting {
    /// Its row in the table `process`.
    pub process: String,
    /// The fields of that row it sets anew.
    pub fields: Vec<(String, Quantity)>,
    /// How far a cut edge may be off, mm, either way.
    pub tolerance: Option<f64>,
}

/// A bend measured on a strip.
#[derive(Clone, Debug, PartialEq)]
pub struct Measured {
    /// Row of the table `material`.
    pub material: String,
    /// Thickness, mm.
    pub thickness: f64,
    /// Opening of the V, mm.
    pub v: f64,
    /// What was taken off two legs measured outside, at 90°, mm.
    pub deduction: f64,
    /// The inside radius found, mm.
    pub radius: f64,
    /// The K that follows from these.
    pub k: f64,
}

/// Something to bend on.
#[derive(Clone, Debug)]
pub struct Brake {
    /// Its name.
    pub name: String,
    /// Longest bend, mm.
    pub length: f64,
    /// Largest force, kN, where it is rated by force.
    pub force: Option<f64>,
    /// Thickest sheet of the metal it is rated for, mm, where it is rated by thickness.
    pub thickest: Option<f64>,
    /// Tensile strength of that metal as it is bent, MPa: of mild steel when nothing is said.
    pub rated_for: f64,
    /// Farthest turn.
    pub most_turn: Angle,
    /// Smallest inside radius it bends, mm, where the shop says.
    pub min_radius: Option<f64>,
    /// Largest inside radius it bends, mm, where the shop says.
    pub max_radius: Option<f64>,
    /// How it holds and turns the sheet.
    pub tools: Tools,
    /// Where its name stands.
    pub span: Span,
}

/// How a brake holds and turns the sheet.
#[derive(Clone, Debug)]
pub enum Tools {
    /// It clamps one side and swings the other up: straight brake, box-and-pan brake, vice.
    Folding(Folding),
    /// It pushes the sheet into a V.
    Press(Press),
}

/// Clamp and swing.
#[derive(Clone, Debug)]
pub struct Folding {
    /// What it is called.
    pub kind: FoldingKind,
    /// Least that must be clamped behind where the bend begins, mm.
    pub least_clamp: f64,
    /// Shortest flange that can be swung, mm, measured outside.
    pub least_flange: f64,
    /// What stands on the sheet over the whole length: beam, or jaw.
    pub beam: Outline,
    /// What lies under the sheet over the whole length: bed, or jaw.
    pub bed: Outline,
    /// What swings under the flange, in the flange's own lie: origin where the bend ends,
    /// on its lower face, u away from the bend. None where it is hammered over.
    pub leaf: Option<Outline>,
    /// Fingers under the beam, when it has them.
    pub fingers: Option<Fingers>,
}

/// The sorts of brake that clamp and swing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FoldingKind {
    /// Straight (cornice) brake.
    Straight,
    /// Box-and-pan (finger) brake.
    BoxAndPan,
    /// A vice, bent over by hand.
    Vice,
}

/// Fingers of a box-and-pan brake.
#[derive(Clone, Debug)]
pub struct Fingers {
    /// The section of one.
    pub section: Outline,
    /// The widths at hand, mm.
    pub widths: Vec<f64>,
    /// How much of a bend line may stay without a finger, mm.
    pub gap: f64,
}

/// Punch and die.
#[derive(Clone, Debug)]
pub struct Press {
    /// How much of a bend line may stay without punch or die, mm.
    pub gap: f64,
    /// The ram over its whole length; its origin is the punch's, at the height of the punch's top.
    pub ram: Outline,
    /// The bed over its whole length; its origin is the die's, at the height of the die's foot.
    pub bed: Outline,
    /// The dies.
    pub dies: Vec<Die>,
    /// The punches, in the order in which they are tried.
    pub punches: Vec<Punch>,
}

/// A die.
#[derive(Clone, Debug)]
pub struct Die {
    /// Opening of its V, mm.
    pub v: f64,
    /// Its section.
    pub section: Outline,
    /// Shortest flange, mm, measured outside.
    pub least_flange: f64,
    /// The widths it comes in, mm; one piece as long as the brake when there are none.
    pub widths: Vec<f64>,
}

/// A punch.
#[derive(Clone, Debug)]
pub struct Punch {
    /// Its name.
    pub name: String,
    /// The angle of its tip.
    pub angle: Angle,
    /// Its section.
    pub section: Outline,
    /// The widths it comes in, mm; one piece as long as the brake when there are none.
    pub widths: Vec<f64>,
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
    pub fn nearest_v(&self, thickness: f64) -> Option<f64> {
        let usual = crate::brake::v_opening(thickness);
        let press = |brake: &Brake| match &brake.tools {
            Tools::Press(press) => press.dies.iter().map(|die| die.v).collect(),
            Tools::Folding(_) => Vec::new(),
        };
        let all = self.brakes.iter().flat_map(press);
        all.min_by(|a: &f64, b: &f64| (a - usual).abs().total_cmp(&(b - usual).abs()))
    }
}

/// Two sheets are one thickness when they differ by this share: 11 ga and 3 mm are not. Our choice.
const SAME_SHEET: f64 = 0.02;

//! The bending machines of a shop: brakes and their tools.

use crate::diag::Span;
use crate::geom::Outline;
use crate::num::Angle;

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
    /// The pull of a person, for bends with a lever.
    pub pull: Option<Pull>,
    /// Tensile strength of that metal for bending, MPa: of mild steel when none is given.
    pub rated_for: f64,
    /// Largest bend angle.
    pub max_angle: Angle,
    /// Smallest inside radius it bends, mm, where the shop says.
    pub min_radius: Option<f64>,
    /// Largest inside radius it bends, mm, where the shop says.
    pub max_radius: Option<f64>,
    /// How it clamps and bends the sheet.
    pub tools: Tools,
    /// The position of its name.
    pub span: Span,
}

/// How a brake clamps and bends the sheet.
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
    /// Its kind.
    pub kind: FoldingKind,
    /// Minimum length to be clamped behind where the bend begins, mm.
    pub min_clamp: f64,
    /// Shortest flange that can be swung, mm, measured outside.
    pub min_flange: f64,
    /// How deep a vice is open between its jaws, from their top down, mm, where that is given.
    pub throat: Option<f64>,
    /// The beam or jaw on the sheet over the whole length.
    pub beam: Outline,
    /// The bed or jaw under the sheet over the whole length.
    pub bed: Outline,
    /// The leaf that swings under the flange, in the flange's own frame: origin where the bend
    /// ends, on its lower face, u away from the bend. None if it is hammered over.
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
    /// By hand, where no brake reaches.
    Hand(Grip),
}

/// What grips a sheet that is bent by hand.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Grip {
    /// The jaws of a vice; the flange is pulled over with a lever.
    Vice,
    /// An adjustable wrench, which is the lever; the rest of the part is clamped.
    Wrench,
    /// Two blocks, over whose edge the flange is hammered.
    HammerForm,
}

impl Grip {
    /// All of them.
    pub(crate) const ALL: [Self; 3] = [Self::Vice, Self::Wrench, Self::HammerForm];

    /// As a shop file has it.
    pub(crate) const fn word(self) -> &'static str {
        match self {
            Self::Vice => "vice",
            Self::Wrench => "wrench",
            Self::HammerForm => "hammer form",
        }
    }
}

/// A person at a lever.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pull {
    /// From the bend to the hands, mm.
    pub lever: f64,
    /// The largest pull, N.
    pub max: f64,
}

impl FoldingKind {
    /// Whether the sheet is upright between jaws.
    pub(crate) fn stands_up(self) -> bool {
        matches!(self, Self::Vice | Self::Hand(Grip::Vice))
    }
}

impl Brake {
    /// Whether it is for bends that no brake makes.
    pub(crate) fn is_by_hand(&self) -> bool {
        matches!(&self.tools, Tools::Folding(Folding { kind: FoldingKind::Hand(_), .. }))
    }

    /// Whether it is a wrench, beside which the rest of the part is clamped in a vice.
    pub(crate) fn is_wrench(&self) -> bool {
        matches!(&self.tools, Tools::Folding(Folding { kind: FoldingKind::Hand(Grip::Wrench), .. }))
    }

    /// Where a bend is made, in words: on a brake, in a vice, with a tool in the hand.
    pub(crate) fn place(&self) -> String {
        let kind = match &self.tools {
            Tools::Folding(folding) => Some(folding.kind),
            Tools::Press(_) => None,
        };
        let word = match kind {
            Some(FoldingKind::Vice | FoldingKind::Hand(Grip::Vice)) => "in",
            Some(FoldingKind::Hand(_)) => "with",
            _ => "on",
        };
        format!("{word} the {}", self.name)
    }
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
    pub min_flange: f64,
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

//! What a shop bends on: brakes and their tools.

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
    /// Thickest mild steel (450 MPa), mm, where it is rated by thickness.
    pub thickest: Option<f64>,
    /// Farthest turn.
    pub most_turn: Angle,
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

/// The largest sum of widths that is no more than `room`, mm: pieces set side by side.
pub(crate) fn widest(widths: &[f64], room: f64) -> f64 {
    let fits = |sum: &f64| *sum <= room + 1e-6;
    let mut sums = vec![0.0];
    for width in widths {
        let more: Vec<f64> = sums.iter().map(|sum| sum + width).filter(fits).collect();
        sums.extend(more);
        sums.sort_by(f64::total_cmp);
        // To a hundredth: many pieces would make more sums than anybody needs.
        sums.dedup_by(|a, b| (*a - *b).abs() < 0.01);
    }
    sums.last().copied().unwrap_or(0.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pieces_are_set_as_wide_as_fits() {
        assert!((widest(&[25.0, 40.0, 50.0, 75.0], 118.0) - 115.0).abs() < 1e-9);
        assert!((widest(&[25.0, 40.0], 24.0)).abs() < 1e-9);
        assert!((widest(&[25.0; 30], 80.0) - 75.0).abs() < 1e-9);
    }
}

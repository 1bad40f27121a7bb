//! One setup in which one bend can be made.

use crate::bend::Bend;
use crate::bend::Method;
use crate::brake;
use crate::num::Angle;
use crate::part::Part;
use crate::quantity::Units;
use crate::shop::SAME_V;
use crate::shop::Shop;
use crate::shop::Tools;

/// How one bend is made: the tool, the face that is clamped, the side that is up.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Setup {
    /// Index of the brake in the shop.
    pub brake: usize,
    /// The face that is clamped, or lies against the back gauge of a press brake.
    pub hold: usize,
    /// Whether the top side of the sheet, as drawn, is up.
    pub drawn_side_up: bool,
    /// What of the brake is used.
    pub tool: Tool,
    /// How far it must be turned under load.
    pub under_load: Angle,
}

/// What of a brake is used.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Tool {
    /// The beam, or fingers of this total width in mm under it.
    Fold {
        /// `None` if the whole length can stay.
        fingers: Option<f64>,
    },
    /// Punch and die, by their indices, in pieces of these total widths in mm.
    Press {
        /// Index of the die.
        die: usize,
        /// Index of the punch.
        punch: usize,
        /// Width of the pieces of the punch and of the die; `None` if the whole length can stay.
        widths: [Option<f64>; 2],
    },
}

impl Setup {
    /// Whether it uses the same brake, die and punch as another.
    pub(super) fn same_tool(&self, other: &Self) -> bool {
        let tools = |tool: Tool| match tool {
            Tool::Fold { .. } => None,
            Tool::Press { die, punch, .. } => Some((die, punch)),
        };
        self.brake == other.brake && tools(self.tool) == tools(other.tool)
    }

    /// The tool in words, and how the part is clamped.
    pub fn words(&self, part: &Part, shop: &Shop, units: Units) -> String {
        let hold = &part.faces[self.hold].name;
        let side = if self.drawn_side_up { "top side up" } else { "bottom side up" };
        format!("{}, clamp `{hold}`, {side}", self.tool_words(shop, units))
    }

    /// The tool in words.
    pub(crate) fn tool_words(&self, shop: &Shop, units: Units) -> String {
        let brake = &shop.brakes[self.brake];
        let mut words = brake.name.clone();
        match (self.tool, &brake.tools) {
            (Tool::Fold { fingers: Some(width) }, _) => {
                words += &format!(", {} of fingers", units.size(width));
            }
            (Tool::Press { die, punch, widths }, Tools::Press(press)) => {
                let v = units.size(press.dies[die].v);
                words += &format!(", V {v}, punch `{}`", press.punches[punch].name);
                for (what, width) in ["punch", "die"].iter().zip(widths) {
                    if let Some(width) = width {
                        words += &format!(", {} of {what}", units.size(width));
                    }
                }
            }
            _ => {}
        }
        words
    }

    /// The opening of the V, mm, on a press brake.
    pub fn v(&self, shop: &Shop) -> Option<f64> {
        match (self.tool, &shop.brakes[self.brake].tools) {
            (Tool::Press { die, .. }, Tools::Press(press)) => Some(press.dies[die].v),
            _ => None,
        }
    }

    /// The inside radius it gives a bend, mm: that of the V, over the V of a measured row the one that
    /// was measured there; a folding brake is set to the required radius.
    pub fn radius(&self, shop: &Shop, bend: &Bend) -> f64 {
        match self.v(shop) {
            Some(v) => measured_over(bend, v).unwrap_or_else(|| brake::inside_radius(v)),
            None => bend.radius(),
        }
    }

    /// The shortest flange it can make, mm, measured outside.
    pub fn min_flange(&self, shop: &Shop) -> f64 {
        match (self.tool, &shop.brakes[self.brake].tools) {
            (Tool::Press { die, .. }, Tools::Press(press)) => press.dies[die].min_flange,
            (_, Tools::Folding(folding)) => folding.min_flange,
            (_, Tools::Press(_)) => 0.0,
        }
    }
}

/// The inside radius measured over this V, mm, where a bend is by that row.
pub(crate) fn measured_over(bend: &Bend, v: f64) -> Option<f64> {
    match bend.method() {
        Method::Measured { v: of, radius, .. } if (of - v).abs() < SAME_V => Some(radius),
        _ => None,
    }
}

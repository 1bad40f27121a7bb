//! A recipe as its file says it: a family of parts.

use crate::diag::Finding;
use crate::recipe::bend::Bend;
use crate::recipe::captured::Captured;
use crate::recipe::clevis::Clevis;
use crate::recipe::cut_folded::CutFolded;
use crate::recipe::expr::Expr;
use crate::recipe::face::Face;
use crate::recipe::input::Input;
use crate::recipe::point::NamedPoint;
use crate::recipe::space::SpaceTube;
use indexmap::IndexMap;

/// A family of parts.
#[derive(Clone, Debug)]
pub struct Recipe {
    /// Its name, that of its file.
    pub name: String,
    /// One sentence.
    pub about: String,
    /// What must be said about a part, in the order of the file.
    pub inputs: IndexMap<String, Input>,
    /// Formulas by name.
    pub derived: IndexMap<String, Expr>,
    /// Points by name.
    pub points: IndexMap<String, NamedPoint>,
    /// `tape`: how far a measure of a point may be off.
    pub tape: Option<Expr>,
    /// Conditions that must hold.
    pub requires: Vec<Require>,
    /// Results worth telling, such as a gap.
    pub facts: Vec<Fact>,
    /// What of it holds a rod end.
    pub clevis: Option<Clevis>,
    /// The nut it holds in the bore of a tube.
    pub captured: Option<Captured>,
    /// Tubes in space, by name.
    pub tubes: IndexMap<String, SpaceTube>,
    /// The faces, in the order of the file.
    pub faces: IndexMap<String, Face>,
    /// The bends between them.
    pub bends: IndexMap<String, Bend>,
    /// Tubes that are cut out of the folded part.
    pub cut_folded: Vec<CutFolded>,
    /// How many pieces one set needs.
    pub copies: u32,
    /// Whether a set is a right hand and a left hand.
    pub mirror: bool,
    /// Which direction of the first face must lie along the grain of the sheet.
    pub grain: Grain,
    /// `bend_ticks`: whether the ends of all bend lines are marked.
    pub bend_ticks: bool,
    /// Findings of reading it that do not stop.
    pub cautions: Vec<Finding>,
}

impl Recipe {
    /// The same, made in both hands.
    #[must_use]
    pub(crate) fn in_both_hands(self) -> Self {
        Self { mirror: true, ..self }
    }

    /// Whether formulas may use this name because it is declared.
    pub(crate) fn declares(&self, name: &str) -> bool {
        self.inputs.contains_key(name)
            || self.derived.contains_key(name)
            || self.points.contains_key(name)
    }

    /// Every name that is declared: of inputs, formulas and points.
    pub(super) fn names(&self) -> impl Iterator<Item = &String> {
        self.inputs.keys().chain(self.derived.keys()).chain(self.points.keys())
    }
}

/// A condition and the sentence shown when it does not hold.
#[derive(Clone, Debug)]
pub struct Require {
    /// Must come to yes.
    pub that: Expr,
    /// The sentence.
    pub otherwise: String,
}

/// A result worth telling.
#[derive(Clone, Debug)]
pub struct Fact {
    /// Its name.
    pub name: String,
    /// Its value.
    pub value: Expr,
    /// One sentence.
    pub about: String,
}

/// Which direction of the first face lies along the grain of the sheet.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Grain {
    /// Any.
    #[default]
    Free,
    /// x.
    AlongX,
    /// y.
    AlongY,
}

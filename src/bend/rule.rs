//! How bends are to be calculated, and who says so.

use crate::bend::method::Method;
use std::collections::BTreeMap;
use std::fmt;

/// How a bend is to be calculated.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Rule {
    /// A formula or a K-factor.
    By(Method),
    /// What the shop has measured on this sheet.
    Measured,
}

/// The source of a bend method. A value given for one bend overrides one given for all; the order
/// of precedence of the last four is set by the shop.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Trust {
    /// `bends` of a part in the job.
    Part,
    /// `method` of the bend in its recipe.
    Recipe,
    /// `bend_method` of the sheet in the job.
    Sheet,
    /// A measured row of the shop.
    Measured,
    /// The shop's `bending`.
    Shop,
    /// What is usual for the metal.
    Metal,
    /// How the bend is formed: a rolled bend or a hem follows no figure of a V.
    Form,
}

impl Trust {
    /// The order of precedence unless the shop sets another.
    pub(crate) const USUAL: [Self; 4] = [Self::Sheet, Self::Measured, Self::Shop, Self::Metal];

    /// One of those a shop may put in order, by its word.
    pub fn named(word: &str) -> Option<Self> {
        Self::USUAL.into_iter().find(|trust| trust.to_string() == word)
    }
}

impl fmt::Display for Trust {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Part => "part",
            Self::Recipe => "recipe",
            Self::Sheet => "sheet",
            Self::Measured => "measured",
            Self::Shop => "shop",
            Self::Metal => "metal",
            Self::Form => "form",
        })
    }
}

/// How one bend unfolds.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Unfolding {
    /// How its neutral axis is found.
    pub method: Method,
    /// The inside radius obtained in practice, mm, if it was measured and no other is required.
    pub radius: Option<f64>,
    /// Whose word it is.
    pub by: Trust,
}

/// How the bends of a part unfold.
#[derive(Clone, Debug, PartialEq)]
pub struct Development {
    /// All that are not named below.
    pub usual: Unfolding,
    /// By the name of the bend.
    pub own: BTreeMap<String, Unfolding>,
    /// The narrowest cut the process makes beside the end of a bend, mm.
    pub(crate) min_slot: f64,
}

impl From<Method> for Development {
    /// All bends by one method, on the sheet's word; any cut can be made.
    fn from(method: Method) -> Self {
        Self {
            usual: Unfolding { method, radius: None, by: Trust::Sheet },
            own: BTreeMap::new(),
            min_slot: 0.0,
        }
    }
}

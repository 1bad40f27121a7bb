//! Why a load on a link is not judged, and what to add.

use crate::strength::STRENGTH;
use thiserror::Error;

/// Why a load on a link is not judged.
#[derive(Clone, Debug, PartialEq, Error)]
pub(crate) enum NotJudged {
    /// The link cannot be made: its own checks report why.
    #[error("the link cannot be made as it is")]
    Unmade,
    /// The metal of the tube is not said.
    #[error("the metal of the tube is not known")]
    Metal,
    /// The rating of a rod end is not known: its row, and which ends have it.
    #[error("the static load rating of rod end {0} is not known")]
    Rating(String),
    /// The as-welded strength of the metal is not known.
    #[error("the as-welded strength of {0} is not known")]
    Welded(String),
    /// The minimum yield or tensile strength of the metal is not known.
    #[error("the minimum strength of {0} is not known")]
    Strength(String),
    /// No weld metal is known.
    #[error("no weld metal is known for {0}")]
    Filler(String),
    /// A metal for which the column curve is not written.
    #[error("the column curve of AISC 360-16 E3 is that of carbon steel, not of {0}")]
    Curve(String),
    /// The wall is thinner than the standard has a formula for.
    #[error("the tube is too thin for AISC 360-16 E7: D/t is above 0.45 E/Fy")]
    Thin,
}

impl NotJudged {
    /// What to add to have it judged.
    pub(crate) fn help(&self) -> &'static str {
        match self {
            Self::Unmade => "see the findings of the link itself",
            Self::Metal => "add `material = \"S235\"` to the link, a row of the `material` table",
            Self::Rating(_) => {
                "add `rating = \"14 kN\"` to the link: the static load rating in the manufacturer's catalogue; \
                 or name the row of the table `rod-end` for its series, such as `M10 standard`"
            }
            Self::Welded(_) => "use a weldable metal: 6061-T6, 5052-H32",
            Self::Strength(_) => STRENGTH,
            Self::Filler(_) => "add `filler`, a row of the `filler` table",
            Self::Curve(_) => {
                "use a tube of carbon steel, write `direction = \"pull\"` if it is only ever in tension, \
                 or prove it by test"
            }
            Self::Thin => "use a tube with a thicker wall",
        }
    }
}

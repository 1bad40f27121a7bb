//! Why a load cannot be read.

use crate::strength::load::At;
use thiserror::Error;

/// Why a load cannot be read: the job names something that does not exist, or lacks something.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum Fault {
    /// The part has no such hole or edge.
    #[error("{}", nowhere(.0))]
    Nowhere(At),
    /// The support that the load names does not exist.
    #[error("this part has no support `{named}`")]
    HeldByNothing {
        /// The name given.
        named: String,
        /// The possible names, as they are typed.
        ways: Vec<String>,
    },
    /// A slot, hexagon or slot for a tongue.
    #[error("hole `{0}` is not round: only round holes are judged")]
    NotRound(String),
    /// The diameter of the pin is not given.
    #[error("what goes through hole `{0}` is not given")]
    NoPin(String),
    /// The diameter of a bolt that supports the part is not given.
    #[error("which bolt goes through hole `{0}`, which holds the part, is not given")]
    NoBolt(String),
    /// No holes for the bolts that are named.
    #[error("the part has no hole `{0}` for the bolts that hold it")]
    NoSuchBolts(String),
    /// A bolt about which the plate turns.
    #[error("a single bolt, about which the plate rotates, cannot carry this load")]
    OneBolt,
    /// No limit is known.
    #[error("no limit is known for this load")]
    Nothing,
    /// The pin is larger than its hole.
    #[error("the pin is larger than hole `{0}`")]
    PinTooLarge(String),
    /// By how much welding weakens the metal is not known.
    #[error("{}", as_welded(.0))]
    Welded(String),
    /// The minimum yield or tensile strength of the metal is not known.
    #[error("the minimum strength of {0} is not known")]
    NoStrength(String),
    /// No weld metal is known.
    #[error("no weld metal is known for {0}")]
    NoFiller(String),
    /// The load acts at the bolts that support the part.
    #[error("the load acts at the bolts that hold the part")]
    NoReach,
}

impl Fault {
    /// What to do about it; `names` are those of the holes and edges of the part.
    pub fn help(&self, names: &[&str]) -> String {
        match self {
            Self::Nowhere(At::Hole(name) | At::Edge(name)) | Self::NoSuchBolts(name) => {
                crate::diag::instead(name, names, "choose from")
            }
            Self::Nowhere(At::Point { .. }) => {
                "a load at a point needs a plate with holes `for` bolts: name a `hole` or `edge`"
                    .into()
            }
            Self::NoBolt(_) => "say in the recipe what goes through: `for = \"bolt\"`; what an \
                 insert holds is not judged"
                .into(),
            Self::Nothing => {
                "add `bolts_grade = \"8.8\"`, a row of the `bolt-grade` table, and `bolts`, the \
                 holes of the bolts"
                    .into()
            }
            Self::OneBolt => {
                "name a set of two bolts or more, or say with `held` what else holds it".into()
            }
            Self::HeldByNothing { ways, .. } => support(ways),
            Self::NotRound(_) => "load a round hole; in an end cap, use `seat = \"behind\"`".into(),
            Self::NoPin(_) => "add `pin = \"10 mm\"`, its diameter".into(),
            Self::PinTooLarge(_) => "make `pin` smaller, or remove it".into(),
            Self::Welded(_) => WELDABLE.into(),
            Self::NoStrength(_) => STRENGTH.into(),
            Self::NoFiller(_) => "add `filler`, a row of the `filler` table".into(),
            Self::NoReach => "name other bolts".into(),
        }
    }
}

/// What to use where a metal has no known strength beside a weld.
pub(super) const WELDABLE: &str = "use a weldable metal: 6061-T6, 5052-H32";

/// What to do where the minimum strength of a metal is not known.
pub(crate) const STRENGTH: &str = "use another metal, or give `yield` and `tensile` of its certificate in a row \
    of your own in the `material` table";

/// That the as-welded strength of a material is not known.
pub(super) fn as_welded(material: &str) -> String {
    format!("the as-welded strength of {material} is not known")
}

/// That a part has no such place for a load.
fn nowhere(at: &At) -> String {
    match at {
        At::Hole(_) | At::Edge(_) => format!("the part has no {}", at.words()),
        At::Point { .. } => "no bolts hold the plate, which a load at a point needs".into(),
    }
}

/// Names the possible supports, as they are typed.
pub(super) fn support(ways: &[String]) -> String {
    let ways: Vec<String> = ways.iter().map(|way| format!("`{way}`")).collect();
    match ways.as_slice() {
        [] => "give the loaded plate a `weld`, or holes `for` bolts in which the load does not act"
            .into(),
        ways => format!("name the support: {}", ways.join(" or ")),
    }
}

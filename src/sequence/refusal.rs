//! Why a bend cannot be made in one setup.

use crate::num;
use crate::num::Angle;
use crate::part::Part;
use crate::quantity::Units;
use crate::sequence::setup::Setup;
use crate::shop::Shop;

/// A setup that does not work, and why.
#[derive(Clone, Debug, PartialEq)]
pub struct Refusal {
    /// The setup.
    pub setup: Setup,
    /// Why not.
    pub why: Why,
}

/// Why a setup does not work. Lengths are mm, forces kN.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Why {
    /// The bend is longer than the tool.
    TooLong {
        /// Of the bend.
        is: f64,
        /// Of the tool.
        max: f64,
    },
    /// The sheet is thicker than the tool bends.
    TooThick {
        /// Of the sheet.
        is: f64,
        /// Of the same metal.
        max: f64,
    },
    /// It takes more force than the tool has.
    Force {
        /// Taken.
        is: f64,
        /// At hand.
        max: f64,
    },
    /// It takes more pull than a person has.
    Pull {
        /// At the end of the lever, N.
        is: f64,
        /// A person's, N.
        max: f64,
        /// From the bend to the hands.
        lever: f64,
        /// The metal along the bend.
        metal: f64,
    },
    /// The bend angle under load is larger than the tool can make.
    Angle {
        /// Needed.
        is: Angle,
        /// Farthest.
        max: Angle,
    },
    /// It gives another inside radius than required.
    Radius {
        /// Asked for.
        is: f64,
        /// Smallest it gives.
        min: f64,
        /// Largest it gives.
        max: f64,
    },
    /// The sheet springs back whole.
    Springs,
    /// It works, but another setup has as much room.
    NotNeeded,
    /// No die of the brake has a V near the usual one.
    NoDie {
        /// Opening of the usual one.
        usual: f64,
    },
    /// A face beside the bend is too short for the tool.
    Flange {
        /// The flange or the face that carries it, by its index.
        face: usize,
        /// How long it is where it is shortest, the ends of the bend left out, measured outside.
        is: f64,
        /// Needed.
        min: f64,
    },
    /// There is too little metal to clamp.
    Clamp {
        /// Flat behind the bend.
        is: f64,
        /// Needed.
        min: f64,
    },
    /// More hangs between the jaws of a vice than its throat is deep.
    Throat {
        /// Hangs below the jaws.
        is: f64,
        /// Depth of the throat.
        max: f64,
    },
    /// The pieces of a tool leave too much of the bend line bare.
    Pieces {
        /// Covered at the best.
        is: f64,
        /// Needed.
        min: f64,
    },
    /// It works, but another setup leaves more room.
    Tight {
        /// The piece of the part that is too near to the tool.
        what: Obstacle,
        /// Which tool.
        tool: &'static str,
        /// How far the bend has been made by then.
        at: Angle,
        /// Room left.
        is: f64,
    },
    /// The part is closed round the tool.
    Closed {
        /// Which tool.
        tool: &'static str,
        /// Whether it does not come off it; else it cannot be put there.
        made: bool,
    },
    /// Something already there is in the way.
    Hits {
        /// A face, by its index; or a bend.
        what: Obstacle,
        /// The tool it hits.
        tool: &'static str,
        /// How far the bend has been turned by then.
        at: Angle,
    },
}

/// What keeps a bend from being made, when every setup was refused.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Cause {
    /// No tool is as long.
    Length,
    /// Those long enough are too weak, or have no die for it.
    Force,
    /// Those strong enough give another inside radius.
    Radius,
    /// Dies with the required radius need a longer flange.
    Flange,
    /// How the part is clamped, how far it bends, or what is in the way.
    Order,
}

impl Cause {
    /// The cause of the most nearly successful setup: setups are refused by length first, then by
    /// force, then by the radius, then by the length to clamp and by the flange. A short flange
    /// leaves too little to clamp when it is clamped itself, so that counts for the flange.
    pub(crate) fn of(refused: &[Refusal]) -> Self {
        let any = |is: fn(&Why) -> bool| refused.iter().any(|refusal| is(&refusal.why));
        let stands_in_the_way = any(|why| {
            matches!(
                why,
                Why::Angle { .. }
                    | Why::Springs
                    | Why::NotNeeded
                    | Why::Throat { .. }
                    | Why::Pieces { .. }
                    | Why::Hits { .. }
                    | Why::Tight { .. }
                    | Why::Closed { .. }
            )
        });
        if stands_in_the_way {
            Self::Order
        } else if any(|why| matches!(why, Why::Flange { .. })) {
            Self::Flange
        } else if any(|why| matches!(why, Why::Clamp { .. })) {
            Self::Order
        } else if any(|why| matches!(why, Why::Radius { .. })) {
            Self::Radius
        } else if any(|why| !matches!(why, Why::TooLong { .. })) {
            Self::Force
        } else {
            Self::Length
        }
    }
}

/// The pieces that can obstruct a tool.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Obstacle {
    /// A face, by its index in the part.
    Face(usize),
    /// A bend, by its index in the part.
    Bend(usize),
}

impl Obstacle {
    /// Its name and kind.
    pub fn words(&self, part: &Part) -> String {
        match self {
            Self::Face(face) => format!("face `{}`", part.faces[*face].name),
            Self::Bend(bend) => format!("bend `{}`", part.bends[*bend].name),
        }
    }
}

impl Refusal {
    /// The refusal in words.
    pub fn words(&self, part: &Part, shop: &Shop, units: Units) -> String {
        format!("{}: {}", self.setup.words(part, shop, units), self.why.words(part, units))
    }
}

impl Why {
    /// How far the bend is made by then, where it fails at some moment of it.
    pub(super) fn at(&self) -> Option<Angle> {
        match self {
            Self::Tight { at, .. } | Self::Hits { at, .. } => Some(*at),
            _ => None,
        }
    }

    /// The reason in words.
    pub fn words(&self, part: &Part, units: Units) -> String {
        let mm = |mm: &f64| units.length(*mm);
        let degrees = |angle: &Angle| format!("{}°", num::text(angle.degrees(), 1));
        match self {
            Self::TooLong { is, max } => {
                format!("the bend is {} long, the tool {}", mm(is), mm(max))
            }
            Self::TooThick { is, max } => {
                format!("it bends up to {} of this metal, the sheet is {}", mm(max), mm(is))
            }
            Self::Force { is, max } => {
                let [is, max] = [is, max].map(|kn| num::text(*kn, 0));
                format!("it needs {is} kN, the brake has {max} kN")
            }
            Self::Pull { is, max, lever, .. } => pulls([*is, *max], &mm(lever), units),
            Self::Angle { is, max } => {
                format!("it must bend to {}, the tool bends to {}", degrees(is), degrees(max))
            }
            Self::Radius { is, max, .. } if is > max => {
                format!("it bends to an inside radius of at most {}, {} is needed", mm(max), mm(is))
            }
            Self::Radius { is, min, .. } => {
                let [is, min] = [is, min].map(mm);
                format!("it bends to an inside radius of at least {min}, {is} is needed")
            }
            Self::Springs => "the sheet springs back completely at this radius".into(),
            Self::NotNeeded => "it would also work, but another setup was chosen".into(),
            Self::NoDie { usual } => format!("it has no die with a V near {}", units.size(*usual)),
            Self::Flange { face, is, min } => format!(
                "face `{}` is {} long where it is shortest (ends of the bend left out), {} is needed",
                part.faces[*face].name,
                mm(is),
                mm(min)
            ),
            Self::Clamp { is, min } => {
                format!("there is {} to clamp, {} is needed", mm(is), mm(min))
            }
            Self::Throat { is, max } => hangs(&mm(is), &mm(max)),
            Self::Pieces { is, min } => format!(
                "its sections cover {} between the obstacles beside the bend, {} is needed",
                mm(is),
                mm(min)
            ),
            Self::Tight { what, tool, at, is } => format!(
                "{} clears the {tool} by {} at {}, another setup leaves more room",
                what.words(part),
                mm(is),
                degrees(at)
            ),
            Self::Closed { tool, made: true } => {
                format!("the part closes round the {tool} and cannot be taken off")
            }
            Self::Closed { tool, made: false } => {
                format!("the part cannot be brought to the {tool}: it is already closed")
            }
            Self::Hits { what, tool, at } => hits(&what.words(part), tool, *at),
        }
    }
}

fn pulls(both: [f64; 2], lever: &str, units: Units) -> String {
    let [is, max] = both.map(|newton| units.pull(newton));
    format!("it needs {is} at the end of a lever of {lever}; one person pulls {max}")
}

fn hangs(is: &str, max: &str) -> String {
    format!("{is} of it hangs between the jaws, the throat is {max} deep")
}

fn hits(what: &str, tool: &str, at: Angle) -> String {
    match at.degrees() < 0.05 {
        true => format!("{what} hits the {tool} before the bend starts"),
        false => format!("{what} hits the {tool} once bent to {}°", num::text(at.degrees(), 1)),
    }
}

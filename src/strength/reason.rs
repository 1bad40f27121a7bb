//! Why a load is not judged, and what to add.

use crate::bend::Form;
use crate::strength::fault::Fault;
use crate::strength::fault::WELDABLE;
use crate::strength::fault::as_welded;
use crate::strength::fault::support;
use thiserror::Error;

/// Why a load is not judged.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum Reason {
    /// Several supports are possible, or none; what may be typed.
    #[error("it is not clear what holds the part")]
    Unclear(Vec<String>),
    /// There are more supports than equilibrium can resolve.
    #[error("statically indeterminate: {} hold it", .0.join(" and "))]
    Several(Vec<String>),
    /// An edge with stretches on several faces: each with its face, as it may be typed.
    #[error("edge `{0}` runs over several faces")]
    Faces(String, Vec<String>),
    /// Holes of one name in several faces: which.
    #[error("how the holes `{0}` of the faces {list} share the load is not known", list = .1.join(", "))]
    Scattered(String, Vec<String>),
    /// An edge that is interrupted within its face.
    #[error("how the lengths of edge `{0}` share the load is not known")]
    Stretches(String),
    /// A weld whose stretches go round an opening or face one another.
    #[error(
        "the weld of `{0}` goes round an opening, or has stretches that face one another: how such a seam shares the load is not checked"
    )]
    Ring(String),
    /// A pin through an eye that would have to support a part along its own axis.
    #[error("a single pin in `{0}` gives the part no support normal to its plate")]
    OnePin(String),
    /// A bend, beyond which nothing would be checked; what may be typed.
    #[error("`{0}` is a bend, not a support: the part beyond it would not be checked")]
    Bend(String, Vec<String>),
    /// The support that the recipe offers, when the job names none, cannot carry the load.
    #[error("the support that the recipe offers cannot carry it: {0}")]
    Offered(Fault),
    /// A bevel at an edge that no weld of the load's support fills.
    #[error(
        "edge `{0}` is bevelled and not the welded edge that holds the part: the sections beside it are not checked"
    )]
    Bevelled(String),
    /// A hole with an insert.
    #[error("how the insert in `{0}` holds in the sheet is not checked")]
    Insert(String),
    /// A fold line on the load path, whose bend is no rectangle.
    #[error(
        "the load crosses bend `{0}`, whose ends are not square, are curved or are opened: its sections are not checked"
    )]
    FoldLine(String),
    /// A bend that is longer than what leads to it.
    #[error(
        "the sheet beside bend `{0}` is in steps: the load does not spread along all of it at 45°"
    )]
    Stepped(String),
    /// A bead in a face that the load passes.
    #[error("bead `{0}` flattens under load across it: the sections of its face are not known")]
    Beaded(String),
    /// A flared hole that is loaded or a support.
    #[error("how a load enters the lip of the flared hole `{0}` is not checked")]
    Flared(String),
    /// A rolled bend or a hem on the load path.
    #[error(
        "the load crosses bend `{0}` ({words}), a curved beam or a folded edge whose sections are not checked",
        words = .1.words()
    )]
    Formed(String, Form),
    /// A cap in a tube.
    #[error("an end cap is held by its weld all round the tube, which is statically indeterminate")]
    Cap,
    /// A plate bent by something of unknown width that bears on it.
    #[error("the width of what bears on the plate is not known")]
    Foot,
    /// A bevel for which the standard has no effective throat.
    #[error(
        "the groove of the bevelled edge `{0}` is narrower than 45°: AISC 360-16 table J2.1 has no throat for it"
    )]
    Groove(String),
    /// A fillet on one side that opens at its root.
    #[error("the fillet on one side of `{0}` is bent open at its root (EN 1993-1-8 4.12)")]
    OpenRoot(String),
    /// A groove on one side that opens at its root.
    #[error("the groove on one side of `{0}` opens at its root (EN 1993-1-8 4.12)")]
    OpenGroove(String),
    /// Metal that splits and rejoins in a way that is not modelled.
    #[error("the load path through `{0}` splits and rejoins: statically indeterminate")]
    Branched(String),
    /// A limit that is 0 or not a number: its name.
    #[error("no strength can be calculated for: {0}")]
    NoFigure(&'static str),
    /// A weld beside which the metal has no known strength: the material.
    #[error("{}", as_welded(.0))]
    Welded(String),
    /// The spread of a force normal to the plate misses a section.
    #[error("a section of `{0}` is bent outside the 45° spread from the load and from its support")]
    Spread(String),
    /// An opening below the load, wider than the load spreads.
    #[error("the metal of `{0}` between the load and an opening spans it as a beam")]
    Bridge(String),
    /// Two openings of which neither is in the other's row.
    #[error("two openings of `{0}` are staggered: the load path between them is not followed")]
    Staggered(String),
    /// Bolts farther to the side than the load spreads.
    #[error("`{0}` is a beam between its bolts: the load does not spread to them at 45°")]
    Beam(String),
    /// Bolts in one line, over which a plate turns, without a section that could be cut.
    #[error("`{0}` pivots about its bolts, which are in one line, and bends between them")]
    InLine(String),
    /// A point that is not over the plate of a face: which.
    #[error("the load acts at a point off the plate `{0}`")]
    Off(String),
    /// The load does not act in front of the support.
    #[error("the load acts at or behind the support")]
    Behind,
}

impl Reason {
    /// Whether it concerns one limit or the seam alone, so that the other limits are valid
    /// without it.
    pub(super) const fn is_of_one(&self) -> bool {
        matches!(
            self,
            Self::NoFigure(_)
                | Self::Welded(_)
                | Self::Groove(_)
                | Self::OpenRoot(_)
                | Self::OpenGroove(_)
        )
    }

    /// What to add to have it judged.
    pub fn help(&self) -> String {
        match self {
            Self::Unclear(ways) | Self::Bend(_, ways) => support(ways),
            Self::Offered(fault) => fault.help(&[]),
            Self::Several(_) => "name one of them, which then carries the load alone".into(),
            Self::Faces(_, faces) => one_face(faces),
            Self::Scattered(..) => "give the holes of each face a name of their own".into(),
            Self::Stretches(_) => {
                "give the loaded or supporting length of the edge its own corner and `edge` name"
                    .into()
            }
            Self::OnePin(_) | Self::Ring(_) => {
                "name with `bolts` or `held` what else holds it, or prove it by test".into()
            }
            Self::Bevelled(_) => {
                "leave out the bevel, give the edge its `weld` and name it with `held`, or prove it \
                 by test"
                    .into()
            }
            Self::Insert(_) => "use its manufacturer's figures, or prove it by test".into(),
            Self::FoldLine(_) => "name a support with `held` or `bolts` on the load's side of the bend, \
                 draw the line square to the edges it crosses, or prove it by test"
                .into(),
            Self::Beaded(_) => "leave out the bead, or prove it by test".into(),
            Self::Flared(_) => "load or hold another hole, or prove it by test".into(),
            Self::Formed(..) | Self::Stepped(_) => "name a support with `held` or `bolts` on the load's side of the bend, or \
                 prove it by test"
                .into(),
            Self::Cap => "a round cap is judged for a load at its centre, along the tube: \
                 `direction = \"normal\"` with the `leg` of its weld; else prove it by test"
                .into(),
            Self::Foot => "add `foot = \"40 mm\"`, the width of what bears on the plate".into(),
            Self::Groove(_) => "bevel it by 45° or more, or prove the groove by test".into(),
            Self::OpenRoot(_) => "weld it on both sides, or prove it by test".into(),
            Self::OpenGroove(_) => {
                "bevel it from both sides: `side = \"both\"`, or prove it by test".into()
            }
            Self::Branched(_) => "name another support, or prove it by test".into(),
            Self::NoFigure(_) => "change the dimensions there, or prove it by test".into(),
            Self::Welded(_) => format!("{WELDABLE}, or weld more than 25 mm (1 in) from the load's path"),
            Self::Spread(_) => {
                "move the support nearer to the load, stiffen it with a rib, or prove it by \
                 test"
                    .into()
            }
            Self::Staggered(_) => {
                "line the openings up along or across the load, or move them further apart".into()
            }
            Self::Bridge(_) => "add a plate there, or make the opening narrower".into(),
            Self::Beam(_) => {
                "move the bolts nearer to the load, stiffen the face with a rib, or prove it by \
                 test"
                    .into()
            }
            Self::InLine(_) => "add bolts off that line, or prove it by test".into(),
            Self::Off(_) => "give `at` as the point where it bears on the plate".into(),
            Self::Behind => "name the support with `held` or `bolts`".into(),
        }
    }
}

/// Names the stretches of an edge, each with its face, as typed.
fn one_face(faces: &[String]) -> String {
    let faces: Vec<String> = faces.iter().map(|face| format!("`{face}`")).collect();
    format!("name the edge of one face: {}", faces.join(" or "))
}

//! A load as given in a job.

use crate::diag::Span;
use crate::geom::Point;
use crate::num::Angle;
use crate::strength::method::Method;
use crate::table::Row;
use std::sync::Arc;

/// The direction of a load, relative to the support.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Direction {
    /// In the plate, directly away from the support.
    Pull,
    /// In the plate, directly towards the support.
    Push,
    /// In the plate, along the edge that supports it, in either direction.
    Along,
    /// Normal to the plate, either way.
    Normal,
    /// In the plate, rotated anticlockwise from a pull by this angle.
    Turned(Angle),
}

impl Direction {
    /// The words a job may use, beside an angle.
    pub const WORDS: [(&'static str, Self); 4] = [
        ("pull", Self::Pull),
        ("push", Self::Push),
        ("along", Self::Along),
        ("normal", Self::Normal),
    ];

    /// Its shares away from the support, along it, and square to the plate: one row for each
    /// way it may act.
    pub(super) fn ways(self) -> Vec<[f64; 3]> {
        match self {
            Self::Pull => vec![[1.0, 0.0, 0.0]],
            Self::Push => vec![[-1.0, 0.0, 0.0]],
            Self::Along => vec![[0.0, 1.0, 0.0], [0.0, -1.0, 0.0]],
            Self::Normal => vec![[0.0, 0.0, 1.0], [0.0, 0.0, -1.0]],
            Self::Turned(angle) => vec![[angle.cos(), angle.sin(), 0.0]],
        }
    }

    /// In words: as a job says it.
    pub fn words(self) -> String {
        match self {
            Self::Turned(angle) => format!("pull rotated by {angle}"),
            _ => {
                let word = Self::WORDS.iter().find(|(_, direction)| *direction == self);
                word.map_or("", |(word, _)| word).to_owned()
            }
        }
    }
}

/// Where a load acts.
#[derive(Clone, Debug, PartialEq)]
pub enum At {
    /// In a hole, or evenly in all holes of a set.
    Hole(String),
    /// Spread along a straight edge.
    Edge(String),
    /// At a point of a bolted plate, or above it.
    Point {
        /// In the drawing of the face.
        at: Point,
        /// How far above its top side, mm.
        above: f64,
    },
}

impl At {
    /// The name of the hole or edge; empty for a point.
    pub fn name(&self) -> &str {
        match self {
            Self::Hole(name) | Self::Edge(name) => name,
            Self::Point { .. } => "",
        }
    }

    /// What acts here in a direction, as a drawing says it.
    pub fn acting(&self, direction: Direction) -> String {
        let here = self.words();
        let is_point = matches!(self, Self::Point { .. });
        match direction {
            Direction::Pull if is_point => format!("load up in the drawing, at {here}"),
            Direction::Push if is_point => format!("load down in the drawing, at {here}"),
            Direction::Pull => format!("tension at {here}"),
            Direction::Push => format!("compression at {here}"),
            Direction::Along => format!("load along the plate at {here}"),
            Direction::Normal => format!("load normal to the plate at {here}"),
            Direction::Turned(angle) => {
                format!("load at {angle} to the tension direction, at {here}")
            }
        }
    }

    /// In words.
    pub fn words(&self) -> String {
        match self {
            Self::Hole(name) => format!("hole `{name}`"),
            Self::Edge(name) => format!("edge `{name}`"),
            Self::Point { above: 0.0, .. } => "a point of the plate".to_owned(),
            Self::Point { .. } => "a point above the plate".to_owned(),
        }
    }
}

/// A load on one set of a part.
#[derive(Clone, Debug)]
pub struct Load {
    /// The case it belongs to: `hard braking`.
    pub name: String,
    /// The part, by the name of its line in the job.
    pub part: String,
    /// Where it acts.
    pub at: At,
    /// The support of the part, where it must be given: a welded edge, a straight edge, a bend,
    /// or `holes`.
    pub held: Option<String>,
    /// On the whole set, N.
    pub force: f64,
    /// Which way.
    pub direction: Direction,
    /// Over how many pieces it is spread, when not over all of the set.
    pub shared: Option<u32>,
    /// Width of what bears on the plate where a load acts at a point, mm.
    pub foot: Option<f64>,
    /// Diameter of the pin, mm, if it differs from the fastener's.
    pub pin: Option<f64>,
    /// A row of the table `bolt-grade`, for the bolt itself.
    pub grade: Option<Arc<Row>>,
    /// The hole or set of holes whose bolts support the part.
    pub bolts: Option<String>,
    /// A row of the table `bolt-grade`, for these bolts.
    pub bolts_grade: Option<Arc<Row>>,
    /// A row of the table `filler`, when not the first for the metal.
    pub filler: Option<Arc<Row>>,
    /// Leg of the fillet, mm, when not that of the recipe.
    pub leg: Option<f64>,
    /// Wall of the tube that the part is welded to, mm.
    pub wall: Option<f64>,
    /// By which rules.
    pub method: Method,
    /// Where its name is written.
    pub here: Span,
    /// The place of the key that says where it acts.
    pub at_span: Span,
    /// The place of the key that names the support.
    pub held_span: Option<Span>,
    /// Where the bolts that support the part are named.
    pub bolts_span: Option<Span>,
    /// Where the part is named.
    pub part_span: Span,
}

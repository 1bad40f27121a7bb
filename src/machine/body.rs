//! A body of a machine: its metal, and the required clearance round it.

use crate::geom::Space;
use crate::geom::dot;
use crate::geom::minus;
use crate::geom::times;
use crate::machine::convex::Convex;
use crate::machine::convex::Disc;

/// What a body is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// A part of the job.
    Part,
    /// A link of the job.
    Link,
    /// A tube of the job.
    Tube,
    /// A panel of the body, which needs clearance.
    Panel,
    /// Anything else that is there.
    Obstacle,
}

impl Kind {
    /// As printed.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Part => "part",
            Self::Link => "link",
            Self::Tube => "tube",
            Self::Panel => "panel",
            Self::Obstacle => "obstacle",
        }
    }
}

/// A line of a body, for its picture.
#[derive(Clone, Debug)]
pub enum Shown {
    /// A round bar along a line, with its radius, mm.
    Bar(Vec<Space>, f64),
    /// A closed outline.
    Loop(Vec<Space>),
}

/// A body.
#[derive(Clone, Debug)]
pub struct Body {
    /// Its name.
    pub name: String,
    /// By what others name it: of a plate its part.
    pub set: String,
    /// What it is.
    pub kind: Kind,
    /// Whether it is the mirror image of one that is given.
    pub other_side: bool,
    /// Required clearance round it, mm.
    pub clearance: Option<f64>,
    /// Whether it moves.
    pub moves: bool,
    /// The names of bodies that it is welded or bolted to.
    pub touches: Vec<String>,
    /// Its metal.
    pub pieces: Vec<Convex>,
    /// Its lines.
    pub shown: Vec<Shown>,
}

/// A plane of symmetry: a point of it, and its normal.
#[derive(Clone, Copy, Debug)]
pub struct Mirror {
    /// A point of it.
    pub at: Space,
    /// Square to it, of length 1.
    pub normal: Space,
}

impl Mirror {
    /// A direction on the other side.
    pub fn way(&self, way: Space) -> Space {
        minus(way, times(self.normal, 2.0 * dot(way, self.normal)))
    }

    /// A place on the other side.
    pub fn place(&self, place: Space) -> Space {
        minus(place, times(self.normal, 2.0 * dot(minus(place, self.at), self.normal)))
    }
}

impl Body {
    /// As printed: link `brace`, on the other side.
    pub fn words(&self) -> String {
        let side = if self.other_side { " on the other side" } else { "" };
        format!("{} `{}`{side}", self.kind.word(), self.name)
    }

    /// Its mirror image.
    #[must_use]
    pub fn mirrored(&self, mirror: &Mirror) -> Self {
        let disc = |disc: &Disc| Disc {
            centre: mirror.place(disc.centre),
            normal: mirror.way(disc.normal),
            ..*disc
        };
        let piece =
            |piece: &Convex| Convex::new(piece.discs().iter().map(disc).collect(), piece.radius());
        let line = |places: &Vec<Space>| places.iter().map(|p| mirror.place(*p)).collect();
        let shown = |shown: &Shown| match shown {
            Shown::Bar(places, radius) => Shown::Bar(line(places), *radius),
            Shown::Loop(places) => Shown::Loop(line(places)),
        };
        Self {
            other_side: true,
            pieces: self.pieces.iter().map(piece).collect(),
            shown: self.shown.iter().map(shown).collect(),
            ..self.clone()
        }
    }

    /// Whether it was given and is there anyway: two such are not compared.
    pub(super) fn is_given(&self) -> bool {
        matches!(self.kind, Kind::Panel | Kind::Obstacle)
    }

    /// Whether it is joined to another.
    pub fn joins(&self, other: &Self) -> bool {
        let names = |a: &Self, b: &Self| a.touches.contains(&b.set);
        names(self, other) || names(other, self)
    }
}

//! A face of a part: its outline, edges, holes, marks and welds.

use crate::diag::Span;
use crate::geom::Edge;
use crate::geom::Outline;
use crate::geom::Place;
use crate::geom::Point;
use crate::geom::Region;
use crate::geom::Vec2;
use crate::part::bead::Bead;
use crate::part::bears::Bears;
use crate::part::bevel::Bevel;
use crate::part::flare::Flare;
use crate::part::insert::Insert;
use crate::part::lightened::Lighten;
use crate::part::lightened::Lightened;
use crate::part::obstacle::Obstacle;
use crate::part::recess::Recess;
use crate::part::thread;
use crate::recipe::Making;
use crate::table::Row;
use std::sync::Arc;

/// One flat piece, drawn in its own plane.
#[derive(Clone, Debug)]
pub struct Face {
    /// Its name.
    pub name: String,
    /// Its outline, without the holes listed beside it.
    pub blank: Region,
    /// The straight edges that have names and are still there.
    pub edges: Vec<NamedEdge>,
    /// The arcs that have names and are still there.
    pub arcs: Vec<NamedEdge>,
    /// Its holes.
    pub holes: Vec<Hole>,
    /// Openings that are to lighten it.
    pub lighten: Vec<Lighten>,
    /// What was made of them, in the same order, once they are cut out of `blank`.
    pub lightened: Vec<Lightened>,
    /// Its scribed or etched marks.
    pub marks: Vec<Mark>,
    /// Its edges that are welded.
    pub welds: Vec<Weld>,
    /// Its edges that are bevelled.
    pub bevels: Vec<Bevel>,
    /// Beads that are formed into it.
    pub beads: Vec<Bead>,
    /// The obstacles it must clear.
    pub obstacles: Vec<Obstacle>,
    /// The bend lines that its outline files show, in the order of their numbers.
    pub bend_lines: Vec<Edge>,
    /// The outline files it is made of.
    pub files: Vec<UsedFile>,
    /// Steps that changed nothing.
    pub idle: Vec<Idle>,
    /// Round tubes to which it is coped.
    pub copes: Vec<Cope>,
    /// The areas where tongues are attached, without their reliefs.
    pub tongues: Vec<Outline>,
}

/// An outline file that a face is made of.
#[derive(Clone, Debug)]
pub struct UsedFile {
    /// Its name.
    pub name: String,
    /// The units of its header, where it was read by them.
    pub header_units: Option<&'static str>,
    /// The largest deviation of its arcs from the curves they replace, mm; 0 if there are none.
    pub off: f64,
}

/// A round tube to which a face is coped.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cope {
    /// A point of its axis, in the drawing of the face.
    pub at: Point,
    /// How far that is above mid-thickness of the sheet, mm.
    pub above: f64,
    /// Direction of the axis in the drawing; with `rise` of length 1.
    pub along: Vec2,
    /// How far the axis rises on that way.
    pub rise: f64,
    /// Radius of the cut: half the outside diameter and the clearance, mm.
    pub radius: f64,
    /// Outside diameter of the tube, mm.
    pub outside: f64,
}

impl Cope {
    /// The same elsewhere, or on the other hand of the part.
    pub(super) fn moved(&self, place: &Place) -> Self {
        Self { at: place.apply(self.at), along: place.direction(self.along), ..*self }
    }
}

/// A step that changed nothing: there was no corner to treat, or the metal was there already.
#[derive(Clone, Debug)]
pub struct Idle {
    /// Its treatment of corners; `None` for a step that adds metal.
    pub does: Option<CornerStep>,
    /// The step in the recipe.
    pub span: Span,
}

/// How a step treats corners.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CornerStep {
    /// Inward corners are filled.
    Fill,
    /// Outward corners are rounded.
    Round,
}

/// A note that an edge is welded.
#[derive(Clone, Debug)]
pub struct Weld {
    /// Name of the edge.
    pub edge: String,
    /// The edges of the outline it follows, metal to their left: up to the mould lines, where
    /// bends take from their ends.
    pub stretches: Vec<Edge>,
    /// On how many sides of the plate there is a fillet: 1 or 2.
    pub sides: u32,
    /// Whether the fillet runs all round the plate at this edge.
    pub(crate) all_round: bool,
    /// Leg of the fillet, mm, if it is given.
    pub leg: Option<f64>,
    /// What there is for that leg, where it is known.
    pub room: Option<LegRoom>,
    /// Remarks.
    pub note: String,
    /// Its entry in the recipe.
    pub span: Span,
    /// The names its leg depends on.
    pub depends: Vec<String>,
}

impl Weld {
    /// The length of its edge as drawn, mm: up to the mould lines. The weld itself may be shorter.
    pub fn edge_length(&self) -> f64 {
        self.stretches.iter().map(Edge::length).sum()
    }
}

/// The metal on which the leg of a fillet lies: of this plate, of another, or of a tube.
#[derive(Clone, Debug, PartialEq)]
pub struct LegRoom {
    /// From the weld to where that metal ends, at the narrowest place, mm.
    pub mm: f64,
    /// What ends it.
    pub till: String,
}

/// A stretch of the outline with a name, a line or an arc; metal lies to its left.
#[derive(Clone, Debug, PartialEq)]
pub struct NamedEdge {
    /// Its name.
    pub name: String,
    /// The stretch that is left.
    pub edge: Edge,
    /// Middle of the edge as drawn, before corners, cuts and fills took from its ends: a
    /// flange on it is drawn from here.
    pub centre: Point,
}

/// The size of a hole as cut, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum HoleSize {
    /// Round.
    Round {
        /// Across.
        diameter: f64,
    },
    /// Round-ended.
    Slot {
        /// Across.
        width: f64,
        /// Over all.
        length: f64,
    },
    /// Round-ended, along an arc.
    ArcSlot {
        /// Across.
        width: f64,
        /// Of its centre line.
        radius: f64,
        /// From the centre of one round end to that of the other, degrees.
        sweep: f64,
    },
    /// Six-sided.
    Hexagon {
        /// Across flats.
        flats: f64,
    },
    /// For a tongue.
    TongueSlot {
        /// Across, for the thickness of the tongue.
        width: f64,
        /// Over all, without the reliefs.
        length: f64,
        /// Radius about each corner.
        relief: f64,
    },
}

/// One hole.
#[derive(Clone, Debug)]
pub struct Hole {
    /// Name of its set, with a number where there are several.
    pub name: String,
    /// Its outline as cut.
    pub outline: Outline,
    /// Its centre.
    pub at: Point,
    /// The size that is cut.
    pub size: HoleSize,
    /// Final diameter, if it is enlarged later, mm.
    pub finished: Option<f64>,
    /// How it is made to its final size.
    pub making: Making,
    /// Its countersink or counterbore, made after cutting.
    pub recess: Option<Recess>,
    /// The lip that is formed round it after cutting.
    pub flare: Option<Flare>,
    /// The thread that is set into it after cutting.
    pub insert: Option<Insert>,
    /// The fastener or other item in it, by its name.
    pub through: Option<String>,
    /// The row of a table that it is.
    pub row: Option<Arc<Row>>,
    /// Its thread, a row with a tap drill, if it is tapped: that of its fastener, else the one
    /// coarse thread of its size.
    pub thread: Option<Arc<Row>>,
    /// Diameter of the circle on which its set is, mm, where that is its pattern.
    pub circle: Option<f64>,
    /// Whether it takes a pin on which the plate hangs, and not a bolt that clamps it.
    pub eye: bool,
    /// What bears on the plate round it.
    pub bears: Bears,
    /// Its entry in the recipe.
    pub span: Span,
    /// The names its size and place depend on.
    pub depends: Vec<String>,
}

impl Hole {
    /// Final diameter of a round hole, mm, without a countersink or counterbore.
    pub fn diameter(&self) -> Option<f64> {
        match self.size {
            HoleSize::Round { diameter } => Some(self.finished.unwrap_or(diameter)),
            _ => None,
        }
    }

    /// The maximum width of a bolt in it, mm: its final diameter, the width of a slot, or the width
    /// across flats of a hexagon. `None` for a slot for a tongue, which takes no bolt.
    pub(crate) fn across(&self) -> Option<f64> {
        match self.size {
            HoleSize::Round { diameter } => Some(self.finished.unwrap_or(diameter)),
            HoleSize::Slot { width, .. } | HoleSize::ArcSlot { width, .. } => Some(width),
            HoleSize::Hexagon { flats } => Some(flats),
            HoleSize::TongueSlot { .. } => None,
        }
    }

    /// Diameter of the item in it, mm, if that is a row of a table: of a bolt, or of the bolt in
    /// the ball of a rod end.
    pub fn pin(&self) -> Option<f64> {
        ["diameter", "bore"].iter().find_map(|field| self.of_row(field))
    }

    /// Whether the item in it determines its thread, where it is tapped: else the thread of its
    /// size is assumed.
    pub(crate) fn thread_is_said(&self) -> bool {
        self.row.as_deref().is_some_and(thread::is_named)
    }

    /// What bears on the plate round it, in words that end before the hole, and its outside diameter, mm,
    /// where a table has it.
    pub(crate) fn bears(&self) -> Option<(&'static str, f64)> {
        match self.bears {
            Bears::Washer => Some(("washer of", self.of_row("washer_outside")?)),
            Bears::Joint(words, outside) => Some((words, outside)),
            Bears::Nothing => None,
        }
    }

    fn of_row(&self, field: &str) -> Option<f64> {
        self.row.as_ref()?.quantity(field).map(|q| q.value)
    }

    /// How far the final hole extends beyond the cut one, all round, mm.
    pub fn growth(&self) -> f64 {
        let HoleSize::Round { diameter } = self.size else { return 0.0 };
        let sunk = self.recess.map(|recess| recess.diameter);
        let formed = self.flare.map(|flare| flare.outside);
        let widest = [self.finished, sunk, formed].into_iter().flatten().fold(diameter, f64::max);
        (widest - diameter) / 2.0
    }

    /// Whether the two sides of the sheet differ by it.
    pub(crate) fn is_one_sided(&self) -> bool {
        self.recess.is_some() || self.flare.is_some() || self.insert.is_some()
    }

    /// How many operations it needs after cutting.
    pub fn operations(&self) -> usize {
        let later = [
            self.making != Making::Cut,
            self.recess.is_some(),
            self.flare.is_some(),
            self.insert.is_some(),
        ];
        later.into_iter().filter(|is| *is).count()
    }

    /// Whether it is the hole of this name, or one of the set of this name.
    pub fn is_of(&self, name: &str) -> bool {
        self.name == name || set_of(&self.name) == Some(name)
    }

    /// The name of its set; its own name if it is the only one.
    pub(crate) fn set(&self) -> &str {
        set_of(&self.name).unwrap_or(&self.name)
    }
}

/// The name of holes that are listed together, which are some or all of the members of a set.
pub(crate) fn told_together(holes: &[&Hole], set: usize) -> String {
    match holes {
        [one] => one.name.clone(),
        [first, ..] if holes.len() == set => first.set().to_owned(),
        some => some.iter().map(|hole| hole.name.as_str()).collect::<Vec<_>>().join(", "),
    }
}

/// The name of the set of a hole that has a number behind it.
pub(crate) fn set_of(hole: &str) -> Option<&str> {
    let (set, number) = hole.rsplit_once(' ')?;
    let is_number = !number.is_empty() && number.chars().all(|c| c.is_ascii_digit());
    is_number.then_some(set)
}

/// A mark of a face.
#[derive(Clone, Debug)]
pub struct Mark {
    /// The mark.
    pub what: Marked,
    /// What its strokes say, with the height of a capital in mm, where they are letters.
    pub said: Option<(String, f64)>,
    /// Transforms its own coordinates to those of the face.
    pub place: Place,
    /// Its entry in the recipe.
    pub span: Span,
}

/// The content of a mark.
#[derive(Clone, Debug)]
pub enum Marked {
    /// Words about the origin, with the height of a capital in mm. The part's name is not yet
    /// known: a `\0`, which no text contains, marks its place.
    Words(String, f64),
    /// Chains of lines.
    Strokes(Vec<Vec<Edge>>),
}

impl Mark {
    /// The same elsewhere, or on the other hand of the part. Words keep their way of reading.
    pub(super) fn moved(&self, to: &Place) -> Self {
        let place = self.place.then(to);
        let place = match &self.what {
            Marked::Strokes(_) => place,
            Marked::Words(..) => Place { mirrored: false, ..place },
        };
        Self { place, ..self.clone() }
    }

    /// Its strokes in the plane of its face; none before the part has its name.
    pub fn strokes(&self) -> Vec<Vec<Edge>> {
        let Marked::Strokes(strokes) = &self.what else { return Vec::new() };
        let moved = |stroke: &Vec<Edge>| stroke.iter().map(|e| e.moved(&self.place)).collect();
        strokes.iter().map(moved).collect()
    }
}

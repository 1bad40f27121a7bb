//! A whole part, and its contents.

use crate::diag::HoleId;
use crate::diag::Span;
use crate::formula::Value;
use crate::geom::Frame;
use crate::geom::Outline;
use crate::geom::Place;
use crate::num::Angle;
use crate::recipe::Inaccuracy;
use crate::table::Row;
use std::sync::Arc;

use crate::part::face::Face;
use crate::part::face::Hole;
use crate::part::joint::Bend;
use crate::part::space_tube::Passing;
use crate::part::tube::Tube;
use crate::recipe::Grain;
use crate::recipe::Hand;

/// A part, ready to be unfolded.
///
/// # Guarantees
/// The first face carries all others through the bends, each face but the first is
/// carried by exactly one bend, and a bend comes after the bend that carries its face.
#[derive(Clone, Debug)]
pub struct Part {
    /// Its suffix among the parts of its set; empty when it is the only one.
    pub suffix: String,
    /// Its hand, where both differ in more than which side is up.
    pub hand: Option<Hand>,
    /// Thickness of the sheet, mm.
    pub thickness: f64,
    /// Its faces.
    pub faces: Vec<Face>,
    /// Its bends.
    pub bends: Vec<Bend>,
    /// Tubes that are cut out of it when it is folded.
    pub tubes: Vec<Tube>,
    /// Tubes in space that pass it.
    pub passing: Vec<Passing>,
    /// Its position in space: a face of it, by its index, and the place of that face; `None` if no
    /// face is on three points.
    pub stands: Option<(usize, Frame)>,
    /// Results worth telling.
    pub facts: Vec<Fact>,
    /// Its features round a rod end.
    pub clevis: Option<Clevis>,
    /// The nut it captures in the bore of a tube.
    pub captured: Option<Captured>,
    /// Where it lies on another part of its set.
    pub laid: Option<Laid>,
    /// Pieces in one set.
    pub copies: u32,
    /// Which direction of the first face lies along the grain.
    pub grain: Grain,
}

impl Part {
    /// The clear distance between ears that are separate plates when they are welded, mm, uncoated;
    /// `None` if there are no such ears, or one piece has both.
    pub fn set_gap(&self) -> Option<f64> {
        self.clevis.as_ref().filter(|clevis| clevis.ears == 1).map(|clevis| clevis.gap)
    }

    /// A hole of this part.
    pub fn hole(&self, id: HoleId) -> &Hole {
        &self.faces[id.face].holes[id.hole]
    }

    /// Every hole with its id, face by face.
    pub fn holes(&self) -> impl Iterator<Item = (HoleId, &Hole)> {
        self.faces.iter().enumerate().flat_map(|(face, of)| {
            let id = move |hole| HoleId { face, hole };
            of.holes.iter().enumerate().map(move |(i, hole)| (id(i), hole))
        })
    }
}

/// Where a plate lies on another.
#[derive(Clone, Debug)]
pub struct Laid {
    /// The face it lies on.
    pub on: String,
    /// Its place in the drawing of that face.
    pub place: Place,
    /// How many lie there.
    pub pieces: u32,
    /// Its entry in the recipe.
    pub span: Span,
}

/// A result worth telling.
#[derive(Clone, Debug)]
pub struct Fact {
    /// Its name.
    pub name: String,
    /// Its value.
    pub value: Value,
    /// One sentence.
    pub about: String,
}

/// Two ears with a rod end between them. Lengths are mm.
#[derive(Clone, Debug)]
pub struct Clevis {
    /// Row of the rod end.
    pub rod_end: Arc<Row>,
    /// Between the bare ears.
    pub gap: f64,
    /// Thickness of the spacer on each side of the ball.
    pub spacer: f64,
    /// The hole for the pin; its face is an ear.
    pub eye: HoleId,
    /// Ears of one piece on the same pin, which share its load.
    pub ears: u32,
    /// From the pin down to the surface below the ear.
    pub floor: f64,
    /// Leg of a fillet between the ears, 0 for none.
    pub weld: f64,
    /// Direction in which the rod end points: 0 is directly away from the foot, anticlockwise positive.
    pub direction: Angle,
    /// How far the rod end must be able to tilt to either side.
    pub swing: Angle,
    /// How far the rod end must be able to rotate about its pin to either side.
    pub rotation: Angle,
    /// Outside diameter of the tube below the ears, 0 for a flat plate.
    pub tube: f64,
    /// What joins the ears between their foot and the pin, in the drawing of the ear.
    pub bridge: Option<Outline>,
    /// How often each inaccuracy enters the gap.
    pub varies: Vec<(Inaccuracy, f64)>,
    /// Its entry in the recipe.
    pub span: Span,
    /// The names its gap depends on.
    pub depends: Vec<String>,
    /// The names its swing depends on.
    pub(crate) swing_depends: Vec<String>,
    /// The names its rotation depends on.
    pub(crate) rotation_depends: Vec<String>,
}

/// A nut in the bore of a tube that the part closes. Lengths are mm.
#[derive(Clone, Debug)]
pub struct Captured {
    /// Row of the nut.
    pub nut: Arc<Row>,
    /// The hole in which it is seated.
    pub seat: HoleId,
    /// Inside width of the tube, as drawn.
    pub bore: f64,
    /// Thickness of its wall, as drawn.
    pub wall: f64,
    /// How far the root of its weld, or a backing ring, projects into the bore.
    pub root: f64,
    /// Leg of a fillet round the nut, 0 for none.
    pub weld: f64,
    /// How far the nut may sit off the centre of its seat.
    pub shift: f64,
    /// From the centre of the face, where the tube's axis is, to the centre of the seat.
    pub aside: f64,
    /// Its entry in the recipe.
    pub span: Span,
    /// The names it depends on.
    pub depends: Vec<String>,
}

//! The part during one bend, and the position of each tool beside it.
//!
//! A tool is a section in the plane square to the bend line.

use crate::brake;
use crate::flat::BendStrip;
use crate::flat::Flat;
use crate::geom::Frame;
use crate::geom::plus;
use crate::geom::times;
use crate::num::Angle;
use crate::sequence::body::Body;
use crate::sequence::body::Pose;
use crate::sequence::hull::Section;
use crate::sequence::plane::Plane;
use crate::sequence::prospect::Prospect;
use crate::sequence::refusal::Obstacle;
use crate::sequence::setup::Setup;
use std::cell::RefCell;
use std::collections::HashMap;
use std::rc::Rc;

/// The section of a tool, and its position.
#[derive(Clone, Copy)]
pub(super) struct PlacedSection<'a> {
    pub(super) section: &'a Section,
    pub(super) seat: Seat,
    /// How much higher than that its own origin is, mm.
    pub(super) lift: f64,
}

/// A tool at its place.
#[derive(Clone, Copy)]
pub(super) struct Fixture<'a> {
    /// Its name.
    pub(super) name: &'static str,
    pub(super) stand: PlacedSection<'a>,
    /// Its extent along the bend, mm from the bend's end at which its folded start is; `None` for
    /// the whole length of the brake.
    pub(super) span: Option<[f64; 2]>,
    /// Whether it is meant to touch the sheet.
    pub(super) touches: bool,
}

/// The position of a tool.
#[derive(Clone, Copy, PartialEq)]
pub(super) enum Seat {
    /// On the clamped side, its foot on the sight line.
    Clamp,
    /// Under the clamped side.
    Bed,
    /// Under the flange, with which it swings.
    Leaf,
    /// In the inside of the bend.
    Punch,
    /// Under the bend, as deep as the punch has moved.
    Die {
        /// Opening, mm.
        v: f64,
    },
}

/// The part during one bend.
pub(super) struct Bending<'a> {
    pub(super) body: &'a Body<'a>,
    made: u32,
    bend: usize,
    /// Its final angle, or that before a hem is flattened.
    pub(super) target: Angle,
    /// While the bend is flat.
    pub(super) flat: Pose,
    /// Moments calculated, by their angle: other tools use the same ones.
    poses: RefCell<HashMap<u64, Rc<Pose>>>,
    /// The same in the coordinates of a tool.
    prospects: RefCell<HashMap<Standpoint, Rc<Prospect>>>,
}

/// The key of a view of a moment: its angle, whether the face that the bend starts from is clamped,
/// the seat, the V and how much higher the tool's origin is, as bits.
type Standpoint = (u64, bool, u8, [u64; 2]);

impl<'a> Bending<'a> {
    /// A bend to an angle, while those of a set are made already.
    pub(super) fn new(body: &'a Body<'a>, made: u32, (bend, target): (usize, Angle)) -> Self {
        let flat = body.pose(made, bend, Angle::ZERO);
        let (poses, prospects) = (RefCell::default(), RefCell::default());
        Self { body, made, bend, target, flat, poses, prospects }
    }

    /// The bends that are made before, as bits, and the one under way.
    pub(super) fn which(&self) -> (u32, usize) {
        (self.made, self.bend)
    }

    pub(super) fn drawn(&self) -> &'a crate::part::Bend {
        &self.body.part.bends[self.bend]
    }

    /// The flat it is bent from.
    pub(super) fn flat(&self) -> &'a Flat {
        self.body.flat
    }

    /// Its strip in the flat.
    pub(super) fn strip(&self) -> &'a BendStrip {
        &self.body.flat.bends[self.bend]
    }

    /// Whether another bend is made already.
    pub(super) fn is_made(&self, bend: usize) -> bool {
        self.made & (1 << bend) != 0
    }

    /// Whether a face lies in one plane with those beside the bend.
    pub(super) fn is_plate(&self, face: usize) -> bool {
        let mut own = self.flat.all().filter(|b| b.what == Obstacle::Face(face));
        own.any(|block| block.plate)
    }

    /// Its length along the line, mm.
    pub(super) fn width(&self) -> f64 {
        self.flat.bend.width
    }

    pub(super) fn pose(&self, angle: Angle) -> Rc<Pose> {
        if self.body.plain {
            return Rc::new(self.body.pose(self.made, self.bend, angle));
        }
        let key = angle.degrees().to_bits();
        let mut poses = self.poses.borrow_mut();
        let pose = || Rc::new(self.body.later(&self.flat, (self.made, self.bend), angle));
        Rc::clone(poses.entry(key).or_insert_with(pose))
    }

    /// A moment in the coordinates of a tool: tools at the same position share it.
    pub(super) fn prospect(
        &self,
        pose: &Pose,
        setup: &Setup,
        stand: &PlacedSection,
    ) -> Rc<Prospect> {
        let (seat, v) = match stand.seat {
            Seat::Clamp => (0, 0.0),
            Seat::Bed => (1, 0.0),
            Seat::Leaf => (2, 0.0),
            Seat::Punch => (3, 0.0),
            Seat::Die { v } => (4, v),
        };
        let stands = setup.hold == self.drawn().from;
        let bits = [v.to_bits(), stand.lift.to_bits()];
        let key = (pose.angle.degrees().to_bits(), stands, seat, bits);
        let new = || Rc::new(Prospect::new(self.plane_of(pose, setup, stand), pose));
        if self.body.plain {
            return new();
        }
        let mut prospects = self.prospects.borrow_mut();
        Rc::clone(prospects.entry(key).or_insert_with(new))
    }

    /// The plane over a frame, from the sheet's inside face up; u along its y or against it.
    pub(super) fn plane(&self, frame: &Frame, sign: f64) -> Plane {
        let (v, origin) = if self.drawn().up {
            (frame.z, frame.origin)
        } else {
            let depth = times(frame.z, -self.body.part.thickness);
            (times(frame.z, -1.0), plus(frame.origin, depth))
        };
        Plane { origin, along: frame.x, u: times(frame.y, sign), v }
    }

    /// u runs from the clamped side to the other.
    fn sign(&self, setup: &Setup) -> f64 {
        if setup.hold == self.drawn().from { 1.0 } else { -1.0 }
    }

    /// The plane where the clamped side ends, or the other.
    pub(super) fn at_end(&self, pose: &Pose, setup: &Setup, held: bool) -> Plane {
        let share = if (setup.hold == self.drawn().from) == held { 0.0 } else { 1.0 };
        self.plane(&pose.bend.frame_at(share), self.sign(setup))
    }

    /// The position of a tool at one moment.
    pub(super) fn plane_of(&self, pose: &Pose, setup: &Setup, stand: &PlacedSection) -> Plane {
        let thickness = self.body.part.thickness;
        let middle = || self.plane(&pose.bend.frame_at(0.5), self.sign(setup));
        let plane = match stand.seat {
            Seat::Clamp => {
                // Overbent, the bend is tighter than when finished, and is drawn to the nose.
                let sight = brake::sight_line(self.drawn().bend.radius().min(pose.bend.radius));
                self.at_end(pose, setup, true).shifted(sight, 0.0)
            }
            Seat::Bed => self.at_end(pose, setup, true).shifted(0.0, -thickness),
            Seat::Leaf => self.at_end(pose, setup, false).shifted(0.0, -thickness),
            Seat::Punch => middle(),
            Seat::Die { v } => {
                let top = brake::shoulders(v, thickness, pose.bend.radius, pose.angle);
                middle().shifted(0.0, top)
            }
        };
        plane.shifted(0.0, stand.lift)
    }
}

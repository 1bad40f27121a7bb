//! The bolts by which a part is fixed to its support.

use crate::geom::Frame;
use crate::geom::Point;
use crate::geom::Space;
use crate::geom::Vec2;
use crate::geom::dot;
use crate::geom::plus;
use crate::geom::times;
use crate::part::Face;
use crate::part::Hole;
use crate::part::Part;
use crate::recipe::Measured;
use crate::strength::bolt::Bolt;
use crate::strength::bolt::BoltHole;
use crate::strength::fault::Fault;
use crate::strength::group;
use crate::strength::group::Group;
use crate::strength::group::Pull;
use crate::strength::metalwork::Metalwork;
use crate::strength::place;
use crate::strength::pry::Lines;
use crate::strength::pry::Pried;
use crate::strength::tear_out::Pinned;

/// Less than this is no force and no height.
const NOTHING: f64 = 1e-9;

/// The face that is screwed down, with its bolts.
pub(super) struct Seat<'a> {
    pub(super) part: &'a Part,
    pub(super) face: usize,
    pub(super) bolts: Vec<Screwed<'a>>,
    frame: Frame,
    /// Where the seating face is, mm above the top side: on the side the load is not on.
    height: f64,
    /// From the centre of the group to the load, in the drawing.
    arm: Space,
    /// 1 where the load would lift the plate off its seat along z, −1 against it.
    lifts: f64,
}

/// A hole with its bolt, mm.
pub(super) struct Screwed<'a> {
    pub(super) hole: &'a Hole,
    /// Diameter of the hole.
    pub(super) size: f64,
    /// Diameter of the bolt.
    pub(super) pin: f64,
}

impl<'a> Seat<'a> {
    /// The seat of a part held by bolts in these holes, for a load at a point in space.
    pub(super) fn new(
        part: &'a Part,
        face: usize,
        holes: &[&'a Hole],
        frame: Frame,
        load: Space,
    ) -> Result<Self, Fault> {
        let bolts: Vec<Screwed> = holes.iter().map(|h| screwed(h)).collect::<Result<_, Fault>>()?;
        let centre = place::centre(holes);
        let spot = frame.seen(load);
        let half = part.thickness / 2.0;
        let above = spot[2] + half;
        let (height, lifts) = match above {
            _ if above > NOTHING => (-2.0 * half, 1.0),
            _ if above < -NOTHING => (0.0, -1.0),
            _ => (-half, 1.0),
        };
        let arm = [spot[0] - centre.x, spot[1] - centre.y, spot[2] - height];
        Ok(Self { part, face, bolts, frame, height, arm, lifts })
    }

    pub(super) fn drawn(&self) -> &'a Face {
        &self.part.faces[self.face]
    }

    fn places(&self) -> Vec<Point> {
        self.bolts.iter().map(|b| b.hole.at).collect()
    }

    /// What each bolt takes of a force of 1 N that acts in this direction.
    pub(super) fn shares(&self, force: Space) -> Result<Group, Fault> {
        let [x, y, z] = [self.frame.x, self.frame.y, self.frame.z].map(|axis| dot(force, axis));
        let pull = Pull {
            force: [x, y, self.lifts * z],
            from: [self.arm[0], self.arm[1], self.lifts * self.arm[2]],
        };
        let metal = Metalwork::solid(self.drawn());
        let places = self.places();
        let edges = |away: Vec2| {
            let each = places.iter().map(|p| metal.free(*p, away));
            each.fold(f64::INFINITY, f64::min)
        };
        group::shares(&places, &pull, edges).ok_or(Fault::OneBolt)
    }

    /// The forces of the bolts and of the seat on the part, and where they act.
    pub(super) fn reactions(&self, group: &Group) -> Vec<(Space, Space)> {
        let each = self.bolts.iter().zip(&group.bolts);
        let reaction = |(bolt, share): (&Screwed, &group::Share)| {
            let back = self.frame.direction(-share.shear);
            let down = times(self.frame.z, -self.lifts * share.tension);
            (self.frame.point(bolt.hole.at, self.height), plus(back, down))
        };
        each.map(reaction).collect()
    }

    /// The hole of a bolt, and what bears on it.
    pub(super) fn hole(&self, bolt: &Screwed, clear: f64) -> BoltHole {
        BoltHole::of(bolt.hole, self.part.thickness, bolt.pin, clear)
    }

    /// The leg round a bolt, where a bend pulls at it: the nearest of these bends of the face.
    pub(super) fn pried(&self, bolt: &Screwed, pulled: impl Fn(usize) -> bool) -> Option<Pried> {
        let (part, hole) = (self.part, bolt.hole);
        let bends = part.bends.iter().enumerate();
        let bends = bends.filter(|(i, b)| (b.from == self.face || b.to == self.face) && pulled(*i));
        let face = self.drawn();
        let legs = bends.filter_map(|(_, bend)| {
            let (on, out) = match bend.to == self.face {
                true => (Point::ZERO, Vec2::new(0.0, 1.0)),
                false => {
                    let edge = face.edges.get(bend.edge)?.edge;
                    let along = edge.direction_at_start();
                    (edge.from, Vec2::new(-along.y, along.x))
                }
            };
            // From the centre of the leg on that side.
            let outside = match bend.measured {
                Measured::Inside => -part.thickness / 2.0,
                Measured::Outside | Measured::TangentOutside | Measured::Tangent => {
                    part.thickness / 2.0
                }
            };
            let heel = (hole.at - on).dot(out) - outside;
            let across = Vec2::new(-out.y, out.x);
            let width = [across, -across].map(|side| self.half(hole, side).min(heel));
            let toe = Metalwork::solid(face).free(hole.at, out);
            let size = place::widest(hole).unwrap_or(bolt.size);
            let uses = bend.bend.allowance();
            let from_bend = (hole.at - on).dot(out) - bend.drawn_setback() + uses / 2.0;
            let line = |at: Point| [at + across * width[0], at - across * width[1]];
            (heel > 0.0).then_some(Pried {
                thickness: part.thickness,
                bolt: bolt.pin,
                hole: size,
                heel,
                toe,
                width: width[0] + width[1],
                lines: Lines {
                    heel: (line(hole.at - out * from_bend), uses / 2.0),
                    bolt: (line(hole.at), size / 2.0),
                },
            })
        });
        legs.min_by(|a, b| a.heel.total_cmp(&b.heel))
    }

    /// Of the plate beside a bolt, that belongs to it: half way to the next bolt, or to the
    /// edge, mm.
    fn half(&self, hole: &Hole, along: Vec2) -> f64 {
        let next = self.bolts.iter().map(|other| (other.hole.at - hole.at).dot(along) / 2.0);
        let next = next.filter(|half| *half > NOTHING).fold(f64::INFINITY, f64::min);
        next.min(Metalwork::solid(self.drawn()).free(hole.at, along))
    }
}

impl<'a> Screwed<'a> {
    /// As a pin, for tear-out of the plate.
    pub(super) fn pinned(&self) -> Pinned<'a> {
        Pinned { hole: self.hole, diameter: self.size, pin: self.pin }
    }

    /// The bolt itself, of a grade with this tensile strength.
    pub(super) fn bolt(&self, tensile_strength: f64) -> Bolt {
        let flat_head = self.hole.recess.is_some_and(|recess| recess.angle.is_some());
        Bolt { diameter: self.pin, tensile_strength, flat_head }
    }
}

/// A hole and its bolt.
fn screwed(hole: &Hole) -> Result<Screwed<'_>, Fault> {
    let size = hole.diameter().ok_or_else(|| Fault::NotRound(hole.name.clone()))?;
    let pin = hole.pin().ok_or_else(|| Fault::NoBolt(hole.name.clone()))?;
    Ok(Screwed { hole, size, pin })
}

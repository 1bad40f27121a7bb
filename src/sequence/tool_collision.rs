//! The room between part and tools while a bend is made, from flat to its angle.
//!
//! What of the part passes a tool along the bend line is projected on the plane square to
//! it, whole thickness and all. Where tool and part touch because they are meant to, only
//! what reaches through the surface that touches counts.

use crate::geom::Point;
use crate::num;
use crate::num::Angle;
use crate::sequence::body;
use crate::sequence::body::Block;
use crate::sequence::body::Pose;
use crate::sequence::hull;
use crate::sequence::refusal::Obstacle;
use crate::sequence::refusal::Why;
use crate::sequence::room::Room;
use crate::sequence::section::Bending;
use crate::sequence::section::Fixture;
use crate::sequence::section::Seat;
use crate::sequence::setup::Setup;
use crate::sequence::view::TOUCH;
use crate::sequence::view::View;

/// Smallest step of a bend that is tested, degrees.
const STEP: f64 = 0.5;

/// The next moment that is tested, degrees, if this many ahead can be skipped: on a grid, so that a
/// moment serves all tools.
fn next(degrees: f64, ahead: f64) -> f64 {
    ((degrees + ahead) / STEP).floor().max((degrees / STEP).floor() + 1.0) * STEP
}

impl Bending<'_> {
    /// The minimum clearance between the part and some tools while the bend is made; if it is less
    /// than `enough` exact, else `enough`.
    ///
    /// # Errors
    /// What hits which tool, or that the clearance is no more than `floor`.
    pub(super) fn room(
        &self,
        setup: &Setup,
        fixtures: &[Fixture],
        floor: f64,
        enough: f64,
    ) -> Result<Room, Why> {
        let full = setup.under_load.degrees();
        let reach = self.reach();
        let mut room = Room { mm: enough, nearest: None };
        let mut degrees = 0.0;
        loop {
            let pose = self.pose(Angle::from_degrees(degrees));
            let mut ahead = f64::INFINITY;
            for fixture in fixtures {
                let view = View::new(self, &pose, setup, fixture);
                for (at, (block, reach)) in pose.all().zip(&reach).enumerate() {
                    let speed = self.speed(setup, fixture, block.carried, *reach);
                    let until = |mm: f64| Angle::from_radians(mm / speed).degrees();
                    let least = view.at_least(at, enough);
                    // No result of it could change the known one.
                    let is_next = next(degrees, ahead) <= next(degrees, 0.0);
                    let is_slow = speed <= 0.0 || is_next || until(least - room.mm) >= ahead;
                    if !self.body.plain && least > room.mm.max(TOUCH) && is_slow {
                        continue;
                    }
                    let apart = view.distance_to(at, enough);
                    let hit = (block.what, fixture.name, pose.angle);
                    if apart.hits() {
                        return Err(Why::Hits { what: hit.0, tool: hit.1, at: hit.2 });
                    }
                    if apart.room < room.mm {
                        room = Room { mm: apart.room, nearest: Some(hit) };
                    }
                    if speed > 0.0 {
                        ahead = ahead.min(until((apart.room - room.mm).min(apart.until)));
                    }
                }
            }
            if room.mm <= floor {
                return Err(room.too_little());
            }
            if degrees >= full {
                self.bottoms_out(&pose, setup, fixtures)?;
                return Ok(room);
            }
            degrees = next(degrees, if self.body.plain { 0.0 } else { ahead }).min(full);
        }
    }

    /// Whether a tool leaves no more clearance than `floor`, or is hit, at this bend angle: then it
    /// does in the whole of it.
    pub(super) fn is_tight(
        &self,
        setup: &Setup,
        fixture: &Fixture,
        made: Angle,
        [floor, enough]: [f64; 2],
    ) -> bool {
        let pose = self.pose(made);
        let view = View::new(self, &pose, setup, fixture);
        let is_tight = |at: usize| {
            let apart = view.distance_to(at, enough);
            apart.hits() || apart.room <= floor
        };
        let is_near =
            |at: &usize| self.body.plain || view.at_least(*at, enough) <= floor.max(TOUCH);
        (0..pose.blocks.len()).filter(is_near).any(is_tight)
    }

    /// Whether the bend itself, made to its angle, runs into a die that is not deep enough.
    ///
    /// # Errors
    /// When it does.
    fn bottoms_out(&self, pose: &Pose, setup: &Setup, fixtures: &[Fixture]) -> Result<(), Why> {
        for fixture in
            fixtures.iter().filter(|f| f.touches && matches!(f.stand.seat, Seat::Die { .. }))
        {
            let plane = self.plane_of(pose, setup, &fixture.stand);
            for corners in body::chunks(&pose.bend) {
                let seen = corners.iter().map(|c| plane.seen(*c));
                let outline = hull::hull(seen.map(|[_, u, v]| Point::new(u, v)).collect());
                if fixture.stand.section.distance_to(&outline) <= TOUCH {
                    let what = Obstacle::Bend(pose.bend.bend);
                    return Err(Why::Hits { what, tool: fixture.name, at: pose.angle });
                }
            }
        }
        Ok(())
    }

    /// How far each block reaches from the bend, in the plane square to it, mm.
    fn reach(&self) -> Vec<f64> {
        let plane = self.plane(&self.flat.bend.frame_at(0.5), 1.0);
        let allowance = self.flat.bend.allowance;
        let of = |block: &Block| {
            let far = block.corners.iter().map(|c| {
                let [_, u, v] = plane.seen(*c);
                num::hypot(u, v)
            });
            far.fold(0.0, f64::max) + allowance
        };
        self.flat.all().map(of).collect()
    }

    /// The most that a block comes nearer to a tool for a radian of the bend, mm.
    fn speed(&self, setup: &Setup, fixture: &Fixture, carried: bool, reach: f64) -> f64 {
        let held = carried != (setup.hold == self.drawn().from);
        match fixture.stand.seat {
            Seat::Clamp | Seat::Bed if held => 0.0,
            Seat::Leaf if !held => 0.0,
            Seat::Clamp | Seat::Bed | Seat::Leaf => reach,
            Seat::Punch => reach / 2.0,
            Seat::Die { v } => {
                let cos = Angle::from_degrees(setup.under_load.degrees() / 2.0).cos();
                reach / 2.0 + (v / 4.0 + self.body.part.thickness) / (cos * cos)
            }
        }
    }
}

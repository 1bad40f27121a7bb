//! The part during one bend, held against the sections of the tools.
//!
//! What of the part passes a tool along the bend line is projected on the plane square to
//! it, whole thickness and all. Where tool and part touch because they are meant to, only
//! what reaches through the surface that touches counts.

use crate::brake;
use crate::fold;
use crate::fold::Frame;
use crate::fold::Space;
use crate::geom::Bounds;
use crate::geom::Point;
use crate::geom::Vec2;
use crate::num::Angle;
use crate::order::Way;
use crate::order::Why;
use crate::order::body::Block;
use crate::order::body::Body;
use crate::order::body::Pose;
use crate::order::hull;
use crate::order::hull::Section;
use crate::order::room::Room;


/// What comes nearer than this touches, mm. Our choice: below what a tool is true to.
pub(super) const TOUCH: f64 = 0.05;

/// The two faces beside a bend run close to the tool by design; within so many thicknesses
/// of the nose of a folding brake they must only not run into it. Our choice: as wide as a usual V.
const NEAR_NOSE: f64 = 8.0;

/// Smallest step of a bend that is looked at, degrees.
const STEP: f64 = 0.5;

/// A tool at its place.
#[derive(Clone, Copy)]
pub(super) struct Fixture<'a> {
    /// What it is called.
    pub(super) name: &'static str,
    /// Its section.
    pub(super) section: &'a Section,
    /// Where it stands.
    pub(super) seat: Seat,
    /// How much higher than that its own origin lies, mm.
    pub(super) lift: f64,
    /// From where to where it stands along the bend, mm from the bend's end at which its
    /// folded start lies; nothing for the whole length of the brake.
    pub(super) span: Option<[f64; 2]>,
    /// Whether it is meant to touch the sheet.
    pub(super) touches: bool,
}

/// Where a tool stands.
#[derive(Clone, Copy, PartialEq)]
pub(super) enum Seat {
    /// On the held side, its foot on the sight line.
    Clamp,
    /// Under the held side.
    Bed,
    /// Under the flange, with which it swings.
    Leaf,
    /// In the inside of the bend.
    Punch,
    /// Under the bend, as deep as the punch has gone.
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
    /// While the bend is flat.
    pub(super) flat: Pose,
}

/// A tool's plane: where it stands, along the bend, towards the operator, up.
#[derive(Clone, Copy)]
pub(super) struct Plane {
    origin: Space,
    along: Space,
    u: Space,
    v: Space,
}

/// One tool and the part at one moment.
pub(super) struct View<'a> {
    bending: &'a Bending<'a>,
    pose: &'a Pose,
    way: &'a Way,
    fixture: &'a Fixture<'a>,
    plane: Plane,
}

/// The outline of a block as a tool sees it, and how near it may come, mm.
pub(super) struct Seen {
    pub(super) polygon: Vec<Point>,
    /// From the polygon to the surface of the sheet, mm.
    pub(super) skin: f64,
    /// Whether it may come as near as it likes.
    pub(super) beside: bool,
}

impl<'a> Bending<'a> {
    /// A bend while those of a set are made already.
    pub(super) fn new(body: &'a Body<'a>, made: u32, bend: usize) -> Self {
        Self { body, made, bend, flat: body.pose(made, bend, Angle::ZERO) }
    }

    pub(super) fn drawn(&self) -> &'a crate::part::Bend {
        &self.body.part.bends[self.bend]
    }

    /// Its length along the line, mm.
    pub(super) fn width(&self) -> f64 {
        self.flat.bend.width
    }

    pub(super) fn pose(&self, angle: Angle) -> Pose {
        self.body.pose(self.made, self.bend, angle)
    }

    /// The plane over a frame, from the sheet's inside face up; u along its y or against it.
    pub(super) fn plane(&self, frame: &Frame, sign: f64) -> Plane {
        let (v, origin) = if self.drawn().up {
            (frame.z, frame.origin)
        } else {
            let depth = fold::times(frame.z, -self.body.part.thickness);
            (fold::times(frame.z, -1.0), fold::plus(frame.origin, depth))
        };
        Plane { origin, along: frame.x, u: fold::times(frame.y, sign), v }
    }

    /// u runs from the held side to the other.
    fn sign(&self, way: &Way) -> f64 {
        if way.hold == self.drawn().from { 1.0 } else { -1.0 }
    }

    /// The plane where the held side ends, or the other.
    pub(super) fn at_end(&self, pose: &Pose, way: &Way, held: bool) -> Plane {
        let share = if (way.hold == self.drawn().from) == held { 0.0 } else { 1.0 };
        self.plane(&pose.bend.frame_at(share), self.sign(way))
    }

    /// Where a tool stands at one moment.
    fn stands(&self, pose: &Pose, way: &Way, fixture: &Fixture) -> Plane {
        let thickness = self.body.part.thickness;
        let middle = || self.plane(&pose.bend.frame_at(0.5), self.sign(way));
        let plane = match fixture.seat {
            Seat::Clamp => {
                // Made past its angle the bend is tighter than in the end, and draws to the nose.
                let sight = brake::sight_line(self.drawn().bend.radius().min(pose.bend.radius));
                self.at_end(pose, way, true).shifted(sight, 0.0)
            }
            Seat::Bed => self.at_end(pose, way, true).shifted(0.0, -thickness),
            Seat::Leaf => self.at_end(pose, way, false).shifted(0.0, -thickness),
            Seat::Punch => middle(),
            Seat::Die { v } => {
                let top = brake::shoulders(v, thickness, pose.bend.radius, pose.angle);
                middle().shifted(0.0, top)
            }
        };
        plane.shifted(0.0, fixture.lift)
    }

    /// The least room between the part and some tools while the bend is made; less than
    /// `enough` as it is, else `enough`.
    ///
    /// # Errors
    /// What hits which tool, or that there is no more room than `floor`.
    pub(super) fn room(
        &self,
        way: &Way,
        fixtures: &[Fixture],
        floor: f64,
        enough: f64,
    ) -> Result<Room, Why> {
        let full = way.under_load.degrees();
        let reach = self.reach();
        let mut room = Room { mm: enough, nearest: None };
        let mut degrees = 0.0;
        loop {
            let pose = self.pose(Angle::from_degrees(degrees));
            let mut ahead = f64::INFINITY;
            for fixture in fixtures {
                let view = View::new(self, &pose, way, fixture);
                for (block, reach) in pose.blocks.iter().zip(&reach) {
                    let apart = view.apart(block, enough);
                    let hit = (block.what, fixture.name, pose.angle);
                    if apart <= TOUCH {
                        return Err(Why::Hits { what: hit.0, tool: hit.1, at: hit.2 });
                    }
                    if apart < room.mm {
                        room = Room { mm: apart, nearest: Some(hit) };
                    }
                    let speed = self.speed(way, fixture, block.carried, *reach);
                    if speed > 0.0 {
                        let until = Angle::from_radians((apart - room.mm) / speed).degrees();
                        ahead = ahead.min(until);
                    }
                }
            }
            if room.mm <= floor {
                return Err(room.too_little());
            }
            if degrees >= full {
                return Ok(room);
            }
            degrees = (degrees + ahead.max(STEP)).min(full);
        }
    }

    /// How far each block reaches from the bend, in the plane square to it, mm.
    fn reach(&self) -> Vec<f64> {
        let plane = self.plane(&self.flat.bend.frame_at(0.5), 1.0);
        let allowance = self.flat.bend.allowance;
        let of = |block: &Block| {
            let far = block.corners.iter().map(|c| {
                let [_, u, v] = plane.seen(*c);
                crate::num::hypot(u, v)
            });
            far.fold(0.0, f64::max) + allowance
        };
        self.flat.blocks.iter().map(of).collect()
    }

    /// The most that a block comes nearer to a tool for a radian of the bend, mm.
    fn speed(&self, way: &Way, fixture: &Fixture, carried: bool, reach: f64) -> f64 {
        let held = carried != (way.hold == self.drawn().from);
        match fixture.seat {
            Seat::Clamp | Seat::Bed if held => 0.0,
            Seat::Leaf if !held => 0.0,
            Seat::Clamp | Seat::Bed | Seat::Leaf => reach,
            Seat::Punch => reach / 2.0,
            Seat::Die { v } => {
                let cos = Angle::from_degrees(way.under_load.degrees() / 2.0).cos();
                reach / 2.0 + (v / 4.0 + self.body.part.thickness) / (cos * cos)
            }
        }
    }

}

/// Halvings by which the room beside a tool is found: to a hundredth of what is enough.
const HALVINGS: usize = 8;

impl<'a> View<'a> {
    pub(super) fn new(
        bending: &'a Bending<'a>,
        pose: &'a Pose,
        way: &'a Way,
        fixture: &'a Fixture<'a>,
    ) -> Self {
        let plane = bending.stands(pose, way, fixture);
        Self { bending, pose, way, fixture, plane }
    }

    fn thickness(&self) -> f64 {
        self.bending.body.part.thickness
    }

    fn held(&self, block: &Block) -> bool {
        block.carried != (self.way.hold == self.bending.drawn().from)
    }

    fn corners(&self, block: &Block) -> Vec<[f64; 3]> {
        block.corners.iter().map(|c| self.plane.seen(*c)).collect()
    }

    /// From a block to the tool, mm: 0 or less where it hits, infinite where it never matters.
    fn apart(&self, block: &Block, enough: f64) -> f64 {
        let (section, span) = (self.fixture.section, self.fixture.span);
        let corners = self.corners(block);
        let beside = span.map_or(0.0, |span| beside(&corners, span));
        if beside >= enough {
            return beside;
        }
        let far = around(&corners).distance(&section.bounds);
        if far >= enough {
            return far;
        }
        let at = |widened: f64| {
            let span = span.map(|[low, high]| [low - widened, high + widened]);
            let apart = |seen: &Seen| match section.apart(&seen.polygon) - seen.skin {
                apart if seen.beside && apart > -TOUCH => f64::INFINITY,
                apart => apart,
            };
            let seen = self.seen(block, &corners, span);
            seen.iter().map(apart).fold(f64::INFINITY, f64::min)
        };
        if span.is_none() {
            return at(0.0);
        }
        let widest = at(enough);
        if widest >= enough {
            return widest;
        }
        if at(0.0) <= 0.0 {
            return 0.0;
        }
        // The widest berth that stays clear of the tool on all sides.
        let (mut low, mut high) = (0.0, enough);
        for _ in 0..HALVINGS {
            let middle = (low + high) / 2.0;
            if at(middle) >= middle {
                low = middle;
            } else {
                high = middle;
            }
        }
        low
    }

    /// What the tool sees of a block within a stretch of the bend line.
    fn seen(&self, block: &Block, corners: &[[f64; 3]], span: Option<[f64; 2]>) -> Vec<Seen> {
        let of = |polygon: Vec<Point>, skin: f64, beside: bool| {
            (!polygon.is_empty()).then_some(Seen { polygon, skin, beside })
        };
        if self.fixture.touches && self.rests(block) {
            let through = self.through(block, &outline(corners, span));
            return of(through, 0.0, false).into_iter().collect();
        }
        if !(self.fixture.touches && block.plate) {
            return of(outline(corners, span), 0.0, false).into_iter().collect();
        }
        // A face beside the bend, by the middle of its thickness.
        let ring = corners.len() / 2;
        let middle: Vec<[f64; 3]> = (0..ring)
            .map(|i| [0, 1, 2].map(|axis| (corners[i][axis] + corners[i + ring][axis]) / 2.0))
            .collect();
        let line = outline(&[middle.clone(), middle].concat(), span);
        let skin = self.thickness() / 2.0;
        let (free, near) = self.berth();
        let close = without_box(&line, free).into_iter().filter_map(|p| of(p, skin, true));
        let wide = without_box(&line, near).into_iter().filter_map(|p| of(p, skin, false));
        close.chain(wide).collect()
    }

    /// What of a block reaches through the surface on which its side of the sheet lies on the tool.
    fn through(&self, block: &Block, polygon: &[Point]) -> Vec<Point> {
        let leg = self.bending.at_end(self.pose, self.way, self.held(block));
        let [_, u, v] = self.plane.seen(leg.origin);
        let up = Vec2::new(fold::dot(leg.v, self.plane.u), fold::dot(leg.v, self.plane.v));
        let surface = Point::new(u, v);
        match self.fixture.seat {
            Seat::Clamp | Seat::Punch => hull::clipped(polygon, surface + up * TOUCH, up),
            Seat::Bed | Seat::Leaf | Seat::Die { .. } => {
                hull::clipped(polygon, surface - up * (self.thickness() + TOUCH), -up)
            }
        }
    }

    /// Whether a block belongs to a side of the sheet that lies on the tool.
    fn rests(&self, block: &Block) -> bool {
        match self.fixture.seat {
            Seat::Clamp | Seat::Bed => self.held(block),
            Seat::Leaf => !self.held(block),
            Seat::Die { .. } => true,
            Seat::Punch => false,
        }
    }

    /// How near to the tool's origin a face beside the bend is left alone, and how near it
    /// must only not run into the tool, mm.
    fn berth(&self) -> (f64, f64) {
        let thickness = self.thickness();
        match self.fixture.seat {
            // The tip itself is pressed into the sheet, whose two sides close on it by
            // their angle, which is looked at apart.
            Seat::Punch => {
                let usual = brake::v_opening(thickness);
                (usual / 2.0, 1.5 * usual)
            }
            _ => {
                // The fold lays a bend half made in a wider arc than the nose, round which it goes.
                let free = self.bending.drawn().bend.radius() + thickness;
                (free, free.max(NEAR_NOSE * thickness))
            }
        }
    }

    /// What the tool sees of all blocks within a stretch of the bend line.
    pub(super) fn all(&self, span: Option<[f64; 2]>) -> Vec<Seen> {
        let blocks = self.pose.blocks.iter();
        blocks.flat_map(|block| self.seen(block, &self.corners(block), span)).collect()
    }
}

impl Plane {
    fn shifted(self, u: f64, v: f64) -> Self {
        let moved = fold::plus(fold::times(self.u, u), fold::times(self.v, v));
        Self { origin: fold::plus(self.origin, moved), ..self }
    }

    pub(super) fn seen(&self, p: Space) -> [f64; 3] {
        let from = fold::minus(p, self.origin);
        [self.along, self.u, self.v].map(|axis| fold::dot(from, axis))
    }
}

/// How far a block lies beside a stretch of the bend line, mm.
fn beside(corners: &[[f64; 3]], [low, high]: [f64; 2]) -> f64 {
    let least = corners.iter().map(|c| c[0]).fold(f64::INFINITY, f64::min);
    let most = corners.iter().map(|c| c[0]).fold(f64::NEG_INFINITY, f64::max);
    (low - most).max(least - high).max(0.0)
}

fn around(corners: &[[f64; 3]]) -> Bounds {
    let first = Point::new(corners[0][1], corners[0][2]);
    let start = Bounds { least: first, most: first };
    corners.iter().fold(start, |b, c| b.with(Point::new(c[1], c[2])))
}

/// A block between two places along the bend line, seen along that line.
fn outline(corners: &[[f64; 3]], span: Option<[f64; 2]>) -> Vec<Point> {
    let flat = |c: &[f64; 3]| Point::new(c[1], c[2]);
    let Some([low, high]) = span else {
        return hull::hull(corners.iter().map(flat).collect());
    };
    let ring = corners.len() / 2;
    let mut points: Vec<Point> =
        corners.iter().filter(|c| c[0] >= low && c[0] <= high).map(flat).collect();
    let mut cross = |a: &[f64; 3], b: &[f64; 3]| {
        for at in [low, high] {
            if (a[0] < at) != (b[0] < at) && at.is_finite() {
                let share = (at - a[0]) / (b[0] - a[0]);
                points.push(Point::new(
                    a[1] + (b[1] - a[1]) * share,
                    a[2] + (b[2] - a[2]) * share,
                ));
            }
        }
    };
    for i in 0..ring {
        let next = (i + 1) % ring;
        cross(&corners[i], &corners[next]);
        cross(&corners[ring + i], &corners[ring + next]);
        cross(&corners[i], &corners[ring + i]);
    }
    hull::hull(points)
}

/// What of a line or polygon lies beside or above a box about the origin.
fn without_box(polygon: &[Point], half: f64) -> Vec<Vec<Point>> {
    let (right, up) = (Vec2::new(1.0, 0.0), Vec2::new(0.0, 1.0));
    let (low, high) = (Point::new(-half, half), Point::new(half, half));
    let between = hull::clipped(&hull::clipped(polygon, low, right), high, -right);
    vec![
        hull::clipped(polygon, high, right),
        hull::clipped(polygon, low, -right),
        hull::clipped(&between, low, up),
    ]
}

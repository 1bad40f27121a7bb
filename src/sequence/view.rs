//! The part in the coordinates of one tool at one moment.

use crate::brake;
use crate::geom::Point;
use crate::geom::Vec2;
use crate::geom::dot;
use crate::sequence::block_outline::Berth;
use crate::sequence::block_outline::BlockOutline;
use crate::sequence::body::Block;
use crate::sequence::body::Pose;
use crate::sequence::hull;
use crate::sequence::prospect::Prospect;
use crate::sequence::section::Bending;
use crate::sequence::section::Fixture;
use crate::sequence::section::Seat;
use crate::sequence::setup::Setup;
use std::borrow::Cow;
use std::rc::Rc;

/// A clearance smaller than this is contact, mm. Our choice: below the accuracy of a tool.
pub(super) const TOUCH: f64 = 0.05;

/// The two faces beside a bend run close to the tool by design; within this many thicknesses of the
/// nose of a folding brake they must only not collide with it. Our choice: as wide as a usual V.
const NEAR_NOSE: f64 = 8.0;

/// One tool and the part at one moment.
pub(super) struct View<'a> {
    bending: &'a Bending<'a>,
    pose: &'a Pose,
    setup: &'a Setup,
    fixture: &'a Fixture<'a>,
    prospect: Rc<Prospect>,
}

/// From a block to a tool, mm.
#[derive(Clone, Copy)]
pub(super) struct Apart {
    /// Room: 0 or less where it hits, infinite where it does not matter.
    pub(super) room: f64,
    /// How far it is from running into it, where it may come as near as it likes.
    pub(super) until: f64,
}

impl Apart {
    /// Whether it runs into the tool.
    pub(super) fn hits(&self) -> bool {
        self.room <= TOUCH || self.until <= 0.0
    }
}

/// A generous bound of rounding errors, mm.
const ROUNDING: f64 = 1e-6;

/// Halvings by which the clearance to a tool is found: to a hundredth of the sufficient one.
const HALVINGS: usize = 8;

impl<'a> View<'a> {
    pub(super) fn new(
        bending: &'a Bending<'a>,
        pose: &'a Pose,
        setup: &'a Setup,
        fixture: &'a Fixture<'a>,
    ) -> Self {
        let prospect = bending.prospect(pose, setup, &fixture.stand);
        Self { bending, pose, setup, fixture, prospect }
    }

    fn thickness(&self) -> f64 {
        self.bending.body.part.thickness
    }

    fn held(&self, block: &Block) -> bool {
        block.carried != (self.setup.hold == self.bending.drawn().from)
    }

    /// From a block, by its number, to the tool.
    pub(super) fn distance_to(&self, at: usize, enough: f64) -> Apart {
        let (section, span) = (self.fixture.stand.section, self.fixture.span);
        let lies = &self.prospect.blocks[at];
        let beside = span.map_or(0.0, |span| lies.beside(span));
        if beside >= enough {
            return Apart { room: beside, until: f64::INFINITY };
        }
        let far = lies.around.distance(&section.bounds);
        if far >= enough {
            return Apart { room: far, until: far };
        }
        let seen = self.seen(at, span);
        let over = seen.iter().filter(|seen| seen.berth == Berth::Overhangs);
        let until = over.map(|seen| section.distance_to(&seen.polygon) - seen.skin + TOUCH);
        let until = until.fold(f64::INFINITY, f64::min);
        Apart { room: self.room(at, &seen, enough), until }
    }

    /// No block is nearer to the tool than this, mm: the result of [`View::distance_to`] is never less,
    /// but this is quicker to calculate.
    pub(super) fn at_least(&self, at: usize, enough: f64) -> f64 {
        let (section, span) = (self.fixture.stand.section, self.fixture.span);
        let lies = &self.prospect.blocks[at];
        let beside = span.map_or(0.0, |span| lies.beside(span));
        let far = lies.around.distance(&section.bounds);
        if beside >= enough || far >= enough {
            return if beside >= enough { beside } else { far };
        }
        // The skin round the centre of a face reaches out beyond its ends.
        let far = section.at_least(&lies.around) - self.thickness() / 2.0;
        // Beside a stretch it is found by halvings, and rounded down.
        let part = if span.is_some() { enough * 0.5_f64.powi(HALVINGS as i32) } else { 0.0 };
        beside.max(far) - part - ROUNDING
    }

    /// The room a block leaves: the widest berth that stays clear of the tool on all sides.
    /// `seen` is its part within the tool's stretch.
    fn room(&self, at: usize, seen: &[BlockOutline], enough: f64) -> f64 {
        let section = self.fixture.stand.section;
        let apart = |seen: &BlockOutline| match section.distance_to(&seen.polygon) - seen.skin {
            apart if seen.berth != Berth::Clear && apart > -TOUCH => f64::INFINITY,
            apart => apart,
        };
        let least = |seen: &[BlockOutline]| seen.iter().map(apart).fold(f64::INFINITY, f64::min);
        let Some([from, to]) = self.fixture.span else { return least(seen) };
        let within = |widened: f64| least(&self.seen(at, Some([from - widened, to + widened])));
        // The wider the stretch, the nearer the blocks in it: never nearer than in the widest,
        // never farther than in a narrower one.
        let (mut far, mut near) = (least(seen), within(enough));
        if near >= enough {
            return near;
        }
        if far <= 0.0 {
            return 0.0;
        }
        let (mut low, mut high) = (0.0, enough);
        for _ in 0..HALVINGS {
            let middle = (low + high) / 2.0;
            // A known result needs no test.
            let is = if near >= middle || far < middle { None } else { Some(within(middle)) };
            if is.unwrap_or(near) >= middle {
                (low, far) = (middle, is.unwrap_or(far));
            } else {
                (high, near) = (middle, is.unwrap_or(near));
            }
        }
        low
    }

    /// The part of a block, by its number, within a stretch of the bend line.
    fn seen(&self, at: usize, span: Option<[f64; 2]>) -> Cow<'_, [BlockOutline]> {
        let (block, lies) = (&self.pose.blocks[at], &self.prospect.blocks[at]);
        let corners = || lies.corners(&self.prospect.plane, block);
        if self.bending.body.plain {
            return Cow::Owned(self.project(block, corners(), span));
        }
        match span.map(|[low, high]| (low, high, lies.along)) {
            Some((low, high, [from, to])) if to < low || from > high => return Cow::Borrowed(&[]),
            Some((low, high, [from, to])) if from < low || to >= high => {
                return Cow::Owned(self.project(block, corners(), span));
            }
            // All of it is within.
            _ => {}
        }
        let whole = &lies.whole[usize::from(self.fixture.touches)];
        Cow::Borrowed(whole.get_or_init(|| self.project(block, corners(), None)))
    }

    fn project(
        &self,
        block: &Block,
        corners: &[[f64; 3]],
        span: Option<[f64; 2]>,
    ) -> Vec<BlockOutline> {
        let of = |polygon: Vec<Point>, skin: f64, berth: Berth| {
            (!polygon.is_empty()).then_some(BlockOutline { polygon, skin, berth })
        };
        if !(self.fixture.touches && (block.plate || self.rests(block))) {
            return of(outline(corners, span), 0.0, Berth::Clear).into_iter().collect();
        }
        let in_die = matches!(self.fixture.stand.seat, Seat::Die { .. });
        if self.rests(block) && !(in_die && block.plate) {
            let through = self.through(block, &outline(corners, span));
            return of(through, 0.0, Berth::Clear).into_iter().collect();
        }
        // A face beside the bend, by its mid-plane.
        let ring = corners.len() / 2;
        let middle: Vec<[f64; 3]> = (0..ring)
            .map(|i| [0, 1, 2].map(|axis| (corners[i][axis] + corners[i + ring][axis]) / 2.0))
            .collect();
        let line = outline(&[middle.clone(), middle].concat(), span);
        let skin = self.thickness() / 2.0;
        // Metal that reaches over the line where its side ends has an end there, which counts
        // fully.
        let over = self.overhangs(block);
        let solid = || outline(&self.thinned(corners), span);
        if in_die {
            // Each side lies on its own shoulder and must not reach into the walls of the V;
            // metal over the middle sinks between them.
            let beyond = Vec2::new(if self.held(block) { 1.0 } else { -1.0 }, 0.0);
            if !over {
                return of(line, skin, Berth::Closes).into_iter().collect();
            }
            let leg = of(hull::clipped(&line, Point::ZERO, -beyond), skin, Berth::Closes);
            let past = hull::clipped(&solid(), Point::ZERO, beyond);
            return leg.into_iter().chain(of(past, TOUCH, Berth::Overhangs)).collect();
        }
        let (free, near) = self.berth();
        let wide = without_box(&line, near).into_iter().filter_map(|p| of(p, skin, Berth::Clear));
        if over {
            return wide.chain(of(solid(), TOUCH, Berth::Overhangs)).collect();
        }
        let close = without_box(&line, free).into_iter();
        close.filter_map(|p| of(p, skin, Berth::Closes)).chain(wide).collect()
    }

    /// A block without what of either surface may lie on a tool.
    fn thinned(&self, corners: &[[f64; 3]]) -> Vec<[f64; 3]> {
        let ring = corners.len() / 2;
        let share = (TOUCH / self.thickness()).min(0.5);
        let towards = |from: [f64; 3], to: [f64; 3]| {
            [0, 1, 2].map(|axis| from[axis] + (to[axis] - from[axis]) * share)
        };
        (0..2 * ring).map(|i| towards(corners[i], corners[(i + ring) % (2 * ring)])).collect()
    }

    /// Whether a face beside the bend reaches over the line where its side ends, past the ends of
    /// the bend, so that metal under the other side turns towards it.
    fn overhangs(&self, block: &Block) -> bool {
        if matches!(self.fixture.stand.seat, Seat::Clamp | Seat::Punch) {
            return false;
        }
        let held = self.held(block);
        let leg = self.bending.at_end(self.pose, self.setup, held);
        let sign = if held { 1.0 } else { -1.0 };
        block.corners.iter().any(|corner| leg.seen(*corner)[1] * sign > TOUCH)
    }

    /// What of a block reaches through the surface on which its side of the sheet lies on the tool.
    fn through(&self, block: &Block, polygon: &[Point]) -> Vec<Point> {
        let leg = self.bending.at_end(self.pose, self.setup, self.held(block));
        let [_, u, v] = self.prospect.plane.seen(leg.origin);
        let up = Vec2::new(dot(leg.v, self.prospect.plane.u), dot(leg.v, self.prospect.plane.v));
        let surface = Point::new(u, v);
        match self.fixture.stand.seat {
            Seat::Clamp | Seat::Punch => hull::clipped(polygon, surface + up * TOUCH, up),
            Seat::Bed | Seat::Leaf | Seat::Die { .. } => {
                hull::clipped(polygon, surface - up * (self.thickness() + TOUCH), -up)
            }
        }
    }

    /// Whether a block belongs to a side of the sheet that lies on the tool.
    fn rests(&self, block: &Block) -> bool {
        match self.fixture.stand.seat {
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
        match self.fixture.stand.seat {
            // The tip itself is pressed into the sheet, whose two sides close on it by
            // their angle, which is tested separately.
            Seat::Punch => {
                let usual = brake::v_opening(thickness);
                (usual / 2.0, 1.5 * usual)
            }
            _ => {
                // When half made, the bend is in a wider arc than the nose, round which it is
                // folded.
                let free = self.bending.drawn().bend.radius() + thickness;
                (free, free.max(NEAR_NOSE * thickness))
            }
        }
    }

    /// All blocks within a stretch of the bend line.
    pub(super) fn all(&self, span: Option<[f64; 2]>) -> Vec<BlockOutline> {
        (0..self.pose.blocks.len()).flat_map(|at| self.seen(at, span).into_owned()).collect()
    }
}

/// A block between two places along the bend line, seen along that line.
pub(super) fn outline(corners: &[[f64; 3]], span: Option<[f64; 2]>) -> Vec<Point> {
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
                points.push(Point::new(a[1] + (b[1] - a[1]) * share, a[2] + (b[2] - a[2]) * share));
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

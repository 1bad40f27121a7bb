//! The view of one step of bending along the bend line, to be drawn.
//!
//! The plane is that of the tools: u from the clamped side to the operator, v up. Its origin is
//! where the bend begins on the clamped side of a folding brake, or the tip of the punch.

use crate::flat::Flat;
use crate::geom::Point;
use crate::geom::Space;
use crate::part::Part;
use crate::sequence::body;
use crate::sequence::body::Block;
use crate::sequence::body::Body;
use crate::sequence::body::Pose;
use crate::sequence::handled::Handling;
use crate::sequence::plan::Step;
use crate::sequence::plane::Plane;
use crate::sequence::refusal::Obstacle;
use crate::sequence::section::Bending;
use crate::sequence::section::PlacedSection;
use crate::sequence::setup::Tool;
use crate::sequence::tools::Allowed;
use crate::sequence::tools::BrakeSections;
use crate::sequence::tools::Sections;
use crate::sequence::view;
use crate::shop::Shop;
use crate::shop::Tools;

/// Half of the slice in which the part is cut, mm.
const SLICE: f64 = 0.01;

/// One step, seen along the bend line. Lengths are mm.
#[derive(Clone, Debug, Default)]
pub struct StepSection {
    /// The sections of the tools, from the hindmost.
    pub tools: Vec<Vec<Point>>,
    /// The section of the clamped side, in convex pieces.
    pub held: Vec<Vec<Point>>,
    /// The section of the bend and of the moving side, the bend made.
    pub moved: Vec<Vec<Point>>,
    /// What of the part is not cut, the bend made, in convex pieces.
    pub beyond: Vec<Vec<Point>>,
    /// The section of the moving side while the bend is still flat: on both sides over a V.
    pub flat: Vec<Vec<Point>>,
    /// The bend line before the bend, at mid-thickness.
    pub line: Point,
    /// The gauge edge, at the height of the line.
    pub gauge: Option<Point>,
}

/// A part, the bend under way, and how it is clamped.
struct Scene<'a> {
    bending: &'a Bending<'a>,
    hold: usize,
    /// The position of the section, mm along the bend.
    cut: f64,
    /// Origin and axes of the view.
    plane: Plane,
}

impl StepSection {
    /// The step of a bend on the tools of a shop; without tools where none are given.
    pub fn of(part: &Part, flat: &Flat, handling: &Handling, on: Option<(&Shop, &Step)>) -> Self {
        let body = Body::new(part, flat);
        let drawn = &part.bends[handling.bend];
        let bending = Bending::new(&body, handling.made, (handling.bend, drawn.bend.angle()));
        let under_load = on.map_or(drawn.bend.angle(), |(_, step)| step.setup.under_load);
        let pose = bending.pose(under_load);
        let over_v = on.is_some_and(|(shop, step)| step.setup.v(shop).is_some());
        let scene = |pose: &Pose| {
            let sign = if handling.hold == drawn.from { 1.0 } else { -1.0 };
            let held_share = if handling.hold == drawn.from { 0.0 } else { 1.0 };
            let share = if over_v { 0.5 } else { held_share };
            let plane = bending.plane(&pose.bend.frame_at(share), sign);
            Scene { bending: &bending, hold: handling.hold, cut: cut(&bending, on), plane }
        };
        let (before, after) = (scene(&bending.flat), scene(&pose));
        let mut section = Self::default();
        after.made(&pose, &mut section);
        section.flat = before.moving(&bending.flat, over_v);
        let half = if over_v { 0.0 } else { bending.strip().bend.allowance() / 2.0 };
        section.line = Point::new(half, -part.thickness / 2.0);
        section.gauge = handling.gauge.map(|gauge| {
            let way = if gauge.held { -gauge.distance } else { gauge.distance };
            section.line + (way, 0.0)
        });
        if let Some((shop, step)) = on {
            section.tools = after.tools(&pose, shop, step);
        }
        section
    }
}

/// Where along the bend the part is cut: under its pieces of tool, else in the centre.
fn cut(bending: &Bending, on: Option<(&Shop, &Step)>) -> f64 {
    let stack = on.and_then(|(_, step)| step.tooling.stacks.first());
    stack.map_or(bending.width() / 2.0, |stack| stack.from + stack.width() / 2.0)
}

impl Scene<'_> {
    fn is_held(&self, block: &Block) -> bool {
        block.carried != (self.hold == self.bending.drawn().from)
    }

    fn seen(&self, corners: &[Space]) -> Vec<[f64; 3]> {
        corners.iter().map(|c| self.plane.seen(*c)).collect()
    }

    /// The intersection of a block with the section; empty if it is not cut.
    fn sliced(&self, corners: &[Space]) -> Vec<Point> {
        view::outline(&self.seen(corners), Some([self.cut - SLICE, self.cut + SLICE]))
    }

    fn made(&self, pose: &Pose, section: &mut StepSection) {
        let is_cut = |block: &Block| self.sliced(&block.corners).len() > 2;
        let cut: Vec<Obstacle> = pose.all().filter(|b| is_cut(b)).map(|b| b.what).collect();
        for block in pose.all() {
            let slice = self.sliced(&block.corners);
            if slice.len() > 2 {
                let into = if self.is_held(block) { &mut section.held } else { &mut section.moved };
                into.push(slice);
            } else if !cut.contains(&block.what) {
                let seen = self.seen(&block.corners);
                section.beyond.push(view::outline(&seen, None));
            }
        }
        let chunks = body::chunks(&pose.bend);
        section.moved.extend(chunks.iter().map(|c| self.sliced(c)).filter(|p| p.len() > 2));
    }

    /// The section of the moving side before the bend is made: both sides over a V.
    fn moving(&self, pose: &Pose, over_v: bool) -> Vec<Vec<Point>> {
        let moves = |block: &&Block| block.plate && (over_v || !self.is_held(block));
        let moving = pose.all().filter(moves);
        let strip = body::chunks(&pose.bend);
        let all = moving.map(|block| &block.corners).chain(&strip);
        all.map(|corners| self.sliced(corners)).filter(|p| p.len() > 2).collect()
    }

    /// The sections of the tools in their positions when the bend is made.
    fn tools(&self, pose: &Pose, shop: &Shop, step: &Step) -> Vec<Vec<Point>> {
        let all = Sections::of(shop, Allowed::default());
        let place = |stand: &PlacedSection| {
            let plane = self.bending.plane_of(pose, &step.setup, stand);
            let at = |p: &Point| {
                let [_, u, v] = self.plane.seen(plane.point(*p));
                Point::new(u, v)
            };
            stand.section.corners().iter().map(at).collect()
        };
        standing(&all.brakes[step.setup.brake], shop, step).iter().map(place).collect()
    }
}

/// The tools of a step, the hindmost first.
fn standing<'a>(sections: &'a BrakeSections, shop: &Shop, step: &Step) -> Vec<PlacedSection<'a>> {
    match (&shop.brakes[step.setup.brake].tools, step.setup.tool) {
        (Tools::Press(press), Tool::Press { die, punch, .. }) => {
            sections.on_press(punch, die, press.dies[die].v).to_vec()
        }
        _ => {
            let ([beam, bed], [leaf, fingers]) = sections.on_folding();
            [Some(beam), fingers, Some(bed), leaf].into_iter().flatten().collect()
        }
    }
}

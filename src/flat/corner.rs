//! Two bends that meet at a corner of the face they start from.
//!
//! The flanges are cut back as their recipe requires, and where the lines cross at which the two
//! bends begin, a relief is cut through both strips. Cutting back removes metal and never adds
//! any: a flange that is to reach the other must be drawn long enough. The cut follows the slope of
//! the other flange, so that the gap is the same over the whole height.

use crate::diag::Finding;
use crate::flat::joint::Joint;
use crate::flat::pattern::Corner;
use crate::flat::pattern::ShortCorner;
use crate::geom::Outline;
use crate::geom::Point;
use crate::geom::Region;
use crate::geom::Vec2;
use crate::geom::Vertex;
use crate::geom::disc;
use crate::num;
use crate::part::Bend;
use crate::recipe::CornerShape;
use crate::recipe::ReliefShape;

/// Default clear distance of two flanges at a corner, mm: common practice.
const GAP: f64 = 0.5;

/// A slope below this, mm for each mm, is rounding.
const STRAIGHT: f64 = 1e-9;

/// Two bends at a corner: the edge of the first ends where that of the second begins.
pub(super) struct Meeting {
    /// Indices of the bends.
    pub(super) bends: [usize; 2],
    /// Where the lines cross at which the bends begin, on the face they start from.
    crossing: Point,
}

/// The meetings among the bends of a part.
pub(super) fn meetings(bends: &[Bend], joints: &[Joint]) -> Vec<Meeting> {
    let mut meetings = Vec::new();
    for (i, first) in joints.iter().enumerate() {
        for (j, second) in joints.iter().enumerate() {
            let is_drawn = first.is_drawn() || second.is_drawn();
            if i == j || bends[i].from != bends[j].from || is_drawn {
                continue;
            }
            let (end, start) = (first.point(first.ends.1, 0.0), second.point(second.ends.0, 0.0));
            // At a corner into the metal the flanges lean away from each other's bends.
            let turn = first.along.cross(second.along);
            if (end - start).hypot() > 10.0 * crate::geom::NEAR || turn <= 1e-3 {
                continue;
            }
            let reach =
                |free: f64, other: &Joint, bend: &Bend| free < other.back + bend.relief.width;
            let free = (first.ends.1 - first.foot.1, second.foot.0 - second.ends.0);
            if reach(free.0, second, &bends[i]) && reach(free.1, first, &bends[j]) {
                let from = first.point(0.0, -first.back);
                let ahead = (second.point(0.0, -second.back) - from).cross(second.along) / turn;
                meetings.push(Meeting { bends: [i, j], crossing: from + first.along * ahead });
            }
        }
    }
    meetings
}

/// The plane of a carried face, fully folded, in the coordinates of the standing face: along, out
/// and up from the midpoint of the edge.
struct Plane<'a> {
    joint: &'a Joint,
    bend: &'a Bend,
    /// Where the bend ends, out and up, on the top side.
    foot: (f64, f64),
    cos: f64,
    sin: f64,
    rise: f64,
}

impl<'a> Plane<'a> {
    fn new(joint: &'a Joint, bend: &'a Bend) -> Self {
        let angle = bend.bend.angle();
        let (cos, sin) = (angle.cos(), angle.sin());
        let rise = if bend.up { 1.0 } else { -1.0 };
        let radius = bend.bend.radius() + if bend.up { 0.0 } else { bend.bend.thickness() };
        let foot = (radius * sin - joint.back, rise * radius * (1.0 - cos));
        Self { joint, bend, foot, cos, sin, rise }
    }

    /// A point of its drawing, at a height above its top side, on the standing face and above it.
    fn point(&self, x: f64, y: f64, height: f64) -> (Point, f64) {
        let y = y - self.joint.back;
        let out = self.foot.0 + y * self.cos - height * self.rise * self.sin;
        let up = self.foot.1 + y * self.rise * self.sin + height * self.cos;
        (self.joint.point(-x - self.joint.aside, out), up)
    }

    /// The outward normal of its inside, along, out and up in the standing face.
    fn normal(&self) -> [f64; 3] {
        let (side, out) = (if self.bend.up { 1.0 } else { -1.0 }, self.joint.out);
        let level = -side * self.rise * self.sin;
        [level * out.x, level * out.y, side * self.cos]
    }

    /// From its inside, positive towards the centre of the part, mm.
    fn inside(&self, (p, up): (Point, f64)) -> f64 {
        let out = self.joint.seen(p).1;
        let above = (up - self.foot.1) * self.cos - (out - self.foot.0) * self.rise * self.sin;
        if self.bend.up { above } else { -above - self.bend.bend.thickness() }
    }
}

impl Meeting {
    /// A carried face cut back beside the other one.
    pub(super) fn trim(
        &self,
        which: usize,
        bends: &[Bend],
        joints: &[Joint],
        carried: &Region,
    ) -> Result<Trimmed, String> {
        let [own, other] = [self.bends[which], self.bends[1 - which]];
        let (bend, joint) = (&bends[own], &joints[own]);
        let bounds = carried.bounds();
        let shape = self.shape(bends);
        if shape == CornerShape::Open {
            let x = -joint.seen(self.crossing).0 - joint.aside;
            // Along the first edge the corner comes at the end, where x is smallest.
            let keep = if which == 0 { Vec2::new(1.0, 0.0) } else { Vec2::new(-1.0, 0.0) };
            let face = kept(carried, keep, keep.x * x)?;
            return Ok(Trimmed { face, short: 0.0 });
        }
        let neighbour = Plane::new(&joints[other], &bends[other]);
        let plane = Plane::new(joint, bend);
        let thickness = bend.bend.thickness();
        let gap = self.gap(bends);
        let from_inside = |x: f64, y: f64, height: f64| neighbour.inside(plane.point(x, y, height));
        let either = |x: f64, y: f64| [0.0, -thickness].map(|h| from_inside(x, y, h));
        // From the other's inside, which is linear over the drawing: how far, and of which
        // side of the sheet.
        let overlaps = shape == CornerShape::Overlap;
        let at = |x: f64, y: f64| match (overlaps, self.runs_past(bends) == own) {
            (true, true) => either(x, y).into_iter().fold(f64::NEG_INFINITY, f64::max),
            (true, false) => either(x, y).into_iter().fold(f64::INFINITY, f64::min),
            (false, _) => from_inside(x, y, if bend.up { 0.0 } else { -thickness }),
        };
        let wanted = match (overlaps, self.runs_past(bends) == own) {
            (true, true) => -thickness,
            (true, false) => beside_end(gap, thickness, plane.normal(), neighbour.normal()),
            // The insides of both end alike, a gap from each other.
            (false, _) => gap * half_angle(plane.normal(), neighbour.normal()),
        };
        let zero = at(0.0, 0.0);
        let mut slope = Vec2::new(at(1.0, 0.0) - zero, at(0.0, 1.0) - zero);
        if slope.y.abs() < STRAIGHT * slope.x.abs() {
            slope.y = 0.0;
        }
        let need = wanted - zero;
        let ends = [bounds.min.y, bounds.max.y].map(|y| need - slope.y * y);
        let face = kept(carried, slope, need);
        // At either end of the corner the face should have reached the line before it was cut.
        let end = if slope.x > 0.0 { bounds.min.x } else { bounds.max.x };
        let short = ends.map(|end_at| slope.x.signum() * (end - end_at / slope.x));
        let short = if slope.x.abs() < 1e-9 { 0.0 } else { short[0].max(short[1]).max(0.0) };
        Ok(Trimmed { face: face?, short })
    }

    /// Flanges on opposite sides of the sheet have no corner to treat.
    pub(super) fn can_meet(&self, bends: &[Bend]) -> Result<(), Vec<Finding>> {
        let [first, second] = self.bends.map(|b| &bends[b]);
        if first.up == second.up || self.shape(bends) == CornerShape::Open {
            return Ok(());
        }
        let asks = if first.corner == CornerShape::Open { second } else { first };
        let headline = format!(
            "bends `{}` and `{}` go to opposite sides of the sheet: their flanges meet at no corner",
            first.name, second.name
        );
        let finding = Finding::stop("bend", headline).at(asks.span, "");
        Err(vec![finding.help("leave `corner` out, or bend both to one side")])
    }

    /// The corner as required, if it is to be closed.
    pub(super) fn asked(&self, bends: &[Bend]) -> Option<Corner> {
        let closes = self.shape(bends) != CornerShape::Open;
        closes.then(|| Corner { bends: self.bends, gap: self.gap(bends) })
    }

    /// Clear distance of the two flanges, mm: the one given with either, of two the larger.
    fn gap(&self, bends: &[Bend]) -> f64 {
        let said = self.bends.iter().filter_map(|b| bends[*b].gap);
        said.max_by(f64::total_cmp).unwrap_or(GAP)
    }

    /// The shape required: that of the first bend that gives one.
    fn shape(&self, bends: &[Bend]) -> CornerShape {
        let words = self.bends.map(|b| bends[b].corner);
        if words[0] == CornerShape::Open { words[1] } else { words[0] }
    }

    /// Of two that overlap, the first with that key runs past.
    fn runs_past(&self, bends: &[Bend]) -> usize {
        let says = |b: &&usize| bends[**b].corner == CornerShape::Overlap;
        self.bends.iter().find(says).copied().unwrap_or(self.bends[0])
    }

    /// The cut at the crossing, on the standing face; `None` if the recipe asks for none.
    pub(super) fn relief(
        &self,
        bends: &[Bend],
        joints: &[Joint],
    ) -> Result<Option<Outline>, String> {
        let reliefs = self.bends.map(|b| bends[b].relief);
        let shape = reliefs[0].shape;
        let across = |r: &crate::part::Relief| r.width.max(2.0 * r.depth);
        let size = across(&reliefs[0]).max(across(&reliefs[1]));
        if reliefs.iter().any(|relief| relief.shape == ReliefShape::None) {
            let names = self.bends.map(|b| bends[b].name.as_str());
            return Err(format!(
                "bends `{}` and `{}` meet, which needs a relief, and `relief` is \"none\"",
                names[0], names[1]
            ));
        }
        let cut = match shape {
            ReliefShape::Tear | ReliefShape::None => return Ok(None),
            ReliefShape::Round | ReliefShape::Hole => disc(self.crossing, size / 2.0),
            ReliefShape::Square => {
                let [u, v] = self.bends.map(|b| joints[b].along * (size / 2.0));
                let corners = [-u - v, u - v, u + v, v - u];
                Outline::new(corners.map(|d| Vertex { at: self.crossing + d, bulge: 0.0 }))
            }
        };
        cut.map(Some).map_err(|e| e.to_string())
    }
}

/// Sine of half the angle between two unit directions.
fn half_angle(a: [f64; 3], b: [f64; 3]) -> f64 {
    let cos: f64 = a.iter().zip(b).map(|(a, b)| a * b).sum();
    ((1.0 - cos) / 2.0).max(0.0).sqrt()
}

/// Halvings in [`beside_end`].
const HALVINGS: usize = 50;

/// How far above the inside of a flange another one must end for a clear distance of `gap`,
/// mm, where the first runs just past it. Where the two meet at more than 90° the other's
/// outside is nearest, and may lie beyond the first one's end.
fn beside_end(gap: f64, thickness: f64, a: [f64; 3], b: [f64; 3]) -> f64 {
    // Of the angle between the flanges, which is 180° less that between their normals.
    let cos = -a.iter().zip(b).map(|(a, b)| a * b).sum::<f64>();
    let sin = (1.0 - cos * cos).max(0.0).sqrt();
    if cos >= 0.0 || sin < STRAIGHT {
        return gap;
    }
    let clear = |height: f64| {
        let along = (height - thickness * cos) / sin;
        let beyond = thickness * sin - along * cos - thickness / sin;
        num::hypot(height, beyond.max(0.0))
    };
    let (mut low, mut high) = (0.0, gap);
    for _ in 0..HALVINGS {
        let centre = (low + high) / 2.0;
        if clear(centre) < gap {
            low = centre;
        } else {
            high = centre;
        }
    }
    high
}

/// The bends that ask for a corner without a flange at either end of their edge.
pub(super) fn alone(bends: &[Bend], meetings: &[Meeting]) -> Vec<ShortCorner> {
    let asks = |i: &usize| {
        let met = meetings.iter().any(|meeting| meeting.bends.contains(i));
        bends[*i].corner != CornerShape::Open && !met
    };
    let indices = (0..bends.len()).filter(asks);
    indices.map(|bend| ShortCorner { bend, other: None }).collect()
}

/// A face cut back at a corner.
pub(super) struct Trimmed {
    pub(super) face: Region,
    /// How far it ends before the corner at its foot or at its far end, whichever is more, mm along
    /// the bend; 0 where it was drawn long enough.
    pub(super) short: f64,
}

/// The part of a face where `keep` · p is at least `min`.
fn kept(face: &Region, keep: Vec2, min: f64) -> Result<Region, String> {
    let size = keep.hypot();
    if size < 1e-9 {
        return Ok(face.clone());
    }
    let (inward, at) = (keep / size, min / size);
    let bounds = face.bounds();
    let [a, b] = [bounds.min, bounds.max];
    let beyond = |p: &Point| inward.dot(p.to_vec2()) < at - crate::geom::NEAR;
    if ![a, b, Point::new(a.x, b.y), Point::new(b.x, a.y)].iter().any(beyond) {
        return Ok(face.clone());
    }
    let reach = bounds.width() + bounds.height() + 1.0;
    let centre = bounds.centre();
    let foot = centre + inward * (at - inward.dot(centre.to_vec2()));
    let side = Vec2::new(-inward.y, inward.x) * reach;
    let corners =
        [foot - side, foot + side, foot + side - inward * reach, foot - side - inward * reach];
    let tool =
        Outline::new(corners.map(|at| Vertex { at, bulge: 0.0 })).map_err(|e| e.to_string())?;
    crate::flat::without::without(face, &tool)
}

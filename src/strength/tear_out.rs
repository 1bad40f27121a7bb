//! Tear-out and block shear at the pins and bolts of a load.

use crate::geom::Edge;
use crate::geom::Point;
use crate::geom::Vec2;
use crate::geom::rotated;
use crate::num::Angle;
use crate::part::Face;
use crate::part::Hole;
use crate::strength::bolt::BoltHole;
use crate::strength::eye::Eye;
use crate::strength::heat::FaceHeat;
use crate::strength::heat::Strip;
use crate::strength::limit::Limit;
use crate::strength::limit::Metal;
use crate::strength::limit::Shape;
use crate::strength::metalwork::Metalwork;
use crate::strength::method::Method;
use crate::strength::place;
use crate::strength::plate;
use crate::strength::plate::Block;
use crate::strength::plate::block_shear;

/// Metal fails within this many degrees of the load's direction.
const WINDOW: f64 = 45.0;

/// Two holes nearer than this across are on one line, mm.
const SAME: f64 = 1e-3;

/// A round hole with its pin or bolt, mm.
#[derive(Clone, Copy, Debug)]
pub(super) struct Pinned<'a> {
    pub(super) hole: &'a Hole,
    pub(super) diameter: f64,
    pub(super) pin: f64,
}

/// The face round the holes of a load.
pub(super) struct Around<'a> {
    pub(super) face: &'a Face,
    pub(super) thickness: f64,
    /// At the holes and between them.
    pub(super) metal: Metal,
    /// Where it is weaker still.
    pub(super) heat: FaceHeat<'a>,
    pub(super) method: Method,
    /// Supported edges of the face: nothing tears out there.
    pub(super) held: Vec<Edge>,
    /// The direction from which directions are counted.
    pub(super) reference: Vec2,
}

/// The lowest of limits over all directions near the load's own, each by the part of the load that
/// acts in it: over cos 2δ of the angle δ between. So no limit changes abruptly where a ray passes
/// a corner, and metal beside the load counts. Our choice.
fn min(reference: Vec2, towards: Vec2, of: impl Fn(Vec2) -> Vec<Limit>) -> Vec<Limit> {
    let angle = Angle::of(reference.dot(towards), reference.cross(towards)).degrees();
    let whole = ((angle - WINDOW).ceil() as i32..=(angle + WINDOW).floor() as i32).map(f64::from);
    let weighed = |degrees: f64| {
        (rotated(reference, degrees), Angle::from_degrees(2.0 * (degrees - angle)).cos())
    };
    let ways = std::iter::once((towards, 1.0)).chain(whole.map(weighed));
    let mut found: Vec<Limit> = Vec::new();
    for (way, part) in ways.filter(|(_, part)| *part > 1e-6) {
        for limit in of(way) {
            let limit = Limit { nominal: limit.nominal / part, ..limit };
            match found.iter_mut().find(|l| l.what == limit.what) {
                Some(known) if limit.nominal < known.nominal => *known = limit,
                Some(_) => {}
                None => found.push(limit),
            }
        }
    }
    found
}

impl Around<'_> {
    /// Whether metal continues from a hole in a direction to the support of the face.
    fn is_held(&self, metal: &Metalwork, at: Point, towards: Vec2) -> bool {
        metal.ends_in(at, towards, &self.held)
    }

    /// A bolt in its hole, `clear` from an edge.
    fn bolt(&self, pinned: &Pinned, clear: f64) -> BoltHole {
        BoltHole::of(pinned.hole, self.thickness, pinned.pin, clear)
    }

    /// The limit by which a bolt is torn out of its hole `towards` an edge.
    pub(super) fn tear_out(&self, pinned: &Pinned, towards: Vec2) -> Option<Limit> {
        let metal = Metalwork::round(self.face, Some(pinned.hole));
        let limits = min(self.reference, towards, |way| vec![self.bolt_torn(pinned, &metal, way)]);
        limits.into_iter().next()
    }

    /// The weakest metal of the holes and of some strips.
    fn weakest(&self, strips: &[Strip]) -> Metal {
        self.heat.weakest(self.metal, strips)
    }

    /// The strip a hole tears out through: as wide as the hole, `clear` long to an edge or
    /// another hole.
    fn beyond(pinned: &Pinned, way: Vec2, clear: f64) -> Strip {
        let (at, radius) = (pinned.hole.at, pinned.diameter / 2.0);
        ([at, at + way * (radius + clear)], radius)
    }

    /// A bolt torn out in one direction, through the weakest metal on its way.
    fn bolt_torn(&self, pinned: &Pinned, metal: &Metalwork, way: Vec2) -> Limit {
        let clear = metal.clear(pinned.hole.at, pinned.diameter, way);
        let metal = self.weakest(&[Self::beyond(pinned, way, clear)]);
        let [_, torn] = self.bolt(pinned, clear).limits(metal, self.method);
        torn
    }

    /// An eye pulled in one direction, except for bearing: each limit with the weakest metal that it
    /// lies in, beyond the hole and beside it.
    fn eye_torn(&self, pinned: &Pinned, metal: &Metalwork, way: Vec2) -> Vec<Limit> {
        let eye = self.eye(pinned, metal, way);
        let left = Vec2::new(-way.y, way.x);
        let across = |beside: [f64; 2]| -> Strip {
            let [a, b] = beside.map(|width| width + pinned.diameter / 2.0);
            ([pinned.hole.at + left * a, pinned.hole.at - left * b], 0.0)
        };
        let beyond = Self::beyond(pinned, way, eye.beyond);
        match self.method {
            Method::Aisc360 => {
                let of = |strip: Strip| eye.limits(self.weakest(&[strip]));
                let ([net, ..], [_, sheared, ..]) = (of(across([eye.effective(); 2])), of(beyond));
                let [.., gross] = of(across(eye.beside));
                vec![net, sheared, gross]
            }
            Method::Bth1(category) => {
                let of = |strips: &[Strip]| eye.lifting_limits(self.weakest(strips), category);
                let beside = across([eye.min_beside(); 2]);
                let ([net, ..], [_, split, sheared, _]) = (of(&[beside]), of(&[beyond, beside]));
                vec![net, split, sheared]
            }
        }
    }

    /// The limits of one hole that is pulled `towards`, beside bearing.
    pub(super) fn torn(&self, pinned: &Pinned, towards: Vec2) -> Vec<Limit> {
        let metal = Metalwork::round(self.face, Some(pinned.hole));
        min(self.reference, towards, |way| {
            if self.is_held(&metal, pinned.hole.at, way) {
                return Vec::new();
            }
            match pinned.hole.eye {
                true => self.eye_torn(pinned, &metal, way),
                false => vec![self.bolt_torn(pinned, &metal, way)],
            }
        })
    }

    /// The bearing of the pin or bolt on its hole.
    pub(super) fn bearing(&self, pinned: &Pinned) -> Limit {
        if !pinned.hole.eye {
            let [bearing, _] = self.bolt(pinned, 0.0).limits(self.metal, self.method);
            return bearing;
        }
        let metal = Metalwork::round(self.face, Some(pinned.hole));
        let eye = self.eye(pinned, &metal, self.reference);
        match self.method {
            Method::Aisc360 => eye.bearing(self.metal),
            Method::Bth1(category) => eye.lifting_bearing(self.metal, category),
        }
    }

    /// The rules of shape for an eye that is pulled `towards`, its hole smaller by twice the
    /// coating thickness.
    pub(super) fn shapes(&self, pinned: &Pinned, towards: Vec2, film: f64) -> Vec<Shape> {
        let metal = Metalwork::round(self.face, Some(pinned.hole));
        if self.method != Method::Aisc360 || self.is_held(&metal, pinned.hole.at, towards) {
            return Vec::new();
        }
        let eye = self.eye(pinned, &metal, towards);
        Eye { hole: pinned.diameter - 2.0 * film, ..eye }.shapes().into()
    }

    /// The metal round a hole, seen along a force.
    fn eye(&self, pinned: &Pinned, metal: &Metalwork, towards: Vec2) -> Eye {
        let left = Vec2::new(-towards.y, towards.x);
        let (at, radius) = (pinned.hole.at, pinned.diameter / 2.0);
        let to = |direction: Vec2| metal.free(at, direction) - radius;
        let diagonal = [towards + left, towards - left].map(|d| to(d.normalize()));
        Eye {
            thickness: place::land(pinned.hole, self.thickness),
            hole: pinned.diameter,
            pin: pinned.pin,
            beyond: metal.clear(at, pinned.diameter, towards),
            diagonal: diagonal[0].min(diagonal[1]),
            beside: [to(left), to(-left)],
            behind: to(-towards),
        }
    }

    /// Block shear of several bolts: blocks between the outer bolts, or between one of them and the
    /// side, by the weakest net path through the bolts between (B4.3b).
    pub(super) fn block(&self, bolts: &[Pinned], towards: Vec2) -> Vec<Limit> {
        let around = Metalwork::solid(self.face);
        min(self.reference, towards, |way| {
            let held = bolts.iter().all(|b| self.is_held(&around, b.hole.at, way));
            if held { Vec::new() } else { self.blocks(bolts, &around, way).into_iter().collect() }
        })
    }

    /// The share of the weakest metal of a strip of the yield and of the tensile strength at the
    /// bolts: of a block the areas count by it.
    fn shares(&self, strip: Strip) -> [f64; 2] {
        let (weak, metal) = (self.weakest(&[strip]), self.metal);
        [
            share(weak.yield_strength, metal.yield_strength),
            share(weak.tensile_strength, metal.tensile_strength),
        ]
    }

    fn blocks(&self, bolts: &[Pinned], solid: &Metalwork, towards: Vec2) -> Option<Limit> {
        let t = self.thickness;
        let across = Vec2::new(-towards.y, towards.x);
        let mut spots: Vec<Spot> = bolts.iter().map(|b| Spot::of(b, t, towards, across)).collect();
        spots.sort_by(|a, b| a.side.total_cmp(&b.side).then(a.ahead.total_cmp(&b.ahead)));
        let (first, last) = (spots.first()?, spots.last()?);
        // A line of shear from the bolt farthest back on it to the edge, and what holes take.
        let line = |side: f64| {
            let near = |s: &&Spot| (s.side - side).abs() < s.net / 2.0;
            let start = spots.iter().filter(near).min_by(|a, b| a.ahead.total_cmp(&b.ahead))?;
            let length = solid.free(start.at, towards);
            let chord = |s: &Spot| {
                let (half, aside) = (s.net / 2.0, s.side - start.side);
                let half = (half * half - aside * aside).max(0.0).sqrt();
                // Half of the hole it starts in, all of those it passes.
                if std::ptr::eq(s, start) { half } else { 2.0 * half }
            };
            let lost: f64 = spots.iter().filter(|s| s.ahead >= start.ahead).map(chord).sum();
            let strip = ([start.at, start.at + towards * length], start.net / 2.0);
            let [by_yield, by_rupture] = self.shares(strip);
            Some((by_yield * length * t, by_rupture * (length - lost).max(0.0) * t))
        };
        let (one, other) = (line(first.side)?, line(last.side)?);
        let between = net_path(&spots);
        let to_side = |spot: &Spot, way: Vec2| {
            let (half, free) = (spot.net / 2.0, solid.free(spot.at, way));
            let ends = [half, free].map(|far| spot.at + way * far);
            between + if free > half { self.heat.pulled(self.metal, ends) } else { free - half }
        };
        let apart = last.side - first.side > SAME;
        let block = |sheared: (f64, f64), pulled: f64| Block {
            sheared: sheared.0,
            sheared_net: sheared.1,
            pulled_net: pulled.max(0.0) * t,
        };
        let both = (one.0 + other.0, one.1 + other.1);
        let blocks = [
            block(both, if apart { between } else { 0.0 }),
            block(one, to_side(last, across)),
            block(other, to_side(first, -across)),
        ];
        let limits = blocks.iter().map(|b| block_shear(b, self.metal, self.method));
        limits.min_by(|a, b| a.nominal.total_cmp(&b.nominal))
    }
}

/// The remaining share of a strength; 0 of an unknown one.
fn share(left: f64, of: f64) -> f64 {
    if of > 0.0 { left / of } else { 1.0 }
}

/// A bolt of a block, seen along the pull, mm.
struct Spot {
    at: Point,
    ahead: f64,
    side: f64,
    /// What its hole takes of a net section.
    net: f64,
}

impl Spot {
    fn of(bolt: &Pinned, thickness: f64, towards: Vec2, across: Vec2) -> Self {
        let at = bolt.hole.at;
        let diameter = place::by_area(bolt.hole, thickness).unwrap_or(bolt.diameter);
        Self {
            at,
            ahead: at.to_vec2().dot(towards),
            side: at.to_vec2().dot(across),
            net: diameter + plate::HOLE_GROWTH,
        }
    }
}

/// The shortest net length from the outermost bolts of one side to those of the other, half a hole
/// deducted at either end: each step its gauge and s²/4g.
fn net_path(spots: &[Spot]) -> f64 {
    let mut best: Vec<f64> = Vec::with_capacity(spots.len());
    for (j, to) in spots.iter().enumerate() {
        let step = |(from, so_far): (&Spot, &f64)| {
            let (gauge, pitch) = (to.side - from.side, to.ahead - from.ahead);
            let lost = (from.net + to.net) / 2.0;
            let slant = if gauge > SAME { pitch * pitch / (4.0 * gauge) } else { f64::INFINITY };
            so_far + gauge + slant - lost
        };
        let is_first = to.side - spots[0].side < to.net / 2.0;
        let steps = spots[..j].iter().zip(&best).map(step);
        best.push(if is_first { 0.0 } else { steps.fold(f64::INFINITY, f64::min) });
    }
    let end = spots.last().map_or(0.0, |spot| spot.side - spot.net / 2.0);
    let ends = spots.iter().zip(&best).filter(|(spot, _)| spot.side > end).map(|(_, path)| *path);
    ends.reduce(f64::min).filter(|path| path.is_finite()).unwrap_or(0.0).max(0.0)
}

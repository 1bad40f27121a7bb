//! How the face a bend carries meets the face it is on, in the drawing of the latter.
//!
//! Along and out are counted from the midpoint of the edge as drawn, whatever was removed from its
//! ends: along in its direction of travel, out away from the metal.

use crate::flat::cope;
use crate::flat::cope::EdgeFrame;
use crate::flat::notch;
use crate::flat::pattern::BendStrip;
use crate::flat::splice;
use crate::geom::Edge;
use crate::geom::NEAR;
use crate::geom::Outline;
use crate::geom::Place;
use crate::geom::Point;
use crate::geom::Region;
use crate::geom::Vec2;
use crate::geom::Vertex;
use crate::geom::Within;
use crate::geom::backwards;
use crate::geom::narrow;
use crate::num;
use crate::num::Angle;
use crate::part::Bend;
use crate::part::Cope;
use crate::part::Part;
use crate::part::Relief;
use crate::part::Zone;
use crate::recipe::ReliefShape;

/// Minimum metal beside a notch, mm, or the thickness if more: every process cuts it. Common
/// practice.
const SPUR: f64 = 2.0;

pub(super) struct Joint {
    /// Direction of travel along the edge; metal lies to its left.
    pub(super) along: Vec2,
    /// Away from the metal.
    pub(super) out: Vec2,
    /// Middle of the edge as drawn.
    pub(super) centre: Point,
    /// The two ends of the remaining edge, mm along it.
    pub(super) ends: (f64, f64),
    /// Setback from the edge, mm.
    pub(super) back: f64,
    /// Length of the strip, mm.
    pub(super) allowance: f64,
    /// How far the carried face is shifted along its own x, mm.
    pub(super) aside: f64,
    /// Where the carried face lies.
    pub(super) place: Place,
    /// Where the carried face begins and ends along the edge, mm.
    pub(super) foot: (f64, f64),
    /// Where the bend begins and ends along the edge, mm: within the foot.
    pub(super) strip: (f64, f64),
    /// Whether another bend begins at the start and at the end of the edge.
    pub(super) corners: (bool, bool),
    /// Where a tube is coped through the bend at the start and at the end of the edge: the end
    /// of the strip, from the standing face to the carried one.
    coped: [Option<Vec<Vertex>>; 2],
    relief: Relief,
    /// Where it begins and ends on the faces beside it, where it is drawn across a face.
    zone: Option<[Edge; 2]>,
}

impl Joint {
    pub(super) fn new(part: &Part, bend: &Bend) -> Self {
        let named = &part.faces[bend.from].edges[bend.edge];
        let (edge, centre) = (named.edge, named.centre);
        let along = edge.direction_at_start();
        let out = Vec2::new(along.y, -along.x);
        let (back, allowance) = (bend.drawn_setback(), bend.bend.allowance());
        // x of the carried face runs against `along`.
        let rotation = Angle::of(-along.x, -along.y);
        let origin = centre + out * (allowance - 2.0 * back) - along * bend.aside;
        let zone = bend.zone.as_ref();
        let mut joint = Self {
            along,
            out,
            centre,
            ends: ((edge.from - centre).dot(along), (edge.to - centre).dot(along)),
            back,
            allowance,
            aside: bend.aside,
            place: Place::rotated(rotation, origin),
            foot: (0.0, 0.0),
            strip: (0.0, 0.0),
            corners: (false, false),
            coped: zone.map_or([None, None], |zone| zone.sides.clone().map(Some)),
            relief: bend.relief,
            zone: zone.map(Zone::tangents),
        };
        if let Some(outline) = zone.and_then(|zone| zone.outline().ok()) {
            let turned = Place::rotated(Angle::of(along.x, -along.y), Point::ZERO);
            let from = turned.apply(centre).x;
            let bounds = outline.moved(&turned).bounds();
            joint.strip = (bounds.min.x - from, bounds.max.x - from);
            joint.foot = joint.strip;
        }
        joint
    }

    /// Whether it is drawn across a face, so that nothing is cut for it.
    pub(super) fn is_drawn(&self) -> bool {
        self.zone.is_some()
    }

    /// How far short of a point on its edge the carried face ends, mm; `None` for a point off the
    /// rest of that edge.
    pub(super) fn beside(&self, p: Point) -> Option<f64> {
        let (along, out) = self.seen(p);
        let off = |end: f64| (along - end).abs() > 10.0 * NEAR;
        if out.abs() > 10.0 * NEAR || off(self.ends.0) && off(self.ends.1) {
            return None;
        }
        Some(if off(self.ends.1) { self.foot.0 - along } else { along - self.foot.1 })
    }

    /// Finds where the carried face begins and ends.
    pub(super) fn find_ends(&mut self, carried: &Region) -> Result<(), String> {
        if self.is_drawn() {
            return Ok(());
        }
        let foot = splice::foot(carried.outer(), self.back)
            .ok_or("the flange needs exactly one straight edge where the bend ends")?;
        self.foot = (-foot.1 - self.aside, -foot.0 - self.aside);
        if self.foot.1 <= self.ends.0 + NEAR || self.foot.0 >= self.ends.1 - NEAR {
            return Err("the flange misses its edge".into());
        }
        Ok(())
    }

    fn frame(&self) -> EdgeFrame {
        let Self { along, out, centre, back, allowance, aside, .. } = *self;
        EdgeFrame { along, out, centre, back, allowance, aside }
    }

    /// Finds the copes that continue through the bend.
    pub(super) fn cope(
        &mut self,
        bend: &Bend,
        copes: &[Cope],
        standing: &Region,
        carried: &Region,
    ) {
        if self.relief.shape != ReliefShape::Tear && !self.is_drawn() {
            self.coped = cope::through(&self.frame(), bend, copes, standing, carried);
        }
    }

    pub(super) fn point(&self, along: f64, out: f64) -> Point {
        self.frame().point(along, out)
    }

    /// The coordinates of a point of the standing face along the edge, and out from it.
    pub(super) fn seen(&self, p: Point) -> (f64, f64) {
        self.frame().seen(p)
    }

    /// The line where the bend begins, on the face it is on.
    fn tangent(&self) -> Edge {
        Edge::line(self.point(self.strip.0, -self.back), self.point(self.strip.1, -self.back))
    }

    /// Whether the sheet beside the bend is left whole, to tear when it is bent.
    pub(super) fn tears(&self) -> bool {
        self.relief.shape == ReliefShape::Tear && self.short() != (false, false)
    }

    /// At which ends the edge continues beside the flange.
    fn short(&self) -> (bool, bool) {
        let (near, far) = (self.foot.0 - self.ends.0 > NEAR, self.ends.1 - self.foot.1 > NEAR);
        let [start, end] = &self.coped;
        let (start, end) = (start.is_some() || self.corners.0, end.is_some() || self.corners.1);
        (near && !start, far && !end)
    }

    /// The data of the splice: the line where the strip leaves the standing face, and the rest of
    /// the strip. Where the sheet tears, it leaves at the edge itself.
    pub(super) fn seam(&self) -> splice::Seam {
        if let Some([tangent, ends]) = self.zone {
            return splice::Seam { tangent, far: ends.reversed(), sides: self.coped.clone() };
        }
        let (from, to) = self.strip;
        let begin = if self.tears() { 0.0 } else { -self.back };
        let tangent = Edge::line(self.point(from, begin), self.point(to, begin));
        let strip = self.out * (self.allowance - self.back - begin);
        let far = Edge::line(tangent.to + strip, tangent.from + strip);
        splice::Seam { tangent, far, sides: self.coped.clone() }
    }

    /// The standing face without the bend's strip in front of the line where it begins.
    pub(super) fn cleared(&self, face: &Region) -> Result<Region, String> {
        if self.back <= NEAR || self.is_drawn() {
            return Ok(face.clone());
        }
        // Past the end of the edge there is nothing in front of it, so the cut may run over.
        let over = 2.0 * self.back + 1.0;
        let (short, foot) = (self.short(), self.foot);
        let low = if short.0 { foot.0 } else { self.ends.0 - over };
        let high = if short.1 { foot.1 } else { self.ends.1 + over };
        // At a corner of more than 90° the metal continues beside the edge.
        let [low, high] = [low.max(self.ends.0 - self.room()), high.min(self.ends.1 + self.room())];
        self.cut(face, (low, high), -self.back, ReliefShape::Square)
    }

    /// How far past its end the edge may be cleared, mm.
    fn room(&self) -> f64 {
        self.relief.width
    }

    /// The same, or the face itself where it is left to tear.
    pub(super) fn cleared_or_torn(&self, face: &Region) -> Result<Region, String> {
        if !self.tears() {
            return self.cleared(face);
        }
        if self.corners != (false, false) {
            return Err("it cannot tear where there is another flange on the next edge".into());
        }
        if self.allowance <= self.back + NEAR {
            let max = num::text(self.back, 2);
            return Err(format!(
                "the sheet beside it cannot tear: the bend ends within {max} mm of the edge"
            ));
        }
        Ok(face.clone())
    }

    /// Finds how far the bend can run along the remaining edge of the standing face.
    pub(super) fn settle(&mut self, face: &Region) -> Result<(), String> {
        if self.is_drawn() {
            return Ok(());
        }
        let (low, high) = (self.foot.0.max(self.ends.0), self.foot.1.min(self.ends.1));
        self.strip = (low, high);
        let tangent = self.seam().tangent;
        let on = splice::on_line(face.outer(), &tangent)
            .ok_or("the edge is not straight where the bend begins")?;
        let edge = face.outer().edges().nth(on).unwrap_or(tangent);
        let (start, end) = (self.seen(edge.from).0, self.seen(edge.to).0);
        self.strip = (low.max(start), high.min(end));
        let edge = self.frame();
        for (i, (near, far)) in [(start, self.foot.0), (end, self.foot.1)].into_iter().enumerate() {
            self.coped[i] = self.coped[i].take().map(|side| cope::fitted(&edge, &side, near, far));
        }
        if self.relief.shape == ReliefShape::None && (self.short() != (false, false)) {
            return Err("the flange is narrower than its edge and `relief` is \"none\"".into());
        }
        Ok(())
    }

    /// The standing face with a notch where the edge continues beside the bend.
    pub(super) fn relieved(&self, face: &Region) -> Result<Region, String> {
        let mut face = face.clone();
        if self.tears() {
            return Ok(face);
        }
        let (short, width) = (self.short(), self.relief.width);
        let (depth, shape) = (-self.back - self.relief.depth, self.relief.shape);
        let room = self.room();
        if short.0 {
            let wide = self.strip.0 - width >= self.ends.0;
            let end = (self.strip.0 - width).max(self.ends.0 - room);
            let shape = if wide { shape } else { ReliefShape::Square };
            face = self.cut(&face, (end, self.strip.0), depth, shape)?;
        }
        if short.1 {
            let wide = self.strip.1 + width <= self.ends.1;
            let end = (self.strip.1 + width).min(self.ends.1 + room);
            let shape = if wide { shape } else { ReliefShape::Square };
            face = self.cut(&face, (self.strip.1, end), depth, shape)?;
        }
        Ok(face)
    }

    /// The carried face with a notch where it continues beside the bend; without all that is
    /// beside it where a notch would leave a loose piece, as at the foot of a flange that leans,
    /// or a spur.
    pub(super) fn carried_relieved(
        &self,
        carried: &Region,
        thickness: f64,
    ) -> Result<Region, String> {
        if matches!(self.relief.shape, ReliefShape::Tear | ReliefShape::None) {
            return Ok(carried.clone());
        }
        // x of the carried face runs against the edge.
        let to_x = |along: f64| -along - self.aside;
        let mut face = carried.clone();
        for (end, side) in [(1, -1.0), (0, 1.0)] {
            let of = |(start, stop): (f64, f64)| to_x(if end == 1 { stop } else { start });
            let (strip, foot) = (of(self.strip), of(self.foot));
            if (foot - strip) * side > NEAR && self.coped[end].is_none() {
                face = self.carried_notch(&face, (strip, foot), side, thickness)?;
            }
        }
        Ok(face)
    }

    /// The carried face with a notch beside the end of the bend, on its left (-1) or right (1).
    fn carried_notch(
        &self,
        carried: &Region,
        (strip, foot): (f64, f64),
        side: f64,
        thickness: f64,
    ) -> Result<Region, String> {
        // Seen from the carried face, the bend lies in front of it.
        let view = Self {
            along: Vec2::new(1.0, 0.0),
            out: Vec2::new(0.0, -1.0),
            centre: Point::new(0.0, self.back),
            coped: [None, None],
            zone: None,
            ..*self
        };
        let bounds = carried.bounds();
        let last = if side < 0.0 { bounds.min.x } else { bounds.max.x };
        let all = side * (side * last).max(side * foot) + side;
        let width = self.relief.width;
        let wide = (foot - strip) * side >= width;
        let end = if wide { strip + side * width } else { all };
        let end = side * (side * end).min(side * foot + width);
        let shape = if wide { self.relief.shape } else { ReliefShape::Square };
        let depth = -self.relief.depth;
        let cut = |end: f64, shape: ReliefShape| {
            view.cut(carried, (strip.min(end), strip.max(end)), depth, shape)
        };
        let min = thickness.max(SPUR);
        let is_spur = |at: Point| {
            let (after, beyond) = ((at.x - strip) * side, (at.x - end) * side);
            after > -NEAR && beyond < min && at.y < self.back + self.relief.depth + min
        };
        let leaves_a_spur = |face: &Region| {
            let places = narrow(face.outer(), Within::Inside, min, NEAR);
            places.iter().any(|place| is_spur(place.at))
        };
        match cut(end, shape) {
            Ok(face) if !leaves_a_spur(&face) => Ok(face),
            Ok(face) => cut(all, ReliefShape::Square).or(Ok(face)),
            Err(_) => cut(all, ReliefShape::Square),
        }
    }

    /// Without a stretch of the edge, from `depth` outwards; the notch ends square or round.
    fn cut(
        &self,
        face: &Region,
        stretch: (f64, f64),
        depth: f64,
        shape: ReliefShape,
    ) -> Result<Region, String> {
        notch::cut(face, &self.frame(), stretch, depth, shape)
    }

    /// The strip of the bend, whole; the place is that of the standing face.
    pub(super) fn strip(&self, bend: &Bend, place: &Place) -> Result<BendStrip, String> {
        let near = self.tangent();
        let shifted = |share: f64| {
            let by = self.out * (self.allowance * share);
            Edge::line(near.from + by, near.to + by).moved(place)
        };
        let x = |along: f64| Point::new(-along - self.aside, self.back);
        let tangents = [near.moved(place), shifted(1.0)];
        let plain =
            |from: Point, to: Point| [from, to].map(|at| Vertex { at, bulge: 0.0 }).to_vec();
        let moved = |side: &Vec<Vertex>| {
            side.iter().map(|v| Vertex { at: place.apply(v.at), ..*v }).collect::<Vec<_>>()
        };
        let [start, end] = &self.coped;
        let start = start.as_ref().map(moved);
        let end = end.as_ref().map(|side| backwards(&moved(side)));
        let mut corners = start.unwrap_or_else(|| plain(tangents[0].from, tangents[1].from));
        corners.extend(end.unwrap_or_else(|| plain(tangents[1].to, tangents[0].to)));
        let metal = Outline::new(corners);
        let metal = Region::solid(metal.map_err(|e| e.to_string())?);
        let zone = bend.zone.as_ref().map(|zone| zone.moved(place));
        Ok(BendStrip {
            tangents,
            line: zone.as_ref().map_or_else(|| shifted(0.5), |zone| zone.line),
            openings: zone.map(|zone| zone.openings).unwrap_or_default(),
            begins: near,
            ends: Edge::line(x(self.strip.1), x(self.strip.0)),
            area: metal.area(),
            metal,
            bend: bend.bend,
        })
    }
}

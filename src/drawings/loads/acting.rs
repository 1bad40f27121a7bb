//! Where a load acts and which way, as arrows: on the flat where it lies in the plane of a plate,
//! else on the part seen from the side, with the sizes that the load is given by.

use crate::drawings::dimension::dimension;
use crate::drawings::folded;
use crate::drawings::gap_picture::rectangle;
use crate::drawings::gap_picture::small;
use crate::drawings::loads::arrows::ARROW;
use crate::drawings::loads::arrows::arrows;
use crate::drawings::loads::arrows::square_to_paper;
use crate::drawings::loads::arrows::valued;
use crate::flat::to_origin;
use crate::geom::Bounds;
use crate::geom::Edge;
use crate::geom::Frame;
use crate::geom::Place;
use crate::geom::Point;
use crate::geom::Space;
use crate::geom::Vec2;
use crate::geom::cross;
use crate::geom::dot;
use crate::geom::length;
use crate::geom::ring_edges;
use crate::geom::unit;
use crate::job::Job;
use crate::num;
use crate::num::Angle;
use crate::paper;
use crate::paper::Ink;
use crate::paper::Item;
use crate::paper::Pen;
use crate::paper::SMALL;
use crate::paper::Unit;
use crate::paper::Words;
use crate::paper::figure_text;
use crate::quantity::Units;
use crate::solid;
use crate::solve::Solved;
use crate::strength;
use crate::strength::Acts;
use crate::strength::At;
use crate::strength::Verdict;
use crate::view;
use crate::view::Camera;
use crate::view::Sight;
use crate::view::Skin;

/// Maximum height of the part in a view from the side, and of that view with everything above the
/// part, mm.
const HIGH: [f64; 2] = [26.0, 52.0];
/// From a dimensioned feature to its dimension line, mm.
const OFF: f64 = 6.0;
/// Directions that differ by less are equal; a smaller size is zero, mm.
const SAME: f64 = 1e-6;
/// A direction within this of an axis of the flat is that of it, degrees.
const ROUND: f64 = 0.05;

/// A load with where it acts.
pub(super) struct Acting<'a> {
    job: &'a Job,
    solved: &'a Solved,
    /// Where it acts, in the drawing of its face.
    at: At,
    /// Width of the bearing area on the plate, mm.
    foot: Option<f64>,
    verdict: &'a Verdict,
    acts: &'a Acts,
    /// The face it acts on.
    face: usize,
}

impl<'a> Acting<'a> {
    /// `None` if the support is not known.
    pub(super) fn of(job: &'a Job, solved: &'a Solved, of: usize) -> Option<Self> {
        let (here, verdict) = solved.verdicts.get(of)?;
        let load = job.loads.iter().find(|load| load.here == *here);
        // A load along a link acts at the hole of its rod end.
        let named = || verdict.at.strip_prefix("hole `")?.strip_suffix('`').map(str::to_owned);
        let at = load.map(|load| load.at.clone()).or_else(|| named().map(At::Hole))?;
        let foot = load.and_then(|load| load.foot);
        let face = strength::face_of(&solved.part, &solved.folded, &at)?;
        Some(Self { job, solved, at, foot, verdict, acts: verdict.acts.as_ref()?, face })
    }

    fn frame(&self) -> Frame {
        self.solved.folded.faces[self.face].frame
    }

    /// Whether it acts in the plane of the plate, at the plate.
    fn is_in_plane(&self) -> bool {
        let z = self.frame().z;
        let level = |way: &Space| dot(*way, z).abs() < SAME;
        self.acts.at == self.acts.feet && self.acts.ways.iter().all(level)
    }

    /// What acts at one place: `2.25 kN`, with `each` where there are several.
    fn value(&self) -> String {
        let places = self.acts.at.len().max(1) as f64;
        let each = self.verdict.force / f64::from(self.verdict.pieces) / places;
        let (unit, word) = self.job.units.force_unit();
        let each_word = if places > 1.0 { " each" } else { "" };
        format!("{} {word}{each_word}", Units::applied_figure(each / unit))
    }

    /// Over how many pieces the load is spread, and how much each has; nothing for one.
    pub(super) fn shared(&self) -> Option<String> {
        let pieces = self.verdict.pieces;
        (pieces > 1).then(|| {
            let (unit, word) = self.job.units.force_unit();
            let each = self.verdict.force / f64::from(pieces) / unit;
            format!("on {pieces} pieces, {} {word} on each", Units::applied_figure(each))
        })
    }

    /// Adds the places with their arrows to the items of the flat, where a place brings it to paper at a
    /// scale; where the load is square to the plate, the signs of an arrow seen end on.
    pub(super) fn on_flat(
        &self,
        items: &mut Vec<Item>,
        (place, onto): (&Place, &dyn Fn(Point) -> Point),
    ) {
        let to_flat = self.solved.flat.places[self.face].then(place);
        let frame = self.frame();
        let flat = |p: Space| {
            let [x, y, _] = frame.seen(p);
            onto(to_flat.apply(Point::new(x, y)))
        };
        let feet: Vec<Point> = self.acts.feet.iter().map(|p| flat(*p)).collect();
        let direction =
            |way: &Space| to_flat.direction(Vec2::new(dot(*way, frame.x), dot(*way, frame.y)));
        // A force normal to the plate is seen end on, from its top side.
        let square: Vec<f64> = self.acts.ways.iter().map(|way| dot(*way, frame.z)).collect();
        let comes: Vec<bool> = square.iter().filter(|z| z.abs() > SAME).map(|z| *z > 0.0).collect();
        let ways: Vec<Vec2> = self.acts.ways.iter().map(direction).collect();
        let ways: Vec<Vec2> = ways.into_iter().filter(|way| way.hypot() > SAME).collect();
        feet.iter().for_each(|at| square_to_paper(items, *at, &comes));
        if !ways.is_empty() {
            let middle = onto(place.apply(self.solved.flat.region.bounds().centre()));
            let ends = arrows(items, &feet, (&ways, middle));
            valued(items, &ends, &self.value());
        }
    }

    /// The part from the side with the arrows of a load out of the plane of a plate, with its
    /// height and the body on the plate; `None` for other loads.
    pub(super) fn seen_from_the_side(&self, width: f64) -> Option<Unit> {
        if self.is_in_plane() && self.solved.part.bends.is_empty() {
            return None;
        }
        let camera = self.camera()?;
        let part = &self.solved.part;
        let body = solid::solid(part, &self.solved.flat, &self.solved.folded).ok()?;
        let skin = Skin::of(&[body]);
        let seen = view::see(&Sight::new(&skin, camera), &self.solved.folded.bends, part.thickness);
        let solid = folded::drawn(seen);
        let own = solid.lines.iter().flat_map(|(_, edges)| edges);
        let own = own.fold(Bounds::EMPTY, |b, edge| b.and(edge.bounds()));
        let at: Vec<Point> = self.acts.at.iter().map(|p| camera.paper(*p)).collect();
        let all = at.iter().fold(own, |all, p| all.with(*p));
        let by = (HIGH[0] / own.height().max(1.0)).min(HIGH[1] / all.height().max(1.0));
        let by = by.min((width * 0.6) / all.width().max(1.0));
        let onto = |p: Point| ((p - own.min) * by).to_point();
        let edge = |e: &Edge| Edge { from: onto(e.from), to: onto(e.to), bulge: e.bulge };
        let rings = solid.whole.iter().map(|ring| ring.iter().map(|p| onto(*p)).collect());
        let rings: Vec<Vec<Point>> = rings.collect();
        let tint = Item::Fill(METAL, rings.iter().map(|ring| ring_edges(ring)).collect());
        let mut items = vec![tint];
        items.extend(
            solid.lines.iter().map(|(pen, line)| Item::Line(*pen, line.iter().map(edge).collect())),
        );
        items.extend(self.body_items(&camera, &onto));
        // Places behind each other are one.
        let mut at: Vec<Point> = at.into_iter().map(onto).collect();
        at.dedup_by(|a, b| (*a - *b).hypot() < 0.1);
        let ways: Vec<Vec2> =
            self.acts.ways.iter().map(|way| camera.paper(*way).to_vec2()).collect();
        let middle = onto(own.centre());
        let ends = arrows(&mut items, &at, (&ways, middle));
        let own = Bounds { min: onto(own.min), max: onto(own.max) };
        items.extend(self.arm((own, &camera, &onto), &at, &ways, by));
        valued(&mut items, &ends, &self.value());
        let low = paper::extent(&items).min - (0.0, SMALL + 1.6);
        let seen = small(self.seen_from(&camera)).in_ink(Ink::Grey);
        items.push(Item::Words(Words { at: low, ..seen }));
        Some(moved_unit(items, 2.0))
    }

    /// From which side of the flat a view shows the face.
    fn seen_from(&self, camera: &Camera) -> String {
        let frame = self.frame();
        let place = self.solved.flat.places[self.face].then(&to_origin(&self.solved.flat.region));
        let near = Vec2::new(dot(camera.near, frame.x), dot(camera.near, frame.y));
        if near.hypot() < SAME {
            let top = dot(camera.near, frame.z) > 0.0;
            return format!("Seen from the {} side", if top { "top" } else { "bottom" });
        }
        let near = place.direction(near);
        let angle = Angle::of(near.x, near.y).degrees().rem_euclid(360.0);
        let sides = ["right", "upper", "left", "lower", "right"];
        match sides
            .iter()
            .zip([0.0, 90.0, 180.0, 270.0, 360.0])
            .find(|(_, of)| (angle - of).abs() < ROUND)
        {
            Some((side, _)) => format!("Seen from the {side} edge of the flat"),
            None => format!("Seen from {}° of the flat, anticlockwise from X", num::text(angle, 1)),
        }
    }

    /// From where a load is seen in its true direction, where that can be along the bends.
    fn camera(&self) -> Option<Camera> {
        let frame = self.frame();
        let first = *self.acts.ways.first()?;
        let is_raised = self.acts.at != self.acts.feet;
        let across = cross(first, frame.z);
        let bends = self.solved.folded.bends.iter().filter_map(|bend| bend.axis());
        let mut nears: Vec<Space> =
            if is_raised { Vec::new() } else { bends.map(|b| b.1).collect() };
        if length(across) > SAME {
            nears.push(unit(across));
        }
        // From the front, as a drawing shows a plate.
        nears.push(frame.y.map(|x| -x));
        nears.push(frame.x);
        let is_true = |near: &Space| dot(*near, first).abs() < SAME;
        let near = nears.into_iter().find(is_true)?;
        if !is_raised {
            return Some(Camera::towards(near));
        }
        let up = frame.z;
        Some(Camera { right: cross(up, near), up, near })
    }

    /// The body on the plate where a load acts above it, with its width and the height of the load.
    fn body_items(&self, camera: &Camera, onto: &dyn Fn(Point) -> Point) -> Vec<Item> {
        let At::Point { above, .. } = self.at else { return Vec::new() };
        let (frame, units) = (self.frame(), self.job.units);
        let Some(foot) = self.acts.feet.first() else { return Vec::new() };
        let [x, y, _] = frame.seen(*foot);
        let seat = camera.paper(frame.point(Point::new(x, y), 0.0));
        let top = seat + Vec2::new(0.0, above);
        let half = Vec2::new(self.foot.unwrap_or(0.0) / 2.0, 0.0);
        let mut items = Vec::new();
        if above > SAME {
            let height = figure_text(units, above);
            let side = onto(seat + half).x - onto(seat).x + ARROW + 8.0;
            let feet = [onto(seat), onto(top)];
            items.extend(dimension(feet, Vec2::new(side, 0.0), &height));
        }
        if let Some(foot) = self.foot {
            let high = if above > SAME { top } else { seat + Vec2::new(0.0, foot / 2.0) };
            let post = rectangle(onto(seat - half), onto(high + half));
            items.push(Item::Line(Pen::Phantom, post));
            let feet = [onto(seat - half), onto(seat + half)];
            let down = -Vec2::new(0.0, OFF + onto(seat).y - onto(seat).y.min(0.0));
            items.extend(dimension(feet, down, &figure_text(units, foot)));
        }
        items
    }

    /// How far the line of a load is from the side of the part on which the section is that governs,
    /// the far side if no section is known; `None` if there is a body on the plate.
    fn arm(
        &self,
        (own, camera, onto): (Bounds, &Camera, &dyn Fn(Point) -> Point),
        at: &[Point],
        ways: &[Vec2],
        by: f64,
    ) -> Vec<Item> {
        let (Some(at), Some(way)) = (at.first(), ways.first()) else { return Vec::new() };
        if matches!(self.at, At::Point { .. }) {
            return Vec::new();
        }
        let section = self.verdict.governing().and_then(|limit| limit.section);
        if section.is_none() && (*at - own.centre()).hypot() < 0.1 {
            // In the middle of the part: no side is bent.
            return Vec::new();
        }
        let section = section.map(|section| {
            let [a, b] = section.folded.map(|p| onto(camera.paper(p)));
            a.midpoint(b)
        });
        let Bounds { min, max } = own;
        let side = |at: f64, section: Option<f64>, [min, max]: [f64; 2]| {
            let is_far = at - min >= max - at;
            let is_low = section.filter(|s| (s - at).abs() > 1.0).map_or(is_far, |s| s < at);
            if is_low { min } else { max }
        };
        let (foot, out) = if way.y.abs() < SAME {
            let y = side(at.y, section.map(|p| p.y), [min.y, max.y]);
            let out = if at.x > own.centre().x { max.x + OFF - at.x } else { min.x - OFF - at.x };
            let out = out + out.signum() * ARROW;
            (Point::new(at.x, y), Vec2::new(out, 0.0))
        } else if way.x.abs() < SAME {
            let x = side(at.x, section.map(|p| p.x), [min.x, max.x]);
            let out = if at.y > own.centre().y { max.y + OFF - at.y } else { min.y - OFF - at.y };
            let out = out + out.signum() * ARROW;
            (Point::new(x, at.y), Vec2::new(0.0, out))
        } else {
            return Vec::new();
        };
        let far = (foot - *at).hypot() / by;
        match far > 1e-3 {
            true => dimension([foot, *at], out, &figure_text(self.job.units, far)),
            false => Vec::new(),
        }
    }
}

/// How light the metal is; 1 is white.
const METAL: f64 = 0.938;

/// Items moved to the position of a unit at this distance from its side.
fn moved_unit(items: Vec<Item>, left: f64) -> Unit {
    let all = paper::extent(&items);
    let shift = (left - all.min.x, -1.0 - all.max.y);
    let items = items.into_iter().map(|item| item.shifted(shift)).collect();
    Unit::picture(all.height() + 4.0, items)
}

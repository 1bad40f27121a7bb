//! What a tube in space takes out of a face that lies on three points.
//!
//! A straight leg that crosses the plate is cut through its whole thickness; a tube that lies
//! along the plate, bent or not, is cut as wide as it is there. A plate across a bend is refused.

use crate::diag::Finding;
use crate::diag::Span;
use crate::diag::instead;
use crate::geom::Frame;
use crate::geom::NEAR;
use crate::geom::Outline;
use crate::geom::Place;
use crate::geom::Point;
use crate::geom::Region;
use crate::geom::Saddle;
use crate::geom::Space;
use crate::geom::Vec2;
use crate::geom::Vertex;
use crate::geom::cross;
use crate::geom::dot;
use crate::geom::length;
use crate::geom::minus;
use crate::geom::plus;
use crate::geom::times;
use crate::num::Angle;
use crate::part::face::Cope;
use crate::part::values::Values;
use crate::recipe::Plane;
use crate::recipe::SpaceTube;
use crate::recipe::TubeCut;

/// So much larger than a leaning tube is what is cut, mm: arcs leave the true curve by less, so
/// that no metal stays in it. Our choice.
const CLEAR: f64 = 0.01;

/// A leg that leans less lies along the plate: sine of the angle, rounding.
const LEVEL: f64 = 1e-9;

/// Places of a bend at which a plate is looked for. Our choice: less than a degree apart.
const LOOKS: u32 = 200;

/// What is cut out of a face, and the straight tube it is coped to.
pub(super) struct Section {
    pub(super) outline: Outline,
    pub(super) cope: Option<Cope>,
}

/// A tube as the drawing of the face has it, z above the middle of the plate. Lengths are mm.
struct Way {
    legs: Vec<Leg>,
    bends: Vec<Bend>,
    /// Of what is cut: with the play.
    radius: f64,
    /// Outside diameter, without it.
    outside: f64,
}

/// A straight leg of a tube.
struct Leg {
    from: Space,
    along: Space,
    long: f64,
}

/// A bend of a tube: its centre line goes about a centre, from one direction to another.
struct Bend {
    centre: Space,
    out: Space,
    along: Space,
    radius: f64,
    angle: Angle,
}

/// The plate that is cut.
struct Plate<'a> {
    metal: &'a Region,
    half: f64,
}

/// What a tube takes out of a face; `None` when something was reported.
pub(super) fn section(
    cut: &TubeCut,
    values: &Values,
    thickness: f64,
    before: &Region,
    span: Span,
) -> Option<Section> {
    let (name, at) = &cut.tube;
    let refuse = |headline: String, at: Span, help: String| {
        values.findings.add(Finding::stop("tube", headline).at(at, "").help(help));
    };
    let Some(tube) = values.recipe.tubes.get(name) else {
        let names: Vec<&str> = values.recipe.tubes.keys().map(String::as_str).collect();
        let help = match names.is_empty() {
            true => format!("add `[tube.{name}]` with `from`, `to` and `outside`"),
            false => instead(name, &names, "tubes are"),
        };
        refuse(format!("there is no tube `{name}`"), *at, help);
        return None;
    };
    let Some(plane) = values.on else {
        let help = "add `on = { origin = [x, y, z], x = [x, y, z], side = [x, y, z] }` to the face";
        refuse("nothing says where this face lies in space".into(), span, help.into());
        return None;
    };
    let frame = frame(plane, values)?;
    let way = way(name, tube, cut, &frame, thickness / 2.0, values)?;
    let leg = match &cut.leg {
        Some(leg) => Some(values.count(leg, way.legs.len() as u32)? as usize - 1),
        None => None,
    };
    let plate = Plate { metal: before, half: thickness / 2.0 };
    match plate.section(&way, leg) {
        Ok(section) => Some(section),
        Err((words, help)) => {
            refuse(format!("tube `{name}` {words}"), span, help);
            None
        }
    }
}

/// The frame of a face on three points, its top side in their plane.
fn frame(plane: &Plane, values: &Values) -> Option<Frame> {
    let (o, x, side) =
        (values.space(&plane.origin), values.space(&plane.x), values.space(&plane.side));
    let (origin, x, side) = (o?, x?, side?);
    let along = minus(x, origin);
    let up = cross(along, minus(side, origin));
    if length(along) < NEAR || length(up) < NEAR * length(along) {
        let finding = Finding::stop("tube", "the three points of this face lie on one line");
        values.findings.add(finding.at(plane.span, "").help("choose `side` beside that line"));
        return None;
    }
    let (x, z) = (times(along, 1.0 / length(along)), times(up, 1.0 / length(up)));
    Some(Frame { origin, x, y: cross(z, x), z })
}

/// A tube as a face sees it.
fn way(
    name: &str,
    tube: &SpaceTube,
    cut: &TubeCut,
    frame: &Frame,
    half: f64,
    values: &Values,
) -> Option<Way> {
    let radius = values.length(&tube.outside)? / 2.0;
    let play = cut.play.as_ref().map_or(Some(0.0), |play| values.length(play))?;
    let refuse = |headline: String, at: Span, help: &str| {
        values.findings.add(Finding::stop("tube", headline).at(at, "").help(help));
        None
    };
    if radius <= 0.0 {
        let headline = "a tube needs an outside diameter of more than 0".into();
        return refuse(headline, tube.outside.span, "write `outside = \"38 mm\"`");
    }
    if play < 0.0 {
        let span = cut.play.as_ref().map_or(cut.tube.1, |play| play.span);
        return refuse("play is 0 or more".into(), span, "write `play = \"0.2 mm\"`");
    }
    let bend = tube.radius.as_ref().map_or(Some(0.0), |bend| values.length(bend))?;
    if let Some(expr) = tube.radius.as_ref().filter(|_| bend <= radius) {
        let headline = format!("the bends of tube `{name}` are tighter than half its diameter");
        return refuse(headline, expr.span, "give the radius of its centre line in the bends");
    }
    let seen = |at: &[_; 3]| {
        let [x, y, z] = frame.seen(values.space(at)?);
        Some([x, y, z + half])
    };
    let path: Vec<Space> = tube.path.iter().map(seen).collect::<Option<_>>()?;
    let all = legs(&path, bend);
    let Some((legs, bends)) = all else {
        let headline = format!("the points of tube `{name}` are too near each other for its bends");
        return refuse(headline, tube.span, "move them apart, or make its bends tighter");
    };
    Some(Way { legs, bends, radius: radius + play, outside: 2.0 * radius })
}

/// The straight legs and the bends of a path; nothing where they do not fit in.
fn legs(path: &[Space], radius: f64) -> Option<(Vec<Leg>, Vec<Bend>)> {
    let ways: Vec<Space> = path.windows(2).map(|pair| minus(pair[1], pair[0])).collect();
    let long: Vec<f64> = ways.iter().map(|way| length(*way)).collect();
    if long.iter().any(|mm| *mm < NEAR) {
        return None;
    }
    let along: Vec<Space> = ways.iter().zip(&long).map(|(way, mm)| times(*way, 1.0 / mm)).collect();
    let mut back = vec![0.0; path.len()];
    let mut bends = Vec::new();
    for (i, pair) in along.windows(2).enumerate() {
        let (u, v) = (pair[0], pair[1]);
        let angle = Angle::of(dot(u, v), length(cross(u, v)));
        if angle.degrees() > 179.0 {
            return None;
        }
        back[i + 1] = radius * Angle::from_degrees(angle.degrees() / 2.0).tan();
        let start = minus(path[i + 1], times(u, back[i + 1]));
        let side = minus(v, times(u, dot(u, v)));
        let inward = if length(side) > 0.0 { times(side, 1.0 / length(side)) } else { [0.0; 3] };
        let centre = plus(start, times(inward, radius));
        bends.push(Bend { centre, out: times(inward, -1.0), along: u, radius, angle });
    }
    let mut legs = Vec::new();
    for (i, along) in along.iter().enumerate() {
        let left = long[i] - back[i] - back[i + 1];
        if left < -NEAR {
            return None;
        }
        legs.push(Leg { from: plus(path[i], times(*along, back[i])), along: *along, long: left });
    }
    Some((legs, bends))
}

type Refusal = (String, String);

impl Plate<'_> {
    fn section(&self, way: &Way, leg: Option<usize>) -> Result<Section, Refusal> {
        let height = way.legs[0].from[2];
        let ends = way.legs.iter().flat_map(|leg| [leg.from, leg.end()]);
        if ends.into_iter().all(|end| (end[2] - height).abs() < NEAR) {
            if leg.is_some() && way.legs.len() > 1 {
                let help = "leave out `leg`, or name a tube that is this leg alone";
                return Err(("lies along the plate with all its legs".into(), help.into()));
            }
            return self.beside(way, height);
        }
        if let Some(i) = way.bends.iter().position(|bend| self.meets(bend, way.radius)) {
            let words =
                format!("bends where it meets the plate, between legs {} and {}", i + 1, i + 2);
            let help = "lay the plate across a straight leg, or along the plane of the bend";
            return Err((words, help.into()));
        }
        let mut found = Vec::new();
        for (i, of) in way.legs.iter().enumerate() {
            if leg.is_none_or(|leg| leg == i) {
                found.extend(self.across(of, way)?.map(|section| (i, section)));
            }
        }
        if let [(a, _), (b, _), ..] = found.as_slice() {
            let words = format!("crosses the plate with legs {} and {}", a + 1, b + 1);
            return Err((words, format!("cut one at a time: add `leg = {}`", a + 1)));
        }
        let none =
            || ("does not meet the plate".to_owned(), "move the plate or the tube".to_owned());
        found.pop().map(|(_, section)| section).ok_or_else(none)
    }

    /// What a leg that crosses the plate takes out of it; nothing where it passes beside.
    fn across(&self, leg: &Leg, way: &Way) -> Result<Option<Section>, Refusal> {
        let up = if leg.along[2] < 0.0 { -1.0 } else { 1.0 };
        let [dx, dy, rise] = times(leg.along, up);
        let along = Vec2::new(dx, dy);
        let lean = Angle::of(along.hypot(), rise);
        if rise < LEVEL {
            let height = leg.from[2].abs() - way.radius;
            let help = "lay the whole tube along the plate, or this leg across it";
            return match height < self.half {
                true => Err(("lies along the plate with one leg only".into(), help.into())),
                false => Ok(None),
            };
        }
        let reach = (self.half + way.radius * along.hypot()) / rise;
        let cross = -leg.from[2] / leg.along[2];
        if cross + reach < 0.0 || cross - reach > leg.long {
            return Ok(None);
        }
        let clear = if along.hypot() < NEAR { 0.0 } else { CLEAR };
        let radius = way.radius + clear;
        let saddle = Saddle {
            tube: 2.0 * radius,
            lean: if along.hypot() < NEAR { Angle::QUARTER } else { lean },
            aside: 0.0,
            thickness: 2.0 * self.half,
            reach: 1.0,
        };
        let at = plus(leg.from, times(leg.along, cross));
        let at = Point::new(at[0], at[1]);
        let place = Place::rotated(Angle::of(along.x, along.y), at);
        let outline = match saddle.outline() {
            Ok(outline) => outline.moved(&place),
            Err(error) => {
                let help = "lay it along the plate, or across it more steeply";
                return Err((format!("cannot be cut: {error}"), help.into()));
            }
        };
        if self.metal.bounds().distance(&outline.bounds()) > 0.0 {
            return Ok(None);
        }
        if cross - reach < -NEAR || cross + reach > leg.long + NEAR {
            let help = "let its straight leg go right through the plate, by more than its wall";
            return Err(("ends or bends within the plate".into(), help.into()));
        }
        let cope = Cope { at, above: 0.0, along, rise, radius, outside: way.outside };
        Ok(Some(Section { outline, cope: Some(cope) }))
    }

    /// What a tube that lies along the plate takes out of it.
    fn beside(&self, way: &Way, height: f64) -> Result<Section, Refusal> {
        let nearest = (height.abs() - self.half).max(0.0);
        if nearest >= way.radius {
            return Err(("passes the plate".into(), "move the plate or the tube".into()));
        }
        let half = (way.radius * way.radius - nearest * nearest).sqrt();
        let right = |leg: &Leg, at: Space, by: f64| {
            Point::new(at[0] + leg.along[1] * by, at[1] - leg.along[0] * by)
        };
        // Along the right side of the path and back along its left.
        let bulge = |i: usize| way.bends.get(i).map_or(0.0, Bend::bulge);
        let mut vertices = Vec::new();
        for (i, leg) in way.legs.iter().enumerate() {
            vertices.push(Vertex { at: right(leg, leg.from, half), bulge: 0.0 });
            vertices.push(Vertex { at: right(leg, leg.end(), half), bulge: bulge(i) });
        }
        for (i, leg) in way.legs.iter().enumerate().rev() {
            vertices.push(Vertex { at: right(leg, leg.end(), -half), bulge: 0.0 });
            let before = if i == 0 { 0.0 } else { -bulge(i - 1) };
            vertices.push(Vertex { at: right(leg, leg.from, -half), bulge: before });
        }
        match Outline::new(vertices) {
            Ok(outline) => Ok(Section { outline, cope: None }),
            Err(error) => Err((
                format!("cannot be cut along the plate: {error}"),
                "cut its legs one at a time, as tubes of their own".into(),
            )),
        }
    }

    /// Whether a bend of a tube comes into the plate.
    fn meets(&self, bend: &Bend, radius: f64) -> bool {
        (0..=LOOKS).any(|i| {
            let (at, along) = bend.at(f64::from(i) / f64::from(LOOKS));
            let reach = radius * (1.0 - along[2] * along[2]).max(0.0).sqrt();
            let p = Point::new(at[0], at[1]);
            at[2].abs() - reach < self.half - NEAR
                && (self.metal.contains(p) || self.metal.outer().distance(p) <= radius)
        })
    }
}

impl Leg {
    fn end(&self) -> Space {
        plus(self.from, times(self.along, self.long))
    }
}

impl Bend {
    /// A place of its centre line, and the direction there.
    fn at(&self, share: f64) -> (Space, Space) {
        let angle = Angle::from_degrees(self.angle.degrees() * share);
        let (sin, cos) = (angle.sin(), angle.cos());
        let out = plus(times(self.out, self.radius * cos), times(self.along, self.radius * sin));
        let along = plus(times(self.along, cos), times(self.out, -sin));
        (plus(self.centre, out), along)
    }

    /// Its bulge in a plane along which it lies: positive where it turns left.
    fn bulge(&self) -> f64 {
        let left = self.along[0] * -self.out[1] - self.along[1] * -self.out[0];
        Angle::from_degrees(self.angle.degrees() / 4.0).tan() * left.signum()
    }
}

//! The area a tube in space cuts out of a face that is placed by three points.
//!
//! A tube that crosses the plate is cleared through its whole thickness, with a straight leg or in
//! a bend; one that lies along the plate, bent or not, is cut as wide as it is at that height.

use crate::diag::Finding;
use crate::diag::Span;
use crate::geom::CentreLine;
use crate::geom::Frame;
use crate::geom::Leg;
use crate::geom::MovingDisc;
use crate::geom::NEAR;
use crate::geom::Outline;
use crate::geom::Place;
use crate::geom::Point;
use crate::geom::Region;
use crate::geom::Saddle;
use crate::geom::Space;
use crate::geom::Vec2;
use crate::geom::Vertex;
use crate::geom::minus;
use crate::geom::plus;
use crate::geom::times;
use crate::num::Angle;
use crate::part::face::Cope;
use crate::part::space::no_tube;
use crate::part::values::Values;
use crate::recipe::TubeCut;

/// The cut for a leaning tube is larger by this, mm: arcs leave the true curve by less, so that no
/// metal stays in it. Our choice.
const CLEAR: f64 = 0.01;

/// Maximum number of places along a tube at which the plate is sought. Our choice: for a tube of
/// 100 m more than one in a millimetre.
const STEPS: f64 = 200_000.0;

/// Halvings that find where it comes into the plate.
const HALVINGS: usize = 50;

/// The area cut out of a face, and the straight tubes it is coped to.
pub(super) struct Section {
    pub(super) outline: Outline,
    pub(super) copes: Vec<Cope>,
}

/// A tube as the drawing of the face has it, z above mid-thickness of the plate. Lengths are mm.
struct Way {
    line: CentreLine,
    /// Radius of the cut: with the clearance.
    radius: f64,
    /// Outside diameter, without it.
    outside: f64,
}

/// The plate that is cut.
struct Plate<'a> {
    metal: &'a Region,
    half: f64,
}

/// The area a tube cuts out of a face, once for each place where it crosses it; `None` when
/// something was reported.
pub(super) fn sections(
    cut: &TubeCut,
    values: &Values,
    thickness: f64,
    before: &Region,
    span: Span,
) -> Option<Vec<Section>> {
    let (name, at) = &cut.tube;
    let refuse = |headline: String, at: Span, help: String| {
        values.findings.add(Finding::stop("tube", headline).at(at, "").help(help));
    };
    if !values.recipe.tubes.contains_key(name) {
        no_tube(name, *at, values);
        return None;
    }
    let Some(frame) = &values.on else {
        let help = "add `on = { origin = [x, y, z], x = [x, y, z], side = [x, y, z] }` to the face";
        refuse("the position of this face in space is not given".into(), span, help.into());
        return None;
    };
    // An error of the tube itself was reported.
    let Some(tube) = values.tubes.get(name)? else { return Some(Vec::new()) };
    let clearance = values.length_or_zero(cut.clearance.as_ref())?;
    if let Some(expr) = cut.clearance.as_ref().filter(|_| clearance < 0.0) {
        let headline = "the clearance of a tube is 0 or more".into();
        refuse(headline, expr.span, "write `clearance = \"0.2 mm\"`".into());
        return None;
    }
    let above_middle =
        Frame { origin: minus(frame.origin, times(frame.z, thickness / 2.0)), ..*frame };
    let way = Way {
        line: tube.seen(&above_middle)?,
        radius: tube.radius + clearance,
        outside: 2.0 * tube.radius,
    };
    let leg = match &cut.leg {
        Some(leg) => Some(values.count(leg, way.line.legs.len() as u32)? as usize - 1),
        None => None,
    };
    let plate = Plate { metal: before, half: thickness / 2.0 };
    match plate.sections(&way, leg) {
        Ok(sections) => Some(sections),
        Err((words, help)) => {
            refuse(format!("tube `{name}` {words}"), span, help);
            None
        }
    }
}

type Refusal = (String, String);

impl Plate<'_> {
    fn sections(&self, way: &Way, leg: Option<usize>) -> Result<Vec<Section>, Refusal> {
        let legs = &way.line.legs;
        let height = legs[0].from[2];
        let ends = legs.iter().flat_map(|leg| [leg.from, leg.end()]);
        if ends.into_iter().all(|end| (end[2] - height).abs() < NEAR) {
            if leg.is_some() && legs.len() > 1 {
                let help = "leave out `leg`, or name a tube that is this leg alone";
                return Err(("has all its legs along the plate".into(), help.into()));
            }
            return self.beside(way, height).map(|section| vec![section]);
        }
        let spans = way.line.spans();
        let mut found = Vec::new();
        for run in self.runs(way) {
            let touches = |span: &[f64; 2]| run[0] < span[1] + NEAR && run[1] > span[0] - NEAR;
            if leg.is_some_and(|leg| !touches(&spans[leg])) {
                continue;
            }
            let within = |span: &[f64; 2]| run[0] > span[0] && run[1] < span[1];
            // One leg that crosses the plate, from end to end.
            let straight = spans.iter().position(within).or((legs.len() == 1).then_some(0));
            match straight {
                Some(leg) => found.extend(self.across(&legs[leg], way)?),
                None => found.extend(self.bent(way, run)?),
            }
        }
        if found.is_empty() {
            return Err(("does not meet the plate".into(), "move the plate or the tube".into()));
        }
        Ok(found)
    }

    /// From where to where along its centre line a tube comes into the plate.
    fn runs(&self, way: &Way) -> Vec<[f64; 2]> {
        let long = way.line.long();
        let is_in = |along: f64| way.line.at(along)[2].abs() < self.half + way.radius;
        let steps = (long / (way.radius / 32.0).min(0.5)).ceil().clamp(1.0, STEPS);
        let at = |i: usize| long * i as f64 / steps;
        let edge = |mut out: f64, mut within: f64| {
            for _ in 0..HALVINGS {
                let middle = f64::midpoint(out, within);
                if is_in(middle) { within = middle } else { out = middle }
            }
            within
        };
        let mut runs: Vec<[f64; 2]> = Vec::new();
        let mut was_in = false;
        for i in 0..=steps as usize {
            let is_in = is_in(at(i));
            match (was_in, is_in) {
                (false, true) => {
                    let from = if i == 0 { 0.0 } else { edge(at(i - 1), at(i)) };
                    runs.push([from, long]);
                }
                (true, false) => {
                    if let Some(run) = runs.last_mut() {
                        run[1] = edge(at(i), at(i - 1));
                    }
                }
                _ => {}
            }
            was_in = is_in;
        }
        runs
    }

    /// The area cut where a bend of the tube enters the plate, which it does over a length of its
    /// centre line; `None` if it passes beside.
    ///
    /// A ball that moves along the centre line meets the layers of the plate in discs; the
    /// largest of them about each place has the layer nearest to that place.
    fn bent(&self, way: &Way, run: [f64; 2]) -> Result<Option<Section>, Refusal> {
        let long = run[1] - run[0];
        let disc = |share: f64| {
            let [x, y, z] = way.line.at(run[0] + share * long);
            let off = (z.abs() - self.half).max(0.0);
            (Point::new(x, y), (way.radius * way.radius - off * off).max(0.0).sqrt())
        };
        let looks = (long / (way.radius / 16.0)).ceil().clamp(16.0, STEPS);
        let is_met = |(at, radius)| self.meets(at, radius + CLEAR);
        if !(0..=looks as usize).any(|i| is_met(disc(i as f64 / looks))) {
            return Ok(None);
        }
        let ends = [(run[0], 0.0), (run[1] - way.line.long(), 1.0)];
        if ends.into_iter().any(|(off, share)| off.abs() < NEAR && is_met(disc(share))) {
            let help = "let the tube go right through the plate, by more than its wall";
            return Err(("ends within the plate".into(), help.into()));
        }
        match MovingDisc::new(long, &disc).outline(CLEAR) {
            Ok(outline) => Ok(Some(Section { outline, copes: Vec::new() })),
            Err(error) => {
                let help = "lay the plate along the plane of the bend, or at a steeper angle to it";
                Err((format!("leaves no simple opening in the plate: {error}"), help.into()))
            }
        }
    }

    /// Whether a disc comes onto the metal.
    fn meets(&self, at: Point, radius: f64) -> bool {
        self.metal.contains(at) || self.metal.outlines().any(|o| o.distance(at) < radius)
    }

    /// The area cut by a leg that crosses the plate; `None` if it passes beside.
    fn across(&self, leg: &Leg, way: &Way) -> Result<Option<Section>, Refusal> {
        let up = if leg.along[2] < 0.0 { -1.0 } else { 1.0 };
        let [dx, dy, rise] = times(leg.along, up);
        let along = Vec2::new(dx, dy);
        let lean = Angle::of(along.hypot(), rise);
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
                let help = "lay it along the plate, or at a steeper angle to it";
                return Err((format!("cannot be cut: {error}"), help.into()));
            }
        };
        if self.metal.bounds().distance(&outline.bounds()) > 0.0 {
            return Ok(None);
        }
        if cross - reach < -NEAR || cross + reach > leg.long + NEAR {
            let help = "let the tube go right through the plate, by more than its wall";
            return Err(("ends within the plate".into(), help.into()));
        }
        let cope = Cope { at, above: 0.0, along, rise, radius, outside: way.outside };
        Ok(Some(Section { outline, copes: vec![cope] }))
    }

    /// The area cut by a tube that lies along the plate.
    fn beside(&self, way: &Way, height: f64) -> Result<Section, Refusal> {
        let nearest = (height.abs() - self.half).max(0.0);
        if nearest >= way.radius {
            return Err(("misses the plate".into(), "move the plate or the tube".into()));
        }
        let half = (way.radius * way.radius - nearest * nearest).sqrt();
        let right = |leg: &Leg, at: Space, by: f64| {
            Point::new(at[0] + leg.along[1] * by, at[1] - leg.along[0] * by)
        };
        let cope = |leg: &Leg| Cope {
            at: Point::new(leg.from[0], leg.from[1]),
            above: height,
            along: Vec2::new(leg.along[0], leg.along[1]),
            rise: 0.0,
            radius: way.radius,
            outside: way.outside,
        };
        // Along the right side of the path and back along its left.
        let bulge = |i: usize| way.line.bends.get(i).map_or(0.0, |bend| bend.bulge());
        let mut vertices = Vec::new();
        for (i, leg) in way.line.legs.iter().enumerate() {
            vertices.push(Vertex { at: right(leg, leg.from, half), bulge: 0.0 });
            vertices.push(Vertex { at: right(leg, leg.end(), half), bulge: bulge(i) });
        }
        for (i, leg) in way.line.legs.iter().enumerate().rev() {
            vertices.push(Vertex { at: right(leg, leg.end(), -half), bulge: 0.0 });
            let before = if i == 0 { 0.0 } else { -bulge(i - 1) };
            vertices.push(Vertex { at: right(leg, leg.from, -half), bulge: before });
        }
        match Outline::new(vertices) {
            Ok(outline) => Ok(Section { outline, copes: way.line.legs.iter().map(cope).collect() }),
            Err(error) => Err((
                format!("cannot be cut along the plate: {error}"),
                "cut its legs one at a time, as tubes of their own".into(),
            )),
        }
    }
}

//! The result of a measurement, from its causes.

use crate::as_built::body;
use crate::as_built::body::Bent;
use crate::as_built::cause::Cause;
use crate::as_built::cause::Kind;
use crate::as_built::group;
use crate::as_built::group::Group;
use crate::as_built::target;
use crate::as_built::target::Target;
use crate::diag::HoleId;
use crate::entry::Coating;
use crate::geom::Frame;
use crate::geom::Place;
use crate::geom::Point;
use crate::geom::Space;
use crate::geom::Vec2;
use crate::geom::cross;
use crate::geom::dot;
use crate::geom::length;
use crate::geom::minus;
use crate::geom::times;
use crate::job::Job;
use crate::num::Angle;
use crate::recipe::Making;
use crate::solve::Solved;

/// Where something is measured.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct At {
    /// Index of the part.
    pub part: usize,
    /// Which piece of it.
    pub piece: u32,
    /// What of it.
    pub target: Target,
    /// Whether over the coating.
    pub coated: bool,
    /// Bend deduction at 90° by which its flat was cut, mm, where it is not the present one.
    pub deduction: Option<f64>,
}

/// All parts of a job, the groups of their bends, and the causes that count at some places.
pub struct Model<'a> {
    pub(super) job: &'a Job,
    pub(super) solved: &'a [Solved],
    /// The groups of bends.
    pub groups: Vec<Group>,
    pub(super) of_bend: Vec<Vec<Option<usize>>>,
    /// The coatings, each once.
    pub(super) coatings: Vec<Coating>,
    /// The causes.
    pub causes: Vec<Cause>,
}

/// Step of a difference quotient, mm or degrees.
const STEP: f64 = 1e-4;

/// A derivative below this is rounding.
const NOTHING: f64 = 1e-7;

/// Two axes are equal if they differ by no more, mm and per mm.
const ONE_AXIS: f64 = 1e-3;

impl<'a> Model<'a> {
    /// The model of a job, with the causes that affect some places: where something is measured,
    /// and where the result is needed.
    pub fn new(job: &'a Job, solved: &'a [Solved], places: &[At]) -> Self {
        let (groups, of_bend) = group::all(job, solved);
        let mut coatings: Vec<Coating> = Vec::new();
        for coating in solved.iter().map(|part| job.coating_of(&job.lines[part.line])) {
            if !coatings.contains(&coating) {
                coatings.push(coating);
            }
        }
        let mut model = Self { job, solved, groups, of_bend, coatings, causes: Vec::new() };
        places.iter().for_each(|at| model.add(at));
        // A cause that affects none of them is left out, unless it is common to several pieces.
        let counts = |i: &usize| {
            let is_seen = || places.iter().any(|at| model.shows(at, *i));
            model.causes[*i].kind.is_always_told() || is_seen()
        };
        let kept = (0..model.causes.len()).filter(counts).map(|i| model.causes[i]);
        model.causes = kept.collect();
        model
    }

    /// Whether a cause affects a place.
    pub(super) fn shows(&self, at: &At, cause: usize) -> bool {
        self.slope(at, &vec![0.0; self.causes.len()], cause).abs() > NOTHING
    }

    fn add(&mut self, at: &At) {
        let spreads = &self.job.spreads;
        let (part, piece) = (at.part, at.piece);
        let sheet = self.solved[part].sheet;
        let mut causes = vec![
            (Kind::Thickness { sheet }, spreads.thickness[sheet]),
            (Kind::Cut { sheet }, spreads.cut[sheet]),
            (Kind::Film { coating: self.coating(part) }, self.film_spread(part)),
            (Kind::Assembly { part, piece }, self.assembly(part)),
        ];
        for (bend, group) in self.of_bend[part].iter().enumerate() {
            let Some(group) = *group else { continue };
            let [deduction, radius, angle] = self.groups[group].spread;
            causes.extend([
                (Kind::Deduction { group }, deduction),
                (Kind::Radius { group }, radius),
                (Kind::Springback { group }, angle),
                (Kind::Line { part, piece, bend }, spreads.line),
                (Kind::Angle { part, piece, bend }, spreads.angle),
            ]);
        }
        for (kind, spread) in causes {
            if spread > 0.0 && !self.causes.iter().any(|known| known.kind == kind) {
                self.causes.push(Cause { kind, spread });
            }
        }
    }

    /// Which coating a part has.
    pub(super) fn coating(&self, part: usize) -> usize {
        let of = self.job.coating_of(&self.job.lines[self.solved[part].line]);
        self.coatings.iter().position(|known| *known == of).unwrap_or(0)
    }

    /// The coating thickness that a part is computed with, mm.
    pub(super) fn film(&self, part: usize) -> f64 {
        self.coatings[self.coating(part)].film
    }

    /// Standard deviation of the coating thickness of a part, mm: a quarter of its range, else half
    /// of the tolerance; 0 if it is not coated.
    pub(super) fn film_spread(&self, part: usize) -> f64 {
        let Coating { film, films, .. } = self.coatings[self.coating(part)];
        if film <= 0.0 {
            return 0.0;
        }
        films.map_or(self.job.spreads.film, |[min, max]| (max - min) / 4.0)
    }

    /// Standard deviation of a gap by all that its recipe says makes it differ, mm: half of each
    /// tolerance, by root sum square.
    fn assembly(&self, part: usize) -> f64 {
        let fit = self.solved[part].clevis.as_ref();
        let shares = fit.into_iter().flat_map(|fit| &fit.gap.shares);
        shares.map(|s| s.times * s.each * s.each / 4.0).sum::<f64>().sqrt()
    }

    /// The value of a cause; 0 if it is not among them.
    fn value(&self, x: &[f64], kind: Kind) -> f64 {
        let at = self.causes.iter().position(|cause| cause.kind == kind);
        at.and_then(|at| x.get(at)).copied().unwrap_or(0.0)
    }

    /// How the bends of a piece came out.
    fn bent(&self, at: &At, x: &[f64]) -> Vec<Bent> {
        let (part, piece) = (at.part, at.piece);
        let solved = &self.solved[part];
        let thicker = self.value(x, Kind::Thickness { sheet: solved.sheet });
        let one = |(bend, drawn): (usize, &crate::part::Bend)| {
            let drawn = &drawn.bend;
            let mut is = Bent {
                angle: drawn.angle(),
                radius: drawn.radius(),
                thickness: drawn.thickness() + thicker,
                allowance: drawn.allowance(),
                is_sharp: drawn.angle().degrees() <= 90.0,
                reach: [0.0; 2],
            };
            let Some(group) = self.of_bend[part][bend] else { return is };
            let of = &self.groups[group];
            let off = [Kind::Deduction { group }, Kind::Radius { group }];
            let [deduction, radius] = off.map(|kind| self.value(x, kind));
            let share = drawn.angle().degrees() / 90.0;
            let angle = self.value(x, Kind::Springback { group }) * share
                + self.value(x, Kind::Angle { part, piece, bend });
            is.radius += radius;
            is.angle = Angle::from_degrees(is.angle.degrees() + angle);
            let k = of.k_of(deduction, radius);
            is.allowance += is.angle.radians() * (is.radius + k * is.thickness)
                - drawn.angle().radians() * (drawn.radius() + of.k * drawn.thickness());
            let cut = at.deduction.map_or(0.0, |cut| (of.deduction - cut) * share);
            let each = (drawn.allowance() - is.allowance + cut) / 2.0;
            let line = self.value(x, Kind::Line { part, piece, bend });
            is.reach = [each + line, each - line];
            is
        };
        solved.part.bends.iter().enumerate().map(one).collect()
    }

    /// The result of a measurement, mm or degrees, where the causes are `x`.
    pub fn predicted(&self, at: &At, x: &[f64]) -> f64 {
        let solved = &self.solved[at.part];
        let bent = self.bent(at, x);
        let off = self.value(x, Kind::Film { coating: self.coating(at.part) });
        let film = if at.coated { self.film(at.part) + off } else { 0.0 };
        let cut = self.value(x, Kind::Cut { sheet: solved.sheet });
        match at.target {
            Target::Angle(bend) => bent[bend].angle.degrees(),
            Target::Radius(bend) => bent[bend].radius - film,
            Target::Thickness => {
                let thicker = self.value(x, Kind::Thickness { sheet: solved.sheet });
                solved.part.thickness + thicker + 2.0 * film
            }
            Target::Hole(id) => hole(solved, id) - cut_of(solved, id) * cut - 2.0 * film,
            Target::Outside { face, bend } => {
                outside(solved, &bent, (face, bend), cut) + 2.0 * film
            }
            Target::Holes(pair) => between(solved, &bent, pair),
            Target::Gap => {
                let assembly = Kind::Assembly { part: at.part, piece: at.piece };
                let gap = gap(solved, &bent).unwrap_or_else(|| {
                    solved.part.clevis.as_ref().map_or(0.0, |clevis| clevis.gap)
                        + self.value(x, assembly)
                });
                gap - 2.0 * film
            }
        }
    }

    /// By how much a measurement changes with a cause.
    pub(super) fn slope(&self, at: &At, x: &[f64], cause: usize) -> f64 {
        let moved = |by: f64| {
            let mut x = x.to_vec();
            x[cause] += by;
            self.predicted(at, &x)
        };
        (moved(STEP) - moved(-STEP)) / (2.0 * STEP)
    }

    /// The same with every cause.
    pub(super) fn slopes(&self, at: &At, x: &[f64]) -> Vec<f64> {
        (0..x.len()).map(|cause| self.slope(at, x, cause)).collect()
    }
}

/// The diameter of a hole when it is finished, mm.
fn hole(solved: &Solved, id: HoleId) -> f64 {
    solved.part.hole(id).diameter().unwrap_or(0.0)
}

/// How often a cut edge enters the diameter of a hole: not where it is made afterwards.
fn cut_of(solved: &Solved, id: HoleId) -> f64 {
    let hole = solved.part.hole(id);
    if hole.finished.is_none() && hole.making == Making::Cut { 2.0 } else { 0.0 }
}

/// The outside length of a face square to a bend, mm.
fn outside(solved: &Solved, bent: &[Bent], (face, bend): (usize, usize), cut: f64) -> f64 {
    let part = &solved.part;
    let Some(edge) = target::edge(solved, face, bend) else { return 0.0 };
    let out = target::out(&edge);
    let end = |bend: usize, out: Vec2| {
        let edge = target::edge(solved, face, bend).unwrap_or(edge);
        let side = usize::from(part.bends[bend].to == face);
        edge.from.to_vec2().dot(out) + bent[bend].reach[side] + bent[bend].setback()
    };
    // The metal of the face seen from the bend: x runs away from it.
    let place =
        Place::rotated(Angle::from_degrees(-Angle::of(-out.x, -out.y).degrees()), Point::ZERO);
    let free = solved.flat.faces[face].moved(&place).bounds().max.x;
    let opposite = |other: &usize| target::is_opposite(solved, face, bend, *other);
    let far = (0..part.bends.len()).filter(opposite).map(|other| {
        let edge = target::edge(solved, face, other).unwrap_or(edge);
        (edge.from.to_vec2().dot(-out), end(other, -out))
    });
    // A bend ends it where no metal of the face itself reaches farther.
    let far = far.filter(|(line, _)| *line > free - ONE_AXIS).map(|(_, end)| end);
    end(bend, out) + far.reduce(f64::max).unwrap_or(free + cut)
}

/// The axis of a hole: a point of it at a depth below the top side, and its direction.
fn axis(solved: &Solved, frames: &[Frame], id: HoleId, depth: f64) -> (Space, Space) {
    let frame = &frames[id.face];
    (frame.point(solved.part.hole(id).at, -depth), frame.z)
}

/// Between the axes of two holes, mm; where they are not parallel, between their centres.
fn between(solved: &Solved, bent: &[Bent], [one, other]: [HoleId; 2]) -> f64 {
    let frames = body::frames(solved, bent);
    let half = solved.part.thickness / 2.0;
    let (a, along) = axis(solved, &frames, one, half);
    let (b, _) = axis(solved, &frames, other, half);
    let drawn = &solved.folded.faces;
    let from = minus(b, a);
    match is_parallel(&drawn[one.face].frame, &drawn[other.face].frame) {
        true => length(minus(from, times(along, dot(from, along)))),
        false => length(from),
    }
}

/// Whether two faces are parallel.
pub(super) fn is_parallel(one: &Frame, other: &Frame) -> bool {
    length(cross(one.z, other.z)) < ONE_AXIS
}

/// Between two ears of one piece, at the pin, mm; `None` if they are not joined by bends.
fn gap(solved: &Solved, bent: &[Bent]) -> Option<f64> {
    let part = &solved.part;
    let eye = part.clevis.as_ref()?.eye;
    let drawn: Vec<Frame> = solved.folded.faces.iter().map(|face| face.frame).collect();
    let (at, along) = axis(solved, &drawn, eye, 0.0);
    let is_other = |id: &HoleId| {
        let (to, _) = axis(solved, &drawn, *id, 0.0);
        let from = minus(to, at);
        id.face != eye.face
            && is_parallel(&drawn[eye.face], &drawn[id.face])
            && length(minus(from, times(along, dot(from, along)))) < ONE_AXIS
    };
    let other = part.holes().filter(|(_, hole)| hole.eye).map(|(id, _)| id).find(is_other)?;
    // Of the two sides of either ear those that face each other.
    let span = |frames: &[Frame], deep: [f64; 2]| {
        let (a, along) = axis(solved, frames, eye, deep[0]);
        let (b, beyond) = axis(solved, frames, other, deep[1]);
        let from = minus(b, a);
        (dot(from, along).abs() + dot(from, beyond).abs()) / 2.0
    };
    let sides = [[0.0, 0.0], [0.0, 1.0], [1.0, 0.0], [1.0, 1.0]];
    let of_drawn = |side: &[f64; 2]| span(&drawn, side.map(|s| s * part.thickness));
    let inner = sides.into_iter().min_by(|a, b| of_drawn(a).total_cmp(&of_drawn(b)))?;
    let thickness = bent.first().map_or(part.thickness, |bent| bent.thickness);
    Some(span(&body::frames(solved, bent), inner.map(|s| s * thickness)))
}

//! Parts that pass through tubes in slots: what each does to the wall of its tube, and where.
//!
//! The wall, at half its thickness, is taken as flat strips along the tube. A part passes right through where the strips
//! that it crosses are in two groups round the tube: it goes in at the one and comes out at the other.

use crate::check;
use crate::check::NotThrough;
use crate::diag::Finding;
use crate::diag::Span;
use crate::geom::Frame;
use crate::geom::Space;
use crate::geom::cross;
use crate::geom::length;
use crate::geom::minus;
use crate::geom::plus;
use crate::geom::times;
use crate::geom::unit;
use crate::job::Job;
use crate::job::Line;
use crate::machine;
use crate::machine::Convex;
use crate::machine::Shown;
use crate::num::Angle;
use crate::solve::machine::placed::placed;
use crate::solve::solved::Solved;

/// Strips round a tube. Our choice.
const STRIPS: usize = 72;

/// The share of its radius at which the wall of a tube is taken that has no wall given. Our choice.
const WALL: f64 = 0.95;

/// The place of a slot is found within the length of the tube by two to this power. Our choice.
const HALVINGS: u32 = 22;

/// A slot in a tube.
pub(crate) struct Slot<'a> {
    /// The tube, one that is made or one that is there.
    pub(crate) tube: &'a str,
    /// The part.
    pub(crate) part: &'a str,
    /// Thickness of the plate, mm.
    pub(crate) thickness: f64,
    /// Whether it goes in on one side and comes out on the other.
    pub(crate) is_right_through: bool,
    /// Where it begins and ends along the tube, from the start of that as cut, mm.
    pub(crate) along: [f64; 2],
    /// How many: two for a part that is on both sides.
    pub(crate) quantity: u32,
}

impl Slot<'_> {
    /// `right through`, or in one wall.
    pub(crate) fn way(&self) -> &'static str {
        if self.is_right_through { "right through" } else { "in one wall" }
    }
}

/// A tube: the ends of its axis as cut, the radius at half its wall, and whether it is bent.
struct Round {
    ends: [Space; 2],
    radius: f64,
    is_bent: bool,
}

/// What a plate does to the wall of a tube.
#[derive(Clone, Copy, PartialEq)]
enum Way {
    /// Nothing: it does not reach it.
    Outside,
    /// Nothing: it is in the bore.
    Inside,
    /// It goes in and does not come out; where along the tube.
    OneWall([f64; 2]),
    /// It goes in and comes out; and whether it is past the start or the end.
    Through([f64; 2], [bool; 2]),
    /// It cuts the tube in two.
    Severed,
}

impl Way {
    /// Where along the tube it crosses the wall, mm.
    fn along(self) -> Option<[f64; 2]> {
        match self {
            Self::OneWall(along) | Self::Through(along, _) => Some(along),
            Self::Outside | Self::Inside | Self::Severed => None,
        }
    }

    /// What is wrong with it.
    fn fault(self) -> Option<NotThrough> {
        match self {
            Self::Outside => Some(NotThrough::Outside),
            Self::Inside => Some(NotThrough::Inside),
            Self::OneWall(_) => Some(NotThrough::OneWall),
            Self::Severed => Some(NotThrough::Severed),
            Self::Through(_, [true, _]) => Some(NotThrough::PastStart),
            Self::Through(_, [_, true]) => Some(NotThrough::PastEnd),
            Self::Through(..) => None,
        }
    }
}

/// A plate of a part, at one of its places, and a tube that the part is to pass through.
struct Passing<'a> {
    line: &'a Line,
    place: Span,
    of: &'a Solved,
    tube: &'a (String, Span),
    /// `None` where the tube is bent.
    way: Option<Way>,
}

/// The slots of a job, in the order of its parts.
pub(crate) fn slots<'a>(job: &'a Job, solved: &'a [Solved]) -> Vec<Slot<'a>> {
    let slot = |of: Passing<'a>| {
        Some(Slot {
            tube: &of.tube.0,
            part: &of.line.name,
            thickness: of.of.part.thickness,
            is_right_through: matches!(of.way?, Way::Through(..)),
            along: of.way?.along()?,
            quantity: if of.line.asked.both_sides { 2 } else { 1 },
        })
    };
    passings(job, solved).into_iter().filter_map(slot).collect()
}

/// The findings on parts that are to pass through tubes: at each place one that passes through none, and each
/// tube that none passes through.
pub(super) fn findings(job: &Job, solved: &[Solved]) -> Vec<Finding> {
    let all = passings(job, solved);
    let mut found = Vec::new();
    let is_hit =
        |of: &&Passing| of.way.is_none_or(|way| !matches!(way, Way::Outside | Way::Inside));
    for line in job.lines.iter().filter(|line| !line.asked.through.is_empty()) {
        let own: Vec<&Passing> = all.iter().filter(|of| of.line.here == line.here).collect();
        let mut said: Vec<Span> = Vec::new();
        for of in &own {
            let mut at_place = own.iter().copied().filter(|other| other.place == of.place);
            let fault = match of.way {
                None => Some(NotThrough::Bent),
                // Another plate, or another tube here, is the one.
                Some(Way::Outside | Way::Inside) if at_place.any(|of| is_hit(&of)) => None,
                Some(way) => way.fault(),
            };
            let Some(fault) = fault.filter(|_| !said.contains(&of.place)) else { continue };
            said.extend([of.place, of.tube.1]);
            found.push(check::is_not_through(
                [&line.name, &of.tube.0],
                fault,
                [of.tube.1, of.place],
            ));
        }
        let unused = line.asked.through.iter().filter(|tube| {
            let mut on_tube = own.iter().filter(|of| of.tube.1 == tube.1).copied();
            !said.contains(&tube.1) && !own.is_empty() && !on_tube.any(|of| is_hit(&of))
        });
        found.extend(unused.map(|tube| {
            check::is_not_through([&line.name, &tube.0], NotThrough::Outside, [tube.1, tube.1])
        }));
    }
    found
}

fn passings<'a>(job: &'a Job, solved: &'a [Solved]) -> Vec<Passing<'a>> {
    let mut all = Vec::new();
    for (i, line) in job.lines.iter().enumerate().filter(|(_, l)| !l.asked.through.is_empty()) {
        let own: Vec<&Solved> = solved.iter().filter(|of| of.line == i).collect();
        for stand in line.stands.iter().filter(|_| !own.is_empty()) {
            let Ok(placed) = placed(stand, &own, job.units) else { continue };
            for (of, frame) in placed.pieces {
                for tube in &line.asked.through {
                    let Some(round) = round(job, &tube.0) else { continue };
                    let way = (!round.is_bent).then(|| way(of, &frame, &round));
                    all.push(Passing { line, place: stand.span, of, tube, way });
                }
            }
        }
    }
    all
}

/// A tube by its name.
fn round(job: &Job, name: &str) -> Option<Round> {
    if let Some(stands) = job.machine.tubes.iter().find(|of| of.name == name) {
        let coped = job.tubes.iter().find(|tube| tube.name == name);
        let off = coped.map_or([0.0; 2], |tube| [0, 1].map(|end| tube.off(end)));
        let wall = coped.map(|tube| tube.wall);
        let radius = wall.map_or(WALL * stands.outside / 2.0, |wall| (stands.outside - wall) / 2.0);
        let along = unit(minus(stands.ends[1], stands.ends[0]));
        let from = plus(stands.ends[0], times(along, off[0]));
        let to = minus(stands.ends[1], times(along, off[1]));
        return Some(Round { ends: [from, to], radius, is_bent: false });
    }
    let (body, _) = job.machine.obstacles.iter().find(|(body, _)| body.name == name)?;
    body.shown.iter().find_map(|shown| match shown {
        Shown::Bar(line, radius) => {
            let ends = [*line.first()?, *line.last()?];
            Some(Round { ends, radius: radius * WALL, is_bent: line.len() > 2 })
        }
        Shown::Loop(_) => None,
    })
}

/// What a plate does to the wall of a tube.
fn way(of: &Solved, frame: &Frame, round: &Round) -> Way {
    let pieces = machine::folded(&of.part, &of.folded, frame);
    let long = length(minus(round.ends[1], round.ends[0]));
    let hit = |strip: usize, from: f64, to: f64| {
        machine::nearest(&pieces, &[round.strip(strip, [from, to])], 0.0)
            .is_some_and(|near| near.distance <= 0.0)
    };
    let hits: Vec<usize> = (0..STRIPS).filter(|strip| hit(*strip, 0.0, long)).collect();
    // A group begins where the strip before is not crossed.
    let before = |strip: usize| (strip + STRIPS - 1) % STRIPS;
    let groups = hits.iter().filter(|strip| !hits.contains(&before(**strip))).count();
    let any = |from: f64, to: f64| hits.iter().any(|strip| hit(*strip, from, to));
    let along = || {
        [
            Round::first(long, &|to| any(0.0, to)),
            long - Round::first(long, &|to| any(long - to, long)),
        ]
    };
    match (hits.len(), groups) {
        (0, _) => {
            let bore = machine::bar(round.ends, round.radius);
            let is_in = bore.is_some_and(|bore| {
                let near = machine::nearest(&pieces, &[bore], 0.0);
                near.is_some_and(|near| near.distance <= 0.0)
            });
            if is_in { Way::Inside } else { Way::Outside }
        }
        (STRIPS, _) if of.part.bends.is_empty() => Way::Severed,
        (_, 1) => Way::OneWall(along()),
        _ => {
            let beyond = round.radius;
            let past = [any(-beyond, 0.0), any(long, long + beyond)];
            Way::Through(along(), past)
        }
    }
}

impl Round {
    /// A strip of the wall between two places along the tube, mm from its start.
    fn strip(&self, strip: usize, along: [f64; 2]) -> Convex {
        let axis = unit(minus(self.ends[1], self.ends[0]));
        let least = (0..3).min_by(|i, j| axis[*i].abs().total_cmp(&axis[*j].abs())).unwrap_or(0);
        let mut off = [0.0; 3];
        off[least] = 1.0;
        let aside = unit(cross(axis, off));
        let up = cross(axis, aside);
        let corner = |(step, along): (usize, f64)| {
            let turned = Angle::from_degrees(360.0 * step as f64 / STRIPS as f64);
            let out = plus(times(aside, turned.cos()), times(up, turned.sin()));
            plus(plus(self.ends[0], times(axis, along)), times(out, self.radius))
        };
        let corners = [strip, strip + 1].into_iter().flat_map(|step| along.map(|s| (step, s)));
        Convex::points(corners.map(corner), 0.0)
    }

    /// The shortest length from one end on for which something is so, mm.
    fn first(long: f64, is_so: &dyn Fn(f64) -> bool) -> f64 {
        let (mut low, mut high) = (0.0, long);
        for _ in 0..HALVINGS {
            let middle = (low + high) / 2.0;
            if is_so(middle) {
                high = middle;
            } else {
                low = middle;
            }
        }
        high
    }
}

//! The bodies of a job in its machine, and the clearances between them.

mod held;
mod other_side;
mod own_mirror;
mod pierced;
mod placed;
mod through;
mod touching;
mod tube_hand;
mod zones;

pub(super) use other_side::is_of_one_hand;
pub(super) use other_side::with_other_hands;
pub(crate) use through::Slot;
pub(crate) use through::slots;

use crate::check;
use crate::check::Between;
use crate::diag::About;
use crate::diag::Finding;
use crate::diag::Span;
use crate::fold::FoldedFace;
use crate::geom::Frame;
use crate::geom::Side;
use crate::geom::flatten;
use crate::geom::length;
use crate::geom::minus;
use crate::job::Job;
use crate::job::RequiredClearance;
use crate::job::TubeEnd;
use crate::job::TubeStands;
use crate::machine;
use crate::machine::Body;
use crate::machine::Clearance;
use crate::machine::Defaults;
use crate::machine::Kind;
use crate::machine::Shown;
use crate::quantity::Units;
use crate::solve::joints;
use crate::solve::machine::placed::placed;
use crate::solve::machine::zones::zones;
use crate::solve::solved::Solved;

/// Required clearance to a panel, mm: common practice, 1/2 in.
const PANEL: [f64; 2] = [13.0, 12.7];

/// Required clearance to anything that moves, mm. Our choice.
const MOVING: f64 = 3.0;

/// Maximum deviation of chords from arcs in a picture, mm. Our choice.
const DRAWN: f64 = 0.5;

/// The machine of a job.
#[derive(Default)]
pub struct Machine {
    /// Its bodies, those on the other side behind.
    pub(crate) bodies: Vec<Body>,
    /// The clearances between bodies near each other, the smallest first.
    pub(crate) clearances: Vec<Clearance>,
    /// Parts of one joint, two by two: they are judged there.
    pub(crate) bolted: Vec<BoltedTogether>,
    /// Where its parts are, those on the given side, by their names.
    pub(super) places: Vec<(String, Frame)>,
    /// The position of each name, and its subject for a finding.
    named: Vec<(Span, Option<About>)>,
    /// Findings on the positions of the parts.
    misplaced: Vec<Finding>,
}

/// Two parts of one joint that are both in the machine.
pub(crate) struct BoltedTogether {
    /// Their indices among the bodies.
    pub(crate) bodies: [usize; 2],
    /// The joint.
    pub(crate) joint: String,
}

impl BoltedTogether {
    /// What is said in place of a result: `checked as joint seat`.
    pub(crate) fn words(&self) -> String {
        format!("checked as joint {}", self.joint)
    }
}

/// The machine of a job with its parts; `None` if no part is placed.
pub(crate) fn machine(job: &Job, solved: &[Solved]) -> Option<Machine> {
    let mut all: Vec<(Body, Span, Option<About>)> = Vec::new();
    let (mut misplaced, mut places) = (Vec::new(), Vec::new());
    let mut add = |body: Body, asked: &RequiredClearance, about: Option<About>| {
        let image = job.machine.mirror.filter(|_| asked.both_sides);
        let image = image.map(|mirror| (body.mirrored(&mirror), asked.here, about.clone()));
        all.push((body, asked.here, about));
        all.extend(image);
    };
    for (body, asked) in &job.machine.obstacles {
        add(body.clone(), asked, None);
    }
    for stands in &job.machine.tubes {
        let about = stands.is_made.then(|| About::Tube(stands.name.clone()));
        add(tube(job, stands), &stands.asked, about);
    }
    for stands in &job.machine.links {
        let link = &job.links[stands.link];
        let zones = zones(link, length(minus(stands.pins[1], stands.pins[0])), job.coating);
        let pieces = machine::swept(stands.pins, &zones, &stands.travel);
        let radius = link.tube.measure("outside") / 2.0;
        let other = stands.travel.to.iter().map(|to| vec![stands.pins[0], *to]);
        let lines = std::iter::once(stands.pins.to_vec()).chain(other);
        let shown = lines.map(|line| Shown::Bar(line, radius)).collect();
        let of = Body { moves: true, ..body(&link.name, Kind::Link, &stands.asked, pieces, shown) };
        add(of, &stands.asked, Some(About::Link(link.name.clone())));
    }
    for (i, line) in job.lines.iter().enumerate() {
        let own: Vec<&Solved> = solved.iter().filter(|s| s.line == i).collect();
        for stand in line.stands.iter().filter(|_| !own.is_empty()) {
            match placed(stand, &own, job.units) {
                Ok(placed) => {
                    for (of, frame) in placed.pieces {
                        places.push((of.name.clone(), frame));
                        let made = part(job, solved, of, &frame);
                        add(made, &line.asked, Some(About::part(&of.name)));
                    }
                    misplaced.extend(placed.caution);
                }
                Err(finding) => misplaced.push(finding),
            }
        }
    }
    if all.is_empty() {
        return None;
    }
    let named: Vec<_> = all.iter().map(|(_, here, about)| (*here, about.clone())).collect();
    let bodies: Vec<Body> = all.into_iter().map(|(body, ..)| body).collect();
    misplaced.extend(reaching(job, &bodies, &named));
    let bolted = together(job, solved, &bodies);
    misplaced.extend(touching::findings(job, solved, (&bodies, &places), &pairs(&bolted)));
    misplaced.extend(other_side::findings(job, solved, &bodies));
    let panel = PANEL[usize::from(job.units == Units::Inch)];
    let clearances = machine::clearances(&bodies, Defaults { panel, moving: MOVING });
    Some(Machine { bodies, clearances, bolted, places, named, misplaced })
}

/// A tube as it stands, coated where it is made.
fn tube(job: &Job, stands: &TubeStands) -> Body {
    let (kind, film) = match stands.is_made {
        true => (Kind::Tube, job.coating),
        false => (Kind::Obstacle, 0.0),
    };
    let radius = stands.outside / 2.0 + film;
    let pieces = machine::bar(stands.ends, radius).into_iter().collect();
    let shown = vec![Shown::Bar(stands.ends.to_vec(), radius)];
    body(&stands.name, kind, &stands.asked, pieces, shown)
}

/// The bodies of each two parts of one joint.
fn pairs(bolted: &[BoltedTogether]) -> Vec<[usize; 2]> {
    bolted.iter().map(|of| of.bodies).collect()
}

/// The findings on parts that reach into what they are joined to.
fn reaching(job: &Job, bodies: &[Body], named: &[(Span, Option<About>)]) -> Vec<Finding> {
    let ends = |tube: &str| {
        let own: Vec<&TubeEnd> = job.tube_ends.all.iter().filter(|end| end.tube == tube).collect();
        own
    };
    let is_inside = |part: &str, tube: &str| {
        let is_cap = |end: &&TubeEnd| end.cap.as_ref().is_some_and(|cap| cap.part == part);
        let line = job.lines.iter().find(|line| line.name == part);
        let mut slots = line.into_iter().flat_map(|line| &line.asked.through);
        ends(tube).iter().any(is_cap) || slots.any(|(name, _)| name == tube)
    };
    let ground = |part: &str, tube: &str| {
        let own = |end: &TubeEnd| {
            let cheeks = end.cheeks.as_ref().filter(|cheeks| cheeks.part == part)?;
            Some(cheeks.ground?.0 / 2.0)
        };
        ends(tube).into_iter().find_map(own)
    };
    let both = pierced::pierced(bodies, &is_inside, &ground).into_iter();
    both.map(|both| check::reaches_into(both.map(|i| (bodies[i].words(), named[i].clone()))))
        .collect()
}

/// The parts of each joint that are in the machine, every two names once, on the given side.
fn together(job: &Job, solved: &[Solved], bodies: &[Body]) -> Vec<BoltedTogether> {
    let mut all: Vec<BoltedTogether> = Vec::new();
    for joint in joints::joints(job, solved) {
        let names = joint.parts();
        let is_own = |body: &Body| {
            body.kind == Kind::Part && !body.other_side && names.contains(&body.name.as_str())
        };
        let own = (0..bodies.len()).filter(|i| is_own(&bodies[*i])).collect::<Vec<_>>();
        let mut known: Vec<[&str; 2]> = Vec::new();
        for (k, one) in own.iter().enumerate() {
            for other in &own[k + 1..] {
                let both = [one, other].map(|i| bodies[*i].name.as_str());
                if both[0] != both[1] && !known.contains(&both) {
                    known.push(both);
                    let joint = joint.joint.name.clone();
                    all.push(BoltedTogether { bodies: [*one, *other], joint });
                }
            }
        }
    }
    all
}

impl Machine {
    /// Where its first body is named.
    pub(crate) fn here(&self) -> Option<Span> {
        self.named.first().map(|(here, _)| *here)
    }

    /// Everything that is wrong in it.
    pub(super) fn findings(&self, units: Units) -> Vec<Finding> {
        let wrong = |of: &&Clearance| of.is_contact() || of.is_short();
        let finding = |of: &Clearance| {
            let words = of.bodies.map(|i| self.bodies[i].words());
            let [one, other] = &words;
            check::too_near(&Between {
                words: [one, other],
                about: of.bodies.map(|i| self.named[i].1.clone()),
                here: of.bodies.map(|i| self.named[i].0),
                distance: of.distance,
                needed: of.needed,
                is_asked: of.is_asked,
                at: of.at,
                is_contact: of.is_contact(),
                units,
            })
        };
        let near = self.clearances.iter().filter(wrong).map(finding);
        self.misplaced.iter().cloned().chain(near).collect()
    }
}

fn body(
    name: &str,
    kind: Kind,
    asked: &RequiredClearance,
    pieces: Vec<machine::Convex>,
    shown: Vec<Shown>,
) -> Body {
    let (clearance, touches) = (asked.clearance, asked.names());
    let (name, set, other_side, moves) = (name.to_owned(), name.to_owned(), false, false);
    Body { name, set, kind, other_side, clearance, moves, touches, pieces, shown }
}

/// A part where a frame brings it, coated. It touches the link that it holds, and what it is bolted to.
fn part(job: &Job, solved: &[Solved], of: &Solved, frame: &Frame) -> Body {
    let line = &job.lines[of.line];
    let film = job.coating_of(line).film;
    let pieces = machine::folded(&of.part, &of.folded, frame);
    let pieces = pieces.iter().map(|piece| piece.grown(film)).collect();
    let outline = |face: &FoldedFace, z: f64| {
        let frame = frame.within(&face.frame);
        let ring = flatten(face.region.outer(), DRAWN, Side::On);
        Shown::Loop(ring.into_iter().map(|p| frame.point(p, z)).collect())
    };
    let faces = of.folded.faces.iter();
    let shown = faces.flat_map(|face| [0.0, -of.part.thickness].map(|z| outline(face, z)));
    let mut made = body(&of.name, Kind::Part, &line.asked, pieces, shown.collect());
    made.touches.extend(line.held.as_ref().map(|held| job.links[held.link].name.clone()));
    made.touches.extend(joints::joined(job, solved, of));
    Body { set: line.name.clone(), ..made }
}

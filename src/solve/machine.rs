//! The bodies of a job in its machine, and the clearances between them.

mod pierced;
mod touching;

use crate::check;
use crate::check::Between;
use crate::diag::About;
use crate::diag::Finding;
use crate::diag::HoleId;
use crate::diag::Span;
use crate::diag::instead;
use crate::fold::FoldedFace;
use crate::geom::Frame;
use crate::geom::Side;
use crate::geom::Space;
use crate::geom::flatten;
use crate::geom::length;
use crate::geom::minus;
use crate::job::By;
use crate::job::Job;
use crate::job::PiecePosition;
use crate::job::RequiredClearance;
use crate::job::TubeEnd;
use crate::job::through;
use crate::link::Link;
use crate::machine;
use crate::machine::Body;
use crate::machine::Clearance;
use crate::machine::Defaults;
use crate::machine::Kind;
use crate::machine::Shown;
use crate::machine::Zone;
use crate::part::Hole;
use crate::quantity::Units;
use crate::solve::joints;
use crate::solve::solved::Solved;

/// Required clearance to a panel, mm: common practice, 1/2 in.
const PANEL: [f64; 2] = [13.0, 12.7];

/// Required clearance to anything that moves, mm. Our choice.
const MOVING: f64 = 3.0;

/// A hole this far from its point, mm, is a caution; five times as far it is a stop. Our choice,
/// that of a tape.
const TAPE: f64 = 1.0;

/// How many times further off is a blunder. Our choice, that of the points.
const BLUNDER: f64 = 5.0;

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
        let kind = if stands.is_made { Kind::Tube } else { Kind::Obstacle };
        let film = if stands.is_made { job.coating } else { 0.0 };
        let radius = stands.outside / 2.0 + film;
        let pieces = machine::bar(stands.ends, radius).into_iter().collect();
        let shown = vec![Shown::Bar(stands.ends.to_vec(), radius)];
        add(body(&stands.name, kind, &stands.asked, pieces, shown), &stands.asked, about);
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
            match placed(stand, &own) {
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
    let panel = PANEL[usize::from(job.units == Units::Inch)];
    let clearances = machine::clearances(&bodies, Defaults { panel, moving: MOVING });
    Some(Machine { bodies, clearances, bolted, places, named, misplaced })
}

/// The bodies of each two parts of one joint.
fn pairs(bolted: &[BoltedTogether]) -> Vec<[usize; 2]> {
    bolted.iter().map(|of| of.bodies).collect()
}

/// What is said of parts that reach into tubes to which they are joined.
fn reaching(job: &Job, bodies: &[Body], named: &[(Span, Option<About>)]) -> Vec<Finding> {
    let is_cap = |part: &str, tube: &str| {
        let of = |end: &TubeEnd| end.cap.as_ref().is_some_and(|cap| cap.part == part);
        job.tube_ends.all.iter().any(|end| end.tube == tube && of(end))
    };
    let through = |part: &str| {
        let line = job.lines.iter().find(|line| line.name == part);
        line.map_or(&[][..], |line| &line.asked.through)
    };
    let all = pierced::pierced(bodies, &is_cap, pierced::skin);
    let right_in = pierced::pierced(bodies, &is_cap, pierced::core);
    let in_slot = |both: &&[usize; 2]| {
        let [part, tube] = both.map(|i| &bodies[i]);
        through(&part.set).iter().any(|(name, _)| *name == tube.set)
    };
    let both = all.iter().filter(|both| !in_slot(both));
    let into =
        both.map(|both| check::reaches_into(both.map(|i| (bodies[i].words(), named[i].clone()))));
    let slots = job.lines.iter().filter(|line| !line.stands.is_empty());
    let slots = slots.flat_map(|line| line.asked.through.iter().map(move |of| (line, of)));
    let is_there = |line: &str, tube: &str| {
        right_in.iter().any(|both| bodies[both[0]].set == line && bodies[both[1]].set == tube)
    };
    let short = slots.filter(|(line, (tube, _))| !is_there(&line.name, tube));
    let short = short.map(|(line, (tube, at))| check::is_not_through(&line.name, tube, *at));
    into.chain(short).collect()
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

/// The extent of a link along its axis over its whole adjustment, coated, the near pin at 0.
fn zones(link: &Link, pins: f64, film: f64) -> Vec<Zone> {
    let setting = link.setting();
    let (short, long) = (link.pins - setting.shortest, setting.longest - link.pins);
    let (short, long) = (short.max(0.0), long.max(0.0));
    let of = |end: usize, key: &str| link.ends[end].rod_end.measure(key);
    let head = |end: usize| of(end, "head") / 2.0;
    let nut = |end: usize, key: &str| link.ends[end].jam_nut.measure(key);
    // How far the face of each bung is from its pin, screwed in and screwed out.
    let out = [0, 1].map(|end| {
        let long = of(end, "length");
        [long - link.ends[end].deepest(), (long - link.min).max(long - link.ends[end].engagement)]
    });
    let near = (out[0][0]).min(pins - out[1][1] - setting.welded) - nut(0, "height");
    let far = (pins - out[1][0]).max(out[0][1] + setting.welded) + nut(1, "height");
    let tube = link.tube.measure("outside") / 2.0 + film;
    let across = [0, 1].map(|end| nut(end, "corners") / 2.0).into_iter().fold(tube, f64::max);
    let shank = of(0, "shank").max(of(1, "shank")) / 2.0;
    vec![
        Zone { along: [-long, short.min(pins)], radius: head(0) },
        Zone { along: [(pins - short).max(0.0), pins + long], radius: head(1) },
        Zone { along: [0.0, pins], radius: shank },
        Zone { along: [near.min(far), near.max(far)], radius: across },
    ]
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

/// The geometry of a part that is placed in the machine.
struct Placed<'a> {
    pieces: Vec<(&'a Solved, Frame)>,
    /// The caution on its holes.
    caution: Option<Finding>,
}

/// The pieces of a part that a place is given for.
fn placed<'a>(stand: &PiecePosition, own: &[&'a Solved]) -> Result<Placed<'a>, Finding> {
    let named = |of: &&&Solved| match &stand.face {
        Some((name, _)) => of.part.faces.iter().any(|face| face.name == *name),
        None => true,
    };
    let chosen: Vec<&Solved> = own.iter().filter(named).copied().collect();
    let mut faces: Vec<&str> = own.iter().map(|s| s.part.faces[0].name.as_str()).collect();
    faces.dedup();
    let Some(first) = chosen.first().copied() else {
        let (name, at) = stand.face.as_ref().map_or(("", stand.span), |(n, at)| (n, *at));
        let help = instead(name, &faces, "faces are");
        let headline = format!("the part has no face `{name}`");
        return Err(Finding::stop("bad-name", headline).at(at, "").help(help));
    };
    if let By::Holes(holes) = &stand.by {
        let (frame, caution) = by_holes(first, holes, stand.span)?;
        return Ok(Placed { pieces: vec![(first, frame)], caution });
    }
    let By::Frame(frame) = &stand.by else { return Err(unplaced(stand)) };
    let in_space: Vec<(&Solved, Frame)> =
        chosen.iter().filter_map(|of| Some((*of, frame.within(&of.in_space()?)))).collect();
    let is_one = stand.face.is_some() || faces.len() == 1;
    match in_space.is_empty() {
        false => Ok(Placed { pieces: in_space, caution: None }),
        true if is_one => {
            let own = stand.face.as_ref().and_then(|(name, _)| {
                let face = first.part.faces.iter().position(|face| face.name == *name)?;
                Some(first.folded.faces[face].frame)
            });
            let local = own.unwrap_or_default();
            Ok(Placed { pieces: vec![(first, frame.within(&local.back()))], caution: None })
        }
        true => Err(unplaced(stand).note(format!("its plates are {}", faces.join(", ")))),
    }
}

fn unplaced(stand: &PiecePosition) -> Finding {
    let headline = "the part has several plates, and the job does not say which one is here";
    let finding = Finding::stop("missing-key", headline).at(stand.span, "");
    finding.help("add `face = \"…\"` with the name of one")
}

/// The frame that moves three holes to their points, and the deviation.
fn by_holes(
    of: &Solved,
    holes: &[(String, Span, Space)],
    span: Span,
) -> Result<(Frame, Option<Finding>), Finding> {
    let mut places = Vec::new();
    for (name, at, to) in holes {
        places.push((hole(of, name).ok_or_else(|| no_hole(of, name, *at))?, *to, *at, name));
    }
    let three = |side: fn(&(Space, Space, Span, &String)) -> Space| {
        through([side(&places[0]), side(&places[1]), side(&places[2])])
    };
    let (Some(own), Some(there)) = (three(|place| place.0), three(|place| place.1)) else {
        let headline = "three holes, or their points, lie on one line";
        let finding = Finding::stop("points", headline).at(span, "");
        return Err(finding.help("name holes that are not in one row, or `origin`, `x`, `side`"));
    };
    let frame = there.within(&own.back());
    let off = |place: &(Space, Space, Span, &String)| length(minus(frame.at(place.0), place.1));
    let worst = places.iter().max_by(|a, b| off(a).total_cmp(&off(b)));
    let Some(worst) = worst.filter(|place| off(place) > TAPE) else { return Ok((frame, None)) };
    let headline =
        format!("hole `{}` is {} from its point", worst.3, Units::default().length(off(worst)));
    let finding = match off(worst) > BLUNDER * TAPE {
        true => Finding::stop("machine-clearance", headline),
        false => Finding::caution("machine-clearance", headline),
    };
    let finding = finding.about(About::part(&of.name)).at(worst.2, "");
    let finding = finding.help("measure the points again, or correct the holes of the part");
    if off(worst) > BLUNDER * TAPE { Err(finding) } else { Ok((frame, Some(finding))) }
}

/// The centre of a hole on the top side of its face, in the space of the part: `foot`, or `foot 2`
/// for the second of that name.
fn hole(of: &Solved, name: &str) -> Option<Space> {
    let place = |(id, hole): (HoleId, &Hole)| of.folded.faces[id.face].frame.point(hole.at, 0.0);
    let of_name = |name: &str, n: usize| {
        of.part.holes().filter(|(_, hole)| hole.name == name).nth(n).map(place)
    };
    let numbered = || {
        let (set, number) = name.rsplit_once(' ')?;
        of_name(set, number.parse::<usize>().ok()?.checked_sub(1)?)
    };
    of_name(name, 0).or_else(numbered)
}

fn no_hole(of: &Solved, name: &str, at: Span) -> Finding {
    let mut names: Vec<&str> = of.part.holes().map(|(_, hole)| hole.name.as_str()).collect();
    names.dedup();
    let help = match names.is_empty() {
        true => "give `origin`, `x` and `side`".to_owned(),
        false => instead(name, &names, "holes are"),
    };
    let headline = format!("the part has no hole `{name}`");
    Finding::stop("bad-name", headline).about(About::part(&of.name)).at(at, "").help(help)
}

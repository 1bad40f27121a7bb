//! The loads of a job along its links: on the links, and on their ears.

use crate::job::Job;
use crate::job::Line;
use crate::link;
use crate::link::Found;
use crate::link::LinkLoad;
use crate::link::LinkVerdict;
use crate::link::Place;
use crate::link::Way;
use crate::num::Angle;
use crate::solve::solved::Solved;
use crate::strength::At;
use crate::strength::Direction;
use crate::strength::Limit;
use crate::strength::Load;
use crate::strength::Method;

/// The loads of a job's links on the ears of a line: for each of its loaded links a load on the
/// pin's eye in each direction, along the rod end as it points from the ears.
pub(super) fn at_ears(job: &Job, line: &Line, solved: &[Solved]) -> Vec<Load> {
    let Some(held) = &line.held else { return Vec::new() };
    let Some(clevis) = solved.iter().find_map(|of| Some((of, of.part.clevis.as_ref()?))) else {
        return Vec::new();
    };
    let (of, clevis) = clevis;
    let eye = &of.part.faces[clevis.eye.face].holes[clevis.eye.hole];
    let loads = job.link_loads.iter().filter(|load| load.link == held.link);
    let of_load = |load: &LinkLoad| {
        let one =
            |way: &Way| at_eye(load, &line.name, &eye.name, direction(*way, clevis.direction));
        load.ways.iter().map(one).collect::<Vec<_>>()
    };
    loads.flat_map(of_load).collect()
}

/// Along the rod end as it points from the ears, away from them or into them.
fn direction(way: Way, points: Angle) -> Direction {
    match (way, points == Angle::ZERO) {
        (Way::Pull, true) => Direction::Pull,
        (Way::Push, true) => Direction::Push,
        (Way::Pull, false) => Direction::Turned(points),
        (Way::Push, false) => Direction::Turned(Angle::from_degrees(points.degrees() + 180.0)),
    }
}

fn at_eye(load: &LinkLoad, part: &str, eye: &str, direction: Direction) -> Load {
    Load {
        name: load.name.clone(),
        part: part.to_owned(),
        at: At::Hole(eye.to_owned()),
        held: None,
        force: load.force,
        direction,
        shared: None,
        foot: None,
        pin: None,
        grade: load.grade.clone(),
        bolts: None,
        bolts_grade: None,
        filler: load.filler.as_ref().filter(|(_, named)| *named).map(|(row, _)| row.clone()),
        leg: None,
        wall: None,
        method: Method::Aisc360,
        here: load.here,
        at_span: load.link_span,
        held_span: None,
        bolts_span: None,
        part_span: load.link_span,
    }
}

/// The results of the loads on the links of a job that are made: each link with its ears, as far as
/// the job has them.
pub(crate) fn link_verdicts(job: &Job, solved: &[Solved]) -> Vec<LinkVerdict> {
    let wanted = |load: &&LinkLoad| job.links[load.link].quantity > 0;
    let one = |load: &LinkLoad| {
        let mut verdict = link::judge(load, &job.links[load.link]);
        with_ears(job, load, solved, &mut verdict);
        verdict
    };
    job.link_loads.iter().filter(wanted).map(one).collect()
}

/// Adds the results of the ears, or that they are not known.
fn with_ears(job: &Job, load: &LinkLoad, solved: &[Solved], verdict: &mut LinkVerdict) {
    let holds =
        |of: &&Solved| job.lines[of.line].held.as_ref().is_some_and(|held| held.link == load.link);
    let mut is_held = false;
    for part in solved.iter().filter(holds) {
        let points = pointing(part, solved);
        let own = part.verdicts.iter().filter(|(place, _)| *place == load.here);
        for (_, of_part) in own {
            is_held = true;
            if let Some(reason) = of_part.refused() {
                let words = format!("the ears `{}`: {reason}; {}", part.name, reason.help());
                verdict.not_judged.push(words);
                continue;
            }
            let acts = |way: &&Way| direction(**way, points).words() == of_part.direction;
            let way = *load.ways.iter().find(acts).unwrap_or(&Way::Pull);
            let pieces = f64::from(of_part.pieces);
            let whole = |limit: &Limit| Limit { nominal: limit.nominal * pieces, ..*limit };
            let found = of_part.limits.iter().map(|limit| Found {
                way,
                place: Place::Part(part.name.clone()),
                pins: None,
                limit: whole(limit),
            });
            if verdict.lack.is_none() {
                verdict.limits.extend(found);
            }
            let more =
                of_part.not_judged.iter().filter(|words| !verdict.not_judged.contains(words));
            let more: Vec<String> = more.cloned().collect();
            verdict.not_judged.extend(more);
        }
    }
    if !is_held {
        let words = format!(
            "what holds the pins: no part of the job judged with this load has `link = \"{}\"`",
            verdict.link
        );
        verdict.not_judged.push(words);
    }
}

/// The direction in which the rod end points, at the ears of the line that a part belongs to.
fn pointing(part: &Solved, solved: &[Solved]) -> Angle {
    let own = solved.iter().filter(|other| other.line == part.line);
    let mut clevises = own.filter_map(|other| other.part.clevis.as_ref());
    clevises.next().map_or(Angle::ZERO, |clevis| clevis.direction)
}

//! Parts that hold a link: whether the pin of the link is at their eye, whether the link lies in the plane of
//! their ears, and whether it is clear of them behind its rod end.

use crate::check::BLUNDER;
use crate::check::Fault;
use crate::check::HeldLink;
use crate::check::MEASURED;
use crate::diag::Finding;
use crate::fit::Touched;
use crate::geom::Frame;
use crate::geom::NEAR;
use crate::geom::Space;
use crate::geom::dot;
use crate::geom::length;
use crate::geom::minus;
use crate::geom::plus;
use crate::geom::times;
use crate::geom::unit;
use crate::job::Job;
use crate::job::LinkStands;
use crate::link::Link;
use crate::machine;
use crate::machine::Convex;
use crate::machine::Mirror;
use crate::machine::Travel;
use crate::num;
use crate::num::Angle;
use crate::part::Clevis;
use crate::solve::machine::zones::zones;
use crate::solve::solved::Solved;

/// Directions that are looked at on each arc of a link. Our choice.
const DIRECTIONS: u32 = 33;

/// A direction in the plane of the ears shorter than this says nothing. Our choice.
const SQUARE: f64 = 1e-3;

/// A link in one of its places.
#[derive(Clone)]
struct Pose {
    /// Its pins.
    pins: [Space; 2],
    /// How it moves about the first.
    travel: Travel,
    /// The end that is looked at.
    end: usize,
}

/// A part that holds a link, and the link.
struct Held<'a> {
    /// The part.
    of: &'a Solved,
    /// Its clevis.
    clevis: &'a Clevis,
    /// Its ear: the drawing of that, in the machine.
    ear: Frame,
    /// The link.
    link: &'a Link,
}

/// How far a pin is from where the eye needs it, mm.
struct Off {
    /// In all.
    by: f64,
    /// Of that, what is more than the play.
    beyond: f64,
}

/// The findings on every part that holds a link, where both have a place.
pub(super) fn findings(job: &Job, solved: &[Solved], places: &[(String, Frame)]) -> Vec<Finding> {
    let of = |(name, frame): &(String, Frame)| {
        let of = solved.iter().find(|of| of.name == *name)?;
        let line = &job.lines[of.line];
        let held = line.held.as_ref()?;
        let stands = job.machine.links.iter().find(|stands| stands.link == held.link)?;
        let link = &job.links[held.link];
        let found = faults(job, (of, frame), (held.end, link, stands));
        let here = [line.asked.here, stands.asked.here];
        let said = move |fault| {
            let subject =
                HeldLink { part: &line.name, link: &link.name, here, fault, units: job.units };
            subject.finding()
        };
        Some(found.into_iter().map(said).collect::<Vec<_>>())
    };
    let mut found: Vec<Finding> = Vec::new();
    for finding in places.iter().filter_map(of).flatten() {
        // Both plates of a clevis say the same of their link.
        let is_new =
            |known: &Finding| known.headline != finding.headline || known.code != finding.code;
        if found.iter().all(is_new) {
            found.push(finding);
        }
    }
    found
}

fn faults(
    job: &Job,
    (of, frame): (&Solved, &Frame),
    (end, link, stands): (usize, &Link, &LinkStands),
) -> Vec<Fault> {
    let own = of.part.clevis.as_ref().and_then(|clevis| {
        let face = of.folded.faces.iter().find(|face| face.face == clevis.eye.face)?;
        Some(Held { of, clevis, ear: frame.within(&face.frame), link })
    });
    let Some(held) = own else { return vec![Fault::NoClevis] };
    let mirror = job.machine.mirror.filter(|_| stands.asked.both_sides);
    let off = |pose: &Pose| held.off(pose.pins[pose.end]);
    let poses = poses(stands, held.ends(end), mirror.as_ref());
    let Some(pose) = poses.into_iter().min_by(|a, b| off(a).by.total_cmp(&off(b).by)) else {
        return Vec::new();
    };
    let mut found = Vec::new();
    let off = off(&pose);
    if off.beyond > MEASURED {
        let is_far = off.beyond > BLUNDER * MEASURED;
        let placed = if stands.asked.both_sides { 2 } else { 1 };
        let unplaced = (link.quantity > placed).then_some([link.quantity, placed]);
        let allowed = off.by - off.beyond + MEASURED;
        found.push(Fault::OffPin { by: off.by, allowed, is_far, unplaced });
        if is_far {
            return found;
        }
    }
    found.extend(held.leaning(&pose));
    match held.turned(&pose) {
        Some(fault) => found.push(fault),
        None => found.extend(held.struck(
            &pose,
            (frame, job.coating_of(&job.lines[of.line]).film),
            job.coating,
        )),
    }
    found
}

/// The places of a link, with the ends that may be the one that is held.
fn poses(stands: &LinkStands, ends: Vec<usize>, mirror: Option<&Mirror>) -> Vec<Pose> {
    let given = (stands.pins, stands.travel.clone());
    let image = mirror.map(|mirror| {
        let to = stands.travel.to.iter().map(|place| mirror.place(*place)).collect();
        (stands.pins.map(|pin| mirror.place(pin)), Travel { to, swing: stands.travel.swing })
    });
    let both = [Some(given), image].into_iter().flatten();
    let at = |(pins, travel): (_, Travel)| {
        ends.iter()
            .map(move |end| Pose { pins, travel: travel.clone(), end: *end })
            .collect::<Vec<_>>()
    };
    both.flat_map(at).collect()
}

impl Pose {
    /// The directions of the link from the pin that is looked at. Seen from its far pin, a link that moves is
    /// judged only where it is: how that end is carried is not known.
    fn ways(&self) -> Vec<Space> {
        let (here, there) = (self.pins[self.end], self.pins[1 - self.end]);
        let way = minus(there, here);
        if length(way) <= NEAR {
            return Vec::new();
        }
        let mut ways = vec![unit(way)];
        if self.end == 0 {
            let to = self.travel.to.iter().map(|place| minus(*place, here));
            let to: Vec<Space> = to.filter(|way| length(*way) > NEAR).map(unit).collect();
            let starts = to.iter().map(|end| [ways[0], *end]).collect::<Vec<_>>();
            let in_turn = to.windows(2).map(|pair| [pair[0], pair[1]]);
            ways.extend(starts.into_iter().chain(in_turn).flat_map(between));
        }
        ways
    }

    /// The length of the link, mm.
    fn long(&self) -> f64 {
        length(minus(self.pins[1], self.pins[0]))
    }

    /// The angle by which points that are measured may turn it.
    fn unsure(&self) -> f64 {
        num::asin((MEASURED / self.long()).min(1.0)).degrees()
    }
}

/// Directions from one to another.
fn between([from, to]: [Space; 2]) -> Vec<Space> {
    let at = |i: u32| {
        let share = f64::from(i) / f64::from(DIRECTIONS - 1);
        plus(times(from, 1.0 - share), times(to, share))
    };
    (1..DIRECTIONS).map(at).filter(|way| length(*way) > SQUARE).map(unit).collect()
}

impl Held<'_> {
    /// The ends that it may hold: where they differ, the one that the job names.
    fn ends(&self, named: usize) -> Vec<usize> {
        let [first, second] = &self.link.ends;
        match first.rod_end != second.rod_end || first.spacer != second.spacer {
            true => vec![named],
            false => vec![0, 1],
        }
    }

    /// How far a pin is from where the eye needs it: on its axis, and half the gap from the nearer side of
    /// the ear.
    fn off(&self, pin: Space) -> Off {
        let (hole, rod_end) = (self.of.part.hole(self.clevis.eye), &self.clevis.rod_end);
        let [x, y, z] = self.ear.seen(pin);
        let aside = num::hypot(x - hole.at.x, y - hole.at.y);
        let thickness = self.of.part.thickness;
        let out = if z > -thickness / 2.0 { z } else { -thickness - z };
        let along = (out - self.clevis.gap / 2.0).abs();
        let slack = hole.diameter().map_or(0.0, |size| (size - rod_end.measure("bore")) / 2.0);
        let play = (self.clevis.gap - rod_end.measure("ball_width")) / 2.0 - self.clevis.spacer;
        let [by, beyond] = [[0.0, 0.0], [slack, play]].map(|less| {
            num::hypot((aside - less[0].max(0.0)).max(0.0), (along - less[1].max(0.0)).max(0.0))
        });
        Off { by, beyond }
    }

    /// How far the link leans out of the plane of the ears, where that is more than the rod end tilts.
    fn leaning(&self, pose: &Pose) -> Option<Fault> {
        let fit = self.of.clevis.as_ref()?;
        if self.clevis.rod_end.quantity("swing").is_none() {
            return Some(Fault::NoSwing);
        }
        let lean = |way: &Space| num::asin(dot(*way, self.ear.z).abs().min(1.0)).degrees();
        let most = pose.ways().iter().map(lean).fold(0.0, f64::max);
        let by = most + pose.travel.swing.degrees();
        let allowed = fit.swing.iter().map(|swing| swing.angle.degrees()).fold(90.0, f64::min);
        let [by, limit] = [by, allowed].map(Angle::from_degrees);
        (by.degrees() > allowed + pose.unsure()).then_some(Fault::Leans { by, allowed: limit })
    }

    /// How far the link is turned about its pin, where that is more than it can be.
    fn turned(&self, pose: &Pose) -> Option<Fault> {
        let fit = self.of.clevis.as_ref()?;
        let mut worst: Option<(f64, Fault)> = None;
        for way in pose.ways() {
            let (x, y) = (dot(way, self.ear.x), dot(way, self.ear.y));
            if num::hypot(x, y) < SQUARE {
                continue;
            }
            let turned = Angle::of(y, -x).degrees() - self.clevis.direction.degrees();
            let turned = (turned + 180.0).rem_euclid(360.0) - 180.0;
            let limit = &fit.rotation[usize::from(turned < 0.0)];
            let over = turned.abs() - limit.angle.degrees() - pose.unsure();
            if over > 0.0 && worst.as_ref().is_none_or(|(least, _)| over > *least) {
                let is_ground = matches!(limit.touches, Touched::Plate | Touched::Tube);
                let fault = Fault::Turns {
                    by: Angle::from_degrees(turned.abs()),
                    allowed: limit.angle,
                    on: limit.touches,
                    is_there: !is_ground || self.meets_foot([x, y]),
                };
                worst = Some((over, fault));
            }
        }
        worst.map(|(_, fault)| fault)
    }

    /// Whether the axis of the link, in a direction in the drawing of the ear, meets what is below the ear
    /// within the width of that.
    fn meets_foot(&self, [x, y]: [f64; 2]) -> bool {
        let bounds = self.of.part.faces[self.clevis.eye.face].blank.bounds();
        let at = self.of.part.hole(self.clevis.eye).at.x + x * self.clevis.floor / -y;
        y < 0.0 && bounds.min.x <= at && at <= bounds.max.x
    }

    /// Where the link, behind its rod end, touches the part; the coating of both is mm. How far it leans between
    /// the ears is judged by its angle.
    fn struck(&self, pose: &Pose, (frame, film): (&Frame, f64), of_link: f64) -> Option<Fault> {
        let long = pose.long();
        let [_, _, shanks, tube] = zones(self.link, long, of_link);
        let [near, far] = tube.along;
        let along = if pose.end == 0 { [near, far] } else { [long - far, long - near] };
        // Its bung and jam nut come no nearer to the pin than the thread lets them.
        let end = &self.link.ends[pose.end];
        let least = end.rod_end.measure("length") - end.deepest() - end.jam_nut.measure("height");
        let along = [along[0].max(least), along[1]];
        let bars = |way: Space| {
            let at = |mm: f64| plus(pose.pins[pose.end], times(way, mm));
            // The ball and what is beside it are between the ears.
            let shank = machine::bar([at(0.0), at(long)], shanks.radius);
            shank.into_iter().chain(machine::bar(along.map(at), tube.radius))
        };
        let metal: Vec<Convex> = pose.ways().into_iter().flat_map(bars).collect();
        let part: Vec<Convex> = machine::folded(&self.of.part, &self.of.folded, frame)
            .iter()
            .map(|piece| piece.grown(film))
            .collect();
        let near = machine::nearest(&metal, &part, 0.0)?;
        (near.distance <= 0.0).then_some(Fault::Strikes { at: near.at[0] })
    }
}

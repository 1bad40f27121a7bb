//! A washer, bolt head or nut of a joint that does not lie flat on its plate.
//!
//! # Looks for
//! A washer, or a bare bolt head or nut, of a joint that overlaps that of another hole of the same
//! set (stop), or of another set, as the two may be on different sides (caution); one that reaches
//! into a bend, over another opening, or beyond the edge of the plate (caution). Of a set of holes
//! the worst is listed.
//!
//! # Why it matters
//! A washer on the curve of a bend bears on its edge: it bends the bolt, and the bolt works loose.
//! Washers that overlap are ground off at the bench, or left out.
//!
//! # Example
//! An M8 washer of 16 mm on a hole 6 mm from where a bend begins lies 2 mm in the bend.
//!
//! # Remedy
//! Move the hole, or choose a smaller washer or none: `washers` of the joint.
//!
//! # Source
//! Arithmetic, as drawn: the bolt central in its hole. Washers: tables `bolt` and `washer`; a bare
//! head or nut is taken across its corners. Which side of the plate the washer is on, and whether a
//! leg is in its way, is not checked; for the wrench see `wrench-clearance`. Holes that no joint
//! names are not judged.

use crate::check::subject::Opening;
use crate::check::subject::Subject;
use crate::check::subject::short;
use crate::diag::Feature;
use crate::diag::Finding;
use crate::diag::Weight;
use crate::flat::FlatHole;
use crate::geom::Point;
use crate::num::on_grid;
use crate::part::Bears;
use crate::part::Hole;

const CODE: &str = "washer-seat";

/// What bears round a hole.
struct Seat<'a> {
    flat: &'a FlatHole,
    hole: &'a Hole,
    /// `washer of`.
    words: &'static str,
    /// Its outside diameter, mm.
    outside: f64,
    /// Its centre in the flat.
    at: Point,
}

/// What is wrong with a seat.
struct Fault {
    /// How much is missing, mm.
    lacks: f64,
    weight: Weight,
    /// What the washer does.
    what: String,
    /// What to do, without how far.
    help: String,
    beside: Option<Feature>,
}

pub(super) fn check(subject: &Subject) -> Vec<Finding> {
    let seats: Vec<Seat> = subject.holes().filter_map(|(flat, hole)| seat(flat, hole)).collect();
    let mut worst: Vec<(&Seat, Fault)> = Vec::new();
    for seat in &seats {
        let faults = others(subject, seat, &seats).or_else(|| bends(subject, seat));
        let faults = faults.or_else(|| openings(subject, seat)).or_else(|| edge(subject, seat));
        let Some(fault) = faults else { continue };
        match worst.iter_mut().find(|(of, _)| of.hole.set() == seat.hole.set()) {
            Some(of) if (of.1.weight, of.1.lacks) < (fault.weight, fault.lacks) => {
                *of = (seat, fault);
            }
            Some(_) => {}
            None => worst.push((seat, fault)),
        }
    }
    worst.into_iter().map(|(seat, fault)| finding(subject, seat, fault)).collect()
}

fn seat<'a>(flat: &'a FlatHole, hole: &'a Hole) -> Option<Seat<'a>> {
    let Bears::Joint(words, outside) = hole.bears else { return None };
    let at = flat.outline.bounds().centre();
    hole.recess.is_none().then_some(Seat { flat, hole, words, outside, at })
}

fn finding(subject: &Subject, seat: &Seat, fault: Fault) -> Finding {
    let Seat { words, hole, outside, flat, .. } = seat;
    let across = subject.show(on_grid(*outside));
    let headline = format!("the {words} hole `{}`, {across} across, {}", hole.name, fault.what);
    let features = [Some(Feature::Hole(flat.id)), fault.beside].into_iter().flatten();
    let by = subject.show_up(on_grid(fault.lacks));
    let finding = subject.finding(fault.weight, CODE, headline, &hole.depends, hole.span);
    let finding = finding.about(subject.of_part(features));
    finding.help(format!("{} {by}, or give the joint a smaller washer", fault.help))
}

/// What bears round another hole of the face.
fn others(subject: &Subject, seat: &Seat, all: &[Seat]) -> Option<Fault> {
    let beside = all
        .iter()
        .filter(|of| of.flat.id.face == seat.flat.id.face && (of.at - seat.at).hypot() > 0.0);
    let near = beside.map(|of| {
        let needed = (of.outside + seat.outside) / 2.0;
        (of, (of.at - seat.at).hypot(), needed)
    });
    // Those of one set first: they are on one side.
    let is_same = |of: &Seat| of.hole.set() == seat.hole.set();
    let near = near.filter(|(_, apart, needed)| short(*apart, *needed));
    let (of, apart, needed) = near
        .max_by(|a, b| is_same(a.0).cmp(&is_same(b.0)).then((a.2 - a.1).total_cmp(&(b.2 - b.1))))?;
    let (is_same, lacks) = (is_same(of), needed - apart);
    let [apart, wanted] = subject.show_short([apart, needed]);
    let which = if is_same { "" } else { " if both are on one side" };
    Some(Fault {
        lacks,
        weight: if is_same { Weight::Stop } else { Weight::Caution },
        what: format!(
            "overlaps the {} hole `{}`{which}: the holes are {apart} apart, but {wanted} is needed",
            of.words, of.hole.name
        ),
        help: "move the holes further apart by".to_owned(),
        beside: Some(Feature::Hole(of.flat.id)),
    })
}

/// A bend beside it.
fn bends(subject: &Subject, seat: &Seat) -> Option<Fault> {
    let bends = subject.to_bends(seat.flat.id.face, seat.at);
    let (i, from) = bends.min_by(|a, b| a.1.total_cmp(&b.1))?;
    let lacks = seat.outside / 2.0 - from;
    short(from, seat.outside / 2.0).then(|| {
        let name = &subject.part.bends[i].name;
        Fault {
            lacks,
            weight: Weight::Caution,
            what: format!("reaches {} into bend `{name}`", subject.show(on_grid(lacks))),
            help: format!("move the hole away from bend `{name}` by"),
            beside: Some(Feature::Bend(i)),
        }
    })
}

/// Another opening under it.
fn openings(subject: &Subject, seat: &Seat) -> Option<Fault> {
    let all = subject.openings().into_iter();
    let others = all.filter(|of| of.feature != Feature::Hole(seat.flat.id));
    let room = |of: &Opening| match of.outline.contains(seat.at) {
        true => 0.0,
        false => of.outline.distance(seat.at) - of.growth(),
    };
    let near = others.map(|of| (room(&of), of));
    let (room, of) = near.min_by(|a, b| a.0.total_cmp(&b.0))?;
    let lacks = seat.outside / 2.0 - room;
    short(room, seat.outside / 2.0).then(|| Fault {
        lacks,
        weight: Weight::Caution,
        what: format!("lies {} over {}", subject.show(on_grid(lacks)), of.words),
        help: format!("move the hole away from {} by", of.words),
        beside: Some(of.feature),
    })
}

/// The edge of its face.
fn edge(subject: &Subject, seat: &Seat) -> Option<Fault> {
    let room = subject.flat.region.outer().distance(seat.at);
    let lacks = seat.outside / 2.0 - room;
    short(room, seat.outside / 2.0).then(|| Fault {
        lacks,
        weight: Weight::Caution,
        what: format!("projects {} beyond the edge of the plate", subject.show(on_grid(lacks))),
        help: "move the hole away from the edge by".to_owned(),
        beside: None,
    })
}

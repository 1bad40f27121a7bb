//! No clearance for a wrench round a bolt head.
//!
//! # Looks for
//! A hole for a bolt whose socket would touch the inside of a bent-up leg of the same face, a leg
//! bent past 90° over that face, or the head of a bolt in the next hole (caution); one that is
//! covered by a hem (stop), or by a leg past 90° or an eye (caution). A hole through the return in
//! the same place, as large or larger, gives access.
//!
//! # Why it matters
//! A bolt that no wrench reaches is tightened with pliers, or not at all.
//!
//! # Example
//! An M8 head, 13 mm across flats, needs a socket of 18.8 mm: a hole 9 mm from the leg
//! leaves 0.4 mm too little.
//!
//! # Remedy
//! Move the hole away from the leg, or the holes apart; or put the head on the other side and hold
//! the nut with an open-end wrench. Under a hem: make its return shorter, or cut the hole through
//! it too.
//!
//! # Source
//! Table `socket`: outside diameters of hand sockets, to 19 mm and 7/8 in from a manufacturer's
//! list, larger ones from memory.

use crate::check::laid_over;
use crate::check::subject::Subject;
use crate::check::subject::short;
use crate::diag::Feature;
use crate::diag::Finding;
use crate::diag::Weight;
use crate::flat::FlatHole;
use crate::geom::Point;
use crate::num::Angle;
use crate::part::Hole;

const CODE: &str = "wrench-clearance";

/// The socket over the head in a hole.
struct Socket {
    /// Its outside radius, mm.
    radius: f64,
    /// Of the head, to its corners, mm.
    corner: f64,
    bolt: String,
}

pub(super) fn check(subject: &Subject) -> Vec<Finding> {
    let bolts = subject.holes().filter_map(|(flat, hole)| {
        let socket = socket(subject, hole)?;
        Some((flat, hole, socket))
    });
    let judged = bolts.filter_map(|(flat, hole, socket)| {
        let covered = covered(subject, flat, hole, &socket);
        covered.or_else(|| tight(subject, flat, hole, &socket))
    });
    judged.collect()
}

/// A hole that a bend covers.
fn covered(subject: &Subject, flat: &FlatHole, hole: &Hole, socket: &Socket) -> Option<Finding> {
    let (bend, weight, words) = laid_over::covering(subject, (flat.id, hole))?;
    let headline =
        format!("{words} covers hole `{}`: no {} bolt can go in", hole.name, socket.bolt);
    let finding = subject.finding(weight, CODE, headline, &hole.depends, hole.span);
    let about = subject.of_part([Feature::Hole(flat.id), Feature::Bend(bend)]);
    Some(finding.about(about).help(laid_over::HELP))
}

/// A hole with too little room round its bolt.
fn tight(subject: &Subject, flat: &FlatHole, hole: &Hole, socket: &Socket) -> Option<Finding> {
    let middle = flat.outline.bounds().centre();
    let face = flat.id.face;
    let legs = subject.to_bends(face, middle).map(|(i, from)| {
        let bend = &subject.part.bends[i];
        let room = from + bend.bend.inside_distance();
        (room, socket.radius, format!("bend `{}`", bend.name), Feature::Bend(i))
    });
    let laid = laid_over::beside(subject, (flat.id, hole)).into_iter();
    let laid = laid.map(|(room, i, words)| (room, socket.radius, words, Feature::Bend(i)));
    let others = subject.holes().filter(|(other, _)| other.id.face == face);
    let heads = others.filter_map(|(other, next)| {
        let there: Point = other.outline.bounds().centre();
        let apart = (there - middle).hypot();
        let head = self::socket(subject, next)?;
        let wanted = socket.radius + head.corner;
        (apart > 0.0)
            .then(|| (apart, wanted, format!("hole `{}`", next.name), Feature::Hole(other.id)))
    });
    let tight = legs.chain(laid).chain(heads).find(|(room, wanted, ..)| short(*room, *wanted));
    let (room, wanted, what, beside) = tight?;
    let headline = format!(
        "no socket fits over the {} bolt in hole `{}`: {} to {what}, but {} is needed",
        socket.bolt,
        hole.name,
        subject.show(room),
        subject.show(wanted)
    );
    let by = subject.show(wanted - room);
    let help = match beside {
        Feature::Hole(_) => format!("move the holes {by} further apart"),
        _ => format!("move it {by} away from {what}"),
    };
    Some(
        subject
            .finding(Weight::Caution, CODE, headline, &hole.depends, hole.span)
            .about(subject.of_part([Feature::Hole(flat.id), beside]))
            .note(format!(
                "the socket has an outside diameter of {}",
                subject.show(2.0 * socket.radius)
            ))
            .help(help),
    )
}

/// Whether this check looks at a hole.
pub(super) fn takes_bolt(subject: &Subject, hole: &Hole) -> bool {
    socket(subject, hole).is_some()
}

fn socket(subject: &Subject, hole: &Hole) -> Option<Socket> {
    let bolt = hole.row.as_ref().filter(|row| row.table() == "bolt")?;
    let flats = subject.tables.head_flats(bolt)?;
    let row = subject.tables.socket(bolt)?;
    Some(Socket {
        radius: row.measure("outside") / 2.0,
        corner: flats / 2.0 / Angle::from_degrees(30.0).cos(),
        bolt: bolt.name().to_owned(),
    })
}

//! A flare that its die cannot form there, or that is in the way.
//!
//! # Looks for
//! A flared hole for a bolt, whose head has no flat seat, and a lip under or in a hem (stops). Less
//! than three thicknesses of flat metal from the foot of the lip to the edge, to another hole or
//! opening, to the foot of another flare, or to a bend; an edge that stretches by more than 30 %
//! from the pilot to the mouth of the lip; a washer that lies on the lip of the hole beside it; and
//! a lip in a face with bends: the bend sequence and the flanges beside it assume that the face is flat
//! (cautions). Less metal than the process needs, and a foot that reaches into a bend, are stops of
//! `hole-edge`, `web` and `hole-bend`, which count the diameter of the foot.
//!
//! # Why it matters
//! The die holds the sheet flat round the lip. Without that metal the edge pulls in, the next hole
//! turns oval and the sheet buckles. An edge that stretches too far splits.
//!
//! # Example
//! A flare of Ø60 outside in 2 mm sheet, its centre 34 mm from the edge: 4 mm stays flat, and 6 mm
//! is needed.
//!
//! # Remedy
//! Move the hole, make the flare lower or smaller, and make a test piece.
//!
//! # Source
//! Three thicknesses and 30 %: common practice, from memory; the stretch that a cut edge withstands
//! depends on metal and cut. The pilot: common practice, the mid-surface of the sheet keeps its area.
//! Flares are formed in the flat, before bending.

use crate::check::formed;
use crate::check::formed::Fault;
use crate::check::subject::Subject;
use crate::check::subject::short;
use crate::diag::Feature;
use crate::diag::Finding;
use crate::flat::FlatHole;
use crate::geom::Edge;
use crate::geom::outline_distance;
use crate::num;
use crate::part::Flare;
use crate::part::Hole;
use crate::table::ProcessLimit;

const CODE: &str = "flare";

/// The edge of a pilot may become longer by this share. Common practice, from memory.
const STRETCH: f64 = 0.3;

pub(super) fn check(subject: &Subject) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (flat, hole) in subject.holes() {
        let Some(flare) = &hole.flare else { continue };
        let hemmed = hemmed(subject, flat, hole, flare);
        // A hem is bent over it, and stops already.
        let bent = bent(subject, flat, flare).filter(|_| hemmed.is_none());
        let faults = [
            seat(subject, hole),
            hemmed,
            flat_metal(subject, flat, hole),
            to_bend(subject, flat, hole),
            stretched(flat, flare),
            washer(subject, flat, flare),
            bent,
        ];
        for fault in faults.into_iter().flatten() {
            let name = format!("the flare of hole `{}`", hole.name);
            let entry = (&*name, &*hole.depends, hole.span);
            findings.push(fault.finding(subject, CODE, entry, Feature::Hole(flat.id)));
        }
    }
    findings
}

fn hemmed(subject: &Subject, flat: &FlatHole, hole: &Hole, flare: &Flare) -> Option<Fault> {
    let at = hole.outline.bounds().centre();
    formed::hemmed(subject, flat.id.face, flare.outside / 2.0, &[at])
}

fn seat(subject: &Subject, hole: &Hole) -> Option<Fault> {
    // A bolt may also be named by its bare word.
    let through = hole.through.as_deref().map(|through| subject.params.inside(through));
    let is_bolt = through.is_some_and(|word| subject.tables.row("bolt", word).is_some());
    (hole.pin().is_some() || is_bolt).then(|| {
        let what = "leaves no flat seat for the bolt the hole is for".to_owned();
        Fault::stop("bolt", what, "leave out `for`, or the flare")
    })
}

/// A finding that flat metal is missing up to something, unless a check of cuts stops that.
fn missing(subject: &Subject, is: f64, to: &str) -> Option<Fault> {
    let stopped = short(is, subject.limit(ProcessLimit::WEB));
    formed::flat_metal(subject, is, to, "smaller").filter(|_| !stopped)
}

/// Flat metal to the edge, and to other openings at their widest.
fn flat_metal(subject: &Subject, flat: &FlatHole, hole: &Hole) -> Option<Fault> {
    let own = Feature::Hole(flat.id);
    let edge = outline_distance(&flat.outline, subject.flat.region.outer());
    let mut nearest = (edge - hole.growth(), "the edge".to_owned());
    for other in subject.openings().into_iter().filter(|other| other.feature != own) {
        let room = outline_distance(&flat.outline, other.outline) - hole.growth() - other.growth();
        if room < nearest.0 {
            nearest = (room, other.words);
        }
    }
    missing(subject, nearest.0, &nearest.1)
}

fn to_bend(subject: &Subject, flat: &FlatHole, hole: &Hole) -> Option<Fault> {
    let edges: Vec<Edge> = flat.outline.edges().collect();
    let bends = subject.part.bends.iter().enumerate();
    let rooms = bends.map(|(i, bend)| (formed::to_bend(&edges, subject, i) - hole.growth(), bend));
    let (room, bend) = rooms.min_by(|a, b| a.0.total_cmp(&b.0))?;
    missing(subject, room, &format!("bend `{}`", bend.name))
}

fn stretched(flat: &FlatHole, flare: &Flare) -> Option<Fault> {
    let stretch = flare.stretch(flat.outline.bounds().width());
    short(STRETCH, stretch).then(|| {
        let share = |share: f64| num::text(100.0 * share, 0);
        let what = format!(
            "stretches its edge by {} %; the usual limit is {} %",
            share(stretch),
            share(STRETCH)
        );
        let help = "make it lower or the hole larger, and make a test piece";
        Fault::caution("stretch", what, help)
    })
}

/// A washer, bolt head or nut of the hole beside it that would lie on the lip.
fn washer(subject: &Subject, flat: &FlatHole, flare: &Flare) -> Option<Fault> {
    let centre = flat.outline.bounds().centre();
    let beside = subject.holes().filter(|(other, _)| other.id != flat.id);
    let washers = beside.filter_map(|(other, hole)| {
        let (bears, outside) = hole.bears()?;
        let apart = (other.outline.bounds().centre() - centre).hypot();
        Some((apart - (flare.outside + outside) / 2.0, (bears, outside), hole))
    });
    let (room, (bears, outside), hole) = washers.min_by(|a, b| a.0.total_cmp(&b.0))?;
    short(room, 0.0).then(|| {
        let [wide, more] = [outside, -room].map(|mm| subject.show(mm));
        let what = format!("is below the {bears} hole `{}`, Ø{wide}", hole.name);
        Fault::caution("washer", what, format!("move them {more} further apart"))
    })
}

/// A lip that no check of bends compares with flanges and tools.
fn bent(subject: &Subject, flat: &FlatHole, flare: &Flare) -> Option<Fault> {
    let why = formed::not_compared(subject, flat.id.face)?;
    let what = format!(
        "projects {} from the {}, and {why}: the bend sequence is checked without it",
        subject.show(flare.height),
        flare.side.word()
    );
    let help = "check for yourself that the lip clears the flanges and the tools";
    Some(Fault::caution("bending", what, help))
}

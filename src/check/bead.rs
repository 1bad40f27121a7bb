//! A bead that cannot be formed there, or that is in the way.
//!
//! # Looks for
//! A bead that crosses a bend, an edge, a hole or opening, the foot of a flare, or another bead or
//! itself, or is under or in a hem (stop). Less than three thicknesses of flat metal between it and
//! any of these; a section whose developed length is more than 20 % over its width; a washer that
//! lies on it; and a bead in a face with bends, as the bend sequence takes that face to be flat
//! (cautions).
//!
//! # Why it matters
//! A bead cannot be bent across: it folds, and the bend is not straight. A hole in its flank is
//! pulled oval. A bead at an edge pulls the edge in.
//!
//! # Example
//! A bead 12 mm wide, its line 10 mm from the edge of 2 mm sheet: 4 mm stays flat, and 6 mm is
//! needed.
//!
//! # Remedy
//! End the bead before the bend, move it, or make it narrower or less deep.
//!
//! # Source
//! Three thicknesses and 20 %: common practice, from memory; how far a sheet stretches depends on
//! its metal. Beads are formed in the flat, before bending; the draw-in of the sheet is not known.

use crate::check::formed;
use crate::check::formed::Fault;
use crate::check::subject::Subject;
use crate::check::subject::short;
use crate::diag::Feature;
use crate::diag::Finding;
use crate::geom::Edge;
use crate::geom::Point;
use crate::geom::edge_distance;
use crate::geom::edges_distance;
use crate::num;
use crate::part::Bead;

const CODE: &str = "bead";

/// The section of a bead may be longer than it is wide by this share. Common practice, from
/// memory.
const STRETCH: f64 = 0.2;

/// A bead in the flat.
struct Placed<'a> {
    bead: &'a Bead,
    face: usize,
    lines: Vec<Edge>,
}

pub(super) fn check(subject: &Subject) -> Vec<Finding> {
    let faces = subject.part.faces.iter().zip(&subject.flat.places).enumerate();
    let all: Vec<Placed> = faces
        .flat_map(|(face, (of, place))| {
            of.beads.iter().map(move |bead| {
                let lines = bead.edges().iter().map(|edge| edge.moved(place)).collect();
                Placed { bead, face, lines }
            })
        })
        .collect();
    let mut findings = Vec::new();
    for (i, placed) in all.iter().enumerate() {
        let hemmed = hemmed(subject, placed);
        // A hem is bent over it, and stops already.
        let bent = bent(subject, placed).filter(|_| hemmed.is_none());
        let faults = [
            beside(subject, placed, &all[..i]),
            itself(subject, placed),
            hemmed,
            stretched(placed.bead),
            washer(subject, placed),
            bent,
        ];
        for fault in faults.into_iter().flatten() {
            let name = format!("bead `{}`", placed.bead.name);
            let entry = (&*name, &*placed.bead.depends, placed.bead.span);
            findings.push(fault.finding(subject, CODE, entry, Feature::Face(placed.face)));
        }
    }
    findings
}

/// The feature nearest to a bead: the edge, a bend, an opening, or a bead before it.
fn beside(subject: &Subject, placed: &Placed, before: &[Placed]) -> Option<Fault> {
    let (lines, half) = (&placed.lines, placed.bead.width / 2.0);
    let start = lines[0].from;
    let outline = subject.flat.region.outer();
    if !outline.contains(start) {
        let what = "is not on the plate".to_owned();
        return Some(Fault::stop("place", what, "move its points onto the face"));
    }
    let mut rooms = vec![(edges_distance(outline.edges(), lines) - half, "the edge".to_owned())];
    let bends = subject.part.bends.iter().enumerate();
    rooms.extend(bends.map(|(i, bend)| {
        let room =
            if in_bend(subject, i, start) { 0.0 } else { formed::to_bend(lines, subject, i) };
        (room - half, format!("bend `{}`", bend.name))
    }));
    rooms.extend(subject.openings().into_iter().map(|opening| {
        let inside = opening.outline.contains(start);
        let room = if inside { 0.0 } else { edges_distance(opening.outline.edges(), lines) };
        (room - half - opening.growth(), opening.words)
    }));
    rooms.extend(before.iter().map(|other| {
        let room = edges_distance(other.lines.iter().copied(), lines);
        (room - half - other.bead.width / 2.0, format!("bead `{}`", other.bead.name))
    }));
    let (room, to) = rooms.into_iter().min_by(|a, b| a.0.total_cmp(&b.0))?;
    missing(subject, room, &to)
}

/// Whether a point is in the strip of a bend.
fn in_bend(subject: &Subject, bend: usize, at: Point) -> bool {
    let [near, far] = subject.flat.bends[bend].tangents;
    let (along, across) = (near.direction_at_start(), far.from - near.from);
    let (x, y) = ((at - near.from).dot(along), (at - near.from).dot(across));
    (0.0..=near.length()).contains(&x) && (0.0..=across.dot(across)).contains(&y)
}

fn missing(subject: &Subject, room: f64, to: &str) -> Option<Fault> {
    if room < 0.0 {
        let (what, more) = (format!("crosses {to}"), subject.show(formed::flat(subject) - room));
        return Some(Fault::stop(
            "place",
            what,
            format!("shorten it, or move it {more} further away"),
        ));
    }
    formed::flat_metal(subject, room, to, "narrower")
}

/// Stretches of a bead that come too near to each other; those that meet at a point do not count.
fn itself(subject: &Subject, placed: &Placed) -> Option<Fault> {
    let lines = &placed.lines;
    let pairs = (0..lines.len()).flat_map(|j| (0..j.saturating_sub(1)).map(move |i| (i, j)));
    let rooms = pairs.map(|(i, j)| edge_distance(&lines[i], &lines[j]) - placed.bead.width);
    missing(subject, rooms.min_by(f64::total_cmp)?, "itself")
}

/// A hem over it.
fn hemmed(subject: &Subject, placed: &Placed) -> Option<Fault> {
    let half = placed.bead.width / 2.0;
    let edges = placed.bead.edges();
    let points = edges.iter().flat_map(|edge| {
        let steps = (edge.length() / half).ceil().max(1.0) as u32;
        (0..=steps).map(move |i| edge.point_at(f64::from(i) / f64::from(steps)))
    });
    formed::hemmed(subject, placed.face, half, &points.collect::<Vec<Point>>())
}

fn stretched(bead: &Bead) -> Option<Fault> {
    short(STRETCH, bead.stretch()).then(|| {
        let share = |share: f64| num::text(100.0 * share, 0);
        let what = format!(
            "has a section {} % longer than its width; the usual limit is {} %",
            share(bead.stretch()),
            share(STRETCH)
        );
        Fault::caution("stretch", what, "make it wider or less deep, and make a test piece")
    })
}

/// A washer, bolt head or nut that would lie on it.
fn washer(subject: &Subject, placed: &Placed) -> Option<Fault> {
    let rooms = subject.holes().filter_map(|(flat, hole)| {
        let (bears, outside) = hole.bears()?;
        let centre = flat.outline.bounds().centre();
        let apart = placed.lines.iter().map(|line| (line.nearest(centre) - centre).hypot());
        let apart = apart.fold(f64::INFINITY, f64::min);
        Some((apart - (outside + placed.bead.width) / 2.0, bears, hole))
    });
    let (room, bears, hole) = rooms.min_by(|a, b| a.0.total_cmp(&b.0))?;
    short(room, 0.0).then(|| {
        let what = format!("is below the {bears} hole `{}`", hole.name);
        Fault::caution("washer", what, format!("move it {} away", subject.show(-room)))
    })
}

fn bent(subject: &Subject, placed: &Placed) -> Option<Fault> {
    let why = formed::not_compared(subject, placed.face)?;
    let (depth, side) = (subject.show(placed.bead.depth), placed.bead.side.word());
    let what = format!(
        "projects {depth} from the {side}, and {why}: the bend sequence is checked without it"
    );
    let help = "check for yourself that the bead clears the flanges and the tools";
    Some(Fault::caution("bending", what, help))
}

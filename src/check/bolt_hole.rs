//! A hole that does not suit its bolt or its thread.
//!
//! # Looks for
//! A hole or slot whose finished size is smaller than the bolt or pin it is `for`; a tapped hole
//! whose diameter is not that of its bolt; and one whose `pilot` is too large for its thread:
//! larger than the tap drill by more than a fifth of the pitch, or, which is a stop, so large that
//! less than 50 % thread is left, as tap-drill charts state it. A smaller pilot is drilled out
//! before it is tapped. A thread in no table is not judged.
//!
//! # Why it matters
//! The bolt does not go in, or its thread strips.
//!
//! # Example
//! A hole of 6 mm for M12; a pilot of 7.8 mm for M8, whose tap drill is 6.8 mm.
//!
//! # Remedy
//! `diameter = "clearance('M12', 'normal')"`; `pilot = "tap_drill('M8')"`.
//!
//! # Source
//! Tap drills: ISO 2306, in the tables `bolt` and `thread`. Per cent of thread: 76.98 (D - d) / P, as
//! tap-drill charts print it, from memory; 100 % is a thread 0.6495 pitches deep, three quarters of
//! the sharp triangle (H = 0.866 pitches), and the usual tap drill gives about 75 %. A fifth of the
//! pitch and half the thread: our choice.

use crate::check::subject::Subject;
use crate::check::subject::short;
use crate::diag::Feature;
use crate::diag::Finding;
use crate::diag::Weight;
use crate::flat::FlatHole;
use crate::part::Hole;
use crate::part::HoleSize;
use crate::recipe::Making;
use crate::table::Row;

const CODE: &str = "bolt-hole";

/// Diameters of one thread differ by no more, mm: inch sizes are rounded. Our choice.
const SAME: f64 = 0.05;

/// A pilot may be larger than the tap drill by this many pitches. Our choice.
const LARGER: f64 = 0.2;

/// Minimum share of the thread that must be left. Our choice.
const LEFT: f64 = 0.5;

/// The reduction of the diameter by a full thread, in pitches, as in tap-drill charts: twice three
/// quarters of the sharp triangle, 2 × 0.75 × 0.866. From memory. The basic thread of ISO 68-1 is
/// less deep, 1.0825 pitches over the diameter; measured against that more would seem to be left.
const FULL: f64 = 1.299;

pub(super) fn check(subject: &Subject) -> Vec<Finding> {
    let mut findings: Vec<Finding> = Vec::new();
    for (flat, hole) in subject.holes() {
        let found = match hole.making {
            Making::Tap => tapped(subject, flat, hole),
            _ => passed(subject, flat, hole),
        };
        findings.extend(found);
    }
    findings
}

fn finding(
    subject: &Subject,
    flat: &FlatHole,
    hole: &Hole,
    weight: Weight,
    headline: String,
) -> Finding {
    let of = subject.of_part([Feature::Hole(flat.id)]);
    subject.finding(weight, CODE, headline, &hole.depends, hole.span).about(of)
}

/// The fastener in a hole without a thread.
fn passed(subject: &Subject, flat: &FlatHole, hole: &Hole) -> Option<Finding> {
    let (pin, name) = subject.shank(hole)?;
    let is = hole.across()?;
    if !short(is, pin) {
        return None;
    }
    let headline = format!(
        "hole `{}` is {} wide, but it is for {name}, which is {}",
        hole.name,
        subject.show(is),
        subject.show(pin)
    );
    let normal = hole.row.as_ref()?.quantity("normal").map(|size| subject.show(size.value));
    let help = match normal {
        Some(normal) => {
            format!("make it {normal} (`clearance`, normal fit), or give a smaller bolt")
        }
        None => format!("make it {} or larger, or give a smaller one", subject.show(pin)),
    };
    Some(finding(subject, flat, hole, Weight::Stop, headline).help(help))
}

fn tapped(subject: &Subject, flat: &FlatHole, hole: &Hole) -> Option<Finding> {
    let (HoleSize::Round { diameter: pilot }, wide) = (hole.size, hole.diameter()?) else {
        return None;
    };
    if let Some((pin, name)) = subject.shank(hole).filter(|(pin, _)| (pin - wide).abs() > SAME) {
        let headline = format!(
            "hole `{}` is tapped {}, but it is for {name}, which is {}",
            hole.name,
            subject.show(wide),
            subject.show(pin)
        );
        let help = format!(
            "write `diameter = \"{}\"` and `pilot = \"tap_drill('{name}')\"`, or give the bolt of \
             this thread",
            subject.show(pin)
        );
        return Some(finding(subject, flat, hole, Weight::Stop, headline).help(help));
    }
    let [drill, pitch] = thread(subject, hole, wide, pilot)?;
    if !short(drill + LARGER * pitch, pilot) {
        return None;
    }
    let left = ((wide - pilot) / (FULL * pitch)).max(0.0);
    let weight = if left < LEFT { Weight::Stop } else { Weight::Caution };
    let headline = format!(
        "hole `{}` is tapped {}: a tap drill of {} leaves only {:.0} % thread",
        hole.name,
        subject.show(wide),
        subject.show(pilot),
        100.0 * left
    );
    let help = format!("write `pilot = \"{}\"`, the tap drill of this thread", subject.show(drill));
    Some(finding(subject, flat, hole, weight, headline).help(help))
}

/// Tap drill and pitch of the thread of a hole, mm: that of its bolt, else of the threads of its
/// diameter the one whose drill is nearest.
fn thread(subject: &Subject, hole: &Hole, wide: f64, pilot: f64) -> Option<[f64; 2]> {
    let of = |row: &Row| {
        let [diameter, pitch, drill] =
            ["diameter", "pitch", "tap_drill"].map(|field| row.quantity(field).map(|q| q.value));
        Some((diameter?, [drill?, pitch?]))
    };
    if let Some((_, thread)) = hole.row.as_deref().and_then(of) {
        return Some(thread);
    }
    let tables = ["thread", "bolt"].into_iter().filter_map(|name| subject.tables.table(name));
    let rows = tables.flat_map(|table| table.rows()).filter_map(|row| of(row));
    let same = rows.filter(|(diameter, _)| (diameter - wide).abs() <= SAME);
    let off = |thread: &[f64; 2]| (thread[0] - pilot).abs();
    same.map(|(_, thread)| thread).min_by(|a, b| off(a).total_cmp(&off(b)))
}

//! A captured nut that does not clear the bore of its tube, or the weld in it.
//!
//! # Looks for
//! A nut behind a plate that closes a tube: its width across corners, with the fillet round
//! it and its offset from the axis, against the bore of the tube, less the root of the
//! tube's weld or a backing ring. A stop where it does not fit as drawn, a caution where
//! it does not go into the narrowest tube within tolerance. The report and the drawing have
//! the figures in any case.
//!
//! # Why it matters
//! A tube is bought by its outside diameter; its bore is smaller by two walls that may be a
//! tenth thicker, and by the root of a good weld. A cap that jams on the corners of its nut
//! is ground by hand, at the end of a long tube.
//!
//! # Example
//! An M16 nut, 27.7 mm across corners, in a tube of 38 × 3: the bore is 32 mm, a root of 1.5 mm
//! leaves 29 mm, and play in the seat 28.7 mm; the narrowest tube has 1.1 mm less.
//!
//! # Remedy
//! Use a smaller nut, a thinner wall or a larger tube; weld the cap with a fillet outside,
//! whose root stays out of the bore; centre the nut.
//!
//! # Source
//! Corners: table `nut` (ISO 4032, ASME B18.2.2). Tube: table `tolerance` (EN 10219-2).
//! Root: our choice of 1.5 mm, about the excess penetration that ISO 5817 level C allows on a
//! thin wall (from memory).

use crate::check::subject::Subject;
use crate::check::subject::short;
use crate::diag::Feature;
use crate::diag::Finding;
use crate::diag::Weight;
use crate::fit::NutRoom;
use crate::table::Row;

const CODE: &str = "captured-nut";

pub(super) fn check(subject: &Subject) -> Vec<Finding> {
    let Some((captured, fit)) = subject.part.captured.as_ref().zip(subject.nut) else {
        return Vec::new();
    };
    let room = &fit.room;
    let [drawn, worst] = room.clear();
    let show = |mm: f64| subject.show(mm);
    let nut = captured.nut.name();
    let (weight, headline, lacks) = if short(drawn, 0.0) {
        let headline = format!(
            "the {nut} nut does not go into the tube: it needs a bore of {}, but the bore is {}",
            show(room.needed()),
            show(room.bore)
        );
        (Weight::Stop, headline, -2.0 * drawn)
    } else if short(worst, 0.0) {
        let headline = format!(
            "the {nut} nut may not fit in the tube: it needs a bore of {}, but the narrowest tube within tolerance has {}",
            show(room.needed()),
            show(room.min_bore)
        );
        (Weight::Caution, headline, -2.0 * worst)
    } else {
        return Vec::new();
    };
    let parts = [("fillet", room.weld), ("off centre", room.off), ("root", room.root)];
    let more = parts.iter().filter(|(_, mm)| *mm > 0.0);
    let more: Vec<String> = more.map(|(what, mm)| format!("2 × {} {what}", show(*mm))).collect();
    let sum = std::iter::once(format!("{} across corners", show(room.corners))).chain(more);
    vec![
        subject
            .finding(weight, CODE, headline, &captured.depends, captured.span)
            .about(subject.of_part([Feature::Hole(captured.seat)]))
            .note(sum.collect::<Vec<_>>().join(" + "))
            .help(format!(
                "it is {} short: {} a thinner wall or a larger tube, or weld so that its root \
                 stays out of the bore",
                show(lacks),
                smaller(subject, room)
            )),
    ]
}

/// The largest nut that fits into the narrowest tube, or else into the tube as drawn; one of the
/// same series first.
fn smaller(subject: &Subject, room: &NutRoom) -> String {
    let metric = |row: &Row| row.name().starts_with('M');
    let nut = subject.part.captured.as_ref().map(|captured| &captured.nut);
    let alike = |row: &Row| nut.is_some_and(|nut| metric(nut) == metric(row));
    let corners = |row: &Row| row.measure("corners");
    let largest = |clear: f64| {
        let rows = subject.tables.table("nut").into_iter().flat_map(|table| table.rows());
        let fits = rows.filter(|row| corners(row) <= room.corners + 2.0 * clear);
        fits.max_by(|a, b| alike(a).cmp(&alike(b)).then(corners(a).total_cmp(&corners(b))))
    };
    let [drawn, worst] = room.clear();
    match (largest(worst), largest(drawn)) {
        (Some(row), _) => format!("use nut `{}` or smaller,", row.name()),
        (None, Some(row)) if drawn < 0.0 => format!(
            "use nut `{}`, which goes in as drawn but not into the narrowest tube,",
            row.name()
        ),
        _ => "no nut in the table fits: use".to_owned(),
    }
}

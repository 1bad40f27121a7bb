//! The thread of a hole of a joint, or of the nut in it.

use crate::joint::Joint;
use crate::joint::Thread;
use crate::num;
use crate::part::Hole;
use crate::part::Seat;
use crate::part::seat;
use crate::recipe::Making;
use crate::table::Row;

/// Sizes of threads are the same when they differ by no more, mm. Our choice.
const SAME: f64 = 0.01;

/// The kind of a thread, for comparison with the bolt.
pub(super) enum Is {
    /// For the bolt of this name, which is that of another row.
    Of(String),
    /// Of a diameter and, where it is known, a pitch, mm.
    Size(f64, Option<f64>),
}

/// The thread of a hole, or of the nut in it.
pub(super) fn thread(joint: &Joint, hole: &Hole, thickness: f64) -> Option<(Is, Thread)> {
    if let Some(insert) = &hole.insert {
        let of = |field: &str| insert.row.measure(field);
        let is = Is::Of(insert.row.text("bolt").unwrap_or_default().to_owned());
        let words = insert.thread_first();
        // Its collar is on the side of the bolt where it is set from there: it counts in full.
        let depth = of("height") + of("body");
        let thread = Thread { words, depth, is_behind: true, is_nut: false, is_made: true };
        return Some((is, thread));
    }
    if let Some(nut) = hole.row.as_ref().filter(|row| row.table() == "nut") {
        let seat = seat(hole, nut);
        let is = Is::Of(nut.text("bolt").unwrap_or_default().to_owned());
        let words = format!("{} nut {}", nut.name(), seat.work());
        let depth = nut.measure("height");
        let is_behind = seat == Seat::Behind;
        return Some((is, Thread { words, depth, is_behind, is_nut: true, is_made: true }));
    }
    if hole.making != Making::Tap {
        return None;
    }
    let of = |row: &Row, field: &str| row.quantity(field).map(|size| size.value);
    let row = hole.thread.as_deref();
    let diameter = row.and_then(|row| of(row, "diameter")).or_else(|| hole.diameter());
    let pitch = row.and_then(|row| of(row, "pitch"));
    let is = Is::Size(diameter.unwrap_or(joint.bolt.measure("diameter")), pitch);
    let words = format!("tapped hole {}", hole.set());
    let thread =
        Thread { words, depth: thickness, is_behind: false, is_nut: false, is_made: false };
    Some((is, thread))
}

/// The name of a thread, if it is not that of the bolt.
pub(super) fn wrong_thread(joint: &Joint, is: &Is) -> Option<String> {
    let bolt = &joint.bolt;
    match is {
        Is::Of(name) => (name != bolt.name()).then(|| format!("a thread {name}")),
        Is::Size(diameter, pitch) => {
            let differs = |own: f64, field: &str| {
                bolt.quantity(field).is_some_and(|size| (size.value - own).abs() > SAME)
            };
            let wrong =
                differs(*diameter, "diameter") || pitch.is_some_and(|p| differs(p, "pitch"));
            let pitch = pitch.map_or_else(String::new, |p| format!(" × {}", num::text(p, 3)));
            wrong.then(|| format!("a thread of {} mm{pitch}", num::text(*diameter, 3)))
        }
    }
}

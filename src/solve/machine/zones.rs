//! The extent of a link along its axis.

use crate::link::Link;
use crate::machine::Zone;

/// The extent of a link along its axis over its whole adjustment, coated, the near pin at 0: both heads, the
/// shanks, and the tube with its jam nuts.
pub(super) fn zones(link: &Link, pins: f64, film: f64) -> [Zone; 4] {
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
    [
        Zone { along: [-long, short.min(pins)], radius: head(0) },
        Zone { along: [(pins - short).max(0.0), pins + long], radius: head(1) },
        Zone { along: [0.0, pins], radius: shank },
        Zone { along: [near.min(far), near.max(far)], radius: across },
    ]
}

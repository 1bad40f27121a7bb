//! Plates beside a tube that are too far off it to weld.

use crate::check::tube_end_subject::TubeEndSubject;
use crate::check::tube_end_subject::show;
use crate::check::tube_end_subject::words;
use crate::diag::Finding;

/// Less than this, mm, is rounding.
const ROUNDING: f64 = 1e-6;

/// The widest gap that a fillet bridges beside a tube, mm. Our choice.
const ROOT: f64 = 2.0;

/// Plates so far off the tube that a weld would have to fill the gap; without `gap` they are set for the widest
/// tube. The finding has a code.
pub(super) fn wide(of: &TubeEndSubject, widest: f64, code: &'static str) -> Option<Finding> {
    let tube = of.end.ground().unwrap_or(of.end.outside);
    let (gap, at) = match (of.gap, of.cheeks) {
        (Some((gap, at)), _) => (gap, at),
        (None, at) => (widest, at?),
    };
    let off = (gap - tube) / 2.0;
    if off <= ROOT + ROUNDING {
        return None;
    }
    let headline = format!(
        "plates {} apart leave a gap of {} on each side of {}; a weld should bridge no more than {}",
        show(of, gap),
        show(of, off),
        words(of),
        show(of, ROOT)
    );
    let most = tube + 2.0 * ROOT;
    let help = match of.gap {
        Some(_) if widest > most => "measure the tube, and set the plates to suit".to_owned(),
        Some(_) => format!("write `gap = \"{}\"`, or leave `gap` out", of.units.length_up(widest)),
        None => "make `play` smaller; it is on each side of the tube".to_owned(),
    };
    Some(Finding::caution(code, headline).at(at, "").help(help))
}

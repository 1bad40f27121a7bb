//! A part on a single pin or bolt, about which it rotates.

use crate::part::Hole;
use crate::part::Part;
use crate::strength::bolts::Seat;
use crate::strength::group::Group;
use crate::strength::place::Spot;
use crate::strength::reason::Reason;

/// A share along the pin below this is rounding, of a load of 1 N.
const ROUNDING: f64 = 1e-6;

/// Refuses a pin that would have to support an eye along its own axis, or against tipping: a pin
/// has no head, and its plate no seat.
pub(super) fn pin(seat: &Seat, group: &Group) -> Result<(), Reason> {
    match seat.bolts.as_slice() {
        [one] if one.hole.eye && group.bolts.iter().any(|s| s.tension.abs() > ROUNDING) => {
            Err(Reason::OnePin(one.hole.name.clone()))
        }
        _ => Ok(()),
    }
}

/// The round holes that are neither loaded nor a support, where a single hole supports the part: a
/// pivot among them would take a share.
pub(super) fn left_out(part: &Part, holding: &[&Hole], spot: &Spot) -> Option<String> {
    let [one] = holding else { return None };
    let is_idle = |hole: &&Hole| {
        let mut taken = spot.holes.iter().chain(holding);
        hole.diameter().is_some() && !taken.any(|other| std::ptr::eq(*other, *hole))
    };
    let idle = part.faces.iter().flat_map(|face| &face.holes).filter(is_idle);
    let mut names: Vec<&str> = idle.map(Hole::set).collect();
    names.sort_unstable();
    names.dedup();
    let names: Vec<String> = names.iter().map(|name| format!("`{name}`")).collect();
    let held = format!("held in `{}` alone, about which the part rotates", one.name);
    (!names.is_empty()).then(|| format!("{held}: no support in {}", names.join(", ")))
}

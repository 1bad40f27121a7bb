//! What the joint of a hole has round it: a washer, a bare bolt head or nut, or nothing.

use crate::joint::Joint;
use crate::joint::Washer;
use crate::joint::What;
use crate::num::Angle;
use crate::part::Bears;
use crate::part::Hole;
use crate::recipe::Making;

/// What bears round the holes of a part that joints name: of the part by either of its names, that of the
/// piece and that of its line.
pub(crate) fn bears<'a>(
    joints: impl Iterator<Item = &'a Joint>,
    names: [&str; 2],
    hole: &Hole,
) -> Bears {
    let mut found: Option<Bears> = None;
    for joint in joints {
        for (i, layer) in joint.stack.iter().enumerate() {
            let What::Hole { part, hole: set } = &layer.what else { continue };
            if !names.contains(&part.as_str()) || !hole.is_of(set) {
                continue;
            }
            let ends = [i == 0, i + 1 == joint.stack.len() && !has_thread(hole)];
            let own = (0..2).filter(|end| ends[*end]).map(|end| at_end(joint, end, hole));
            found = std::iter::once(found.unwrap_or(Bears::Nothing)).chain(own).reduce(wider);
        }
    }
    found.unwrap_or(Bears::Washer)
}

/// Whether the bolt ends in the hole, or in what is set into it.
fn has_thread(hole: &Hole) -> bool {
    let is_nut = hole.row.as_ref().is_some_and(|row| row.table() == "nut");
    is_nut || hole.insert.is_some() || hole.making == Making::Tap
}

/// What bears under the head, 0, or under the nut, 1.
fn at_end(joint: &Joint, end: usize, hole: &Hole) -> Bears {
    if let Some(recess) = hole.recess.filter(|_| end == 0) {
        return Bears::Joint("bolt head in", recess.diameter);
    }
    let bolt = &joint.bolt;
    let washer = &joint.washers[end];
    if !matches!(washer, Washer::None) {
        let outside = washer.outside(bolt);
        return outside.map_or(Bears::Washer, |outside| Bears::Joint("washer of", outside));
    }
    let words = ["bolt head at", "nut at"][end];
    // A hexagon is as wide as its corners are apart: 1 / cos 30° of what it is across its flats.
    let flats = bolt.quantity("head_flats").map(|size| size.value);
    let across = flats.map(|flats| flats / Angle::from_degrees(30.0).cos());
    let nut = joint.nut.as_ref().filter(|_| end == 1);
    let corners = nut.and_then(|nut| nut.quantity("corners")).map(|size| size.value);
    corners.or(across).map_or(Bears::Washer, |corners| Bears::Joint(words, corners))
}

/// What reaches further.
fn wider(one: Bears, other: Bears) -> Bears {
    match (one, other) {
        (Bears::Nothing, of) | (of, Bears::Nothing) => of,
        (Bears::Joint(_, a), Bears::Joint(_, b)) => {
            if a >= b {
                one
            } else {
                other
            }
        }
        (Bears::Washer, _) | (_, Bears::Washer) => Bears::Washer,
    }
}

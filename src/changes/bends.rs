//! Bends, compared with what they were.

use crate::changes::contours::SAME;
use crate::changes::contours::moved;
use crate::geom::Edge;
use crate::geom::Vec2;
use crate::history::BendState;
use crate::history::PartState;
use crate::history::edges;
use crate::num;
use crate::quantity::Units;

/// An angle that differs less is the same, degrees. Our choice: finer than any brake.
const SAME_ANGLE: f64 = 0.005;

/// What differs in the bends of a part, in sentences.
pub(super) fn compare(was: &PartState, now: &PartState, shift: Vec2, units: Units) -> Vec<String> {
    let mut differences = Vec::new();
    let mut left: Vec<&BendState> = now.bends.iter().collect();
    for old in &was.bends {
        match left.iter().position(|new| new.name == old.name) {
            Some(at) => differences.extend(change(old, left.remove(at), shift, units)),
            None => differences.push(format!("bend `{}` is gone", old.name)),
        }
    }
    differences.extend(left.iter().map(|new| {
        let angle = num::text(new.angle_deg, 2);
        format!("new: bend `{}`, {} {angle}°", new.name, way(new.up))
    }));
    differences
}

fn way(up: bool) -> &'static str {
    if up { "up" } else { "down" }
}

/// What differs in one bend.
fn change(old: &BendState, new: &BendState, shift: Vec2, units: Units) -> Option<String> {
    let mut words = Vec::new();
    if (old.angle_deg - new.angle_deg).abs() > SAME_ANGLE {
        let [was, is] = [old, new].map(|bend| num::text(bend.angle_deg, 2));
        words.push(format!("angle {was}° → {is}°"));
    }
    if (old.radius_mm - new.radius_mm).abs() > SAME {
        let [was, is] = [old, new].map(|bend| units.length(bend.radius_mm));
        words.push(format!("inside radius {was} → {is}"));
    }
    if old.up != new.up {
        words.push(format!("{} instead of {}", way(new.up), way(old.up)));
    }
    if let Some(off) = off(old, new, shift).filter(|off| *off > SAME) {
        words.push(format!("its line moved by {}", units.length(off)));
    }
    (!words.is_empty()).then(|| format!("bend `{}`: {}", old.name, words.join(", ")))
}

/// How far the centre line is from where it was, whatever became of its length, mm.
fn off(old: &BendState, new: &BendState, shift: Vec2) -> Option<f64> {
    let line = |bend: &BendState, by| Some(*moved(edges(&bend.line)?, by).first()?);
    let (old, new): (Edge, Edge) = (line(old, shift)?, line(new, Vec2::ZERO)?);
    let along = (new.to - new.from).normalize();
    let from_line = |p| f64::abs(along.cross(p - new.from));
    Some(f64::max(from_line(old.from), from_line(old.to)))
}

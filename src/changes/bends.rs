//! Bends, compared with the earlier ones.

use crate::changes::contours::SAME;
use crate::changes::contours::max_deviation;
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

/// What differs in the bends of a part, in sentences; and which only have other names.
pub(super) fn compare(
    was: &PartState,
    now: &PartState,
    shift: Vec2,
    units: Units,
) -> (Vec<String>, Vec<String>) {
    let (mut differences, mut renamed) = (Vec::new(), Vec::new());
    let mut left: Vec<&BendState> = now.bends.iter().collect();
    let mut pending: Vec<&BendState> = Vec::new();
    for old in &was.bends {
        let same = |new: &BendState| new.name == old.name && is_same(old, new, shift, units);
        match left.iter().position(|new| same(new)) {
            Some(at) => drop(left.remove(at)),
            None => pending.push(old),
        }
    }
    // One that was only named differently is where it was.
    pending.retain(|old| {
        let at = left.iter().position(|new| is_same(old, new, shift, units));
        let new = at.map(|at| left.remove(at));
        renamed.extend(new.map(|new| format!("bend `{}` → bend `{}`", old.name, new.name)));
        at.is_none()
    });
    for old in pending {
        match left.iter().position(|new| new.name == old.name) {
            Some(at) => differences.extend(change(old, left.remove(at), shift, units)),
            None => differences.push(format!("bend `{}` removed", old.name)),
        }
    }
    differences.extend(left.iter().map(|new| {
        let angle = num::text(new.angle_deg, 2);
        format!("new: bend `{}`, {} {angle}°", new.name, way(new.up))
    }));
    (differences, renamed)
}

/// Whether two bends are the same except for their names, from end to end of their lines.
fn is_same(old: &BendState, new: &BendState, shift: Vec2, units: Units) -> bool {
    let [was, is] = [line(old, shift), line(new, Vec2::ZERO)];
    let (Some(was), Some(is)) = (was, is) else { return false };
    max_deviation(&[was], &[is]).is_none() && change(old, new, shift, units).is_none()
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
    let is_kept = !(old.form.is_empty() || new.form.is_empty());
    if is_kept && old.form != new.form {
        words.push(format!("{} instead of {}", new.form, old.form));
    }
    if let Some(off) = off(old, new, shift).filter(|off| *off > SAME) {
        words.push(format!("its line moved by {}", units.length(off)));
    }
    (!words.is_empty()).then(|| format!("bend `{}`: {}", old.name, words.join(", ")))
}

/// The centre line.
fn line(bend: &BendState, by: Vec2) -> Option<Edge> {
    moved(edges(&bend.line)?, by).first().copied()
}

/// How far the centre line is from where it was, whatever became of its length, mm.
fn off(old: &BendState, new: &BendState, shift: Vec2) -> Option<f64> {
    let (old, new) = (line(old, shift)?, line(new, Vec2::ZERO)?);
    let along = (new.to - new.from).normalize();
    let from_line = |p| f64::abs(along.cross(p - new.from));
    Some(f64::max(from_line(old.from), from_line(old.to)))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn bend(name: &str, y: f64, angle_deg: f64) -> BendState {
        let line = format!("0 {y}, 60 {y}");
        let form = "bent".into();
        BendState { name: name.into(), line, angle_deg, radius_mm: 4.0, up: true, form }
    }

    fn words_of(was: &[BendState], now: &[BendState]) -> Vec<String> {
        let part =
            |bends: &[BendState]| PartState { bends: bends.to_vec(), ..PartState::default() };
        compare(&part(was), &part(now), Vec2::ZERO, Units::Millimetre).0
    }

    #[test]
    fn a_bend_that_is_only_named_differently_is_the_same_bend() {
        let was = [bend("leg", 10.0, 90.0), bend("lip", 50.0, 45.0)];
        assert!(words_of(&was, &[bend("arm", 10.0, 90.0), bend("lip", 50.0, 45.0)]).is_empty());
        assert!(words_of(&was, &[bend("lip", 10.0, 90.0), bend("leg", 50.0, 45.0)]).is_empty());
        assert_eq!(
            words_of(&was, &[bend("arm", 10.0, 80.0), bend("lip", 50.0, 45.0)]),
            ["bend `leg` removed", "new: bend `arm`, up 80°"]
        );
        // On one line, but beside it.
        let beside = BendState { line: "60 10, 90 10".into(), ..bend("arm", 10.0, 90.0) };
        assert_eq!(words_of(&was[..1], &[beside]).len(), 2);
    }

    #[test]
    fn a_bend_that_is_rolled_in_place_of_bent_is_bent_again() {
        let rolled = BendState { form: "rolled".into(), ..bend("leg", 10.0, 90.0) };
        let was = [bend("leg", 10.0, 90.0)];
        assert_eq!(
            words_of(&was, std::slice::from_ref(&rolled)),
            ["bend `leg`: rolled instead of bent"]
        );
        let not_kept = BendState { form: String::new(), ..bend("leg", 10.0, 90.0) };
        assert!(words_of(&[not_kept], &[rolled]).is_empty());
    }
}

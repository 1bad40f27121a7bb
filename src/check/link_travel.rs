//! A link that cannot reach its travel, or points where its rod ends do not let it.
//!
//! # Looks for
//! A link between points whose `travel` names a place that is farther from its near pin than the
//! link is at its longest setting, or nearer than it is at its shortest: a stop. A place
//! that turning the tube alone does not reach, because the thread of one end is used up first: a caution.
//! A link out of the plane of the ears that hold it by more than its rod end swings between them,
//! its `swing` added; one that is rotated about its pin further than rod end, jam nut and tube
//! allow: stops, where both have a place; a caution where it would touch what is below the ears,
//! beyond their foot.
//!
//! # Why it matters
//! A link keeps the length it is set to. If the far pin is to reach a point that no setting of the
//! rod ends reaches, the link binds there, or is assembled with less engagement than its thread
//! needs. A rod end forced past its angle bends at the shank.
//!
//! # Example
//! A brace 400 mm from pin to pin, adjustable by 8 mm either way, whose far pin is to be moved to a
//! place 425 mm from the near one.
//!
//! # Remedy
//! Measure the point again; a longer bung and a rod end with a longer shank give more adjustment;
//! or move the pin.
//!
//! # Source
//! The shortest setting has both rod ends screwed in as far as their jam nuts let them, the longest
//! has both at `min_engagement`. A turn of the tube moves both ends by their pitches, until the
//! first has no thread left; the rest is set with the other end off its pin. A link keeps its
//! length while the machine moves, but it is not checked that its places are all at one distance:
//! where they are not, another member must deflect. Ears are judged with the link in all of its
//! travel at its first pin, and at the other as it is: how the other is carried is not known.
//! Angles no larger than 1 mm of offset makes over the length of the link are ignored. What is below the ears is
//! taken as flat, or as their tube, on every side.

use crate::check::link_subject::LinkSubject;
use crate::check::link_subject::Reach;
use crate::diag::Finding;

const CODE: &str = "link-travel";

/// What passes a limit by no more keeps it, mm: rounding.
const SAME: f64 = 1e-6;

pub(super) fn check(subject: &LinkSubject) -> Vec<Finding> {
    let setting = subject.link.setting();
    let [shortest, longest] = [setting.shortest, setting.longest];
    let is_off = |mm: f64| mm < shortest - SAME || mm > longest + SAME;
    let off = subject.reaches.iter().filter(|reach| is_off(reach.distance));
    let show = |mm: f64| subject.show(mm);
    let one = |reach: &Reach| {
        let is = subject.units.setting(reach.distance);
        let [low, high] = subject.units.settings([shortest, longest]);
        let headline = format!(
            "`{}` is to reach `{}`, {is} from pin to pin, but adjusts only from {low} to {high}",
            subject.link.name, reach.point
        );
        let way = if reach.distance > longest { "nearer to" } else { "further from" };
        let missing = (shortest - reach.distance).max(reach.distance - longest);
        Finding::stop(CODE, headline)
            .about(subject.of_link())
            .at(reach.span, "")
            .at(subject.link.places.name, "in this link")
            .help(format!(
                "move the point {} {way} the other pin, or use rod ends and bungs with more thread",
                show(missing)
            ))
    };
    let by_tube = |mm: f64| mm >= setting.turned[0] - SAME && mm <= setting.turned[1] + SAME;
    let uneven = subject.link.is_uneven();
    let beyond = subject
        .reaches
        .iter()
        .filter(|reach| uneven && !is_off(reach.distance) && !by_tube(reach.distance));
    off.map(one).chain(beyond.map(|reach| off_its_pin(subject, reach))).collect()
}

/// A place that turning the tube does not reach, as one end has no thread left before the other.
fn off_its_pin(subject: &LinkSubject, reach: &Reach) -> Finding {
    let link = subject.link;
    let [low, high] = subject.units.settings(link.setting().turned);
    let way = usize::from(reach.distance > link.pins);
    let rooms = link.ends.each_ref().map(|end| subject.show(end.room(link.min)[way]));
    let screws = ["in", "out"][way];
    let headline = format!(
        "`{}` is to reach `{}`, {} from pin to pin, but turning the tube adjusts it only from {low} to {high}",
        link.name,
        reach.point,
        subject.units.setting(reach.distance)
    );
    Finding::caution(CODE, headline)
        .about(subject.of_link())
        .at(reach.span, "")
        .at(link.places.name, "in this link")
        .note(format!("end 1 screws {screws} by {}, end 2 by {}", rooms[0], rooms[1]))
        .help("choose equal rod ends and bungs, or take the end with more thread off its pin to set it")
}

//! Two legs of one formed part in a joint, against what the stack has between them.

use crate::check::joint_placed::Legs;
use crate::check::joint_subject::JointSubject;
use crate::diag::Finding;
use crate::num;

const CODE: &str = "joint-place";

/// A bolt draws legs together by this without bending them, mm. Our choice, that of a clevis.
const DRAWN: f64 = 0.5;

/// Play by what the tolerances may take of it, above which it is too much. Our choice, that of a clevis.
const SPREADS: f64 = 2.0;

/// Less than this, mm, is rounding.
const ROUNDING: f64 = 1e-6;

pub(super) fn check(subject: &JointSubject) -> Vec<Finding> {
    let one = |legs: &Legs| {
        let finding = if legs.face { gap(subject, legs)? } else { askew(subject, legs) };
        let finding = legs
            .plates
            .iter()
            .fold(finding, |finding, plate| finding.about(plate.about.clone()).at(plate.at, ""));
        Some(finding.at(subject.bolted.joint.here, "in this joint"))
    };
    subject.together.legs.iter().filter_map(one).collect()
}

/// Holes in two legs that no bolt goes through in one piece.
fn askew(subject: &JointSubject, legs: &Legs) -> Finding {
    let [one, other] = legs.plates.map(|plate| format!("`{}`", plate.words()));
    let meeting = &legs.meeting;
    let how = match meeting.off > meeting.allowed + ROUNDING {
        true => format!(
            "their axes are {} apart, the bolt allows {}",
            subject.show(meeting.off),
            subject.show(meeting.allowed)
        ),
        false => format!("they are at {}° to each other", num::text(meeting.tilt, 1)),
    };
    let of = format!("{one} and {other} are in two legs of one part");
    if legs.may_be_two {
        let headline = format!("not judged: {of}, and do not line up in one piece: {how}");
        let finding = Finding::caution(CODE, headline);
        return finding.help(
            "place both pieces in the machine where two pieces share the bolt, or name holes that line up",
        );
    }
    let headline = format!("{of} and do not line up: {how}");
    Finding::stop(CODE, headline)
        .help("name holes that line up, or correct the part so that these do")
}

/// The coatings on the two faces that look at each other, mm.
fn film(legs: &Legs) -> f64 {
    legs.plates.iter().map(|plate| plate.coating).sum()
}

/// More or less between two legs than there is room for.
fn gap(subject: &JointSubject, legs: &Legs) -> Option<Finding> {
    let show = |mm: f64| subject.show(mm);
    let [set, _] = legs.meeting.gap;
    let (room, [likely, worst], [least, most]) = (set - film(legs), legs.off, legs.stack);
    let part = &legs.plates[0].part;
    let stack = format!("the stack of {} between the legs of `{part}`", subject.name());
    let tolerances = format!(
        "with likely tolerances of sheet and bends (root sum square) {}, in the worst case {}",
        show(room - likely),
        show(room - worst)
    );
    let thick = match room - likely > DRAWN {
        true => format!(
            "make these layers {} thick in total, or set the legs further apart",
            subject.units.rounded_down(room - likely, 1)
        ),
        false => "set the legs further apart".to_owned(),
    };
    if least > set + ROUNDING {
        let headline =
            format!("{stack} is {} thick, but the legs are {} apart", show(least), show(set));
        return Some(Finding::stop(CODE, headline).help(thick));
    }
    if !legs.is_empty && most > room - likely + ROUNDING {
        let headline = format!(
            "{stack} is up to {} thick and may not fit: coated, the legs are {} apart",
            show(most),
            show(room)
        );
        return Some(Finding::caution(CODE, headline).note(tolerances).help(thick));
    }
    loose(subject, legs, thick)
}

/// A stack with play between the legs; `thick` is how it is made thicker.
fn loose(subject: &JointSubject, legs: &Legs, thick: String) -> Option<Finding> {
    let show = |mm: f64| subject.show(mm);
    let [set, widest] = legs.meeting.gap;
    let (film, [likely, _], [least, most]) = (film(legs), legs.off, legs.stack);
    let play = widest - film - least;
    if play <= DRAWN.max(SPREADS * likely) + ROUNDING {
        return None;
    }
    let part = &legs.plates[0].part;
    let stack = format!("the stack of {} between the legs of `{part}`", subject.name());
    let headline = match legs.is_empty {
        true => format!(
            "the legs of `{part}` are {} apart, and the stack of {} has nothing between them",
            show(widest),
            subject.name()
        ),
        false => format!(
            "{stack} is only {} thick: coated, the legs are {} apart",
            show(least),
            show(widest - film)
        ),
    };
    // Less the tolerances: with all that is left it may not go in.
    let missing = set - film - likely - most;
    let help = match missing >= DRAWN {
        true => format!(
            "add what is between them to `stack`, as `{{ spacer = \"{}\" }}`",
            subject.units.rounded_down(missing, 1)
        ),
        false => thick,
    };
    Some(
        Finding::caution(CODE, headline)
            .note("the bolt would bend the legs, and is too short for the gap that is left")
            .help(help),
    )
}

//! How far plates lap over the end of their tube, against how long they are, and the bolts through them.

use crate::check::tube_end_subject::Eye;
use crate::check::tube_end_subject::TubeEndSubject;
use crate::check::tube_end_subject::show;
use crate::check::tube_end_subject::words;
use crate::diag::About;
use crate::diag::Finding;

/// The outside of a spacer whose size is not given, in diameters of its bolt. Our choice.
const SPACER: f64 = 2.0;

/// Less than this, mm, is rounding.
const ROUNDING: f64 = 1e-6;

/// Plates that are to lap over more of a tube than they are long, under a code: a stop where they are not so long
/// even from corner to corner.
pub(super) fn lap(of: &TubeEndSubject, code: &'static str) -> Option<Finding> {
    let ((lap, at), plate) = (of.lap?, of.plate.as_ref()?);
    if lap <= plate.long + ROUNDING {
        return None;
    }
    let headline = format!(
        "plate `{}` is to lap {} over {}, but is only {} long",
        plate.part,
        show(of, lap),
        words(of),
        show(of, plate.long)
    );
    let finding = match lap > plate.across + ROUNDING {
        true => Finding::stop(code, headline),
        false => Finding::caution(code, headline)
            .note(format!("it is {} from corner to corner", show(of, plate.across))),
    };
    let finding = finding.about(About::part(plate.part)).at(at, "");
    Some(finding.help("make `lap` smaller, or the plate longer"))
}

/// A bolt through both plates that is in the end of the tube or its cap, or whose sleeve or spacer is, under a
/// code.
pub(super) fn eye(of: &TubeEndSubject, eye: &Eye, code: &'static str) -> Option<Finding> {
    let plate = of.plate.as_ref()?;
    let Some((lap, at)) = of.lap else {
        let headline = format!(
            "not judged: whether joint `{}` between plates `{}` is clear of {}",
            eye.joint,
            plate.part,
            words(of)
        );
        let finding =
            Finding::caution(code, headline).about(About::part(plate.part)).at(eye.at, "");
        return Some(finding.help("add `lap`, how far the plates lap over the tube"));
    };
    let cap = of.end.cap.as_ref().filter(|cap| !cap.is_inside).map_or(0.0, |cap| cap.thickness);
    let room = eye.from_edge - lap - cap;
    // What nobody says is taken as wide as most spacers are.
    let wide = eye.sleeve.unwrap_or(SPACER * eye.bolt);
    if room + ROUNDING >= wide / 2.0 {
        return None;
    }
    let (what, sure) = match eye.sleeve {
        Some(_) => ("the sleeve".to_owned(), wide),
        None if room + ROUNDING < eye.bolt / 2.0 => ("the bolt".to_owned(), eye.bolt),
        None => (format!("a spacer of {} outside diameter", show(of, wide)), eye.bolt),
    };
    let headline = format!(
        "{what} of joint `{}` runs into {}: its axis is {} from there, and {} is needed",
        eye.joint,
        words(of),
        show(of, room),
        show(of, if room + ROUNDING < sure / 2.0 { sure / 2.0 } else { wide / 2.0 })
    );
    let finding = match room + ROUNDING < sure / 2.0 {
        true => Finding::stop(code, headline),
        false => Finding::caution(code, headline),
    };
    let finding = finding.about(About::part(plate.part)).at(at, "").at(eye.at, "the joint");
    let finding = finding.note(format!(
        "`{}` is {} from the furthest edge of the plate, which is taken as the one on the tube",
        eye.hole,
        show(of, eye.from_edge)
    ));
    Some(finding.help("make `lap` smaller, or the plate longer"))
}

//! A corner that stays open where flanges should meet.
//!
//! # Looks for
//! A bend whose recipe asks for a `corner` (`closed`, `overlap` or `mitre`), where the flange
//! as drawn does not reach the corner, or where there is no flange on the next edge.
//!
//! # Why it matters
//! A corner treatment only removes metal. A flange drawn too narrow leaves a gap wider than
//! specified, and a flange that leans out is too narrow when it is drawn as wide as its
//! edge.
//!
//! # Example
//! A tray with walls that lean out by 30° and are drawn as rectangles: `closed` has nothing
//! to cut, and the corners open towards the top.
//!
//! # Remedy
//! Draw the flange wider than its edge on that side, wide enough at its free end too; or
//! leave `corner` out.
//!
//! # Source
//! Geometry of the folded part; 0.01 mm is allowed, our choice.

use crate::check::subject::Subject;
use crate::diag::Feature;
use crate::diag::Finding;
use crate::diag::Weight;

const CODE: &str = "corner-gap";

pub(super) fn look(subject: &Subject) -> Vec<Finding> {
    let bends = &subject.part.bends;
    let finding = |corner: &crate::flat::ShortCorner| {
        let bend = &bends[corner.bend];
        let (headline, help) = match corner.other {
            Some((other, short)) => {
                let short = subject.show(short);
                let face = &subject.part.faces[bend.to].name;
                (
                    format!(
                        "face `{face}` ends {short} before its corner with the flange at bend `{}`",
                        bends[other].name
                    ),
                    format!("draw `{face}` at least {short} wider on that side"),
                )
            }
            None => (
                format!("bend `{}` has a `corner`, but there is no flange beside it", bend.name),
                "remove `corner`, or draw the next flange up to the end of its edge".into(),
            ),
        };
        let other = corner.other.map(|(other, _)| Feature::Bend(other));
        let about = subject.of_part(std::iter::once(Feature::Bend(corner.bend)).chain(other));
        subject.finding(Weight::Caution, CODE, headline, &[], bend.span).about(about).help(help)
    };
    subject.flat.short_corners.iter().map(finding).collect()
}

//! A corner that stays open where flanges were to meet.
//!
//! # Looks for
//! A bend whose recipe asks for a `corner` (`closed`, `overlap` or `mitre`), where the flange
//! as it is drawn does not reach so far, or where no flange stands on the next edge.
//!
//! # Why it matters
//! Treating a corner only takes metal away. A flange drawn too narrow leaves a gap wider
//! than the welder was told of, and a flange that leans out is too narrow when it is drawn
//! as wide as its edge.
//!
//! # Example
//! A tray with walls that lean out by 30° and are drawn as rectangles: `closed` has nothing
//! to cut, the corners gape more the higher one looks.
//!
//! # Remedy
//! Draw the flange wider than its edge on that side, wide enough at its upper end too; or
//! leave `corner` out.
//!
//! # Source
//! Geometry of the folded part; 0.01 mm are let pass, our choice.

use crate::check::subject::Subject;
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
                format!("bend `{}` asks for a corner, but no flange stands beside it", bend.name),
                "take `corner` away, or draw the next flange up to the end of its edge".into(),
            ),
        };
        subject.finding(Weight::Caution, CODE, headline, &[], bend.span).help(help)
    };
    subject.flat.short_corners.iter().map(finding).collect()
}

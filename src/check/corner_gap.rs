//! A corner that stays open where flanges should meet.
//!
//! # Looks for
//! A bend whose recipe asks for a `corner` (`closed`, `overlap` or `mitre`), where the flange as
//! drawn does not reach the corner, or where there is no flange on the next edge. And a corner
//! whose gap, the clear distance of the two flanges measured on the formed part over the whole
//! height, is not the specified one. It is measured along the side of each flange, from above the
//! relief to the corner at its top, as high as both reach.
//!
//! # Why it matters
//! A corner treatment only removes metal. A flange drawn too narrow leaves a gap wider than
//! specified, and a flange that leans out is too narrow if it is drawn only as wide as its edge.
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
//! Geometry of the formed part; 0.01 mm of the flange and 0.05 mm of the gap are allowed, our
//! choice.

use crate::check::subject::Subject;
use crate::diag::Feature;
use crate::diag::Finding;
use crate::diag::Weight;
use crate::fold;
use crate::fold::CornerGap;

const CODE: &str = "corner-gap";

pub(super) fn check(subject: &Subject) -> Vec<Finding> {
    let bends = &subject.part.bends;
    let finding = |corner: &crate::flat::ShortCorner| {
        let bend = &bends[corner.bend];
        let (headline, help) = match corner.other {
            Some((other, short)) => {
                let short = subject.show(short);
                let face = &subject.part.faces[bend.to].name;
                (
                    format!(
                        "face `{face}` stops {short} short of its corner with the flange at bend `{}`",
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
    let mut findings: Vec<Finding> = subject.flat.short_corners.iter().map(finding).collect();
    findings.extend(off(subject));
    findings
}

/// The corners whose gap is not the specified one, except those reported as short.
fn off(subject: &Subject) -> Vec<Finding> {
    let (part, flat) = (subject.part, subject.flat);
    if flat.corners.is_empty() {
        return Vec::new();
    }
    let short = |gap: &CornerGap| {
        let short = flat.short_corners.iter();
        short.into_iter().any(|corner| gap.bends.contains(&corner.bend))
    };
    let finding = |gap: &CornerGap| {
        let [first, second] = gap.bends.map(|bend| &part.bends[bend]);
        let (asked, min, max) =
            (subject.show(gap.asked), subject.show(gap.min), subject.show(gap.max));
        let headline = format!(
            "the gap at the corner of bends `{}` and `{}` is {min} to {max}, but {asked} is needed",
            first.name, second.name
        );
        let base = subject.finding(Weight::Caution, CODE, headline, &[], first.span);
        base.about(subject.of_part(gap.bends.map(Feature::Bend)))
            .help("draw both flanges up to the corner with straight edges, or leave `corner` out")
    };
    let off = |gap: &CornerGap| {
        !short(gap) && (gap.max - gap.asked > PASSES || gap.asked - gap.min > PASSES)
    };
    fold::corner_gaps(part, flat, subject.folded)
        .iter()
        .filter(|gap| off(gap))
        .map(finding)
        .collect()
}

/// Tolerance of a gap, mm.
const PASSES: f64 = 0.05;

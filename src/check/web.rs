//! Too little metal between two cuts.
//!
//! # Looks for
//! Two holes, at their finished size and with their countersinks or counterbores, or openings with
//! less metal between them than the process needs to keep it sound: a multiple of the thickness, or
//! a minimum width of its own. A hole that bends back on itself, such as a slot along an arc, with
//! less metal between its own ends. Necks of the outline itself: see `narrow-metal`.
//!
//! # Why it matters
//! A thin web overheats and warps under a beam, breaks out under a jet, and tears later.
//!
//! # Example
//! Two 9 mm holes at 11 mm centres in 3 mm plate leave a web of 2 mm where 3 mm is needed.
//!
//! # Remedy
//! Move the holes apart, make them smaller, or join them into a slot.
//!
//! # Source
//! Common practice; the figures are in the `process` table.

use crate::check::narrow_place;
use crate::check::subject::Opening;
use crate::check::subject::Subject;
use crate::check::subject::short;
use crate::diag::Finding;
use crate::diag::Weight;
use crate::geom::Narrow;
use crate::geom::Within;
use crate::geom::outline_distance;
use crate::table::ProcessLimit;

const CODE: &str = "web";

pub(super) fn check(subject: &Subject) -> Vec<Finding> {
    let min = subject.limit(ProcessLimit::WEB);
    let openings = subject.openings();
    let boxes: Vec<_> = openings.iter().map(|o| o.outline.bounds()).collect();
    let mut findings = within(subject, &openings, min);
    for (j, second) in openings.iter().enumerate() {
        for (i, first) in openings[..j].iter().enumerate() {
            let grown = first.growth() + second.growth();
            if boxes[i].distance(&boxes[j]) - grown >= min {
                continue;
            }
            let web = outline_distance(first.outline, second.outline) - grown;
            if !short(web, min) {
                continue;
            }
            let [is, needed] = subject.show_short([web.max(0.0), min]);
            let headline = format!(
                "the web between {} and {} is {is}, but {needed} is needed",
                first.words, second.words
            );
            // A hole of the recipe says more about where to mend it than an opening.
            let spoken = if second.hole.is_some() { second } else { first };
            findings.push(
                subject
                    .about(spoken, Weight::Stop, CODE, headline)
                    .about(subject.of_part([first.feature, second.feature]))
                    .note(format!(
                        "minimum web by {} in {}: {needed}",
                        subject.process.name(),
                        subject.show(subject.part.thickness)
                    ))
                    .help(format!(
                        "move them {} further apart{}{}",
                        subject.show_up(min - web),
                        subject.thinner(web, ProcessLimit::WEB),
                        subject.finer()
                    )),
            );
        }
    }
    findings
}

/// Holes with too little metal between parts of themselves. Other openings: see `narrow-metal`.
fn within(subject: &Subject, openings: &[Opening], min: f64) -> Vec<Finding> {
    let narrowest = |opening: &Opening| -> Option<Narrow> {
        let round = opening.outline.circle().is_some();
        opening.hole.filter(|_| !round)?;
        let places = narrow_place::places(subject, opening.outline, Within::Outside, min);
        places.into_iter().min_by(|a, b| a.width.total_cmp(&b.width))
    };
    let places = openings.iter().filter_map(|opening| Some((opening, narrowest(opening)?)));
    let finding = |(opening, place): (&Opening, Narrow)| {
        let [is, needed] = subject.show_short([place.width, min]);
        let headline = format!(
            "the web between the ends of {} is {is}, but {needed} is needed",
            opening.words
        );
        subject
            .about(opening, Weight::Stop, CODE, headline)
            .note(format!(
                "minimum web by {} in {}: {needed}",
                subject.process.name(),
                subject.show(subject.part.thickness)
            ))
            .help(format!(
                "move them {} further apart{}",
                subject.show_up(min - place.width),
                subject.finer()
            ))
    };
    places.map(finding).collect()
}

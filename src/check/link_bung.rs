//! A bung that does not fit its rod end or its tube.
//!
//! # Looks for
//! A bung whose thread is not that of the rod end; a tube that is not round; a bung wider than the
//! tube's bore (stop); a bung with more than half a millimetre of clearance in it (caution).
//!
//! # Why it matters
//! A loose bung is welded in out of line, and the link is bent from the start.
//!
//! # Example
//! A bung turned to 19.9 mm in a tube 25 x 2, whose bore is 21 mm.
//!
//! # Remedy
//! Leave `tube` out: the bung names the tube it fits. Or machine a bung to suit and add it
//! to `tables/bung.csv`.
//!
//! # Source
//! Half a millimetre: our choice, about what can be trued up while tacking.

use crate::check::link_subject::LinkSubject;
use crate::check::subject::short;
use crate::diag::Finding;

const CODE: &str = "link-bung";

/// Widest room round a bung, in diameter, mm.
const LOOSE: f64 = 0.5;

pub(super) fn check(subject: &LinkSubject) -> Vec<Finding> {
    let (link, tube) = (subject.link, &subject.link.tube);
    let named = link.places.tube.unwrap_or(link.ends[0].rod_end_entry.item.letters);
    if tube.text("shape") != Some("round") {
        let headline = format!("tube `{}` is not round", tube.name());
        return vec![
            Finding::stop(CODE, headline)
                .about(subject.of_link())
                .at(named, "")
                .help("name a round tube, or leave it out"),
        ];
    }
    let mut findings: Vec<Finding> = Vec::new();
    for end in &link.ends {
        let (spigot, bore) = (end.bung.measure("spigot"), tube.measure("inside"));
        let place = link.places.tube.unwrap_or(end.rod_end_entry.item.letters);
        let (bung, show) = (end.bung.name(), |mm: f64| subject.show(mm));
        let sizes = format!("bung {bung} is {}, the bore {}", show(spigot), show(bore));
        let thread = end.thread.name();
        let found = if !bung.starts_with(thread) {
            let headline =
                format!("bung `{bung}` does not have the thread of the rod end, {thread}");
            Finding::stop(CODE, headline)
                .help(format!("use a bung whose name starts with `{thread}`"))
        } else if short(bore, spigot) {
            let headline = format!("the bung does not go into tube `{}`: {sizes}", tube.name());
            Finding::stop(CODE, headline).help("use a tube with a larger bore, or leave `tube` out")
        } else if short(LOOSE, bore - spigot) {
            let headline = format!("the bung is loose in tube `{}`: {sizes}", tube.name());
            Finding::caution(CODE, headline)
                .help("turn a larger bung to suit the bore, or leave `tube` out")
        } else {
            continue;
        };
        let found =
            found.about(subject.of_link()).at(place, "").at(link.places.name, "in this link");
        if !findings.contains(&found) {
            findings.push(found);
        }
    }
    findings
}

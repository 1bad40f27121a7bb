//! A rod end that is screwed too far into its bung, or not far enough.
//!
//! # Looks for
//! An initial engagement longer than the bung's thread; one that leaves no thread of the
//! shank for the jam nut; one shorter than the minimum; and a tube that is no longer than
//! its two bungs.
//!
//! # Why it matters
//! The engaged thread carries the load of the link. It cannot be seen once the jam nut is tight.
//!
//! # Example
//! An engagement of 40 mm in a bung with 25 mm of thread.
//!
//! # Remedy
//! Leave `engagement` out: three quarters of the bung leaves room to set the link both
//! ways. A longer bung of your own goes into `tables/bung.csv`.
//!
//! # Source
//! One diameter of engagement develops about the full strength of the shank if bung and shank are
//! of equal material strength (articles on fasteners); a weaker bung needs more: set
//! `min_engagement`. Three quarters: common practice.

use crate::check::link_subject::LinkSubject;
use crate::check::subject::short;
use crate::diag::Finding;
use crate::link::End;

const CODE: &str = "link-engagement";

pub(super) fn check(subject: &LinkSubject) -> Vec<Finding> {
    let link = subject.link;
    let mut findings: Vec<Finding> = Vec::new();
    for end in &link.ends {
        findings.extend(one(subject, end).filter(|finding| !findings.contains(finding)));
    }
    let bungs: f64 = link.ends.iter().map(|end| end.bung.measure("length")).sum();
    let cut = link.setting().cut;
    if findings.is_empty() && short(cut, bungs) {
        let headline = if cut > 0.0 {
            let [cut, bungs] = [cut, bungs].map(|mm| subject.show(mm));
            format!("the tube would be {cut} long, no longer than its two bungs, {bungs}")
        } else {
            let pins = subject.show(link.pins);
            format!("the rod ends meet: {pins} from pin to pin leaves no room for a tube")
        };
        let meet = link.pins + bungs - cut;
        let needed = subject.show(meet);
        let instead = subject.longer_than(meet);
        findings.push(
            Finding::stop(CODE, headline)
                .about(subject.of_link())
                .at(link.places.pins, "")
                .help(format!("make the link `{instead}` or longer from pin to pin: at {needed} the bungs meet; or leave out the tube and screw both rod ends into one bung"))
                .fix(instead),
        );
    }
    findings
}

fn one(subject: &LinkSubject, end: &End) -> Option<Finding> {
    let (is, bung) = (end.engagement, end.bung.measure("length"));
    let (deepest, min) = (end.deepest(), subject.link.min);
    let show = |mm: f64| subject.show(mm);
    let (headline, help) = if short(bung, is) {
        let words =
            format!("engagement of {} is longer than the bung's thread, {}", show(is), show(bung));
        (words, format!("write {} or less, or leave it out", show(bung)))
    } else if short(deepest, is) {
        let words = format!(
            "engagement of {} leaves no thread for the jam nut: {} of thread less a nut of {}",
            show(is),
            show(end.rod_end.measure("threaded")),
            show(end.jam_nut.measure("height"))
        );
        (words, format!("write `engagement = \"{}\"` or less", show(deepest)))
    } else if short(is, min) {
        let words = format!("engagement of {} is less than the minimum, {}", show(is), show(min));
        (words, "screw it in further, or use a longer bung".to_owned())
    } else {
        return None;
    };
    let place = subject.link.places.engagement.unwrap_or(end.rod_end_entry.item.letters);
    Some(
        Finding::stop(CODE, headline)
            .about(subject.of_link())
            .at(place, "")
            .at(subject.link.places.name, "in this link")
            .help(help),
    )
}

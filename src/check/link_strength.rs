//! A load that a link cannot carry.
//!
//! # Looks for
//! A load of the job along a link (`[[load]]` with `link`) above the allowable load of the link
//! (stop). The finding names the limit that governs, where it is, at which setting, and the clause.
//!
//! *Checked*, in tension, in compression, or both where the job does not say, at the shortest and
//! the longest setting: the tube in tension and buckling; the metal of each bung round its thread;
//! the fillet round each bung; the engaged threads of bung and rod end; each rod end by the static
//! load rating from its manufacturer, divided by 2.00; and in compression the shank of each rod
//! end, in compression and bending at the face of its bung.
//!
//! A link is a strut in three pieces: a shank, the tube, a shank. A shank is far easier to bend
//! than the tube, so the strut buckles earlier than its tube alone would from pin to pin. Its
//! elastic critical force is that of the three pieces with E·I of the shanks at the root of their
//! threads; Fe is that force over the area of the tube, never above that of the tube with K = 1
//! from pin to pin. The slenderness that goes with it should not be above 200 (caution). The shank
//! is checked in combined compression and bending (H2-1, second order): the link has an initial
//! out-of-straightness of L/1000 in its buckled shape, and the bung is off centre by half its
//! clearance in the tube; both are amplified as the load nears the critical force. Only the rating
//! of the shank is known, not its metal; the rating is used as its yield load.
//!
//! *Not judged* (a caution, never a margin): a link whose tube has no `material`, or whose rod ends
//! have no `rating`; compression of stainless and aluminium tube, which have column curves of their
//! own; a metal whose as-welded strength is not known; a wall thinner than E7 has a formula for. A
//! tube that is bent, or whose pins are not on its axis, does not count as a link.
//!
//! *Not checked*: impact, fatigue, side load, the link's own weight, friction of the balls, and the
//! jam nuts, which are assumed to carry no load. The ears and brackets at the ends are judged as parts, with
//! this load at their pin, where they name the link: `platewright explain strength`.
//!
//! # Why it matters
//! A link in compression buckles without warning, first at a shank, where it leaves its bung.
//!
//! # Example
//! A tube 25 × 2.5 of S235 with M10 rod ends that project 38 mm, 400 mm from pin to pin: a tube of
//! that length would buckle elastically at 147 kN, the link does at 64 kN.
//!
//! # Remedy
//! A larger rod end with its tube, a shorter link, rod ends screwed in further
//! (`min_engagement`), a thicker wall, a larger `leg`.
//!
//! # Source
//! AISC 360-16 D2, E3, E4, E7, H2, J2.4, J4; table D3.1 case 3; user note of E2 (200). The strut in
//! pieces: Timoshenko and Gere, bars with change in cross section. Threads: half of the pitch
//! cylinder, common practice. 1 in 1000: AISC code of standard practice (from memory). A screening
//! calculation, not a substitute for local codes and a licensed engineer's judgement.

use crate::check::link_subject::LinkSubject;
use crate::check::strength::shape_words;
use crate::diag::About;
use crate::diag::Finding;
use crate::link;
use crate::link::Found;
use crate::link::LinkLoad;
use crate::link::LinkVerdict;
use crate::num;
use crate::strength::CAUTION;
use crate::strength::Shape;

const CODE: &str = "link-strength";

/// The slenderness that a strut should not exceed: user note of AISC 360-16 E2.
const SLENDEREST: f64 = 200.0;

/// Two legs no farther apart are one, mm: beyond what a drawing shows.
const SAME_LEG: f64 = 0.005;

pub(super) fn check(subject: &LinkSubject) -> Vec<Finding> {
    let one = |load: &&LinkLoad| one(subject, load, &link::judge(load, subject.link));
    subject.loads.iter().flat_map(one).chain(legs_differ(subject)).collect()
}

/// Two loads that count on different legs of the same fillets.
fn legs_differ(subject: &LinkSubject) -> Option<Finding> {
    let mut legs = subject.loads.iter().filter_map(|load| Some((load, load.leg?)));
    let (first, leg) = legs.next()?;
    let (other, is) = legs.find(|(_, is)| (is - leg).abs() > SAME_LEG)?;
    let link = &subject.link.name;
    let [leg, is] = [leg, is].map(|mm| subject.show(mm));
    let headline = format!(
        "the fillets of `{link}` have a leg of {leg} in load `{}`, and of {is} in load `{}`",
        first.name, other.name
    );
    let finding = Finding::caution(CODE, headline).about(subject.of_link());
    let finding = finding.at(other.here, "").at(first.here, "");
    Some(finding.help("write one `leg` for all loads of the link: one weld has one leg size"))
}

fn one(subject: &LinkSubject, load: &LinkLoad, verdict: &LinkVerdict) -> Vec<Finding> {
    let what = format!("{} of `{}`", verdict.acting, verdict.link);
    let place = |finding: Finding| {
        let finding = finding.about(subject.of_link()).about(About::Load(load.name.clone()));
        finding.at(load.here, what.clone()).at(subject.link.places.name, "in this link")
    };
    let mut findings = Vec::new();
    if let Some(lack) = &verdict.lack {
        let headline = format!("`{}` is not judged in `{}`: {lack}", verdict.link, verdict.case);
        let finding = place(Finding::caution(CODE, headline));
        findings.push(finding.note(CAUTION).help(lack.help()));
    }
    let fails = verdict.margin().is_some_and(|margin| margin < 0.0);
    if let Some(found) = verdict.governing().filter(|_| fails) {
        findings.push(place(overloaded(subject, verdict, found)));
    }
    if let Some(slender) = verdict.slenderness.filter(|slender| *slender > SLENDEREST) {
        let headline = format!(
            "`{}` in `{}`: its slenderness is {}, but should be at most 200 by AISC 360-16 E2",
            verdict.link,
            verdict.case,
            num::text(slender, 0)
        );
        let finding = place(Finding::caution(CODE, headline));
        findings.push(finding.help("use a larger tube and rod ends, or a shorter link"));
    }
    let unkept = verdict.shapes.iter().filter(|shape| !shape.kept());
    findings.extend(unkept.map(|shape| place(unkept_shape(subject, verdict, shape))));
    findings
}

/// A load above the allowable one.
fn overloaded(subject: &LinkSubject, verdict: &LinkVerdict, found: &Found) -> Finding {
    let limit = &found.limit;
    let headline = format!(
        "`{}` in `{}`: {} is applied, {} allowed: {} ({})",
        verdict.link,
        verdict.case,
        subject.units.applied(verdict.force),
        subject.units.allowed(limit.allowable()),
        limit.what,
        limit.rule,
    );
    Finding::stop(CODE, headline)
        .note(format!("governs {}", found.words(subject.units)))
        .note(CAUTION)
        .help("use larger rod ends and a larger tube, a shorter link, or more weld")
}

fn unkept_shape(subject: &LinkSubject, verdict: &LinkVerdict, shape: &Shape) -> Finding {
    let headline = shape_words([&verdict.link, &verdict.case], shape, |mm| subject.show(mm));
    Finding::caution(CODE, headline)
        .help("change `leg`: until this rule is met, the strength of the weld is an estimate")
}

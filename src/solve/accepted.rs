//! Stops of workmanship that a job accepts, each with its reason: they become cautions.

use crate::check;
use crate::diag::About;
use crate::diag::Finding;
use crate::diag::Weight;
use crate::job::Accepted;
use crate::job::Line;
use crate::sequence::Why;
use crate::solve::solved::Solved;

/// The findings on the parts of a line, if some are accepted; with a caution for an entry that
/// accepts nothing.
pub(super) fn accept(line: &Line, solved: &mut [Solved]) {
    for accepted in &line.accept {
        let mut seen = false;
        for part in solved.iter_mut() {
            let unmakeable = accepted.code == check::BEND_SEQUENCE && springs(part);
            let stops = |finding: &&mut Finding| {
                finding.code == accepted.code && finding.weight == Weight::Stop
            };
            for finding in part.found.iter_mut().filter(stops) {
                seen = true;
                if !unmakeable {
                    *finding = as_caution(finding, accepted);
                }
            }
        }
        if let Some(first) = solved.first_mut().filter(|_| !seen) {
            let headline = format!("there is no stop `{}` to accept", accepted.code);
            let caution = Finding::caution("accept", headline).about(About::part(&first.name));
            first.found.push(caution.at(accepted.span, "").help("remove it from `accept`"));
        }
    }
    for part in solved.iter_mut() {
        let springs = springs(part);
        part.found.iter_mut().for_each(|finding| offer(finding, springs));
    }
}

/// Adds to a stop of workmanship how to accept it; unless the bend springs back completely.
fn offer(finding: &mut Finding, springs: bool) {
    let code = finding.code;
    let is_offered = finding.weight == Weight::Stop
        && check::WORKMANSHIP.contains(&code)
        && !(springs && code == check::BEND_SEQUENCE);
    if is_offered {
        *finding = finding.clone().note(format!(
            "if your shop can bend it all the same, say how: `accept = {{ {code} = \"…\" }}` in \
             the part's entry makes this a caution"
        ));
    }
}

/// The caution that a stop becomes.
fn as_caution(finding: &Finding, accepted: &Accepted) -> Finding {
    let mut told = finding.clone();
    told.weight = Weight::Caution;
    told.headline = format!("accepted by the job: {}", finding.headline);
    told.at(accepted.span, "accepted here")
        .help(format!("make it as the job says: {}", accepted.reason))
}

/// Whether a bend springs back completely, so that it cannot be made.
fn springs(part: &Solved) -> bool {
    let blocked = part.plan.iter().flat_map(|plan| &plan.blocked);
    blocked.into_iter().any(|(_, refused)| refused.iter().any(|r| matches!(r.why, Why::Springs)))
}

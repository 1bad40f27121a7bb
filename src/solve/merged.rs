//! Findings on several parts, reported once.

use crate::diag::About;
use crate::diag::Finding;
use crate::diag::Span;
use crate::job::Job;
use crate::job::Line;
use std::collections::HashMap;
use std::collections::HashSet;

/// Equal findings on several parts, with the same remedy, reported once: the members of a family
/// and both hands of a part share their mistakes.
pub(super) fn merged(findings: Vec<Finding>, job: &Job) -> Vec<Finding> {
    let heres: HashSet<Span> = job.lines.iter().map(|line| line.here).collect();
    let mut first: Vec<Finding> = Vec::with_capacity(findings.len());
    let mut known: HashMap<(String, Vec<Span>), usize> = HashMap::new();
    for finding in findings {
        let spans = finding.marks.iter().map(|m| m.span).filter(|s| !heres.contains(s));
        let help = finding.help.as_deref().unwrap_or_default();
        let key = (format!("{} {} {help}", finding.code, finding.headline), spans.collect());
        match known.get(&key) {
            Some(i) => first[*i].absorb(finding),
            None => {
                known.insert(key, first.len());
                first.push(finding);
            }
        }
    }
    first
}

/// The finding with its part, if that is neither named nor marked yet.
pub(super) fn in_part(mut finding: Finding, line: &Line) -> Finding {
    if finding.about.is_empty() {
        finding = finding.about(About::part(&line.name));
    }
    if finding.marks.iter().any(|m| m.span == line.here) {
        finding
    } else {
        finding.at(line.here, "in this part")
    }
}

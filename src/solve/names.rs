//! The file names of parts and of sets of plates: each is used once.

use crate::diag::About;
use crate::diag::Finding;
use crate::job::Job;
use crate::solve::solved::Solved;
use std::collections::HashMap;

/// Names in small letters, each with whether it is that of a part.
#[derive(Default)]
pub(super) struct Names(HashMap<String, bool>);

impl Names {
    /// Parts of a line whose names, with the suffixes that distinguish them, are in use already,
    /// and sets of its plates whose drawing has the name of a part.
    pub(super) fn double(&mut self, parts: &[Solved], job: &Job) -> Vec<Finding> {
        let mut findings = Vec::new();
        for part in parts {
            findings.extend(self.reserve(&part.name, true, part, job));
        }
        let mut sets: Vec<String> = Vec::new();
        for part in parts {
            let name = assembly_name(job, part);
            let set = set(parts, part);
            let pair = |one: &&Solved| one.part.clevis.is_some() && one.part.copies > 1;
            let is_set = set.len() > 1 || set.iter().any(pair);
            if is_set && !sets.contains(&name) {
                findings.extend(self.reserve(&name, false, part, job));
                sets.push(name);
            }
        }
        findings
    }

    /// Reserves a name, of a part or of a set; a stop if it is in use.
    fn reserve(&mut self, name: &str, is_part: bool, of: &Solved, job: &Job) -> Option<Finding> {
        let before = self.0.insert(name.to_lowercase(), is_part)?;
        let headline = match before && is_part {
            true => format!("two parts are called `{name}`"),
            false => format!("a part and the drawing of an assembly are both called `{name}`"),
        };
        Some(
            Finding::stop("duplicate-name", headline)
                .about(About::part(&of.name))
                .at(job.lines[of.line].here, "")
                .help("give one of them another name; names that differ only in case are the same"),
        )
    }
}

/// The parts of the same set: one line of the job, one hand.
pub(crate) fn set<'a>(all: &'a [Solved], solved: &Solved) -> Vec<&'a Solved> {
    let is_of_hand = |other: &Solved| match (solved.part.hand, other.part.hand) {
        (Some(own), Some(other)) => own == other,
        _ => true,
    };
    all.iter().filter(|other| other.line == solved.line && is_of_hand(other)).collect()
}

/// The name of the set of a part: that of its line, and its hand.
pub(crate) fn set_name(job: &Job, of: &Solved) -> String {
    let hand = of.part.hand.map_or_else(String::new, |hand| format!("-{}", hand.word()));
    format!("{}{hand}", job.lines[of.line].name)
}

/// The name of the drawing of the set of a part.
pub(crate) fn assembly_name(job: &Job, of: &Solved) -> String {
    format!("{}-assembly", set_name(job, of))
}

//! The loads of a job on the parts they act on.

use crate::diag::About;
use crate::diag::Finding;
use crate::job::Job;
use crate::job::Line;
use crate::solve::solved::Solved;
use crate::strength;
use crate::strength::At;
use crate::strength::Fault;
use crate::strength::Load;
use crate::table::Tables;

/// Judges the loads on a line, each on the first of its parts that has the place where it acts.
///
/// # Errors
/// The loads that no part can be judged for.
pub(super) fn judge(
    job: &Job,
    line: &Line,
    solved: &mut [Solved],
    tables: &Tables,
) -> Result<(), Vec<Finding>> {
    let mut findings = Vec::new();
    for load in job.loads.iter().filter(|load| load.part == line.name) {
        let has = |s: &Solved| strength::acts_on(&s.part, &s.folded, &load.at);
        let index = solved.iter().position(has).unwrap_or(0);
        let Some(part) = solved.get_mut(index) else { continue };
        let subject = strength::Subject {
            part: &part.part,
            flat: &part.flat,
            folded: &part.folded,
            material: &job.sheets[part.sheet].material,
            film: job.coating,
            tables,
        };
        match strength::judge(load, &subject) {
            Ok(verdict) => part.verdicts.push((load.here, verdict)),
            Err(fault) => {
                let holes = At::Hole(String::new());
                let of_bolts = matches!(fault, Fault::NoSuchBolts(_));
                let at = if of_bolts { &holes } else { &load.at };
                let names = solved.iter().flat_map(|s| strength::names(&s.part, at));
                findings.push(cannot_judge(load, &fault, &names.collect::<Vec<_>>()));
            }
        }
    }
    if findings.is_empty() { Ok(()) } else { Err(findings) }
}

fn cannot_judge(load: &Load, fault: &Fault, names: &[&str]) -> Finding {
    let at = match fault {
        Fault::HeldByNothing { .. } => load.held_span.unwrap_or(load.here),
        Fault::Nowhere(_) | Fault::NotRound(_) | Fault::NoPin(_) | Fault::PinTooLarge(_) => {
            load.at_span
        }
        Fault::NoSuchBolts(_) | Fault::OneBolt | Fault::NoBolt(_) => {
            load.bolts_span.unwrap_or(load.at_span)
        }
        Fault::Nothing | Fault::Welded(_) | Fault::NoFiller(_) | Fault::NoReach => load.here,
    };
    let headline = format!("load `{}` cannot be judged: {fault}", load.name);
    Finding::stop("load", headline)
        .about(About::part(&load.part))
        .about(About::Load(load.name.clone()))
        .at(at, "")
        .help(fault.help(names))
}

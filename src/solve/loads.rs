//! The loads of a job on the parts they act on.

use crate::diag::About;
use crate::diag::Finding;
use crate::job::Job;
use crate::job::Line;
use crate::solve::link_loads;
use crate::solve::solved::Solved;
use crate::strength;
use crate::strength::At;
use crate::strength::Fault;
use crate::strength::Load;
use crate::strength::Verdict;
use crate::table::Tables;

/// Judges the loads on a line, each on every one of its parts that has the place where it acts: of
/// unlike hands, or plates with the same names, the weakest counts.
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
    let of_links = link_loads::at_ears(job, line, solved);
    let own = job.loads.iter().filter(|load| load.part == line.name);
    for load in own.chain(&of_links) {
        match on_all(job, load, solved, tables) {
            Ok(Some((index, verdict))) => solved[index].verdicts.push((load.here, verdict)),
            Ok(None) => {}
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

/// The verdict on the weakest part, with its index; `None` if there is no part.
///
/// # Errors
/// The reason why a part cannot be judged, unless its named support is on another part.
fn on_all(
    job: &Job,
    load: &Load,
    solved: &[Solved],
    tables: &Tables,
) -> Result<Option<(usize, Verdict)>, Fault> {
    let has = |s: &Solved| strength::acts_on(&s.part, &s.folded, &load.at);
    let mut here: Vec<usize> = (0..solved.len()).filter(|i| has(&solved[*i])).collect();
    if here.is_empty() {
        here.extend(solved.first().map(|_| 0));
    }
    let judge = |i: usize| {
        let part = &solved[i];
        let subject = strength::Subject {
            part: &part.part,
            flat: &part.flat,
            folded: &part.folded,
            material: &job.sheets[part.sheet].material,
            film: job.coating_of(&job.lines[part.line]).film,
            tables,
        };
        (i, strength::judge(load, &subject))
    };
    let (mut judged, mut faults) = (Vec::new(), Vec::new());
    for (i, result) in here.into_iter().map(judge) {
        match result {
            Ok(verdict) => judged.push((i, verdict)),
            Err(fault) => faults.push(fault),
        }
    }
    let is_elsewhere = |f: &Fault| matches!(f, Fault::HeldByNothing { .. } | Fault::NoSuchBolts(_));
    let mut faults = faults.into_iter().filter(|f| judged.is_empty() || !is_elsewhere(f));
    if let Some(fault) = faults.next() {
        return Err(fault);
    }
    let several = judged.len() > 1;
    let mut weakest: Option<(usize, Verdict)> = None;
    for (i, verdict) in judged {
        let less = |known: &Verdict| rank(&verdict) < rank(known) - SAME;
        if weakest.as_ref().is_none_or(|(_, known)| less(known)) {
            weakest = Some((i, verdict));
        }
    }
    if let Some((i, verdict)) = weakest.as_mut().filter(|(i, _)| several && *i > 0) {
        verdict.assumed.push(format!(
            "`{}`, the weakest of the parts that have this hole or edge",
            solved[*i].name
        ));
    }
    Ok(weakest)
}

/// Margins are the same when they differ by less: both hands of a part.
const SAME: f64 = 1e-6;

/// The rank of verdicts: overloaded, not judged, sufficient.
fn rank(verdict: &Verdict) -> f64 {
    match verdict.margin() {
        Some(margin) if margin < 0.0 => margin - 1.0,
        Some(margin) => margin + 1.0,
        None => 0.0,
    }
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
        Fault::Nothing
        | Fault::Welded(_)
        | Fault::NoStrength(_)
        | Fault::NoFiller(_)
        | Fault::NoReach => load.here,
    };
    let headline = format!("load `{}` cannot be judged: {fault}", load.name);
    Finding::stop("load", headline)
        .about(About::part(&load.part))
        .about(About::Load(load.name.clone()))
        .at(at, "")
        .help(fault.help(names))
}

//! Which measurements count: those of parts that are made.

use crate::as_built::least_squares::Observation;
use crate::as_built::model::At;
use crate::as_built::target;
use crate::as_built::target::Target;
use crate::diag::Finding;
use crate::job::BuiltMeasure;
use crate::job::Job;
use crate::job::Line;
use crate::solve::Solved;

/// A measurement of a part that is made.
pub(super) struct Kept<'a> {
    /// As the job has it.
    pub(super) measure: &'a BuiltMeasure,
    /// The part and feature it belongs to.
    pub(super) seen: Observation,
}

/// The measurements that count, and in words those that do not.
type Sorted<'a> = (Vec<Kept<'a>>, Vec<String>);

/// Sorts the measurements of a job: those of a part that is not made are left out, in words.
///
/// # Errors
/// Measurements of parts or features that the job does not have.
pub(super) fn sorted<'a>(job: &'a Job, solved: &[Solved]) -> Result<Sorted<'a>, Vec<Finding>> {
    let (mut kept, mut left_out, mut findings) = (Vec::new(), Vec::new(), Vec::new());
    for measure in &job.as_built {
        if is_left_out(&measure.part.0, job, solved) {
            left_out.push(words(measure));
            continue;
        }
        match target::find(measure, solved) {
            Ok((part, target)) => kept.push(Kept { measure, seen: seen(measure, part, target) }),
            Err(finding) => findings.push(job.units.convert(*finding)),
        }
    }
    if findings.is_empty() { Ok((kept, left_out)) } else { Err(findings) }
}

fn seen(measure: &BuiltMeasure, part: usize, target: Target) -> Observation {
    let BuiltMeasure { piece, coated, deduction, .. } = *measure;
    let at = At { part, piece, target, coated, deduction };
    Observation { at, is: measure.is, uncertainty: measure.uncertainty }
}

/// Whether a part is of a line of which nothing is made, because its quantity is 0 or it is
/// stopped: its name is that of the line, with its suffix.
fn is_left_out(name: &str, job: &Job, solved: &[Solved]) -> bool {
    let is_of = |line: &Line| match name.strip_prefix(&line.name) {
        Some(rest) => rest.is_empty() || rest.starts_with('-'),
        None => false,
    };
    let named = job.lines.iter().enumerate().filter(|(_, line)| is_of(line));
    let line = named.max_by_key(|(_, line)| line.name.len());
    line.is_some_and(|(i, _)| !solved.iter().any(|solved| solved.line == i))
}

fn words(measure: &BuiltMeasure) -> String {
    let BuiltMeasure { part: (part, _), piece, what, of, .. } = measure;
    let piece = if *piece > 1 { format!(", piece {piece}") } else { String::new() };
    let names: Vec<String> = of.iter().map(|(name, _)| format!("`{name}`")).collect();
    let of = if names.is_empty() { String::new() } else { format!(" of {}", names.join(", ")) };
    format!("{part}{piece}, {}{of}", what.word())
}

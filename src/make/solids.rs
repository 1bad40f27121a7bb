//! Every part as its finished solid, for other drawing programs.

use crate::diag::About;
use crate::diag::Finding;
use crate::job::Job;
use crate::report;
use crate::report::SolidRow;
use crate::solid;
use crate::solve;
use crate::solve::Solved;
use crate::write;
use crate::write::NamedFile;
use rayon::prelude::*;

/// The files and the rows, in the order of the parts; a part without a closed skin has neither.
pub(crate) type Solids = Vec<Option<(NamedFile, SolidRow)>>;

/// Makes the solids; a part without one is a finding.
pub(crate) fn solids(job: &Job, solved: &[Solved]) -> (Solids, Vec<Finding>) {
    let made: Vec<_> = solved
        .par_iter()
        .map(|s| one(s, solved).map_err(|f| f.at(job.lines[s.line].here, "")))
        .collect();
    let mut findings = Vec::new();
    let keep = |made: Result<_, Finding>| made.map_err(|finding| findings.push(finding)).ok();
    (made.into_iter().map(keep).collect(), findings)
}

fn one(solved: &Solved, all: &[Solved]) -> Result<(NamedFile, SolidRow), Finding> {
    let solid = solid::solid(&solved.part, &solved.flat, &solved.folded).map_err(|error| {
        let headline = format!("there is no STEP file of `{}`: {error}", solved.name);
        let finding = Finding::caution("no-solid", headline)
            .about(About::part(&solved.name))
            .help("its flat and its drawing are complete; model the solid by hand if it is needed");
        match solve::set(all, solved).len() {
            1 => finding,
            _ => finding.note("nor is there a picture or a drawing of its assembly"),
        }
    })?;
    let name = format!("folded/{}.step", solved.name);
    let bytes = write::step(&solved.name, &solid);
    let row = report::solid(&name, &solid);
    Ok((NamedFile { name, bytes }, row))
}

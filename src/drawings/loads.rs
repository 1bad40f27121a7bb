//! What came of the loads on a part, always with what these numbers are not.

use crate::drawings::notes::sentence;
use crate::job::Job;
use crate::paper::Block;
use crate::report;
use crate::solve::Solved;

/// The loads; nothing where none is named.
pub(super) fn block(job: &Job, solved: &Solved) -> Option<Block> {
    let row = report::loads(job, std::slice::from_ref(solved))?;
    let mut lines = vec![row.caution.to_owned()];
    for (load, (_, verdict)) in row.loads.iter().zip(&solved.verdicts) {
        lines.push(sentence(&load.words));
        lines.extend(load.section_words.iter().map(|words| format!("Governs at {words}.")));
        for assumed in &verdict.assumed {
            lines.push(format!("Assumed: {assumed}."));
        }
        for left in &verdict.not_judged {
            lines.push(format!("Not judged: {left}."));
        }
    }
    Some(Block::Lines { heading: "Loads".into(), lines })
}

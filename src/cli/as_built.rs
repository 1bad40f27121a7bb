//! `as-built`: the measurements of made parts, and their results.

use crate::cli::ending::Ending;
use crate::cli::job_text::read_job;
use crate::cli::terminal;
use anyhow::bail;
use platewright::as_built;
use platewright::history::Past;
use std::path::Path;

/// `platewright as-built`.
pub(super) fn as_built(job: &Path) -> anyhow::Result<Ending> {
    let Some(ready) = read_job(job, &[], Past::default(), None)? else {
        return Ok(Ending::Stopped);
    };
    terminal::findings(&ready.findings, &ready.sources);
    let name = &ready.job.name;
    match &ready.as_built {
        Some(found) => {
            terminal::data(&as_built::text(&ready.job, found));
            Ok(Ending::Done)
        }
        None if ready.job.as_built.is_empty() => bail!(
            "{name} has no [[as_built]]: say what was measured, for example\n\n[[as_built]]\n\
             part = \"angle-pump\"\nwhat = \"outside\"\nof   = \"leg\"\nis   = \"40.3 mm\""
        ),
        None => bail!(
            "{name} makes none of the parts that were measured: give them a `quantity` of 1 or more"
        ),
    }
}

//! `as-built`: what was measured on made parts, and what it says.

use crate::cli::commands;
use crate::cli::ending::Ending;
use crate::cli::terminal;
use anyhow::bail;
use platewright::as_built;
use platewright::history::Past;
use std::path::Path;

/// `platewright as-built`.
pub(super) fn as_built(job: &Path) -> anyhow::Result<Ending> {
    let Some(ready) = commands::read_job(job, &[], Past::default(), None)? else {
        return Ok(Ending::Stopped);
    };
    terminal::findings(&ready.findings, &ready.sources);
    match as_built::found(&ready.job, &ready.solved) {
        Ok(Some(found)) => {
            terminal::data(&as_built::text(&ready.job, &found));
            Ok(Ending::Done)
        }
        Ok(None) => bail!(
            "{} has no [[as_built]]: say what was measured, for example\n\n[[as_built]]\n\
             part = \"angle-pump\"\nwhat = \"outside\"\nof   = \"leg\"\nis   = \"40.3 mm\"",
            ready.job.name
        ),
        Err(findings) => {
            terminal::findings(&findings, &ready.sources);
            Ok(Ending::Stopped)
        }
    }
}

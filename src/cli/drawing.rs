//! `drawing`: one shop drawing quickly, without nesting.

use crate::cli::ending::Ending;
use crate::cli::job_text;
use crate::cli::past;
use crate::cli::shelf;
use crate::cli::terminal;
use anyhow::Context;
use anyhow::bail;
use platewright::drawings;
use platewright::paper;
use platewright::paper::Format;
use platewright::quantity::Units;
use std::path::Path;
use std::path::PathBuf;

/// Draws a part of a job, on the paper size of the job, or on that of its units if it asks for no
/// drawings.
pub(super) fn drawing(
    job: &Path,
    part: &str,
    out: Option<PathBuf>,
    issue: Option<String>,
) -> anyhow::Result<Ending> {
    let past = past::of(job, &past::usual_folder(job))?;
    let Some(ready) = job_text::read_job(job, &[], past, issue)? else {
        return Ok(Ending::Stopped);
    };
    let Some(solved) = ready.solved.iter().find(|solved| solved.name == part) else {
        let names: Vec<&str> = ready.solved.iter().map(|solved| solved.name.as_str()).collect();
        bail!("the job has no part `{part}`; it has {}", names.join(", "));
    };
    let usual = match ready.job.units {
        Units::Millimetre => Format::A4,
        Units::Inch => Format::Letter,
    };
    let format = ready.job.paper.unwrap_or(usual);
    let pages = drawings::shop_drawing(&ready.job, &ready.solved, solved, format);
    let out = out.unwrap_or_else(|| PathBuf::from(format!("{part}.pdf")));
    let is_picture = out.extension().is_some_and(|end| end.eq_ignore_ascii_case("svg"));
    let bytes = match is_picture {
        true => paper::svg(&pages).into_bytes(),
        false => paper::pdf(&pages)?,
    };
    std::fs::write(&out, bytes).with_context(|| format!("cannot write {}", shelf::shown(&out)))?;
    terminal::findings(&ready.findings, &ready.sources);
    terminal::data(&format!("{}\n", shelf::shown(&out)));
    Ok(Ending::Done)
}

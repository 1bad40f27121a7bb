//! What strips mean on the parts of a job.

use crate::cli::job_text::seen_job;
use platewright::as_built;
use platewright::as_built::Effect;
use platewright::num;
use platewright::shop::Calibration;
use std::path::Path;

/// The effect of the row of the strips on each part of a job; `None` if the job is stopped.
pub(super) fn effect(job: &Path, said: &Calibration) -> anyhow::Result<Option<String>> {
    let Some(ready) = seen_job(job)? else { return Ok(None) };
    let effects = as_built::effects(&ready.job, &ready.solved, &said.row);
    if effects.is_empty() {
        let (material, v) = (&said.row.material, num::text(said.row.v, 2));
        let thickness = num::text(said.row.thickness, 3);
        return Ok(Some(format!(
            "no part of {} is bent from {material} of {thickness} mm over a V of {v} mm",
            ready.job.name
        )));
    }
    let mut lines = vec![format!("on the parts of {}, with their present flats:", ready.job.name)];
    lines.extend(effects.iter().map(|effect| line(effect, said.limit())));
    Ok(Some(lines.join("\n")))
}

fn line(effect: &Effect, limit: Option<f64>) -> String {
    let Effect { part, face, bends, by, share } = effect;
    let mm = |x: f64| num::text(x, 2);
    let what = match num::text(by.abs(), 2).as_str() {
        "0" => "comes out as drawn".to_owned(),
        text => format!("comes out {text} mm {}", if *by > 0.0 { "too long" } else { "too short" }),
    };
    let limit = match limit {
        Some(limit) => format!(", ± {} mm by the scatter of the strips", mm(limit * share)),
        None => ", scatter not known".to_owned(),
    };
    let between = if *bends > 1 { format!(", between {bends} bends,") } else { String::new() };
    format!("  {part}: `{face}`{between} {what} without this row{limit}")
}

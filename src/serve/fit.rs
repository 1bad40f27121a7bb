//! A trial fit: what was measured on a part, what comes of it, and what to ask for instead.

use crate::as_built::Measurable;
use crate::as_built::measurable;
use crate::as_built::sentence;
use crate::history::Past;
use crate::serve::changed::Refused;
use crate::serve::found;
use crate::serve::handle;
use crate::serve::handle::NUDGE;
use crate::serve::opened::At;
use crate::serve::opened::Opened;
use crate::serve::reading::Reading;
use crate::serve::seen::Seen;
use crate::serve::seen::SeenJob;
use crate::serve::text;
use crate::serve::text::Entry;
use crate::solve::Solved;
use serde_json::Value;
use serde_json::json;
use std::sync::Arc;

/// Where a part stands among those that are solved.
fn index(job: &SeenJob, name: &str) -> Option<usize> {
    job.ready.solved.iter().position(|solved| solved.name == name)
}

impl Opened {
    /// What can be measured on a part, and what was on any; nothing where there is no such part.
    pub fn measurable(&self, name: &str) -> Option<Value> {
        let At { seen, .. } = self.at();
        let job = seen.job.as_ref().ok()?;
        let all = &job.ready.job;
        let part = index(job, name)?;
        let found = measurable(all, &job.ready.solved, part);
        let row = |of: &Measurable| {
            json!({
                "what": of.what.word(),
                "of": of.of,
                "words": of.words,
                "angle": of.what.is_angle(),
                "drawn": of.show(all, false),
                "drawn_coated": of.show(all, true),
            })
        };
        let line = &all.lines[job.ready.solved[part].line];
        Some(json!({
            "part": name,
            "coated": all.coating_of(line).film > 0.0,
            "all": found.iter().map(row).collect::<Vec<_>>(),
            "measured": noted(&seen, job),
        }))
    }

    /// What comes of a reading; nothing is written.
    pub(super) fn fitted(
        &self,
        seen: &Arc<Seen>,
        past: &Past,
        reading: &Reading,
    ) -> Result<Value, Refused> {
        let only = reading.alone();
        let after = self.look(past, &only.applied(seen)?.text)?;
        let shown = self.desk.shown();
        let Ok(job) = &after.job else {
            let (all, sources) = after.findings();
            let row = |finding| found::row(finding, sources, &shown, Some("is".to_owned()));
            return Ok(json!({ "findings": all.iter().map(row).collect::<Vec<_>>() }));
        };
        let all = &job.ready.job;
        let before: Vec<&str> = match &seen.job {
            Ok(job) => job.ready.findings.iter().map(|f| f.headline.as_str()).collect(),
            Err(_) => Vec::new(),
        };
        let new = job.ready.findings.iter().filter(|f| !before.contains(&f.headline.as_str()));
        let row = |finding| found::row(finding, &job.ready.sources, &shown, Some("is".to_owned()));
        let findings: Vec<_> = new.map(row).collect();
        let own =
            job.ready.as_built.as_ref().and_then(|found| Some((found, found.measures.last()?)));
        let Some((found, measure)) = own else { return Ok(json!({ "findings": findings })) };
        let instead = sentence::instead(all, measure).and(measure.instead);
        let at = At { seen: Arc::clone(seen), version: 0, past: past.clone() };
        let input = instead.and_then(|to| self.input(&at, reading, to - measure.asked));
        Ok(json!({
            "findings": findings,
            "words": sentence::measure(all, measure),
            "off": sentence::off(all, measure.is_angle, measure.is - measure.asked),
            "instead": instead.map(|to| {
                [measure.asked, to].map(|is| sentence::value(all, measure.is_angle, is))
            }),
            "input": input,
            "causes": found.causes.iter().map(|of| sentence::cause(all, of)).collect::<Vec<_>>(),
            "others": found.others.iter().map(|of| json!({
                "part": of.part, "words": sentence::other(all, of),
            })).collect::<Vec<_>>(),
            "fits": found.fits.iter().filter(|of| of.part == reading.part).map(|of| {
                sentence::fit(all, of)
            }).collect::<Vec<_>>(),
            "rows": found.rows.iter().map(|of| json!({
                "words": sentence::row(all, of), "toml": of.row.row(),
                "once_used": sentence::once_used(of),
            })).collect::<Vec<_>>(),
        }))
    }

    /// The input that makes what was measured, with the value that makes it so much more.
    fn input(&self, at: &At, reading: &Reading, by: f64) -> Option<Value> {
        let job = at.seen.job.as_ref().ok()?;
        let part = job.part(&reading.part)?;
        let asked = |job: &SeenJob, of: &Solved| {
            let part = index(job, &of.name)?;
            let all = measurable(&job.ready.job, &job.ready.solved, part);
            all.into_iter()
                .find(|of| reading.is_of(of.what, &of.of))
                .map(|of| of.asked[usize::from(reading.coated)])
        };
        let now = asked(job, part.solved?)?;
        let slope = |of: &handle::Nudged| {
            let then = self.measured(at, &of.text, part.name, &asked)?;
            Some((then - now) / NUDGE)
        };
        let all = handle::nudged(at, job, part).into_iter();
        let all = all.filter_map(|of| slope(&of).map(|slope| (of, slope)));
        // Of several that make it, the one that makes it as it is; of these the one that was given.
        let rank = |(of, slope): &(handle::Nudged, f64)| {
            (((slope.abs() - 1.0).abs() * 100.0).round() as u64, of.given.is_none())
        };
        let (of, slope) = all.filter(|(_, slope)| slope.abs() > LEAST).min_by_key(rank)?;
        // A caliper reads hundredths.
        let value = ((of.value + by / slope) * 100.0).round() / 100.0;
        Some(json!({
            "key": of.key,
            "was": of.given,
            "now": handle::typed(of.value, of.dimension),
            "value": handle::typed(value, of.dimension),
        }))
    }
}

/// An input that changes a size by less than this share of itself does not make it. Our choice.
const LEAST: f64 = 0.2;

/// What was measured already, each with its place in the text.
fn noted(seen: &Seen, job: &SeenJob) -> Vec<Value> {
    let all = (0..text::count(&seen.text, "as_built"))
        .filter_map(|index| Some((index, Entry::new("as_built", index)?)));
    let of = |(index, entry): (usize, Entry)| {
        let get = |key: &str| text::values(&seen.text, entry, key).map(|all| all.join(", "));
        let of = get("of").map_or_else(String::new, |of| format!(" of {of}"));
        let words =
            format!("{}{of}: {}", get("what").unwrap_or_default(), get("is").unwrap_or_default());
        json!({ "index": index, "part": get("part"), "words": words })
    };
    let rows = all.map(of).collect();
    // What is not read is not shown as if it were.
    if job.ready.job.as_built.is_empty() { Vec::new() } else { rows }
}

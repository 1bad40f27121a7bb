//! A trial fit: a measurement of a part, its result, and the value to ask for instead.

use crate::as_built::AsBuilt;
use crate::as_built::Correction;
use crate::as_built::Measurable;
use crate::as_built::measurable;
use crate::as_built::sentence;
use crate::history::Past;
use crate::job::Job;
use crate::num;
use crate::serve::changed::Refused;
use crate::serve::found;
use crate::serve::opened::At;
use crate::serve::opened::Opened;
use crate::serve::reading::Reading;
use crate::serve::snapshot::Snapshot;
use crate::serve::snapshot::SnapshotJob;
use crate::serve::text;
use crate::serve::text::Entry;
use crate::shop::Measured;
use crate::shop::SAME_SHEET;
use crate::shop::USUAL_K;
use crate::solve::Solved;
use serde_json::Value;
use serde_json::json;
use std::collections::BTreeSet;
use std::sync::Arc;

/// The index of a part among those that are solved.
fn index(job: &SnapshotJob, name: &str) -> Option<usize> {
    job.ready.solved.iter().position(|solved| solved.name == name)
}

impl Opened {
    /// The measurable dimensions of a part, and the measurements so far; `None` if there is no such
    /// part.
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

    /// The result of a reading; nothing is written.
    pub(super) fn fitted(
        &self,
        seen: &Arc<Snapshot>,
        past: &Past,
        reading: &Reading,
    ) -> Result<Value, Refused> {
        let only = reading.alone();
        let after = self.solve_text(past, &only.applied(seen)?.text)?;
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
        let correction = instead.and(measure.correction.as_ref());
        let by = correction
            .map_or_else(|| Err(elsewhere(reading)), |of| by_bends(seen, reading, (of, found)));
        Ok(json!({
            "findings": findings,
            "words": sentence::measure(all, measure),
            "off": sentence::off(all, measure.is_angle, measure.is - measure.asked),
            "instead": instead.map(|to| {
                [measure.asked, to].map(|is| sentence::value(all, measure.is_angle, is))
            }),
            "head": match measure.instead {
                Some(_) => "Nothing to change: the deviation is within the scatter of such measurements.",
                None => "No correction is calculated: measure it again first.",
            },
            "next": sentence::value(all, measure.is_angle, measure.next[0]),
            "bends": by.as_ref().ok(),
            "why": by.as_ref().err().filter(|_| instead.is_some()),
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
}

/// The correction if no bend deduction explains the deviation: the nominal dimension stays.
fn elsewhere(reading: &Reading) -> String {
    let where_ = match reading.what() {
        "angle" | "radius" => "Correct it at the brake",
        "hole" => "Correct the kerf where it is cut",
        "thickness" => "Correct the thickness of the sheet, if all pieces have it",
        _ => "Correct it in the shop file, or at the brake",
    };
    format!("{where_}: the drawing keeps its nominal size.")
}

/// Decimals of a K-factor: a thousandth of 4 mm sheet is 0.006 mm of the deduction at 90°, less than a
/// caliper reads. Our choice.
const DECIMALS: usize = 3;

/// The K-factor that corrects a part, with the bends of its recipe that get it; else why that cannot
/// be done here.
fn by_bends(
    seen: &Snapshot,
    reading: &Reading,
    (of, measured): (&Correction, &AsBuilt),
) -> Result<Value, String> {
    let [now, k] = of.k.map(|k| num::text(k, DECIMALS));
    let is_k = k.parse().is_ok_and(|k: f64| k > 0.0 && k <= 0.5);
    if !is_k {
        return Err(format!(
            "That would need a K-factor of {k}, which is not possible: check the flat, the radius and \
             the reading."
        ));
    }
    let found = seen.job.as_ref().ok().and_then(|job| {
        let part = job.part(&reading.part)?;
        let line = &job.ready.job.lines[part.line];
        let form = job.forms.get(&line.recipe.0)?;
        Some((&job.ready.job, job.entries[part.line]?, part.solved?, form))
    });
    let (all, entry, solved, form) = found.ok_or("This part is changed in the text.")?;
    let bends = || of.bends.iter().map(|bend| &solved.part.bends[*bend]);
    if of.by_row {
        return Err(of_a_row(seen, all, solved, measured));
    }
    let names: BTreeSet<&str> = bends().map(|bend| form.recipe.bend_set(&bend.name)).collect();
    if names.iter().any(|name| !form.recipe.bends.contains_key(*name)) {
        return Err("Its bends are changed in the text.".to_owned());
    }
    let there =
        |name: &str| (name.to_owned(), text::value(&seen.text, entry, &format!("bends.{name}")));
    let [low, high] = USUAL_K;
    let is_usual = (low..=high).contains(&of.k[1]);
    Ok(json!({
        "bends": names.iter().map(|name| there(name)).collect::<Vec<_>>(),
        "deduction": of.deduction.map(|mm| sentence::value(all, false, mm)),
        "k": [now, k],
        "caution": (!is_usual).then(|| format!(
            "A K-factor outside {low} to {high} is unusual: bend a strip before using it."
        )),
    }))
}

/// What to do about bends that are calculated from a measured row of the shop file: which row, and whether
/// the measurements give another one for it.
fn of_a_row(seen: &Snapshot, all: &Job, solved: &Solved, measured: &AsBuilt) -> String {
    let sheet = &all.sheets[solved.sheet];
    let is_its = |row: &&Measured| {
        row.material == sheet.material.name()
            && (row.thickness - sheet.thickness).abs() <= SAME_SHEET * sheet.thickness
    };
    let replaced = measured.rows.iter().filter_map(|row| row.replaces.as_ref());
    let known = all.shop.iter().flat_map(|shop| &shop.measured);
    let replaced: Vec<&Measured> = replaced.filter(is_its).collect();
    let rows = if replaced.is_empty() { known.filter(is_its).collect() } else { replaced.clone() };
    let size = |mm: f64| sentence::value(all, false, mm);
    let named: Vec<String> = rows
        .iter()
        .map(|row| {
            let (thick, v) = (size(row.thickness), size(row.v));
            format!("{}, {thick} over a V of {v}, deduction {}", row.material, size(row.deduction))
        })
        .collect();
    let file = seen.shop().unwrap_or_else(|| "the shop file".to_owned());
    let row = format!("its bends are calculated from the row of {file} for {}", named.join(" or "));
    if replaced.is_empty() {
        format!(
            "Record the reading and measure more pieces: {row}, and these measurements do not yet \
             give another one."
        )
    } else {
        format!("In {file}, replace the row by the one below: {row}.")
    }
}

/// The measurements already recorded, each with its place in the text.
fn noted(seen: &Snapshot, job: &SnapshotJob) -> Vec<Value> {
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
    // Measurements that were not read are not shown.
    if job.ready.job.as_built.is_empty() { Vec::new() } else { rows }
}

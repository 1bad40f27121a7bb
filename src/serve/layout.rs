//! The parts on their sheets: the first layout after each change, a better one on request, and the
//! files of the current one.

use crate::diag::Finding;
use crate::diag::Weight;
use crate::history::State;
use crate::make;
use crate::make::Nested;
use crate::nest::Progress;
use crate::place::Search;
use crate::report::Report;
use crate::report_page::area_data;
use crate::report_page::outline_data;
use crate::serve::current_layout::Exact;
use crate::serve::current_layout::is_better;
use crate::serve::current_layout::lock;
use crate::serve::form::Forms;
use crate::serve::opened::At;
use crate::serve::opened::Opened;
use crate::serve::snapshot::Snapshot;
use crate::serve::snapshot::SnapshotJob;
use crate::solve::Depth;
use crate::solve::SolveCache;
use crate::workshop::Ready;
use crate::write::NamedFile;
use serde_json::Value;
use serde_json::json;
use std::collections::BTreeSet;
use std::ops::ControlFlow;
use std::sync::Arc;
use std::sync::Mutex;
use std::sync::atomic::Ordering;
use std::thread;

/// After these numbers of stages of a search its layout is shown while it continues: the same
/// search from the start, with the same result. Our choice: early, when it gains the most, and at
/// little cost.
const LOOKS: [u64; 2] = [2, 12];

/// The file to open first of what is written.
const REPORT: &str = "report.html";

/// The first layout of a job, or as the page shows it why there is none.
fn first<'s>(
    opened: &Opened,
    seen: &'s Snapshot,
    version: u64,
) -> Result<(&'s SnapshotJob, Nested), Value> {
    let job = laid_out(seen).ok_or_else(|| none(seen))?;
    let watch = |_: usize, _: &Progress| match opened.version() == version {
        true => ControlFlow::Continue(()),
        false => ControlFlow::Break(()),
    };
    let search = Search { units: vec![0], watch: &watch, ..Search::usual() };
    let nested = job.ready.nest(&search).map_err(|stopped| refused(&stopped.findings))?;
    Ok((job, nested))
}

/// A job that can be laid out.
fn laid_out(seen: &Snapshot) -> Option<&SnapshotJob> {
    seen.job.as_ref().ok().filter(|job| !job.all_stop && !job.ready.solved.is_empty())
}

/// Why there is no layout: the parts that are stopped, or what stops the job as a whole.
fn none(seen: &Snapshot) -> Value {
    let (findings, _) = seen.findings();
    let stops: Vec<&Finding> = findings.iter().filter(|of| of.weight == Weight::Stop).collect();
    let parts: BTreeSet<&str> = stops.iter().flat_map(|of| of.parts()).collect();
    // One about no part, or about several, stops the whole job.
    let stops_all = |of: &&&Finding| of.parts().count() != 1;
    let why = match stops.iter().find(stops_all) {
        Some(of) => format!("No layout is possible: {}.", of.headline),
        None if parts.is_empty() => "No layout is possible: there is no part to cut.".to_owned(),
        None => "No layout is possible: every part is stopped.".to_owned(),
    };
    json!({ "how": "none", "why": why, "stopped": parts })
}

fn refused(findings: &[Finding]) -> Value {
    // What stops the layout is the last: stops of parts that are left out come before it.
    let last = findings.iter().rfind(|f| f.weight == Weight::Stop);
    let why = last.map(|of| format!("No layout is possible: {}.", of.headline));
    json!({ "how": "none", "why": why })
}

impl Opened {
    /// The current layout; if there is none, the first layout of the present job is begun.
    pub fn sheets(self: &Arc<Self>) -> Value {
        let At { seen, version, .. } = self.at();
        if let Some(shown) = self.layouts.shown(version) {
            return shown;
        }
        // Its flat may still change while its bends are checked.
        let is_whole = seen.job.as_ref().map_or(true, |job| job.checking(None).is_none());
        if is_whole && self.layouts.begins(version) {
            let opened = Arc::clone(self);
            thread::spawn(move || {
                let shown = match opened.layouts.run(|| first(&opened, &seen, version)) {
                    Err(why) => why,
                    Ok((job, mut nested)) => {
                        // The layout of the job as it was opened is worked out once.
                        let is_it =
                            Arc::ptr_eq(&seen, &opened.opened_as) && opened.version() == version;
                        // Outside the threads for layouts: one that waits for it would be waited for.
                        let was = opened.as_opened(is_it.then_some(&mut nested));
                        let work = || shown(&job.ready, &mut nested, ("first", was));
                        opened.layouts.run(work)
                    }
                };
                opened.replace_layout(version, shown, None);
            });
        }
        json!({ "how": "coming", "version": version })
    }

    /// The state of the job as it was opened, in its first layout; `None` where it could not be laid out,
    /// or something was made before. A layout that is known is not worked out again.
    fn as_opened(&self, known: Option<&mut Nested>) -> Option<&State> {
        let solve = || {
            let job = laid_out(&self.opened_as)?;
            let search = Search { units: vec![0], ..Search::usual() };
            let mut own = match known {
                Some(_) => None,
                None => Some(job.ready.nest(&search).ok()?),
            };
            let nested = known.or(own.as_mut())?;
            let ready = &job.ready;
            let of = (&ready.job, &ready.sources);
            Some(make::looked_at(of, ready.parts(), nested, None).1)
        };
        if self.at().past.made.is_some() {
            return None;
        }
        self.first_state.get_or_init(solve).as_ref()
    }

    fn replace_layout(&self, version: u64, shown: Value, exact: Option<Exact>) {
        // A later change has its own layout.
        if self.version() == version && self.layouts.replace(version, shown, exact) {
            self.say(&json!({ "kind": "sheets", "version": version }));
        }
    }

    /// Searches for a better layout until the usual work is done, or it is stopped.
    ///
    /// # Errors
    /// When the job cannot be laid out.
    pub fn search(self: &Arc<Self>) -> Result<(), String> {
        let _one = lock(&self.layouts.searching);
        let at = self.at();
        self.layouts.stop.store(false, Ordering::Release);
        if self.layouts.is_exact(at.version) {
            return Ok(());
        }
        // As `make` does it: without kept results.
        let (kept, forms, opened) = (SolveCache::default(), Forms::default(), self.as_opened(None));
        let seen = Snapshot::of(
            self.desk.as_ref(),
            ((&kept, Depth::Whole), &forms),
            &at.past,
            &at.seen.text,
        )?;
        let why = || "no layout is possible while the whole job is stopped".to_owned();
        if laid_out(&seen).is_none() {
            return Err(why());
        }
        let ready = seen.job.map_err(|_| why())?.ready;
        let halt = || self.version() != at.version || self.layouts.stop.load(Ordering::Acquire);
        let told = Mutex::new(vec![None; ready.job.sheets.len()]);
        let names: Vec<&str> = ready.job.sheets.iter().map(|s| s.name.as_str()).collect();
        let watch = |kind: usize, progress: &Progress| {
            self.tell(&told, (kind, names[kind]), progress);
            // A first layout is always waited for.
            match halt() && progress.sheets > 0 {
                true => ControlFlow::Break(()),
                false => ControlFlow::Continue(()),
            }
        };
        let mut on_the_way = None;
        for stages in LOOKS {
            let search = Search { watch: &watch, stop: vec![stages], ..Search::usual() };
            let found = if halt() { None } else { self.layouts.run(|| ready.nest(&search)).ok() };
            let Some(mut nested) = found else { break };
            let shown = self.layouts.run(|| shown(&ready, &mut nested, ("searching", opened)));
            if self.version() == at.version && self.layouts.improve(at.version, shown.clone()) {
                self.say(&json!({ "kind": "sheets", "version": at.version }));
            }
            on_the_way = Some((shown, nested));
        }
        let search = Search { watch: &watch, ..Search::usual() };
        let last = |stopped: crate::workshop::Stopped| {
            let last = stopped.findings.into_iter().rfind(|of| of.weight == Weight::Stop);
            last.map_or_else(why, |finding| finding.headline)
        };
        let mut nested = self.layouts.run(|| ready.nest(&search)).map_err(last)?;
        let how = if halt() { "stopped" } else { "done" };
        let mut shown = self.layouts.run(|| shown(&ready, &mut nested, (how, opened)));
        // The last search starts again: stopped early, it has less than the layouts seen before it.
        if let Some((before, found)) =
            on_the_way.filter(|(before, _)| halt() && is_better(before, &shown))
        {
            (shown, nested) = (before, found);
            shown["how"] = json!(how);
        }
        self.replace_layout(at.version, shown, Some(Exact { ready, nested }));
        Ok(())
    }

    fn tell(
        &self,
        told: &Mutex<Vec<Option<Progress>>>,
        (kind, name): (usize, &str),
        progress: &Progress,
    ) {
        let is_news = {
            let mut told = lock(told);
            let news = told[kind]
                .is_none_or(|last| (last.sheets, last.usage) != (progress.sheets, progress.usage));
            if news {
                told[kind] = Some(*progress);
            }
            news
        };
        if is_news && progress.sheets > 0 {
            self.say(&json!({
                "kind": "search", "sheet": name, "sheets": progress.sheets,
                "percent": 100.0 * progress.usage, "max": 100.0 * progress.max,
            }));
        }
    }

    /// A file of what was written here last; nothing of any but a package of the order and the report.
    pub fn written(&self, name: &str) -> Option<Vec<u8>> {
        let all = lock(&self.written);
        all.iter().find(|file| file.name == name).map(|file| file.bytes.clone())
    }

    /// Ends the search with its best result.
    pub fn stop(&self) {
        self.layouts.stop.store(true, Ordering::Release);
    }

    /// Writes everything, as `make` does; gives the folder and the names of the files.
    ///
    /// # Errors
    /// When the job is stopped, or the files cannot be written.
    pub fn make(self: &Arc<Self>) -> Result<(String, Vec<String>), String> {
        if self.read_only {
            return Err("this page is read-only: nothing was written".to_owned());
        }
        self.outside(false)?;
        let version = self.version();
        self.search()?;
        let exact = self.layouts.take(version);
        let changed = || "the job was changed meanwhile: write it again".to_owned();
        let Exact { ready, nested } = exact.ok_or_else(changed)?;
        let made = self.layouts.run(|| ready.files(nested)).map_err(|why| why.to_string())?;
        let folder = self.desk.write(&made.files)?;
        let is_sent = |file: &&NamedFile| file.name.starts_with("order/") || file.name == REPORT;
        *lock(&self.written) = made.files.iter().filter(is_sent).cloned().collect();
        self.made()?;
        Ok((folder, made.files.into_iter().map(|file| file.name).collect()))
    }
}

/// A layout as the page shows it, with what differs from the last output; while there is none, from the
/// state that was opened.
fn shown(ready: &Ready, nested: &mut Nested, (how, opened): (&str, Option<&State>)) -> Value {
    let job = &ready.job;
    let (report, _) = make::looked_at((job, &ready.sources), ready.parts(), nested, opened);
    let rows = report.sheets.iter().zip(nested.sheets());
    let sheet = |(row, nested): (&crate::report::SheetRow, &crate::place::NestedSheet)| {
        let stock = &nested.stock(job).sheet;
        let strip = |(bounds, _): &(crate::geom::Bounds, f64)| {
            [bounds.min.x, -bounds.max.y, bounds.width(), bounds.height()]
        };
        let mut value = json!(row);
        value["name"] = json!(nested.name);
        value["size"] = json!(job.units.both(row.size_mm));
        value["cut"] = json!(job.units.long(row.cut_length_mm));
        value["remnant"] = json!(row.remnant_words(job.units));
        value["price"] = json!(row.cost.map(|cost| job.money(cost)));
        value["kind"] = json!(job.sheets[nested.sheet].name);
        value["kind_index"] = json!(nested.sheet);
        // Where it is in the stock of the job, and how many there are: one fewer once it is cut.
        let is_in_job = nested.stock(job).book.is_none();
        value["stock_index"] = json!(is_in_job.then_some(nested.stock));
        value["stock_count"] = json!(stock.count.filter(|_| is_in_job));
        value["outline"] = json!(area_data(&stock.region));
        value["keep_out"] =
            json!(nested.keep_outs(job).map(|(of, _)| outline_data(of)).collect::<Vec<_>>());
        value["keep_out_names"] =
            json!(nested.keep_outs(job).map(|(_, name)| name).collect::<Vec<_>>());
        value["clamps"] = json!(nested.clamped(job).iter().map(strip).collect::<Vec<_>>());
        value["margins"] =
            json!(nested.margin_lines(job).iter().map(outline_data).collect::<Vec<_>>());
        value
    };
    json!({
        "how": how,
        "sheets": rows.map(sheet).collect::<Vec<_>>(),
        "nests": report.nests,
        "totals": report.totals,
        "price": report.price_of_sheets(job),
        "not_placed": report.not_placed,
        "stopped": report.stopped,
        "changes": changes(&report, how),
    })
}

/// The differences from the last output, or from the file as it was opened: parts that differ, and
/// those that belong to none.
fn changes(report: &Report, how: &str) -> Option<Value> {
    let changes = report.changes.as_ref()?;
    let is_opened = changes.compared_with == make::AS_OPENED;
    let parts = changes.parts.iter().filter(|part| !part.is_plain());
    // Of the file as opened only a first layout is known: a better one is no change of the job.
    let all = !is_opened || how == "first";
    let like = changes.job.iter().filter(|of| all || !["sheets", "price"].contains(&of.kind));
    Some(json!({
        "opened": is_opened,
        "words": changes.words,
        "parts": parts.collect::<Vec<_>>(),
        "job": like.collect::<Vec<_>>(),
    }))
}

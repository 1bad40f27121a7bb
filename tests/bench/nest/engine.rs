//! One run of our own engine: the layout, when it got better, and what it cost.

use crate::instance::Instance;
use platewright::nest::Layout;
use platewright::nest::Progress;
use platewright::nest::Rules;
use platewright::nest::Sheet;
use platewright::nest::USUAL_UNITS;
use platewright::nest::audit;
use platewright::nest::nest;
use serde_json::Value;
use serde_json::json;
use std::fs;
use std::ops::ControlFlow;
use std::sync::Mutex;
use std::time::Instant;

/// How hard to try.
#[derive(Clone, Copy)]
pub(crate) struct Effort {
    pub(crate) seconds: u64,
    pub(crate) seed: u64,
    pub(crate) threads: usize,
    /// Work to do; else what usually takes as long.
    pub(crate) units: Option<u64>,
}

/// For which [`USUAL_UNITS`] are meant.
const USUAL_SECONDS: u64 = 10;

/// A layout that passed the audit.
pub(crate) struct Answer {
    layout: Layout,
    /// Seconds, and the length used after them, each shorter than the one before.
    pub(crate) trace: Vec<(f64, f64)>,
    pub(crate) seconds: f64,
    /// Most memory held while it ran, in MB; `None` where the system does not report it.
    pub(crate) memory: Option<f64>,
}

/// Nests the set.
///
/// # Panics
/// When the audit refuses the layout, or a part could not be placed.
pub(crate) fn run(instance: &Instance, effort: Effort) -> Answer {
    let pool = rayon::ThreadPoolBuilder::new().num_threads(effort.threads).build().unwrap();
    let stock = [instance.stock()];
    let gap = instance.separation * instance.scale;
    let units = effort.units.unwrap_or(USUAL_UNITS / USUAL_SECONDS * effort.seconds);
    let rules = Rules { gap, units, seed: effort.seed, ..Rules::default() };
    let trace = Mutex::new(Vec::new());
    forget_peak();
    let start = Instant::now();
    let watch = |progress: &Progress| {
        let seconds = start.elapsed().as_secs_f64();
        if progress.sheets == 1 {
            let length = instance.area() / (progress.usage * instance.run_height);
            trace.lock().unwrap().push((seconds, length));
        }
        if seconds < effort.seconds as f64 {
            ControlFlow::Continue(())
        } else {
            ControlFlow::Break(())
        }
    };
    let layout = pool.install(|| nest(&instance.items, &stock, rules, &watch));
    let seconds = start.elapsed().as_secs_f64();
    let memory = peak();
    audit(&instance.items, &stock, rules, &layout).unwrap();
    assert_eq!(layout.unplaced, [], "{}: parts are left over", instance.name);
    let mut answer = Answer { layout, trace: Vec::new(), seconds, memory };
    let mut min = f64::INFINITY;
    let mut reports = trace.into_inner().unwrap();
    reports.push((seconds, answer.length(instance)));
    for (at, length) in reports {
        // Progress is reported more often than there is any.
        if length < min * (1.0 - 1e-9) {
            min = length;
            answer.trace.push((at, length));
        }
    }
    answer
}

impl Answer {
    /// Sheets used.
    pub(crate) fn sheets(&self) -> usize {
        self.layout.sheets.len()
    }

    /// How far the last sheet is used, in the set's own units.
    pub(crate) fn length(&self, instance: &Instance) -> f64 {
        let last = self.layout.sheets.last();
        let ends = last
            .into_iter()
            .flat_map(|s| &s.placed)
            .map(|p| instance.items[p.item].region.outer().moved(&p.place).bounds().max.x);
        ends.fold(0.0, f64::max) / instance.scale
    }

    /// Length used after so many seconds; `None` before the first answer.
    pub(crate) fn after(&self, seconds: f64) -> Option<f64> {
        self.trace.iter().rev().find(|(at, _)| *at <= seconds).map(|(_, length)| *length)
    }

    /// The layout for other tools: each part rotated by `turn` degrees about the origin of its
    /// outline, then shifted by `x` and `y`, in the set's own units.
    pub(crate) fn reports(&self, instance: &Instance) -> Value {
        let placed = |sheet: &Sheet| {
            let placed = sheet.placed.iter().map(|p| {
                let (rotation, shift) =
                    (p.place.rotation.degrees(), p.place.shift / instance.scale);
                json!({ "id": instance.ids[p.item], "turn": rotation, "x": shift.x, "y": shift.y })
            });
            placed.collect::<Value>()
        };
        let (name, gap) = (&instance.name, instance.separation);
        let mut reports = json!({ "name": name, "gap": gap, "margin": 0.0 });
        let height = instance.run_height;
        if let (None, [strip]) = (instance.length, &self.layout.sheets[..]) {
            reports["height"] = json!(height);
            reports["strip_length"] = json!(self.length(instance));
            reports["placed"] = placed(strip);
        } else {
            let length = instance.stock().region.bounds().width() / instance.scale;
            let sheet = |s| json!({ "length": length, "height": height, "placed": placed(s) });
            reports["sheets"] = self.layout.sheets.iter().map(sheet).collect();
        }
        reports
    }
}

/// Starts the count of [`peak`] anew.
fn forget_peak() {
    // Where the system has no such file there is no peak to forget.
    let _ = fs::write("/proc/self/clear_refs", "5");
}

fn peak() -> Option<f64> {
    let status = fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find(|line| line.starts_with("VmHWM:"))?;
    let kilobytes: f64 = line.split_whitespace().nth(1)?.parse().ok()?;
    Some(kilobytes / 1024.0)
}

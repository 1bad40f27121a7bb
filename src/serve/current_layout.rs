//! The current layout.

use crate::make::Nested;
use crate::workshop::Ready;
use rayon::ThreadPool;
use rayon::ThreadPoolBuilder;
use serde_json::Value;
use serde_json::json;
use std::collections::BTreeSet;
use std::sync::Mutex;
use std::sync::MutexGuard;
use std::sync::OnceLock;
use std::sync::PoisonError;
use std::sync::atomic::AtomicBool;

/// The value behind a lock, even if a thread panicked while holding it.
pub(super) fn lock<T>(of: &Mutex<T>) -> MutexGuard<'_, T> {
    of.lock().unwrap_or_else(PoisonError::into_inner)
}

/// The layouts of a job.
#[derive(Default)]
pub(super) struct Layouts {
    stands: Mutex<CurrentLayout>,
    /// Whether the search is to end with its best result.
    pub(super) stop: AtomicBool,
    /// Packages of the order that are kept here, by name.
    kept: Mutex<BTreeSet<String>>,
    /// Locked by the search: only one runs at a time.
    pub(super) searching: Mutex<()>,
    /// Solving and drawing meanwhile do not wait for layouts.
    threads: WorkThreads,
}

/// Threads for one kind of work alone.
#[derive(Default)]
pub(super) struct WorkThreads(OnceLock<Option<ThreadPool>>);

impl WorkThreads {
    /// Does something on them; here where there are none.
    pub(super) fn run<T: Send>(&self, work: impl FnOnce() -> T + Send) -> T {
        match self.0.get_or_init(|| ThreadPoolBuilder::new().build().ok()) {
            Some(threads) => threads.install(work),
            None => work(),
        }
    }
}

/// The current layout.
#[derive(Default)]
struct CurrentLayout {
    /// Of which version of the job it is, and of which one was begun last.
    version: u64,
    begun: u64,
    /// As the page shows it.
    shown: Value,
    /// The data for making files; `None` for a first layout.
    exact: Option<Exact>,
}

/// A layout that was searched for on a job solved from the start, as `make` does it.
pub(super) struct Exact {
    pub(super) ready: Ready,
    pub(super) nested: Nested,
}

/// Whether a layout takes fewer sheets than another, or as many and less of them.
pub(super) fn is_better(one: &Value, other: &Value) -> bool {
    let used = |of: &Value| -> f64 {
        let sheets = of["sheets"].as_array().into_iter().flatten();
        sheets.filter_map(|sheet| sheet["used_length_mm"].as_f64()).sum()
    };
    let count = |of: &Value| of["totals"]["sheets"].as_u64().unwrap_or(u64::MAX);
    let (new, old) = (count(one), count(other));
    new < old || (new == old && used(one) < used(other))
}

impl Layouts {
    /// Does something on the threads for layouts.
    pub(super) fn run<T: Send>(&self, work: impl FnOnce() -> T + Send) -> T {
        self.threads.run(work)
    }

    /// The packages of the order that are kept here.
    pub(super) fn kept(&self) -> BTreeSet<String> {
        lock(&self.kept).clone()
    }

    /// Keeps a package, or sends it.
    pub(super) fn keep(&self, name: &str, keep: bool) {
        let mut kept = lock(&self.kept);
        match keep {
            true => kept.insert(name.to_owned()),
            false => kept.remove(name),
        };
    }

    /// The layout of a version as the page shows it.
    pub(super) fn shown(&self, version: u64) -> Option<Value> {
        let stands = lock(&self.stands);
        let mut shown = (stands.version == version).then(|| stands.shown.clone())?;
        shown["version"] = json!(version);
        Some(shown)
    }

    /// Notes that the first layout of a version is begun; no where it was already.
    pub(super) fn begins(&self, version: u64) -> bool {
        let mut stands = lock(&self.stands);
        let is_new = stands.begun != version;
        stands.begun = version;
        is_new
    }

    /// Replaces the current layout; `false` if that is better.
    pub(super) fn replace(&self, version: u64, shown: Value, exact: Option<Exact>) -> bool {
        let mut stands = lock(&self.stands);
        let is_better = stands.version < version || exact.is_some();
        if is_better {
            *stands = CurrentLayout { version, begun: version, shown, exact };
        }
        is_better
    }

    /// Replaces a first layout of the same version by the result of a search; `false` if that is as
    /// good.
    pub(super) fn improve(&self, version: u64, shown: Value) -> bool {
        let mut stands = lock(&self.stands);
        let is_better = is_better(&shown, &stands.shown);
        let is_open = stands.version == version && stands.exact.is_none();
        if is_open && is_better {
            stands.shown = shown;
        }
        is_open && is_better
    }

    /// Whether files can be made of the layout of a version.
    pub(super) fn is_exact(&self, version: u64) -> bool {
        let stands = lock(&self.stands);
        stands.version == version && stands.exact.is_some()
    }

    /// What files of a version are made of.
    pub(super) fn take(&self, version: u64) -> Option<Exact> {
        let mut stands = lock(&self.stands);
        if stands.version == version { stands.exact.take() } else { None }
    }
}

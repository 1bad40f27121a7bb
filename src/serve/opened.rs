//! A job that is open on the page: its present state, and the changes made.

use crate::diag::Finding;
use crate::history::Past;
use crate::history::State;
use crate::serve::causes::Causes;
use crate::serve::changed::Changed;
use crate::serve::changed::Refused;
use crate::serve::current_layout::Layouts;
use crate::serve::current_layout::WorkThreads;
use crate::serve::current_layout::lock;
use crate::serve::desk::Desk;
use crate::serve::edit::Edit;
use crate::serve::entries;
use crate::serve::entries::Key;
use crate::serve::entry;
use crate::serve::form::Forms;
use crate::serve::list;
use crate::serve::listeners::Listeners;
use crate::serve::part;
use crate::serve::snapshot::Snapshot;
use crate::serve::text_changes;
use crate::serve::undo;
use crate::serve::undo::Step;
use crate::serve::undo::Steps;
use crate::serve::unreadable::unreadable;
use crate::serve::values::Of;
use crate::solve::Depth;
use crate::solve::SolveCache;
use crate::write::NamedFile;
use serde_json::Value;
use serde_json::json;
use std::sync::Arc;
use std::sync::Mutex;
use std::sync::OnceLock;

/// A job that is open.
pub struct Opened {
    pub(super) desk: Box<dyn Desk>,
    pub(super) read_only: bool,
    pub(super) forms: Forms,
    pub(super) layouts: Layouts,
    pub(super) kept: SolveCache,
    pub(super) causes: Causes,
    pub(super) now: Mutex<Now>,
    /// The job as it was opened, and the state of its first layout once that is asked for.
    pub(super) opened_as: Arc<Snapshot>,
    pub(super) first_state: OnceLock<Option<State>>,
    /// Locked while the job is changed, from outside or here.
    pub(super) changing: Mutex<()>,
    /// Locked while an edit is checked as a whole, on threads for that alone.
    pub(super) finishing: Mutex<()>,
    pub(super) checks: WorkThreads,
    /// For values that are only tried: no other work waits for it.
    pub(super) trials: WorkThreads,
    pub(super) listeners: Listeners,
    /// The file beside the job that was written here last, with its text, until it is heard of.
    pub(super) own: Mutex<Option<(String, String)>>,
    /// Of what was written last: the packages of the order and the report.
    pub(super) written: Mutex<Vec<NamedFile>>,
}

pub(super) struct Now {
    seen: Arc<Snapshot>,
    version: u64,
    past: Past,
    pub(super) steps: Steps,
}

/// Where on the page a change is seen.
#[derive(Clone, Debug, Default)]
pub struct Whereabouts {
    /// The part it concerns.
    pub part: Option<String>,
    /// The kind and the place of the link, tube or load it is about: `link/0`.
    pub entry: Option<String>,
    /// The edit made.
    pub name: String,
}

/// The state of the job at a moment.
#[derive(Clone)]
pub(super) struct At {
    pub(super) seen: Arc<Snapshot>,
    pub(super) version: u64,
    pub(super) past: Past,
}

impl Opened {
    /// Opens a job.
    ///
    /// # Errors
    /// When its file, its records, or its tables cannot be read. An error in the job is none here:
    /// it can be corrected on the page.
    pub fn open(desk: Box<dyn Desk>, read_only: bool) -> Result<Arc<Self>, String> {
        let (kept, forms) = (SolveCache::default(), Forms::default());
        let (text, past) = (desk.text()?, desk.past()?);
        let seen =
            Arc::new(Snapshot::of(desk.as_ref(), ((&kept, Depth::Whole), &forms), &past, &text)?);
        let opened_as = Arc::clone(&seen);
        let now = Mutex::new(Now { seen, version: 1, past, steps: Steps::default() });
        Ok(Arc::new(Self {
            desk,
            read_only,
            forms,
            layouts: Layouts::default(),
            kept,
            causes: Causes::default(),
            now,
            opened_as,
            first_state: OnceLock::new(),
            changing: Mutex::default(),
            finishing: Mutex::default(),
            checks: WorkThreads::default(),
            trials: WorkThreads::default(),
            listeners: Listeners::default(),
            own: Mutex::default(),
            written: Mutex::default(),
        }))
    }

    pub(super) fn version(&self) -> u64 {
        lock(&self.now).version
    }

    /// How many lines have been solved, not counting those that were kept.
    pub fn solved(&self) -> usize {
        self.kept.solved()
    }

    pub(super) fn at(&self) -> At {
        let now = lock(&self.now);
        At { seen: Arc::clone(&now.seen), version: now.version, past: now.past.clone() }
    }

    /// The job as a list of its parts.
    pub fn list(&self) -> Value {
        let now = lock(&self.now);
        let (seen, version) = (Arc::clone(&now.seen), now.version);
        let made = now.past.made.is_some();
        let named = |step: Option<&Step>| step.map(|step| json!([step.name, step.part]));
        let steps = json!({
            "undo": named(now.steps.done.last()), "redo": named(now.steps.undone.last())
        });
        drop(now);
        let mut list = list::list(&seen, &self.desk.name(), &self.desk.shown());
        list["version"] = json!(version);
        list["steps"] = steps;
        list["read_only"] = json!(self.read_only);
        list["made"] = json!(made);
        list["written"] = json!(self.desk.is_written());
        list
    }

    /// A part by name, its flat drawn in an area of some px; `None` if there is no such part.
    pub fn part(&self, name: &str, room: [f64; 2]) -> Option<Value> {
        let caused_by = |finding: &Finding| self.caused(name, finding);
        part::part(&self.at().seen, &self.desk.shown(), (name, &caused_by), room)
    }

    /// The links, tubes and loads, each with its findings.
    pub fn entries(&self) -> Value {
        entry::list(&self.at().seen, &self.desk.shown())
    }

    /// One of them by the key of its list and its place there, drawn in an area of some px; `None`
    /// if there is none.
    pub fn entry(&self, kind: &str, index: usize, room: [f64; 2]) -> Option<Value> {
        self.entry_of(&self.at().seen, &Of { kind, index }, room)
    }

    pub(super) fn entry_of(&self, seen: &Snapshot, of: &Of, room: [f64; 2]) -> Option<Value> {
        let mut shown = None;
        let entered = self.desk.in_workshop(&mut |workshop| {
            let tables = workshop.shelf().tables;
            let options = |key: &Key, units| entries::options(key, tables, units);
            shown = entry::entry(seen, &self.desk.shown(), of, room, &options);
        });
        entered.ok().and(shown)
    }

    /// A part folded up to a step of its sequence; `None` if there is no such part, or it cannot be
    /// developed.
    pub fn folded(&self, name: &str, done: f64) -> Option<Result<Value, String>> {
        part::folded(&self.at().seen, name, done)
    }

    /// The text, and the version it is of.
    pub fn text(&self) -> (String, u64) {
        let at = self.at();
        (at.seen.text.clone(), at.version)
    }

    /// Makes an edit: the new text of the file is solved to the depth required; the rest follows,
    /// and every page is notified. Returns the part or entry it concerns.
    ///
    /// # Errors
    /// When the edit cannot be made or written; the file is unchanged.
    pub fn edit(self: &Arc<Self>, edit: &Edit, depth: Depth) -> Result<Whereabouts, Refused> {
        let _alone = lock(&self.changing);
        self.take_up()?;
        if let Edit::Shop(of) = edit
            && of.shop
        {
            return self.edit_shop(of);
        }
        let at = self.at();
        let Changed { text, name, part } = self.applied(edit, &at)?;
        let At { seen, past, .. } = at;
        let entry = match edit {
            Edit::Entry(of) => Some(of.place(&seen)),
            Edit::Shop(_) => Some(SHOP.to_owned()),
            Edit::Machine(_) => Some(MACHINE.to_owned()),
            Edit::Measured(_) => part.as_ref().map(|part| format!("fit/{part}")),
            _ => None,
        };
        let whereabouts =
            Whereabouts { part: part.clone(), entry: entry.clone(), name: name.clone() };
        if text == seen.text {
            return Ok(whereabouts);
        }
        // A part that is wrong is stopped alone; any of these would stop the whole job.
        let looked = self.look_to(depth, &past, &text)?;
        if let (true, Err(unread)) = (edit.is_of_whole(), &looked.job) {
            let first = unread.findings.first();
            let headline = first.map_or_else(String::new, |finding| finding.headline.clone());
            return Err(edit.refused(&seen.text, headline).into());
        }
        if let Some(why) = unreadable(edit, &looked) {
            return Err(why.into());
        }
        let (before, after) = (seen.text.as_str().into(), text.as_str().into());
        self.save(&seen.text, &text, looked)?;
        let known = || part.as_deref().map(|part| seen.headlines(part)).unwrap_or_default();
        let set = edit.field().map(|key| (key.to_owned(), known()));
        lock(&self.now).steps.add(Step { name, part, set, entry, file: None, before, after });
        self.say_changed(None);
        self.finish();
        Ok(whereabouts)
    }

    /// Undoes the last change, or redoes the last one undone; returns the part or entry it
    /// concerned.
    ///
    /// # Errors
    /// When there is none, or its lines were changed outside since.
    pub fn step(self: &Arc<Self>, back: bool, depth: Depth) -> Result<Whereabouts, Refused> {
        let _alone = lock(&self.changing);
        self.take_up()?;
        let last = lock(&self.now).steps.last(back).cloned();
        let Some(step) = last else {
            return Err(Refused::Cannot("there is nothing to undo".to_owned()));
        };
        let (from, to) =
            if back { (&step.after, &step.before) } else { (&step.before, &step.after) };
        let text = match &step.file {
            Some(file) => self.desk.file(file)?.unwrap_or_default(),
            None => self.at().seen.text.clone(),
        };
        let Some(changed) = undo::carried(&text, from, to) else {
            // Older changes can still be undone.
            lock(&self.now).steps.leave_out(back);
            let words = format!(
                "{}: these lines were changed in the file since, so this change is left out",
                step.name
            );
            self.say_changed(None);
            return Err(Refused::Outside(words));
        };
        match &step.file {
            Some(file) => self.save_file(file, &text, &changed)?,
            None => {
                let looked = self.look_to(depth, &self.at().past, &changed)?;
                self.save(&text, &changed, looked)?;
            }
        }
        lock(&self.now).steps.turn(back);
        self.say_changed(None);
        self.finish();
        Ok(Whereabouts { part: step.part, entry: step.entry, name: step.name })
    }

    /// Reads in changes made outside: of the job, or with `all` also of everything else it is made
    /// of.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn outside(self: &Arc<Self>, all: bool) -> Result<(), String> {
        let _alone = lock(&self.changing);
        if all && self.is_own() {
            return self.take_up();
        }
        if all {
            self.kept.forget();
            // What changed in the job as well is solved with it, once.
            let text = self.desk.text()?;
            let At { seen, past, .. } = self.at();
            self.put(self.look_to(Depth::Flat, &past, &text)?);
            let mut words = "a file that the job uses was changed".to_owned();
            if text != seen.text {
                let own = text_changes::differences(&seen.text, &text);
                words +=
                    &format!("; in the job: {}", own.trim_start_matches(text_changes::IN_FILE));
            }
            self.say_changed(Some(words));
            self.finish();
        }
        self.take_up()
    }

    fn take_up(self: &Arc<Self>) -> Result<(), String> {
        let (text, At { seen, past, .. }) = (self.desk.text()?, self.at());
        if text == seen.text {
            return Ok(());
        }
        // As after an edit here: the picture first, bends and loads after it.
        self.put(self.look_to(Depth::Flat, &past, &text)?);
        self.say_changed(Some(text_changes::differences(&seen.text, &text)));
        self.finish();
        Ok(())
    }

    /// Replaces a text by another, and shows its result.
    fn save(self: &Arc<Self>, before: &str, after: &str, seen: Snapshot) -> Result<(), Refused> {
        if self.read_only {
            return Err(Refused::Cannot("this page is read-only: nothing was written".into()));
        }
        if !self.desk.save(before, after)? {
            let words = "the file was changed at the same moment; nothing was written";
            return Err(Refused::Outside(words.to_owned()));
        }
        self.put(seen);
        Ok(())
    }

    pub(super) fn put(&self, seen: Snapshot) {
        let mut now = lock(&self.now);
        now.seen = Arc::new(seen);
        now.version += 1;
    }

    /// Reads the record of what was made again.
    pub(super) fn made(self: &Arc<Self>) -> Result<(), String> {
        let past = self.desk.past()?;
        let text = self.at().seen.text.clone();
        let seen = self.solve_text(&past, &text)?;
        lock(&self.now).past = past;
        self.put(seen);
        self.say_changed(None);
        Ok(())
    }

    pub(super) fn say_changed(self: &Arc<Self>, told: Option<String>) {
        let version = lock(&self.now).version;
        self.say(&json!({ "kind": "job", "version": version, "told": told }));
    }

    /// Sends an event to every page.
    pub(super) fn say(&self, event: &Value) {
        self.listeners.send(event);
    }
}

/// Where the page shows the shop and its stock.
pub(super) const SHOP: &str = "shop";

/// Where it shows the machine and its points.
const MACHINE: &str = "machine";

//! A job that is open on the page: what it is now, and what was changed.

use crate::history::Past;
use crate::serve::desk::Desk;
use crate::serve::edit::Changed;
use crate::serve::edit::Edit;
use crate::serve::edit::Refused;
use crate::serve::form::Forms;
use crate::serve::list;
use crate::serve::part;
use crate::serve::seen::Seen;
use crate::serve::stands::Layouts;
use crate::serve::stands::lock;
use crate::serve::steps;
use crate::serve::steps::Step;
use crate::serve::steps::Steps;
use crate::serve::text;
use crate::solve::Kept;
use serde_json::Value;
use serde_json::json;
use std::sync::Arc;
use std::sync::Mutex;
use tokio::sync::mpsc::UnboundedReceiver;
use tokio::sync::mpsc::UnboundedSender;
use tokio::sync::mpsc::unbounded_channel;

/// A job that is open.
pub struct Opened {
    pub(super) desk: Box<dyn Desk>,
    pub(super) read_only: bool,
    pub(super) forms: Forms,
    pub(super) layouts: Layouts,
    kept: Kept,
    now: Mutex<Now>,
    /// Held while the job is changed, from outside or here.
    changing: Mutex<()>,
    listeners: Mutex<Vec<UnboundedSender<String>>>,
}

struct Now {
    seen: Arc<Seen>,
    version: u64,
    past: Past,
    steps: Steps,
}

/// What the job is at a moment.
#[derive(Clone)]
pub(super) struct At {
    pub(super) seen: Arc<Seen>,
    pub(super) version: u64,
    pub(super) past: Past,
}

impl Opened {
    /// Opens a job.
    ///
    /// # Errors
    /// When its file, what was made of it, or its tables cannot be read. What is wrong with the job
    /// is no error: it can be put right on the page.
    pub fn open(desk: Box<dyn Desk>, read_only: bool) -> Result<Arc<Self>, String> {
        let (kept, forms) = (Kept::default(), Forms::default());
        let (text, past) = (desk.text()?, desk.past()?);
        let seen = Arc::new(Seen::of(desk.as_ref(), (&kept, &forms), &past, &text)?);
        let now = Mutex::new(Now { seen, version: 1, past, steps: Steps::default() });
        let (layouts, changing) = (Layouts::default(), Mutex::default());
        let listeners = Mutex::default();
        let opened = Self { desk, read_only, forms, layouts, kept, now, changing, listeners };
        Ok(Arc::new(opened))
    }

    pub(super) fn version(&self) -> u64 {
        lock(&self.now).version
    }

    /// How many lines were solved so far, not counting those that were kept.
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
        let named = |step: Option<&Step>| step.map(|step| json!([step.name, step.part]));
        let steps = json!({
            "undo": named(now.steps.done.last()), "redo": named(now.steps.undone.last())
        });
        drop(now);
        let mut list = list::list(&seen, &self.desk.name(), &self.desk.shown());
        list["version"] = json!(version);
        list["steps"] = steps;
        list["read_only"] = json!(self.read_only);
        list
    }

    /// A part by name, its flat drawn in a room of some px; nothing where there is none.
    pub fn part(&self, name: &str, room: [f64; 2]) -> Option<Value> {
        part::part(&self.at().seen, &self.desk.shown(), name, room)
    }

    /// A part folded as far as so many bends of its order; nothing where there is no such part, or it
    /// cannot be developed.
    pub fn folded(&self, name: &str, done: f64) -> Option<Result<Value, String>> {
        part::folded(&self.at().seen, name, done)
    }

    /// The text, and the version it is of.
    pub fn text(&self) -> (String, u64) {
        let at = self.at();
        (at.seen.text.clone(), at.version)
    }

    /// What an edit would come to; nothing is written.
    ///
    /// # Errors
    /// When the edit cannot be made.
    pub fn tried(&self, edit: &Edit, room: [f64; 2]) -> Result<Value, Refused> {
        let At { seen, past, .. } = self.at();
        let Changed { text, part, .. } = edit.applied(&seen)?;
        let seen = self.look(&past, &text)?;
        let part = part.and_then(|name| part::part(&seen, &self.desk.shown(), &name, room));
        Ok(part.unwrap_or(Value::Null))
    }

    /// Makes an edit: what is in the file then, is seen then. Gives the part it is about.
    ///
    /// # Errors
    /// When the edit cannot be made or written; the file is as it was.
    pub fn edit(self: &Arc<Self>, edit: &Edit) -> Result<Option<String>, Refused> {
        let _alone = lock(&self.changing);
        self.take_up()?;
        let At { seen, .. } = self.at();
        let Changed { text, name, part } = edit.applied(&seen)?;
        if text == seen.text {
            return Ok(part);
        }
        let (before, after) = (seen.text.clone(), text);
        self.save(&before, &after)?;
        lock(&self.now).steps.add(Step { name, part: part.clone(), before, after });
        self.say_changed(None);
        Ok(part)
    }

    /// Undoes the last change, or does the last one that was undone again; gives the part it was about
    /// and its name.
    ///
    /// # Errors
    /// When there is none, or its lines were changed outside since.
    pub fn step(self: &Arc<Self>, back: bool) -> Result<(Option<String>, String), Refused> {
        let _alone = lock(&self.changing);
        self.take_up()?;
        let last = {
            let now = lock(&self.now);
            let steps = if back { &now.steps.done } else { &now.steps.undone };
            steps.last().cloned()
        };
        let Some(step) = last else {
            return Err(Refused::Cannot("there is nothing to undo".to_owned()));
        };
        let (from, to) =
            if back { (&step.after, &step.before) } else { (&step.before, &step.after) };
        let text = self.at().seen.text.clone();
        let Some(changed) = steps::carried(&text, from, to) else {
            let words = format!("{}: these lines were changed outside since", step.name);
            return Err(Refused::Outside(words));
        };
        self.save(&text, &changed)?;
        {
            let Steps { done, undone } = &mut lock(&self.now).steps;
            let (source, sink) = if back { (done, undone) } else { (undone, done) };
            sink.extend(source.pop());
        }
        self.say_changed(None);
        Ok((step.part, step.name))
    }

    /// Takes up what was changed outside: in the job, or where `all` in whatever else it is made of.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn outside(self: &Arc<Self>, all: bool) -> Result<(), String> {
        let _alone = lock(&self.changing);
        if all {
            self.kept.forget();
            let At { seen, past, .. } = self.at();
            let text = seen.text.clone();
            self.put(self.look(&past, &text)?);
            self.say_changed(Some("a file that the job is made of was changed outside".into()));
        }
        self.take_up()
    }

    fn take_up(self: &Arc<Self>) -> Result<(), String> {
        let (text, At { seen, past, .. }) = (self.desk.text()?, self.at());
        if text == seen.text {
            return Ok(());
        }
        self.put(self.look(&past, &text)?);
        self.say_changed(Some(differences(&seen.text, &text)));
        Ok(())
    }

    fn look(&self, past: &Past, text: &str) -> Result<Seen, String> {
        Seen::of(self.desk.as_ref(), (&self.kept, &self.forms), past, text)
    }

    fn save(self: &Arc<Self>, before: &str, after: &str) -> Result<(), Refused> {
        if self.read_only {
            return Err(Refused::Cannot("this page only reads: nothing was written".into()));
        }
        let seen = self.look(&self.at().past, after)?;
        if !self.desk.save(before, after)? {
            let words = "the file was changed outside at the same moment; nothing was written";
            return Err(Refused::Outside(words.to_owned()));
        }
        self.put(seen);
        Ok(())
    }

    fn put(&self, seen: Seen) {
        let mut now = lock(&self.now);
        now.seen = Arc::new(seen);
        now.version += 1;
    }

    /// Reads again what was made of it.
    pub(super) fn made(self: &Arc<Self>) -> Result<(), String> {
        let past = self.desk.past()?;
        let text = self.at().seen.text.clone();
        let seen = self.look(&past, &text)?;
        lock(&self.now).past = past;
        self.put(seen);
        self.say_changed(None);
        Ok(())
    }

    fn say_changed(self: &Arc<Self>, told: Option<String>) {
        let version = lock(&self.now).version;
        self.say(&json!({ "kind": "job", "version": version, "told": told }));
    }

    /// Tells every page.
    pub(super) fn say(&self, event: &Value) {
        lock(&self.listeners).retain(|listener| listener.send(event.to_string()).is_ok());
    }

    /// Everything that is told from now on.
    pub(super) fn listen(&self) -> UnboundedReceiver<String> {
        let (send, receive) = unbounded_channel();
        lock(&self.listeners).push(send);
        receive
    }
}

/// Changes that are named; more are counted. Our choice.
const NAMED: usize = 3;

/// What differs between two texts, in a sentence.
fn differences(was: &str, now: &str) -> String {
    let (before, after) = (text::said(was), text::said(now));
    let find = |all: &[(String, String)], path: &str| {
        all.iter().find(|(other, _)| other == path).map(|(_, value)| value.clone())
    };
    let mut said = Vec::new();
    for (path, value) in &after {
        match find(&before, path) {
            Some(old) if old == *value => {}
            Some(old) => said.push(format!("{path} {old} → {value}")),
            None => said.push(format!("{path} {value}")),
        }
    }
    let gone = before.iter().filter(|(path, _)| find(&after, path).is_none());
    said.extend(gone.map(|(path, _)| format!("{path} taken out")));
    let more = said.len().saturating_sub(NAMED);
    said.truncate(NAMED);
    let more = if more > 0 { format!(", and {more} more") } else { String::new() };
    match said.is_empty() {
        true => "changed outside: only words between the values".to_owned(),
        false => format!("changed outside: {}{more}", said.join("; ")),
    }
}

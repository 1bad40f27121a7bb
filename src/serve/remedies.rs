//! The values that a finding offers: each is tried before there is a button for it. One that leaves the
//! finding, or brings a stop that was not there, gives way to the value that the next finding names, and
//! where that is no better there is no button.

use crate::diag::Finding;
use crate::diag::Weight;
use crate::history::Past;
use crate::serve::cause::subject;
use crate::serve::edit::Edit;
use crate::serve::entry;
use crate::serve::entry_edit::EntryEdit;
use crate::serve::found;
use crate::serve::opened::Opened;
use crate::serve::snapshot::Snapshot;
use crate::serve::values::Of;
use serde_json::Value;
use serde_json::json;
use std::collections::BTreeMap;

/// For one button no more values than these are tried, one after the other. Our choice.
const TRIED: usize = 3;

/// On a part, or on an entry, no more buttons than these are tried; there are none for the rest. Our choice.
const MOST: usize = 12;

/// A value that clears a finding, if there is one, and why the one that it names does not.
struct Remedy {
    value: Option<String>,
    passed: Option<String>,
}

/// What findings are about.
#[derive(Clone, Copy)]
pub(super) enum Subject<'a> {
    Part(&'a str),
    /// With the name of the file.
    Entry(&'a Of<'a>, &'a str),
}

impl Subject<'_> {
    /// The subjects of its findings.
    fn found(&self, seen: &Snapshot) -> Vec<String> {
        match self {
            Self::Part(name) => {
                let Ok(job) = &seen.job else { return Vec::new() };
                let found = job.part(name).map(|part| job.found(part)).unwrap_or_default();
                found.into_iter().map(subject).collect()
            }
            Self::Entry(of, shown) => {
                entry::found_of(seen, shown, of).into_iter().map(subject).collect()
            }
        }
    }

    /// Whether it can be drawn.
    fn is_made(&self, seen: &Snapshot) -> bool {
        match (self, &seen.job) {
            (_, Err(_)) => false,
            (Self::Part(name), Ok(job)) => job.part(name).is_some_and(|part| part.solved.is_some()),
            (Self::Entry(..), Ok(_)) => true,
        }
    }

    /// The edit that sets a field of it, which has a value now.
    fn edit(&self, shown: &Value, field: &str, value: &str) -> Option<Edit> {
        let fields = |key: &str| shown[key].as_array().into_iter().flatten();
        let was = match (self, field) {
            (Self::Part(_), "quantity" | "sheet") => &shown[field]["given"],
            _ => &fields("inputs").chain(fields("fields")).find(|of| of["key"] == field)?["given"],
        };
        let was = was.as_str().map(str::to_owned);
        let (key, value) = (field.to_owned(), Some(value.to_owned()));
        Some(match self {
            Self::Part(name) => Edit::Set { part: (*name).to_owned(), key, value, was },
            Self::Entry(of, _) => {
                let name = shown["name"].as_str().map(str::to_owned);
                Edit::Entry(EntryEdit::set((of.kind, of.index, name), (key, value, was)))
            }
        })
    }
}

/// Where values are tried: on a text, which may be another edit that is only tried, of what was saved.
pub(super) struct Trial<'a> {
    pub(super) seen: &'a Snapshot,
    pub(super) past: &'a Past,
    pub(super) edit: Option<(&'a Edit, &'a Snapshot)>,
}

impl Opened {
    /// The values that the findings of a part offer and that were tried, each list with its headline,
    /// with why others were passed over, and what there is to do besides; `None` if there is no such
    /// part.
    pub fn remedies(&self, name: &str) -> Option<Value> {
        let seen = self.at().seen;
        let shown = self.part(name, [0.0; 2])?;
        Some(self.proven(&seen, Subject::Part(name), shown))
    }

    /// The same of an entry by the key of its list and its place there; `None` if there is none.
    pub fn entry_remedies(&self, kind: &str, index: usize) -> Option<Value> {
        let seen = self.at().seen;
        let of = Of { kind, index };
        let shown = self.entry_of(&seen, &of, [0.0; 2])?;
        Some(self.proven(&seen, Subject::Entry(&of, &self.desk.shown()), shown))
    }

    /// What of the values that are offered was tried, for each finding that offers any.
    fn proven(&self, seen: &Snapshot, of: Subject, mut shown: Value) -> Value {
        let past = self.at().past;
        let offered = |shown: &Value| shown["findings"].as_array().cloned().unwrap_or_default();
        let before = offered(&shown);
        self.prove(&Trial { seen, past: &past, edit: None }, of, &mut shown);
        let rows = before.iter().zip(offered(&shown));
        let rows = rows.filter(|(before, _)| before["fixes"] != json!([]));
        rows.map(|(_, row)| json!([row["headline"], row["fixes"], row["passed"], row["help"]]))
            .collect()
    }

    /// Leaves of the values that a part or an entry offers those that were tried and are a remedy.
    pub(super) fn prove(&self, trial: &Trial, of: Subject, shown: &mut Value) {
        let mut known = Stops::of(trial.seen);
        if let Some((_, saved)) = trial.edit {
            known.extend(&Stops::of(saved));
        }
        let mut left = MOST;
        for i in 0..shown["findings"].as_array().map_or(0, Vec::len) {
            let row = shown["findings"][i].clone();
            let own = subject_of(&row);
            let (mut proven, mut why): (Vec<[String; 2]>, Vec<String>) = (Vec::new(), Vec::new());
            let mut help = row["help"].as_str().map(str::to_owned);
            for fix in row["fixes"].as_array().into_iter().flatten().take(left) {
                left -= 1;
                let [Some(field), Some(value)] = [fix[0].as_str(), fix[1].as_str()] else {
                    continue;
                };
                let remedy = self.remedy(trial, of, (shown, &own, &known), (field, value));
                let Remedy { value: better, passed } =
                    remedy.unwrap_or(Remedy { value: None, passed: None });
                why.extend(passed);
                if better.as_deref() != Some(value) {
                    help = help.and_then(|help| without(&help, value));
                }
                proven.extend(better.map(|better| [field.to_owned(), better]));
            }
            proven.dedup();
            why.dedup();
            shown["findings"][i]["fixes"] = json!(proven);
            shown["findings"][i]["passed"] = json!(why);
            shown["findings"][i]["help"] = json!(help);
        }
        shown["proven"] = json!(true);
    }

    /// The value for a field that clears a finding and brings no other stop, beginning with one; `None`
    /// if the field cannot be set to it.
    fn remedy(
        &self,
        trial: &Trial,
        of: Subject,
        (shown, own, known): (&Value, &str, &Stops),
        (field, first): (&str, &str),
    ) -> Option<Remedy> {
        let count = |seen: &Snapshot| of.found(seen).iter().filter(|other| *other == own).count();
        let was_made = of.is_made(trial.seen);
        let (mut value, mut tried, mut passed) = (first.to_owned(), Vec::new(), None);
        while tried.len() < TRIED && !tried.contains(&value) {
            // What is typed in the field itself gives way to the value.
            let typed = trial.edit.filter(|(edit, _)| edit.key() == Some(field));
            let (edit, base) = match typed {
                Some((edit, saved)) => (edit.with_value(&value)?, saved),
                None => (of.edit(shown, field, &value)?, trial.seen),
            };
            let text = edit.applied(base).ok()?.text;
            let after = self.solve_text(trial.past, &text).ok()?;
            let now = Stops::of(&after);
            let is_new = |of: &&Finding| now.count(of) > known.count(of);
            let new: Vec<&Finding> = stops(&after).filter(is_new).collect();
            let is_cleared = count(&after) < count(trial.seen).max(1);
            if is_cleared
                && new.is_empty()
                && after.job.is_ok()
                && (!was_made || of.is_made(&after))
            {
                return Some(Remedy { value: Some(value), passed });
            }
            let same = after.findings().0.iter().filter(|of| subject(of) == own);
            let first_new = new.first().copied();
            let mut all = new.into_iter().chain(same);
            let named = all.find_map(|of| Some((of, found::value_for(of, field)?)));
            let stop = named.as_ref().map(|(stop, _)| *stop).or(first_new);
            passed = passed.or_else(|| Some(refused(first, stop)));
            let Some((_, next)) = named else { break };
            tried.push(std::mem::replace(&mut value, next));
        }
        Some(Remedy { value: None, passed })
    }
}

/// Why a value is not offered: it brings a stop, or it is no remedy.
fn refused(value: &str, stop: Option<&Finding>) -> String {
    stop.map_or_else(
        || format!("`{value}` was tried and is not enough"),
        |stop| format!("`{value}` would cause another stop: {}", stop.headline),
    )
}

/// What a help says besides a value that was tried and is no remedy; `None` if that is all.
fn without(help: &str, value: &str) -> Option<String> {
    let named = [format!("`{value}`"), format!("\"{value}\"")];
    let clauses = help.split(", or ");
    let rest: Vec<&str> =
        clauses.filter(|clause| named.iter().all(|named| !clause.contains(named))).collect();
    (!rest.is_empty()).then(|| rest.join(", or "))
}

/// How many stops there are of each kind, by part and subject: one more than before is a new one.
struct Stops(BTreeMap<String, usize>);

impl Stops {
    fn of(seen: &Snapshot) -> Self {
        let mut all = BTreeMap::new();
        for stop in stops(seen) {
            *all.entry(Self::key(stop)).or_insert(0) += 1;
        }
        Self(all)
    }

    fn key(stop: &Finding) -> String {
        format!("{}: {}", stop.parts().next().unwrap_or_default(), subject(stop))
    }

    fn count(&self, stop: &Finding) -> usize {
        self.0.get(&Self::key(stop)).copied().unwrap_or(0)
    }

    /// With those of another text, where there are more.
    fn extend(&mut self, other: &Self) {
        for (key, count) in &other.0 {
            let own = self.0.entry(key.clone()).or_insert(0);
            *own = (*own).max(*count);
        }
    }
}

fn stops(seen: &Snapshot) -> impl Iterator<Item = &Finding> {
    seen.findings().0.iter().filter(|finding| finding.weight == Weight::Stop)
}

/// The subject of a finding as the page shows it.
fn subject_of(row: &Value) -> String {
    let word = |key: &str| row[key].as_str().unwrap_or_default();
    crate::serve::cause::subject_in(word("code"), word("headline"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_value_that_is_no_remedy_is_not_named_in_words_either() {
        for (help, rest) in [
            ("write `inset = \"41.5 mm\"`", None),
            ("write `41.5 mm`", None),
            ("write `inset = \"41.5 mm\"`, or use a thinner sheet", Some("use a thinner sheet")),
            ("move it by 41.5 mm or more", Some("move it by 41.5 mm or more")),
        ] {
            assert_eq!(without(help, "41.5 mm").as_deref(), rest, "{help}");
        }
    }
}

//! Edits of links, tubes and loads that the page requests, as changes of the text.

mod field;
mod value;

use crate::serve::begins;
use crate::serve::begins::begin;
use crate::serve::beside;
use crate::serve::beside::Keys;
use crate::serve::changed::Changed;
use crate::serve::changed::Refused;
use crate::serve::entries;
use crate::serve::entries::Key;
use crate::serve::entries::Many;
use crate::serve::joined;
use crate::serve::nested;
use crate::serve::nested_edit;
use crate::serve::nested_edit::RowChange;
use crate::serve::renamed;
use crate::serve::renamed::Named;
use crate::serve::snapshot::Snapshot;
use crate::serve::snapshot::SnapshotJob;
use crate::serve::sort::Sort;
use crate::serve::text;
use crate::serve::text::Entry;
use crate::serve::values;
use crate::serve::values::Of;
use serde::Deserialize;
use toml_edit::Array;
use toml_edit::InlineTable;
use toml_edit::Value;

/// A change of an entry.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct EntryEdit {
    /// One of [`entries::KINDS`].
    kind: String,
    /// Its place in the list; `None` for a new one.
    index: Option<usize>,
    /// The name the page shows.
    name: Option<String>,
    /// The change to it.
    change: Change,
}

/// A change to an entry.
#[derive(Clone, Debug, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
enum Change {
    /// A field set; reset to its default if there is no value.
    Set { key: String, value: Option<String>, was: Option<String> },
    /// A new one; a load is one of a part, or one along a link.
    New { part: Option<String>, link: Option<String> },
    /// A copy, right after it.
    Copy {},
    /// Taken out.
    TakeOut {},
    /// A layer of a joint, or a tab of the end of a tube.
    Row(RowChange),
}

/// The kind of entry for measurements, which can only be removed here: it is named by its part.
const MEASURED: &str = "as_built";

impl EntryEdit {
    /// The kind and the name of what is removed by it; nothing where nothing is.
    pub(super) fn taken_out(&self) -> Option<[&str; 2]> {
        let name = self.name.as_deref()?;
        matches!(self.change, Change::TakeOut {}).then_some([&self.kind, name])
    }

    /// Where the page shows it once this is done.
    pub(super) fn place(&self, seen: &Snapshot) -> String {
        if self.kind == MEASURED {
            return "fit".to_owned();
        }
        let index = self.index.unwrap_or(0);
        let index = match &self.change {
            Change::Copy {} => index + 1,
            Change::New { .. } => text::count(&seen.text, &self.kind),
            Change::Set { .. } | Change::TakeOut {} | Change::Row(_) => index,
        };
        format!("{}/{index}", self.kind)
    }

    /// The kind and the place of the entry after the edit.
    pub(super) fn of<'a>(&'a self, seen: &Snapshot) -> Of<'a> {
        let place = self.place(seen);
        let index = place.rsplit('/').next().and_then(|index| index.parse().ok()).unwrap_or(0);
        Of { kind: &self.kind, index }
    }

    /// The text of a job after this.
    pub(super) fn applied(&self, seen: &Snapshot) -> Result<Changed, Refused> {
        let Ok(job) = &seen.job else { return Err(text::NOT_TOML.to_owned().into()) };
        let is_known = !entries::keys(&self.kind).is_empty()
            || (self.kind == MEASURED && matches!(self.change, Change::TakeOut {}));
        if !is_known {
            return Err(format!("there is no `{}` to change", self.kind).into());
        }
        let said = |text: String, name: String| Ok(Changed { text, name, part: None });
        if let Change::New { part, link } = &self.change {
            let (name, keys) = match link {
                Some(link) if self.kind == "load" => along(seen, job, link)?,
                _ => fresh(seen, job, &self.kind, part.as_deref())?,
            };
            let text = text::add_entry(&seen.text, &self.kind, &keys)?;
            return said(text, format!("new {} {name}", self.kind));
        }
        let (entry, name) = self.there(seen)?;
        match &self.change {
            Change::Set { key, value, was } => {
                let value = value.as_deref().map(str::trim).filter(|value| !value.is_empty());
                self.changed(seen, job, (entry, &name), (key, value, was.as_deref()))
            }
            Change::Copy {} if entries::name_key(&self.kind) != "name" => {
                Err(format!("that end of `{name}` has an entry already: choose the other end")
                    .into())
            }
            Change::Copy {} => {
                let new = free(&seen.text, &self.kind, &name);
                said(text::copy(&seen.text, entry, &new)?, format!("copy {new}"))
            }
            Change::TakeOut {} => {
                said(text::take_out(&seen.text, entry)?, format!("{name} removed"))
            }
            Change::Row(change) => {
                let form = entries::form(&self.kind, &seen.text, entry);
                let own = ((form, entry.index), job.ready.job.units);
                let (text, done) = nested_edit::changed(&seen.text, own, change)?;
                said(text, format!("{name}: {done}"))
            }
            Change::New { .. } => Err(text::NOT_TOML.to_owned().into()),
        }
    }

    /// The entry, if it is still the one the page shows.
    fn there(&self, seen: &Snapshot) -> Result<(Entry, String), Refused> {
        let gone = || {
            let name = self.name.as_deref().unwrap_or(&self.kind);
            Refused::Outside(format!("`{name}` is no longer there"))
        };
        let entry = self.index.and_then(|index| Entry::new(&self.kind, index)).ok_or_else(gone)?;
        let key = entries::name_key(&self.kind);
        let name = seen.value(entry, key);
        match (&name, &self.name) {
            (Some(name), Some(believed)) if name == believed => Ok((entry, name.clone())),
            _ => Err(gone()),
        }
    }

    fn changed(
        &self,
        seen: &Snapshot,
        job: &SnapshotJob,
        (entry, name): (Entry, &str),
        (field, value, was): (&str, Option<&str>, Option<&str>),
    ) -> Result<Changed, Refused> {
        let form = entries::form(&self.kind, &seen.text, entry);
        if nested::is_field(form, field) {
            let own = ((form, entry.index), job.ready.job.units);
            let (text, there) = nested::set(&seen.text, own, (field, value, was))?;
            let [before, after] = [there.as_deref(), value].map(|value| value.unwrap_or("default"));
            let name = format!("{name}: {field} {before} → {after}");
            return Ok(Changed { text, name, part: None });
        }
        let (key, end) = find(form, field)
            .ok_or_else(|| Refused::Cannot(format!("a {} has no `{field}`", self.kind)))?;
        let given = text::values(&seen.text, entry, key.key);
        let there = match (key.many, &given) {
            (Many::One, _) => text::value(&seen.text, entry, key.key),
            (Many::List, all) => all.as_ref().map(|all| all.join(", ")),
            (_, Some(all)) => all.get(end).or(all.first()).cloned(),
            _ => None,
        };
        let square = there.is_none() && was == Some("square");
        if there.as_deref() != was && !square {
            let now = there.as_deref().unwrap_or("its default");
            let words = format!(
                "`{}` was changed in the file meanwhile, to {now}; that value is kept",
                key.key
            );
            return Err(Refused::Outside(words));
        }
        let value = value::whole(key, value, there.as_deref(), job.ready.job.units)?;
        let value = value.as_deref();
        let is_needed = key.needed && !entries::follows(key, &seen.text, entry);
        if is_needed && value.is_none() {
            return Err(format!("a {} needs `{}`", self.kind, key.key).into());
        }
        let typed = match key.many {
            Many::One | Many::List => value.map(|value| value::of_file(key, value)),
            _ => self.pair(seen, job, entry, (key, end), value)?,
        };
        let own = Of { kind: &self.kind, index: self.index.unwrap_or(0) };
        let mut text = beside::made_room(seen, job, (&own, entry), key, value)?;
        let table = key.key.split_once('.').filter(|_| matches!(key.sort, Sort::Main | Sort::Tube));
        match (table, value) {
            // An end without a tube to meet is cut square.
            (Some((table, _)), None | Some("square")) => {
                text = text::set(&text, entry, table, None)?;
            }
            _ => text = text::set(&text, entry, key.key, typed)?,
        }
        if let ("name", Some(new)) = (key.key, value) {
            text = self.renamed(&text, name, new)?;
        }
        let [before, after] = [there.as_deref(), value].map(|value| value.unwrap_or("default"));
        let name = format!("{name}: {} {before} → {after}", key.key);
        Ok(Changed { text, name, part: None })
    }

    /// The text in which everything that refers to the entry does so by another name.
    fn renamed(&self, text: &str, from: &str, to: &str) -> Result<String, Refused> {
        let all = (0..text::count(text, &self.kind)).filter(|index| Some(*index) != self.index);
        let mut names =
            all.filter_map(|index| text::value(text, Entry::new(&self.kind, index)?, "name"));
        if names.any(|name| name == to) {
            return Err(format!("there is already a {} `{to}`", self.kind).into());
        }
        let what = match self.kind.as_str() {
            "link" => Named::Link,
            "tube" => Named::Tube,
            "obstacle" => Named::Obstacle,
            _ => return Ok(text.to_owned()),
        };
        Ok(renamed::renamed(text, what, from, to)?)
    }

    /// Both values of a key of which one is set.
    fn pair(
        &self,
        seen: &Snapshot,
        job: &SnapshotJob,
        entry: Entry,
        (key, end): (&Key, usize),
        value: Option<&str>,
    ) -> Result<Option<Value>, Refused> {
        let given = text::values(&seen.text, entry, key.key);
        let without = Of { kind: &self.kind, index: self.index.unwrap_or(0) };
        let usual = || -> [Option<String>; 2] {
            // The default of the key, if another reading of the job gives it.
            let known = values::of(job, &without, 0..0).known;
            [0, 1].map(|n| match key.key {
                "hand" => Some(["right", "left"][n].to_owned()),
                _ if !key.default.is_empty() => Some(key.default.to_owned()),
                "bung" => known.get(&("thread", n)).cloned(),
                // Both ends are alike unless one is given separately.
                "rating" => value.map(str::to_owned),
                _ => known.get(&(key.key, n)).cloned(),
            })
        };
        let mut both: [Option<String>; 2] = match (&given, key.many) {
            (Some(all), _) => [0, 1].map(|n| all.get(n).or(all.first()).cloned()),
            (None, Many::Point) => [Some("0 mm".to_owned()), Some("0 mm".to_owned())],
            (None, _) => usual(),
        };
        both[end] = match (value, key.many) {
            (Some(value), _) => Some(value.to_owned()),
            // A point without one of its coordinates is none.
            (None, Many::Point) => return Ok(None),
            (None, _) => usual()[end].clone(),
        };
        let [Some(first), Some(second)] = both else {
            return Err(format!("`{}` needs a value for both ends", key.key).into());
        };
        if key.many == Many::Ends && value.is_none() {
            let usual = usual();
            if usual == [Some(first.clone()), Some(second.clone())] && !key.needed {
                return Ok(None);
            }
        }
        Ok(Some(match key.many == Many::Ends && first == second {
            true => Value::from(first),
            false => Value::Array([first, second].iter().map(String::as_str).collect::<Array>()),
        }))
    }
}

/// A key by the name of its field, and which of its two values that is.
fn find(form: &str, field: &str) -> Option<(&'static Key, usize)> {
    let all = entries::keys(form);
    let is_whole = |key: &&Key| !key.many.is_two() && key.sort != Sort::Tables;
    let whole = all.iter().filter(is_whole).find(|key| key.key == field);
    whole.map(|key| (key, 0)).or_else(|| {
        let (name, end) = field.rsplit_once('-')?;
        let end = [1, 2].iter().position(|n| n.to_string() == end)?;
        let key = all.iter().find(|key| key.many.is_two() && key.key == name)?;
        Some((key, end))
    })
}

/// A name like another that no entry of its kind has.
fn free(text: &str, kind: &str, like: &str) -> String {
    let all: Vec<String> = (0..text::count(text, kind))
        .filter_map(|index| text::value(text, Entry::new(kind, index)?, "name"))
        .collect();
    let numbered = (2..).map(|n| format!("{like}-{n}"));
    let mut names = std::iter::once(like.to_owned()).chain(numbered);
    names.find(|name| !all.contains(name)).unwrap_or_else(|| like.to_owned())
}

/// A tube whose far end is not defined yet.
fn tube_without_end(seen: &Snapshot, job: &SnapshotJob) -> Result<String, Refused> {
    let all = (0..text::count(&seen.text, "tube_end")).filter_map(|i| Entry::new("tube_end", i));
    let known: Vec<String> = all.filter_map(|entry| seen.value(entry, "tube")).collect();
    let own = job.ready.job.tubes.iter().filter(|tube| tube.other_side_of.is_none());
    let free = own.map(|tube| &tube.name).find(|name| !known.contains(*name)).cloned();
    let words = "add a tube first: every tube of the job has its entry already";
    free.ok_or_else(|| Refused::Cannot(words.to_owned()))
}

/// The name and the keys of a new load along a link.
fn along(seen: &Snapshot, job: &SnapshotJob, link: &str) -> Result<(String, Keys), Refused> {
    let all = (0..text::count(&seen.text, "link")).filter_map(|i| Entry::new("link", i));
    let mut names = all.filter_map(|entry| text::value(&seen.text, entry, "name"));
    if !names.any(|name| name == link) {
        return Err(Refused::Outside(format!("`{link}` is no longer there")));
    }
    let name = free(&seen.text, "load", "load");
    let force = begin(begins::FORCE, job.ready.job.units);
    let keys = [("name", name.as_str()), ("link", link), ("force", force), ("direction", "pull")];
    let keys = keys.map(|(key, word)| (key, Value::from(word))).to_vec();
    Ok((name, keys))
}

/// The name and the keys of a new entry: the values a fabricator would begin with, so that it is
/// drawn at once. Our choice.
fn fresh(
    seen: &Snapshot,
    job: &SnapshotJob,
    kind: &str,
    part: Option<&str>,
) -> Result<(String, Keys), Refused> {
    let name = free(&seen.text, kind, kind);
    let named = ("name", Value::from(name.as_str()));
    let first = |of| Value::from(begin(of, job.ready.job.units));
    let keys = match kind {
        "joint" => {
            let hole = joined::choices(job).holes.into_iter().next();
            let [hole, _] = hole.ok_or_else(|| {
                Refused::Cannot("a joint needs a hole, and no part has one yet".to_owned())
            })?;
            let spacer = InlineTable::from_iter([("spacer", first(begins::SPACER))]);
            let stack: Array = [Value::from(hole), spacer.into()].into_iter().collect();
            vec![named, ("bolt", first(begins::BOLT)), ("stack", stack.into())]
        }
        "tube_end" => vec![("tube", tube_without_end(seen, job)?.into())],
        "link" => vec![
            named,
            ("quantity", 1.into()),
            ("pins", first(begins::PINS)),
            ("rod_end", first(begins::ROD_END)),
        ],
        "tube" => vec![
            named,
            ("quantity", 1.into()),
            ("tube", first(begins::TUBE)),
            ("length", first(begins::PINS)),
        ],
        "obstacle" => {
            let shape = [named, ("shape", "tube".into())];
            let own = beside::of_shape("tube", job)?;
            shape.into_iter().chain(own).collect()
        }
        _ => {
            let holes = crate::strength::At::Hole(String::new());
            let of_part = |solved: &&crate::solve::Solved| {
                let line = &job.ready.job.lines[solved.line].name;
                part.is_none_or(|part| part == solved.name || part == line)
            };
            let mut all = job.ready.solved.iter().filter(of_part);
            let found = all.find_map(|solved| {
                let names = crate::strength::names(&solved.part, &holes);
                // The eye of a part is loaded most often.
                let hole = names.iter().find(|name| **name == "eye").or(names.first())?;
                Some((job.ready.job.lines[solved.line].name.clone(), (*hole).to_owned()))
            });
            let (part, hole) = found.ok_or_else(|| {
                Refused::Cannot("a load acts at a hole, and no part has one yet".to_owned())
            })?;
            let text = [("part", part), ("hole", hole)].map(|(key, word)| (key, Value::from(word)));
            let rest = [("force", first(begins::FORCE)), ("direction", "pull".into())];
            std::iter::once(named).chain(text).chain(rest).collect()
        }
    };
    Ok((name, keys))
}

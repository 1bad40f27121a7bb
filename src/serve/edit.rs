//! The edits that the page requests, as changes of the text.

use crate::quantity::Dimension;
use crate::quantity::Units;
use crate::recipe::Kind;
use crate::serve::changed::Changed;
use crate::serve::changed::Refused;
use crate::serve::entry_edit::EntryEdit;
use crate::serve::lists;
use crate::serve::machine_edit::MachineEdit;
use crate::serve::placed;
use crate::serve::reading::Reading;
use crate::serve::refers::in_use;
use crate::serve::renamed;
use crate::serve::renamed::Named;
use crate::serve::setting::ShopEdit;
use crate::serve::snapshot::ListedPart;
use crate::serve::snapshot::Snapshot;
use crate::serve::snapshot::SnapshotJob;
use crate::serve::sort::Sort;
use crate::serve::text;
use crate::serve::text::Entry;
use crate::serve::typed;
use serde::Deserialize;
use toml_edit::Array;
use toml_edit::Value;

/// An edit requested by the page.
#[derive(Clone, Debug, Deserialize)]
#[serde(tag = "do", rename_all = "kebab-case", deny_unknown_fields)]
pub enum Edit {
    /// A field of a part: `quantity`, `sheet`, or an input of its recipe.
    Set {
        /// The part.
        part: String,
        /// The field.
        key: String,
        /// The text typed; `None` for the default.
        value: Option<String>,
        /// The value the page shows.
        was: Option<String>,
    },
    /// Another name for a part.
    Rename {
        /// The part.
        part: String,
        /// Its new name.
        name: String,
    },
    /// A copy of a part, right after it.
    Copy {
        /// The part.
        part: String,
    },
    /// A part taken out.
    TakeOut {
        /// The part.
        part: String,
    },
    /// A new part with the values of its recipe.
    New {
        /// The recipe.
        recipe: String,
    },
    /// Something of a link, a tube or a load.
    Entry(EntryEdit),
    /// Something of the job as a whole, of its sheets or of the shop's file.
    Shop(ShopEdit),
    /// Something of the points of the machine.
    Machine(MachineEdit),
    /// A measured value of a part, with the value required.
    Measured(Reading),
    /// Another text.
    Text {
        /// The whole of it.
        text: String,
        /// The value the page shows.
        was: String,
    },
}

impl Edit {
    /// The field of a part that is set by it.
    pub(super) fn field(&self) -> Option<&str> {
        match self {
            Self::Set { key, .. } => Some(key),
            _ => None,
        }
    }

    /// The field that is set by it, of a part or of an entry.
    pub(super) fn key(&self) -> Option<&str> {
        match self {
            Self::Entry(of) => of.key(),
            _ => self.field(),
        }
    }

    /// The same with another value; nothing of any but the change of a field.
    pub(super) fn with_value(&self, new: &str) -> Option<Self> {
        match self {
            Self::Set { part, key, was, .. } => Some(Self::Set {
                part: part.clone(),
                key: key.clone(),
                value: Some(new.to_owned()),
                was: was.clone(),
            }),
            Self::Entry(of) => of.with_value(new).map(Self::Entry),
            _ => None,
        }
    }

    /// Whether an error in it would stop the whole job, rather than a part.
    pub(super) fn is_of_whole(&self) -> bool {
        match self {
            Self::Set { key, .. } => key.starts_with("on."),
            Self::Entry(_) | Self::Measured(_) | Self::Shop(_) | Self::Machine(_) => true,
            Self::Rename { .. } | Self::TakeOut { .. } => true,
            _ => false,
        }
    }

    /// Why it is not made to a text, where the job could not be read then.
    pub(super) fn refused(&self, text: &str, headline: String) -> String {
        let in_use = match self {
            Self::Machine(of) => return of.refused(&headline),
            Self::Entry(of) => of.taken_out().and_then(|[kind, name]| in_use(text, kind, name)),
            Self::TakeOut { part } => in_use(text, "part", part),
            _ => None,
        };
        in_use.unwrap_or(headline)
    }

    /// The text of a job after this.
    pub(super) fn applied(&self, seen: &Snapshot) -> Result<Changed, Refused> {
        if let Self::Text { text, was } = self {
            if *was != seen.text {
                let words = "the file was changed meanwhile; its text is now shown";
                return Err(Refused::Outside(words.to_owned()));
            }
            let name = "the text".to_owned();
            return Ok(Changed { text: text.clone(), name, part: None });
        }
        let Ok(job) = &seen.job else { return Err(text::NOT_TOML.to_owned().into()) };
        match self {
            Self::Set { part, key, value, was } => {
                let (listed, entry) = found(job, part)?;
                if let Some(key) = key.strip_prefix("on.") {
                    return placed::set(
                        seen,
                        job,
                        (listed, entry),
                        (key, value.as_deref(), was.as_deref()),
                    );
                }
                set(seen, job, (listed, entry), (key, value.as_deref(), was.as_deref()))
            }
            Self::Rename { part, name } => rename(seen, job, part, name),
            Self::Copy { part } => {
                let (listed, entry) = found(job, part)?;
                let line = &job.ready.job.lines[listed.line].name;
                if entry.is_family() {
                    return Err("a family can only be copied in the text".to_owned().into());
                }
                let name = free(job, line);
                let text = text::copy(&seen.text, entry, &name)?;
                Ok(Changed { text, name: format!("copy {name}"), part: Some(name) })
            }
            Self::TakeOut { part } => take_out(seen, job, part),
            Self::New { recipe } => {
                let Some(sheet) = job.ready.job.sheets.first() else {
                    return Err("the job has no sheet yet: add one in the text".to_owned().into());
                };
                let name = free(job, recipe);
                let text = text::add(&seen.text, recipe, &name, &sheet.name)?;
                Ok(Changed { text, name: format!("new part {name}"), part: Some(name) })
            }
            Self::Entry(edit) => edit.applied(seen),
            Self::Measured(reading) => reading.applied(seen),
            Self::Machine(edit) => edit.applied(seen),
            Self::Shop(edit) => {
                edit.leaves_no_part_without(job)?;
                let (text, name) = edit.applied(&seen.text, job.ready.job.units)?;
                Ok(Changed { text, name, part: None })
            }
            Self::Text { .. } => Err(text::NOT_TOML.to_owned().into()),
        }
    }
}

/// The text in which a part, or a family, has another name; what refers to it follows.
fn rename(seen: &Snapshot, job: &SnapshotJob, part: &str, name: &str) -> Result<Changed, Refused> {
    let (listed, entry) = found(job, part)?;
    let pattern = text::value(&seen.text, entry, "name").unwrap_or_default();
    fit(job, (entry, &pattern), name)?;
    let mut text = text::set(&seen.text, entry, "name", Some(Value::from(name)))?;
    let lines = &job.ready.job.lines;
    let own = |line: usize| job.entries[line] == Some(entry);
    let new = |old: &str| match entry.is_family() {
        true => renamed::member(&pattern, old, name),
        false => Some(name.to_owned()),
    };
    let mut shown = None;
    // The names of its lines, and of the hands and plates of these, which begin so.
    for (i, line) in lines.iter().enumerate().filter(|(i, _)| own(*i)) {
        let Some(to) = new(&line.name) else { continue };
        text = renamed::renamed(&text, Named::Part, &line.name, &to)?;
        for of in job.parts().iter().filter(|of| of.line == i) {
            let Some(rest) = of.name.strip_prefix(&line.name) else { continue };
            let to = format!("{to}{rest}");
            if !rest.is_empty() {
                text = renamed::renamed(&text, Named::Part, of.name, &to)?;
            }
            if of.name == listed.name {
                shown = Some(to);
            }
        }
    }
    let words = format!("{pattern}: renamed {name}");
    Ok(Changed { text, name: words, part: shown.or_else(|| Some(name.to_owned())) })
}

/// The text without the line of a part, which no load may act on.
fn take_out(seen: &Snapshot, job: &SnapshotJob, part: &str) -> Result<Changed, Refused> {
    let (listed, entry) = found(job, part)?;
    let line = &job.ready.job.lines[listed.line].name;
    if let Some(load) = job.ready.job.loads.iter().find(|load| load.part == *line) {
        let words = "remove that first, under Links, loads";
        return Err(format!("`{line}` carries the load `{}`: {words}", load.name).into());
    }
    let whole = if entry.is_family() { " with its family" } else { "" };
    let text = text::take_out(&seen.text, entry)?;
    Ok(Changed { text, name: format!("{line} removed{whole}"), part: None })
}

fn found<'s>(job: &'s SnapshotJob, part: &str) -> Result<(ListedPart<'s>, Entry), Refused> {
    let listed = job.part(part);
    let listed = listed.ok_or_else(|| Refused::Outside(format!("`{part}` is no longer there")))?;
    let entry = job.entries[listed.line];
    let words = || {
        format!(
            "`{part}` is not an entry of its own in this file: change it in the \
                            text"
        )
    };
    Ok((listed, entry.ok_or_else(|| Refused::Cannot(words()))?))
}

/// Sees that a name can be given to a part; one of a family keeps what varies in it.
fn fit(job: &SnapshotJob, (entry, pattern): (Entry, &str), name: &str) -> Result<(), Refused> {
    let cannot = |words: String| Err(Refused::Cannot(words));
    let braces = renamed::braces(pattern);
    if entry.is_family() && renamed::braces(name) != braces {
        let kept: Vec<String> = braces.iter().map(|key| format!("`{{{key}}}`")).collect();
        let words = "the name of a family says what varies in it: keep";
        return cannot(format!("{words} {}", kept.join(" and ")));
    }
    let plain = match entry.is_family() {
        true => name.replace(['{', '}'], ""),
        false => name.to_owned(),
    };
    if let Some(why) = crate::entry::unfit_for_files(&plain) {
        return cannot(format!("not a valid part name: {why}"));
    }
    if job.ready.job.lines.iter().any(|line| line.name == name) {
        return cannot(format!("there is already a part `{name}`"));
    }
    Ok(())
}

/// A name like another that is free.
fn free(job: &SnapshotJob, like: &str) -> String {
    let stem = like.trim_end_matches(|c: char| c.is_ascii_digit()).trim_end_matches('-');
    let stem: String = stem.chars().take(LONGEST_STEM).collect();
    let is_free = |name: &String| job.ready.job.lines.iter().all(|line| line.name != *name);
    let numbered = (2..).map(|n| format!("{stem}-{n}"));
    std::iter::once(stem.clone()).chain(numbered).find(is_free).unwrap_or(stem)
}

/// So that the name of a copy is still short enough for a file. Our choice.
const LONGEST_STEM: usize = 60;

fn set(
    seen: &Snapshot,
    job: &SnapshotJob,
    (listed, entry): (ListedPart, Entry),
    (key, value, was): (&str, Option<&str>, Option<&str>),
) -> Result<Changed, Refused> {
    let value = value.map(str::trim).filter(|value| !value.is_empty());
    let line = &job.ready.job.lines[listed.line];
    let (given, opened) = match key {
        "quantity" => (key.to_owned(), None),
        "sheet" => (key.to_owned(), Some("open.sheet".to_owned())),
        _ => (format!("given.{key}"), Some(format!("open.{key}"))),
    };
    let kind = kind_of(key, job, line);
    let there = text::value(&seen.text, entry, &given).map(|raw| lists::shown(raw, kind));
    if there.as_deref() != was {
        let now = there.as_deref().unwrap_or("its default");
        let words = format!(
            "`{key}` was changed in the file meanwhile, to {now}; that value is \
                             kept"
        );
        return Err(Refused::Outside(words));
    }
    let unit = kind.map_or("", |kind| unit_of(kind, job.ready.job.units));
    let value = value.map(|value| match unit {
        _ if value.starts_with('[') => Ok(value.to_owned()),
        "" => Ok(value.to_owned()),
        unit => with_unit(value, there.as_deref(), unit),
    });
    let value = value.transpose()?;
    let value = value.as_deref();
    let listed_values = value.and_then(|value| several(value, key, job, line));
    let mut text = seen.text.clone();
    match &listed_values {
        Some(all) => {
            text = text::set(&text, entry, &given, None)?;
            text = text::set(&text, entry, &format!("open.{key}"), Some(all.clone().into()))?;
        }
        None => {
            if let Some(opened) = opened {
                text = text::set(&text, entry, &opened, None)?;
            }
            let value = value.map(|value| of_file(value, key, job, line)).transpose()?;
            text = text::set(&text, entry, &given, value)?;
        }
    }
    let [before, after] = [there.as_deref(), value].map(|value| value.unwrap_or("default"));
    let name = format!("{}: {key} {before} → {after}", line.name);
    Ok(Changed { text, name, part: Some(listed.name.to_owned()) })
}

fn kind_of<'s>(key: &str, job: &'s SnapshotJob, line: &crate::job::Line) -> Option<&'s Kind> {
    let form = job.forms.get(&line.recipe.0)?;
    form.inputs.iter().find(|asked| asked.key == key).map(|asked| &asked.kind)
}

/// The unit of an input; empty where it has none.
fn unit_of(kind: &Kind, units: Units) -> &'static str {
    match kind {
        Kind::Number(Dimension::LENGTH, _) => Sort::Length.unit(units),
        Kind::Number(Dimension::ANGLE, _) => Sort::Angle.unit(units),
        Kind::Number(Dimension::FORCE, _) => Sort::Force.unit(units),
        Kind::List(of) => unit_of(of, units),
        _ => "",
    }
}

/// A number as it was typed, or several with commas between, each with its unit.
fn with_unit(value: &str, there: Option<&str>, unit: &str) -> Result<String, Refused> {
    Ok(typed::all(&typed::apart(value), there, unit)?.join(", "))
}

/// Several values of an input, `26 mm, 30 mm, 34 mm`.
fn several(value: &str, key: &str, job: &SnapshotJob, line: &crate::job::Line) -> Option<Array> {
    let kind = kind_of(key, job, line)?;
    if !matches!(kind, Kind::Number(..) | Kind::Count | Kind::Row(_) | Kind::Choice(_)) {
        return None;
    }
    let all = typed::apart(value);
    if all.len() < 2 || all.iter().any(|one| one.is_empty()) {
        return None;
    }
    Some(all.into_iter().collect())
}

/// The text typed as a value of the file.
fn of_file(
    value: &str,
    key: &str,
    job: &SnapshotJob,
    line: &crate::job::Line,
) -> Result<Value, Refused> {
    let whole = value.parse::<i64>().ok();
    if key == "quantity" {
        let words = || format!("`{value}` is not a number of pieces: type a whole number");
        let whole = whole.filter(|n| (0..=100_000).contains(n));
        return whole.map(Value::from).ok_or_else(|| Refused::Cannot(words()));
    }
    Ok(match kind_of(key, job, line) {
        Some(Kind::Flag) if value == "true" || value == "false" => Value::from(value == "true"),
        Some(Kind::Count) => whole.map_or_else(|| Value::from(value), Value::from),
        Some(Kind::List(_)) => lists::of_file(value),
        Some(Kind::Record(_)) => value.parse().unwrap_or_else(|_| Value::from(value)),
        _ => Value::from(value),
    })
}

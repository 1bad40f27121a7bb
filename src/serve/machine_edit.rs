//! Edits of the points of the machine that the page requests, as changes of the text.

use crate::geom::Space;
use crate::geom::cross;
use crate::geom::dot;
use crate::geom::length;
use crate::geom::minus;
use crate::geom::plus;
use crate::geom::times;
use crate::geom::unit;
use crate::quantity::Units;
use crate::serve::changed::Changed;
use crate::serve::changed::Refused;
use crate::serve::machine;
use crate::serve::machine::How;
use crate::serve::path;
use crate::serve::points;
use crate::serve::renamed;
use crate::serve::renamed::Named;
use crate::serve::snapshot::Snapshot;
use crate::serve::snapshot::SnapshotJob;
use crate::serve::text;
use crate::serve::typed;
use serde::Deserialize;
use toml_edit::Array;
use toml_edit::InlineTable;
use toml_edit::Value;

/// A change of the points of the machine.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct MachineEdit {
    change: Change,
}

#[derive(Clone, Debug, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
enum Change {
    /// A value by its path: `points.rail.0`, `points.rail.from.foot`, `tape`.
    Set { path: String, value: Option<String>, was: Option<String> },
    /// A new point, by coordinates.
    New { name: String },
    /// A point by another name: what refers to it follows.
    Rename { name: String, to: String },
    /// A point taken out.
    TakeOut { name: String },
    /// One more tape to a point, from another one: with the present distance.
    Tape { name: String, from: String },
    /// A point by tapes from others, where it is now.
    ByTapes { name: String },
    /// A point by coordinates, where it is now.
    ByCoordinates { name: String },
}

impl MachineEdit {
    /// Why it is not made, where the job could not be read then.
    pub(super) fn refused(&self, headline: &str) -> String {
        match &self.change {
            Change::TakeOut { name } => {
                format!(
                    "`{name}` is in use; choose another point where it is used first: {headline}"
                )
            }
            _ => headline.to_owned(),
        }
    }

    /// The text of a job after this.
    pub(super) fn applied(&self, seen: &Snapshot) -> Result<Changed, Refused> {
        let Ok(job) = &seen.job else { return Err(text::NOT_TOML.to_owned().into()) };
        let text = &seen.text;
        let said = |(text, name): (String, String)| Changed { text, name, part: None };
        match &self.change {
            Change::Set { path, value, was } => {
                let value = value.as_deref().map(str::trim).filter(|value| !value.is_empty());
                let units = job.ready.job.units;
                set(text, units, (path, value, was.as_deref())).map(said)
            }
            Change::New { name } => new(seen, job, name.trim()).map(said),
            Change::Rename { name, to } => {
                there(text, name)?;
                free(text, to.trim())?;
                let changed = renamed::renamed(text, Named::Point, name, to.trim())?;
                Ok(said((changed, format!("point {name}: renamed {}", to.trim()))))
            }
            Change::TakeOut { name } => {
                there(text, name)?;
                let changed = path::set(text, &format!("points.{name}"), None)?;
                Ok(said((changed, format!("point {name} removed"))))
            }
            Change::Tape { name, from } => tape(text, job, name, from).map(said),
            Change::ByTapes { name } => {
                let value = by_tapes(text, job, name)?;
                let changed = path::set(text, &format!("points.{name}"), Some(value))?;
                Ok(said((changed, format!("{name}: located by tape"))))
            }
            Change::ByCoordinates { name } => {
                there(text, name)?;
                let at = place(job, name)?;
                let value = coordinates(job.ready.job.units, at);
                let changed = path::set(text, &format!("points.{name}"), Some(value))?;
                Ok(said((changed, format!("{name}: by coordinates"))))
            }
        }
    }
}

/// Sees that a point is still there.
fn there(text: &str, name: &str) -> Result<(), Refused> {
    match machine::written(text).iter().any(|point| point.name == name) {
        true => Ok(()),
        false => Err(Refused::Outside(format!("the point `{name}` is no longer there"))),
    }
}

/// Where a point is.
fn place(job: &SnapshotJob, name: &str) -> Result<Space, Refused> {
    let at = job.ready.job.points.at.get(name).copied();
    at.ok_or_else(|| Refused::Cannot(format!("the position of `{name}` is not known")))
}

fn set(
    text: &str,
    units: Units,
    (path, value, was): (&str, Option<&str>, Option<&str>),
) -> Result<(String, String), Refused> {
    let is_list = path == "centre_plane";
    let is_known = machine::OF_JOB.contains(&path) || path.starts_with("points.");
    if !is_known {
        return Err(format!("`{path}` can only be changed in the text").into());
    }
    let there = match is_list {
        true => path::words(text, path).map(|all| all.join(", ")),
        false => path::get(text, path),
    };
    let called = path.strip_prefix("points.").unwrap_or(path);
    if there.as_deref() != was {
        let now = there.as_deref().unwrap_or("nothing");
        let words =
            format!("`{called}` was changed in the file meanwhile, to {now}; that value is kept");
        return Err(Refused::Outside(words));
    }
    let value = value.map(|value| match is_length(path) {
        true => typed::whole(value, there.as_deref(), units.word()),
        false => Ok(value.to_owned()),
    });
    let value = value.transpose()?;
    let value = value.as_deref();
    let [before, after] = [there.as_deref(), value].map(|value| value.unwrap_or("nothing"));
    let name = format!("{called} {before} → {after}");
    let typed = value.map(|value| match is_list {
        true => Value::Array(value.split(',').map(str::trim).collect::<Array>()),
        false => Value::from(value),
    });
    Ok((path::set(text, path, typed)?, name))
}

/// Whether a length is at a path: the accuracy of the tape, a coordinate, a distance.
fn is_length(path: &str) -> bool {
    match path.split('.').collect::<Vec<_>>()[..] {
        ["tape"] | ["points", _, "by"] | ["points", _, "from", _] => true,
        ["points", _, n] => n.parse::<usize>().is_ok(),
        _ => false,
    }
}

/// Sees that a point may have a name, and that no other has it.
fn free(text: &str, name: &str) -> Result<(), Refused> {
    let is_plain = |c: char| c.is_ascii_alphanumeric() || c == '_';
    let begins = name.starts_with(|c: char| c.is_ascii_alphabetic());
    if !begins || !name.chars().all(is_plain) || name.len() > LONGEST {
        let words = "the name of a point begins with a letter and has only letters, digits and `_`";
        return Err(format!("{words}, {LONGEST} characters at most").into());
    }
    if machine::written(text).iter().any(|point| point.name == name) {
        return Err(format!("there is already a point `{name}`").into());
    }
    Ok(())
}

/// A new point: at the origin, which will not be mistaken for a measurement.
fn new(seen: &Snapshot, job: &SnapshotJob, name: &str) -> Result<(String, String), Refused> {
    free(&seen.text, name)?;
    let value = coordinates(job.ready.job.units, [0.0; 3]);
    let text = path::with_table(&seen.text, "points")?;
    let text = path::set(&text, &format!("points.{name}"), Some(value))?;
    Ok((text, format!("new point {name}")))
}

/// The longest name of a point. Our choice: it is in the picture.
const LONGEST: usize = 40;

fn coordinates(units: Units, at: Space) -> Value {
    Value::Array(at.map(|mm| units.cut_to(mm)).into_iter().collect::<Array>())
}

fn tape(
    text: &str,
    job: &SnapshotJob,
    name: &str,
    from: &str,
) -> Result<(String, String), Refused> {
    there(text, name)?;
    there(text, from)?;
    let far = length(minus(place(job, name)?, place(job, from)?));
    let value = Value::from(job.ready.job.units.cut_to(far));
    let changed = path::set(text, &format!("points.{name}.from.{from}"), Some(value))?;
    Ok((changed, format!("{name}: tape distance from {from}")))
}

/// A point by tapes from three others that are given by coordinates, and on which side of these it is.
fn by_tapes(text: &str, job: &SnapshotJob, name: &str) -> Result<Value, Refused> {
    there(text, name)?;
    let at = place(job, name)?;
    let all = &job.ready.job.points.at;
    let written = machine::written(text);
    let known: Vec<(&str, Space)> = written
        .iter()
        .filter(|point| point.name != name && point.how() == How::Coordinates)
        .filter_map(|point| Some((point.name.as_str(), *all.get(&point.name)?)))
        .take(MAX)
        .collect();
    let n = known.len();
    let threes =
        (0..n).flat_map(|a| (a + 1..n).flat_map(move |b| (b + 1..n).map(move |c| [a, b, c])));
    // Points far apart give the most exact measurement.
    let wide = |of: &[usize; 3]| points::spread(of.map(|i| known[i].1));
    let best = threes.max_by(|a, b| wide(a).total_cmp(&wide(b))).filter(|of| wide(of) > 1.0);
    let of = best.ok_or_else(|| {
        let words =
            "locating by tape needs three other points, given by coordinates and not on one line";
        Refused::Cannot(words.to_owned())
    })?;
    let units = job.ready.job.units;
    let mut from = InlineTable::new();
    for (other, there) in of.map(|i| known[i]) {
        from.insert(other, units.cut_to(length(minus(at, there))).into());
    }
    let mut rule = InlineTable::new();
    rule.insert("from", Value::InlineTable(from));
    let image = image(at, of.map(|i| known[i].1));
    let higher = at[2] - image[2];
    if higher.abs() > ON_EDGE {
        rule.insert("side", if higher > 0.0 { "above" } else { "below" }.into());
    } else {
        let nearer =
            |of: &&(&str, Space)| length(minus(of.1, at)) + ON_EDGE < length(minus(of.1, image));
        match known.iter().find(nearer) {
            Some((other, _)) => rule.insert("near", (*other).into()),
            // In the plane of the three there is one place, and either word says it.
            None if length(minus(at, image)) < ON_EDGE => rule.insert("side", "above".into()),
            None => {
                let words =
                    "no known point distinguishes the two positions in which the three tapes meet";
                return Err(words.to_owned().into());
            }
        };
    }
    Ok(Value::InlineTable(rule))
}

/// Maximum number of points among which three to measure from are sought. Our choice.
const MAX: usize = 40;

/// The two places in which three tapes meet must be farther apart than this, mm. Our choice.
const ON_EDGE: f64 = 1.0;

/// The other place that is as far from three points: the mirror image in their plane.
fn image(at: Space, [a, b, c]: [Space; 3]) -> Space {
    let normal = unit(cross(minus(b, a), minus(c, a)));
    plus(at, times(normal, -2.0 * dot(minus(at, a), normal)))
}

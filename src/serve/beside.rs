//! What changes together with a field of the machine: the keys it replaces are removed, and those
//! that it needs are added, so that the job stays readable.

use crate::serve::begins;
use crate::serve::begins::begin;
use crate::serve::changed::Refused;
use crate::serve::entries;
use crate::serve::entries::Key;
use crate::serve::places;
use crate::serve::points;
use crate::serve::snapshot::Snapshot;
use crate::serve::snapshot::SnapshotJob;
use crate::serve::sort::Sort;
use crate::serve::text;
use crate::serve::text::Entry;
use crate::serve::values;
use crate::serve::values::Of;
use toml_edit::Array;
use toml_edit::Value;

/// Keys with their values.
pub(super) type Keys = Vec<(&'static str, Value)>;

/// Keys that have a meaning only for a link or a tube between points.
const BETWEEN: [&str; 7] = ["from", "to", "travel", "swing", "clearance", "touches", "both_sides"];

/// The text in which a key of an entry may be set to a value, or removed.
///
/// # Errors
/// When it cannot be set before something else is.
pub(super) fn made_room(
    seen: &Snapshot,
    job: &SnapshotJob,
    (of, entry): (&Of, Entry),
    key: &Key,
    value: Option<&str>,
) -> Result<String, Refused> {
    let text = seen.text.clone();
    match (of.kind, key.key, value) {
        ("link" | "tube", "from" | "to", Some(point)) => {
            let text = text::set(&text, entry, length_of(of.kind), None)?;
            other_end(job, text, entry, (key.key, point))
        }
        ("link" | "tube", "from" | "to", None) => free(seen, job, (of, entry)),
        ("obstacle", "from" | "to", Some(point)) => {
            let text = without(text, entry, &["through", "radius"])?;
            other_end(job, text, entry, (key.key, point))
        }
        ("obstacle", "from" | "to", None) => {
            let words = "a tube runs between two points: choose other points, or give the points \
                         it is bent through";
            Err(words.to_owned().into())
        }
        ("obstacle", "through", Some(_)) => {
            let text = without(text, entry, &["from", "to"])?;
            match text::value(&text, entry, "radius") {
                Some(_) => Ok(text),
                None => Ok(text::set(&text, entry, "radius", Some("90 mm".into()))?),
            }
        }
        ("obstacle", "through", None) => {
            let text = without(text, entry, &["radius"])?;
            put(text, entry, ends(job)?)
        }
        ("obstacle", "tube", Some(_)) => without(text, entry, &["outside"]),
        ("obstacle", "outside", Some(_)) if is_tube(&text, entry) => {
            without(text, entry, &["tube"])
        }
        ("obstacle", "shape", Some(shape)) => reshaped(job, text, entry, shape),
        // An end meets a tube by its measures, or one that is there.
        (_, _, Some(_)) if key.sort == Sort::Tube => {
            let (end, _) = key.key.split_once('.').unwrap_or_default();
            without(text, entry, &[end])
        }
        (_, "start.main" | "end.main", Some(_)) => {
            let (end, _) = key.key.split_once('.').unwrap_or_default();
            let met = text::value(&text, entry, &format!("{end}.meets"));
            if met.is_some() { without(text, entry, &[end]) } else { Ok(text) }
        }
        _ => Ok(text),
    }
}

/// The key of the length that follows from two points.
fn length_of(kind: &str) -> &'static str {
    if kind == "link" { "pins" } else { "length" }
}

fn is_tube(text: &str, entry: Entry) -> bool {
    entries::form("obstacle", text, entry) == "obstacle"
}

fn without(mut text: String, entry: Entry, keys: &[&str]) -> Result<String, Refused> {
    for key in keys {
        text = text::set(&text, entry, key, None)?;
    }
    Ok(text)
}

fn put(mut text: String, entry: Entry, keys: Keys) -> Result<String, Refused> {
    for (key, value) in keys {
        text = text::set(&text, entry, key, Some(value))?;
    }
    Ok(text)
}

/// The text with a different point at the other end, if that has none or the same.
fn other_end(
    job: &SnapshotJob,
    text: String,
    entry: Entry,
    (end, point): (&str, &str),
) -> Result<String, Refused> {
    let other = if end == "from" { "to" } else { "from" };
    if text::value(&text, entry, other).is_some_and(|name| name != point) {
        return Ok(text);
    }
    let [_, name] = points::two(job, Some(point))?;
    // In the order in which one reads them.
    let text = text::set(&text, entry, end, Some(Value::from(point)))?;
    Ok(text::set(&text, entry, other, Some(Value::from(name)))?)
}

/// A link or a tube that is no longer between points, and keeps its length.
fn free(seen: &Snapshot, job: &SnapshotJob, (of, entry): (&Of, Entry)) -> Result<String, Refused> {
    let meets = |end: &str| text::value(&seen.text, entry, &format!("{end}.meets")).is_some();
    if ["start", "end"].into_iter().any(meets) {
        let words = "an end is coped to a tube of the machine: choose `square` or a main for that end first";
        return Err(words.to_owned().into());
    }
    let places = places::places(&seen.text, entry);
    let here = places.into_iter().find(|(key, _)| key == "name").map_or(0..0, |(_, [_, at])| at);
    let key = length_of(of.kind);
    let known = values::of(job, of, here).known.get(&(key, 0)).cloned();
    let long = known.ok_or_else(|| Refused::Cannot("its length is not known".to_owned()))?;
    let text = without(seen.text.clone(), entry, &BETWEEN)?;
    Ok(text::set(&text, entry, key, Some(Value::from(long)))?)
}

/// The two ends of a new tube.
fn ends(job: &SnapshotJob) -> Result<Keys, Refused> {
    let [from, to] = points::two(job, None)?.map(Value::from);
    Ok(vec![("from", from), ("to", to)])
}

/// The values a new obstacle of a shape gets, so that it is drawn at once. Our choice.
///
/// # Errors
/// When there are too few points for it.
pub(super) fn of_shape(shape: &str, job: &SnapshotJob) -> Result<Keys, Refused> {
    let list = |all: &[&str]| Value::Array(all.iter().copied().collect::<Array>());
    let first = |of| begin(of, job.ready.job.units);
    Ok(match shape {
        "torus" => {
            let [at, axis] = points::two(job, None)?.map(Value::from);
            let at = [("at", at), ("axis", axis)];
            let [outside, section] = begins::WHEEL.map(|of| first(of).into());
            let size = [("outside", outside), ("section", section)];
            at.into_iter().chain(size).collect()
        }
        "box" => {
            let names = points::beside(job, [None, None, None])?;
            let keys = ["on.origin", "on.x", "on.side"];
            let on = keys.into_iter().zip(names).map(|(key, name)| (key, Value::from(name)));
            on.chain([("size", list(&begins::BOX.map(first)))]).collect()
        }
        "panel" => {
            let names = points::beside(job, [None, None, None])?;
            vec![
                ("corners", list(&names.each_ref().map(String::as_str))),
                ("thickness", first(begins::PANEL).into()),
            ]
        }
        _ => ends(job)?.into_iter().chain([("outside", first(begins::OBSTACLE).into())]).collect(),
    })
}

/// An obstacle of another shape: keys of the old shape are removed, those the new one needs are
/// added.
fn reshaped(
    job: &SnapshotJob,
    mut text: String,
    entry: Entry,
    shape: &str,
) -> Result<String, Refused> {
    let (old, new) = (entries::form("obstacle", &text, entry), entries::obstacle(shape));
    if old == new {
        return Ok(text);
    }
    let has = |form: &str, key: &str| entries::keys(form).iter().any(|known| known.key == key);
    // The outside of a ring is not that of a tube.
    let is_kept = |key: &str| has(new, key) && key != "outside";
    for key in entries::keys(old).iter().filter(|key| !is_kept(key.key)) {
        text = text::set(&text, entry, key.key, None)?;
    }
    let needed = of_shape(shape, job)?;
    let missing = needed.into_iter().filter(|(key, _)| text::values(&text, entry, key).is_none());
    let missing: Keys = missing.collect();
    put(text, entry, missing)
}

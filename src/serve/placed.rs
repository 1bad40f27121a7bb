//! Where a part is in the machine: the points of its drawing or of its holes, as fields.

use crate::serve::changed::Changed;
use crate::serve::changed::Refused;
use crate::serve::labels;
use crate::serve::places;
use crate::serve::points;
use crate::serve::snapshot::ListedPart;
use crate::serve::snapshot::Snapshot;
use crate::serve::snapshot::SnapshotJob;
use crate::serve::text;
use crate::serve::text::Entry;
use serde_json::Value;
use serde_json::json;
use toml_edit::Value as Typed;

/// The keys of the frame of a drawing.
const AXES: [&str; 3] = ["origin", "x", "side"];

/// The key of a part that is on both sides.
const BOTH_SIDES: &str = "both_sides";

/// What each of them is.
const ABOUT: [&str; 3] = [
    "the point at the origin of its drawing, on its top side",
    "a point on its x axis",
    "a point on the side to which y points",
];

/// The holes that are placed by points.
fn holes(text: &str, entry: Entry) -> Vec<String> {
    let all = places::places(text, entry);
    all.iter().filter_map(|(key, _)| key.strip_prefix("on.holes.").map(str::to_owned)).collect()
}

/// Whether its pieces are in several places, which only the text can give.
fn is_several(text: &str, entry: Entry) -> bool {
    text::value(text, entry, "on").is_some_and(|words| words.trim_start().starts_with('['))
}

/// The fields of a part that place it in the machine; none in a job without points.
pub(super) fn fields(seen: &Snapshot, job: &SnapshotJob, entry: Entry) -> Vec<Value> {
    let names: Vec<[String; 2]> =
        job.ready.job.points.at.keys().map(|name| [name.clone(), name.clone()]).collect();
    let holes = holes(&seen.text, entry);
    if names.is_empty() {
        return Vec::new();
    }
    let several =
        is_several(&seen.text, entry).then_some("several positions: change them in the text");
    let one = |key: String, called: String, about: &str, given: Option<String>, default| {
        json!({
            "key": key, "called": called, "hint": "on", "kind": "choice", "about": about,
            "group": "In the machine", "given": given, "value": null, "default": default,
            "min": null, "max": null, "options": names, "open": null, "elsewhere": several,
        })
    };
    if holes.is_empty() {
        let axis = |(key, about): (&&str, &&str)| {
            let (key, given) = (format!("on.{key}"), format!("on.{key}"));
            let given = seen.value(entry, &given);
            one(key.clone(), labels::label(&key), about, given, Some(""))
        };
        let axes: Vec<Value> = AXES.iter().zip(&ABOUT).map(axis).collect();
        let sides = both_sides(seen, job, entry);
        return axes.into_iter().chain(sides).collect();
    }
    let about = "the point at its centre, on the top side";
    let hole = |name: &String| {
        let key = format!("on.holes.{name}");
        let given = places::deep(&seen.text, entry, &["on", "holes", name]);
        one(key, format!("hole {name} at point"), about, given, None)
    };
    holes.iter().map(hole).collect()
}

/// The field that says whether it is on both sides; none while it has no place, or the machine no centre plane.
fn both_sides(seen: &Snapshot, job: &SnapshotJob, entry: Entry) -> Option<Value> {
    job.ready.job.machine.mirror.as_ref()?;
    seen.value(entry, "on.origin")?;
    let options = ["true", "false"].map(|word| [word, word]);
    Some(json!({
        "key": "on.both_sides", "called": labels::label("both_sides"), "hint": "on", "kind": "choice",
        "about": "the same on the other side, mirrored in the centre plane of the machine",
        "group": "In the machine", "given": seen.value(entry, BOTH_SIDES), "value": null,
        "default": "false", "min": null, "max": null, "options": options, "open": null,
        "elsewhere": null,
    }))
}

/// The text in which a part is placed at another point; without one it has no place.
///
/// # Errors
/// When the text has been changed meanwhile, or there are too few points.
pub(super) fn set(
    seen: &Snapshot,
    job: &SnapshotJob,
    (listed, entry): (ListedPart, Entry),
    (key, value, was): (&str, Option<&str>, Option<&str>),
) -> Result<Changed, Refused> {
    let path: Vec<&str> = match key.split_once('.') {
        Some((holes, name)) => vec!["on", holes, name],
        None => vec!["on", key],
    };
    let path = if key == BOTH_SIDES { vec![BOTH_SIDES] } else { path };
    let there = places::deep(&seen.text, entry, &path);
    let is_known = AXES.contains(&key) || key == BOTH_SIDES || there.is_some();
    if !is_known || is_several(&seen.text, entry) {
        return Err(format!("`on.{key}` can only be changed in the text").into());
    }
    if there.as_deref() != was {
        let now = there.as_deref().unwrap_or("nothing");
        let words =
            format!("`on.{key}` was changed in the file meanwhile, to {now}; that value is kept");
        return Err(Refused::Outside(words));
    }
    let line = &job.ready.job.lines[listed.line].name;
    let [before, after] = [there.as_deref(), value].map(|value| value.unwrap_or("nothing"));
    let name = format!("{line}: {key} in the machine {before} → {after}");
    let changed = |text: String| Changed { text, name, part: Some(listed.name.to_owned()) };
    if key == BOTH_SIDES {
        let both = value.filter(|value| *value == "true").map(|_| Typed::from(true));
        return Ok(changed(text::set(&seen.text, entry, BOTH_SIDES, both)?));
    }
    let Some(value) = value else {
        // What has no place is on no side.
        let text = text::set(&seen.text, entry, "on", None)?;
        return Ok(changed(text::set(&text, entry, BOTH_SIDES, None)?));
    };
    let mut text = places::set_deep(&seen.text, entry, &path, Typed::from(value))?;
    if path.len() == 2 {
        // Missing points are added: ones that are not on one line.
        let given = AXES.map(|key| places::deep(&text, entry, &["on", key]));
        for (key, name) in AXES.iter().zip(points::beside(job, given)?) {
            text = places::set_deep(&text, entry, &["on", key], Typed::from(name))?;
        }
    }
    Ok(changed(text))
}

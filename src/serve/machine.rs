//! The machine round the parts as the page shows it: its picture, its points as measured, its
//! links, tubes and obstacles, and the clearances.

use crate::diag::Finding;
use crate::diag::Span;
use crate::drawings;
use crate::num;
use crate::quantity::Units;
use crate::serve::entries;
use crate::serve::found;
use crate::serve::found::FoundRow;
use crate::serve::part::paper_room;
use crate::serve::path;
use crate::serve::places;
use crate::serve::snapshot::Snapshot;
use crate::serve::snapshot::SnapshotJob;
use crate::serve::text;
use crate::solve::Machine;
use serde_json::Value;
use serde_json::json;
use std::ops::Range;

/// The places in the text of a key and of its value.
type Places = [Range<usize>; 2];

/// The keys of the job itself that are about its points.
pub(super) const OF_JOB: [&str; 2] = ["tape", "centre_plane"];

/// How a point is measured.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum How {
    Coordinates,
    Tapes,
    /// Located otherwise than by coordinates or tapes: along a line, mirrored.
    Other,
}

impl How {
    const fn word(self) -> &'static str {
        match self {
            Self::Coordinates => "coordinates",
            Self::Tapes => "tapes",
            Self::Other => "other",
        }
    }
}

/// A point as written: its name, and the paths of its values with their places, those of whole
/// lists left out.
pub(super) struct Written {
    pub(super) name: String,
    pub(super) values: Vec<(String, Places)>,
}

impl Written {
    pub(super) fn how(&self) -> How {
        let below = |of: &(String, Places)| of.0[self.name.len()..].to_owned();
        let all: Vec<String> = self.values.iter().map(below).collect();
        let is_tape =
            |key: &String| key.starts_with(".from.") || matches!(key.as_str(), ".side" | ".near");
        match all.first() {
            Some(key) if key.starts_with('.') && all.iter().all(is_tape) => How::Tapes,
            Some(key) if key.starts_with('.') => How::Other,
            _ => How::Coordinates,
        }
    }
}

/// The points of a text in their order.
pub(super) fn written(text: &str) -> Vec<Written> {
    let mut all: Vec<Written> = Vec::new();
    let places = places::places_below(text, "points");
    for (key, places) in &places {
        let end = key.find(['.', '-']).unwrap_or(key.len());
        if all.last().is_none_or(|last| last.name != key[..end]) {
            all.push(Written { name: key[..end].to_owned(), values: Vec::new() });
        }
        if let Some(last) = all.last_mut() {
            last.values.push((key.clone(), places.clone()));
        }
    }
    for point in &mut all {
        let keys: Vec<String> = point.values.iter().map(|(key, _)| key.clone()).collect();
        let within = |key: &str| {
            keys.iter().any(|other| {
                let rest = other.strip_prefix(key);
                rest.is_some_and(|rest| rest.starts_with(['.', '-']))
            })
        };
        point.values.retain(|(key, _)| !within(key));
    }
    all
}

/// The path of a value in the job: `points.rail.0` of `rail-1`.
fn path_of(key: &str) -> String {
    match key.rsplit_once('-').and_then(|(stem, n)| Some((stem, n.parse::<usize>().ok()?))) {
        Some((stem, n)) => format!("points.{stem}.{}", n.saturating_sub(1)),
        None => format!("points.{key}"),
    }
}

/// The machine in a room of some px.
pub(super) fn machine(seen: &Snapshot, shown: &str, room: [f64; 2]) -> Value {
    let job = seen.job.as_ref().ok();
    let points = written(&seen.text);
    let (findings, sources) = seen.findings();
    let fields_at = at(&seen.text, &points);
    let row = |finding: &Finding| -> Option<FoundRow> {
        let own = finding.marks.iter().filter(|mark| sources.name(mark.span.source) == shown);
        let field = own.filter_map(|mark| fields_at(mark.span)).next();
        // What keeps the job from being read came of this.
        let is_here = field.is_some() || job.is_none() || finding.code == "machine-clearance";
        is_here.then(|| found::row(finding, sources, shown, field))
    };
    let rows: Vec<FoundRow> = findings.iter().filter_map(row).collect();
    let names: Vec<&str> = points.iter().map(|point| point.name.as_str()).collect();
    let units = job.map_or(Units::Millimetre, |job| job.ready.job.units);
    let none = Machine::default();
    let stand = job.filter(|_| !points.is_empty());
    let stand = stand.map(|job| (job, job.ready.machine.as_ref().unwrap_or(&none)));
    json!({
        "picture": stand.as_ref().and_then(|(job, machine)| {
            drawings::machine_element(&job.ready.job, machine, paper_room(room), None)
        }),
        "fields": OF_JOB.map(|key| of_job(&seen.text, key, &names, units)),
        "points": points.iter().map(|of| point(seen, of, &names, units)).collect::<Vec<_>>(),
        "findings": rows,
        "bodies": stand.as_ref().map(|(_, machine)| {
            (0..machine.bodies.len()).map(|i| machine.bodies[i].words()).collect::<Vec<_>>()
        }),
        "clearances": stand.as_ref().map(|(job, machine)| clearances(job, machine)),
        "entries": bodies(seen),
    })
}

/// The field of a place of the text.
fn at<'a>(text: &'a str, points: &'a [Written]) -> impl Fn(Span) -> Option<String> + 'a {
    let of_job = OF_JOB.map(|key| (key, path::place(text, key)));
    move |span: Span| {
        let holds = |range: &Range<usize>| range.start <= span.start && span.end <= range.end;
        let own = points.iter().flat_map(|point| &point.values);
        let known = own.filter(|(_, places)| places.iter().any(holds)).map(|(key, _)| path_of(key));
        let whole = || {
            let places = places::places_below(text, "points");
            let (key, _) = places.iter().find(|(_, places)| places.iter().any(holds))?;
            let end = key.find(['.', '-']).unwrap_or(key.len());
            let point = points.iter().find(|point| point.name == key[..end])?;
            Some(path_of(&point.values.first()?.0))
        };
        let top = || {
            let own = of_job.iter().find(|(_, at)| at.as_ref().is_some_and(holds));
            own.map(|(key, _)| (*key).to_owned())
        };
        known.into_iter().next().or_else(whole).or_else(top)
    }
}

fn of_job(text: &str, key: &str, names: &[&str], units: Units) -> Value {
    let is_plane = key == "centre_plane";
    let given = match is_plane {
        true => path::words(text, key).map(|all| all.join(", ")),
        false => path::get(text, key),
    };
    let value = (!is_plane).then(|| units.length(USUAL_TAPE));
    json!({
        "key": key,
        "called": if is_plane { "centre plane" } else { "tape accuracy, ±" },
        "hint": key,
        "kind": if is_plane { "names" } else { "number" },
        "unit": units.word(),
        "about": units.said(&entries::about_job(key)),
        "given": given, "value": value, "default": "", "min": null, "max": null,
        "options": if is_plane { choices(names) } else { Vec::new() },
    })
}

/// The default error of one measurement, mm: that of the language.
const USUAL_TAPE: f64 = 1.0;

fn choices(names: &[&str]) -> Vec<[String; 2]> {
    names.iter().map(|name| [(*name).to_owned(), (*name).to_owned()]).collect()
}

/// A point: how it is measured, with a field for each value, and where it is.
fn point(seen: &Snapshot, of: &Written, names: &[&str], units: Units) -> Value {
    let job = seen.job.as_ref().ok();
    let at = job.and_then(|job| job.ready.job.points.at.get(&of.name));
    let show = |mm: f64| units.cut_to(mm);
    let others: Vec<&str> = names.iter().filter(|name| **name != of.name).copied().collect();
    let how = of.how();
    let mut fields: Vec<Value> =
        of.values.iter().map(|(key, _)| field(seen, key, &others, units)).collect();
    // Keys that a point by tapes may have, and does not.
    for key in ["side", "near"].iter().filter(|_| how == How::Tapes) {
        let path = format!("{}.{key}", of.name);
        if of.values.iter().all(|(known, _)| *known != path) {
            fields.push(field(seen, &path, &others, units));
        }
    }
    json!({
        "name": of.name,
        "how": how.word(),
        "at": at.map(|at| at.map(show).join(", ")),
        "fields": fields,
        "others": others,
    })
}

/// The sides of a line or of a plane that a point may lie on.
const SIDES: [&str; 4] = ["above", "below", "left", "right"];

fn field(seen: &Snapshot, key: &str, others: &[&str], units: Units) -> Value {
    let path = path_of(key);
    let below = key.split_once(['.', '-']).map_or("", |(_, rest)| rest);
    let (first, rest) = below.split_once(['.', '-']).unwrap_or((below, ""));
    let nth = |n: &str| match n {
        "1" => "first point",
        "2" => "second point",
        _ => "third point",
    };
    let (called, about, kind, default): (String, String, &str, Option<&str>) = match first {
        "1" | "2" | "3" if !key.contains('.') => {
            let axis = ["x", "y", "z"][first.parse::<usize>().map_or(0, |n| n - 1)];
            (axis.to_owned(), String::new(), "number", None)
        }
        "from" => (
            format!("tape distance from {rest}"),
            format!("distance from {rest}"),
            "number",
            Some(""),
        ),
        "side" => ("side".into(), "which of the two possible positions".into(), "side", Some("")),
        "near" => (
            "nearer to".into(),
            "the possible position nearer to this point".into(),
            "point",
            Some(""),
        ),
        "along" | "over" => {
            let words = if first == "along" {
                "along the line through two points"
            } else {
                "mirrored in, or swung about, the line or plane through these"
            };
            (format!("{first}, {}", nth(rest)), words.into(), "point", None)
        }
        "mirror" => ("mirror image of".into(), String::new(), "point", None),
        "by" => ("by".into(), "from the first point towards the second".into(), "number", None),
        _ => (below.replace(['.', '_', '-'], " "), String::new(), "word", None),
    };
    let options = match kind {
        "side" => choices(&SIDES),
        "point" => choices(others),
        _ => Vec::new(),
    };
    let kind = if options.is_empty() { kind } else { "choice" };
    json!({
        "key": path, "called": called, "hint": called, "kind": kind,
        "unit": if kind == "number" { units.word() } else { "" },
        "about": about, "given": path::get(&seen.text, &path), "value": null,
        "default": default, "min": null, "max": null, "options": options,
    })
}

/// The clearances between bodies, the smallest first.
fn clearances(job: &SnapshotJob, machine: &Machine) -> Vec<Value> {
    let all = &job.ready.job;
    let show = |mm: f64| all.units.length(num::on_grid(mm));
    let rows = machine.clearances.iter().map(|of| {
        let left = if of.is_contact() {
            "contact".to_owned()
        } else {
            show(all.units.clearance(of.distance))
        };
        json!({
            "between": of.bodies.map(|i| machine.bodies[i].words()),
            "clearance": left,
            "required": show(of.needed),
            "state": [usize::from(of.is_contact()), usize::from(!of.is_contact() && of.is_short())],
        })
    });
    let bolted = machine.bolted.iter().map(|of| {
        json!({
            "between": of.bodies.map(|i| machine.bodies[i].words()),
            "clearance": of.words(), "required": "", "state": [0, 0],
        })
    });
    rows.take(MAX).chain(bolted).collect()
}

/// Maximum number of clearances shown. Our choice: larger ones are of no interest.
const MAX: usize = 40;

/// The links, tubes and obstacles with points of their own, each with its place on the page.
fn bodies(seen: &Snapshot) -> Vec<Value> {
    let mut all = Vec::new();
    for kind in ["obstacle", "tube", "link"] {
        for index in 0..text::count(&seen.text, kind) {
            let Some(entry) = text::Entry::new(kind, index) else { continue };
            let get = |key: &str| seen.value(entry, key);
            if kind != "obstacle" && get("from").is_none() {
                continue;
            }
            let keys = ["shape", "tube", "from", "to"];
            let words: Vec<String> = keys.iter().filter_map(|key| get(key)).collect();
            all.push(json!({
                "place": format!("{kind}/{index}"),
                "kind": kind,
                "name": get("name"),
                "words": words.join(", "),
            }));
        }
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    const JOB: &str = "tape = \"2 mm\"\n\n[points]\na = [\"0 mm\", \"1 mm\", \"2 mm\"]\nb = { from = { a = \"5 mm\", c = \"6 mm\" }, side = \"above\" }\nc = { along = [\"a\", \"b\"], by = \"3 mm\" }\n";

    #[test]
    fn points_are_read_by_how_they_are_measured() {
        let all = written(JOB);
        let how: Vec<(&str, How)> = all.iter().map(|of| (of.name.as_str(), of.how())).collect();
        assert_eq!(how, [("a", How::Coordinates), ("b", How::Tapes), ("c", How::Other)]);
        let paths = |i: usize| -> Vec<String> {
            all[i].values.iter().map(|(key, _)| path_of(key)).collect()
        };
        assert_eq!(paths(0), ["points.a.0", "points.a.1", "points.a.2"]);
        assert_eq!(paths(1), ["points.b.from.a", "points.b.from.c", "points.b.side"]);
        assert_eq!(paths(2), ["points.c.along.0", "points.c.along.1", "points.c.by"]);
        for path in (0..3).flat_map(paths) {
            assert!(path::get(JOB, &path).is_some(), "{path}");
        }
    }
}

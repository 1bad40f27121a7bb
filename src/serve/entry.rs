//! A link, a tube, a load or a joint as the page shows it: its form, its picture, its findings and
//! known values.

mod judged;
mod picture;

use crate::diag::Finding;
use crate::diag::Span;
use crate::diag::Weight;
use crate::link::LinkLoad;
use crate::quantity::Units;
use crate::report::Beside;
use crate::serve::entries;
use crate::serve::entries::Key;
use crate::serve::entries::Many;
use crate::serve::entry::judged::load;
use crate::serve::entry::picture::flat;
use crate::serve::found;
use crate::serve::found::FoundRow;
use crate::serve::joined;
use crate::serve::labels;
use crate::serve::nested;
use crate::serve::nested_edit;
use crate::serve::path;
use crate::serve::places;
use crate::serve::snapshot::Snapshot;
use crate::serve::snapshot::SnapshotJob;
use crate::serve::sort::Sort;
use crate::serve::text;
use crate::serve::text::Entry;
use crate::serve::values;
use crate::serve::values::Of;
use crate::serve::values::Values;
use crate::serve::values::is_at;
use crate::solve;
use crate::workshop::Ready;
use serde_json::Map;
use serde_json::Value;
use serde_json::json;

/// The stops of a link that cannot be made at all: it is not drawn as if it could.
const IMPOSSIBLE: [&str; 2] = ["link-engagement", "nothing-fits"];

/// All entries other than parts, each with its findings.
pub(super) fn list(seen: &Snapshot, shown: &str) -> Value {
    let of_kind = |kind: &str| -> Vec<Value> {
        let all = (0..text::count(&seen.text, kind)).filter_map(|i| Entry::new(kind, i));
        all.map(|entry| {
            let state = state(seen, entry, &found_in(seen, shown, entry));
            let beside = beside(seen, kind, entry);
            json!({
                "name": seen.value(entry, entries::name_key(kind)),
                "state": state,
                "said": beside.said(state),
                "notes": beside.count(),
                "checking": checking(seen, kind),
                "words": words(seen, kind, entry),
            })
        })
        .collect()
    };
    entries::KINDS
        .iter()
        .map(|kind| ((*kind).to_owned(), json!(of_kind(kind))))
        .collect::<Map<_, _>>()
        .into()
}

/// What has not been checked yet of an entry, in words: loads are judged after the parts they act
/// on.
fn checking(seen: &Snapshot, kind: &str) -> Option<&'static str> {
    let job = seen.job.as_ref().ok().filter(|_| kind == "load")?;
    job.checking(None).map(|_| "strength being checked")
}

/// The number of stops and cautions of an entry. A stop of a part stops a load on it as well:
/// nothing is judged then.
fn state(seen: &Snapshot, entry: Entry, found: &[(&Finding, Option<String>)]) -> [usize; 2] {
    let own = || found.iter().map(|(finding, _)| *finding);
    let part = seen.value(entry, "part");
    let stops = part.into_iter().flat_map(|part| stops_of(seen, &part));
    SnapshotJob::count(
        own().chain(stops.filter(|stop| own().all(|known| !std::ptr::eq(known, *stop)))),
    )
}

/// Open points beside the findings: the limits of a load that are not judged.
fn beside(seen: &Snapshot, kind: &str, entry: Entry) -> Beside {
    if let ("joint", Ok(job)) = (kind, &seen.job) {
        let row = seen.value(entry, "name").and_then(|name| joined::joint_row(job, &name));
        return Beside { fits: 0, limits: row.map_or(0, |row| row.not_judged.len()) };
    }
    let Some(job) = seen.job.as_ref().ok().filter(|_| kind == "load") else {
        return Beside::default();
    };
    let (here, Ready { job: all, solved, .. }) = (here(seen, entry), &job.ready);
    let on_parts = solved.iter().flat_map(|solved| &solved.verdicts);
    let on_parts = on_parts.filter(|(span, _)| is_at(*span, &here));
    let on_parts: usize = on_parts.map(|(_, verdict)| verdict.not_judged.len()).sum();
    let is_here = |load: &&LinkLoad| is_at(load.here, &here);
    let along: usize = all.link_loads.iter().find(is_here).map_or(0, |load| {
        let link = &all.links[load.link].name;
        let verdicts = solve::link_verdicts(all, solved).into_iter();
        let own = verdicts.filter(|of| of.case == load.name && of.link == *link);
        own.map(|of| of.not_judged.len()).sum()
    });
    Beside { fits: 0, limits: on_parts + along }
}

/// What stops the parts of a line.
fn stops_of<'s>(seen: &'s Snapshot, line: &str) -> Vec<&'s Finding> {
    let Ok(job) = &seen.job else { return Vec::new() };
    let lines = &job.ready.job.lines;
    let of_line = job.parts().into_iter().filter(|part| lines[part.line].name == line);
    let found = of_line.flat_map(|part| job.found(part));
    found.filter(|finding| finding.weight == Weight::Stop).collect()
}

/// An entry in a line.
fn words(seen: &Snapshot, kind: &str, entry: Entry) -> String {
    let get = |key: &str| text::values(&seen.text, entry, key).map(|all| all.join(", "));
    let said: Vec<String> = match kind {
        "load" => {
            ["part", "link", "force", "direction"].iter().filter_map(|key| get(key)).collect()
        }
        "link" => ["pins", "rod_end", "from", "to"].iter().filter_map(|key| get(key)).collect(),
        "joint" => {
            let mut said = vec![get("bolt").unwrap_or_default()];
            let layers = (0..).map_while(|n| layer(&seen.text, entry.index, n));
            said.extend(layers);
            said
        }
        "tube_end" => {
            let end = get("end").unwrap_or_else(|| "end".to_owned());
            let more = ["cap", "cheeks", "bung", "stub"].iter().filter_map(|key| get(key));
            std::iter::once(end).chain(more).collect()
        }
        "obstacle" => {
            ["shape", "tube", "outside", "from", "to"].iter().filter_map(|key| get(key)).collect()
        }
        _ => ["length", "tube", "from", "to"].iter().filter_map(|key| get(key)).collect(),
    };
    said.join(", ")
}

/// A layer of a joint in a few words.
fn layer(text: &str, joint: usize, n: usize) -> Option<String> {
    let path = format!("joint.{joint}.stack.{n}");
    let filled = ["laminate", "rubber", "spacer", "barrier"]
        .iter()
        .find_map(|word| Some(format!("{word} {}", path::get(text, &format!("{path}.{word}"))?)));
    filled.or_else(|| path::get(text, &path))
}

/// The findings that point into an entry; where the job cannot be read, all of them.
pub(super) fn found_of<'s>(seen: &'s Snapshot, shown: &str, of: &Of) -> Vec<&'s Finding> {
    match (&seen.job, Entry::new(of.kind, of.index)) {
        (Ok(_), Some(entry)) => {
            found_in(seen, shown, entry).into_iter().map(|(finding, _)| finding).collect()
        }
        _ => seen.findings().0.iter().collect(),
    }
}

/// The findings that point into an entry, each with the key it points at.
fn found_in<'s>(
    seen: &'s Snapshot,
    shown: &str,
    entry: Entry,
) -> Vec<(&'s Finding, Option<String>)> {
    let places = places::places(&seen.text, entry);
    let (findings, sources) = seen.findings();
    let at = |span: Span| {
        let holds = |range: &std::ops::Range<usize>| {
            range.start <= span.start && span.end <= range.end && span.end > 0
        };
        let own = |(_, places): &&(String, [std::ops::Range<usize>; 2])| places.iter().any(holds);
        places.iter().find(own).map(|(key, _)| key.clone())
    };
    let found = findings.iter().filter_map(|finding| {
        let mut marks = finding.marks.iter().filter(|mark| sources.name(mark.span.source) == shown);
        let key = marks.find_map(|mark| at(mark.span))?;
        Some((finding, Some(key)))
    });
    found.collect()
}

/// An entry with its picture in an area of some px; `None` if there is none.
pub(super) fn entry(
    seen: &Snapshot,
    shown: &str,
    of: &Of,
    room: [f64; 2],
    options: &dyn Fn(&Key, Units) -> Vec<[String; 2]>,
) -> Option<Value> {
    let entry = Entry::new(of.kind, of.index)?;
    let form = entries::form(of.kind, &seen.text, entry);
    let keys = entries::keys(form);
    if of.index >= text::count(&seen.text, of.kind) || keys.is_empty() {
        return None;
    }
    let job = seen.job.as_ref().ok();
    let (all, sources) = seen.findings();
    let found = found_in(seen, shown, entry);
    // What keeps the job from being read came of this entry, wherever it points.
    let rest = all.iter().filter(|finding| {
        job.is_none() && !found.iter().any(|(known, _)| std::ptr::eq(*known, *finding))
    });
    let rows = found.iter().map(|(finding, key)| (*finding, key.clone()));
    let rows = rows.chain(rest.map(|finding| (finding, None)));
    let (units, choices) = (seen.units(), job.map(joined::choices).unwrap_or_default());
    let (state, beside) = (state(seen, entry, &found), beside(seen, of.kind, entry));
    let values = job.map_or_else(Values::default, |job| joined::known(job, of, here(seen, entry)));
    let fields: Vec<Value> = keys
        .iter()
        .filter(|key| is_shown(seen, entry, key))
        .flat_map(|key| match key.sort {
            Sort::Tables => nested::fields(&seen.text, (form, of.index), units, &choices),
            _ => fields(seen, (form, entry, key), &values, &|key| options(key, units)),
        })
        .collect();
    let row = |(finding, key): (&Finding, Option<String>)| {
        let field = key.map(|key| match nested::field(form, &key) {
            Some(name) => first_of(&fields, name),
            None => field(keys, &key),
        });
        found::row(finding, sources, shown, field)
    };
    let findings: Vec<FoundRow> = rows.map(row).collect();
    let is_possible = !found.iter().any(|(finding, _)| IMPOSSIBLE.contains(&finding.code));
    Some(json!({
        "kind": of.kind,
        "index": of.index,
        "name": seen.value(entry, entries::name_key(of.kind)),
        "fields": fields,
        "rows": nested_edit::shown(&seen.text, (form, of.index), &choices),
        "line": 1 + seen.text[..here(seen, entry).start].matches('\n').count(),
        "state": state,
        "said": beside.said(state),
        "notes": beside.count(),
        "checking": checking(seen, of.kind),
        "findings": findings,
        "flat": job.filter(|_| is_possible).and_then(|job| flat(job, of, here(seen, entry), room)),
        "load": job.and_then(|job| load(job, here(seen, entry))),
        "facts": if is_possible { values.facts } else { Vec::new() },
        "held_by": values.held_by,
    }))
}

/// Whether a key has a field: what places something in a machine has one where there are points.
fn is_shown(seen: &Snapshot, entry: Entry, key: &Key) -> bool {
    let has_points = seen.job.as_ref().is_ok_and(|job| !job.ready.job.points.at.is_empty());
    has_points || !entries::is_of_machine(key) || text::values(&seen.text, entry, key.key).is_some()
}

/// Where the name of an entry is in the text.
fn here(seen: &Snapshot, entry: Entry) -> std::ops::Range<usize> {
    let places = places::places(&seen.text, entry);
    let name = entries::name_key(entry.kind());
    places.into_iter().find(|(key, _)| key == name).map_or(0..0, |(_, [_, value])| value)
}

/// The field of a name, else the first below it.
fn first_of(fields: &[Value], name: String) -> String {
    let below = format!("{name}.");
    let names = || fields.iter().filter_map(|field| field["key"].as_str());
    let known = names().find(|key| *key == name);
    let first = known.or_else(|| names().find(|key| key.starts_with(&below)));
    first.map(str::to_owned).unwrap_or(name)
}

/// The field that a key of the text belongs to.
fn field(keys: &[Key], key: &str) -> String {
    let stem = key.rsplit_once('-').map_or(key, |(stem, _)| stem);
    let of_two = |known: &&Key| known.many.is_two() && (known.key == key || known.key == stem);
    if keys.iter().any(|known| of_two(&known)) {
        return if key == stem { format!("{key}-1") } else { key.to_owned() };
    }
    // One of a list that is in one field.
    if keys.iter().any(|known| known.many == Many::List && known.key == stem) {
        return stem.to_owned();
    }
    // A table under a key: the first of its own keys.
    let within = |known: &&Key| known.key == key || known.key.starts_with(&format!("{key}."));
    keys.iter().find(within).map_or(key, |known| known.key).to_owned()
}

/// What kind of field a key has.
fn kind_of(key: &Key) -> &'static str {
    match key.sort {
        Sort::Word => "word",
        Sort::Count => "count",
        Sort::Length | Sort::Angle | Sort::Force => "number",
        _ if key.many == Many::List => "names",
        Sort::Row(_) => "row",
        Sort::Choice(_) | Sort::Part | Sort::Point | Sort::Tube | Sort::Flag => "choice",
        Sort::Body => "names",
        Sort::Hole | Sort::Edge | Sort::Direction | Sort::Main => "free",
        // Each of their values has a kind.
        Sort::Tables => "word",
    }
}

/// The fields of a key: one, or one for each end.
fn fields(
    seen: &Snapshot,
    (form, entry, key): (&str, Entry, &Key),
    values: &Values,
    options: &dyn Fn(&Key) -> Vec<[String; 2]>,
) -> Vec<Value> {
    let about = entries::about(form, key.key);
    // Each end has a separate field here.
    let about = values.units.said(about.split(": for both ends").next().unwrap_or_default());
    let default = values.units.said(key.default);
    let unit = if key.many == Many::List { "" } else { key.sort.unit(values.units) };
    let sort = kind_of(key);
    let is_free = !key.needed || entries::follows(key, &seen.text, entry);
    let own = |n: usize| values.known.get(&(key.key, n)).cloned();
    let one = |name: String, called: String, given: Option<String>, n: usize| {
        json!({
            "key": name,
            "called": called,
            "hint": key.key,
            "group": labels::group(form, key.key),
            "kind": sort,
            "about": about,
            "given": given.clone(),
            "value": own(n).or_else(|| (!default.is_empty()).then(|| default.clone())),
            "default": is_free.then_some(&default),
            "open": open(values, key, given.as_deref()),
            "elsewhere": given.is_none().then(|| values::source(key, &seen.text, entry)).flatten(),
            "as": values::met(key, &seen.text, entry),
            "unit": unit,
            "min": null,
            "max": null,
            "options": values.options.get(key.key).cloned().unwrap_or_else(|| options(key)),
        })
    };
    let called = labels::label_in(form, key.key);
    if key.many == Many::List {
        let given = text::values(&seen.text, entry, key.key).map(|all| all.join(", "));
        return vec![one(key.key.to_owned(), called, given, 0)];
    }
    if key.many == Many::One {
        let given = seen.value(entry, key.key);
        // A word in place of a table: an end that is cut square.
        let given = given.or_else(|| {
            let (table, _) = key.key.split_once('.')?;
            let word = text::values(&seen.text, entry, table)?.pop()?;
            (key.sort == Sort::Main && !word.starts_with('{')).then_some(word)
        });
        return vec![one(key.key.to_owned(), called, given, 0)];
    }
    let given = text::values(&seen.text, entry, key.key);
    let words = if key.many == Many::Ends { ["end 1", "end 2"] } else { ["x", "y"] };
    let of = |n: usize| {
        let given = given.as_ref().and_then(|all| all.get(n).or(all.first()).cloned());
        one(format!("{}-{}", key.key, n + 1), format!("{called}, {}", words[n]), given, n)
    };
    vec![of(0), of(1)]
}

/// A field with several values to choose from: which was chosen, and why nothing lighter.
fn open(values: &Values, key: &Key, given: Option<&str>) -> Option<Value> {
    let typed = given.filter(|given| matches!(key.sort, Sort::Row("tube")) && given.contains(", "));
    let mut open = values.chosen.get(key.key).cloned().unwrap_or_else(|| json!({}));
    open["typed"] = json!(typed.filter(|_| key.many == Many::List)?);
    Some(open)
}

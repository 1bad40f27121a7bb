//! A part as the page shows it: its drawing, its form, its bends, its findings and facts.

use crate::diag::Finding;
use crate::drawings;
use crate::formula::Value as Worth;
use crate::job::Line;
use crate::num;
use crate::num::Angle;
use crate::quantity;
use crate::quantity::Dimension;
use crate::quantity::MM_PER_INCH;
use crate::quantity::Quantity;
use crate::quantity::Reading;
use crate::quantity::Units;
use crate::recipe::Kind;
use crate::report;
use crate::serve::form::FormInput;
use crate::serve::found;
use crate::serve::found::CausedBy;
use crate::serve::found::FoundRow;
use crate::serve::lists;
use crate::serve::placed;
use crate::serve::snapshot::ListedPart;
use crate::serve::snapshot::Snapshot;
use crate::serve::snapshot::SnapshotJob;
use crate::serve::text::Entry;
use crate::solve;
use crate::solve::Solved;
use serde_json::Value;
use serde_json::json;

/// Millimetres of a drawing for a pixel of the page: its figures are 12 px high. Our choice.
const MM_FOR_PX: f64 = 0.27;

/// The smallest and the largest room for a drawing, px. Our choice.
const ROOM: [f64; 2] = [240.0, 2400.0];

/// A part by name, its flat drawn in an area of some px; `None` if there is no such part. The known
/// change that caused a finding decides at which field it is.
pub(super) fn part(
    seen: &Snapshot,
    shown: &str,
    (name, caused_by): (&str, CausedBy),
    room: [f64; 2],
) -> Option<Value> {
    let Ok(job) = &seen.job else { return None };
    let part = job.part(name)?;
    let line = &job.ready.job.lines[part.line];
    let entry = job.entries[part.line];
    let form = job.forms.get(&line.recipe.0);
    let found = job.found(part);
    let sources = &job.ready.sources;
    let row = |finding: &&Finding| {
        let field = found::field(finding, sources, line, (form.map(AsRef::as_ref), caused_by));
        let label = part.solved.and_then(|solved| drawings::finding_label(solved, finding));
        found::row(finding, sources, shown, field).labelled(label)
    };
    let rows: Vec<FoundRow> = found.iter().map(row).collect();
    let inputs = form.map_or(&[][..], |form| &form.inputs[..]);
    let inputs: Vec<Value> = inputs
        .iter()
        .map(|asked| input(seen, job, (part, entry), asked))
        .chain(entry.into_iter().flat_map(|entry| placed::fields(seen, job, entry)))
        .collect();
    let checking = job.checking(Some(part));
    let state = SnapshotJob::count(found.iter().copied());
    let drawn = part.solved.map(|solved| drawn(job, (solved, checking), room));
    Some(json!({
        "name": part.name,
        "line": line.name,
        // As written: in a family, with the varying inputs in braces.
        "called": entry.and_then(|entry| seen.value(entry, "name")),
        "recipe": line.recipe.0,
        "about": form.map(|form| form.about.as_str()),
        "editable": entry.is_some(),
        "written": written(job, line),
        "family": entry.filter(|entry| entry.is_family()).map(|_| family(job, part)),
        "quantity": quantity(seen, part, line, entry),
        "sheet": sheet(seen, job, part, entry),
        "inputs": inputs,
        "state": state,
        "said": job.said(part, state),
        "notes": job.notes(part),
        "checking": job.checking(Some(part)),
        "findings": rows,
        "drawn": drawn,
        "facts": part.solved.map(|solved| facts(job, solved)),
        "loads": part.solved.and_then(|s| {
            report::loads(&job.ready.job, std::slice::from_ref(s)).map(|row| row.loads)
        }),
    }))
}

/// Where a part is in a file: the name of that, and the line.
fn written(job: &SnapshotJob, line: &Line) -> Value {
    let sources = &job.ready.sources;
    let (number, _) = sources.line_and_column(line.here);
    json!([sources.name(line.here.source), number])
}

/// How many parts one entry of the text makes.
fn family(job: &SnapshotJob, part: ListedPart) -> usize {
    let own = job.entries[part.line];
    job.entries.iter().filter(|entry| **entry == own).count()
}

fn quantity(seen: &Snapshot, part: ListedPart, line: &Line, entry: Option<Entry>) -> Value {
    json!({
        "given": entry.and_then(|entry| seen.value(entry, "quantity")),
        "sets": line.quantity,
        "pieces": part.solved.map(|solved| line.quantity.saturating_mul(solved.part.copies)),
        "none": line.is_idle(),
    })
}

fn sheet(seen: &Snapshot, job: &SnapshotJob, part: ListedPart, entry: Option<Entry>) -> Value {
    let sheets = &job.ready.job.sheets;
    let own = job.sheet(part);
    json!({
        "name": own.map(|own| &own.name),
        "material": own.map(|own| own.material.name()),
        "thickness": own.map(|own| job.ready.job.units.size(own.thickness)),
        "given": entry.and_then(|entry| seen.value(entry, "sheet")),
        "all": sheets.iter().map(|sheet| sheet.name.as_str()).collect::<Vec<_>>(),
        "open": open(seen, part, entry, "sheet"),
    })
}

/// An open input: the values to choose from, the chosen one, and why nothing lighter.
fn open(seen: &Snapshot, part: ListedPart, entry: Option<Entry>, key: &str) -> Option<Value> {
    let typed = seen.value(entry?, &format!("open.{key}"))?;
    let choice = part.solved.and_then(|solved| solved.choice.as_deref());
    let named = |values: &[(String, String)]| {
        values.iter().find(|(name, _)| name == key).map(|(_, value)| value.clone())
    };
    let lighter = choice.and_then(|choice| choice.lighter.as_ref());
    Some(json!({
        "typed": typed,
        "chosen": choice.and_then(|choice| named(&choice.chosen)),
        "tried": choice.map(|choice| choice.tried),
        "lighter": lighter.and_then(|lighter| named(&lighter.values)),
        "failed": lighter.map(|lighter| lighter.headline.as_str()),
    }))
}

fn input(
    seen: &Snapshot,
    job: &SnapshotJob,
    (part, entry): (ListedPart, Option<Entry>),
    asked: &FormInput,
) -> Value {
    let line = &job.ready.job.lines[part.line];
    let units = job.ready.job.units;
    let key = asked.key.as_str();
    let given = entry.and_then(|entry| seen.value(entry, &format!("given.{key}")));
    let given = given.map(|raw| lists::shown(raw, Some(&asked.kind)));
    let options: Vec<[String; 2]> = match &asked.kind {
        Kind::Row(table) => job.rows.get(table).cloned().unwrap_or_default(),
        Kind::Choice(of) => of.iter().map(|word| [word.clone(), word.clone()]).collect(),
        Kind::Flag => ["true", "false"].map(|word| [word.to_owned(), word.to_owned()]).to_vec(),
        _ => Vec::new(),
    };
    let worth = part.solved.and_then(|solved| solved.params.get(key)).map(|v| v.show(units));
    let own = line.given.iter().any(|(name, _)| name == key);
    let is_open = line.open.iter().any(|(name, _)| name == key);
    json!({
        "key": key,
        "kind": kind(&asked.kind),
        "about": asked.about,
        "given": given,
        "value": worth,
        "default": asked.default.as_deref().map(|typed| default(typed, units)),
        "min": asked.min.as_deref().map(|typed| limit(typed, units, f64::ceil)),
        "max": asked.max.as_deref().map(|typed| limit(typed, units, f64::floor)),
        "options": options,
        "open": open(seen, part, entry, key),
        // A row of which every dimension is given separately.
        "instead": is_replaced(asked, line).then(|| asked.gives.join(", ")),
        // A value that the entry itself does not have: of the family's lists, or of a link.
        "elsewhere": (own && given.is_none() && !is_open).then_some("varies in this family"),
    })
}

/// Whether every dimension that a row would give is given separately.
fn is_replaced(asked: &FormInput, line: &Line) -> bool {
    let is_given = |key: &String| line.given.iter().any(|(name, _)| name == key);
    !asked.gives.is_empty() && asked.gives.iter().all(is_given)
}

/// A default as it would be typed, one length or several of a list.
fn default(typed: &str, units: Units) -> String {
    let one = |typed: &str| limit(typed, units, f64::round);
    let all = lists::words(typed);
    all.map_or_else(
        || one(typed),
        |all| all.iter().map(|of| one(of)).collect::<Vec<_>>().join(", "),
    )
}

/// A limit as in its recipe; in a job in inches a length in mm is converted, rounded so that it can
/// be typed.
fn limit(typed: &str, units: Units, round: fn(f64) -> f64) -> String {
    // Ten-thousandths of an inch, and less than a rounding step of them.
    const STEPS: f64 = 1e4;
    const EXACT: f64 = 1e-6;
    match quantity::read(typed) {
        Ok(Reading::Quantity(Quantity { value, dimension: Dimension::LENGTH }))
            if units == Units::Inch && typed.ends_with("mm") =>
        {
            let steps = value / MM_PER_INCH * STEPS;
            let nearest = steps.round();
            let whole = if (steps - nearest).abs() < EXACT { nearest } else { round(steps) };
            format!("{} in", num::text(whole / STEPS, 4))
        }
        _ => typed.to_owned(),
    }
}

/// What kind of field an input has.
fn kind(kind: &Kind) -> &'static str {
    match kind {
        Kind::Row(_) => "row",
        Kind::Choice(_) => "choice",
        Kind::Flag => "flag",
        Kind::Count => "count",
        Kind::List(_) | Kind::Record(_) => "list",
        Kind::Number(..) => "number",
    }
}

/// The room of a drawing on paper, mm, of one on the page, px.
pub(super) fn paper_room(room: [f64; 2]) -> [f64; 2] {
    room.map(|px| px.clamp(ROOM[0], ROOM[1]) * MM_FOR_PX)
}

fn drawn(job: &SnapshotJob, (solved, checking): (&Solved, Option<&str>), room: [f64; 2]) -> Value {
    let room = paper_room(room);
    let all = &job.ready.solved;
    let (flat, left) = drawings::flat_element(&job.ready.job, all, solved, room);
    let (first, steps) = drawings::steps(&job.ready.job, solved);
    let step = |step: &drawings::Step| {
        let bend = &solved.part.bends[step.bend];
        json!({
            "name": bend.name,
            "up": bend.up,
            "angle": format!("{}°", num::text(bend.bend.angle().degrees(), 1)),
            "to": checking.map_or_else(|| json!(step.bend_to), |_| json!(["", "", ""])),
            "lines": checking.map_or_else(|| json!(step.lines), |words| json!([words])),
        })
    };
    json!({
        "flat": flat,
        "left": left,
        "first": checking.map_or_else(|| json!(first), |words| json!([words])),
        "steps": steps.iter().map(step).collect::<Vec<_>>(),
    })
}

/// The facts of a part, in words and figures.
fn facts(job: &SnapshotJob, solved: &Solved) -> Vec<[String; 2]> {
    let units = job.ready.job.units;
    let sheet = &job.ready.job.sheets[solved.sheet];
    let region = &solved.flat.region;
    let bounds = region.bounds();
    let mass = region.area() * sheet.thickness * sheet.material.measure("density");
    let cut = format!("{} {}", units.figure(region.length(), 1), units.word());
    let mut facts = vec![
        ["Blank".to_owned(), units.both([bounds.width(), bounds.height()])],
        [
            "Material".to_owned(),
            format!("{}, {}", sheet.material.name(), units.size(sheet.thickness)),
        ],
        ["Mass, each".to_owned(), units.mass(mass, 3)],
        ["Cut, each".to_owned(), cut],
        ["Pieces".to_owned(), solve::pieces(&job.ready.job, solved).to_string()],
    ];
    if let Some(issue) = solved.issue.name(&job.ready.job) {
        facts.push(["Issue".to_owned(), issue.to_owned()]);
    }
    let worth = |value: &Worth| value.show(units);
    facts.extend(solved.part.facts.iter().map(|fact| [fact.name.clone(), worth(&fact.value)]));
    facts
}

/// A part folded as far as `done` bends of its order, as patches; why not, where no solid can be made.
pub(super) fn folded(seen: &Snapshot, name: &str, done: f64) -> Option<Result<Value, String>> {
    let Ok(job) = &seen.job else { return None };
    let solved = job.part(name)?.solved?;
    let order = solve::handled(solved);
    let mut angles: Vec<Angle> = solved.part.bends.iter().map(|b| b.bend.angle()).collect();
    for (i, handling) in order.iter().enumerate() {
        let share = (done - i as f64).clamp(MIN, 1.0);
        if share < 1.0 {
            let whole = solved.part.bends[handling.bend].bend.angle();
            angles[handling.bend] = Angle::from_degrees(whole.degrees() * share);
        }
    }
    let folded = crate::fold::fold(&solved.part, &solved.flat, &angles);
    let solid = crate::solid::solid(&solved.part, &solved.flat, &folded);
    Some(match solid {
        Ok(solid) => Ok(json!(crate::view::Patches::of(&solid))),
        Err(error) => Err(error.to_string()),
    })
}

/// A step of a part's bends with its tools, seen along the bend line; `None` if there is no such
/// step, without tools if the bends have not been checked yet. Steps are counted from 1.
pub(super) fn section(seen: &Snapshot, name: &str, step: usize) -> Option<Value> {
    let Ok(job) = &seen.job else { return None };
    let part = job.part(name)?;
    if let Some(words) = job.checking(Some(part)) {
        return Some(json!({ "picture": null, "tool": words }));
    }
    let (picture, tool) = drawings::section_element(&job.ready.job, part.solved?, step, SECTION)?;
    Some(json!({ "picture": picture, "tool": tool }))
}

/// The size of such a section, mm: half the width of the picture of the formed part. Our choice.
const SECTION: [f64; 2] = [62.0, 42.0];

/// A bend that is not made yet is drawn with this share of its angle, which is invisible: a
/// cylinder needs a radius.
const MIN: f64 = 0.004;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_limit_in_inches_can_be_typed() {
        for (typed, least, most) in [
            ("10 mm", "0.3938 in", "0.3937 in"),
            ("12.7 mm", "0.5 in", "0.5 in"),
            ("2 * bolt", "2 * bolt", "2 * bolt"),
            ("3", "3", "3"),
        ] {
            assert_eq!(limit(typed, Units::Inch, f64::ceil), least);
            assert_eq!(limit(typed, Units::Inch, f64::floor), most);
            assert_eq!(limit(typed, Units::Millimetre, f64::ceil), typed);
        }
        assert_eq!(default("[\"12.7 mm\", \"25.4 mm\"]", Units::Inch), "0.5 in, 1 in");
        assert_eq!(default("[\"16 mm\"]", Units::Millimetre), "16 mm");
    }
}

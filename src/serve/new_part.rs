//! A new part in a job in inches: hardware of inch sizes, and round inch sizes in place of round
//! millimetres.

use crate::formula::Value as Worth;
use crate::num;
use crate::quantity;
use crate::quantity::Dimension;
use crate::quantity::MM_PER_INCH;
use crate::quantity::Reading;
use crate::quantity::Units;
use crate::recipe::Kind;
use crate::serve::begins;
use crate::serve::changed::Changed;
use crate::serve::changed::Refused;
use crate::serve::edit::Edit;
use crate::serve::form::Form;
use crate::serve::lists;
use crate::serve::opened::At;
use crate::serve::opened::Opened;
use crate::serve::snapshot::Snapshot;
use crate::serve::snapshot::SnapshotJob;
use crate::serve::text;
use crate::serve::text::Entry;
use crate::solve::Depth;
use std::collections::BTreeMap;

/// A shorter default is a clearance or a tolerance and stays as it is, mm. Our choice.
const SHORTEST: f64 = 3.0;

/// From which length, in inches, what fraction of an inch is round. Our choice.
const ROUND: [(f64, f64); 4] = [(8.0, 2.0), (3.0, 4.0), (1.0, 8.0), (0.0, 16.0)];

impl Opened {
    /// What becomes of an edit; a new part of a job in inches begins with inch sizes.
    ///
    /// # Errors
    /// When the edit cannot be made.
    pub(super) fn applied(&self, edit: &Edit, at: &At) -> Result<Changed, Refused> {
        let changed = edit.applied(&at.seen)?;
        let is_inch = at.seen.job.as_ref().is_ok_and(|job| job.ready.job.units == Units::Inch);
        match (edit, &changed.part) {
            (Edit::New { .. }, Some(name)) if is_inch => {
                let text = self.in_inches(at, &changed.text, name);
                Ok(Changed { text, ..changed })
            }
            _ => Ok(changed),
        }
    }

    /// The text with inch sizes for its last part: of hardware and lengths, else of hardware alone; as it
    /// was where either brings a finding.
    fn in_inches(&self, at: &At, plain: &str, name: &str) -> String {
        let last = text::count(plain, "part").checked_sub(1);
        let Some(entry) = last.and_then(|last| Entry::new("part", last)) else {
            return plain.to_owned();
        };
        let look = |text: &str| self.look_to(Depth::Whole, &at.past, text).ok();
        let found = |seen: &Snapshot| {
            let job = seen.job.as_ref().ok()?;
            let part = job.part(name)?;
            Some((part.solved.is_some(), SnapshotJob::count(job.found(part))))
        };
        let Some(before) = look(plain) else { return plain.to_owned() };
        let is_as_good = |seen: &Snapshot| match found(seen).zip(found(&before)) {
            // It can be drawn as before, with neither more stops nor more cautions.
            Some(((made, new), (was_made, old))) => {
                (made || !was_made) && new.iter().zip(&old).all(|(new, old)| new <= old)
            }
            None => false,
        };
        let with = |text: &str, given: &BTreeMap<String, String>| {
            given.iter().try_fold(text.to_owned(), |text, (key, value)| {
                let value = match value.starts_with('[') {
                    true => lists::of_file(value),
                    false => value.as_str().into(),
                };
                text::set(&text, entry, &format!("given.{key}"), Some(value)).ok()
            })
        };
        let hardware = with(plain, &of_part(&before, name, hardware));
        let hardware = hardware.and_then(|text| look(&text)).filter(is_as_good);
        let base = hardware.as_ref().unwrap_or(&before);
        let sized = with(&base.text, &of_part(base, name, lengths));
        let sized = sized.and_then(|text| look(&text)).filter(is_as_good);
        sized.as_ref().unwrap_or(base).text.clone()
    }
}

/// What to give for the inputs of a form whose values are known.
type Choice = fn(&SnapshotJob, &Form, &dyn Fn(&str) -> Option<Worth>) -> BTreeMap<String, String>;

/// Inputs of a part with what to give for them.
fn of_part(seen: &Snapshot, name: &str, choose: Choice) -> BTreeMap<String, String> {
    let all = || {
        let job = seen.job.as_ref().ok()?;
        let part = job.part(name)?;
        let form = job.forms.get(&job.ready.job.lines[part.line].recipe.0)?;
        let solved = part.solved?;
        Some(choose(job, form, &|key| solved.params.get(key).cloned()))
    };
    all().unwrap_or_default()
}

/// The inputs whose default is metric hardware, with the inch size that is used in its place.
fn hardware(
    job: &SnapshotJob,
    form: &Form,
    _: &dyn Fn(&str) -> Option<Worth>,
) -> BTreeMap<String, String> {
    let rows = form.inputs.iter().filter_map(|asked| {
        let Kind::Row(table) = &asked.kind else { return None };
        let default = asked.default.as_deref()?;
        let [_, inch] = begins::HARDWARE.iter().find(|[metric, _]| *metric == default)?;
        let is_row = job.rows.get(table)?.iter().any(|[name, _]| name == inch);
        is_row.then(|| (asked.key.clone(), (*inch).to_owned()))
    });
    rows.collect()
}

/// The inputs whose value is a length in millimetres that their default names, with the nearest round
/// inch size.
fn lengths(
    _: &SnapshotJob,
    form: &Form,
    worth: &dyn Fn(&str) -> Option<Worth>,
) -> BTreeMap<String, String> {
    let all = form.inputs.iter().filter_map(|asked| {
        if let Kind::List(of) = &asked.kind {
            let is_length = matches!(**of, Kind::Number(Dimension::LENGTH, _));
            let typed = asked.default.as_deref().filter(|_| is_length)?;
            return Some((asked.key.clone(), list(typed)?));
        }
        let Kind::Number(Dimension::LENGTH, _) = asked.kind else { return None };
        let Worth::Quantity(is) = worth(&asked.key)? else { return None };
        let named = literals(asked.default.as_deref()?).any(|mm| (mm - is.value).abs() < 1e-9);
        (named && is.value >= SHORTEST).then(|| (asked.key.clone(), round(is.value)))
    });
    all.collect()
}

/// A list of lengths in mm with the nearest round sizes in inches, as it is written.
fn list(typed: &str) -> Option<String> {
    let all = lists::words(typed)?;
    let inch = |word: &String| literals(word).next().map(|mm| format!("\"{}\"", round(mm)));
    let all: Option<Vec<String>> = all.iter().map(inch).collect();
    Some(format!("[{}]", all?.join(", ")))
}

/// The lengths in mm that a formula names.
fn literals(formula: &str) -> impl Iterator<Item = f64> {
    formula.split(['(', ')', ',', '+', '*']).filter_map(|piece| {
        let piece = piece.trim();
        match quantity::read(piece) {
            Ok(Reading::Quantity(of)) if piece.ends_with("mm") => Some(of.value),
            _ => None,
        }
    })
}

/// The nearest round size in inches, as it is typed.
fn round(mm: f64) -> String {
    let inches = mm / MM_PER_INCH;
    let fraction = ROUND.iter().find(|(from, _)| inches >= *from).map_or(16.0, |(_, of)| *of);
    let steps = (inches * fraction).round().max(1.0);
    let whole = (steps / fraction).floor();
    let (mut over, mut under) = (steps - whole * fraction, fraction);
    while over > 0.0 && over % 2.0 == 0.0 {
        (over, under) = (over / 2.0, under / 2.0);
    }
    let [whole, over, under] = [whole, over, under].map(|of| num::text(of, 0));
    match (whole.as_str(), over.as_str()) {
        (_, "0") => format!("{whole} in"),
        ("0", _) => format!("{over}/{under} in"),
        _ => format!("{whole}-{over}/{under} in"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_length_becomes_the_nearest_round_one_in_inches() {
        for (mm, wanted) in [
            (3.0, "1/8 in"),
            (8.0, "5/16 in"),
            (16.0, "5/8 in"),
            (25.0, "1 in"),
            (38.0, "1-1/2 in"),
            (60.0, "2-3/8 in"),
            (80.0, "3-1/4 in"),
            (100.0, "4 in"),
            (160.0, "6-1/4 in"),
            (220.0, "8-1/2 in"),
            (486.0, "19 in"),
        ] {
            assert_eq!(round(mm), wanted, "{mm}");
            let Ok(Reading::Quantity(of)) = quantity::read(wanted) else { panic!("{wanted}") };
            assert!((of.value - mm).abs() <= mm.mul_add(0.04, 0.2), "{wanted} for {mm}");
        }
    }

    #[test]
    fn a_list_of_lengths_becomes_one_of_inch_sizes() {
        let all = list("[\"16 mm\", \"22 mm\", \"28 mm\"]");
        assert_eq!(all.as_deref(), Some("[\"5/8 in\", \"7/8 in\", \"1-1/8 in\"]"));
        assert_eq!((list("[\"a\"]"), list("2 * x")), (None, None));
    }

    #[test]
    fn the_lengths_of_a_formula_are_found() {
        let of = |formula| literals(formula).collect::<Vec<_>>();
        assert_eq!(of("100 mm"), [100.0]);
        assert_eq!(of("max(100 mm, 6 * v)"), [100.0]);
        assert_eq!(of("2 * eye + 20 mm"), [20.0]);
        assert!(of("bend_radius").is_empty() && of("3 deg").is_empty());
    }
}

//! What differs in a job beside its parts.

use crate::history::FoundState;
use crate::history::State;
use crate::history::TubeState;
use crate::num;
use crate::num::counted;
use crate::quantity::Units;
use serde::Serialize;

/// A length of tube that differs less is the same, mm: what no saw can do. Our choice.
const SAME_LENGTH: f64 = 0.01;

/// Something that differs and belongs to no part.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct JobChange {
    /// `issue`, `hardware`, `tubes`, `sheets`, `price` or `findings`.
    pub kind: &'static str,
    /// What differs, in a sentence.
    pub words: String,
}

/// All that differs.
pub(super) fn changes(was: &State, now: &State, units: Units) -> Vec<JobChange> {
    let mut all = Vec::new();
    let mut say = |kind: &'static str, lines: Vec<String>| {
        all.extend(lines.into_iter().map(|words| JobChange { kind, words }));
    };
    say("issue", issue(was, now));
    say("hardware", hardware(was, now));
    say("tubes", tubes(was, now, units));
    say("sheets", sheets(was, now));
    say("price", price(was, now));
    say("findings", findings(was, now));
    all
}

fn issue(was: &State, now: &State) -> Vec<String> {
    let said = |issue: &Option<String>| issue.clone().unwrap_or_else(|| "by letters".to_owned());
    let differs = was.issue != now.issue;
    differs.then(|| format!("{} → {}", said(&was.issue), said(&now.issue))).into_iter().collect()
}

fn hardware(was: &State, now: &State) -> Vec<String> {
    let count = |state: &State, what: &str| -> u32 {
        state.hardware.iter().filter(|h| h.what == what).map(|h| h.quantity).sum()
    };
    let all = now.hardware.iter().chain(&was.hardware);
    let mut whats: Vec<&str> = all.map(|h| h.what.as_str()).collect();
    let mut seen = std::collections::BTreeSet::new();
    whats.retain(|what| seen.insert(*what));
    let line = |what: &str| {
        let (before, after) = (count(was, what), count(now, what));
        (before != after).then(|| format!("{what}: {before} → {after}"))
    };
    whats.into_iter().filter_map(line).collect()
}

fn tubes(was: &State, now: &State, units: Units) -> Vec<String> {
    let find = |state: &'_ State, name: &str| -> Option<TubeState> {
        state.tube.iter().find(|tube| tube.name == name).cloned()
    };
    let mut lines = Vec::new();
    for tube in &now.tube {
        let Some(old) = find(was, &tube.name) else {
            let length = units.length(tube.length_mm);
            lines.push(format!("new: {}, {} × {length}", tube.name, tube.quantity));
            continue;
        };
        let mut words = Vec::new();
        if (old.length_mm - tube.length_mm).abs() > SAME_LENGTH {
            let [before, after] = [&old, tube].map(|tube| units.length(tube.length_mm));
            words.push(format!("cut length {before} → {after}"));
        }
        if old.section != tube.section {
            words.push(format!("section {} → {}", old.section, tube.section));
        }
        if old.quantity != tube.quantity {
            words.push(format!("pieces {} → {}", old.quantity, tube.quantity));
        }
        if old.ends != tube.ends {
            words.push(format!("ends: {} instead of {}", tube.ends, old.ends));
        }
        if !words.is_empty() {
            lines.push(format!("{}: {}", tube.name, words.join(", ")));
        }
    }
    let gone = was.tube.iter().filter(|tube| find(now, &tube.name).is_none());
    lines.extend(gone.map(|tube| format!("no longer made: {}", tube.name)));
    lines
}

fn sheets(was: &State, now: &State) -> Vec<String> {
    let count = |state: &State, name: &str| -> u32 {
        state.sheet.iter().filter(|sheet| sheet.name == name).map(|sheet| sheet.count).sum()
    };
    let gone = was.sheet.iter().filter(|sheet| now.sheet.iter().all(|s| s.name != sheet.name));
    let names = now.sheet.iter().chain(gone).map(|sheet| sheet.name.as_str());
    let line = |name: &str| {
        let (before, after) = (count(was, name), count(now, name));
        (before != after).then(|| format!("{name}: {before} → {}", counted(after, "sheet")))
    };
    names.filter_map(line).collect()
}

/// A price in the currency of its job, in words.
pub(super) fn money(price: Option<f64>, state: &State) -> String {
    match price {
        Some(price) => num::money(price, &state.currency),
        None => "not known".to_owned(),
    }
}

fn price(was: &State, now: &State) -> Vec<String> {
    let parts = |state: &State| {
        let each = state.part.iter().map(|p| Some(p.price_each? * f64::from(p.pieces)));
        each.sum::<Option<f64>>()
    };
    let pair = |what: &str, before: Option<f64>, after: Option<f64>| {
        let (before, after) = (money(before, was), money(after, now));
        (before != after).then(|| format!("{what} {before} → {after}"))
    };
    [pair("all parts", parts(was), parts(now)), pair("sheets", was.sheet_cost, now.sheet_cost)]
        .into_iter()
        .flatten()
        .collect()
}

fn findings(was: &State, now: &State) -> Vec<String> {
    let said = |found: &FoundState| match found.parts.is_empty() {
        true => found.headline.clone(),
        false => format!("{} ({})", found.headline, found.parts.join(", ")),
    };
    let lacks = |state: &State, found: &&FoundState| !state.found.contains(found);
    let new = now.found.iter().filter(|found| lacks(was, found));
    let gone = was.found.iter().filter(|found| lacks(now, found));
    let new = new.map(|found| format!("new: {}", said(found)));
    new.chain(gone.map(|found| format!("gone: {}", said(found)))).collect()
}

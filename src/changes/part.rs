//! One part, compared with its earlier state.

use crate::changes::bends;
use crate::changes::contours;
use crate::changes::whole::money;
use crate::geom::Edge;
use crate::geom::Vec2;
use crate::history::PartState;
use crate::history::State;
use crate::num::counted;
use crate::quantity::Units;
use serde::Serialize;
use std::collections::BTreeSet;

/// The word before finishing that was not done before.
const NEW: &str = "new: ";

/// What is to be done about a part.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Verdict {
    /// It was not made before.
    New,
    /// Its flat, metal or thickness differs: pieces cut before are not this part.
    CutAgain,
    /// The flat is as it was, the bends are not.
    BendAgain,
    /// Flat and bends are as they were; holes, edges, marks or welds are finished differently, or
    /// ears are set to another gap.
    FinishAgain,
    /// The very same, in more pieces.
    More,
    /// The very same, in fewer pieces.
    Fewer,
    /// The very same.
    Unchanged,
    /// It is no longer made.
    LeftOut,
}

impl Verdict {
    /// All of them, gravest first.
    pub const ALL: [Self; 8] = [
        Self::CutAgain,
        Self::BendAgain,
        Self::FinishAgain,
        Self::New,
        Self::More,
        Self::Fewer,
        Self::LeftOut,
        Self::Unchanged,
    ];

    /// In the words of a shop.
    pub const fn in_words(self) -> &'static str {
        match self {
            Self::New => "new",
            Self::CutAgain => "remake from a new blank",
            Self::BendAgain => "bend to the new drawing",
            Self::FinishAgain => "finish to the new drawing",
            Self::More => "more pieces",
            Self::Fewer => "fewer pieces",
            Self::Unchanged => "unchanged",
            Self::LeftOut => "no longer made",
        }
    }
}

/// What became of a part.
#[derive(Clone, Debug, Serialize)]
pub struct PartChange {
    /// Its name.
    pub part: String,
    /// What is to be done.
    pub verdict: Verdict,
    /// The same in words, with how many.
    pub words: String,
    /// Its issue now, and its short hash; none where it is no longer made.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub issue: Option<[String; 2]>,
    /// Its issue then, and its short hash; none where it was not made.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub was_issue: Option<[String; 2]>,
    /// What differs, in sentences.
    pub differences: Vec<String>,
    /// Old and new flat, where they differ.
    #[serde(skip)]
    pub overlay: Option<Overlay>,
}

/// Two flats, one over the other, mm.
#[derive(Clone, Debug)]
pub struct Overlay {
    /// What was cut, and the bend lines.
    pub was: [Vec<Vec<Edge>>; 2],
    /// What is cut now, and the bend lines.
    pub now: [Vec<Vec<Edge>>; 2],
}

impl PartChange {
    /// Whether there is nothing to say of it.
    pub fn is_plain(&self) -> bool {
        self.verdict == Verdict::Unchanged && self.differences.is_empty()
    }

    /// `, issue A · 1234567 → B · 89abcde`, or the one issue where it is still the same.
    pub fn issues(&self) -> String {
        let said = |[name, hash]: &[String; 2]| {
            format!("{name} · {hash}").trim_start_matches(" · ").to_owned()
        };
        match (&self.was_issue, &self.issue) {
            (Some(was), Some(now)) if was != now => {
                format!(" (issue {} → {})", said(was), said(now))
            }
            (_, Some(issue)) | (Some(issue), None) => format!(" (issue {})", said(issue)),
            (None, None) => String::new(),
        }
    }
}

/// A part that is no longer made.
pub(super) fn left_out(was: &State, part: &PartState) -> PartChange {
    PartChange {
        part: part.name.clone(),
        verdict: Verdict::LeftOut,
        words: Verdict::LeftOut.in_words().to_owned(),
        issue: None,
        was_issue: Some(issue(was, part)),
        differences: Vec::new(),
        overlay: None,
    }
}

fn issue(state: &State, part: &PartState) -> [String; 2] {
    [state.issue_of(part).to_owned(), part.geometry.clone()]
}

/// The change of a part from its earlier state, if there is one.
pub(super) fn change(
    was: &State,
    found: Option<&PartState>,
    now: &State,
    part: &PartState,
    units: Units,
) -> PartChange {
    let mut change = PartChange {
        part: part.name.clone(),
        verdict: Verdict::New,
        words: format!("new: {}", pieces(part.pieces)),
        issue: Some(issue(now, part)),
        was_issue: None,
        differences: Vec::new(),
        overlay: None,
    };
    let Some(old) = found else { return change };
    change.was_issue = Some(issue(was, old));
    let shift = contours::shift(old, part);
    let metal = metal(old, part, units);
    let flats = contours::compare(old, part, shift, units);
    let (bends, bends_renamed) = bends::compare(old, part, shift, units);
    let as_it_was = metal.is_empty() && flats.differences.is_empty();
    // The hash has no names: if it is equal and cutting and bending are unchanged, the finishing of
    // holes and edges differs in words only.
    let same = as_it_was && bends.is_empty() && old.geometry == part.geometry;
    let finish = if same { Vec::new() } else { finish(old, part, units) };
    if !(flats.differences.is_empty() && bends.is_empty()) {
        let of = |part: &PartState, shift| [contours::contours(part, shift), lines(part, shift)];
        change.overlay = Some(Overlay { was: of(old, shift), now: of(part, Vec2::ZERO) });
    }
    change.verdict = verdict([!as_it_was, !bends.is_empty(), !finish.is_empty()], old, part);
    change.words = words(change.verdict, old.pieces, part.pieces);
    let only_added = finish.iter().all(|words| words.starts_with(NEW));
    let rework = flats.only_larger && metal.is_empty() && bends.is_empty() && only_added;
    if old.name != part.name {
        change.differences.push(format!("renamed from `{}`", old.name));
    }
    if same {
        let renamed = [flats.renamed, bends_renamed, subjects(old, part)].concat();
        change.differences.extend(only_renamed(renamed));
    }
    change.differences.extend(metal.into_iter().chain(flats.differences));
    change.differences.extend(bends.into_iter().chain(finish));
    if rework {
        let words = "pieces cut before can be reworked: openings were only added or enlarged";
        change.differences.push(words.to_owned());
    }
    if change.verdict == Verdict::Unchanged && old.geometry != part.geometry {
        let same = units.length(contours::SAME);
        change.differences.push(format!("its hash differs; no size differs by {same} or more"));
    }
    if old.pieces != part.pieces {
        change.differences.push(format!("pieces {} → {}", old.pieces, part.pieces));
    }
    change.differences.extend(price(was, old, now, part));
    change
}

/// What to do about a part, given whether its cutting, bending and finishing differ.
fn verdict([cut, bent, finished]: [bool; 3], old: &PartState, part: &PartState) -> Verdict {
    match () {
        () if cut => Verdict::CutAgain,
        () if bent => Verdict::BendAgain,
        () if finished => Verdict::FinishAgain,
        () if part.pieces > old.pieces => Verdict::More,
        () if part.pieces < old.pieces => Verdict::Fewer,
        () => Verdict::Unchanged,
    }
}

fn pieces(count: u32) -> String {
    counted(count, "piece")
}

/// The verdict with how many pieces.
fn words(verdict: Verdict, was: u32, now: u32) -> String {
    let said = verdict.in_words();
    match verdict {
        Verdict::More => format!("{} of the same part", counted(now - was, "more piece")),
        Verdict::Fewer => format!("{} of the same part", counted(was - now, "fewer piece")),
        Verdict::Unchanged | Verdict::LeftOut => said.to_owned(),
        Verdict::BendAgain => format!("{said}: {}; flats cut before are still good", pieces(now)),
        Verdict::FinishAgain => {
            format!("{said}: {}; flats and bends are still good", pieces(now))
        }
        Verdict::New | Verdict::CutAgain => format!("{said}: {}", pieces(now)),
    }
}

fn metal(old: &PartState, part: &PartState, units: Units) -> Vec<String> {
    let mut differences = Vec::new();
    if old.material != part.material {
        differences.push(format!("material {} → {}", old.material, part.material));
    }
    if (old.thickness_mm - part.thickness_mm).abs() > 1e-6 {
        let [was, is] = [old, part].map(|part| units.length(part.thickness_mm));
        differences.push(format!("thickness {was} → {is}"));
    }
    differences
}

/// What is done differently after cutting, etched differently, and set differently for welding.
fn finish(old: &PartState, part: &PartState, units: Units) -> Vec<String> {
    let mut differences = Vec::new();
    if old.marks != part.marks {
        differences.push(match (old.marks.is_empty(), part.marks.is_empty()) {
            (true, _) => format!("{NEW}etched marks"),
            (_, true) => "no longer: etched marks".to_owned(),
            _ => "etched marks differ: do not work to the old ones".to_owned(),
        });
    }
    for (was, is) in [(&old.work, &part.work), (&old.welds, &part.welds)] {
        let lacks = |list: &[String], words: &String| !list.contains(words);
        differences
            .extend(was.iter().filter(|w| lacks(is, w)).map(|words| format!("no longer: {words}")));
        differences
            .extend(is.iter().filter(|w| lacks(was, w)).map(|words| format!("{NEW}{words}")));
    }
    differences.extend(set_gap(old, part, units));
    differences
}

/// `renamed, same geometry`, with the names; `None` if no name differs.
fn only_renamed(mut renamed: Vec<String>) -> Option<String> {
    let mut seen = BTreeSet::new();
    renamed.retain(|one| seen.insert(one.clone()));
    (!renamed.is_empty()).then(|| format!("renamed, same geometry: {}", renamed.join(", ")))
}

/// Holes, edges and beads to which the same is done under other names.
fn subjects(old: &PartState, part: &PartState) -> Vec<String> {
    let mut renamed = Vec::new();
    for (was, is) in [(&old.work, &part.work), (&old.welds, &part.welds)] {
        let mut left: Vec<&String> = is.iter().filter(|words| !was.contains(words)).collect();
        for words in was.iter().filter(|words| !is.contains(words)) {
            let Some((before, done)) = words.split_once(": ") else { continue };
            let alike = |new: &&String| new.split_once(": ").is_some_and(|(_, of)| of == done);
            let Some(at) = left.iter().position(alike) else { continue };
            let now = left.remove(at).split_once(": ").map_or("", |(subject, _)| subject);
            renamed.push(format!("{before} → {now}"));
        }
    }
    renamed
}

/// Ears that are set closer or further apart.
fn set_gap(old: &PartState, part: &PartState, units: Units) -> Option<String> {
    let (was, is) = (old.set_gap_mm?, part.set_gap_mm?);
    let [before, after] = [was, is].map(|gap| units.length(gap));
    let words = format!("gap between the bare ears {before} → {after}: set them to the new one");
    ((was - is).abs() > contours::SAME).then_some(words)
}

fn price(was: &State, old: &PartState, now: &State, part: &PartState) -> Option<String> {
    let (before, after) = (money(old.price_each, was), money(part.price_each, now));
    (before != after).then(|| format!("price each {before} → {after}"))
}

/// The bend lines.
fn lines(part: &PartState, shift: Vec2) -> Vec<Vec<Edge>> {
    let line = |text: &str| {
        let mut edges = crate::history::edges(text)?;
        edges.truncate(1);
        Some(contours::moved(edges, shift))
    };
    part.bends.iter().filter_map(|bend| line(&bend.line)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn part(eye: &str, work: &[&str], marks: &str) -> PartState {
        PartState {
            name: "ear".into(),
            pieces: 2,
            geometry: format!("{eye}{work:?}"),
            outline: "0 0, 60 0, 60 30, 0 30".into(),
            openings: vec![["eye".into(), format!("circle 15 15 {eye}")]],
            work: work.iter().map(|words| (*words).into()).collect(),
            marks: marks.into(),
            ..PartState::default()
        }
    }

    fn of(was: &PartState, now: &PartState) -> PartChange {
        let state = State::default();
        change(&state, Some(was), &state, now, Units::Millimetre)
    }

    /// A countersink, thread or mark that exists already is not removed by cutting a hole larger.
    #[test]
    fn only_what_is_cut_larger_and_finished_further_can_be_reworked() {
        let can = |was: &PartState, now: &PartState| {
            let change = of(was, now);
            assert_eq!(change.verdict, Verdict::CutAgain);
            change.differences.iter().any(|words| words.contains("can be reworked"))
        };
        let plain = part("9", &[], "");
        assert!(can(&plain, &part("11", &[], "")));
        assert!(can(&plain, &part("11", &["countersink"], "11ff")));
        assert!(!can(&part("9", &["countersink"], ""), &part("11", &[], "")));
        assert!(!can(&part("9", &["tap M10"], ""), &part("11", &["tap M12"], "")));
        assert!(!can(&part("9", &[], "22aa"), &part("11", &[], "11ff")));
        assert!(!can(&part("9", &[], "22aa"), &part("11", &[], "")));
        assert!(can(&part("9", &[], "22aa"), &part("11", &[], "22aa")));
        assert!(!can(&part("11", &[], ""), &plain));
    }

    #[test]
    fn a_hash_that_differs_alone_is_said_and_nothing_more_is_claimed() {
        let was = part("9", &[], "");
        let change = of(&was, &PartState { geometry: "0".into(), ..was.clone() });
        assert_eq!(change.verdict, Verdict::Unchanged);
        let words = "its hash differs; no size differs by 0.002 mm or more";
        assert_eq!(change.differences, [words]);
    }
}

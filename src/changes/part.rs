//! One part, compared with what it was.

use crate::changes::bends;
use crate::changes::contours;
use crate::geom::Edge;
use crate::geom::Vec2;
use crate::history::PartState;
use crate::history::State;
use crate::quantity::Units;
use serde::Serialize;

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
    /// Flat and bends are as they were; holes, edges, marks or welds are finished differently.
    FinishAgain,
    /// The very same, more of it.
    More,
    /// The very same, fewer of it.
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
    pub const fn said(self) -> &'static str {
        match self {
            Self::New => "new",
            Self::CutAgain => "cut again",
            Self::BendAgain => "bend again",
            Self::FinishAgain => "finish again",
            Self::More => "only more of",
            Self::Fewer => "only fewer of",
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
        words: Verdict::LeftOut.said().to_owned(),
        issue: None,
        was_issue: Some(issue(was, part)),
        differences: Vec::new(),
        overlay: None,
    }
}

fn issue(state: &State, part: &PartState) -> [String; 2] {
    [state.issue_of(part).to_owned(), part.geometry.clone()]
}

/// What became of a part, compared with what it was, if it was.
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
    let bends = bends::compare(old, part, shift, units);
    let finish = finish(old, part);
    if !(flats.differences.is_empty() && bends.is_empty()) {
        let of = |part: &PartState, shift| [contours::contours(part, shift), lines(part, shift)];
        change.overlay = Some(Overlay { was: of(old, shift), now: of(part, Vec2::ZERO) });
    }
    change.verdict = match () {
        () if !(metal.is_empty() && flats.differences.is_empty()) => Verdict::CutAgain,
        () if !bends.is_empty() => Verdict::BendAgain,
        () if !finish.is_empty() => Verdict::FinishAgain,
        () if part.pieces > old.pieces => Verdict::More,
        () if part.pieces < old.pieces => Verdict::Fewer,
        () => Verdict::Unchanged,
    };
    change.words = words(change.verdict, old.pieces, part.pieces);
    let rework = flats.only_larger && metal.is_empty() && bends.is_empty();
    if old.name != part.name {
        change.differences.push(format!("was called `{}`", old.name));
    }
    change.differences.extend(metal.into_iter().chain(flats.differences));
    change.differences.extend(bends.into_iter().chain(finish));
    if rework {
        let words = "pieces cut before can be reworked: openings are only added or larger";
        change.differences.push(words.to_owned());
    }
    if change.verdict == Verdict::Unchanged && old.geometry != part.geometry {
        let words = format!("differs by less than {}", units.length(contours::SAME));
        change.differences.push(words);
    }
    if old.pieces != part.pieces {
        change.differences.push(format!("pieces {} → {}", old.pieces, part.pieces));
    }
    change.differences.extend(price(was, old, now, part));
    change
}

fn pieces(count: u32) -> String {
    match count {
        1 => "1 piece".to_owned(),
        count => format!("{count} pieces"),
    }
}

/// The verdict with how many pieces.
fn words(verdict: Verdict, was: u32, now: u32) -> String {
    let said = verdict.said();
    match verdict {
        Verdict::More => format!("only {} more of the same", now - was),
        Verdict::Fewer => format!("only {} fewer of the same", was - now),
        Verdict::Unchanged | Verdict::LeftOut => said.to_owned(),
        Verdict::BendAgain => format!("{said}: {}; the flat is as it was", pieces(now)),
        Verdict::FinishAgain => {
            format!("{said}: {}; flat and bends are as they were", pieces(now))
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

/// What is done differently after cutting, and etched differently.
fn finish(old: &PartState, part: &PartState) -> Vec<String> {
    let mut differences = Vec::new();
    if old.marks != part.marks {
        let words = match (old.marks.is_empty(), part.marks.is_empty()) {
            (true, _) => "etched marks are new",
            (_, true) => "nothing is etched any more",
            _ => "etched marks differ: do not go by old ones",
        };
        differences.push(words.to_owned());
    }
    for (was, is) in [(&old.work, &part.work), (&old.welds, &part.welds)] {
        let lacks = |list: &[String], words: &String| !list.contains(words);
        differences
            .extend(was.iter().filter(|w| lacks(is, w)).map(|words| format!("no longer: {words}")));
        differences
            .extend(is.iter().filter(|w| lacks(was, w)).map(|words| format!("new: {words}")));
    }
    differences
}

fn price(was: &State, old: &PartState, now: &State, part: &PartState) -> Option<String> {
    let said = |state: &State, part: &PartState| match part.price_each {
        Some(price) => format!("{price:.2} {}", state.currency).trim_end().to_owned(),
        None => "not known".to_owned(),
    };
    let (before, after) = (said(was, old), said(now, part));
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

//! Findings: what is wrong, where, and what to do about it; and how one is drawn.
//!
//! A finding carries its sentences as the stage that found it wrote them, and beside them,
//! typed, its subject. Nothing here depends on what a recipe or a part is.

mod about;

pub use about::About;
pub(crate) use about::EdgeId;
pub use about::Feature;
pub use about::HoleId;
pub use about::Spot;

use annotate_snippets::AnnotationKind;
use annotate_snippets::Element;
use annotate_snippets::Group;
use annotate_snippets::Level;
use annotate_snippets::Origin;
use annotate_snippets::Renderer;
use annotate_snippets::Snippet;
use serde::Serialize;
use std::cmp::Reverse;
use std::fmt;
use std::ops::Range;

/// How much a finding weighs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Weight {
    /// The part can be made, but somebody should look.
    Caution,
    /// Nothing is written until this is put right.
    Stop,
}

impl fmt::Display for Weight {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Caution => "caution",
            Self::Stop => "stop",
        })
    }
}

/// Which of the [`Sources`] a span lies in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct SourceId(usize);

impl SourceId {
    /// Its number among the sources, from 0.
    pub(crate) const fn number(self) -> usize {
        self.0
    }

    /// The one with a number, from 0.
    pub(crate) const fn numbered(number: usize) -> Self {
        Self(number)
    }
}

/// A stretch of bytes in one of the [`Sources`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Span {
    /// The text it lies in.
    pub source: SourceId,
    /// First byte.
    pub start: usize,
    /// One past the last byte.
    pub end: usize,
}

impl Span {
    /// The part of this span that `within` names, counted from this span's start and limited to it.
    pub fn part(self, within: Range<usize>) -> Self {
        let start = (self.start + within.start).min(self.end);
        Self { start, end: (self.start + within.end).clamp(start, self.end), ..self }
    }
}

/// A place in a text with a few words beside it.
#[derive(Clone, Debug, PartialEq)]
pub struct Mark {
    /// Where.
    pub span: Span,
    /// The words, may be empty.
    pub label: String,
}

/// What to type instead of the present text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fix {
    /// The key or input; none for the value that the first mark is in.
    pub key: Option<String>,
    /// The whole value, without quotes.
    pub value: String,
}

/// Something found: a headline, the places that matter, the rule, and a remedy.
#[derive(Clone, Debug, PartialEq)]
pub struct Finding {
    /// How much it weighs.
    pub weight: Weight,
    /// Kebab-case name, for `platewright explain` and for tests.
    pub code: &'static str,
    /// What is, and what was needed.
    pub headline: String,
    /// The first mark is the value to change; the others made it so.
    pub marks: Vec<Mark>,
    /// The rule as arithmetic that can be done again by hand.
    pub notes: Vec<String>,
    /// What to type instead.
    pub help: Option<String>,
    /// The same as values, where they are known: any one of them.
    pub fixes: Vec<Fix>,
    /// Its subject: every feature it applies to.
    pub about: Vec<About>,
    /// How many more of the same this one speaks for.
    pub repeats: usize,
}

impl Finding {
    /// A finding that stops the job.
    pub fn stop(code: &'static str, headline: impl Into<String>) -> Self {
        Self {
            weight: Weight::Stop,
            code,
            headline: headline.into(),
            marks: Vec::new(),
            notes: Vec::new(),
            help: None,
            fixes: Vec::new(),
            about: Vec::new(),
            repeats: 0,
        }
    }

    /// A finding that somebody should look at.
    pub fn caution(code: &'static str, headline: impl Into<String>) -> Self {
        Self { weight: Weight::Caution, ..Self::stop(code, headline) }
    }

    /// A stop that no input should bring about.
    pub(crate) fn internal(code: &'static str, headline: impl Into<String>) -> Self {
        Self::stop(code, headline)
            .help("this is an error in platewright: please report it with the job")
    }

    /// The same with one more mark.
    #[must_use]
    pub fn at(mut self, span: Span, label: impl Into<String>) -> Self {
        self.marks.push(Mark { span, label: label.into() });
        self
    }

    /// The same with one more note.
    #[must_use]
    pub fn note(mut self, note: impl Into<String>) -> Self {
        self.notes.push(note.into());
        self
    }

    /// The same with a remedy.
    #[must_use]
    pub fn help(mut self, help: impl Into<String>) -> Self {
        self.help = Some(help.into());
        self
    }

    /// The same with one more possible value at the first mark.
    #[must_use]
    pub fn fix(mut self, value: impl Into<String>) -> Self {
        self.fixes.push(Fix { key: None, value: value.into() });
        self
    }

    /// The same with a possible value of a key.
    #[must_use]
    pub fn fix_of(mut self, key: &str, value: impl Into<String>) -> Self {
        self.fixes.push(Fix { key: Some(key.to_owned()), value: value.into() });
        self
    }

    /// The same with any of some values to write where the first mark is.
    #[must_use]
    pub fn write<V: AsRef<str>>(self, values: &[V]) -> Self {
        let quoted: Vec<String> = values.iter().map(|v| format!("`{}`", v.as_ref())).collect();
        let finding = self.help(format!("write {}", quoted.join(" or ")));
        values.iter().fold(finding, |finding, value| finding.fix(value.as_ref()))
    }

    /// The same, with one more subject.
    #[must_use]
    pub fn about(mut self, about: About) -> Self {
        about::gather(&mut self.about, vec![about]);
        self
    }

    /// Takes in a like finding: this one speaks for both, and is about what either is about.
    pub(crate) fn absorb(&mut self, like: Self) {
        about::gather(&mut self.about, like.about);
        self.repeats += 1 + like.repeats;
    }

    /// The names of the parts it is about, the first first.
    pub fn parts(&self) -> impl Iterator<Item = &str> {
        self.about.iter().filter_map(|about| match about {
            About::Part { name, .. } => Some(name.as_str()),
            _ => None,
        })
    }

    /// How many more of the same there are, in words; nothing where there are none.
    pub(crate) fn repeated(&self) -> Option<String> {
        let words = repeated(self.repeats)?;
        let parts: Vec<String> = self.parts().map(|name| format!("`{name}`")).collect();
        let concerned = format!("{words}; it concerns {}", parts.join(", "));
        Some(if parts.len() > 1 { concerned } else { words })
    }
}

/// Puts the worst first, else in the order in which they were found: so they are numbered and listed
/// everywhere.
pub(crate) fn worst_first(findings: &mut [Finding]) {
    findings.sort_by_key(|finding| Reverse(finding.weight));
}

/// How many more of the same there are, in words; nothing where there are none.
pub(crate) fn repeated(repeats: usize) -> Option<String> {
    match repeats {
        0 => None,
        1 => Some("occurs once more".into()),
        n => Some(format!("occurs {n} more times")),
    }
}

/// The texts that findings point into: recipes, jobs, tables.
#[derive(Clone, Debug, Default)]
pub struct Sources {
    texts: Vec<(String, String)>,
}

impl Sources {
    /// Keeps a text under the name a user knows it by.
    pub fn add(&mut self, name: impl Into<String>, text: impl Into<String>) -> SourceId {
        self.texts.push((name.into(), text.into()));
        SourceId(self.texts.len() - 1)
    }

    /// How many texts there are.
    pub(crate) fn count(&self) -> usize {
        self.texts.len()
    }

    /// The texts from one number on, with their names.
    pub(crate) fn since(&self, number: usize) -> &[(String, String)] {
        &self.texts[number..]
    }

    /// The name of a text.
    pub fn name(&self, id: SourceId) -> &str {
        &self.texts[id.0].0
    }

    /// A text.
    pub fn text(&self, id: SourceId) -> &str {
        &self.texts[id.0].1
    }

    /// Line and column of a span's start, both counted from 1, columns in characters.
    pub fn line_and_column(&self, span: Span) -> (usize, usize) {
        let text = self.text(span.source);
        let mut at = span.start.min(text.len());
        while !text.is_char_boundary(at) {
            at -= 1;
        }
        let before = &text[..at];
        let line_start = before.rfind('\n').map_or(0, |i| i + 1);
        (before.matches('\n').count() + 1, before[line_start..].chars().count() + 1)
    }

    /// A finding as text for a terminal: the places shown with the words underlined.
    pub fn draw(&self, finding: &Finding, colour: bool) -> String {
        let level = match finding.weight {
            Weight::Caution => Level::WARNING.with_name("caution"),
            Weight::Stop => Level::ERROR.with_name("stop"),
        };
        let mut group = Group::with_title(level.primary_title(&finding.headline).id(finding.code));
        let mut drawn: Vec<SourceId> = Vec::new();
        for mark in &finding.marks {
            let source = mark.span.source;
            if !drawn.contains(&source) {
                drawn.push(source);
                group = group.element(self.place(finding, source));
            }
        }
        let repeated = finding.repeated();
        for note in finding.notes.iter().chain(&repeated) {
            group = group.element(Level::NOTE.message(note));
        }
        if let Some(help) = &finding.help {
            group = group.element(Level::HELP.message(help));
        }
        let renderer = if colour { Renderer::styled() } else { Renderer::plain() };
        renderer.render(&[group])
    }

    /// The lines from the first to the last mark in a source. Where they are more than
    /// anybody reads, only the first place is named.
    fn place<'a>(&'a self, finding: &'a Finding, source: SourceId) -> Element<'a> {
        let (text, name) = (self.text(source), self.name(source));
        let marks = || finding.marks.iter().enumerate().filter(|(_, m)| m.span.source == source);
        let first = marks().map(|(_, m)| m.span.start).min().unwrap_or(0).min(text.len());
        let last = marks().map(|(_, m)| m.span.end).max().unwrap_or(0).clamp(first, text.len());
        let is_end = |byte: &u8| *byte == b'\n';
        let bytes = text.as_bytes();
        let from = bytes[..first].iter().rposition(is_end).map_or(0, |at| at + 1);
        let to = bytes[last..].iter().position(is_end).map_or(text.len(), |at| last + at);
        let (line, _) = self.line_and_column(Span { source, start: from, end: from });
        if to - from > LARGEST_PICTURE {
            let span = marks().next().map(|(_, m)| m.span);
            let (line, column) = span.map_or((line, 1), |span| self.line_and_column(span));
            return Element::from(Origin::path(name).line(line).char_column(column));
        }
        let mut snippet = Snippet::source(&text[from..to]).path(name).line_start(line).fold(true);
        for (i, mark) in marks() {
            let kind = if i == 0 { AnnotationKind::Primary } else { AnnotationKind::Context };
            let inside = |at: usize| at.clamp(from, to) - from;
            let annotation = kind.span(inside(mark.span.start)..inside(mark.span.end));
            snippet = snippet.annotation(if mark.label.is_empty() {
                annotation
            } else {
                annotation.label(&mark.label)
            });
        }
        Element::from(snippet)
    }
}

/// More text than this, in bytes, is not drawn. Our choice.
const LARGEST_PICTURE: usize = 40_000;

/// What to type instead of an unknown name: the nearest, else `are` and all there are.
pub fn instead(typed: &str, known: &[&str], are: &str) -> String {
    match nearest(typed, known.iter().copied()) {
        Some(near) => format!("write `{near}`"),
        None => format!("{are} {}", known.join(", ")),
    }
}

/// The same for names of one kind, such as `its face`: `its face is` or `its faces are`.
pub(crate) fn instead_of(typed: &str, known: &[&str], kind: &str) -> String {
    match known {
        [one] if nearest(typed, [*one]).is_none() => format!("{kind} is `{one}`"),
        _ => instead(typed, known, &format!("{kind}s are")),
    }
}

/// The nearest of `known` to `typed`, when it is near enough to be a slip of the hand.
/// Where three or more are equally near, as sizes are, none is meant more than the others.
pub fn nearest<'a>(typed: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let max = (typed.chars().count() / 3).max(1);
    let far = known.into_iter().map(|name| (edits(typed, name), name));
    let mut near: Vec<_> = far.filter(|(edits, _)| *edits <= max).collect();
    near.sort_unstable();
    near.dedup();
    let equal = near.iter().filter(|(edits, _)| *edits == near[0].0).count();
    near.first().filter(|_| equal < 3).map(|(_, name)| *name)
}

/// How many letters must be put in, taken out, changed or swapped to make `a` into `b`.
fn edits(a: &str, b: &str) -> usize {
    let a: Vec<char> = a.to_lowercase().chars().take(64).collect();
    let b: Vec<char> = b.to_lowercase().chars().take(64).collect();
    let mut rows = vec![vec![0; b.len() + 1]; a.len() + 1];
    for (i, row) in rows.iter_mut().enumerate() {
        row[0] = i;
    }
    rows[0] = (0..=b.len()).collect();
    for i in 1..=a.len() {
        for j in 1..=b.len() {
            let change = rows[i - 1][j - 1] + usize::from(a[i - 1] != b[j - 1]);
            rows[i][j] = change.min(rows[i - 1][j] + 1).min(rows[i][j - 1] + 1);
            if i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1] {
                rows[i][j] = rows[i][j].min(rows[i - 2][j - 2] + 1);
            }
        }
    }
    rows[a.len()][b.len()]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_slip_of_the_hand_is_recognised() {
        let known = ["reach", "bolt", "foot"];
        assert_eq!(nearest("raech", known), Some("reach"));
        assert_eq!(nearest("Blot", known), Some("bolt"));
        assert_eq!(nearest("thickness", known), None);
        assert_eq!(nearest("M7", ["M3", "M5", "M8"]), None);
    }

    #[test]
    fn lines_and_columns_count_from_one_in_characters() {
        let mut sources = Sources::default();
        let source = sources.add("a.toml", "ä = 1\nö = 2\n");
        let span = Span { source, start: 12, end: 13 };
        assert_eq!(sources.line_and_column(span), (2, 5));
    }

    #[test]
    fn like_findings_become_one_that_counts_them() {
        let of = |part: &str, hole| {
            let features = vec![Feature::Hole(HoleId { face: 0, hole })];
            Finding::stop("web", "too narrow").about(About::Part { name: part.into(), features })
        };
        let at = |hole| of("tab", hole);
        let mut first = at(0);
        first.absorb(at(1));
        assert_eq!(first.repeated().as_deref(), Some("occurs once more"));
        first.absorb(at(2));
        assert_eq!((first.repeats, first.parts().count()), (2, 1));
        let text = Sources::default().draw(&first, false);
        assert!(text.contains("note: occurs 2 more times"), "{text}");
        first.absorb(of("ear", 0));
        let words = "occurs 3 more times; it concerns `tab`, `ear`";
        assert_eq!(first.repeated().as_deref(), Some(words));
    }

    #[test]
    fn a_drawn_finding_names_the_place_and_underlines_it() {
        let mut sources = Sources::default();
        let source = sources.add("tab.toml", "reach = \"5 mm\"\n");
        let finding = Finding::stop("out-of-range", "`reach` is 5 mm, but needs at least 15 mm")
            .at(Span { source, start: 9, end: 13 }, "too short")
            .note("min = 15 mm")
            .help("write `reach = \"15 mm\"`");
        let text = sources.draw(&finding, false);
        for wanted in
            ["stop[out-of-range]", "tab.toml:1:10", "^^^^ too short", "note: min", "help: write"]
        {
            assert!(text.contains(wanted), "{wanted} is missing in\n{text}");
        }
    }
}

//! Marks, which are scribed or etched on a face, not cut.

use crate::diag::Finding;
use crate::diag::Span;
use crate::document::Fields;
use crate::document::Findings;
use crate::document::Item;
use crate::document::Value;
use crate::formula::Formula;
use crate::recipe::each::Each;
use crate::recipe::expr::Expr;
use crate::recipe::measures::Measures;
use crate::recipe::measures::point;

/// An entry of a face's `marks`.
#[derive(Clone, Debug)]
pub struct Mark {
    /// The content.
    pub(crate) marking: Marking,
    /// `when`: only when this is true.
    pub when: Option<Expr>,
    /// Once for each value of lists.
    pub each: Option<Each>,
    /// The whole entry.
    pub span: Span,
}

/// The content of a mark.
#[derive(Clone, Debug)]
pub(crate) enum Marking {
    /// Words.
    Text(Box<Text>),
    /// `{ line = [["0", "0"], ["20 mm", "0"]] }`: lines from point to point.
    Line(Vec<[Expr; 2]>),
    /// `{ tick = "heel" }`: short lines at both ends of the bend of that name. The recipe's
    /// `bend_ticks = true` does the same for all bends.
    Tick(String),
}

/// `{ text = "{name} R{radius}", at = ["0", "10 mm"], height = "4 mm", rotate = "90 deg" }`.
/// Text between braces is a formula, shown in the units of the job; `{name}` is the name of the
/// part.
#[derive(Clone, Debug)]
pub(crate) struct Text {
    /// The words, in pieces.
    pub words: Vec<Word>,
    /// `at`: their centre.
    pub at: [Expr; 2],
    /// `height` of a capital; 4 mm when left out.
    pub height: Option<Expr>,
    /// How they are rotated about their centre.
    pub rotate: Option<Expr>,
}

/// A piece of a text.
#[derive(Clone, Debug)]
pub(crate) enum Word {
    /// As written.
    Plain(String),
    /// The part's name.
    Name,
    /// The value of a formula.
    Formula(Expr),
}

pub(super) fn read(item: &Item, findings: &Findings) -> Option<Mark> {
    let measures = Measures(Fields::of(item, findings)?);
    let (when, each) = (measures.may("when"), Each::read(&measures));
    let kinds = ["text", "line", "tick"];
    let present: Vec<&str> = kinds.into_iter().filter(|k| measures.0.has(k)).collect();
    let marking = match present.as_slice() {
        ["text"] => text(&measures),
        ["line"] => line(&measures),
        ["tick"] => measures.name("tick").map(Marking::Tick),
        _ => {
            findings.add(
                Finding::stop("missing-key", "a mark is one of: text, line, tick")
                    .at(item.span, "")
                    .help("write `{ text = \"{name}\", at = [\"0\", \"0\"] }`"),
            );
            return None;
        }
    };
    if marking.is_some() {
        measures.0.finish();
    }
    Some(Mark { marking: marking?, when, each: each?, span: item.span })
}

/// Whether this is a place: `["x", "y"]`, or what begins like the name of a point.
fn is_place(item: &Item) -> bool {
    match &item.value {
        Value::List(_) => true,
        Value::Text(text) => text.trim_start().starts_with(char::is_alphabetic),
        _ => false,
    }
}

fn line(measures: &Measures) -> Option<Marking> {
    let items = measures.0.list("line");
    let findings = measures.0.findings();
    let flat = !items.iter().all(is_place);
    if items.len() < 2 || flat {
        let span = measures.0.get("line").map_or(measures.0.here, |i| i.span);
        findings.add(
            Finding::stop("wrong-kind", "a line runs through two points or more")
                .at(span, "")
                .help("write `line = [[\"0\", \"0\"], [\"20 mm\", \"0\"]]`"),
        );
        return None;
    }
    let points: Vec<[Expr; 2]> = items.iter().filter_map(|i| point(i, findings)).collect();
    (points.len() == items.len()).then_some(Marking::Line(points))
}

fn text(measures: &Measures) -> Option<Marking> {
    let text = measures.0.text("text")?;
    let letters = measures.0.get("text")?.letters;
    let words = words(text, letters, measures.0.findings())?;
    let (height, rotate) = (measures.may("height"), measures.may("rotate"));
    let at = measures.point("at")?;
    Some(Marking::Text(Box::new(Text { words, at, height, rotate })))
}

/// A text in pieces, split at its braces.
fn words(text: &str, letters: Span, findings: &Findings) -> Option<Vec<Word>> {
    let mut words = Vec::new();
    let mut at = 0;
    while let Some(open) = text[at..].find('{').map(|i| at + i) {
        if open > at {
            words.push(Word::Plain(text[at..open].to_owned()));
        }
        let Some(close) = text[open..].find('}').map(|i| open + i) else {
            findings.add(
                Finding::stop("formula", "this `{` is never closed")
                    .at(letters.part(open..open + 1), "")
                    .help("close it with `}`: `{name}`"),
            );
            return None;
        };
        let span = letters.part(open + 1..close);
        match &text[open + 1..close] {
            "name" => words.push(Word::Name),
            inner => match Formula::read(inner) {
                Ok(formula) => words.push(Word::Formula(Expr { formula, span })),
                Err(error) => {
                    findings.add(Expr::finding(span, &error));
                    return None;
                }
            },
        }
        at = close + 1;
    }
    if at < text.len() {
        words.push(Word::Plain(text[at..].to_owned()));
    }
    Some(words)
}

//! The bends of a recipe.

use crate::diag::Finding;
use crate::diag::Span;
use crate::document::Entry;
use crate::document::Fields;
use crate::document::Findings;
use crate::recipe::Expr;

/// To where the faces beside a bend are drawn.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Measured {
    /// To the sharp corner of the outside.
    #[default]
    Outside,
    /// To the sharp corner of the inside.
    Inside,
    /// To where the bend begins.
    Tangent,
}

/// One bend: which edge it stands on and which face it carries.
#[derive(Clone, Debug)]
pub struct Bend {
    /// The face it stands on.
    pub from: String,
    /// The named edge of that face.
    pub edge: String,
    /// The face it carries.
    pub to: String,
    /// How far the flange turns from flat.
    pub turn: Expr,
    /// Inside radius; the sheet's usual one when left out.
    pub radius: Option<Expr>,
    /// Towards the viewer or away, seen on the first face.
    pub up: bool,
    /// To where the two faces are drawn.
    pub measured: Measured,
    /// Where the bend's name stands.
    pub span: Span,
}

impl Bend {
    pub(super) fn read(entry: &Entry, findings: &Findings) -> Option<Self> {
        let fields = Fields::of(&entry.item, findings)?;
        let on = fields.needed_text("on", "\"plate.top\"");
        let to = fields.needed_text("to", "\"leg\"").map(str::to_owned);
        let turn = fields.need("turn", "\"90 deg\"").and_then(|i| Expr::read(i, findings));
        let radius = fields.get("radius").and_then(|i| Expr::read(i, findings));
        let up = word(&fields, "side", &[("up", true), ("down", false)]);
        let measured = word(
            &fields,
            "measured",
            &[
                ("outside", Measured::Outside),
                ("inside", Measured::Inside),
                ("tangent", Measured::Tangent),
            ],
        );
        let split = on.and_then(|on| on.split_once('.'));
        if on.is_some() && split.is_none() {
            let span = fields.get("on").map_or(entry.key, |i| i.letters);
            fields.add(
                Finding::stop("bad-name", "a bend stands on a named edge of a face")
                    .at(span, "")
                    .help("write the face, a point and the edge: `on = \"plate.top\"`"),
            );
        }
        fields.finish();
        let (from, edge) = split?;
        Some(Self {
            from: from.to_owned(),
            edge: edge.to_owned(),
            to: to?,
            turn: turn?,
            radius,
            up: up.unwrap_or(true),
            measured: measured.unwrap_or_default(),
            span: entry.key,
        })
    }
}

/// One of a few words; a finding when it is another.
pub(super) fn word<T: Copy>(fields: &Fields, name: &str, words: &[(&str, T)]) -> Option<T> {
    let item = fields.get(name)?;
    let found = words.iter().find(|(word, _)| item.text() == Some(word)).map(|(_, value)| *value);
    if found.is_none() {
        let all: Vec<String> = words.iter().map(|(word, _)| format!("`{word}`")).collect();
        fields.add(
            Finding::stop("unknown-word", format!("`{name}` is {}", all.join(" or ")))
                .at(item.span, "")
                .help(format!("write `{name} = \"{}\"`", words[0].0)),
        );
    }
    found
}

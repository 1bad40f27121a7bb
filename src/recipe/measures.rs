//! Reading the dimensions of steps and holes.

use crate::diag::Finding;
use crate::diag::Span;
use crate::diag::nearest;
use crate::document::Fields;
use crate::document::Findings;
use crate::document::Item;
use crate::document::Value;
use crate::document::wrong_kind;
use crate::formula::Formula;
use crate::recipe::expr::Expr;

/// Reads dimensions by name, so that all that are missing are reported.
pub(super) struct Measures<'a>(pub(super) Fields<'a>);

impl Measures<'_> {
    pub(super) fn need(&self, name: &str) -> Option<Expr> {
        self.0.need(name, "\"10 mm\"").and_then(|i| Expr::read(i, self.0.findings()))
    }

    pub(super) fn need_count(&self, name: &str) -> Option<Expr> {
        self.0.need(name, "\"2\"").and_then(|i| Expr::read(i, self.0.findings()))
    }

    pub(super) fn need_angle(&self, name: &str) -> Option<Expr> {
        self.0.need(name, "\"45 deg\"").and_then(|i| Expr::read(i, self.0.findings()))
    }

    pub(super) fn may(&self, name: &str) -> Option<Expr> {
        self.0.get(name).and_then(|i| Expr::read(i, self.0.findings()))
    }

    /// A point; the origin when it is left out.
    pub(super) fn point(&self, name: &str) -> Option<[Expr; 2]> {
        match self.0.get(name) {
            Some(item) => point(item, self.0.findings()),
            None => Some(self.origin()),
        }
    }

    /// The origin of the drawing.
    pub(super) fn origin(&self) -> [Expr; 2] {
        [zero(self.0.here), zero(self.0.here)]
    }

    /// Refuses keys beside another, each with why; says whether there are none.
    pub(super) fn alone(&self, own: &str, others: &[(&str, &str)]) -> bool {
        let mut is_alone = true;
        for (key, headline) in others {
            let Some(entry) = self.0.entry(key) else { continue };
            is_alone = false;
            let finding = Finding::stop("wrong-kind", *headline).at(entry.key, "");
            self.0.add(finding.help(format!("remove `{key}`, or `{own}`")));
        }
        is_alone
    }

    pub(super) fn name(&self, name: &str) -> Option<String> {
        self.0.label(name, "\"foot\"").map(str::to_owned)
    }
}

/// No length, said at a place.
pub(super) fn zero(span: Span) -> Expr {
    Expr { formula: Formula::constant(crate::formula::Value::length(0.0)), span }
}

/// A point `["x", "y"]`, or a formula that evaluates to one: the name of a point.
pub(super) fn point(item: &Item, findings: &Findings) -> Option<[Expr; 2]> {
    match &item.value {
        Value::List(items) if items.len() == 2 => {
            let x = Expr::read(&items[0], findings);
            let y = Expr::read(&items[1], findings);
            Some([x?, y?])
        }
        Value::Text(_) => {
            let whole = Expr::read(item, findings)?;
            let of = |field| Expr { formula: whole.formula.clone().drawn(field), span: whole.span };
            Some([of("x"), of("y")])
        }
        Value::List(items) if items.len() > 2 => {
            let headline = format!("a point of a face has two coordinates, not {}", items.len());
            let help = "write `[\"x\", \"y\"]`; a point in space is named in `[points]`";
            findings.add(Finding::stop("wrong-kind", headline).at(item.span, "").help(help));
            None
        }
        _ => {
            findings.add(wrong_kind(item, "a point `[\"x\", \"y\"]`"));
            None
        }
    }
}

/// Both, where both are there: each has been asked for, so each that is missing is reported.
pub(super) fn both<A, B>(a: Option<A>, b: Option<B>) -> Option<(A, B)> {
    Some((a?, b?))
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
                .help(match nearest(item.text().unwrap_or_default(), words.iter().map(|w| w.0)) {
                    Some(near) => format!("write `{name} = \"{near}\"`"),
                    None => format!("write one of them, such as `{name} = \"{}\"`", words[0].0),
                }),
        );
    }
    found
}

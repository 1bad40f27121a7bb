//! `accept` of a part: stops of workmanship that are known and accepted, each with a reason.

use crate::check;
use crate::diag::Finding;
use crate::diag::Span;
use crate::diag::instead;
use crate::document::Entry;
use crate::document::Fields;
use crate::document::wrong_kind;

/// A stop that is accepted.
#[derive(Clone, Debug, PartialEq)]
pub struct Accepted {
    /// The check.
    pub code: String,
    /// Why, in the words of the job.
    pub reason: String,
    /// Its position in the text.
    pub span: Span,
}

/// What is accepted in examples.
const EXAMPLE: &str = "min-flange";

/// Reads `accept = { bend-sequence = "bent over a block in the vice" }`.
pub(super) fn read(fields: &Fields) -> Vec<Accepted> {
    if let Some((item, code)) = fields.get("accept").and_then(|item| Some((item, item.text()?))) {
        let code = check::WORKMANSHIP.iter().find(|known| **known == code).unwrap_or(&EXAMPLE);
        let help = format!("write `accept = {{ {code} = \"bent over a block in the vice\" }}`");
        fields.add(wrong_kind(item, "a table of what is accepted, and why,").help(help));
        return Vec::new();
    }
    let one = |(code, entry): (&str, &Entry)| {
        if !check::WORKMANSHIP.contains(&code) {
            fields.add(refused(code, entry));
            return None;
        }
        let Some(reason) = entry.item.text() else {
            let help = format!("write `{code} = \"bent over a block in the vice\"`");
            fields.add(wrong_kind(&entry.item, "the reason").help(help));
            return None;
        };
        if reason.trim().is_empty() {
            fields.add(
                Finding::stop("missing-key", "`accept` needs a reason")
                    .at(entry.item.span, "")
                    .note("it is printed on the drawing and in the report")
                    .help(format!("write `{code} = \"bent over a block in the vice\"`")),
            );
            return None;
        }
        Some(Accepted { code: code.to_owned(), reason: reason.trim().to_owned(), span: entry.key })
    };
    fields.entries("accept").into_iter().filter_map(one).collect()
}

/// The finding for a check that is none of workmanship.
fn refused(code: &str, entry: &Entry) -> Finding {
    let is_check = check::codes().any(|known| known == code);
    let headline = match is_check {
        true => format!("a stop of `{code}` cannot be accepted"),
        false => format!("there is no check `{code}`"),
    };
    let finding = Finding::stop("accept", headline).at(entry.key, "");
    match is_check {
        true => finding
            .note("only stops of bending can be accepted, as workmanship; strength, collisions and parts that cannot be made are never accepted")
            .help(format!("change the part; what may be accepted is {}", check::WORKMANSHIP.join(", "))),
        false => finding.help(instead(code, check::WORKMANSHIP, "what may be accepted is")),
    }
}

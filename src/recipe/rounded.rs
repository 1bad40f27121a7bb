//! Which corners of a rectangle are rounded.

use crate::diag::Finding;
use crate::diag::instead;
use crate::document::Item;
use crate::document::wrong_kind;
use crate::recipe::expr::Expr;
use crate::recipe::measures::Measures;

/// The corners of a rectangle that are rounded, and how far.
#[derive(Clone, Debug)]
pub struct Rounded {
    /// `corner`: the radius.
    pub radius: Expr,
    /// Which: from the lower left one anticlockwise.
    pub corners: [bool; 4],
}

/// The names allowed in `rounded`, and their corners: both at an edge, or one.
const WORDS: &[(&str, &[usize])] = &[
    ("bottom", &[0, 1]),
    ("right", &[1, 2]),
    ("top", &[2, 3]),
    ("left", &[3, 0]),
    ("bottom-left", &[0]),
    ("bottom-right", &[1]),
    ("top-right", &[2]),
    ("top-left", &[3]),
];

/// `corner`, and `rounded` where not all of them are; `None` when something was reported.
pub(super) fn read(measures: &Measures) -> Option<Option<Rounded>> {
    let Some(item) = measures.0.get("rounded") else {
        let all = |radius| Rounded { radius, corners: [true; 4] };
        return Some(measures.may("corner").map(all));
    };
    let radius = measures.need("corner");
    let mut corners = [false; 4];
    for word in words(item, measures)? {
        let text = word.text().unwrap_or_default();
        let Some((_, meant)) = WORDS.iter().find(|(word, _)| *word == text) else {
            let names: Vec<&str> = WORDS.iter().map(|(word, _)| *word).collect();
            let headline = format!("a rectangle has no corners `{text}`");
            let help = instead(text, &names, "choose from");
            measures.0.add(Finding::stop("unknown-word", headline).at(word.letters, "").help(help));
            return None;
        };
        meant.iter().for_each(|corner| corners[*corner] = true);
    }
    Some(Some(Rounded { radius: radius?, corners }))
}

fn words<'a>(item: &'a Item, measures: &Measures) -> Option<&'a [Item]> {
    match item.list() {
        Some(words) if !words.is_empty() => Some(words),
        _ => {
            let finding = wrong_kind(item, "a list of edges or corners");
            measures.0.add(finding.help("write `rounded = [\"top\"]`, or `[\"top-left\"]`"));
            None
        }
    }
}

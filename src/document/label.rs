//! Names that are neither files nor in formulas: of edges, holes, bends, sheets.

use crate::diag::Finding;
use crate::diag::Span;

/// Maximum number of characters of a name. Our choice: as many as of a file name.
const LONGEST: usize = 80;

/// Why a name is none; `None` when it is one.
pub(crate) fn unfit_label(name: &str) -> Option<&'static str> {
    if name.is_empty() {
        Some("it is empty")
    } else if name.chars().all(char::is_whitespace) {
        Some("it is only spaces")
    } else if name.chars().any(unseen) {
        Some("it has an invisible character")
    } else if name.trim() != name {
        Some("it begins or ends with a space")
    } else if name.chars().count() > LONGEST {
        Some("it is longer than 80 characters")
    } else {
        None
    }
}

/// Whether a character leaves nothing on paper: controls, and marks that join, part or turn others.
fn unseen(c: char) -> bool {
    c.is_control()
        || matches!(c, '\u{ad}' | '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}')
        || matches!(c, '\u{2060}'..='\u{2069}' | '\u{feff}')
}

/// The finding where a name is none; `help` says what could be written.
pub(super) fn finding(name: &str, span: Span, help: String) -> Option<Finding> {
    let words = unfit_label(name)?;
    let headline = format!("`{}` is not a name: {words}", name.escape_debug());
    Some(Finding::stop("bad-name", headline).at(span, "").help(help))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_is_read_as_it_is_written() {
        let long = "x".repeat(81);
        for name in ["", " ", "\u{a0}", "a\tb", "a\u{200b}", " a", "a ", "a\u{7}", &long] {
            assert!(unfit_label(name).is_some(), "{name:?}");
        }
        for name in ["eye", "S235 4 mm", "lug {number}", "3/16 in", "Ärmel", &long[..80]] {
            assert_eq!(unfit_label(name), None, "{name:?}");
        }
    }
}

//! Names that become those of files.

use crate::diag::Finding;
use crate::diag::Span;

/// A text as a piece of a file name: `1-1/8 in` becomes `1-1-8in`.
pub(crate) fn file_word(text: &str) -> String {
    let keep = |c: char| if c.is_alphanumeric() || c == '.' || c == '_' { c } else { '-' };
    text.chars().filter(|c| *c != ' ').map(keep).collect()
}

/// The finding for a name that cannot be that of a file; `words` say why.
pub(crate) fn unfit_name(name: &str, words: &str, span: Span) -> Finding {
    let help = "use letters, digits, `-`, `_` and `.`, 80 at most";
    let headline = format!("`{}` is not a valid file name: {words}", name.escape_debug());
    Finding::stop("bad-name", headline).at(span, "").help(help)
}

/// Names that mean a device on some systems, whatever their ending.
const DEVICES: &[&str] = &["con", "prn", "aux", "nul"];

/// Why a name cannot be that of a file on every system; `None` when it can.
pub(crate) fn unfit_for_files(name: &str) -> Option<&'static str> {
    let fits = |c: char| c.is_alphanumeric() || matches!(c, '-' | '_' | '.');
    let stem = name.split('.').next().unwrap_or_default().to_lowercase();
    let numbered = |device: &str| {
        stem.strip_prefix(device)
            .is_some_and(|n| n.len() == 1 && n.starts_with(|c: char| c.is_ascii_digit()))
    };
    if name.is_empty() {
        Some("it is empty")
    } else if name.chars().count() > 80 {
        Some("it is longer than 80 characters")
    } else if !name.chars().all(fits) {
        Some("it has a character that some systems do not allow")
    } else if name.starts_with(['.', '-']) || name.ends_with('.') {
        Some("it starts or ends with a dot or a dash")
    } else if DEVICES.contains(&stem.as_str()) || numbered("com") || numbered("lpt") {
        Some("some systems reserve it for a device")
    } else {
        None
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_that_some_system_refuses_are_unfit() {
        let long = "x".repeat(81);
        for name in
            ["", "../x", "a/b", "CON", "con.dxf", "COM1", ".x", "-x", "x.", "a b", "a:b", &long]
        {
            assert!(unfit_for_files(name).is_some(), "{name}");
        }
        for name in ["hose-tab-M6-1-1-8in", "Ärmel", "com", "a.b_c"] {
            assert_eq!(unfit_for_files(name), None, "{name}");
        }
    }
}

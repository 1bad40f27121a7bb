//! The margins of the printed report: the job, its issues, and the page.

use crate::paper::Format;

/// The margins as a style sheet (CSS Paged Media Level 3, W3C): a browser without margin boxes
/// leaves them out.
pub(super) fn margins(title: &str, issues: &str, paper: Format) -> String {
    let (title, issues) = (quoted(title), quoted(issues));
    let page = "\"Page \" counter(page) \" of \" counter(pages)";
    let of = |place: &str, content: &str| format!("@{place}{{content:{content};{FONT}}}");
    format!(
        "@page{{size:{} portrait;margin:14mm 11mm;{}{}{}}}",
        paper.name(),
        of("top-left", &title),
        of("top-right", &issues),
        of("bottom-right", page)
    )
}

/// In which letters.
const FONT: &str = "font:9px sans-serif;color:#333";

/// A text as a string of a style sheet: what could end it is written by its number.
fn quoted(text: &str) -> String {
    let letter = |c: char| match c {
        '"' | '\\' | '<' | '>' | '&' => format!("\\{:x} ", u32::from(c)),
        c if c.is_control() => format!("\\{:x} ", u32::from(c)),
        c => c.to_string(),
    };
    let inner: String = text.chars().map(letter).collect();
    format!("\"{inner}\"")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_name_ends_the_style_sheet() {
        let made = margins("a\"b</style>\\", "issue A", Format::Letter);
        assert!(made.contains("size:Letter portrait"), "{made}");
        assert!(made.contains(r#""a\22 b\3c /style\3e \5c ""#), "{made}");
        assert!(made.contains("counter(pages)") && made.contains("\"issue A\""));
    }
}

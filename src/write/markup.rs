//! What the SVG files we write have in common: their head, their words, their paths.
//!
//! Elements and escaping are the `svg` crate's, which writes attributes by name, so that the
//! same drawing gives the same text. Coordinates are ours: that crate's path data are 32-bit.

use crate::geom::Edge;
use crate::geom::Point;
use svg::Document;
use svg::Node;
use svg::node::Text;
use svg::node::element::Element;
use svg::node::element::Path;
use svg::node::element::Style;
use svg::node::element::Title;

/// A document of this width and height, with their units; its view box is in user units.
pub(crate) fn document(
    title: &str,
    [width, height]: [String; 2],
    view: String,
    style: &str,
) -> Document {
    Document::new()
        .set("width", width)
        .set("height", height)
        .set("viewBox", view)
        .add(Title::new(plain(title)))
        .add(Style::new(style.trim_end()))
}

/// The text of the file.
pub(crate) fn text(document: &Document) -> String {
    format!("{document}\n")
}

/// A path with these data.
pub(crate) fn path(data: String) -> Path {
    Path::new().set("d", data)
}

/// Path data through edges that follow each other; `at` writes a point and turns the picture
/// over, `number` writes a radius.
pub(crate) fn data(
    edges: &[Edge],
    at: impl Fn(Point) -> String,
    number: impl Fn(f64) -> String,
) -> String {
    let mut data = edges.first().map_or_else(String::new, |e| format!("M{}", at(e.from)));
    for edge in edges {
        let to = at(edge.to);
        match edge.arc() {
            None => data.push_str(&format!(" L{to}")),
            Some(arc) => {
                let r = number(arc.radius);
                // Turned over, anticlockwise is still anticlockwise on paper: sweep 0.
                let sweep = u8::from(edge.bulge < 0.0);
                data.push_str(&format!(" A{r} {r} 0 0 {sweep} {to}"));
            }
        }
    }
    data
}

/// A `text` element with these words and no blank round them. The crate's own puts its words on a
/// separate line, which shows where blanks are kept.
pub(crate) fn words(text: &str) -> Element {
    let mut element = Element::new("text");
    element.append(Text::new(plain(text)));
    element
}

/// The text without control characters, which XML forbids: they become spaces.
fn plain(text: &str) -> String {
    let forbidden = |c: char| c.is_control() || matches!(c, '\u{fffe}' | '\u{ffff}');
    text.chars().map(|c| if forbidden(c) { ' ' } else { c }).collect()
}

/// Whether HTML and XML take a text as it is; one with letters beyond ASCII is not looked at.
pub(crate) fn is_simple(text: &str) -> bool {
    text.bytes().all(|b| matches!(b, b' '..=b'~') && !matches!(b, b'&' | b'<' | b'>' | b'"'))
}

/// Text as HTML and XML take it, in attributes too.
pub(crate) fn escaped(text: &str) -> String {
    if is_simple(text) {
        return text.to_owned();
    }
    let mut out = String::with_capacity(text.len());
    for c in plain(text).chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            c => out.push(c),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_keep_their_blanks_and_cannot_break_the_file() {
        assert_eq!(words(" a < b & c\u{1}\n").to_string(), "<text> a &lt; b &amp; c  </text>");
        assert_eq!(escaped("a\u{1}\n\"b\""), "a  &quot;b&quot;");
        for c in (0..=0x2ff).filter_map(char::from_u32) {
            let text = format!("{c}1");
            assert!(
                !is_simple(&text) || escaped(&format!("\u{fc}{text}")) == format!("\u{fc}{text}")
            );
        }
        assert!(is_simple("-1.5 #s0 ~'") && !is_simple("a&b"));
        let size = ["1mm".to_owned(), "2mm".to_owned()];
        let file = text(&document("1 < 2", size, "0 0 1 2".to_owned(), ".a {}\n"));
        assert_eq!(
            file,
            "<svg height=\"2mm\" viewBox=\"0 0 1 2\" width=\"1mm\" xmlns=\"http://www.w3.org/2000/svg\">\n\
             <title>1 &lt; 2</title>\n<style>\n.a {}\n</style>\n</svg>\n"
        );
    }
}

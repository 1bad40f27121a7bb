//! Styles that move, size or clip what is drawn: refused by name, as they are not read.

use crate::svg_in::error::SvgError;
use crate::svg_in::sheet;
use crate::svg_in::style::own;
use crate::svg_in::style::property;
use crate::svg_in::style::without_comments;
use roxmltree::Document;
use roxmltree::Node;

/// Properties of CSS that move an element.
const MOVES: &[&str] =
    &["transform", "translate", "rotate", "scale", "zoom", "offset", "offset-path"];

/// Properties that hide parts of an element. Those of the element itself are refused with it.
const CLIPS: &[&str] = &["clip-path", "mask"];

/// Geometry properties of SVG 2, and the elements they size.
const SIZES: &[(&str, &[&str])] = &[
    ("circle", &["cx", "cy", "r"]),
    ("ellipse", &["cx", "cy", "rx", "ry"]),
    ("rect", &["x", "y", "width", "height", "rx", "ry"]),
    ("use", &["x", "y"]),
    ("path", &["d"]),
];

/// Refuses stylesheets that move, size, clip or hide what is drawn, and a root element that is moved.
pub(super) fn refuse(document: &Document) -> Result<(), SvgError> {
    let row = |node: &Node| document.text_pos_at(node.range().start).row;
    let is_link = |node: &Node| node.pi().is_some_and(|pi| pi.target == "xml-stylesheet");
    if let Some(link) = document.root().descendants().find(is_link) {
        return Err(SvgError::Elsewhere(row(&link)));
    }
    for (row, text) in sheets(document) {
        if let Some(name) = of_sheet(&text) {
            return Err(SvgError::Stylesheet(row, name));
        }
        if let Some((what, of)) = sheet::unseen(&text) {
            return Err(SvgError::Unseen(row, what, of));
        }
    }
    let root = document.root_element();
    let has = root.attribute("transform").map(|_| "transform".to_owned());
    has.or_else(|| moved(root)).map_or(Ok(()), |name| Err(SvgError::Root(name)))
}

/// In words, the rules of stylesheets that hide, dash or sort elements: they are not applied.
pub(super) fn ignored(document: &Document) -> Option<String> {
    let mut said: Vec<String> = Vec::new();
    for (row, text) in sheets(document) {
        let text = without_comments(&text).to_lowercase();
        let words = ["display", "visibility", "stroke-dasharray"].into_iter();
        let set: Vec<String> =
            words.filter(|word| text.contains(word)).map(|word| format!("`{word}`")).collect();
        if !set.is_empty() {
            let (set, is) = (set.join(", "), if set.len() == 1 { "is" } else { "are" });
            said.push(format!("its stylesheet on line {row} sets {set}, which {is} ignored"));
        }
    }
    let all: Vec<String> = sheets(document).map(|(_, text)| text).collect();
    if sheet::sorts(document, &all) {
        said.push(
            "its stylesheet sets `stroke`, which is ignored: lines outside groups are not sorted by \
             that colour"
                .to_owned(),
        );
    }
    (!said.is_empty()).then(|| said.join("; "))
}

/// Whether a stylesheet gives elements a fill or a stroke.
pub(super) fn paints(document: &Document) -> bool {
    sheets(document).any(|(_, text)| sheet::paints(&text))
}

/// The stylesheets of a file, wherever they are: the line of each, and its text.
fn sheets(document: &Document) -> impl Iterator<Item = (u32, String)> {
    let sheets = document.descendants().filter(|node| node.tag_name().name() == "style");
    sheets.map(|sheet| {
        let text = sheet.children().filter_map(|part| part.text()).collect();
        (document.text_pos_at(sheet.range().start).row, text)
    })
}

/// What in its style moves or sizes an element, or where its transform turns about another point.
pub(super) fn odd(node: Node) -> Option<String> {
    let name = node.tag_name().name();
    let sizes = SIZES.iter().find(|(element, _)| *element == name).map(|(_, sizes)| *sizes);
    let sized = || {
        let mut all = own(node).into_iter();
        all.find(|(key, _)| sizes.is_some_and(|sizes| sizes.contains(&key.as_str())))
    };
    if let Some(key) = moved(node).or_else(|| sized().map(|(key, _)| key)) {
        return Some(format!("{name} with `{key}` in its style"));
    }
    node.attribute("transform")?;
    let value = |key: &str| property(node, key);
    let is_zero = |value: &String| value.split_whitespace().all(|part| matches!(part, "0" | "0px"));
    let key = match (value("transform-origin"), value("transform-box")) {
        (Some(origin), _) if !is_zero(&origin) => "transform-origin",
        (_, Some(of)) if of != "view-box" => "transform-box",
        _ => return None,
    };
    Some(format!("{name} with a `{key}`"))
}

fn moved(node: Node) -> Option<String> {
    let moves = |(key, value): &(String, String)| MOVES.contains(&key.as_str()) && value != "none";
    own(node).into_iter().find(moves).map(|(key, _)| key)
}

/// The first property of a stylesheet that moves, sizes or clips something.
fn of_sheet(text: &str) -> Option<String> {
    let text = without_comments(text).to_lowercase();
    if text.contains("@import") {
        return Some("@import".to_owned());
    }
    let of_shape = |key: &str| SIZES.iter().any(|(_, sizes)| sizes.contains(&key));
    let pairs = text.split(['{', '}', ';']).filter_map(|pair| pair.split_once(':'));
    let mut pairs = pairs.map(|(key, value)| (key.trim(), value.trim()));
    let odd = |(key, value): &(&str, &str)| {
        (MOVES.contains(key) || CLIPS.contains(key)) && *value != "none"
            || of_shape(key)
            || ["transform-origin", "transform-box"].contains(key)
    };
    pairs.find(odd).map(|(key, _)| key.to_owned())
}

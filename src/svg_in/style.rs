//! Whether an element is seen, and how: what it inherits of its style.

use roxmltree::Node;

/// The style of an element.
#[derive(Clone, Debug)]
pub(super) struct Style {
    /// Its group by label or id.
    pub(super) group: Option<String>,
    fill: String,
    stroke: String,
    dashes: String,
    /// What hides parts of it.
    pub(super) cut_off: Option<&'static str>,
    visible: bool,
    displayed: bool,
}

impl Style {
    /// As a document begins.
    pub(super) fn first() -> Self {
        let (fill, stroke) = ("black".to_owned(), "none".to_owned());
        let dashes = "none".to_owned();
        Self { group: None, fill, stroke, dashes, cut_off: None, visible: true, displayed: true }
    }

    /// As it is within an element.
    pub(super) fn within(&self, node: Node) -> Self {
        let or = |name: &str, own: &str| match property(node, name) {
            Some(value) if value != "inherit" => value,
            _ => own.to_owned(),
        };
        let is_group = node.tag_name().name() == "g";
        let label = node.attributes().find(|a| a.name() == "label").map(|a| a.value());
        let name = label.or_else(|| node.attribute("id")).filter(|_| is_group);
        let shown = property(node, "visibility");
        Self {
            group: name.map(|n| n.trim().to_owned()).or_else(|| self.group.clone()),
            fill: or("fill", &self.fill),
            stroke: or("stroke", &self.stroke),
            dashes: or("stroke-dasharray", &self.dashes),
            cut_off: self.cut_off.or_else(|| cut_off(node)),
            visible: match shown.as_deref() {
                Some("hidden" | "collapse") => false,
                Some("visible") => true,
                _ => self.visible,
            },
            displayed: self.displayed && property(node, "display").as_deref() != Some("none"),
        }
    }

    /// The layer it is on.
    pub(super) fn layer(&self) -> String {
        let colour = || if self.stroke == "none" { "0".to_owned() } else { self.stroke.clone() };
        self.group.clone().unwrap_or_else(colour)
    }

    /// Its dashes, where its line has some.
    pub(super) fn dashes(&self) -> Option<String> {
        (self.dashes != "none").then(|| self.dashes.clone())
    }

    /// Why it is not seen.
    pub(super) fn hidden(&self) -> Option<&'static str> {
        match self {
            Self { displayed: false, .. } => Some("not displayed"),
            Self { visible: false, .. } => Some("made invisible"),
            _ if self.fill == "none" && self.stroke == "none" => Some("neither filled nor stroked"),
            _ => None,
        }
    }
}

/// What hides parts of an element, where something does.
fn cut_off(node: Node) -> Option<&'static str> {
    let names = [("clip-path", "clip path"), ("mask", "mask")];
    let is_set = |name: &str| property(node, name).is_some_and(|value| value != "none");
    names.into_iter().find(|(name, _)| is_set(name)).map(|(_, words)| words)
}

/// A property by its style, else by its attribute.
pub(super) fn property(node: Node, name: &str) -> Option<String> {
    let styled = own(node).into_iter().rfind(|(key, _)| key == name).map(|(_, value)| value);
    styled.or_else(|| node.attribute(name).map(without_importance))
}

/// The properties in the style of an element.
pub(super) fn own(node: Node) -> Vec<(String, String)> {
    let text = without_comments(node.attribute("style").unwrap_or_default());
    let pair = |(key, value): (&str, &str)| (key.trim().to_lowercase(), without_importance(value));
    text.split(';').filter_map(|pair| pair.split_once(':')).map(pair).collect()
}

fn without_importance(value: &str) -> String {
    value.trim().trim_end_matches("!important").trim().to_owned()
}

pub(super) fn without_comments(text: &str) -> String {
    let mut parts = text.split("/*");
    let first = parts.next().unwrap_or_default().to_owned();
    let after = |part: &str| part.split_once("*/").map_or("", |(_, after)| after).to_owned();
    parts.fold(first, |all, part| all + &after(part))
}

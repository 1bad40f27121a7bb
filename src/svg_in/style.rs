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
    /// Not with an opacity of 0, nor within such a group.
    opaque: bool,
    fill_opacity: String,
    stroke_opacity: String,
    stroke_width: String,
    /// Whether a stylesheet gives elements a fill or a stroke.
    paints: bool,
}

impl Style {
    /// As a document begins; `paints`: whether a stylesheet gives elements a fill or a stroke.
    pub(super) fn first(paints: bool) -> Self {
        let one = || "1".to_owned();
        Self {
            group: None,
            fill: "black".to_owned(),
            stroke: "none".to_owned(),
            dashes: "none".to_owned(),
            cut_off: None,
            visible: true,
            displayed: true,
            opaque: true,
            fill_opacity: one(),
            stroke_opacity: one(),
            stroke_width: one(),
            paints,
        }
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
            opaque: self.opaque && !property(node, "opacity").is_some_and(|value| is_zero(&value)),
            fill_opacity: or("fill-opacity", &self.fill_opacity),
            stroke_opacity: or("stroke-opacity", &self.stroke_opacity),
            stroke_width: or("stroke-width", &self.stroke_width),
            paints: self.paints,
        }
    }

    /// The layer it is on.
    pub(super) fn layer(&self) -> String {
        let colour = || if is_clear(&self.stroke) { "0".to_owned() } else { self.stroke.clone() };
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
            Self { opaque: false, .. } => Some("with an opacity of 0"),
            _ if self.is_empty() && !self.paints => Some("neither filled nor stroked"),
            _ if self.is_white_line() && !self.paints => Some("drawn in white"),
            _ => None,
        }
    }

    /// Whether only a stylesheet can say whether it is seen.
    pub(super) fn needs_sheet(&self) -> bool {
        self.paints && self.is_empty()
    }

    /// Whether its fill and its stroke paint something.
    fn painted(&self) -> [bool; 2] {
        let thick = !is_zero(&self.stroke_opacity) && !is_zero(&self.stroke_width);
        [!is_clear(&self.fill) && !is_zero(&self.fill_opacity), !is_clear(&self.stroke) && thick]
    }

    fn is_empty(&self) -> bool {
        self.painted() == [false, false]
    }

    /// Whether it is a line alone, in white, as the page is. A white area may be a hole in another.
    fn is_white_line(&self) -> bool {
        self.painted() == [false, true] && is_white(&self.stroke)
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

pub(super) fn without_importance(value: &str) -> String {
    value.trim().trim_end_matches("!important").trim().to_owned()
}

pub(super) fn without_comments(text: &str) -> String {
    let mut parts = text.split("/*");
    let first = parts.next().unwrap_or_default().to_owned();
    let after = |part: &str| part.split_once("*/").map_or("", |(_, after)| after).to_owned();
    parts.fold(first, |all, part| all + &after(part))
}

/// Whether a colour is white.
fn is_white(colour: &str) -> bool {
    let colour = colour.trim().to_lowercase();
    let digits = colour.strip_prefix('#');
    let is_full = |digits: &str| {
        let opaque = if digits.len() > 4 { digits.len().min(6) } else { digits.len().min(3) };
        digits.is_ascii() && digits.len() > 2 && digits[..opaque].bytes().all(|b| b == b'f')
    };
    let is_rgb = |all: Vec<&str>| all.len() == 3 && all.into_iter().all(is_most);
    let is_hsl = |all: Vec<&str>| all.get(2).is_some_and(|light| share(light) >= 100.0);
    colour == "white"
        || digits.is_some_and(is_full)
        || parts(&colour, "rgb").is_some_and(is_rgb)
        || parts(&colour, "hsl").is_some_and(is_hsl)
}

/// The three parts of a colour that is written as this function, `rgb` or `hsl`.
fn parts<'a>(colour: &'a str, function: &str) -> Option<Vec<&'a str>> {
    let inner = colour.strip_prefix(function)?.trim_start_matches('a').strip_prefix('(')?;
    let inner = inner.strip_suffix(')')?.split('/').next()?;
    let parts = inner.split([',', ' ']).filter(|part| !part.is_empty());
    Some(parts.take(3).collect())
}

/// Whether a part of an `rgb` colour is all that it can be: 255, or 100 %.
fn is_most(part: &str) -> bool {
    share(part) >= if part.ends_with('%') { 100.0 } else { 255.0 }
}

/// A number, with or without its percent sign; 0 where it is none.
fn share(part: &str) -> f64 {
    part.trim_end_matches('%').parse().unwrap_or(0.0)
}

/// Whether a colour is none, or fully transparent.
pub(super) fn is_clear(colour: &str) -> bool {
    let colour = colour.trim().to_lowercase();
    let alpha = || colour.strip_suffix(')')?.rsplit([',', '/']).next();
    match colour.as_bytes() {
        b"none" | b"transparent" => true,
        [b'#', _, _, _, last] => *last == b'0',
        [b'#', _, _, _, _, _, _, a, b] => [*a, *b] == *b"00",
        _ if colour.contains('/') || colour.matches(',').count() == 3 => {
            alpha().is_some_and(is_zero)
        }
        _ => false,
    }
}

/// Whether a number or a length is nothing.
pub(super) fn is_zero(value: &str) -> bool {
    let digits = value.trim().trim_end_matches(|c: char| c.is_ascii_alphabetic() || c == '%');
    digits.trim().parse::<f64>().is_ok_and(|number| number <= 0.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn white_is_white_however_it_is_written() {
        for white in [
            "white",
            "#fff",
            "#FFFFFF",
            "#ffffff80",
            "rgb(255, 255, 255)",
            "rgba(100% 100% 100% / 1)",
            "rgb(100%,100%,100%)",
            "rgba(255, 255, 255, 0.5)",
            "rgb(255.0 300 255)",
            "hsl(0,0%,100%)",
            "hsla(120, 40%, 100%, 1)",
            "HSL(120deg 40% 100% / 1)",
        ] {
            assert!(is_white(white), "{white}");
        }
        for other in ["#ffe", "#fffffe", "black", "rgb(255, 255, 254)", "#f", "none", "whitesmoke"]
        {
            assert!(!is_white(other), "{other}");
        }
        for other in ["rgb(100%,100%,99%)", "rgb(100,100,100)", "hsl(0,100%,50%)", "hsl(100,100%)"]
        {
            assert!(!is_white(other), "{other}");
        }
        for clear in ["rgba(0,0,0,0)", "rgb(0,0,0,0)", "hsl(0, 0%, 0%, 0%)", "rgb(0 0 0 / 0)"] {
            assert!(is_clear(clear), "{clear}");
        }
        assert!(!is_clear("rgb(0,0,0)") && !is_clear("rgba(0,0,0,.1)"));
    }
}

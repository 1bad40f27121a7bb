//! Rules of stylesheets that hide or colour what is drawn. They are not applied.

use crate::svg_in::shape::SHAPES;
use crate::svg_in::style::is_clear;
use crate::svg_in::style::is_zero;
use crate::svg_in::style::property;
use crate::svg_in::style::without_comments;
use crate::svg_in::style::without_importance;
use indexmap::IndexMap;
use roxmltree::Document;
use roxmltree::Node;
use std::collections::BTreeSet;

/// The properties that a stylesheet sets for one selector.
type Rule = IndexMap<String, String>;

/// What hides elements, and for which selector: `fill: none`, `.a`.
pub(super) fn unseen(text: &str) -> Option<(String, String)> {
    let rules = rules(text).into_iter();
    rules.filter_map(|(selector, rule)| Some((hidden_by(&rule)?, selector))).next()
}

/// Whether a stylesheet gives a fill or a stroke that is seen.
pub(super) fn paints(text: &str) -> bool {
    let shown = |rule: &Rule, key: &str| rule.get(key).is_some_and(|value| !is_clear(value));
    rules(text).values().any(|rule| shown(rule, "fill") || shown(rule, "stroke"))
}

/// Whether stylesheets tell lines apart by colour: elements outside all groups would be on
/// several layers.
pub(super) fn sorts(document: &Document, sheets: &[String]) -> bool {
    let mut colours: BTreeSet<String> = BTreeSet::new();
    for rule in sheets.iter().flat_map(|text| rules(text).into_values()) {
        colours.extend(rule.get("stroke").filter(|value| !is_clear(value)).cloned());
    }
    if colours.is_empty() {
        return false;
    }
    let alone = |node: &Node| !node.ancestors().any(|of| of.tag_name().name() == "g" && named(of));
    let is_shape = |node: &Node| SHAPES.contains(&node.tag_name().name());
    let mut shapes = document.descendants().filter(|node| is_shape(node) && alone(node)).peekable();
    if shapes.peek().is_none() {
        return false;
    }
    for shape in shapes {
        match property(shape, "stroke") {
            Some(stroke) => drop(colours.insert(stroke.to_lowercase())),
            None if shape.attribute("class").is_none() => drop(colours.insert("none".to_owned())),
            None => {}
        }
    }
    colours.len() > 1
}

fn named(group: Node) -> bool {
    group.attributes().any(|attribute| ["label", "id"].contains(&attribute.name()))
}

/// All properties by selector, a later one in place of an earlier one.
fn rules(text: &str) -> IndexMap<String, Rule> {
    let text = without_comments(text);
    let mut all: IndexMap<String, Rule> = IndexMap::new();
    for (head, body) in text.split('}').filter_map(|part| part.rsplit_once('{')) {
        let selectors = head.rsplit('{').next().unwrap_or_default();
        for selector in selectors.split(',') {
            let rule = all.entry(selector.trim().to_owned()).or_default();
            for (key, value) in body.split(';').filter_map(|pair| pair.split_once(':')) {
                rule.insert(key.trim().to_lowercase(), without_importance(&value.to_lowercase()));
            }
        }
    }
    all
}

/// The property of a rule that hides what it selects, with its value.
fn hidden_by(rule: &Rule) -> Option<String> {
    let set = |key: &str, is_gone: fn(&str) -> bool| {
        let value = rule.get(key).filter(|value| is_gone(value))?;
        Some(format!("{key}: {value}"))
    };
    let fill = || set("fill", is_clear).or_else(|| set("fill-opacity", is_zero));
    let width = || set("stroke-width", is_zero).or_else(|| set("stroke-opacity", is_zero));
    let stroke = || set("stroke", is_clear).or_else(width);
    let has = |key: &str| rule.contains_key(key);
    set("opacity", is_zero)
        .or_else(|| fill().filter(|_| !has("stroke") || stroke().is_some()))
        .or_else(|| stroke().filter(|_| !has("fill") || fill().is_some()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rules_that_leave_neither_fill_nor_stroke_hide() {
        let found = |text: &str| unseen(text).map(|(what, of)| format!("{what} of {of}"));
        for (text, words) in [
            (".a{fill:none;stroke:#000}.b{fill:none}", "fill: none of .b"),
            (".h { stroke: none; fill: none }", "fill: none of .h"),
            (".o{opacity:0}", "opacity: 0 of .o"),
            (".o{stroke-opacity:0%;fill-opacity:0}", "fill-opacity: 0 of .o"),
            (".o{STROKE-WIDTH:0px !important}", "stroke-width: 0px of .o"),
            ("@media screen { .c, path { stroke: transparent } }", "stroke: transparent of .c"),
            (".a{fill:none;stroke:#000;stroke-width:0}", "fill: none of .a"),
            (".a{fill:none;stroke:rgba(0, 0, 0, 0)}", "fill: none of .a"),
        ] {
            assert_eq!(found(text).as_deref(), Some(words), "{text}");
        }
        for text in [
            ".a,.b{fill:none}.a{stroke:#f00}.b{stroke:#00f;stroke-width:.1}",
            ".a{fill:#fff}.b{stroke:none;fill:red}/* .c{opacity:0} */",
            ".a{opacity:.5;stroke-linejoin:round}",
        ] {
            assert_eq!(found(text), None, "{text}");
        }
    }
}

//! All elements of a file that draw something, with their transforms.

use crate::geom::Motion;
use crate::geom::Vec2;
use crate::sketch::Item;
use crate::sketch::What;
use crate::svg_in::error::SvgError;
use crate::svg_in::shape;
use crate::svg_in::shape::SHAPES;
use crate::svg_in::style::Style;
use crate::svg_in::styled;
use crate::svg_in::transform;
use roxmltree::Document;
use roxmltree::Node;

/// Maximum depth of reused elements. Our choice.
const DEEPEST: usize = 64;

/// Maximum number of all elements. Our choice: a plate has far fewer.
const MAX: usize = 100_000;

/// What is kept for others, or describes.
const ASIDE: &[&str] = &[
    "defs",
    "symbol",
    "clipPath",
    "mask",
    "marker",
    "pattern",
    "linearGradient",
    "radialGradient",
    "filter",
    "style",
    "title",
    "desc",
    "metadata",
    "script",
    "animate",
    "view",
    "foreignObject",
];

/// Everything drawn, from the left side of the page, turned over at a height so that y points up.
/// `paints`: whether a stylesheet gives elements a fill or a stroke.
pub(super) fn items(
    document: &Document,
    [left, up]: [f64; 2],
    paints: bool,
) -> Result<Vec<Item>, SvgError> {
    let over = Motion { shift: Vec2::new(-left, up), ..Motion::scaled(1.0, -1.0) };
    let mut walk = Walk { document, items: Vec::new() };
    let seen = Style::first(paints).within(document.root_element());
    for child in document.root_element().children() {
        walk.take(child, &over, &seen, 0)?;
    }
    Ok(walk.items)
}

/// The result of a shape.
fn drawn(node: Node, place: &Motion, seen: &Style) -> What {
    let name = node.tag_name().name();
    match (seen.hidden(), shape::courses(node)) {
        (Some(why), _) => What::Hidden(format!("{name} {why}")),
        (None, _) if seen.needs_sheet() => {
            What::Strange(format!("{name} with its fill and stroke in a stylesheet"))
        }
        (None, Err(words)) => What::Strange(words),
        (None, Ok(_)) if place.flattens() => What::Strange(format!("{name} scaled to nothing")),
        (None, Ok(_)) if seen.cut_off.is_some() => {
            What::Strange(format!("{name} with a {}", seen.cut_off.unwrap_or_default()))
        }
        (None, Ok(all)) => {
            What::Drawn(all.iter().flat_map(|course| course.mapped(place)).collect())
        }
    }
}

/// The text of an element in one row.
fn words(node: Node) -> String {
    let parts = node.descendants().filter(Node::is_text).filter_map(|part| part.text());
    parts.flat_map(str::split_whitespace).collect::<Vec<_>>().join(" ")
}

struct Walk<'a> {
    document: &'a Document<'a>,
    items: Vec<Item>,
}

impl Walk<'_> {
    fn take(
        &mut self,
        node: Node,
        place: &Motion,
        seen: &Style,
        deep: usize,
    ) -> Result<(), SvgError> {
        let name = node.tag_name().name();
        let is_svg = node.tag_name().namespace().is_none_or(|n| n.ends_with("/svg"));
        if !node.is_element() || !is_svg || ASIDE.contains(&name) {
            return Ok(());
        }
        if self.items.len() >= MAX {
            return Err(SvgError::TooMany(MAX));
        }
        let seen = seen.within(node);
        let is_drawn = ["g", "a", "use"].contains(&name) || SHAPES.contains(&name);
        if let Some(words) = styled::odd(node).filter(|_| is_drawn) {
            self.push(node, &seen, What::Strange(words));
            return Ok(());
        }
        let place = match node.attribute("transform").map(transform::read) {
            None => *place,
            Some(Some(own)) => own.then(place),
            Some(None) => {
                self.push(node, &seen, What::Strange(format!("{name} with an unknown transform")));
                return Ok(());
            }
        };
        if deep > DEEPEST {
            let words = format!("{name} more than {DEEPEST} deep");
            self.push(node, &seen, What::Strange(words));
            return Ok(());
        }
        match name {
            "g" | "a" => {
                for child in node.children() {
                    self.take(child, &place, &seen, deep + 1)?;
                }
            }
            "use" => return self.again(node, &place, &seen, deep),
            "text" | "image" => self.push(node, &seen, What::Idle(words(node))),
            _ if SHAPES.contains(&name) => {
                self.push(node, &seen, drawn(node, &place, &seen));
            }
            _ => self.push(node, &seen, What::Strange(format!("element `{name}`"))),
        }
        Ok(())
    }

    /// What a `use` names, where it puts it.
    fn again(
        &mut self,
        node: Node,
        place: &Motion,
        seen: &Style,
        deep: usize,
    ) -> Result<(), SvgError> {
        let href = node.attributes().find(|a| a.name() == "href").map(|a| a.value());
        let id = href.and_then(|href| href.strip_prefix('#'));
        let found = id.and_then(|id| {
            self.document.descendants().find(|other| other.attribute("id") == Some(id))
        });
        let Some(of) = found else {
            let words = format!("use of `{}`, which is not in the file", href.unwrap_or_default());
            self.push(node, seen, What::Strange(words));
            return Ok(());
        };
        let number = |key| node.attribute(key).and_then(|t| t.trim().parse().ok()).unwrap_or(0.0);
        let place = Motion::shifted(Vec2::new(number("x"), number("y"))).then(place);
        if of.tag_name().name() != "symbol" {
            return self.take(of, &place, seen, deep + 1);
        }
        if of.attribute("viewBox").is_some() {
            self.push(node, seen, What::Strange("use of a symbol with a view of its own".into()));
            return Ok(());
        }
        of.children().try_for_each(|child| self.take(child, &place, seen, deep + 1))
    }

    fn push(&mut self, node: Node, seen: &Style, what: What) {
        let line = self.document.text_pos_at(node.range().start).row;
        let place = match node.attribute("id") {
            Some(id) => format!("id {id}, line {line}"),
            None => format!("line {line}"),
        };
        let (kind, layer) = (node.tag_name().name().to_owned(), seen.layer());
        self.items.push(Item { kind, place, layer, dashes: seen.dashes(), what });
    }
}

//! Pages as one SVG at true size, one below the other.
//!
//! Each line of words has the length it was measured with, so that another font cannot
//! push it into its neighbour.

use crate::geom::Edge;
use crate::geom::Point;
use crate::num;
use crate::paper::font;
use crate::paper::font::Weight;
use crate::paper::scene;
use crate::paper::scene::Ink;
use crate::paper::scene::Item;
use crate::paper::scene::Note;
use crate::paper::scene::Pages;
use crate::paper::scene::Pen;
use crate::paper::scene::Reading;
use crate::paper::scene::Words;
use crate::write;
use svg::Node;
use svg::node::element::ClipPath;
use svg::node::element::Element;
use svg::node::element::Group;
use svg::node::element::Path;
use svg::node::element::Rectangle;

/// Between two pages, mm.
const BETWEEN: f64 = 5.0;

const STYLE: &str = ".page { fill: #fff; }
.line { fill: none; stroke: #000; stroke-linejoin: round; }
text { fill: #000; font-family: \"Noto Sans\", \"Open Sans\", sans-serif; white-space: pre; }
.heavy { font-weight: 700; }
";

/// One picture as an element of a web page, its lower left corner at the origin, without a style of
/// its own: what has a colour has the class `ink-NAME`, a tint the class `metal` or `ground`.
#[cfg_attr(not(feature = "page"), allow(dead_code, reason = "only the page shows it"))]
pub(crate) fn element(title: &str, [width, height]: [f64; 2], items: &[Item]) -> String {
    let view = format!("0 0 {} {}", number(width), number(height));
    let mut svg = Element::new("svg");
    svg.assign("viewBox", view);
    svg.assign("role", "img");
    svg.assign("aria-label", title);
    let mut group = Group::new();
    let mut hand = Hand { top: height, windows: 0, page: 0, by: Colours::Class };
    hand.items(&mut group, items);
    svg.append(group);
    svg.to_string()
}

/// The words of a picture in the order in which they are written into it.
#[cfg_attr(not(feature = "page"), allow(dead_code, reason = "only the page shows it"))]
pub(crate) fn written(items: &[Item], all: &mut Vec<String>) {
    for item in items {
        match item {
            Item::Words(words) if !words.text.trim().is_empty() => all.push(words.text.clone()),
            Item::Window(_, items) | Item::Noted(_, items) => written(items, all),
            _ => {}
        }
    }
}

/// How colours are written.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Colours {
    /// As printed.
    Value,
    /// By the name of the ink.
    Class,
}

/// The class of a tint in a web page: heads of arrows, the ground, metal.
fn tint(tone: f64) -> &'static str {
    match tone {
        dark if dark < 0.5 => "ink-black",
        light if light > 0.99 => "ground",
        _ => "metal",
    }
}

/// The class of an ink in a web page.
fn class(ink: Ink) -> &'static str {
    match ink {
        Ink::Black => "ink-black",
        Ink::Red => "ink-red",
        Ink::Accent => "ink-accent",
        Ink::Grey => "ink-grey",
    }
}

/// The text of an SVG file. The same pages give the same text.
pub fn svg(drawing: &Pages) -> String {
    let [width, height] = drawing.size;
    let pages = drawing.pages.len() as f64;
    let whole = pages * height + (pages - 1.0).max(0.0) * BETWEEN;
    let (w, h, all) = (number(width), number(height), number(whole));
    let size = [format!("{w}mm"), format!("{all}mm")];
    let mut document = write::document(&drawing.title, size, format!("0 0 {w} {all}"), STYLE);
    for (i, page) in drawing.pages.iter().enumerate() {
        let top = number(i as f64 * (height + BETWEEN));
        let ground = Rectangle::new().set("class", "page").set("width", &*w).set("height", &*h);
        let mut group = Group::new().set("transform", format!("translate(0 {top})")).add(ground);
        let mut hand = Hand { top: height, windows: 0, page: i, by: Colours::Value };
        hand.items(&mut group, &page.items);
        document.append(group);
    }
    write::text(&document)
}

fn number(mm: f64) -> String {
    num::text(mm, 3)
}

fn hex([red, green, blue]: [u8; 3]) -> String {
    format!("#{red:02x}{green:02x}{blue:02x}")
}
/// Draws on one page.
struct Hand {
    /// Height of the page, mm.
    top: f64,
    /// How many windows have been written, to number them.
    windows: usize,
    page: usize,
    by: Colours,
}

impl Hand {
    fn items(&mut self, group: &mut Group, items: &[Item]) {
        for item in items {
            match item {
                Item::Line(pen, edges) => group.append(self.line(*pen, edges)),
                Item::Fill(tone, loops) => group.append(self.fill(*tone, loops)),
                Item::Area(ink, loops) if self.by == Colours::Class => {
                    group.append(self.loops(loops).set("class", class(*ink)));
                }
                Item::Area(ink, loops) => {
                    group.append(self.area(hex(ink.colour().unwrap_or_default()), loops))
                }
                Item::Words(words) if words.text.trim().is_empty() => {}
                Item::Words(words) => group.append(self.words(words)),
                Item::Window(bounds, items) => {
                    self.windows += 1;
                    let name = format!("window-{}-{}", self.page + 1, self.windows);
                    let outline = write::path(self.path(&scene::outline(*bounds)));
                    let mut shown = Group::new().set("clip-path", format!("url(#{name})"));
                    self.items(&mut shown, items);
                    group.append(ClipPath::new().set("id", name).add(outline));
                    group.append(shown);
                }
                Item::Noted(note, items) => {
                    let mut noted = self.noted(note);
                    self.items(&mut noted, items);
                    group.append(noted);
                }
            }
        }
    }

    /// A group with its data: kind, text, feet as `x,y` in mm of the page from its upper left
    /// corner, and the scale.
    fn noted(&self, note: &Note) -> Group {
        let exact = |mm: f64| num::text(mm, 6);
        let foot = |p: &Point| format!("{},{}", exact(p.x), exact(self.top - p.y));
        let feet: Vec<String> = note.feet.iter().map(foot).collect();
        Group::new()
            .set("data-kind", note.kind)
            .set("data-text", note.text.as_str())
            .set("data-feet", feet.join(" "))
            .set("data-scale", num::text(note.scale, 9))
    }

    fn line(&self, pen: Pen, edges: &[Edge]) -> Path {
        let line = write::path(self.path(edges)).set("class", "line");
        let line = line.set("stroke-width", number(pen.width()));
        let dashes: Vec<String> = pen.dashes().iter().map(|d| number(*d)).collect();
        let line = match pen.ink().colour() {
            _ if self.by == Colours::Class => {
                line.set("class", format!("line {}", class(pen.ink())))
            }
            None => line,
            Some(colour) => line.set("style", format!("stroke:{}", hex(colour))),
        };
        if dashes.is_empty() {
            line.set("stroke-linecap", "round")
        } else {
            line.set("stroke-dasharray", dashes)
        }
    }

    fn fill(&self, tone: f64, loops: &[Vec<Edge>]) -> Path {
        if self.by == Colours::Class {
            return self.loops(loops).set("class", tint(tone));
        }
        let share = number(tone.clamp(0.0, 1.0) * 100.0);
        self.area(format!("rgb({share}%,{share}%,{share}%)"), loops)
    }

    fn area(&self, colour: String, loops: &[Vec<Edge>]) -> Path {
        self.loops(loops).set("fill", colour)
    }

    fn loops(&self, loops: &[Vec<Edge>]) -> Path {
        let paths: Vec<String> = loops.iter().map(|l| self.path(l)).collect();
        write::path(paths.join(" ")).set("fill-rule", "evenodd")
    }

    fn words(&self, words: &Words) -> Element {
        let mut element = write::words(&words.text);
        let (x, y) = (number(words.at.x), number(self.top - words.at.y));
        match words.reading {
            Reading::Level => {
                element.assign("x", x);
                element.assign("y", y);
            }
            Reading::Upward => {
                element.assign("transform", format!("translate({x} {y}) rotate(-90)"));
            }
            Reading::Slanting(_) => {
                let angle = num::text(-words.reading.angle().degrees(), 1);
                element.assign("transform", format!("translate({x} {y}) rotate({angle})"));
            }
        }
        let heavy = if words.weight == Weight::Heavy { Some("heavy") } else { None };
        if self.by == Colours::Class {
            element.assign("class", [heavy.unwrap_or_default(), class(words.ink)].join(" "));
        } else if let Some(heavy) = heavy {
            element.assign("class", heavy);
        }
        if let Some(colour) = words.ink.colour().filter(|_| self.by == Colours::Value) {
            let colour = hex(colour);
            element.assign("style", format!("fill:{colour}"));
        }
        let size = font::size(words.height);
        element.assign("font-size", number(size));
        element.assign("textLength", number(words.length()));
        element.assign("lengthAdjust", "spacingAndGlyphs");
        element
    }

    fn at(&self, p: Point) -> String {
        format!("{} {}", number(p.x), number(self.top - p.y))
    }

    fn path(&self, edges: &[Edge]) -> String {
        write::data(edges, |p| self.at(p), number)
    }
}

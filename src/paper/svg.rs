//! Pages as one SVG at true size, one below the other.
//!
//! Each line of words has the length it was measured with, so that another font cannot
//! push it into its neighbour.

use crate::geom::Edge;
use crate::geom::Point;
use crate::num;
use crate::paper::font;
use crate::paper::scene::Item;
use crate::paper::scene::Paper;
use crate::paper::scene::Reading;
use crate::paper::scene::Weight;
use crate::paper::scene::Words;
use crate::write;

/// Between two pages, mm.
const BETWEEN: f64 = 5.0;

/// The text of an SVG file. The same pages give the same text.
pub fn svg(paper: &Paper) -> String {
    let [width, height] = paper.size;
    let pages = paper.pages.len() as f64;
    let whole = pages * height + (pages - 1.0).max(0.0) * BETWEEN;
    let (w, h, all) = (number(width), number(height), number(whole));
    let mut out = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{w}mm\" height=\"{all}mm\" viewBox=\"0 0 {w} {all}\">\n\
         <title>{}</title>\n<style>\n\
         .page {{ fill: #fff; }}\n\
         .line {{ fill: none; stroke: #000; stroke-linejoin: round; }}\n\
         text {{ fill: #000; stroke: #000; font-family: Ubuntu, \"Open Sans\", sans-serif; font-weight: 300; white-space: pre; }}\n\
         .heavy {{ font-weight: 500; }}\n\
         </style>\n",
        write::escaped(&paper.title)
    );
    for (i, page) in paper.pages.iter().enumerate() {
        let top = i as f64 * (height + BETWEEN);
        out += &format!("<g transform=\"translate(0 {})\">\n", number(top));
        out += &format!("<rect class=\"page\" width=\"{w}\" height=\"{h}\"/>\n");
        let mut hand = Hand { top: height, windows: 0, page: i };
        hand.items(&mut out, &page.items);
        out += "</g>\n";
    }
    out += "</svg>\n";
    out
}

fn number(mm: f64) -> String {
    num::text(mm, 3)
}

/// Draws on one page.
struct Hand {
    /// Height of the page, mm.
    top: f64,
    /// How many windows there are so far, to tell them apart.
    windows: usize,
    page: usize,
}

impl Hand {
    fn items(&mut self, out: &mut String, items: &[Item]) {
        for item in items {
            match item {
                Item::Line(pen, edges) => {
                    let dashes: Vec<String> = pen.dashes().iter().map(|d| number(*d)).collect();
                    let dashes = match dashes.is_empty() {
                        true => String::new(),
                        false => format!(" stroke-dasharray=\"{}\"", dashes.join(" ")),
                    };
                    *out += &format!(
                        "<path class=\"line\" stroke-width=\"{}\"{dashes} d=\"{}\"/>\n",
                        number(pen.width()),
                        self.path(edges)
                    );
                }
                Item::Fill(tone, loops) => {
                    let paths: Vec<String> = loops.iter().map(|l| self.path(l)).collect();
                    let share = number(tone.clamp(0.0, 1.0) * 100.0);
                    *out += &format!(
                        "<path fill=\"rgb({share}%,{share}%,{share}%)\" fill-rule=\"evenodd\" d=\"{}\"/>\n",
                        paths.join(" ")
                    );
                }
                Item::Words(words) => *out += &self.words(words),
                Item::Window(bounds, items) => {
                    let name = format!("window-{}-{}", self.page + 1, self.windows + 1);
                    self.windows += 1;
                    let rim = self.path(&crate::paper::scene::rim(*bounds));
                    *out += &format!(
                        "<clipPath id=\"{name}\"><path d=\"{rim}\"/></clipPath>\n<g clip-path=\"url(#{name})\">\n"
                    );
                    self.items(out, items);
                    *out += "</g>\n";
                }
            }
        }
    }

    fn words(&self, words: &Words) -> String {
        if words.text.trim().is_empty() {
            return String::new();
        }
        let (x, y) = (number(words.at.x), number(self.top - words.at.y));
        let place = match words.reading {
            Reading::Level => format!("x=\"{x}\" y=\"{y}\""),
            Reading::Upward => format!("transform=\"translate({x} {y}) rotate(-90)\""),
        };
        let class = if words.weight == Weight::Heavy { " class=\"heavy\"" } else { "" };
        let size = font::size(words.height);
        format!(
            "<text{class} {place} font-size=\"{}\" stroke-width=\"{}\" textLength=\"{}\" lengthAdjust=\"spacingAndGlyphs\">{}</text>\n",
            number(size),
            number(size * words.weight.stroke() / 2.0),
            number(words.length()),
            write::escaped(&words.text)
        )
    }

    fn at(&self, p: Point) -> String {
        format!("{} {}", number(p.x), number(self.top - p.y))
    }

    fn path(&self, edges: &[Edge]) -> String {
        let mut data = edges.first().map_or_else(String::new, |e| format!("M{}", self.at(e.from)));
        for edge in edges {
            match edge.arc() {
                None => data += &format!(" L{}", self.at(edge.to)),
                Some(arc) => {
                    // Turned over, anticlockwise is still anticlockwise on paper: sweep 0.
                    let (r, sweep) = (number(arc.radius), u8::from(edge.bulge < 0.0));
                    data += &format!(" A{r} {r} 0 0 {sweep} {}", self.at(edge.to));
                }
            }
        }
        data
    }
}

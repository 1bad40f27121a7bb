//! The findings by part, each part with a picture in which the holes and bends that they name
//! are ringed and numbered.

use crate::draw;
use crate::flat::to_origin;
use crate::geom::Bounds;
use crate::geom::Edge;
use crate::geom::Point;
use crate::job::OrderForm;
use crate::num;
use crate::report_page::Page;
use crate::report_page::image;
use crate::report_page::worded;
use crate::solve::Solved;
use crate::write;
use crate::write::escaped;
use serde_json::Value;
use std::fmt::Write;

/// From a hole to the ring round it, and the width of the ring, by the size of the part.
const OFF: f64 = 0.015;
const WIDE: f64 = 0.008;
/// Height of a number in the picture, by the size of the part.
const NUMBER: f64 = 0.07;

impl Page<'_> {
    pub(super) fn findings(&self) -> String {
        let findings = self.list(&self.report, "findings");
        if findings.is_empty() {
            return "<p>Checks: clear.</p>\n".into();
        }
        let mut groups: Vec<(Option<&Solved>, Vec<&Value>)> = Vec::new();
        for finding in findings {
            let name = finding["parts"].get(0).and_then(Value::as_str);
            let part = self.solved.iter().find(|s| Some(s.name.as_str()) == name);
            let is = |(other, _): &&mut (Option<&Solved>, _)| {
                other.map(|s| &s.name) == part.map(|s| &s.name)
            };
            match groups.iter_mut().find(is) {
                Some((_, list)) => list.push(finding),
                None => groups.push((part, vec![finding])),
            }
        }
        groups.iter().map(|(part, list)| self.group(*part, list)).collect()
    }

    /// What was found in one part, or about the job.
    fn group(&self, part: Option<&Solved>, list: &[&Value]) -> String {
        let heading = part.map_or_else(|| "The job".to_owned(), |s| escaped(&s.name));
        let mut out = format!("<div class=\"finding\">\n<h3>{heading}</h3>\n");
        if let Some(part) = part {
            out.push_str(&self.marked(part, list));
        }
        out.push_str("<ol>\n");
        for finding in list {
            out.push_str(&self.finding(part, finding));
        }
        out.push_str("</ol>\n</div>\n");
        out
    }

    fn finding(&self, part: Option<&Solved>, finding: &Value) -> String {
        let text = |key: &str| finding[key].as_str().unwrap_or_default();
        let mut out = format!(
            "<li>\n<p><span class=\"weight\">{}:</span> <strong>{}</strong></p>\n",
            escaped(text("severity")),
            worded(text("headline"))
        );
        let others: Vec<&str> = self
            .list(finding, "parts")
            .iter()
            .filter_map(Value::as_str)
            .filter(|name| part.is_none_or(|s| s.name != *name))
            .collect();
        if !others.is_empty() {
            // Writing to a string cannot fail.
            let _ = writeln!(out, "<p>Also in {}</p>", escaped(&others.join(", ")));
        }
        for note in self.list(finding, "notes") {
            let _ = writeln!(out, "<p>{}</p>", worded(note.as_str().unwrap_or_default()));
        }
        if !text("help").is_empty() {
            let _ = writeln!(out, "<p>Fix: {}</p>", worded(text("help")));
        }
        let _ = writeln!(
            out,
            "<p class=\"quiet\">{} <code>platewright explain {}</code></p>\n</li>",
            escaped(text("place")),
            escaped(text("code"))
        );
        out
    }

    /// The flat of a part in which what its findings name is ringed, with their numbers.
    fn marked(&self, part: &Solved, list: &[&Value]) -> String {
        let place = to_origin(&part.flat.region);
        let size = part.flat.region.bounds();
        let size = size.width().max(size.height());
        let number = |mm: f64| num::text(mm / self.job.units.in_mm(), 4);
        let mut rings = String::new();
        let mut told = Vec::new();
        for (i, finding) in list.iter().enumerate() {
            let headline = finding["headline"].as_str().unwrap_or_default();
            let all = self.list(finding, "notes").iter().filter_map(Value::as_str);
            let all = all.into_iter().any(|note| note.starts_with("the same occurs"));
            let mut at = None;
            for hole in holes(part, headline, all).map(|bounds| moved(bounds, &place)) {
                let radius = num::hypot(hole.width(), hole.height()) / 2.0 + size * OFF;
                let middle = hole.centre();
                let _ = writeln!(
                    rings,
                    "<circle cx=\"{}\" cy=\"{}\" r=\"{}\"/>",
                    number(middle.x),
                    number(-middle.y),
                    number(radius)
                );
                at = at.or(Some(middle + (0.75 * radius, 0.75 * radius)));
            }
            for line in bends(part, headline).map(|line| line.moved(&place)) {
                let ends = [line.from.x, -line.from.y, line.to.x, -line.to.y].map(number);
                let [x, y, to_x, to_y] = ends;
                let _ = writeln!(rings, "<path d=\"M{x} {y} L{to_x} {to_y}\"/>");
                at = at.or(Some(line.point_at(0.08)));
            }
            let Some(at) = at else { continue };
            let _ = writeln!(
                rings,
                "<text x=\"{}\" y=\"{}\" font-size=\"{}\">{}</text>",
                number(at.x),
                number(-at.y),
                number(size * NUMBER),
                i + 1
            );
            told.push(format!("{}: {headline}", i + 1));
        }
        let drawing = draw::drawn(self.job, part, OrderForm::default());
        let svg = write::svg(&drawing);
        let style = format!(
            "<style>\n#found circle, #found path {{ fill: none; stroke: #b3200c; stroke-width: {}; }}\n\
             #found text {{ fill: #b3200c; font-weight: bold; }}\n</style>\n",
            number(size * WIDE)
        );
        let body = svg.trim_end().trim_end_matches("</svg>");
        let svg = format!("{body}{style}<g id=\"found\">\n{rings}</g>\n</svg>\n");
        let alt = match told.is_empty() {
            true => format!("Flat of {}", part.name),
            false => format!("Flat of {}, marked: {}", part.name, told.join("; ")),
        };
        image(svg.as_bytes(), &alt)
    }
}

/// The names that stand in backticks right behind a word.
fn named<'t>(headline: &'t str, word: &str) -> Vec<&'t str> {
    let pieces: Vec<&str> = headline.split('`').collect();
    let behind = |pair: &[&'t str]| {
        let before = pair[0].trim_end();
        before.ends_with(word).then_some(pair[1])
    };
    pieces.chunks(2).filter(|pair| pair.len() == 2).filter_map(behind).collect()
}

/// The holes that a headline names, in the flat; with `all` also those made with them.
fn holes(part: &Solved, headline: &str, all: bool) -> impl Iterator<Item = Bounds> {
    let names = named(headline, "hole");
    let made = |i: usize| {
        let flat = &part.flat.holes[i];
        &part.part.faces[flat.face].holes[flat.hole]
    };
    let count = part.flat.holes.len();
    let hit: Vec<usize> = (0..count).filter(|i| names.contains(&made(*i).name.as_str())).collect();
    let with = move |i: &usize| {
        hit.contains(i) || all && hit.iter().any(|other| made(*other).span == made(*i).span)
    };
    (0..count).filter(with).map(|i| part.flat.holes[i].outline.bounds())
}

/// The lines of the bends that a headline names.
fn bends(part: &Solved, headline: &str) -> impl Iterator<Item = Edge> {
    let names = named(headline, "bend");
    let pairs = part.part.bends.iter().zip(&part.flat.bends);
    pairs.filter(move |(bend, _)| names.contains(&bend.name.as_str())).map(|(_, flat)| flat.line)
}

/// Bounds shifted as a place shifts, which turns nothing.
fn moved(bounds: Bounds, place: &crate::geom::Place) -> Bounds {
    let at = |p: Point| place.apply(p);
    Bounds { least: at(bounds.least), most: at(bounds.most) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_read_behind_their_word_only() {
        let headline = "hole `base 1` is 2 mm from bend `heel` of `plate`, not from hole `a`";
        assert_eq!(named(headline, "hole"), ["base 1", "a"]);
        assert_eq!(named(headline, "bend"), ["heel"]);
        assert!(named("`hole` stands alone", "hole").is_empty());
    }
}

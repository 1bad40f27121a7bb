//! The findings by part, each part with a picture in which the features they are about are
//! ringed and numbered.

use crate::diag;
use crate::diag::About;
use crate::diag::Feature;
use crate::draw;
use crate::flat::Seen;
use crate::flat::to_origin;
use crate::geom::Bounds;
use crate::geom::Edge;
use crate::geom::Place;
use crate::geom::Point;
use crate::job::OrderForm;
use crate::num;
use crate::report::FindingRow;
use crate::report_page::Page;
use crate::report_page::image;
use crate::report_page::worded;
use crate::solve::Solved;
use crate::write;
use crate::write::escaped;
use std::fmt::Write;
use svg::Node;
use svg::node::element::Circle;
use svg::node::element::Group;
use svg::node::element::Style;

/// From a hole to the ring round it, and the width of the ring, by the size of the part.
const OFF: f64 = 0.015;
const WIDE: f64 = 0.008;
/// Height of a number in the picture, by the size of the part.
const NUMBER: f64 = 0.07;

impl Page<'_> {
    pub(super) fn findings(&self) -> String {
        if self.report.findings.is_empty() {
            return "<p>Checks: clear.</p>\n".into();
        }
        let mut groups: Vec<(Option<&Solved>, Vec<&FindingRow>)> = Vec::new();
        for finding in &self.report.findings {
            let part = finding.parts.first();
            let part = part.and_then(|name| self.solved.iter().find(|s| s.name == *name));
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

    /// The findings of one part, or of the job.
    fn group(&self, part: Option<&Solved>, list: &[&FindingRow]) -> String {
        let heading = part.map_or_else(|| "The job".to_owned(), |s| escaped(&s.name));
        let mut out = format!("<div class=\"finding\">\n<h3>{heading}</h3>\n");
        if let Some(part) = part {
            out.push_str(&self.marked(part, list));
        }
        out.push_str("<ol>\n");
        for finding in list {
            out.push_str(&finding_item(part, finding));
        }
        out.push_str("</ol>\n</div>\n");
        out
    }

    /// The flat of a part in which what its findings are about is marked, with their numbers.
    fn marked(&self, part: &Solved, list: &[&FindingRow]) -> String {
        let size = part.flat.region.bounds();
        let mut rings = Rings {
            place: to_origin(&part.flat.region),
            size: size.width().max(size.height()),
            unit: self.job.units.in_mm(),
            drawn: Group::new().set("id", "found"),
        };
        let mut marked = Vec::new();
        for (i, finding) in list.iter().enumerate() {
            let mut at = None;
            for seen in features(part, finding).iter().flat_map(|f| part.flat.seen(&part.part, f)) {
                let beside = rings.mark(&seen);
                at = at.or(beside);
            }
            let Some(at) = at else { continue };
            rings.number(at, i + 1);
            marked.push(format!("{}: {}", i + 1, finding.headline));
        }
        let style = format!(
            "#found circle, #found path {{ fill: none; stroke: #b3200c; stroke-width: {}; }}\n\
             #found text {{ fill: #b3200c; font-weight: bold; }}",
            rings.text(rings.size * WIDE)
        );
        let flat = draw::drawn(self.job, part, OrderForm::default());
        let picture = write::shown(&flat).add(Style::new(style)).add(rings.drawn);
        let alt = match marked.is_empty() {
            true => format!("Flat of {}", part.name),
            false => format!("Flat of {}, marked: {}", part.name, marked.join("; ")),
        };
        image(write::text(&picture).as_bytes(), &alt)
    }
}

fn finding_item(part: Option<&Solved>, finding: &FindingRow) -> String {
    let mut out = format!(
        "<li>\n<p><span class=\"weight\">{}:</span> <strong>{}</strong></p>\n",
        finding.severity,
        worded(&finding.headline)
    );
    let is_other = |name: &&String| part.is_none_or(|s| s.name != **name);
    let others: Vec<&str> = finding.parts.iter().filter(is_other).map(String::as_str).collect();
    if !others.is_empty() {
        // Writing to a string cannot fail.
        let _ = writeln!(out, "<p>Also in {}</p>", escaped(&others.join(", ")));
    }
    for note in finding.notes.iter().chain(&diag::repeated(finding.repeats)) {
        let _ = writeln!(out, "<p>{}</p>", worded(note));
    }
    if let Some(help) = &finding.help {
        let _ = writeln!(out, "<p>Fix: {}</p>", worded(help));
    }
    let _ = writeln!(
        out,
        "<p class=\"quiet\">{} <code>platewright explain {}</code></p>\n</li>",
        escaped(finding.place.as_deref().unwrap_or_default()),
        escaped(finding.code)
    );
    out
}

/// What of a part a finding is about; nothing where it is not about the part.
fn features<'f>(part: &Solved, finding: &'f FindingRow) -> Option<&'f [Feature]> {
    finding.about.iter().find_map(|about| match about {
        About::Part { name, features } if *name == part.name => Some(features.as_slice()),
        _ => None,
    })
}

/// Red marks in the picture of a flat.
struct Rings {
    /// From the flat to the picture.
    place: Place,
    /// Of the part, mm.
    size: f64,
    /// Of the picture, mm.
    unit: f64,
    drawn: Group,
}

impl Rings {
    fn text(&self, mm: f64) -> String {
        num::text(mm / self.unit, 4)
    }

    /// Marks a feature; gives where its number goes.
    fn mark(&mut self, seen: &Seen) -> Option<Point> {
        match seen {
            Seen::Round(bounds) => Some(self.ring(&moved(*bounds, &self.place))),
            Seen::Along(edges) => self.line(edges),
        }
    }

    fn ring(&mut self, round: &Bounds) -> Point {
        let radius = num::hypot(round.width(), round.height()) / 2.0 + self.size * OFF;
        let middle = round.centre();
        let [x, y, r] = [middle.x, -middle.y, radius].map(|mm| self.text(mm));
        self.drawn.append(Circle::new().set("cx", x).set("cy", y).set("r", r));
        middle + (0.75 * radius, 0.75 * radius)
    }

    fn line(&mut self, edges: &[Edge]) -> Option<Point> {
        let edges: Vec<Edge> = edges.iter().map(|edge| edge.moved(&self.place)).collect();
        let first = edges.first()?;
        let at = |p: Point| format!("{} {}", self.text(p.x), self.text(-p.y));
        let path = write::path(write::data(&edges, at, |mm| self.text(mm)));
        self.drawn.append(path);
        Some(first.point_at(0.08))
    }

    fn number(&mut self, at: Point, number: usize) {
        let [x, y, size] = [at.x, -at.y, self.size * NUMBER].map(|mm| self.text(mm));
        let mut words = write::words(&number.to_string());
        words.assign("x", x);
        words.assign("y", y);
        words.assign("font-size", size);
        self.drawn.append(words);
    }
}

/// Bounds shifted as a place shifts, which turns nothing.
fn moved(bounds: Bounds, place: &Place) -> Bounds {
    let at = |p: Point| place.apply(p);
    Bounds { min: at(bounds.min), max: at(bounds.max) }
}

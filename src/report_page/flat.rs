//! The flat of a part as its card and its findings show it: bends with their order, holes with
//! the letters of the drawing, its overall dimensions, and what findings are about in rings.

use crate::drawings;
use crate::flat::Seen;
use crate::flat::to_origin;
use crate::geom::Bounds;
use crate::geom::Edge;
use crate::geom::Place;
use crate::geom::Point;
use crate::num;
use crate::num::counted;
use crate::report_page::Page;
use crate::report_page::bends;
use crate::report_page::dimensions;
use crate::report_page::findings::Numbered;
use crate::report_page::findings::features;
use crate::report_page::findings::label;
use crate::report_page::html::El;
use crate::report_page::html::Html;
use crate::report_page::html::el;
use crate::report_page::shapes;
use crate::report_page::shapes::number;

/// Room for the flat in its picture, px; a small part is drawn no larger than [`LARGEST`].
const ROOM: [f64; 2] = [340.0, 230.0];
/// Pixels for a millimetre, at the most. Our choice.
const LARGEST: f64 = 5.0;
/// Width and height of a letter, px: those of 12 px type, about.
const LETTER: [f64; 2] = [8.0, 13.0];
/// A hole of this radius has its letter within it, px.
const HOLDS: f64 = 9.0;

/// A flat being drawn in px, y down.
struct Picture {
    /// From the flat to mm, lower left corner at the origin.
    place: Place,
    /// Px for a mm, and the height of the flat, px.
    scale: f64,
    height: f64,
    /// What lies in mm, below the words.
    lines: Html,
    /// What is written.
    words: Html,
    /// Where something is written.
    taken: Vec<Bounds>,
}

impl Page<'_> {
    /// The flat of a part with the findings about it marked.
    pub(super) fn flat(&self, part: usize, found: &[Numbered]) -> Html {
        let (solved, shape) = (&self.solved[part], &self.shapes[part]);
        let [width, height] = shape.size();
        let scale = (ROOM[0] / width).min(ROOM[1] / height).min(LARGEST);
        let mut picture = Picture {
            place: to_origin(&solved.flat.region),
            scale,
            height: height * scale,
            lines: shapes::again(part).at("class", "met").into(),
            words: Html::default(),
            taken: Vec::new(),
        };
        for stroke in solved.flat.marks.iter().flat_map(|mark| &mark.strokes) {
            picture.line(stroke, "mark");
        }
        let mut marked = Vec::new();
        for (i, finding) in found {
            let number = label(*i);
            for seen in
                features(solved, finding).iter().flat_map(|f| solved.flat.seen(&solved.part, f))
            {
                picture.ring(&seen, &number, !marked.contains(&number));
                if !marked.contains(&number) {
                    marked.push(number.clone());
                }
            }
        }
        for (label, hole) in drawings::hole_letters(solved) {
            picture.hole(&label, &solved.flat.holes[hole].outline.edges().collect::<Vec<_>>());
        }
        for (row, strip) in self.report.parts[part].bends.iter().zip(&solved.flat.bends) {
            for line in strip.lines() {
                let drawn = picture.path(&[line]).at("class", "bend");
                picture.add(drawn.at("data-h", bends::key(row)));
            }
            picture.bend(&bends::sign(row), &strip.middle());
        }
        let mut words = format!("Flat of {}, {}", solved.name, self.both([width, height]));
        for (name, count) in [("hole", solved.flat.holes.len()), ("bend", solved.flat.bends.len())]
        {
            if count > 0 {
                words += &format!(", {}", counted(count, name));
            }
        }
        if !marked.is_empty() {
            words += &format!(", marked: {}", marked.join(", "));
        }
        let size = [width * scale, height * scale];
        let sizes = dimensions::overall(size, [&self.shop(width), &self.shop(height)]);
        picture.svg(size, &words).with(sizes).into()
    }
}

impl Picture {
    fn at(&self, p: Point) -> Point {
        let p = self.place.apply(p);
        Point::new(p.x * self.scale, self.height - p.y * self.scale)
    }

    fn path(&self, edges: &[Edge]) -> El {
        let edges: Vec<Edge> = edges.iter().map(|edge| edge.moved(&self.place)).collect();
        shapes::path(&shapes::data(&edges))
    }

    fn add(&mut self, line: impl Into<Html>) {
        self.lines = std::mem::take(&mut self.lines).and(line);
    }

    fn line(&mut self, edges: &[Edge], class: &'static str) {
        self.add(self.path(edges).at("class", class));
    }

    /// Rings a feature, its number beside the first.
    fn ring(&mut self, seen: &Seen, name: &str, first: bool) {
        let at = match seen {
            Seen::Round(bounds) => {
                let centre = self.place.apply(bounds.centre());
                let radius = num::hypot(bounds.width(), bounds.height()) / 2.0 + 4.0 / self.scale;
                let ring = el("circle").at("class", "found").at("cx", number(centre.x));
                self.add(ring.at("cy", number(-centre.y)).at("r", number(radius)));
                self.at(bounds.centre())
                    + (0.75 * radius * self.scale + 4.0, -0.75 * radius * self.scale)
            }
            Seen::Along(edges) => {
                self.line(edges, "found");
                match edges.first() {
                    Some(edge) => self.at(edge.point_at(0.08)) + (4.0, -4.0),
                    None => return,
                }
            }
        };
        if first {
            self.write(&[at, at + (-26.0, 0.0), at + (0.0, 18.0)], name, "found", None);
        }
    }

    /// A hole that a row of the table lights, and its letter: within it where that fits.
    fn hole(&mut self, label: &str, edges: &[Edge]) {
        self.add(self.path(edges).at("class", "hole").at("data-h", label));
        let bounds = edges.iter().fold(Bounds::EMPTY, |b, edge| b.and(edge.bounds()));
        let centre = self.at(bounds.centre());
        let radius = bounds.width().min(bounds.height()) * self.scale / 2.0;
        let (x, y) = (bounds.width() * self.scale / 2.0 + 3.0, bounds.height() * self.scale / 2.0);
        let half = LETTER[0] * label.chars().count() as f64 / 2.0;
        let within = centre + (-half, 4.0);
        let beside = [
            centre + (x * 0.8, -y * 0.8 - 2.0),
            centre + (x, 4.0),
            centre + (-half, -y - 4.0),
            centre + (-x - 2.0 * half, 4.0),
            centre + (-half, y + 12.0),
        ];
        let fits = radius > HOLDS && radius > half;
        let places = if fits { &[within][..] } else { &beside };
        self.write(places, label, "letter", Some(label));
    }

    /// The sign of a bend at its line.
    fn bend(&mut self, sign: &str, line: &Edge) {
        let half = LETTER[0] * sign.chars().count() as f64 / 2.0;
        let places = [0.5, 0.3, 0.7, 0.15, 0.85].map(|t| self.at(line.point_at(t)) + (-half, 4.0));
        self.write(&places, sign, "sign", None);
    }

    /// Writes words at the first of some places where nothing is; where all are taken, what
    /// can be pointed at in a table is shown only then, all else at the first.
    fn write(&mut self, places: &[Point], words: &str, class: &'static str, hole: Option<&str>) {
        let round = |at: &Point| {
            let width = LETTER[0] * words.chars().count() as f64;
            Bounds { min: *at - (0.0, LETTER[1] * 0.8), max: *at + (width, 2.0) }
        };
        let overlaps = |a: &Bounds, b: &Bounds| {
            a.min.x < b.max.x && b.min.x < a.max.x && a.min.y < b.max.y && b.min.y < a.max.y
        };
        let free = places.iter().find(|at| !self.taken.iter().any(|t| overlaps(t, &round(at))));
        let Some(at) = free.or(places.first()) else { return };
        let class = match (free, hole) {
            (None, Some(_)) => format!("{class} crowded"),
            _ => class.to_owned(),
        };
        if free.is_some() {
            self.taken.push(round(at));
        }
        let text = el("text").at("class", class).at("x", number(at.x)).at("y", number(at.y));
        let text = match hole {
            Some(hole) => text.at("data-h", hole),
            None => text,
        };
        self.words = std::mem::take(&mut self.words).and(text.with(words));
    }

    fn svg(self, size: [f64; 2], words: &str) -> El {
        let scale =
            format!("translate(0 {}) scale({})", number(self.height), num::text(self.scale, 5));
        let metal = el("g").at("class", "mm").at("transform", scale).with(self.lines);
        let svg = dimensions::drawing("dwg", size).at("role", "img").at("aria-label", words);
        svg.with(metal).with(self.words)
    }
}

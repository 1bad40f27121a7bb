//! The flat of a part as its card and its findings show it: bends with their order, holes with
//! the letters of the drawing, its overall dimensions, and what findings are about in rings.

use crate::drawings;
use crate::flat::BendStrip;
use crate::flat::Highlight;
use crate::flat::to_origin;
use crate::geom::Bounds;
use crate::geom::Edge;
use crate::geom::Place;
use crate::geom::Point;
use crate::geom::disc;
use crate::num;
use crate::num::counted;
use crate::report::BendRow;
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
use crate::solve::Solved;
use std::collections::BTreeMap;
use std::ops::Range;

/// Room for the flat in its picture, px; a small part is drawn no larger than [`LARGEST`].
const ROOM: [f64; 2] = [340.0, 230.0];
/// Maximum number of pixels per millimetre. Our choice.
const LARGEST: f64 = 5.0;
/// Width and height of a letter, px: those of 12 px type, about.
const LETTER: [f64; 2] = [8.0, 13.0];
/// Lines are sought in squares of this many px. Our choice.
const CELL: f64 = 2.0;
/// How far a letter is moved off a hole with a ring round it, px: its gap, its line and some.
const BEYOND: f64 = 8.0;
/// A hole of this radius has its letter within it, px.
const HOLDS: f64 = 9.0;

/// A flat being drawn in px, y down.
struct Picture {
    /// From the flat to mm, lower left corner at the origin.
    place: Place,
    /// Px for a mm, and the width and height of the flat, px.
    scale: f64,
    width: f64,
    height: f64,
    /// The items in mm, below the words.
    lines: Html,
    /// The text.
    words: Html,
    /// Where something is written.
    taken: Vec<Bounds>,
    /// Lines kept free of text: outlines and holes, then bend lines, each by its number.
    drawn: BTreeMap<Cell, Vec<Option<usize>>>,
}

/// A square of the picture of [`CELL`] px, by its column and row.
type Cell = (i32, i32);

impl Page<'_> {
    /// The flat of a part with the findings about it marked.
    pub(super) fn flat(&self, part: usize, found: &[Numbered]) -> Html {
        let (solved, shape) = (&self.solved[part], &self.shapes[part]);
        let [width, height] = shape.size();
        let scale = (ROOM[0] / width).min(ROOM[1] / height).min(LARGEST);
        let (size, sizes) =
            ([width * scale, height * scale], [width, height].map(|mm| self.shop(mm)));
        let mut picture = Picture {
            place: to_origin(&solved.flat.region),
            scale,
            width: size[0],
            height: size[1],
            lines: shapes::again(part).at("class", "met").into(),
            words: Html::default(),
            taken: dimensions::taken(size, &sizes),
            drawn: BTreeMap::new(),
        };
        for edge in solved.flat.region.outlines().flat_map(|outline| outline.edges()) {
            picture.keep_off(&edge, None);
        }
        for (i, line) in bend_lines(solved).enumerate() {
            picture.keep_off(&line, Some(i));
        }
        for stroke in solved.flat.marks.iter().flat_map(|mark| &mark.strokes) {
            picture.line(stroke, "mark");
        }
        let seen = seen(solved, found);
        for (_, seen) in &seen {
            picture.keep_off_ring(seen);
        }
        let first = |i: usize| seen.iter().position(|(number, _)| *number == seen[i].0) == Some(i);
        let (round, along): (Vec<usize>, Vec<usize>) =
            (0..seen.len()).partition(|i| matches!(seen[*i].1, Highlight::Round(_)));
        round.into_iter().for_each(|i| picture.ring(&seen[i].1, &seen[i].0, first(i)));
        for (label, hole) in drawings::hole_letters(solved) {
            picture.hole(&label, &solved.flat.holes[hole].outline.edges().collect::<Vec<_>>());
        }
        let mut lines = 0..0;
        for (row, strip) in self.report.parts[part].bends.iter().zip(&solved.flat.bends) {
            lines = lines.end..lines.end + strip.lines().len();
            picture.bend(row, strip, lines.clone());
        }
        // A bend without its number cannot be identified: its finding is beside that.
        along.into_iter().for_each(|i| picture.ring(&seen[i].1, &seen[i].0, first(i)));
        let marked: Vec<&str> =
            (0..seen.len()).filter(|i| first(*i)).map(|i| seen[i].0.as_str()).collect();
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
        let sizes = dimensions::overall(size, [&sizes[0], &sizes[1]]);
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

    /// The radius of the ring round a feature with these bounds, mm.
    fn radius(&self, bounds: &Bounds) -> f64 {
        num::hypot(bounds.width(), bounds.height()) / 2.0 + 4.0 / self.scale
    }

    /// Has nothing written on the ring round a feature.
    fn keep_off_ring(&mut self, seen: &Highlight) {
        if let Highlight::Round(bounds) = seen
            && let Ok(ring) = disc(bounds.centre(), self.radius(bounds))
        {
            ring.edges().for_each(|edge| self.keep_off(&edge, None));
        }
    }

    /// Rings a feature, its number beside the first.
    fn ring(&mut self, seen: &Highlight, name: &str, first: bool) {
        let places = match seen {
            Highlight::Round(bounds) => {
                let centre = self.place.apply(bounds.centre());
                let radius = self.radius(bounds);
                let ring = el("circle").at("class", "found").at("cx", number(centre.x));
                self.add(ring.at("cy", number(-centre.y)).at("r", number(radius)));
                beside_ring(self.at(bounds.centre()), radius * self.scale, name).to_vec()
            }
            Highlight::Along(edges) => {
                self.line(edges, "found");
                let Some(edge) = edges.first() else { return };
                let at = self.at(edge.point_at(0.08)) + (4.0, -4.0);
                let centre = self.at(edge.from.midpoint(edge.to));
                let [from, to] = [edge.from, edge.to].map(|end| self.at(end));
                let past = |end: Point| {
                    let right = end.x > centre.x;
                    end + (if right { 6.0 } else { -6.0 - LETTER[0] * name.len() as f64 }, 4.0)
                };
                let near = [at, at + (-26.0, 0.0), at + (0.0, 18.0), at + (-26.0, 18.0)];
                near.into_iter().chain([past(to), past(from)]).collect::<Vec<_>>()
            }
        };
        if first {
            self.write(&places, name, ("found", None), 0..0);
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
        // Next to the hole, else beyond the ring round it.
        let beside = [0.0, BEYOND].into_iter().flat_map(|off| {
            let (x, y) = (x + off, y + off);
            let beside = [
                (x * 0.8, -y * 0.8 - 2.0),
                (x, 4.0),
                (-half, -y - 4.0),
                (-x - 2.0 * half, 4.0),
                (-half, y + 12.0),
            ];
            beside.map(|by| centre + by)
        });
        let fits = radius > HOLDS && radius > half;
        let places: Vec<Point> = fits.then_some(within).into_iter().chain(beside).collect();
        self.write(&places, label, ("letter", Some(label)), 0..0);
    }

    /// The lines of a bend, by their numbers, and its sign beside them.
    fn bend(&mut self, row: &BendRow, strip: &BendStrip, own: Range<usize>) {
        for line in strip.lines() {
            let drawn = self.path(&[line]).at("class", "bend");
            self.add(drawn.at("data-h", bends::key(row)));
        }
        let line = strip.middle();
        let sign = bends::sign(row);
        let half = LETTER[0] * sign.chars().count() as f64 / 2.0;
        let shares = [0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8, 0.15, 0.85];
        let middles = shares.map(|t| self.at(line.point_at(t)) + (-half, 4.0));
        let beside = |off: (f64, f64)| middles.map(|at| at + off);
        let (aside, above) = (half + 4.0, LETTER[1]);
        let off = [(0.0, -above), (0.0, above), (aside, 0.0), (-aside, 0.0)];
        let is_within = |at: &Point| {
            let Bounds { min, max } = around(*at, &sign);
            min.x >= 0.0 && min.y >= 0.0 && max.x <= self.width && max.y <= self.height
        };
        let mut places: Vec<Point> = off.into_iter().flat_map(beside).filter(is_within).collect();
        // Off its own line, which would be read as a minus; on it only if there is no other room.
        let has_room = places.iter().any(|at| self.is_free(&around(*at, &sign), &(0..0)));
        if !has_room && self.led(&line, &sign, &bends::key(row)) {
            return;
        }
        let own = if has_room { 0..0 } else { own };
        if !has_room {
            places.extend(middles);
        }
        self.write(&places, &sign, ("sign", Some(&bends::key(row))), own);
    }

    /// Writes the sign of a bend line right of the flat, with a leader from the line; says whether there
    /// was room.
    fn led(&mut self, line: &Edge, sign: &str, key: &str) -> bool {
        let [one, other] = [line.from, line.to].map(|end| self.at(end));
        let is_level = (one.y - other.y).abs() < 1.0;
        let shares = [0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8];
        let tips: Vec<Point> = match is_level {
            true => vec![if one.x > other.x { one } else { other }],
            false => shares.iter().map(|t| self.at(line.point_at(*t))).collect(),
        };
        let x = self.width + BEYOND;
        let has_room = |tip: &Point| {
            let words = around(Point::new(x, tip.y + 4.0), sign);
            let leader = Bounds { min: *tip, max: Point::new(x, tip.y) };
            words.max.x <= ROOM[0] + BEYOND
                && self.is_free(&words, &(0..0))
                && !self.taken.iter().any(|taken| overlap(taken, &leader))
        };
        let Some(tip) = tips.into_iter().find(has_room) else { return false };
        let data = format!("M{} {}H{}", number(tip.x), number(tip.y), number(x - 2.0));
        self.words = std::mem::take(&mut self.words).and(shapes::path(&data).at("class", "size"));
        self.write(&[Point::new(x, tip.y + 4.0)], sign, ("sign", Some(key)), 0..0);
        true
    }

    /// Has nothing written on an edge, of a bend line but the sign of that.
    fn keep_off(&mut self, edge: &Edge, bend: Option<usize>) {
        let steps = (edge.length() * self.scale / (CELL / 2.0)).ceil().max(1.0) as u32;
        for i in 0..=steps {
            let p = self.at(edge.point_at(f64::from(i) / f64::from(steps)));
            let here = self.drawn.entry(cell(p)).or_default();
            if !here.contains(&bend) {
                here.push(bend);
            }
        }
    }

    /// Whether words may be in a box: off other words, off all lines but some bend lines.
    fn is_free(&self, words: &Bounds, own: &Range<usize>) -> bool {
        let is_own = |line: &Option<usize>| line.is_some_and(|line| own.contains(&line));
        let ((left, top), (right, bottom)) = (cell(words.min), cell(words.max));
        let mut rows = (left..=right).map(|x| self.drawn.range((x, top)..=(x, bottom)));
        !self.taken.iter().any(|taken| overlap(taken, words))
            && rows.all(|mut cells| cells.all(|(_, lines)| lines.iter().all(is_own)))
    }

    /// Writes text at the first of some places that is free; if all are occupied, text that is also
    /// in a table is shown only on pointing at it, all else at the first.
    fn write(
        &mut self,
        places: &[Point],
        words: &str,
        (class, key): (&'static str, Option<&str>),
        own: Range<usize>,
    ) {
        let free = places.iter().find(|at| self.is_free(&around(**at, words), &own));
        let Some(at) = free.or(places.first()) else { return };
        let class = match (free, key) {
            (None, Some(_)) => format!("{class} crowded"),
            _ => class.to_owned(),
        };
        if free.is_some() {
            self.taken.push(around(*at, words));
            if !own.is_empty() {
                self.cover(&around(*at, words));
            }
        }
        let text = el("text").at("class", class).at("x", number(at.x)).at("y", number(at.y));
        let text = match key {
            Some(key) => text.at("data-h", key),
            None => text,
        };
        self.words = std::mem::take(&mut self.words).and(text.with(words));
    }

    /// Interrupts the line of a bend under its sign.
    fn cover(&mut self, words: &Bounds) {
        let [width, height] = [words.width(), words.height()].map(number);
        let cover = el("rect").at("class", "under").at("x", number(words.min.x));
        let cover = cover.at("y", number(words.min.y)).at("width", width).at("height", height);
        self.words = std::mem::take(&mut self.words).and(cover);
    }

    fn svg(self, size: [f64; 2], words: &str) -> El {
        let scale =
            format!("translate(0 {}) scale({})", number(self.height), num::text(self.scale, 5));
        let metal = el("g").at("class", "mm").at("transform", scale).with(self.lines);
        let svg = dimensions::drawing("dwg", size).at("role", "img").at("aria-label", words);
        svg.with(metal).with(self.words)
    }
}

/// The subjects of the findings about a part in its flat, each with its number.
fn seen(solved: &Solved, found: &[Numbered]) -> Vec<(String, Highlight)> {
    let of = |(i, finding): &Numbered| -> Vec<(String, Highlight)> {
        let features = features(solved, finding);
        let all = features.iter().flat_map(|f| solved.flat.seen(&solved.part, f));
        all.map(|seen| (label(*i), seen)).collect()
    };
    found.iter().flat_map(of).collect()
}

/// Places of a number off the ring round a feature, which has a centre and a radius, px: at its corners.
fn beside_ring(centre: Point, radius: f64, name: &str) -> [Point; 4] {
    let (off, wide) = (0.75 * radius + 3.0, LETTER[0] * name.chars().count() as f64);
    let (right, left) = (off, -off - wide);
    let (above, below) = (-off, off + LETTER[1] * 0.8);
    [(right, above), (left, above), (right, below), (left, below)].map(|by| centre + by)
}

/// What words take that are written at a place, px.
fn around(at: Point, words: &str) -> Bounds {
    let width = LETTER[0] * words.chars().count() as f64;
    Bounds { min: at - (0.0, LETTER[1] * 0.8), max: at + (width, 2.0) }
}

/// Whether two boxes have a part in common.
fn overlap(a: &Bounds, b: &Bounds) -> bool {
    a.min.x < b.max.x && b.min.x < a.max.x && a.min.y < b.max.y && b.min.y < a.max.y
}

/// The square of a point.
fn cell(p: Point) -> Cell {
    ((p.x / CELL).floor() as i32, (p.y / CELL).floor() as i32)
}

/// All bend lines of a flat, in the order of its bends.
fn bend_lines(solved: &Solved) -> impl Iterator<Item = Edge> {
    solved.flat.bends.iter().flat_map(|strip| strip.lines())
}

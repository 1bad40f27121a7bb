//! A detail of a few close corners, larger than the flat, in a circle with running dimensions
//! from the datum of the flat.

use crate::geom::Bounds;
use crate::geom::Edge;
use crate::geom::Point;
use crate::num;
use crate::paper::clear::Clear;
use crate::paper::figures::place_text;
use crate::paper::flags;
use crate::paper::flags::End;
use crate::paper::plan::fine::Alike;
use crate::paper::plan::fine::Run;
use crate::paper::plan::scale;
use crate::paper::plan::scale::Scale;
use crate::paper::plan::shape;
use crate::paper::plan::shape::Shape;
use crate::paper::plan::shown::Plan;
use crate::paper::running;
use crate::paper::running::Axis;
use crate::paper::scene::Ink;
use crate::paper::scene::Item;
use crate::paper::scene::Note;
use crate::paper::scene::Pen;
use crate::paper::scene::Words;
use crate::paper::sheet::LARGE;
use crate::paper::sheet::SMALL;
use crate::paper::tag::Tag;
use crate::paper::tag::circle;
use std::collections::BTreeMap;

/// Diameter of a detail, mm.
const ACROSS: f64 = 28.0;
/// Scales that are tried, large first.
const SCALES: [(f64, f64); 4] = [(10.0, 1.0), (5.0, 1.0), (2.0, 1.0), (1.0, 1.0)];
/// How far from the corners of a run its arcs reach, mm of the part at most.
const BESIDE: f64 = 4.0;
/// From a number to the next, mm.
const PITCH: f64 = 3.5;

/// A detail that is ready, its lower left corner anywhere.
#[derive(Clone, Debug, PartialEq)]
pub struct Detail {
    /// Its letter.
    pub letter: String,
    /// Its lines and words.
    pub items: Vec<Item>,
}

/// How a part of the flat is shown larger: where, and by how much.
pub(super) struct View {
    pub(super) letter: String,
    /// Of the circle on the flat, mm of the part.
    pub(super) centre: Point,
    pub(super) radius: f64,
    /// What it shows of each of the alike places.
    pub(super) shows: Vec<Bounds>,
    paper_part: (f64, f64),
}

/// The rectangle round a run and the arcs at its corners.
fn around(run: &Run, shapes: &[Shape]) -> Bounds {
    let keys = run.bounds();
    let beside = keys.grown(BESIDE);
    let rounds = shapes.iter().flat_map(|shape| &shape.rounds);
    let arcs = rounds.map(|round| round.edge.bounds());
    let near = arcs.filter(|arc| {
        let both = beside.and(*arc);
        both.width() <= beside.width() + 1e-9 && both.height() <= beside.height() + 1e-9
    });
    near.fold(keys, Bounds::and)
}

/// How alike runs are shown; nothing where no scale helps.
pub(super) fn view(alike: &Alike, shapes: &[Shape], letter: String, flat: f64) -> Option<View> {
    let bounds = around(&alike.runs[0], shapes);
    let centre = bounds.centre();
    let rounds = shapes.iter().flat_map(|shape| &shape.rounds).map(|round| round.edge);
    let arcs = rounds.flat_map(|edge| [0.0, 0.25, 0.5, 0.75, 1.0].map(|t| edge.point_at(t)));
    let within = |p: &Point| bounds.grown(1e-6).distance(&Bounds { min: *p, max: *p }) <= 0.0;
    let points = arcs.filter(within).chain(alike.runs[0].keys.iter().map(|key| key.at));
    let reach = points.map(|p| (p - centre).hypot()).fold(0.0, f64::max);
    let fits = |(paper, part): &&(f64, f64)| 2.0 * reach * paper / part <= ACROSS - 1.0;
    let paper_part = SCALES.iter().find(fits).copied()?;
    let by = paper_part.0 / paper_part.1;
    let shows = alike.runs.iter().map(|run| around(run, shapes)).collect();
    (by > flat + 1e-9).then(|| View {
        letter,
        centre,
        radius: ACROSS / by / 2.0,
        shows,
        paper_part,
    })
}

/// The detail, and whether all its numbers found room.
pub(super) fn drawn(plan: &Plan, alike: &Alike, view: &View) -> Detail {
    let by = view.paper_part.0 / view.paper_part.1;
    let scale = Scale { by, from: view.centre };
    let radius = ACROSS / 2.0;
    let frame = Bounds { min: Point::new(-37.0, -30.0), max: Point::new(42.0, 15.5) };
    let mut clear = Clear::new(frame);
    let circle_round = circle(Point::ZERO, radius);
    clear.draw(Item::Line(Pen::Narrow, circle_round.clone()));
    let metal: Vec<Vec<Edge>> = plan
        .region
        .outlines()
        .map(|outline| clipped(&scale.edges(&outline.edges().collect::<Vec<_>>()), radius))
        .collect();
    for bend in &plan.bends {
        for piece in inside(&scale.edge(&bend.line), radius) {
            clear.draw(Item::Line(Pen::Bend, vec![piece]));
        }
    }
    for edge in metal.into_iter().flatten() {
        clear.draw(Item::Line(Pen::Wide, vec![edge]));
    }
    for axis in [Axis::Across, Axis::Up] {
        numbers(&mut clear, plan, alike, &scale, axis);
    }
    radii(&mut clear, plan, &scale);
    let heading = Words::heavy(Point::new(-37.0, 9.0), LARGE, &view.letter);
    let times =
        if alike.runs.len() > 1 { format!("{}×", alike.runs.len()) } else { String::new() };
    let small = |y: f64, text: &str| Item::Words(Words::plain(Point::new(-37.0, y), SMALL, text));
    clear.draw(Item::Words(heading));
    clear.draw(small(4.6, &scale::words(view.paper_part)));
    if !times.is_empty() {
        clear.draw(small(0.4, &times));
    }
    // Where it is, in the flat: the first is drawn.
    let at = |run: &Run| {
        let centre = run.bounds().centre() - plan.region.bounds().min.to_vec2();
        format!("{},{}", num::text(centre.x, 3), num::text(centre.y, 3))
    };
    let places: Vec<String> = alike.runs.iter().map(at).collect();
    let text = format!("{}|{}|{}", view.letter, num::text(view.radius, 3), places.join(" "));
    let note = Note { kind: "detail", text, feet: Vec::new(), scale: scale.by };
    clear.draw(Item::Noted(note, Vec::new()));
    Detail { letter: view.letter.clone(), items: clear.items }
}

/// The running dimensions of a detail along an axis: the numbers below it and to its left.
fn numbers(clear: &mut Clear, plan: &Plan, alike: &Alike, scale: &Scale, axis: Axis) {
    let datum = plan.region.bounds().min;
    let mut stations: BTreeMap<String, Point> = BTreeMap::new();
    for key in &alike.runs[0].keys {
        if !key.axes[if axis == Axis::Across { 0 } else { 1 }] {
            continue;
        }
        let value = axis.of((key.at - datum).to_point()).0;
        let text = place_text(plan.units, value);
        let nearer = |old: &Point| axis.of(*old).1 <= axis.of(key.at).1;
        if !stations.get(&text).is_some_and(nearer) {
            stations.insert(text, key.at);
        }
    }
    let along = |p: &Point| axis.of(scale.point(*p)).0;
    let mut all: Vec<(String, Point)> = stations.into_iter().collect();
    all.sort_by(|a, b| along(&a.1).total_cmp(&along(&b.1)));
    let wanted: Vec<f64> = all.iter().map(|(_, p)| along(p)).collect();
    let line = ACROSS / 2.0 + 1.5;
    let places = running::spread(&wanted, PITCH, -ACROSS / 2.0 - 4.0, ACROSS / 2.0 + 4.0);
    for (((text, foot), along), place) in all.iter().zip(&wanted).zip(places) {
        let at = scale.point(*foot);
        let within = axis.of(at).1;
        let ends = [-within + 0.8, line].map(|out| axis.point(*along, out));
        let bend = axis.point(place, line + 2.2);
        let words = Words::plain(Point::ZERO, SMALL, text);
        let centre = axis.point(place, line + 3.2 + words.length() / 2.0);
        let words = if axis == Axis::Across { words.upward() } else { words };
        let words = Words { at: crate::paper::clear::start(centre, &words), ..words };
        let items = vec![
            Item::line(Pen::Narrow, ends[0], ends[1]),
            Item::line(Pen::Narrow, ends[1], bend),
            Item::Words(words),
        ];
        let origin = scale.point(datum);
        let datum = match axis {
            Axis::Across => Point::new(origin.x, at.y),
            Axis::Up => Point::new(at.x, origin.y),
        };
        let kind = if axis == Axis::Across { "running-x" } else { "running-y" };
        let note = Note { kind, text: text.clone(), feet: vec![datum, at], scale: scale.by };
        clear.draw(Item::Noted(note, items));
    }
}

/// The radii within a detail, each once.
fn radii(clear: &mut Clear, plan: &Plan, scale: &Scale) {
    let within = |p: Point| scale.point(p).to_vec2().hypot() < ACROSS / 2.0;
    let outlines = plan.defined.iter().map(shape::of);
    let rounds = outlines.flat_map(|shape| shape.rounds).filter(|r| within(r.edge.point_at(0.5)));
    let mut seen: BTreeMap<String, Vec<Edge>> = BTreeMap::new();
    for round in rounds {
        seen.entry(plan.size_text(round.radius)).or_default().push(scale.edge(&round.edge));
    }
    for (text, edges) in seen {
        let feet = edges.iter().flat_map(|e| [e.from, e.point_at(0.5), e.to]).collect();
        let said = format!("R{text}");
        let note = Note { kind: "radius", text: said.clone(), feet, scale: scale.by };
        clear.draw(Item::Noted(note, Vec::new()));
        let tag = Tag::callout(&[said]);
        let targets: Vec<flags::Target> = edges.iter().map(|e| flags::on_edge(e, 0.5)).collect();
        let any: Vec<flags::Target> =
            targets.iter().map(|t| flags::Target { out: None, ..*t }).collect();
        flags::put(clear, &any, &tag, End::Arrow, 0.0);
    }
}

/// What of edges lies within a circle round the origin.
fn clipped(edges: &[Edge], radius: f64) -> Vec<Edge> {
    edges.iter().flat_map(|edge| inside(edge, radius)).collect()
}

/// The pieces of an edge within a circle round the origin.
fn inside(edge: &Edge, radius: f64) -> Vec<Edge> {
    const STEPS: u32 = 64;
    let is_in = |t: f64| edge.point_at(t).to_vec2().hypot() <= radius;
    let share = |k: u32| f64::from(k) / f64::from(STEPS);
    let mut pieces = Vec::new();
    let mut begun: Option<f64> = is_in(0.0).then_some(0.0);
    for k in 1..=STEPS {
        let (before, now) = (share(k - 1), share(k));
        match (begun, is_in(now)) {
            (None, true) => begun = Some(border(edge, radius, before, now)),
            (Some(from), false) => {
                pieces.push(part(edge, from, border(edge, radius, before, now)));
                begun = None;
            }
            _ => {}
        }
    }
    pieces.extend(begun.map(|from| part(edge, from, 1.0)));
    pieces
}

/// Where an edge crosses the circle between two shares of its length.
fn border(edge: &Edge, radius: f64, mut a: f64, mut b: f64) -> f64 {
    let is_in = |t: f64| edge.point_at(t).to_vec2().hypot() <= radius;
    let starts_in = is_in(a);
    for _ in 0..40 {
        let middle = f64::midpoint(a, b);
        if is_in(middle) == starts_in { a = middle } else { b = middle }
    }
    f64::midpoint(a, b)
}

/// An edge from one share of its length to another.
fn part(edge: &Edge, from: f64, to: f64) -> Edge {
    let bulge = match edge.arc() {
        None => 0.0,
        Some(arc) => {
            let sweep = arc.sweep.degrees() * (to - from);
            crate::num::Angle::from_degrees(sweep / 4.0).tan()
        }
    };
    Edge { from: edge.point_at(from), to: edge.point_at(to), bulge }
}

/// The circle on the flat with the letter of the detail.
pub(super) fn mark(clear: &mut Clear, view: &View, scale: &Scale) {
    let (centre, radius) = (scale.point(view.centre), view.radius * scale.by);
    clear.draw(Item::Line(Pen::Narrow, circle(centre, radius)));
    let words = [Words::heavy(Point::ZERO, LARGE, &view.letter).in_ink(Ink::Black)];
    clear.lead(centre, radius, &words, crate::paper::clear::Leader::OverAll);
}

//! A detail of a few close corners, larger than the flat, in a circle with running dimensions
//! from the datum of the flat.

use crate::geom::Bounds;
use crate::geom::Edge;
use crate::geom::Point;
use crate::num;
use crate::paper::clear::Clear;
use crate::paper::crossed::Leader;
use crate::paper::figures::figure_text;
use crate::paper::figures::times;
use crate::paper::flags;
use crate::paper::flags::End;
use crate::paper::flags::Target;
use crate::paper::font;
use crate::paper::plan::fine::Alike;
use crate::paper::plan::fine::Run;
use crate::paper::plan::scale::Scale;
use crate::paper::plan::shape;
use crate::paper::plan::shape::Shape;
use crate::paper::plan::shown::Plan;
use crate::paper::running;
use crate::paper::running::Axis;
use crate::paper::running::PITCH;
use crate::paper::scales::scale_text;
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
/// The words on the places that follow from a detail, in its lower left corner, between the numbers
/// below it and those to its left: the first line below its centre, and their width, mm.
const FOLLOW: f64 = -22.5;
const WIDE: f64 = 17.5;
/// Scales that are tried, large first.
const SCALES: [f64; 4] = [10.0, 5.0, 2.0, 1.0];

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
    /// Of the circle on the flat whose inside is drawn, mm of the part.
    pub(super) centre: Point,
    pub(super) radius: f64,
    /// The areas shown of each of the equal places.
    pub(super) shows: Vec<Bounds>,
    by: f64,
}

/// How equal runs are shown; `None` if no scale helps.
pub(super) fn view(alike: &Alike, shapes: &[Shape], letter: String, flat: f64) -> Option<View> {
    let bounds = alike.runs[0].around;
    let centre = bounds.centre();
    let rounds = shapes.iter().flat_map(|shape| &shape.rounds).map(|round| round.edge);
    let arcs = rounds.flat_map(|edge| [0.0, 0.25, 0.5, 0.75, 1.0].map(|t| edge.point_at(t)));
    let around = bounds.grown(1e-6);
    let within = |p: &Point| around.contains(*p);
    let points = arcs.filter(within).chain(alike.runs[0].keys.iter().map(|key| key.at));
    let reach = points.map(|p| (p - centre).hypot()).fold(0.0, f64::max);
    let fits = |by: &f64| 2.0 * reach * by <= ACROSS - 1.0;
    let by = SCALES.into_iter().find(fits)?;
    let shows: Vec<Bounds> = alike.runs.iter().map(|run| run.around).collect();
    (by > flat + 1e-9).then(|| View { letter, centre, radius: ACROSS / by / 2.0, shows, by })
}

/// The detail, and the sizes for which there was no room.
pub(super) fn drawn(plan: &Plan, alike: &Alike, view: &View) -> (Detail, Vec<String>) {
    let scale = Scale { by: view.by, from: view.centre };
    let radius = ACROSS / 2.0;
    let whole = plan.region.bounds();
    let middle = [whole.width(), whole.height()].map(|mm| figure_text(plan.units, mm / 2.0));
    let follow = alike.words(middle.each_ref().map(String::as_str));
    let frame = Bounds { min: Point::new(-37.0, -30.0), max: Point::new(42.0, 15.5) };
    let mut clear = Clear::new(frame);
    clear.draw(Item::Line(Pen::Narrow, circle(Point::ZERO, radius)));
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
    let left = radii(&mut clear, plan, &scale);
    let heading = Words::heavy(Point::new(-37.0, 9.0), LARGE, &view.letter);
    let small = |y: f64, text: &str| Item::Words(Words::plain(Point::new(-37.0, y), SMALL, text));
    clear.draw(Item::Words(heading));
    clear.draw(small(4.6, &scale_text(view.by)));
    let follow = follow.map_or_else(Vec::new, |words| font::wrap(&words, SMALL, WIDE));
    for (line, below) in follow.iter().zip(0u32..) {
        clear.draw(small(FOLLOW - 3.5 * f64::from(below), line));
    }
    // Where it is, in the flat: the first is drawn.
    let at = |run: &Run| {
        let centre = run.corners.centre() - plan.region.bounds().min.to_vec2();
        format!("{},{}", num::text(centre.x, 3), num::text(centre.y, 3))
    };
    let places: Vec<String> = alike.runs.iter().map(at).collect();
    let text = format!("{}|{}|{}", view.letter, num::text(view.radius, 3), places.join(" "));
    let note = Note { kind: "detail", text, feet: Vec::new(), scale: scale.by };
    clear.draw(Item::Noted(note, Vec::new()));
    let left = left.into_iter().map(|size| format!("{size} in detail {}", view.letter)).collect();
    (Detail { letter: view.letter.clone(), items: clear.items }, left)
}

/// The running dimensions of a detail along an axis: the numbers below it and to its left.
fn numbers(clear: &mut Clear, plan: &Plan, alike: &Alike, scale: &Scale, axis: Axis) {
    let datum = plan.region.bounds().min;
    let mut stations: BTreeMap<String, Point> = BTreeMap::new();
    for key in &alike.runs[0].keys {
        if !key.axes[axis.index()] {
            continue;
        }
        let value = axis.of((key.at - datum).to_point()).0;
        let text = figure_text(plan.units, value);
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
        let items = vec![
            Item::line(Pen::Narrow, ends[0], ends[1]),
            Item::line(Pen::Narrow, ends[1], bend),
            Item::Words(axis.number(text, |half| axis.point(place, line + 3.2 + half))),
        ];
        clear.draw(axis.noted(text, [scale.point(datum), at], scale.by, items));
    }
}

/// The radii within a detail, each once; those for which there was no room come back.
fn radii(clear: &mut Clear, plan: &Plan, scale: &Scale) -> Vec<String> {
    let within = |p: Point| scale.point(p).to_vec2().hypot() < ACROSS / 2.0;
    let outlines = plan.defined.iter().map(shape::of);
    let rounds = outlines.flat_map(|shape| shape.rounds).filter(|r| within(r.edge.point_at(0.5)));
    let mut seen: BTreeMap<String, Vec<Edge>> = BTreeMap::new();
    for round in rounds {
        seen.entry(plan.size_text(round.radius)).or_default().push(scale.edge(&round.edge));
    }
    let mut left = Vec::new();
    for (text, edges) in seen {
        let feet = edges.iter().flat_map(|e| [e.from, e.point_at(0.5), e.to]).collect();
        let said = format!("{}R{text}", times(shape::arcs(&edges)));
        let note = Note { kind: "radius", text: said.clone(), feet, scale: scale.by };
        clear.draw(Item::Noted(note, Vec::new()));
        let targets: Vec<Target> = edges.iter().map(|e| Target::point(e.point_at(0.5))).collect();
        if !flags::put(clear, &targets, &Tag::callout(std::slice::from_ref(&said)), End::Arrow, 0.0)
        {
            left.push(said);
        }
    }
    left
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
                pieces.push(edge.between(from, border(edge, radius, before, now)));
                begun = None;
            }
            _ => {}
        }
    }
    pieces.extend(begun.map(|from| edge.between(from, 1.0)));
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

/// The circles on the flat with the letter of the detail at each; says whether all found room.
pub(super) fn mark(clear: &mut Clear, view: &View, scale: &Scale) -> bool {
    let radius = view.radius * scale.by;
    let words = [Words::heavy(Point::ZERO, LARGE, &view.letter)];
    let mut found = true;
    for shown in &view.shows {
        let centre = scale.point(shown.centre());
        clear.draw(Item::Line(Pen::Narrow, circle(centre, radius)));
        found &= clear.lead(centre, radius, &words, Leader::OverAll);
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom;
    use crate::paper::plan::fine;
    use crate::paper::plan::shape::Key;
    use crate::quantity::Units;

    /// A plate with three close corners, and among them discs of a number of sizes.
    fn plate(count: u32) -> (Plan, Shape) {
        let outline =
            geom::rectangle(Point::new(100.0, 80.0), 200.0, 160.0, 0.0).expect("it has an area");
        let disc = |i: u32| {
            let at = Point::new(96.0 + 1.2 * f64::from(i % 8), 76.0 + 1.2 * f64::from(i / 8));
            geom::disc(at, 0.1 + 0.01 * f64::from(i)).expect("it has an area")
        };
        let plan = Plan {
            region: geom::Region::solid(outline),
            defined: (0..count).map(disc).collect(),
            by_file: Vec::new(),
            marks: Vec::new(),
            bends: Vec::new(),
            faces: Vec::new(),
            spots: Vec::new(),
            located: Vec::new(),
            points: Vec::new(),
            laid: Vec::new(),
            callouts: Vec::new(),
            tabled: false,
            notes: Vec::new(),
            rings: Vec::new(),
            found: Vec::new(),
            phantoms: Vec::new(),
            units: Units::Millimetre,
            largest: f64::INFINITY,
        };
        let corners = [(91.0, 71.0), (100.0, 71.0), (109.0, 71.0), (109.0, 80.0), (109.0, 89.0)];
        let keys = corners.map(|at| Key::corner(at.into())).to_vec();
        (plan, Shape { keys, ..Shape::default() })
    }

    fn written(items: &[Item]) -> Vec<String> {
        let words = |item: &Item| match item {
            Item::Words(words) => vec![words.text.clone()],
            Item::Noted(_, items) | Item::Window(_, items) => written(items),
            _ => Vec::new(),
        };
        items.iter().flat_map(words).collect()
    }

    #[test]
    fn each_radius_of_a_detail_is_written_or_said_to_have_no_room() {
        for (count, is_much) in [(2, false), (60, true)] {
            let (plan, shape) = plate(count);
            let shapes = [shape];
            let (alike, _) = fine::split_by_size(&shapes, plan.region.bounds(), 0.5);
            let view = view(&alike[0], &shapes, "A".into(), 0.5).expect("1:1 is larger");
            let (detail, left) = drawn(&plan, &alike[0], &view);
            let written = written(&detail.items);
            assert_eq!(!left.is_empty(), is_much, "{left:?}");
            for i in 0..count {
                let size = format!("R{}", plan.size_text(0.1 + 0.01 * f64::from(i)));
                let is_left = left.contains(&format!("{size} in detail A"));
                assert!(written.contains(&size) != is_left, "{size}: {written:?}, {left:?}");
            }
        }
    }
}

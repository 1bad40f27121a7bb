//! A tube of the frame from the side, to scale, with the tubes it meets.

use crate::cope::Cope;
use crate::drawings::bar::Along;
use crate::drawings::dimension::dimension;
use crate::drawings::link::caption;
use crate::geom::Bounds;
use crate::geom::Edge;
use crate::geom::Point;
use crate::geom::Vec2;
use crate::job::CopedTube;
use crate::job::Job;
use crate::num;
use crate::num::Angle;
use crate::paper;
use crate::paper::Item;
use crate::paper::Pen;
use crate::paper::figure_text;

/// Rows of sizes, mm.
const ROW: f64 = 6.5;

/// Steps of a cut round the tube. Our choice: a flat chord to the eye.
const STEPS: i32 = 48;

/// A main that leans less than this against the line of sight is seen as a circle, as a sine.
const ROUND: f64 = 0.02;

/// A tube in a room of a width and a height, mm, as an element of a web page.
#[cfg_attr(not(feature = "page"), allow(dead_code, reason = "only the page shows it"))]
pub(crate) fn tube_element(job: &Job, tube: &CopedTube, room: [f64; 2]) -> String {
    let figure = |mm: f64| figure_text(job.units, mm);
    let radius = tube.outside / 2.0;
    let mains = tube.ends.each_ref().map(|end| end.as_ref().map_or(0.0, Cope::main));
    let high = tube.outside.max(1.6 * mains[0]).max(1.6 * mains[1]);
    let within = Bounds {
        min: Point::new(4.0, 5.0 + 1.5 * ROW),
        max: Point::new(room[0] - 4.0, room[1] - 4.0 - 3.0 * ROW),
    };
    let reach = [-mains[0] / 2.0 - 4.0, tube.length + mains[1] / 2.0 + 4.0];
    let longest = |i: usize| tube.ends[i].as_ref().map_or(0.0, Cope::short);
    let keep = [longest(0) + radius, tube.length - longest(1) - radius];
    let along = Along::new(within, reach, high, keep);
    let mut items = Vec::new();
    let corners = [0, 1].map(|i| end_items(&along, tube, i, &mut items));
    for (k, y) in [radius, -radius].into_iter().enumerate() {
        items.extend(half_sides(&along, [corners[0][k], corners[1][k]], y));
    }
    let ends = [along.at(reach[0], 0.0), along.at(reach[1], 0.0)];
    items.push(Item::line(Pen::Chain, ends[0], ends[1]));
    let top = high / 2.0;
    let long = [0, 1].map(|i| tube.ends[i].as_ref().map_or(0.0, Cope::long));
    let span = [long[0], tube.length - long[1]].map(|x| along.at(x, top));
    let axes = [0.0, tube.length].map(|x| along.at(x, top));
    let mut size = |ends: [Point; 2], row: f64, text: String| {
        items.extend(dimension(ends, Vec2::new(0.0, row * ROW), &text));
    };
    size(axes, 2.0, format!("length {}", figure(tube.length)));
    size(span, 1.0, format!("cut {} overall", figure(tube.cut_length())));
    let size = format!("Ø{} × {}", figure(tube.outside), figure(tube.wall));
    let short = format!("between the short points {}", figure(tube.short_length()));
    items.extend(caption(room[0], &[size, short, along.words()]));
    let title = format!("Tube {} from the side, {}", tube.name, along.words());
    paper::svg_element(&title, room, &items)
}

/// Draws an end with the tube it meets; returns where the upper and the lower side begin.
fn end_items(along: &Along, tube: &CopedTube, i: usize, items: &mut Vec<Item>) -> [f64; 2] {
    let (radius, end) = (tube.outside / 2.0, &tube.ends[i]);
    let (from, way) = if i == 0 { (0.0, 1.0) } else { (tube.length, -1.0) };
    let heel = if i == 0 { 0.0 } else { tube.twist.degrees() };
    let setback = |phi: f64| match end {
        // Round the tube as seen from the start; the far end counts the other way.
        Some(cope) => cope.line(Angle::from_degrees((phi - heel) * way)),
        None => 0.0,
    };
    let at =
        |phi: f64| along.at(from + way * setback(phi), radius * Angle::from_degrees(phi).cos());
    let step = 180.0 / f64::from(STEPS);
    for (pen, side) in [(Pen::Wide, 1.0), (Pen::Dashed, -1.0)] {
        let points: Vec<Point> = (0..=STEPS).map(|k| at(side * step * f64::from(k))).collect();
        let edges = points.windows(2).map(|pair| Edge::line(pair[0], pair[1])).collect();
        items.push(Item::Line(pen, edges));
    }
    if let Some(cope) = end {
        items.extend(main(along, cope, from, way, heel));
    }
    [0.0, 180.0].map(|phi| from + way * setback(phi))
}

/// One long side, with the break of the whole tube.
fn half_sides(along: &Along, ends: [f64; 2], y: f64) -> Vec<Item> {
    // `sides` draws both: the one above, or the one below and both break lines.
    let mut both = along.sides(Pen::Wide, ends, y.abs());
    let is_break = |item: &Item| matches!(item, Item::Line(Pen::Narrow, _));
    let breaks: Vec<Item> = both.iter().filter(|item| is_break(item)).cloned().collect();
    both.retain(|item| !is_break(item));
    let own = both.into_iter().skip(usize::from(y < 0.0)).step_by(2);
    own.chain(breaks.into_iter().filter(|_| y > 0.0)).collect()
}

/// The tube that an end meets, as far as it is beside it: its two sides in a side view, or its
/// circle in a view along its axis.
fn main(along: &Along, cope: &Cope, from: f64, way: f64, heel: f64) -> Vec<Item> {
    let radius = cope.main() / 2.0;
    // Its axis leans towards the heel, which is turned about the tube.
    let (lean, turned) = (cope.angle(), Angle::from_degrees(heel));
    let axis = [lean.cos() * -way, lean.sin() * turned.cos()];
    let seen = num::hypot(axis[0], axis[1]);
    let aside = cope.offset() * -turned.sin();
    let centre = along.at(from, aside);
    if seen < ROUND {
        return vec![Item::Line(Pen::Phantom, paper::circle(centre, radius * along.by))];
    }
    let direction = Vec2::new(axis[0] / seen, axis[1] / seen);
    let normal = Vec2::new(-direction.y, direction.x);
    let reach = 0.8 * cope.main() * seen.max(0.4) * along.by;
    let line = |side: f64, pen: Pen| {
        let middle = centre + normal * (side * radius * along.by);
        Item::line(pen, middle - direction * reach, middle + direction * reach)
    };
    vec![line(1.0, Pen::Phantom), line(-1.0, Pen::Phantom), line(0.0, Pen::Chain)]
}

//! A link from the side, to scale, with its settings: for the page, and for the drawing of its loads.

use crate::drawings::bar::Along;
use crate::drawings::bar::ring;
use crate::drawings::dimension::dimension;
use crate::geom::Bounds;
use crate::geom::Edge;
use crate::geom::Point;
use crate::geom::Vec2;
use crate::job::Job;
use crate::link::End;
use crate::link::Link;
use crate::paper;
use crate::paper::Item;
use crate::paper::PITCH;
use crate::paper::Pen;
use crate::paper::SMALL;
use crate::paper::Words;
use crate::paper::figure_text;

/// Rows of sizes above and below the picture, mm.
const ROW: f64 = 6.5;

/// A link in a room of a width and a height, mm, as an element of a web page.
#[cfg_attr(not(feature = "page"), allow(dead_code, reason = "only the page shows it"))]
pub(crate) fn link_element(job: &Job, link: &Link, room: [f64; 2]) -> String {
    let Picture { mut items, along } = picture(job, link, room);
    let hands = link.ends.each_ref().map(|end| end.hand.word());
    let engaged = format!("engaged, minimum {}", figure_text(job.units, link.min));
    let threads = format!("threads {} and {}", hands[0], hands[1]);
    items.extend(caption(room[0], &[engaged, threads, along.words()]));
    let title = format!("Link {} from the side, {}", link.name, along.words());
    paper::svg_element(&title, room, &items)
}

/// The text below a picture of a width, mm: one line, or as many as it needs.
pub(super) fn caption(width: f64, said: &[String]) -> Vec<Item> {
    let words = |text: &str| Words::plain(Point::new(4.0, 2.0), SMALL, text);
    let mut lines: Vec<String> = Vec::new();
    for piece in said {
        let longer = lines.last().map(|line| format!("{line}; {piece}"));
        match (longer.filter(|line| words(line).length() <= width - 8.0), lines.last_mut()) {
            (Some(longer), Some(last)) => *last = longer,
            _ => lines.push(piece.clone()),
        }
    }
    let up = |i: usize| (0.0, PITCH * (lines.len() - 1 - i) as f64);
    lines.iter().enumerate().map(|(i, line)| Item::Words(words(line)).shifted(up(i))).collect()
}

/// A link with its sizes, and where on the paper its places lie.
pub(super) struct Picture {
    pub(super) items: Vec<Item>,
    pub(super) along: Along,
}

/// A link with its sizes in a room of a width and a height, mm, from 0, 0.
pub(super) fn picture(job: &Job, link: &Link, room: [f64; 2]) -> Picture {
    let setting = link.setting();
    let figure = |mm: f64| figure_text(job.units, mm);
    let heads = link.ends.each_ref().map(|end| end.rod_end.measure("head") / 2.0);
    let outside = link.tube.measure("outside");
    let high = outside.max(2.0 * heads[0]).max(2.0 * heads[1]);
    let within = Bounds {
        min: Point::new(4.0, 4.0 + 2.0 * ROW),
        max: Point::new(room[0] - 4.0, room[1] - 4.0 - 3.0 * ROW),
    };
    let tube = tube_ends(link);
    let bungs = link.ends.each_ref().map(|end| end.bung.measure("length"));
    let keep = [tube[0] + bungs[0], tube[1] - bungs[1]];
    let along = Along::new(within, [-heads[0], link.pins + heads[1]], high, keep);
    let mut items = along.sides(Pen::Wide, tube, outside / 2.0);
    for x in tube {
        items.push(across(&along, Pen::Wide, x, outside / 2.0));
    }
    let axis = [-heads[0] - 3.0 / along.by, link.pins + heads[1] + 3.0 / along.by];
    items.push(Item::line(Pen::Chain, along.at(axis[0], 0.0), along.at(axis[1], 0.0)));
    for (i, end) in link.ends.iter().enumerate() {
        items.extend(end_items(&along, link, i, end));
    }
    let (top, bottom) = (high / 2.0, -high / 2.0);
    let mut size = |ends: [f64; 2], row: f64, text: String| {
        let y = if row > 0.0 { top } else { bottom };
        let out = Vec2::new(0.0, row * ROW);
        items.extend(dimension(ends.map(|x| along.at(x, y)), out, &text));
    };
    size([0.0, link.pins], 2.0, format!("pins {}", figure(link.pins)));
    size(tube, 1.0, format!("tube, cut {}", figure(setting.cut)));
    for (i, end) in link.ends.iter().enumerate() {
        let face = face(link, i);
        let tip = if i == 0 { face + end.engagement } else { face - end.engagement };
        let mut ends = [face, tip];
        ends.sort_by(f64::total_cmp);
        size(ends, -1.0, figure(end.engagement));
    }
    Picture { items, along }
}

/// Where the face of the bung of an end lies.
pub(super) fn face(link: &Link, end: usize) -> f64 {
    let out = link.ends[end].stands_out();
    if end == 0 { out } else { link.pins - out }
}

/// Where the tube begins and ends.
fn tube_ends(link: &Link) -> [f64; 2] {
    let shoulder = |i: usize| link.ends[i].bung.measure("shoulder");
    [face(link, 0) + shoulder(0), face(link, 1) - shoulder(1)]
}

fn across(along: &Along, pen: Pen, x: f64, high: f64) -> Item {
    Item::line(pen, along.at(x, high), along.at(x, -high))
}

/// The rod end with its jam nut in its bung.
fn end_items(along: &Along, link: &Link, i: usize, end: &End) -> Vec<Item> {
    let (pin, way) = if i == 0 { (0.0, 1.0) } else { (link.pins, -1.0) };
    let x = |from_pin: f64| pin + way * from_pin;
    let of = |name: &str| end.rod_end.measure(name);
    let (head, shank) = (of("head") / 2.0, of("shank") / 2.0);
    let out = end.stands_out();
    let boxed = |pen: Pen, from: f64, to: f64, high: f64| {
        let corners = [(from, high), (to, high), (to, -high), (from, -high)];
        ring(pen, &corners.map(|(at, y)| along.at(x(at), y)))
    };
    let round = |pen: Pen, radius: f64| {
        Item::Line(pen, paper::circle(along.at(pin, 0.0), radius * along.by))
    };
    let nut = end.jam_nut.measure("height");
    let half = end.jam_nut.measure("corners") / 2.0;
    let (shoulder, long) = (end.bung.measure("shoulder"), end.bung.measure("length"));
    // The neck begins where it meets the round head.
    let neck = (head * head - shank * shank).max(0.0).sqrt();
    let mut items = vec![
        round(Pen::Wide, head),
        round(Pen::Narrow, of("bore") / 2.0),
        boxed(Pen::Wide, out - nut, out, half),
        boxed(Pen::Wide, out, out + shoulder, link.tube.measure("outside") / 2.0),
        boxed(Pen::Dashed, out + shoulder, out + long, end.bung.measure("spigot") / 2.0),
        boxed(Pen::Dashed, out, out + end.engagement, shank),
    ];
    for high in [shank, -shank] {
        items.push(Item::line(Pen::Wide, along.at(x(neck), high), along.at(x(out - nut), high)));
    }
    let tall = head + 2.0 / along.by;
    let cross = [along.at(pin, tall), along.at(pin, -tall)];
    items.push(Item::Line(Pen::Chain, vec![Edge::line(cross[0], cross[1])]));
    items
}

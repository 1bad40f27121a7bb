//! Pictures of the fit of a clevis: the parts between the ears, the gap bare and coated with its
//! worst case, how far the rod end tilts and rotates.

use crate::fit::Touched;
use crate::geom::Edge;
use crate::geom::Outline;
use crate::geom::Point;
use crate::geom::Vec2;
use crate::geom::heading;
use crate::job::Job;
use crate::num;
use crate::num::Angle;
use crate::paper;
use crate::paper::Ink;
use crate::paper::Item;
use crate::paper::LARGE;
use crate::paper::Pen;
use crate::paper::SMALL;
use crate::paper::Unit;
use crate::paper::Words;
use crate::paper::figure_text;
use crate::report::ClevisRow;

/// Tints of ears, of the ball and of the bars.
const EAR: f64 = 0.87;
const BALL: f64 = 0.95;
const BAR: f64 = 0.75;

/// Words with their centre at a place.
pub(super) fn centred(at: Point, words: Words) -> Item {
    let at = at - (words.length() / 2.0, 0.0);
    Item::Words(Words { at, ..words })
}

/// Plain small words.
pub(super) fn small(text: impl AsRef<str>) -> Words {
    Words::plain(Point::ZERO, SMALL, text)
}

/// Heavy words as high as is read at the machine.
pub(super) fn large(text: impl AsRef<str>) -> Words {
    Words::heavy(Point::ZERO, LARGE, text)
}

/// A rectangle as a loop.
pub(super) fn rectangle(min: Point, max: Point) -> Vec<Edge> {
    let corners = [min, Point::new(max.x, min.y), max, Point::new(min.x, max.y), min];
    corners.windows(2).map(|pair| Edge::line(pair[0], pair[1])).collect()
}

fn boxed(tone: f64, min: Point, max: Point) -> [Item; 2] {
    let edges = rectangle(min, max);
    [Item::Fill(tone, vec![edges.clone()]), Item::Line(Pen::Narrow, edges)]
}

/// The ears with spacers and ball between them, in a width.
pub(super) fn stack(job: &Job, row: &ClevisRow, width: f64) -> Unit {
    const HIGH: f64 = 16.0;
    let text = |mm: f64| figure_text(job.units, mm);
    let (gap, spacer) = (row.coated_gap.drawn_mm, row.spacer_mm);
    let wide = (width * 0.62).min(80.0);
    let by = wide / gap;
    let left = (width - wide) / 2.0;
    let (floor, top) = (-34.0, -34.0 + HIGH);
    let p = |x: f64, y: f64| Point::new(left + x, y);
    let mut items = Vec::new();
    items.extend(boxed(EAR, p(-10.0, floor - 2.0), p(0.0, top + 4.0)));
    items.extend(boxed(EAR, p(wide, floor - 2.0), p(wide + 10.0, top + 4.0)));
    let (play, low, high) = ((row.play_mm / 2.0).max(0.0) * by, floor + 3.0, top - 4.0);
    let ends = [play, play + spacer * by, wide - play - spacer * by, wide - play];
    if spacer > 0.0 {
        for pair in [[ends[0], ends[1]], [ends[2], ends[3]]] {
            items.push(Item::Area(Ink::Accent, vec![rectangle(p(pair[0], low), p(pair[1], high))]));
        }
    }
    items.extend(boxed(BALL, p(ends[1], low), p(ends[2], high)));
    items.push(centred(
        p(wide / 2.0, low + 3.2),
        small(format!("ball {}", text(row.ball_width_mm))),
    ));
    for x in [-5.0, wide + 5.0] {
        items.push(centred(p(x, floor - 6.0), small("ear").in_ink(Ink::Grey)));
    }
    let sum = match spacer > 0.0 {
        true => format!(
            "spacer {} + ball {} + spacer {} = {}",
            text(spacer),
            text(row.ball_width_mm),
            text(spacer),
            text(row.ball_width_mm + 2.0 * spacer)
        ),
        false => "no spacers".to_owned(),
    };
    // Between the words at the ears, or below them.
    let sum = small(sum);
    let free = wide + 10.0 - small("ear").length() - 2.0;
    let lower = if sum.length() > free { paper::PITCH } else { 0.0 };
    items.push(centred(p(wide / 2.0, floor - 6.0 - lower), sum));
    let line = top + 8.0;
    let (a, b) = (p(0.0, line), p(wide, line));
    items.push(Item::line(Pen::Narrow, a, b));
    for (tip, way) in [(a, -1.0), (b, 1.0)] {
        items.push(paper::arrow_head(tip, Vec2::new(way, 0.0)));
        items.push(Item::line(Pen::Narrow, tip - (0.0, 4.0), tip + (0.0, 1.5)));
    }
    let size = match row.coated_gap == row.bare_gap {
        true => text(gap),
        false => format!("{} coated, {} bare", text(gap), text(row.bare_gap.drawn_mm)),
    };
    items.push(centred(p(wide / 2.0, line + 1.4), large(size)));
    Unit::picture(43.0 + lower, items)
}

/// The gap bare and coated on a scale, with the worst case of all tolerances and the stack.
pub(super) fn ranges(job: &Job, row: &ClevisRow, width: f64) -> Unit {
    let text = |mm: f64| figure_text(job.units, mm);
    let stack = row.ball_width_mm + 2.0 * row.spacer_mm;
    let mut bars = vec![("bare", &row.bare_gap)];
    if row.coated_gap != row.bare_gap {
        bars.push(("coated", &row.coated_gap));
    }
    let all = bars.iter().flat_map(|(_, gap)| gap.worst_case_mm).chain([stack]);
    let (min, max) = all.fold((f64::MAX, f64::MIN), |(a, b), x| (a.min(x), b.max(x)));
    let (left, right) = (30.0, width - 16.0);
    let x = |mm: f64| left + (mm - min) / (max - min).max(1e-9) * (right - left);
    let mut items = Vec::new();
    let at_stack = x(stack);
    // The line of the stack is interrupted by the figures it would run through.
    let mut top = -3.4;
    let mut stack_line = Vec::new();
    for (i, (name, gap)) in bars.iter().enumerate() {
        let y = -13.0 - 11.0 * i as f64;
        let [low, high] = gap.worst_case_mm;
        items.extend(boxed(EAR, Point::new(x(low), y), Point::new(x(high), y + 4.4)));
        items.push(Item::Words(Words::heavy(Point::new(0.0, y + 1.0), SMALL, *name)));
        let middle = x(gap.drawn_mm);
        let ends = [y - 0.6, y + 5.0].map(|y| Point::new(middle, y));
        items.push(Item::line(Pen::Wide, ends[0], ends[1]));
        items.push(centred(
            Point::new(middle, y + 6.0),
            Words::heavy(Point::ZERO, SMALL, text(gap.drawn_mm)),
        ));
        let low_words = small(text(low));
        let at = Point::new(x(low) - low_words.length() - 1.0, y + 1.0);
        let over_words = at.x - 0.4 < at_stack && at_stack < at.x + low_words.length() + 0.4;
        if over_words {
            stack_line.push([top, y + 4.6]);
            top = y - 0.2;
        }
        items.push(Item::Words(Words { at, ..low_words }));
        items.push(Item::Words(Words {
            at: Point::new(x(high) + 1.0, y + 1.0),
            ..small(text(high))
        }));
    }
    let foot = -11.0 - 11.0 * bars.len() as f64;
    stack_line.push([top, foot + 5.0]);
    for [from, to] in stack_line.into_iter().filter(|[from, to]| from > to) {
        items.push(Item::line(Pen::Bend, Point::new(at_stack, from), Point::new(at_stack, to)));
    }
    let words = Words::heavy(Point::ZERO, SMALL, format!("stack {}", text(stack)));
    items.push(centred(
        Point::new(at_stack.max(words.length() / 2.0), -1.6),
        words.in_ink(Ink::Accent),
    ));
    Unit::picture(-foot - 3.0, items)
}

fn touches(what: Touched) -> String {
    match what {
        Touched::Ball => "limit of the ball".to_owned(),
        Touched::Nothing => "free".to_owned(),
        what => format!("touches the {what}"),
    }
}

/// How far the rod tilts between the ears, as a sector to either side.
pub(super) fn swing(row: &ClevisRow, width: f64) -> Unit {
    const LONG: f64 = 24.0;
    let foot = Point::new(width / 2.0, -32.0);
    let swing = &row.swing;
    let mut items = Vec::new();
    let ends = [foot, foot + (0.0, LONG + 4.0)];
    let sides = [
        (-1.0, swing.towards_bolt_head_deg, swing.touches, "bolt head"),
        (1.0, swing.towards_nut_deg, swing.touches_there, "nut"),
    ];
    let end = |side: f64, degrees: f64| {
        let angle = Angle::from_degrees(degrees);
        foot + Vec2::new(side * angle.sin(), angle.cos()) * LONG
    };
    let [left, right] = sides.map(|(side, degrees, ..)| end(side, degrees));
    let sweep = swing.towards_bolt_head_deg + swing.towards_nut_deg;
    let arc = Edge { from: right, to: left, bulge: Angle::from_degrees(sweep / 4.0).tan() };
    let sector = vec![Edge::line(foot, right), arc, Edge::line(left, foot)];
    items.push(Item::Fill(EAR, vec![sector]));
    items.push(Item::line(Pen::Chain, ends[0], ends[1]));
    for (side, degrees, what, towards) in sides {
        let tip = end(side, degrees);
        items.push(Item::line(Pen::Wide, foot, tip));
        let angle = large(format!("{}°", num::text(degrees, 1)));
        let lines = [small(format!("to the {towards}")).in_ink(Ink::Grey), small(touches(what))];
        let x = |words: &Words| match side < 0.0 {
            true => tip.x - 3.0 - words.length(),
            false => tip.x + 3.0,
        };
        let at = Point::new(x(&angle), -7.0);
        items.push(Item::Words(Words { at, ..angle }));
        for (words, y) in lines.into_iter().zip([-11.6, -15.9]) {
            let at = Point::new(x(&words), y);
            items.push(Item::Words(Words { at, ..words }));
        }
    }
    // The ears, their gap not to scale.
    for side in [-1.0, 1.0] {
        let inner = foot + (side * 7.0, 0.0);
        let corners = [inner + (0.0, -7.0), inner + (side * 4.0, 7.0)];
        let (min, max) = (
            Point::new(corners[0].x.min(corners[1].x), corners[0].y),
            Point::new(corners[0].x.max(corners[1].x), corners[1].y),
        );
        items.extend(boxed(EAR, min, max));
    }
    items.push(Item::Fill(1.0, vec![paper::circle(foot, 5.0)]));
    items.push(Item::Line(Pen::Wide, paper::circle(foot, 5.0)));
    Unit::picture(43.0, items)
}

/// How far the rod end rotates about its pin, over the outline of its ear with its foot below.
pub(super) fn rotation(
    row: &ClevisRow,
    ear: &Outline,
    pin: Point,
    points: f64,
    width: f64,
) -> Unit {
    const RADIUS: f64 = 14.0;
    const BAND: f64 = 5.0;
    let centre = Point::new(width / 2.0, -22.0);
    let bounds = ear.bounds();
    let by = (26.0 / bounds.height()).min(40.0 / bounds.width());
    let onto = |edge: &Edge| {
        let point = |p: Point| centre + (p - pin) * by;
        Edge { from: point(edge.from), to: point(edge.to), bulge: edge.bulge }
    };
    let edges: Vec<Edge> = ear.edges().map(|edge| onto(&edge)).collect();
    let mut items = vec![Item::Line(Pen::Wide, edges)];
    let rotation = &row.rotation;
    let both = [rotation.anticlockwise_deg.min(180.0), rotation.clockwise_deg.min(180.0)];
    let at = |degrees: f64, radius: f64| {
        let angle = Angle::from_degrees(90.0 + points + degrees);
        centre + heading(angle) * radius
    };
    for (side, degrees) in [(1.0, both[0]), (-1.0, both[1])] {
        // No arc of more than half a circle, and each side for itself.
        let bulge = side * Angle::from_degrees(degrees / 4.0).tan();
        let (inner, outer) = (RADIUS, RADIUS + BAND);
        let band = vec![
            Edge { from: at(0.0, outer), to: at(side * degrees, outer), bulge },
            Edge::line(at(side * degrees, outer), at(side * degrees, inner)),
            Edge { from: at(side * degrees, inner), to: at(0.0, inner), bulge: -bulge },
            Edge::line(at(0.0, inner), at(0.0, outer)),
        ];
        items.push(Item::Fill(EAR, vec![band]));
        items.push(Item::line(
            Pen::Wide,
            at(side * degrees, inner - 3.0),
            at(side * degrees, outer),
        ));
    }
    items.push(Item::line(Pen::Chain, at(0.0, 0.0), at(0.0, RADIUS + BAND + 2.0)));
    items.push(Item::Line(Pen::Narrow, paper::circle(centre, 2.0)));
    items.extend(rotation_words(row, centre, RADIUS + BAND + 4.0));
    // The foot of the ear is below the sector, or within it.
    let foot = paper::extent(&items).min.y;
    Unit::picture(3.0 - foot, items)
}

/// How far it rotates either way, and what it touches, beside the picture.
fn rotation_words(row: &ClevisRow, centre: Point, off: f64) -> Vec<Item> {
    let rotation = &row.rotation;
    let mut items = Vec::new();
    let sides = [
        ("anticlockwise", rotation.anticlockwise_deg, rotation.touches),
        ("clockwise", rotation.clockwise_deg, rotation.touches_there),
    ];
    for ((name, degrees, what), side) in sides.into_iter().zip([-1.0, 1.0]) {
        let angle = match what {
            Touched::Nothing => large("unlimited"),
            _ => large(format!("{}°", num::text(degrees, 1))),
        };
        let x = |words: &Words| match side < 0.0 {
            true => centre.x - off - words.length(),
            false => centre.x + off,
        };
        let angle_at = Point::new(x(&angle), -12.0);
        items.push(Item::Words(Words { at: angle_at, ..angle }));
        for (words, y) in
            [small(name).in_ink(Ink::Grey), small(touches(what))].into_iter().zip([-16.6, -20.9])
        {
            let at = Point::new(x(&words), y);
            items.push(Item::Words(Words { at, ..words }));
        }
    }
    items
}

/// A bar of a table, from its left end.
pub(super) fn bar(at: Point, length: f64, governs: bool) -> Item {
    let edges = rectangle(at, at + (length, 3.0));
    match governs {
        true => Item::Area(Ink::Accent, vec![edges]),
        false => Item::Fill(BAR, vec![edges]),
    }
}

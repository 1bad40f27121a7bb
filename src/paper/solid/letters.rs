//! Letters beside holes, labels of bodies beside the part, item numbers, names of faces.

use crate::geom::Bounds;
use crate::geom::Edge;
use crate::geom::Point;
use crate::geom::Vec2;
use crate::geom::heading;
use crate::geom::ring_sides;
use crate::num;
use crate::num::Angle;
use crate::paper::scene::Item;
use crate::paper::scene::Pen;
use crate::paper::scene::Words;
use crate::paper::sheet::LARGE;
use crate::paper::sheet::SMALL;
use crate::paper::solid::sheet::Sheet;
use crate::paper::solid::sheet::enters;
use crate::paper::straight::meet;
use crate::paper::tag::circle;

/// Between a letter and the edge of its hole, mm.
const OFF: f64 = 0.9;
/// Minimum radius of the circle round an item number, mm.
const CIRCLE: f64 = 3.2;

/// A dot within an item is preferred to one at its edge by this length of its leader, mm. Our
/// choice.
const ON_EDGE: f64 = 16.0;

/// Letters beside the edge of a hole.
#[derive(Clone, Debug)]
pub struct Letter {
    /// The text.
    pub text: String,
    /// Points along that edge, mm.
    pub edge: Vec<Point>,
}

/// Round a hole, the preferred place first.
const PLACES: [(f64, f64); 8] = [
    (0.7, 0.7),
    (-0.7, 0.7),
    (-0.7, -0.7),
    (0.7, -0.7),
    (1.0, 0.0),
    (-1.0, 0.0),
    (0.0, 1.0),
    (0.0, -1.0),
];

/// Draws the letters of holes, all of one height: small ones only if fewer are then missing, or off
/// their hole.
pub(super) fn place(sheet: &mut Sheet, letters: &[Letter], missing: &mut Vec<String>) {
    let mut best: Option<(Sheet, Placed)> = None;
    for height in [LARGE, SMALL] {
        let mut tried = sheet.clone();
        let placed = placed(&mut tried, letters, height);
        let is_done = placed.faults() == (0, 0);
        if best.as_ref().is_none_or(|(_, least)| placed.faults() < least.faults()) {
            best = Some((tried, placed));
        }
        if is_done {
            break;
        }
    }
    if let Some((tried, placed)) = best {
        *sheet = tried;
        missing.extend(placed.missing);
    }
}

/// How letters found room.
#[derive(Default)]
struct Placed {
    missing: Vec<String>,
    /// How many are off their hole, with a leader.
    far: usize,
}

impl Placed {
    /// What makes it worse than another, first the worst.
    fn faults(&self) -> (usize, usize) {
        (self.missing.len(), self.far)
    }
}

/// Draws the letters of holes at a height: beside the edge of each, else with a leader that crosses no
/// other hole.
fn placed(sheet: &mut Sheet, letters: &[Letter], height: f64) -> Placed {
    let sides = |letter: &Letter| ring_sides(&letter.edge).map(|(a, b)| [a, b]).collect();
    let edges: Vec<Vec<[Point; 2]>> = letters.iter().map(sides).collect();
    let mut all = Placed::default();
    for (i, letter) in letters.iter().enumerate() {
        let others: Vec<&[Point; 2]> =
            edges.iter().enumerate().filter(|(j, _)| *j != i).flat_map(|(_, edge)| edge).collect();
        let bounds = letter.edge.iter().fold(Bounds::EMPTY, |b, p| b.with(*p));
        let words = Words::heavy(Point::ZERO, height, &letter.text);
        let beside = PLACES.into_iter().find_map(|way| beside(sheet, &words, bounds, way, &others));
        if let Some(words) = beside {
            sheet.draw(Item::Words(words));
        } else if far(sheet, (letter, height), bounds, &others) {
            all.far += 1;
        } else {
            all.missing.push(letter.text.clone());
        }
    }
    all
}

/// Words on one side of a hole, if there is room.
fn beside(
    sheet: &Sheet,
    words: &Words,
    hole: Bounds,
    way: (f64, f64),
    others: &[&[Point; 2]],
) -> Option<Words> {
    let (half, high) = (words.length() / 2.0, words.height / 2.0);
    let reach = |share: f64, hole: f64, words: f64| {
        share * (hole / 2.0) + share.signum() * share.abs().ceil() * (OFF + words)
    };
    let centre = hole.centre()
        + Vec2::new(reach(way.0, hole.width(), half), reach(way.1, hole.height(), high));
    let words = words.clone().centred(centre);
    let corners = words.corners();
    let nearer = |line: &&&[Point; 2]| distance(line, centre) < distance_to(&hole, centre);
    let is_others = others.iter().any(|line| nearer(&line) || enters(line, &corners));
    (!is_others && sheet.is_free(&corners)).then_some(words)
}

fn distance([a, b]: &[Point; 2], p: Point) -> f64 {
    (Edge::line(*a, *b).nearest(p) - p).hypot()
}

fn distance_to(bounds: &Bounds, p: Point) -> f64 {
    bounds.distance(&Bounds { min: p, max: p })
}

/// Directions and distances round a place, near ones first.
fn around(max: f64) -> impl Iterator<Item = Vec2> {
    let rings = (max / 2.0) as u32;
    (1..=rings).flat_map(|ring| {
        (0..16).map(move |i| {
            let angle = Angle::from_degrees(45.0 + 22.5 * f64::from(i));
            heading(angle) * (2.0 + 2.0 * f64::from(ring))
        })
    })
}

/// A letter farther off, with a leader from the edge of its hole.
fn far(
    sheet: &mut Sheet,
    (letter, height): (&Letter, f64),
    hole: Bounds,
    others: &[&[Point; 2]],
) -> bool {
    let words = Words::heavy(Point::ZERO, height, &letter.text);
    let centre = hole.centre();
    let mut found: Option<(usize, [Point; 2], Words)> = None;
    for away in around(34.0) {
        let reach = |p: &Point| (*p - centre).dot(away);
        let Some(from) = letter.edge.iter().max_by(|a, b| reach(a).total_cmp(&reach(b))) else {
            return false;
        };
        let to = *from + away;
        let words = beyond(to, away, &words);
        let line = [*from + away.normalize() * 0.3, to];
        let is_bad =
            others.iter().any(|other| meet(&line, other) || enters(other, &words.corners()));
        if is_bad || sheet.is_over_words(&line) || !sheet.is_free(&words.corners()) {
            continue;
        }
        let crossed = sheet.crossed(&line);
        if found.as_ref().is_none_or(|(least, ..)| crossed < *least) {
            found = Some((crossed, line, words));
        }
        if crossed == 0 {
            break;
        }
    }
    let Some((_, leader, words)) = found else { return false };
    draw_led(sheet, leader, words);
    true
}

/// Words with their leader.
fn draw_led(sheet: &mut Sheet, [from, to]: [Point; 2], words: Words) {
    sheet.draw(Item::line(Pen::Narrow, from, to));
    sheet.draw(Item::Words(words));
}

/// Words just beyond the end of a leader.
fn beyond(end: Point, away: Vec2, words: &Words) -> Words {
    let away = away.normalize();
    let reach = |share: f64, half: f64| half * (share * 3.0).clamp(-1.0, 1.0);
    let (half, high) = (words.length() / 2.0, words.height / 2.0);
    words.clone().centred(end + away * 0.8 + Vec2::new(reach(away.x, half), reach(away.y, high)))
}

/// A label with a leader to one of some places; says whether there was room.
pub(super) fn lead(sheet: &mut Sheet, words: &Words, places: &[Point]) -> bool {
    let mut best: Option<(usize, [Point; 2], Words)> = None;
    for place in places {
        for away in around(26.0) {
            let to = *place + away;
            let words = beyond(to, away, words);
            let line = [*place, to];
            if sheet.is_over_words(&line) || !sheet.is_free(&words.corners()) {
                continue;
            }
            let middle = words.corners()[0].midpoint(words.corners()[2]);
            let worse = 2 * sheet.crossed(&[*place + away * 0.1, to])
                + 6 * usize::from(sheet.is_on_part(middle));
            if best.as_ref().is_none_or(|(least, ..)| worse < *least) {
                best = Some((worse, line, words));
            }
        }
        if best.as_ref().is_some_and(|(worse, ..)| *worse == 0) {
            break;
        }
    }
    let Some((_, leader, words)) = best else { return false };
    draw_led(sheet, leader, words);
    true
}

/// An item number in a circle beside the part, with a leader that ends in a dot on the item.
pub(super) fn number(sheet: &mut Sheet, text: &str, places: &[Point]) -> bool {
    let words = Words::heavy(Point::ZERO, LARGE, text);
    // Two figures take a larger circle.
    let circled = CIRCLE.max(num::hypot(words.length() / 2.0, LARGE * 0.65) + 0.5);
    let mut best: Option<(f64, Point, Point)> = None;
    for place in places {
        // A dot on an edge is on two items.
        let dot = [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)].map(|by| *place + by);
        let edge = if sheet.lines_under(&dot) > 0 { ON_EDGE } else { 0.0 };
        for away in around(60.0) {
            if best.as_ref().is_some_and(|(least, ..)| away.hypot() + edge >= *least) {
                break;
            }
            let centre = *place + away;
            let corners = square(centre, circled);
            let line = [*place, centre - away.normalize() * circled];
            let is_out = corners.iter().chain([&centre]).any(|p| sheet.is_on_part(*p));
            if is_out || sheet.is_over_words(&line) || !sheet.is_free(&corners) {
                continue;
            }
            let worse = away.hypot() + 3.0 * sheet.crossed(&line) as f64 + edge;
            if best.as_ref().is_none_or(|(least, ..)| worse < *least - 1e-9) {
                best = Some((worse, *place, centre));
            }
        }
    }
    let Some((_, place, centre)) = best else { return false };
    let end = centre + (place - centre).normalize() * circled;
    sheet.draw(Item::line(Pen::Narrow, place, end));
    sheet.under(Item::Fill(0.0, vec![circle(place, 0.6)]));
    sheet.draw(Item::Line(Pen::Narrow, circle(centre, circled)));
    sheet.draw(Item::Words(words.centred(centre)));
    true
}

fn square(centre: Point, half: f64) -> [Point; 4] {
    [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)].map(|(x, y)| centre + (x * half, y * half))
}

/// The name of a face on its visible part, if there is room.
pub(super) fn name(sheet: &mut Sheet, text: &str, places: &[Point]) {
    let words = Words::plain(Point::ZERO, SMALL, text).made_grey();
    let found = places.iter().map(|p| words.clone().centred(*p)).find(|words| {
        let corners = words.corners();
        sheet.is_free(&corners) && corners.iter().all(|p| sheet.is_on_part(*p))
    });
    if let Some(words) = found {
        sheet.draw(Item::Words(words));
    }
}

//! Letters beside holes, labels of bodies beside the part, item numbers, names of faces.

use crate::geom::Bounds;
use crate::geom::Edge;
use crate::geom::Point;
use crate::geom::Vec2;
use crate::geom::heading;
use crate::geom::ring_sides;
use crate::num;
use crate::num::Angle;
use crate::paper::font;
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

/// Between a leader and its words, mm.
const GAP: f64 = 0.8;

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
    /// The face it is in, as a place in the list of names.
    pub face: usize,
}

/// The visible places of the faces, by which a letter is kept off a face that its hole is not in.
pub(super) struct Ground(Vec<Vec<Point>>);

impl Ground {
    pub(super) fn new(faces: Vec<Vec<Point>>) -> Self {
        Self(faces)
    }

    /// Whether the face seen at a place is another than one.
    fn is_other(&self, sheet: &Sheet, face: usize, at: Point) -> bool {
        let far = |places: &Vec<Point>| {
            places.iter().map(|p| (*p - at).hypot2()).fold(f64::INFINITY, f64::min)
        };
        let Some(own) = self.0.get(face).map(far).filter(|_| sheet.is_on_part(at)) else {
            return false;
        };
        let mut others = self.0.iter().enumerate().filter(|(other, _)| *other != face);
        others.any(|(_, places)| far(places) < own)
    }
}

/// A letter beside its hole is nearer to it by this factor than to any other. Our choice.
const NEARER: f64 = 0.6;

/// A leader keeps this far off other holes, mm.
const BESIDE: f64 = 0.7;

/// A line that a leader crosses counts as much as this length of it, another leader as much as that,
/// mm. Our choice.
const CROSSING: f64 = 3.0;
const LEADER: f64 = 40.0;

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
pub(super) fn place(
    sheet: &mut Sheet,
    letters: &[Letter],
    ground: &Ground,
    missing: &mut Vec<String>,
) {
    let mut best: Option<(Sheet, Placed)> = None;
    for height in [LARGE, SMALL] {
        let mut tried = sheet.clone();
        let placed = placed(&mut tried, letters, ground, height);
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
fn placed(sheet: &mut Sheet, letters: &[Letter], ground: &Ground, height: f64) -> Placed {
    let sides = |letter: &Letter| ring_sides(&letter.edge).map(|(a, b)| [a, b]).collect();
    let edges: Vec<Vec<[Point; 2]>> = letters.iter().map(sides).collect();
    let mut all = Placed::default();
    let mut leaders: Vec<[Point; 2]> = Vec::new();
    for (i, letter) in letters.iter().enumerate() {
        let others: Vec<&[Point; 2]> =
            edges.iter().enumerate().filter(|(j, _)| *j != i).flat_map(|(_, edge)| edge).collect();
        let bounds = letter.edge.iter().fold(Bounds::EMPTY, |b, p| b.with(*p));
        let words = Words::heavy(Point::ZERO, height, &letter.text);
        let is_own = |words: &Words| !ground.is_other(sheet, letter.face, middle(words));
        let mut beside =
            PLACES.into_iter().filter_map(|way| beside(sheet, &words, bounds, way, &others));
        if let Some(words) = beside.find(is_own) {
            sheet.draw(Item::Words(words));
        } else if let Some(leader) = far(sheet, (letter, &words), bounds, (&others, &leaders)) {
            leaders.push(leader);
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
    let nearer = |line: &&&[Point; 2]| NEARER * distance(line, centre) < distance_to(&hole, centre);
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

/// A letter farther off, with a leader from the edge of its hole: a short one that crosses as few lines
/// as can be, and keeps off other holes.
fn far(
    sheet: &mut Sheet,
    (letter, words): (&Letter, &Words),
    hole: Bounds,
    (others, leaders): (&[&[Point; 2]], &[[Point; 2]]),
) -> Option<[Point; 2]> {
    let centre = hole.centre();
    let mut found: Option<(f64, [Point; 2], Words)> = None;
    for away in around(34.0) {
        if found.as_ref().is_some_and(|(least, ..)| *least <= away.hypot()) {
            break;
        }
        let reach = |p: &Point| (*p - centre).dot(away);
        let from = *letter.edge.iter().max_by(|a, b| reach(a).total_cmp(&reach(b)))?;
        let to = from + away;
        let words = beyond(to, away, words);
        let way = away.normalize();
        let line = [from + way * 0.3, to];
        let side = Vec2::new(-way.y, way.x) * BESIDE;
        let lane = [line, line.map(|p| p + side), line.map(|p| p - side)];
        let is_bad = others.iter().any(|other| {
            lane.iter().any(|line| meet(line, other)) || enters(other, &words.corners())
        });
        if is_bad || sheet.is_over_words(&line) || !sheet.is_free(&words.corners()) {
            continue;
        }
        let over = leaders.iter().filter(|leader| meet(&line, leader)).count();
        let cost = away.hypot() + CROSSING * sheet.crossed(&line) as f64 + LEADER * over as f64;
        if found.as_ref().is_none_or(|(least, ..)| cost < *least - 1e-9) {
            found = Some((cost, line, words));
        }
    }
    let (_, leader, words) = found?;
    draw_led(sheet, leader, words);
    Some(leader)
}

/// The centre of words.
fn middle(words: &Words) -> Point {
    words.corners()[0].midpoint(words.corners()[2])
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
    // Above a leader there is room for what hangs below the line of the words.
    let (below, _) = font::reach(words.height);
    let up = reach(away.y, high) + reach(away.y, (below - GAP).max(0.0)).max(0.0);
    words.clone().centred(end + away * GAP + Vec2::new(reach(away.x, half), up))
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
            let worse = 2 * sheet.crossed(&[*place + away * 0.1, to])
                + 6 * usize::from(sheet.is_on_part(middle(&words)));
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

#[cfg(test)]
mod tests {
    use super::*;

    /// A plate of 100 by 60 as a picture.
    fn plate() -> Sheet {
        let frame = Bounds { min: Point::ZERO, max: Point::new(100.0, 60.0) };
        let corners = [(0.0, 0.0), (100.0, 0.0), (100.0, 60.0), (0.0, 60.0)];
        Sheet::new(frame, &[corners.map(Point::from).to_vec()])
    }

    fn hole(text: &str, x: f64) -> Letter {
        let edge = (0..16)
            .map(|i| Point::new(x, 30.0) + heading(Angle::from_degrees(22.5 * f64::from(i))) * 2.0);
        Letter { text: text.to_owned(), edge: edge.collect(), face: 0 }
    }

    /// The centres of the words that were drawn.
    fn centres(sheet: Sheet) -> Vec<Point> {
        let of = |item: Item| match item {
            Item::Words(words) => Some(middle(&words)),
            _ => None,
        };
        sheet.into_items().into_iter().filter_map(of).collect()
    }

    #[test]
    fn a_letter_is_not_put_on_a_face_that_its_hole_is_not_in() {
        let side = |from: f64| -> Vec<Point> {
            let at =
                |i: usize| Point::new(from + (i % 10) as f64 * 5.0, (i / 10) as f64 * 6.0 + 3.0);
            (0..100).map(at).collect()
        };
        // The faces meet at 50: to the right of the hole is the other one.
        let faces = vec![side(2.5), side(52.5)];
        let at = |faces: Vec<Vec<Point>>| {
            let (mut sheet, mut missing) = (plate(), Vec::new());
            place(&mut sheet, &[hole("A1", 45.0)], &Ground::new(faces), &mut missing);
            assert!(missing.is_empty(), "{missing:?}");
            centres(sheet)[0].x
        };
        assert!(at(faces) < 50.0);
        assert!(at(vec![side(2.5)]) > 50.0 - 1.0, "with one face alone it is where it usually is");
    }

    #[test]
    fn a_letter_between_two_holes_is_clearly_nearer_to_its_own() {
        let holes = [hole("B1", 40.0), hole("B2", 50.0)];
        let (mut sheet, mut missing) = (plate(), Vec::new());
        place(&mut sheet, &holes, &Ground::new(Vec::new()), &mut missing);
        assert!(missing.is_empty(), "{missing:?}");
        for (i, at) in centres(sheet).into_iter().enumerate() {
            let far = |hole: &Letter| (at - Point::new(hole.edge[0].x - 2.0, 30.0)).hypot() - 2.0;
            let [own, other] = [&holes[i], &holes[1 - i]].map(far);
            assert!(own < 0.7 * other, "{i}: {own} {other}");
        }
    }
}

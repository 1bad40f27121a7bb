//! Outside dimensions along the edges of a formed part.

use crate::geom::Point;
use crate::geom::Vec2;
use crate::num::Angle;
use crate::paper::running;
use crate::paper::running::ARROW;
use crate::paper::scene::Item;
use crate::paper::scene::Note;
use crate::paper::scene::Pen;
use crate::paper::scene::Reading;
use crate::paper::scene::Words;
use crate::paper::sheet::LARGE;
use crate::paper::sheet::SMALL;
use crate::paper::solid::sheet;
use crate::paper::solid::sheet::Sheet;

/// Distances tried from an edge to its dimension line, mm.
const OFFS: [f64; 6] = [5.5, 8.0, 11.0, 14.0, 17.0, 20.0];
/// Between the part and a line that leads from it, and how far that runs on, mm.
const LEAD: [f64; 2] = [0.8, 1.2];
/// Penalty of a line over the part or its lines, as a distance in mm.
const OVER: f64 = 24.0;
const CROSSING: f64 = 4.0;
/// Penalty of smaller letters, as a distance in mm.
const SMALLER: f64 = 6.0;
/// Worse than this a size is not drawn.
const WORST: f64 = 48.0;

/// A size between two places of the picture.
#[derive(Clone, Debug, PartialEq)]
pub struct Size {
    /// The two places, in pairs: one pair for each edge along which the size can be dimensioned,
    /// with the direction away from the part there.
    pub ways: Vec<([Point; 2], Vec2)>,
    /// For each of these pairs the line from the part to its second place, where that is off it;
    /// empty where all are on it.
    pub bridges: Vec<[Point; 2]>,
    /// The text.
    pub words: String,
}

impl Size {
    /// A size along edges of the part.
    pub fn along(ways: Vec<([Point; 2], Vec2)>, words: String) -> Self {
        Self { ways, bridges: Vec::new(), words }
    }
}

/// One way to draw a size.
struct Drawn {
    cost: f64,
    /// What it is taken from.
    feet: [Point; 2],
    from: Point,
    to: Point,
    leads: [[Point; 2]; 2],
    bridge: Option<[Point; 2]>,
    words: Words,
}

/// Draws the sizes; a feature dimensioned along a direction is not dimensioned again along it.
pub(super) fn place(
    sheet: &mut Sheet,
    sizes: &[Size],
    place: &impl Fn(&Point) -> Point,
    missing: &mut Vec<String>,
) {
    let mut known: Vec<(&str, Vec2)> = Vec::new();
    for size in sizes {
        let Some(([from, to], _)) = size.ways.first() else { continue };
        let along = *to - *from;
        let is_known = known.iter().any(|(words, other)| {
            *words == size.words && other.cross(along).abs() < 1e-3 * along.hypot2()
        });
        if is_known {
            continue;
        }
        match best(sheet, size, place) {
            Some(drawn) => {
                draw(sheet, drawn);
                known.push((&size.words, along));
            }
            None => missing.push(size.words.clone()),
        }
    }
}

fn best(sheet: &Sheet, size: &Size, place: &impl Fn(&Point) -> Point) -> Option<Drawn> {
    let mut best: Option<Drawn> = None;
    for (i, (ends, away)) in size.ways.iter().enumerate() {
        let bridge = size.bridges.get(i).map(|ends| ends.each_ref().map(place));
        let feet = ends.each_ref().map(place);
        if (feet[1] - feet[0]).hypot() < 1.0 {
            continue;
        }
        // Measured square to the line: a direction beside it leads nowhere.
        let across = away.cross((feet[1] - feet[0]).normalize()).abs();
        if across < 0.25 {
            continue;
        }
        for off in OFFS {
            if best.as_ref().is_some_and(|best| best.cost <= off) {
                break;
            }
            let reach = *away * (off / across.max(0.6));
            for found in drawn(sheet, feet, reach, &size.words) {
                let cost = found.cost + off;
                if cost < WORST && best.as_ref().is_none_or(|best| cost < best.cost - 1e-9) {
                    let feet = [feet[0], bridge.map_or(feet[1], |[metal, _]| metal)];
                    best = Some(Drawn { cost, feet, bridge, ..found });
                }
            }
        }
    }
    best
}

/// The ways to draw a size at a distance.
fn drawn(sheet: &Sheet, feet: [Point; 2], reach: Vec2, text: &str) -> Vec<Drawn> {
    let [from, to] = feet.map(|p| p + reach);
    let (along, out) = ((to - from).normalize(), reach.normalize());
    let leads = [(feet[0], from), (feet[1], to)]
        .map(|(foot, end)| [foot + out * LEAD[0], end + out * LEAD[1]]);
    let is_short = (to - from).hypot() < 2.5 * ARROW;
    let beyond = if is_short { along * (2.0 * ARROW) } else { Vec2::ZERO };
    let line = [from - beyond, to + beyond];
    let all = [line, leads[0], leads[1]];
    let is_bad = sheet.crossed(&line) > 0
        || leads.iter().any(|lead| sheet.share_on_part(*lead) > 0.5)
        || sheet.share_on_part(line) > 0.0
        || all.iter().any(|l| sheet.is_over_words(l))
        || line.iter().any(|p| !sheet.contains(*p));
    if is_bad {
        return Vec::new();
    }
    let mut cost = 0.0;
    for lead in &leads {
        cost += OVER * sheet.share_on_part(*lead) + CROSSING * sheet.crossed(lead) as f64;
    }
    let mut found = Vec::new();
    for (height, worse) in [(LARGE, 0.0), (SMALL, SMALLER)] {
        let words = Words { reading: reading(along), ..Words::plain(Point::ZERO, height, text) };
        let normal = Vec2::new(-along.y, along.x);
        let side = if normal.dot(out) > 0.0 { normal } else { -normal };
        // Words that reach over the arrows keep off these as well.
        let beside = if words.length() > (to - from).hypot() - 2.0 * ARROW { 1.5 } else { 1.1 };
        let middle = from.midpoint(to) + side * (height / 2.0 + beside);
        let past = words.length() / 2.0 + 1.2 + if is_short { 2.0 * ARROW } else { 0.0 };
        let centres = [(middle, 0.0), (to + along * past, 2.0), (from - along * past, 2.0)];
        for (centre, more) in centres {
            let words = words.clone().centred(centre);
            let corners = words.corners();
            let own = all.iter().any(|l| sheet::enters(l, &corners));
            let on_part = corners.iter().chain([&centre]).any(|p| sheet.is_on_part(*p));
            if !own && !on_part && sheet.is_free(&corners) {
                let cost = cost + worse + more;
                found.push(Drawn { cost, feet, from, to, leads, bridge: None, words });
            }
        }
    }
    found
}

/// Along a line, from left to right.
fn reading(along: Vec2) -> Reading {
    let degrees = Angle::of(along.x, along.y).degrees();
    let upright = if degrees > 90.0 - 0.05 {
        degrees - 180.0
    } else if degrees <= -90.0 - 0.05 {
        degrees + 180.0
    } else {
        degrees
    };
    // Text on an upright line is read from the right.
    let upright = if (upright + 90.0).abs() < 0.1 { 90.0 } else { upright };
    #[expect(clippy::cast_possible_truncation, reason = "at most 900")]
    Reading::Slanting((upright * 10.0).round() as i16)
}

fn draw(sheet: &mut Sheet, drawn: Drawn) {
    let Drawn { feet, from, to, leads, bridge, words, .. } = drawn;
    let along = (to - from).normalize();
    let is_inside = (to - from).hypot() > 2.5 * ARROW;
    let mut items = vec![Item::line(Pen::Narrow, from, to)];
    for (end, way) in [(from, -along), (to, along)] {
        let way = if is_inside { way } else { -way };
        items.push(running::arrow_head(end, way));
        if !is_inside {
            items.push(Item::line(Pen::Narrow, end, end - way * (2.0 * ARROW)));
        }
    }
    for [a, b] in leads.into_iter().chain(bridge) {
        items.push(Item::line(Pen::Narrow, a, b));
    }
    let text = words.text.clone();
    items.push(Item::Words(words));
    sheet.draw(Item::Noted(Note { kind: "size", text, feet: feet.to_vec(), scale: 1.0 }, items));
}

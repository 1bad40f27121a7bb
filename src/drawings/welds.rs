//! Edges that are welded, with symbols after ISO 2553, system A (from memory).

use crate::drawings::mates;
use crate::geom::Edge;
use crate::geom::NEAR;
use crate::geom::Place;
use crate::geom::Point;
use crate::geom::Region;
use crate::geom::Vec2;
use crate::job::Job;
use crate::paper;
use crate::paper::EdgeNote;
use crate::paper::Item;
use crate::paper::Pen;
use crate::paper::SMALL;
use crate::paper::Tag;
use crate::paper::Words;
use crate::paper::figure_text;
use crate::part::Bevel;
use crate::part::Weld;
use crate::recipe::BevelSides;
use crate::solve::Solved;

/// The welded edges of a part, each with its symbol, where a place brings the flat.
pub(super) fn notes(job: &Job, solved: &Solved, place: &Place) -> Vec<EdgeNote> {
    let mut notes = Vec::new();
    for (face, of_face) in solved.part.faces.iter().zip(&solved.flat.places) {
        for weld in &face.welds {
            let bevel = face.bevels.iter().find(|bevel| bevel.edge == weld.edge);
            let on_flat: Vec<Edge> = weld.stretches.iter().map(|e| e.moved(of_face)).collect();
            let cut = on_flat.iter().flat_map(|edge| left(&solved.flat.region, edge));
            let mut edges: Vec<Edge> = cut.map(|edge| edge.moved(place)).collect();
            if edges.is_empty() {
                edges = on_flat.iter().map(|edge| edge.moved(place)).collect();
            }
            let ring = if goes_round(weld) { RING } else { 0.0 };
            let mate = mates::words(job, face, weld, solved.part.thickness);
            notes.push(EdgeNote { edges, tag: symbol(job, weld, bevel, mate), ring });
        }
    }
    notes
}

/// What of an edge, with the metal to its left, the flat ends at: without what reliefs, holes and
/// bends have taken of it. An arrow points there.
fn left(flat: &Region, edge: &Edge) -> Vec<Edge> {
    const STEPS: u32 = 128;
    /// How far off the edge visibility is tested, mm.
    const BESIDE: f64 = 0.02;
    let share = |i: u32| f64::from(i) / f64::from(STEPS);
    let is_edge = |i: u32| {
        let middle = share(i) + share(1) / 2.0;
        let along = edge.between(share(i), share(i + 1)).direction_at_start();
        let off = Vec2::new(-along.y, along.x) * BESIDE;
        let at = edge.point_at(middle);
        flat.contains(at + off) && !flat.contains(at - off)
    };
    let all: Vec<u32> = (0..STEPS).filter(|i| is_edge(*i)).collect();
    let runs = all.chunk_by(|a, b| a + 1 == *b);
    runs.map(|run| edge.between(share(run[0]), share(run[run.len() - 1] + 1))).collect()
}

/// Whether a seam has no end: right round the plate, or along the whole of an outline.
fn goes_round(weld: &Weld) -> bool {
    let next = weld.stretches.iter().cycle().skip(1);
    let closes = |(a, b): (&Edge, &Edge)| (b.from - a.to).hypot() < NEAR;
    weld.all_round || (!weld.stretches.is_empty() && weld.stretches.iter().zip(next).all(closes))
}

/// The symbol of a seam alone, with the circle if it is all round.
pub(super) fn alone(job: &Job, weld: &Weld, bevel: Option<&Bevel>) -> Vec<Item> {
    let mut items = symbol(job, weld, bevel, None).items;
    if goes_round(weld) {
        items.push(Item::Line(Pen::Narrow, paper::circle(Point::ZERO, RING)));
    }
    items
}

/// The parts of a symbol on one side of the plate.
#[derive(Clone, Copy, PartialEq)]
enum Sign {
    /// An upright and a slanting line.
    Groove,
    /// A triangle.
    Fillet,
}

/// The signs on a side with their sizes, from the plate outwards.
type Stack = Vec<(Sign, String)>;

/// Height of a sign, mm.
const SIGN: f64 = 3.2;

/// How far the dashed line is below the reference line, mm.
const BELOW: f64 = -1.1;
/// Width of the words below a symbol, mm.
const NOTE: f64 = 34.0;
/// Radius of the circle of a weld all round, mm.
const RING: f64 = 1.25;

/// The welds of the top side, which the arrow points at, and of the bottom side: a groove wherever
/// the edge is bevelled; a fillet on it if the weld has a leg.
fn stacks(job: &Job, weld: &Weld, bevel: Option<&Bevel>) -> [Stack; 2] {
    let size = |letter, mm| format!("{letter}{}", figure_text(job.units, mm));
    let leg = weld.leg.map(|leg| size("z", leg)).unwrap_or_default();
    let on_both = weld.sides == 2 && !weld.all_round;
    [BevelSides::Up, BevelSides::Down].map(|side| {
        let groove = bevel.filter(|bevel| [side, BevelSides::Both].contains(&bevel.sides));
        let fillet = match bevel {
            None => side == BevelSides::Up || on_both,
            Some(_) => weld.leg.is_some() && (groove.is_some() || on_both),
        };
        let groove = groove.map(|bevel| (Sign::Groove, size("h", bevel.depth)));
        groove.into_iter().chain(fillet.then(|| (Sign::Fillet, leg.clone()))).collect()
    })
}

/// Reference line, the signs of either side with their sizes before them, and below it the
/// adjoining body, if known, and remarks. If the sides differ, the sign of the bottom side is on a
/// dashed line.
fn symbol(job: &Job, weld: &Weld, bevel: Option<&Bevel>, mate: Option<String>) -> Tag {
    let at = |x: f64, y: f64| Point::new(x, y);
    let stacks = stacks(job, weld, bevel);
    // A seam that is the same on both sides of the plate, or all round, needs no line for the other
    // side.
    let round = weld.all_round && bevel.is_none();
    let alike = round || stacks[0] == stacks[1];
    let sizes = stacks.iter().flatten();
    let sizes = sizes.map(|(_, size)| Words::heavy(Point::ZERO, SMALL, size).length());
    let foot = RING + 1.2 + sizes.fold(0.0, f64::max) + 0.6;
    let below = [mate.unwrap_or_default(), note(weld, bevel), without_leg(weld, bevel).to_owned()];
    let below: Vec<String> = below.into_iter().filter(|words| !words.is_empty()).collect();
    let below = paper::wrapped(&below.join("; "), NOTE);
    let below = below.iter().map(|line| Words::plain(Point::ZERO, SMALL, line));
    let below: Vec<Words> = below.collect();
    let start = if goes_round(weld) { RING } else { 0.0 };
    // As long as the text below it: its leader may start at either end.
    let wide = below.iter().map(Words::length).fold(0.0, f64::max);
    let long = (foot + SIGN + 3.0).max(start + 0.6 + wide + start);
    let mut items = vec![Item::line(Pen::Narrow, at(start, 0.0), at(long, 0.0))];
    if !alike {
        items.push(Item::line(Pen::Dashed, at(start, BELOW), at(long, BELOW)));
    }
    let lines = if alike { [0.0; 2] } else { [0.0, BELOW] };
    for ((stack, line), out) in stacks.iter().zip(lines).zip([1.0, -1.0]) {
        for ((sign, size), k) in stack.iter().zip(0u32..) {
            let base = line + out * SIGN * f64::from(k);
            // The upright of a sign is on the left on either side.
            let (root, top) = (at(foot, base), base + out * SIGN);
            match sign {
                Sign::Groove => {
                    items.push(Item::line(Pen::Narrow, root, at(foot, top)));
                    items.push(Item::line(Pen::Narrow, root, at(foot + SIGN, top)));
                }
                Sign::Fillet => {
                    let corners = [root, at(foot + SIGN, base), at(foot, top)];
                    items.push(Item::Line(Pen::Narrow, ring(&corners)));
                }
            }
            let words = if out > 0.0 { base + 0.7 } else { base - 3.2 };
            items.push(Item::Words(Words::heavy(at(RING + 1.2, words), SMALL, size)));
        }
    }
    let lowest = stacks[1].len() as f64 * SIGN + if alike { 0.0 } else { -BELOW };
    for (words, k) in below.into_iter().zip(0u32..) {
        let down = lowest + 1.0 + SMALL + paper::PITCH * f64::from(k);
        items.push(Item::Words(Words { at: at(start + 0.6, -down), ..words }));
    }
    Tag { items }
}

/// Whether a weld is a fillet without a leg.
pub(super) fn is_unsized(weld: &Weld, bevel: Option<&Bevel>) -> bool {
    weld.leg.is_none() && bevel.is_none()
}

/// Said where a fillet has no leg.
fn without_leg(weld: &Weld, bevel: Option<&Bevel>) -> &'static str {
    if is_unsized(weld, bevel) { "leg not given" } else { "" }
}

fn ring(corners: &[Point]) -> Vec<Edge> {
    let next = corners.iter().cycle().skip(1);
    corners.iter().zip(next).map(|(a, b)| Edge::line(*a, *b)).collect()
}

/// The recipe's further notes, except those that the symbol shows.
fn note(weld: &Weld, bevel: Option<&Bevel>) -> String {
    let shown = match (weld.all_round, weld.sides) {
        (true, _) => "all round",
        (_, 1) => "one side",
        _ => "both sides",
    };
    let note = weld.note.replace(shown, "");
    let note = note.trim_matches([' ', ',', ';', '.']).to_owned();
    // A fillet on one side of a plate, which cannot be identified.
    let one = weld.sides == 1 && !weld.all_round && bevel.is_none();
    match (one, note.is_empty()) {
        (true, true) => "one side".into(),
        (true, false) => format!("one side; {note}"),
        _ => note,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diag::Sources;
    use crate::diag::Span;
    use crate::geom;

    #[test]
    fn an_arrow_points_only_where_metal_ends() {
        // The foot of a plate of 100 by 50, with a relief of 20 in its centre.
        let middle = Point::new(50.0, 25.0);
        let plate = geom::rectangle(middle, 100.0, 50.0, 0.0).expect("it has an area");
        let relief = geom::rectangle(Point::new(50.0, 0.0), 20.0, 20.0, 0.0).expect("it has one");
        let flat = Region::solid(plate).without(&relief).expect("it is cut");
        let foot = Edge::line(Point::ZERO, Point::new(100.0, 0.0));
        let ends: Vec<[f64; 2]> = left(&flat, &foot).iter().map(|e| [e.from.x, e.to.x]).collect();
        let [[a, b], [c, d]] = ends[..] else { panic!("{ends:?}") };
        assert!(a.abs() < 1e-9 && (b - 40.0).abs() < 1.0, "{ends:?}");
        assert!((c - 60.0).abs() < 1.0 && (d - 100.0).abs() < 1e-9, "{ends:?}");
        assert!(left(&flat, &foot.reversed()).is_empty(), "there the metal is on the other side");
    }

    #[test]
    fn a_seam_along_a_whole_outline_goes_round() {
        let source = Sources::default().add("recipe.toml", "");
        let weld = |stretches: Vec<Edge>| Weld {
            edge: "tube".into(),
            stretches,
            sides: 2,
            all_round: false,
            leg: None,
            room: None,
            note: String::new(),
            span: Span { source, start: 0, end: 0 },
            depends: Vec::new(),
        };
        let circle = paper::circle(Point::ZERO, 30.0);
        assert!(goes_round(&weld(circle.clone())));
        assert!(!goes_round(&weld(vec![circle[0]])) && !goes_round(&weld(Vec::new())));
    }
}

//! Edges that are welded, with symbols after ISO 2553, system A (from memory).

use crate::geom::Edge;
use crate::geom::Place;
use crate::geom::Point;
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
            let moved = |edge: &Edge| edge.moved(of_face).moved(place);
            let edges = weld.stretches.iter().map(moved).collect();
            let ring = if weld.all_round { RING } else { 0.0 };
            notes.push(EdgeNote { edges, tag: symbol(job, weld, bevel), ring });
        }
    }
    notes
}

/// What a symbol has on one side of the plate.
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

/// What is welded on the top side, which the arrow points at, and on the bottom side: a groove
/// wherever the edge is bevelled; a fillet on it where the weld has a leg.
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

/// Reference line, the signs of either side with their sizes before them, and what else is to
/// know below. Where the sides differ, what is on the bottom side hangs on a dashed line.
fn symbol(job: &Job, weld: &Weld, bevel: Option<&Bevel>) -> Tag {
    let at = |x: f64, y: f64| Point::new(x, y);
    let stacks = stacks(job, weld, bevel);
    // A seam that is alike on both sides of the plate needs no line for the other side.
    let alike = stacks[0] == stacks[1];
    let sizes = stacks.iter().flatten();
    let sizes = sizes.map(|(_, size)| Words::heavy(Point::ZERO, SMALL, size).length());
    let foot = RING + 1.2 + sizes.fold(0.0, f64::max) + 0.6;
    let long = foot + SIGN + 3.0;
    let start = if weld.all_round { RING } else { 0.0 };
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
    let below = [note(weld, bevel), unsaid(weld, bevel).to_owned()];
    let below: Vec<String> = below.into_iter().filter(|words| !words.is_empty()).collect();
    let below = below.join("; ");
    if !below.is_empty() {
        for (line, k) in paper::wrapped(&below, NOTE).iter().zip(0u32..) {
            let down = lowest + 1.0 + SMALL + paper::PITCH * f64::from(k);
            items.push(Item::Words(Words::plain(at(start + 0.6, -down), SMALL, line)));
        }
    }
    Tag { items }
}

/// Said where a fillet has no leg.
fn unsaid(weld: &Weld, bevel: Option<&Bevel>) -> &'static str {
    if weld.leg.is_none() && bevel.is_none() { "leg not given" } else { "" }
}

fn ring(corners: &[Point]) -> Vec<Edge> {
    let next = corners.iter().cycle().skip(1);
    corners.iter().zip(next).map(|(a, b)| Edge::line(*a, *b)).collect()
}

/// What else the recipe says, but for what the symbol shows.
fn note(weld: &Weld, bevel: Option<&Bevel>) -> String {
    let shown = match (weld.all_round, weld.sides) {
        (true, _) => "all round",
        (_, 1) => "one side",
        _ => "both sides",
    };
    let note = weld.note.replace(shown, "");
    let note = note.trim_matches([' ', ',', ';', '.']).to_owned();
    // A fillet on one side of a plate that nothing tells which of the two it is.
    let one = weld.sides == 1 && !weld.all_round && bevel.is_none();
    match (one, note.is_empty()) {
        (true, true) => "one side".into(),
        (true, false) => format!("one side; {note}"),
        _ => note,
    }
}

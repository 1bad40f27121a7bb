//! Countersinks, counterbores and flares on drawings: the circles round the hole, and the callout
//! with the symbol of ISO 129-1 and ASME Y14.5 (from memory), drawn here because the font lacks it.

use crate::geom::Place;
use crate::geom::Point;
use crate::geom::disc;
use crate::job::Job;
use crate::paper::Cell;
use crate::paper::Item;
use crate::paper::Pen;
use crate::paper::Ring;
use crate::paper::Words;
use crate::paper::figure_text;
use crate::part::Hole;
use crate::part::Recess;
use crate::solve::Solved;

/// Height of the words, mm.
const HEIGHT: f64 = 2.5;
/// Width of a symbol, mm.
const SYMBOL: f64 = 3.2;
/// From the symbol to the words, mm.
const GAP: f64 = 0.9;

/// The circle of every recess, where a place brings the flat; dashed on the bottom side.
pub(super) fn rings(solved: &Solved, place: &Place) -> Vec<Ring> {
    let ring = |flat: &crate::flat::FlatHole| {
        let recess = solved.part.hole(flat.id).recess?;
        let outline = disc(flat.outline.bounds().centre(), recess.diameter / 2.0).ok()?;
        let edges = outline.moved(place).edges().collect();
        Some(Ring { edges, hidden: !recess.is_up() })
    };
    let sunk = solved.flat.holes.iter().filter_map(ring);
    let formed = solved.flat.holes.iter().flat_map(|flat| flared(solved, flat, place));
    sunk.chain(formed).collect()
}

/// The foot and the mouth of a flare.
fn flared(solved: &Solved, flat: &crate::flat::FlatHole, place: &Place) -> Vec<Ring> {
    let Some(flare) = solved.part.hole(flat.id).flare else { return Vec::new() };
    let centre = flat.outline.bounds().centre();
    let circles =
        [flare.outside, flare.inside].into_iter().filter_map(|d| disc(centre, d / 2.0).ok());
    let ring = |outline: crate::geom::Outline| Ring {
        edges: outline.moved(place).edges().collect(),
        hidden: !flare.is_up(),
    };
    circles.map(ring).collect()
}

/// The callout of a recess for the table of holes; words where there is none.
pub(super) fn cell(hole: &Hole, job: &Job) -> Cell {
    match &hole.recess {
        Some(recess) => Cell::Symbol(callout(recess, job)),
        None => Cell::Words("–".into()),
    }
}

fn callout(recess: &Recess, job: &Job) -> Vec<Item> {
    let at = Point::new;
    let show = |mm: f64| figure_text(job.units, mm);
    let mut chain = match recess.angle {
        // A V with its mouth upwards.
        Some(_) => vec![at(0.0, HEIGHT), at(SYMBOL / 2.0, 0.0), at(SYMBOL, HEIGHT)],
        // A trough.
        None => vec![at(0.0, HEIGHT), at(0.0, 0.0), at(SYMBOL, 0.0), at(SYMBOL, HEIGHT)],
    };
    let lines = |chain: &[Point]| -> Vec<Item> {
        chain.windows(2).map(|two| Item::line(Pen::Narrow, two[0], two[1])).collect()
    };
    let mut items = lines(&chain);
    let words = |x: f64, text: String| Words::plain(at(x, 0.0), HEIGHT, &text);
    let side = format!(", {}", recess.side.word());
    let first = match recess.angle {
        Some(_) => format!("{}{side}", recess.size(&show)),
        None => format!("Ø{}", show(recess.diameter)),
    };
    let first = words(SYMBOL + GAP, first);
    let end = first.at.x + first.length();
    items.push(Item::Words(first));
    if recess.angle.is_none() {
        // An arrow down to a short line: the depth.
        let x = end + 2.0 * GAP;
        chain = vec![at(x + 1.2, HEIGHT), at(x + 1.2, 0.0)];
        items.extend(lines(&chain));
        items.extend(lines(&[at(x, HEIGHT), at(x + 2.4, HEIGHT)]));
        items.extend(lines(&[at(x + 0.5, 1.0), at(x + 1.2, 0.0), at(x + 1.9, 1.0)]));
        items.push(Item::Words(words(x + 2.4 + GAP, format!("{}{side}", show(recess.depth)))));
    }
    items
}

//! Cut-outs by letter, behind those of the holes: their size and where their centres are.

use crate::drawings::holes::letter;
use crate::flat::to_origin;
use crate::job::Job;
use crate::paper::Block;
use crate::paper::Cell;
use crate::paper::Spot;
use crate::paper::Table;
use crate::paper::figure_text;
use crate::solve::Solved;

/// The cut-outs of a part with their letters, the lower left corner of the flat at the origin;
/// so many letters are taken by its holes.
pub(super) fn spots(solved: &Solved, taken: usize) -> Vec<Spot> {
    let place = to_origin(&solved.flat.region);
    let spot = |(i, outline): (usize, &crate::geom::Outline)| {
        let outline = outline.moved(&place);
        Spot { label: letter(taken + i), at: outline.bounds().centre(), outline }
    };
    solved.flat.gaps().iter().enumerate().map(spot).collect()
}

/// What the cut-outs are, and where.
pub(super) fn table(job: &Job, spots: &[Spot]) -> Option<Block> {
    if spots.is_empty() {
        return None;
    }
    let text = |mm: f64| figure_text(job.units, mm);
    let row = |spot: &Spot| {
        let bounds = spot.outline.bounds();
        let size = match (spot.outline.circle(), spot.outline.slot()) {
            (Some((_, radius)), _) => format!("Ø{}", text(2.0 * radius)),
            (None, Some((_, length, width))) => {
                format!("slot {} × {}", text(width), text(length))
            }
            (None, None) => {
                format!("{} × {} overall", text(bounds.width()), text(bounds.height()))
            }
        };
        let cells = [spot.label.clone(), size, text(spot.at.x), text(spot.at.y)];
        cells.map(Cell::Words).to_vec()
    };
    let heads = ["cut-out", "as cut", "X", "Y"];
    Some(Block::Table(Table {
        heading: "Cut-outs, X, Y of their centres from datum".into(),
        heads: heads.map(String::from).to_vec(),
        rows: spots.iter().map(row).collect(),
    }))
}

//! Edges that are welded, with symbols after ISO 2553, system A (from memory).

use crate::geom::Edge;
use crate::geom::Place;
use crate::geom::Point;
use crate::job::Job;
use crate::paper::Block;
use crate::paper::Cell;
use crate::paper::Item;
use crate::paper::Pen;
use crate::paper::Seam;
use crate::paper::Table;
use crate::paper::Words;
use crate::paper::figure_text;
use crate::part::Bevel;
use crate::part::Weld;
use crate::solve::Solved;

/// A welded edge with its letter.
pub(super) struct Lettered<'a> {
    pub(super) letter: String,
    pub(super) face: &'a str,
    pub(super) weld: &'a Weld,
    /// The bevel of its edge: then the weld is a groove.
    pub(super) bevel: Option<&'a Bevel>,
    /// Its lengths of the outline, in the flat.
    pub(super) edges: Vec<Edge>,
}

impl Lettered<'_> {
    /// Where its letter is in a drawing: at its longest length.
    pub(super) fn drawn(&self, place: &Place) -> Option<Seam> {
        let longest = self.edges.iter().max_by(|a, b| a.length().total_cmp(&b.length()))?;
        Some(Seam { label: self.letter.clone(), edge: longest.moved(place) })
    }
}

/// The welded edges of a part.
pub(super) fn seams(solved: &Solved) -> Vec<Lettered<'_>> {
    let mut seams = Vec::new();
    for (face, place) in solved.part.faces.iter().zip(&solved.flat.places) {
        for weld in &face.welds {
            seams.push(Lettered {
                letter: format!("W{}", seams.len() + 1),
                face: &face.name,
                weld,
                bevel: face.bevels.iter().find(|bevel| bevel.edge == weld.edge),
                edges: weld.stretches.iter().map(|edge| edge.moved(place)).collect(),
            });
        }
    }
    seams
}

/// Arrow, reference line, and a fillet on one side or on both, with its leg where it is given.
/// One that goes all round has a circle at the elbow and no other side. Of a bevelled edge an
/// upright and a slanting line, for a groove, on as many sides as there are bevels.
fn symbol(job: &Job, weld: &Weld, bevel: Option<&Bevel>) -> Vec<Item> {
    const LONG: f64 = 30.0;
    let at = |x: f64, y: f64| Point::new(x, y);
    let mut items = vec![
        Item::line(Pen::Narrow, at(0.0, 0.0), at(5.0, 5.5)),
        Item::line(Pen::Narrow, at(5.0, 5.5), at(LONG, 5.5)),
        Item::Fill(0.0, vec![ring(&[at(0.0, 0.0), at(1.85, 1.45), at(1.3, 2.0)])]),
    ];
    let sides = match bevel {
        Some(bevel) => bevel.sides.count(),
        None if weld.all_round => 1,
        None => weld.sides,
    };
    if weld.all_round {
        let (left, right) = (at(3.6, 5.5), at(6.4, 5.5));
        // Two half circles.
        let halves = vec![
            Edge { from: left, to: right, bulge: 1.0 },
            Edge { from: right, to: left, bulge: 1.0 },
        ];
        items.push(Item::Line(Pen::Narrow, halves));
    }
    // A seam on both sides of the plate needs no line for the other side.
    if sides == 1 {
        items.push(Item::line(Pen::Dashed, at(5.0, 4.5), at(LONG, 4.5)));
    }
    let size = weld.leg.map(|leg| format!("z{}", figure_text(job.units, leg))).unwrap_or_default();
    let foot = 8.2 + Words::plain(Point::ZERO, 2.5, &size).length();
    // The upright of a fillet is on the left on either side.
    for (side, words) in [(1.0, 6.5), (-1.0, 1.9)].into_iter().take(sides as usize) {
        let (root, top) = (at(foot, 5.5), 5.5 + side * 3.5);
        if bevel.is_some() {
            items.push(Item::line(Pen::Narrow, root, at(foot, top)));
            items.push(Item::line(Pen::Narrow, root, at(foot + 3.5, top)));
            continue;
        }
        let corners = [root, at(foot + 3.5, 5.5), at(foot, top)];
        items.push(Item::Line(Pen::Narrow, ring(&corners)));
        items.push(Item::Words(Words::plain(at(7.2, words), 2.5, &size)));
    }
    items
}

fn ring(corners: &[Point]) -> Vec<Edge> {
    let next = corners.iter().cycle().skip(1);
    corners.iter().zip(next).map(|(a, b)| Edge::line(*a, *b)).collect()
}

/// The table of welds.
pub(super) fn table(job: &Job, seams: &[Lettered]) -> Vec<Block> {
    if seams.is_empty() {
        return Vec::new();
    }
    let row = |seam: &Lettered| {
        let leg = seam.weld.leg.map(|leg| figure_text(job.units, leg));
        let groove = seam.bevel.map(|_| "–".to_owned());
        vec![
            Cell::Words(seam.letter.clone()),
            Cell::Symbol(symbol(job, seam.weld, seam.bevel)),
            Cell::Words(format!("{}: {}", seam.face, seam.weld.edge)),
            Cell::Words(figure_text(job.units, seam.weld.length)),
            Cell::Words(groove.or(leg).unwrap_or_else(|| "not given".into())),
            Cell::Words(note(seam.weld, seam.bevel)),
        ]
    };
    let heads = ["weld", "symbol", "edge", "edge length", "leg z", "note"];
    vec![Block::Table(
        Table {
            heading: "Welds (ISO 2553; triangle: fillet, z: leg, circle: all round)".into(),
            heads: heads.map(String::from).to_vec(),
            rows: seams.iter().map(row).collect(),
        }
        .without_empty(),
    )]
}

/// On which sides the fillet is, and what else the recipe says.
fn note(weld: &Weld, bevel: Option<&Bevel>) -> String {
    let sides = match (weld.all_round, weld.sides) {
        _ if bevel.is_some() => "in the bevel",

        (true, _) => "all round",
        (_, 1) => "one side",
        _ => "both sides",
    };
    match weld.note.as_str() {
        "" => sides.to_owned(),
        note if note.contains(sides) => note.to_owned(),
        note => format!("{sides}; {note}"),
    }
}

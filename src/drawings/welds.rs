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
use crate::recipe::BevelSides;
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
const SIGN: f64 = 3.5;

/// Height of the reference line and, on the other side of the plate, of the dashed one, mm.
const LINES: [f64; 2] = [5.5, 4.5];

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

/// Arrow, reference line, and the signs of either side with their sizes before them. A fillet
/// that goes all round has a circle at the elbow and no other side. Where the sides differ, what
/// is on the bottom side hangs on a dashed line.
fn symbol(job: &Job, weld: &Weld, bevel: Option<&Bevel>) -> Vec<Item> {
    const LONG: f64 = 30.0;
    let at = |x: f64, y: f64| Point::new(x, y);
    let mut items = vec![
        Item::line(Pen::Narrow, at(0.0, 0.0), at(5.0, 5.5)),
        Item::line(Pen::Narrow, at(5.0, 5.5), at(LONG, 5.5)),
        Item::Fill(0.0, vec![ring(&[at(0.0, 0.0), at(1.85, 1.45), at(1.3, 2.0)])]),
    ];
    if weld.all_round {
        let (left, right) = (at(3.6, 5.5), at(6.4, 5.5));
        // Two half circles.
        let halves = vec![
            Edge { from: left, to: right, bulge: 1.0 },
            Edge { from: right, to: left, bulge: 1.0 },
        ];
        items.push(Item::Line(Pen::Narrow, halves));
    }
    let stacks = stacks(job, weld, bevel);
    // A seam that is alike on both sides of the plate needs no line for the other side.
    let alike = stacks[0] == stacks[1];
    if !alike {
        items.push(Item::line(Pen::Dashed, at(5.0, LINES[1]), at(LONG, LINES[1])));
    }
    let width = |size: &str| Words::plain(Point::ZERO, 2.5, size).length();
    let sizes = stacks.iter().flatten().map(|(_, size)| width(size));
    let foot = 8.2 + sizes.fold(0.0, f64::max);
    let lines = if alike { [LINES[0]; 2] } else { LINES };
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
            let words = if out > 0.0 { base + 1.0 } else { base - 3.6 };
            items.push(Item::Words(Words::plain(at(7.2, words), 2.5, size)));
        }
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
            Cell::Words(leg.or(groove).unwrap_or_else(|| "not given".into())),
            Cell::Words(note(seam.weld, seam.bevel)),
        ]
    };
    let heads = ["weld", "symbol", "edge", "edge length", "leg z", "note"];
    vec![Block::Table(
        Table {
            heading: heading(seams),
            heads: heads.map(String::from).to_vec(),
            rows: seams.iter().map(row).collect(),
        }
        .without_empty(),
    )]
}

/// What the signs and letters of the symbols mean.
fn heading(seams: &[Lettered]) -> String {
    let mut words = "Welds (ISO 2553; triangle: fillet, z: leg, circle: all round".to_owned();
    if seams.iter().any(|seam| seam.bevel.is_some()) {
        words += "; upright and slanting line: groove, h: depth of the bevel; on the dashed line: \
                  bottom side";
    }
    words + ")"
}

/// On which sides the weld is, and what else the recipe says.
fn note(weld: &Weld, bevel: Option<&Bevel>) -> String {
    let fillet = match (weld.all_round, weld.sides) {
        (true, _) => "all round",
        (_, 1) => "one side",
        _ => "both sides",
    };
    let sides = match bevel {
        None => fillet.to_owned(),
        Some(bevel) if weld.leg.is_none() => format!("groove {}", bevel.sides.word()),
        Some(bevel) => format!("groove {}, fillet {fillet}", bevel.sides.word()),
    };
    match weld.note.as_str() {
        "" => sides,
        note if note.contains(&sides) => note.to_owned(),
        note => format!("{sides}; {note}"),
    }
}

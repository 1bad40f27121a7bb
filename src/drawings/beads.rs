//! Beads: their outlines in the flat, a label at each, and a table.

use crate::geom::Edge;
use crate::geom::Place;
use crate::job::Job;
use crate::num;
use crate::paper::Block;
use crate::paper::Cell;
use crate::paper::Ring;
use crate::paper::Seam;
use crate::paper::Table;
use crate::paper::figure_text;
use crate::part::Bead;
use crate::part::Face;
use crate::recipe::BeadSection;
use crate::recipe::Side;
use crate::solve::Solved;

/// Every bead with the name of its face and the place of that in the flat.
fn all(solved: &Solved) -> impl Iterator<Item = (&str, &Bead, &Place)> {
    let faces = solved.part.faces.iter().zip(&solved.flat.places);
    let of_face = |(face, place)| {
        let face: &Face = face;
        face.beads.iter().map(move |bead| (face.name.as_str(), bead, place))
    };
    faces.flat_map(of_face)
}

/// The outline of each bead, and the ridge of a V; dashed on the bottom side.
pub(super) fn rings(solved: &Solved, place: &Place) -> Vec<Ring> {
    let of_bead = |(_, bead, of_face): (&str, &Bead, &Place)| {
        let ridge = (bead.section == BeadSection::V).then(|| bead.edges());
        let ring = |edges: Vec<Edge>| Ring {
            edges: edges.iter().map(|edge| edge.moved(of_face).moved(place)).collect(),
            hidden: bead.side == Side::Down,
        };
        [Some(bead.outline()), ridge].into_iter().flatten().map(ring).collect::<Vec<_>>()
    };
    all(solved).flat_map(of_bead).collect()
}

/// The name of each bead at the longest line of its outline.
pub(super) fn notes(solved: &Solved, place: &Place) -> Vec<Seam> {
    let note = |(_, bead, of_face): (&str, &Bead, &Place)| {
        let outline = bead.outline();
        let lines = outline.iter().filter(|edge| edge.is_line());
        let longest: &Edge = lines.max_by(|a, b| a.length().total_cmp(&b.length()))?;
        let label = format!("bead {}", bead.name);
        Some(Seam { label, edge: longest.moved(of_face).moved(place) })
    };
    all(solved).filter_map(note).collect()
}

/// The table of beads.
pub(super) fn table(job: &Job, solved: &Solved) -> Vec<Block> {
    let text = |mm: f64| figure_text(job.units, mm);
    let row = |(face, bead, _): (&str, &Bead, &Place)| {
        let cells = [
            format!("{face}: {}", bead.name),
            text(bead.length()),
            text(bead.width),
            text(bead.depth),
            bead.section.word().to_owned(),
            bead.side.word().to_owned(),
            format!("{} %", num::text(100.0 * bead.stretch(), 0)),
        ];
        cells.map(Cell::Words).to_vec()
    };
    let rows: Vec<_> = all(solved).map(row).collect();
    if rows.is_empty() {
        return Vec::new();
    }
    let heads = ["bead", "length", "width", "depth", "section", "stands on", "stretch across"];
    vec![Block::Table(Table {
        heading: "Beads, formed after cutting; outlines and the solid are without them".into(),
        heads: heads.map(String::from).to_vec(),
        rows,
    })]
}

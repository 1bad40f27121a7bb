//! Where holes are on a formed part, as one inspects them: from the outside of the bend beside them.

use crate::bend::Form;
use crate::drawings::holes;
use crate::geom::Edge;
use crate::geom::Point;
use crate::geom::Vec2;
use crate::job::Job;
use crate::paper::Block;
use crate::paper::Cell;
use crate::paper::Table;
use crate::paper::figure_text;
use crate::solve::Solved;

/// More rows than this are no list to inspect by. Our choice.
const MOST: usize = 16;

/// Holes of one face that are as far from the outside of one bend.
struct Alike {
    face: usize,
    bend: usize,
    distance: String,
    labels: Vec<String>,
}

/// The distances of holes from the outside of the bend that carries their face, else of the only one
/// beside it; nothing where no face with holes has a bend beside it.
pub(super) fn table(job: &Job, solved: &Solved) -> Option<Block> {
    let part = &solved.part;
    let sets = holes::sets(solved);
    let all = sets.iter().flat_map(|set| {
        set.holes.iter().enumerate().map(move |(i, (hole, _))| (set.label(i), *hole))
    });
    let mut rows: Vec<Alike> = Vec::new();
    for (label, hole) in all {
        let id = solved.flat.holes[hole].id;
        let Some((bend, mm)) = beside(solved, id.face, part.hole(id).at) else { continue };
        let distance = figure_text(job.units, mm);
        let is_like =
            |row: &&mut Alike| (row.face, row.bend) == (id.face, bend) && row.distance == distance;
        match rows.iter_mut().find(is_like) {
            Some(row) => row.labels.push(label),
            None => rows.push(Alike { face: id.face, bend, distance, labels: vec![label] }),
        }
    }
    let single = solved.flat.holes.len() == 1;
    let row = |row: &Alike| {
        let bend = &part.bends[row.bend];
        let other = if bend.to == row.face { bend.from } else { bend.to };
        let holes = if single { "–".to_owned() } else { holes::runs(&row.labels) };
        [
            holes,
            part.faces[row.face].name.clone(),
            part.faces[other].name.clone(),
            row.distance.clone(),
        ]
        .map(Cell::Words)
        .to_vec()
    };
    (!rows.is_empty() && rows.len() <= MOST).then(|| {
        Block::Table(Table {
            heading: "Holes on the formed part".into(),
            heads: ["hole", "face", "from outside of bend to", "to centre"]
                .map(String::from)
                .to_vec(),
            rows: rows.iter().map(row).collect(),
        })
    })
}

/// The bend from whose outside a place of a face is measured, and how far it is from that as a
/// caliper reads it, mm: the bend that carries the face, else the only one that stands on it. Between
/// several they are placed in the flat.
fn beside(solved: &Solved, face: usize, at: Point) -> Option<(usize, f64)> {
    let part = &solved.part;
    // A face that a bend carries is drawn from that bend: y = 0, metal above.
    let foot = Edge::line(Point::ZERO, Point::new(1.0, 0.0));
    let of = |(i, bend): (usize, &crate::part::Bend)| {
        let edge = match (bend.to == face, bend.from == face) {
            (true, _) => foot,
            (_, true) => part.faces[face].edges[bend.edge].edge,
            _ => return None,
        };
        let along = edge.direction_at_start();
        let inward = Vec2::new(-along.y, along.x);
        let mm = (at - edge.from).dot(inward) + bend.to_caliper();
        (bend.bend.form() == Form::Bent).then_some((bend.to != face, i, mm))
    };
    let all: Vec<(bool, usize, f64)> = part.bends.iter().enumerate().filter_map(of).collect();
    let carried = all.iter().find(|(stands, ..)| !stands);
    let only = all.first().filter(|_| all.len() == 1);
    carried.or(only).map(|(_, bend, mm)| (*bend, *mm))
}

//! Where holes are on a formed part, as one inspects them: from the outside of the bend beside them.

use crate::bend::Form;
use crate::drawings::hole_dimensions;
use crate::drawings::printed;
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
const MAX: usize = 16;

/// Two bends run alike within this, as a sine.
const PARALLEL: f64 = 1e-6;

/// Holes of one face that are as far from the outside of one bend.
struct Alike {
    face: usize,
    bend: usize,
    distance: String,
    labels: Vec<String>,
}

/// The distances of holes from the outside of the bends beside their faces, and notes on holes
/// without such distances; empty if the part has no holes.
pub(super) fn table(job: &Job, solved: &Solved) -> Vec<Block> {
    let part = &solved.part;
    let sets = hole_dimensions::sets(solved);
    let all = sets.iter().flat_map(|set| {
        set.holes.iter().enumerate().map(move |(i, (hole, _))| (set.label(i), *hole))
    });
    let (mut rows, mut left): (Vec<Alike>, Vec<String>) = (Vec::new(), Vec::new());
    for (label, hole) in all {
        let id = solved.flat.holes[hole].id;
        let places = beside(solved, id.face, part.hole(id).at);
        if places.is_empty() {
            left.push(label.clone());
        }
        for (bend, mm) in places {
            let distance = figure_text(job.units, mm);
            let is_like = |row: &&mut Alike| {
                (row.face, row.bend) == (id.face, bend) && row.distance == distance
            };
            match rows.iter_mut().find(is_like) {
                Some(row) => row.labels.push(label.clone()),
                None => {
                    rows.push(Alike { face: id.face, bend, distance, labels: vec![label.clone()] })
                }
            }
        }
    }
    // Of each face from one bend after the other.
    rows.sort_by_key(|row| (row.face, row.bend));
    let single = hole_dimensions::is_single(solved);
    let name = |face: usize| Cell::Words(printed::name(&part.faces[face].name));
    let row = |row: &Alike| {
        let bend = &part.bends[row.bend];
        let other = if bend.to == row.face { bend.from } else { bend.to };
        let holes = if single { "the hole".to_owned() } else { hole_dimensions::runs(&row.labels) };
        let [holes, distance] = [holes, row.distance.clone()].map(Cell::Words);
        vec![holes, name(row.face), name(other), distance]
    };
    let table = || {
        Block::Table(Table {
            heading: "Holes on the formed part".into(),
            heads: ["hole", "face", "from outside of bend to", "to centre"]
                .map(String::from)
                .to_vec(),
            rows: rows.iter().map(row).collect(),
            beside: 1,
        })
    };
    let said = note_on_rest(rows.len(), &left, single);
    let table = (!rows.is_empty() && rows.len() <= MAX).then(table);
    let said = said.map(|line| Block::Lines { heading: String::new(), lines: vec![line] });
    table.into_iter().chain(said).collect()
}

/// The note on holes without a row in the table, of this many places.
fn note_on_rest(rows: usize, left: &[String], single: bool) -> Option<String> {
    match (rows > MAX, left.is_empty()) {
        (true, _) => Some(format!(
            "Holes on the formed part: at {rows} distances from its bends; their dimensions are \
             in the flat."
        )),
        (_, true) => None,
        _ if single => Some(format!("The hole is dimensioned in the flat only: {NO_BEND}.")),
        _ => Some(format!(
            "Dimensioned in the flat only: {}; {NO_BEND}.",
            hole_dimensions::runs(left)
        )),
    }
}

/// Why a hole has no place on the formed part.
const NO_BEND: &str = "its face has no bend with an outside to measure from";

/// The bends from whose outsides a place of a face is measured, and how far it is from each as a
/// caliper reads it, mm: for each direction the bend that carries the face, else the first that
/// attached to it.
fn beside(solved: &Solved, face: usize, at: Point) -> Vec<(usize, f64)> {
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
        (bend.bend.form() == Form::Bent).then_some((bend.to != face, i, along, mm))
    };
    let mut all: Vec<(bool, usize, Vec2, f64)> =
        part.bends.iter().enumerate().filter_map(of).collect();
    all.sort_by_key(|(stands, i, ..)| (*stands, *i));
    let mut each: Vec<(Vec2, usize, f64)> = Vec::new();
    for (_, bend, along, mm) in all {
        if each.iter().all(|(other, ..)| other.cross(along).abs() > PARALLEL) {
            each.push((along, bend, mm));
        }
    }
    each.into_iter().map(|(_, bend, mm)| (bend, mm)).collect()
}

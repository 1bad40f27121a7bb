//! The plates of one set together, as they are welded or bolted: numbered, with a list.

mod stand;

use crate::drawings::folded;
use crate::drawings::folded::tubes;
use crate::geom::Point;
use crate::geom::Space;
use crate::job::Job;
use crate::paper::Picture;
use crate::solid;
use crate::solid::Solid;
use crate::solve::Solved;
use crate::view;
use crate::view::Sight;
use crate::view::Skin;
use crate::view::Spots;
use stand::Piece;

/// The picture of the set that a part belongs to, within a width and a height in mm; nothing where
/// the set is one plate, or no solid can be made of one.
pub(crate) fn picture(
    job: &Job,
    all: &[Solved],
    solved: &Solved,
    [width, height]: [f64; 2],
) -> Option<Picture> {
    let set = set(all, solved);
    let stands = stand::pieces(&set);
    if stands.len() < 2 {
        return None;
    }
    let make = |piece: &Piece| {
        let of = piece.solved;
        let body = solid::solid(&of.part, &of.flat, &of.folded).ok()?;
        Some(view::placed(&body, &piece.at))
    };
    let bodies: Vec<Solid> = stands.iter().map(make).collect::<Option<_>>()?;
    let skin = Skin::of(&bodies);
    let spots = spots(&stands);
    let camera = view::best(&skin, &spots);
    let sight = Sight::new(&skin, camera);
    let thickness = stands.iter().map(|p| p.solved.part.thickness).fold(f64::INFINITY, f64::min);
    let bends: Vec<_> = stands.iter().flat_map(Piece::bends).collect();
    let seen = view::see(&sight, &bends, thickness);
    let mut drawn = folded::drawn(seen);
    for piece in stands.iter().filter(|piece| piece.carries_tubes) {
        let (lines, labels) = tubes::phantoms(job, piece.solved, &piece.at, bodies.clone(), camera);
        drawn.lines.extend(lines);
        drawn.labels.extend(labels);
    }
    drawn.numbers = numbers(&set, &stands, &sight);
    let list = list(&set, &stands);
    let low = Picture::below(list.len());
    Some(drawn.picture([width, height - low]).with_lines_below(&list))
}

/// The parts of the same set: one line of the job, one hand.
fn set<'a>(all: &'a [Solved], solved: &Solved) -> Vec<&'a Solved> {
    let is_of_hand = |other: &Solved| match (solved.part.hand, other.part.hand) {
        (Some(own), Some(other)) => own == other,
        _ => true,
    };
    all.iter().filter(|other| other.line == solved.line && is_of_hand(other)).collect()
}

/// Places on the faces of all pieces: as many as may be seen.
fn spots(stands: &[Piece]) -> Spots {
    let faces = stands.iter().flat_map(Piece::faces).collect();
    Spots { faces, holes: Vec::new() }
}

/// The number of each part, with the places of its pieces that are seen.
fn numbers(set: &[&Solved], stands: &[Piece], sight: &Sight) -> Vec<(String, Vec<Point>)> {
    let mut numbers = Vec::new();
    for (i, part) in set.iter().enumerate() {
        let own = stands.iter().filter(|piece| piece.solved.name == part.name);
        let places = own.flat_map(Piece::faces).flat_map(|(normal, places)| {
            let side = usize::from(sight.camera.faces(normal) < 0.0);
            places.into_iter().map(move |place: [Space; 2]| place[side])
        });
        let seen = places.filter(|p| !sight.hides(*p)).map(|p| sight.camera.paper(p));
        numbers.push(((i + 1).to_string(), seen.collect()));
    }
    numbers
}

/// A line for each part: number, name, and how many of it are in the set.
fn list(set: &[&Solved], stands: &[Piece]) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for (i, part) in set.iter().enumerate() {
        let shown = stands.iter().filter(|piece| piece.solved.name == part.name).count();
        let count = part.part.copies;
        let shown = match shown == count as usize {
            true => String::new(),
            false => format!(", {shown} shown"),
        };
        lines.push(format!("{}  {}, {count} off{shown}", i + 1, part.name));
    }
    let apart: Vec<String> = set
        .iter()
        .enumerate()
        .filter(|(_, part)| stands.iter().any(|p| p.solved.name == part.name && !p.is_known))
        .map(|(i, _)| (i + 1).to_string())
        .collect();
    if !apart.is_empty() {
        lines.push(format!("Shown beside, not in place: {}.", apart.join(", ")));
    }
    lines
}

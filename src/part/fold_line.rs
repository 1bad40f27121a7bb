//! Fold lines: a drawn face cut into the faces beside them, the bends between them as drawn.
//!
//! The flat is exactly the drawn face: half of the bend allowance is on either side of the line.

mod asked;
mod laid;

use crate::diag::Finding;
use crate::diag::instead_of;
use crate::geom::Cut;
use crate::geom::Outline;
use crate::geom::Piece;
use crate::geom::Place;
use crate::geom::Point;
use crate::geom::Vec2;
use crate::geom::split;
use crate::num::Angle;
use crate::part::face::Face;
use crate::part::face::NamedEdge;
use crate::part::left;
use crate::part::pieces;
use crate::part::values::Values;
use crate::part::zone::Zone;
use crate::recipe;
pub(super) use asked::FoldLine;
use asked::refuse;
use laid::Laid;

/// A bend made of a fold line.
pub(super) struct Folded {
    /// Its name.
    pub(super) name: String,
    /// Names of the face it is on and of the one it carries.
    pub(super) faces: [String; 2],
    /// The edge it is on, in the first.
    pub(super) edge: usize,
    /// Its metal.
    pub(super) zone: Zone,
}

/// A face beside the bends.
struct Found {
    /// Which of the pieces.
    piece: usize,
    /// Transforms its own drawing to that of the whole face.
    place: Place,
    name: String,
    /// Where bends begin on it.
    edges: Vec<NamedEdge>,
}

/// A face cut along its fold lines: the faces beside them, the base one first, and the bends.
/// `None` when something was reported.
pub(super) fn across(
    face: &Face,
    asked: &[FoldLine],
    values: &Values,
) -> Option<(Vec<Face>, Vec<Folded>)> {
    let laid: Vec<Option<Laid>> = asked.iter().map(|one| laid::lay(face, one, values)).collect();
    let laid: Vec<Laid> = laid.into_iter().collect::<Option<_>>()?;
    laid::check_crossings(&laid, values)?;
    let cuts: Vec<Cut> = laid.iter().flat_map(|l| l.cuts).collect();
    let Ok(all) = split(face.blank.outer(), &cuts) else {
        let headline =
            format!("the fold lines leave no metal between them on face `{}`", face.name);
        return refuse(asked.first()?, values, headline, "move them apart, or off the edge");
    };
    let root = root(&laid, &all, values)?;
    let (blank, openings) = laid::openings(face, &laid, values)?;
    let (found, folded) = found(face, &laid, &all, root, &openings)?;
    let outlines: Vec<Outline> = found.iter().map(|f| all[f.piece].outline.clone()).collect();
    let mut faces = pieces::divided(face, &blank, &outlines);
    for (found, own) in found.into_iter().zip(&mut faces) {
        own.name = found.name;
        *own = own.moved(&found.place.back());
        own.edges.extend(found.edges);
    }
    let edge = |one: &Folded| {
        let of = faces.iter().find(|face| face.name == one.faces[0])?;
        of.edges.iter().position(|edge| edge.name == edge_name(&one.name))
    };
    let folded = folded.into_iter().map(|one| Some(Folded { edge: edge(&one)?, ..one }));
    let folded = folded.collect::<Option<_>>()?;
    Some((faces, folded))
}

/// The piece on one side of a cut.
fn beside(all: &[Piece], cut: usize, left: bool) -> Option<usize> {
    all.iter().position(|piece| piece.beside.contains(&(cut, left)))
}

/// The piece that no line carries; `None` where one is carried by two, which is reported.
fn root(laid: &[Laid], all: &[Piece], values: &Values) -> Option<usize> {
    let mut carriers: Vec<Option<usize>> = vec![None; all.len()];
    for (i, one) in laid.iter().enumerate() {
        let carried = beside(all, 2 * i + 1, true)?;
        if let Some(other) = carriers[carried].replace(i) {
            let [a, b] = [laid[other].asked.name, one.asked.name];
            let headline =
                format!("the face between fold lines `{a}` and `{b}` would be carried by both");
            return refuse(
                one.asked,
                values,
                headline,
                "the side on the left of a line moves: swap the two points of one of them, or name \
                 a point on the side that is to move, `moves = [\"x\", \"y\"]`",
            );
        }
    }
    let zones: Vec<usize> = (0..laid.len()).filter_map(|i| beside(all, 2 * i, true)).collect();
    (0..all.len()).find(|i| carriers[*i].is_none() && !zones.contains(i))
}

/// The faces from the base one outwards, and the bends between them, whose edges are not counted
/// yet.
fn found(
    face: &Face,
    laid: &[Laid],
    all: &[Piece],
    root: usize,
    openings: &[Vec<Outline>],
) -> Option<(Vec<Found>, Vec<Folded>)> {
    let of = |piece, place, name| Found { piece, place, name, edges: Vec::new() };
    let mut found = vec![of(root, Place::default(), face.name.clone())];
    let mut folded = Vec::new();
    let mut i = 0;
    while i < found.len() {
        for (l, one) in laid.iter().enumerate() {
            if beside(all, 2 * l, false) != Some(found[i].piece) {
                continue;
            }
            let zone = one.zone(openings[l].clone());
            let worked = left::worked(face, &zone);
            let zone = Zone { worked, ..zone }.moved(&found[i].place.back());
            let (name, to) = (one.asked.name.to_owned(), one.asked.bend.to.clone());
            let centre = centre(&zone);
            let place = placement(&zone, centre, one.asked.made.allowance()).then(&found[i].place);
            let edge = NamedEdge { name: edge_name(&name), edge: zone.tangents()[0], centre };
            found[i].edges.push(edge);
            let faces = [found[i].name.clone(), to.clone()];
            found.push(of(beside(all, 2 * l + 1, true)?, place, to));
            folded.push(Folded { name, faces, edge: 0, zone });
        }
        i += 1;
    }
    Some((found, folded))
}

/// The name of the edge where a bend begins: one that no recipe needs to know.
fn edge_name(bend: &str) -> String {
    format!("bend {bend}")
}

/// Half way along the line of a bend, where the bend begins.
fn centre(zone: &Zone) -> Point {
    let near = zone.tangents()[0];
    let along = near.direction_at_start();
    near.from + along * (zone.line.point_at(0.5) - near.from).dot(along)
}

/// The placement of the carried face's drawing in that of the face it is bent from.
fn placement(zone: &Zone, centre: Point, allowance: f64) -> Place {
    let along = zone.tangents()[0].direction_at_start();
    let out = Vec2::new(along.y, -along.x);
    Place::rotated(Angle::of(-along.x, -along.y), centre + out * allowance)
}

/// Reports a fold line across a face that is not drawn, or whose new face has the name of
/// another; says whether its face is there.
pub(super) fn known(
    name: &str,
    bend: &recipe::Bend,
    recipe: &recipe::Recipe,
    faces: &[Face],
    values: &Values,
) -> bool {
    let stop = |span, headline: String, help: String| {
        values.findings.add(Finding::stop("bend", headline).at(span, "").help(help));
    };
    if !recipe.faces.contains_key(&bend.from) {
        let names: Vec<&str> = recipe.faces.keys().map(String::as_str).collect();
        let headline =
            format!("fold line `{name}` goes across a face `{}` that is not drawn", bend.from);
        stop(bend.on_span, headline, instead_of(&bend.from, &names, "the drawn face"));
        return false;
    }
    let twice = |(other, of): (&String, &recipe::Bend)| {
        other != name && of.line.is_some() && of.to == bend.to
    };
    if recipe.faces.contains_key(&bend.to) || recipe.bends.iter().any(twice) {
        let headline = format!("the face `{}` beyond fold line `{name}` already exists", bend.to);
        stop(bend.to_span, headline, "give the face on the left of the line a new name".into());
        return false;
    }
    faces.iter().any(|face| face.name == bend.from)
}

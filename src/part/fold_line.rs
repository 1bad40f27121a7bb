//! Fold lines: a drawn face cut into the faces beside them, the bends between them as drawn.
//!
//! The flat is exactly the drawn face: what the bends use up is taken where the line lies,
//! half of it on either side.

use crate::bend;
use crate::diag::Finding;
use crate::diag::instead;
use crate::geom::Cut;
use crate::geom::Edge;
use crate::geom::Line;
use crate::geom::NEAR;
use crate::geom::Outline;
use crate::geom::Piece;
use crate::geom::Place;
use crate::geom::Point;
use crate::geom::Region;
use crate::geom::Vec2;
use crate::geom::Vertex;
use crate::geom::backwards;
use crate::geom::outline_distance;
use crate::geom::split;
use crate::num::Angle;
use crate::part::edges::only_edge;
use crate::part::face::Face;
use crate::part::face::NamedEdge;
use crate::part::pieces;
use crate::part::values::Values;
use crate::part::zone::Zone;
use crate::recipe;
use crate::recipe::LinePlace;

/// The outline may cross a bend at this slant, no less: from there it runs along it, and the
/// metal beside it would tear. Our choice.
const SLANT: Angle = Angle::from_degrees(15.0);

/// A fold line as its recipe places it.
pub(super) struct Asked<'a> {
    /// Its name.
    pub(super) name: &'a str,
    /// Its entry.
    pub(super) bend: &'a recipe::Bend,
    /// What it uses up.
    pub(super) made: bend::Bend,
    /// Whether its face is drawn in the mirror.
    pub(super) mirrored: bool,
}

/// A bend made of a fold line.
pub(super) struct Folded {
    /// Its name.
    pub(super) name: String,
    /// Names of the face it stands on and of the one it carries.
    pub(super) faces: [String; 2],
    /// The edge it stands on, in the first.
    pub(super) edge: usize,
    /// Its metal.
    pub(super) zone: Zone,
}

/// A fold line in the drawing of its face.
struct Laid<'a> {
    asked: &'a Asked<'a>,
    /// Its middle; what is on the left is carried.
    line: Line,
    /// The metal on it.
    stretch: [f64; 2],
    /// Where the bend begins, on the right, and where it ends.
    cuts: [Cut; 2],
    zone: Outline,
}

/// A face cut along its fold lines: the faces beside them, the one that none carries first, and
/// the bends. `None` when something was reported.
pub(super) fn across(
    face: Face,
    asked: &[Asked],
    values: &Values,
) -> Option<(Vec<Face>, Vec<Folded>)> {
    let laid: Vec<Option<Laid>> = asked.iter().map(|one| lay(&face, one, values)).collect();
    let laid: Vec<Laid> = laid.into_iter().collect::<Option<_>>()?;
    apart(&laid, values)?;
    let cuts: Vec<Cut> = laid.iter().flat_map(|l| l.cuts).collect();
    let Ok(all) = split(face.blank.outer(), &cuts) else {
        let one = asked.first()?;
        let headline = format!("the fold lines leave no metal between them on face `{}`", face.name);
        return refuse(one, values, headline, "move them apart, or away from the edge");
    };
    let beside = |cut: usize, left: bool| all.iter().position(|p| p.beside.contains(&(cut, left)));
    let mut carrier: Vec<Option<usize>> = vec![None; all.len()];
    for (i, one) in laid.iter().enumerate() {
        let carried = beside(2 * i + 1, true)?;
        if let Some(other) = carrier[carried].replace(i) {
            let [a, b] = [laid[other].asked.name, one.asked.name];
            let headline = format!("the face between fold lines `{a}` and `{b}` would be carried by both");
            return refuse(
                one.asked,
                values,
                headline,
                "swap the two points of one of them, or add 180 deg to its direction: a line \
                 carries what is on its left",
            );
        }
    }
    let (blank, openings) = openings(&face, &laid, values)?;
    // From the face that is carried by none outwards.
    let zones: Vec<usize> = (0..laid.len()).filter_map(|i| beside(2 * i, true)).collect();
    let root = (0..all.len()).find(|i| carrier[*i].is_none() && !zones.contains(i))?;
    let mut made = vec![(root, Place::default(), face.name.clone())];
    let mut bends = Vec::new();
    let mut i = 0;
    while i < made.len() {
        let (piece, place, name) = made[i].clone();
        for (l, one) in laid.iter().enumerate() {
            if beside(2 * l, false) != Some(piece) {
                continue;
            }
            let carried = beside(2 * l + 1, true)?;
            let zone = zone(one, openings[l].clone()).moved(&place.back());
            let to = one.asked.bend.to.clone();
            let centre = centre(&zone);
            let own = lies(&zone, centre, one.asked.made.allowance());
            made.push((carried, own.then(&place), to.clone()));
            let edge = NamedEdge {
                name: format!("bend {}", one.asked.name),
                edge: zone.tangents()[0],
                centre,
            };
            bends.push((l, piece, edge, [name.clone(), to], zone));
        }
        i += 1;
    }
    let outlines: Vec<Outline> = made.iter().map(|(p, ..)| all[*p].outline.clone()).collect();
    let mut faces = pieces::divided(&face, &blank, &outlines);
    for ((piece, place, name), own) in made.iter().zip(&mut faces) {
        own.name.clone_from(name);
        *own = own.moved(&place.back());
        let stand = bends.iter().filter(|(_, standing, ..)| standing == piece);
        own.edges.extend(stand.map(|(_, _, edge, ..)| edge.clone()));
    }
    let folded = |(l, piece, edge, names, zone): (usize, usize, NamedEdge, [String; 2], Zone)| {
        let index = made.iter().position(|(p, ..)| *p == piece)?;
        let edge = faces[index].edges.iter().position(|e| *e == edge)?;
        Some(Folded { name: laid[l].asked.name.to_owned(), faces: names, edge, zone })
    };
    let folded = bends.into_iter().map(folded).collect::<Option<_>>()?;
    Some((faces, folded))
}

/// Half way along the line of a bend, where the bend begins.
fn centre(zone: &Zone) -> Point {
    let near = zone.tangents()[0];
    let along = near.direction_at_start();
    near.from + along * (zone.line.point_at(0.5) - near.from).dot(along)
}

/// Where the drawing of the carried face lies in that of the standing one.
fn lies(zone: &Zone, centre: Point, allowance: f64) -> Place {
    let along = zone.tangents()[0].direction_at_start();
    let out = Vec2::new(along.y, -along.x);
    Place::rotated(Angle::of(-along.x, -along.y), centre + out * allowance)
}

/// A fold line on its face.
fn lay<'a>(face: &Face, asked: &'a Asked<'a>, values: &Values) -> Option<Laid<'a>> {
    let (line, within) = placed(face, asked, values)?;
    let (name, outer) = (asked.name, face.blank.outer());
    let touches = |[a, b]: &[f64; 2]| *a < within[1] + NEAR && *b > within[0] - NEAR;
    let on: Vec<[f64; 2]> = line.stretches(outer).into_iter().filter(touches).collect();
    let stretch = match on.as_slice() {
        [one] => *one,
        [] => {
            let headline = format!("fold line `{name}` does not cross face `{}`", face.name);
            return refuse(asked, values, headline, "move its points onto the metal of the face");
        }
        more => {
            let headline = format!(
                "fold line `{name}` crosses face `{}` in {} stretches, with a notch between them",
                face.name,
                more.len()
            );
            return refuse(
                asked,
                values,
                headline,
                "place both points in one of them, and draw a line of its own for each other",
            );
        }
    };
    let wide = asked.made.allowance();
    let cut = |left: f64| {
        let line = line.shifted(left);
        let beside = |[a, b]: &[f64; 2]| *a < stretch[1] && *b > stretch[0];
        let all: Vec<[f64; 2]> = line.stretches(outer).into_iter().filter(beside).collect();
        match all.as_slice() {
            [stretch] => Ok(Cut { line, stretch: *stretch }),
            [] => Err(true),
            _ => Err(false),
        }
    };
    let shown = |mm: f64| values.params.units().length(mm);
    let cuts = match (cut(-wide / 2.0), cut(wide / 2.0)) {
        (Ok(near), Ok(far)) => [near, far],
        (Err(true), _) | (_, Err(true)) => {
            let headline = format!(
                "fold line `{name}` leaves no metal on one side: its bend is {} wide, half of it on \
                 either side",
                shown(wide)
            );
            return refuse(asked, values, headline, "move the line away from the edge");
        }
        _ => {
            let headline = format!("a notch of face `{}` ends inside bend `{name}`", face.name);
            let help = format!(
                "end the notch {} from the line or more, or run it through the bend and fold each \
                 side by a line of its own",
                shown(wide / 2.0)
            );
            return refuse(asked, values, headline, &help);
        }
    };
    let pieces = split(outer, &cuts).ok();
    let zone = pieces.and_then(|pieces| {
        let both = |p: &Piece| {
            p.beside.contains(&(0, true)) && p.beside.contains(&(1, false))
        };
        pieces.into_iter().find(both).map(|piece| piece.outline)
    });
    let Some(zone) = zone else {
        let headline = format!("the outline of face `{}` turns back inside bend `{name}`", face.name);
        return refuse(asked, values, headline, "move the line away from the corner");
    };
    let laid = Laid { asked, line, stretch, cuts, zone };
    tears(face, &laid, values)?;
    Some(laid)
}

/// The line of a fold line, and how much of it is asked for, mm along it.
fn placed(face: &Face, asked: &Asked, values: &Values) -> Option<(Line, [f64; 2])> {
    let place = &asked.bend.line.as_ref()?.place;
    let over = Place { mirrored: asked.mirrored, ..Place::default() };
    // A mirrored face is turned over already; what was on the left of a line is on its right.
    let turned = |from: Point, to: Point| {
        let (from, to) = (over.apply(from), over.apply(to));
        if asked.mirrored { (to, from) } else { (from, to) }
    };
    match place {
        LinePlace::Points(from, to) => {
            let (from, to) = (values.point(from), values.point(to));
            let (from, to) = turned(from?, to?);
            let long = (to - from).hypot();
            if long < NEAR {
                let headline = format!("the two points of fold line `{}` are one", asked.name);
                return refuse(asked, values, headline, "move one of them along the line");
            }
            Some((Line { at: from, along: (to - from) / long }, [0.0, long]))
        }
        LinePlace::Direction(at, direction) => {
            let (at, direction) = (values.point(at), values.angle(Some(direction)));
            let (at, direction) = (at?, direction?);
            let (from, to) = turned(at, at + Vec2::new(direction.cos(), direction.sin()));
            Some((Line { at: over.apply(at), along: to - from }, [0.0, 0.0]))
        }
        LinePlace::Edge { edge, inset, rotate } => {
            let (inset, rotate) = (values.length(inset), values.angle(rotate.as_ref()));
            let named = match only_edge(&face.edges, &face.arcs, edge) {
                Ok(index) => face.edges[index].edge,
                Err((words, help)) => {
                    return refuse(asked, values, format!("face `{}`: {words}", face.name), &help);
                }
            };
            let along = named.direction_at_start();
            let at = named.point_at(0.5) + Vec2::new(-along.y, along.x) * inset?;
            let degrees = rotate?.degrees() * if asked.mirrored { -1.0 } else { 1.0 };
            let rotate = Place::rotated(Angle::from_degrees(degrees), Point::ZERO);
            Some((Line { at, along: rotate.direction(-along) }, [0.0, 0.0]))
        }
    }
}

/// Reports an end of a bend along which the outline runs: the metal beside it would tear.
fn tears(face: &Face, laid: &Laid, values: &Values) -> Option<()> {
    let zone = zone(laid, Vec::new());
    let flat = |side: &Vec<Vertex>| {
        side.windows(2).find_map(|two| {
            let way = two[1].at - two[0].at;
            let across = laid.line.along.cross(way).abs();
            let runs = way.hypot() > 10.0 * NEAR && across < SLANT.sin() * way.hypot();
            runs.then(|| two[0].at.midpoint(two[1].at))
        })
    };
    let Some(at) = zone.sides.iter().find_map(flat) else { return Some(()) };
    let shown = |mm: f64| values.params.units().length(mm);
    let headline = format!(
        "fold line `{}` ends inside the metal of face `{}`: near {}, {} the outline runs along the \
         bend, which would tear it",
        laid.asked.name,
        face.name,
        shown(at.x),
        shown(at.y)
    );
    let half = shown(laid.asked.made.allowance() / 2.0);
    refuse(
        laid.asked,
        values,
        headline,
        &format!(
            "move the line {half} beyond that edge, or cut a relief there, {half} or more to either \
             side of the line"
        ),
    )
}

/// Reports fold lines that cross, or whose bends do.
fn apart(laid: &[Laid], values: &Values) -> Option<()> {
    for (i, one) in laid.iter().enumerate() {
        for other in &laid[..i] {
            let inside = |a: &Outline, b: &Outline| b.contains(a.vertices()[0].at);
            let (a, b) = (&one.zone, &other.zone);
            if outline_distance(a, b) > 0.0 && !inside(a, b) && !inside(b, a) {
                continue;
            }
            let headline = format!(
                "the bends of fold lines `{}` and `{}` {}",
                other.asked.name,
                one.asked.name,
                if crosses(one, other) { "cross" } else { "overlap" }
            );
            return refuse(
                one.asked,
                values,
                headline,
                "move them apart: each takes half its allowance on either side of its line",
            );
        }
    }
    Some(())
}

/// Whether two lines cross in the metal.
fn crosses(one: &Laid, other: &Laid) -> bool {
    let sides = |line: &Line, of: &Laid| {
        let [a, b] = of.stretch.map(|mm| line.seen(of.line.point(mm)).1);
        a * b < 0.0
    };
    sides(&one.line, other) && sides(&other.line, one)
}

/// The face without the cut-outs that reach into a bend, and those, line by line.
fn openings(
    face: &Face,
    laid: &[Laid],
    values: &Values,
) -> Option<(Region, Vec<Vec<Outline>>)> {
    let reaches = |hole: &Outline, one: &Laid| {
        outline_distance(hole, &one.zone) < NEAR || one.zone.contains(hole.vertices()[0].at)
    };
    let in_bend = |hole: &Outline| laid.iter().any(|one| reaches(hole, one));
    let (blank, taken) = face.blank.clone().parted(in_bend);
    let mut openings = vec![Vec::new(); laid.len()];
    for hole in taken {
        let lines: Vec<usize> = (0..laid.len()).filter(|l| reaches(&hole, &laid[*l])).collect();
        if let [first, second, ..] = lines.as_slice() {
            let [a, b] = [first, second].map(|l| laid[*l].asked.name);
            let headline = format!(
                "a cut-out of face `{}` reaches from bend `{a}` to bend `{b}`: the face between \
                 them would be in two pieces",
                face.name
            );
            let help = "end it before one of the bends, or cut it to the edge and fold each side \
                        by lines of its own";
            return refuse(laid[*second].asked, values, headline, help);
        }
        openings[lines[0]].push(hole);
    }
    Some((blank, openings))
}

/// The metal of a bend between its two cuts.
fn zone(laid: &Laid, openings: Vec<Outline>) -> Zone {
    let [near, far] = laid.cuts.map(|cut| cut.stretch.map(|mm| cut.line.point(mm)));
    let vertices = laid.zone.vertices();
    let n = vertices.len();
    let at = |p: Point| {
        let off = |i: &usize| (vertices[*i].at - p).hypot();
        (0..n).min_by(|a, b| off(a).total_cmp(&off(b))).unwrap_or(0)
    };
    // Round the bend anticlockwise: where it begins, an end, where it ends, the other end.
    let chain = |from: Point, to: Point| {
        let (first, last) = (at(from), at(to));
        let count = (last + n - first) % n;
        (0..=count).map(|k| vertices[(first + k) % n]).collect::<Vec<_>>()
    };
    let open = |mut chain: Vec<Vertex>| {
        if let Some(last) = chain.last_mut() {
            last.bulge = 0.0;
        }
        chain
    };
    let start = open(chain(near[1], far[1]));
    let end = backwards(&open(chain(far[0], near[0])));
    let [from, to] = laid.stretch.map(|mm| laid.line.point(mm));
    Zone { sides: [start, end], line: Edge::line(to, from), openings }
}

fn refuse<T>(asked: &Asked, values: &Values, headline: String, help: &str) -> Option<T> {
    let span = asked.bend.line.as_ref().map_or(asked.bend.span, |line| line.span);
    values.findings.add(Finding::stop("bend", headline).at(span, "").help(help));
    None
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
        let headline = format!("fold line `{name}` goes across a face `{}` that is not drawn", bend.from);
        stop(bend.on_span, headline, instead(&bend.from, &names, "drawn are"));
        return false;
    }
    let twice = |(other, of): (&String, &recipe::Bend)| {
        other != name && of.line.is_some() && of.to == bend.to
    };
    if recipe.faces.contains_key(&bend.to) || recipe.bends.iter().any(twice) {
        let headline = format!("the face `{}` beyond fold line `{name}` is there already", bend.to);
        stop(bend.to_span, headline, "give what is on the left of the line a new name".into());
        return false;
    }
    faces.iter().any(|face| face.name == bend.from)
}

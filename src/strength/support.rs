//! The support of a part.

use crate::fold::Folded;
use crate::geom::Edge;
use crate::geom::Point;
use crate::part::Bend;
use crate::part::Face;
use crate::part::Hole;
use crate::part::Part;
use crate::part::Weld;
use crate::part::set_of;
use crate::strength::fault::Fault;
use crate::strength::load::At;
use crate::strength::load::Load;
use crate::strength::place;
use crate::strength::place::Spot;
use crate::strength::reason::Reason;
use crate::strength::support_line::SupportLine;
use crate::strength::support_line::is_ring;

/// The support of a part.
#[derive(Clone, Debug)]
pub(super) struct Support<'a> {
    /// The face it is in.
    pub(super) face: usize,
    pub(super) by: By<'a>,
    /// The supported edges, in the drawing of its face, as far as they are the plate's: a bend of a
    /// flange beside one takes up its end.
    pub(super) edges: Vec<Edge>,
}

/// The kind of support.
#[derive(Clone, Debug)]
pub(super) enum By<'a> {
    /// A welded edge.
    Weld(&'a Weld, SupportLine),
    /// A straight edge that is supported by other means.
    Edge(&'a str, SupportLine),
    /// Bolts, by the name of their hole or set.
    Bolts(&'a str, Vec<&'a Hole>),
}

impl Support<'_> {
    /// In words.
    pub(super) fn words(&self) -> String {
        match &self.by {
            By::Weld(weld, _) => format!("the weld at `{}`", weld.edge),
            By::Edge(name, ..) => format!("`{name}`"),
            By::Bolts(name, _) => format!("the bolts in `{name}`"),
        }
    }

    /// The centre of the line or of the bolts.
    pub(super) fn centre(&self) -> Point {
        match &self.by {
            By::Weld(_, root) | By::Edge(_, root) => root.centre,
            By::Bolts(_, holes) => place::centre(holes),
        }
    }

    /// Whether it is a weld round an opening, or one with stretches that face each other.
    fn is_ring(&self) -> bool {
        let turns_back = |weld: &Weld| is_ring(&weld.stretches) || is_ring(&self.edges);
        matches!(&self.by, By::Weld(weld, _) if turns_back(weld))
    }

    /// The line along which it supports the part; `None` for bolts.
    pub(super) fn root(&self) -> Option<&SupportLine> {
        match &self.by {
            By::Weld(_, root) | By::Edge(_, root) => Some(root),
            By::Bolts(..) => None,
        }
    }
}

/// The support of a part, or why it is not clear; an error if the job names one that does not
/// exist.
type Found<'a> = Result<Result<Support<'a>, Reason>, Fault>;

/// The support of a part against a load: the one the job names, else the one the recipe offers.
///
/// # Errors
/// When the name does not exist.
pub(super) fn support<'a>(
    part: &'a Part,
    folded: &Folded,
    load: &Load,
    spot: &Spot<'a>,
) -> Found<'a> {
    if let Some(reason) =
        refuse_split_edge(part, folded, &load.at).or_else(|| scattered(part, &load.at))
    {
        return Ok(Err(reason));
    }
    match (load.held.as_deref(), load.bolts.as_deref()) {
        (Some(held), Some(bolts)) if held != "holes" => {
            let named = vec![format!("`{held}`"), format!("bolts `{bolts}`")];
            self::held(part, folded, load, spot, held)?.ok();
            Ok(Err(Reason::Several(named)))
        }
        (_, Some(bolts)) => self::bolts(part, load, bolts),
        (Some(held), None) => self::held(part, folded, load, spot, held),
        (None, None) => Ok(offered(part, folded, load, spot)),
    }
}

/// Refuses a loaded edge whose stretches are on several faces, or are several on one.
fn refuse_split_edge(part: &Part, folded: &Folded, at: &At) -> Option<Reason> {
    let At::Edge(name) = at else { return None };
    let stretches = place::stretches(part, folded, name);
    let mut faces: Vec<usize> = stretches.iter().map(|(face, _)| *face).collect();
    faces.dedup();
    if faces.len() > 1 {
        let faces = faces.iter().map(|face| part.faces[*face].name.as_str());
        return Some(Reason::Faces(name.clone(), one_face(name, faces)));
    }
    (stretches.len() > 1).then(|| Reason::Stretches(name.clone()))
}

/// Holes of one name in several faces: how they share a load is not known. Those of a clevis, the
/// eyes of its ears, share it alike.
fn scattered(part: &Part, at: &At) -> Option<Reason> {
    let At::Hole(name) = at else { return None };
    let loaded = |face: &&Face| face.holes.iter().any(|hole| hole.is_of(name));
    let faces: Vec<&Face> = part.faces.iter().filter(loaded).collect();
    let is_eye = |face: &&Face| face.holes.iter().any(|hole| hole.eye && hole.is_of(name));
    if faces.len() < 2 || (part.clevis.is_some() && faces.iter().any(is_eye)) {
        return None;
    }
    Some(Reason::Scattered(name.clone(), faces.iter().map(|face| face.name.clone()).collect()))
}

fn bolts<'a>(part: &'a Part, load: &Load, name: &str) -> Found<'a> {
    let faces = part.faces.iter().enumerate();
    let mut found = faces.filter_map(|(face, drawn)| group(face, drawn, name));
    let first = found.next().ok_or_else(|| Fault::NoSuchBolts(name.to_owned()))?;
    let others: Vec<Support> = found.collect();
    let loaded = |h: &&Hole| matches!(&load.at, At::Hole(name) if h.is_of(name));
    if matches!(&first.by, By::Bolts(_, holes) if holes.iter().any(loaded)) {
        return Err(Fault::NoReach);
    }
    if others.is_empty() {
        return Ok(Ok(first));
    }
    let in_face = |s: &Support| format!("bolts `{name}` in `{}`", part.faces[s.face].name);
    Ok(Err(Reason::Several(std::iter::once(&first).chain(&others).map(in_face).collect())))
}

/// The holes of one name in a face.
fn group<'a>(index: usize, face: &'a Face, name: &str) -> Option<Support<'a>> {
    let holes: Vec<&Hole> = face.holes.iter().filter(|h| h.is_of(name)).collect();
    let first = holes.first()?;
    let name = if first.name == name { &first.name } else { set_of(&first.name)? };
    Some(Support { face: index, by: By::Bolts(name, holes), edges: Vec::new() })
}

/// The support named in `held`: a welded or other straight edge of any face, or the holes.
fn held<'a>(
    part: &'a Part,
    folded: &Folded,
    load: &Load,
    spot: &Spot<'a>,
    named: &str,
) -> Found<'a> {
    if named == "holes" {
        let others = others(&part.faces[spot.face], load);
        if !others.is_empty() {
            let by = By::Bolts("holes", others);
            return Ok(Ok(Support { face: spot.face, by, edges: Vec::new() }));
        }
    }
    let mut found = welds(part, folded, named);
    if found.is_empty() {
        found = edges(part, folded, named);
    }
    let is_there = !found.is_empty();
    let found: Vec<Support> = found.into_iter().flatten().collect();
    match <[Support; 1]>::try_from(found) {
        Ok([support]) if support.is_ring() => return Ok(Err(Reason::Ring(named.to_owned()))),
        Ok([support]) => {
            let parted = is_parted(part, folded, &support, named);
            return Ok(if parted { Err(Reason::Stretches(named.to_owned())) } else { Ok(support) });
        }
        Err(found) if is_there => {
            let faces = found.iter().map(|support| part.faces[support.face].name.as_str());
            return Ok(Err(match found.as_slice() {
                [] => Reason::Unclear(ways(part, load)),
                _ => Reason::Faces(named.to_owned(), one_face(named, faces)),
            }));
        }
        Err(_) => {}
    }
    if part.bends.iter().any(|b| b.name == named) {
        return Ok(Err(Reason::Bend(named.to_owned(), ways(part, load))));
    }
    Err(Fault::HeldByNothing { named: named.to_owned(), ways: ways(part, load) })
}

/// Whether the support is one of several: of the welds of an edge, or of its stretches.
fn is_parted(part: &Part, folded: &Folded, support: &Support, named: &str) -> bool {
    let face = &part.faces[support.face];
    match &support.by {
        By::Weld(..) => {
            face.welds.iter().filter(|weld| place::is_edge(face, &weld.edge, named)).count() > 1
        }
        By::Edge(..) => {
            let all = place::stretches(part, folded, named).into_iter();
            all.filter(|(index, _)| *index == support.face).count() > 1
        }
        By::Bolts(..) => false,
    }
}

/// A welded edge, as far as it belongs to the plate.
fn welded<'a>(folded: &Folded, face: usize, weld: &'a Weld) -> Option<Support<'a>> {
    let edges = folded.left_of(face, &weld.stretches);
    let by = |edges: &[Edge]| By::Weld(weld, SupportLine::of(edges));
    (!edges.is_empty()).then(|| Support { face, by: by(&edges), edges })
}

/// The welded edges of a name, in each face; `None` for one that a bend takes up entirely.
fn welds<'a>(part: &'a Part, folded: &Folded, named: &str) -> Vec<Option<Support<'a>>> {
    let faces = part.faces.iter().enumerate();
    let one = |(face, drawn): (usize, &'a Face)| {
        let weld = drawn.welds.iter().find(|w| place::is_edge(drawn, &w.edge, named))?;
        Some(welded(folded, face, weld))
    };
    faces.filter_map(one).collect()
}

/// The straight edges of a name that carry no bend, in each face; `None` for one that a bend takes
/// up entirely.
fn edges<'a>(part: &'a Part, folded: &Folded, named: &str) -> Vec<Option<Support<'a>>> {
    let faces = part.faces.iter().enumerate();
    let one = |(face, drawn): (usize, &'a Face)| {
        let edge = place::named(drawn, named).next()?;
        let carries = |b: &Bend| b.from == face && drawn.edges[b.edge].name == edge.name;
        if part.bends.iter().any(carries) {
            return None;
        }
        let edges = folded.left_of(face, &[edge.edge]);
        let by = |edges: &[Edge]| By::Edge(&edge.name, SupportLine::of(edges));
        Some((!edges.is_empty()).then(|| Support { face, by: by(&edges), edges }))
    };
    faces.filter_map(one).collect()
}

/// An edge with each of its faces, as typed: `ear.top`.
fn one_face<'a>(named: &str, faces: impl Iterator<Item = &'a str>) -> Vec<String> {
    let edge = named.rsplit('.').next().unwrap_or(named);
    faces.map(|face| format!("{face}.{edge}")).collect()
}

/// The holes of a face in which a load does not act: those with a fastener, if there are any,
/// else all of them.
fn others<'a>(face: &'a Face, load: &Load) -> Vec<&'a Hole> {
    let of = |hole: &&Hole| !matches!(&load.at, At::Hole(name) if hole.is_of(name));
    let screwed: Vec<&Hole> =
        face.holes.iter().filter(of).filter(|h| h.through.is_some()).collect();
    if screwed.is_empty() { face.holes.iter().filter(of).collect() } else { screwed }
}

/// The supports the recipe offers: its welded edges and the bolt holes in which the load does not
/// act; holes for pins if there is nothing else.
fn offered<'a>(
    part: &'a Part,
    folded: &Folded,
    load: &Load,
    spot: &Spot<'a>,
) -> Result<Support<'a>, Reason> {
    let mut found: Vec<Support> = Vec::new();
    if !matches!(load.at, At::Point { .. }) {
        for (face, drawn) in part.faces.iter().enumerate() {
            found.extend(drawn.welds.iter().filter_map(|weld| welded(folded, face, weld)));
        }
    }
    found.extend(groups(part, load, spot, false));
    if found.is_empty() {
        found = groups(part, load, spot, true);
    }
    match <[Support; 1]>::try_from(found) {
        Ok([support]) => match &support.by {
            By::Weld(weld, _) if support.is_ring() => Err(Reason::Ring(weld.edge.clone())),
            _ => Ok(support),
        },
        Err(found) if found.is_empty() && part.captured.is_some() => Err(Reason::Cap),
        Err(_) => Err(Reason::Unclear(ways(part, load))),
    }
}

/// The sets of holes of a part with fasteners, bolts or pins.
fn groups<'a>(part: &'a Part, load: &Load, spot: &Spot<'a>, eyes: bool) -> Vec<Support<'a>> {
    let mut found: Vec<Support> = Vec::new();
    for (face, drawn) in part.faces.iter().enumerate() {
        let mut names: Vec<&str> = Vec::new();
        let is_captured = |h: &Hole| part.captured.is_some() && h.through.as_deref() == Some("nut");
        let serves = |h: &&Hole| h.through.is_some() && h.eye == eyes && !is_captured(h);
        for hole in drawn.holes.iter().filter(serves) {
            let name = hole.set();
            // Holes of the loaded set belong to the load.
            let loaded = spot.holes.iter().any(|h| h.is_of(name) || h.name == hole.name);
            let named = matches!(&load.at, At::Hole(at) if set_of(at) == Some(name));
            if !loaded && !named && !names.contains(&name) {
                names.push(name);
            }
        }
        found.extend(names.into_iter().filter_map(|name| group(face, drawn, name)));
    }
    found
}

/// The values `held` and `bolts` may have, as they are typed.
fn ways(part: &Part, load: &Load) -> Vec<String> {
    let mut ways: Vec<String> = Vec::new();
    for face in &part.faces {
        for weld in &face.welds {
            let of_edge = |face: &&Face| face.welds.iter().any(|w| w.edge == weld.edge);
            let is_alone = part.faces.iter().filter(of_edge).count() == 1;
            let face = if is_alone { String::new() } else { format!("{}.", face.name) };
            ways.push(format!("held = \"{face}{}\"", weld.edge));
        }
        for hole in &face.holes {
            let name = hole.set();
            let loaded = matches!(&load.at, At::Hole(at) if hole.is_of(at));
            if !loaded && hole.through.is_some() {
                ways.push(format!("bolts = \"{name}\""));
            }
        }
    }
    ways.sort_unstable();
    ways.dedup();
    ways
}

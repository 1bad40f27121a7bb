//! The holes of a face, each in its place.

use crate::diag::Finding;
use crate::diag::Span;
use crate::geom::Outline;
use crate::geom::Place;
use crate::geom::Region;
use crate::geom::heading;
use crate::num::Angle;
use crate::part::bears::Bears;
use crate::part::blank;
use crate::part::depends;
use crate::part::face::Hole;
use crate::part::face::HoleSize;
use crate::part::face::NamedEdge;
use crate::part::flare;
use crate::part::flare::Flare;
use crate::part::hole_size::outline;
use crate::part::hole_size::size;
use crate::part::insert;
use crate::part::insert::Insert;
use crate::part::pattern;
use crate::part::recess;
use crate::part::recess::Recess;
use crate::part::thread;
use crate::part::through;
use crate::part::values::Values;
use crate::quantity::Dimension;
use crate::recipe::Face;
use crate::recipe::HoleSet;
use crate::recipe::HoleShape;
use crate::recipe::HolesLike;
use crate::recipe::Making;
use crate::recipe::Pattern;
use crate::table::Row;
use std::sync::Arc;

/// Maximum number of holes in one face: each is compared with each. Our choice.
const MAX_IN_FACE: usize = 1000;

/// The holes of a face, those that are `drawn` in outline files behind its own; `None` when
/// something was reported.
pub(super) fn build(
    face: &Face,
    blank: &Region,
    edges: &[NamedEdge],
    drawn: Vec<Hole>,
    values: &Values,
) -> Option<Vec<Hole>> {
    let mut holes = Vec::new();
    let mut made: Vec<&HoleSet> = Vec::new();
    for set in &face.holes {
        let (places, members) = members(set, blank, edges, values)?;
        if !members.is_empty() {
            once(set, &mut made, values)?;
        }
        let numbered = |member: Member| Hole {
            name: match places > 1 {
                true => format!("{} {}", set.name, member.number + 1),
                false => set.name.clone(),
            },
            ..member.hole
        };
        holes.extend(members.into_iter().map(numbered));
        few_enough(holes.len(), set.span, values)?;
    }
    if let Some(first) = drawn.first() {
        few_enough(holes.len() + drawn.len(), first.span, values)?;
    }
    holes.extend(drawn);
    Some(holes)
}

/// Holes are addressed by the name of their set: this names one of them.
fn once<'a>(set: &'a HoleSet, made: &mut Vec<&'a HoleSet>, values: &Values) -> Option<()> {
    let Some(first) = made.iter().find(|other| other.name == set.name) else {
        made.push(set);
        return Some(());
    };
    let headline = format!("two sets of holes of this face are named `{}`", set.name);
    values.findings.add(
        Finding::stop("hole", headline)
            .at(set.span, "")
            .at(first.span, "the first of this name")
            .help("give one of them another `name`"),
    );
    None
}

fn few_enough(holes: usize, span: Span, values: &Values) -> Option<()> {
    if holes <= MAX_IN_FACE {
        return Some(());
    }
    let headline = format!("the face has more than {MAX_IN_FACE} holes");
    values.findings.add(
        Finding::stop("too-many", headline)
            .at(span, "")
            .help("make fewer: `count`, `columns` or `rows`"),
    );
    None
}

/// A hole of a set.
struct Member {
    /// Its number among the places of the set, from 0.
    number: usize,
    /// Where it is in its face.
    place: Place,
    /// The hole, not named yet.
    hole: Hole,
}

/// The number of places of a set, and the holes that are there.
fn members(
    set: &HoleSet,
    blank: &Region,
    edges: &[NamedEdge],
    values: &Values,
) -> Option<(usize, Vec<Member>)> {
    let others = match &set.like {
        Some(like) => Some(drawn_there(like, values)?),
        None => None,
    };
    let (mut places, mut members) = (0, Vec::new());
    values.each(set.each.as_ref(), |values| {
        // The others keep their numbers.
        let (count, left) = match values.holds(set.when.as_ref())? {
            true => one_set(set, others.as_ref(), blank, edges, values)?,
            false => (1, Vec::new()),
        };
        members.extend(left.into_iter().map(|m| Member { number: places + m.number, ..m }));
        places += count;
        few_enough(members.len(), set.span, values)
    })?;
    Some((places, members))
}

/// The number of places of a set that is not repeated, and the holes that are there.
fn one_set(
    set: &HoleSet,
    others: Option<&Others>,
    blank: &Region,
    edges: &[NamedEdge],
    values: &Values,
) -> Option<(usize, Vec<Member>)> {
    let (count, mut members) = match others {
        Some(others) => like_others(set, others, values)?,
        None => {
            let shape = shape(set, values)?;
            let places = own_places(set, shape.size, blank, edges, values)?;
            let numbered = places.iter().enumerate();
            let member = |(number, place): (usize, &Place)| Member {
                number,
                place: *place,
                hole: shape.hole(set, place, values),
            };
            (places.len(), numbered.map(member).collect())
        }
    };
    if members.is_empty() {
        return Some((count, members));
    }
    let without = pattern::without(set, count, values)?;
    members.retain(|member| !without.contains(&member.number));
    Some((count, members))
}

/// The places of the pattern of a set.
fn own_places(
    set: &HoleSet,
    size: HoleSize,
    blank: &Region,
    edges: &[NamedEdge],
    values: &Values,
) -> Option<Vec<Place>> {
    let (rotate, centre) = (values.angle(set.rotate.as_ref())?, values.point(&set.at)?);
    let places = pattern::places(set, centre, rotate, blank, edges, values)?;
    let (HoleShape::ArcSlot(_, line), HoleSize::ArcSlot { radius, sweep, .. }) = (&set.shape, size)
    else {
        return Some(places);
    };
    let from = values.number(&line.ends[0], Dimension::ANGLE)?;
    let middle = Angle::from_degrees(from + sweep / 2.0);
    let out = heading(middle) * radius;
    let of_arc = Place::rotated(middle, out.to_point());
    Some(places.iter().map(|place| of_arc.then(place)).collect())
}

/// Holes of another recipe, in the drawing of their face.
struct Others {
    /// How many places they have.
    count: usize,
    members: Vec<Member>,
    /// Whether they are seen in the mirror.
    mirrored: bool,
    /// The names of this recipe that they depend on.
    depends: Vec<String>,
}

/// The holes that a set is like, where they are drawn.
fn drawn_there(like: &HolesLike, values: &Values) -> Option<Others> {
    let of = like.of.as_ref()?;
    let face = values.recipe.other_face(of.source, &of.face)?;
    let drawn = face.holes.get(of.set)?;
    let there = Values { locals: &[], ..*values };
    let thickness = values.known("thickness")?;
    let blank = blank::build(face, &there, thickness)?;
    let named = [blank.edges, blank.arcs].concat();
    let (count, members) = members(drawn, &blank.region, &named, &there)?;
    let mirrored = face.mirrored != like.mirrored;
    Some(Others { count, members, mirrored, depends: like.depends.clone() })
}

/// Holes of another recipe, as they are in their face, or in their places with a shape of the
/// set's own; the origin of that face at `at`, rotated about it.
fn like_others(set: &HoleSet, others: &Others, values: &Values) -> Option<(usize, Vec<Member>)> {
    let own = match set.shape {
        HoleShape::Like => None,
        _ => Some(shape(set, values)?),
    };
    let (rotation, at) = (values.angle(set.rotate.as_ref())?, values.point(&set.at)?);
    let mirrored = Place { mirrored: others.mirrored, ..Place::default() };
    let here = mirrored.then(&Place::rotated(rotation, at));
    let mut depends = depends::of(set, values);
    depends.extend(others.depends.iter().cloned());
    let moved = |member: &Member| {
        let (drawn, place) = (&member.hole, member.place.then(&here));
        let hole = match &own {
            Some(own) => own.hole(set, &place, values),
            None => Hole {
                outline: drawn.outline.moved(&here),
                at: here.apply(drawn.at),
                ..drawn.clone()
            },
        };
        let hole = Hole { span: set.span, depends: depends.clone(), ..hole };
        Member { number: member.number, place, hole }
    };
    Some((others.count, others.members.iter().map(moved).collect()))
}

/// The data common to the holes of a set.
struct Shaped {
    outline: Outline,
    size: HoleSize,
    finished: Option<f64>,
    recess: Option<Recess>,
    flare: Option<Flare>,
    insert: Option<Insert>,
    through: Option<String>,
    row: Option<Arc<Row>>,
    thread: Option<Arc<Row>>,
}

impl Shaped {
    /// The hole in its place, not named yet.
    fn hole(&self, set: &HoleSet, place: &Place, values: &Values) -> Hole {
        Hole {
            name: String::new(),
            outline: self.outline.moved(place),
            at: place.shift.to_point(),
            size: self.size,
            finished: self.finished,
            making: set.making,
            recess: self.recess,
            flare: self.flare,
            insert: self.insert.clone(),
            through: self.through.clone(),
            row: self.row.clone(),
            thread: self.thread.clone(),
            circle: match &set.pattern {
                Pattern::Circle(circle) => values.length(&circle.diameter),
                _ => None,
            },
            eye: set.eye,
            bears: Bears::Washer,
            span: set.span,
            depends: depends::of(set, values),
        }
    }
}

/// The shape of the holes of a set; `None` when something was reported.
fn shape(set: &HoleSet, values: &Values) -> Option<Shaped> {
    let insert = match &set.shape {
        HoleShape::Insert(insert) => Some(insert::build(insert, values)?),
        _ => None,
    };
    let (size, finished) = match &insert {
        Some(insert) => (HoleSize::Round { diameter: insert.row.measure("hole") }, None),
        None => size(set, values)?,
    };
    let round = match size {
        HoleSize::Round { diameter } => Some(finished.unwrap_or(diameter)),
        _ => None,
    };
    let flare = flare::build(set, round, values)?;
    let pilot = flare.as_ref().filter(|_| finished.is_none()).and_then(Flare::pilot);
    let size = pilot.map_or(size, |diameter| HoleSize::Round { diameter });
    let finished = if flare.is_some() { round } else { finished };
    let outline = match outline(size) {
        Ok(outline) => outline,
        Err(error) => {
            let headline = format!("hole `{}` cannot be made: {error}", set.name);
            values.findings.add(
                Finding::stop("hole", headline).at(set.span, "").help("change its dimensions"),
            );
            return None;
        }
    };
    let row = through::row(set, values)?;
    let recess = recess::build(set, row.as_deref(), round, values)?;
    let through =
        set.through.as_ref().map(|meant| through::called(meant, row.as_deref(), set, values));
    let pilot = if let HoleSize::Round { diameter } = size { Some(diameter) } else { None };
    let tapped = (set.making == Making::Tap).then_some((pilot, finished));
    let thread = tapped.and_then(|of| thread::of(row.as_ref(), of, values.tables));
    Some(Shaped { outline, size, finished, recess, flare, insert, through, row, thread })
}

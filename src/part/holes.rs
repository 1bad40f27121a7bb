//! The holes of a face, each in its place.

use crate::diag::Finding;
use crate::diag::Span;
use crate::formula::Value;
use crate::geom;
use crate::geom::Edge;
use crate::geom::Outline;
use crate::geom::Place;
use crate::geom::Point;
use crate::geom::Region;
use crate::geom::Vec2;
use crate::num::Angle;
use crate::part::depends;
use crate::part::edges::only_edge;
use crate::part::face::Hole;
use crate::part::face::HoleSize;
use crate::part::face::NamedEdge;
use crate::part::insert;
use crate::part::recess;
use crate::part::sweep::sweep;
use crate::part::tongue;
use crate::part::values;
use crate::part::values::Values;
use crate::quantity::Dimension;
use crate::recipe::Circle;
use crate::recipe::Face;
use crate::recipe::HoleSet;
use crate::recipe::HoleShape;
use crate::recipe::Pattern;
use crate::recipe::TongueSlot;

/// Most holes in one direction of a pattern. Our choice: a perforated plate is another trade.
const MOST: u32 = 200;
/// Most holes in one face: each is held against each. Our choice.
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
    for set in &face.holes {
        let mut of_set: Vec<(usize, Hole)> = Vec::new();
        let mut places = 0;
        values.each(set.each.as_ref(), |values| {
            match values.holds(set.when.as_ref())? {
                true => {
                    let (members, left) = one_set(set, blank, edges, values)?;
                    of_set.extend(left.into_iter().map(|(i, hole)| (places + i, hole)));
                    places += members;
                }
                // The others keep their numbers.
                false => places += 1,
            }
            Some(())
        })?;
        let numbered = |(i, hole): (usize, Hole)| Hole {
            name: if places > 1 { format!("{} {}", set.name, i + 1) } else { set.name.clone() },
            ..hole
        };
        holes.extend(of_set.into_iter().map(numbered));
        few_enough(holes.len(), set.span, values)?;
    }
    if let Some(first) = drawn.first() {
        few_enough(holes.len() + drawn.len(), first.span, values)?;
    }
    holes.extend(drawn);
    Some(holes)
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

/// The number of places of a set, and the holes that are there with their indices, not named yet.
fn one_set(
    set: &HoleSet,
    blank: &Region,
    edges: &[NamedEdge],
    values: &Values,
) -> Option<(usize, Vec<(usize, Hole)>)> {
    let insert = match &set.shape {
        HoleShape::Insert(insert) => Some(insert::build(insert, values)?),
        _ => None,
    };
    let (size, finished) = match &insert {
        Some(insert) => (HoleSize::Round { diameter: insert.row.measure("hole") }, None),
        None => size(set, values)?,
    };
    let rotate = values.angle(set.rotate.as_ref())?;
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
    let round = matches!(size, HoleSize::Round { .. });
    let round = finished.or(round.then_some(outline.bounds().width()));
    let recess = recess::build(set, round, values)?;
    let centre = values.point(&set.at)?;
    let mut places = places(set, centre, rotate, blank, edges, values)?;
    if let (HoleShape::ArcSlot(_, line), HoleSize::ArcSlot { radius, sweep, .. }) =
        (&set.shape, size)
    {
        let from = values.number(&line.ends[0], Dimension::ANGLE)?;
        let middle = Angle::from_degrees(from + sweep / 2.0);
        let out = Vec2::new(middle.cos(), middle.sin()) * radius;
        let of_arc = Place::rotated(middle, out.to_point());
        places = places.iter().map(|place| of_arc.then(place)).collect();
    }
    let without = without(set, places.len(), values)?;
    let depends = depends::of(set);
    let pin = set.through.as_deref().and_then(|name| pin(name, values));
    let hole = |place: &Place| Hole {
        name: String::new(),
        outline: outline.moved(place),
        at: place.shift.to_point(),
        size,
        finished,
        making: set.making,
        recess,
        insert: insert.clone(),
        through: set.through.clone(),
        pin,
        eye: set.eye,
        span: set.span,
        depends: depends.clone(),
    };
    let left = places.iter().enumerate().filter(|(i, _)| !without.contains(i));
    Some((places.len(), left.map(|(i, place)| (i, hole(place))).collect()))
}

/// The indices of the places of a pattern that are left out; the others keep their numbers.
fn without(set: &HoleSet, places: usize, values: &Values) -> Option<Vec<usize>> {
    let mut without = Vec::with_capacity(set.without.len());
    for number in &set.without {
        let index = values.count(number, MOST * MOST)? as usize - 1;
        if index >= places {
            let headline = format!("`{}` has {places} holes, no number {}", set.name, index + 1);
            let help = format!("leave out numbers from 1 to {places}");
            values.findings.add(Finding::stop("hole", headline).at(number.span, "").help(help));
            return None;
        }
        without.push(index);
    }
    Some(without)
}

/// The diameter of what goes through, where its name is that of a row: of a bolt, or of the
/// bolt in the ball of a rod end.
fn pin(name: &str, values: &Values) -> Option<f64> {
    let Value::Row(row) = values.params.get(name)? else { return None };
    ["diameter", "bore"].iter().find_map(|field| row.quantity(field)).map(|q| q.value)
}

/// What is cut, and the diameter in the end when that is larger.
fn size(set: &HoleSet, values: &Values) -> Option<(HoleSize, Option<f64>)> {
    let pilot = match &set.pilot {
        Some(pilot) => Some(values.length(pilot)?),
        None => None,
    };
    if pilot.is_some() && !matches!(set.shape, HoleShape::Round(_)) {
        values.findings.add(
            Finding::stop("hole", "only round holes have a pilot")
                .at(set.span, "")
                .help("remove `pilot` and `made`: slots and hexagons are cut"),
        );
        return None;
    }
    Some(match &set.shape {
        HoleShape::Round(diameter) => {
            let diameter = values.length(diameter)?;
            match pilot {
                None => (HoleSize::Round { diameter }, None),
                Some(pilot) if pilot <= diameter => {
                    (HoleSize::Round { diameter: pilot }, Some(diameter))
                }
                Some(_) => {
                    values.findings.add(
                        Finding::stop("hole", "the pilot hole is larger than the hole")
                            .at(set.span, "")
                            .help("make `pilot` smaller than `diameter`"),
                    );
                    return None;
                }
            }
        }
        HoleShape::Slot(width, length) => {
            let (width, length) = (values.length(width)?, values.length(length)?);
            (HoleSize::Slot { width, length }, None)
        }
        HoleShape::ArcSlot(width, line) => {
            let (width, radius) = (values.length(width)?, values.length(&line.radius)?);
            (HoleSize::ArcSlot { width, radius, sweep: sweep(&line.ends, "hole", values)? }, None)
        }
        HoleShape::TongueSlot(slot) => (tongue_slot(slot, values)?, None),
        // Its size is that of its row.
        HoleShape::Insert(_) => return None,
        HoleShape::Hexagon(flats) => (HoleSize::Hexagon { flats: values.length(flats)? }, None),
    })
}

/// The slot that takes a tongue.
fn tongue_slot(slot: &TongueSlot, values: &Values) -> Option<HoleSize> {
    let fit = values.length(&slot.fit)?;
    if fit < 0.0 {
        let headline =
            format!("a fit of {} leaves no clearance", values.params.units().length(fit));
        values.findings.add(
            Finding::stop("hole", headline)
                .at(slot.fit.span, "")
                .help("write `fit = \"0.1 mm\"`, the clearance on each side"),
        );
        return None;
    }
    let plate = match &slot.plate {
        Some(plate) => values.length(plate)?,
        None => values.params.get("thickness").and_then(values::as_length)?,
    };
    let length = values.length(&slot.width)? + 2.0 * fit;
    let width = plate + 2.0 * fit;
    let given = slot.relief.as_ref();
    let relief = tongue::relief(given, values)?;
    let relief =
        if given.is_some() { relief } else { tongue::in_slot(relief, width.min(length), values) };
    Some(HoleSize::TongueSlot { width, length, relief })
}

fn outline(size: HoleSize) -> Result<Outline, geom::OutlineError> {
    match size {
        HoleSize::Round { diameter } => geom::disc(Point::ZERO, diameter / 2.0),
        HoleSize::Slot { width, length } => geom::slot(Point::ZERO, length, width),
        HoleSize::ArcSlot { width, radius, sweep } => {
            geom::arc_slot(Point::ZERO, radius, Angle::from_degrees(sweep), width)
        }
        HoleSize::Hexagon { flats } => geom::hexagon(Point::ZERO, flats),
        HoleSize::TongueSlot { width, length, relief } => {
            geom::tongue_slot(Point::ZERO, length, width, relief)
        }
    }
}

/// Where the holes of a set go: the pattern rotated about the middle, each hole with it.
fn places(
    set: &HoleSet,
    centre: Point,
    rotate: Angle,
    blank: &Region,
    edges: &[NamedEdge],
    values: &Values,
) -> Option<Vec<Place>> {
    let spread =
        |n: u32, pitch: f64| (0..n).map(move |i| (f64::from(i) - f64::from(n - 1) / 2.0) * pitch);
    let rotated = Place::rotated(rotate, centre);
    let all = |points: Vec<Point>| {
        points.into_iter().map(|p| Place::rotated(rotate, rotated.apply(p))).collect::<Vec<_>>()
    };
    Some(match &set.pattern {
        Pattern::Single => vec![rotated],
        Pattern::Span(count, span) => {
            let (n, span) = (values.count(count, tongue::MOST)?, values.length(span)?);
            all(tongue::spread(n, span).map(|x| Point::new(x, 0.0)).collect())
        }
        Pattern::Row(count, pitch) => {
            let (n, pitch) = (values.count(count, MOST)?, values.length(pitch)?);
            all(spread(n, pitch).map(|x| Point::new(x, 0.0)).collect())
        }
        Pattern::Grid(columns, rows, pitch) => {
            let (nx, ny) = (values.count(columns, MOST)?, values.count(rows, MOST)?);
            let pitch = values.point(pitch)?;
            let row = |y: f64| spread(nx, pitch.x).map(move |x| Point::new(x, y));
            all(spread(ny, pitch.y).flat_map(row).collect())
        }
        Pattern::Circle(circle) => on_circle(circle, rotate, &rotated, values)?,
        Pattern::Along(name, count, inset, ends) => {
            let (n, inset) = (values.count(count, MOST)?, values.length(inset)?);
            let ends = values.length(ends)?;
            along_edge(set, &values.edge_name(name), edges, (n, inset, ends), values)?
        }
        Pattern::Corners(inset) => {
            let inset = values.length(inset)?;
            let b = blank.bounds();
            let (x, y) = (b.width() / 2.0 - inset, b.height() / 2.0 - inset);
            let corners = [(-x, -y), (x, -y), (x, y), (-x, y)];
            corners.iter().map(|c| Place::rotated(rotate, b.centre() + *c)).collect()
        }
    })
}

/// Places on a circle about the origin of `rotated`, which is rotated by `rotate`.
fn on_circle(
    circle: &Circle,
    rotate: Angle,
    rotated: &Place,
    values: &Values,
) -> Option<Vec<Place>> {
    let n = values.count(&circle.count, MOST)?;
    let diameter = values.length(&circle.diameter)?;
    let start = match &circle.start {
        Some(start) => values.number(start, Dimension::ANGLE)?,
        None => 0.0,
    };
    let across = if circle.tangential { 90.0 } else { 0.0 };
    let at = |i: u32| {
        let angle = Angle::from_degrees(start + 360.0 * f64::from(i) / f64::from(n));
        let out = Vec2::new(angle.cos(), angle.sin()) * (diameter / 2.0);
        Place::rotated(
            Angle::from_degrees(rotate.degrees() + angle.degrees() + across),
            rotated.apply(out.to_point()),
        )
    };
    Some((0..n).map(at).collect())
}

fn along_edge(
    set: &HoleSet,
    name: &str,
    edges: &[NamedEdge],
    (count, inset, ends): (u32, f64, f64),
    values: &Values,
) -> Option<Vec<Place>> {
    let edge = match only_edge(edges, &[], name) {
        Ok(edge) => &edges[edge],
        Err((headline, help)) => {
            values.findings.add(Finding::stop("hole", headline).at(set.span, "").help(help));
            return None;
        }
    };
    let length = edge.edge.length();
    let place = |i: u32| {
        let share = if count == 1 { 0.5 } else { f64::from(i) / f64::from(count - 1) };
        let run = ends + share * (length - 2.0 * ends);
        let (at, along) = at_run(&edge.edge, run);
        let inward = Vec2::new(-along.y, along.x);
        Place::rotated(Angle::of(along.x, along.y), at + inward * inset)
    };
    Some((0..count).map(place).collect())
}

/// The point so far along an edge, and the direction there.
fn at_run(edge: &Edge, run: f64) -> (Point, Vec2) {
    match edge.arc() {
        None => {
            let along = edge.direction_at_start();
            (edge.from + along * run, along)
        }
        Some(arc) => {
            let at = edge.point_at(run / edge.length());
            let out = (at - arc.centre) / arc.radius * edge.bulge.signum();
            (at, Vec2::new(-out.y, out.x))
        }
    }
}

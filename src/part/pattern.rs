//! Where the holes of a set are: their patterns.

use crate::diag::Finding;
use crate::geom::Edge;
use crate::geom::Place;
use crate::geom::Point;
use crate::geom::Region;
use crate::geom::Vec2;
use crate::geom::heading;
use crate::num::Angle;
use crate::part::edges::only_edge;
use crate::part::face::NamedEdge;
use crate::part::spacing;
use crate::part::spacing::MAX;
use crate::part::tongue;
use crate::part::values::Values;
use crate::quantity::Dimension;
use crate::recipe::Amount;
use crate::recipe::Circle;
use crate::recipe::Expr;
use crate::recipe::HoleSet;
use crate::recipe::Pattern;

/// The positions of the holes of a set: the pattern rotated about the centre, each hole with it.
pub(super) fn places(
    set: &HoleSet,
    centre: Point,
    rotate: Angle,
    blank: &Region,
    edges: &[NamedEdge],
    values: &Values,
) -> Option<Vec<Place>> {
    let rotated = Place::rotated(rotate, centre);
    let all = |points: Vec<Point>| {
        points.into_iter().map(|p| Place::rotated(rotate, rotated.apply(p))).collect::<Vec<_>>()
    };
    Some(match &set.pattern {
        // The holes it is like have positions already.
        Pattern::Like => Vec::new(),
        Pattern::Single => vec![rotated],
        Pattern::Span(count, span) => {
            let n = values.count(count, tongue::MAX)?;
            let span = values.span("hole", n, span)?;
            all(tongue::spread(n, span).map(|x| Point::new(x, 0.0)).collect())
        }
        Pattern::Row(spacing, across) => {
            let row = spacing::spread(spacing, values)?;
            let places = all(row.into_iter().map(|x| Point::new(x, 0.0)).collect());
            let turned = Angle::from_degrees(rotate.degrees() + 90.0);
            let set = |place: Place| match across {
                true => Place { rotation: turned, ..place },
                false => place,
            };
            places.into_iter().map(set).collect()
        }
        Pattern::Grid(both) => {
            let [x, y] = both.as_ref();
            let (columns, rows) = (spacing::spread(x, values)?, spacing::spread(y, values)?);
            let row = |y: f64| columns.iter().map(move |x| Point::new(*x, y));
            all(rows.into_iter().flat_map(row).collect())
        }
        Pattern::Circle(circle) => on_circle(circle, rotate, &rotated, values)?,
        Pattern::Along(names, amount, inset, ends) => {
            let inset = values.length(inset)?;
            let of = |name: &String| {
                along_edge(set, &values.edge_name(name), edges, (amount, inset, ends), values)
            };
            names.iter().map(of).collect::<Option<Vec<_>>>()?.concat()
        }
        Pattern::Corners(inset) => {
            let inset = values.length(inset)?;
            let b = blank.bounds();
            let (x, y) = (b.width() / 2.0 - inset, b.height() / 2.0 - inset);
            // In rows from the bottom, as a grid counts.
            let corners = [(-x, -y), (x, -y), (-x, y), (x, y)];
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
    let n = values.count(&circle.count, MAX)?;
    let diameter = values.length(&circle.diameter)?;
    let start = match &circle.start {
        Some(start) => values.number(start, Dimension::ANGLE)?,
        None => 0.0,
    };
    let pitch = match &circle.pitch {
        Some(pitch) => Some(values.number(pitch, Dimension::ANGLE)?),
        None => None,
    };
    let across = if circle.tangential { 90.0 } else { 0.0 };
    let at = |i: u32| {
        let i = f64::from(i);
        let angle = start + pitch.map_or_else(|| 360.0 * i / f64::from(n), |pitch| pitch * i);
        let angle = Angle::from_degrees(angle);
        let out = heading(angle) * (diameter / 2.0);
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
    (amount, inset, ends): (&Amount, f64, &Expr),
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
    let (count, ends) = match spacing::counted(amount, values)? {
        // A single one is in the centre, whatever its ends.
        Some(1) => (1, length / 2.0),
        counted => {
            let ends = values.ends("hole", ends, (name, length))?;
            match spacing::on_span(amount, counted, length - 2.0 * ends, values)? {
                1 => (1, length / 2.0),
                more => (more, ends),
            }
        }
    };
    let place = |i: u32| {
        let share = f64::from(i) / f64::from(count.max(2) - 1);
        let run = ends + share * (length - 2.0 * ends);
        let (at, along) = at_run(&edge.edge, run);
        let inward = Vec2::new(-along.y, along.x);
        Place::rotated(Angle::of(along.x, along.y), at + inward * inset)
    };
    Some((0..count).map(place).collect())
}

/// The point at a distance along an edge, and the direction there.
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

/// The indices of the places of a pattern that are left out; the others keep their numbers.
pub(super) fn without(set: &HoleSet, places: usize, values: &Values) -> Option<Vec<usize>> {
    let mut without = Vec::with_capacity(set.without.len());
    for number in &set.without {
        let index = values.count(number, MAX * MAX)? as usize - 1;
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

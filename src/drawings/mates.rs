//! The round tubes to which plates are coped and welded: the edge at each, their angle to the
//! sheet, and the angle between two of them.

use crate::drawings::printed;
use crate::flat::to_origin;
use crate::geom::Edge;
use crate::job::Job;
use crate::num;
use crate::num::Angle;
use crate::paper::figure_text;
use crate::part;
use crate::part::Cope;
use crate::part::Face;
use crate::part::Weld;
use crate::solve::Solved;

/// A direction lies along a sheet or square to it within this, as a sine.
const SAME: f64 = 1e-6;

/// Which edge is welded to which tube: `main to tube Ø38`.
pub(super) fn words(job: &Job, face: &Face, weld: &Weld, thickness: f64) -> Option<String> {
    let cope = part::coped_to(face, weld, thickness)?;
    let edge = printed::name(&weld.edge);
    Some(format!("{edge} to tube Ø{}", figure_text(job.units, cope.outside)))
}

/// The position of a tube that is neither normal nor parallel to the sheet, so that its curve can
/// be developed again: `its axis at 60° to the sheet, …`.
pub(super) fn tube_position(job: &Job, solved: &Solved, face: usize, cope: &Cope) -> String {
    let place = solved.flat.places[face].then(&to_origin(&solved.flat.region));
    // Through mid-thickness.
    let at = place.apply(cope.at - cope.along * (cope.above / cope.rise));
    let up = place.direction(cope.along) * cope.rise.signum();
    let text = |mm: f64| figure_text(job.units, mm);
    let degrees = |angle: Angle| num::text(angle.degrees(), 1);
    format!(
        "its axis at {}° to the sheet, through X {}, Y {} at mid-thickness, rising {}",
        degrees(num::asin(cope.rise.abs().min(1.0))),
        text(at.x),
        text(at.y),
        towards(Angle::of(up.x, up.y)),
    )
}

/// The side of the flat to which a direction points, in words.
fn towards(way: Angle) -> String {
    let angle = num::text(way.degrees().rem_euclid(360.0), 1);
    match angle.as_str() {
        "0" | "360" => "to the right".into(),
        "90" => "to the top".into(),
        "180" => "to the left".into(),
        "270" => "to the bottom".into(),
        _ => format!("towards {angle}°, anticlockwise from X"),
    }
}

/// The angle of two tubes along the sheet to whose welded edges a face is cut, on the side of the
/// metal: `Between main and branch, tube to tube: 105°.`
pub(super) fn angles(solved: &Solved) -> Vec<String> {
    let mut lines = Vec::new();
    for face in &solved.part.faces {
        let along = |weld: &&Weld| {
            let cope = part::coped_to(face, weld, solved.part.thickness);
            weld.stretches.len() == 1 && cope.is_some_and(|cope| cope.rise.abs() < SAME)
        };
        let welds: Vec<&Weld> = face.welds.iter().filter(along).collect();
        for (i, one) in welds.iter().enumerate() {
            for other in &welds[i + 1..] {
                let degrees = between(&one.stretches[0], &other.stretches[0]);
                let is_straight = (degrees - 180.0).abs() < 0.05;
                if !is_straight {
                    let angle = num::text(degrees, 1);
                    let [one, other] = [one, other].map(|weld| printed::name(&weld.edge));
                    lines.push(format!("Between {one} and {other}, tube to tube: {angle}°."));
                }
            }
        }
    }
    lines
}

/// The angle between two straight edges at the corner where one leads to the other, metal to their
/// left, degrees.
fn between(one: &Edge, other: &Edge) -> f64 {
    let leads = (other.from - one.to).hypot() <= (one.from - other.to).hypot();
    let [first, next] = if leads { [one, other] } else { [other, one] };
    let (a, b) = (first.direction_at_start(), next.direction_at_start());
    180.0 - Angle::of(a.dot(b), a.cross(b)).degrees()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::Point;
    use crate::geom::heading;

    #[test]
    fn a_tube_rises_to_a_side_of_the_flat() {
        let words = [0.0, -0.01, 180.0, 90.0, 35.0].map(|a| towards(Angle::from_degrees(a)));
        let wanted = ["to the right", "to the right", "to the left", "to the top"];
        assert_eq!(words[..4], wanted);
        assert_eq!(words[4], "towards 35°, anticlockwise from X");
    }

    #[test]
    fn two_edges_have_the_angle_of_the_metal_between_them() {
        for degrees in [30.0, 75.0, 90.0, 105.0, 150.0] {
            // Down a slanting edge to the corner, and away from it along x.
            let far = Point::ZERO + heading(Angle::from_degrees(degrees)) * 50.0;
            let down = Edge::line(far, Point::ZERO);
            let away = Edge::line(Point::ZERO, Point::new(60.0, 0.0));
            for angle in [between(&down, &away), between(&away, &down)] {
                assert!((angle - degrees).abs() < 1e-9, "{angle}, not {degrees}");
            }
        }
    }
}

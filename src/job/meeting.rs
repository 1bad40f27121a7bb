//! How a tube between two points meets another: angle, offset and heel of its cope.

use crate::geom::Space;
use crate::geom::cross;
use crate::geom::dot;
use crate::geom::length;
use crate::geom::minus;
use crate::geom::plus;
use crate::geom::times;
use crate::geom::unit;
use crate::num::Angle;

/// The axis of a tube.
#[derive(Clone, Debug)]
pub(super) struct Axis {
    /// Its name.
    pub(super) name: String,
    /// Its straight legs.
    pub(super) legs: Vec<[Space; 2]>,
    /// Outside diameter, mm.
    pub(super) outside: f64,
}

/// How an end of a tube meets a main.
#[derive(Clone, Copy, Debug)]
pub(super) struct Meeting {
    /// Where its axis passes that of the main.
    pub(super) node: Space,
    /// The smaller angle between the axes.
    pub(super) angle: Angle,
    /// How far its axis is to the right of the main's, with the main below and the heel in front.
    pub(super) offset: f64,
    /// To the side on which the angle between the two is widest, of length 1.
    heel: Space,
}

/// The sine of the angle below which two axes have no place where they pass. Our choice.
const ALONG: f64 = 1e-3;

impl Axis {
    /// The leg that comes nearest to a place.
    fn leg(&self, to: Space) -> [Space; 2] {
        let far = |[from, end]: &[Space; 2]| {
            let way = minus(*end, *from);
            let share = dot(minus(to, *from), way) / dot(way, way).max(1e-12);
            length(minus(to, plus(*from, times(way, share.clamp(0.0, 1.0)))))
        };
        let nearest = self.legs.iter().min_by(|a, b| far(a).total_cmp(&far(b)));
        nearest.copied().unwrap_or([to, to])
    }

    /// How far along it a place is from where it begins, mm.
    pub(super) fn along(&self, to: Space) -> f64 {
        let nearest = self.leg(to);
        let before = self.legs.iter().take_while(|leg| **leg != nearest);
        let before: f64 = before.map(|[from, end]| length(minus(*end, *from))).sum();
        before + dot(minus(to, nearest[0]), unit(minus(nearest[1], nearest[0])))
    }

    /// How a tube meets it with the end at `ends[end]`; nothing where the two run along each other.
    pub(super) fn met(&self, ends: [Space; 2], end: usize) -> Option<Meeting> {
        let [from, to] = self.leg(ends[end]);
        // Away from the main.
        let away = unit(minus(ends[1 - end], ends[end]));
        let main = unit(minus(to, from));
        let across = cross(away, main);
        let sine = length(across);
        if sine < ALONG {
            return None;
        }
        // The places where the lines pass each other.
        let between = minus(from, ends[end]);
        let along = dot(cross(between, main), across) / (sine * sine);
        let node = plus(ends[end], times(away, along));
        let foot = plus(from, times(main, dot(minus(node, from), main)));
        // The throat is where the main runs along with the tube.
        let throat = if dot(away, main) >= 0.0 { main } else { times(main, -1.0) };
        let heel = times(unit(minus(throat, times(away, dot(throat, away)))), -1.0);
        let offset = dot(minus(node, foot), cross(away, heel));
        let angle = Angle::of(dot(away, main).abs(), sine);
        Some(Meeting { node, angle, offset, heel })
    }
}

/// How far the heel of the far end is turned from that of the start, clockwise seen from the start.
pub(super) fn twist(ends: [Space; 2], met: [&Meeting; 2]) -> Angle {
    let along = unit(minus(ends[1], ends[0]));
    let [u, v] = [met[0].heel, met[1].heel];
    Angle::of(dot(u, v), dot(along, cross(u, v)))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: a tube that rises from a main along x, and leans 60° to it at its far end.
    #[test]
    fn a_tube_meets_its_mains_as_by_hand() {
        let main = |legs| Axis { name: "main".into(), legs: vec![legs], outside: 60.3 };
        let low = main([[-500.0, 4.0, 0.0], [500.0, 4.0, 0.0]]);
        let (sin, cos) = (Angle::from_degrees(60.0).sin(), Angle::from_degrees(60.0).cos());
        let high = main([[0.0, 0.0, 700.0], [0.0, 100.0 * sin, 700.0 + 100.0 * cos]]);
        let ends = [[0.0, 0.0, 10.0], [0.0, 0.0, 690.0]];
        let (first, second) = (low.met(ends, 0).unwrap(), high.met(ends, 1).unwrap());
        assert!(length(minus(first.node, [0.0; 3])) < 1e-9, "{first:?}");
        assert!((first.offset.abs() - 4.0).abs() < 1e-9, "{first:?}");
        assert!((first.angle.degrees() - 90.0).abs() < 1e-9);
        assert!((second.angle.degrees() - 60.0).abs() < 1e-9, "{second:?}");
        assert!(length(minus(second.node, [0.0, 0.0, 700.0])) < 1e-9 && second.offset.abs() < 1e-9);
        // Seen from the end at the top the main runs down with the tube to −y: the heel is at +y.
        assert!(dot(second.heel, [0.0, 1.0, 0.0]) > 1.0 - 1e-9, "{second:?}");
        let twist = twist(ends, [&first, &second]).degrees();
        assert!((twist.abs() - 90.0).abs() < 1e-9, "{twist}");
        let along = main([[5.0, 0.0, 0.0], [5.0, 0.0, 900.0]]);
        assert!(along.met(ends, 0).is_none());
    }
}

//! The development of a coped end: a sheet to wrap round the tube.

use crate::cope::end::Cope;
use crate::geom::Point;
use crate::num;
use crate::num::Angle;

/// The name of the line at which the heel of the tube's other end lies.
pub(crate) const OTHER_HEEL: &str = "heel of the other end";

/// Steps round the tube, a multiple of four: the kinks of equal tubes lie on quarters.
const STEPS: u32 = 720;

/// Minimum width of the sheet beyond the short point, mm, so that it lies round the tube.
const BAND: f64 = 25.0;

/// A wrap template, printed side out, the body of the tube above: x runs round the outside
/// of the tube from heel to heel, y along it from the long point. Lengths are mm.
#[derive(Clone, Debug, PartialEq)]
pub struct Wrap {
    /// Circumference of the tube.
    pub width: f64,
    /// To the upper edge, which lies square round the tube.
    pub height: f64,
    /// The line to cut along, from left to right.
    pub edge: Vec<Point>,
    /// Lines along the tube.
    pub lines: Vec<Line>,
}

/// A line along the tube.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// Its position.
    pub x: f64,
    /// From the edge, where it meets it.
    pub from: f64,
    /// What it is.
    pub name: &'static str,
}

impl Cope {
    /// The template of this end. `other` is the angle φ at which the heel of the tube's other
    /// end lies, where there is one.
    pub fn wrap(&self, other: Option<Angle>) -> Wrap {
        let (long, short) = (self.long(), self.short());
        let x = |phi: Angle| self.outside() / 2.0 * phi.radians();
        let y = |phi: Angle| self.line(phi) - long;
        let phi = |i: u32| Angle::from_degrees(360.0 * f64::from(i) / f64::from(STEPS));
        let edge = (0..=STEPS).map(phi).map(|phi| Point::new(x(phi), y(phi).max(0.0))).collect();
        let line = |(degrees, name): (f64, &'static str)| {
            let phi = Angle::from_degrees(degrees);
            Line { x: x(phi), from: y(phi).max(0.0), name }
        };
        let quarters = [(90.0, "right"), (180.0, "throat"), (270.0, "left")];
        let mut lines: Vec<Line> = quarters.into_iter().map(line).collect();
        lines.extend(other.map(|phi| line((phi.degrees().rem_euclid(360.0), OTHER_HEEL))));
        Wrap { width: num::PI * self.outside(), height: (short - long + BAND).ceil(), edge, lines }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cope::Cut;

    #[test]
    fn the_template_goes_once_round_and_touches_its_lower_edge() {
        let angle = Angle::from_degrees(60.0);
        let cope = Cope::new(60.3, 48.3, 2.6, angle, 3.0, Cut::Fitted).unwrap();
        let wrap = cope.wrap(Some(Angle::from_degrees(-30.0)));
        assert!((wrap.width - num::PI * 48.3).abs() < 1e-9);
        let (first, last) = (wrap.edge[0], wrap.edge[wrap.edge.len() - 1]);
        assert!(first.x == 0.0 && (last.x - wrap.width).abs() < 1e-9);
        assert!((first.y - last.y).abs() < 1e-9, "heel meets heel");
        let min = wrap.edge.iter().map(|p| p.y).fold(f64::INFINITY, f64::min);
        let max = wrap.edge.iter().map(|p| p.y).fold(0.0, f64::max);
        assert!(min < 1e-3 && (max - (cope.short() - cope.long())).abs() < 1e-3);
        let other = wrap.lines.iter().find(|l| l.name == OTHER_HEEL).unwrap();
        assert!((other.x - wrap.width * 330.0 / 360.0).abs() < 1e-9);
        // Chords stay within 0.01 mm of the true curve.
        for pair in wrap.edge.windows(2) {
            let middle = pair[0].midpoint(pair[1]);
            let phi = Angle::from_radians(middle.x / (48.3 / 2.0));
            assert!((cope.line(phi) - cope.long() - middle.y).abs() < 0.01);
        }
    }
}

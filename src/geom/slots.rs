//! What kind of slot an outline is, and how it lies.

use crate::geom::edge::Arc;
use crate::geom::edge::Edge;
use crate::geom::near::NEAR;
use crate::geom::outline::Outline;
use crate::geom::ray::heading;
use crate::num::Angle;
use kurbo::Point;

/// An arc this near to half a turn counts as half a turn, degrees.
const HALF_TURN: f64 = 0.01;

/// A slot with round ends along an arc.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ArcSlot {
    /// Centre of the arc, which may be far from the slot.
    pub centre: Point,
    /// Of its centre line, mm.
    pub radius: f64,
    /// mm.
    pub width: f64,
    /// From the centre of the arc to that of the end of the slot at which it begins, over −180°,
    /// at most 180°.
    pub from: Angle,
    /// Anticlockwise to the centre of the other end.
    pub sweep: Angle,
}

impl ArcSlot {
    /// Its centre line, `beyond` longer at both ends, mm, in stretches of at most half a turn.
    pub fn line(&self, beyond: f64) -> Vec<Edge> {
        let more = Angle::from_radians(beyond / self.radius).degrees();
        let (from, sweep) = (self.from.degrees() - more, self.sweep.degrees() + 2.0 * more);
        let at = |share: f64| {
            let angle = Angle::from_degrees(from + sweep * share);
            self.centre + heading(angle) * self.radius
        };
        // Thirds of a turn and less have bulges below 1.
        let bulge = Angle::from_degrees(sweep / 12.0).tan();
        let third =
            |k: u32| Edge { from: at(f64::from(k) / 3.0), to: at(f64::from(k + 1) / 3.0), bulge };
        (0..3).map(third).collect()
    }
}

impl Outline {
    /// The slot along an arc this outline is.
    pub fn arc_slot(&self) -> Option<ArcSlot> {
        let arcs: Vec<Arc> = self.edges().map(|edge| edge.arc()).collect::<Option<_>>()?;
        // Only its inner side turns clockwise.
        let centre = arcs.iter().find(|arc| arc.sweep.degrees() < 0.0)?.centre;
        let is_side = |arc: &Arc| (arc.centre - centre).hypot() < NEAR;
        let caps: Vec<&Arc> = arcs.iter().filter(|arc| !is_side(arc)).collect();
        let [a, b] = caps.as_slice() else { return None };
        let is_cap = |arc: &Arc| (arc.sweep.degrees() - 180.0).abs() < HALF_TURN;
        let radius = (a.centre - centre).hypot();
        let alike = (a.radius - b.radius).abs() < NEAR
            && ((b.centre - centre).hypot() - radius).abs() < NEAR;
        if !(is_cap(a) && is_cap(b) && alike) {
            return None;
        }
        // Behind the cap at which it begins comes its outer side.
        let next = |i: usize| &arcs[(i + 1) % arcs.len()];
        let begins = |i: &usize| !is_side(&arcs[*i]) && next(*i).sweep.degrees() > 0.0;
        let first = &arcs[(0..arcs.len()).find(begins)?];
        let outer = arcs.iter().filter(|arc| is_side(arc) && arc.sweep.degrees() > 0.0);
        let out = first.centre - centre;
        Some(ArcSlot {
            centre,
            radius,
            width: 2.0 * a.radius,
            from: Angle::of(out.x, out.y),
            sweep: Angle::from_degrees(outer.map(|arc| arc.sweep.degrees()).sum()),
        })
    }

    /// The direction of its longest straight edge, from 0° to below 180°; none without one.
    pub fn runs_at(&self) -> Option<Angle> {
        let lines = self.edges().filter(Edge::is_line);
        let longest = lines.max_by(|a, b| (a.length() + NEAR).total_cmp(&b.length()))?;
        let along = longest.to - longest.from;
        let degrees = Angle::of(along.x, along.y).degrees().rem_euclid(180.0);
        Some(Angle::from_degrees(if degrees > 180.0 - NEAR { 0.0 } else { degrees }))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom;
    use crate::geom::Place;

    #[test]
    fn a_slot_along_an_arc_is_found_in_any_place_and_hand() {
        for (sweep, turn, mirrored) in
            [(70.0, 45.0, false), (120.0, 0.0, true), (200.0, 170.0, false), (250.0, -100.0, true)]
        {
            let slot = geom::arc_slot(Point::ZERO, 25.0, Angle::from_degrees(sweep), 7.0)
                .unwrap_or_else(|e| panic!("{e}"));
            let place = Place {
                mirrored,
                ..Place::rotated(Angle::from_degrees(turn), Point::new(12.0, -5.0))
            };
            let found = slot.moved(&place).arc_slot().expect("it is a slot along an arc");
            let centre = place.apply(Point::new(-25.0, 0.0));
            assert!((found.centre - centre).hypot() < 1e-6, "{sweep}: {found:?}");
            assert!((found.radius - 25.0).abs() < 1e-6 && (found.width - 7.0).abs() < 1e-6);
            assert!((found.sweep.degrees() - sweep).abs() < 1e-6, "{found:?}");
            // The centre of its centre line is where the slot has its centre.
            let line = found.line(0.0);
            assert!((line[1].point_at(0.5) - place.apply(Point::ZERO)).hypot() < 1e-6);
        }
        for other in [geom::disc(Point::ZERO, 5.0), geom::slot(Point::ZERO, 20.0, 6.0)] {
            assert_eq!(other.unwrap_or_else(|e| panic!("{e}")).arc_slot(), None);
        }
    }

    #[test]
    fn a_slot_runs_along_its_sides() {
        let slot = geom::slot(Point::ZERO, 20.0, 6.0).unwrap_or_else(|e| panic!("{e}"));
        for (turn, wanted) in [(0.0, 0.0), (30.0, 30.0), (180.0, 0.0), (225.0, 45.0), (90.0, 90.0)]
        {
            let place = Place::rotated(Angle::from_degrees(turn), Point::ZERO);
            let runs = slot.moved(&place).runs_at().expect("it has straight sides");
            assert!((runs.degrees() - wanted).abs() < 1e-6, "{turn}: {runs:?}");
        }
    }
}

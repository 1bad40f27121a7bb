//! The foot of a tab on a tube, and how near two of them are.

use crate::geom::Edge;
use crate::num;
use crate::num::Angle;
use crate::part::Part;

/// Less than this, mm, is rounding.
const ROUNDING: f64 = 1e-6;

/// The least sine of an angle between a tube and a tab. Our choice.
const FLATTEST: f64 = 0.1;

/// The area on a tube that a tab stands on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Foot {
    /// Its length along the tube, mm.
    pub(crate) along: f64,
    /// Its width across the tube, mm, straight.
    pub(crate) across: f64,
    /// The leg of its fillet, mm; 0 where it is not known.
    pub(crate) leg: f64,
}

impl Foot {
    /// The foot of a part: set along the tube, or, where it is cut for a tube, across it at an angle to the
    /// axis. Of a part that is bent or has more than one welded edge only its thickness is known.
    pub(crate) fn of(part: &Part, across: Option<Angle>) -> Self {
        let thickness = part.thickness;
        let Some((long, leg)) = welded(part) else {
            return Self { along: thickness, across: thickness, leg: 0.0 };
        };
        match across {
            Some(angle) => {
                let along = thickness / angle.sin().abs().max(FLATTEST);
                Self { along, across: long, leg }
            }
            None => Self { along: long, across: thickness, leg },
        }
    }

    /// Its width round a tube of an outside diameter, mm.
    fn round(&self, outside: f64) -> f64 {
        outside * self.half_round(outside).radians()
    }

    /// How far round a tube of an outside diameter it reaches to either side.
    pub(crate) fn half_round(&self, outside: f64) -> Angle {
        num::asin((self.across / outside).clamp(0.0, 1.0))
    }
}

/// The length of the only welded edge of a flat part, and the leg of its weld, mm.
fn welded(part: &Part) -> Option<(f64, f64)> {
    let [face] = part.faces.as_slice() else { return None };
    let ([weld], true) = (face.welds.as_slice(), part.bends.is_empty()) else { return None };
    let (first, last): (&Edge, &Edge) = (weld.stretches.first()?, weld.stretches.last()?);
    Some(((last.to - first.from).hypot(), weld.leg.unwrap_or(0.0)))
}

/// Two feet on one tube.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Apart {
    /// From centre to centre along the tube and round it, mm.
    pub(crate) centres: [f64; 2],
    /// Half the length of both together, and half the width, mm.
    pub(crate) halves: [f64; 2],
    /// The legs of both fillets together, mm.
    pub(crate) legs: f64,
}

impl Apart {
    /// Two feet, each with its distance from the start of the tube, mm, and its angle from the heel line.
    pub(crate) fn new(outside: f64, [a, b]: [(&Foot, f64, Angle); 2]) -> Self {
        let turned = (a.2.degrees() - b.2.degrees()).rem_euclid(360.0);
        let turned = Angle::from_degrees(turned.min(360.0 - turned));
        Self {
            centres: [(a.1 - b.1).abs(), turned.radians() * outside / 2.0],
            halves: [
                (a.0.along + b.0.along) / 2.0,
                (a.0.round(outside) + b.0.round(outside)) / 2.0,
            ],
            legs: a.0.leg + b.0.leg,
        }
    }

    /// What is between them along the tube and round it, mm: less than 0 where they are beside each other.
    fn between(&self) -> [f64; 2] {
        [0, 1].map(|i| self.centres[i] - self.halves[i])
    }

    /// Whether one is on the other.
    pub(crate) fn overlap(&self) -> bool {
        self.between().iter().all(|between| *between < -ROUNDING)
    }

    /// The distance between them, mm.
    pub(crate) fn gap(&self) -> f64 {
        let [along, round] = self.between().map(|between| between.max(0.0));
        num::hypot(along, round)
    }

    /// Whether their fillets have no room between them.
    pub(crate) fn crowds_weld(&self) -> bool {
        self.gap() + ROUNDING < self.legs
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// On 38 mm, two feet of 30 × 4 mm with fillets of 3 mm. Along it, 40 apart: 10 between; 34: 4, less than
    /// 6; 29: one on the other. Beside each other, 30° are 9.948 mm round, and 4 mm are 4.007: 5.94 between.
    #[test]
    fn feet_are_apart_as_by_hand() {
        let foot = Foot { along: 30.0, across: 4.0, leg: 3.0 };
        let at = |place: f64, degrees: f64| {
            let both = [(&foot, 100.0, Angle::ZERO), (&foot, place, Angle::from_degrees(degrees))];
            Apart::new(38.0, both)
        };
        assert!((at(140.0, 0.0).gap() - 10.0).abs() < 1e-9 && !at(140.0, 0.0).crowds_weld());
        assert!((at(134.0, 0.0).gap() - 4.0).abs() < 1e-9 && at(134.0, 0.0).crowds_weld());
        assert!(at(129.0, 0.0).overlap() && !at(130.0, 0.0).overlap());
        let beside = at(100.0, 330.0);
        assert!((beside.gap() - 5.94).abs() < 0.005, "{}", beside.gap());
        assert!(beside.crowds_weld() && !beside.overlap());
        assert!(!at(100.0, 31.0).crowds_weld());
    }
}

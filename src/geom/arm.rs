//! The region that an arm sweeps about its pivot.

use crate::geom::edge::Edge;
use crate::geom::near::NEAR;
use crate::geom::outline::Outline;
use crate::geom::outline::OutlineError;
use crate::geom::outline::Vertex;
use crate::geom::ray::ray;
use crate::geom::shape::disc;
use crate::num::Angle;
use kurbo::Point;
use kurbo::Vec2;

/// A bar with round ends that swings about the centre of one of them.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Arm {
    /// From the pivot to the centre of the other end, mm.
    pub radius: f64,
    /// Across, mm.
    pub width: f64,
    /// The direction in which it begins, anticlockwise from x.
    pub from: Angle,
    /// How far it swings, anticlockwise.
    pub sweep: Angle,
}

/// A side of the area that an arm sweeps.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ArmSide {
    /// Straight, beside the arm where it begins.
    From,
    /// Straight, beside the arm where it ends.
    To,
    /// The arc its round end draws.
    Nose,
}

impl ArmSide {
    /// Its name as an edge.
    pub fn name(self) -> &'static str {
        match self {
            Self::From => "from",
            Self::To => "to",
            Self::Nose => "nose",
        }
    }
}

/// The area an arm sweeps: its outline, and the sides that have a name.
pub type Swept = (Outline, Vec<(ArmSide, Edge)>);

/// A chain of vertices, each with the name of the side that leaves it.
type Chain = Vec<(Vertex, Option<ArmSide>)>;

impl Arm {
    /// The area it sweeps, its pivot at the origin: a sector grown by half the width.
    ///
    /// # Errors
    /// When a dimension is not positive, or it swings through more than a full turn.
    pub fn swept(&self) -> Result<Swept, OutlineError> {
        let (half, sweep) = (self.width / 2.0, self.sweep.degrees());
        if ![self.radius, half, sweep, self.from.degrees()].iter().all(|x| x.is_finite()) {
            return Err(OutlineError::NotFinite);
        }
        if self.radius <= 0.0 || half <= 0.0 || sweep <= 0.0 {
            return Err(OutlineError::Measures("every dimension must be more than 0"));
        }
        if sweep > 360.0 {
            return Err(OutlineError::Measures("an arm swings through a full turn at most"));
        }
        let Some(chain) = self.chain(half, sweep) else {
            let outline = disc(Point::ZERO, self.radius + half)?;
            let noses = outline.edges().map(|edge| (ArmSide::Nose, edge)).collect();
            return Ok((outline, noses));
        };
        let side = |i: usize| {
            let (vertex, side) = chain[i];
            let to = chain[(i + 1) % chain.len()].0.at;
            side.map(|side| (side, Edge { from: vertex.at, to, bulge: vertex.bulge }))
        };
        let sides = (0..chain.len()).filter_map(side).collect();
        Ok((Outline::new(chain.iter().map(|(vertex, _)| *vertex))?, sides))
    }

    /// Its outline; `None` if it is a whole disc.
    fn chain(&self, half: f64, sweep: f64) -> Option<Chain> {
        let (radius, gap) = (self.radius, 360.0 - sweep);
        let along = |angle: f64| ray(self.from.degrees() + angle);
        let at = |angle: f64, out: f64, left: f64| {
            let way = along(angle);
            (way * out + Vec2::new(-way.y, way.x) * left).to_point()
        };
        let arc = |degrees: f64| Angle::from_degrees(degrees / 4.0).tan();
        let vertex = |at: Point, bulge: f64, side| (Vertex { at, bulge }, side);
        let halves = if sweep > 270.0 { 2 } else { 1 };
        let noses = (0..halves).map(|i| {
            let share = sweep / f64::from(halves);
            vertex(at(share * f64::from(i), radius + half, 0.0), arc(share), Some(ArmSide::Nose))
        });
        let end = at(sweep, radius + half, 0.0);
        let (from, to) = (Some(ArmSide::From), Some(ArmSide::To));
        let side = vertex(at(0.0, radius, -half), arc(90.0), None);
        let other = vertex(at(sweep, radius, half), 0.0, to);
        if sweep < 180.0 - STRAIGHT {
            let heel = vertex(at(sweep, 0.0, half), arc(180.0 - sweep), None);
            let all = [vertex(at(0.0, 0.0, -half), 0.0, from), side].into_iter().chain(noses);
            return Some(all.chain([vertex(end, arc(90.0), None), other, heel]).collect());
        }
        // The sides meet on the line half way between them, behind the pivot: as straight ones,
        // or else as the round ends.
        let behind = Angle::from_degrees(gap / 2.0);
        let straight = gap >= 180.0 || half / behind.tan() < radius - NEAR;
        let meet = match straight {
            true => half / behind.sin(),
            false => {
                let aside = radius * behind.sin();
                radius * behind.cos() + (half * half - aside * aside).max(0.0).sqrt()
            }
        };
        if meet > radius + half - NEAR {
            return None;
        }
        let corner = at(sweep + gap / 2.0, meet, 0.0);
        if straight {
            let all = [vertex(corner, 0.0, from), side].into_iter().chain(noses);
            return Some(all.chain([vertex(end, arc(90.0), None), other]).collect());
        }
        // The rest of either round end, seen from its centre.
        let seen = Angle::of(meet - radius * behind.cos(), radius * behind.sin());
        let left = arc(gap / 2.0 + seen.degrees());
        let all = [vertex(corner, left, None)].into_iter().chain(noses);
        Some(all.chain([vertex(end, left, None)]).collect())
    }
}

/// A sweep that is nearer to half a turn leaves the pivot straight, degrees: rounding.
const STRAIGHT: f64 = 1e-9;

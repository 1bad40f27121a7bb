//! A load on a part, and what stays the same while its ways are looked at.

use crate::flat::Flat;
use crate::fold::Folded;
use crate::geom::Edge;
use crate::geom::Point;
use crate::geom::Space;
use crate::geom::Vec2;
use crate::geom::edge_distance;
use crate::geom::plus;
use crate::geom::times;
use crate::part::Part;
use crate::strength::limit::Forces;
use crate::strength::limit::Member;
use crate::strength::limit::Metal;
use crate::strength::limit::Section;
use crate::strength::load::At;
use crate::strength::load::Load;
use crate::strength::method::Method;
use crate::strength::place::Spot;
use crate::strength::support::Support;
use crate::table::Row;
use crate::table::Tables;

/// How far from a weld aluminium is weakened, mm: 1 in (Aluminum Design Manual, from memory).
const HEATED: f64 = 25.4;

/// A share of the force below this does nothing.
pub(super) const NOTHING: f64 = 1e-9;

/// What a load is judged on.
#[derive(Clone, Copy, Debug)]
pub struct Subject<'a> {
    /// The part.
    pub part: &'a Part,
    /// Its flat.
    pub flat: &'a Flat,
    /// It folded wholly.
    pub folded: &'a Folded,
    /// Its metal, a row of the table `material`.
    pub material: &'a Row,
    /// Thickness of the coating on every face, mm.
    pub film: f64,
    /// For weld metals.
    pub tables: &'a Tables,
}

/// Everything that stays the same while the ways of a load are looked at.
pub(super) struct Case<'a> {
    pub(super) load: &'a Load,
    pub(super) on: &'a Subject<'a>,
    pub(super) spot: Spot<'a>,
    pub(super) support: &'a Support<'a>,
    /// Straight away from what holds the part, in the drawing of the loaded face.
    pub(super) pull: Vec2,
    /// The metal away from welds, and beside them.
    pub(super) metal: Metal,
    pub(super) beside_weld: Option<Metal>,
    pub(super) method: Method,
    /// The load on one piece, N.
    pub(super) each: f64,
    /// Places where shares of the load act, in space.
    pub(super) points: Vec<Space>,
}

impl Case<'_> {
    /// Where the whole load acts.
    pub(super) fn centre(&self) -> Space {
        let sum = self.points.iter().fold([0.0; 3], |sum, p| plus(sum, *p));
        times(sum, 1.0 / self.points.len() as f64)
    }

    /// A force of 1 N in one of its ways.
    pub(super) fn in_space(&self, [pull, along, sideways]: [f64; 3]) -> Space {
        let frame = &self.on.folded.faces[self.spot.face].frame;
        let left = Vec2::new(-self.pull.y, self.pull.x);
        plus(frame.direction(self.pull * pull + left * along), times(frame.z, sideways))
    }

    /// Whether the plate is bent by something whose width is not given.
    pub(super) fn needs_foot(&self, [.., sideways]: [f64; 3]) -> bool {
        let is_above = self.spot.above.is_some_and(|above| above > 0.0);
        let is_bent = is_above || sideways.abs() > NOTHING;
        matches!(self.load.at, At::Point { .. }) && is_bent && self.load.foot.is_none()
    }

    /// What is assumed of metal beside welds, where those weaken it: whether they hold the part or not.
    pub(super) fn heated(&self) -> Option<String> {
        let is_welded = self.on.part.faces.iter().any(|face| !face.welds.is_empty());
        let is_weaker = self.beside_weld.is_some_and(|weak| weak != self.metal);
        let material = self.on.material.name();
        let words = || format!("{material} within 1 in of a weld at its as-welded strength");
        (is_welded && is_weaker).then(words)
    }

    /// The metal of a piece of the flat: weakened where a weld is nearer than an inch to it or,
    /// for a point, to a hole of this radius about it. Nothing counts there of a metal that the heat
    /// weakens by nobody knows how much.
    pub(super) fn metal_at(&self, flat: [Point; 2], radius: f64) -> Metal {
        let unknown = Metal { yield_strength: 0.0, tensile_strength: 0.0, ..self.metal };
        let weak = self.beside_weld.unwrap_or(unknown);
        if weak == self.metal {
            return self.metal;
        }
        let piece = Edge::line(flat[0], flat[1]);
        let near = |edge: Edge| match (flat[1] - flat[0]).hypot() > NOTHING {
            true => edge_distance(&edge, &piece) <= HEATED,
            false => (edge.nearest(flat[0]) - flat[0]).hypot() - radius <= HEATED,
        };
        let faces = self.on.part.faces.iter().zip(&self.on.flat.places);
        let mut welded = faces.flat_map(|(face, place)| {
            face.welds.iter().flat_map(|w| &w.stretches).map(|edge| edge.moved(place))
        });
        if welded.any(near) { weak } else { self.metal }
    }

    /// A place of a face where a part of the load acts, N for the whole load of one piece.
    pub(super) fn spot_section(&self, face: usize, at: Point, forces: Forces) -> Section {
        let frame = &self.on.folded.faces[face].frame;
        let flat = self.on.flat.places[face].apply(at);
        let folded = frame.point(at, -self.on.part.thickness / 2.0);
        let share = forces.times(self.each);
        Section {
            member: Member::Face(face),
            flat: [flat; 2],
            folded: [folded; 2],
            forces: share,
            ligament: [flat; 2],
            share,
            allowable: Forces::default(),
        }
    }
}

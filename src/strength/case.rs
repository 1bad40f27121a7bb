//! A load on a part, with the data common to all its directions.

use crate::flat::Flat;
use crate::fold::Folded;
use crate::geom::Point;
use crate::geom::Space;
use crate::geom::Vec2;
use crate::geom::plus;
use crate::geom::times;
use crate::part::Hole;
use crate::part::Part;
use crate::strength::heat::FaceHeat;
use crate::strength::heat::Heat;
use crate::strength::heat::Strip;
use crate::strength::limit::Forces;
use crate::strength::limit::Limit;
use crate::strength::limit::Member;
use crate::strength::limit::Metal;
use crate::strength::limit::Section;
use crate::strength::load::At;
use crate::strength::load::Load;
use crate::strength::method::Method;
use crate::strength::place;
use crate::strength::place::Spot;
use crate::strength::reason::Reason;
use crate::strength::support::By;
use crate::strength::support::Support;
use crate::strength::tear_out::Pinned;
use crate::table::Row;
use crate::table::Tables;

/// A share of the force below this does nothing.
pub(super) const NOTHING: f64 = 1e-9;

/// The part and flat on which a load is judged.
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

/// The data common to all directions of a load.
pub(super) struct Case<'a> {
    pub(super) load: &'a Load,
    pub(super) on: &'a Subject<'a>,
    pub(super) spot: Spot<'a>,
    pub(super) support: &'a Support<'a>,
    /// Directly away from the support, in the drawing of the loaded face.
    pub(super) pull: Vec2,
    /// The metal away from welds, and beside them.
    pub(super) metal: Metal,
    pub(super) beside_weld: Option<Metal>,
    /// Where which of them counts.
    pub(super) heat: Heat,
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

    /// What is assumed of metal weakened by welds, whether these support the part or not.
    pub(super) fn heated(&self) -> Option<String> {
        let is_welded = self.on.part.faces.iter().any(|face| !face.welds.is_empty());
        let is_weaker = self.beside_weld.is_some_and(|weak| weak != self.metal);
        let material = self.on.material.name();
        let words = || format!("{material} within 1 in of a weld at its as-welded strength");
        (is_welded && is_weaker).then(words)
    }

    /// The metal of a strip of the flat: weakened where a weld is nearer than an inch to it.
    pub(super) fn metal_at(&self, flat: [Point; 2], half: f64) -> Metal {
        self.heat.at(flat, half)
    }

    /// Where the metal of a face is weakened.
    pub(super) fn heat_of(&self, face: usize) -> FaceHeat<'_> {
        FaceHeat { heat: &self.heat, place: self.on.flat.places[face] }
    }

    /// The weakest metal beside some bolts or pins of a face, and straight between each two: what
    /// they tear out together has a share of all of it.
    pub(super) fn weakest(&self, face: usize, pinned: &[Pinned]) -> Metal {
        let alone = pinned.iter().map(|one| ([one.hole.at; 2], one.diameter / 2.0));
        let pairs = pinned.iter().enumerate();
        let pairs = pairs.flat_map(|(i, one)| pinned[i + 1..].iter().map(move |two| [one, two]));
        let between = pairs.map(|pair| (pair.map(|one| one.hole.at), 0.0));
        let strips: Vec<Strip> = alone.chain(between).collect();
        self.heat_of(face).weakest(self.metal, &strips)
    }

    /// Why a limit allows no load: for the heat of a weld, if the as-welded strength of the metal
    /// is not known, or for its dimensions. Tear-out at a hole may reach any weld.
    pub(super) fn without_figure(&self, limit: &Limit) -> Reason {
        let bolts: &[&Hole] = if let By::Bolts(_, holes) = &self.support.by { holes } else { &[] };
        let of = |face: usize| move |hole: &&Hole| (face, hole.at, place::widest(hole));
        let holes = self.spot.holes.iter().map(of(self.spot.face));
        let holes = holes.chain(bolts.iter().map(of(self.support.face)));
        let holes = holes.map(|(face, at, wide)| {
            ([self.on.flat.places[face].apply(at); 2], wide.unwrap_or_default() / 2.0)
        });
        let pieces = limit.section.map(|section| (section.flat, 0.0)).into_iter().chain(holes);
        let mut metals = pieces.map(|(piece, radius)| self.metal_at(piece, radius));
        let is_torn = limit.section.is_some_and(|section| section.flat[0] == section.flat[1]);
        let is_unknown = self.beside_weld.is_none() && !self.heat.is_even();
        match is_torn && is_unknown || metals.any(|metal| metal.tensile_strength == 0.0) {
            true => Reason::Welded(self.on.material.name().to_owned()),
            false => Reason::NoFigure(limit.what),
        }
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

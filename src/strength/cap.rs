//! A round cap in the end of a tube, loaded through a hole in its centre, along the tube.
//!
//! The weld runs round the whole cap. What the cap carries between its hole and the weld is
//! in equilibrium and yields nowhere, so the result is safe: rings at their plastic moment
//! carry the load outwards, which for a plate that is only supported at its edge gives 2π
//! plastic moments per mm, whatever the hole (limit analysis of circular plates, Hopkins and
//! Prager 1953, with Tresca's condition; from memory). The fillet is on one side, but runs
//! round a hollow section: its own eccentricity need not be counted (EN 1993-1-8 4.12(2)).

use crate::geom::Point;
use crate::geom::times;
use crate::num::Angle;
use crate::num::PI;
use crate::strength::case::Subject;
use crate::strength::limit::Forces;
use crate::strength::limit::Limit;
use crate::strength::limit::Member;
use crate::strength::limit::Metal;
use crate::strength::limit::Section;
use crate::strength::limit::Shape;
use crate::strength::load::Direction;
use crate::strength::load::Load;
use crate::strength::place;
use crate::strength::place::Spot;
use crate::strength::verdict::Acts;
use crate::strength::verdict::Verdict;
use crate::strength::weld::Fillet;

/// The centre of the hole is that of the cap up to this, mm.
const SAME_CENTRE: f64 = 1e-3;

/// A cap that can be judged, mm.
pub(super) struct Cap {
    face: usize,
    centre: Point,
    /// Radius of the cap, where its weld is.
    radius: f64,
    /// Diameter of the hole.
    hole: f64,
    thickness: f64,
    /// How far it reaches beyond its tube, on which the fillet lies then.
    ledge: Option<f64>,
}

impl Cap {
    /// The cap a load pulls or pushes along its tube; `None` where it does something else, where
    /// no leg is given for the weld, and of a cap with a bevel, a bead, an insert or
    /// a flare.
    pub(super) fn of(load: &Load, on: &Subject, spot: &Spot) -> Option<Self> {
        let [hole] = spot.holes.as_slice() else { return None };
        let face = &on.part.faces[spot.face];
        let (centre, radius) = face.blank.outer().circle()?;
        let is_flat = face.beads.is_empty() && face.holes.iter().all(|hole| hole.flare.is_none());
        let is_plain = face.bevels.is_empty() && hole.insert.is_none() && is_flat;
        let is_central = (hole.at - centre).hypot() < SAME_CENTRE;
        let serves =
            is_plain && is_central && load.direction == Direction::Normal && load.leg.is_some();
        // A countersink or counterbore is deducted over the full thickness of the cap.
        let (diameter, thickness) = (hole.diameter()?, place::land(hole, on.part.thickness));
        let beyond = on.part.captured.as_ref().map(|of| radius - of.bore / 2.0 - of.wall);
        let ledge = beyond.filter(|ledge| *ledge > SAME_CENTRE);
        serves.then_some(Self { face: spot.face, centre, radius, hole: diameter, thickness, ledge })
    }

    /// Where the load acts in the formed part: at the hole, out of the tube and into it.
    pub(super) fn acts(&self, on: &Subject) -> Acts {
        let frame = &on.folded.faces[self.face].frame;
        let at = vec![frame.point(self.centre, -on.part.thickness / 2.0)];
        Acts { at: at.clone(), feet: at, ways: vec![frame.z, times(frame.z, -1.0)] }
    }

    /// Its limits: the cap in bending and in shear round its hole, and the weld; and the rules
    /// for that.
    pub(super) fn judge(&self, on: &Subject, metal: Metal, fillet: Fillet, verdict: &mut Verdict) {
        let (t, method) = (self.thickness, verdict.method);
        let round = 2.0 * PI * self.radius;
        let bent = 2.0 * PI * metal.yield_strength * method.modulus(t * t / 6.0, t * t / 4.0);
        let sheared = method.sheared() * metal.yield_strength * PI * self.hole * t;
        let fits = self.ledge.map_or(fillet.leg, |ledge| fillet.leg.min(ledge));
        let welded = Fillet { leg: fits, ..fillet }.strength(Angle::ZERO) * round;
        let limits = [
            Limit::new(
                "end cap in bending",
                "AISC 360-16 F11-1, plastic plate",
                bent,
                method.yielding(),
            ),
            Limit::new(
                "end cap in shear round its hole",
                "AISC 360-16 J4-3",
                sheared,
                method.yielding_in_shear(),
            ),
            Limit::new(
                "fillet weld all round",
                "AISC 360-16 J2-4, elastic",
                welded,
                method.rupture(),
            ),
        ];
        verdict.held = "weld all round".into();
        verdict.limits.extend(limits.map(|limit| limit.at(self.section(on, &limit, verdict))));
        verdict.shapes.extend(fillet.shapes(t, round));
        verdict.shapes.extend(self.ledge.map(|ledge| Shape {
            what: "leg of the fillet on the cap beside its tube",
            rule: "common practice",
            is: fillet.leg,
            wanted: ledge,
            max: true,
        }));
        verdict.assumed.push("the cap is simply supported at its weld".into());
        verdict.not_judged.push("the bolt and the nut in the cap".into());
    }

    fn section(&self, on: &Subject, limit: &Limit, verdict: &Verdict) -> Section {
        let flat = on.flat.places[self.face].apply(self.centre);
        let frame = &on.folded.faces[self.face].frame;
        let across = verdict.force / f64::from(verdict.pieces);
        let forces = Forces { across, ..Forces::default() };
        Section {
            member: Member::Face(self.face),
            flat: [flat; 2],
            folded: [frame.point(self.centre, -self.thickness / 2.0); 2],
            forces,
            ligament: [flat; 2],
            share: forces,
            allowable: Forces { across: limit.allowable(), ..Forces::default() },
        }
    }
}

//! Sunk heads in loaded holes.

use crate::strength::bolt::BoltHole;
use crate::strength::case::Case;
use crate::strength::case::NOTHING;
use crate::strength::limit::Forces;
use crate::strength::tear_out::Pinned;
use crate::strength::verdict::Verdict;

impl Case<'_> {
    /// The heads that are sunk into the loaded holes, where `share` of the load is normal to the
    /// plate: pull-through of the metal below them.
    pub(super) fn pulled_through(&self, pinned: &[Pinned], share: f64, verdict: &mut Verdict) {
        let (face, count) = (self.spot.face, pinned.len());
        let sunk = pinned.iter().filter(|one| one.hole.recess.is_some() && !one.hole.eye);
        for one in sunk.filter(|_| share >= NOTHING) {
            let hole = BoltHole::of(one.hole, self.on.part.thickness, one.pin, 0.0);
            let forces = Forces { normal: share / count as f64, ..Forces::default() };
            let here = self.spot_section(face, one.hole.at, forces);
            let metal = self.metal_at(here.flat, one.diameter / 2.0);
            let limit = hole.pulled_through(metal, self.method);
            verdict.limits.push(limit.shared(share, count).at(here));
        }
    }
}

//! What several bolts tear out of a plate together.

use crate::geom::Vec2;
use crate::part::Hole;
use crate::strength::Block;
use crate::strength::Fault;
use crate::strength::Limit;
use crate::strength::block_shear;
use crate::strength::judge::Case;
use crate::strength::place;
use crate::strength::place::Metalwork;
use crate::strength::plate;
use crate::strength::tension;

impl Case<'_> {
    /// What bolts in a row tear out of the plate together: the width at the row farthest from
    /// the rim, and blocks between the outer bolts, or between one of them and the side.
    pub(super) fn torn(&self, holes: &[&Hole], towards: Vec2) -> Result<Vec<Limit>, Fault> {
        const SAME: f64 = 1e-3;
        let (t, metal, method) = (self.thickness, self.metal, self.method);
        let across = Vec2::new(-towards.y, towards.x);
        let mut spots = Vec::with_capacity(holes.len());
        for hole in holes {
            let net = place::diameter(hole).ok_or_else(|| Fault::NotRound(hole.name.clone()))?
                + plate::HOLE_GROWTH;
            spots.push((hole.at.to_vec2().dot(towards), hole.at.to_vec2().dot(across), net, *hole));
        }
        spots.sort_by(|a, b| a.1.total_cmp(&b.1));
        let (Some(first), Some(last)) = (spots.first(), spots.last()) else {
            return Ok(Vec::new());
        };
        let back = spots.iter().map(|s| s.0).fold(f64::INFINITY, f64::min);
        let solid = Metalwork::solid(self.face);
        let at = |side: f64| (towards * back + across * side).to_point();
        let lost: f64 = spots.iter().filter(|s| s.0 < back + SAME).map(|s| s.2).sum();
        let left = solid.free(at(last.1), across);
        let right = solid.free(at(first.1), -across);
        let width = right + (last.1 - first.1) + left;
        let mut limits: Vec<Limit> =
            tension(width * t, (width - lost).max(0.0) * t, metal, method).into();
        // A line of shear from the row at the back to the rim, and what the holes take of it.
        let line = |side: f64, net: f64| {
            let length = solid.free(at(side), towards);
            let on = spots.iter().filter(|s| (s.1 - side).abs() < SAME).count() as f64;
            (length * t, (length - (on - 0.5).max(0.5) * net).max(0.0) * t)
        };
        let (one, other) = (line(first.1, first.2), line(last.1, last.2));
        let between = (last.1 - first.1 - lost + (first.2 + last.2) / 2.0).max(0.0) * t;
        let blocks = [
            Block {
                sheared: one.0 + other.0,
                sheared_net: one.1 + other.1,
                pulled_net: if spots.len() > 1 && last.1 - first.1 > SAME { between } else { 0.0 },
            },
            Block {
                sheared: one.0,
                sheared_net: one.1,
                pulled_net: (last.1 - first.1 + left - lost + first.2 / 2.0).max(0.0) * t,
            },
            Block {
                sheared: other.0,
                sheared_net: other.1,
                pulled_net: (last.1 - first.1 + right - lost + last.2 / 2.0).max(0.0) * t,
            },
        ];
        let weakest = blocks.iter().map(|block| block_shear(block, metal, method));
        limits.extend(weakest.min_by(|a, b| a.nominal.total_cmp(&b.nominal)));
        Ok(limits)
    }
}

//! Flares in the solid: true cones for both sides of the lip and for its edge. The foot is sharp,
//! as no radius of the die is known.

use crate::geom::Edge;
use crate::num::Angle;
use crate::part::Flare;
use crate::solid::Builder;
use crate::solid::patch::Lay;
use crate::solid::recess::Ring;
use crate::solid::sunk::Sunk;

impl Builder<'_> {
    /// Adds the lip of a flared hole; gives its circles in the upper and in the lower side.
    pub(super) fn flared(
        &mut self,
        lay: &Lay,
        edges: &[Edge],
        sunk: &Sunk,
        flare: &Flare,
    ) -> [Vec<(usize, bool)>; 2] {
        let up = flare.is_up();
        let level = |above: f64| if up { above } else { -self.thickness - above };
        let section = flare.section().map(|[radius, above]| [radius, level(above)]);
        let rings: [Ring; 4] =
            section.map(|[radius, height]| self.ring(lay, edges, sunk.centre, radius, height));
        let rise = flare.angle;
        let slope = Angle::from_degrees(90.0 - rise.degrees());
        // Each wall from one circle to the next: where its cone is known, whether that is wider
        // towards the side on which the lip stands, its half angle, and whether the metal is
        // within it.
        let walls = [(0, false, slope, true), (2, true, rise, false), (3, false, slope, false)];
        for (first, (at, widens, half, within)) in walls.into_iter().enumerate() {
            let [radius, height] = section[at];
            let cone = lay.cone(sunk.centre, radius, height, widens == up, half);
            let (low, high) = if up { (first + 1, first) } else { (first, first + 1) };
            self.strip([&rings[low], &rings[high]], cone, within);
        }
        let [foot, _, _, below] = &rings;
        let (upper, lower) = if up { (foot, below) } else { (below, foot) };
        [upper.passed(true), lower.passed(false)]
    }
}

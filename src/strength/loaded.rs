//! The holes in which a load acts: bearing and tear-out there.

use crate::geom::Edge;
use crate::geom::Point;
use crate::geom::Vec2;
use crate::num;
use crate::strength::bolt::min_edge_distance;
use crate::strength::case::Case;
use crate::strength::case::NOTHING;
use crate::strength::limit::Forces;
use crate::strength::limit::Limit;
use crate::strength::limit::Section;
use crate::strength::limit::Shape;
use crate::strength::station::bends;
use crate::strength::tear_out::Around;
use crate::strength::tear_out::Pinned;
use crate::strength::verdict::Verdict;

impl Case<'_> {
    /// The metal round some of the holes in which the load acts: the weakest of it.
    fn around(&self, pinned: &[Pinned]) -> Around<'_> {
        let index = self.spot.face;
        let face = &self.on.part.faces[index];
        let out = bends(self.on.part, index, self.support.face);
        let held = match out.first() {
            None => self.support.edges.clone(),
            Some((_, true)) => {
                let half = face.blank.bounds().width();
                let low = Point::new(face.blank.bounds().centre().x, 0.0);
                let aside = Vec2::new(half, 0.0);
                vec![Edge::line(low - aside, low + aside)]
            }
            Some((bend, false)) => vec![face.edges[self.on.part.bends[*bend].edge].edge],
        };
        Around {
            face,
            thickness: self.on.part.thickness,
            metal: self.weakest(index, pinned),
            heat: self.heat_of(index),
            method: self.method,
            held,
            reference: self.pull,
        }
    }

    /// The pin or bolt in each hole, and the metal round it.
    pub(super) fn at_holes(
        &self,
        pinned: &[Pinned],
        [pull, along, out]: [f64; 3],
        verdict: &mut Verdict,
    ) {
        self.pulled_through(pinned, out.abs(), verdict);
        let share = num::hypot(pull, along);
        let count = pinned.len();
        if share < NOTHING {
            return;
        }
        let left = Vec2::new(-self.pull.y, self.pull.x);
        let towards = (self.pull * pull + left * along) / share;
        for one in pinned {
            let around = self.around(std::slice::from_ref(one));
            let forces = Forces { shear: share / count as f64, ..Forces::default() };
            let here = self.spot_section(self.spot.face, one.hole.at, forces);
            let torn = around.torn(one, towards);
            let limits = std::iter::once(around.bearing(one)).chain(torn);
            let allowed = |l: Limit| Forces { shear: l.allowable(), ..Forces::default() };
            verdict.limits.extend(limits.map(|l| {
                let here = Section { allowable: allowed(l), ..here };
                l.shared(share, count).at(here)
            }));
            if one.hole.eye {
                verdict.shapes.extend(around.shapes(one, towards, self.on.film));
            } else {
                verdict.shapes.push(Shape {
                    what: "edge distance of the bolt",
                    rule: "AISC 360-16 table J3.4",
                    is: around.face.blank.outer().distance(one.hole.at),
                    wanted: min_edge_distance(one.pin),
                    max: false,
                });
            }
        }
        if pinned.first().is_some_and(|first| !first.hole.eye) {
            let forces = Forces { shear: share, ..Forces::default() };
            let here = self.spot_section(self.spot.face, self.spot.centre, forces);
            let block = self.around(pinned).block(pinned, towards);
            verdict.limits.extend(block.into_iter().map(|l| l.shared(share, 1).at(here)));
        }
    }
}

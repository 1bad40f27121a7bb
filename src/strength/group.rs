//! A bolt group under an eccentric load, by the elastic method.
//!
//! The bolts are in a plane with axes x and y; z points in the direction in which the load would
//! lift the plate off its seat. Lengths are mm, and everything is for a load of 1 N.

use crate::geom::Point;
use crate::geom::Vec2;
use crate::geom::heading;
use crate::num;

/// Less than this is no spread of bolts, mm.
const IN_LINE: f64 = 1e-6;
/// A moment is none below this share of the force and its distance.
const ROUNDING: f64 = 1e-9;

/// A load of 1 N, and where it acts from the centre of the group.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Pull {
    /// Its shares along x, y, z.
    pub(super) force: [f64; 3],
    /// From the centre of the group to where it acts, mm.
    pub(super) from: [f64; 3],
}

/// The share of one bolt of a load of 1 N.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Share {
    /// Across the bolt, in the plane of the plate.
    pub(super) shear: Vec2,
    /// Along the bolt; below 0 the plate is pressed on its seat.
    pub(super) tension: f64,
    /// Of that, what lifts it and what turns the plate over its edge; 0 where nothing does.
    pub(super) by_edge: f64,
}

/// The shares of a group of a load of 1 N.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Group {
    /// Each bolt.
    pub(super) bolts: Vec<Share>,
    /// Where the plate turns over its edge: the direction of the line of bolts along which it
    /// is bent, and the moment of each bolt's piece of it, mm.
    pub(super) over: Option<(Vec2, f64)>,
}

/// What each bolt takes, the plate being stiff (AISC manual, part 7): across, the load evenly,
/// and its moment about the centre by the distance of each bolt from there; along, the load
/// evenly, and the moments that turn the plate over by the same rule, the neutral axis through
/// the centre of the group (case II, to the safe side). A group in one line has no width to
/// resist a moment about that line: there the plate turns over its edge, `edges` mm away
/// to either side, the lesser counting.
///
/// `None` when a moment is left that nothing resists: one bolt, about itself.
pub(super) fn shares(bolts: &[Point], pull: &Pull, edges: impl Fn(Vec2) -> f64) -> Option<Group> {
    let count = bolts.len() as f64;
    let centre = bolts.iter().fold(Vec2::ZERO, |sum, p| sum + p.to_vec2()) / count;
    let arms: Vec<Vec2> = bolts.iter().map(|p| p.to_vec2() - centre).collect();
    let ([fx, fy, fz], [rx, ry, rz]) = (pull.force, pull.from);
    let sum = |of: fn(&Vec2) -> f64| arms.iter().map(of).sum::<f64>();
    let (xx, yy, xy) = (sum(|d| d.x * d.x), sum(|d| d.y * d.y), sum(|d| d.x * d.y));
    // The moments of the tensions about x and y must equal these.
    let over = Vec2::new(rx * fz - rz * fx, ry * fz - rz * fy);
    let twist = rx * fy - ry * fx;
    const NOTHING: f64 = 1e-9;
    let spread = xx + yy;
    if spread < IN_LINE && twist.abs() > NOTHING {
        return None;
    }
    let twist = if twist.abs() > NOTHING { twist / spread } else { 0.0 };
    // The main axes of the group: the wider spread along `wide`.
    let rotation = num::Angle::of(xx - yy, 2.0 * xy).degrees() / 2.0;
    let rotation = num::Angle::from_degrees(rotation);
    let wide = match spread < IN_LINE {
        // One bolt: the plate turns over its edge, straight about the moment.
        true if over.hypot() > NOTHING => over.normalize(),
        true => Vec2::new(1.0, 0.0),
        false => heading(rotation),
    };
    let mut tensions = vec![fz / count; bolts.len()];
    let mut by_edge = 0.0;
    // A drawing that is turned is rounded: what that sets aside turns nothing over its edge.
    let length = |v: [f64; 3]| num::hypot(num::hypot(v[0], v[1]), v[2]);
    let greatest = length(pull.force) * length(pull.from);
    let mut rotated = None;
    for along in [wide, Vec2::new(-wide.y, wide.x)] {
        let moment = over.dot(along);
        let spread: f64 = arms.iter().map(|d| d.dot(along) * d.dot(along)).sum();
        if moment.abs() < NOTHING.max(ROUNDING * greatest) {
            continue;
        }
        if spread < IN_LINE {
            let lever = edges(along).min(edges(-along));
            if lever <= 0.0 {
                return None;
            }
            let each = moment.abs() / count;
            tensions.iter_mut().for_each(|t| *t += each / lever);
            by_edge = fz / count + each / lever;
            rotated = Some((Vec2::new(-along.y, along.x), each));
        } else {
            for (tension, arm) in tensions.iter_mut().zip(&arms) {
                *tension += moment * arm.dot(along) / spread;
            }
        }
    }
    let share = |(arm, tension): (&Vec2, f64)| Share {
        shear: Vec2::new(fx / count - twist * arm.y, fy / count + twist * arm.x),
        tension,
        by_edge,
    };
    Some(Group { bolts: arms.iter().zip(tensions).map(share).collect(), over: rotated })
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn at(points: &[(f64, f64)]) -> Vec<Point> {
        points.iter().map(|(x, y)| Point::new(*x, *y)).collect()
    }

    fn no_edge(_: Vec2) -> f64 {
        0.0
    }

    /// W. Segui, Steel Design, 6th edition, problem 8.2-1, as solved online: four bolts in a
    /// line, 3 in apart, 15 kips at 3 across to 4 down, which acts 12 in aside of their centre
    /// and 6 in above it: 198 in·kips, Σ = 45 in², 22.05 and 3 kips on the top bolt: 22.253.
    #[test]
    fn a_published_bracket_comes_out() {
        let bolts = at(&[(0.0, 4.5), (0.0, 1.5), (0.0, -1.5), (0.0, -4.5)]);
        let pull = Pull { force: [0.6, -0.8, 0.0], from: [12.0, 6.0, 0.0] };
        let shares = shares(&bolts, &pull, no_edge).unwrap().bolts;
        let max = shares.iter().map(|s| 15.0 * s.shear.hypot()).fold(0.0, f64::max);
        assert!((max - 22.253).abs() < 1e-3, "{max}");
        assert!(shares.iter().all(|s| s.tension.abs() < 1e-12));
    }

    /// By hand: four bolts at ±50, ±40, a load of 1 N along x, 100 mm above the plate, turns it
    /// over with 100: Σx² = 4 × 2500, so ± 100 × 50 / 10 000 = ± 0.5 on each, and 0.25 across.
    /// Lifted by 1 N 20 mm off in x: 0.25 + 20 × 50 / 10 000 = 0.35 at the near bolts, 0.15 at
    /// the far ones.
    #[test]
    fn a_base_plate_computed_by_hand() {
        let bolts = at(&[(50.0, 40.0), (50.0, -40.0), (-50.0, 40.0), (-50.0, -40.0)]);
        let pushed = Pull { force: [1.0, 0.0, 0.0], from: [0.0, 0.0, 100.0] };
        for (share, hand) in
            shares(&bolts, &pushed, no_edge).unwrap().bolts.iter().zip([-0.5, -0.5, 0.5, 0.5])
        {
            assert!((share.tension - hand).abs() < 1e-12, "{share:?}");
            assert!((share.shear - Vec2::new(0.25, 0.0)).hypot() < 1e-12);
        }
        let lifted = Pull { force: [0.0, 0.0, 1.0], from: [20.0, 0.0, 0.0] };
        for (share, hand) in
            shares(&bolts, &lifted, no_edge).unwrap().bolts.iter().zip([0.35, 0.35, 0.15, 0.15])
        {
            assert!((share.tension - hand).abs() < 1e-12, "{share:?}");
        }
    }

    /// Two bolts in a line along x, pulled up 30 mm in front of it where the plate has 15 mm
    /// of metal behind: 0.5 each, and 30 / (2 × 15) = 1 of turning over.
    #[test]
    fn bolts_in_a_line_turn_the_plate_over_its_edge() {
        let bolts = at(&[(-20.0, 0.0), (20.0, 0.0)]);
        let pull = Pull { force: [0.0, 0.0, 1.0], from: [0.0, 30.0, 0.0] };
        let group = shares(&bolts, &pull, |_| 15.0).unwrap();
        assert!(group.bolts.iter().all(|share| (share.tension - 1.5).abs() < 1e-12));
        assert!((group.over.unwrap().1 - 15.0).abs() < 1e-12, "30 over two bolts");
        assert_eq!(shares(&bolts, &pull, no_edge), None);
        let one = at(&[(0.0, 0.0)]);
        let rotated = Pull { force: [1.0, 0.0, 0.0], from: [0.0, 30.0, 0.0] };
        assert_eq!(shares(&one, &rotated, |_| 15.0), None);
        let single = shares(&one, &pull, |_| 15.0).unwrap();
        assert!((single.bolts[0].tension - 3.0).abs() < 1e-12);
    }

    proptest! {
        /// Whatever the group, the bolts and the load are in balance.
        #[test]
        fn bolts_hold_the_load_in_balance(
            places in prop::collection::vec((-80.0..80.0f64, -80.0..80.0f64), 3..9),
            force in prop::array::uniform3(-1.0..1.0f64), from in prop::array::uniform3(-90.0..90.0f64),
        ) {
            let bolts = at(&places);
            let centre = bolts.iter().fold(Vec2::ZERO, |s, p| s + p.to_vec2()) / bolts.len() as f64;
            let shares = shares(&bolts, &Pull { force, from }, |_| 50.0).unwrap().bolts;
            let sum = |of: &dyn Fn(Vec2, &Share) -> f64| -> f64 {
                bolts.iter().zip(&shares).map(|(p, s)| of(p.to_vec2() - centre, s)).sum()
            };
            let near = |a: f64, b: f64| (a - b).abs() < 1e-6;
            let ([fx, fy, fz], [rx, ry, rz]) = (force, from);
            prop_assert!(near(sum(&|_, s| s.shear.x), fx) && near(sum(&|_, s| s.shear.y), fy));
            prop_assert!(near(sum(&|_, s| s.tension), fz));
            prop_assert!(near(sum(&|d, s| d.cross(s.shear)), rx * fy - ry * fx));
            prop_assert!(near(sum(&|d, s| d.y * s.tension), ry * fz - rz * fy));
            prop_assert!(near(sum(&|d, s| -d.x * s.tension), rz * fx - rx * fz));
        }
    }
}

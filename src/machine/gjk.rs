//! The distance of two convex pieces: the search of Gilbert, Johnson and Keerthi (1988).
//!
//! The place nearest to the origin is sought in the set of all differences of places of the two.
//! Every step gives a plane that separates them, and so a distance they have at least: that is
//! what is given, so that a search that ends early errs on the safe side.

use crate::geom::Space;
use crate::geom::dot;
use crate::geom::length;
use crate::geom::minus;
use crate::geom::plus;
use crate::geom::times;
use crate::machine::convex::Convex;

/// How far two pieces are apart, and where.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Apart {
    /// mm, never more than it is; 0 where they touch or collide.
    pub distance: f64,
    /// The nearest places, on the one and on the other.
    pub at: [Space; 2],
}

/// Maximum number of steps. Our choice: flat sided pieces take some ten, round ones some thirty.
const MAX: usize = 200;

/// The search ends when the distance is known this well, mm.
const KNOWN: f64 = 1e-7;

/// Nearer than this the origin lies in the hull, mm.
const TOUCH: f64 = 1e-9;

/// A place of the differences, and the two places it is the difference of.
#[derive(Clone, Copy)]
struct Corner {
    at: Space,
    of: [Space; 2],
}

/// How far two pieces are apart.
pub fn separation(a: &Convex, b: &Convex) -> Apart {
    let (mut corners, mut least) = (Vec::<Corner>::with_capacity(4), 0.0_f64);
    let mut of = [a.middle(), b.middle()];
    let mut v = minus(of[0], of[1]);
    for _ in 0..MAX {
        let far = length(v);
        if far <= TOUCH {
            least = 0.0;
            break;
        }
        let (p, q) = (a.furthest(times(v, -1.0)), b.furthest(v));
        let w = Corner { at: minus(p, q), of: [p, q] };
        least = least.max(dot(v, w.at) / far);
        if far - least <= KNOWN || corners.iter().any(|corner| corner.at == w.at) {
            break;
        }
        corners.push(w);
        let (shares, kept) = nearest_of(&corners);
        corners = kept;
        let blend = |side: usize| {
            let all = corners.iter().zip(&shares);
            all.fold([0.0; 3], |sum, (corner, share)| plus(sum, times(corner.of[side], *share)))
        };
        let places = [blend(0), blend(1)];
        let next = minus(places[0], places[1]);
        // Rounding has nothing more to give.
        if length(next) >= far && corners.len() > 1 {
            break;
        }
        (v, of) = (next, places);
    }
    on_surfaces(a, b, of, least)
}

/// The distance of the surfaces round the cores.
fn on_surfaces(a: &Convex, b: &Convex, [p, q]: [Space; 2], least: f64) -> Apart {
    let way = minus(q, p);
    let far = length(way);
    let distance = (least - a.radius() - b.radius()).max(0.0);
    if far <= TOUCH {
        return Apart { distance, at: [p, q] };
    }
    let on = |from: Space, by: f64| plus(from, times(way, by.min(far) / far));
    let at = [on(p, a.radius()), on(q, -b.radius().min(far))];
    Apart { distance, at }
}

/// The place of the hull of up to four corners that is nearest to the origin: the corners it lies
/// between, and their shares.
fn nearest_of(corners: &[Corner]) -> (Vec<f64>, Vec<Corner>) {
    let mut best: Option<(f64, Vec<f64>, usize)> = None;
    for subset in 1..1_usize << corners.len() {
        let chosen: Vec<Space> = picked(corners, subset).map(|corner| corner.at).collect();
        let Some(shares) = shares(&chosen) else { continue };
        let at = chosen.iter().zip(&shares).fold([0.0; 3], |sum, (c, s)| plus(sum, times(*c, *s)));
        let far = dot(at, at);
        if best.as_ref().is_none_or(|(least, ..)| far < *least) {
            best = Some((far, shares, subset));
        }
    }
    // One corner alone always has shares.
    let (_, shares, subset) = best.unwrap_or((0.0, vec![1.0], 1));
    (shares, picked(corners, subset).copied().collect())
}

fn picked(corners: &[Corner], subset: usize) -> impl Iterator<Item = &Corner> {
    corners.iter().enumerate().filter(move |(i, _)| subset >> i & 1 == 1).map(|(_, corner)| corner)
}

/// The shares of corners in the foot of the origin on their flat; nothing where it lies beside
/// them, or they lie on a lower one.
fn shares(of: &[Space]) -> Option<Vec<f64>> {
    let first = of[0];
    let ways: Vec<Space> = of[1..].iter().map(|p| minus(*p, first)).collect();
    let n = ways.len();
    let mut rows = [[0.0; 4]; 3];
    for (i, row) in rows.iter_mut().enumerate().take(n) {
        for (j, cell) in row.iter_mut().enumerate().take(n) {
            *cell = dot(ways[i], ways[j]);
        }
        row[3] = -dot(ways[i], first);
    }
    let mut others = solved(rows, n)?;
    let sum: f64 = others.iter().sum();
    others.insert(0, 1.0 - sum);
    others.iter().all(|share| *share >= 0.0).then_some(others)
}

/// What remains of a row when it depends on the others, as a share of it. Our choice.
const DEPENDS: f64 = 1e-13;

/// Up to three equations, the right side in the last column.
fn solved(mut rows: [[f64; 4]; 3], n: usize) -> Option<Vec<f64>> {
    let sizes: Vec<f64> = (0..n).map(|i| rows[i][i]).collect();
    for i in 0..n {
        // The largest remainder first.
        let best = (i..n).max_by(|a, b| rows[*a][i].abs().total_cmp(&rows[*b][i].abs()))?;
        rows.swap(i, best);
        if rows[i][i].abs() <= DEPENDS * sizes[i] {
            return None;
        }
        for j in 0..n {
            if j != i {
                let by = rows[j][i] / rows[i][i];
                let row = rows[i];
                rows[j].iter_mut().zip(row).skip(i).for_each(|(of, is)| *of -= by * is);
            }
        }
    }
    Some((0..n).map(|i| rows[i][3] / rows[i][i]).collect())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::cross;
    use crate::geom::unit;
    use crate::machine::convex::Disc;
    use crate::num::Angle;
    use proptest::prelude::*;

    fn cube(at: Space, half: f64) -> Convex {
        let sign = |bit: usize| if bit == 0 { -half } else { half };
        let corner = |i: usize| plus(at, [sign(i & 1), sign(i >> 1 & 1), sign(i >> 2 & 1)]);
        Convex::points((0..8).map(corner), 0.0)
    }

    /// By hand: faces, edges and corners that look at each other.
    #[test]
    fn pieces_that_look_at_each_other_are_as_far_apart_as_by_hand() {
        let one = cube([0.0; 3], 1.0);
        for (other, wanted) in [
            (cube([5.0, 0.3, -0.2], 1.0), 3.0),
            (cube([5.0, 5.0, 0.0], 1.0), 18.0_f64.sqrt()),
            (cube([5.0, 5.0, 5.0], 1.0), 27.0_f64.sqrt()),
            (cube([1.5, 0.0, 0.0], 1.0), 0.0),
            (Convex::points([[4.0, -9.0, 0.5], [4.0, 9.0, 0.5]], 0.5), 2.5),
            (Convex::points([[0.0, 0.0, 9.0]], 2.0), 6.0),
        ] {
            for (a, b) in [(&one, &other), (&other, &one)] {
                let found = separation(a, b);
                assert!((found.distance - wanted).abs() < 1e-6, "{found:?}, not {wanted}");
                let places = length(minus(found.at[0], found.at[1]));
                assert!((places - wanted).abs() < 1e-5 || wanted == 0.0, "{found:?}");
            }
        }
    }

    /// By hand: a cylinder of 10 mm with flat ends, beside its skin, its end and its rim.
    #[test]
    fn a_flat_end_is_flat() {
        let disc = |z| Disc { centre: [0.0, 0.0, z], normal: [0.0, 0.0, 1.0], radius: 10.0 };
        let bar = Convex::new(vec![disc(0.0), disc(40.0)], 0.0);
        let ball = |at| Convex::points([at], 1.0);
        for (at, wanted) in [
            ([15.0, 0.0, 20.0], 4.0),
            ([3.0, 4.0, 45.0], 4.0),
            ([16.0, 0.0, 48.0], 9.0),
            ([0.0, 0.0, -5.0], 4.0),
        ] {
            let found = separation(&bar, &ball(at)).distance;
            assert!(found <= wanted + 1e-9 && found > wanted - 1e-5, "{found}, not {wanted}");
        }
    }

    /// A rod square to the end of a bar that leans anyhow is as far from it as from its plane.
    #[test]
    fn the_distance_from_a_leaning_end_is_never_overstated() {
        let within = |far: f64| prop::array::uniform3(-far..far);
        let (turn, out, far) = (0.0..360.0, 0.0..28.0, 3.0..60.0);
        proptest!(|(axis in within(1.0), at in within(400.0), (turn, out, far) in (turn, out, far))| {
            prop_assume!(length(axis) > 0.1);
            let normal = unit(axis);
            let least = if normal[0].abs() < 0.6 { [1.0, 0.0, 0.0] } else { [0.0, 1.0, 0.0] };
            let across = unit(cross(normal, least));
            let other = cross(normal, across);
            let angle = Angle::from_degrees(turn);
            let beside = plus(times(across, out * angle.cos()), times(other, out * angle.sin()));
            let along = |by: f64| plus(at, times(normal, by));
            let disc = |by: f64| Disc { centre: along(by), normal, radius: 30.0 };
            let bar = Convex::new(vec![disc(0.0), disc(-350.0)], 0.0);
            let end = plus(plus(at, beside), times(normal, far));
            let rod = Convex::points([end, plus(end, times(normal, 250.0))], 2.0);
            for (a, b) in [(&bar, &rod), (&rod, &bar)] {
                let found = separation(a, b).distance;
                let wanted = far - 2.0;
                prop_assert!(found <= wanted + 1e-9, "{} of {}", found, wanted);
                prop_assert!(found > wanted - 1e-5, "{} of {}", found, wanted);
            }
        });
    }
}

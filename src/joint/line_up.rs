//! How well the holes of two plates line up.
//!
//! The plates may be rotated and flipped over: the orientation that brings the holes nearest to
//! each other is used, and the result says if one of them must be flipped over for it. Each plate
//! is moved so that its worst hole is off as little as possible: for each rotation the best shift
//! is that to the centre of the smallest circle round all misses, and the rotation is searched for.
//! The value returned is reached at a place that was found, so that it is never too small.

use crate::num::Angle;

/// A place in the drawing of a face, mm.
pub(crate) type At = [f64; 2];

/// Better than this, mm, is rounding: the search ends.
const EXACT: f64 = 1e-9;

/// A plate is flipped over for no less than this, mm. Our choice.
const FLIPPED: f64 = 0.1;

/// Steps of the search for a rotation: each leaves 0.618 of the range.
const STEPS: usize = 40;

/// The golden section.
const GOLDEN: f64 = 0.618_033_988_749_894_8;

/// How the holes of two plates line up.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Lined {
    /// How far the worst two are off, mm, when one plate lies on the other as well as it can.
    pub(crate) worst: f64,
    /// Whether one of the plates must be flipped over for that.
    pub(crate) flipped_over: bool,
}

/// How the holes of two plates line up that have as many as each other.
pub(super) fn line_up(one: &[At], other: &[At]) -> Lined {
    if one.len() < 2 {
        return Lined { worst: 0.0, flipped_over: false };
    }
    let (from, to) = (centred(one), centred(other));
    let as_drawn = best(&from, &to);
    if as_drawn < EXACT {
        return Lined { worst: as_drawn, flipped_over: false };
    }
    let over: Vec<At> = from.iter().map(|at| [-at[0], at[1]]).collect();
    let over = best(&over, &to);
    Lined { worst: as_drawn.min(over), flipped_over: over + FLIPPED < as_drawn }
}

/// How far the worst two are off, mm, however the plate is rotated.
fn best(from: &[At], to: &[At]) -> f64 {
    let far = farthest(from);
    let wanted = distance(from[0], from[far]);
    let mut ways: Vec<(f64, usize, usize)> = Vec::new();
    for i in 0..to.len() {
        for j in (0..to.len()).filter(|j| *j != i) {
            ways.push(((distance(to[i], to[j]) - wanted).abs(), i, j));
        }
    }
    ways.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut best = f64::INFINITY;
    for (differs, i, j) in ways {
        // Two holes whose distances differ by this much are off by at least half of it.
        if differs / 2.0 >= best || best < EXACT {
            break;
        }
        let way = divided(minus(to[j], to[i]), minus(from[far], from[0]));
        let order = nearest(&moved(from, way), to);
        let meant: Vec<At> = order.iter().map(|k| to[*k]).collect();
        let way = rotation(from, &meant);
        // No place leaves a smaller sum of squares, and no worst miss is less than their mean.
        let squares = misses(from, &meant, way).iter().map(|[x, y]| x * x + y * y).sum::<f64>();
        if (squares / from.len() as f64).sqrt() < best {
            best = best.min(least_worst(from, &meant, (way, wanted)));
        }
    }
    best
}

/// The minimum deviation of the worst two, mm, sought about a rotation; `long` is the distance
/// between two of the holes.
fn least_worst(from: &[At], to: &[At], (way, long): (At, f64)) -> f64 {
    let off = |radians: f64| {
        let by = Angle::from_radians(radians);
        let way = [way[0] * by.cos() - way[1] * by.sin(), way[1] * by.cos() + way[0] * by.sin()];
        smallest_circle(&misses(from, to, way))
    };
    let first = off(0.0);
    // Both of these two holes are off by no more than the first guess: the best is no further away.
    let reach = (4.0 * first / long.max(EXACT)).min(0.5);
    let (mut low, mut high) = (-reach, reach);
    let mut inner = [high - GOLDEN * (high - low), low + GOLDEN * (high - low)];
    let mut values = inner.map(off);
    let mut best = first.min(values[0]).min(values[1]);
    for _ in 0..STEPS {
        if values[0] < values[1] {
            high = inner[1];
            inner = [high - GOLDEN * (high - low), inner[0]];
            values = [off(inner[0]), values[0]];
        } else {
            low = inner[0];
            inner = [inner[1], low + GOLDEN * (high - low)];
            values = [values[1], off(inner[1])];
        }
        best = best.min(values[0]).min(values[1]);
    }
    best
}

/// What each hole misses the one it is meant for by, once rotated.
fn misses(from: &[At], to: &[At], way: At) -> Vec<At> {
    moved(from, way).iter().zip(to).map(|(a, b)| minus(*a, *b)).collect()
}

/// The radius of the smallest circle round some places, mm.
fn smallest_circle(of: &[At]) -> f64 {
    let mut centre = of[0];
    let mut radius = 0.0;
    let is_out = |at: At, centre: At, radius: f64| distance(at, centre) > radius + 1e-12;
    for i in 1..of.len() {
        if !is_out(of[i], centre, radius) {
            continue;
        }
        (centre, radius) = (of[i], 0.0);
        for j in 0..i {
            if !is_out(of[j], centre, radius) {
                continue;
            }
            centre = [0, 1].map(|axis| (of[i][axis] + of[j][axis]) / 2.0);
            radius = distance(of[i], centre);
            for k in 0..j {
                if is_out(of[k], centre, radius)
                    && let Some(through) = circumcentre(of[i], of[j], of[k])
                {
                    (centre, radius) = (through, distance(of[i], through));
                }
            }
        }
    }
    // The loss by rounding is added again.
    of.iter().map(|at| distance(*at, centre)).fold(0.0, f64::max)
}

/// The centre of the circle through three places; `None` if they are on one line.
fn circumcentre(a: At, b: At, c: At) -> Option<At> {
    let (u, v) = (minus(b, a), minus(c, a));
    let cross = 2.0 * (u[0] * v[1] - u[1] * v[0]);
    let (uu, vv) = (u[0] * u[0] + u[1] * u[1], v[0] * v[0] + v[1] * v[1]);
    let at = [(v[1] * uu - u[1] * vv) / cross, (u[0] * vv - v[0] * uu) / cross];
    at.iter().all(|x| x.is_finite()).then(|| [a[0] + at[0], a[1] + at[1]])
}

/// The largest distance between two of some places, mm.
pub(crate) fn across(of: &[At]) -> f64 {
    let pairs = of.iter().enumerate().flat_map(|(i, a)| of[i + 1..].iter().map(|b| (*a, *b)));
    pairs.map(|(a, b)| distance(a, b)).fold(0.0, f64::max)
}

fn centred(of: &[At]) -> Vec<At> {
    let count = of.len() as f64;
    let centre = [0, 1].map(|axis| of.iter().map(|at| at[axis]).sum::<f64>() / count);
    of.iter().map(|at| minus(*at, centre)).collect()
}

/// The place that is farthest from the first.
fn farthest(of: &[At]) -> usize {
    let far = |i: &usize| distance(of[0], of[*i]);
    (1..of.len()).max_by(|a, b| far(a).total_cmp(&far(b))).unwrap_or(0)
}

fn minus(a: At, b: At) -> At {
    [a[0] - b[0], a[1] - b[1]]
}

fn distance(a: At, b: At) -> f64 {
    let [x, y] = minus(a, b);
    crate::num::hypot(x, y)
}

/// The unit vector by which a direction is turned into another, as complex numbers are divided.
fn divided(to: At, from: At) -> At {
    unit([to[0] * from[0] + to[1] * from[1], to[1] * from[0] - to[0] * from[1]])
}

fn unit(of: At) -> At {
    let long = crate::num::hypot(of[0], of[1]);
    if long > 0.0 { [of[0] / long, of[1] / long] } else { [1.0, 0.0] }
}

fn moved(of: &[At], way: At) -> Vec<At> {
    of.iter().map(|at| [at[0] * way[0] - at[1] * way[1], at[0] * way[1] + at[1] * way[0]]).collect()
}

/// The rotation about the centres with the smallest sum of squares.
fn rotation(from: &[At], to: &[At]) -> At {
    let sum = from.iter().zip(to).fold([0.0, 0.0], |sum, (a, b)| {
        [sum[0] + b[0] * a[0] + b[1] * a[1], sum[1] + b[1] * a[0] - b[0] * a[1]]
    });
    unit(sum)
}

/// To each place the nearest that no other has taken.
fn nearest(from: &[At], to: &[At]) -> Vec<usize> {
    let mut free: Vec<usize> = (0..to.len()).collect();
    let mut order = Vec::with_capacity(from.len());
    for at in from {
        let off = |k: &usize| distance(*at, to[*k]);
        let best = (0..free.len()).min_by(|a, b| off(&free[*a]).total_cmp(&off(&free[*b])));
        order.extend(best.map(|i| free.swap_remove(i)));
    }
    order
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::num::Angle;
    use proptest::prelude::*;

    /// By hand: 80 × 40 apart on one plate, 80.6 × 40 on the other: each hole is 0.3 mm off.
    #[test]
    fn two_rectangles_of_holes_are_off_by_half_of_what_they_differ() {
        let plate = |x: f64, y: f64| [[0.0, 0.0], [x, 0.0], [x, y], [0.0, y]];
        let off = line_up(&plate(80.0, 40.0), &plate(80.6, 40.0)).worst;
        assert!((off - 0.3).abs() < 1e-6, "{off}");
        assert!((across(&plate(30.0, 40.0)) - 50.0).abs() < 1e-12);
        assert!(
            (line_up(&[[0.0, 0.0], [50.0, 0.0]], &[[3.0, 0.0], [3.0, 51.0]]).worst - 0.5).abs()
                < 1e-6
        );
        assert_eq!(line_up(&[[1.0, 2.0]], &[[9.0, 9.0]]).worst, 0.0);
    }

    /// By hand: of three holes in a row the one between is 1.7 mm off; shifted by half of that all are
    /// 0.85 mm off. The smallest sum of squares leaves two thirds of 1.7 at the one.
    #[test]
    fn the_worst_hole_is_off_as_little_as_it_can_be() {
        let row = |x: f64| [[0.0, 0.0], [x, 0.0], [90.0, 0.0]];
        let off = line_up(&row(40.0), &row(41.7)).worst;
        assert!((off - 0.85).abs() < 1e-6, "{off}");
        // Across the row it is rotated as well: by half of the miss at the one between.
        let bowed = [[0.0, 0.0], [45.0, 1.2], [90.0, 0.0]];
        let off = line_up(&row(45.0), &bowed).worst;
        assert!((off - 0.6).abs() < 1e-6, "{off}");
    }

    /// Three holes at unlike distances do not lie on their mirror image unless one plate is flipped over.
    #[test]
    fn a_mirrored_pattern_is_flipped_over() {
        let own = [[0.0, 0.0], [60.0, 0.0], [60.0, 20.0]];
        let mirrored = own.map(|[x, y]| [x, -y]);
        let lined = line_up(&own, &mirrored);
        assert!(lined.flipped_over && lined.worst < 1e-6, "{lined:?}");
        assert!(!line_up(&own, &own).flipped_over);
    }

    /// By hand: a circle through three corners of a square, and one across two places.
    #[test]
    fn the_smallest_circle_holds_all_places() {
        let square = [[0.0, 0.0], [2.0, 0.0], [2.0, 2.0], [0.0, 2.0]];
        assert!((smallest_circle(&square) - 2.0_f64.sqrt()).abs() < 1e-9);
        let wide = [[0.0, 0.0], [6.0, 0.0], [3.0, 1.0]];
        assert!((smallest_circle(&wide) - 3.0).abs() < 1e-9);
    }

    proptest! {
        /// A plate that is turned, flipped over and renumbered is the same plate.
        #[test]
        fn a_plate_lines_up_with_itself_whichever_way_it_lies(
            holes in proptest::collection::vec([-80.0..80.0f64, -80.0..80.0f64], 2..9),
            degrees in 0.0..360.0f64, over: bool, by in 0usize..9,
        ) {
            let apart = holes.iter().enumerate().all(|(i, a)| {
                holes[i + 1..].iter().all(|b| distance(*a, *b) > 1.0)
            });
            prop_assume!(apart);
            let (c, s) = (Angle::from_degrees(degrees).cos(), Angle::from_degrees(degrees).sin());
            let mut other: Vec<At> = holes
                .iter()
                .map(|[x, y]| {
                    let x = if over { -x } else { *x };
                    [c * x - s * y + 7.0, s * x + c * y - 3.0]
                })
                .collect();
            let count = other.len();
            other.rotate_left(by % count);
            let off = line_up(&holes, &other).worst;
            prop_assert!(off < 1e-6, "{off}");
        }

        /// No place of the other plate leaves less than the value returned, nor does the best of
        /// the sum of squares; the value is no more than twice what was moved.
        #[test]
        fn what_is_given_is_not_beaten(
            holes in proptest::collection::vec([-80.0..80.0f64, -80.0..80.0f64], 3..7),
            moves in proptest::collection::vec([-1.0..1.0f64, -1.0..1.0f64], 7),
            shift in [-2.0..2.0f64, -2.0..2.0f64], degrees in -2.0..2.0f64,
        ) {
            let apart = holes.iter().enumerate().all(|(i, a)| {
                holes[i + 1..].iter().all(|b| distance(*a, *b) > 12.0)
            });
            prop_assume!(apart);
            let other: Vec<At> =
                holes.iter().zip(&moves).map(|(at, by)| [at[0] + by[0], at[1] + by[1]]).collect();
            let worst = line_up(&holes, &other).worst;
            let largest = moves.iter().map(|by| distance(*by, [0.0, 0.0])).fold(0.0, f64::max);
            prop_assert!(worst <= largest + 1e-9, "{worst} of {largest}");
            let by = Angle::from_degrees(degrees);
            let placed = moved(&holes, [by.cos(), by.sin()]);
            let tried = placed.iter().zip(&other).map(|(a, b)| {
                distance([a[0] + shift[0], a[1] + shift[1]], *b)
            });
            prop_assert!(tried.fold(0.0, f64::max) + 1e-6 >= worst);
        }
    }
}

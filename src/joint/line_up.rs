//! How well the holes of two plates line up.
//!
//! The plates may be rotated and flipped over: whichever way brings the holes nearest to each other
//! is the one meant. Each plate is moved so that the sum of the squared distances is a minimum,
//! which is never better than the best that can be done, and for two holes is the best.

/// A place in the drawing of a face, mm.
pub(crate) type At = [f64; 2];

/// Better than this, mm, is rounding: the search ends.
const EXACT: f64 = 1e-9;

/// How far the worst two holes are off, mm, when one plate lies on the other as well as it can, by
/// the number of the hole of the second that comes to each of the first. Both have as many holes.
pub(super) fn line_up(one: &[At], other: &[At]) -> (f64, Vec<usize>) {
    let own: Vec<usize> = (0..one.len()).collect();
    if one.len() < 2 {
        return (0.0, own);
    }
    let (from, to) = (centred(one), centred(other));
    let far = farthest(&from);
    let wanted = distance(from[0], from[far]);
    let mut ways: Vec<(f64, usize, usize, bool)> = Vec::new();
    for i in 0..to.len() {
        for j in (0..to.len()).filter(|j| *j != i) {
            let differs = (distance(to[i], to[j]) - wanted).abs();
            ways.extend([false, true].map(|over| (differs, i, j, over)));
        }
    }
    ways.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut best = (f64::INFINITY, own);
    for (differs, i, j, over) in ways {
        // Two holes whose distances differ by so much are off by half of it at the least.
        if differs / 2.0 >= best.0 || best.0 < EXACT {
            break;
        }
        let seen: Vec<At> =
            from.iter().map(|at| if over { [-at[0], at[1]] } else { *at }).collect();
        let way = divided(minus(to[j], to[i]), minus(seen[far], seen[0]));
        let first = moved(&seen, way);
        let order = nearest(&first, &to);
        // The shift of the first guess is that of the centres; now both follow from all holes.
        let placed = moved(&seen, rotation(&seen, &to, &order));
        let off = placed.iter().zip(&order).map(|(at, k)| distance(*at, to[*k]));
        let off = off.fold(0.0, f64::max);
        if off < best.0 {
            best = (off, order);
        }
    }
    best
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

/// The rotation about the centres that leaves the least sum of squares.
fn rotation(from: &[At], to: &[At], order: &[usize]) -> At {
    let pairs = from.iter().zip(order.iter().map(|k| to[*k]));
    let sum = pairs.fold([0.0, 0.0], |sum, (a, b)| {
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
        let (off, order) = line_up(&plate(80.0, 40.0), &plate(80.6, 40.0));
        assert!((off - 0.3).abs() < 1e-9, "{off}");
        let mut sorted = order;
        sorted.sort_unstable();
        assert_eq!(sorted, [0, 1, 2, 3]);
        assert!((across(&plate(30.0, 40.0)) - 50.0).abs() < 1e-12);
        assert!(
            (line_up(&[[0.0, 0.0], [50.0, 0.0]], &[[3.0, 0.0], [3.0, 51.0]]).0 - 0.5).abs() < 1e-9
        );
        assert_eq!(line_up(&[[1.0, 2.0]], &[[9.0, 9.0]]).0, 0.0);
    }

    proptest! {
        /// A plate that is turned, turned over and renumbered is the same plate.
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
            let (off, order) = line_up(&holes, &other);
            prop_assert!(off < 1e-6, "{off}");
            let mut sorted = order;
            sorted.sort_unstable();
            prop_assert_eq!(sorted, (0..holes.len()).collect::<Vec<_>>());
        }
    }
}

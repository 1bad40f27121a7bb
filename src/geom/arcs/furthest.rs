//! The furthest end of a stretch for which something holds, found by trials.

/// How far from a place a stretch towards the last may reach, by what is tried and how often its
/// end is halved; a tiny step where nothing holds.
pub(super) fn furthest(
    from: f64,
    guess: f64,
    last: f64,
    halvings: usize,
    holds: impl Fn(f64) -> bool,
) -> f64 {
    if holds(last) {
        return last;
    }
    let (mut good, mut step) = (None, guess.min(last - from));
    let mut bad = last;
    while good.is_none() && step > 1e-9 {
        match holds(from + step) {
            true => good = Some(from + step),
            false => {
                bad = from + step;
                step /= 2.0;
            }
        }
    }
    let Some(mut good) = good else { return (from + 1e-4).min(last) };
    while good + step < bad {
        match holds(good + step) {
            true => {
                good += step;
                step *= 2.0;
            }
            false => bad = good + step,
        }
    }
    for _ in 0..halvings {
        let middle = f64::midpoint(good, bad);
        if holds(middle) {
            good = middle;
        } else {
            bad = middle;
        }
    }
    good
}

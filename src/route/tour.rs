//! A short tour of stops, some of which must come before others.

use crate::geom::Point;

/// A stop: cuts made in one go, where they start and where they end.
#[derive(Clone, Copy, Debug)]
pub(super) struct Stop {
    pub(super) start: Point,
    pub(super) end: Point,
}

/// Most rounds of improvement. Our choice: hardly any tour needs a fifth.
const ROUNDS: usize = 12;

/// Most stops moved together. Our choice.
const LONGEST: usize = 3;

/// Most places a stop is moved. Our choice: it keeps huge sheets quick.
const FURTHEST: usize = 400;

/// A short order of the stops, from the origin; `before` lists for each what must come before it,
/// without a cycle.
pub(super) fn shortest(stops: &[Stop], before: &[Vec<usize>]) -> Vec<usize> {
    let tours = [as_given(before), nearest(stops, before)];
    let mended = tours.map(|tour| mend(stops, before, tour));
    let way = |tour: &Vec<usize>| length(stops, tour);
    let [given, near] = mended;
    if way(&near) < way(&given) { near } else { given }
}

/// The stops in order, each as early as it may come.
pub(super) fn as_given(before: &[Vec<usize>]) -> Vec<usize> {
    greedy(before, |_, stop| stop as f64)
}

/// Always the nearest that may come next.
fn nearest(stops: &[Stop], before: &[Vec<usize>]) -> Vec<usize> {
    greedy(before, |last, stop| step(stops, last, stop))
}

/// Always the stop of the lowest score, by the stop before, among those that may come.
fn greedy(before: &[Vec<usize>], figure: impl Fn(Option<usize>, usize) -> f64) -> Vec<usize> {
    let mut missing: Vec<usize> = before.iter().map(Vec::len).collect();
    let mut after = vec![Vec::new(); before.len()];
    for (stop, firsts) in before.iter().enumerate() {
        for first in firsts {
            after[*first].push(stop);
        }
    }
    let mut open: Vec<usize> = (0..before.len()).filter(|s| missing[*s] == 0).collect();
    let mut tour = Vec::with_capacity(before.len());
    loop {
        let last = tour.last().copied();
        let best = (0..open.len()).min_by(|a, b| {
            let (a, b) = (open[*a], open[*b]);
            figure(last, a).total_cmp(&figure(last, b)).then(a.cmp(&b))
        });
        let Some(best) = best else { return tour };
        let stop = open.swap_remove(best);
        tour.push(stop);
        for next in &after[stop] {
            missing[*next] -= 1;
            if missing[*next] == 0 {
                open.push(*next);
            }
        }
    }
}

/// Moves a few stops at a time, as long as that shortens the travel.
fn mend(stops: &[Stop], before: &[Vec<usize>], mut tour: Vec<usize>) -> Vec<usize> {
    let mut before = before.to_vec();
    before.iter_mut().for_each(|firsts| firsts.sort_unstable());
    for _ in 0..ROUNDS {
        let mut better = false;
        for from in 0..tour.len() {
            for count in 1..=LONGEST.min(tour.len() - from) {
                if let Some(to) = best_place(stops, &before, &tour, from, count) {
                    if to > from {
                        tour[from..to].rotate_left(count);
                    } else {
                        tour[to..from + count].rotate_right(count);
                    }
                    better = true;
                }
            }
        }
        if !better {
            break;
        }
    }
    tour
}

/// The best place for `count` stops from `from` on: before the stop now at that place. `before` has
/// what must come before each stop, in rising order.
fn best_place(
    stops: &[Stop],
    before: &[Vec<usize>],
    tour: &[usize],
    from: usize,
    count: usize,
) -> Option<usize> {
    let must = |first: usize, then: usize| before[then].binary_search(&first).is_ok();
    let moved = &tour[from..from + count];
    let (first, last) = (moved[0], moved[count - 1]);
    let at = |i: usize| tour.get(i).copied();
    let left = from.checked_sub(1).and_then(at);
    let hop = |a: Option<usize>, b: Option<usize>| b.map_or(0.0, |b| step(stops, a, b));
    let right = at(from + count);
    let saved = hop(left, Some(first)) + hop(Some(last), right) - hop(left, right);
    let gain = |a: Option<usize>, b: Option<usize>| {
        saved - hop(a, Some(first)) - hop(Some(last), b) + hop(a, b)
    };
    let mut best = (1e-9, None);
    // Later, while nothing passed must come after what is moved.
    for to in from + count + 1..=tour.len().min(from + count + FURTHEST) {
        if moved.iter().any(|m| must(*m, tour[to - 1])) {
            break;
        }
        let gain = gain(at(to - 1), at(to));
        if gain > best.0 {
            best = (gain, Some(to));
        }
    }
    // Earlier, while nothing passed must come before it.
    for to in (from.saturating_sub(FURTHEST)..from).rev() {
        if moved.iter().any(|m| must(tour[to], *m)) {
            break;
        }
        let gain = gain(to.checked_sub(1).and_then(at), at(to));
        if gain > best.0 {
            best = (gain, Some(to));
        }
    }
    best.1
}

fn length(stops: &[Stop], tour: &[usize]) -> f64 {
    let lasts = std::iter::once(None).chain(tour.iter().copied().map(Some));
    lasts.zip(tour).map(|(last, stop)| step(stops, last, *stop)).sum()
}

fn step(stops: &[Stop], last: Option<usize>, next: usize) -> f64 {
    let from = last.map_or(Point::ZERO, |last| stops[last].end);
    (stops[next].start - from).hypot()
}

//! A short tour of stops, some of which must come before others.

use crate::geom::Point;

/// A stop: cuts made in one go, where they start and where they end.
#[derive(Clone, Copy, Debug)]
pub(super) struct Stop {
    pub(super) start: Point,
    pub(super) end: Point,
}

/// Maximum number of rounds of improvement. Our choice: hardly any tour needs a fifth.
const ROUNDS: usize = 12;

/// Maximum number of stops moved together. Our choice.
const LONGEST: usize = 3;

/// Maximum number of places a stop is moved. Our choice: it keeps huge sheets quick.
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
fn mend(stops: &[Stop], before: &[Vec<usize>], tour: Vec<usize>) -> Vec<usize> {
    let mut order = Order::new(stops, before, tour);
    for _ in 0..ROUNDS {
        let mut better = false;
        for from in 0..order.tour.len() {
            for count in 1..=LONGEST.min(order.tour.len() - from) {
                if let Some(to) = order.best_place(from, count) {
                    order.shift(from, count, to);
                    better = true;
                }
            }
        }
        if !better {
            break;
        }
    }
    order.tour
}

/// A tour while it is mended, with what is asked of every place of it side by side.
struct Order<'a> {
    before: &'a [Vec<usize>],
    /// By stop, what must come after it.
    after: Vec<Vec<usize>>,
    tour: Vec<usize>,
    /// By stop, its place in the tour.
    places: Vec<usize>,
    /// By place: where the stop starts and ends, and the way to it from the one before.
    starts: Vec<Point>,
    ends: Vec<Point>,
    ways: Vec<f64>,
}

/// Ways differ by less than this in mm through rounding alone; sheets are metres long.
const ROUNDING: f64 = 1e-6;

impl<'a> Order<'a> {
    fn new(stops: &[Stop], before: &'a [Vec<usize>], tour: Vec<usize>) -> Self {
        let mut after = vec![Vec::new(); before.len()];
        for (stop, firsts) in before.iter().enumerate() {
            firsts.iter().for_each(|first| after[*first].push(stop));
        }
        let starts: Vec<Point> = tour.iter().map(|stop| stops[*stop].start).collect();
        let ends: Vec<Point> = tour.iter().map(|stop| stops[*stop].end).collect();
        let (places, ways) = (vec![0; tour.len()], vec![0.0; tour.len()]);
        let mut order = Self { before, after, tour, places, starts, ends, ways };
        order.note(0, order.tour.len());
        order
    }

    /// Notes the places of some stops, and the ways to them and to the next.
    fn note(&mut self, from: usize, to: usize) {
        for place in from..to {
            self.places[self.tour[place]] = place;
        }
        for place in from..self.tour.len().min(to + 1) {
            self.ways[place] = self.hop(place.checked_sub(1), place);
        }
    }

    /// From the end of the stop at a place, or the origin, to the start of that at another.
    fn hop(&self, from: Option<usize>, to: usize) -> f64 {
        way(from.map_or(Point::ZERO, |from| self.ends[from]), self.starts[to])
    }

    /// Moves `count` stops from a place to another: before the stop now there.
    fn shift(&mut self, from: usize, count: usize, to: usize) {
        let later = to > from;
        let (low, high) = if later { (from, to) } else { (to, from + count) };
        let by = if later { count } else { high - low - count };
        self.tour[low..high].rotate_left(by);
        self.starts[low..high].rotate_left(by);
        self.ends[low..high].rotate_left(by);
        self.note(low, high);
    }

    /// The best place for `count` stops from `from` on: before the stop now at that place.
    fn best_place(&self, from: usize, count: usize) -> Option<usize> {
        let (all, next) = (self.tour.len(), from + count);
        let (start, end) = (self.starts[from], self.ends[next - 1]);
        let left = from.checked_sub(1);
        let [onward, closed] =
            if next < all { [way(end, self.starts[next]), self.hop(left, next)] } else { [0.0; 2] };
        let saved = self.ways[from] + onward - closed;
        let mut best = (1e-9, None);
        let mut look = |to: usize| {
            let old = self.ways.get(to).copied().unwrap_or(0.0);
            let before = to.checked_sub(1).map_or(Point::ZERO, |before| self.ends[before]);
            // Further away than all that is saved it gains nothing: most places are.
            let reach = saved + old - best.0 + ROUNDING;
            if reach < 0.0 || (start - before).hypot2() > reach * reach {
                return;
            }
            let onward = self.starts.get(to).map_or(0.0, |start| way(end, *start));
            let gain = saved - way(before, start) - onward + old;
            if gain > best.0 {
                best = (gain, Some(to));
            }
        };
        let [first, last] = self.room(from, count);
        (next + 1..=last).for_each(&mut look);
        (first..from).rev().for_each(look);
        best.1
    }

    /// Between which places `count` stops may be moved: later, while nothing passed must come after
    /// what is moved, and earlier, while nothing passed must come before it.
    fn room(&self, from: usize, count: usize) -> [usize; 2] {
        let next = from + count;
        let [mut first, mut last] =
            [from.saturating_sub(FURTHEST), self.tour.len().min(next + FURTHEST)];
        for stop in &self.tour[from..next] {
            let place = |stop: &usize| self.places[*stop];
            let earlier = self.before[*stop].iter().map(place).filter(|place| *place < from);
            first = earlier.map(|place| place + 1).fold(first, usize::max);
            let later = self.after[*stop].iter().map(place).filter(|place| *place >= next);
            last = later.fold(last, usize::min);
        }
        [first, last]
    }
}

fn length(stops: &[Stop], tour: &[usize]) -> f64 {
    let lasts = std::iter::once(None).chain(tour.iter().copied().map(Some));
    lasts.zip(tour).map(|(last, stop)| step(stops, last, *stop)).sum()
}

fn step(stops: &[Stop], last: Option<usize>, next: usize) -> f64 {
    way(last.map_or(Point::ZERO, |last| stops[last].end), stops[next].start)
}

fn way(from: Point, to: Point) -> f64 {
    (to - from).hypot()
}

#[cfg(test)]
mod tests {
    use super::*;

    const COUNT: usize = 40;

    /// Stops scattered over a sheet, where every third must come after the one two before.
    fn scattered() -> (Vec<Stop>, Vec<Vec<usize>>) {
        let at = |i: usize| Point::new((i * 137 % 1009) as f64, (i * 71 % 503) as f64);
        let stop = |i: usize| Stop { start: at(i), end: at(3 * i + 7) };
        let before = |i: usize| if i % 3 == 2 { vec![i - 2] } else { Vec::new() };
        ((0..COUNT).map(stop).collect(), (0..COUNT).map(before).collect())
    }

    /// A tour with `count` stops from `from` on put before the stop at `to`.
    fn shifted(tour: &[usize], (from, count, to): (usize, usize, usize)) -> Vec<usize> {
        let mut rest = tour.to_vec();
        let moved: Vec<usize> = rest.drain(from..from + count).collect();
        let at = if to > from { to - count } else { to };
        rest.splice(at..at, moved);
        rest
    }

    fn keeps(before: &[Vec<usize>], tour: &[usize]) -> bool {
        let place = |stop: usize| tour.iter().position(|other| *other == stop);
        (0..COUNT).all(|stop| before[stop].iter().all(|first| place(*first) < place(stop)))
    }

    /// Every move is made and the tour measured: none that may be made saves more than the one found,
    /// and what is noted of the tour stays true when it is made.
    #[test]
    fn the_best_place_saves_as_much_as_any() {
        let (stops, before) = scattered();
        let mut order = Order::new(&stops, &before, as_given(&before));
        let mut moves = 0;
        for (from, count) in (0..COUNT - 2).flat_map(|from| (1..=LONGEST).map(move |c| (from, c))) {
            let now = length(&stops, &order.tour);
            let saves = |to: usize| {
                let tour = shifted(&order.tour, (from, count, to));
                if keeps(&before, &tour) { now - length(&stops, &tour) } else { 0.0 }
            };
            let most = (0..from).chain(from + count + 1..=COUNT).map(saves).fold(0.0, f64::max);
            let found = order.best_place(from, count);
            assert!((found.map_or(0.0, saves) - most).abs() < 1e-6, "{from} {count} {found:?}");
            let Some(to) = found else { continue };
            let tour = shifted(&order.tour, (from, count, to));
            order.shift(from, count, to);
            let fresh = Order::new(&stops, &before, tour);
            assert_eq!((&order.tour, &order.places), (&fresh.tour, &fresh.places));
            assert_eq!((&order.starts, &order.ends), (&fresh.starts, &fresh.ends));
            assert_eq!(order.ways, fresh.ways);
            moves += 1;
        }
        assert!(moves > 20, "{moves}");
    }
}

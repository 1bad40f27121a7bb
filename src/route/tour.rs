//! A short tour of stops, some of which must come before others.

use crate::geom::Point;
use std::collections::BTreeSet;
use std::ops::Range;

/// A stop: cuts made in one go, with their start and their end.
#[derive(Clone, Copy, Debug)]
pub(super) struct Stop {
    pub(super) start: Point,
    pub(super) end: Point,
}

/// Maximum number of rounds of improvement. Our choice: hardly any tour needs a fifth.
const ROUNDS: usize = 12;

/// Maximum number of stops moved together. Our choice.
const LONGEST: usize = 3;

/// Minimum gain that counts, mm: far more than rounding.
const MIN: f64 = 1e-9;

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
    let mut left = Left::new(before);
    let mut open: BTreeSet<usize> = left.first().collect();
    let mut tour = Vec::with_capacity(before.len());
    while let Some(stop) = open.pop_first() {
        tour.push(stop);
        open.extend(left.freed_by(stop));
    }
    tour
}

/// Always the nearest that may come next; of equals the first.
fn nearest(stops: &[Stop], before: &[Vec<usize>]) -> Vec<usize> {
    let mut left = Left::new(before);
    let mut open: Vec<usize> = left.first().collect();
    let mut starts: Vec<Point> = open.iter().map(|stop| stops[*stop].start).collect();
    let mut tour: Vec<usize> = Vec::with_capacity(before.len());
    while !open.is_empty() {
        let at = tour.last().map_or(Point::ZERO, |last| stops[*last].end);
        let squared = |start: &Point| (*start - at).hypot2();
        let min = starts.iter().map(squared).fold(f64::INFINITY, f64::min);
        // Rounding of the squares decides nothing.
        let near = |i: &usize| squared(&starts[*i]) <= min * (1.0 + NEARLY);
        let way = |i: &usize| way(at, starts[*i]);
        let near = (0..open.len()).filter(near);
        let best = near.min_by(|a, b| way(a).total_cmp(&way(b)).then(open[*a].cmp(&open[*b])));
        let Some(best) = best else { break };
        let stop = open.swap_remove(best);
        starts.swap_remove(best);
        tour.push(stop);
        for freed in left.freed_by(stop) {
            open.push(freed);
            starts.push(stops[freed].start);
        }
    }
    tour
}

/// Squares of ways are exact to this share.
const NEARLY: f64 = 1e-12;

/// What must come before each stop and is not in the tour yet.
pub(super) struct Left {
    missing: Vec<usize>,
    after: Vec<Vec<usize>>,
}

impl Left {
    pub(super) fn new(before: &[Vec<usize>]) -> Self {
        let missing = before.iter().map(Vec::len).collect();
        Self { missing, after: after(before) }
    }

    /// Those before which nothing must come.
    pub(super) fn first(&self) -> impl Iterator<Item = usize> {
        (0..self.missing.len()).filter(|stop| self.missing[*stop] == 0)
    }

    /// Those that may come once a stop is in the tour.
    pub(super) fn freed_by(&mut self, stop: usize) -> Vec<usize> {
        let mut freed = self.after[stop].clone();
        freed.retain(|next| {
            self.missing[*next] -= 1;
            self.missing[*next] == 0
        });
        freed
    }
}

/// By stop, what must come after it.
fn after(before: &[Vec<usize>]) -> Vec<Vec<usize>> {
    let mut after = vec![Vec::new(); before.len()];
    for (stop, firsts) in before.iter().enumerate() {
        firsts.iter().for_each(|first| after[*first].push(stop));
    }
    after
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

/// A tour under improvement, with the data of each of its places side by side.
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
    /// Of [`BLOCK`] places each, and of [`WIDE`].
    blocks: Vec<Block>,
    wide: Vec<Block>,
}

/// Places side by side that are passed over at once: where the stops before them end, and the longest
/// way to one of them.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Block {
    min: Point,
    max: Point,
    way: f64,
}

/// Places in a block. Our choice.
const BLOCK: usize = 16;

/// Places in a wide block, which is whole blocks. Our choice.
const WIDE: usize = 8 * BLOCK;

impl Block {
    const NONE: Self = Self {
        min: Point::new(f64::INFINITY, f64::INFINITY),
        max: Point::new(f64::NEG_INFINITY, f64::NEG_INFINITY),
        way: 0.0,
    };

    fn and(self, before: Point, way: f64) -> Self {
        Self {
            min: Point::new(self.min.x.min(before.x), self.min.y.min(before.y)),
            max: Point::new(self.max.x.max(before.x), self.max.y.max(before.y)),
            way: self.way.max(way),
        }
    }

    fn with(self, other: Self) -> Self {
        let reach = self.and(other.min, other.way);
        Self {
            max: Point::new(reach.max.x.max(other.max.x), reach.max.y.max(other.max.y)),
            ..reach
        }
    }

    /// Whether all its places are further from a point than that and the way to them: no stop there saves
    /// so much by a move to one of them.
    fn is_beyond(&self, point: Point, saves: f64) -> bool {
        let x = (self.min.x - point.x).max(point.x - self.max.x).max(0.0);
        let y = (self.min.y - point.y).max(point.y - self.max.y).max(0.0);
        let reach = saves + self.way;
        reach < 0.0 || x * x + y * y > reach * reach
    }
}

/// Ways differ by less than this in mm through rounding alone; sheets are metres long.
const ROUNDING: f64 = 1e-6;

impl<'a> Order<'a> {
    fn new(stops: &[Stop], before: &'a [Vec<usize>], tour: Vec<usize>) -> Self {
        let after = after(before);
        let starts: Vec<Point> = tour.iter().map(|stop| stops[*stop].start).collect();
        let ends: Vec<Point> = tour.iter().map(|stop| stops[*stop].end).collect();
        let (places, ways) = (vec![0; tour.len()], vec![0.0; tour.len()]);
        let blocks = vec![Block::NONE; tour.len() / BLOCK];
        let wide = vec![Block::NONE; tour.len() / WIDE];
        let mut order = Self { before, after, tour, places, starts, ends, ways, blocks, wide };
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
        for block in from / BLOCK..self.blocks.len().min(to / BLOCK + 1) {
            let places = BLOCK * block..BLOCK * (block + 1);
            let and = |of: Block, place| of.and(self.end_before(place), self.ways[place]);
            self.blocks[block] = places.fold(Block::NONE, and);
        }
        for wide in from / WIDE..self.wide.len().min(to / WIDE + 1) {
            let blocks = &self.blocks[WIDE / BLOCK * wide..WIDE / BLOCK * (wide + 1)];
            self.wide[wide] = blocks.iter().copied().fold(Block::NONE, Block::with);
        }
    }

    /// Where the stop before a place ends, or the origin.
    fn end_before(&self, place: usize) -> Point {
        place.checked_sub(1).map_or(Point::ZERO, |before| self.ends[before])
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
        // By the triangle inequality no move gains more, except for rounding.
        if saved + way(start, end) <= MIN / 2.0 {
            return None;
        }
        let mut best = (MIN, None);
        let mut look = |to: usize| {
            let old = self.ways.get(to).copied().unwrap_or(0.0);
            let before = self.end_before(to);
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
        let is_near =
            |block: Option<&Block>| block.is_none_or(|of| !of.is_beyond(start, saved + ROUNDING));
        let near = |places: Range<usize>| {
            let wide = runs(places, WIDE).filter(|run| is_near(self.wide.get(run.start / WIDE)));
            let blocks = wide.flat_map(|run| runs(run, BLOCK));
            blocks.filter(|run| is_near(self.blocks.get(run.start / BLOCK)))
        };
        near(next + 1..last + 1).flatten().for_each(&mut look);
        near(first..from).rev().for_each(|run| run.rev().for_each(&mut look));
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

/// Places by the block of so many that they are in.
fn runs(places: Range<usize>, size: usize) -> impl DoubleEndedIterator<Item = Range<usize>> {
    let blocks = places.start / size..places.end.div_ceil(size);
    blocks.map(move |i| places.start.max(size * i)..places.end.min(size * (i + 1)))
}

fn length(stops: &[Stop], tour: &[usize]) -> f64 {
    let lasts = std::iter::once(None).chain(tour.iter().copied().map(Some));
    lasts.zip(tour).map(|(last, stop)| step(stops, last, *stop)).sum()
}

fn step(stops: &[Stop], last: Option<usize>, next: usize) -> f64 {
    way(last.map_or(Point::ZERO, |last| stops[last].end), stops[next].start)
}

/// From a point to another, mm.
pub(super) fn way(from: Point, to: Point) -> f64 {
    (to - from).hypot()
}

#[cfg(test)]
mod tests {
    use super::*;

    const COUNT: usize = WIDE + BLOCK + 6;

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
        let mut places = [0; COUNT];
        tour.iter().enumerate().for_each(|(place, stop)| places[*stop] = place);
        (0..COUNT).all(|stop| before[stop].iter().all(|first| places[*first] < places[stop]))
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
            assert_eq!((&order.ways, &order.blocks), (&fresh.ways, &fresh.blocks));
            assert_eq!(&order.wide, &fresh.wide);
            moves += 1;
        }
        assert!(moves > 20, "{moves}");
    }
}

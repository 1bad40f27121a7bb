//! A tour that spreads the heat: where possible, each stop is some distance away from the one
//! before, which cools meanwhile.
//!
//! The next stop is the nearest that is far enough away, else the farthest. Stops that came out too
//! near to the one before are then moved to where they are not, with the least travel.

use crate::geom::Bounds;
use crate::geom::Point;
use crate::route::tour::Left;
use crate::route::tour::Stop;
use crate::route::tour::way;

/// No stop is moved in a tour of more than this. Our choice: it keeps huge sheets quick.
const MAX_MENDED: usize = 400;

/// An order of the stops, from the origin, with the rectangle round each; `before` lists for each
/// what must come before it, without a cycle. Stops less than `spacing` apart, mm, follow one another
/// only where nothing better was found.
pub(super) fn spread(
    stops: &[Stop],
    boxes: &[Bounds],
    before: &[Vec<usize>],
    spacing: f64,
) -> Vec<usize> {
    let spread = Spread { stops, boxes, before, spacing };
    let mut tour = spread.nearest_apart();
    // Each move leaves fewer that are too near, so this ends.
    while tour.len() <= MAX_MENDED && spread.moves_one(&mut tour) {}
    tour
}

/// How many stops are nearer than the spacing, mm, to the one before.
pub(super) fn too_near(boxes: &[Bounds], tour: &[usize], spacing: f64) -> usize {
    tour.windows(2).filter(|two| boxes[two[0]].distance(&boxes[two[1]]) < spacing).count()
}

struct Spread<'a> {
    stops: &'a [Stop],
    boxes: &'a [Bounds],
    before: &'a [Vec<usize>],
    spacing: f64,
}

impl Spread<'_> {
    fn nearest_apart(&self) -> Vec<usize> {
        let mut left = Left::new(self.before);
        let mut open: Vec<usize> = left.first().collect();
        let mut tour: Vec<usize> = Vec::with_capacity(self.stops.len());
        while !open.is_empty() {
            let last = tour.last().copied();
            let key = |stop: usize| {
                let apart = last.map_or(f64::INFINITY, |last| self.apart(last, stop));
                let at = last.map_or(Point::ZERO, |last| self.stops[last].end);
                match apart >= self.spacing {
                    true => (0, way(at, self.stops[stop].start), stop),
                    false => (1, -apart, stop),
                }
            };
            let order = |a: &usize, b: &usize| {
                let (a, b) = (key(open[*a]), key(open[*b]));
                a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)).then(a.2.cmp(&b.2))
            };
            let Some(next) = (0..open.len()).min_by(order) else { break };
            let stop = open.swap_remove(next);
            tour.push(stop);
            open.extend(left.freed_by(stop));
        }
        tour
    }

    fn apart(&self, a: usize, b: usize) -> f64 {
        self.boxes[a].distance(&self.boxes[b])
    }

    /// Whether two stops may follow one another; the first and the last have one neighbour alone.
    fn may_follow(&self, first: Option<&usize>, second: Option<&usize>) -> bool {
        first.zip(second).is_none_or(|(first, second)| self.apart(*first, *second) >= self.spacing)
    }

    /// Moves one stop that is too near to its neighbour, so that fewer are; `false` if none can be
    /// moved so.
    fn moves_one(&self, tour: &mut Vec<usize>) -> bool {
        for near in 1..tour.len() {
            if self.may_follow(tour.get(near - 1), tour.get(near)) {
                continue;
            }
            for from in [near, near - 1] {
                let mut rest = tour.clone();
                let stop = rest.remove(from);
                let closes = self.may_follow(from.checked_sub(1).map(|i| &rest[i]), rest.get(from));
                if let Some(to) = self.place_for(stop, &rest).filter(|_| closes) {
                    rest.insert(to, stop);
                    *tour = rest;
                    return true;
                }
            }
        }
        false
    }

    /// The place of least travel at which a stop is far enough from both of its neighbours, and after
    /// all that must come before it.
    fn place_for(&self, stop: usize, rest: &[usize]) -> Option<usize> {
        let comes_first = |other: &usize| self.before[stop].contains(other);
        let comes_after = |other: &usize| self.before[*other].contains(&stop);
        let first = rest.iter().rposition(comes_first).map_or(0, |place| place + 1);
        let last = rest.iter().position(comes_after).unwrap_or(rest.len());
        let end = |place: usize| {
            place.checked_sub(1).map_or(Point::ZERO, |before| self.stops[rest[before]].end)
        };
        let travel = |place: usize| {
            let to = way(end(place), self.stops[stop].start);
            let on = rest.get(place).map_or(0.0, |next| {
                let start = self.stops[*next].start;
                way(self.stops[stop].end, start) - way(end(place), start)
            });
            to + on
        };
        (first..=last)
            .filter(|place| {
                self.may_follow(place.checked_sub(1).map(|i| &rest[i]), Some(&stop))
                    && self.may_follow(Some(&stop), rest.get(*place))
            })
            .min_by(|a, b| travel(*a).total_cmp(&travel(*b)))
    }
}

//! Arcs in a row, each tangent to the next, of which few follow a curve.
//!
//! Their joints are on the curve; their directions there may be a little beside its own. Rows are
//! made arc by arc. Of the rows that end at about the same angle to the curve, the one that
//! reached furthest is kept.

use crate::geom::apart::bound;
use crate::geom::apart::distance;
use crate::geom::arcs::MAX_BULGE;
use crate::geom::arcs::Run;
use crate::geom::arcs::TURNS;
use crate::geom::arcs::furthest::furthest;
use crate::geom::biarc::biarc;
use crate::geom::biarc::bulge;
use crate::geom::edge::Arc;
use crate::geom::edge::Edge;
use crate::num::Angle;
use kurbo::Vec2;

/// How far an arc may be beside the direction of the curve where it ends, in steps of the tolerance
/// over its length. Along a curve whose curvature changes evenly the best is 6 √3 of these. Our
/// choice.
const BESIDE: f64 = 16.0;

/// It is never beside it by more than this, radians. Our choice.
const MAX_BESIDE: f64 = 0.2;

/// What is kept of the tolerance for what lies between the places at which an arc is tried: more
/// where a row is not close enough after all. Our choice.
const SPARES: [f64; 2] = [0.97, 0.9];

/// So many rows are followed at once, those that came furthest. Our choice, as are the shares
/// below: twice as many of each save one arc in a hundred.
const ROWS: usize = 8;

/// Shares of the furthest end of an arc that are tried as its end. Our choice.
const ENDS: [f64; 9] = [1.0, 0.96, 0.92, 0.87, 0.82, 0.76, 0.7, 0.62, 0.54];

/// How often the furthest end of an arc is halved. Our choice.
const HALVINGS: usize = 6;

/// Places at which an arc is tried, and in each piece of the curve. Our choice.
const PLACES: (usize, usize) = (11, 4);

/// A row of more arcs is left to pairs: each of them is found alone. Our choice.
const MOST: usize = 400;

/// The last arc of a row.
#[derive(Clone, Copy)]
struct Last {
    /// Where it ends on the curve.
    at: f64,
    /// Its direction there.
    way: Vec2,
    /// How far along the curve it reached.
    step: f64,
    /// Angle to the curve, in steps.
    beside: i32,
    /// The arc, and which is before it; none where the row begins.
    arc: Option<(Edge, usize)>,
}

impl Run<'_> {
    /// A row of arcs for a stretch that has no corner, with the directions of the curve at its
    /// ends, and how far the two are apart; none where no row is found.
    pub(super) fn row(&self, ends: [f64; 2]) -> Option<(Vec<Edge>, f64)> {
        SPARES.into_iter().find_map(|spare| self.within(spare * self.close, ends))
    }

    /// The same, each arc as near to the curve as said where it is tried.
    fn within(&self, near: f64, [first, end]: [f64; 2]) -> Option<(Vec<Edge>, f64)> {
        let way = self.way(first, true);
        let mut all = vec![Last { at: first, way, step: 0.125, beside: 0, arc: None }];
        let mut front = vec![0];
        for _ in 0..MOST {
            let ended = front.iter().find_map(|i| Some((*i, self.ended(&all[*i], end, near)?)));
            if let Some((last, pair)) = ended {
                return self.whole(&all, last, pair, end);
            }
            let mut next: Vec<Last> = Vec::new();
            for i in front {
                for one in self.onward(&all[i], i, (end, near)) {
                    match next.iter_mut().find(|other| other.beside == one.beside) {
                        Some(other) if other.at >= one.at => {}
                        Some(other) => *other = one,
                        None => next.push(one),
                    }
                }
            }
            next.sort_by(|a, b| b.at.total_cmp(&a.at));
            next.truncate(ROWS);
            front = (all.len()..all.len() + next.len()).collect();
            all.extend(next);
        }
        None
    }

    /// The row that ends with a pair of arcs, where all of it stays close.
    fn whole(
        &self,
        all: &[Last],
        last: usize,
        pair: [Edge; 2],
        end: f64,
    ) -> Option<(Vec<Edge>, f64)> {
        let (mut edges, mut to) = (pair.iter().rev().copied().collect::<Vec<_>>(), end);
        let mut away = bound(&self.part(all[last].at, to), &pair, self.close);
        let mut one = &all[last];
        while let Some((edge, before)) = one.arc {
            to = one.at;
            one = &all[before];
            away = away.max(bound(&self.part(one.at, to), &[edge], self.close));
            edges.push(edge);
        }
        edges.reverse();
        (away <= self.close).then_some((edges, away))
    }

    /// The pair of arcs from the end of a row to the end of the stretch.
    fn ended(&self, last: &Last, end: f64, near: f64) -> Option<[Edge; 2]> {
        let (p, q) = (self.point(last.at), self.point(end));
        let way = self.way(end, false);
        if last.way.dot(way) <= TURNS {
            return None;
        }
        let [first, joint] = biarc((p, last.way), (q, way));
        let pair = [
            Edge { from: p, to: joint.at, bulge: first.bulge },
            Edge { from: joint.at, to: q, bulge: joint.bulge },
        ];
        self.follows(&pair, [last.at, end], near).then_some(pair)
    }

    /// Arcs that go on from the end of a row.
    fn onward(&self, last: &Last, index: usize, (end, near): (f64, f64)) -> Vec<Last> {
        let p = self.point(last.at);
        let next = |at: f64| {
            let q = self.point(at);
            let edge = Edge { from: p, to: q, bulge: bulge(p, last.way, q) };
            let along = (q - p).normalize();
            let way = along * (2.0 * along.dot(last.way)) - last.way;
            let own = self.way(at, false);
            let angle = Angle::of(own.dot(way), own.cross(way)).radians();
            let beside = angle * (q - p).hypot() / self.close;
            let is_near = beside.abs() <= BESIDE && angle.abs() <= MAX_BESIDE;
            (is_near && self.follows(&[edge], [last.at, at], near)).then(|| Last {
                at,
                way,
                step: at - last.at,
                beside: beside.round() as i32,
                arc: Some((edge, index)),
            })
        };
        let reach = furthest(last.at, last.step, end, HALVINGS, |at| next(at).is_some());
        let shares = ENDS.into_iter().map(|share| last.at + (reach - last.at) * share);
        shares.filter_map(next).collect()
    }

    /// Whether a stretch of the curve is as near to edges as said, as far as it is tried.
    fn follows(&self, edges: &[Edge], [from, to]: [f64; 2], near: f64) -> bool {
        let fits = |arc: Arc| arc.radius > self.close;
        let is_arc = |e: &Edge| e.bulge.abs() <= MAX_BULGE && e.arc().is_none_or(fits);
        if !edges.iter().all(is_arc) {
            return false;
        }
        let start = self.way(from, true);
        let pieces = (to.ceil() - from.floor()).max(1.0) as usize;
        let count = PLACES.0.max(PLACES.1 * pieces);
        (1..=count).all(|i| {
            let u = from + (to - from) * i as f64 / count as f64;
            self.way(u, false).dot(start) > TURNS && distance(edges, self.point(u)) <= near
        })
    }
}

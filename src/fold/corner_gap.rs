//! The clear distance of two flanges at a corner, measured on the formed part.
//!
//! Along the side of each flange that faces the corner, from above its relief to its top, both
//! surfaces of the sheet are compared with the whole of the other flange.

use crate::flat::Flat;
use crate::fold::folded::Folded;
use crate::fold::folded::FoldedFace;
use crate::geom::Outline;
use crate::geom::Point;
use crate::num;
use crate::part::Part;

/// Pieces of the side of a flange, at whose ends the gap is measured. Our choice.
const PIECES: f64 = 32.0;

/// Where it is widest or narrowest is found to this share of an edge of that side: of a flange of
/// 100 mm some 0.01 mm. Our choice.
const FINE: f64 = 1e-4;

/// Pieces of an arc of it. Our choice.
const ROUND: u32 = 16;

/// An edge faces the corner when this much of its way, at least, is up the flange; from where it
/// runs flatter it is the top. Our choice.
const STEEP: f64 = 0.2;

/// A flange no higher than this has no side, and two ends nearer than this are one, mm.
const SAME: f64 = 1e-4;

/// The gap at a corner.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CornerGap {
    /// Indices of the two bends.
    pub bends: [usize; 2],
    /// The required gap, mm.
    pub asked: f64,
    /// Where it is narrowest, mm.
    pub min: f64,
    /// Where it is widest, mm, as high as both flanges reach.
    pub max: f64,
}

/// The gaps at all corners at which two flanges are to meet; without those where a flange
/// has no edge that faces the other.
pub fn corner_gaps(part: &Part, flat: &Flat, folded: &Folded) -> Vec<CornerGap> {
    let gap = |corner: &crate::flat::Corner| {
        let faces = corner.bends.map(|b| part.bends[b].to);
        let [first, second] = faces.map(|face| &folded.faces[face]);
        let [of_first, of_second] = faces.map(|face| relief(part, face));
        // Along the edge of the first bend the corner comes at its end, where x of the
        // carried face is smallest.
        let thick = part.thickness;
        let both = [
            along(first, second, -1.0, thick, of_first),
            along(second, first, 1.0, thick, of_second),
        ];
        let min = both.iter().flatten().copied().min_by(f64::total_cmp)?;
        // Of two that overlap one runs on past the gap: what the nearer edge sees counts.
        let widest = both.iter().filter_map(|gaps| gaps.iter().copied().max_by(f64::total_cmp));
        let max = widest.min_by(f64::total_cmp)?;
        Some(CornerGap { bends: corner.bends, asked: corner.gap, min, max })
    };
    flat.corners.iter().filter_map(gap).collect()
}

/// How far the deepest relief beside a bend reaches into the face that the bend is on, mm.
fn relief(part: &Part, face: usize) -> f64 {
    let on = part.bends.iter().filter(|bend| bend.from == face);
    on.map(|bend| bend.relief.depth).fold(0.0, f64::max)
}

/// The widest and the narrowest gap along each piece of the side of one flange that faces the other,
/// as far as that reaches; `relief` is how deep it is cut from its top.
fn along(
    face: &FoldedFace,
    other: &FoldedFace,
    side: f64,
    thickness: f64,
    relief: f64,
) -> Vec<f64> {
    let seen = |at: Point| [0.0, -thickness].map(|h| other.frame.seen(face.frame.point(at, h)));
    let gap = |at: Point| {
        let apart = seen(at).map(|[x, y, z]| {
            let at = Point::new(x, y);
            let outer = other.region.outer();
            let level = if outer.contains(at) { 0.0 } else { outer.distance(at) };
            num::hypot(level, z.max(-thickness - z).max(0.0))
        });
        apart[0].min(apart[1])
    };
    // What of it both surfaces see beside the other flange.
    let bounds = other.region.bounds();
    let beside = |rise: Rise| {
        let ends = [seen(rise.from), seen(rise.to)];
        let (mut first, mut last) = (0.0_f64, 1.0_f64);
        for (surface, (limit, way)) in
            (0..2).flat_map(|i| [(bounds.min.y, 1.0), (bounds.max.y, -1.0)].map(|limit| (i, limit)))
        {
            let [a, b] = ends.map(|end| (end[surface][1] - limit) * way);
            match (a < 0.0, b < 0.0) {
                (true, true) => return None,
                (true, false) => first = first.max(a / (a - b)),
                (false, true) => last = last.min(a / (a - b)),
                (false, false) => {}
            }
        }
        let at = |share: f64| rise.from.lerp(rise.to, share);
        (first <= last).then(|| Rise { from: at(first), to: at(last), ..rise })
    };
    let rises = profile(face.region.outer(), side, relief);
    let rises: Vec<Rise> = rises.into_iter().filter_map(beside).collect();
    let height: f64 = rises.iter().map(Rise::height).sum();
    // Between even places a short step of the other flange would be missed.
    let corners = other.region.outer().edges().map(|edge| edge.from);
    let facing: Vec<Point> = corners
        .flat_map(|at| [0.0, -thickness].map(|h| face.frame.seen(other.frame.point(at, h))))
        .map(|[x, y, _]| Point::new(x, y))
        .collect();
    let extremes = rises.iter().flat_map(|rise| {
        let count = (PIECES * rise.height() / height.max(SAME)).ceil().max(1.0);
        let of = |share: f64| gap(rise.from.lerp(rise.to, share));
        let even = (0..=count as u32).map(|i| f64::from(i) / count);
        let opposite = facing.iter().filter_map(|corner| rise.share(*corner));
        let shares = with_middles(even.chain(opposite).collect());
        let peak = |sign: f64| sign * peak(|share| sign * of(share), &shares, 1.0 / count);
        [1.0, -1.0].map(peak)
    });
    extremes.collect()
}

/// Some places, and half way between each two.
fn with_middles(mut places: Vec<f64>) -> Vec<f64> {
    places.sort_by(f64::total_cmp);
    let middles: Vec<f64> = places.windows(2).map(|two| f64::midpoint(two[0], two[1])).collect();
    places.extend(middles);
    places
}

/// The highest value of a function from 0 to 1: from the highest of some places `step` apart on, by
/// ever smaller steps.
fn peak(of: impl Fn(f64) -> f64, places: &[f64], mut step: f64) -> f64 {
    let values = places.iter().map(|at| (*at, of(*at)));
    let Some((mut at, mut best)) = values.max_by(|a, b| a.1.total_cmp(&b.1)) else {
        return f64::NEG_INFINITY;
    };
    while step > FINE {
        step /= 2.0;
        for near in [at - step, at + step].map(|near| near.clamp(0.0, 1.0)) {
            let value = of(near);
            if value > best {
                (at, best) = (near, value);
            }
        }
    }
    best
}

/// A straight piece of the side of a flange, upwards, and how long its whole edge is, mm.
#[derive(Clone, Copy)]
struct Rise {
    from: Point,
    to: Point,
    edge: f64,
}

impl Rise {
    fn height(&self) -> f64 {
        self.to.y - self.from.y
    }

    fn at(&self, y: f64) -> Point {
        self.from.lerp(self.to, (y - self.from.y) / self.height())
    }

    /// At which share of it it is nearest to a place; `None` beyond its ends.
    fn share(&self, place: Point) -> Option<f64> {
        let way = self.to - self.from;
        let share = (place - self.from).dot(way) / way.hypot2();
        (0.0..=1.0).contains(&share).then_some(share)
    }

    fn is_steep(&self) -> bool {
        self.height() > STEEP * (self.to - self.from).hypot()
    }
}

/// The outermost metal of a flange on one side of it, from above its relief up to its top: −1
/// where x is smallest, 1 where it is largest. A relief at the top is no deeper than `relief`, mm.
fn profile(outer: &Outline, side: f64, relief: f64) -> Vec<Rise> {
    // Metal is to the left of the direction, so an edge on the side where x is largest runs up.
    let pieces: Vec<Rise> = outer
        .edges()
        .flat_map(|edge| {
            let count = if edge.is_line() { 1 } else { ROUND };
            let at = move |i: u32| edge.point_at(f64::from(i) / f64::from(count));
            let long = edge.length();
            (0..count).map(move |i| match side > 0.0 {
                true => Rise { from: at(i), to: at(i + 1), edge: long },
                false => Rise { from: at(i + 1), to: at(i), edge: long },
            })
        })
        .filter(|rise| rise.height() > SAME)
        .collect();
    let mut heights: Vec<f64> = pieces.iter().flat_map(|r| [r.from.y, r.to.y]).collect();
    heights.sort_by(f64::total_cmp);
    let outermost = |pair: &[f64]| {
        let (low, high) = (pair[0], pair[1]);
        let middle = f64::midpoint(low, high);
        let here = pieces.iter().filter(|r| r.from.y < middle && middle < r.to.y);
        let out = |r: &Rise| r.at(middle).x * side;
        let rise = here.max_by(|a, b| out(a).total_cmp(&out(b)))?;
        (high - low > SAME).then(|| Rise { from: rise.at(low), to: rise.at(high), ..*rise })
    };
    let all: Vec<Rise> = heights.windows(2).filter_map(outermost).collect();
    let steep = all.iter().enumerate().filter(|(_, rise)| rise.is_steep());
    let Some((long, _)) = steep.max_by(|a, b| a.1.edge.total_cmp(&b.1.edge)) else {
        return Vec::new();
    };
    // Below, where it steps out, a relief ends; above, where it runs flat, it is the top. Where it
    // steps in, a relief beside a bend begins; or else it continues up, and the gap with it.
    let step = |i: usize| (all[i].from.x - all[i - 1].to.x) * side;
    let first = (1..=long).rev().find(|i| step(*i) > SAME).unwrap_or(0);
    let top = all[all.len() - 1].to.y;
    let begins = |i: &usize| step(*i) < -SAME && top - all[*i].from.y < relief + SAME;
    let end = (long + 1..all.len()).find(begins).unwrap_or(all.len());
    let above = all[first..end].iter().copied();
    above.skip_while(|rise| !rise.is_steep()).take_while(Rise::is_steep).collect()
}

//! A bend as it is seen: its two round sides in flat stripes, and its walls.

use crate::fold::FoldedBend;
use crate::fold::Space;
use crate::fold::dot;
use crate::fold::length;
use crate::fold::plus;
use crate::fold::times;
use crate::geom::NEAR;
use crate::geom::Point;
use crate::geom::Region;
use crate::view::facet::Facet;
use crate::view::facet::SMOOTH;
use crate::view::facet::STEP;
use crate::view::facet::chains;
use crate::view::facet::faces;

/// The sides of a bend and of what is left of its strip.
pub(crate) fn sector(facets: &mut Vec<Facet>, bend: &FoldedBend, strip: &Region) {
    let steps = (bend.angle.degrees() / STEP).ceil().max(1.0) as usize;
    let stripe = bend.allowance / steps as f64;
    let ring = ring(strip, stripe);
    for (height, out) in [(0.0, 1.0), (-bend.thickness, -1.0)] {
        round_side(facets, bend, &ring, steps, (height, out));
    }
    walls(facets, bend, &ring);
}

/// The outline of the strip, with a corner wherever it crosses from one stripe to the next.
fn ring(strip: &Region, stripe: f64) -> Vec<Point> {
    let edges = chains(strip.outer());
    let points: Vec<Point> =
        edges.iter().flat_map(|edge| edge[..edge.len() - 1].iter().copied()).collect();
    let mut ring = Vec::with_capacity(4 * points.len());
    let next = points.iter().cycle().skip(1);
    for (a, b) in points.iter().zip(next) {
        ring.push(*a);
        let [from, to] = [a.y, b.y].map(|y| y / stripe);
        let lines = (from.min(to) + NEAR).ceil() as i64..=(from.max(to) - NEAR).floor() as i64;
        let mut shares: Vec<f64> = lines.map(|i| (i as f64 - from) / (to - from)).collect();
        shares.sort_by(f64::total_cmp);
        ring.extend(shares.into_iter().map(|share| a.lerp(*b, share)));
    }
    ring
}

/// The inside or the outside of a bend: at a height above the upper side, looking up or down.
fn round_side(
    facets: &mut Vec<Facet>,
    bend: &FoldedBend,
    ring: &[Point],
    steps: usize,
    (height, out): (f64, f64),
) {
    let at = |p: &Point| bend.point(p.x, p.y / bend.allowance, height);
    let normal = |i: usize| times(bend.frame_at((i as f64 + 0.5) / steps as f64).z, out);
    for i in 0..steps {
        let [low, high] = [i, i + 1].map(|i| bend.allowance * i as f64 / steps as f64);
        let stripe = half(&half(ring, low, 1.0), high, -1.0);
        let corners: Vec<Space> = stripe.iter().map(at).collect();
        let Some(mut facet) = Facet::seen(vec![corners.clone()], normal(i)) else { continue };
        for (j, a) in stripe.iter().enumerate() {
            let k = (j + 1) % stripe.len();
            let on = |y: f64| (a.y - y).abs() < NEAR && (stripe[k].y - y).abs() < NEAR;
            let line = [corners[j], corners[k]];
            let beside = match (on(low), on(high)) {
                (true, _) => i.checked_sub(1),
                (_, true) => Some(i + 1),
                _ => {
                    facet.wide.push(line);
                    continue;
                }
            };
            match beside.filter(|other| *other < steps) {
                None => facet.narrow.push(line),
                Some(other) if !faces(normal(other)) => facet.wide.push(line),
                Some(_) => {}
            }
        }
        facets.push(facet);
    }
}

/// The walls all round but for the two lines where faces go on.
fn walls(facets: &mut Vec<Facet>, bend: &FoldedBend, ring: &[Point]) {
    let n = ring.len();
    let normal = |i: usize| {
        let (a, b) = (ring[i], ring[(i + 1) % n]);
        let goes_on =
            [0.0, bend.allowance].iter().any(|y| (a.y - y).abs() < NEAR && (b.y - y).abs() < NEAR);
        let across = bend.frame_at(a.midpoint(b).y / bend.allowance).y;
        let right = plus(times(bend.start.x, b.y - a.y), times(across, a.x - b.x));
        (!goes_on).then(|| times(right, 1.0 / length(right)))
    };
    let normals: Vec<Option<Space>> = (0..n).map(normal).collect();
    for (i, normal) in normals.iter().enumerate() {
        let Some(normal) = *normal else { continue };
        let [a, b] = [ring[i], ring[(i + 1) % n]];
        let at = |p: Point, height| bend.point(p.x, p.y / bend.allowance, height);
        let low = -bend.thickness;
        let corners = vec![at(a, 0.0), at(b, 0.0), at(b, low), at(a, low)];
        let Some(mut facet) = Facet::seen(vec![corners.clone()], normal) else { continue };
        facet.wide.extend([[corners[0], corners[1]], [corners[2], corners[3]]]);
        // No line where the wall runs on smoothly, nor where that of a face does.
        let sharp = |j: usize| normals[j].is_some_and(|v| !faces(v) || dot(v, normal) < SMOOTH);
        for (beside, line) in
            [((i + n - 1) % n, [corners[3], corners[0]]), ((i + 1) % n, [corners[1], corners[2]])]
        {
            if sharp(beside) {
                facet.wide.push(line);
            }
        }
        facets.push(facet);
    }
}

/// The part of a polygon above a height, or below it where `sign` is less than 0.
fn half(polygon: &[Point], y: f64, sign: f64) -> Vec<Point> {
    let over = |p: &Point| sign * (p.y - y);
    let mut kept = Vec::with_capacity(polygon.len() + 2);
    let next = polygon.iter().cycle().skip(1);
    for (a, b) in polygon.iter().zip(next) {
        let (from, to) = (over(a), over(b));
        if from >= -NEAR {
            kept.push(*a);
        }
        if (from > NEAR && to < -NEAR) || (from < -NEAR && to > NEAR) {
            kept.push(a.lerp(*b, from / (from - to)));
        }
    }
    kept
}

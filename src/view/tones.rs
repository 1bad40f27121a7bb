//! The sides of a view as areas, each in a tone by its normal, as far as nothing hides them.

use crate::geom::Bounds;
use crate::geom::Point;
use crate::geom::Space;
use crate::geom::dot;
use crate::view::camera::Camera;
use crate::view::pieces;
use crate::view::pieces::half;
use crate::view::skin::Side;
use crate::view::skin::Sight;
use i_overlay::core::fill_rule::FillRule;
use i_overlay::core::overlay::IntOverlayOptions;
use i_overlay::core::overlay::Overlay;
use i_overlay::core::overlay_rule::OverlayRule;
use i_overlay::core::solver::Precision;
use i_overlay::core::solver::Solver;
use i_overlay::i_float::int::point::IntPoint;
use std::collections::BTreeMap;

/// Grid of the areas, parts of a millimetre; coarser for what is farther from the origin than 100 m.
const GRID: f64 = 1e4;

/// Maximum coordinate on the grid: the overlay multiplies differences of two in 64 bits.
const FAR: f64 = 1e9;

/// A side seen under less than this, as a sine, is all edge.
const GRAZING: f64 = 0.01;

/// What hides a piece of skin counts as far round it, mm.
const ROUND: f64 = 0.1;

/// Nearer by less than this is beside, mm.
const BESIDE: f64 = 2e-3;

/// The tones between the darkest and the lightest, and these, 0 to 255. Our choice.
const TONES: f64 = 25.0;
const DARK: f64 = 200.0;
const LIGHT: f64 = 250.0;

/// Rings on the grid, the metal to the left of each.
type Rings = Vec<Vec<IntPoint<i32>>>;

/// An area of one tone.
#[derive(Clone, Debug)]
pub struct Tone {
    /// How light, 0 to 1.
    pub light: f64,
    /// Its rings, by the even-odd rule, mm.
    pub rings: Vec<Vec<Point>>,
}

/// A flat piece of skin that faces the viewer.
struct Facet {
    rings: Vec<Vec<Point>>,
    bounds: Bounds,
    /// Depth at the origin of the paper, and how it grows along x and y.
    depth: [f64; 3],
    tone: u8,
}

impl Facet {
    fn new(rings: Vec<Vec<Point>>, at: Space, normal: Space, camera: &Camera) -> Option<Self> {
        let towards = camera.faces(normal);
        if towards < GRAZING || rings.iter().all(|ring| ring.len() < 3) {
            return None;
        }
        let depth = [
            dot(normal, at) / towards,
            -dot(normal, camera.right) / towards,
            -dot(normal, camera.up) / towards,
        ];
        let bounds = rings.iter().flatten().fold(Bounds::EMPTY, |b, p| b.with(*p));
        let tone = DARK + (LIGHT - DARK) * (camera.light(normal) * TONES).round() / TONES;
        #[expect(clippy::cast_possible_truncation, reason = "between two bytes")]
        #[expect(clippy::cast_sign_loss, reason = "between two bytes")]
        let tone = tone as u8;
        Some(Self { rings, bounds, depth, tone })
    }

    fn depth_at(&self, p: Point) -> f64 {
        self.depth[0] + self.depth[1] * p.x + self.depth[2] * p.y
    }

    /// What of it lies nearer than another, about where that is.
    fn before(&self, other: &Self) -> Option<Vec<Vec<Point>>> {
        let (a, b) = (&self.bounds, &other.bounds);
        let apart = |a: f64, b: f64, c: f64, d: f64| a >= d || c >= b;
        if apart(a.min.x, a.max.x, b.min.x, b.max.x) || apart(a.min.y, a.max.y, b.min.y, b.max.y) {
            return None;
        }
        let over = |p: &Point| self.depth_at(*p) - other.depth_at(*p) - BESIDE;
        let points = || self.rings.iter().flatten();
        if points().all(|p| over(p) <= 0.0) {
            return None;
        }
        let there = self.rings.iter().map(|ring| about(ring, b)).filter(|ring| ring.len() > 2);
        if points().all(|p| over(p) >= 0.0) {
            return Some(there.collect());
        }
        Some(there.map(|ring| half(&ring, over)).collect())
    }
}

/// The tones, and the area of all of them.
pub(super) fn tones(sight: &Sight) -> (Vec<Tone>, Vec<Vec<Point>>) {
    let mut facets: Vec<Facet> = Vec::new();
    for side in &sight.skin.sides {
        add(&mut facets, side, &sight.camera);
    }
    let per_mm = per_mm(&facets);
    let mut by_tone: BTreeMap<u8, Rings> = BTreeMap::new();
    let mut whole: Rings = Vec::new();
    for (i, facet) in facets.iter().enumerate() {
        let before = facets.iter().enumerate().filter(|(j, _)| *j != i);
        let before: Vec<Vec<Point>> =
            before.filter_map(|(_, other)| other.before(facet)).flatten().collect();
        let own = grid(&facet.rings, per_mm);
        whole.extend(own.iter().cloned());
        let left = if before.is_empty() {
            own
        } else {
            overlay(&own, &grid(&before, per_mm))
                .overlay(OverlayRule::Difference, FillRule::NonZero)
                .into_iter()
                .flat_map(oriented)
                .collect()
        };
        by_tone.entry(facet.tone).or_default().extend(left);
    }
    let tones = by_tone.into_iter().map(|(tone, rings)| Tone {
        light: f64::from(tone) / 255.0,
        rings: joined(&rings, per_mm),
    });
    (tones.filter(|tone| !tone.rings.is_empty()).collect(), joined(&whole, per_mm))
}

/// How fine the grid of some facets is, parts of a millimetre.
fn per_mm(facets: &[Facet]) -> f64 {
    let all = facets.iter().flat_map(|facet| facet.rings.iter().flatten());
    let far = all.map(|p| p.x.abs().max(p.y.abs())).fold(0.0, f64::max) + ROUND;
    let mut grid = GRID;
    while far * grid > FAR && grid > 1.0 / FAR {
        grid /= 10.0;
    }
    grid
}

/// A shape of the overlay with its outline anticlockwise and its openings clockwise.
fn oriented(shape: Rings) -> Rings {
    let area = |ring: &[IntPoint<i32>]| {
        let pairs = ring.iter().zip(ring.iter().cycle().skip(1));
        pairs
            .map(|(a, b)| i64::from(a.x) * i64::from(b.y) - i64::from(a.y) * i64::from(b.x))
            .sum::<i64>()
    };
    let turned = |(i, mut ring): (usize, Vec<IntPoint<i32>>)| {
        if (area(&ring) > 0) != (i == 0) {
            ring.reverse();
        }
        ring
    };
    shape.into_iter().enumerate().map(turned).collect()
}

/// The union of rings, on paper.
fn joined(rings: &Rings, per_mm: f64) -> Vec<Vec<Point>> {
    let joined = overlay(rings, &Rings::new()).overlay(OverlayRule::Subject, FillRule::NonZero);
    let point = |p: IntPoint<i32>| Point::new(f64::from(p.x) / per_mm, f64::from(p.y) / per_mm);
    joined.into_iter().flatten().map(|ring| ring.into_iter().map(point).collect()).collect()
}

fn overlay(subject: &Rings, clip: &Rings) -> Overlay<i32> {
    let solver = Solver::with_precision(Precision::LOW);
    Overlay::from_subj_and_clip_custom(subject, clip, IntOverlayOptions::default(), solver)
}

fn grid(rings: &[Vec<Point>], per_mm: f64) -> Rings {
    let on =
        |p: &Point| IntPoint { x: (p.x * per_mm).round() as i32, y: (p.y * per_mm).round() as i32 };
    rings.iter().filter(|r| r.len() > 2).map(|ring| ring.iter().map(on).collect()).collect()
}

/// The flat pieces of a side that face the viewer; those of a round one end where it turns away.
fn add(facets: &mut Vec<Facet>, side: &Side, camera: &Camera) {
    let stops = pieces::stops(side, &side.shape.edge_on(camera.near));
    for piece in pieces::pieces(side, &stops) {
        let paper = |ring: &Vec<Space>| ring.iter().map(|p| camera.paper(*p)).collect();
        let rings = piece.rings.iter().map(paper).collect();
        facets.extend(Facet::new(rings, piece.at, piece.normal, camera));
    }
}

/// The part of a ring within bounds and a little round them.
fn about(ring: &[Point], b: &Bounds) -> Vec<Point> {
    let x = half(&half(ring, |p| p.x - b.min.x + ROUND), |p| b.max.x - p.x + ROUND);
    half(&half(&x, |p| p.y - b.min.y + ROUND), |p| b.max.y - p.y + ROUND)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A strip of 1 km has its area on a coarser grid, and one of 1 m on the usual one.
    #[test]
    fn what_is_far_from_the_origin_has_a_coarser_grid() {
        for (long, wanted) in [(1e3, GRID), (1e6, 1e2), (1e9, 0.1)] {
            let corners = [(0.0, 0.0), (long, 0.0), (long, 30.0), (0.0, 30.0)];
            let rings = vec![corners.map(|(x, y)| Point::new(x, y)).to_vec()];
            let bounds = rings[0].iter().fold(Bounds::EMPTY, |b, p| b.with(*p));
            let facet = Facet { rings, bounds, depth: [0.0; 3], tone: 0 };
            let per_mm = per_mm(std::slice::from_ref(&facet));
            assert!((per_mm - wanted).abs() < 1e-9 * wanted, "{per_mm}");
            let joined = joined(&grid(&facet.rings, per_mm), per_mm);
            let seen = joined.iter().flatten().fold(Bounds::EMPTY, |b, p| b.with(*p));
            assert!((seen.width() - long).abs() <= 1.0 / per_mm, "{seen:?}");
        }
    }
}

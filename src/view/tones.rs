//! The sides of a view as areas, each in a tone by its normal, as far as nothing hides them.

use crate::geom::Bounds;
use crate::geom::Point;
use crate::geom::Space;
use crate::geom::cross;
use crate::geom::dot;
use crate::geom::length;
use crate::geom::minus;
use crate::geom::plus;
use crate::geom::ring_sides;
use crate::geom::times;
use crate::num::Angle;
use crate::view::camera::Camera;
use crate::view::course::TURN;
use crate::view::shape::Shape;
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

/// Degrees of a round side in one flat strip, at the most. Our choice.
const STEP: f64 = 6.0;

/// Grid of the areas, parts of a millimetre: 32 bits hold 107 m on either side of the origin.
const GRID: f64 = 1e4;

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

/// A flat piece of skin that looks towards the viewer.
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
    let mut by_tone: BTreeMap<u8, Rings> = BTreeMap::new();
    let mut whole: Rings = Vec::new();
    for (i, facet) in facets.iter().enumerate() {
        let before = facets.iter().enumerate().filter(|(j, _)| *j != i);
        let before: Vec<Vec<Point>> =
            before.filter_map(|(_, other)| other.before(facet)).flatten().collect();
        let own = grid(&facet.rings);
        whole.extend(own.iter().cloned());
        let left = if before.is_empty() {
            own
        } else {
            overlay(&own, &grid(&before))
                .overlay(OverlayRule::Difference, FillRule::NonZero)
                .into_iter()
                .flat_map(oriented)
                .collect()
        };
        by_tone.entry(facet.tone).or_default().extend(left);
    }
    let tones = by_tone
        .into_iter()
        .map(|(tone, rings)| Tone { light: f64::from(tone) / 255.0, rings: joined(&rings) });
    (tones.filter(|tone| !tone.rings.is_empty()).collect(), joined(&whole))
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
fn joined(rings: &Rings) -> Vec<Vec<Point>> {
    let joined = overlay(rings, &Rings::new()).overlay(OverlayRule::Subject, FillRule::NonZero);
    let point = |p: IntPoint<i32>| Point::new(f64::from(p.x) / GRID, f64::from(p.y) / GRID);
    joined.into_iter().flatten().map(|ring| ring.into_iter().map(point).collect()).collect()
}

fn overlay(subject: &Rings, clip: &Rings) -> Overlay<i32> {
    let solver = Solver::with_precision(Precision::LOW);
    Overlay::from_subj_and_clip_custom(subject, clip, IntOverlayOptions::default(), solver)
}

fn grid(rings: &[Vec<Point>]) -> Rings {
    let on =
        |p: &Point| IntPoint { x: (p.x * GRID).round() as i32, y: (p.y * GRID).round() as i32 };
    rings.iter().filter(|r| r.len() > 2).map(|ring| ring.iter().map(on).collect()).collect()
}

/// The flat pieces of a side that look towards the viewer.
fn add(facets: &mut Vec<Facet>, side: &Side, camera: &Camera) {
    match &side.shape {
        Shape::Plane(frame) => {
            let paper = |p: &Point| camera.paper(side.shape.space(*p));
            let rings = side.rings.iter().map(|ring| ring.iter().map(paper).collect()).collect();
            facets.extend(Facet::new(rings, frame.origin, times(frame.z, side.sign), camera));
        }
        Shape::Round { .. } => strips(facets, side, camera),
        Shape::Ruled(pairs) => {
            for two in pairs.windows(2) {
                let mut ring = [two[0][0], two[1][0], two[1][1], two[0][1]];
                if side.sign < 0.0 {
                    ring.reverse();
                }
                let normal = cross(minus(ring[2], ring[0]), minus(ring[3], ring[1]));
                let normal = times(normal, 1.0 / length(normal).max(1e-12));
                let paper = ring.iter().map(|p| camera.paper(*p)).collect();
                facets.extend(Facet::new(vec![paper], ring[0], normal, camera));
            }
        }
    }
}

/// A round side in flat strips, which end where it turns away.
fn strips(facets: &mut Vec<Facet>, side: &Side, camera: &Camera) {
    let bounds = side.rings.iter().flatten().fold(Bounds::EMPTY, |b, p| b.with(*p));
    let step = Angle::from_degrees(STEP).radians();
    let count = (bounds.width() / step).ceil().max(1.0);
    let mut stops: Vec<f64> =
        (0..=count as usize).map(|i| bounds.min.x + bounds.width() * i as f64 / count).collect();
    for angle in side.shape.edge_on(camera.near) {
        let angle = angle + ((bounds.min.x - angle) / TURN).ceil() * TURN;
        if angle < bounds.max.x {
            stops.push(angle);
        }
    }
    stops.sort_by(f64::total_cmp);
    for two in stops.windows(2) {
        let [low, high] = [two[0], two[1]];
        if high - low < 1e-6 {
            continue;
        }
        let z = bounds.centre().y;
        let [a, b] = [low, high].map(|u| side.shape.space(Point::new(u, z)));
        let middle = side.shape.space(Point::new((low + high) / 2.0, z));
        let normal = times(side.shape.normal(middle), side.sign);
        if camera.faces(normal) < GRAZING {
            continue;
        }
        let strip = |ring: &Vec<Point>| -> Vec<Point> {
            let ring = half(&half(ring, |p| p.x - low), |p| high - p.x);
            ring.iter().map(|p| camera.paper(side.shape.space(*p))).collect()
        };
        let rings: Vec<Vec<Point>> = side.rings.iter().map(strip).collect();
        facets.extend(Facet::new(rings, times(plus(a, b), 0.5), normal, camera));
    }
}

/// The part of a ring within bounds and a little round them.
fn about(ring: &[Point], b: &Bounds) -> Vec<Point> {
    let x = half(&half(ring, |p| p.x - b.min.x + ROUND), |p| b.max.x - p.x + ROUND);
    half(&half(&x, |p| p.y - b.min.y + ROUND), |p| b.max.y - p.y + ROUND)
}

/// The part of a ring where a function, linear in the plane, is not less than 0.
fn half(ring: &[Point], over: impl Fn(&Point) -> f64) -> Vec<Point> {
    let mut kept = Vec::with_capacity(ring.len() + 2);
    for (a, b) in ring_sides(ring) {
        let (from, to) = (over(&a), over(&b));
        if from >= 0.0 {
            kept.push(a);
        }
        if (from > 0.0 && to < 0.0) || (from < 0.0 && to > 0.0) {
            kept.push(a.lerp(b, from / (from - to)));
        }
    }
    kept
}

//! The lines of a picture against the metal itself: every line drawn is visible, every visible line
//! is drawn.
//!
//! The metal is tested point by point, from the faces and the bends of the formed part. That has no
//! skin, no crossings of lines and no equation of a cylinder in common with the pictures.

use crate::bending::solid::hole;
use crate::random;
use crate::random::Rng;
use platewright::flat;
use platewright::fold;
use platewright::fold::Folded;
use platewright::fold::Space;
use platewright::fold::dot;
use platewright::fold::length;
use platewright::fold::minus;
use platewright::fold::plus;
use platewright::fold::times;
use platewright::geom::Edge;
use platewright::geom::Point;
use platewright::num::Angle;
use platewright::part::Part;
use platewright::solid;
use platewright::solid::Curve;
use platewright::solid::Solid;
use platewright::view;
use platewright::view::Camera;
use platewright::view::Projection;
use platewright::view::Sight;
use platewright::view::Skin;

/// Step along a line of sight through the metal, mm.
const STEP: f64 = 0.04;
/// More metal than this hides a place; less is where lines of sight graze, mm.
const HIDDEN: f64 = 0.2;
/// How far a drawn line may be from an edge, mm: pieces of circles of 5° are cut where straight
/// ones cross.
const NEAR: f64 = 0.06;

/// A part with the data of the test.
struct Known {
    part: Part,
    folded: Folded,
    solid: Solid,
    camera: Camera,
}

impl Known {
    fn is_metal(&self, p: Space) -> bool {
        let t = self.part.thickness;
        let is_in_face = self.folded.faces.iter().any(|face| {
            let [x, y, z] = face.frame.seen(p);
            -t < z && z < 0.0 && face.region.contains(Point::new(x, y))
        });
        if is_in_face {
            return true;
        }
        self.folded.bends.iter().zip(&self.folded.strips).any(|(bend, strip)| {
            let [x, y, z] = bend.start.seen(p);
            let (up, outer) = (bend.up, bend.radius + t);
            let off = if up { bend.radius - z } else { z + outer };
            let r = (y * y + off * off).sqrt();
            let height = if up { bend.radius - r } else { r - outer };
            let share = Angle::of(off, y).degrees() / bend.angle.degrees();
            -t < height
                && height < 0.0
                && (0.0..=1.0).contains(&share)
                && strip.contains(Point::new(x, share * bend.allowance))
        })
    }

    /// How much metal is between a place and the viewer, mm; up to a limit.
    fn metal(&self, from: Space) -> f64 {
        let near = self.camera.near;
        let t = self.part.thickness;
        let mut looks: Vec<i64> = Vec::new();
        let mut span = |low: f64, high: f64| {
            let [low, high] = [low.max(0.02), high].map(|d| (d / STEP).ceil() as i64);
            looks.extend(low..high.min(low + 20_000));
        };
        let far = 900.0;
        for face in &self.folded.faces {
            let (height, speed) = (face.frame.seen(from)[2], dot(face.frame.z, near));
            if speed.abs() < 1e-6 {
                if -t < height && height < 0.0 {
                    span(0.0, far);
                }
                continue;
            }
            let ends = [-height / speed, (-t - height) / speed];
            span(ends[0].min(ends[1]), ends[0].max(ends[1]).min(far));
        }
        for bend in &self.folded.bends {
            let middle = bend.point(bend.width / 2.0, 0.5, 0.0);
            let reach = bend.width / 2.0 + 2.0 * (bend.radius + t);
            let along = dot(minus(middle, from), near);
            let off = length(minus(minus(middle, from), times(near, along)));
            if off < reach {
                span(along - reach, along + reach);
            }
        }
        looks.sort_unstable();
        looks.dedup();
        let mut found = 0;
        for look in looks {
            found += usize::from(self.is_metal(plus(from, times(near, look as f64 * STEP))));
            if found as f64 * STEP > HIDDEN {
                break;
            }
        }
        found as f64 * STEP
    }

    /// Chains of places along every edge of the solid, and along where bends turn away.
    fn chains(&self) -> (Vec<Vec<Space>>, Vec<Vec<Space>>) {
        let of = |edge: &solid::SolidEdge| {
            let ends = [edge.from, edge.to].map(|i| self.solid.points[i]);
            match &edge.curve {
                Curve::Line => {
                    let n = (length(minus(ends[1], ends[0])) / 2.0).ceil().max(4.0) as usize;
                    let at = |i: usize| i as f64 / n as f64;
                    let mix = |t: f64| plus(times(ends[0], 1.0 - t), times(ends[1], t));
                    (0..=n).map(|i| mix(at(i))).collect()
                }
                Curve::Circle { frame, radius } => {
                    let [a, b] = ends.map(|p| {
                        let [x, y, _] = frame.seen(p);
                        Angle::of(x, y).degrees()
                    });
                    let sweep = (b - a).rem_euclid(360.0);
                    let at = |i: u32| {
                        let angle = Angle::from_degrees(a + sweep * f64::from(i) / 90.0);
                        frame.point(Point::new(angle.cos() * radius, angle.sin() * radius), 0.0)
                    };
                    (0..=90).map(at).collect()
                }
                Curve::Cubics(_) => Vec::new(),
            }
        };
        let mut turns = Vec::new();
        for bend in &self.folded.bends {
            let out = |s: f64| minus(bend.point(0.0, s, 0.0), bend.point(0.0, s, -1.0));
            let towards = |s: f64| dot(out(s), self.camera.near);
            let outer = if bend.up { -self.part.thickness } else { 0.0 };
            for i in 0..200 {
                let [mut low, mut high] = [i, i + 1].map(|i| f64::from(i) / 200.0);
                if (towards(low) > 0.0) == (towards(high) > 0.0) {
                    continue;
                }
                for _ in 0..40 {
                    let middle = (low + high) / 2.0;
                    let same = (towards(middle) > 0.0) == (towards(low) > 0.0);
                    *(if same { &mut low } else { &mut high }) = middle;
                }
                let at = |k: u32| bend.point(bend.width * f64::from(k) / 40.0, low, outer);
                turns.push((0..=40).map(at).collect());
            }
        }
        (self.solid.edges.iter().map(of).collect(), turns)
    }

    fn paper(&self, p: Space) -> Point {
        self.camera.paper(p)
    }
}

/// What came of comparing some pictures.
#[derive(Debug, Default)]
struct Counts {
    parts: usize,
    drawn: usize,
    /// Drawn where no edge is, or none that is seen.
    wrong: usize,
    seen: usize,
    /// Seen, and not drawn.
    missing: usize,
}

fn compare(known: &Known, seen: &Projection, counts: &mut Counts) {
    let (edges, turns) = known.chains();
    let drawn: Vec<Edge> = seen.lines.iter().flat_map(|line| line.edges.clone()).collect();
    counts.parts += 1;
    for edge in &drawn {
        let p = edge.point_at(0.5);
        if edge.length() < 0.3 {
            continue;
        }
        counts.drawn += 1;
        let beside =
            edges.iter().chain(&turns).flat_map(|chain| chain.windows(2)).filter_map(|two| {
                let flat = [known.paper(two[0]), known.paper(two[1])];
                let way = flat[1] - flat[0];
                let t = ((p - flat[0]).dot(way) / way.hypot2().max(1e-12)).clamp(0.0, 1.0);
                let off = (flat[0].lerp(flat[1], t) - p).hypot();
                (off < NEAR).then(|| plus(times(two[0], 1.0 - t), times(two[1], t)))
            });
        let is_seen = beside.into_iter().any(|at| known.metal(at) < HIDDEN);
        counts.wrong += usize::from(!is_seen);
    }
    // Edges through the sheet may lie where a bend continues a face: no line is drawn there.
    let through = |chain: &&Vec<Space>| {
        let ends = chain.first().zip(chain.last());
        ends.is_some_and(|(a, b)| (length(minus(*b, *a)) - known.part.thickness).abs() > 1e-6)
    };
    for chain in edges.iter().filter(through) {
        for two in chain.windows(2).step_by(7) {
            let at = times(plus(two[0], two[1]), 0.5);
            if known.metal(at) > 0.0 {
                continue;
            }
            counts.seen += 1;
            let p = known.paper(at);
            let is_drawn = drawn.iter().any(|edge| (edge.nearest(p) - p).hypot() < NEAR);
            counts.missing += usize::from(!is_drawn);
        }
    }
}

fn compared(seed: u64, parts: usize) -> Counts {
    let mut rng = Rng(seed);
    let mut counts = Counts::default();
    let directions = Camera::all();
    while counts.parts < parts {
        let bends = 1 + counts.parts % 5;
        let mut part = random::part(&mut rng, bends);
        part.faces[0].holes = vec![hole([0.0, 0.0], 6.0), hole([-8.0, 14.0], 4.0)];
        let Ok(flat) = flat::unfold(&part) else { continue };
        let folded = fold::fold(&part, &flat, &fold::full(&part));
        if !fold::clashes(&part, &folded).is_empty() {
            continue;
        }
        let Ok(solid) = solid::solid(&part, &flat, &folded) else { continue };
        let camera = directions[counts.parts * 7 % directions.len()];
        let bodies = [solid];
        let skin = Skin::of(&bodies);
        let seen = view::see(&Sight::new(&skin, camera), &folded.bends, part.thickness);
        let [solid] = bodies;
        compare(&Known { part, folded, solid, camera }, &seen, &mut counts);
    }
    counts
}

/// Random parts of two seeds, each seen from another side.
#[test]
fn what_is_drawn_is_seen_and_what_is_seen_is_drawn() {
    for seed in [4711, 90210] {
        let counts = compared(seed, 7);
        println!("seed {seed}: {counts:?}");
        assert!(counts.drawn > 1000 && counts.seen > 1500, "{counts:?}");
        assert_eq!((counts.wrong, counts.missing), (0, 0), "seed {seed}: {counts:?}");
    }
}

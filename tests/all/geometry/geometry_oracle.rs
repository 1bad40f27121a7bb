//! Adding and cutting shapes, against an independent polygon library.
//!
//! `geo` has no arcs: it is given the same shapes as fine polygons. Areas are compared within 0.02
//! mm² a step, of which the chords use up to a third.

use geo::Area;
use geo::BooleanOps;
use geo::MultiPolygon;
use geo::Validation;
use platewright::geom;
use platewright::geom::Corner;
use platewright::geom::CornerKind;
use platewright::geom::CornerSide;
use platewright::geom::Disc;
use platewright::geom::Edge;
use platewright::geom::Outline;
use platewright::geom::Place;
use platewright::geom::Point;
use platewright::geom::Region;
use platewright::geom::RegionError;
use platewright::geom::Side;
use platewright::geom::Stop;
use platewright::num::Angle;

/// The chords leave the arcs by this much, mm.
const CHORD: f64 = 5e-5;
/// How far the areas of one step may be apart, mm².
const APART: f64 = 0.02;
/// Pieces smaller than this are the dust of the comparison, mm².
const DUST: f64 = 0.05;

/// Numbers that look random and are the same in every run (Marsaglia's xorshift).
struct Rng(u64);

impl Rng {
    fn roll(&mut self) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        self.0
    }

    fn below(&mut self, n: u64) -> u64 {
        (self.roll() >> 11) % n
    }

    fn between(&mut self, min: f64, max: f64) -> f64 {
        min + (max - min) * ((self.roll() >> 11) as f64 / (1u64 << 53) as f64)
    }

    /// Half of the time a multiple of 5 mm, as people type them: edges fall on edges.
    fn length(&mut self, min: f64, max: f64) -> f64 {
        let exact = self.between(min, max);
        if self.below(2) == 0 { (exact / 5.0).round().max(1.0) * 5.0 } else { exact }
    }

    fn place(&mut self, reach: f64) -> f64 {
        let exact = self.between(-reach, reach);
        if self.below(2) == 0 { (exact / 5.0).round() * 5.0 } else { exact }
    }

    fn shape(&mut self) -> Outline {
        let o = Point::ZERO;
        let (a, b) = (self.length(8.0, 40.0), self.length(5.0, 40.0));
        let shape = match self.below(6) {
            0 => geom::disc(o, a / 2.0),
            1 => geom::rectangle(o, a, b, 0.0),
            2 => geom::rectangle(o, a, b, a.min(b) / 4.0),
            3 => geom::slot(o, a.max(b), a.min(b)),
            4 => geom::hexagon(o, b),
            _ => geom::belt(&[
                Disc { centre: o, radius: b / 4.0 },
                Disc { centre: Point::new(a, 0.0), radius: a / 6.0 },
                Disc { centre: Point::new(0.0, b), radius: 0.0 },
            ]),
        };
        let rotation = match self.below(3) {
            0 => self.between(0.0, 360.0),
            quarters => 90.0 * quarters as f64,
        };
        let at = Point::new(self.place(25.0), self.place(25.0));
        let moved = Place::rotated(Angle::from_degrees(rotation), at);
        shape.expect("the measures are good").moved(&moved)
    }
}

fn ring(outline: &Outline) -> geo::LineString {
    chords(outline, CHORD, Side::On)
}

fn chords(outline: &Outline, tolerance: f64, side: Side) -> geo::LineString {
    let points = geom::flatten(outline, tolerance, side);
    points.into_iter().map(|p| geo::coord! { x: p.x, y: p.y }).collect()
}

fn polygon(outline: &Outline) -> MultiPolygon {
    MultiPolygon::new(vec![geo::Polygon::new(ring(outline), Vec::new())])
}

fn region(region: &Region) -> geo::Polygon {
    geo::Polygon::new(ring(region.outer()), region.holes().iter().map(ring).collect())
}

/// Whether the oracle finds no fault in a plate. It takes its time: fewer chords do.
fn is_sound(region: &Region) -> bool {
    let ring = |outline: &Outline| chords(outline, 1e-3, Side::On);
    geo::Polygon::new(ring(region.outer()), region.holes().iter().map(ring).collect()).is_valid()
}

/// The pieces that are more than dust.
fn pieces(shape: &MultiPolygon) -> usize {
    shape.iter().filter(|p| p.unsigned_area() > DUST).count()
}

fn total(outlines: &(Vec<Outline>, Vec<Outline>)) -> f64 {
    let sum = |o: &[Outline]| o.iter().map(Outline::area).sum::<f64>();
    sum(&outlines.0) - sum(&outlines.1)
}

#[derive(Default)]
struct Score {
    agreed: usize,
    refused: usize,
    wrong: Vec<String>,
}

/// Both operations on a pair; what is not refused must have the area of the oracle.
fn compare(score: &mut Score, a: &Outline, b: &Outline, what: &str) {
    let (p, q) = (polygon(a), polygon(b));
    let oracle = [p.union(&q), p.difference(&q)].map(|shape| shape.unsigned_area());
    let ours = [geom::unite(a, b), geom::cut(a, b)];
    for ((ours, oracle), name) in ours.iter().zip(oracle).zip(["united", "cut"]) {
        match ours {
            Ok(outlines) => {
                let area = total(outlines);
                if (area - oracle).abs() < APART {
                    score.agreed += 1;
                } else {
                    score.wrong.push(format!("{what} {name}: {area}, but {oracle}"));
                }
            }
            Err(_) => score.refused += 1,
        }
    }
    if let [Ok(or), Ok(not)] = &ours {
        let and = a.area() - total(not);
        let sum = total(or) + and;
        assert!((sum - a.area() - b.area()).abs() < APART, "{what}: {sum} in both ways");
    }
}

#[test]
fn random_pairs_have_the_areas_of_the_oracle() {
    let mut rng = Rng(0x9E37_79B9_7F4A_7C15);
    let mut score = Score::default();
    for i in 0..600 {
        let (a, b) = (rng.shape(), rng.shape());
        compare(&mut score, &a, &b, &format!("pair {i}: {a:?} {b:?}"));
    }
    assert!(score.wrong.is_empty(), "{}", score.wrong.join("\n"));
    assert!(score.agreed >= 1180, "{} agreed, {} refused", score.agreed, score.refused);
}

/// Discs that touch, rectangles side by side, a disc in a slot's end: apart, together or
/// in one another by next to nothing.
#[test]
fn pairs_that_nearly_touch_have_the_areas_of_the_oracle_or_are_refused() {
    let o = Point::ZERO;
    let mut rng = Rng(0x2545_F491_4F6C_DD1D);
    let mut score = Score::default();
    for gap in [0.0, 1e-12, 1e-9, 1e-8, 1e-7, 1e-6, 1e-5, 1e-4, 1e-3, 1e-2] {
        for gap in [gap, -gap] {
            for _ in 0..6 {
                let (r, s) = (rng.length(5.0, 20.0), rng.length(5.0, 20.0));
                let rotation = Place::rotated(Angle::from_degrees(rng.between(0.0, 360.0)), o);
                let disc = |x: f64, r: f64| geom::disc(Point::new(x, 0.0), r).expect("a disc");
                let block = |x: f64, w: f64, h: f64| {
                    geom::rectangle(Point::new(x, 0.0), w, h, 0.0).expect("a rectangle")
                };
                let slot = geom::slot(o, 2.0 * (r + s), 2.0 * r).expect("a slot");
                let pairs = [
                    ("discs", disc(0.0, r), disc(r + s + gap, s)),
                    ("a disc in a disc", disc(0.0, r + s), disc(r - gap, s)),
                    ("one disc twice", disc(0.0, r), disc(gap, r)),
                    ("blocks", block(0.0, r, s), block((r + s) / 2.0 + gap, s, r)),
                    ("a block in a block", block(0.0, r + s, 9.0), block(s / 2.0 + gap, r, 9.0)),
                    ("a disc at a block", block(0.0, r, 30.0), disc(r / 2.0 + s + gap, s)),
                    ("a disc in a slot", slot, disc(s + gap, r)),
                ];
                for (what, a, b) in pairs {
                    let what = format!("{what}, {gap:e} apart, r {r}, s {s}");
                    compare(&mut score, &a.moved(&rotation), &b.moved(&rotation), &what);
                }
            }
        }
    }
    let all = score.agreed + score.refused;
    assert!(score.wrong.is_empty(), "{}", score.wrong.join("\n"));
    assert!(score.agreed >= 1000, "{} of {all} agreed", score.agreed);
}

/// What the oracle says to a step that was refused.
fn refusal_is_right(why: &RegionError, before: &MultiPolygon, after: &MultiPolygon) -> bool {
    match why {
        RegionError::Nothing => pieces(after) == 0,
        RegionError::Pieces(_) | RegionError::Apart => pieces(after) > 1,
        RegionError::Misses => (before.unsigned_area() - after.unsigned_area()).abs() < APART,
        _ => false,
    }
}

/// Steps as a recipe has them: each succeeds with the oracle's area and a sound plate, or
/// is refused for a reason that the oracle sees too.
#[test]
fn plates_built_in_random_steps_are_sound_or_refused_with_reason() {
    let mut rng = Rng(0xD1B5_4A32_D192_ED03);
    let (mut done, mut refused, mut unsure) = (0, 0, 0);
    for number in 0..150 {
        let first = rng.shape();
        let mut plate = Region::solid(first.clone());
        for step in 0..6 {
            let shape = rng.shape();
            let add = rng.below(2) == 0;
            let before = MultiPolygon::new(vec![region(&plate)]);
            let tool = polygon(&shape);
            let oracle = if add { before.union(&tool) } else { before.difference(&tool) };
            let next = if add { plate.with(&shape) } else { plate.without(&shape) };
            let what = format!("plate {number}, step {step}, add {add}: {plate:?} {shape:?}");
            match next {
                Ok(next) => {
                    let (is, wanted) = (next.area(), oracle.unsigned_area());
                    assert!((is - wanted).abs() < APART, "{is}, but {wanted}: {what}");
                    assert_eq!(pieces(&oracle), 1, "{what}");
                    assert!(is_sound(&next), "not sound: {what}");
                    plate = next;
                    done += 1;
                }
                Err(RegionError::Boolean(_)) => unsure += 1,
                Err(why) => {
                    // A cut that only just reaches the edge does so with its outer chords.
                    let outer = geo::Polygon::new(chords(&shape, CHORD, Side::Outside), Vec::new());
                    let outer = MultiPolygon::new(vec![outer]);
                    let outer = if add { before.union(&outer) } else { before.difference(&outer) };
                    let right = |after: &MultiPolygon| refusal_is_right(&why, &before, after);
                    assert!(right(&oracle) || right(&outer), "{why}: {what}");
                    refused += 1;
                }
            }
        }
    }
    assert!(done > 400 && refused > 50, "{done} done, {refused} refused, {unsure} unsure");
    assert!(unsure * 20 < done, "{unsure} unsure of {done}");
}

/// Random corners: a polygon is refused, or has the area of the oracle and does not cross itself.
#[test]
fn random_polygons_are_sound_or_refused() {
    let mut rng = Rng(0xA076_1D64_78BD_642F);
    let (mut good, mut refused) = (0, 0);
    for number in 0..600 {
        let n = 3 + rng.below(5);
        let corners: Vec<Corner> = (0..n)
            .map(|_| {
                let at = Point::new(rng.place(40.0), rng.place(40.0));
                let kind = match rng.below(6) {
                    0 => CornerKind::Round(rng.length(1.0, 6.0)),
                    1 => CornerKind::Chamfer(rng.length(1.0, 6.0)),
                    2 => CornerKind::Clip(rng.length(1.0, 6.0)),
                    _ => CornerKind::Sharp,
                };
                let side = match rng.below(10) {
                    0 => CornerSide::Height(rng.place(12.0)),
                    1 => CornerSide::Radius(rng.place(60.0)),
                    2 => CornerSide::Through(Point::new(rng.place(40.0), rng.place(40.0))),
                    3 => CornerSide::Tangent,
                    _ => CornerSide::Straight,
                };
                Corner { at, kind, side }
            })
            .collect();
        match geom::polygon(&corners) {
            Ok(outline) => {
                let plate = Region::solid(outline);
                assert!(is_sound(&plate), "polygon {number} is not sound: {corners:?}");
                let (is, wanted) = (plate.area(), region(&plate).unsigned_area());
                // Large arcs are flattened to the same share of their radius.
                let apart = APART.max(1e-6 * wanted);
                assert!((is - wanted).abs() < apart, "{is}, but {wanted}: {corners:?}");
                good += 1;
            }
            Err(_) => {
                let sharp = corners
                    .iter()
                    .all(|c| c.kind == CornerKind::Sharp && c.side == CornerSide::Straight);
                let line: geo::LineString =
                    corners.iter().map(|c| geo::coord! { x: c.at.x, y: c.at.y }).collect();
                let oracle = geo::Polygon::new(line, Vec::new());
                assert!(!sharp || !oracle.is_valid(), "refused for nothing: {corners:?}");
                refused += 1;
            }
        }
    }
    assert!(good > 100 && refused > 100, "{good} good, {refused} refused");
}

/// Random discs and corners: an outline is refused, or is sound, has the area of the oracle, and
/// touches every disc without a corner, those in it from outside, the others from within.
#[test]
fn random_outlines_round_discs_touch_them() {
    let mut rng = Rng(0xD1B5_4A32_D192_ED03);
    let (mut good, mut refused, mut arcs) = (0, 0, 0);
    for number in 0..1500 {
        let n = 2 + rng.below(4);
        let stops: Vec<Stop> = (0..n)
            .map(|i| {
                // About a circle, so that many do not cross themselves.
                let way = Angle::from_degrees(360.0 * i as f64 / n as f64 + rng.place(20.0));
                let out = rng.length(25.0, 60.0);
                let at = Point::new(out * way.cos(), out * way.sin());
                match rng.below(5) {
                    0 => Stop::Corner(Corner {
                        at,
                        kind: CornerKind::Sharp,
                        side: CornerSide::Straight,
                    }),
                    1 => Stop::Disc(at, -rng.length(1.0, 12.0), CornerSide::Straight),
                    _ => Stop::Disc(at, rng.length(1.0, 20.0), CornerSide::Straight),
                }
            })
            .collect();
        let Ok((outline, sides)) = geom::wrapped(&stops) else {
            refused += 1;
            continue;
        };
        assert_eq!(sides.len(), stops.len());
        let what = format!("outline {number}: {stops:?}");
        let plate = Region::solid(outline.clone());
        assert!(is_sound(&plate), "not sound: {what}");
        let (is, wanted) = (plate.area(), region(&plate).unsigned_area());
        assert!((is - wanted).abs() < APART.max(1e-6 * wanted), "{is}, but {wanted}: {what}");
        good += 1;
        let edges: Vec<Edge> = outline.edges().collect();
        for (i, edge) in edges.iter().enumerate() {
            let Some(arc) = edge.arc() else { continue };
            let of = |stop: &&Stop| {
                let Stop::Disc(at, radius, _) = stop else { return false };
                (*at - arc.centre).hypot() < 1e-6 && (radius.abs() - arc.radius).abs() < 1e-6
            };
            let Some(Stop::Disc(_, radius, _)) = stops.iter().find(of) else {
                panic!("an arc of no disc: {what}")
            };
            // Anticlockwise round the plate: left round what is in it, right round the others.
            assert!(edge.bulge * radius > 0.0, "round the wrong side: {what}");
            arcs += 1;
            let next = edges[(i + 1) % edges.len()];
            let on = |edge: &Edge, at: Point, inside: Point| {
                edge.is_line() && ((at - inside).dot(edge.to - edge.from)).abs() < 1e-6
            };
            assert!(!next.is_line() || on(&next, edge.to, arc.centre), "a corner: {what}");
        }
    }
    assert!(good > 300 && refused > 100, "{good} good, {refused} refused");
    assert!(arcs > 600, "only {arcs} arcs");
}

//! Where tubes cross plates, against published depths and against the tube itself.

use platewright::geom::Outline;
use platewright::geom::Place;
use platewright::geom::Point;
use platewright::geom::Region;
use platewright::geom::Saddle;
use platewright::geom::SaddleError;
use platewright::geom::rectangle;
use platewright::num::Angle;
use proptest::prelude::*;
use proptest::test_runner::RngSeed;

const INCH: f64 = 25.4;
/// What a saddle promises, mm.
const CLOSE: f64 = 0.01;

/// A main tube of radius `main`, crossed at `theta` by a branch whose axis meets its own.
/// A plate without thickness that contains the branch's axis cuts the branch along two lines, `phi`
/// round it and opposite. The main tube crosses that plate in a saddle, so the line at `phi` ends
/// on the saddle's outline, which is how far the branch is coped there.
///
/// With the main axis m along x, the branch's axis d = (cos θ, sin θ, 0) and, square to it,
/// a = (−sin θ, cos θ, 0), the plate is spanned by d and u = a cos φ + z sin φ. Its normal
/// d × u meets m at sin θ sin φ, the sine of the saddle's lean, and m is projected on the plate in
/// the direction (m·d, m·u) = (cos θ, −sin θ cos φ).
///
/// In the plate's coordinates: x along the branch from where the axes meet, y across it.
fn cope(main: f64, theta: Angle, phi: Angle) -> Outline {
    let sine = (theta.sin() * phi.sin()).abs();
    let saddle = Saddle {
        tube: 2.0 * main,
        lean: platewright::num::asin(sine),
        aside: 0.0,
        thickness: 0.0,
        reach: 20.0 * main,
    };
    let rotation = Angle::of(theta.cos(), -theta.sin() * phi.cos());
    saddle.outline().unwrap().moved(&Place::rotated(rotation, Point::ZERO))
}

#[test]
fn equal_tubes_at_a_right_angle_are_coped_one_radius_deep() {
    let r = 0.75 * INCH;
    // The crown of the branch ends on the crest of the main tube, its sides on the main axis:
    // 0.75 in deep between them for tubes of 1.5 in, as notching charts have it.
    let crown = cope(r, Angle::QUARTER, Angle::ZERO);
    let side = cope(r, Angle::QUARTER, Angle::QUARTER);
    assert!(crown.distance(Point::new(r, r)) < CLOSE);
    assert!(side.distance(Point::new(0.0, r)) < CLOSE);
    // A plate square across the main tube is cut by a circle, also one radius deep.
    let notch =
        Saddle { tube: 2.0 * r, lean: Angle::QUARTER, aside: 0.0, thickness: 4.0, reach: r };
    let depth = notch.outline().unwrap().bounds().max.y;
    assert!((depth / INCH - 0.75).abs() < 1e-9, "{depth}");
}

/// The development of a coped tube, computed from its formula
/// s = (√(R² − r² sin² φ) − r cos φ cos θ) / sin θ.
fn development(main: f64, branch: f64, theta: Angle, phi: Angle) -> f64 {
    let across = branch * phi.sin();
    let up = (main * main - across * across).max(0.0).sqrt();
    (up - branch * phi.cos() * theta.cos()) / theta.sin()
}

#[test]
fn a_branch_at_60_degrees_is_coped_as_its_development_says() {
    let (r, theta) = (0.75 * INCH, Angle::from_degrees(60.0));
    for (phi, printed) in [(0.0, 0.4330), (90.0, 0.0), (180.0, 1.2990)] {
        let phi = Angle::from_degrees(phi);
        assert!((development(r, r, theta, phi) / INCH - printed).abs() < 5e-5);
        // Across the branch u points along φ, so the line at φ is y = r.
        let end = Point::new(printed * INCH, r);
        let off = cope(r, theta, phi).distance(end);
        assert!(off < CLOSE + 5e-5 * INCH, "{phi}: {off}");
    }
}

#[test]
fn a_branch_all_round_is_coped_as_its_development_says() {
    let main = 30.0;
    for branch in [30.0, 24.0, 9.0] {
        for theta in [90.0, 75.0, 60.0, 40.0] {
            // From 5° on: nearer to the crown such a plate lies along the main tube.
            for phi in (5..=175).step_by(5) {
                let (theta, phi) =
                    (Angle::from_degrees(theta), Angle::from_degrees(f64::from(phi)));
                let end = Point::new(development(main, branch, theta, phi), branch);
                let off = cope(main, theta, phi).distance(end);
                assert!(off < CLOSE, "{branch} {theta} {phi}: {off}");
            }
        }
    }
}

/// The tube and the plate in space: the axis runs in the plane y = 0 and passes `aside`
/// above the middle of the plate over the origin.
fn from_axis(saddle: &Saddle, p: Point) -> f64 {
    // Distance from the axis within the plane y = 0 changes evenly with the height in the plate.
    let (sin, cos) = (saddle.lean.sin(), saddle.lean.cos());
    let off = |z: f64| p.x * sin - (z - saddle.aside) * cos;
    let (low, high) = (off(-saddle.thickness / 2.0), off(saddle.thickness / 2.0));
    let min = if low * high <= 0.0 { 0.0 } else { low.abs().min(high.abs()) };
    (min * min + p.y * p.y).sqrt()
}

/// Points on the outline, each with the direction away from the inside.
fn around(outline: &Outline) -> Vec<(Point, platewright::geom::Vec2)> {
    let shares = [0.0, 0.1, 0.25, 0.5, 0.75, 0.9];
    let points = outline.edges().flat_map(|edge| {
        shares.map(|t| {
            let along = (edge.point_at(t + 1e-3) - edge.point_at(t)).normalize();
            (edge.point_at(t), platewright::geom::Vec2::new(along.y, -along.x))
        })
    });
    points.collect()
}

fn leaning() -> impl Strategy<Value = Saddle> {
    let lean = prop_oneof![3.0..=90.0, Just(3.0), Just(90.0)];
    (6.0..200.0f64, lean, -1.5..1.5f64, prop_oneof![Just(0.0), 0.5..25.0f64]).prop_map(
        |(tube, lean, aside, thickness)| Saddle {
            tube,
            lean: Angle::from_degrees(lean),
            aside: aside * tube / 2.0,
            thickness,
            reach: 5.0 * tube,
        },
    )
}

fn config() -> ProptestConfig {
    ProptestConfig {
        cases: 300,
        rng_seed: RngSeed::Fixed(60),
        failure_persistence: None,
        ..ProptestConfig::default()
    }
}

proptest! {
    #![proptest_config(config())]

    /// A hundredth outside the outline there is no tube, a hundredth inside it there is.
    #[test]
    fn the_rim_follows_the_tube_within_a_hundredth(saddle in leaning()) {
        let outline = saddle.outline().unwrap();
        let r = saddle.tube / 2.0;
        for (p, out) in around(&outline) {
            prop_assert!(from_axis(&saddle, p + out * CLOSE) >= r, "metal could go on at {p:?}");
            prop_assert!(from_axis(&saddle, p - out * CLOSE) <= r, "tube is left at {p:?}");
        }
    }

    /// A plate that ends across the tube, cut out: where the tube is there is no metal,
    /// and where it is not there is.
    #[test]
    fn no_tube_is_left_in_the_metal(saddle in leaning(), seed in 0u32..1000) {
        let cut = saddle.outline().unwrap();
        let bounds = cut.bounds();
        let (length, height) = (bounds.width(), 2.0 * bounds.height());
        let middle = bounds.centre() + (length / 2.0, 0.0);
        let plate = Region::solid(rectangle(middle, length, height, 0.0).unwrap());
        let left = plate.without(&cut).unwrap();
        let r = saddle.tube / 2.0;
        // A lattice whose steps share no measure with the shapes.
        for i in 0..150u32 {
            let share = |step: f64| (f64::from(i + seed) * step).fract();
            let p = middle
                + (length * (share(0.618_034) - 0.5), height * (share(0.754_878) - 0.5));
            if cut.distance(p) < CLOSE || plate.outer().distance(p) < CLOSE {
                continue;
            }
            prop_assert_eq!(left.contains(p), from_axis(&saddle, p) > r, "{:?}", p);
        }
    }

    /// A tube along the plate takes a straight strip, as wide as the tube is within it.
    #[test]
    fn a_tube_along_the_plate_takes_its_width(
        tube in 6.0..200.0f64, aside in -1.2..1.2f64, thickness in 0.0..25.0f64
    ) {
        let (aside, reach) = (aside * tube / 2.0, 5.0 * tube);
        let saddle = Saddle { tube, lean: Angle::ZERO, aside, thickness, reach };
        match saddle.outline() {
            Err(error) => {
                let above = aside.abs() - thickness / 2.0;
                prop_assert_eq!(error, SaddleError::Misses(above));
                prop_assert!(above >= tube / 2.0);
            }
            Ok(strip) => {
                let half = strip.bounds().max.y;
                for x in [-0.9 * reach, 0.0, 0.9 * reach] {
                    let at = |y: f64| from_axis(&saddle, Point::new(x, y));
                    prop_assert!(at(half + 1e-6) >= tube / 2.0 && at(half - 1e-6) <= tube / 2.0);
                    prop_assert!(strip.contains(Point::new(x, half - 1e-6)));
                }
            }
        }
    }
}

/// Between lying along the plate and 3° a cut would be far longer than the part; it is
/// refused rather than cut too narrow.
#[test]
fn a_tube_that_leans_by_less_than_3_degrees_is_refused() {
    for lean in [0.001, 1.0, 2.999] {
        let lean = Angle::from_degrees(lean);
        let saddle = Saddle { tube: 38.0, lean, aside: 12.0, thickness: 4.0, reach: 200.0 };
        assert_eq!(saddle.outline(), Err(SaddleError::Flat(lean)));
    }
}

//! What an arm sweeps, against a dense union of its places by another library.

use crate::own;
use crate::python;
use crate::random::Rng;
use platewright::geom::Arm;
use platewright::geom::ArmSide;
use platewright::geom::Side;
use platewright::geom::flatten;
use platewright::num::Angle;
use platewright::num::PI;
use serde_json::json;

/// So many arms are compared.
const ARMS: usize = 36;

/// Arms of every kind: less than half a turn, half, more, with sides that meet and with round
/// ends that do, and whole turns.
fn arm(i: usize, rng: &mut Rng) -> Arm {
    let radius = rng.between(5.0, 200.0);
    let sweep = match i % 6 {
        0 => rng.between(0.5, 90.0),
        1 => rng.between(90.0, 180.0),
        2 => 180.0,
        3 => rng.between(180.0, 330.0),
        4 => rng.between(330.0, 360.0),
        _ => 360.0,
    };
    Arm {
        radius,
        width: radius * rng.between(0.05, 1.5),
        from: Angle::from_degrees(rng.between(-400.0, 400.0)),
        sweep: Angle::from_degrees(sweep),
    }
}

#[test]
fn a_sweep_is_the_union_of_all_places_of_its_arm() {
    let mut rng = Rng(7);
    let arms: Vec<_> = (0..ARMS)
        .map(|i| {
            let arm = arm(i, &mut rng);
            let (outline, _) = arm.swept().unwrap();
            let points: Vec<_> = flatten(&outline, 1e-5, Side::On);
            let points: Vec<[f64; 2]> = points.iter().map(|p| [p.x, p.y]).collect();
            json!({
                "radius": arm.radius, "width": arm.width,
                "from": arm.from.degrees(), "sweep": arm.sweep.degrees(),
                "area": outline.area(), "points": points,
            })
        })
        .collect();
    let file = tempfile::NamedTempFile::new().unwrap();
    std::fs::write(file.path(), json!(arms).to_string()).unwrap();
    let (good, said) = python::run("check_arms.py", &[file.path().to_str().unwrap()]);
    assert!(good, "{said}");
    println!("{said}");
    let said: serde_json::Value = serde_json::from_str(said.trim()).unwrap();
    assert_eq!(said["arms"], ARMS);
}

#[test]
fn areas_are_those_of_the_formulas_and_sides_have_names() {
    let swept = |sweep: f64| {
        let [from, sweep] = [30.0, sweep].map(Angle::from_degrees);
        Arm { radius: 80.0, width: 20.0, from, sweep }.swept()
    };
    // The sector, a strip along both straight sides, and what is round: the angles of a convex
    // outline add up to a turn.
    let wanted = |sweep: f64| {
        let share = sweep / 360.0;
        PI * 80.0 * 80.0 * share + 10.0 * (160.0 + 2.0 * PI * 80.0 * share) + PI * 100.0
    };
    for sweep in [40.0, 90.0, 180.0] {
        let (outline, sides) = swept(sweep).unwrap();
        assert!((outline.area() - wanted(sweep)).abs() < 1e-9, "{sweep}");
        assert_eq!(sides.len(), 3);
        for (side, edge) in sides {
            let long = if side == ArmSide::Nose { 90.0 * sweep * PI / 180.0 } else { 80.0 };
            assert!((edge.length() - long).abs() < 1e-9, "{side:?} at {sweep}");
            assert!(outline.distance(edge.point_at(0.3)) < 1e-9, "{side:?} at {sweep}");
        }
    }
    let (disc, _) = swept(360.0).unwrap();
    assert!((disc.area() - PI * 8100.0).abs() < 1e-9);
    assert!(swept(0.0).is_err() && swept(361.0).is_err() && swept(f64::NAN).is_err());
}

/// A plate beside a lever: its sweep is cut out, and with more room asked than was left the
/// obstacle of the same measures stops it.
#[test]
fn a_plate_cut_by_a_sweep_clears_the_arm_by_what_was_left() {
    let text = |room: f64, asked: f64| {
        format!(
            "about = \"x\"\n[face.plate]\nblank = [\n  {{ add = \"rectangle\", width = \"140 mm\", height = \"120 mm\", at = [\"70 mm\", \"60 mm\"] }},\n  \
             {{ cut = \"arm\", radius = \"100 mm\", width = \"24 mm + 2 * {room} mm\", from = \"125 deg\", to = \"175 deg\", at = [\"150 mm\", \"-20 mm\"] }},\n]\n\
             obstacles = [ {{ name = \"lever\", shape = \"arm\", radius = \"100 mm\", width = \"24 mm\", from = \"125 deg\", to = \"175 deg\", at = [\"150 mm\", \"-20 mm\"], clearance = \"{asked} mm\" }} ]\n\
             weld = [ {{ edge = \"nose\", leg = \"3 mm\" }} ]\n"
        )
    };
    let (solved, _) = own::one(&text(4.0, 4.0));
    assert!(solved.part.faces[0].welds[0].edge_length() > 50.0);
    let stops = own::stopped(&text(4.0, 4.5));
    assert_eq!(
        stops,
        [("obstacle", "`lever` is 4 mm from the part, but 4.5 mm is required".into())]
    );
    let stops = own::stopped(&text(-1.0, 0.0));
    assert_eq!(stops, [("obstacle", "the part overlaps `lever`".to_owned())]);
}

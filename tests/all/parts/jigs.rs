//! The plates of a welding jig in a job: they fit each other and locate their tubes.

use crate::own;
use platewright::diag::Weight;
use platewright::geom::Point;
use platewright::recipe::SHIPPED;
use platewright::solve::Solved;

/// The shipped recipe with other defaults.
fn jig(changes: &[(&str, &str)]) -> String {
    let text = SHIPPED.iter().find(|(name, _)| *name == "jig-plate").unwrap().1;
    changes.iter().fold(text.to_owned(), |text, (from, to)| {
        assert!(text.contains(from), "{from}");
        text.replacen(from, to, 1)
    })
}

fn face<'a>(solved: &'a [Solved], name: &str) -> &'a Solved {
    solved.iter().find(|solved| solved.part.faces[0].name == name).unwrap()
}

#[test]
fn the_plates_of_a_jig_stand_in_their_base_and_in_each_other() {
    for (thickness, changes) in [
        ("4 mm", vec![]),
        ("6 mm", vec![("default = \"60 deg\"", "default = \"90 deg\"")]),
        ("3 mm", vec![("default = \"38 mm\"", "default = \"48.3 mm\"")]),
    ] {
        let (solved, found) = own::solve(&jig(&changes), thickness, "waterjet").unwrap();
        assert!(found.iter().all(|f| f.weight != Weight::Stop && f.code != "tube-collision"));
        let mm: f64 = thickness.trim_end_matches(" mm").parse().unwrap();
        let base = &face(&solved, "base").part.faces[0];
        // The slots of a plate are as far apart as its feet, which reach through the base.
        for name in ["rail", "brace"] {
            let plate = &face(&solved, name).part.faces[0].blank;
            assert!((plate.bounds().min.y + mm).abs() < 1e-9, "{name}");
            let slots: Vec<Point> =
                base.holes.iter().filter(|hole| hole.is_of(name)).map(|hole| hole.at).collect();
            let apart = (slots[1] - slots[0]).hypot();
            for side in [-1.0, 1.0] {
                let foot = Point::new(side * apart / 2.0, -mm / 2.0);
                assert!(plate.contains(foot), "{name}");
            }
        }
        // Where they are lapped, one has metal below and the other above.
        let (spine, rail) = (face(&solved, "spine"), face(&solved, "rail"));
        let (spine, rail) = (&spine.part.faces[0].blank, &rail.part.faces[0].blank);
        let top = spine.bounds().max.y;
        let reach = base.holes.iter().filter(|hole| hole.is_of("rail")).map(|hole| hole.at.x);
        let reach = reach.fold(f64::MIN, f64::max);
        for height in [0.1, 0.45, 0.55, 0.9] {
            let (x, y) = (reach, height * top);
            assert_eq!(spine.contains(Point::new(x, y)), height < 0.5);
            assert_eq!(rail.contains(Point::new(0.0, y)), height > 0.5);
        }
    }
}

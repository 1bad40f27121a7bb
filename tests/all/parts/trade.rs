//! Parts of the trade in `tests/data/trade`, against their long forms.

use crate::own;
use platewright::diag::Weight;
use platewright::geom::Point;
use platewright::solve::Solved;
use std::fs;
use std::path::Path;

fn text(name: &str) -> String {
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/trade").join(name);
    fs::read_to_string(&file).unwrap_or_else(|error| panic!("{}: {error}", file.display()))
}

fn made(name: &str) -> Vec<Solved> {
    let (solved, found) = own::solve(&text(name), "3 mm", "laser")
        .unwrap_or_else(|found| panic!("{name}: {}", found[0].headline));
    assert!(found.iter().all(|f| f.weight != Weight::Stop));
    solved
}

fn holes(solved: &Solved) -> Vec<(Point, f64)> {
    let mut all: Vec<(Point, f64)> =
        solved.part.holes().map(|(_, hole)| (hole.at, hole.outline.area())).collect();
    all.sort_by(|a, b| (a.0.x, a.0.y).partial_cmp(&(b.0.x, b.0.y)).expect("places are numbers"));
    all
}

/// The same metal and the same holes from fewer lines. The quadrilateral of the long form has
/// no fit: its diagonal only checks it, and moves it by less than a millimetre.
#[test]
fn a_short_form_makes_what_its_long_form_does() {
    for (name, near) in [
        ("lug-rail.toml", 1e-6),
        ("skid-plate.toml", 1e-6),
        ("corner-closer.toml", 1e-6),
        ("bellcrank.toml", 1e-6),
        ("quad-cover.toml", 1.0),
    ] {
        let (short, long) = (made(name), made(&format!("long/{name}")));
        assert_eq!((short.len(), long.len()), (1, 1));
        let (short, long) = (&short[0], &long[0]);
        let area = |solved: &Solved| solved.flat.region.area();
        let size = area(long).sqrt();
        let apart = (area(short) - area(long)).abs();
        assert!(apart < near * size, "{name}: {} and {}", area(short), area(long));
        let (mine, theirs) = (holes(short), holes(long));
        assert_eq!(mine.len(), theirs.len(), "{name}");
        for (a, b) in mine.iter().zip(&theirs) {
            assert!((a.0 - b.0).hypot() < near && (a.1 - b.1).abs() < near, "{name}: {a:?} {b:?}");
        }
        let lines = |text: &str| text.lines().filter(|line| !line.trim().is_empty()).count();
        let (mine, theirs) = (text(name), text(&format!("long/{name}")));
        assert!(lines(&mine) < lines(&theirs), "{name}");
    }
}

/// The others have no long form: each is made and nothing stops it.
#[test]
fn every_part_of_the_trade_is_made() {
    for (name, parts, holes) in [
        ("rib-floor.toml", 2, 3),
        ("floor-cover.toml", 1, 5),
        ("pump-adapter.toml", 1, 6),
        ("sensor-pair.toml", 2, 3),
        ("diagonal-corner.toml", 1, 2),
        ("twisted-strap.toml", 1, 2),
        ("channel-on-a-tube.toml", 1, 0),
        ("box-gusset.toml", 1, 0),
        ("hoop-tab.toml", 1, 1),
        ("node-jig.toml", 3, 0),
    ] {
        let solved = made(name);
        assert_eq!(solved.len(), parts, "{name}");
        assert_eq!(solved[0].part.holes().count(), holes, "{name}");
    }
}

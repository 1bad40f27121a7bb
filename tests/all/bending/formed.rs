//! Rolled bends and hems: developed length, order, strength that is not judged, clear distance.

use crate::own;
use platewright::bend::Form;
use platewright::bend::Trust;
use platewright::fold;
use platewright::solid;
use platewright::solve::Solved;
use std::f64::consts::PI;

fn recipe(bend: &str, tail: f64) -> String {
    format!(
        "about = \"x\"\n[face.base]\nblank = [ {{ add = \"rectangle\", width = \"40 mm\", height = \"60 mm\", at = [\"0\", \"-30 mm\"] }} ]\n\
         [face.tail]\nblank = [ {{ add = \"rectangle\", width = \"40 mm\", height = \"{tail} mm\", at = [\"0\", \"{} mm\"] }} ]\n\
         [bend.one]\non = \"base.top\"\nto = \"tail\"\n{bend}",
        tail / 2.0
    )
}

fn volume(solved: &Solved) -> f64 {
    let folded = fold::fold(&solved.part, &solved.flat, &fold::full(&solved.part));
    solid::solid(&solved.part, &solved.flat, &folded).unwrap().volume
}

/// Legs from tangent to edge, and the arc of the middle of the sheet between them.
#[test]
fn an_eye_is_as_long_as_its_middle() {
    let (solved, found) =
        own::one(&recipe("form = \"rolled\"\nangle = \"300 deg\"\nradius = \"30 mm\"", 10.0));
    assert_eq!(found, []);
    let arc = 300.0 * PI / 180.0 * 31.5;
    assert!((solved.flat.region.bounds().height() - (60.0 + arc + 10.0)).abs() < 1e-9);
    assert!((volume(&solved) - 40.0 * 3.0 * (70.0 + arc)).abs() < 1e-6);
    assert_eq!(
        (solved.part.bends[0].bend.form(), solved.part.bends[0].by),
        (Form::Rolled, Trust::Form)
    );
    // The end of the eye is 0.134 radii above the base and falls by half of what it is long.
    let gap = fold::eye_gap(&solved.part, &solved.flat, 0).unwrap();
    let end = 30.0 - 33.0 * 0.5 - 10.0 * 0.75_f64.sqrt();
    assert!((gap - end).abs() < 1e-9, "{gap}");
}

/// Legs measured to the fold, less 0.43 thicknesses.
#[test]
fn a_closed_hem_is_shorter_than_its_legs() {
    let text = recipe("form = \"closed-hem\"", 16.0);
    let (mut solved, found) = own::solve(&text, "1.5 mm", "laser").unwrap();
    assert_eq!(found, []);
    let solved = solved.remove(0);
    // The inside radius of the model, 0.02 thicknesses, is in both legs.
    let high = 60.0 + 16.0 - (2.0 * 1.02 - PI / 2.0) * 1.5;
    assert!((solved.flat.region.bounds().height() - high).abs() < 1e-9);
    assert!((high - (76.0 - 0.43 * 1.5)).abs() < 0.061);
    assert!(volume(&solved) > 0.0);
}

/// The two sides of an open hem are as far apart as asked.
#[test]
fn an_open_hem_stands_off_by_its_opening() {
    let (solved, found) = own::one(&recipe("form = \"open-hem\"\nopening = \"8 mm\"", 30.0));
    assert_eq!(found, []);
    let frame = &solved.folded.faces[1].frame;
    let inside = frame.point(platewright::geom::Point::new(0.0, 20.0), 0.0);
    assert!((inside[2] - 8.0).abs() < 1e-9, "{inside:?}");
    // The fold's outside is where the base was drawn to.
    let bend = &solved.folded.bends[0];
    assert!((bend.point(0.0, 0.5, -3.0)[1]).abs() < 1e-9);
}

/// A tail that runs through its own base is seen by the collision of solids as well.
#[test]
fn an_eye_does_not_run_into_its_base() {
    let stopped =
        own::stopped(&recipe("form = \"rolled\"\nangle = \"340 deg\"\nradius = \"20 mm\"", 30.0));
    assert!(stopped.iter().any(|(code, _)| *code == "flange-collision"), "{stopped:?}");
}

/// A second flange whose face cuts the eye is seen beyond half a turn.
#[test]
fn a_flange_in_the_way_of_an_eye_is_found() {
    let text = recipe("form = \"rolled\"\nangle = \"280 deg\"\nradius = \"30 mm\"", 6.0)
        + "\n[face.wall]\nblank = [ { add = \"rectangle\", width = \"40 mm\", height = \"60 mm\", at = [\"0\", \"30 mm\"] } ]\n\
           [bend.wall]\non = \"base.bottom\"\nto = \"wall\"\nangle = \"90 deg\"\n";
    let near = text.replace(
        "height = \"60 mm\", at = [\"0\", \"-30 mm\"]",
        "height = \"28 mm\", at = [\"0\", \"-14 mm\"]",
    );
    let found = own::solve(&text, "3 mm", "waterjet").err();
    assert!(found.is_none(), "{found:?}");
    let stopped = own::stopped(&near);
    assert!(stopped.iter().any(|(code, _)| *code == "flange-collision"), "{stopped:?}");
}

const LOADED: &str = "about = \"x\"\n[face.base]\nblank = [ { add = \"polygon\", corners = [ { at = [\"-20 mm\", \"-60 mm\"], edge = \"seam\" }, [\"20 mm\", \"-60 mm\"], { at = [\"20 mm\", \"0\"], edge = \"top\" }, [\"-20 mm\", \"0\"] ] } ]\n\
    weld = [ { edge = \"seam\", leg = \"3 mm\" } ]\n\
    [face.tail]\nblank = [ { add = \"rectangle\", width = \"40 mm\", height = \"50 mm\", at = [\"0\", \"25 mm\"] } ]\n\
    holes = [ { name = \"eye\", at = [\"0\", \"30 mm\"], diameter = \"9 mm\" } ]\n\
    [bend.one]\non = \"base.top\"\nto = \"tail\"\nform = \"rolled\"\nangle = \"90 deg\"\nradius = \"30 mm\"\n";

/// There is no model of a curved beam: no margin is given.
#[test]
fn a_load_over_a_rolled_bend_is_not_judged() {
    let keys = "[[load]]\nname = \"test\"\npart = \"own\"\nhole = \"eye\"\nforce = \"200 N\"\npin = \"8 mm\"\ndirection = \"sideways\"\nheld = \"seam\"\n";
    let (solved, found) = own::solve_with(LOADED, "3 mm", "waterjet", keys).unwrap();
    let (_, verdict) = &solved[0].verdicts[0];
    assert!(matches!(verdict.state, platewright::strength::State::NotJudged(_)), "{verdict:?}");
    assert!(verdict.limits.is_empty());
    assert!(
        found.iter().any(|f| f.code == "strength" && f.headline.contains("not judged")),
        "{found:?}"
    );
    let bent = LOADED.replace("form = \"rolled\"\n", "").replace("30 mm\"\n", "3 mm\"\n");
    let (solved, _) = own::solve_with(&bent, "3 mm", "waterjet", keys).unwrap();
    assert!(!solved[0].verdicts[0].1.limits.is_empty());
}

//! Bends of random parts against models that share no code with the program: a part between
//! the tools of a brake, and the gaps of corners in the solid.

use crate::python;

const PROGRAM: &str = env!("CARGO_BIN_EXE_platewright");

/// How many facts a script found true; it found none false.
fn passed(script: &str, arguments: &[&str]) -> usize {
    let (good, said) = python::run(script, arguments);
    let last = said.lines().last().unwrap_or_default();
    let passed = last.strip_suffix(" passed, 0 failed").and_then(|n| n.parse().ok());
    match passed {
        Some(passed) if good => passed,
        _ => panic!("{script}: {said}"),
    }
}

fn path(name: &str) -> String {
    format!("{}/{name}", env!("CARGO_MANIFEST_DIR"))
}

/// The long form, degree by degree over hundreds of parts: `check_bending.py PROGRAM SHOP 0-319`.
///
/// The parts here are bent on every kind of brake, with fingers, with a punch in sections,
/// and with less room than the margin.
#[test]
fn no_order_that_is_said_to_work_collides() {
    let [demo, folders] = ["parts/shop.toml", "tests/data/bending/shop-of-folders.toml"].map(path);
    let lots = [demo.as_str(), "3,18", folders.as_str(), "35,36,40"];
    let passed = passed("check_bending.py", &[&[PROGRAM, "--every", "3"], &lots[..]].concat());
    assert!(passed >= 120, "only {passed} facts were checked");
}

/// The long form: `check_corners.py PROGRAM 0 100`.
#[test]
fn the_gaps_of_corners_are_those_of_the_solid() {
    let passed = passed("check_corners.py", &[PROGRAM, "0", "4"]);
    assert!(passed >= 12, "only {passed} facts were checked");
}

/// Gauge edges, legs, turns and pieces of tool of each step; the long form:
/// `check_strip.py PROGRAM SHOP 0-319`.
#[test]
fn every_step_is_handled_as_an_independent_model_folds_it() {
    let [demo, folders] = ["parts/shop.toml", "tests/data/bending/shop-of-folders.toml"].map(path);
    let lots = [demo.as_str(), "3,18,24", folders.as_str(), "35,36,40"];
    let passed = passed("check_strip.py", &[&[PROGRAM], &lots[..]].concat());
    assert!(passed >= 60, "only {passed} facts were checked");
}

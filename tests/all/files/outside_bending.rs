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

/// The long form, over hundreds of parts: `check_bending.py PROGRAM SHOP 0 320`.
#[test]
fn no_order_that_is_said_to_work_collides() {
    for (shop, first) in
        [("parts/shop.toml", "0"), ("tests/data/bending/shop-of-folders.toml", "26")]
    {
        let passed = passed("check_bending.py", &[PROGRAM, &path(shop), first, "5"]);
        assert!(passed >= 20, "only {passed} facts of {shop} were checked");
    }
    let shop = path("parts/shop.toml");
    let (good, said) = python::run("check_bending.py", &[PROGRAM, &shop, "0", "2", "--planted"]);
    assert!(!good && said.contains("collides"), "a die in the sheet is not seen: {said}");
}

/// The long form: `check_corners.py PROGRAM 0 100`.
#[test]
fn the_gaps_of_corners_are_those_of_the_solid() {
    let passed = passed("check_corners.py", &[PROGRAM, "0", "4"]);
    assert!(passed >= 8, "only {passed} facts were checked");
    let (good, said) = python::run("check_corners.py", &[PROGRAM, "0", "1", "--planted"]);
    assert!(!good && said.contains("least gap"), "a wrong gap is not seen: {said}");
}

//! The strength of random parts, by a model in Python that reads only their drawings.

use crate::python;

const PROGRAM: &str = env!("CARGO_BIN_EXE_platewright");

/// One part of each kind: the resultants of the printed sections to a millionth, their
/// capacities to 0.5 %, no section, hole, bolt or seam of the model's that allows less than the
/// program does, and relations of every third part. The long form, over hundreds of parts:
/// `check_strength.py PROGRAM 0 500`.
#[test]
fn an_independent_model_finds_no_weaker_section() {
    let (good, said) = python::run("check_strength.py", &[PROGRAM, "0", "11"]);
    assert!(good, "{said}");
    let passed = said.lines().last().and_then(|line| line.split(' ').next()?.parse::<u32>().ok());
    assert!(passed.is_some_and(|count| count > 700), "{said}");
}

/// 3 % more than is allowed is noticed.
#[test]
fn the_model_notices_what_flatters() {
    let (good, said) = python::run("check_strength.py", &[PROGRAM, "0", "2", "--planted"]);
    assert!(!good && said.contains("flatters"), "{said}");
}

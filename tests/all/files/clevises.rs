//! Random clevises through jobs and the program, by an independent model of stacked tolerances.

use crate::python;

/// Of those judged, half were drawn by a seed that was not used while the checks were made.
#[test]
fn gaps_at_tolerance_are_those_of_an_independent_model() {
    for seed in ["1", "20261128"] {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().to_str().unwrap();
        let program = env!("CARGO_BIN_EXE_platewright");
        let (accepted, said) = python::run("check_clevises.py", &[program, path, seed, "50"]);
        assert!(accepted, "seed {seed}: {said}");
        let last = said.lines().last().unwrap_or_default();
        let passed = last.strip_suffix(" passed, 0 failed").and_then(|n| n.parse().ok());
        assert!(passed.is_some_and(|passed: usize| passed >= 400), "{said}");
    }
}

//! The page in a browser we did not write.

use crate::page::desk::JOB;
use crate::python;
use std::fs;
use tempfile::TempDir;

#[test]
fn a_browser_sees_changes_nests_and_makes_a_job() {
    let folder = TempDir::new().unwrap();
    fs::write(folder.path().join("cart.toml"), JOB).unwrap();
    let program = snapbox::cmd::cargo_bin!("platewright");
    let (accepted, said) = python::run(
        "check_serve.py",
        &[program.to_str().unwrap(), folder.path().to_str().unwrap()],
    );
    assert!(accepted, "{said}");
    let counted = said.lines().find_map(|line| line.split_once(" facts checked"));
    let passed: usize = counted.unwrap().0.parse().unwrap();
    assert!(passed >= 90, "only {passed} facts of the page were checked: {said}");
}

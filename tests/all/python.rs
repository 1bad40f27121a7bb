//! Runs the outside checks, which are Python.

use std::path::Path;
use std::path::PathBuf;
use std::process::Command;

/// The interpreter with the foreign readers.
///
/// # Panics
/// When `tests/outside/setup.sh` has not been run.
pub(crate) fn python() -> PathBuf {
    let python = Path::new(env!("CARGO_MANIFEST_DIR")).join(".venv/bin/python");
    assert!(
        python.exists(),
        "the foreign readers are missing: run tests/outside/setup.sh once, it makes .venv"
    );
    python
}

/// What a check says of a folder, and whether it accepts it.
pub(crate) fn outside(script: &str, folder: &Path) -> (bool, String) {
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/outside").join(script);
    let run = Command::new(python()).arg(script).arg(folder).output();
    let run = run.unwrap_or_else(|error| panic!("python does not start: {error}"));
    let said = String::from_utf8_lossy(&run.stdout) + String::from_utf8_lossy(&run.stderr);
    (run.status.success(), said.into_owned())
}

/// Lets a check judge a folder it must accept; gives how many facts it checked.
///
/// # Panics
/// With all it said, when it does not accept the folder.
pub(crate) fn accepted(script: &str, folder: &Path) -> usize {
    let (accepted, said) = outside(script, folder);
    let last = said.lines().last().unwrap_or_default();
    let passed = last.strip_suffix(" passed, 0 failed").and_then(|n| n.parse().ok());
    match passed {
        Some(passed) if accepted => passed,
        _ => panic!("{script} refuses the folder: {said}"),
    }
}

//! Runs of the built program in a folder.

use std::path::Path;
use std::process::Command;

/// The program with its arguments, to be run in a folder.
pub(crate) fn command(folder: &Path, arguments: &[&str]) -> Command {
    let mut program = Command::new(env!("CARGO_BIN_EXE_platewright"));
    program.current_dir(folder).args(arguments);
    program
}

/// How it ends, and all it says.
pub(crate) fn run(folder: &Path, arguments: &[&str]) -> (Option<i32>, String) {
    let run = command(folder, arguments).output().unwrap();
    let said = String::from_utf8_lossy(&run.stdout) + String::from_utf8_lossy(&run.stderr);
    (run.status.code(), said.into_owned())
}

/// The output of a command that must succeed.
pub(crate) fn done(folder: &Path, arguments: &[&str]) -> String {
    let (code, said) = run(folder, arguments);
    assert_eq!(code, Some(0), "{arguments:?}: {said}");
    said
}

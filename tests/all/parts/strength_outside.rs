//! The load paths of random parts, walked by a model in Python that knows only their drawings.

use crate::python;
use std::process::Command;

/// Flat plates with waists, tees, hooks and strips with up to three bends: resultants of the
/// printed sections to a millionth, their capacities to 0.5 %, and no section of the model's
/// choosing that allows less than the program does.
#[test]
fn an_independent_model_finds_no_weaker_section() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().to_str().unwrap();
    let (written, said) = python::run("check_strength.py", &["write", path]);
    assert!(written, "{said}");
    let made = Command::new(env!("CARGO_BIN_EXE_platewright"))
        .args(["make", "job.toml", "--out", "out", "--no-drawings", "--effort", "0"])
        .current_dir(folder.path())
        .output()
        .expect("the program starts");
    assert!(made.status.success(), "{}", String::from_utf8_lossy(&made.stderr));
    assert!(python::accepted("check_strength.py", folder.path()) > 500);
}

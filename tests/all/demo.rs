//! The demo, made once by the built program for all tests that only read it.

use std::fs;
use std::path::Path;
use std::path::PathBuf;
use std::process::Command;
use std::sync::LazyLock;

pub(crate) const JOB: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/parts/jobs/vineyard-cart.toml");

static MADE: LazyLock<Demo> = LazyLock::new(make);

/// What `make` wrote and said, the search left out.
pub(crate) struct Demo {
    pub(crate) folder: PathBuf,
    pub(crate) printed: String,
    pub(crate) said: String,
}

/// The finished folder, which no test changes.
///
/// # Panics
/// When the demo cannot be made.
pub(crate) fn made() -> &'static Demo {
    &MADE
}

fn make() -> Demo {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("demo");
    if folder.exists() {
        fs::remove_dir_all(&folder).expect("the folder of the last run can be removed");
    }
    let mut program = Command::new(env!("CARGO_BIN_EXE_platewright"));
    program.current_dir(env!("CARGO_MANIFEST_DIR"));
    program.args(["make", "parts/jobs/vineyard-cart.toml", "--effort", "0", "--out"]).arg(&folder);
    let run = program.output().expect("the program starts");
    let text = |bytes: &[u8]| String::from_utf8_lossy(bytes).into_owned();
    let (printed, said) = (text(&run.stdout), text(&run.stderr));
    assert!(run.status.success(), "{said}");
    Demo { folder, printed, said }
}

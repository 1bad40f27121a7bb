//! Parts among tubes, with holes at points in space, against a model in Python by job files.

use crate::python;
use serde_json::Value;

/// So many plates are compared, in two lots; by hand there may be more.
const PLATES: &str = "24";

/// The worst of either lot is printed with `--nocapture`.
#[test]
fn points_and_tubes_in_space_are_where_a_model_of_its_own_has_them() {
    let folder = tempfile::tempdir().unwrap();
    let program = env!("CARGO_BIN_EXE_platewright");
    let folder = folder.path().to_str().unwrap();
    let (good, said) = python::run("check_space_parts.py", &[program, folder, "0", PLATES]);
    assert!(good, "{said}");
    println!("{said}");
    let said: Value = serde_json::from_str(said.lines().last().unwrap()).unwrap();
    assert_eq!(said["plates"].to_string(), PLATES);
    for lot in said["lots"].as_array().unwrap() {
        assert!(lot["plates"].as_u64().unwrap() > 5 && lot["solids"].as_u64().unwrap() > 0);
    }
}

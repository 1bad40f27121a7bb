//! Lists the recipes in `parts/` for `recipe::shipped`, so that adding a family is
//! adding a file and no Rust names one.

#![expect(clippy::disallowed_methods, reason = "a build script is told its folders so")]

use std::env;
use std::fmt::Write;
use std::fs;
use std::path::Path;

fn main() {
    let root = env::var("CARGO_MANIFEST_DIR").expect("cargo sets it");
    let folder = Path::new(&root).join("parts");
    println!("cargo::rerun-if-changed={}", folder.display());
    let mut names: Vec<String> = fs::read_dir(&folder)
        .expect("parts/ is there")
        .filter_map(|entry| entry.ok()?.file_name().into_string().ok())
        .filter_map(|file| Some(file.strip_suffix(".toml")?.to_owned()))
        .collect();
    // The demo's shop lies beside them and is none.
    names.retain(|name| name != "shop");
    names.sort();
    let mut code = String::from("&[\n");
    for name in names {
        let path = folder.join(format!("{name}.toml"));
        writeln!(code, "    ({name:?}, include_str!({:?})),", path.display().to_string())
            .expect("a string takes everything");
    }
    code.push_str("]\n");
    let out = env::var("OUT_DIR").expect("cargo sets it");
    fs::write(Path::new(&out).join("shipped.rs"), code).expect("the build folder can be written");
}

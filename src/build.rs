//! Writes the files from outside `src` that the crate includes: the list of the recipes in
//! `parts/`, so that adding a family is adding a file and no Rust names one, and, for the command
//! line, the notices of all crates in the program.

#![expect(clippy::disallowed_methods, reason = "a build script is given its folders so")]

#[cfg(feature = "cli")]
#[path = "build/licences.rs"]
mod licences;

use std::env;
use std::fmt::Write;
use std::fs;
#[cfg(feature = "cli")]
use std::path::Path;
use std::path::PathBuf;

fn main() {
    shipped();
    #[cfg(feature = "cli")]
    notices();
}

fn folder(variable: &str) -> PathBuf {
    PathBuf::from(env::var(variable).expect("cargo sets it"))
}

fn put(name: &str, text: &str) {
    fs::write(folder("OUT_DIR").join(name), text).expect("the build folder can be written");
}

/// The recipes for `recipe::shipped`.
fn shipped() {
    let folder = folder("CARGO_MANIFEST_DIR").join("parts");
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
    put("shipped.rs", &code);
}

/// The notices for `platewright licences`; a crate that cannot be handed out ends the build.
#[cfg(feature = "cli")]
fn notices() {
    let lock = folder("CARGO_MANIFEST_DIR").join("Cargo.lock");
    println!("cargo::rerun-if-changed={}", lock.display());
    let target = env::var("TARGET").expect("cargo sets it");
    let read = licences::resolved(Path::new(&folder("CARGO")), &lock, &target);
    let crates = read.map_err(|why| vec![why]).and_then(|found| licences::gather(&found));
    match crates {
        Ok(crates) => put("licences.txt", &licences::page(&crates, &standard_library())),
        Err(refused) => {
            for why in refused {
                println!("cargo::error={why}");
            }
        }
    }
}

/// What the toolchain says of its standard library; where it says nothing, a line says so.
#[cfg(feature = "cli")]
fn standard_library() -> Result<Vec<licences::Notice>, String> {
    let rustc = folder("RUSTC");
    let asked =
        |argument: &[&str]| licences::answer(std::process::Command::new(&rustc).args(argument));
    let toolchain = asked(&["--print", "sysroot"])?;
    let version = asked(&["--version"])?;
    let found = licences::standard::library(Path::new(toolchain.trim()), version.trim());
    if let Err(why) = &found {
        println!("cargo::warning=no notices of the Rust standard library: {why}");
    }
    found
}

//! How late a run is that is ended by the clock, and how soon it answers Ctrl-C: `cargo bench --bench
//! stop`.
//!
//! Jobs of 2,000 and 20,000 pieces of five kinds are searched with more effort than there is time for.
//! As a test, `cargo test --bench stop`, there are few pieces, and only that all files are there is
//! looked at.

#![expect(clippy::print_stdout, reason = "a bench prints its figures")]
#![expect(clippy::disallowed_methods, reason = "a bench looks at the clock")]
#![expect(clippy::unwrap_used, reason = "a run that is no run ends the bench")]

use std::env;
use std::fs;
use std::path::Path;
use std::process::Command;
use std::process::Stdio;
use std::thread::sleep;
use std::time::Duration;
use std::time::Instant;
use tempfile::TempDir;

/// More work than any of the runs has time for.
const ENDLESS: &str = "1000000000";

/// The recipes, and how many of a hundred pieces are made by each.
const SHARES: [(&str, usize); 5] =
    [("tab", 45), ("gusset", 22), ("end-cap", 20), ("base-plate", 3), ("strap", 10)];

fn job(pieces: usize) -> String {
    let part = |(recipe, share): (&str, usize)| {
        let quantity = (pieces * share / 100).max(1);
        format!(
            "[[part]]\nrecipe = \"{recipe}\"\nname = \"{recipe}\"\nquantity = {quantity}\nsheet = \"plate\"\n"
        )
    };
    let sheet = "process = \"waterjet\"\n[[sheet]]\nname = \"plate\"\nmaterial = \"S235\"\n\
        thickness = \"4 mm\"\nstock = [ { size = [\"2000 mm\", \"1000 mm\"] } ]\n";
    [sheet.to_owned()].into_iter().chain(SHARES.map(part)).collect()
}

fn make(folder: &Path, more: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_platewright"));
    command.args(["make", "job.toml", "--effort", ENDLESS, "--out", "out"]).args(more);
    command.current_dir(folder).stdout(Stdio::null()).stderr(Stdio::null());
    command
}

/// What there is of the files of the sheets.
fn written(folder: &Path) -> String {
    let names: Vec<String> = fs::read_dir(folder.join("out/sheets"))
        .unwrap()
        .map(|entry| entry.unwrap().file_name().to_string_lossy().into_owned())
        .collect();
    let count = |end: &str| names.iter().filter(|name| name.ends_with(end)).count();
    format!("{} sheets cut, {} pictured", count(".dxf"), count("-picture.pdf"))
}

fn main() {
    let is_bench = env::args().any(|arg| arg == "--bench");
    let (sizes, times): (&[usize], &[u32]) =
        if is_bench { (&[2_000, 20_000], &[1, 5, 20]) } else { (&[40], &[1]) };
    for pieces in sizes {
        let folder = TempDir::new().unwrap();
        let folder = folder.path();
        fs::write(folder.join("job.toml"), job(*pieces)).unwrap();
        for seconds in times {
            let begun = Instant::now();
            let code = make(folder, &["--time", &seconds.to_string()]).status().unwrap().code();
            let late = begun.elapsed().as_secs_f64() - f64::from(*seconds);
            // 1: drawings that there was no time for are left out.
            assert!(matches!(code, Some(0 | 1)), "{code:?}");
            println!(
                "{pieces} pieces, --time {seconds}: {late:+.2} s, code {code:?}, {}",
                written(folder)
            );
        }
        for seconds in times {
            let mut child = make(folder, &[]).spawn().unwrap();
            sleep(Duration::from_secs(u64::from(*seconds)));
            let begun = Instant::now();
            let sent = Command::new("kill").args(["-INT", &child.id().to_string()]).status();
            assert!(sent.unwrap().success());
            let code = child.wait().unwrap().code();
            let answer = begun.elapsed().as_secs_f64();
            println!(
                "{pieces} pieces, Ctrl-C after {seconds} s: {answer:.2} s, code {code:?}, {}",
                written(folder)
            );
        }
    }
}

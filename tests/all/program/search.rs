//! A search that is cut short, by the clock or by the keys, and found again.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::process::Command;
use std::process::Output;
use std::process::Stdio;
use tempfile::TempDir;

const CART: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/parts/jobs/vineyard-cart.toml");

/// No search of the demo comes to the end of such a budget.
const ENDLESS: &str = "1000000000";

fn make(out: &Path, more: &[&str]) -> Command {
    let mut command = Command::new(snapbox::cmd::cargo_bin!("platewright"));
    command.args(["make", CART, "--no-drawings", "--out"]).arg(out).args(more);
    command
}

/// The arguments a run that was cut short prints for the same sheets again.
fn replay(output: &Output) -> Vec<String> {
    let said = String::from_utf8(output.stderr.clone()).unwrap();
    let (_, arguments) = said.split_once("to repeat it exactly: ").expect(&said);
    arguments.lines().next().unwrap().split(' ').map(str::to_owned).collect()
}

fn sheets(out: &Path) -> BTreeMap<String, String> {
    let files = fs::read_dir(out.join("sheets")).unwrap().map(|entry| entry.unwrap().path());
    files
        .map(|p| (p.file_name().unwrap().to_string_lossy().into(), fs::read_to_string(&p).unwrap()))
        .collect()
}

#[test]
fn what_a_run_prints_when_it_is_cut_short_makes_the_same_sheets_again() {
    let folder = TempDir::new().unwrap();
    let (cut, again, first) =
        (folder.path().join("cut"), folder.path().join("again"), folder.path().join("first"));
    let more = ["--effort", ENDLESS, "--time", "3", "--seed", "7"];
    let output = make(&cut, &more).output().unwrap();
    assert_eq!(output.status.code(), Some(0), "{output:?}");
    let arguments = replay(&output);
    assert_eq!((arguments.len(), arguments[0].as_str()), (2, "--replay"), "{arguments:?}");
    assert!(arguments[1].ends_with("@7"), "{arguments:?}");
    let arguments: Vec<&str> = arguments.iter().map(String::as_str).collect();
    assert!(make(&again, &arguments).output().unwrap().status.success());
    assert!(make(&first, &["--effort", "0"]).output().unwrap().status.success());
    assert_eq!(sheets(&cut), sheets(&again), "{arguments:?}");
    assert_ne!(sheets(&cut), sheets(&first), "nothing was searched: {arguments:?}");
}

/// The keys keep the best so far: all files are written.
#[cfg(unix)]
#[test]
fn an_interrupt_keeps_what_was_found_so_far() {
    let folder = TempDir::new().unwrap();
    let out = folder.path().join("cut");
    let child = make(&out, &["--effort", ENDLESS]).stderr(Stdio::piped()).spawn().unwrap();
    std::thread::sleep(std::time::Duration::from_secs(5));
    let sent = Command::new("kill").args(["-INT", &child.id().to_string()]).status().unwrap();
    assert!(sent.success());
    let output = child.wait_with_output().unwrap();
    assert_eq!(output.status.code(), Some(0), "{output:?}");
    assert_eq!(replay(&output)[0], "--replay");
    let names = sheets(&out);
    assert!(names.len() > 4 && names.keys().any(|n| n.ends_with(".dxf")), "{:?}", names.keys());
    assert!(out.join("report.html").exists());
}

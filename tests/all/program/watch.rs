//! `--watch`, run as a user runs it: saved, broken, corrected, ended.

use crate::runs::done;
use std::fs;
use std::io::BufRead;
use std::io::BufReader;
use std::io::Read;
use std::path::Path;
use std::process::Child;
use std::process::Command;
use std::process::Stdio;
use std::sync::mpsc;
use std::sync::mpsc::Receiver;
use std::time::Duration;
use tempfile::TempDir;

/// A busy machine is slow; the test is that a line comes.
const LONG: Duration = Duration::from_secs(120);

fn job(recipe: &str, given: &str) -> String {
    format!(
        "process = \"laser\"\nshop = \"tools/shop.toml\"\n[[sheet]]\nname = \"steel\"\nmaterial = \"S235\"\n\
         thickness = \"4 mm\"\nstock = [ {{ size = [\"500 mm\", \"400 mm\"] }} ]\n\
         [[part]]\nrecipe = \"{recipe}\"\nname = \"one\"\nsheet = \"steel\"\ngiven = {{ {given} }}\n"
    )
}

/// Saves a text at once, as most editors do: a text written bit by bit may be read half, and read
/// again when an interrupt comes.
fn saved(path: &Path, text: &str) {
    let aside = TempDir::new().unwrap();
    let whole = aside.path().join("whole");
    fs::write(&whole, text).unwrap();
    fs::rename(&whole, path).unwrap();
}

/// The program, and the lines it prints.
fn start(folder: &Path, arguments: &[&str]) -> (Child, Receiver<String>) {
    let mut child = Command::new(snapbox::cmd::cargo_bin!("platewright"))
        .args(arguments)
        .current_dir(folder)
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let (send, lines) = mpsc::channel();
    let out = BufReader::new(child.stdout.take().unwrap());
    std::thread::spawn(move || {
        out.lines().map_while(Result::ok).for_each(|line| drop(send.send(line)));
    });
    (child, lines)
}

/// Ends it as Ctrl-C does; returns the exit code and the output.
fn interrupted(mut child: Child) -> (Option<i32>, String) {
    let sent = Command::new("kill").args(["-INT", &child.id().to_string()]).status().unwrap();
    assert!(sent.success());
    let mut said = String::new();
    child.stderr.take().unwrap().read_to_string(&mut said).unwrap();
    (child.wait().unwrap().code(), said)
}

/// Ends it while it may be at work: a book or a folder is changed in several steps, and each may
/// start a run. Returns the output.
fn ended(child: Child) -> String {
    let (code, said) = interrupted(child);
    let is_cut_short = code == Some(130) && said.ends_with("interrupted; nothing was written\n");
    assert!(code == Some(0) || is_cut_short, "{code:?}: {said}");
    said
}

#[cfg(unix)]
#[test]
fn a_job_is_checked_again_after_each_save_and_goes_on_after_an_error() {
    let folder = TempDir::new().unwrap();
    let path = folder.path().join("cart.toml");
    fs::create_dir(folder.path().join("tools")).unwrap();
    let shop = folder.path().join("tools/shop.toml");
    fs::write(&shop, "about = \"ours\"\n").unwrap();
    fs::write(&path, job("tab", "bolt = \"M8\"")).unwrap();
    let (child, lines) = start(folder.path(), &["check", "cart.toml", "--watch"]);
    let next = || lines.recv_timeout(LONG).expect("a line comes");
    let first = next();
    assert!(first.starts_with("cart: 1 part checked, 0 stops, 0 cautions; "), "{first}");
    assert!(first.ends_with(" ms; watching, Ctrl-C ends"), "{first}");
    saved(&path, &job("tab", "bolt = \"M7\""));
    assert!(next().starts_with("cart: stopped, nothing was written; "));
    saved(&path, &job("tab", "bolt = \"M10\""));
    assert!(next().starts_with("cart: 1 part checked"));
    // A file that the job names counts as well, also one in another folder.
    saved(&shop, "about = 3\n");
    let third = next();
    assert!(third.starts_with("cart: stopped"), "{third}");
    assert!(third.ends_with(" ms after a change to shop.toml; watching, Ctrl-C ends"), "{third}");
    fs::remove_file(&path).unwrap();
    assert!(next().starts_with("error: cannot read cart.toml"));
    let (code, said) = interrupted(child);
    assert_eq!(code, Some(0), "{said}");
    assert!(said.contains("stop[unknown-row]") && said.contains("there is no bolt `M7`"), "{said}");
    assert!(lines.try_recv().is_err(), "nothing else was run");
}

#[cfg(unix)]
#[test]
fn a_job_is_made_again_and_its_own_files_start_nothing() {
    let folder = TempDir::new().unwrap();
    let path = folder.path().join("cart.toml");
    fs::create_dir(folder.path().join("tools")).unwrap();
    fs::write(folder.path().join("tools/shop.toml"), "about = \"ours\"\n").unwrap();
    fs::write(&path, job("tab", "reach = \"30 mm\"")).unwrap();
    let (child, lines) =
        start(folder.path(), &["make", "cart.toml", "--watch", "--no-drawings", "--out", "out"]);
    let next = || lines.recv_timeout(LONG).expect("a line comes");
    let first = next();
    assert!(first.starts_with("cart: 1 part, 1 piece, 1 placed on 1 sheet, 0 stops, "), "{first}");
    let flat = || fs::read(folder.path().join("out/flats/one.svg")).unwrap();
    let before = flat();
    assert!(lines.recv_timeout(Duration::from_secs(2)).is_err(), "its own files start nothing");
    saved(&path, &job("tab", "reach = \"44 mm\""));
    assert!(next().starts_with("cart: 1 part,"));
    assert_ne!(flat(), before);
    let (code, said) = interrupted(child);
    assert_eq!(code, Some(0), "{said}");
}

/// A job on the sheets of the stock book is checked again when these change, and when the shop file
/// does, both in another folder.
#[cfg(unix)]
#[test]
fn the_shop_and_its_book_are_seen_to_change() {
    let folder = TempDir::new().unwrap();
    fs::create_dir(folder.path().join("tools")).unwrap();
    let shop = folder.path().join("tools/shop.toml");
    fs::write(&shop, "about = \"ours\"\n").unwrap();
    let own = "stock = [ { size = [\"500 mm\", \"400 mm\"] } ]\n";
    let job = job("tab", "bolt = \"M8\"");
    assert!(job.contains(own));
    fs::write(folder.path().join("cart.toml"), job.replace(own, "")).unwrap();
    let stock = |words: &[&str]| {
        done(folder.path(), &[&["stock", "--shop", "tools/shop.toml"], words].concat())
    };
    let metal = ["--material", "S235", "--thickness", "4 mm", "--size", "500 mm", "400 mm"];
    stock(&[&["add"], &metal[..]].concat());
    let (child, lines) = start(folder.path(), &["check", "cart.toml", "--watch"]);
    // A book is written in several steps: it may be read more than once.
    let next = |words: &str| {
        let mut line = lines.recv_timeout(LONG).expect("a line comes");
        while !line.contains(words) {
            line = lines.recv_timeout(LONG).unwrap_or_else(|_| panic!("{words} does not come"));
        }
    };
    next("cart: 1 part checked, 0 stops, 0 cautions; ");
    stock(&["take", "1"]);
    next("cart: 1 part checked, 0 stops, 1 caution; ");
    stock(&[&["add"], &metal[..]].concat());
    next("cart: 1 part checked, 0 stops, 0 cautions; ");
    saved(&shop, "about = 3\n");
    next("cart: stopped, nothing was written; ");
    let said = ended(child);
    assert!(said.contains("caution[no-stock]"), "{said}");
}

/// A folder of recipes that comes while a job is watched is watched from then on.
#[cfg(unix)]
#[test]
fn recipes_that_come_later_are_seen() {
    let folder = TempDir::new().unwrap();
    fs::create_dir(folder.path().join("tools")).unwrap();
    fs::write(folder.path().join("tools/shop.toml"), "about = \"ours\"\n").unwrap();
    fs::write(folder.path().join("cart.toml"), job("mine", "reach = \"30 mm\"")).unwrap();
    let (child, lines) = start(folder.path(), &["check", "cart.toml", "--watch"]);
    let next = || lines.recv_timeout(LONG).expect("a line comes");
    assert!(next().starts_with("cart: stopped"));
    let recipes = folder.path().join("recipes");
    fs::create_dir(&recipes).unwrap();
    // That it is there is seen before there is anything in it.
    assert!(next().starts_with("cart: stopped"));
    saved(&recipes.join("mine.toml"), include_str!("../../../parts/tab.toml"));
    assert!(next().starts_with("cart: 1 part checked"));
    ended(child);
}

/// The folder would be exchanged under the watch, and an archive is not saved by an editor.
#[test]
fn a_path_that_cannot_be_watched_is_refused() {
    let folder = TempDir::new().unwrap();
    fs::write(folder.path().join("cart.toml"), job("tab", "bolt = \"M8\"")).unwrap();
    fs::write(folder.path().join("cart.zip"), "no archive").unwrap();
    for (arguments, wanted) in [
        (["cart.toml", "--out", "."], "choose another folder with `--out DIR`"),
        (["cart.zip", "--out", "out"], "make it without `--watch`"),
        (["cart.zip", "--accept-changes", "--no-drawings"], "cannot be used with"),
    ] {
        let output = Command::new(snapbox::cmd::cargo_bin!("platewright"))
            .args(["make", "--watch"])
            .args(arguments)
            .current_dir(folder.path())
            .output()
            .unwrap();
        let said = String::from_utf8(output.stderr).unwrap();
        assert!(output.status.code() == Some(2) && said.contains(wanted), "{arguments:?}: {said}");
    }
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 2, "nothing was written");
}

//! The files on the disk after failures: either all the old files or all the new ones.

#![cfg(unix)]
#![expect(clippy::disallowed_methods, reason = "a run is killed at a share of its own time")]

use std::collections::BTreeMap;
use std::fs;
use std::os::unix::fs::MetadataExt;
use std::os::unix::fs::PermissionsExt;
use std::os::unix::fs::chown;
use std::os::unix::process::CommandExt;
use std::path::Path;
use std::path::PathBuf;
use std::process::Child;
use std::process::Command;
use std::process::Stdio;
use std::time::Duration;
use std::time::Instant;
use tempfile::TempDir;

/// With a fixed issue: letters would advance whenever one job replaces the other.
const HEAD: &str = r#"
issue = "1"
process = "waterjet"
sheet = [ { name = "S235 4 mm", material = "S235", thickness = "4 mm", stock = [ { size = ["500 mm", "400 mm"] } ] } ]
"#;

type Tree = BTreeMap<String, Vec<u8>>;

/// A folder with two jobs of one name's out folder: other parts, and one that differs.
fn shop() -> TempDir {
    let folder = TempDir::new().unwrap();
    let part = |recipe: &str, name: &str, given: &str| {
        format!(
            "[[part]]\nrecipe = \"{recipe}\"\nname = \"{name}\"\nsheet = \"S235 4 mm\"\ngiven = {{ {given} }}\n"
        )
    };
    let ear = part("tab", "ear", "");
    let long = part("tab", "ear", "reach = \"40 mm\"");
    let a = format!("{HEAD}{ear}{}", part("gusset", "brace", ""));
    let b = format!("{HEAD}{long}{}", part("angle", "bracket", ""));
    fs::write(folder.path().join("a.toml"), a).unwrap();
    fs::write(folder.path().join("b.toml"), b).unwrap();
    folder
}

fn command(folder: &Path, job: &str) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_platewright"));
    command.current_dir(folder).args(["make", &format!("{job}.toml"), "--out", "out/cart"]);
    command.stdout(Stdio::null()).stderr(Stdio::null());
    command
}

/// The files of both jobs, each made in place of the other: the report says which parts changed.
fn both(folder: &Path) -> [Tree; 2] {
    make(folder, "a");
    let b = make(folder, "b");
    [make(folder, "a"), b]
}

fn make(folder: &Path, job: &str) -> Tree {
    assert!(command(folder, job).status().unwrap().success());
    tree(&folder.join("out/cart"))
}

/// Every file with its bytes.
fn tree(folder: &Path) -> Tree {
    let mut found = Tree::new();
    let mut folders = vec![folder.to_owned()];
    while let Some(at) = folders.pop() {
        let Ok(entries) = fs::read_dir(&at) else { continue };
        for path in entries.map(|e| e.unwrap().path()) {
            if path.is_dir() {
                folders.push(path);
            } else {
                let name = path.strip_prefix(folder).unwrap().display().to_string();
                found.insert(name, fs::read(&path).unwrap());
            }
        }
    }
    found
}

/// Names beside the out folder.
fn beside(folder: &Path) -> Vec<String> {
    let entries = fs::read_dir(folder.join("out")).unwrap();
    entries.map(|e| e.unwrap().file_name().into_string().unwrap()).collect()
}

/// Killed at a hundred moments, from before it begins to after it ends.
#[test]
fn a_killed_run_leaves_the_old_files_or_the_new_ones() {
    let folder = shop();
    let path = folder.path();
    let trees = both(path);
    make(path, "b");
    let started = Instant::now();
    make(path, "a");
    // How long a run takes depends on what else the machine does: the next kill comes later
    // after one that came too soon, and sooner after one that came too late.
    let mut wait = started.elapsed().max(Duration::from_millis(20));
    let (mut now, mut stayed, mut changed) = (0, 0, 0);
    for step in 0..100 {
        let next = 1 - now;
        let mut child: Child = command(path, ["a", "b"][next]).spawn().unwrap();
        // Every fifth comes anywhere before, so that all of a run is met.
        std::thread::sleep(if step % 5 == 0 { wait * step / 100 } else { wait });
        let _ = child.kill();
        child.wait().unwrap();
        let found = tree(&path.join("out/cart"));
        match trees.iter().position(|t| *t == found) {
            Some(which) if which == now => {
                stayed += 1;
                wait = wait * 11 / 10;
            }
            Some(which) => {
                now = which;
                changed += 1;
                wait = wait * 8 / 10;
            }
            None => panic!("a mixture after step {step}: {:?}", found.keys()),
        }
    }
    assert!(stayed >= 5 && changed >= 5, "{stayed} times killed before, {changed} times after");
    make(path, "a");
    assert_eq!(beside(path), ["cart"], "what killed runs left is taken away by the next");
}

#[test]
fn two_runs_at_once_leave_the_files_of_one_of_them() {
    let folder = shop();
    let path = folder.path();
    let trees = both(path);
    for round in 0..15 {
        let both = ["a", "b"].map(|job| command(path, job).spawn().unwrap());
        for mut child in both {
            assert!(child.wait().unwrap().success(), "round {round}");
        }
        let found = tree(&path.join("out/cart"));
        assert!(trees.contains(&found), "a mixture in round {round}: {:?}", found.keys());
        assert_eq!(beside(path), ["cart"]);
    }
}

#[test]
fn two_parts_made_at_once_are_both_there() {
    let folder = TempDir::new().unwrap();
    for round in 0..10 {
        let part = |name: &str| {
            let mut command = Command::new(env!("CARGO_BIN_EXE_platewright"));
            command.current_dir(folder.path()).args(["part", "tab", "--name", name]);
            command.stdout(Stdio::null()).spawn().unwrap()
        };
        let names = [format!("left{round}"), format!("right{round}")];
        for mut child in names.each_ref().map(|name| part(name)) {
            assert!(child.wait().unwrap().success());
        }
        let found = tree(&folder.path().join("out/parts"));
        for name in names {
            assert!(found.contains_key(&format!("flats/{name}.dxf")), "{name} is lost");
        }
    }
}

/// A file may grow to a number of kilobytes and no further: the last sheet or list does not fit.
#[test]
fn a_full_disk_leaves_the_old_files() {
    let folder = shop();
    let path = folder.path();
    let old = make(path, "a");
    let mut failed = 0;
    for kilobytes in [0, 1, 2, 4, 8] {
        let script = format!("trap '' XFSZ; ulimit -f {kilobytes}; exec \"$@\"");
        let run = Command::new("bash")
            .args(["-c", &script, "bash", env!("CARGO_BIN_EXE_platewright")])
            .args(["make", "b.toml", "--out", "out/cart"])
            .current_dir(path)
            .output()
            .unwrap();
        if run.status.success() {
            assert_ne!(tree(&path.join("out/cart")), old);
            make(path, "a");
            continue;
        }
        failed += 1;
        let said = String::from_utf8_lossy(&run.stderr).into_owned();
        assert_eq!(run.status.code(), Some(2), "{said}");
        assert!(said.contains("cannot write") && said.contains("nothing was changed"), "{said}");
        assert_eq!(tree(&path.join("out/cart")), old, "{kilobytes} kB");
        assert_eq!(beside(path), ["cart"]);
    }
    assert!(failed >= 3, "the disk was full only {failed} times");
}

/// The program in a folder that others may read. `cp` copies it: if this process did, one that
/// another test starts meanwhile would inherit the open file, and a file open for writing cannot be
/// run.
fn copied(folder: &Path) -> PathBuf {
    let program = folder.join("platewright");
    let copy =
        Command::new("cp").arg(env!("CARGO_BIN_EXE_platewright")).arg(&program).status().unwrap();
    assert!(copy.success());
    program
}

/// User and group without files: `nobody` on most systems.
const NOBODY: u32 = 65534;

/// As a user for whom a folder is closed. The superuser is never kept out by a mode, so where the
/// tests run as that, folder and run are given to another user first.
#[test]
fn a_folder_that_is_closed_is_left_alone() {
    let folder = shop();
    let path = folder.path();
    let old = make(path, "a");
    let program = copied(path);
    let root = fs::metadata(path).unwrap().uid() == 0;
    if root {
        hand_over(path);
    }
    let as_user = |program: &Path| {
        let mut command = Command::new(program);
        if root {
            command.uid(NOBODY).gid(NOBODY);
        }
        command.current_dir(path);
        command
    };
    let close = |name: &str, mode: u32| {
        fs::set_permissions(path.join(name), fs::Permissions::from_mode(mode)).unwrap();
    };
    let attempt = |closed: &str| {
        close(closed, 0o555);
        // The test would check nothing if the mode did not keep its user out.
        let mut probe = as_user(Path::new("touch"));
        let probe = probe.arg(path.join(closed).join("probe")).stderr(Stdio::null());
        assert!(!probe.status().unwrap().success(), "{closed} is open");
        let run = as_user(&program).args(["make", "b.toml", "--out", "out/cart"]).output().unwrap();
        close(closed, 0o755);
        (run.status.code(), String::from_utf8_lossy(&run.stderr).into_owned())
    };
    let (code, said) = attempt("out/cart");
    assert_eq!(code, Some(2), "{said}");
    assert!(said.contains("cannot write to out/cart") && said.contains("--out DIR"), "{said}");
    assert_eq!(tree(&path.join("out/cart")), old);
    assert_eq!(beside(path), ["cart"]);
    // Where only the folder above is closed, nothing can be exchanged as a whole: that is
    // said, and all the new files are there, or nothing was done.
    let (code, said) = attempt("out");
    let elsewhere = shop();
    make(elsewhere.path(), "a");
    let new = make(elsewhere.path(), "b");
    let found = tree(&path.join("out/cart"));
    match code {
        Some(0) => {
            assert!(said.contains("replaced one by one"), "{said}");
            assert_eq!(found, new);
        }
        code => {
            assert_eq!(code, Some(2), "{said}");
            assert_eq!(found, old);
        }
    }
    assert_eq!(beside(path), ["cart"]);
    // Once all is open, the same user gets the new files.
    let run = as_user(&program).args(["make", "b.toml", "--out", "out/cart"]).output().unwrap();
    assert!(run.status.success(), "{}", String::from_utf8_lossy(&run.stderr));
    assert_eq!(tree(&path.join("out/cart")), new);
}

/// Gives a folder and all in it to `nobody`, and lets every user through to it.
fn hand_over(folder: &Path) {
    let mut all = vec![folder.to_owned()];
    while let Some(at) = all.pop() {
        chown(&at, Some(NOBODY), Some(NOBODY)).unwrap();
        if at.is_dir() {
            all.extend(fs::read_dir(&at).unwrap().map(|entry| entry.unwrap().path()));
        }
    }
}

/// As a user other than the owner.
#[test]
fn a_folder_of_another_user_is_left_alone() {
    let folder = shop();
    let path = folder.path();
    let old = make(path, "a");
    if fs::metadata(path).unwrap().uid() != 0 {
        eprintln!("skipped: only the superuser can run the program as another user");
        return;
    }
    let program = copied(path);
    for name in ["", "out", "out/cart"] {
        fs::set_permissions(path.join(name), fs::Permissions::from_mode(0o755)).unwrap();
    }
    let mut command = Command::new(&program);
    command.uid(NOBODY).gid(NOBODY).current_dir(path);
    let run = command.args(["make", "b.toml", "--out", "out/cart"]).output().unwrap();
    let said = String::from_utf8_lossy(&run.stderr).into_owned();
    assert_eq!(run.status.code(), Some(2), "{said}");
    assert!(said.contains("cannot write to out/cart") && said.contains("--out DIR"), "{said}");
    assert_eq!(tree(&path.join("out/cart")), old);
    assert_eq!(beside(path), ["cart"]);
}

#[test]
fn what_the_user_put_there_is_the_very_same_file_afterwards() {
    let folder = shop();
    let path = folder.path();
    make(path, "a");
    let out = path.join("out/cart");
    fs::create_dir_all(out.join("photos/empty")).unwrap();
    fs::write(out.join("photos/weld.jpg"), "mine").unwrap();
    std::os::unix::fs::symlink("photos/weld.jpg", out.join("weld")).unwrap();
    fs::set_permissions(&out, fs::Permissions::from_mode(0o750)).unwrap();
    let before = fs::metadata(out.join("photos/weld.jpg")).unwrap().ino();
    make(path, "b");
    let after = fs::metadata(out.join("photos/weld.jpg")).unwrap();
    assert_eq!((after.ino(), after.nlink()), (before, 1));
    assert!(out.join("photos/empty").is_dir());
    assert_eq!(fs::read_link(out.join("weld")).unwrap(), Path::new("photos/weld.jpg"));
    assert_eq!(fs::metadata(&out).unwrap().permissions().mode() & 0o777, 0o750);
    assert_eq!(beside(path), ["cart"]);
}

/// Runs into one folder wait for each other where they must, and none fails for another's sake.
#[test]
fn many_runs_into_one_folder_all_succeed() {
    let folder = TempDir::new().unwrap();
    for round in 0..3 {
        let run = |i: u32| {
            let mut command = Command::new(env!("CARGO_BIN_EXE_platewright"));
            command.current_dir(folder.path()).args(["part", "tab", "--out", "out/parts"]);
            command.args(["--name", &format!("tab-{round}-{i}")]);
            command.stdout(Stdio::null()).stderr(Stdio::piped()).spawn().unwrap()
        };
        let runs: Vec<Child> = (0..30).map(run).collect();
        for run in runs {
            let output = run.wait_with_output().unwrap();
            assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
        }
    }
    let flats = tree(&folder.path().join("out/parts"));
    let made = flats.keys().filter(|name| name.starts_with("flats/") && name.ends_with(".dxf"));
    assert_eq!(made.count(), 90);
    let out = fs::read_dir(folder.path().join("out")).unwrap();
    let names: Vec<_> = out.map(|e| e.unwrap().file_name()).collect();
    assert_eq!(names, ["parts"], "something was left beside");
}

/// A pipe and a socket are carried over unchanged, and leave no copy behind.
#[test]
fn a_pipe_in_the_folder_leaves_nothing_beside_it() {
    let folder = shop();
    let path = folder.path();
    make(path, "a");
    let out = path.join("out/cart");
    assert!(Command::new("mkfifo").arg(out.join("pipe")).status().unwrap().success());
    let _socket = std::os::unix::net::UnixListener::bind(out.join("socket")).unwrap();
    let before = fs::symlink_metadata(out.join("pipe")).unwrap().ino();
    for job in ["b", "a"] {
        assert!(command(path, job).status().unwrap().success());
        assert_eq!(beside(path), ["cart"], "something was left beside");
    }
    assert_eq!(fs::symlink_metadata(out.join("pipe")).unwrap().ino(), before);
    assert!(fs::symlink_metadata(out.join("socket")).is_ok());
    fs::remove_file(out.join("pipe")).unwrap();
}

/// A folder within that is mounted from elsewhere, taken off again at the end.
struct Mounted(PathBuf);

impl Mounted {
    /// `None` if the tests may not mount.
    fn at(path: PathBuf, arguments: &[&str]) -> Option<Self> {
        fs::create_dir_all(&path).unwrap();
        let mut mount = Command::new("mount");
        mount.args(arguments).arg(&path).stderr(Stdio::null());
        mount.status().is_ok_and(|done| done.success()).then_some(Self(path))
    }
}

impl Drop for Mounted {
    fn drop(&mut self) {
        let _ = Command::new("umount").arg(&self.0).status();
    }
}

/// A drive in the folder is seen before anything is moved, whether it is another one or a part of
/// the same.
#[test]
fn a_drive_in_the_folder_stays_as_it_is() {
    let folder = shop();
    let path = folder.path();
    make(path, "a");
    let here = path.to_str().unwrap().to_owned();
    for arguments in [&["-t", "tmpfs", "none"][..], &["--bind", &here][..]] {
        let drive = path.join("out/cart/photos/drive");
        let Some(_mounted) = Mounted::at(drive.clone(), arguments) else {
            eprintln!("skipped: only the superuser can mount");
            return;
        };
        fs::write(drive.join("weld.jpg"), "mine").unwrap();
        let mine = fs::read_dir(&drive).unwrap().count();
        let old = fs::read(path.join("out/cart/report.json")).unwrap();
        let run = Command::new(env!("CARGO_BIN_EXE_platewright"))
            .current_dir(path)
            .args(["make", "b.toml", "--out", "out/cart"])
            .output()
            .unwrap();
        let said = String::from_utf8_lossy(&run.stderr).into_owned();
        assert_eq!(run.status.code(), Some(2), "{said}");
        assert!(said.contains("a drive is mounted in the folder"), "{said}");
        assert!(said.contains("out/cart/photos/drive") && said.contains("--out DIR"), "{said}");
        assert_eq!(fs::read_dir(&drive).unwrap().count(), mine);
        assert_eq!(fs::read_to_string(drive.join("weld.jpg")).unwrap(), "mine");
        assert_eq!(fs::read(path.join("out/cart/report.json")).unwrap(), old);
        assert_eq!(beside(path), ["cart"]);
        fs::remove_file(drive.join("weld.jpg")).unwrap();
    }
}

/// A file that is not regular is not opened: a pipe would block, a device be read without end.
#[test]
fn only_regular_files_are_read() {
    let folder = shop();
    let path = folder.path();
    let pipe = |name: &str| {
        fs::create_dir_all(path.join(name).parent().unwrap()).unwrap();
        assert!(Command::new("mkfifo").arg(path.join(name)).status().unwrap().success());
    };
    let says = |arguments: &[&str], words: &str| {
        let mut run = Command::new("timeout");
        run.args(["-s", "KILL", "60", env!("CARGO_BIN_EXE_platewright")]).args(arguments);
        let output = run.current_dir(path).output().unwrap();
        let said = String::from_utf8_lossy(&output.stderr).into_owned();
        assert!(matches!(output.status.code(), Some(1 | 2)), "{arguments:?} {words}: {output:?}");
        assert!(said.contains(words), "{arguments:?}: {said}");
    };
    pipe("pipe.toml");
    says(&["make", "pipe.toml"], "cannot read pipe.toml: it is a pipe, not a file");
    says(&["check", "pipe.toml"], "it is a pipe, not a file");
    says(&["part", "./pipe.toml"], "it is a pipe, not a file");
    says(&["check", "/dev/zero"], "cannot read /dev/zero: it is a device, not a file");
    says(&["check", "."], "it is a folder, not a file");
    says(
        &[
            "calibrate",
            "--v",
            "16 mm",
            "--legs",
            "52.5 mm",
            "52.4 mm",
            "--blank",
            "100 mm",
            "--thickness",
            "3 mm",
            "--into",
            "pipe.toml",
        ],
        "it is a pipe, not a file",
    );
    // The shop, a table, an outline.
    let job = fs::read_to_string(path.join("a.toml")).unwrap();
    fs::write(path.join("s.toml"), format!("shop = \"pipe.toml\"\n{job}")).unwrap();
    says(&["check", "s.toml"], "pipe.toml: it is a pipe, not a file");
    fs::write(
        path.join("drawn.toml"),
        "about = \"drawn\"\n[face.plate]\nblank = [ { add = \"outline\", file = \"pipe.dxf\" } ]\n",
    )
    .unwrap();
    pipe("pipe.dxf");
    says(&["part", "./drawn.toml"], "pipe.dxf: it is a pipe, not a file");
    pipe("returned/ear.dxf");
    says(&["check", "a.toml", "--against", "returned"], "it is a pipe, not a file");
    pipe("out/cart/files.sha256");
    says(&["make", "a.toml", "--out", "out/cart"], "not written by platewright");
    pipe("tables/material.csv");
    says(&["check", "a.toml"], "material.csv: it is a pipe, not a file");
}

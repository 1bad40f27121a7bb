//! A search that is cut short, by the clock or by the keys, and found again.

#![expect(clippy::disallowed_methods, reason = "whether a time is kept is tested")]

use platewright::job::Shelf;
use platewright::make::Drafts;
use platewright::make::Made;
use platewright::make::Wanted;
use platewright::nest::Sheet;
use platewright::place::Best;
use platewright::place::FoundOn;
use platewright::place::Search;
use platewright::table::Tables;
use platewright::workshop::Workshop;
use platewright::write::NamedFile;
use std::collections::BTreeMap;
use std::collections::BTreeSet;
use std::fs;
use std::path::Path;
use std::process::Child;
use std::process::Command;
use std::process::Output;
use std::process::Stdio;
use std::sync::Mutex;
use std::sync::atomic::AtomicUsize;
use std::sync::atomic::Ordering::Relaxed;
use std::thread::sleep;
use std::time::Duration;
use std::time::Instant;
use tempfile::TempDir;

const CART: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/parts/jobs/vineyard-cart.toml");

/// No search of the demo reaches the end of such a budget.
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
        .map(|p| {
            let bytes = fs::read(&p).unwrap();
            let text = String::from_utf8_lossy(&bytes).into_owned();
            (p.file_name().unwrap().to_string_lossy().into(), text)
        })
        .collect()
}

#[test]
fn what_a_run_prints_when_it_is_cut_short_makes_the_same_sheets_again() {
    let folder = TempDir::new().unwrap();
    let (cut, again, first) =
        (folder.path().join("cut"), folder.path().join("again"), folder.path().join("first"));
    let more = ["--effort", ENDLESS, "--time", "2", "--seed", "7"];
    let output = make(&cut, &more).output().unwrap();
    // On a busy machine the formed parts may not be drawn by then.
    let whole =
        !String::from_utf8_lossy(&output.stderr).contains("not drawn, the run was ended early: ");
    assert_eq!(output.status.code(), Some(i32::from(!whole)), "{output:?}");
    let arguments = replay(&output);
    assert_eq!((arguments.len(), arguments[0].as_str()), (2, "--replay"), "{arguments:?}");
    assert!(arguments[1].ends_with("@7"), "{arguments:?}");
    let arguments: Vec<&str> = arguments.iter().map(String::as_str).collect();
    assert!(make(&again, &arguments).output().unwrap().status.success());
    assert!(make(&first, &["--effort", "0"]).output().unwrap().status.success());
    assert_eq!(sheets(&cut), sheets(&again), "{arguments:?}");
    assert_ne!(sheets(&cut), sheets(&first), "nothing was searched: {arguments:?}");
}

/// Sends a signal to a run.
#[cfg(unix)]
fn send(child: &Child, signal: &str) {
    let sent = Command::new("kill").args([signal, &child.id().to_string()]).status().unwrap();
    assert!(sent.success(), "{signal}");
}

/// Ctrl-C, a request to end and a closed terminal keep the best layout, and a repetition loses
/// nothing: all files are written.
#[cfg(unix)]
#[test]
fn an_interrupt_keeps_what_was_found_so_far() {
    for (signal, times) in [("-INT", 3), ("-TERM", 1), ("-HUP", 1)] {
        let folder = TempDir::new().unwrap();
        let out = folder.path().join("cut");
        // On a busy machine it may not get the signal yet, or the parts may not be solved: then
        // nothing is kept; or the formed parts may not be drawn yet, and are left out.
        let interrupted = |seconds: u64| {
            let child = make(&out, &["--effort", ENDLESS]).stderr(Stdio::piped()).spawn().unwrap();
            sleep(Duration::from_secs(seconds));
            for _ in 0..times {
                send(&child, signal);
                sleep(Duration::from_millis(100));
            }
            let output = child.wait_with_output().unwrap();
            let said = String::from_utf8_lossy(&output.stderr);
            let whole = !said.contains("not drawn, the run was ended early: ");
            let kept = output.status.code().is_some_and(|code| code != 130);
            (whole && kept).then_some(output)
        };
        let output = [1, 3, 9, 27, 135].into_iter().find_map(interrupted).expect("it is kept");
        assert_eq!(output.status.code(), Some(0), "{signal} {output:?}");
        assert_eq!(replay(&output)[0], "--replay");
        let said = String::from_utf8(output.stderr).unwrap();
        assert_eq!(said.matches("interrupted: the search stops").count(), 1, "{said}");
        let names = sheets(&out);
        let drawn = names.keys().any(|n| n.ends_with(".dxf"));
        assert!(names.len() > 4 && drawn, "{:?}", names.keys());
        assert!(out.join("report.html").exists());
    }
}

/// On a second request while the files are made, a run leaves out the drawings that are not made
/// yet, writes everything else, and says which are missing; the text that repeats the search was
/// printed before.
#[cfg(unix)]
#[test]
fn a_second_interrupt_leaves_out_drawings_and_writes_the_rest() {
    let part = "[[part]]\nrecipe = \"box-bracket\"\nname = \"box-N\"\nsheet = \"S235 3 mm\"\n";
    let sheet = "[[sheet]]\nname = \"S235 3 mm\"\nmaterial = \"S235\"\nthickness = \"3 mm\"\n\
        stock = [ { size = [\"2000 mm\", \"1000 mm\"] } ]\n\n";
    let interrupted = |(count, after): (usize, u64)| {
        let folder = TempDir::new().unwrap();
        let (path, out) = (folder.path().join("busy.toml"), folder.path().join("out"));
        let rows = (0..count).map(|i| part.replace('N', &i.to_string())).collect::<String>();
        fs::write(&path, format!("process = \"laser\"\n\n{sheet}{rows}")).unwrap();
        fs::create_dir(&out).unwrap();
        fs::write(out.join("notes.txt"), "mine").unwrap();
        let mut command = Command::new(snapbox::cmd::cargo_bin!("platewright"));
        command.args(["make", "--effort", ENDLESS]).arg(&path).arg("--out").arg(&out);
        let child = command.stderr(Stdio::piped()).stdout(Stdio::piped()).spawn().unwrap();
        sleep(Duration::from_millis(after));
        send(&child, "-INT");
        sleep(Duration::from_millis(1500));
        // It may have ended.
        let _ = Command::new("kill").args(["-INT", &child.id().to_string()]).output().unwrap();
        let output = child.wait_with_output().unwrap();
        let said = String::from_utf8(output.stderr.clone()).unwrap();
        let first = said.contains("interrupted: the search stops");
        (first && said.contains("not drawn, the run was ended early: "))
            .then_some((folder, out, output))
    };
    // On a slow machine the parts may not be solved in time, on a fast one all may be drawn.
    let tries = [(40, 2500), (150, 6000), (150, 20_000), (600, 20_000), (600, 60_000)];
    let (_folder, out, output) = tries.into_iter().find_map(interrupted).expect("it is drawing");
    assert_eq!(output.status.code(), Some(1), "what lacks drawings is not all that was asked for");
    assert_eq!(replay(&output)[0], "--replay");
    let said = String::from_utf8(output.stderr).unwrap();
    assert!(said.contains("platewright drawing"), "{said}");
    for there in ["notes.txt", "report.html", "flats/box-0.dxf", "files.sha256"] {
        assert!(out.join(there).exists(), "{there}: {said}");
    }
    let drawn = fs::read_dir(out.join("drawings")).map_or(0, Iterator::count);
    let flats = fs::read_dir(out.join("flats")).unwrap().count();
    assert!(drawn < flats, "{said}");
}

/// Drawings that are no longer wanted are named, every one; the other files are those of any make.
#[test]
fn files_left_out_are_named_and_the_rest_is_complete() {
    let job = "process = \"laser\"\n[[sheet]]\nname = \"S\"\nmaterial = \"S235\"\n\
        thickness = \"3 mm\"\nstock = [ { size = [\"2000 mm\", \"1000 mm\"] } ]\n\
        [[part]]\nrecipe = \"tab\"\nname = \"tab\"\nsheet = \"S\"\n\
        [[part]]\nrecipe = \"clevis-plates\"\nname = \"clevis\"\nsheet = \"S\"\n\
        [[part]]\nrecipe = \"angle\"\nname = \"angle\"\nsheet = \"S\"\n";
    let tables = Tables::shipped();
    let read = Workshop::new(Shelf::shipped(&tables)).read("job", "job.toml", job).unwrap();
    let ready = read.solve().unwrap_or_else(|why| panic!("{why}"));
    let made = |looks: usize| {
        let left = AtomicUsize::new(looks);
        let still = || left.fetch_update(Relaxed, Relaxed, |n| n.checked_sub(1)).is_ok();
        let wanted = Wanted::while_still(&still);
        let of_parts = ready.of_parts(&wanted).unwrap();
        let nested = ready.nest(&Search { units: vec![0], ..Search::usual() }).unwrap();
        ready.laid((nested, of_parts), &wanted).unwrap()
    };
    let whole = made(usize::MAX);
    assert!(whole.undrawn.is_empty());
    for looks in [0, 3] {
        let lacking = made(looks);
        let names = |made: &Made| -> BTreeSet<String> {
            made.files.iter().map(|file| file.name.clone()).collect()
        };
        let gone: Vec<String> = names(&whole).difference(&names(&lacking)).cloned().collect();
        assert_eq!(lacking.undrawn, gone, "{looks}");
        assert!(gone.iter().any(|name| name.contains("-picture.")), "{looks}: {gone:?}");
        // The lists of files differ, and the folders of drawings.
        let lists = |name: &str| name.starts_with("report.") || name.starts_with("order/");
        for file in lacking.files.iter().filter(|file| !lists(&file.name)) {
            let other = whole.files.iter().find(|other| other.name == file.name).unwrap();
            assert!(other.bytes == file.bytes, "{}", file.name);
        }
        let listed: Vec<&String> = lacking.report.files.iter().collect();
        assert!(!listed.iter().any(|name| gone.contains(name)), "{looks}");
    }
}

/// Two kinds of sheet, several of each.
const TWO_KINDS: &str = "process = \"laser\"\n[[sheet]]\nname = \"S\"\nmaterial = \"S235\"\n\
    thickness = \"3 mm\"\nstock = [ { size = [\"400 mm\", \"300 mm\"] } ]\n\
    [[sheet]]\nname = \"T\"\nmaterial = \"S235\"\nthickness = \"4 mm\"\n\
    stock = [ { size = [\"300 mm\", \"300 mm\"] } ]\n\
    [[part]]\nrecipe = \"tab\"\nname = \"tab\"\nquantity = 60\nsheet = \"S\"\n\
    [[part]]\nrecipe = \"gusset\"\nname = \"gusset\"\nquantity = 25\nsheet = \"S\"\n\
    [[part]]\nrecipe = \"strap\"\nname = \"strap\"\nquantity = 30\nsheet = \"T\"\n";

/// A sheet drawn during the search is used where the last layout has the same, whether all of that
/// layout was drawn or only a part, and no file differs.
#[test]
fn sheets_that_were_drawn_on_the_way_are_those_of_the_last_layout() {
    let tables = Tables::shipped();
    let read = Workshop::new(Shelf::shipped(&tables)).read("job", "job.toml", TWO_KINDS).unwrap();
    let ready = read.solve().unwrap_or_else(|why| panic!("{why}"));
    let seen: Mutex<[Vec<Best>; 2]> = Mutex::default();
    let found = |kind: usize, best: &[Sheet]| seen.lock().unwrap()[kind].push(best.to_vec());
    let nested = |found: Option<&FoundOn>| {
        ready.nest(&Search { units: vec![30_000], found, ..Search::usual() }).unwrap()
    };
    let whole = ready.files(nested(Some(&found))).unwrap();
    let seen = seen.into_inner().unwrap();
    let made = |layout: &[Best], looks: usize, wanted: bool| {
        let (drafts, looks) = (Drafts::default(), AtomicUsize::new(looks));
        let go_on = || looks.fetch_update(Relaxed, Relaxed, |n| n.checked_sub(1)).is_ok();
        ready.draft(layout, &drafts, &go_on);
        let still = || wanted;
        let of_parts = ready.of_parts(&Wanted::all()).unwrap();
        ready.laid((nested(None).with(drafts), of_parts), &Wanted::while_still(&still)).unwrap()
    };
    let at = |of: fn(&Vec<Best>) -> Option<&Best>| seen.each_ref().map(|s| of(s).unwrap().clone());
    let [first, last] = [at(|s| s.first()), at(|s| s.last())];
    assert!(first != last, "the search betters the first layout");
    let pictures = |made: &Made| -> Vec<String> {
        let names = made.files.iter().map(|file| file.name.clone());
        names.filter(|name| name.contains("-picture.")).collect()
    };
    for (layout, looks, wanted) in [(&first, 99, true), (&last, 99, true), (&last, 99, false)] {
        let again = made(layout, looks, wanted);
        assert!(again.undrawn.is_empty(), "{:?}", again.undrawn);
        assert!(again.files == whole.files, "{looks} {wanted}");
    }
    // It may continue until the first sheet is drawn, and no longer.
    let mut parts = (1..20).map(|looks| made(&last, looks, false));
    let part = parts.find(|part| !pictures(part).is_empty()).unwrap();
    assert_eq!(pictures(&part), ["sheets/S-01-picture.pdf", "sheets/S-01-picture.svg"]);
    assert_eq!(pictures(&part).len() + part.undrawn.len(), pictures(&whole).len());
    let said = part.findings.last().unwrap();
    assert!(said.headline.contains("drawing files were left out"), "{}", said.headline);
    let report = part.files.iter().find(|file| file.name == "report.json").unwrap();
    assert!(String::from_utf8_lossy(&report.bytes).contains(&said.headline));
    let cut = |made: &Made| -> Vec<NamedFile> {
        let files = made.files.iter().filter(|file| file.name.ends_with(".dxf"));
        files.cloned().collect()
    };
    assert!(cut(&part) == cut(&whole));
}

/// Before there is any layout nothing is left behind, not even beside the folder.
#[cfg(unix)]
#[test]
fn an_interrupt_before_the_search_leaves_nothing() {
    let part = "[[part]]\nrecipe = \"box-bracket\"\nname = \"box-N\"\nsheet = \"S235 3 mm\"\n";
    let sheet = "[[sheet]]\nname = \"S235 3 mm\"\nmaterial = \"S235\"\nthickness = \"3 mm\"\nstock = []\n\n";
    let rows = (0..4000).map(|i| part.replace('N', &i.to_string())).collect::<String>();
    // Before it hears a signal it is ended by it; after the parts are solved, it writes.
    let interrupted = |after: u64| {
        let folder = TempDir::new().unwrap();
        let path = folder.path().join("busy.toml");
        fs::write(&path, format!("process = \"laser\"\n\n{sheet}{rows}")).unwrap();
        let mut command = Command::new(snapbox::cmd::cargo_bin!("platewright"));
        command.args(["make", "--no-drawings", "--effort", "0"]).arg(&path);
        command.arg("--out").arg(folder.path().join("a/cut"));
        let child = command.stderr(Stdio::piped()).stdout(Stdio::piped()).spawn().unwrap();
        sleep(Duration::from_millis(after));
        send(&child, "-INT");
        let output = child.wait_with_output().unwrap();
        (output.status.code() == Some(130)).then_some((folder, output))
    };
    let (folder, output) =
        [1500, 700, 350, 3000, 6000].into_iter().find_map(interrupted).expect("it is solving");
    let said = String::from_utf8(output.stderr).unwrap();
    assert!(said.contains("interrupted; nothing was written"), "{said}");
    let left: Vec<_> =
        fs::read_dir(folder.path()).unwrap().map(|e| e.unwrap().file_name()).collect();
    assert_eq!(left, ["busy.toml"]);
}

/// Two thousand pieces of five kinds: the time is limited to that of a slow machine for the files.
/// Without checking the clock the patterns alone took minutes.
#[test]
fn the_time_is_kept_by_a_large_job() {
    let folder = TempDir::new().unwrap();
    let mut job = String::from(
        "process = \"waterjet\"\n[[sheet]]\nname = \"S\"\nmaterial = \"S235\"\nthickness = \"4 mm\"\n\
         stock = [ { size = [\"2000 mm\", \"1000 mm\"] } ]\n",
    );
    for (recipe, quantity) in
        [("tab", 900), ("gusset", 450), ("end-cap", 400), ("base-plate", 50), ("strap", 200)]
    {
        job += &format!(
            "[[part]]\nrecipe = \"{recipe}\"\nname = \"{recipe}\"\nquantity = {quantity}\nsheet = \"S\"\n"
        );
    }
    let path = folder.path().join("many.toml");
    fs::write(&path, job).unwrap();
    let began = Instant::now();
    let mut command = Command::new(snapbox::cmd::cargo_bin!("platewright"));
    command.arg("make").arg(&path).args(["--no-drawings", "--time", "2", "--out"]);
    let output = command.arg(folder.path().join("out")).output().unwrap();
    assert_eq!(output.status.code(), Some(0), "{output:?}");
    assert_eq!(replay(&output)[0], "--replay");
    assert!(began.elapsed() < Duration::from_secs(400), "{:?}", began.elapsed());
}

/// More pieces than one job may have are counted, not placed; so is a job whose sheets are not counted,
/// and one whose sheets have not metal enough.
#[test]
fn a_check_does_not_nest_to_count_pieces() {
    let folder = TempDir::new().unwrap();
    let job = |quantity: u32, count: &str| {
        let part = |name: &str| {
            format!(
                "[[part]]\nrecipe = \"tab\"\nname = \"{name}\"\nquantity = {quantity}\nsheet = \"S\"\n"
            )
        };
        format!(
            "process = \"waterjet\"\n[[sheet]]\nname = \"S\"\nmaterial = \"S235\"\nthickness = \"4 mm\"\n\
             stock = [ {{ size = [\"2000 mm\", \"1000 mm\"]{count} }} ]\n{}{}",
            part("one"),
            part("other")
        )
    };
    let path = folder.path().join("many.toml");
    let run = |command: &str, quantity: u32, count: &str| {
        fs::write(&path, job(quantity, count)).unwrap();
        let began = Instant::now();
        let mut run = Command::new(snapbox::cmd::cargo_bin!("platewright"));
        let output = run.arg(command).arg(&path).current_dir(folder.path()).output().unwrap();
        assert!(began.elapsed() < Duration::from_secs(60), "{command}: {:?}", began.elapsed());
        (output.status.code(), String::from_utf8(output.stderr).unwrap())
    };
    for command in ["check", "make"] {
        let (code, said) = run(command, 60_000, "");
        assert_eq!(code, Some(1), "{said}");
        assert!(said.contains("with `other` the job has more pieces than the maximum"), "{said}");
    }
    assert_eq!(run("check", 50_000, ""), (Some(0), String::new()));
    let (code, said) = run("check", 50_000, ", count = 10");
    assert_eq!(code, Some(1), "{said}");
    let words = "not all 100000 pieces on `S` could be placed: the sheets are used up; at least ";
    assert!(said.contains(words) && said.contains(" more sheets of 2000 mm × 1000 mm"), "{said}");
    // By area that is enough, and rows take more.
    let (code, said) = run("check", 10_000, ", count = 15");
    assert_eq!(code, Some(1), "{said}");
    assert!(said.contains("of 20000 pieces on `S` may not fit: laid out in plain rows"), "{said}");
    assert!(
        said.contains("help: nest them with `make` to see whether they fit, or raise `count`"),
        "{said}"
    );
}

/// Twelve plates of 120 mm by 90 mm fill a sheet of 500 mm by 400 mm in rows, and the area of sixteen is
/// less than its own: that it cannot hold them is found by nesting alone, which a check leaves to `make`.
#[test]
fn a_check_says_what_a_first_layout_leaves_over() {
    let folder = TempDir::new().unwrap();
    let path = folder.path().join("plates.toml");
    let run = |command: &str, quantity: u32| {
        let job = format!(
            "process = \"waterjet\"\n[[sheet]]\nname = \"S\"\nmaterial = \"S235\"\n\
             thickness = \"4 mm\"\nstock = [ {{ size = [\"500 mm\", \"400 mm\"], count = 1 }} ]\n\
             [[part]]\nrecipe = \"base-plate\"\nname = \"base\"\nsheet = \"S\"\n\
             quantity = {quantity}\n\
             given = {{ width = \"120 mm\", height = \"90 mm\", bolt = \"M8\" }}\n"
        );
        fs::write(&path, job).unwrap();
        let mut run = Command::new(snapbox::cmd::cargo_bin!("platewright"));
        let output = run.arg(command).arg(&path).current_dir(folder.path()).output().unwrap();
        (output.status.code(), String::from_utf8(output.stderr).unwrap())
    };
    assert_eq!(run("check", 12), (Some(0), String::new()));
    let (code, said) = run("check", 16);
    assert_eq!(code, Some(1), "{said}");
    let words = " of 16 pieces on `S` may not fit: in a first layout ";
    assert!(said.contains(words) && said.contains("sheets-may-run-out"), "{said}");
    let (code, said) = run("make", 16);
    assert_eq!(code, Some(1), "{said}");
    assert!(said.contains("sheets-used-up") && !said.contains("may not fit"), "{said}");
}

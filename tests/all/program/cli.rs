//! The real command, run as a person or a script runs it.

use crate::demo;
use snapbox::cmd::Command;
use snapbox::cmd::OutputAssert;
use snapbox::str;
use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use tempfile::TempDir;

const HEAD: &str = "process = \"waterjet\"\n\n[[sheet]]\nname = \"S235 4 mm\"\nmaterial = \"S235\"\n\
    thickness = \"4 mm\"\nstock = [ { size = [\"500 mm\", \"400 mm\"] } ]\n";

fn part(recipe: &str, name: &str) -> String {
    format!("\n[[part]]\nrecipe = \"{recipe}\"\nname = \"{name}\"\nsheet = \"S235 4 mm\"\n")
}

/// A folder with a job `cart.toml` of two parts.
fn shop() -> TempDir {
    let folder = TempDir::new().unwrap();
    let text = format!("{HEAD}{}{}", part("tab", "ear"), part("gusset", "brace"));
    fs::write(folder.path().join("cart.toml"), text).unwrap();
    folder
}

fn platewright(folder: &Path) -> Command {
    Command::new(snapbox::cmd::cargo_bin!("platewright")).current_dir(folder)
}

fn run(folder: &Path, arguments: &[&str]) -> OutputAssert {
    platewright(folder).args(arguments).assert()
}

fn stdout(assert: &OutputAssert) -> String {
    String::from_utf8(assert.get_output().stdout.clone()).unwrap()
}

fn stderr(assert: &OutputAssert) -> String {
    String::from_utf8(assert.get_output().stderr.clone()).unwrap()
}

/// Every file and folder below, by name; a folder has no bytes.
fn tree(folder: &Path) -> BTreeMap<String, Option<Vec<u8>>> {
    let mut found = BTreeMap::new();
    let mut open = vec![folder.to_owned()];
    while let Some(next) = open.pop() {
        for entry in fs::read_dir(next).unwrap() {
            let path = entry.unwrap().path();
            let name = path.strip_prefix(folder).unwrap().display().to_string().replace('\\', "/");
            if path.is_dir() {
                found.insert(name, None);
                open.push(path);
            } else {
                found.insert(name, Some(fs::read(path).unwrap()));
            }
        }
    }
    found
}

fn names(folder: &Path) -> Vec<String> {
    tree(folder).into_iter().filter(|(_, bytes)| bytes.is_some()).map(|(name, _)| name).collect()
}

#[test]
fn the_help_says_what_there_is() {
    let folder = TempDir::new().unwrap();
    run(folder.path(), &["--help"]).code(0).stderr_eq("").stdout_eq(str![[r#"
Turns recipes for small plate parts into checked, nested cut files

Usage: platewright[EXE] <COMMAND>

Commands:
  make       Calculate, check and nest a job, and write all its files
  estimate   Estimate how many sheets a job takes and what they cost; write nothing
  check      Check a job; write nothing
  changes    Show what has changed in each part since it was last made or sent; write nothing
  sent       Record the latest order as sent, in JOB.sent.toml beside the job
  cut        Book the sheets used by the last `make` out of the stock book, and remnants into it
  stock      List the sheets and remnants in the shop; add, take out, export, import, draw
  book       List what was cut, sent and measured, as recorded in the stock book
  pack       Pack a job with everything it needs into one archive, for `make` to make it again
  as-built   Find out why finished parts deviate from the drawing; write nothing
  drawing    Draw one part of a job, without nesting
  page       Show a job on a page in the browser, to be changed, nested and made there
  part       Make the flat of one part
  calibrate  Make a test strip to bend, or calculate a row of the shop file from measured strips
  recipes    List the recipes, or the inputs of one
  outline    Show what an outline file (DXF or SVG) contains, and print a recipe to start from
  new        Print a job file or a shop file to start from, with every line explained
  schema     Print the JSON Schema of recipe files, job files or reports
  tables     List the tables of hardware and stock, or the rows of one
  explain    Explain what a check looks for, why, and its source
  licences   Print the licences of this program and of everything in it
  help       Print this message or the help of the given subcommand(s)

Options:
  -h, --help     Print help
  -V, --version  Print version

Example:
  platewright make parts/jobs/vineyard-cart.toml
  platewright part tab bolt=M8 reach="30 mm" --material S235 --thickness "4 mm"

Exit codes: 0 all written and placed, 1 a finding stopped it or pieces could not be placed,
            2 usage error or unreadable file,
            130 interrupted: nothing was written.

Ctrl-C ends the search and writes its best layout, leaving out drawings not begun half a second
later. A second leaves out all drawings not yet made; a third writes nothing and leaves the
folder as it was.

"#]]);
    run(folder.path(), &["make", "--help"]).code(0).stderr_eq("").stdout_eq(str![[r#"
Calculate, check and nest a job, and write all its files

Usage: platewright[EXE] make [OPTIONS] <JOB>

Arguments:
  <JOB>  The job file, or an archive that `pack` wrote

Options:
  -o, --out <DIR>        Output folder, created if missing [default: out/JOB, or out/JOB-only with
                         --only]
      --no-drawings      Leave out drawings, templates and sheet pictures
      --issue <TEXT>     The issue of the drawings, in place of the job's own
      --watch            Make it again whenever it, or a file it uses, is saved; keeps the first
                         layout unless --time or --effort is given. Ctrl-C ends it
      --accept-changes   Write the files of an archive even if this version makes them differently
      --only <NAME[=N]>  Only the parts, links and tubes with this name, N of each if N is given;
                         `*` matches any characters. Repeat the option for further names
      --r12              Orders as DXF R12, and the flats also in r12/, for older software
      --repeat-first     In orders, repeat the first corner of each contour at its end
      --holes-only       In orders, draw only the holes
      --bends <STYLE>    In orders, show bends as a line on BEND, as ticks on MARK, or not at all
                         [default: lines] [possible values: lines, ticks, none]
      --time <SECONDS>   Search no longer than this for a better layout; drawings not begun within
                         half a second of that limit (counted as at least 1 s) are left out
      --effort <N>       Effort allowed for the search, one figure for all kinds of sheet or one for
                         each; 0 keeps the first layout
      --replay <TEXT>    Repeat a search that was interrupted, by the text it printed
      --seed <N>         Seed of the search; the same seed gives the same sheets [default: 0]
  -h, --help             Print help

"#]]);
}

/// One drawing as a picture and as a PDF, with an issue; a part that is not there is a usage error.
#[test]
fn one_part_is_drawn_without_the_others() {
    let folder = shop();
    let before = names(folder.path());
    let draw = |args: &[&str]| run(folder.path(), &[&["drawing", "cart.toml"], args].concat());
    draw(&["ear", "-o", "ear.svg", "--issue", "B"]).code(0).stdout_eq("ear.svg\n");
    draw(&["ear"]).code(0).stdout_eq("ear.pdf\n");
    let picture = fs::read_to_string(folder.path().join("ear.svg")).unwrap();
    assert!(picture.contains(">B · ") && picture.contains("data-kind=\"running-x\""));
    assert!(fs::read(folder.path().join("ear.pdf")).unwrap().starts_with(b"%PDF"));
    draw(&["fin"]).code(2).stderr_eq(str![[r#"
error: the job has no part `fin`; it has [..]ear[..]

"#]]);
    assert_eq!(names(folder.path()).len(), before.len() + 2);
}

#[test]
fn a_job_is_made_and_summarised_in_a_few_lines() {
    let folder = shop();
    let made = run(folder.path(), &["make", "cart.toml"]).code(0).stderr_eq("");
    made.stdout_eq(str![[r#"
cart: 2 parts, 2 pieces, 2 placed on 1 sheet[..]
...
written: [..] files in out/cart
Screening calculations only: no check here proves strength. Local codes and a licensed engineer's judgement decide.

"#]]);
    let wanted = [
        "cart.toml",
        "out/cart/drawings/brace.pdf",
        "out/cart/drawings/brace.svg",
        "out/cart/drawings/ear.pdf",
        "out/cart/drawings/ear.svg",
        "out/cart/files.sha256",
        "out/cart/flats/brace.dxf",
        "out/cart/flats/brace.svg",
        "out/cart/flats/ear.dxf",
        "out/cart/flats/ear.svg",
        "out/cart/folded/brace.step",
        "out/cart/folded/ear.step",
        "out/cart/hardware.csv",
        "out/cart/made.toml",
        "out/cart/order/S235-4mm.sha256",
        "out/cart/order/S235-4mm.zip",
        "out/cart/parts.csv",
        "out/cart/purchases.csv",
        "out/cart/report.html",
        "out/cart/report.json",
        "out/cart/sheets/S235-4-mm-01-picture.pdf",
        "out/cart/sheets/S235-4-mm-01-picture.svg",
        "out/cart/sheets/S235-4-mm-01.dxf",
        "out/cart/sheets/S235-4-mm-01.svg",
        "out/cart/sheets/S235-4-mm-templates.pdf",
        "out/cart/templates/brace.pdf",
        "out/cart/templates/ear.pdf",
    ];
    assert_eq!(names(folder.path()), wanted);
    run(folder.path(), &["make", "cart.toml", "--no-drawings"]).code(0);
    let fewer = wanted
        .into_iter()
        .filter(|n| !["drawings", "templates", "picture"].iter().any(|word| n.contains(word)));
    assert_eq!(names(folder.path()), fewer.collect::<Vec<_>>());
}

#[test]
fn spares_are_made_alone_and_leave_the_whole_order_where_it_is() {
    let folder = shop();
    run(folder.path(), &["make", "cart.toml", "--effort", "0"]).success();
    let whole = tree(&folder.path().join("out/cart"));
    let made = run(folder.path(), &["make", "cart.toml", "--effort", "0", "--only", "ear=3"]);
    let said = stdout(&made.success());
    assert!(said.contains("1 part, 3 pieces"), "{said}");
    assert_eq!(tree(&folder.path().join("out/cart")), whole);
    let only = folder.path().join("out/cart-only");
    assert_eq!(names(&only.join("flats")), ["ear.dxf", "ear.svg"]);
    let report = fs::read_to_string(only.join("report.json")).unwrap();
    let report: serde_json::Value = serde_json::from_str(&report).unwrap();
    assert_eq!(report["about"], "Only ear × 3.");
    assert_eq!(report["totals"]["pieces"], 3);
    let job = fs::read_to_string(folder.path().join("cart.toml")).unwrap();
    fs::write(folder.path().join("cart.toml"), format!("about = \"a cart\"\n{job}")).unwrap();
    run(folder.path(), &["make", "cart.toml", "--effort", "0", "--only", "ear"]).success();
    let report = fs::read_to_string(only.join("report.json")).unwrap();
    assert!(report.contains("\"a cart. Only ear.\""), "{report}");

    // A family by its pattern; the last matching name sets the quantity.
    let asked = ["estimate", "cart.toml", "--only", "*", "--only", "b*=4"];
    let said = stdout(&run(folder.path(), &asked).success());
    assert!(said.contains("5 pieces"), "{said}");
    let checked = run(folder.path(), &["check", "cart.toml", "--only", "brace"]).success();
    assert!(stdout(&checked).contains("1 part checked"));
}

#[test]
fn a_part_not_in_the_job_is_not_made_alone() {
    let folder = shop();
    let make = |only: &str| {
        let said = stderr(&run(folder.path(), &["make", "cart.toml", "--only", only]).code(2));
        assert!(
            !folder.path().join("out").exists() || names(&folder.path().join("out")).is_empty()
        );
        said
    };
    assert!(make("eat").contains("no part, link or tube `eat`; did you mean `ear`?"));
    assert!(make("x*").contains("no part, link or tube `x*`"));
    assert!(make("ear=none").contains("`none` is not a number of pieces"));
    assert!(make("ear=0").contains("`0` is not a number of pieces"));
}

#[test]
fn pieces_beyond_those_asked_for_are_listed_apart() {
    let folder = shop();
    let text = format!("{HEAD}{}quantity = 2\nfill = 3\n", part("gusset", "brace"));
    fs::write(folder.path().join("filled.toml"), text).unwrap();
    run(folder.path(), &["make", "filled.toml", "--no-drawings"]).success().stdout_eq(str![
        "filled: 1 part, 2 pieces, 5 placed on 1 sheet, 3 of them extra in free area\n..."
    ]);
}

#[test]
fn exit_codes_tell_a_finding_from_wrong_use() {
    let folder = shop();
    let text = format!("{HEAD}{}", part("tabb", "ear"));
    fs::write(folder.path().join("stopped.toml"), text).unwrap();
    for (arguments, code) in [
        (&["check", "cart.toml"][..], 0),
        (&["check", "stopped.toml"], 1),
        (&["make", "stopped.toml"], 1),
        (&["part", "tab", "reach=5 deg"], 1),
        (&["part", "tabb"], 1),
        (&["part", "tab", "reach"], 2),
        (&["part", "missing.toml"], 2),
        (&["make"], 2),
        (&["mkae", "cart.toml"], 2),
        (&["make", "cart.toml", "--outt", "x"], 2),
        (&["make", "missing.toml"], 2),
        (&["recipes", "missing.toml"], 2),
        (&["new", "missing"], 2),
        (&["schema", "parts"], 2),
    ] {
        let before = tree(folder.path());
        let assert = run(folder.path(), arguments).code(code);
        if code > 0 {
            assert!(!stderr(&assert.stdout_eq("")).is_empty(), "{arguments:?} says nothing");
            assert_eq!(tree(folder.path()), before, "{arguments:?} left something behind");
        }
    }
}

#[test]
fn a_finding_is_drawn_on_standard_error() {
    let folder = shop();
    let text = format!("{HEAD}{}given = {{ reach = \"30\" }}\n", part("tab", "ear"));
    fs::write(folder.path().join("unit.toml"), text).unwrap();
    run(folder.path(), &["make", "unit.toml"]).code(1).stdout_eq("").stderr_eq(str![[r#"
stop[wrong-unit]: `reach` is a length, but this is a plain number
  --> unit.toml:13:20
   |
11 | name = "ear"
   |         --- in this part
12 | sheet = "S235 4 mm"
13 | given = { reach = "30" }
   |                    ^^
   |
   = help: write `"30 mm"` or `"30 in"` there

stopped: 1 stop, 0 cautions; nothing was written

"#]]);
}

#[test]
fn a_job_that_cannot_be_read_is_named_with_the_reason() {
    let folder = TempDir::new().unwrap();
    let job = folder.path().join("job.toml");
    let fails = |words: &str| {
        let assert = run(folder.path(), &["make", "job.toml"]).code(2).stdout_eq("");
        let said = stderr(&assert);
        assert!(said.starts_with("error: cannot read job.toml"), "{said}");
        assert!(said.contains(words), "{said}");
        assert_eq!(said.lines().count(), 1, "{said}");
        assert!(!folder.path().join("out").exists(), "a folder was left behind");
    };
    fails("");
    fs::write(&job, b"about = \"\xff\"").unwrap();
    fails("byte 9 is not UTF-8");
    let bytes: Vec<u8> =
        (0..100_000_u32).map(|i| (i.wrapping_mul(2_654_435_761) >> 13) as u8).collect();
    fs::write(&job, bytes).unwrap();
    fails("is not UTF-8");
    fs::write(&job, vec![b' '; 17 << 20]).unwrap();
    fails("a job or recipe has at most");
    fs::remove_file(&job).unwrap();
    fs::create_dir(&job).unwrap();
    fails("");
}

#[test]
fn a_file_in_place_of_the_out_folder_is_left_alone() {
    let folder = shop();
    fs::write(folder.path().join("out"), "mine").unwrap();
    let before = tree(folder.path());
    let assert = run(folder.path(), &["make", "cart.toml"]).code(2).stdout_eq("");
    let said = stderr(&assert);
    assert!(said.contains("cannot write to out/cart") && said.contains("--out DIR"), "{said}");
    assert_eq!(tree(folder.path()), before);
}

/// Whatever of the user's lies in the way stops the run before anything is changed.
#[test]
fn what_is_not_ours_is_never_overwritten() {
    for (file, text) in [
        ("flats/ear.dxf", "mine"),
        ("report.json", "{}"),
        ("flats", "a file where a folder is needed"),
        ("files.sha256", "0000  flats/mine.dxf\n"),
    ] {
        let folder = shop();
        let out = folder.path().join("out/cart");
        fs::create_dir_all(out.join(file).parent().unwrap()).unwrap();
        fs::write(out.join(file), text).unwrap();
        let before = tree(folder.path());
        let assert = run(folder.path(), &["make", "cart.toml"]).code(2).stdout_eq("");
        let said = stderr(&assert);
        assert!(said.contains("not written by platewright"), "{file}: {said}");
        assert!(said.contains("nothing was written"), "{file}: {said}");
        assert_eq!(tree(folder.path()), before, "{file}");
    }
    let folder = shop();
    fs::create_dir_all(folder.path().join("out/cart/flats/ear.dxf")).unwrap();
    let before = tree(folder.path());
    run(folder.path(), &["make", "cart.toml"]).code(2);
    assert_eq!(tree(folder.path()), before, "a folder where a file is needed");
}

#[test]
fn a_file_that_was_edited_after_a_run_is_not_overwritten() {
    let folder = shop();
    run(folder.path(), &["make", "cart.toml"]).code(0);
    let out = folder.path().join("out/cart");
    let edited = out.join("flats/ear.svg");
    fs::write(&edited, "<svg/>").unwrap();
    let text = fs::read_to_string(folder.path().join("cart.toml")).unwrap();
    let changed = text.replace("\"ear\"", "\"ear\"\ngiven = { reach = \"40 mm\" }");
    fs::write(folder.path().join("cart.toml"), changed).unwrap();
    let before = tree(folder.path());
    let assert = run(folder.path(), &["make", "cart.toml"]).code(2).stdout_eq("");
    assert!(stderr(&assert).contains("ear.svg"), "{}", stderr(&assert));
    assert_eq!(tree(folder.path()), before);
    fs::remove_file(edited).unwrap();
    run(folder.path(), &["make", "cart.toml"]).code(0);
    let after = tree(folder.path());
    assert_ne!(after["out/cart/flats/ear.dxf"], before["out/cart/flats/ear.dxf"]);
    assert_eq!(after["out/cart/flats/brace.dxf"], before["out/cart/flats/brace.dxf"]);
}

#[test]
fn files_of_parts_that_are_gone_are_taken_away_unless_they_were_changed() {
    let folder = shop();
    run(folder.path(), &["make", "cart.toml"]).code(0);
    let out = folder.path().join("out/cart");
    fs::write(out.join("flats/brace.svg"), "<svg/>").unwrap();
    fs::write(out.join("flats/own.dxf"), "mine").unwrap();
    fs::write(folder.path().join("cart.toml"), format!("{HEAD}{}", part("tab", "ear"))).unwrap();
    run(folder.path(), &["make", "cart.toml"]).code(0);
    let left = names(&out);
    assert!(!left.contains(&"flats/brace.dxf".to_owned()), "{left:?}");
    for kept in ["flats/brace.svg", "flats/own.dxf", "flats/ear.dxf", "flats/ear.svg"] {
        assert!(left.contains(&kept.to_owned()), "{kept} is gone: {left:?}");
    }
    let list = fs::read_to_string(out.join("files.sha256")).unwrap();
    assert!(!list.contains("brace"), "{list}");
}

#[test]
fn a_second_run_gives_the_same_bytes() {
    let folder = shop();
    let made = || {
        let printed = stdout(&run(folder.path(), &["make", "cart.toml"]).code(0));
        (printed, tree(folder.path()))
    };
    let first = made();
    assert!(first.1.len() > 10, "{} files", first.1.len());
    // Only the terminal says that nothing changed.
    let [nothing, unchanged] = ["nothing to compare with", "unchanged since the last make"];
    assert!(first.0.contains(nothing), "{}", first.0);
    assert_eq!(made(), (first.0.replace(nothing, unchanged), first.1));
}

#[test]
fn one_thread_and_three_give_the_same_bytes() {
    let folder = TempDir::new().unwrap();
    let made = |threads: &str| {
        let out = format!("threads-{threads}");
        let command = platewright(folder.path()).args(["make", demo::JOB, "--out", &out]);
        let command = command.env("RAYON_NUM_THREADS", threads);
        let printed = stdout(&command.assert().code(0)).replace(&out, "OUT");
        (printed, tree(&folder.path().join(out)))
    };
    let one = made("1");
    assert!(one.1.len() > 40, "{} files", one.1.len());
    assert_eq!(made("3"), one);
}

#[test]
fn own_recipes_and_tables_stand_over_the_shipped_ones_and_that_is_said() {
    let folder = shop();
    run(folder.path(), &["make", "cart.toml", "--out", "shipped"]).code(0).stderr_eq("");
    let own = "about = \"Own tab\"\n[face.plate]\nblank = [ { add = \"disc\", radius = \"20 mm\" } ]\n\
        holes = [ { name = \"eye\", diameter = \"clearance(row('bolt', 'M8'), 'normal')\" } ]\n";
    fs::create_dir(folder.path().join("recipes")).unwrap();
    fs::write(folder.path().join("recipes/tab.toml"), own).unwrap();
    fs::create_dir(folder.path().join("tables")).unwrap();
    fs::write(folder.path().join("tables/bolt.csv"), "name,normal\nM8,9.9 mm\n").unwrap();
    let assert = run(folder.path(), &["make", "cart.toml", "--out", "own"]).code(0);
    assert.stderr_eq(str![[r#"
note: row `M8` of [..]tables[..]bolt.csv overrides the shipped row
note: recipe `tab` from [..]recipes[..]tab.toml overrides the shipped recipe

"#]]);
    let after = tree(folder.path());
    assert_ne!(after["shipped/flats/ear.dxf"], after["own/flats/ear.dxf"]);
    assert_eq!(after["shipped/flats/brace.dxf"], after["own/flats/brace.dxf"]);
    let flat = String::from_utf8(after["own/flats/ear.dxf"].clone().unwrap()).unwrap();
    assert!(flat.contains("4.95"), "half of 9.9 mm is no radius in it");
}

#[test]
fn a_bad_table_beside_the_job_is_drawn_with_its_place() {
    let folder = shop();
    fs::create_dir(folder.path().join("tables")).unwrap();
    fs::write(folder.path().join("tables/bolt.csv"), "name,normal\nM8,9.9 mmm\n").unwrap();
    let assert = run(folder.path(), &["make", "cart.toml"]).code(1).stdout_eq("");
    let said = stderr(&assert);
    for wanted in ["stop[table]", "bolt.csv:2:4", "`mmm` is not a unit", "write `mm`"] {
        assert!(said.contains(wanted), "{wanted} is missing in\n{said}");
    }
    assert!(!folder.path().join("out").exists());
}

#[test]
fn one_part_is_made_from_the_command_line() {
    let folder = TempDir::new().unwrap();
    let values = ["part", "tab", "bolt=M6", "reach=40 mm", "--thickness", "3 mm", "--out", "x"];
    run(folder.path(), &values).code(0).stderr_eq("").stdout_eq(str![[r#"
tab: 30 mm × [..] mm, 1 hole, cut length [..] m
x/flats/tab.dxf
x/flats/tab.svg
x/drawings/tab.pdf
x/drawings/tab.svg
x/templates/tab.pdf

"#]]);
    let before = tree(folder.path());
    run(folder.path(), &["part", "angle", "--out", "x"]).code(0);
    let after = tree(folder.path());
    assert_eq!(after["x/flats/tab.dxf"], before["x/flats/tab.dxf"], "another part stays");
    assert!(after.contains_key("x/flats/angle.dxf"));
    run(folder.path(), &["part", "tab", "--out", "x"]).code(0);
    assert_ne!(tree(folder.path())["x/flats/tab.dxf"], before["x/flats/tab.dxf"], "made anew");
}

#[test]
fn a_wrong_value_points_into_the_command_line() {
    let folder = TempDir::new().unwrap();
    run(folder.path(), &["part", "tab", "bolt=M8", "reach=3 mm"]).code(1).stdout_eq("").stderr_eq(
        str![[r#"
stop[out-of-range]: `reach` is 3 mm, but must be at least 5 mm
  --> command line:[..]
...
[..]reach = "3 mm"
...
   = help: write `reach = "5 mm"`

stopped: 1 stop, 0 cautions; nothing was written

"#]],
    );
    run(folder.path(), &["part", "tab", "--material", "S253"]).code(1).stdout_eq("").stderr_eq(
        str![[r#"
stop[unknown-row]: there is no material `S253`
 --> command line:7:13
  |
7 | material = "S253"
  |             ^^^^
  |
  = help: write `S235`

stopped: 1 stop, 0 cautions; nothing was written

"#]],
    );
    let quoted = run(folder.path(), &["part", "tab", "reach=3\" \n[x]"]).code(1);
    assert!(!stderr(&quoted).contains("not-toml"), "{}", stderr(&quoted));
    assert!(names(folder.path()).is_empty());
}

#[test]
fn recipes_tables_and_checks_are_listed() {
    let folder = TempDir::new().unwrap();
    let printed = |arguments: &[&str]| stdout(&run(folder.path(), arguments).code(0).stderr_eq(""));
    let recipes = printed(&["recipes"]);
    for name in ["tab", "gusset", "end-cap", "clevis-plates", "angle"] {
        assert!(recipes.lines().any(|l| l.starts_with(name)), "{name}: {recipes}");
    }
    let tab = printed(&["recipes", "tab"]);
    assert!(tab.starts_with("tab: Mounting tab"), "{tab}");
    for input in ["bolt", "reach", "foot", "tube", "angle"] {
        assert!(tab.lines().any(|l| l.starts_with(input)), "{input}: {tab}");
    }
    assert!(tab.contains("min 20 deg max 90 deg"), "{tab}");
    let tables = printed(&["tables"]);
    assert!(tables.lines().any(|l| l.starts_with("rod-end")), "{tables}");
    let bolts = printed(&["tables", "bolt"]);
    let m8 = bolts.lines().find(|l| l.starts_with("M8 ")).unwrap();
    assert!(m8.contains("9 mm") && m8.contains("ISO"), "{m8}");
    let metals = printed(&["tables", "material"]);
    let row = metals.lines().find(|l| l.starts_with("304 ")).unwrap();
    assert!(row.contains("1.4301; X5CrNi18-10") && row.contains("EN 1993-1-4 table 2.1"), "{row}");
    let blank = printed(&["tables", "rod-end", "--add"]);
    assert!(blank.contains("# field ball_width: width of the ball"), "{blank}");
    assert!(blank.contains("\nname, bore, ball_width, ") && blank.contains("\nNAME, "), "{blank}");
    let checks = printed(&["explain"]);
    assert!(checks.lines().any(|l| l.starts_with("hole-bend")), "{checks}");
    let check = printed(&["explain", "hole-bend"]);
    for heading in ["# Looks for", "# Why it matters", "# Example", "# Remedy", "# Source"] {
        assert!(check.contains(heading), "{check}");
    }
    assert!(names(folder.path()).is_empty(), "listing writes nothing");
}

#[test]
fn the_output_of_new_and_schema_can_be_used() {
    let folder = TempDir::new().unwrap();
    let job = stdout(&run(folder.path(), &["new", "tab"]).code(0).stderr_eq(""));
    run(folder.path(), &["new", "job"]).code(0).stderr_eq("").stdout_eq(&job);
    fs::write(folder.path().join("start.toml"), job).unwrap();
    run(folder.path(), &["make", "start.toml"]).code(0).stderr_eq("");
    let copy = stdout(&run(folder.path(), &["new", "tab", "--copy"]).code(0).stderr_eq(""));
    fs::write(folder.path().join("own.toml"), copy).unwrap();
    run(folder.path(), &["part", "own.toml", "--out", "x"]).code(0).stderr_eq("");
    for of in ["recipe", "job"] {
        let schema = stdout(&run(folder.path(), &["schema", of]).code(0).stderr_eq(""));
        assert!(serde_json::from_str::<serde_json::Value>(&schema).unwrap().is_object());
    }
    run(folder.path(), &["recipes", "tab", "--picture", "tab.svg"]).code(0).stderr_eq("");
    let picture = fs::read_to_string(folder.path().join("tab.svg")).unwrap();
    assert!(picture.contains("<svg"), "{picture}");
}

#[test]
fn unknown_names_offer_the_nearest() {
    let folder = TempDir::new().unwrap();
    for (arguments, wanted) in [
        (["recipes", "gussett"], "did you mean `gusset`?"),
        (["new", "gussett"], "did you mean `gusset`?"),
        (["tables", "blot"], "did you mean `bolt`?"),
        (["explain", "hole-bnd"], "did you mean `hole-bend`?"),
        (["explain", "colour"], "choose from process-limits, thread-name, "),
        (["part", "gussett"], "write `gusset`"),
        (["mkae", "x"], "make"),
    ] {
        let assert = run(folder.path(), &arguments).stdout_eq("");
        let said = stderr(&assert);
        assert_ne!(assert.get_output().status.code(), Some(0), "{arguments:?}");
        assert!(said.contains(wanted), "{arguments:?}: {said}");
    }
}

#[test]
fn colours_are_kept_out_of_pipes() {
    let folder = shop();
    let text = format!("{HEAD}{}", part("tabb", "ear"));
    fs::write(folder.path().join("stopped.toml"), text).unwrap();
    let assert = run(folder.path(), &["make", "stopped.toml"]).code(1);
    assert!(!stderr(&assert).contains('\u{1b}'));
}

#[test]
fn ones_own_recipe_that_cannot_be_read_is_not_replaced_by_the_shipped_one() {
    let folder = shop();
    fs::write(folder.path().join("tab.toml"), b"about = \"\xe4\"\n").unwrap();
    let assert = run(folder.path(), &["make", "cart.toml"]).code(2).stdout_eq("");
    assert!(stderr(&assert).contains("tab.toml"), "{}", stderr(&assert));
    // An empty one is none yet: `new tab --copy > tab.toml` finds the shipped one.
    fs::write(folder.path().join("tab.toml"), "").unwrap();
    run(folder.path(), &["make", "cart.toml"]).code(0);
}

#[test]
fn a_job_called_like_its_recipe_is_not_taken_for_it() {
    let folder = shop();
    fs::rename(folder.path().join("cart.toml"), folder.path().join("tab.toml")).unwrap();
    run(folder.path(), &["make", "tab.toml"]).code(0);
}

#[test]
fn a_recipe_given_as_a_file_is_that_file() {
    let disc = |radius: u32| {
        format!(
            "about = \"disc\"\n[face.plate]\nblank = [ {{ add = \"disc\", radius = \"{radius} mm\" }} ]\n"
        )
    };
    let folder = TempDir::new().unwrap();
    fs::create_dir(folder.path().join("recipes")).unwrap();
    fs::write(folder.path().join("link.toml"), disc(30)).unwrap();
    fs::write(folder.path().join("recipes/link.toml"), disc(10)).unwrap();
    let assert = run(folder.path(), &["part", "link.toml"]).code(0);
    assert!(stdout(&assert).contains("60 mm × 60 mm"), "{}", stdout(&assert));
    let assert = run(folder.path(), &["part", "link"]).code(0);
    assert!(stdout(&assert).contains("20 mm × 20 mm"), "{}", stdout(&assert));
}

#[test]
fn pieces_without_a_place_are_said_and_are_no_success() {
    let folder = TempDir::new().unwrap();
    let text = format!("{HEAD}{}", part("tab", "ear")).replace("size = [", "count = 1, size = [");
    let text = text.replace("name = \"ear\"", "name = \"ear\"\nquantity = 900");
    fs::write(folder.path().join("cart.toml"), text).unwrap();
    let assert = run(folder.path(), &["make", "cart.toml"]).code(1);
    assert!(stdout(&assert).contains("COULD NOT BE PLACED"), "{}", stdout(&assert));
    let assert = run(folder.path(), &["check", "cart.toml"]).code(1);
    assert!(stderr(&assert).contains("sheets-used-up"), "{}", stderr(&assert));
}

#[test]
fn a_hidden_folder_of_the_users_stays() {
    let folder = shop();
    let mine = folder.path().join("out/cart/.writing/mine.txt");
    fs::create_dir_all(mine.parent().unwrap()).unwrap();
    fs::write(&mine, "mine").unwrap();
    run(folder.path(), &["make", "cart.toml"]).code(0);
    assert_eq!(fs::read_to_string(mine).unwrap(), "mine");
}

#[test]
fn a_name_with_two_points_is_ours_the_next_time_as_well() {
    let folder = TempDir::new().unwrap();
    run(folder.path(), &["part", "tab", "--name", "a..b"]).code(0);
    run(folder.path(), &["part", "tab", "reach=40 mm", "--name", "a..b"]).code(0);
}

#[test]
fn old_readers_get_flats_whose_names_say_their_units() {
    let folder = shop();
    run(folder.path(), &["make", "cart.toml", "--r12"]).code(0);
    let old = fs::read_to_string(folder.path().join("out/cart/r12/ear-mm.dxf")).unwrap();
    assert!(old.contains("AC1009"), "{}", &old[..200]);
    run(folder.path(), &["make", "cart.toml"]).code(0);
    assert!(!folder.path().join("out/cart/r12/ear-mm.dxf").exists(), "no longer asked for");
}

#[test]
fn a_strip_is_made_and_its_measures_become_a_row_of_the_shop() {
    let folder = TempDir::new().unwrap();
    run(folder.path(), &["calibrate", "--v", "32 mm"]).code(0);
    let strip = fs::read_to_string(folder.path().join("out/parts/flats/test-strip.svg")).unwrap();
    assert!(strip.contains("<svg"));
    fs::write(folder.path().join("shop.toml"), "about = \"ours\"").unwrap();
    let measures = ["--v", "40 mm", "--legs", "54.2 mm", "54.1 mm", "--blank", "100 mm"];
    let given = ["--radius", "5.5 mm", "--into", "shop.toml"];
    let arguments: Vec<&str> =
        ["calibrate"].iter().chain(&measures).chain(&given).copied().collect();
    let assert = run(folder.path(), &arguments).code(0);
    let row = stdout(&assert);
    assert!(row.contains("deduction = \"8.3 mm\""), "{row}");
    assert!(stderr(&assert).contains("K-factor 0.328"), "{}", stderr(&assert));
    let shop = fs::read_to_string(folder.path().join("shop.toml")).unwrap();
    assert_eq!(shop, format!("about = \"ours\"\n\n{row}"));
    let again = run(folder.path(), &arguments).code(2);
    assert!(stderr(&again).contains("remove it first"), "{}", stderr(&again));
    assert_eq!(fs::read_to_string(folder.path().join("shop.toml")).unwrap(), shop);
}

#[test]
fn measures_that_no_bend_leaves_are_refused() {
    let folder = TempDir::new().unwrap();
    let arguments = ["calibrate", "--v", "40 mm", "--legs", "49 mm", "50 mm", "--blank", "100 mm"];
    let assert = run(folder.path(), &arguments).code(2).stdout_eq("");
    assert!(stderr(&assert).contains("are not possible"), "{}", stderr(&assert));
    let half = run(folder.path(), &["calibrate", "--v", "40 mm", "--blank", "100 mm"]);
    half.code(2);
}

/// The name of a face becomes that of a file where a set has several plates.
#[test]
fn a_face_whose_name_leads_elsewhere_writes_no_file() {
    let folder = TempDir::new().unwrap();
    let file = |name: &str, text: &str| fs::write(folder.path().join(name), text).unwrap();
    file("MINE.dxf", "mine");
    file("job.toml", &format!("{HEAD}{}", part("rec", "p")));
    file(
        "rec.toml",
        "about = \"x\"\n[face.plate]\nblank = [ { add = \"disc\", radius = \"40 mm\" } ]\n\
         [face.\"/../../../../MINE\"]\npieces = 1\n\
         blank = [ { add = \"disc\", radius = \"30 mm\" } ]\n",
    );
    let before = tree(folder.path());
    let made = run(folder.path(), &["make", "job.toml", "--out", "out/job"]).code(1);
    assert!(stderr(&made).contains("stop[bad-name]"), "{}", stderr(&made));
    assert_eq!(tree(folder.path()), before);
}

/// A part from a job of another folder is never drawn by a different recipe or table.
#[test]
fn a_part_from_another_folder_is_never_drawn_by_another_recipe() {
    let folder = TempDir::new().unwrap();
    let file = |name: &str, text: &str| {
        let path = folder.path().join(name);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, text).unwrap();
    };
    let disc = |radius: &str| {
        format!(
            "about = \"x\"\n[face.plate]\n\
             blank = [ {{ add = \"disc\", radius = \"{radius} mm\" }} ]\n"
        )
    };
    file("j.toml", &format!("{HEAD}\n[[part]]\nfrom = \"sub/other.toml#p\"\n"));
    file("sub/other.toml", &format!("{HEAD}\n[[part]]\nfrom = \"third.toml#p\"\n"));
    file("sub/third.toml", &format!("{HEAD}{}", part("tab", "p")));
    // A shipped recipe is one and the same, and files are named as seen from where they are named.
    run(folder.path(), &["check", "j.toml"]).code(0);
    let refused = |what: &str| {
        let text = stderr(&run(folder.path(), &["check", "j.toml"]).code(1));
        assert!(text.contains("stop[other-folder]") && text.contains(what), "{text}");
    };
    for own in ["sub/tab.toml", "sub/recipes/tab.toml", "tab.toml"] {
        file(own, &disc("30"));
        refused(own);
        fs::remove_file(folder.path().join(own)).unwrap();
    }
    // Both have one.
    file("tab.toml", &disc("30"));
    file("sub/tab.toml", &disc("40"));
    refused("sub/tab.toml");
    fs::remove_file(folder.path().join("tab.toml")).unwrap();
    fs::remove_file(folder.path().join("sub/tab.toml")).unwrap();
    file("sub/tables/bolt-grade.csv", "name,source\n");
    refused("sub/tables/bolt-grade.csv");
}

/// A file whose name is nearly that of a table adds to none: that is said.
#[test]
fn a_table_whose_name_is_misspelt_is_said() {
    let folder = shop();
    fs::create_dir(folder.path().join("tables")).unwrap();
    fs::write(folder.path().join("tables/matrial.csv"), "name,metal\nX1,steel\n").unwrap();
    let said = stderr(&run(folder.path(), &["make", "cart.toml"]).code(0));
    assert!(said.contains("no shipped table is called `matrial`"), "{said}");
    assert!(said.contains("for rows of `material` call it tables/material.csv"), "{said}");
}

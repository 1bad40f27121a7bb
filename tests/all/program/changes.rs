//! A job that is changed and made again: letters of issues, differences, orders sent.

use crate::runs::done;
use crate::runs::run;
use platewright::history::Made;
use std::fs;
use std::path::Path;
use std::process::Command;
use tempfile::TempDir;

/// Two plates and a bent part.
const JOB: &str = r#"
process = "laser"
sheet = [ { name = "S235 4 mm", material = "S235", thickness = "4 mm", stock = [ { size = ["500 mm", "400 mm"] } ] } ]
part = [
  { recipe = "tab", name = "ear", quantity = 2, sheet = "S235 4 mm" },
  { recipe = "gusset", name = "brace", sheet = "S235 4 mm" },
  { recipe = "angle", name = "bracket", sheet = "S235 4 mm" },
]
"#;

fn write(folder: &Path, job: &str) {
    fs::write(folder.join("cart.toml"), job).unwrap();
}

fn shop() -> TempDir {
    let folder = TempDir::new().unwrap();
    write(folder.path(), JOB);
    folder
}

/// Makes the job, without a search.
fn make(folder: &Path) -> String {
    done(folder, &["make", "cart.toml", "--effort", "0"])
}

fn changes(folder: &Path, more: &[&str]) -> String {
    done(folder, &[&["changes", "cart.toml", "--effort", "0"], more].concat())
}

fn report(folder: &Path) -> serde_json::Value {
    let text = fs::read_to_string(folder.join("out/cart/report.json")).unwrap();
    serde_json::from_str(&text).unwrap()
}

/// Issue and short hash of a part in the report.
fn issue(folder: &Path, part: &str) -> (String, String) {
    let report = report(folder);
    let row = report["parts"].as_array().unwrap().iter().find(|row| row["name"] == part).unwrap();
    let text = |key: &str| row[key].as_str().unwrap().to_owned();
    (text("issue"), text("geometry"))
}

/// The job with the ears longer by the value of their reach.
fn reach(mm: &str) -> String {
    JOB.replace("name = \"ear\",", &format!("name = \"ear\", given = {{ reach = \"{mm}\" }},"))
}

#[test]
fn a_changed_part_has_the_next_letter_everywhere_and_the_others_keep_theirs() {
    let folder = shop();
    let path = folder.path();
    let said = make(path);
    assert!(said.contains("changes: nothing to compare with"), "{said}");
    let first = issue(path, "ear");
    assert_eq!(first.0, "A");
    write(path, &reach("32 mm"));
    let said = make(path);
    assert!(said.contains("1 part to remake from a new blank, 2 unchanged"), "{said}");
    let second = issue(path, "ear");
    assert_eq!((second.0.as_str(), issue(path, "brace").0.as_str()), ("B", "A"));
    assert_ne!(first.1, second.1);
    let both = format!("B · {}", second.1);
    let read = |name: &str| fs::read_to_string(path.join("out/cart").join(name)).unwrap();
    assert!(read("drawings/ear.svg").contains(&both));
    assert!(read("report.html").contains(&both));
    let row = format!("ear,B,{},tab", second.1);
    assert!(read("parts.csv").contains(&row), "{}", read("parts.csv"));
    // In the order: its list and its read-me.
    let zip = fs::File::open(path.join("out/cart/order/S235-4mm.zip")).unwrap();
    let mut zip = zip::ZipArchive::new(zip).unwrap();
    let mut inside = |name: &str| {
        std::io::read_to_string(zip.by_name(&format!("S235-4mm/{name}")).unwrap()).unwrap()
    };
    assert!(inside("list.csv").contains(&format!("ear,B,{},2", second.1)));
    assert!(inside("read-me.txt").contains(&format!("ear: {both}")));
    // Going back is a change as well: the former B must not look newer.
    write(path, JOB);
    make(path);
    assert_eq!(issue(path, "ear"), ("C".to_owned(), first.1));
}

#[test]
fn making_again_what_was_made_gives_the_same_bytes_and_keeps_what_had_changed() {
    let folder = shop();
    let path = folder.path();
    let all = || {
        let list = fs::read(path.join("out/cart/files.sha256")).unwrap();
        (list, fs::read(path.join("out/cart/report.html")).unwrap())
    };
    make(path);
    let first = all();
    make(path);
    assert_eq!(all(), first);
    write(path, &reach("32 mm"));
    make(path);
    let second = all();
    assert_ne!(second.0, first.0);
    make(path);
    assert_eq!(all(), second);
    assert_eq!(report(path)["changes"]["parts"][0]["verdict"], "cut-again");
}

/// Each change alone, and its messages.
#[test]
fn changes_are_listed_by_part_in_shop_words() {
    let folder = shop();
    let path = folder.path();
    make(path);
    let said = changes(path, &[]);
    assert!(said.contains("out/cart: 3 parts unchanged\n"), "{said}");
    let given = |part: &str, given: &str| {
        JOB.replace(
            &format!("name = \"{part}\","),
            &format!("name = \"{part}\", given = {{ {given} }},"),
        )
    };
    let cases: [(String, &[&str]); 8] = [
        (
            reach("32 mm"),
            &[
                "ear: remake from a new blank: 2 pieces (issue A · ",
                "outline differs by 2 mm near",
                "moved by X",
            ],
        ),
        (
            given("ear", "bolt = \"M10\""),
            &[
                "ear: remake from a new blank",
                "hole `eye` at (",
                "is 11 mm instead of 9 mm",
                "hardware: bolt M10",
            ],
        ),
        (
            JOB.replace("quantity = 2", "quantity = 5"),
            &["ear: 3 more pieces of the same part (issue A"],
        ),
        (
            JOB.replace("quantity = 2", "quantity = 1"),
            &["ear: 1 fewer piece of the same part (issue A"],
        ),
        (
            JOB.replace("name = \"ear\"", "name = \"lug\""),
            &["3 parts unchanged", "lug: unchanged", "renamed from `ear`"],
        ),
        (
            JOB.lines().filter(|line| !line.contains("brace")).collect::<Vec<_>>().join("\n"),
            &["brace: no longer made (issue A"],
        ),
        (
            JOB.replace("\"S235\", thickness = \"4 mm\"", "\"A36\", thickness = \"4 mm\""),
            &["brace: remake from a new blank: 1 piece", "material S235 → A36"],
        ),
        (
            JOB.replace("thickness = \"4 mm\"", "thickness = \"5 mm\""),
            &["brace: remake from a new blank: 1 piece", "thickness 4 mm → 5 mm"],
        ),
    ];
    for (job, wanted) in cases {
        write(path, &job);
        let said = changes(path, &[]);
        for words in wanted {
            assert!(said.contains(words), "{words} is not said: {said}");
        }
    }
    assert_eq!(issue(path, "ear").0, "A", "`changes` writes nothing");
}

/// The drawing has the welds: two prints that differ in them alone are two issues.
#[test]
fn a_part_whose_weld_alone_changes_has_the_next_letter_and_another_hash() {
    let folder = shop();
    let path = folder.path();
    make(path);
    let first = issue(path, "ear");
    let weld = |leg: &str| {
        JOB.replace("name = \"ear\",", &format!("name = \"ear\", given = {{ weld = \"{leg}\" }},"))
    };
    write(path, &weld("2.5 mm"));
    let said = make(path);
    let wanted = "1 part to finish to the new drawing, 2 unchanged";
    assert!(said.contains(wanted), "{said}");
    let second = issue(path, "ear");
    assert_eq!((first.0.as_str(), second.0.as_str()), ("A", "B"));
    assert_ne!(first.1, second.1);
    let flat = |name: &str| fs::read(path.join("out/cart/flats").join(name)).unwrap();
    let before = flat("ear.dxf");
    make(path);
    assert_eq!(issue(path, "ear"), second, "made again, it is the same issue");
    assert_eq!(flat("ear.dxf"), before);
    write(path, &weld("3 mm"));
    let said = changes(path, &[]);
    assert!(said.contains("ear: finish to the new drawing: 2 pieces; flats and bends"), "{said}");
    assert!(said.contains("no longer: weld plate.foot: ") && said.contains("leg 3 mm"), "{said}");
}

#[test]
fn a_folder_that_was_deleted_leaves_nothing_to_compare_with() {
    let folder = shop();
    let path = folder.path();
    make(path);
    write(path, &reach("32 mm"));
    fs::remove_dir_all(path.join("out")).unwrap();
    assert!(
        changes(path, &[]).contains("nothing to compare with: nothing has been made in out/cart")
    );
    // Nothing is solved for that, even in a job that cannot be made.
    write(path, "process = \"laser\"\npart = [ { recipe = \"none\" } ]\n");
    assert!(
        changes(path, &[]).contains("nothing to compare with: nothing has been made in out/cart")
    );
    let (code, said) = run(path, &["changes", "cork.toml"]);
    assert!(code == Some(2) && said.contains("cannot read cork.toml"), "{said}");
    write(path, &reach("32 mm"));
    assert!(make(path).contains("changes: nothing to compare with"));
    assert!(make(path).contains("changes: unchanged since the last make"));
    assert!(report(path).get("changes").is_none());
    assert_eq!(issue(path, "ear").0, "A");
}

/// The job's own issue replaces the letters, which continue behind it.
#[test]
fn the_jobs_own_issue_takes_the_place_of_letters() {
    let folder = shop();
    let path = folder.path();
    make(path);
    write(path, &format!("issue = \"2\"\n{}", reach("32 mm")));
    make(path);
    let (own, hash) = issue(path, "ear");
    assert_eq!(own, "2");
    let drawing = fs::read_to_string(path.join("out/cart/drawings/ear.svg")).unwrap();
    assert!(drawing.contains(&format!("2 · {hash}")));
    write(path, &reach("32 mm"));
    make(path);
    assert_eq!(issue(path, "ear"), ("B".to_owned(), hash));
}

#[test]
fn what_was_made_last_is_never_taken_for_whole_when_it_is_not() {
    let folder = shop();
    let path = folder.path();
    make(path);
    let file = path.join("out/cart/made.toml");
    let text = fs::read_to_string(&file).unwrap();
    assert_eq!(Made::read(&text).unwrap().now.part.len(), 3);
    fs::write(&file, &text[..text.len() / 2]).unwrap();
    for command in [&["make", "cart.toml"][..], &["changes", "cart.toml"]] {
        let (code, said) = run(path, command);
        assert_eq!(code, Some(2), "{said}");
        assert!(
            said.contains("cannot read out/cart/made.toml, from which the issue letters"),
            "{said}"
        );
        assert!(said.contains("nothing was written"), "{said}");
    }
    assert_eq!(fs::read_to_string(&file).unwrap(), text[..text.len() / 2]);
}

/// Spares have the letters of the whole job.
#[test]
fn what_is_made_alone_has_the_letter_it_has_in_the_job() {
    let folder = shop();
    let path = folder.path();
    make(path);
    write(path, &reach("32 mm"));
    make(path);
    done(path, &["make", "cart.toml", "--only", "ear=1", "--effort", "0"]);
    let drawing = fs::read_to_string(path.join("out/cart-only/drawings/ear.svg")).unwrap();
    assert!(drawing.contains(">B · "), "the letter of a spare");
    // Wherever it is made; and a letter given to a part alone is not given again by the whole job.
    let letter = |more: &[&str], folder: &str| {
        let quick = ["make", "cart.toml", "--effort", "0", "--no-drawings"];
        done(path, &[&quick[..], more].concat());
        let text = fs::read_to_string(path.join(folder).join("made.toml")).unwrap();
        Made::read(&text).unwrap().now.part[0].letter.clone()
    };
    assert_eq!(letter(&["--only", "ear=1", "--out", "spares"], "spares"), "B");
    write(path, &reach("34 mm"));
    assert_eq!(letter(&["--only", "ear=1"], "out/cart-only"), "C");
    write(path, &reach("36 mm"));
    assert_eq!(letter(&[], "out/cart"), "D");
}

/// The order, unpacked as it would come back. Spares that were made into a folder of any name have
/// had their letter as well.
#[test]
fn a_letter_given_in_a_folder_of_another_name_is_not_given_again() {
    let folder = shop();
    let path = folder.path();
    make(path);
    write(path, &reach("32 mm"));
    let spares = ["make", "cart.toml", "--only", "ear", "--out", "spares", "--effort", "0"];
    done(path, &spares);
    let listed = fs::read_to_string(path.join("spares/parts.csv")).unwrap();
    assert!(listed.contains("\near,B,"), "{listed}");
    write(path, &reach("33 mm"));
    make(path);
    assert_eq!(issue(path, "ear").0, "C");
    // Another job made there has its own letters.
    fs::write(path.join("trailer.toml"), reach("34 mm")).unwrap();
    done(path, &["make", "trailer.toml", "--effort", "0"]);
    let listed = fs::read_to_string(path.join("out/trailer/parts.csv")).unwrap();
    assert!(listed.contains("\near,A,"), "{listed}");
}

fn unpacked(folder: &Path, to: &str) {
    let bytes = fs::File::open(folder.join("out/cart/order/S235-4mm.zip")).unwrap();
    zip::ZipArchive::new(bytes).unwrap().extract(folder.join(to)).unwrap();
}

const SENT: [&str; 6] = ["sent", "cart.toml", "--to", "laser cutter", "--date", "2026-03-31"];

#[test]
fn what_was_sent_is_recorded_and_compared_with_after_later_changes() {
    let folder = shop();
    let path = folder.path();
    let (code, said) = run(path, &SENT);
    assert!(code == Some(2) && said.contains("nothing was made in out/cart"), "{said}");
    make(path);
    unpacked(path, "back");
    let said = done(path, &SENT);
    assert!(said.contains("recorded as no. 1, 2026-03-31, to laser cutter: 3 parts"), "{said}");
    assert!(said.contains("ear: 2 pieces, issue A · "), "{said}");
    write(path, &reach("32 mm").replace("quantity = 2", "quantity = 5"));
    make(path);
    make(path);
    for since in ["1", "laser cutter"] {
        let said = changes(path, &["--since", since]);
        assert!(said.contains("compared with what was sent, no. 1, 2026-03-31"), "{said}");
        assert!(said.contains("ear: remake from a new blank: 5 pieces (issue A · "), "{said}");
        assert!(said.contains("pieces 2 → 5"), "{said}");
    }
    let (code, said) = run(path, &["changes", "cart.toml", "--since", "3"]);
    assert!(
        code == Some(2) && said.contains("sent so far: no. 1, 2026-03-31, to laser cutter"),
        "{said}"
    );
    // The old files come back: they are as sent, and the job has moved on.
    let (code, said) = run(path, &["check", "cart.toml", "--against", "back"]);
    assert_eq!(code, Some(1), "{said}");
    let wanted = "ear_2x_S235_4mm.dxf: as sent as issue A (no. 1, 2026-03-31, to laser cutter); the job is at B: outline differs";
    assert!(said.contains(wanted), "{said}");
    assert!(said.contains("2 files as sent, 1 difference"), "{said}");
    // A second sending is added behind the first, which stays as it was.
    let first = fs::read_to_string(path.join("cart.sent.toml")).unwrap();
    done(path, &["sent", "cart.toml", "--to", "galvaniser", "--date", "2026-04-01"]);
    let second = fs::read_to_string(path.join("cart.sent.toml")).unwrap();
    assert!(second.starts_with(&first) && second.len() > first.len());
    // The letters continue from those sent when the folder is deleted.
    fs::remove_dir_all(path.join("out")).unwrap();
    write(path, &reach("33 mm"));
    make(path);
    assert_eq!(issue(path, "ear").0, "C");
}

/// Flats and sheets that come back are compared as well.
#[test]
fn flats_and_sheets_that_come_back_are_compared_with_the_job_and_with_what_was_sent() {
    let folder = shop();
    let path = folder.path();
    make(path);
    done(path, &SENT);
    for sub in ["flats", "sheets"] {
        fs::create_dir_all(path.join("back")).unwrap();
        for entry in fs::read_dir(path.join("out/cart").join(sub)).unwrap() {
            let file = entry.unwrap().path();
            if file.extension().is_some_and(|end| end == "dxf") {
                fs::copy(&file, path.join("back").join(file.file_name().unwrap())).unwrap();
            }
        }
        let files = fs::read_dir(path.join("back")).unwrap().count();
        let files = if files == 1 { "1 file".to_owned() } else { format!("{files} files") };
        write(path, JOB);
        let said = done(path, &["check", "cart.toml", "--against", "back"]);
        assert!(said.contains(&format!("{files} as sent, 0 differences")), "{sub}: {said}");
        write(path, &reach("32 mm"));
        let (code, said) = run(path, &["check", "cart.toml", "--against", "back"]);
        assert_eq!(code, Some(1), "{sub}: {said}");
        let wanted = match sub {
            "flats" => {
                "ear.dxf: as sent as issue A (no. 1, 2026-03-31, to laser cutter); the job is at B"
            }
            _ => {
                "is `ear` as sent as issue A (no. 1, 2026-03-31, to laser cutter), not as in the job now"
            }
        };
        assert!(said.contains(wanted), "{sub}: {said}");
        // More pieces than there is room for on the sheet.
        if sub == "sheets" {
            write(path, &JOB.replace("quantity = 2", "quantity = 3"));
            let (_, said) = run(path, &["check", "cart.toml", "--against", "back"]);
            assert!(said.contains("ear: 2 pieces on the sheets here, 3 in the job"), "{said}");
        }
        fs::remove_dir_all(path.join("back")).unwrap();
    }
}

#[test]
fn an_order_that_was_changed_is_not_recorded_as_sent_and_bad_words_are_refused() {
    let folder = shop();
    let path = folder.path();
    make(path);
    let zip = path.join("out/cart/order/S235-4mm.zip");
    let good = fs::read(&zip).unwrap();
    fs::write(&zip, b"other").unwrap();
    let (code, said) = run(path, &SENT);
    assert_eq!(code, Some(2), "{said}");
    assert!(
        said.contains("not as made: out/cart/order/S235-4mm.zip\nnothing was recorded"),
        "{said}"
    );
    fs::write(&zip, good).unwrap();
    for (to, date, words) in [
        (" ", "2026-03-31", "`--to` is a name"),
        ("12", "2026-03-31", "is a number"),
        ("a\nb", "2026-03-31", "on one line"),
        ("cutter", "31.3.2026", "is not a date"),
        ("cutter", "2026-02-29", "is not a date"),
    ] {
        let (code, said) = run(path, &["sent", "cart.toml", "--to", to, "--date", date]);
        assert!(code == Some(2) && said.contains(words), "{to} {date}: {said}");
    }
    assert!(!path.join("cart.sent.toml").exists());
}

#[test]
fn a_part_that_changed_under_the_same_own_issue_is_a_caution() {
    let folder = shop();
    let path = folder.path();
    let own = |job: &str, issue: &str| write(path, &format!("issue = \"{issue}\"\n{job}"));
    own(JOB, "2");
    make(path);
    let said = done(path, &SENT);
    assert!(said.contains("ear: 2 pieces, issue 2 · "), "{said}");
    assert!(!done(path, &["check", "cart.toml"]).contains("issue-not-raised"));
    own(&reach("32 mm"), "2");
    let said = done(path, &["check", "cart.toml"]);
    assert!(said.contains("`ear` has changed since it was sent as issue 2 (no. 1,"), "{said}");
    own(&reach("32 mm"), "3");
    assert!(!done(path, &["check", "cart.toml"]).contains("has changed since"));
}

#[test]
fn a_record_that_was_cut_short_is_refused_and_left_as_it_is() {
    let folder = shop();
    let path = folder.path();
    make(path);
    done(path, &SENT);
    done(path, &SENT);
    let record = path.join("cart.sent.toml");
    let text = fs::read_to_string(&record).unwrap();
    let cut = &text[..text.len() - 300];
    fs::write(&record, cut).unwrap();
    for command in
        [&SENT[..], &["make", "cart.toml"], &["changes", "cart.toml"], &["check", "cart.toml"]]
    {
        let (code, said) = run(path, command);
        assert_eq!(code, Some(2), "{command:?}: {said}");
        assert!(
            said.contains("cannot read cart.sent.toml, the record of what was sent: line "),
            "{said}"
        );
        assert!(said.contains("entry 2 has no end: the file is truncated"), "{said}");
        assert_eq!(fs::read_to_string(&record).unwrap(), cut, "{command:?}");
    }
}

/// Two at once are both recorded, in either order.
#[test]
fn sendings_at_the_same_time_are_all_recorded() {
    let folder = shop();
    let path = folder.path();
    make(path);
    let names = ["one cutter", "another cutter", "a third cutter", "a fourth cutter"];
    let runs = names.map(|to| {
        let mut program = Command::new(env!("CARGO_BIN_EXE_platewright"));
        program.current_dir(path).args(["sent", "cart.toml", "--to", to]).spawn().unwrap()
    });
    for mut run in runs {
        assert!(run.wait().unwrap().success());
    }
    let text = fs::read_to_string(path.join("cart.sent.toml")).unwrap();
    let record = platewright::history::Record::read(&text).unwrap();
    let mut to: Vec<&str> = record.sent.iter().map(|sent| sent.to.as_str()).collect();
    to.sort_unstable();
    assert_eq!(to, ["a fourth cutter", "a third cutter", "another cutter", "one cutter"]);
}

/// A file may grow to a number of kilobytes and no further.
#[cfg(unix)]
#[test]
fn a_full_disk_leaves_record_and_archive_as_they_were() {
    let folder = shop();
    let path = folder.path();
    make(path);
    done(path, &SENT);
    done(path, &["pack", "cart.toml"]);
    let files = ["cart.sent.toml", "cart.zip"].map(|name| path.join(name));
    let before = files.each_ref().map(|file| fs::read(file).unwrap());
    for command in [&SENT[..], &["pack", "cart.toml"]] {
        let script = "trap '' XFSZ; ulimit -f 1; exec \"$@\"";
        let run = Command::new("bash")
            .args(["-c", script, "bash", env!("CARGO_BIN_EXE_platewright")])
            .args(command)
            .current_dir(path)
            .output()
            .unwrap();
        let said = String::from_utf8_lossy(&run.stderr).into_owned();
        assert_eq!(run.status.code(), Some(2), "{command:?}: {said}");
        assert!(said.contains("nothing was ") && said.contains("cannot write"), "{said}");
        assert_eq!(files.each_ref().map(|file| fs::read(file).unwrap()), before, "{command:?}");
    }
    let names = fs::read_dir(path).unwrap().map(|e| e.unwrap().file_name().into_string().unwrap());
    let mut names: Vec<String> = names.collect();
    names.sort();
    assert_eq!(names, ["cart.sent.toml", "cart.toml", "cart.zip", "out"], "something was left");
}

const OWN: &str = "about = \"Plate from an outline file\"\n[face.plate]\n\
    blank = [ { add = \"outline\", file = \"plate.dxf\" } ]\n";

/// A job with a recipe, an outline file, a table row and a shop.
fn full_shop() -> TempDir {
    let folder = shop();
    let path = folder.path();
    make(path);
    fs::copy(path.join("out/cart/flats/brace.dxf"), path.join("plate.dxf")).unwrap();
    fs::remove_dir_all(path.join("out")).unwrap();
    fs::write(path.join("own.toml"), OWN).unwrap();
    fs::create_dir(path.join("tables")).unwrap();
    fs::write(path.join("tables/bolt.csv"), "name,normal\nM27,30 mm\n").unwrap();
    fs::write(path.join("shop.toml"), "[rates]\ncurrency = \"EUR\"\nlabour_hour = 60\n").unwrap();
    let job = JOB.replace(
        "part = [",
        "part = [\n  { recipe = \"own\", name = \"plate\", sheet = \"S235 4 mm\" },",
    );
    write(path, &format!("shop = \"shop.toml\"\n{job}"));
    folder
}

#[test]
fn a_job_is_made_from_its_archive_alone_byte_for_byte() {
    let folder = full_shop();
    let path = folder.path();
    done(path, &["make", "cart.toml"]);
    let said = done(path, &["pack", "cart.toml"]);
    assert!(said.contains("cart: ") && said.contains("cart.zip"), "{said}");
    let archive = fs::read(path.join("cart.zip")).unwrap();
    done(path, &["pack", "cart.toml"]);
    assert_eq!(fs::read(path.join("cart.zip")).unwrap(), archive, "packed twice");
    let elsewhere = TempDir::new().unwrap();
    fs::write(elsewhere.path().join("cart.zip"), &archive).unwrap();
    let said = done(elsewhere.path(), &["make", "cart.zip"]);
    assert!(said.contains("all files are made as they were packed, byte for byte"), "{said}");
    let list = |folder: &Path| fs::read_to_string(folder.join("out/cart/files.sha256")).unwrap();
    assert_eq!(list(elsewhere.path()), list(path));
    for inside in ["own-tables/bolt", "recipes/own", "outlines/plate.dxf", "files/shop.toml"] {
        assert!(archive.windows(inside.len()).any(|name| name == inside.as_bytes()), "{inside}");
    }
}

/// The archive with its list changed, and sealed again.
fn resealed(archive: &[u8], change: &dyn Fn(String) -> String) -> Vec<u8> {
    use sha2::Digest as _;
    use std::io::Read as _;
    use std::io::Write as _;
    let mut zip = zip::ZipArchive::new(std::io::Cursor::new(archive)).unwrap();
    let seal = "platewright pack, sha256 ";
    let mut out = zip::ZipWriter::new(std::io::Cursor::new(Vec::new()));
    out.set_comment(format!("{seal}{}", "0".repeat(64))).unwrap();
    for i in 0..zip.len() {
        let mut file = zip.by_index(i).unwrap();
        let (name, mut text) = (file.name().unwrap().into_owned(), String::new());
        file.read_to_string(&mut text).unwrap();
        if name == "pack.toml" {
            text = change(text);
        }
        let stored = zip::write::SimpleFileOptions::default();
        let stored = stored.compression_method(zip::CompressionMethod::Stored);
        out.start_file(name, stored).unwrap();
        out.write_all(text.as_bytes()).unwrap();
    }
    let mut bytes = out.finish().unwrap().into_inner();
    let sum = sha2::Sha256::digest(&bytes);
    let sum: String = sum.iter().map(|byte| format!("{byte:02x}")).collect();
    let end = bytes.len() - sum.len();
    bytes[end..].copy_from_slice(sum.as_bytes());
    bytes
}

/// The folder has the letter B, or another A: if it were overwritten, that would be lost.
#[test]
fn an_archive_is_not_made_over_issues_that_it_does_not_know() {
    let folder = shop();
    let path = folder.path();
    done(path, &["pack", "cart.toml"]);
    write(path, &reach("32 mm"));
    make(path);
    let before = fs::read(path.join("out/cart/files.sha256")).unwrap();
    let (code, said) = run(path, &["make", "cart.zip"]);
    assert_eq!(code, Some(2), "{said}");
    assert!(
        said.contains("out/cart holds issues that the archive does not know: `ear` A · "),
        "{said}"
    );
    assert!(said.contains("nothing was written; choose another folder with `--out DIR`"), "{said}");
    assert_eq!(fs::read(path.join("out/cart/files.sha256")).unwrap(), before);
    // Where it lies that it was made from, it is made again.
    done(path, &["make", "cart.zip", "--out", "old", "--effort", "0", "--no-drawings"]);
    done(path, &["make", "cart.zip", "--out", "old", "--effort", "0", "--no-drawings"]);
}

/// A later version: here the archive says that a file was made differently.
#[test]
fn an_archive_that_comes_out_differently_is_said_and_not_written_unless_asked_for() {
    let folder = shop();
    let path = folder.path();
    done(path, &["pack", "cart.toml"]);
    let archive = fs::read(path.join("cart.zip")).unwrap();
    let other = |list: String| {
        let at = list.find("flats/ear.dxf").unwrap() + "flats/ear.dxf\", \"".len();
        let list = format!("{}{}{}", &list[..at], "0".repeat(64), &list[at + 64..]);
        list.replacen("version = \"0.1.0\"", "version = \"0.0.9\"", 1)
    };
    fs::write(path.join("later.zip"), resealed(&archive, &other)).unwrap();
    let (code, said) = run(path, &["make", "later.zip"]);
    assert_eq!(code, Some(1), "{said}");
    let wanted = "cart was packed by version 0.0.9; version 0.1.0 makes 1 of ";
    assert!(
        said.contains(wanted) && said.contains(" files differently: flats/ear.dxf\n"),
        "{said}"
    );
    assert!(said.contains("compared with what was packed: 3 parts unchanged"), "{said}");
    assert!(said.contains("nothing was written; `--accept-changes` writes them"), "{said}");
    assert!(!path.join("out").exists());
    done(path, &["make", "later.zip", "--accept-changes"]);
    assert!(path.join("out/cart/flats/ear.dxf").exists());
}

#[test]
fn an_archive_with_a_changed_byte_or_of_somebody_else_is_refused() {
    let folder = shop();
    let path = folder.path();
    done(path, &["pack", "cart.toml"]);
    let mut archive = fs::read(path.join("cart.zip")).unwrap();
    let middle = archive.len() / 2;
    archive[middle] ^= 1;
    fs::write(path.join("cart.zip"), &archive).unwrap();
    let (code, said) = run(path, &["make", "cart.zip"]);
    assert_eq!(code, Some(2), "{said}");
    assert!(
        said.contains("cannot make cart.zip") && said.contains("checksum does not match"),
        "{said}"
    );
    // A command for text files looks for a job in it.
    let (code, said) = run(path, &["check", "cart.zip"]);
    assert_eq!(code, Some(2), "{said}");
    assert!(said.contains("it is an archive; `platewright make cart.zip` makes"), "{said}");
    assert!(!path.join("out").exists());
    // It is not overwritten either: it may be somebody else's.
    let (code, said) = run(path, &["pack", "cart.toml"]);
    assert_eq!(code, Some(2), "{said}");
    assert!(said.contains("cart.zip was not packed by platewright, or changed since"), "{said}");
    assert_eq!(fs::read(path.join("cart.zip")).unwrap(), archive);
}

//! A job that is changed and made again: letters of issues, what differs, what was sent.

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

fn run(folder: &Path, arguments: &[&str]) -> (Option<i32>, String) {
    let mut program = Command::new(env!("CARGO_BIN_EXE_platewright"));
    let run = program.current_dir(folder).args(arguments).output().unwrap();
    let said = String::from_utf8_lossy(&run.stdout) + String::from_utf8_lossy(&run.stderr);
    (run.status.code(), said.into_owned())
}

/// Runs what must succeed.
fn done(folder: &Path, arguments: &[&str]) -> String {
    let (code, said) = run(folder, arguments);
    assert_eq!(code, Some(0), "{arguments:?}: {said}");
    said
}

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
    assert!(said.contains("1 part cut again, 2 unchanged"), "{said}");
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
    // Going back is a change as well: what was B must not look newer.
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

/// Each change alone, and what is said of it.
#[test]
fn what_differs_is_said_by_part_in_the_words_of_a_shop() {
    let folder = shop();
    let path = folder.path();
    make(path);
    let said = changes(path, &[]);
    assert!(said.contains("out/cart: 3 parts unchanged\n"), "{said}");
    let given = |part: &str, given: &str| {
        JOB.replace(&format!("name = \"{part}\","), &format!("name = \"{part}\", given = {{ {given} }},"))
    };
    let cases: [(String, &[&str]); 8] = [
        (
            reach("32 mm"),
            &["ear: cut again: 2 pieces (issue A · ", "outline differs by 2 mm near", "moved by X"],
        ),
        (
            given("ear", "bolt = \"M10\""),
            &["ear: cut again", "hole `eye` at (", "is 11 mm instead of 9 mm", "hardware: bolt M10"],
        ),
        (JOB.replace("quantity = 2", "quantity = 5"), &["ear: only 3 more of the same (issue A"]),
        (JOB.replace("quantity = 2", "quantity = 1"), &["ear: only 1 fewer of the same (issue A"]),
        (
            JOB.replace("name = \"ear\"", "name = \"lug\""),
            &["3 parts unchanged", "lug: unchanged", "was called `ear`"],
        ),
        (
            JOB.lines().filter(|line| !line.contains("brace")).collect::<Vec<_>>().join("\n"),
            &["brace: no longer made (issue A"],
        ),
        (
            JOB.replace("\"S235\", thickness = \"4 mm\"", "\"S355\", thickness = \"4 mm\""),
            &["brace: cut again: 1 piece", "material S235 → S355"],
        ),
        (
            JOB.replace("thickness = \"4 mm\"", "thickness = \"5 mm\""),
            &["brace: cut again: 1 piece", "thickness 4 mm → 5 mm"],
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

#[test]
fn a_folder_that_was_deleted_leaves_nothing_to_compare_with() {
    let folder = shop();
    let path = folder.path();
    make(path);
    write(path, &reach("32 mm"));
    fs::remove_dir_all(path.join("out")).unwrap();
    assert!(changes(path, &[]).contains("nothing to compare with: out/cart holds nothing"));
    assert!(make(path).contains("changes: nothing to compare with"));
    assert!(report(path).get("changes").is_none());
    assert_eq!(issue(path, "ear").0, "A");
}

/// The job's own words take the place of the letters, which go on behind them.
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
        assert!(said.contains("cannot read out/cart/made.toml, from which the letters"), "{said}");
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
}

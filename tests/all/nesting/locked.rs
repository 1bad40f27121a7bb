//! Locked sheets: the pieces of an earlier layout stay where they are, and others are added.

use crate::python;
use serde_json::Value;
use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::process::Command;
use tempfile::TempDir;

/// A job of plates, gussets and straps, with this stock; `more` is added at its end.
struct Job {
    stock: String,
    feet: u32,
    width: u32,
    gap: u32,
    orientations: &'static str,
    more: &'static str,
}

impl Job {
    fn new() -> Self {
        let stock = "{ size = [\"450 mm\", \"300 mm\"] }".to_owned();
        Self { stock, feet: 6, width: 140, gap: 4, orientations: "quarter-turns", more: "" }
    }

    fn text(&self) -> String {
        let Self { stock, feet, width, gap, orientations, more } = self;
        format!(
            r#"
process = "laser"
gap     = "{gap} mm"
margin  = "7 mm"

[[sheet]]
name      = "S235 4 mm"
material  = "S235"
thickness = "4 mm"
stock     = [ {stock} ]

[[part]]
recipe   = "base-plate"
name     = "foot"
quantity = {feet}
sheet    = "S235 4 mm"
given    = {{ width = "{width} mm", height = "120 mm" }}

[[part]]
recipe       = "gusset"
name         = "corner"
quantity     = 14
sheet        = "S235 4 mm"
orientations = "{orientations}"
may_flip     = true

[[part]]
recipe   = "strap"
name     = "strap"
quantity = 4
grain    = "y"
sheet    = "S235 4 mm"
{more}"#
        )
    }

    /// The same with both sheets of the first layout locked, and four tabs more.
    fn with_tabs(self) -> Self {
        let locked = |n| {
            format!("{{ size = [\"450 mm\", \"300 mm\"], locked = \"first.json#S235-4-mm-0{n}\" }}")
        };
        let stock = format!("{}, {}, {}", locked(1), locked(2), self.stock);
        Self { stock, more: TABS, ..self }
    }
}

/// A disc of 314.16 mm² in a corner.
const HOLE: &str = "holes = [ { at = [\"430 mm\", \"280 mm\"], diameter = \"20 mm\" } ]";
const KEPT: &str = "keep_out = [ { at = [\"430 mm\", \"280 mm\"], diameter = \"20 mm\" } ]";

const TABS: &str =
    "\n[[part]]\nrecipe = \"tab\"\nname = \"ear\"\nquantity = 4\nsheet = \"S235 4 mm\"\n";

/// Makes a job into a folder; the exit code and what was said.
fn make(folder: &Path, (text, out): (&str, &str), threads: &str) -> (Option<i32>, String) {
    fs::write(folder.join("job.toml"), text).unwrap();
    let run = Command::new(env!("CARGO_BIN_EXE_platewright"))
        .current_dir(folder)
        .env("RAYON_NUM_THREADS", threads)
        .args(["make", "job.toml", "--no-drawings", "--effort", "5000", "--out", out])
        .output()
        .unwrap();
    let said = String::from_utf8(run.stdout).unwrap() + &String::from_utf8(run.stderr).unwrap();
    (run.status.code(), said)
}

fn report(folder: &Path) -> Value {
    serde_json::from_slice(&fs::read(folder.join("report.json")).unwrap()).unwrap()
}

/// By sheet, its pieces as the report writes them, and how often each is there.
fn rows(report: &Value) -> Vec<BTreeMap<String, usize>> {
    let sheet = |sheet: &Value| {
        let mut rows = BTreeMap::new();
        for piece in sheet["placed"].as_array().unwrap() {
            *rows.entry(piece.to_string()).or_insert(0) += 1;
        }
        rows
    };
    report["sheets"].as_array().unwrap().iter().map(sheet).collect()
}

/// The first layout of a job, copied to `first.json`: the pieces of its sheets.
fn first(folder: &Path, job: &Job) -> Vec<BTreeMap<String, usize>> {
    let (code, said) = make(folder, (&job.text(), "first"), "2");
    assert_eq!(code, Some(0), "{said}");
    fs::copy(folder.join("first/report.json"), folder.join("first.json")).unwrap();
    let rows = rows(&report(&folder.join("first")));
    assert_eq!(rows.len(), 2, "{said}");
    rows
}

/// Every piece is where it was, to the last digit, and foreign readers measure the gaps.
#[test]
fn pieces_are_added_to_two_sheets_that_stay_as_they_are() {
    let jobs = [
        Job::new(),
        Job { orientations: "any", gap: 3, ..Job::new() },
        Job { width: 133, gap: 5, feet: 7, ..Job::new() },
        Job { width: 128, feet: 7, ..Job::new() },
    ];
    for job in jobs {
        let folder = TempDir::new().unwrap();
        let before = first(folder.path(), &job);
        let (code, said) = make(folder.path(), (&job.with_tabs().text(), "out"), "2");
        assert_eq!(code, Some(0), "{said}");
        let out = folder.path().join("out");
        let report = report(&out);
        let after = rows(&report);
        let mut added = 0;
        for (sheet, now) in before.iter().zip(&after) {
            let is_kept = sheet.iter().all(|(row, n)| now.get(row).is_some_and(|m| m >= n));
            assert!(is_kept, "a sheet was changed: {said}");
            added += now.values().sum::<usize>() - sheet.values().sum::<usize>();
        }
        // The tabs found room, so that no third sheet is used.
        assert_eq!((after.len(), added), (2, 4), "{said}");
        let locked: Vec<u64> = report["sheets"]
            .as_array()
            .unwrap()
            .iter()
            .filter_map(|s| s["locked"].as_u64())
            .collect();
        let pieces: usize = before.iter().flat_map(BTreeMap::values).sum();
        assert_eq!(locked.iter().sum::<u64>(), pieces as u64);
        assert!(said.contains(" pieces locked"), "{said}");
        let facts = python::accepted("check_dxf.py", &out);
        assert!(facts > 50, "only {facts} facts were checked");
    }
}

#[test]
fn the_number_of_threads_changes_no_locked_sheet() {
    let folder = TempDir::new().unwrap();
    first(folder.path(), &Job::new());
    let text = Job::new().with_tabs().text();
    let files = |out: &str, threads: &str| {
        let (code, said) = make(folder.path(), (&text, out), threads);
        assert_eq!(code, Some(0), "{said}");
        let read = |file: &str| fs::read(folder.path().join(out).join(file)).unwrap();
        ["report.json", "sheets/S235-4-mm-01.dxf", "sheets/S235-4-mm-02.dxf"].map(read)
    };
    assert!(files("one", "1") == files("four", "4"));
}

/// What is added beside what is locked needs a further sheet where there is no room for it.
#[test]
fn what_finds_no_room_beside_locked_pieces_is_on_another_sheet() {
    let folder = TempDir::new().unwrap();
    let before = first(folder.path(), &Job::new());
    let job = Job { feet: 15, ..Job::new() }.with_tabs();
    let (code, said) = make(folder.path(), (&job.text(), "out"), "2");
    assert_eq!(code, Some(0), "{said}");
    let out = folder.path().join("out");
    let after = rows(&report(&out));
    assert!(after.len() > 2, "{said}");
    for sheet in &before {
        let is_kept =
            |other: &BTreeMap<String, usize>| sheet.keys().all(|row| other.contains_key(row));
        assert_eq!(after.iter().filter(|other| is_kept(other)).count(), 1, "{said}");
    }
    let pieces: usize = after.iter().flat_map(BTreeMap::values).sum();
    assert_eq!(pieces, 15 + 14 + 4 + 4);
    python::accepted("check_dxf.py", &out);
}

#[test]
fn a_locked_sheet_that_no_longer_agrees_with_the_job_is_an_error() {
    let folder = TempDir::new().unwrap();
    first(folder.path(), &Job::new());
    let text = |job: Job| job.with_tabs().text();
    let good = text(Job::new());
    for (bad, said) in [
        (
            text(Job { width: 141, ..Job::new() }),
            &["locked-changed", "`foot` has been changed since sheet `S235-4-mm-0"][..],
        ),
        (
            text(Job { feet: 5, ..Job::new() }),
            &["6 of `foot` are locked, but the job makes 5", "write `quantity = 6`"],
        ),
        (
            text(Job { gap: 20, ..Job::new() }),
            &["do not keep the gap, the margin or the `cutouts`"],
        ),
        (
            good.replace("\"foot\"", "\"feet\""),
            &["`foot` is on locked sheet `S235-4-mm-0", "none of"],
        ),
        (good.replace("mm-02\"", "mm-07\""), &["there is no sheet `S235-4-mm-07` in `first.json`"]),
        (
            good.replacen("[\"450 mm\", \"300 mm\"]", "[\"450 mm\", \"310 mm\"]", 1),
            &["sheet `S235-4-mm-01` is 450 mm × 300 mm in `first.json`"],
        ),
        (
            good.replacen(" locked =", " count = 2, locked =", 1),
            &["a locked sheet is a single sheet"],
        ),
        (
            good.replacen(" locked =", &format!(" {HOLE}, locked ="), 1),
            &["had 135000 mm² of metal in the earlier layout, but has 134686 mm² here"],
        ),
        (
            good.replacen(" locked =", &format!(" {KEPT}, locked ="), 1),
            &["had 0 mm² of keep-outs in the earlier layout, but has 314 mm² here"],
        ),
        (
            good.replace("grain    = \"y\"", "grain    = \"x\""),
            &[
                "`strap` on locked sheet `S235-4-mm-0",
                "which its `grain`, `orientations` or `may_flip` no longer allow",
            ],
        ),
        (
            format!("{good}\n[[kit]]\nname = \"stand\"\nquantity = 2\nparts = [\"foot\"]\n"),
            &["`foot` is on locked sheet `S235-4-mm-0", "and in kit `stand`"],
        ),
        (
            good.replacen("mm-02\"", "mm-01\"", 1),
            &["sheet `S235-4-mm-01` of the earlier layout is locked twice"],
        ),
        (good.replace("first.json", "job.toml"), &["`job.toml` is not the report of a layout"]),
    ] {
        let (code, found) = make(folder.path(), (&bad, "bad"), "2");
        assert_eq!(code, Some(1), "{found}");
        for words in said {
            assert!(found.contains(words), "{words} is not said: {found}");
        }
        assert!(!folder.path().join("bad/sheets").exists(), "{found}");
    }
}

/// A piece that was flipped over may stay so while its part may flip, in the orientation it has then: with y
/// along the grain it was first rotated by 270°, and the other way round once it is flipped.
#[test]
fn a_flipped_piece_may_stay_so_while_its_part_may_flip() {
    let folder = TempDir::new().unwrap();
    let along =
        |text: String| text.replace("may_flip     = true", "may_flip = true\ngrain = \"y\"");
    let job = || Job { orientations: "fixed", ..Job::new() };
    let (code, said) = make(folder.path(), (&along(job().text()), "first"), "2");
    assert_eq!(code, Some(0), "{said}");
    let good = along(job().with_tabs().text());
    let flipped = |rotation: f64, text: &str| {
        let mut of = report(&folder.path().join("first"));
        let sheets = of["sheets"].as_array_mut().unwrap().iter_mut();
        for piece in sheets.flat_map(|sheet| sheet["placed"].as_array_mut().unwrap()) {
            if piece["part"] == "corner" {
                piece["mirrored"] = true.into();
                piece["orientation_deg"] = rotation.into();
            }
        }
        fs::write(folder.path().join("first.json"), of.to_string()).unwrap();
        make(folder.path(), (text, "out"), "2").1
    };
    let refused = "which its `grain`, `orientations` or `may_flip` no longer allow";
    let said = flipped(90.0, &good);
    assert!(!said.contains(refused) && said.contains("do not keep the gap"), "{said}");
    assert!(flipped(270.0, &good).contains(refused));
    let said = flipped(90.0, &good.replace("may_flip = true\n", ""));
    assert!(said.contains(&format!("by 90° and flipped over, {refused}")), "{said}");
}

/// What is made alone is made beside the layout.
#[test]
fn a_part_alone_has_no_locked_sheet() {
    let folder = TempDir::new().unwrap();
    first(folder.path(), &Job::new());
    fs::write(folder.path().join("job.toml"), Job::new().with_tabs().text()).unwrap();
    let run = Command::new(env!("CARGO_BIN_EXE_platewright"))
        .current_dir(folder.path())
        .args([
            "make",
            "job.toml",
            "--no-drawings",
            "--effort",
            "0",
            "--out",
            "out",
            "--only",
            "ear=2",
        ])
        .output()
        .unwrap();
    assert!(run.status.success(), "{}", String::from_utf8_lossy(&run.stderr));
    let report = report(&folder.path().join("out"));
    assert_eq!(report["sheets"][0]["locked"], Value::Null);
    assert_eq!(rows(&report)[0].values().sum::<usize>(), 2);
}

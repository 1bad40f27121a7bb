//! The list for the bench: its order, and that only existing work is on it.

use crate::demo;
use crate::runs;
use serde_json::Value;
use std::fs;
use tempfile::TempDir;

const SHEET: &str = "[[sheet]]\nname = \"5 mm\"\nmaterial = \"S235\"\nthickness = \"5 mm\"\n\
    stock = [ { size = [\"900 mm\", \"400 mm\"] } ]\n";
const LINK: &str = "[[link]]\nname = \"brace\"\npins = \"620 mm\"\nrod_end = \"M10\"\n";
const EARS: &str = "[[part]]\nrecipe = \"clevis-plates\"\nname = \"ears\"\nsheet = \"5 mm\"\n\
    link = \"brace\"\ngiven = { weld = \"4 mm\" }\n";
const STRAP: &str = "[[part]]\nrecipe = \"strap\"\nname = \"strap\"\nsheet = \"5 mm\"\n";

/// The rows of `bench.csv` as stage, of, quantity and what; empty if there is no such file.
fn bench(text: &str) -> Vec<[String; 4]> {
    let folder = TempDir::new().unwrap();
    fs::write(folder.path().join("job.toml"), format!("process = \"laser\"\n{text}")).unwrap();
    let make = ["make", "job.toml", "--out", "out", "--effort", "0", "--no-drawings"];
    runs::done(folder.path(), &make);
    let Ok(list) = fs::read(folder.path().join("out/bench.csv")) else { return Vec::new() };
    let page = fs::read_to_string(folder.path().join("out/report.html")).unwrap();
    assert!(page.contains("At the bench"));
    let mut reader = csv::Reader::from_reader(list.as_slice());
    let rows = reader.records().map(Result::unwrap);
    rows.map(|row| [1, 2, 3, 4].map(|i| row[i].to_owned())).collect()
}

fn row(stage: &str, of: &str, quantity: &str, what: &str) -> [String; 4] {
    [stage, of, quantity, what].map(str::to_owned)
}

/// Ears on a tube for the ball of an M10 rod end, with 14 mm, 0.25 mm of play and two films of 0.08
/// mm between them; a link that is 561.5 mm over its bungs and engaged by 18.75 mm.
#[test]
fn ears_and_a_link_are_listed_in_the_order_of_the_work() {
    let rows = bench(&format!("coating = \"powder\"\nbench_list = true\n{SHEET}{LINK}{EARS}"));
    for wanted in [
        row(
            "fit",
            "brace",
            "1",
            "Keep the rod ends out until welding is done: heat ruins race and grease.",
        ),
        row(
            "tack",
            "ears",
            "1",
            "Tack both ears 14.41 mm apart on a spacer, the pin through both eyes.",
        ),
        row("tack", "brace", "1", "Mark end 2 of the tube: left-hand thread."),
        row("weld", "brace", "1", "Weld both bungs all round."),
        row("plug and mask", "brace", "1", "Plug thread M10x1.5, right-hand, bung, first end."),
        row("coat", "all coated pieces", "3", "Coat, 0.08 mm on each face."),
        row("check", "ears", "1", "Coated gap 14.25 mm: ball, 14 mm wide, must fit."),
        row(
            "assemble",
            "brace",
            "1",
            "Screw the rod ends in 18.75 mm each, set it to 620 mm from pin to pin, tighten the jam \
             nuts; never less than 10 mm engaged.",
        ),
    ] {
        assert!(rows.contains(&wanted), "{wanted:?} is not in {rows:#?}");
    }
    let order = [
        "fit",
        "tack",
        "align",
        "weld",
        "chase threads",
        "plug and mask",
        "coat",
        "check",
        "assemble",
    ];
    let mut stages: Vec<&str> = rows.iter().map(|row| row[0].as_str()).collect();
    stages.dedup();
    assert_eq!(stages, order);
}

/// A plain strap of metal has nothing done to it; a job that does not ask has no list.
#[test]
fn nothing_is_listed_that_is_not_there() {
    let stages =
        |text: &str| -> Vec<String> { bench(text).into_iter().map(|[stage, ..]| stage).collect() };
    let plain = stages(&format!("bench_list = true\n{SHEET}{STRAP}"));
    assert!(plain.iter().all(|stage| stage == "assemble"), "{plain:?}");
    assert_eq!(bench(&format!("{SHEET}{LINK}{EARS}")), [[""; 4]; 0]);
    assert_eq!(bench(&format!("bench_list = false\n{SHEET}{STRAP}")), [[""; 4]; 0]);
}

#[test]
fn a_nut_that_is_closed_in_comes_before_its_weld_and_is_chased_after_it() {
    let cap = "[[part]]\nrecipe = \"end-cap\"\nname = \"cap\"\nsheet = \"5 mm\"\n";
    let rows = bench(&format!("bench_list = true\n{SHEET}{cap}"));
    let at = |words: &str| rows.iter().position(|[.., what]| what.contains(words));
    let places = [
        "Weld the M10 nut into its seat, outside; no fillet inside the tube.",
        "Weld the cap to its tube",
        "Grind the weld flush",
        "Run a tap through the M10 nut",
    ]
    .map(at);
    assert!(places.is_sorted() && places[0].is_some(), "{places:?} {rows:#?}");
}

/// A flush cap has no fillet; one that projects has its leg: the wall of the tube, 2 mm.
#[test]
fn a_cap_over_its_tube_is_welded_with_a_leg() {
    let rows = |given: &str| {
        let cap = "[[part]]\nrecipe = \"end-cap\"\nname = \"cap\"\nsheet = \"5 mm\"\n";
        bench(&format!("bench_list = true\n{SHEET}{cap}{given}"))
    };
    let welded = |what: &str| row("weld", "cap", "1", what);
    assert!(rows("").contains(&welded("Weld the cap to its tube all round.")));
    let over = rows("given = { fit = \"overlap\" }\n");
    assert!(over.contains(&welded("Weld the cap to its tube all round, leg 2 mm.")), "{over:#?}");
}

#[test]
fn a_part_too_large_for_the_oven_is_offered_alternatives() {
    let folder = TempDir::new().unwrap();
    let shop = "oven = [\"500 mm\", \"400 mm\", \"400 mm\"]\n";
    fs::write(folder.path().join("shop.toml"), shop).unwrap();
    let text = format!(
        "process = \"laser\"\nshop = \"shop.toml\"\ncoating = \"powder\"\nbench_list = true\n{LINK}"
    );
    fs::write(folder.path().join("job.toml"), text).unwrap();
    runs::done(folder.path(), &["make", "job.toml", "--out", "out", "--no-drawings"]);
    let list = fs::read_to_string(folder.path().join("out/bench.csv")).unwrap();
    let wanted = "Too large for the oven, 561.5 mm × 25 mm × 25 mm: 500 mm × 400 mm × 400 mm. Coat it \
                  elsewhere, or make it in two pieces. Or a finish that needs no oven: wet paint (0.1 \
                  mm per face; repair: sand then primer and paint); check holes and gaps for its thickness.";
    assert!(list.contains(wanted), "{list}");
    assert!(!list.contains("on each face"), "{list}");
}

/// 561.5 mm do not go into an oven of 500 mm: that matters to powder, not to paint or a bath; a row with a
/// `largest` of 550 mm takes no more.
#[test]
fn an_oven_is_asked_of_a_coating_that_needs_one() {
    let folder = TempDir::new().unwrap();
    let write = |name: &str, text: &str| fs::write(folder.path().join(name), text).unwrap();
    write("shop.toml", "oven = [\"500 mm\", \"400 mm\", \"400 mm\"]\n");
    let row = "name, thickness, min, max, cure, largest, repair, source, basis\n\
               short bath, 0.07 mm, 0.055 mm, 0.1 mm, bath, 550 mm, zinc-rich paint, our galvanizer, practice\n";
    fs::create_dir(folder.path().join("tables")).unwrap();
    write("tables/coating.csv", row);
    let of = |coating: &str| {
        let text = format!(
            "process = \"laser\"\nshop = \"shop.toml\"\ncoating = \"{coating}\"\nbench_list = true\n{LINK}"
        );
        write("job.toml", &text);
        let args = ["make", "job.toml", "--out", "out", "--no-drawings"];
        runs::done(folder.path(), &args);
        fs::read_to_string(folder.path().join("out/bench.csv")).unwrap()
    };
    assert!(of("powder").contains("Too large for the oven"));
    for coating in ["wet paint", "hot-dip zinc"] {
        let list = of(coating);
        assert!(!list.contains("oven") && list.contains("on each face"), "{coating}: {list}");
    }
    let list = of("short bath");
    let wanted = "Too long for its coating line, 561.5 mm × 25 mm × 25 mm: 550 mm at most.";
    assert!(list.contains(wanted), "{list}");
}

/// A weld ends where the bends begin: 6.27 mm from either end of an edge of 49.47 mm. The list for
/// the bench and the report have one length.
#[test]
fn a_weld_is_listed_with_the_length_that_the_report_has() {
    let folder = &demo::made().folder;
    let report = fs::read(folder.join("report.json")).unwrap();
    let report: Value = serde_json::from_slice(&report).unwrap();
    let mut reader = csv::Reader::from_path(folder.join("bench.csv")).unwrap();
    let rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
    let mut compared = 0;
    for part in report["parts"].as_array().unwrap() {
        let name = part["name"].as_str().unwrap();
        for weld in part["welds"].as_array().into_iter().flatten() {
            let begins = format!("Weld `{}`, ", weld["edge"].as_str().unwrap());
            let long = (weld["length_mm"].as_f64().unwrap() * 10.0).round() / 10.0;
            let says = |row: &&csv::StringRecord| {
                row[2] == *name
                    && row[4].starts_with(&begins)
                    && row[4].contains(&format!(", {long} mm,"))
            };
            assert!(rows.iter().any(|row| says(&row)), "{name}: {begins}{long} is not listed");
            compared += 1;
        }
    }
    assert!(compared > 10, "{compared} welds");
    let of_clevis = |row: &&csv::StringRecord| row[2] == *"clevis-brake-rod" && row[1] == *"weld";
    let welds: Vec<&str> = rows.iter().filter(of_clevis).map(|row| &row[4]).collect();
    assert!(welds.len() == 2 && welds.iter().all(|w| w.contains(", 36.9 mm, ")), "{welds:?}");
}

/// The strut of the demo begins at x = 250 mm on a rail that begins at x = −900 mm: 1150 mm along it; it ends
/// 800 mm up the leg of the arch, whose axis its own crosses.
#[test]
fn a_tube_between_others_has_its_places_along_them() {
    let mut reader = csv::Reader::from_path(demo::made().folder.join("bench.csv")).unwrap();
    let rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
    let strut = rows.iter().find(|row| row[1] == *"tack" && row[2] == *"leg-strut").unwrap();
    let wanted = "Fit and tack its start on the 48.3 mm tube lower rail, axis 1150 mm from the start of lower \
                  rail, its end on the 60.3 mm tube arch leg, axis 800 mm from the start of arch leg. \
                  Twist 0°: both heels in line.";
    assert_eq!(&strut[4], wanted);
}

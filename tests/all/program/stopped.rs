//! A part that is stopped does not stop the others; stops accepted by a job are written with the
//! reason.

use snapbox::cmd::Command;
use std::fs;
use std::path::Path;
use tempfile::TempDir;

const SHOP: &str = include_str!("../../../parts/shop.toml");

const HEAD: &str = r#"process = "waterjet"
shop = "shop.toml"

[[sheet]]
name = "S235 6 mm"
material = "S235"
thickness = "6 mm"
bend_radius = "8 mm"
stock = [ { size = ["2000 mm", "400 mm"] } ]

[[part]]
recipe = "base-plate"
name = "pad"
sheet = "S235 6 mm"
"#;

/// Too long for any brake of the demo's shop.
const LONG: &str = r#"
[[part]]
recipe = "angle"
name = "long"
sheet = "S235 6 mm"
given = { width = "1600 mm", leg = "60 mm", base = "60 mm", leg_holes = 0, base_holes = 0 }
"#;

/// A gusset that its tubes cut away completely: its requirement is not met.
const MISSING: &str = "\n[[part]]\nrecipe = \"gusset\"\nname = \"air\"\nsheet = \"S235 6 mm\"\n\
    given = { offset = \"40 mm\" }\n";

/// The exit code, and both outputs of a command in a folder with this job.
fn run(folder: &Path, job: &str, arguments: &[&str]) -> (i32, String, String) {
    fs::write(folder.join("shop.toml"), SHOP).unwrap();
    fs::write(folder.join("cart.toml"), job).unwrap();
    let program = snapbox::cmd::cargo_bin!("platewright");
    let output = Command::new(program).current_dir(folder).args(arguments).assert();
    let output = output.get_output();
    let text = |bytes: &[u8]| String::from_utf8(bytes.to_vec()).unwrap();
    (output.status.code().unwrap(), text(&output.stdout), text(&output.stderr))
}

const MAKE: [&str; 6] = ["make", "cart.toml", "--effort", "0", "--out", "out"];

#[test]
fn good_parts_are_written_when_one_is_stopped() {
    let folder = TempDir::new().unwrap();
    let (code, printed, said) = run(folder.path(), &format!("{HEAD}{LONG}{MISSING}"), &MAKE);
    assert_eq!(code, 1, "{said}");
    assert!(printed.contains("STOPPED: 2 parts not made: long, air"), "{printed}");
    assert!(said.contains("stop[brake-length]") && said.contains("stop[requirement]"), "{said}");
    let out = folder.path().join("out");
    let is = |file: &str| out.join(file).is_file();
    assert!(is("flats/pad.dxf") && is("sheets/S235-6-mm-01.dxf") && is("report.html"));
    // The stopped part is drawn where it will not be mistaken for one to cut.
    assert!(is("stopped/long.pdf") && is("stopped/long.svg"));
    assert!(!is("flats/long.dxf") && !is("drawings/long.pdf") && !is("stopped/air.pdf"));
    let drawing = fs::read_to_string(out.join("stopped/long.svg")).unwrap();
    assert!(drawing.contains(">Status<") && drawing.contains(">NOT FOR MANUFACTURE<"), "{drawing}");
    let report = fs::read_to_string(out.join("report.json")).unwrap();
    let report: serde_json::Value = serde_json::from_str(&report).unwrap();
    assert_eq!(report["stopped"], serde_json::json!(["long", "air"]));
    assert_eq!(report["parts"].as_array().unwrap().len(), 1);
    let stops = report["findings"].as_array().unwrap().iter();
    assert_eq!(stops.filter(|f| f["severity"] == "stop").count(), 2);
    // Their hardware is not bought by a list that does not say so.
    let purchases = fs::read_to_string(out.join("purchases.csv")).unwrap();
    assert!(purchases.contains("stopped part,long,0,pieces,,CAUTION"), "{purchases}");
    let page = fs::read_to_string(out.join("report.html")).unwrap();
    assert!(page.contains("STOPPED and not made: long, air"));
    assert!(page.contains("Not made, and left off the sheets and out of the order: long, air."));
    // Each has its findings under its own name, from number 1.
    assert!(page.contains("id=\"finding-long-1\"") && page.contains("id=\"finding-air-1\""));
    for file in fs::read_dir(out.join("order")).unwrap() {
        let path = file.unwrap().path();
        if path.extension().is_some_and(|end| end == "zip") {
            let bytes = fs::read(&path).unwrap();
            let name = |name: &[u8]| bytes.windows(name.len()).any(|part| part == name);
            assert!(name(b"pad") && !name(b"long"));
        }
    }
}

/// Its hole is too near the edge for its bolt: a caution, found before the stop of the part behind it.
const NEAR: &str = "\n[[part]]\nrecipe = \"backing-plate\"\nname = \"near\"\nsheet = \"S235 6 mm\"\n\
    given = { width = \"60 mm\", height = \"60 mm\", edge_distance = \"12 mm\", bolt = \"M8\" }\n";

#[test]
fn the_worst_is_listed_first_everywhere() {
    let folder = TempDir::new().unwrap();
    let (_, printed, said) = run(folder.path(), &format!("{HEAD}{NEAR}{LONG}"), &MAKE);
    let first = |text: &str| text.find("stop[").zip(text.find("caution[")).map(|(a, b)| a < b);
    assert_eq!(first(&said), Some(true), "{said}");
    let out = folder.path().join("out");
    let report = fs::read_to_string(out.join("report.json")).unwrap();
    let report: serde_json::Value = serde_json::from_str(&report).unwrap();
    let found = report["findings"].as_array().unwrap().iter();
    let weights: Vec<&str> = found.map(|f| f["severity"].as_str().unwrap()).collect();
    assert_eq!(weights, ["stop", "caution", "caution"], "{said}");
    assert!(printed.contains("findings: 1 stop, 2 cautions"), "{printed}");
    let page = fs::read_to_string(out.join("report.html")).unwrap();
    let (_, band) = page.split_once("Ready to order?").unwrap();
    let (band, _) = band.split_once("Sheets and price").unwrap();
    assert!(band.contains("1 stop, 2 cautions"), "{band}");
    assert!(band.find("state stop").unwrap() < band.rfind("state caution").unwrap(), "{band}");
}

#[test]
fn a_job_of_which_every_part_is_stopped_writes_nothing() {
    let folder = TempDir::new().unwrap();
    let only = HEAD.split("[[part]]").next().unwrap();
    let (code, _, said) = run(folder.path(), &format!("{only}{LONG}"), &MAKE);
    assert_eq!(code, 1);
    assert!(said.contains("nothing was written") && !folder.path().join("out").exists(), "{said}");
    assert!(!said.contains("earlier run"), "{said}");
    // What is there since the last run is not taken for what was asked for.
    assert_eq!(run(folder.path(), HEAD, &MAKE).0, 0);
    let (_, _, said) = run(folder.path(), &format!("{only}{LONG}"), &MAKE);
    assert!(said.contains("the files in out are those of an earlier run"), "{said}");
    assert!(folder.path().join("out/flats/pad.dxf").is_file());
}

/// A part that is stopped has no letter, and keeps the one it had: once corrected it gets the next
/// one.
#[test]
fn letters_go_on_past_a_part_that_was_stopped() {
    let folder = TempDir::new().unwrap();
    let mut letters = Vec::new();
    for width in ["160 mm", "1600 mm", "170 mm"] {
        let job = format!("{HEAD}{}", LONG.replace("1600 mm", width));
        let (_, printed, said) = run(folder.path(), &job, &MAKE);
        // A part that is stopped for now has not been given up.
        assert!(!printed.contains("no longer made"), "{printed}");
        let made = fs::read_to_string(folder.path().join("out/made.toml")).unwrap();
        let made: toml::Table = toml::from_str(&made).unwrap();
        let parts = made["now"]["part"].as_array().unwrap();
        let part = parts.iter().find(|part| part["name"].as_str() == Some("long"));
        letters.push(part.map(|part| part["letter"].as_str().unwrap().to_owned()));
        let drawn = fs::read_to_string(folder.path().join("out/stopped/long.svg"));
        assert_eq!(drawn.is_ok(), width == "1600 mm", "{said}");
    }
    assert_eq!(letters, [Some("A".to_owned()), None, Some("B".to_owned())]);
}

/// A stop that is accepted is a caution with its reason, in the drawing and in the report.
#[test]
fn an_accepted_stop_is_made_with_its_reason() {
    let folder = TempDir::new().unwrap();
    let accept = "accept = { brake-length = \"bent at the yard next door\" }\n";
    let (code, printed, said) = run(folder.path(), &format!("{HEAD}{LONG}{accept}"), &MAKE);
    assert_eq!(code, 0, "{said}");
    assert!(!printed.contains("STOPPED"), "{printed}");
    let out = folder.path().join("out");
    assert!(out.join("flats/long.dxf").is_file() && !out.join("stopped").exists());
    let report = fs::read_to_string(out.join("report.json")).unwrap();
    let report: serde_json::Value = serde_json::from_str(&report).unwrap();
    let finding =
        report["findings"].as_array().unwrap().iter().find(|f| f["code"] == "brake-length");
    let finding = finding.unwrap();
    assert_eq!(finding["severity"], "caution");
    assert!(finding["headline"].as_str().unwrap().starts_with("accepted by the job: "));
    assert!(finding["help"].as_str().unwrap().ends_with("bent at the yard next door"));
    let drawing = fs::read_to_string(out.join("drawings/long.svg")).unwrap();
    // Words may be on several lines.
    assert!(drawing.contains("yard") && drawing.contains("ccepted"), "{drawing}");
}

#[test]
fn nothing_but_workmanship_can_be_accepted() {
    let folder = TempDir::new().unwrap();
    let check = ["check", "cart.toml"];
    for (accept, wanted) in [
        ("{ strength = \"it held\" }", "a stop of `strength` cannot be accepted"),
        ("{ flange-collision = \"filed\" }", "a stop of `flange-collision` cannot be accepted"),
        ("{ brake-lenght = \"yard\" }", "write `brake-length`"),
        ("{ brake-length = \" \" }", "needs a reason"),
        ("{ bend-force = \"yard\" }", "there is no stop `bend-force` to accept"),
        // The stop itself explains how, and so does the finding on the attempt.
        ("{}", "say how: `accept = { brake-length = \"…\" }`"),
        ("\"brake-length\"", "write `accept = { brake-length = \"bent over"),
        ("\"yes\"", "write `accept = { min-flange = \"bent over"),
    ] {
        let (code, _, said) =
            run(folder.path(), &format!("{HEAD}{LONG}accept = {accept}\n"), &check);
        assert!(code == 1 && said.contains(wanted), "{accept}: {said}");
    }
}

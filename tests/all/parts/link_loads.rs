//! Loads along links: by hand, by a model in Python, and the messages where a link is not judged.

use crate::python;
use crate::runs;
use platewright::num;
use platewright::num::Angle;
use serde_json::Value;
use std::f64::consts::PI;
use std::fs;
use tempfile::TempDir;

const PROGRAM: &str = env!("CARGO_BIN_EXE_platewright");

/// The brace of the reference.
const LINK: &str = "[[link]]\nname = \"brace\"\npins = \"620 mm\"\nrod_end = \"M10\"\n";
const KNOWN: &str = "rating = \"14 kN\"\nmaterial = \"S235\"\n";
const LOAD: &str =
    "[[load]]\nname = \"braking\"\nlink = \"brace\"\nforce = \"4 kN\"\nleg = \"2.5 mm\"\n";
const EARS: &str = "[[sheet]]\nname = \"5 mm\"\nmaterial = \"S235\"\nthickness = \"5 mm\"\n\
    stock = [ { size = [\"500 mm\", \"400 mm\"] } ]\n\
    [[part]]\nrecipe = \"clevis-plates\"\nname = \"ears\"\nsheet = \"5 mm\"\nlink = \"brace\"\n";

/// The result of a job of these lines: the report, all findings, and the drawing of the link.
fn made(text: &str) -> (Value, String, String) {
    let folder = TempDir::new().unwrap();
    fs::write(folder.path().join("job.toml"), format!("process = \"laser\"\n{text}")).unwrap();
    let said = runs::done(folder.path(), &["make", "job.toml", "--out", "out", "--effort", "0"]);
    let out = folder.path().join("out");
    let report = fs::read_to_string(out.join("report.json")).unwrap();
    let report: Value = serde_json::from_str(&report).unwrap();
    let drawing = fs::read_to_string(out.join("drawings/brace-link.svg")).unwrap_or_default();
    (report, said, drawing)
}

fn load(report: &Value) -> &Value {
    &report["strength"]["links"][0]
}

/// The allowable load of the weakest limit of a name, N.
fn allowed(load: &Value, what: &str) -> f64 {
    let limits = load["limits"].as_array().unwrap().iter();
    let own = limits.filter(|limit| limit["what"] == what);
    let own = own.map(|limit| 1000.0 * limit["allowable"]["kn"].as_f64().unwrap());
    own.fold(f64::INFINITY, f64::min)
}

/// The elastic critical force of a strut that is alike on both sides of its middle: with
/// P = E·I·k² in both, k1·cot(k1·a) = k2·tan(k2·b), a the length of a shank and b half of the tube.
fn critical(shank: f64, half_tube: f64, [thin, thick]: [f64; 2]) -> f64 {
    let (mut low, mut high) = (0.0, 1e6);
    for _ in 0..200 {
        let force = (low + high) / 2.0;
        let [k1, k2] = [thin, thick].map(|inertia| (force / (2.1e5 * inertia)).sqrt());
        let is_below = k1 * shank < PI / 2.0
            && k2 * half_tube < PI / 2.0
            && k1 / tan(k1 * shank) > k2 * tan(k2 * half_tube);
        if is_below { low = force } else { high = force }
    }
    low
}

fn tan(radians: f64) -> f64 {
    Angle::from_degrees(radians * 180.0 / PI).tan()
}

/// The brace by hand, S235 (235 and 360 N/mm², Ω 1.67 and 2.00), tube 25 × 2.5 (A = 176.7 mm²,
/// I = 11 321 mm⁴), M10 × 1.5 (root 10 − 1.22687 · 1.5 = 8.160 mm: A = 52.29 mm², I = 217.6 mm⁴;
/// pitch diameter 9.026 mm). Screwed out to 10 mm the shanks project by 38 mm, 637.5 mm from pin to
/// pin.
#[test]
fn a_brace_computed_by_hand() {
    let (report, ..) = made(&format!("{LINK}{KNOWN}{LOAD}"));
    let load = load(&report);
    let area = PI * 2.5 * 22.5;
    let inertia = PI / 64.0 * (25.0_f64.powi(4) - 20.0_f64.powi(4));
    let root = 10.0 - 1.226_87 * 1.5_f64;
    let (thin, shank) = (PI / 64.0 * root.powi(4), PI / 4.0 * root * root);
    let critical = critical(38.0, 637.5 / 2.0 - 38.0, [thin, inertia]);
    // From pin to pin the tube alone would buckle at 57.7 kN.
    assert!((45e3..46e3).contains(&critical), "{critical}");
    let stress = 235.0 * num::pow(0.658, 235.0 * area / critical);
    let [thread, round] = [0.6 * 360.0 * PI * 9.026 / 2.0 * 10.0, PI * 25.0];
    let weld = 0.6 * 70.0 * 6.894_757 * 0.707 * 2.5;
    for (what, by_hand) in [
        ("tube in tension, yielding", 235.0 * area / 1.67),
        ("tube in tension, rupture", 360.0 * area / 2.0),
        ("buckling", stress * area / 1.67),
        ("thread of the bung", thread / 2.0),
        ("thread of the rod end", thread / 2.0 * 14e3 / shank / 360.0),
        ("bung round its thread", 235.0 * PI / 4.0 * (19.9 * 19.9 - 100.0) / 1.67),
        ("rod end", 7000.0),
    ] {
        let is = allowed(load, what);
        assert!((is / by_hand - 1.0).abs() < 1e-3, "{what}: {is}, by hand {by_hand}");
    }
    // In compression the weld is bent as well, by the initial curvature.
    let is = allowed(load, "weld of the bung");
    assert!((0.8..0.9).contains(&(is / (weld * round / 2.0))), "{is}");
    // So is the shank: less than the rating allows.
    assert_eq!(load["governed_by"], "shank in compression and bending");
    assert!(allowed(load, "shank in compression and bending") < 7000.0);
}

/// Random links: every limit to 0.1 %. At length: `check_links.py PROGRAM 0 600`.
#[test]
fn an_independent_model_finds_the_same_limits() {
    let (good, said) = python::run("check_links.py", &[PROGRAM, "0", "24"]);
    assert!(good, "{said}");
    let passed = said.lines().last().and_then(|line| line.split(' ').next()?.parse::<u32>().ok());
    assert!(passed.is_some_and(|count| count > 400), "{said}");
    let (good, said) = python::run("check_links.py", &[PROGRAM, "0", "6", "--planted"]);
    assert!(!good, "{said}");
}

#[test]
fn a_link_is_not_judged_without_its_metal_or_a_rating_unless_it_fails_already() {
    for (known, why) in [
        ("material = \"S235\"\n", "the static load rating of rod end M10 is not known"),
        ("rating = \"14 kN\"\n", "the metal of the tube is not known"),
        (
            "rating = \"14 kN\"\nmaterial = \"304\"\n",
            "the column curve of AISC 360-16 E3 is that of carbon steel, not of 304",
        ),
    ] {
        let (report, said, drawing) = made(&format!("{LINK}{known}{LOAD}"));
        let load = load(&report);
        assert_eq!(load["why_not"], why);
        assert_eq!((&load["judged"], &load["holds"]), (&Value::Bool(false), &Value::Null));
        assert!(load["limits"].as_array().unwrap().is_empty());
        assert!(said.contains("not judged"), "{said}");
        assert!(drawing.contains("not judged"));
    }
    // Stainless is judged where it is only pulled.
    let pull = format!("{LOAD}direction = \"pull\"\n");
    let known = "rating = \"14 kN\"\nmaterial = \"304\"\n";
    assert_eq!(load(&made(&format!("{LINK}{known}{pull}")).0)["judged"], true);
    // No rating helps a tube that is overloaded.
    let folder = TempDir::new().unwrap();
    let heavy = LOAD.replace("4 kN", "40 kN");
    let text = format!("process = \"laser\"\n{LINK}material = \"S235\"\n{heavy}");
    fs::write(folder.path().join("job.toml"), text).unwrap();
    let (code, said) = runs::run(folder.path(), &["check", "job.toml"]);
    assert_eq!(code, Some(1), "{said}");
    assert!(said.contains("40 kN (8993 lbf) is applied"), "{said}");
}

/// A row of a series has the lowest rating of its manufacturers, divided by a factor of 2; one of
/// any make has no rating, and its help names one that has.
#[test]
fn a_rod_end_of_a_known_series_brings_its_rating() {
    let known = |rod_end: &str| {
        let link = LINK.replace("\"M10\"", &format!("\"{rod_end}\""));
        made(&format!("{link}material = \"S235\"\n{LOAD}"))
    };
    for (rod_end, rating) in [("M10 standard", 12_700.0), ("M10 heavy", 17_900.0)] {
        let (report, ..) = known(rod_end);
        assert_eq!(load(&report)["judged"], true, "{rod_end}");
        let is = allowed(load(&report), "rod end");
        assert!((is - rating / 2.0).abs() < 5.0, "{rod_end}: {is}");
    }
    let (report, said, _) = known("M10");
    assert_eq!(load(&report)["judged"], false);
    assert!(said.contains("such as `M10 standard`"), "{said}");
}

#[test]
fn the_ears_at_the_ends_are_judged_with_the_link() {
    let (report, said, drawing) = made(&format!("{LINK}{KNOWN}{LOAD}{EARS}"));
    let ears = report["strength"]["loads"].as_array().unwrap();
    let directions: Vec<&str> = ears.iter().map(|l| l["direction"].as_str().unwrap()).collect();
    assert_eq!(directions, ["pull", "push"]);
    let own = load(&report);
    let at_ears = |limit: &&Value| limit["place"] == "ears" && limit["acting"] == "tension";
    let limits = own["limits"].as_array().unwrap();
    assert_eq!(limits.iter().filter(at_ears).count(), ears[0]["limits"].as_array().unwrap().len());
    assert!(said.contains("link brace, tension and compression, 4 kN"), "{said}");
    assert!(drawing.contains("licensed engineer"), "the caution stands on the drawing");
    // Half as long an eye: the ears govern, and stop the job.
    let thin = EARS.replace("5 mm", "1 mm");
    let thin = format!("{LINK}{KNOWN}{}{thin}", LOAD.replace("4 kN", "5 kN"));
    let folder = TempDir::new().unwrap();
    fs::write(folder.path().join("job.toml"), format!("process = \"laser\"\n{thin}")).unwrap();
    let (_, said) = runs::run(folder.path(), &["check", "job.toml"]);
    assert!(said.contains("stop[strength]: `ears` in `braking`"), "{said}");
    // Where the rod end points away from them at an angle, they are loaded at that angle.
    let points = format!("{EARS}given = {{ direction = \"30 deg\" }}\n");
    let (report, ..) = made(&format!("{LINK}{KNOWN}{LOAD}{points}"));
    assert_eq!(report["strength"]["loads"][0]["direction"], "pull rotated by 30°");
    assert_eq!(report["strength"]["loads"][1]["direction"], "pull rotated by 210°");
}

#[test]
fn without_a_load_nothing_is_said_of_strength() {
    let (report, said, drawing) = made(&format!("{LINK}{KNOWN}{EARS}"));
    assert!(report.get("strength").is_none());
    assert!(!said.contains("link brace") && drawing.is_empty());
}

/// One fillet has one leg, whatever load is on it.
#[test]
fn two_loads_of_a_link_that_count_on_different_legs_are_said() {
    let more = |leg: &str| LOAD.replace("braking", "towing").replace("2.5 mm", leg);
    let said = |leg: &str| made(&format!("{LINK}{KNOWN}{LOAD}{}", more(leg))).1;
    let wanted = "the fillets of `brace` have a leg of 2.5 mm in load `braking`, and of 2 mm in load `towing`";
    assert!(said("2 mm").contains(wanted), "{}", said("2 mm"));
    assert!(!said("2.5 mm").contains("the fillets of `brace`"));
}

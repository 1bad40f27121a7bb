//! Bent parts that were once said to work, or to be as specified, and were not: through job
//! files and the program.

use std::fs;
use std::path::Path;
use std::process::Command;

const PROGRAM: &str = env!("CARGO_BIN_EXE_platewright");

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// The text of a recipe of `tests/data/bending`; `None` for a shipped one.
fn own(recipe: &str) -> Option<String> {
    fs::read_to_string(root().join("tests/data/bending").join(format!("{recipe}.toml"))).ok()
}

/// The output of a job of a recipe; `shop` is a path from the root. Whether it passes, and all
/// messages.
fn checked(recipe: &str, thickness: &str, shop: Option<&str>) -> (bool, String) {
    checked_text(recipe, own(recipe), thickness, shop, "")
}

/// The same of a recipe's own text, or with inputs of the part.
fn checked_text(
    recipe: &str,
    text: Option<String>,
    thickness: &str,
    shop: Option<&str>,
    given: &str,
) -> (bool, String) {
    let folder = tempfile::tempdir().unwrap();
    if let Some(text) = text {
        fs::write(folder.path().join(format!("{recipe}.toml")), text).unwrap();
    }
    let shop = shop.map(|path| format!("shop = '{}'\n", root().join(path).display()));
    let job = format!(
        "process = \"waterjet\"\n{}[[sheet]]\nname = \"s\"\nmaterial = \"S235\"\n\
         thickness = \"{thickness}\"\nstock = [ {{ size = [\"1500 mm\", \"1500 mm\"] }} ]\n\
         [[part]]\nrecipe = \"{recipe}\"\nname = \"p\"\nsheet = \"s\"\n\
         given = {{ {given} }}\n",
        shop.unwrap_or_default()
    );
    let path = folder.path().join("job.toml");
    fs::write(&path, job).unwrap();
    let run = Command::new(PROGRAM).arg("check").arg(&path).output().unwrap();
    let said = [run.stdout, run.stderr].map(|bytes| String::from_utf8_lossy(&bytes).into_owned());
    (run.status.success(), said.concat())
}

const DEMO: Option<&str> = Some("parts/shop.toml");
const FOLDERS: Option<&str> = Some("tests/data/bending/shop-of-folders.toml");

/// Each of these was given an order in which something collides.
#[test]
fn parts_that_run_into_the_tools_are_refused() {
    let cases = [
        ("mixed-tray", "1.5 mm", DEMO, "stop[bend-sequence]: bend `left` cannot be made"),
        (
            "leaning-back-tray",
            "4 mm",
            FOLDERS,
            "bend `left` cannot be made after right, front, back",
        ),
        (
            "tapered-flange",
            "4 mm",
            DEMO,
            "is 11.6 mm long where it is shortest (ends of the bend left out), 17.5 mm is needed",
        ),
        ("square-tube", "2 mm", DEMO, "closes round the beam and cannot be taken off"),
    ];
    for (recipe, thickness, shop, words) in cases {
        let (passes, said) = checked(recipe, thickness, shop);
        assert!(!passes && said.contains(words), "{recipe}: {words} is not said: {said}");
    }
}

/// Both sides of a bend are on the V: the finding says which of them is short.
#[test]
fn a_base_too_short_for_the_brakes_is_named() {
    let said = |base: &str, leg: &str| {
        let given = format!(
            "base = \"{base}\", leg = \"{leg}\", gauge = \"8 mm\", leg_holes = 0, base_holes = 0"
        );
        let (passes, said) = checked_text("angle", None, "4 mm", DEMO, &given);
        assert!(!passes && said.contains("stop[min-flange]"), "{said}");
        said
    };
    let base = said("15 mm", "60 mm");
    assert!(base.contains("face `base` at bend `heel` is too short for any brake"), "{base}");
    assert!(
        base.contains(
            "face `base` is 15 mm long where it is shortest (ends of the bend left out), 17.5 mm is"
        ),
        "{base}"
    );
    let help = "help: make face `base` 2.6 mm longer; or";
    assert!(base.contains(help), "{base}");
    let flange = said("60 mm", "15 mm");
    assert!(flange.contains("the flange at bend `heel` is too short for any brake"), "{flange}");
    let both = said("15 mm", "15 mm");
    assert!(both.contains("the flange or face `base` at bend `heel` is too short"), "{both}");
}

/// Two walls are beside the jaws of the vice: by the rounding of their bends they come nearer to it
/// than the 2 mm between jaws and walls.
#[test]
fn a_clearance_below_the_margin_is_reported() {
    let given =
        "length = \"160 mm\", width = \"120 mm\", height = \"45 mm\", holes = 0, radius = \"3 mm\"";
    let (passes, said) = checked_text("box-bracket", None, "3 mm", DEMO, given);
    assert!(passes, "{said}");
    for bend in ["front", "back"] {
        let words = format!("bend `{bend}` clears the jaws by 0.352 mm, but 1 mm is needed");
        assert!(said.contains(&words), "{words} is not said: {said}");
    }
}

/// A radius of 80 mm is rolled: it passed in silence. Advice to use thinner sheet does not help
/// then.
#[test]
fn a_rolled_radius_is_refused_in_any_thickness() {
    for thickness in ["2 mm", "4 mm"] {
        let (passes, said) = checked("rolled", thickness, DEMO);
        let words = "no brake in the shop bends `b1` to an inside radius of 80 mm";
        assert!(!passes && said.contains(words), "{said}");
        assert!(!said.contains("use sheet no thicker"), "{said}");
    }
}

/// Leaning walls that are to meet do: they gaped by 8 to 25 mm without a word. The kernel's
/// own measure of such corners is in `files::outside_bending`.
#[test]
fn walls_that_lean_out_meet_as_specified() {
    for recipe in ["lean-60-closed", "lean-60-mitre", "lean-75-closed", "lean-90-closed"] {
        let (passes, said) = checked(recipe, "2 mm", None);
        assert!(passes && said.contains("0 stops, 0 cautions"), "{recipe}: {said}");
    }
    // Drawn to taper they meet at their foot alone.
    let taper = own("lean-90-closed").map(|text| {
        let foot = text.replace("\"59.6 mm", "\"50 mm").replace("\"-59.6 mm", "\"-50 mm");
        foot.replace("\"119.6 mm", "\"40 mm").replace("\"-119.6 mm", "\"-40 mm")
    });
    let (_, said) = checked_text("lean-90-closed", taper, "2 mm", None, "");
    assert!(said.contains("`right` is 0.5 mm to 11.146 mm, but 0.5 mm is needed"), "{said}");
    // Drawn as wide as their edges they cannot meet, which is reported.
    let narrow = own("lean-60-closed").map(|text| text.replace("119.6 mm", "59.6 mm"));
    let (_, said) = checked_text("lean-60-closed", narrow, "2 mm", None, "");
    assert!(said.contains("caution[corner-gap]"), "{said}");
}

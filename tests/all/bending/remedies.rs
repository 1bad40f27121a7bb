//! What is offered for a bend that cannot be made is done: then the bend can be made.

use platewright::diag::Finding;
use platewright::diag::Weight;
use platewright::job::Shelf;
use platewright::quantity;
use platewright::quantity::Reading;
use platewright::table::Tables;
use platewright::workshop::Workshop;
use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

/// A channel whose base and legs are inputs.
const CHANNEL: &str = r#"
about = "Channel"

[inputs]
base   = { kind = "length", default = "60 mm", about = "over both legs" }
far    = { kind = "length", default = "60 mm", about = "one leg" }
near   = { kind = "length", default = "60 mm", about = "the other leg" }
radius = { kind = "length", default = "bend_radius", about = "inside radius" }

[face.base]
blank = [ { add = "rectangle", width = "80 mm", height = "base" } ]

[face.upper]
blank = [ { add = "rectangle", width = "80 mm", height = "far", at = ["0", "far / 2"] } ]

[face.lower]
blank = [ { add = "rectangle", width = "80 mm", height = "near", at = ["0", "near / 2"] } ]

[bend.far]
on     = "base.top"
to     = "upper"
angle  = "90 deg"
radius = "radius"

[bend.near]
on     = "base.bottom"
to     = "lower"
angle  = "90 deg"
radius = "radius"
"#;

/// What a part is given, lengths in mm.
type Given = BTreeMap<&'static str, f64>;

/// The stops of one part in the shop of the demo; `units` are those of the job.
fn stops(recipe: &str, sheet: &str, units: &str, given: &Given) -> Vec<Finding> {
    let tables = Tables::shipped();
    let shipped = Shelf::shipped(&tables);
    let own = |name: &str| match name {
        "own-channel" => Some((format!("{name}.toml"), CHANNEL.to_owned())),
        _ => (shipped.recipe)(name),
    };
    let shop = fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("parts/shop.toml"));
    let shop = shop.unwrap();
    let file = |name: &str| Some((name.to_owned(), shop.clone()));
    let shelf = Shelf { file: &file, recipe: &own, ..shipped };
    let given: Vec<String> = given.iter().map(|(key, mm)| format!("{key} = \"{mm} mm\"")).collect();
    let text = format!(
        "units = \"{units}\"\nprocess = \"waterjet\"\nshop = \"shop.toml\"\n\
         sheet = [ {{ name = \"s\", {sheet}, stock = [] }} ]\n\
         part = [ {{ recipe = \"{recipe}\", name = \"p\", sheet = \"s\", given = {{ {} }} }} ]\n",
        given.join(", ")
    );
    let workshop = Workshop::new(shelf);
    let asked = workshop.read("job", "job.toml", &text).unwrap_or_else(|e| panic!("{e}\n{text}"));
    let found = match asked.solve() {
        Ok(ready) => ready.findings,
        Err(stopped) => stopped.findings,
    };
    found.into_iter().filter(|finding| finding.weight == Weight::Stop).collect()
}

fn mm(words: &str) -> f64 {
    let length = words.split(' ').take(2).collect::<Vec<_>>().join(" ");
    let Ok(Reading::Quantity(read)) = quantity::read(&length) else { panic!("{length}") };
    read.value
}

/// The bend that a finding of bending is about.
fn bend(finding: &Finding) -> Option<&str> {
    let is_of_bending = ["min-flange", "bend-sequence"].contains(&finding.code);
    let (_, rest) = finding.headline.split_once("bend `").filter(|_| is_of_bending)?;
    rest.split('`').next()
}

/// The same part with every face as much longer as a help says; none where it says nothing of that.
fn followed(given: &Given, finding: &Finding, inputs: [&'static str; 3]) -> Option<Given> {
    let (help, bend) = (finding.help.as_deref()?, bend(finding)?);
    let [base, far, near] = inputs;
    let leg = if bend == "far" { far } else { near };
    let mut next = given.clone();
    for remedy in help.split("; or ").next()?.split(" and make ") {
        let remedy = remedy.trim_start_matches("make ");
        let (input, by) = match remedy.strip_prefix("the flange ") {
            Some(by) => (leg, by),
            None => {
                let (face, by) = remedy.strip_prefix("face `")?.split_once("` ")?;
                (["base", "upper", "lower"].contains(&face).then_some(base)?, by)
            }
        };
        assert!(by.contains(" longer"), "{help}");
        *next.get_mut(input)? += mm(by);
    }
    Some(next)
}

/// Whether the bend of a finding still cannot be made.
fn is_left(after: &[Finding], finding: &Finding) -> bool {
    after.iter().any(|left| bend(left) == bend(finding))
}

#[test]
fn a_face_as_much_longer_as_is_said_is_long_enough() {
    let mut followed_up = 0;
    let mut lost = String::new();
    for (sheet, units) in [
        ("material = \"S235\", thickness = \"1.5 mm\"", "mm"),
        ("material = \"S235\", thickness = \"4 mm\"", "mm"),
        ("material = \"5052-H32\", thickness = \"11 ga\"", "in"),
    ] {
        for base in [13.0, 18.0, 24.0, 40.0] {
            for [far, near] in [[9.0, 60.0], [16.0, 25.0], [30.0, 90.0]] {
                let given = Given::from([("base", base), ("far", far), ("near", near)]);
                for finding in stops("own-channel", sheet, units, &given) {
                    let next = followed(&given, &finding, ["base", "far", "near"]);
                    let Some(next) = next else { continue };
                    followed_up += 1;
                    if is_left(&stops("own-channel", sheet, units, &next), &finding) {
                        let help = finding.help.unwrap_or_default();
                        lost += &format!("{sheet} {given:?}: {}: {help}\n", finding.headline);
                    }
                }
            }
        }
    }
    assert!(lost.is_empty(), "\n{lost}");
    assert!(followed_up >= 10, "only {followed_up}");
}

/// A narrow clevis: what is offered for its base, in inches.
#[test]
fn the_base_of_a_narrow_clevis_is_long_enough_once_it_is_as_said() {
    let sheet = "material = \"5052-H32\", thickness = \"11 ga\"";
    let mut offered = 0;
    for gap in [14.0, 18.0, 24.0] {
        let given = Given::from([("gap", gap)]);
        for finding in stops("clevis-bent", sheet, "in", &given) {
            let Some(next) = followed(&given, &finding, ["gap", "", ""]) else { continue };
            offered += 1;
            let after = stops("clevis-bent", sheet, "in", &next);
            assert!(!is_left(&after, &finding), "{gap}: {:?}: {after:?}", finding.help);
        }
    }
    assert!(offered > 0, "no case in which the base is too short");
}

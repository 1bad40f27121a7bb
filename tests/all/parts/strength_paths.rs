//! Loads whose path turns, narrows, bridges an opening or misses what holds the part: each
//! is cut where it gives way, or has no margin.

use super::strength::governing;
use super::strength::near;
use super::strength::verdict;
use platewright::strength::Limit;
use platewright::strength::Reason;
use platewright::strength::State;
use platewright::strength::Verdict;

/// Recipes for these tests alone.
pub(super) const RECIPES: &[(&str, &str)] = &[
    ("paths-hook", HOOK),
    ("paths-slot", SLOT),
    ("paths-bridge", BRIDGE),
    ("paths-beam", BEAM),
    ("paths-pad", PAD),
    ("paths-hat", HAT),
];

const HOOK: &str = r#"
about = "Plate with a thin arm to the side, from which its eye hangs"
[face.plate]
blank = [ { add = "polygon", corners = [ { at = ["0 mm", "0 mm"], edge = "foot" }, ["60 mm", "0 mm"], ["60 mm", "118 mm"], ["80 mm", "118 mm"], ["80 mm", "40 mm"], ["110 mm", "40 mm"], ["110 mm", "130 mm"], ["0 mm", "130 mm"] ] } ]
holes = [ { name = "eye", at = ["95 mm", "57 mm"], diameter = "12.5 mm", role = "eye" } ]
weld = [ { edge = "foot", leg = "6 mm" } ]
"#;

const SLOT: &str = r#"
about = "Plate on two bolts with a neck of 14 mm, 2 mm high, below its eye"
[inputs]
bolt = { kind = "bolt", default = "M8", about = "holds it" }
[face.plate]
blank = [ { add = "polygon", corners = [ ["-40 mm", "-20 mm"], ["40 mm", "-20 mm"], ["40 mm", "50 mm"], ["7 mm", "50 mm"], ["7 mm", "52 mm"], ["40 mm", "52 mm"], ["40 mm", "120 mm"], ["-40 mm", "120 mm"], ["-40 mm", "52 mm"], ["-7 mm", "52 mm"], ["-7 mm", "50 mm"], ["-40 mm", "50 mm"] ] } ]
holes = [ { name = "eye", at = ["20 mm", "100 mm"], diameter = "12.5 mm", role = "eye" }, { name = "b", diameter = "9 mm", row = { count = "2", pitch = "40 mm" }, for = "bolt" } ]
"#;

const BRIDGE: &str = r#"
about = "Plate with a wide opening under its eye"
[inputs]
wide = { kind = "length", default = "190 mm", about = "width of the opening" }
[face.plate]
blank = [ { add = "rectangle", width = "212 mm", height = "76 mm", at = ["0 mm", "38 mm"] }, { cut = "rectangle", width = "wide", height = "10 mm", at = ["0 mm", "40 mm"] } ]
holes = [ { name = "eye", at = ["0 mm", "60 mm"], diameter = "12.5 mm", role = "eye" } ]
weld = [ { edge = "bottom", leg = "6 mm" } ]
"#;

const BEAM: &str = r#"
about = "Lug on a base that is bolted on both sides of it"
[inputs]
bolt = { kind = "bolt", default = "M8", about = "in the base" }
pitch = { kind = "length", default = "300 mm", about = "of the bolts" }
[face.base]
blank = [ { add = "rectangle", width = "pitch + 30 mm", height = "60 mm", at = ["0 mm", "-30 mm"] } ]
holes = [ { name = "b", at = ["0 mm", "-40 mm"], diameter = "9 mm", row = { count = "2", pitch = "pitch" }, for = "bolt" } ]
[face.lug]
blank = [ { add = "rectangle", width = "34 mm", height = "60 mm", at = ["0 mm", "30 mm"] } ]
holes = [ { name = "eye", at = ["0 mm", "45 mm"], diameter = "9 mm" } ]
[bend.heel]
on = "base.top"
to = "lug"
angle = "90 deg"
radius = "6 mm"
"#;

const PAD: &str = r#"
about = "Strip bolted at both ends"
[inputs]
bolt = { kind = "bolt", default = "M10", about = "holds it" }
[face.plate]
blank = [ { add = "rectangle", width = "320 mm", height = "40 mm" } ]
holes = [ { name = "b", diameter = "11 mm", row = { count = "2", pitch = "280 mm" }, for = "bolt" } ]
"#;

const HAT: &str = r#"
about = "Strip with a foot bent down on either side, each with a bolt"
[inputs]
bolt = { kind = "bolt", default = "M8", about = "in each foot" }
[face.top]
blank = [ { add = "rectangle", width = "80 mm", height = "60 mm", at = ["0 mm", "30 mm"] } ]
holes = [ { name = "eye", at = ["0 mm", "30 mm"], diameter = "9 mm" } ]
[face.near]
blank = [ { add = "rectangle", width = "80 mm", height = "60 mm", at = ["0 mm", "30 mm"] } ]
holes = [ { name = "b 1", at = ["0 mm", "40 mm"], diameter = "9 mm", for = "bolt" } ]
[face.far]
blank = [ { add = "rectangle", width = "80 mm", height = "60 mm", at = ["0 mm", "30 mm"] } ]
holes = [ { name = "b 2", at = ["0 mm", "40 mm"], diameter = "9 mm", for = "bolt" } ]
[bend.one]
on = "top.top"
to = "near"
angle = "90 deg"
radius = "4 mm"
[bend.two]
on = "top.bottom"
to = "far"
angle = "90 deg"
radius = "4 mm"
"#;

fn load(hole: &str, direction: &str, more: &str) -> String {
    format!("hole = \"{hole}\"\nforce = \"10 N\"\ndirection = \"{direction}\"\n{more}")
}

fn reason(verdict: &Verdict) -> &Reason {
    assert!(verdict.limits.is_empty() && verdict.margin().is_none(), "{verdict:#?}");
    match &verdict.state {
        State::NotJudged(reason) => reason,
        State::Judged => panic!("judged: {verdict:#?}"),
    }
}

/// The arm, 12 × 6 mm, leaves the plate 35 mm beside the eye: 6 · 12² / 4 · 235 / 1.67 / 35 =
/// 868.5 N. The foot alone would hold 9.4 kN.
#[test]
fn an_arm_to_the_side_bends_where_it_leaves_the_plate() {
    let hook =
        verdict("S235", 6.0, "recipe = \"paths-hook\"", &load("eye", "pull", "pin = \"12 mm\""));
    near(governing(&hook).allowable(), 216.0 * 235.0 / 1.67 / 35.0);
}

/// The neck, 14 × 6 mm, ends 50 mm below the eye, and is 20 mm beside it. Along, which for bolts
/// is square to the line from their middle to the eye, (20, 100) / 101.98, the force turns
/// about the lower end of the neck by (50 · 100 + 20 · 20) / 101.98 = 52.95 mm and pulls
/// with 0.196 of itself: M/Mc + (N/Nc)² = 1 with 294 and 84 mm³, mm². The sections across
/// the path ran past it, and 7.6 kN were left.
#[test]
fn a_neck_shorter_than_the_sections_are_apart_is_cut() {
    let part = "recipe = \"paths-slot\"";
    let neck = verdict("S235", 6.0, part, &load("eye", "along", "pin = \"12 mm\""));
    let bend: f64 = 5400.0 / 101.980_39;
    let yielding = 235.0 / 1.67;
    let (bent, pulled): (f64, f64) = (bend / (294.0 * yielding), 0.196_116 / (84.0 * yielding));
    let by_hand = 2.0 / (bent + (bent * bent + 4.0 * pulled * pulled).sqrt());
    let allowable = governing(&neck).allowable();
    assert!((0.97..1.005).contains(&(allowable / by_hand)), "{allowable}, by hand {by_hand}");
}

/// An eye 15 mm above an opening of 190 mm hangs on a beam of 31 mm with a hole in it, fixed at
/// both ends or not: 4 kN. It has no margin; above an opening of 20 mm it has one.
#[test]
fn a_bridge_over_a_wide_opening_is_not_judged() {
    for direction in ["pull", "along", "sideways"] {
        let at = |wide: &str| {
            let part = format!("recipe = \"paths-bridge\"\ngiven = {{ wide = \"{wide}\" }}");
            verdict("S235", 6.0, &part, &load("eye", direction, "pin = \"12 mm\""))
        };
        assert!(matches!(reason(&at("190 mm")), Reason::Bridge(_)));
        assert_eq!(at("20 mm").state, State::Judged);
    }
}

/// From the eye, 45 mm up its lug, 45° reach some 80 mm to either side at the bend, and as far
/// back from bolts 40 mm behind it as these are from its heel: bolts 300 mm apart are not
/// reached, bolts 60 mm apart are.
#[test]
fn a_base_that_is_a_beam_between_its_bolts_is_not_judged() {
    let at = |pitch: &str| {
        let part = format!("recipe = \"paths-beam\"\ngiven = {{ pitch = \"{pitch}\" }}");
        verdict("S235", 8.0, &part, &load("eye", "pull", "pin = \"8 mm\"\nbolts = \"b\""))
    };
    assert!(matches!(reason(&at("300 mm")), Reason::Beam(_)));
    assert_eq!(at("60 mm").state, State::Judged);
}

/// The shipped angle, 240 mm wide with bolts 190 mm apart, allowed a force that was no number.
#[test]
fn an_angle_with_its_bolts_far_apart_is_not_judged() {
    let part = "recipe = \"angle\"\n\
                given = { width = \"240 mm\", base_holes = 2, pitch = \"190 mm\", gauge = \"30 mm\", base = \"50 mm\", leg = \"50 mm\" }";
    let angle = verdict("S235", 4.0, part, &load("leg", "pull", "bolts = \"base\""));
    reason(&angle);
}

/// A strip on two bolts in line, pushed across that line 50 mm above it, turns over its edge
/// and is bent and twisted between its bolts, where nothing was cut.
#[test]
fn a_strip_that_turns_over_its_bolts_in_line_is_not_judged() {
    let load = "at = [\"0 mm\", \"0 mm\"]\nabove = \"50 mm\"\nfoot = \"20 mm\"\n\
                force = \"10 N\"\ndirection = \"pull\"\nbolts = \"b\"\nbolts_grade = \"8.8\"";
    let strip = verdict("S235", 8.0, "recipe = \"paths-pad\"", load);
    assert!(matches!(reason(&strip), Reason::InLine(_)));
}

/// Two feet share a load by their stiffness.
#[test]
fn bolts_of_one_name_in_two_feet_are_not_judged() {
    let hat = verdict(
        "S235",
        4.0,
        "recipe = \"paths-hat\"",
        &load("eye", "pull", "pin = \"8 mm\"\nbolts = \"b\""),
    );
    assert!(matches!(reason(&hat), Reason::Several(ways) if ways.len() == 2));
}

/// What is no number never passes for more than another limit.
#[test]
fn a_limit_that_is_no_number_allows_nothing() {
    for nominal in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
        let limit = Limit::new("section", "rule", nominal, 1.67);
        assert_eq!(limit.allowable(), 0.0);
        assert!(!limit.is_sound());
    }
    assert!(Limit::new("section", "rule", 1.0, 1.67).is_sound());
    assert!(!Limit::new("section", "rule", 1.0, f64::NAN).is_sound());
}

//! Loads whose path turns, narrows, bridges an opening or misses the support: each is cut where it
//! gives way, or has no margin.

use super::strength::governing;
use super::strength::near;
use super::strength::verdict;
use platewright::num::Angle;
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
    ("paths-aside", ASIDE),
    ("paths-step", STEP),
    ("paths-one-bend", ONE_BEND),
];

const ASIDE: &str = r#"
about = "Plate with an eye at its left, and an opening wholly to the right of it"
[face.plate]
blank = [ { add = "polygon", corners = [ { at = ["-100 mm", "0 mm"], edge = "foot" }, ["100 mm", "0 mm"], ["100 mm", "130 mm"], ["-100 mm", "130 mm"] ] }, { cut = "rectangle", width = "120 mm", height = "40 mm", at = ["30 mm", "60 mm"] } ]
holes = [ { name = "eye", at = ["-60 mm", "100 mm"], diameter = "12.5 mm", role = "eye" } ]
weld = [ { edge = "foot", leg = "5 mm" } ]
"#;

const STEP: &str = r#"
about = "Plate with two openings below its eye, one set up and aside of the other"
[inputs]
aside = { kind = "length", default = "40 mm", about = "of the upper opening from the lower one" }
up = { kind = "length", default = "20 mm", about = "of the upper opening from the lower one" }
[face.plate]
blank = [ { add = "rectangle", width = "120 mm", height = "160 mm", at = ["0 mm", "80 mm"] }, { cut = "rectangle", width = "30 mm", height = "10 mm", at = ["-aside / 2", "40 mm"] }, { cut = "rectangle", width = "30 mm", height = "10 mm", at = ["aside / 2", "40 mm + up"] } ]
holes = [ { name = "eye", at = ["0 mm", "130 mm"], diameter = "12.5 mm", role = "eye" } ]
weld = [ { edge = "bottom", leg = "5 mm" } ]
"#;

const ONE_BEND: &str = r#"
about = "Strip bent by 75°, welded at its foot, its eye to the left of its middle"
[face.foot]
blank = [ { add = "rectangle", width = "50 mm", height = "60 mm", at = ["0 mm", "30 mm"] } ]
weld = [ { edge = "bottom", leg = "3 mm" } ]
[face.flange]
blank = [ { add = "rectangle", width = "50 mm", height = "70 mm", at = ["0 mm", "35 mm"] } ]
holes = [ { name = "eye", at = ["-3 mm", "55 mm"], diameter = "10.5 mm", role = "eye" } ]
[bend.heel]
on = "foot.top"
to = "flange"
angle = "75 deg"
radius = "10 mm"
"#;

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

/// Two parts at a right angle to each other.
fn together(one: f64, other: f64) -> f64 {
    (one * one + other * other).sqrt()
}

/// The arm, 12 × 6 mm, leaves the plate 35 mm beside the eye: straight across 6 · 12² / 4 · 235 /
/// 1.67 / 35 = 868.5 N. At a slant of tan u the section is longer, and its middle 6 u farther: by
/// (35 + 6 u) / (1 + u²), at most 35.255 with u = 0.0851, 862.2 N. The foot alone would carry 9.4
/// kN.
#[test]
fn an_arm_to_the_side_bends_where_it_leaves_the_plate() {
    let hook =
        verdict("S235", 6.0, "recipe = \"paths-hook\"", &load("eye", "pull", "pin = \"12 mm\""));
    near(governing(&hook).allowable(), 216.0 * 235.0 / 1.67 / 35.255);
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
    for direction in ["pull", "along", "normal"] {
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

/// The shipped angle, 240 mm wide with bolts 190 mm apart, allowed a force that was not a number.
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

/// The metal beyond the opening, 10 mm at x = 90, is not reached at 45° from the eye, 40 to 20 mm
/// below it: the strip on the left, 70 wide, takes all. Along: at y = 40 it bends with 60 N·mm.
/// Lb is 116.6 mm to the middle of the foot: Lb d/t² = 226.8, F11-2: (1.52 − 0.274 · 226.8 · 235 /
/// 210 000) My, My = 235 · 4900. With a share of the strip beyond the opening the whole was judged
/// by that strip, and a load normal to the plate not judged.
#[test]
fn metal_beyond_an_opening_beside_the_path_takes_nothing() {
    let part = "recipe = \"paths-aside\"";
    let at = |way: &str| verdict("S235", 6.0, part, &load("eye", way, "pin = \"12 mm\""));
    let along = at("along");
    let of_face = along.limits.iter().find(|l| l.what == "section of the plate").unwrap();
    let wide = 70.0_f64;
    let slender = together(60.0, 100.0) * wide / 36.0;
    let elastic = wide * wide;
    let moment = (1.52 - 0.274 * slender * 235.0 / 210_000.0) * 235.0 * elastic / 1.67;
    let (bent, sheared) = (60.0 / moment, 1.5 / (0.6 * 235.0 * wide * 6.0));
    let by_hand = 2.0 / (bent + (bent * bent + 4.0 * sheared * sheared).sqrt());
    let share = of_face.allowable() / by_hand;
    assert!((0.85..1.001).contains(&share), "{share}: a slant may govern by a little");
    let section = of_face.section.unwrap();
    assert!(section.ligament.iter().all(|p| p.x < -29.0), "{section:?}");
    assert!(governing(&at("normal")).allowable() > 0.0);
}

/// No allowable steps by more than 2 % in 0.1°, wherever the section that governs changes.
#[test]
fn nothing_steps_where_another_section_governs() {
    for (recipe, thick) in [("paths-hook", 6.0), ("paths-aside", 6.0), ("paths-one-bend", 5.0)] {
        let part = format!("recipe = \"{recipe}\"");
        let at = |degrees: f64| {
            let load = load("eye", &format!("{degrees} deg"), "pin = \"10 mm\"");
            governing(&verdict("S235", thick, &part, &load)).allowable()
        };
        for degrees in [-170.0, -90.05, -35.0, 12.0, 44.95, 89.95, 135.0] {
            let (before, after) = (at(degrees), at(degrees + 0.1));
            assert!((after / before - 1.0).abs() < 0.02, "{recipe} {degrees}: {before} {after}");
        }
    }
}

/// Straight sections have 90 mm of 120; from the left end of the lower opening over the web
/// between them to the right end of the upper one there are 25 + 25 and a web of 14.
#[test]
fn staggered_openings_are_not_judged() {
    let at = |given: &str| {
        let part = format!("recipe = \"paths-step\"\ngiven = {{ {given} }}");
        verdict("S235", 6.0, &part, &load("eye", "pull", "pin = \"12 mm\""))
    };
    assert!(matches!(reason(&at("")), Reason::Staggered(_)));
    let row = at("up = \"0 mm\"");
    assert_eq!(row.state, State::Judged, "in a row across the load");
    let column = at("aside = \"0 mm\", up = \"30 mm\"");
    assert_eq!(column.state, State::Judged, "one behind the other");
}

/// Pushed towards the bend of 75°, 5 × 50: at an angle θ after the foot the load's components
/// are those of the flange turned back. The middle of the sheet is 12.5 from the centre of the
/// bend. The worst place is between the quarters of the bend.
#[test]
fn a_bend_is_cut_where_it_governs() {
    let part = "recipe = \"paths-one-bend\"";
    let push = load("eye", "40 deg", "pin = \"10 mm\"");
    let found = verdict("S235", 5.0, part, &push);
    let at_bend = found.limits.iter().find(|l| l.what == "section at a bend").unwrap();
    let bend = Angle::from_degrees(75.0);
    let (sin, cos) = (bend.sin(), bend.cos());
    let setback = 15.0 * Angle::from_degrees(37.5).tan();
    // From the centre of the bend: along the foot, up.
    let start = 60.0 - setback;
    let centre = [start, 10.0];
    let on_flange = 55.0 - setback;
    let eye = [centre[0] + 12.5 * sin + on_flange * cos, centre[1] - 12.5 * cos + on_flange * sin];
    let way = Angle::from_degrees(40.0);
    let (way_sin, way_cos) = (way.sin(), way.cos());
    // In the plane of the flange: to its end, and to its left.
    let force = [way_cos * cos, way_cos * sin];
    let yielding = 235.0 / 1.67;
    let pulled = |theta: f64| {
        let theta = Angle::from_degrees(theta);
        let (s, c) = (theta.sin(), theta.cos());
        let here = [centre[0] + 12.5 * s, centre[1] - 12.5 * c];
        let arm = [eye[0] - here[0], eye[1] - here[1]];
        let (along, out) = (force[0] * c + force[1] * s, force[1] * c - force[0] * s);
        let bent = (arm[0] * force[1] - arm[1] * force[0]).abs();
        let (ahead, off) = (arm[0] * c + arm[1] * s, arm[1] * c - arm[0] * s);
        // The force to the left acts at the left: edgeways with the pull, and as a torque.
        let edge = (way_sin * ahead - along * 3.0).abs();
        let twist = (way_sin * off - out * 3.0).abs();
        [along, together(way_sin, out), bent, edge, twist]
    };
    let section = at_bend.section.unwrap();
    let acting = section.forces;
    let near_one = (0..=4000).map(|i| pulled(75.0 * f64::from(i) / 4000.0)).map(|f| {
        (f[0] * 10.0 - acting.normal).abs() + (f[2] * 10.0 - acting.bend_out.abs()).abs() / 50.0
    });
    let off = near_one.fold(f64::INFINITY, f64::min);
    assert!(off < 0.05, "the section is on the bend: {off} {acting:?}");
    let min = (0..=4000).map(|i| {
        let [along, shear, bent, edge, twist] = pulled(75.0 * f64::from(i) / 4000.0);
        let modulus = 5.0 * 50.0 * 50.0;
        let torsion = 0.6 * 12.5 * (50.0 - 5.0 / 3.0) * yielding;
        let allowed = section.allowable;
        let direct = along.abs() / allowed.normal + bent / (50.0 * 6.25 * yielding);
        let direct = direct + edge / allowed.bend_in.min(modulus / 4.0 * yielding);
        let sideways = shear * 1.5 / (0.6 * 235.0 * 250.0) + twist / torsion;
        2.0 / (direct + (direct * direct + 4.0 * sideways * sideways).sqrt())
    });
    let by_hand = min.fold(f64::INFINITY, f64::min);
    let is = at_bend.allowable();
    assert!((is / by_hand - 1.0).abs() < 2e-3, "{is}, by hand {by_hand}");
}

/// A round cap of 38 − 2 mm, 4 thick, with a hole of 11 for its bolt, pulled along the tube with
/// a fillet of 3 mm all round: 2π · 235 · 4²/4 / 1.67 = 3536.6 N by the plate, π · 11 · 4 · 0.6 ·
/// 235 / 1.5 = 12 994 N round the hole, 289.58 · 0.707 · 3 · π · 36 / 2 = 34 733 N by the weld.
#[test]
fn an_end_cap_is_held_by_its_weld_all_round() {
    let part = "recipe = \"end-cap\"\ngiven = { seat = \"behind\" }";
    let pulled = load("seat", "normal", "pin = \"10 mm\"\nleg = \"3 mm\"");
    let cap = verdict("S235", 4.0, part, &pulled);
    let called = |what: &str| cap.limits.iter().find(|l| l.what == what).unwrap().allowable();
    near(called("end cap in bending"), 2.0 * std::f64::consts::PI * 235.0 * 4.0 / 1.67);
    near(called("end cap in shear round its hole"), 12_993.6);
    near(called("fillet weld all round"), 34_733.0);
    assert_eq!(governing(&cap).what, "end cap in bending");
    assert_eq!(cap.held, "weld all round");
    let no_leg = load("seat", "normal", "pin = \"10 mm\"");
    assert!(matches!(reason(&verdict("S235", 4.0, part, &no_leg)), Reason::Cap));
    let across = load("seat", "pull", "pin = \"10 mm\"\nleg = \"3 mm\"");
    assert!(matches!(reason(&verdict("S235", 4.0, part, &across)), Reason::Cap));
}

/// A cap that reaches 2 mm beyond a tube of 38 mm has a ledge of 2 mm for its fillet: a leg of 3 mm
/// counts as 2, 289.58 · 0.707 · 2 · π · 42 / 2 = 27 014 N, and does not fit.
#[test]
fn the_fillet_of_a_cap_lies_on_its_ledge() {
    let part = "recipe = \"end-cap\"\ngiven = { seat = \"behind\", fit = \"overlap\", overlap = \"2 mm\" }";
    let of = |leg: &str| {
        let pulled = load("seat", "normal", &format!("pin = \"10 mm\"\nleg = \"{leg}\""));
        let cap = verdict("S235", 4.0, part, &pulled);
        let weld = cap.limits.iter().find(|l| l.what == "fillet weld all round");
        let ledge = |shape: &&platewright::strength::Shape| shape.what.contains("beside its tube");
        let kept = cap.shapes.iter().find(ledge).map(|shape| shape.kept());
        (weld.map(|limit| limit.allowable()).unwrap_or_default(), kept)
    };
    let (short, full) = (of("3 mm"), of("2 mm"));
    near(short.0, 27_014.0);
    near(full.0, 27_014.0);
    assert_eq!((short.1, full.1), (Some(false), Some(true)));
}

/// A limit that is not a number never ranks above another.
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

//! What heads, nuts and washers of a joint bear on, the lengths in which bolts are sold, and holes
//! that are not for the bolt, or mirrored.

use crate::own;
use crate::parts::joints::TOP;
use crate::parts::joints::joint;
use crate::parts::joints::part;
use platewright::diag::Finding;
use platewright::diag::Weight;
use platewright::make::Made;

/// A plate with three holes of any size, mirrored or not.
const OWN: &str = r#"
about = "A plate with holes of any size"
[inputs]
wide  = { kind = "length", default = "9 mm", about = "the holes" }
way   = { kind = "choice", of = ["drawn", "mirrored"], default = "drawn", about = "of the holes" }
how   = { kind = "choice", of = ["clear", "sunk", "tap", "rivet", "for"], default = "clear", about = "of the holes" }
[face.plate]
blank = [ { add = "rectangle", width = "200 mm", height = "160 mm" } ]
holes = [
  { name = "bolt", each = { x = ["0 mm", "60 mm", "60 mm"], y = ["0 mm", "0 mm", "40 mm"] }, at = ["x", "if way == 'mirrored' then -y else y"], diameter = "wide", when = "how == 'clear'" },
  { name = "bolt", each = { x = ["0 mm", "60 mm", "60 mm"], y = ["0 mm", "0 mm", "40 mm"] }, at = ["x", "if way == 'mirrored' then -y else y"], diameter = "9 mm", for = "M8", countersink = {}, when = "how == 'sunk'" },
  { name = "bolt", each = { x = ["0 mm", "60 mm", "60 mm"], y = ["0 mm", "0 mm", "40 mm"] }, at = ["x", "if way == 'mirrored' then -y else y"], diameter = "6 mm", for = "M6", made = "tap", pilot = "5 mm", when = "how == 'tap'" },
  { name = "bolt", each = { x = ["0 mm", "60 mm", "60 mm"], y = ["0 mm", "0 mm", "40 mm"] }, at = ["x", "if way == 'mirrored' then -y else y"], insert = "rivet nut M6", side = "up", when = "how == 'rivet'" },
  { name = "bolt", each = { x = ["0 mm", "60 mm", "60 mm"], y = ["0 mm", "0 mm", "40 mm"] }, at = ["x", "if way == 'mirrored' then -y else y"], diameter = "11 mm", for = "M10", when = "how == 'for'" },
]
"#;

/// A flange for it.
const FLANGE: &str = r#"
[face.flange]
blank = [ { add = "rectangle", width = "200 mm", height = "40 mm", at = ["0", "20 mm"] } ]
[bend.edge]
on     = "plate.top"
to     = "flange"
angle  = "90 deg"
radius = "6 mm"
"#;

fn made(text: &str) -> Made {
    own::make(OWN, &format!("{TOP}{text}")).unwrap_or_else(|found| panic!("{:?}", words(&found)))
}

fn words(found: &[Finding]) -> Vec<String> {
    found.iter().map(|f| format!("{} {}: {} {:?}", f.weight, f.code, f.headline, f.help)).collect()
}

/// The findings on a joint of two plates of 6 mm, each with the keys given.
fn of(one: &str, other: &str, bolt: &str, more: &str) -> Vec<Finding> {
    of_recipe(OWN, one, other, (bolt, more))
}

/// The same with parts of a recipe.
fn of_recipe(own: &str, one: &str, other: &str, (bolt, more): (&str, &str)) -> Vec<Finding> {
    let parts = part("a", "6", one) + &part("b", "6", other);
    let text = format!("{TOP}{parts}{}", joint(bolt, "\"a.bolt\", \"b.bolt\"", more));
    let found = match own::asked(own, &text, &mut Default::default()) {
        Ok((_, (_, found))) | Err(found) => found,
    };
    assert!(found.iter().all(|f| f.weight != Weight::Stop || f.code.starts_with("joint-")));
    found.into_iter().filter(|f| f.code.starts_with("joint-")).collect()
}

fn one(found: &[Finding], weight: Weight, wanted: &str) {
    let is = |f: &&Finding| f.weight == weight && f.headline.contains(wanted);
    assert_eq!(found.iter().filter(is).count(), 1, "{wanted}: {:?}", words(found));
    assert_eq!(found.len(), 1, "{wanted}: {:?}", words(found));
}

/// M8: the washer is 16 mm wide (ISO 7089), the head 13 (ISO 4014). With the bolt at one side of a hole
/// of 12, 2 × 12 − 8 = 16 mm cover it, of 12.5 they do not; the bare head passes through 14.
#[test]
fn what_bears_covers_its_hole() {
    let plain = |wide: &str| of(&format!("wide = \"{wide}\""), "", "M8", "");
    one(
        &plain("12 mm"),
        Weight::Caution,
        "hole `a.bolt` is 12 mm in diameter; the loose clearance hole",
    );
    one(&plain("12.5 mm"), Weight::Caution, "the washer under the head, 16 mm wide, may not cover");
    one(&plain("17 mm"), Weight::Stop, "falls through the hole of `a.bolt`, 17 mm");
    let bare = of("wide = \"14 mm\"", "", "M8", "washers = [\"none\", \"plain\"]");
    one(&bare, Weight::Stop, "the head, 13 mm wide, falls through the hole of `a.bolt`, 14 mm");
    // The nut as well, on the other side.
    let nut = of("", "wide = \"14 mm\"", "M8", "washers = [\"plain\", \"none\"]");
    one(&nut, Weight::Stop, "the nut, 13 mm wide, falls through the hole of `b.bolt`");
}

/// A countersink belongs under the head: the first plate of the stack.
#[test]
fn nothing_bears_on_a_countersink() {
    assert!(of("how = \"sunk\"", "", "M8", "").is_empty());
    let last = of("", "how = \"sunk\"", "M8", "");
    one(&last, Weight::Stop, "the washer under the nut, 16 mm wide, bears on the countersink");
    let wide = of("", "how = \"sunk\"", "M8", "washers = [\"plain\", \"M8 large\"]");
    one(&wide, Weight::Caution, "the washer under the nut, 24 mm wide, bears on the countersink");
    let parts = part("a", "6", "") + &part("b", "6", "how = \"sunk\"") + &part("c", "6", "");
    let stack = "\"a.bolt\", \"b.bolt\", \"c.bolt\"";
    let text = format!("{TOP}{parts}{}", joint("M8", stack, ""));
    let (_, (_, found)) = own::asked(OWN, &text, &mut Default::default()).unwrap();
    let own: Vec<Finding> = found.into_iter().filter(|f| f.code == "joint-bolt").collect();
    one(&own, Weight::Caution, "the countersink of `b.bolt` is inside the stack");
}

/// A hole of M10 takes M8 loosely, and was not meant to.
#[test]
fn a_hole_for_another_bolt_is_a_caution() {
    let found = of("how = \"for\"", "", "M8", "");
    one(&found, Weight::Caution, "`a.bolt` is for M10, but the bolt of joint `j` is M8");
    let own = of("how = \"for\"", "wide = \"11 mm\"", "M10", "");
    assert!(own.is_empty(), "{:?}", words(&own));
}

/// A hole of 1/2 in for a bolt of 3/8 in, whose loose clearance hole is 27/64 in (ASME B18.2.8), and 12 mm for M8,
/// whose coarse hole is 10 mm (ISO 273), let the plate shift; 10 mm does not.
#[test]
fn a_hole_wider_than_the_loose_fit_is_a_caution() {
    let wide = |mm: &str| format!("wide = \"{mm}\"");
    let inch = of(&wide("10.5 mm"), &wide("12.7 mm"), "3/8", "");
    one(
        &inch,
        Weight::Caution,
        "hole `b.bolt` is 12.7 mm in diameter; the loose clearance hole for 3/8 is 10.716 mm",
    );
    assert!(
        inch[0].notes.iter().any(|n| n
            == "the plate can shift by 3.175 mm in all, from one side of the hole to the other"),
        "{inch:?}"
    );
    one(&of("", &wide("12 mm"), "M8", ""), Weight::Caution, "loose clearance hole for M8 is 10 mm");
    assert!(of("", &wide("10 mm"), "M8", "").is_empty());
}

/// One word for both washers, a wrong one underlined where it is written, and what cannot be.
#[test]
fn washers_are_said_in_one_word_or_two() {
    let needed = |more: &str| {
        let parts = part("a", "6", "") + &part("b", "6", "");
        let text = parts + &joint("M8", "\"a.bolt\", \"b.bolt\"", more);
        made(&text).report.joints[0].needed_mm.unwrap()
    };
    // Two washers of ISO 7089, 1.8 mm each; both plain when left out.
    let (plain, none) = (needed("washers = \"plain\""), needed("washers = \"none\""));
    assert!((plain - none - 3.6).abs() < 1e-6, "{plain} {none}");
    assert!((plain - needed("")).abs() < 1e-9);
    let wrong = of("", "", "M8", "washers = \"M10 large\"");
    one(&wrong, Weight::Stop, "washer M10 large is not for M8");
    let parts = part("a", "6", "") + &part("b", "6", "");
    for (given, wanted) in [("[\"plain\"]", "has 1 entry"), ("3", "a washer, or a list of two")] {
        let more = format!("washers = {given}");
        let text = format!("{TOP}{parts}{}", joint("M8", "\"a.bolt\", \"b.bolt\"", &more));
        let found = own::asked(OWN, &text, &mut Default::default()).err().unwrap();
        assert!(found[0].headline.contains(wanted), "{}", found[0].headline);
        assert!(found[0].help.as_ref().unwrap().contains("washers = \"plain\""));
    }
}

/// Powder of 0.08 to 0.12 mm or the like on both sides of each plate, and 0.26 mm of sheet
/// tolerance (EN 10051, 6 mm), make the bolt longer: the required length grows by 2 × 0.26 and by
/// four films.
#[test]
fn films_and_sheet_tolerance_count_in_the_length() {
    let parts = part("a", "6", "") + &part("b", "6", "");
    let text = parts + &joint("M8", "\"a.bolt\", \"b.bolt\"", "");
    let needed = |coating: &str| {
        let all = format!("{coating}{TOP}{text}");
        let made = own::make(OWN, &all).unwrap_or_else(|found| panic!("{:?}", words(&found)));
        let row = &made.report.joints[0];
        assert!((row.grip_mm - 12.0).abs() < 1e-9);
        row.needed_mm.unwrap()
    };
    // 12 + 2 × 0.26 + 3.6 + 6.8 + 2.5.
    assert!((needed("") - 25.42).abs() < 1e-6, "{}", needed(""));
    let coated = needed("coating = \"0.1 mm\"\n");
    assert!((coated - 25.82).abs() < 1e-6, "{coated}");
}

/// M20 of 35 mm is not sold, nor M3 of 80 (ISO 4014, ISO 4017, from memory).
#[test]
fn bolts_are_ordered_as_they_are_sold() {
    let of_bolt = |bolt: &str, wide: &str, spacer: &str| {
        let wide = format!("wide = \"{wide}\"");
        let parts = part("a", "4", &wide) + &part("b", "4", &wide);
        let stack = format!("\"a.bolt\", {spacer}\"b.bolt\"");
        let text = parts + &joint(bolt, &stack, "washers = \"none\"");
        let text = format!("{TOP}{text}");
        let (_, (_, found)) = own::asked(OWN, &text, &mut Default::default()).unwrap();
        let said = found.into_iter().filter(|f| f.code == "joint-bolt");
        let said: Vec<String> = said.map(|f| f.headline).collect();
        let made = own::make(OWN, &text).unwrap_or_else(|found| panic!("{:?}", words(&found)));
        (made.report.joints[0].bolt.clone(), said)
    };
    // 8.44 + 18 + 5 = 31.44.
    assert_eq!(of_bolt("M20", "22 mm", ""), ("M20 × 40 mm".to_owned(), vec![]));
    let (bolt, said) = of_bolt("M8", "9 mm", "{ spacer = \"65 mm\" }, ");
    assert_eq!(bolt, "M8 × 90 mm");
    assert!(said.len() == 1 && said[0].contains("the longest that is listed, 80 mm"), "{said:?}");
}

/// Where nothing is drilled while it is clamped no pilot bolt is ordered.
#[test]
fn a_pilot_bolt_without_a_drill_is_said_and_not_ordered() {
    let found = of("", "", "M8", "pilot = \"M4\"");
    one(&found, Weight::Caution, "no pilot bolt M4 is ordered");
    let parts = part("a", "6", "") + &part("b", "6", "");
    let made = made(&(parts + &joint("M8", "\"a.bolt\", \"b.bolt\"", "pilot = \"M4\"")));
    let list = made.files.iter().find(|file| file.name == "hardware.csv").unwrap();
    assert!(!String::from_utf8_lossy(&list.bytes).contains("pilot"));
}

/// Three holes and their mirror image meet with one plate flipped over: the bench list says which. Two
/// plates with a flange each cannot be: that is a caution.
#[test]
fn a_mirrored_pattern_is_flipped_over_or_said() {
    let mirrored = "way = \"mirrored\"";
    assert!(of("", mirrored, "M8", "").is_empty());
    let parts = part("a", "6", "") + &part("b", "6", mirrored);
    let made = made(&(parts + &joint("M8", "\"a.bolt\", \"b.bolt\"", "")));
    let bench = made.files.iter().find(|file| file.name == "bench.csv").unwrap();
    let bench = String::from_utf8_lossy(&bench.bytes).into_owned();
    let wanted = "Flip b over: its holes are the mirror image of those of a.";
    assert!(bench.contains(wanted), "{bench}");
    let bent = format!("{OWN}{FLANGE}");
    let sided = of_recipe(&bent, "", mirrored, ("M8", ""));
    one(&sided, Weight::Caution, "are the mirror image of those of");
    assert!(of_recipe(&bent, "", "", ("M8", "")).is_empty());
}

/// M6 in 4 mm of thread, 3 mm required: 4 + 0.22 + 1.8 + 3 = 9.02, so that 12 mm is the shortest,
/// and all of the thread is engaged. Less than a diameter is a caution with the engagement
/// obtained.
#[test]
fn the_engagement_is_that_of_the_bolt_as_ordered() {
    let parts = part("a", "4", "wide = \"6.6 mm\"") + &part("b", "4", "how = \"tap\"");
    let text =
        format!("{TOP}{parts}{}", joint("M6", "\"a.bolt\", \"b.bolt\"", "engagement = \"3 mm\""));
    let (_, (_, found)) = own::asked(OWN, &text, &mut Default::default()).unwrap();
    let own: Vec<Finding> = found.into_iter().filter(|f| f.code == "joint-bolt").collect();
    one(
        &own,
        Weight::Caution,
        "M6 × 12 mm is engaged by 4 mm in the tapped hole bolt: 6 mm is needed",
    );
}

/// The body of a rivet nut is not all thread: its length is that of the insert.
#[test]
fn the_sum_names_an_insert() {
    let parts = part("a", "4", "wide = \"6.6 mm\"") + &part("r", "3", "how = \"rivet\"");
    let sheet = "[[sheet]]\nname = \"3\"\nmaterial = \"S235\"\nthickness = \"3 mm\"\nstock = [ { size = [\"900 mm\", \"600 mm\"] } ]\n";
    let made = made(&(sheet.to_owned() + &parts + &joint("M6", "\"a.bolt\", \"r.bolt\"", "")));
    let sum = made.report.joints[0].length_from.clone().unwrap();
    assert!(sum.contains("+ insert 12.5 mm"), "{sum}");
}

/// Of three plates each is compared with the first alone; only its own hole is named.
#[test]
fn of_three_plates_the_tight_one_is_named_alone() {
    let parts = part("a", "6", "wide = \"10 mm\"")
        + &part("b", "6", "wide = \"8.6 mm\"")
        + &part("c", "6", "wide = \"10 mm\"");
    let stack = "\"a.bolt\", \"b.bolt\", \"c.bolt\"";
    let text = format!("{TOP}{parts}{}", joint("M8", stack, ""));
    let (_, (_, found)) = own::asked(OWN, &text, &mut Default::default()).unwrap();
    let own: Vec<Finding> = found.into_iter().filter(|f| f.code == "joint-holes").collect();
    one(
        &own,
        Weight::Caution,
        "M8 may not go through `b.bolt` in line with `a.bolt`: the hole leaves",
    );
}

/// A plate with a bead, and a hole for M12 beside it.
const BEADED: &str = r#"
about = "A plate with a bead beside its hole"
[inputs]
y    = { kind = "length", default = "43 mm", about = "of the hole" }
bolt = { kind = "bolt", default = "M12", about = "in the hole" }
[face.plate]
blank = [ { add = "rectangle", width = "200 mm", height = "160 mm" } ]
holes = [ { name = "screw", at = ["0", "y"], diameter = "13 mm", for = "bolt" } ]
bead  = [ { name = "rib", line = [["-50 mm", "25 mm"], ["50 mm", "25 mm"]], width = "14 mm", depth = "2 mm" } ]
"#;

/// From a bead 14 mm wide, 18 mm off, 11 mm are left: the plain washer of M12 takes 12 (ISO 7089), its
/// head 18 mm across flats 10.4, a large washer 18.5 (ISO 7093). In the middle of the stack nothing bears.
#[test]
fn what_bears_beside_a_bead_is_what_the_joint_has() {
    let of = |y: &str, stack: &str, washers: &str| {
        let sheet =
            "[[sheet]]\nname = \"2\"\nmaterial = \"S235\"\nthickness = \"2 mm\"\nstock = []\n";
        let parts: String =
            ["a", "b", "c"].map(|name| part(name, "2", &format!("y = \"{y}\""))).concat();
        let joint = joint("M12", stack, &format!("washers = {washers}"));
        let text = format!("{TOP}{sheet}{parts}{joint}");
        let found = match own::asked(BEADED, &text, &mut Default::default()) {
            Ok((_, (_, found))) | Err(found) => found,
        };
        let own = found.into_iter().filter(|f| f.headline.contains("is below the"));
        let own: Vec<String> = own.map(|f| format!("{:?} {}", f.about, f.headline)).collect();
        ["a", "b", "c"].map(|name| {
            let is = format!("name: \"{name}\"");
            own.iter().filter(|f| f.contains(&is)).cloned().collect::<String>()
        })
    };
    let all = "\"a.screw\", \"b.screw\", \"c.screw\"";
    let [head, middle, nut] = of("43 mm", all, "\"plain\"");
    assert!(head.contains("below the washer of hole `screw`"), "{head}");
    assert!(nut.contains("below the washer of hole `screw`"), "{nut}");
    assert_eq!(middle, "");
    assert_eq!(of("43 mm", all, "\"none\""), ["", "", ""]);
    let [head, _, nut] = of("41 mm", all, "\"none\"");
    assert!(head.contains("below the bolt head at hole `screw`"), "{head}");
    assert!(nut.contains("below the nut at hole `screw`"), "{nut}");
    assert_eq!(of("46 mm", all, "\"plain\""), ["", "", ""]);
    let [head, _, nut] = of("46 mm", all, "[\"M12 large\", \"plain\"]");
    assert!(head.contains("below the washer of hole `screw`"), "{head}");
    assert_eq!(nut, "");
}

/// The findings on washers of a joint of a plate with two holes, 8 mm from its edge and so far apart and from
/// a bend, mm.
fn washers(apart: f64, from: f64, edge: f64, washers: &str) -> Vec<Finding> {
    let recipe = format!(
        "about = \"Plate with a flange\"\n[inputs]\nflat = {{ kind = \"length\", default = \"0 mm\", min = \"0 mm\", about = \"none\" }}\n\
         [face.plate]\nblank = [ {{ add = \"rectangle\", width = \"120 mm\", height = \"80 mm\", at = [\"0\", \"-40 mm\"] }} ]\n\
         holes = [ {{ name = \"bolt\", each = {{ x = [\"0 mm\", \"{apart} mm\"] }}, at = [\"{edge} mm - 60 mm + x\", \"-12 mm - {from} mm\"], diameter = \"9 mm\", for = \"M8\" }} ]\n\
         [face.leg]\nblank = [ {{ add = \"rectangle\", width = \"120 mm\", height = \"40 mm\", at = [\"0\", \"20 mm\"] }} ]\n\
         [bend.heel]\non = \"plate.top\"\nto = \"leg\"\nangle = \"90 deg\"\nradius = \"6 mm\"\n"
    );
    let plain = part("p", "6", "") + &part("q", "6", "");
    let text = format!("{TOP}{plain}{}", joint("M8", "\"p.bolt\", \"q.bolt\"", washers));
    let found = match own::asked(&recipe, &text, &mut Default::default()) {
        Ok((_, (_, found))) | Err(found) => found,
    };
    found.into_iter().filter(|f| f.code == "washer-seat").collect()
}

/// An M8 washer is 16 mm across, the head 13 / cos 30° = 15.01 mm across its corners, the large washer 24:
/// 15.5 mm apart two washers overlap and two heads do not; 6 mm from a bend and from the edge 2 mm are
/// missing. Both parts of the joint are such a plate, and what is the same of both is one finding. The bend
/// begins 12 mm before the outside of the leg.
#[test]
fn washers_lie_flat_and_beside_each_other() {
    let plain = |apart: f64, from: f64, edge: f64| washers(apart, from, edge, "");
    assert_eq!(plain(16.0, 20.0, 20.0).len(), 0, "{:?}", words(&plain(16.0, 20.0, 20.0)));
    assert_eq!(plain(30.0, 8.0, 8.0).len(), 0);
    let near = plain(15.5, 20.0, 20.0);
    let wanted = "16 mm across, overlaps the washer of hole `bolt 2`: the holes are 15.5 mm apart, but 16 mm is needed";
    one(&near, Weight::Stop, wanted);
    assert!(washers(15.5, 20.0, 20.0, "washers = [\"none\", \"none\"]").is_empty());
    one(&plain(30.0, 6.0, 20.0), Weight::Caution, "reaches 2 mm into bend `heel`");
    let edge = plain(30.0, 20.0, 6.0);
    one(&edge, Weight::Caution, "projects 2 mm beyond the edge of the plate");
    let help = edge[0].help.as_deref().unwrap();
    assert_eq!(
        help,
        "move the hole away from the edge by 2 mm, or give the joint a smaller washer"
    );
    let large = washers(30.0, 20.0, 20.0, "washers = [\"M8 large\", \"plain\"]");
    assert!(large.is_empty(), "{:?}", words(&large));
    let large = washers(22.0, 20.0, 20.0, "washers = [\"M8 large\", \"plain\"]");
    assert_eq!(large.len(), 1, "{:?}", words(&large));
}

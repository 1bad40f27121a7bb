//! Parts of one joint where the machine has them.

use crate::own;
use platewright::diag::Finding;
use platewright::diag::Weight;

/// A plate of 100 mm with two holes 60 mm apart.
const OWN: &str = r#"
about = "A plate with two holes"
[face.plate]
blank = [ { add = "rectangle", width = "100 mm", height = "100 mm" } ]
holes = [ { name = "h", each = { x = ["-30 mm", "30 mm"] }, at = ["x", "0"], diameter = "9 mm" } ]
"#;

/// The findings on two plates of 4 mm: the first with its top side in z = 0, the other where its
/// origin and a point on its x and on its y axis are; `between` in the stack.
fn of(other: [[f64; 3]; 3], between: &str, more: &str) -> Vec<(Weight, String)> {
    let point = |name: &str, at: [f64; 3]| {
        let [x, y, z] = at;
        format!("{name} = [\"{x} mm\", \"{y} mm\", \"{z} mm\"]\n")
    };
    let names = ["o2", "x2", "s2"];
    let points: String = names.iter().zip(other).map(|(name, at)| point(name, at)).collect();
    let text = format!(
        "process = \"laser\"\n[points]\no1 = [\"0 mm\", \"0 mm\", \"0 mm\"]\nx1 = [\"100 mm\", \"0 mm\", \"0 mm\"]\n\
         s1 = [\"0 mm\", \"100 mm\", \"0 mm\"]\n{points}\
         [[sheet]]\nname = \"s\"\nmaterial = \"S235\"\nthickness = \"4 mm\"\nstock = []\n\
         [[part]]\nrecipe = \"own\"\nname = \"a\"\nsheet = \"s\"\non = {{ origin = \"o1\", x = \"x1\", side = \"s1\" }}\n\
         [[part]]\nrecipe = \"own\"\nname = \"b\"\nsheet = \"s\"\non = {{ origin = \"o2\", x = \"x2\", side = \"s2\" }}\n\
         [[joint]]\nname = \"j\"\nbolt = \"M8\"\nstack = [\"a.h\", {between}\"b.h\"]\n{more}"
    );
    let found = match own::asked(OWN, &text, &mut Default::default()) {
        Ok((_, (_, found))) | Err(found) => found,
    };
    let own =
        found.into_iter().filter(|f| f.code == "joint-place" || f.code == "machine-clearance");
    own.map(|f| (f.weight, f.headline)).collect()
}

/// The other plate shifted, as drawn.
fn shifted(x: f64, y: f64, z: f64) -> [[f64; 3]; 3] {
    [[x, y, z], [x + 100.0, y, z], [x, y + 100.0, z]]
}

fn one(found: &[(Weight, String)], weight: Weight, wanted: &str) {
    assert_eq!(found.len(), 1, "{wanted}: {found:?}");
    assert!(found[0].0 == weight && found[0].1.contains(wanted), "{wanted}: {found:?}");
}

/// Plates of 4 mm touch when 4 mm apart. A tape is 1 mm off: a gap or overlap of that much is
/// ignored.
#[test]
fn plates_of_a_joint_may_touch_and_not_run_into_each_other() {
    assert_eq!(of(shifted(0.0, 0.0, -4.0), "", ""), []);
    assert_eq!(of(shifted(0.0, 0.0, 4.0), "", ""), []);
    assert_eq!(of(shifted(0.5, 0.5, -3.5), "", ""), []);
    assert_eq!(of(shifted(0.0, 0.0, -4.8), "", ""), []);
    let into = of(shifted(0.0, 0.0, -2.0), "", "");
    one(&into, Weight::Stop, "`a` and `b` of joint `j` overlap by 2 mm where");
    // Through each other at a right angle.
    let across = of([[0.0, 0.0, 0.0], [100.0, 0.0, 0.0], [0.0, 0.0, 100.0]], "", "");
    assert_eq!(across.len(), 2, "{across:?}");
    assert!(across[0].1.contains("overlap") && across[1].1.contains("at 90°"));
    assert!(across.iter().all(|(weight, _)| *weight == Weight::Stop));
}

/// By hand: 50 mm from top to top less the 4 mm of the plate leave a gap of 46 mm; a spacer of 46
/// fills it, one of 30 leaves 16, one of 60 does not fit.
#[test]
fn a_gap_is_what_the_stack_has() {
    let at = || shifted(0.0, 0.0, -50.0);
    one(&of(at(), "", ""), Weight::Caution, "are 46 mm apart where they are placed, with nothing");
    let spacer = |mm: u32| of(at(), &format!("{{ spacer = \"{mm} mm\" }}, "), "");
    assert_eq!(spacer(46), []);
    one(&spacer(30), Weight::Caution, "the stack between them is 30 mm");
    one(
        &spacer(60),
        Weight::Stop,
        "are 46 mm apart where they are placed, too close for the stack",
    );
}

/// Holes of 9 mm for M8 allow 0.5 mm each: shifted by 30 mm no hole meets its own; 4 mm may be an
/// error of the tape.
#[test]
fn holes_that_do_not_meet_are_a_stop() {
    let far = of(shifted(0.0, 30.0, -4.0), "", "");
    one(&far, Weight::Stop, "do not line up where they are placed: their axes are 30 mm apart");
    let near = of(shifted(0.0, 4.0, -4.0), "", "");
    one(&near, Weight::Caution, "their axes are 4 mm apart, the bolt allows 1 mm");
    assert_eq!(of(shifted(0.0, 1.9, -4.0), "", ""), []);
}

/// Turned about its x axis by 5° the plate is at 5° to the other: a caution; and where only one of the
/// two is placed there is nothing to compare.
#[test]
fn holes_at_an_angle_are_said() {
    // The tangent of 5° is 0.0875.
    let tilted = of(
        [[0.0, 0.0, -12.0], [100.0, 0.0, -12.0], [0.0, 100.0, -3.25]],
        "{ spacer = \"8 mm\" }, ",
        "",
    );
    one(&tilted, Weight::Caution, "at 5° to each other");
}

/// What is said of plates of a thickness with their top sides at these heights, parallel to each other.
fn stacked(thickness: &str, parts: &[(&str, &[f64])], stack: &str) -> Vec<(Weight, String)> {
    let (mut points, mut lines) = (String::new(), String::new());
    for (name, heights) in parts {
        let mut places = Vec::new();
        for (i, z) in heights.iter().enumerate() {
            for (of, x, y) in [("o", 0, 0), ("x", 100, 0), ("s", 0, 100)] {
                points += &format!("{of}_{name}{i} = [\"{x} mm\", \"{y} mm\", \"{z} mm\"]\n");
            }
            places.push(format!(
                "{{ origin = \"o_{name}{i}\", x = \"x_{name}{i}\", side = \"s_{name}{i}\" }}"
            ));
        }
        lines += &format!(
            "[[part]]\nrecipe = \"own\"\nname = \"{name}\"\nsheet = \"s\"\nquantity = 2\non = [ {} ]\n",
            places.join(", ")
        );
    }
    let text = format!(
        "process = \"laser\"\n[points]\n{points}\
         [[sheet]]\nname = \"s\"\nmaterial = \"S235\"\nthickness = \"{thickness}\"\nstock = []\n{lines}\
         [[joint]]\nname = \"j\"\nbolt = \"M8\"\nquantity = 1\nstack = [{stack}]\n"
    );
    said(OWN, &text)
}

fn said(own: &str, text: &str) -> Vec<(Weight, String)> {
    found(own, text).into_iter().map(|f| (f.weight, f.headline)).collect()
}

fn found(own: &str, text: &str) -> Vec<Finding> {
    let found = match own::asked(own, text, &mut Default::default()) {
        Ok((_, (_, found))) | Err(found) => found,
    };
    let codes = ["joint-place", "machine-clearance", "bad-name", "wrong-kind", "unknown-key"];
    found.into_iter().filter(|f| codes.contains(&f.code)).collect()
}

/// A plate between two others touches both; a piece is in one layer of the stack, so that one that is
/// placed below the middle plate is not compared with the layer above it.
#[test]
fn three_plates_in_one_joint_touch_as_their_stack_has_them() {
    let of = |parts: &[(&str, &[f64])], stack: &str| stacked("4 mm", parts, stack);
    let three: &[(&str, &[f64])] = &[("a", &[0.0]), ("b", &[-4.0]), ("c", &[-8.0])];
    assert_eq!(of(three, "\"a.h\", \"b.h\", \"c.h\""), []);
    let spaced = "\"a.h\", { spacer = \"30 mm\" }, \"b.h\", { spacer = \"10 mm\" }, \"a.h\"";
    assert_eq!(of(&[("a", &[0.0]), ("b", &[-34.0])], spaced), []);
    assert_eq!(of(&[("a", &[-48.0]), ("b", &[-34.0])], spaced), []);
    assert_eq!(of(&[("a", &[0.0, -48.0]), ("b", &[-34.0])], spaced), []);
    let wide = of(&[("a", &[0.0, -60.0]), ("b", &[-34.0])], spaced);
    one(
        &wide,
        Weight::Caution,
        "are 22 mm apart where they are placed: the stack between them is 10 mm",
    );
    // A layer between two plates, and the middle plate not placed.
    let over = "\"a.h\", \"b.h\", { spacer = \"6 mm\" }, \"c.h\"";
    assert_eq!(of(&[("a", &[0.0]), ("b", &[]), ("c", &[-14.0])], over), []);
}

/// 0.8 mm in the same place: there is no room for 1 mm of overlap.
#[test]
fn thin_plates_in_one_place_are_a_stop() {
    let of = |z: f64| stacked("0.8 mm", &[("a", &[0.0]), ("b", &[z])], "\"a.h\", \"b.h\"");
    one(&of(0.0), Weight::Stop, "`a` and `b` of joint `j` overlap by 0.8 mm where");
    assert_eq!(of(-0.8), []);
    let twice = stacked("4 mm", &[("a", &[0.0, 0.0])], "\"a.h\", \"a.h\"");
    one(&twice, Weight::Stop, "two pieces of `a` of joint `j` overlap by 4 mm where");
}

/// A plate with a tab below it that is a plate of its own.
const TABBED: &str = r#"
about = "A plate with a tab below it"
[face.plate]
blank = [ { add = "rectangle", width = "100 mm", height = "100 mm" } ]
holes = [ { name = "h", diameter = "9 mm" } ]
on    = { origin = ["0", "0", "0"], x = ["100 mm", "0", "0"], side = ["0", "100 mm", "0"] }
[face.tab]
pieces = 1
blank = [ { add = "rectangle", width = "20 mm", height = "60 mm", at = ["0", "30 mm"] } ]
on    = { origin = ["0", "28 mm", "-4 mm"], x = ["100 mm", "28 mm", "-4 mm"], side = ["0", "28 mm", "-100 mm"] }
"#;

/// The tab is not in the joint; the plate it would go through is.
#[test]
fn a_tab_of_one_part_through_the_plate_of_another_is_a_stop() {
    let of = |y: f64| {
        let text = format!(
            "process = \"laser\"\n[points]\no1 = [\"0 mm\", \"0 mm\", \"0 mm\"]\nx1 = [\"100 mm\", \"0 mm\", \"0 mm\"]\n\
             s1 = [\"0 mm\", \"100 mm\", \"0 mm\"]\no2 = [\"0 mm\", \"{y} mm\", \"-4 mm\"]\n\
             x2 = [\"100 mm\", \"{y} mm\", \"-4 mm\"]\ns2 = [\"0 mm\", \"200 mm\", \"-4 mm\"]\n\
             [[sheet]]\nname = \"s\"\nmaterial = \"S235\"\nthickness = \"4 mm\"\nstock = []\n\
             [[part]]\nrecipe = \"own\"\nname = \"a\"\nsheet = \"s\"\non = {{ origin = \"o1\", x = \"x1\", side = \"s1\" }}\n\
             [[part]]\nrecipe = \"base-plate\"\nname = \"b\"\nsheet = \"s\"\ngiven = {{ width = \"160 mm\", height = \"110 mm\", centre = \"9 mm\" }}\n\
             on = {{ origin = \"o2\", x = \"x2\", side = \"s2\" }}\n\
             [[joint]]\nname = \"j\"\nbolt = \"M8\"\nstack = [\"a.h\", \"b.centre\"]\n"
        );
        said(TABBED, &text)
    };
    let through = of(0.0);
    let wanted = "`a-tab` and `b` of joint `j` overlap by ";
    assert!(
        through.iter().any(|(w, words)| *w == Weight::Stop && words.contains(wanted)),
        "{through:?}"
    );
    let beside = of(-100.0);
    assert!(!beside.iter().any(|(_, words)| words.contains("overlap")), "{beside:?}");
}

/// What is said of a clevis bent from 4 mm, its legs 30 mm apart, with `between` in the stack.
fn of_legs(between: &str, holes: [&str; 2], more: &str) -> Vec<(Weight, String)> {
    said(OWN, &with_legs(between, holes, more))
}

fn with_legs(between: &str, [one, other]: [&str; 2], more: &str) -> String {
    format!(
        "process = \"laser\"\n\
         [[sheet]]\nname = \"s\"\nmaterial = \"S235\"\nthickness = \"4 mm\"\nstock = []\n\
         [[part]]\nrecipe = \"clevis-bent\"\nname = \"cl\"\nsheet = \"s\"\n\
         given = {{ rod_end = \"M8\", gap = \"30 mm\", centre = \"9 mm\" }}\n\
         [[joint]]\nname = \"j\"\nbolt = \"M8\"\n{more}\nstack = [\"cl.{one}\", {between}\"cl.{other}\"]\n"
    )
}

/// Legs 30 mm apart: 40 mm does not go in; 30 mm may not, by root sum square of twice 0.22 mm of sheet,
/// two bends 0.2 mm off, and half a degree over their height; 29.3 mm leaves what these may take; with 20
/// mm and with nothing the bolt would bend them. Its base is at a right angle to both.
#[test]
fn the_legs_of_a_bent_part_are_as_far_apart_as_their_stack() {
    let eyes = ["near eye", "far eye"];
    let spacer = |mm: &str| of_legs(&format!("{{ spacer = \"{mm} mm\" }}, "), eyes, "");
    one(
        &spacer("40"),
        Weight::Stop,
        "between the legs of `cl` is 40 mm thick, but the legs are 30 mm apart",
    );
    one(&spacer("30"), Weight::Caution, "is up to 30 mm thick and may not fit");
    assert_eq!(spacer("29.3"), []);
    one(&spacer("20"), Weight::Caution, "is only 20 mm thick: coated, the legs are 30 mm apart");
    let wanted = "the legs of `cl` are 30 mm apart, and the stack of joint `j` has nothing between";
    one(&of_legs("", eyes, ""), Weight::Caution, wanted);
    let base = of_legs("", ["centre", "far eye"], "");
    one(&base, Weight::Stop, "are in two legs of one part and do not line up");
}

/// Layers between two legs that are too thick, too thin or missing: with those of the help there is
/// nothing to say, in either unit.
#[test]
fn layers_that_the_help_gives_fit_between_the_legs() {
    let of = |between: &str, units: &str| {
        let text = with_legs(between, ["near eye", "far eye"], "");
        found(OWN, &format!("units = \"{units}\"\n{text}"))
    };
    let spacer = |of: &str| format!("{{ spacer = \"{of}\" }}, ");
    for units in ["mm", "in"] {
        for between in [spacer("40 mm"), spacer("30 mm"), String::new()] {
            let all = of(&between, units);
            let [finding] = all.as_slice() else { panic!("{all:?}") };
            let help = finding.help.as_deref().unwrap();
            let (figure, _) = help.split_once(&format!(" {units}")).unwrap();
            let figure = figure.rsplit([' ', '"']).next().unwrap();
            let then = of(&spacer(&format!("{figure} {units}")), units);
            assert!(then.is_empty(), "{help}: {then:?}");
        }
    }
}

/// Two parts of a joint that are placed have a row among the clearances, and no distance.
#[test]
fn placed_parts_of_a_joint_are_listed_as_judged_as_one() {
    let text = "process = \"laser\"\n[points]\no1 = [\"0 mm\", \"0 mm\", \"0 mm\"]\nx1 = [\"100 mm\", \"0 mm\", \"0 mm\"]\n\
         s1 = [\"0 mm\", \"100 mm\", \"0 mm\"]\no2 = [\"0 mm\", \"0 mm\", \"-4 mm\"]\nx2 = [\"100 mm\", \"0 mm\", \"-4 mm\"]\n\
         s2 = [\"0 mm\", \"100 mm\", \"-4 mm\"]\n\
         [[sheet]]\nname = \"s\"\nmaterial = \"S235\"\nthickness = \"4 mm\"\nstock = [ { size = [\"300 mm\", \"300 mm\"] } ]\n\
         [[part]]\nrecipe = \"own\"\nname = \"a\"\nsheet = \"s\"\non = { origin = \"o1\", x = \"x1\", side = \"s1\" }\n\
         [[part]]\nrecipe = \"own\"\nname = \"b\"\nsheet = \"s\"\non = { origin = \"o2\", x = \"x2\", side = \"s2\" }\n\
         [[joint]]\nname = \"j\"\nbolt = \"M8\"\nstack = [\"a.h\", \"b.h\"]\n";
    let made = own::make(OWN, text).unwrap_or_else(|found| panic!("{}", found[0].headline));
    let rows = &made.report.bolted_together;
    assert_eq!(rows.len(), 1);
    assert_eq!(rows[0].between, ["part `a`".to_owned(), "part `b`".to_owned()]);
    assert_eq!(rows[0].joint, "j");
    let file = |name: &str| {
        let file = made.files.iter().find(|file| file.name == name).unwrap();
        String::from_utf8_lossy(&file.bytes).into_owned()
    };
    assert!(file("report.html").contains("checked as joint j"));
    assert!(file("report.json").contains("\"bolted_together\""));
}

/// Two plates of 100 mm that are joined by `touches`, and not bolted.
fn touching(place: [[f64; 3]; 3]) -> Vec<(Weight, String)> {
    let mut points = String::new();
    let base = [[0.0, 0.0, 0.0], [100.0, 0.0, 0.0], [0.0, 100.0, 0.0]];
    for (name, own) in [("a", base), ("b", place)] {
        for (of, [x, y, z]) in ["o", "x", "s"].iter().zip(own) {
            points += &format!("{of}_{name} = [\"{x} mm\", \"{y} mm\", \"{z} mm\"]\n");
        }
    }
    let part = |name: &str, more: &str| {
        format!(
            "[[part]]\nrecipe = \"own\"\nname = \"{name}\"\nsheet = \"s\"\n{more}\
             on = {{ origin = \"o_{name}\", x = \"x_{name}\", side = \"s_{name}\" }}\n"
        )
    };
    let text = format!(
        "process = \"laser\"\n[points]\n{points}\
         [[sheet]]\nname = \"s\"\nmaterial = \"S235\"\nthickness = \"4 mm\"\nstock = []\n{}{}",
        part("a", "touches = [\"b\"]\n"),
        part("b", "")
    );
    said(OWN, &text)
}

/// Plates of 4 mm touch when 4 mm apart; 2 mm apart they overlap by 2, 30 mm apart they do not touch: 26.
#[test]
fn parts_that_touch_are_not_apart_and_do_not_overlap() {
    assert_eq!(touching(shifted(0.0, 0.0, -4.0)), []);
    assert_eq!(touching(shifted(0.0, 0.0, -4.8)), []);
    one(&touching(shifted(0.0, 0.0, -2.0)), Weight::Stop, "`a` and `b` overlap by 2 mm where");
    let far = touching(shifted(0.0, 0.0, -30.0));
    one(&far, Weight::Caution, "part `a` does not touch part `b`: they are 26 mm apart");
    let across = touching([[0.0, 0.0, 2.0], [100.0, 0.0, 2.0], [0.0, 0.0, 102.0]]);
    assert_eq!(across.len(), 1, "{across:?}");
    assert!(across[0].0 == Weight::Stop && across[0].1.contains("overlap by"), "{across:?}");
}

//! Parts of one joint where the machine has them.

use crate::own;
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
    one(&into, Weight::Stop, "`a` and `b` of joint `j` overlap by more than 1 mm");
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
    one(&of(at(), "", ""), Weight::Caution, "are 46 mm apart where they are placed, and nothing");
    let spacer = |mm: u32| of(at(), &format!("{{ spacer = \"{mm} mm\" }}, "), "");
    assert_eq!(spacer(46), []);
    one(&spacer(30), Weight::Caution, "the stack between them is 30 mm");
    one(&spacer(60), Weight::Stop, "leave 46 mm where they are placed");
}

/// Holes of 9 mm for M8 allow 0.5 mm each: shifted by 30 mm no hole meets its own; 4 mm may be an
/// error of the tape.
#[test]
fn holes_that_do_not_meet_are_a_stop() {
    let far = of(shifted(0.0, 30.0, -4.0), "", "");
    one(&far, Weight::Stop, "do not meet where they are placed: their axes are 30 mm apart");
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

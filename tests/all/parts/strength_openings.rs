//! Sections through openings at a slant, and seams of which a bend takes an end.

use super::strength::governing;
use super::strength::near;
use super::strength::verdict;

/// Recipes for these tests alone.
pub(super) const RECIPES: &[(&str, &str)] = &[
    ("notched", NOTCHED),
    ("wing", WING),
    ("nicked", NICKED),
    ("waisted", WAISTED),
    ("windowed", WINDOWED),
];

const WINDOWED: &str = r#"
about = "Plate on four bolts with a waist, and an opening in it"
[inputs]
bolt = { kind = "bolt", default = "M10", about = "holds it" }
[face.plate]
blank = [
  { add = "polygon", corners = [ ["42.2 mm", "0 mm"], ["42.2 mm", "64.3 mm"], ["17.7 mm", "78.6 mm"], ["23.7 mm", "92.9 mm"], ["23.7 mm", "130.7 mm"], ["-23.7 mm", "130.7 mm"], ["-23.7 mm", "92.9 mm"], ["-17.7 mm", "78.6 mm"], ["-42.2 mm", "64.3 mm"], ["-42.2 mm", "0 mm"] ] },
  { cut = "rectangle", at = ["-0.4 mm", "78.9 mm"], width = "17.9 mm", height = "12 mm" },
]
holes = [
  { name = "eye", at = ["-1 mm", "112.3 mm"], diameter = "10.5 mm", role = "eye" },
  { name = "fix", at = ["0 mm", "32.15 mm"], diameter = "11 mm", grid = { columns = "2", rows = "2", pitch = ["50.4 mm", "30.1 mm"] }, for = "bolt" },
]
"#;

const WAISTED: &str = r#"
about = "Plate that is narrowest between the end of its seam and a waist on the other side"
[face.plate]
blank = [ { add = "polygon", corners = [ { at = ["-21.3 mm", "0 mm"], edge = "foot" }, ["32.6 mm", "0 mm"], ["19.6 mm", "19 mm"], ["29.8 mm", "47.4 mm"], ["29.8 mm", "92.4 mm"], ["-29.8 mm", "92.4 mm"], ["-29.8 mm", "47.4 mm"], ["-29.5 mm", "28.4 mm"] ] } ]
holes = [ { name = "eye", at = ["-3.7 mm", "70.5 mm"], diameter = "12.5 mm", role = "eye" } ]
weld = [ { edge = "foot", leg = "3 mm" } ]
"#;

const NICKED: &str = r#"
about = "Plate on four bolts, with or without a notch in its right side or at a corner"
[inputs]
bolt = { kind = "bolt", default = "M10", about = "holds it" }
notch = { kind = "choice", of = ["none", "side", "corner"], default = "none", about = "where it is cut" }
[face.plate]
blank = [
  { add = "polygon", corners = [ ["-40 mm", "0 mm"], ["40 mm", "0 mm"], ["40 mm", "110.6 mm"], ["-40 mm", "110.6 mm"] ] },
  { cut = "disc", when = "notch == 'side'", radius = "2.65 mm", at = ["40 mm", "47.8 mm"] },
  { cut = "disc", when = "notch == 'corner'", radius = "8 mm", at = ["40 mm", "110.6 mm"] },
]
holes = [ { name = "fix", at = ["0 mm", "55.3 mm"], diameter = "11 mm", grid = { columns = "2", rows = "2", pitch = ["45.8 mm", "76.4 mm"] }, for = "bolt" } ]
"#;

const NOTCHED: &str = r#"
about = "Plate with two notches, one higher than the other, and a hole between their tips"
[face.plate]
blank = [ { add = "polygon", corners = [ { at = ["-30 mm", "0 mm"], edge = "foot" }, ["30 mm", "0 mm"], ["30 mm", "52 mm"], ["10 mm", "62 mm"], ["30 mm", "72 mm"], ["30 mm", "120 mm"], ["-30 mm", "120 mm"], ["-30 mm", "60 mm"], ["-10 mm", "50 mm"], ["-30 mm", "40 mm"] ] }, { cut = "disc", radius = "4 mm", at = ["0 mm", "56 mm"] } ]
holes = [ { name = "eye", at = ["0 mm", "100 mm"], diameter = "12.5 mm", role = "eye" } ]
weld = [ { edge = "foot", leg = "6 mm" } ]
"#;

const WING: &str = r#"
about = "Plate on a seam, with a flange at its right side that carries the eye"
[face.plate]
blank = [ { add = "polygon", corners = [ { at = ["-40 mm", "0 mm"], edge = "foot" }, { at = ["40 mm", "0 mm"], edge = "side" }, ["40 mm", "76 mm"], ["-40 mm", "76 mm"] ] } ]
weld = [ { edge = "foot", leg = "3 mm" } ]
[face.wing]
blank = [ { add = "rectangle", width = "76 mm", height = "50 mm", at = ["0 mm", "25 mm"] } ]
holes = [ { name = "eye", at = ["0 mm", "32 mm"], diameter = "10.5 mm", role = "eye" } ]
[bend.side]
on = "plate.side"
to = "wing"
angle = "90 deg"
radius = "6 mm"
"#;

fn load(direction: &str, pin: &str) -> String {
    format!("hole = \"eye\"\nforce = \"10 N\"\ndirection = \"{direction}\"\npin = \"{pin}\"")
}

/// From tip to tip there are √(20² + 12²) = 23.324 mm at a slant, less 8 of the hole; straight
/// across 36 and more. With 20 / 23.324 of the load square to the section and 12 / 23.324
/// along it, N² + V⁴ = 1 of 6 × 15.324 in tension. Normal to the plate the eye is 44 mm away:
/// 37.73 mm of bending, and 22.64 of torsion that the two ligaments, 15.66 mm apart, take by
/// shear. The opening had counted as metal in tension, and had not been bent. Lines a little beside
/// that from tip to tip may allow less.
#[test]
fn a_slant_through_an_opening_has_only_the_metal_beside_it() {
    let part = "recipe = \"notched\"";
    let long = 544.0_f64.sqrt();
    let (square, along, net) = (20.0 / long, 12.0 / long, long - 8.0);
    let area = 6.0 * net;
    let tension = 235.0 * area / 1.67;
    let shear = 0.6 * 235.0 * area / 1.5;
    let by_hand = |of: &dyn Fn(f64) -> f64| {
        let halve = |(low, high): (f64, f64), _| {
            let middle = f64::midpoint(low, high);
            if of(middle) > 1.0 { (low, middle) } else { (middle, high) }
        };
        (0..60).fold((0.0, 1e6), halve).0
    };
    let pulled = by_hand(&|n| (n * square / tension).powi(2) + (n * along / shear).powi(4));
    let pull = governing(&verdict("S235", 6.0, part, &load("pull", "12 mm"))).allowable();
    assert!((0.93..1.0005).contains(&(pull / pulled)), "{pull}, by hand {pulled}");
    let bent = 235.0 * net * 9.0 / 1.67;
    let apart = f64::midpoint(long, 8.0);
    let lifted = by_hand(&|n| {
        let sideways = n / shear + 2.0 * n * 44.0 * along / apart / shear;
        n * 44.0 * square / bent + sideways.powi(4)
    });
    let normal = governing(&verdict("S235", 6.0, part, &load("normal", "12 mm"))).allowable();
    assert!((0.93..1.0005).contains(&(normal / lifted)), "{normal}, by hand {lifted}");
}

/// The bend begins (6 + 3) · tan 45° = 9 mm before the corner of the drawing: the seam ends
/// there, 71 mm from its other end.
#[test]
fn a_seam_ends_where_a_bend_beside_it_begins() {
    let wing = verdict("S235", 3.0, "recipe = \"wing\"", &load("pull", "10 mm"));
    for what in ["plate at its support", "fillet weld"] {
        let limit = wing.limits.iter().find(|limit| limit.what == what).unwrap();
        let [from, to] = limit.section.unwrap().flat;
        assert!(((to - from).hypot() - 71.0).abs() < 1e-6, "{what}: {from:?} to {to:?}");
    }
}

/// A load above the plate bends and twists it most where what carries it ends, at y = 46.15, and a
/// notch there moves the middle of that section 1 mm nearer to the load: 0.2 % more was allowed. A
/// section through a notch counts as if it were filled as well.
#[test]
fn a_notch_never_lets_a_section_take_more() {
    let of = |notch: &str, direction: &str| {
        let part = format!("recipe = \"nicked\"\ngiven = {{ notch = \"{notch}\" }}");
        let load = format!(
            "at = [\"-3.5 mm\", \"62.1 mm\"]\nabove = \"45.4 mm\"\nfoot = \"31.9 mm\"\n\
             force = \"1 N\"\ndirection = \"{direction}\"\nbolts = \"fix\"\nbolts_grade = \"8.8\""
        );
        *governing(&verdict("S235", 3.0, &part, &load))
    };
    let (plain, nicked) = (of("none", "141 deg"), of("side", "141 deg"));
    near(nicked.allowable(), plain.allowable());
    assert_eq!(nicked.what, "section of the plate, as if a notch were filled");
    for i in 0..12 {
        let direction = format!("{} deg", 30 * i);
        let plain = of("none", &direction).allowable();
        for notch in ["side", "corner"] {
            let cut = of(notch, &direction).allowable();
            assert!(cut < plain * (1.0 + 1e-9), "{notch}, {direction}: {plain}, cut {cut}");
        }
    }
}

/// From the waist at (19.6, 19) to the end of the seam at (-21.3, 0) there are √(40.9² + 19²) =
/// 45.098 × 3 mm, their middle at (-0.85, 9.5). 1 N along at the eye bends them by 61 N·mm, F11-2
/// with 71.117 · 45.098 / 3²; 19 / 45.098 of it pushes, K 2.1 over 71.117 mm, E3, and 40.9 / 45.098
/// shears. No direction tried was near enough past the end of the seam: 1.4 % more was allowed.
#[test]
fn a_slant_ends_where_the_seam_does() {
    let long = (40.9_f64.powi(2) + 19.0_f64.powi(2)).sqrt();
    let strength = 235.0 / 1.67;
    let euler =
        std::f64::consts::PI.powi(2) * 210_000.0 / (2.1 * 71.117 * 12_f64.sqrt() / 3.0).powi(2);
    let edgeways = 1.52 - 0.274 * 71.117 * long / 9.0 * 235.0 / 210_000.0;
    let bent = 61.0 / (edgeways * strength * 3.0 * long * long / 6.0);
    let pushed = 19.0 / long / (0.877 * euler / 1.67 * long * 3.0);
    let sheared = 40.9 / long / (0.6 * 235.0 / 1.5 * long * 3.0);
    let halve = |(low, high): (f64, f64), _| {
        let n = f64::midpoint(low, high);
        let over = bent * n + (pushed * n).powi(2) + (sheared * n).powi(4);
        if over > 1.0 { (low, n) } else { (n, high) }
    };
    let by_hand = (0..60).fold((0.0, 1e6), halve).0;
    let plate = verdict("S235", 3.0, "recipe = \"waisted\"", &load("along", "12 mm"));
    let allowed = governing(&plate).allowable();
    assert!((0.99..1.002).contains(&(allowed / by_hand)), "{allowed}, by hand {by_hand}");
}

/// Beside the opening of the waist there are 8.35 and 9.15 mm, 33.7 mm from the eye, which is
/// loaded normal to the plate: 17.5 t² / 4 of plastic section, F11-1. At a slant with a bolt on the
/// load's side the load spreads to 6.3 mm of the other ligament: it was left out of the sheet of 8
/// mm, not of that of 6, and the thicker one was allowed a third less.
#[test]
fn a_thicker_sheet_keeps_the_ligaments_of_a_thinner_one() {
    let load = format!("{}\nbolts = \"fix\"\nbolts_grade = \"8.8\"", load("normal", "10 mm"));
    for t in [4.0, 5.0, 6.0, 8.0] {
        let allowed = governing(&verdict("S235", t, "recipe = \"windowed\"", &load)).allowable();
        let by_hand = 17.5 * t * t / 4.0 * 235.0 / 1.67 / 33.7;
        assert!((0.99..1.0001).contains(&(allowed / by_hand)), "{t}: {allowed}, by hand {by_hand}");
    }
}

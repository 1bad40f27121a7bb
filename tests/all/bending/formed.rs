//! Rolled bends and hems: developed length, order, strength that is not judged, clear distance.

use crate::own;
use platewright::bend::Form;
use platewright::bend::Trust;
use platewright::diag::Sources;
use platewright::diag::Weight;
use platewright::fold;
use platewright::sequence;
use platewright::sequence::Formed;
use platewright::sequence::Metal;
use platewright::sequence::Task;
use platewright::sequence::Unfit;
use platewright::sequence::Why;
use platewright::shop;
use platewright::shop::Shop;
use platewright::solid;
use platewright::solve::Solved;
use platewright::table::Tables;
use std::f64::consts::PI;

fn recipe(bend: &str, tail: f64) -> String {
    format!(
        "about = \"x\"\n[face.base]\nblank = [ {{ add = \"rectangle\", width = \"40 mm\", height = \"60 mm\", at = [\"0\", \"-30 mm\"] }} ]\n\
         [face.tail]\nblank = [ {{ add = \"rectangle\", width = \"40 mm\", height = \"{tail} mm\", at = [\"0\", \"{} mm\"] }} ]\n\
         [bend.one]\non = \"base.top\"\nto = \"tail\"\n{bend}",
        tail / 2.0
    )
}

fn volume(solved: &Solved) -> f64 {
    let folded = fold::fold(&solved.part, &solved.flat, &fold::full(&solved.part));
    solid::solid(&solved.part, &solved.flat, &folded).unwrap().volume
}

/// Legs from tangent to edge, and the arc of the middle of the sheet between them.
#[test]
fn an_eye_is_as_long_as_its_middle() {
    let (solved, found) =
        own::one(&recipe("form = \"rolled\"\nangle = \"300 deg\"\nradius = \"30 mm\"", 10.0));
    assert_eq!(found, []);
    let arc = 300.0 * PI / 180.0 * 31.5;
    assert!((solved.flat.region.bounds().height() - (60.0 + arc + 10.0)).abs() < 1e-9);
    assert!((volume(&solved) - 40.0 * 3.0 * (70.0 + arc)).abs() < 1e-6);
    assert_eq!(
        (solved.part.bends[0].bend.form(), solved.part.bends[0].by),
        (Form::Rolled, Trust::Form)
    );
    // The end of the eye is 0.134 radii above the base and falls by half of its length.
    let gap = fold::eye_gap(&solved.part, &solved.flat, 0).unwrap();
    let end = 30.0 - 33.0 * 0.5 - 10.0 * 0.75_f64.sqrt();
    assert!((gap - end).abs() < 1e-9, "{gap}");
}

/// Legs measured to the fold, less 0.43 thicknesses.
#[test]
fn a_closed_hem_is_shorter_than_its_legs() {
    let text = recipe("form = \"closed-hem\"", 16.0);
    let (mut solved, found) = own::solve(&text, "1.5 mm", "laser").unwrap();
    assert_eq!(found, []);
    let solved = solved.remove(0);
    // Two sheets on each other: half a circle round the middle of the sheet, 2 − π/2 = 0.429.
    let high = 60.0 + 16.0 - (2.0 - PI / 2.0) * 1.5;
    assert!((solved.flat.region.bounds().height() - high).abs() < 0.004);
    let over = solved.folded.faces[0].frame.seen(solved.folded.faces[1].frame.origin)[2];
    assert!(over > 0.0 && over < 0.004, "{over}");
    assert!(volume(&solved) > 0.0);
}

/// The two sides of an open hem have the required distance.
#[test]
fn an_open_hem_stands_off_by_its_opening() {
    let (solved, found) = own::one(&recipe("form = \"open-hem\"\nopening = \"8 mm\"", 30.0));
    assert_eq!(found, []);
    let frame = &solved.folded.faces[1].frame;
    let inside = frame.point(platewright::geom::Point::new(0.0, 20.0), 0.0);
    assert!((inside[2] - 8.0).abs() < 1e-9, "{inside:?}");
    // The fold's outside is where the base was drawn to.
    let bend = &solved.folded.bends[0];
    assert!((bend.point(0.0, 0.5, -3.0)[1]).abs() < 1e-9);
}

/// An ear bent behind a rolled bend: flat sheet ends where that begins, and 2.5 × 4 + 4 = 14 mm
/// outside are needed of it; of two rolled bends two thicknesses between them.
#[test]
fn the_sheet_between_a_rolled_bend_and_another_is_measured() {
    let strap = |flat: f64, second: &str| {
        format!(
            "about = \"x\"\n[face.rise]\nblank = [ {{ add = \"rectangle\", width = \"40 mm\", height = \"{flat} mm\" }} ]\n\
             [face.fall]\nblank = [ {{ add = \"flange\", height = \"30 mm\" }} ]\n\
             [face.ear]\nblank = [ {{ add = \"flange\", height = \"30 mm\" }} ]\n\
             [bend]\nroll = {{ on = \"rise.top\", to = \"fall\", form = \"rolled\", angle = \"170 deg\", radius = \"24 mm\" }}\n\
             ear = {{ on = \"rise.bottom\", to = \"ear\", angle = \"85 deg\", side = \"down\", {second} }}\n"
        )
    };
    let said = |flat: f64, second: &str| -> Vec<(Weight, &'static str, String)> {
        let found = own::solve(&strap(flat, second), "4 mm", "laser");
        let found = found.map_or_else(|found| found, |(_, found)| found);
        found.into_iter().map(|f| (f.weight, f.code, f.headline)).collect()
    };
    let bent = "measured = \"tangent\", radius = \"4 mm\"";
    let short = said(5.2, bent);
    // 5.2 + 8 tan 42.5° = 12.531 mm.
    let wanted = "face `rise` at bend `ear` is 12.531 mm long, but 14 mm is needed";
    assert_eq!(short, [(Weight::Stop, "min-flange", wanted.to_owned())]);
    assert_eq!(said(12.0, bent), []);
    let rolled = "form = \"rolled\", radius = \"30 mm\"";
    let wanted = "rolled bends `roll` and `ear` leave 5.2 mm of flat sheet between them, but rolls leave about 8 mm straight";
    assert_eq!(said(5.2, rolled), [(Weight::Caution, "rolled-bend", wanted.to_owned())]);
    assert_eq!(said(8.0, rolled), []);
}

/// A tail that runs through its own base is found by the collision of solids as well.
#[test]
fn an_eye_does_not_run_into_its_base() {
    let stopped =
        own::stopped(&recipe("form = \"rolled\"\nangle = \"340 deg\"\nradius = \"20 mm\"", 30.0));
    assert!(stopped.iter().any(|(code, _)| *code == "flange-collision"), "{stopped:?}");
}

/// A second flange whose face cuts the eye is seen beyond half a turn.
#[test]
fn a_flange_in_the_way_of_an_eye_is_found() {
    let text = recipe("form = \"rolled\"\nangle = \"280 deg\"\nradius = \"30 mm\"", 6.0)
        + "\n[face.wall]\nblank = [ { add = \"rectangle\", width = \"40 mm\", height = \"60 mm\", at = [\"0\", \"30 mm\"] } ]\n\
           [bend.wall]\non = \"base.bottom\"\nto = \"wall\"\nangle = \"90 deg\"\n";
    let near = text.replace(
        "height = \"60 mm\", at = [\"0\", \"-30 mm\"]",
        "height = \"28 mm\", at = [\"0\", \"-14 mm\"]",
    );
    let found = own::solve(&text, "3 mm", "waterjet").err();
    assert!(found.is_none(), "{found:?}");
    let stopped = own::stopped(&near);
    assert!(stopped.iter().any(|(code, _)| *code == "flange-collision"), "{stopped:?}");
}

const LOADED: &str = "about = \"x\"\n[face.base]\nblank = [ { add = \"polygon\", corners = [ { at = [\"-20 mm\", \"-60 mm\"], edge = \"seam\" }, [\"20 mm\", \"-60 mm\"], { at = [\"20 mm\", \"0\"], edge = \"top\" }, [\"-20 mm\", \"0\"] ] } ]\n\
    weld = [ { edge = \"seam\", leg = \"3 mm\" } ]\n\
    [face.tail]\nblank = [ { add = \"rectangle\", width = \"40 mm\", height = \"50 mm\", at = [\"0\", \"25 mm\"] } ]\n\
    holes = [ { name = \"eye\", at = [\"0\", \"30 mm\"], diameter = \"9 mm\" } ]\n\
    [bend.one]\non = \"base.top\"\nto = \"tail\"\nform = \"rolled\"\nangle = \"90 deg\"\nradius = \"30 mm\"\n";

/// There is no model of a curved beam: no margin is given.
#[test]
fn a_load_over_a_rolled_bend_is_not_judged() {
    let keys = "[[load]]\nname = \"test\"\npart = \"own\"\nhole = \"eye\"\nforce = \"200 N\"\npin = \"8 mm\"\ndirection = \"normal\"\nheld = \"seam\"\n";
    let (solved, found) = own::solve_with(LOADED, "3 mm", "waterjet", keys).unwrap();
    let (_, verdict) = &solved[0].verdicts[0];
    assert!(matches!(verdict.state, platewright::strength::State::NotJudged(_)), "{verdict:?}");
    assert!(verdict.limits.is_empty());
    assert!(
        found.iter().any(|f| f.code == "strength" && f.headline.contains("not judged")),
        "{found:?}"
    );
    let bent = LOADED.replace("form = \"rolled\"\n", "").replace("30 mm\"\n", "3 mm\"\n");
    let (solved, _) = own::solve_with(&bent, "3 mm", "waterjet", keys).unwrap();
    assert!(!solved[0].verdicts[0].1.limits.is_empty());
}

/// The tool of the first bend of a part of 1.5 mm, in the demo's shop with some of its tools.
fn made_on(bend: &str, tail: f64, change: impl Fn(&mut Shop)) -> Formed {
    let (solved, _) = own::solve(&recipe(bend, tail), "1.5 mm", "laser").unwrap();
    let mut sources = Sources::default();
    let text = include_str!("../../../parts/shop.toml");
    let source = sources.add("shop.toml", text);
    let mut shop = shop::read(source, text, &Tables::shipped()).unwrap();
    change(&mut shop);
    let metal = Metal {
        tensile_strength: 450.0,
        yield_strength: 235.0,
        elastic: 210_000.0,
        springback: None,
    };
    let task =
        Task { part: &solved[0].part, flat: &solved[0].flat, metal, material: "S235", shop: &shop };
    sequence::find(&task).formed.remove(0)
}

/// Rolls to radii down to 40 mm: a bend that is to rest at 40 mm springs back from 36.3 mm.
#[test]
fn a_roll_bends_tighter_than_what_rests() {
    let on_rolls = |radius: u32| {
        let bend = format!("form = \"rolled\"\nangle = \"90 deg\"\nradius = \"{radius} mm\"");
        made_on(&bend, 60.0, |shop| shop.rolls.truncate(1)).tool
    };
    let unfit = on_rolls(40).unwrap_err();
    let [(_, Unfit::Radius { is, min, .. })] = unfit[..] else { panic!("{unfit:?}") };
    // k = 4 (a k)³ − 3 a k + 1 with a = 40 · 235 / (210 000 · 1.5) = 0.0298: k = 0.9180.
    assert!((is - 36.72).abs() < 0.02 && min == 40.0, "{is}");
    assert_eq!(on_rolls(45).as_deref(), Ok("three-roll bender"));
}

/// The legs close on a punch of 80° at 100°: a press brake that bends to 145° makes no acute bend.
#[test]
fn the_acute_bend_of_a_hem_is_judged_like_any() {
    let with = |name: &'static str| {
        let only = move |shop: &mut Shop| shop.brakes.retain(|brake| brake.name == name);
        made_on("form = \"closed-hem\"", 16.0, only)
    };
    let made = with("press brake");
    let unfit = made.tool.unwrap_err();
    assert!(matches!(unfit[..], [(_, Unfit::Acute { .. })]), "{unfit:?}");
    let punch = |why: &Why| matches!(why, Why::Angle { max, .. } if max.degrees() == 100.0);
    assert!(made.acute.iter().any(|refusal| punch(&refusal.why)), "{:?}", made.acute);
    let made = with("straight brake");
    assert_eq!(made.tool.as_deref(), Ok("flattening bar"), "{:?}", made.acute);
    // Springback: to rest at 135° it is bent farther, and the brake ends there.
    let made = made_on("form = \"closed-hem\"", 16.0, |shop| {
        shop.brakes.retain(|brake| brake.name == "straight brake");
        shop.hemming[0].acute = platewright::num::Angle::from_degrees(135.0);
    });
    assert!(made.tool.is_err());
}

/// Without a shop hems come before the walls beside them, whatever the recipe begins with: a
/// closed corner would keep out what flattens them.
#[test]
fn hems_come_before_walls_where_no_shop_plans() {
    let tray = r#"
about = "x"
[face.base]
blank = [ { add = "rectangle", width = "120 mm", height = "80 mm" } ]
[face.front]
blank = [ { add = "rectangle", width = "120 mm", height = "30 mm", at = ["0", "15 mm"] } ]
[face.side]
blank = [ { add = "rectangle", width = "80 mm", height = "30 mm", at = ["0", "15 mm"] } ]
[face.lip]
blank = [ { add = "rectangle", width = "60 mm", height = "16 mm", at = ["0", "8 mm"] } ]
[bend.front]
on = "base.top"
to = "front"
angle = "90 deg"
[bend.side]
on = "base.right"
to = "side"
angle = "90 deg"
[bend.lip]
on = "front.top"
to = "lip"
form = "open-hem"
opening = "6 mm"
side = "down"
"#;
    let (solved, _) = own::one(tray);
    let order = sequence::without_tools(&solved.part, &solved.flat);
    let names: Vec<&str> =
        order.iter().map(|step| solved.part.bends[step.bend].name.as_str()).collect();
    assert_eq!(names[0], "lip");
    let before: Vec<&str> = (0..3)
        .filter(|i| order[1].made & (1 << i) != 0)
        .map(|i| solved.part.bends[i].name.as_str())
        .collect();
    assert_eq!(before, ["lip"], "the first wall is bent with its hem closed");
}

/// A hole is checked all round: one end of a slot is enough, and a twentieth of a millimetre; a
/// hole through the return in the same place uncovers it.
#[test]
fn a_hem_over_one_end_of_a_slot_covers_it() {
    // The return ends 45 mm from the outside of the fold, from which the plate is drawn too.
    let codes = |end: f64, through: &str| -> Vec<&'static str> {
        let at = -45.0 - 20.0 + end;
        let text = format!(
            r#"
about = "x"
[face.plate]
blank = [ {{ add = "rectangle", width = "120 mm", height = "140 mm", at = ["0", "-70 mm"] }} ]
holes = [ {{ name = "guide", at = ["0", "{at} mm"], diameter = "8 mm", slot = "40 mm", rotate = "90 deg", for = "pin" }} ]
[face.leg]
blank = [ {{ add = "rectangle", width = "120 mm", height = "45 mm", at = ["0", "22.5 mm"] }}{through} ]
[bend.heel]
on = "plate.top"
to = "leg"
form = "open-hem"
opening = "9 mm"
"#
        );
        match own::solve(&text, "3 mm", "waterjet") {
            Ok((_, found)) | Err(found) => found.iter().map(|f| f.code).collect(),
        }
    };
    assert!(!codes(-0.05, "").contains(&"covered"));
    assert!(codes(0.05, "").contains(&"covered"));
    let notch =
        r#", { cut = "rectangle", width = "20 mm", height = "20 mm", at = ["0", "45 mm"] }"#;
    assert!(!codes(5.0, notch).contains(&"covered"), "the return is notched over it");
}

/// A row of holes that crosses a fold line is in line on the flat, and each hole is on the face
/// where it lies; across a bend on an edge it is refused.
#[test]
fn a_row_runs_on_over_a_fold_line() {
    let text = r#"
about = "x"
[face.plate]
blank = [ { add = "rectangle", width = "200 mm", height = "60 mm" } ]
holes = [ { name = "row", diameter = "5 mm", row = { count = "7", pitch = "30 mm" } } ]
[bend.fold]
across = "plate"
line = { at = ["15 mm", "0"], direction = "90 deg" }
to = "leg"
angle = "90 deg"
"#;
    let (solved, found) = own::one(text);
    assert!(found.is_empty(), "{}", found[0].headline);
    let mut places: Vec<f64> =
        solved.flat.holes.iter().map(|h| h.outline.bounds().centre().x).collect();
    places.sort_by(f64::total_cmp);
    let pitch = places.windows(2).map(|two| two[1] - two[0]);
    assert!(pitch.into_iter().all(|mm| (mm - 30.0).abs() < 1e-9), "{places:?}");
    let faces: Vec<usize> = solved.part.faces.iter().map(|face| face.holes.len()).collect();
    assert_eq!(faces, [3, 4]);
}

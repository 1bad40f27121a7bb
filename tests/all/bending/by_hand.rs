//! Bends made by hand: the moment and the pull, and when they are offered.

use platewright::diag::Finding;
use platewright::job::Shelf;
use platewright::sequence::Step;
use platewright::shop::Tools;
use platewright::solve::Solved;
use platewright::table::Tables;
use platewright::workshop::Workshop;

/// A press brake whose shortest flange is 28 mm, and a wrench of 300 mm.
const SHOP: &str = r#"
[[brake]]
name      = "press brake"
kind      = "press"
length    = "1500 mm"
force     = "400 kN"
max_angle = "95 deg"
ram       = { thickness = "120 mm" }
bed       = { thickness = "90 mm" }
die       = "40 mm"
punch     = "straight"

[[brake]]
name   = "wrench"
kind   = "hand"
grip   = "wrench"
length = "40 mm"
lever  = "300 mm"
"#;

/// A plate with an ear of a given width and 26 mm long, which no die bends, and a flange that one
/// does.
fn eared(wide: f64) -> String {
    format!(
        "about = \"Plate with an ear\"\n[face.base]\nblank = [ {{ add = \"rectangle\", width = \"80 mm\", height = \"60 mm\" }} ]\n\
         [face.ear]\nblank = [ {{ add = \"rectangle\", width = \"{wide} mm\", height = \"24 mm\", at = [\"0\", \"12 mm\"] }} ]\n\
         [face.leg]\nblank = [ {{ add = \"rectangle\", width = \"80 mm\", height = \"40 mm\", at = [\"0\", \"20 mm\"] }} ]\n\
         [bend.tip]\non = \"base.top\"\nto = \"ear\"\nangle = \"90 deg\"\nradius = \"6 mm\"\n\
         [bend.heel]\non = \"base.bottom\"\nto = \"leg\"\nangle = \"90 deg\"\nradius = \"6 mm\"\n"
    )
}

/// A plate with a line across it, and three slots through the line where it is `slotted`.
fn folded(slotted: bool) -> String {
    let slots = "holes = [ { name = \"eye\", at = [\"0\", \"-55 mm\"], diameter = \"9 mm\" }, \
                 { name = \"bolt\", at = [\"0\", \"52 mm\"], diameter = \"9 mm\" } ]\n";
    let cuts = match slotted {
        true => {
            ", { cut = \"slot\", each = { x = [\"-10 mm\", \"0 mm\", \"10 mm\"] }, \
             from = [\"x\", \"-14 mm\"], to = [\"x\", \"14 mm\"], width = \"6 mm\" }"
        }
        false => "",
    };
    format!(
        "about = \"Strip\"\n[face.base]\nblank = [ {{ add = \"rectangle\", width = \"36 mm\", height = \"140 mm\" }}{cuts} ]\n\
         {slots}[bend.fold]\nacross = \"base\"\nline = [[\"-20 mm\", \"0\"], [\"20 mm\", \"0\"]]\nto = \"leg\"\n\
         angle = \"90 deg\"\nradius = \"6 mm\"\n"
    )
}

fn job(more: &str) -> String {
    format!(
        "process = \"laser\"\nshop = \"shop.toml\"\n[[sheet]]\nname = \"s\"\nmaterial = \"S235\"\n\
         thickness = \"4 mm\"\nstock = []\n[[part]]\nrecipe = \"own\"\nname = \"own\"\nsheet = \"s\"\n{more}"
    )
}

/// The parts and their findings; only the findings if one stops them.
fn solved(own: &str, shop: &str, more: &str) -> Result<(Vec<Solved>, Vec<Finding>), Vec<Finding>> {
    let tables = Tables::shipped();
    let recipe = |name: &str| (name == "own").then(|| ("own.toml".to_owned(), own.to_owned()));
    let file = |name: &str| (name == "shop.toml").then(|| (name.to_owned(), shop.to_owned()));
    let shelf = Shelf { recipe: &recipe, file: &file, ..Shelf::shipped(&tables) };
    let asked = Workshop::new(shelf).read("job", "job.toml", &job(more));
    let ready = asked.and_then(|asked| asked.solve());
    ready.map(|ready| (ready.solved, ready.findings)).map_err(|stopped| stopped.findings)
}

/// The names of the brakes on which the bends are made, in their order.
fn order(solved: &Solved, shop: &str) -> Vec<(String, String)> {
    let plan = solved.plan.as_ref().unwrap();
    let brakes: Vec<&str> = shop.lines().filter_map(|line| line.strip_prefix("name ")).collect();
    let named = |i: usize| brakes[i].split('"').nth(1).unwrap().to_owned();
    let of = |bend: usize| solved.part.bends[bend].name.clone();
    plan.steps.iter().map(|step| (of(step.bend), named(step.setup.brake))).collect()
}

fn stop(found: &[Finding]) -> String {
    let all =
        found.iter().map(|f| format!("{}: {} {:?} {:?}", f.code, f.headline, f.notes, f.help));
    all.collect::<Vec<_>>().join("\n")
}

/// S235 of 4 mm with the 450 MPa of charts of mild steel, 30 mm wide: 450 × 30 × 4² / 4 = 54 N·m, at
/// 300 mm 180 N. The ear is drawn first and is too short for the die: it is bent by hand, and last.
#[test]
fn bends_that_no_brake_reaches_are_bent_by_hand_and_last() {
    let (parts, _) = solved(&eared(30.0), SHOP, "").unwrap_or_else(|f| panic!("{}", stop(&f)));
    let wanted = [("heel", "press brake"), ("tip", "wrench")].map(|(a, b)| (a.into(), b.into()));
    assert_eq!(order(&parts[0], SHOP), wanted);
    // A person whose pull is less than that is not assigned the bend.
    let weak = |newton: u32| SHOP.replace("lever ", &format!("pull = \"{newton} N\"\nlever "));
    assert!(solved(&eared(30.0), &weak(181), "").is_ok());
    let found = solved(&eared(30.0), &weak(179), "").unwrap_err();
    let words = stop(&found);
    assert!(words.contains("it needs 180 N (41 lbf) at the end of a lever of 300 mm"), "{words}");
    assert!(words.contains("one person pulls 179 N"), "{words}");
    // The value in the finding is sufficient, and no longer than needed: 180 / 179 × 300 mm.
    assert!(words.contains("a lever of 302 mm"), "{words}");
    assert!(solved(&eared(30.0), &weak(179).replace("300 mm", "302 mm"), "").is_ok());
    // Wider than its jaws, thicker than it grips: 41 mm is too wide whatever the pull.
    let found = solved(&eared(41.0), &weak(4000), "").unwrap_err();
    assert!(stop(&found).contains("the bend is 41 mm long, the tool 40 mm"), "{}", stop(&found));
}

/// The vice that clamps the rest is not in the shop file: a caution names the bend and the face that
/// is in the vice. Of a bend in a vice there is none, its jaws are in the file.
#[test]
fn the_room_between_wrench_and_vice_is_said_not_to_be_judged() {
    let of = |own: &str, shop: &str| {
        let (parts, found) = solved(own, shop, "").unwrap_or_else(|f| panic!("{}", stop(&f)));
        let is_it = |f: &Finding| f.code == "bend-sequence" && f.headline.contains("the wrench");
        (parts, found.into_iter().filter(is_it).collect::<Vec<_>>())
    };
    let (parts, found) = of(&eared(30.0), SHOP);
    let [finding] = found.as_slice() else { panic!("{}", stop(&found)) };
    assert!(finding.headline.contains("jaws of the vice at bend `tip` is not judged"));
    let words = stop(&found);
    // The wrench holds one face, the vice the other.
    let is_tip = |step: &&Step| parts[0].part.bends[step.bend].name == "tip";
    let hold = parts[0].plan.as_ref().unwrap().steps.iter().find(is_tip).unwrap().setup.hold;
    let clamped = if parts[0].part.faces[hold].name == "ear" { "base" } else { "ear" };
    assert!(words.contains(&format!("the vice clamps face `{clamped}`")), "{words}");
    assert!(finding.help.is_some() && !finding.about.is_empty(), "{words}");
    let vice = SHOP[SHOP.rfind("[[brake]]").unwrap()..].replace("wrench", "vice");
    assert!(of(&folded(false), &vice).1.is_empty());
}

/// A bend that a brake can make is never made by hand, in whatever order the tools are in the file.
#[test]
fn a_brake_comes_before_a_hand() {
    let (first, wrench) = SHOP.split_at(SHOP.rfind("[[brake]]").unwrap());
    let turned = format!("{wrench}\n{first}");
    let long = eared(30.0).replace(
        "height = \"24 mm\", at = [\"0\", \"12 mm\"]",
        "height = \"40 mm\", at = [\"0\", \"20 mm\"]",
    );
    for shop in [SHOP, &turned] {
        let (parts, _) = solved(&long, shop, "").unwrap_or_else(|f| panic!("{}", stop(&f)));
        assert!(order(&parts[0], shop).iter().all(|(_, brake)| brake == "press brake"));
    }
}

/// Slots through the bend leave 36 − 3 × 6 = 18 mm of metal: half of the pull, and no strength is
/// given for the rest.
#[test]
fn slots_ease_the_pull_and_take_the_strength() {
    let hand = SHOP[SHOP.rfind("[[brake]]").unwrap()..].replace("wrench", "vice");
    let of = |newton: u32| hand.replace("lever ", &format!("pull = \"{newton} N\"\nlever "));
    // 450 × 36 × 4 / 300 = 216 N, and half of it 108 N.
    for (slotted, newton, good) in
        [(false, 216, true), (false, 215, false), (true, 108, true), (true, 107, false)]
    {
        let came = solved(&folded(slotted), &of(newton), "");
        let words = came.as_ref().map_or_else(|found| stop(found), |_| String::new());
        assert_eq!(came.is_ok(), good, "{slotted} {newton}: {words}");
        if !good {
            assert!(words.contains("with slots through the bend, "), "{words}");
        }
    }
    let load = "[[load]]\nname = \"pull\"\npart = \"own\"\nhole = \"eye\"\nforce = \"0.2 kN\"\n\
                direction = \"pull\"\nheld = \"leg.top\"\npin = \"8 mm\"\n";
    let judged = |slotted: bool| {
        let (parts, _) =
            solved(&folded(slotted), &of(400), load).unwrap_or_else(|f| panic!("{}", stop(&f)));
        let verdict = &parts[0].verdicts[0].1;
        verdict.refused().map(ToString::to_string)
    };
    assert_eq!(judged(false), None);
    let reason = judged(true).expect("no strength is given for ligaments in a bend");
    assert!(reason.contains("crosses bend `fold`"), "{reason}");
}

/// Slots of 28 mm across the bend stop short of the required length; the findings of the pull and
/// of the slots name one length, and slots of that length are sufficient.
#[test]
fn both_findings_name_the_length_of_a_slot_that_passes() {
    let hand = SHOP[SHOP.rfind("[[brake]]").unwrap()..].replace("wrench", "vice");
    let with = |long: f64| {
        let half = long / 2.0 - 3.0;
        let own = folded(true).replace("-14 mm", &format!("-{half} mm"));
        own.replace("\"14 mm\"", &format!("\"{half} mm\""))
    };
    let named = |words: &str| -> f64 {
        let (before, _) = words.split_once(" mm long across").unwrap_or_else(|| panic!("{words}"));
        before.rsplit(' ').next().unwrap().parse().unwrap()
    };
    let weak = hand.replace("lever ", "pull = \"90 N\"\nlever ");
    let pull = stop(&solved(&folded(false), &weak, "").unwrap_err());
    let short = stop(&solved(&with(28.0), &hand, "").unwrap_err());
    assert!(short.contains("hole-bend"), "{short}");
    assert!((named(&pull) - named(&short)).abs() < 1e-9, "{pull}\n{short}");
    assert!(solved(&with(named(&short)), &hand, "").is_ok());
    assert!(solved(&with(named(&short) - 0.1), &hand, "").is_err());
}

/// Jaws and blocks need no coordinates; impossible values are reported with what to type.
#[test]
fn grips_need_no_drawing() {
    let tables = Tables::shipped();
    let read = |text: &str| {
        let mut sources = platewright::diag::Sources::default();
        let source = sources.add("shop.toml", text);
        platewright::shop::read(source, text, &tables)
    };
    let tool = |grip: &str, more: &str| {
        format!(
            "[[brake]]\nname = \"by hand\"\nkind = \"hand\"\ngrip = \"{grip}\"\nlength = \"60 mm\"\n{more}\n"
        )
    };
    for (grip, more) in [
        ("vice", "lever = \"400 mm\""),
        ("wrench", "lever = \"250 mm\""),
        ("hammer form", "max_thickness = \"2 mm\""),
    ] {
        let shop = read(&tool(grip, more)).unwrap_or_else(|f| panic!("{}", stop(&f)));
        let Tools::Folding(folding) = &shop.brakes[0].tools else { panic!("{grip}") };
        assert!(folding.beam.bounds().min.x < -40.0 && folding.leaf.is_none(), "{grip}");
        // There is no pull at a form, and no maximum thickness for a lever.
        assert_eq!(shop.brakes[0].pull.is_some(), grip != "hammer form");
        assert_eq!(shop.brakes[0].thickest.is_some(), grip == "hammer form");
    }
    for (text, code) in [
        (tool("pliers", "lever = \"250 mm\""), "unknown-word"),
        (tool("wrench", ""), "missing-key"),
        (tool("hammer form", ""), "missing-key"),
        (tool("wrench", "lever = \"250 mm\"\npull = \"0 N\""), "out-of-range"),
        (tool("wrench", "lever = \"250 mm\"\npull = \"40 mm\""), "wrong-unit"),
    ] {
        let found = read(&text).unwrap_err();
        assert_eq!(found[0].code, code, "{text}");
        assert!(found.iter().all(|finding| finding.help.is_some()));
    }
}

//! Findings on a support that is only partial, and where there is none.

use super::strength::called;
use super::strength::near;
use super::strength::verdict;
use crate::own;
use platewright::num::Angle;
use platewright::strength::Reason;
use platewright::strength::Verdict;

fn bellcrank(load: &str) -> Verdict {
    let load = format!("hole = \"a\"\nforce = \"100 N\"\n{load}");
    verdict("S235", 8.0, "recipe = \"bellcrank\"", &load)
}

/// Between its eyes it is a tie, whatever the pivot takes: a note says that it takes nothing.
#[test]
fn a_bellcrank_between_its_eyes_says_that_its_pivot_is_left_out() {
    let verdict = bellcrank("direction = \"pull\"");
    assert_eq!(verdict.refused(), None);
    let words = "held in `b` alone, about which the part rotates: no support in `pivot`";
    assert!(verdict.assumed.iter().any(|said| said == words), "{:?}", verdict.assumed);
}

#[test]
fn a_single_pin_holds_nothing_square_to_the_plate() {
    for bolts in ["", "bolts = \"b\""] {
        let verdict = bellcrank(&format!("direction = \"normal\"\n{bolts}"));
        assert_eq!(verdict.refused(), Some(&Reason::OnePin("b".into())));
        assert_eq!(verdict.margin(), None);
    }
}

/// Off the line through the pin the plate turns.
#[test]
fn a_single_pin_holds_no_load_that_passes_it() {
    let verdict = bellcrank("direction = \"along\"");
    assert!(matches!(verdict.refused(), Some(Reason::Offered(_))), "{:?}", verdict.state);
}

/// The bolts of the plate are loaded, and the weld is that of the doubler.
#[test]
fn where_only_the_loaded_bolts_could_hold_the_help_says_so() {
    let load = "hole = \"bolt\"\nforce = \"1 kN\"\ndirection = \"pull\"";
    let verdict = verdict("S235", 8.0, "recipe = \"doubler-plate\"", load);
    let help = verdict.refused().map(Reason::help);
    let words =
        "give the loaded plate a `weld`, or holes `for` bolts in which the load does not act";
    assert_eq!(help.as_deref(), Some(words));
}

#[test]
fn a_plain_0_serves_for_the_point_of_a_load() {
    let at = |zero: &str| {
        let load =
            format!("at = [\"{zero}\", \"{zero}\"]\nforce = \"1 kN\"\ndirection = \"along\"");
        verdict("S235", 8.0, "recipe = \"base-plate\"", &load)
    };
    assert_eq!(format!("{:?}", at("0")), format!("{:?}", at("0 mm")));
}

/// A plate of 160 × 120 about its origin: what is beyond its edge bears on nothing, and no section
/// from there is one of the plate.
#[test]
fn a_load_at_a_point_off_its_plate_is_not_judged() {
    let part = "recipe = \"base-plate\"\ngiven = { width = \"160 mm\", height = \"120 mm\", inset = \"20 mm\", bolt = \"M8\" }";
    let at = |x: f64, above: f64| {
        let load = format!(
            "at = [\"{x} mm\", \"0 mm\"]\nabove = \"{above} mm\"\nfoot = \"20 mm\"\n\
             force = \"10 N\"\ndirection = \"pull\""
        );
        verdict("S235", 6.0, part, &load)
    };
    for above in [0.0, 50.0] {
        assert_eq!(at(80.0, above).refused(), None, "on the edge itself");
        let off = at(80.1, above);
        let reason = off.refused().expect("it is off the plate");
        assert_eq!(reason, &Reason::Off("plate".into()));
        assert_eq!(reason.to_string(), "the load acts at a point off the plate `plate`");
        assert!(reason.help().contains("bears on the plate"));
        assert_eq!(off.margin(), None);
    }
}

#[test]
fn a_point_of_a_plate_without_bolts_is_refused_in_words() {
    let text = r#"
about = "x"
[face.plate]
blank = [ { add = "rectangle", width = "200 mm", height = "120 mm" } ]
weld = [ { edge = "top", leg = "3 mm" } ]
"#;
    let keys = "[[load]]\nname = \"x\"\npart = \"own\"\nat = [\"0 mm\", \"0 mm\"]\nabove = \"5 mm\"\n\
                foot = \"20 mm\"\nforce = \"1 kN\"\ndirection = \"pull\"";
    let findings = own::solve_with(text, "3 mm", "waterjet", keys).unwrap_err();
    let words = "load `x` cannot be judged: no bolts hold the plate, which a load at a point needs";
    assert!(findings.iter().any(|found| found.headline == words), "{findings:?}");
}

const PLATE: &str = "about = \"x\"\nmirror = true\n[face.plate]\nblank = [ { add = \"polygon\", corners = [ { at = [\"-40 mm\", \"0\"], edge = \"seam\" }, [\"40 mm\", \"0\"], [\"40 mm\", \"90 mm\"], [\"-40 mm\", \"90 mm\"] ] } ]\n\
    weld = [ { edge = \"seam\", leg = \"3 mm\" } ]\n\
    holes = [ { name = \"eye\", at = [\"0\", EYE], diameter = \"9 mm\" } ]\n";

const LOAD: &str = "[[load]]\nname = \"test\"\npart = \"own\"\nhole = \"eye\"\nforce = \"200 N\"\npin = \"8 mm\"\ndirection = \"pull\"\nheld = \"seam\"\n";

/// The hand whose eye is nearer to the edge counts.
#[test]
fn of_unlike_hands_the_weaker_is_judged() {
    for (eye, weaker) in [
        ("\"if hand == 'left' then 78 mm else 50 mm\"", "own-left"),
        ("\"if hand == 'left' then 50 mm else 78 mm\"", "own-right"),
    ] {
        let (solved, _) =
            own::solve_with(&PLATE.replace("EYE", eye), "6 mm", "waterjet", LOAD).unwrap();
        let judged: Vec<&str> =
            solved.iter().filter(|s| !s.verdicts.is_empty()).map(|s| &*s.name).collect();
        assert_eq!(judged, [weaker]);
    }
}

/// Each hand has a name, which differs from that of the line.
#[test]
fn a_load_on_a_pair_that_counts_on_another_leg_is_seen() {
    let found = |leg: &str| {
        let load = format!("{LOAD}leg = \"{leg}\"\n");
        let own = PLATE.replace("EYE", "\"if hand == 'left' then 78 mm else 50 mm\"");
        let (_, found) = own::solve_with(&own, "6 mm", "waterjet", &load).unwrap();
        found.into_iter().filter(|finding| finding.code == "weld-leg").count()
    };
    assert_eq!(found("3 mm"), 0);
    assert_eq!(found("5 mm"), 1);
}

/// 80 N·m bend the plate of 80 × 6 mm where it is welded on one side, at the most 80 · 6² / 4 · 235
/// / 1.67 = 101 N·mm: the extra strength of the fillet that opens at its root is not known, but a
/// load that the plate itself does not carry stops.
#[test]
fn what_the_plate_does_not_carry_stops_though_its_seam_is_not_judged() {
    let own = PLATE.replace("EYE", "\"70 mm\"").replace("mirror = true\n", "");
    let own = own.replace("leg = \"3 mm\"", "leg = \"3 mm\", one_side = true");
    let judged = |newtons: f64| {
        let load = LOAD.replace("200 N", &format!("{newtons} N")).replace("pull", "normal");
        own::solve_with(&own, "6 mm", "waterjet", &load)
    };
    let (solved, _) = judged(1000.0).unwrap();
    let refused = solved[0].verdicts[0].1.refused();
    assert_eq!(refused, Some(&Reason::OpenRoot("seam".into())));
    let stops = judged(1600.0).unwrap_err();
    assert!(stops.iter().any(|stop| stop.code == "strength"), "{stops:#?}");
}

/// Two faces with an eye of one name: which carries what is not known.
#[test]
fn holes_of_one_name_on_two_faces_are_not_judged() {
    let own = PLATE.replace("EYE", "\"20 mm\"").replace("mirror = true\n", "")
        + "[bend.heel]\nacross = \"plate\"\nline = [[\"-40 mm\", \"48 mm\"], [\"40 mm\", \"48 mm\"]]\nto = \"wing\"\nangle = \"90 deg\"\n";
    let row = "at = [\"0\", \"20 mm\"], diameter = \"9 mm\"";
    let two = "at = [\"0\", \"48 mm\"], row = { count = \"2\", pitch = \"50 mm\" }, rotate = \"90 deg\", diameter = \"9 mm\"";
    let own = own.replace(row, two);
    let (solved, _) = own::solve_with(&own, "3 mm", "waterjet", LOAD).unwrap();
    let verdict = &solved[0].verdicts[0].1;
    let faces = vec!["plate".to_owned(), "wing".to_owned()];
    assert_eq!(verdict.refused(), Some(&Reason::Scattered("eye".into(), faces)));
}

/// A notch splits the supporting edge: which stretch carries what is not known.
#[test]
fn an_edge_in_two_stretches_holds_nothing() {
    let own = PLATE.replace("EYE", "\"60 mm\"").replace("mirror = true\n", "");
    let own = own.replace("weld = [ { edge = \"seam\", leg = \"3 mm\" } ]\n", "");
    let whole = own::solve_with(&own, "3 mm", "waterjet", LOAD).unwrap().0;
    assert_eq!(whole[0].verdicts[0].1.refused(), None);
    let notch = ", { cut = \"rectangle\", width = \"20 mm\", height = \"20 mm\", at = [\"0\", \"0\"] } ]\nholes";
    let own = own.replace(" ]\nholes", notch);
    let parted = own::solve_with(&own, "3 mm", "waterjet", LOAD).unwrap().0;
    let refused = parted[0].verdicts[0].1.refused();
    assert_eq!(refused, Some(&Reason::Stretches("seam".into())));
}

/// A flange along a half of its bend: its strip of 17 mm leads a load no farther than 17 mm aside.
#[test]
fn a_bend_longer_than_its_flange_is_not_judged() {
    let own = |corners: &str| {
        format!(
            "about = \"x\"\n[face.plate]\nblank = [ {{ add = \"polygon\", corners = [ [\"0\", \"0\"], {{ at = [\"200 mm\", \"0\"], edge = \"seam\" }}, [\"200 mm\", \"120 mm\"], {corners} ] }} ]\n\
             holes = [ {{ name = \"eye\", at = [\"30 mm\", \"30 mm\"], diameter = \"9 mm\" }} ]\n\
             [bend.heel]\nacross = \"plate\"\nline = [[\"105 mm\", \"0\"], [\"105 mm\", \"120 mm\"]]\nto = \"flange\"\nangle = \"90 deg\"\n"
        )
    };
    let judged = |corners: &str| {
        let load = LOAD.replace("pull", "normal");
        let (solved, _) = own::solve_with(&own(corners), "3 mm", "waterjet", &load).unwrap();
        solved[0].verdicts[0].1.refused().cloned()
    };
    assert_eq!(judged("[\"0\", \"120 mm\"]"), None);
    let half = "[\"85 mm\", \"120 mm\"], [\"85 mm\", \"60 mm\"], [\"0\", \"60 mm\"]";
    assert_eq!(judged(half), Some(Reason::Stepped("heel".into())));
}

/// Two legs of an angle, a tube of 38 mm square through the middle of the first, and an eye in the
/// second.
const POST: &str = r#"
about = "x"
[face.base]
blank = [ { add = "rectangle", width = "120 mm", height = "90 mm", at = ["0", "-45 mm"] } ]
[face.leg]
blank = [ { add = "rectangle", width = "120 mm", height = "40 mm", at = ["0", "20 mm"] } ]
holes = [ { name = "eye", at = ["0", "22 mm"], diameter = "10 mm", role = "eye", for = "M10" } ]
[bend.heel]
on = "base.top"
to = "leg"
angle = "90 deg"
[[cut_folded]]
tube = "38 mm"
at = ["0", "-50 mm", "0"]
direction = ["0", "0", "1"]
edge = "post"
leg = "3 mm"
"#;

/// The seam of a tube through the middle of a face is as long as its cut: π · 38 mm. Its strength
/// is not checked, and the help does not name it again.
#[test]
fn a_seam_round_an_opening_has_its_length_and_is_not_judged() {
    let load = LOAD.replace("pin = \"8 mm\"\n", "").replace("\"seam\"", "\"post\"");
    let (solved, _) = own::solve_with(POST, "3 mm", "laser", &load).unwrap();
    let length = solved[0].part.faces[0].welds[0].edge_length();
    let round = platewright::num::PI * 38.02;
    assert!((length - round).abs() < 1e-6, "{length}, not {round}");
    let refused = solved[0].verdicts[0].1.refused();
    assert_eq!(refused, Some(&Reason::Ring("post".into())));
    assert!(!refused.unwrap().help().contains("post"));
    let unsaid = own::solve_with(POST, "3 mm", "laser", &load.replace("held = \"post\"\n", ""));
    let unsaid = unsaid.unwrap().0;
    assert_eq!(unsaid[0].verdicts[0].1.refused(), Some(&Reason::Ring("post".into())));
}

/// An opening that a step names can be welded, along all of it.
#[test]
fn an_opening_of_a_tube_or_a_saddle_can_be_a_seam() {
    let tube = "[tube.h]\nfrom = [\"0\", \"0\", \"0\"]\nto = [\"20 mm\", \"10 mm\", \"300 mm\"]\noutside = \"38 mm\"";
    let on = "on = { origin = [\"0\", \"0\", \"80 mm\"], x = [\"1 mm\", \"0\", \"80 mm\"], side = [\"0\", \"1 mm\", \"80 mm\"] }";
    for (tube, on, cut) in [
        (tube, on, "cut = \"tube\", tube = \"h\", clearance = \"0.2 mm\""),
        ("", "", "cut = \"saddle\", tube = \"38 mm\", angle = \"75 deg\""),
    ] {
        let own = format!(
            "about = \"x\"\n{tube}\n[face.plate]\n{on}\nblank = [ {{ add = \"rectangle\", width = \"260 mm\", height = \"150 mm\" }}, {{ {cut}, edge = \"hoop\" }} ]\nweld = [ {{ edge = \"hoop\", leg = \"3 mm\" }} ]\n"
        );
        let (solved, _) = own::solve(&own, "2 mm", "laser").unwrap();
        let weld = &solved[0].part.faces[0].welds[0];
        let opening = solved[0].flat.region.holes()[0].length();
        assert!((weld.edge_length() - opening).abs() < 1e-9, "{} of {opening}", weld.edge_length());
        let round = platewright::num::PI * 38.0;
        assert!(
            weld.edge_length() > round && weld.edge_length() < 1.05 * round,
            "{}",
            weld.edge_length()
        );
        let job = "process = \"laser\"\nsheet = [ { name = \"s\", material = \"S235\", thickness = \"2 mm\", \
             stock = [ { size = [\"400 mm\", \"300 mm\"] } ] } ]\n\
             part = [ { recipe = \"own\", name = \"own\", sheet = \"s\" } ]\n";
        let made = own::make(&own, job).unwrap();
        let report = made.files.iter().find(|file| file.name == "report.json").unwrap();
        let report: serde_json::Value = serde_json::from_slice(&report.bytes).unwrap();
        let told = report["parts"][0]["welds"][0]["length_mm"].as_f64().unwrap();
        assert!((told - opening).abs() < 1e-2, "{told} of {opening}");
        // The metal is to the left of each stretch.
        for stretch in &weld.stretches {
            let along = (stretch.to - stretch.from).normalize();
            let left = platewright::geom::Vec2::new(-along.y, along.x);
            let beside = stretch.point_at(0.5) + left * 0.5;
            assert!(solved[0].flat.region.contains(beside), "{stretch:?}");
        }
    }
}

/// A plate of 40 mm that is welded along an arc of an angle bulging from its lower end.
fn on_an_arc(sweep: f64) -> Verdict {
    let half = Angle::from_degrees(sweep / 2.0);
    let height = 20.0 / half.sin() * (1.0 - half.cos());
    let own = format!(
        "about = \"x\"\n[face.plate]\nblank = [ {{ add = \"polygon\", corners = [ {{ at = [\"-20 mm\", \"0\"], edge = \"seam\", arc = {{ height = \"{height} mm\" }} }}, [\"20 mm\", \"0\"], [\"20 mm\", \"100 mm\"], [\"-20 mm\", \"100 mm\"] ] }} ]\n\
         weld = [ {{ edge = \"seam\", leg = \"3 mm\" }} ]\n\
         holes = [ {{ name = \"eye\", at = [\"0\", \"80 mm\"], diameter = \"9 mm\" }} ]\n"
    );
    let (solved, _) = own::solve_with(&own, "3 mm", "waterjet", LOAD).unwrap();
    solved[0].verdicts[0].1.clone()
}

/// A seam that comes back to about where it began has no direction: its chord says nothing of where
/// its metal is, and a load was judged by it.
#[test]
fn a_seam_that_is_nearly_a_ring_is_not_judged() {
    for sweep in [300.0, 350.0] {
        let verdict = on_an_arc(sweep);
        assert_eq!(verdict.refused(), Some(&Reason::Ring("seam".into())), "{sweep}°");
        assert_eq!(verdict.margin(), None);
    }
}

/// Two fillets of 3 mm along 200° of a circle of 20 / sin 100° = 20.309 mm, 70.890 mm each. Its
/// ends run along the pull, where J2-5 adds nothing: half as much again was counted on for all of
/// it.
#[test]
fn a_seam_along_an_arc_counts_as_where_it_runs_along_the_load() {
    let verdict = on_an_arc(200.0);
    assert_eq!(verdict.refused(), None);
    let weld = called(&verdict, "fillet weld");
    let by_hand = 289.58 * 0.707 * 3.0 * 2.0 * 70.890 / 2.0;
    near(weld.allowable(), by_hand);
}

/// Two M12 bolts, 36 mm apart and 30 mm from the edge behind them, in 5 mm: sheared over 2 · 30 mm
/// (0.6 · 235, less than 0.6 · 360 over 2 · (30 − 15.5 / 2)), pulled over 36 − 15.5 mm. Each alone
/// carries 1.2 · 23.25 · 5 · 360 and bears 2.4 · 12 · 5 · 360, more than half of that.
#[test]
fn two_mounting_bolts_tear_out_the_piece_between_them() {
    let own = "about = \"x\"\n[inputs]\nbolt = { kind = \"bolt\", default = \"M12\", about = \"holds it\" }\n\
        [face.plate]\nblank = [ { add = \"rectangle\", width = \"160 mm\", height = \"140 mm\", at = [\"0\", \"70 mm\"] } ]\n\
        holes = [ { name = \"fix\", at = [\"0\", \"30 mm\"], diameter = \"13.5 mm\", row = { count = \"2\", pitch = \"36 mm\" }, for = \"bolt\" },\n\
        { name = \"eye\", at = [\"0\", \"110 mm\"], diameter = \"9 mm\" } ]\n";
    let load = LOAD.replace("held = \"seam\"", "bolts = \"fix\"");
    let (solved, _) = own::solve_with(own, "5 mm", "waterjet", &load).unwrap();
    let verdict = &solved[0].verdicts[0].1;
    let block = called(verdict, "block shear at the mounting bolts");
    near(block.nominal, 5.0 * (0.6 * 235.0 * 2.0 * 30.0 + 360.0 * (36.0 - 15.5)));
    let alone = called(verdict, "tear-out at a mounting bolt");
    near(alone.nominal, 2.0 * 1.2 * 23.25 * 5.0 * 360.0);
    assert!(block.allowable() < alone.allowable());
}

/// From bolts a pull runs along the line from their centre to the load, 40 mm to the right and 80 up:
/// atan 2. It is said, since a pull square to the row would shear the bolts more.
#[test]
fn a_pull_from_bolts_says_along_which_line_it_acts() {
    let own = "about = \"x\"\n[inputs]\nbolt = { kind = \"bolt\", default = \"M12\", about = \"holds it\" }\n\
        [face.plate]\nblank = [ { add = \"rectangle\", width = \"160 mm\", height = \"140 mm\", at = [\"0\", \"70 mm\"] } ]\n\
        holes = [ { name = \"fix\", at = [\"0\", \"30 mm\"], diameter = \"13.5 mm\", row = { count = \"2\", pitch = \"36 mm\" }, for = \"bolt\" },\n\
        { name = \"eye\", at = [\"40 mm\", \"110 mm\"], diameter = \"9 mm\" } ]\n";
    let load = LOAD.replace("held = \"seam\"", "bolts = \"fix\"");
    let said = |load: &str| {
        let (solved, _) = own::solve_with(own, "5 mm", "waterjet", load).unwrap();
        solved[0].verdicts[0].1.assumed.join("; ")
    };
    let words = "tension acts along the line from the centre of the bolts to the load, at 63.4° to X in \
                 the drawing";
    assert!(said(&load).contains(words), "{}", said(&load));
    assert!(!said(&load.replace("\"pull\"", "\"normal\"")).contains("tension acts"));
}

/// The fillet round a cap on the end of its tube has the leg of its input `weld`, 2 mm here; a cap whose weld is
/// ground flush has none to count on.
#[test]
fn a_load_on_a_cap_counts_on_the_leg_it_has() {
    let found = |fit: &str, leg: &str| {
        let job = format!(
            "process = \"waterjet\"\n[[sheet]]\nname = \"6\"\nmaterial = \"S235\"\nthickness = \"6 mm\"\nstock = []\n\
             [[part]]\nrecipe = \"end-cap\"\nname = \"cap\"\nsheet = \"6\"\n\
             given = {{ tube = \"60.3 x 2.9\", nut = \"M8\", seat = \"round\", {fit} }}\n\
             [[load]]\nname = \"pull\"\npart = \"cap\"\nhole = \"seat\"\npin = \"8 mm\"\ndirection = \"normal\"\nforce = \"100 N\"\n{leg}\n"
        );
        let found = match own::asked("", &job, &mut Default::default()) {
            Ok((_, (_, found))) | Err(found) => found,
        };
        let all: Vec<String> = found.iter().map(|f| format!("{} {}", f.code, f.headline)).collect();
        let own = found.into_iter().filter(|f| f.code == "weld-leg");
        (own.map(|f| f.headline).collect::<Vec<String>>(), all)
    };
    let over = "fit = \"overlap\", overlap = \"3 mm\", weld = \"2 mm\"";
    assert_eq!(found(over, "leg = \"2 mm\"").0, Vec::<String>::new());
    let (other, all) = found(over, "leg = \"2.5 mm\"");
    let wanted =
        "load `pull` is calculated with a leg of 2.5 mm, but the fillet round cap `cap` has 2 mm";
    assert_eq!(other, [wanted], "{all:?}");
    let (flush, all) = found("fit = \"flush\"", "leg = \"2 mm\"");
    assert_eq!(flush.len(), 1, "{all:?}");
    assert!(flush[0].contains("the weld of cap `cap` is flush and has no leg"), "{flush:?}");
}

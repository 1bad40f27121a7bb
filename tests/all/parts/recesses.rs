//! Countersinks, counterbores and inserts: parts of the trade that need them, and their strength.

use crate::own;
use platewright::diag::Weight;
use platewright::flat;
use platewright::job;
use platewright::job::Shelf;
use platewright::make;
use platewright::place::Search;
use platewright::recipe::Side;
use platewright::solve;
use platewright::strength::Verdict;
use platewright::table::Tables;

/// Parts of the trade, each with the sheet it is made of.
const WORKED: [(&str, &str, &str); 5] = [
    ("inserts", include_str!("../../data/worked/inserts.toml"), "3 mm"),
    ("wear-strip", include_str!("../../data/worked/wear-strip.toml"), "5 mm"),
    ("bearing-cover", include_str!("../../data/worked/bearing-cover.toml"), "8 mm"),
    ("hinge-leaf", include_str!("../../data/worked/hinge-leaf.toml"), "5 mm"),
    ("instrument-bracket", include_str!("../../data/worked/instrument-bracket.toml"), "4 mm"),
];

#[test]
fn parts_of_the_trade_with_sunk_holes_and_inserts_are_clean() {
    for (name, text, thickness) in WORKED {
        let (solved, found) = own::solve(text, thickness, "laser")
            .unwrap_or_else(|found| panic!("{name}: {}", found[0].headline));
        assert!(found.is_empty(), "{name}: {found:#?}");
        assert!(!solved.is_empty());
    }
}

/// The three measures of a countersink, by hand: 12 mm at 90° over 6 mm is 3 mm deep; 2 mm deep
/// at 90° over 6 mm is 10 mm wide; 10 mm wide and 2 mm deep over 6 mm is 90°.
#[test]
fn two_measures_of_a_countersink_give_the_third() {
    let of = |given: &str| {
        let text = format!(
            "about = \"x\"\n[face.plate]\nblank = [ {{ add = \"disc\", radius = \"30 mm\" }} ]\n\
             holes = [ {{ name = \"a\", diameter = \"6 mm\", countersink = {{ {given} }} }} ]\n"
        );
        let (solved, _) = own::solve(&text, "5 mm", "laser").expect("it is a good plate");
        let recess = solved[0].part.faces[0].holes[0].recess.expect("it has a countersink");
        [recess.angle.expect("it is a cone"), recess.diameter, recess.depth]
    };
    let near = |is: [f64; 3], wanted: [f64; 3]| {
        let apart = is.iter().zip(wanted).map(|(a, b)| (a - b).abs()).fold(0.0, f64::max);
        assert!(apart < 1e-9, "{is:?}, not {wanted:?}");
    };
    near(of("diameter = \"12 mm\""), [90.0, 12.0, 3.0]);
    near(of("depth = \"2 mm\""), [90.0, 10.0, 2.0]);
    near(of("diameter = \"10 mm\", depth = \"2 mm\""), [90.0, 10.0, 2.0]);
    let steep = of("diameter = \"10 mm\", angle = \"60 deg\"");
    near(steep, [60.0, 10.0, 2.0 * 3.0_f64.sqrt()]);
}

/// A plate that is countersunk is not the other hand turned over; its flat is the same.
#[test]
fn a_countersunk_plate_has_two_hands_and_its_flat_is_that_of_a_plain_one() {
    let (name, text, thickness) = WORKED[3];
    let text = &format!("mirror = true\n{text}");
    let (solved, _) = own::solve(text, thickness, "laser").expect("it is a good leaf");
    let names: Vec<&str> = solved.iter().map(|s| s.name.as_str()).collect();
    assert_eq!(names, ["own-right", "own-left"], "{name}");
    for hand in &solved {
        let holes = &hand.part.faces[0].holes;
        assert!(holes.iter().all(|hole| hole.recess.is_some_and(|r| r.side == Side::Up)));
    }
    let mut plain = solved[0].part.clone();
    plain.faces[0].holes.iter_mut().for_each(|hole| hole.recess = None);
    let plain = flat::unfold(&plain).expect("a flat plate unfolds");
    assert_eq!(plain.region.area(), solved[0].flat.region.area());
}

/// Two bolts M8 support a plate of 8 mm that a third pulls; `recess` is in every hole.
fn verdict(recess: &str, load: &str) -> Verdict {
    let own = format!(
        "about = \"x\"\n[inputs]\nbolt = {{ kind = \"bolt\", default = \"M8\", about = \"x\" }}\n\
         [face.plate]\n\
         blank = [ {{ add = \"rectangle\", width = \"80 mm\", height = \"160 mm\" }} ]\n\
         holes = [\n\
         {{ name = \"hold\", at = [\"0\", \"-50 mm\"], diameter = \"9 mm\", \
         row = {{ count = \"2\", pitch = \"40 mm\" }}, for = \"bolt\"{recess} }},\n\
         {{ name = \"one\", at = [\"0\", \"50 mm\"], diameter = \"9 mm\", for = \"bolt\"{recess} }},\n]\n"
    );
    judged(&own, load)
}

/// The verdict on a part of 8 mm whose hole `one` is loaded and whose bolts in `hold` are 8.8.
fn judged(own: &str, load: &str) -> Verdict {
    let tables = Tables::shipped();
    let recipe = |name: &str| (name == "own").then(|| ("own.toml".to_owned(), own.to_owned()));
    let shelf = Shelf { recipe: &recipe, ..Shelf::shipped(&tables) };
    let text = format!(
        "process = \"laser\"\n[[sheet]]\nname = \"s\"\nmaterial = \"S235\"\n\
         thickness = \"8 mm\"\nstock = []\n\
         [[part]]\nrecipe = \"own\"\nname = \"own\"\nsheet = \"s\"\n\
         [[load]]\nname = \"a\"\npart = \"own\"\nhole = \"one\"\n{load}\n\
         bolts = \"hold\"\nbolts_grade = \"8.8\"\n"
    );
    let mut sources = Default::default();
    let asked = job::read(
        "job",
        platewright::diag::Sources::add(&mut sources, "job.toml", &text),
        &text,
        &shelf,
        &mut sources,
    )
    .expect("it is a good job");
    let (solved, _) = solve::solve(&asked, &shelf, &mut sources, &|| {}).expect("it is solved");
    solved[0].verdicts[0].1.clone()
}

fn nominal(verdict: &Verdict, what: &str) -> f64 {
    let found = verdict.limits.iter().find(|limit| limit.what == what);
    found.unwrap_or_else(|| panic!("no `{what}`: {:#?}", verdict.limits)).nominal
}

const NONE: &str = "";
const CONE: &str = ", countersink = {}";
const BORE: &str = ", counterbore = { diameter = \"15 mm\", depth = \"5 mm\" }";

/// Bearing on 8 mm less half of (17.92 − 9) / 2 mm, or less 5 mm: 2.4 d t Fu.
#[test]
fn a_bolt_bears_on_less_where_its_head_is_sunk() {
    let pull = "force = \"5 kN\"\ndirection = \"pull\"";
    let [none, cone, bore] = [NONE, CONE, BORE].map(|recess| verdict(recess, pull));
    for (verdict, thickness) in [(&none, 8.0), (&cone, 8.0 - 4.46 / 2.0), (&bore, 3.0)] {
        let is = nominal(verdict, "bearing of the bolt");
        let by_hand = 2.4 * 8.0 * thickness * 360.0;
        assert!((is / by_hand - 1.0).abs() < 1e-6, "{is}, by hand {by_hand}");
    }
    // Nothing that is sunk makes a part stronger.
    let least = |verdict: &Verdict| verdict.governing().expect("it is judged").allowable();
    assert!(least(&cone) <= least(&none) && least(&bore) <= least(&cone));
}

/// An angle whose base has two bolts, in holes with a `recess`; its leg is pulled up.
fn lifted(recess: &str) -> Verdict {
    let own = format!(
        "about = \"x\"\n[inputs]\nbolt = {{ kind = \"bolt\", default = \"M8\", about = \"x\" }}\n\
         [face.base]\n\
         blank = [ {{ add = \"rectangle\", width = \"100 mm\", height = \"60 mm\", at = [\"0\", \"-30 mm\"] }} ]\n\
         holes = [ {{ name = \"hold\", at = [\"0\", \"-40 mm\"], diameter = \"9 mm\", \
         row = {{ count = \"2\", pitch = \"50 mm\" }}, for = \"bolt\"{recess} }} ]\n\
         [face.leg]\n\
         blank = [ {{ add = \"rectangle\", width = \"100 mm\", height = \"70 mm\", at = [\"0\", \"35 mm\"] }} ]\n\
         holes = [ {{ name = \"one\", at = [\"0\", \"45 mm\"], diameter = \"9 mm\", for = \"bolt\" }} ]\n\
         [bend.heel]\non = \"base.top\"\nto = \"leg\"\nangle = \"90 deg\"\n"
    );
    judged(&own, "force = \"1 kN\"\ndirection = \"pull\"")
}

/// A flat head has 0.63 / 0.9 of the strength of a bolt in tension, and a sunk head is pulled
/// through the metal below it: 0.6 π d t Fu by 2 for bolts that take at least half of the load
/// each.
#[test]
fn a_sunk_head_is_pulled_off_or_through_earlier() {
    let [none, cone, bore] = [NONE, CONE, BORE].map(lifted);
    let through = "pull-through of the countersunk head";
    let of = |verdict: &Verdict, what: &str| {
        let found = verdict.limits.iter().find(|limit| limit.what == what);
        found.map(|limit| limit.nominal)
    };
    assert_eq!(of(&none, through), None);
    for (verdict, thickness) in [(&cone, 8.0 - 4.46 / 2.0), (&bore, 3.0)] {
        let by_hand = 2.0 * 0.6 * platewright::num::PI * 8.0 * thickness * 360.0;
        let is = of(verdict, through).unwrap_or_else(|| panic!("{:#?}", verdict.limits));
        assert!(is <= by_hand * (1.0 + 1e-9) && is > 0.1 * by_hand, "{is}, by hand {by_hand}");
    }
    // The share of prying is another in each: the bolt alone is compared within a tenth.
    let bolt = |verdict| of(verdict, "mounting bolt, in tension").expect("bolts are in tension");
    let ratio = bolt(&cone) / bolt(&none);
    assert!(ratio < 0.7 * 1.1, "{ratio}");
}

/// A rivet nut whose head reaches over the next hole; the same farther away is clean.
#[test]
fn the_head_of_an_insert_needs_room() {
    let plate = |pitch: f64| {
        format!(
            "about = \"x\"\n[face.plate]\nblank = [ {{ add = \"rectangle\", width = \"90 mm\", height = \"40 mm\" }} ]\n\
             holes = [ {{ name = \"nut\", insert = \"rivet nut M6\" }}, \
             {{ name = \"next\", at = [\"{pitch} mm\", \"0\"], diameter = \"5 mm\" }} ]\n"
        )
    };
    let found = |pitch| own::solve(&plate(pitch), "1 mm", "laser").expect("nothing stops it").1;
    let near: Vec<String> = found(8.6).into_iter().map(|f| f.headline).collect();
    assert_eq!(
        near,
        ["hole `nut`: the head of an M6 rivet nut, Ø13 mm, reaches over hole `next`, 6.1 mm away"]
    );
    assert!(found(9.1).is_empty(), "{:?}", found(9.1));
}

/// The files of a job of two coated pieces of a recipe in 3 mm, by name.
fn made(own: &str) -> impl Fn(&str) -> String {
    let tables = Tables::shipped();
    let recipe = |name: &str| (name == "own").then(|| ("own.toml".to_owned(), own.to_owned()));
    let shelf = Shelf { recipe: &recipe, ..Shelf::shipped(&tables) };
    let text = "process = \"laser\"\ncoating = \"powder\"\npaper = \"none\"\n[[sheet]]\nname = \"s\"\n\
         material = \"S235\"\nthickness = \"3 mm\"\nstock = [ { size = [\"400 mm\", \"200 mm\"] } ]\n\
         [[part]]\nrecipe = \"own\"\nname = \"own\"\nquantity = 2\nsheet = \"s\"\n";
    let mut sources = platewright::diag::Sources::default();
    let source = sources.add("job.toml", text);
    let asked = job::read("job", source, text, &shelf, &mut sources).expect("it is a good job");
    let (solved, found) = solve::solve(&asked, &shelf, &mut sources, &|| {}).expect("it is solved");
    let made = make::make(&asked, &solved, found, &sources, &Search::none()).expect("it is made");
    assert!(made.findings.iter().all(|finding| finding.weight != Weight::Stop));
    move |name: &str| {
        let found = made.files.iter().find(|file| file.name == name);
        String::from_utf8(found.expect("the list is written").bytes.clone()).expect("it is text")
    }
}

/// The hardware and the work of the panel: rivet nuts and flat heads, in the lists.
#[test]
fn inserts_and_flat_heads_are_counted_and_worked() {
    let file = made(WORKED[0].1);
    let hardware = file("hardware.csv");
    assert!(hardware.lines().any(|line| line == "rivet nut,M6,,8,,,,,own,"), "{hardware}");
    assert!(hardware.contains("flat-head screw,M4,10 mm,6,6,6,3,3,own,"), "{hardware}");
    // A rivet nut is set after coating: only the tapped hole is plugged.
    let masking = file("masking.csv");
    assert_eq!(masking.lines().count(), 2, "{masking}");
    // Four nuts, three countersinks and one thread.
    let parts = file("parts.csv");
    let later =
        parts.lines().next().and_then(|h| h.split(',').position(|c| c == "holes_to_finish_each"));
    let row: Vec<&str> = parts.lines().nth(1).map(|r| r.split(',').collect()).unwrap_or_default();
    assert_eq!(later.map(|at| row[at]), Some("8"), "{parts}");
}

const NUTS: &str = "about = \"x\"\n[face.plate]\n\
    blank = [ { add = \"rectangle\", width = \"90 mm\", height = \"60 mm\" } ]\n\
    holes = [ { name = \"weld\", at = [\"-20 mm\", \"0\"], insert = \"weld nut M8\", side = \"down\" }, \
    { name = \"press\", at = [\"20 mm\", \"0\"], insert = \"press nut M5\" } ]\n";

/// A weld nut and a press nut are bought by their kinds; the plugs have the diameters of their
/// threads, 8 and 5 mm, and not those of the holes, 10.5 and 6.4 mm.
#[test]
fn inserts_are_bought_by_kind_and_plugged_by_thread() {
    let file = made(NUTS);
    let hardware = file("hardware.csv");
    for wanted in ["weld nut,M8,,2,", "press nut,M5,,2,"] {
        assert!(hardware.lines().any(|line| line.starts_with(wanted)), "{wanted}: {hardware}");
    }
    let masking = file("masking.csv");
    for wanted in ["thread M8,8,2", "thread M5,5,2"] {
        assert!(masking.lines().any(|line| line.ends_with(wanted)), "{wanted}: {masking}");
    }
}

/// A set is plugged by its own name, whichever of its holes is left out.
#[test]
fn a_set_without_its_first_hole_is_plugged_by_its_name() {
    let own = "about = \"x\"\n[face.plate]\n\
        blank = [ { add = \"rectangle\", width = \"120 mm\", height = \"40 mm\" } ]\n\
        holes = [ { name = \"stud\", row = { count = 3, pitch = \"30 mm\" }, without = [1], \
        diameter = \"6 mm\", made = \"tap\", pilot = \"5 mm\" } ]\n";
    let masking = made(own)("masking.csv");
    let row = masking.lines().nth(1).unwrap_or_default();
    assert!(row.contains(",stud,") && row.ends_with(",4"), "{masking}");
}

/// What to write for the name of an insert that is not there.
#[test]
fn an_unknown_insert_is_answered_with_rows() {
    let help = |name: &str| {
        let own = NUTS.replacen("weld nut M8", name, 1);
        let found = own::solve(&own, "3 mm", "laser").expect_err("it is stopped");
        found[0].help.clone().unwrap_or_default()
    };
    assert_eq!(help("wled nut M8"), "write `weld nut M8`");
    for name in ["M8 weld nut", "weld nut M9"] {
        let help = help(name);
        for row in ["M5", "M6", "M8", "M10", "M12"] {
            assert!(help.contains(&format!("weld nut {row}")), "{name}: {help}");
        }
        assert!(help.starts_with("choose from weld nut"), "{name}: {help}");
    }
    assert!(help("butterfly").contains("platewright tables insert"), "{}", help("butterfly"));
}

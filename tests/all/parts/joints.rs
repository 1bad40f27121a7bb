//! Bolted joints: grips and lengths by hand, how holes line up, the hardware and the tasks at the
//! bench.

use crate::own;
use platewright::diag::Finding;
use platewright::diag::Weight;
use platewright::report::JointRow;

/// Plates with two holes: clear, tapped, with weld nuts or countersunk.
const OWN: &str = r#"
about = "A plate with two holes"
[inputs]
bolt  = { kind = "bolt", default = "M8", about = "in the holes" }
how   = { kind = "choice", of = ["clear", "tap", "nut", "sunk", "drill"], default = "clear", about = "of the holes" }
pitch = { kind = "length", default = "60 mm", about = "from hole to hole" }
count = { kind = "count", default = 2, min = 1, about = "of holes" }
[face.plate]
blank = [ { add = "rectangle", width = "200 mm", height = "90 mm" } ]
holes = [
  { name = "bolt", diameter = "clearance(bolt, 'normal')", row = { count = "count", pitch = "pitch" }, for = "bolt", when = "how == 'clear'" },
  { name = "bolt", diameter = "clearance(bolt, 'normal')", row = { count = "count", pitch = "pitch" }, for = "bolt", made = "drill", pilot = "5 mm", when = "how == 'drill'" },
  { name = "bolt", diameter = "clearance(bolt, 'normal')", row = { count = "count", pitch = "pitch" }, for = "bolt", countersink = {}, when = "how == 'sunk'" },
  { name = "bolt", diameter = "bolt.diameter", row = { count = "count", pitch = "pitch" }, for = "bolt", made = "tap", pilot = "tap_drill(bolt)", when = "how == 'tap'" },
  { name = "bolt", insert = "weld nut M8", side = "down", row = { count = "count", pitch = "pitch" }, when = "how == 'nut'" },
]
"#;

pub(super) const TOP: &str = "process = \"waterjet\"\nbench_list = true\n\
    [[sheet]]\nname = \"4\"\nmaterial = \"S235\"\nthickness = \"4 mm\"\nstock = [ { size = [\"900 mm\", \"600 mm\"] } ]\n\
    [[sheet]]\nname = \"6\"\nmaterial = \"S235\"\nthickness = \"6 mm\"\nstock = [ { size = [\"900 mm\", \"600 mm\"] } ]\n\
    [[sheet]]\nname = \"al\"\nmaterial = \"5052-H32\"\nthickness = \"4 mm\"\nstock = [ { size = [\"900 mm\", \"600 mm\"] } ]\n";

pub(super) fn part(name: &str, sheet: &str, given: &str) -> String {
    format!(
        "[[part]]\nrecipe = \"own\"\nname = \"{name}\"\nsheet = \"{sheet}\"\ngiven = {{ {given} }}\n"
    )
}

pub(super) fn joint(bolt: &str, stack: &str, more: &str) -> String {
    format!("[[joint]]\nname = \"j\"\nbolt = \"{bolt}\"\nstack = [ {stack} ]\n{more}\n")
}

fn made(text: &str) -> platewright::make::Made {
    own::make(OWN, &format!("{TOP}{text}")).unwrap_or_else(|found| panic!("{:?}", words(&found)))
}

fn found(text: &str) -> Vec<Finding> {
    match own::asked(OWN, &format!("{TOP}{text}"), &mut Default::default()) {
        Ok((_, (_, found))) | Err(found) => found,
    }
}

fn words(found: &[Finding]) -> Vec<String> {
    found.iter().map(|f| format!("{} {}: {}", f.weight, f.code, f.headline)).collect()
}

fn row(text: &str) -> JointRow {
    made(text).report.joints.remove(0)
}

/// By hand, in mm: grip + washers (ISO 7089: M6 and M8 1.8, M10 2.2, M12 2.7, M20 3.3; ISO 7093: M8
/// 2.2) + nut (ISO 4032: M6 5.2, M8 6.8, M10 8.4, M12 10.8, M20 18) + two turns (M6 1, M8 1.25, M10
/// 1.5, M12 1.75, M20 2.5) + the tolerance of the sheets (EN 10051: 4 mm 0.22, 6 mm 0.26), made up to a
/// length of ISO 4014 and 4017.
#[test]
fn grips_and_lengths_are_those_by_hand() {
    let (a, b) = ("\"a.bolt\"", "\"b.bolt\"");
    let plates = |bolt: &str| {
        let bolt = format!("bolt = \"{bolt}\"");
        part("a", "4", &bolt) + &part("b", "4", &bolt)
    };
    let with = |how: &str, sheet: &str, other: &str| {
        part("a", sheet, &format!("how = \"{how}\""))
            + &part("b", "4", &format!("how = \"{other}\""))
    };
    let cap = part("a", "4", "bolt = \"M10\", count = 1")
        + "[[part]]\nrecipe = \"end-cap\"\nname = \"cap\"\nsheet = \"4\"\ngiven = { outside = \"38 mm\", wall = \"2 mm\", section = \"round\", nut = \"M10\" }\n";
    let laminate = "{ laminate = \"12 mm\" }";
    let cases = [
        // 4 + 4 = 8; 8 + 2 × 0.22 + 2 × 1.8 + 6.8 + 2.5 = 21.34.
        ("M8", plates("M8"), format!("{a}, {b}"), "", 8.0, 21.34, "M8 × 25 mm"),
        // 4 + 12 + 4 = 20; 20 + 0.44 + 2 × 2.2 + 8.4 + 3 = 36.24.
        ("M10", plates("M10"), format!("{a}, {laminate}, {b}"), "", 20.0, 36.24, "M10 × 40 mm"),
        // 4 + (6 − 1) + 4 = 13, begun 1 longer; 14 + 0.44 + 2 × 1.8 + 5.2 + 2 = 25.24.
        (
            "M6",
            plates("M6"),
            format!("{a}, {{ rubber = \"6 mm\", squeeze = \"1 mm\" }}, {b}"),
            "",
            13.0,
            25.24,
            "M6 × 30 mm",
        ),
        // 4 + 25 + 4 = 33; 33 + 0.44 + 2 × 2.7 + 10.8 + 3.5 = 53.14.
        (
            "M12",
            plates("M12"),
            format!("{a}, {{ spacer = \"25 mm\" }}, {b}"),
            "",
            33.0,
            53.14,
            "M12 × 55 mm",
        ),
        // 8 + 0.44 + 1.8 + 2.2 + 9.3 = 21.74.
        (
            "M8",
            plates("M8"),
            format!("{a}, {b}"),
            "washers = [\"plain\", \"M8 large\"]",
            8.0,
            21.74,
            "M8 × 25 mm",
        ),
        // 8 + 0.44 + 1.8 + 9.3 = 19.54.
        (
            "M8",
            plates("M8"),
            format!("{a}, {b}"),
            "washers = [\"none\", \"plain\"]",
            8.0,
            19.54,
            "M8 × 20 mm",
        ),
        // 4 + 0.22 + 1.8, and through 4 mm of thread: 10.02; the shortest M8 is 16 mm.
        ("M8", with("clear", "4", "tap"), format!("{a}, {b}"), "", 4.0, 10.02, "M8 × 16 mm"),
        // 4 + 0.22 + 2.2 + 8.4 + 3 = 17.82: the nut sits in the cap, which is not clamped.
        ("M10", cap, format!("{a}, \"cap.seat\""), "", 4.0, 17.82, "M10 × 20 mm"),
        // 4 + 4 + 1.8 + 6.5 of the weld nut (DIN 929) + 0.44 = 16.74.
        ("M8", with("clear", "4", "nut"), format!("{a}, {b}"), "", 8.0, 16.74, "M8 × 20 mm"),
        // 4 + 0.3 + 10 + 4 = 18.3, the laminate up to 0.4 thicker; 18.7 + 0.44 + 3.6 + 9.3 = 32.04.
        (
            "M8",
            plates("M8"),
            format!(
                "{a}, {{ barrier = \"0.3 mm\" }}, {{ laminate = \"10 mm\", tolerance = \"0.4 mm\", \
                 sleeve = {{ outside = \"12 mm\", less = \"0.5 mm\" }} }}, {b}"
            ),
            "",
            18.3,
            32.04,
            "M8 × 35 mm",
        ),
        // 4 + 40 + 4 = 48; 48 + 0.44 + 6.6 + 18 + 5 = 78.04.
        (
            "M20",
            plates("M20"),
            format!("{a}, {{ spacer = \"40 mm\" }}, {b}"),
            "",
            48.0,
            78.04,
            "M20 × 80 mm",
        ),
        // Flat head in 6 mm, flush: 6 + 4 = 10; one washer: 10 + 0.48 + 1.8 + 9.3 = 21.58.
        ("M8", with("sunk", "6", "clear"), format!("{a}, {b}"), "", 10.0, 21.58, "M8 × 25 mm"),
    ];
    for (bolt, parts, stack, more, grip, needed, wanted) in cases {
        let row = row(&(parts + &joint(bolt, &stack, more)));
        assert!((row.grip_mm - grip).abs() < 1e-6, "{stack}: grip {}", row.grip_mm);
        let is = row.needed_mm.unwrap();
        assert!((is - needed).abs() < 1e-6, "{stack}: {is} is needed, {:?}", row.length_from);
        assert_eq!(row.bolt, wanted, "{stack}");
    }
}

/// The bolts of a joint are counted once, with the joint; those of other holes as before.
#[test]
fn a_joint_takes_the_place_of_the_bolts_of_its_holes() {
    let parts = part("a", "4", "") + &part("b", "4", "") + &part("c", "4", "");
    let list = |text: &str| -> Vec<Vec<String>> {
        let made = made(text);
        let file = made.files.iter().find(|file| file.name == "hardware.csv").unwrap();
        let mut reader = csv::Reader::from_reader(file.bytes.as_slice());
        reader.records().map(|row| row.unwrap().iter().map(str::to_owned).collect()).collect()
    };
    let loose = list(&parts);
    assert_eq!(loose.len(), 1);
    assert_eq!(loose[0][..6], ["bolt", "M8", "20 mm", "6", "12", "6"]);
    let joined = list(&(parts + &joint("M8", "\"a.bolt\", \"b.bolt\"", "")));
    let rows: Vec<[&str; 6]> =
        joined.iter().map(|row| [0, 1, 2, 3, 4, 5].map(|i| row[i].as_str())).collect();
    assert_eq!(
        rows,
        [["bolt", "M8", "20 mm", "2", "4", "2"], ["bolt", "M8", "25 mm", "2", "4", "2"]]
    );
    assert_eq!(joined[1][8], "a b");
}

/// 60 mm on one plate, 61.5 on the other: each hole is 0.75 off; holes of 9 leave 1 beside M8 in
/// each, so that 1.0 either way is accepted as drawn. 63: 1.5 off, and no bolt fits.
#[test]
fn holes_that_do_not_line_up_are_a_stop_and_nearly_so_a_caution() {
    let of = |pitch: &str, more: &str| {
        let parts = part("a", "4", "") + &part("b", "4", &format!("pitch = \"{pitch}\""));
        let found = found(&(parts + &joint("M8", "\"a.bolt\", \"b.bolt\"", more)));
        let own = found.into_iter().filter(|f| f.code == "joint-holes");
        own.map(|f| (f.weight, f.headline)).collect::<Vec<_>>()
    };
    assert_eq!(of("60 mm", ""), []);
    let near = of("61.5 mm", "");
    assert_eq!(near.len(), 1, "{near:?}");
    assert_eq!(near[0].0, Weight::Caution);
    let off = of("63 mm", "");
    assert_eq!(off.len(), 1, "{off:?}");
    assert_eq!(off[0].0, Weight::Stop);
    assert!(off[0].1.contains("1.5 mm off as drawn"), "{off:?}");
    // A shop with coarse tolerances: zones of 3 mm use up 2 mm of clearance.
    let coarse = of("60 mm", "position = \"3 mm\"");
    assert_eq!(coarse.len(), 1, "{coarse:?}");
}

/// By hand: waterjet in 4 mm cuts to ±0.3 over 60 mm (ISO 9013 as in the table), half of it at each
/// hole: the zone of each plate is round a square of 0.3, 0.4243 across, two 0.8485; holes of 9 for
/// M8 leave 1 each, less the tolerance of their width, 0.2: 1.6. A zone that is given replaces it.
#[test]
fn the_sums_of_floating_and_fixed_fasteners_are_those_by_hand() {
    let usual = row(&(part("a", "4", "")
        + &part("b", "4", "")
        + &joint("M8", "\"a.bolt\", \"b.bolt\"", "")));
    let of = &usual.alignment[0];
    assert!((of.zones_mm - 0.8485).abs() < 1e-3 && (of.clearance_mm - 1.6).abs() < 1e-6, "{of:?}");
    let floating = row(&(part("a", "4", "")
        + &part("b", "4", "")
        + &joint("M8", "\"a.bolt\", \"b.bolt\"", "position = \"0.4 mm\"")));
    let of = &floating.alignment[0];
    assert_eq!((of.rule, of.zones_mm, of.offset_mm), ("floating", 0.8, 0.0));
    assert!(of.clearance_mm < 2.0 && of.clearance_mm > 1.4, "{}", of.clearance_mm);
    assert!((of.margin_mm - (of.clearance_mm - 0.8)).abs() < 1e-6);
    let fixed = row(&(part("a", "4", "")
        + &part("b", "4", "how = \"tap\"")
        + &joint("M8", "\"a.bolt\", \"b.bolt\"", "position = \"0.4 mm\"")));
    let of = &fixed.alignment[0];
    assert_eq!((of.rule, of.zones_mm), ("fixed", 0.8));
    assert!((of.clearance_mm - floating.alignment[0].clearance_mm / 2.0).abs() < 1e-6);
}

/// A hole drilled through its neighbour lines up with it; pilots, sleeve and steps are reported.
#[test]
fn a_seat_through_a_laminate_is_drilled_in_its_order() {
    let parts = part("a", "4", "how = \"drill\"") + &part("b", "4", "how = \"drill\"");
    let stack = "\"a.bolt\", { laminate = \"12 mm\", fibre = \"glass\", edge = \"40 mm\", min_edge = \
                 \"24 mm\", bearing = \"60 MPa\", sleeve = { outside = \"12 mm\", less = \"0.2 mm\" } }, \
                 \"b.bolt\"";
    let text = parts + &joint("M8", stack, "pilot = \"M4\"\nshear = \"1.2 kN\"");
    let made = made(&text);
    let row = &made.report.joints[0];
    assert_eq!(
        row.drilling,
        [
            "Clamp a, b and the laminate in position.",
            "Using the Ø5 mm holes of a as guides, drill Ø5 mm through the laminate.",
            "Hold it together with 2 M4 pilot bolts.",
            "One hole at a time: remove its pilot bolt, drill to Ø9 mm from the side of a, insert the \
             M8 bolt.",
            "Take it apart and open the holes of the laminate to Ø12 mm.",
        ]
    );
    // 1200 N / (8 × 12) = 12.5 MPa.
    assert_eq!((row.bearing[0].stress_mpa, row.bearing[0].allowed_mpa), (12.5, Some(60.0)));
    assert!(row.not_judged.is_empty());
    assert!(row.alignment[0].zones_mm <= 0.2, "{:?}", row.alignment);
    let text = |name: &str| {
        let file = made.files.iter().find(|file| file.name == name).unwrap();
        String::from_utf8_lossy(&file.bytes).into_owned()
    };
    let hardware = text("hardware.csv");
    assert!(hardware.contains("crush sleeve,M8,11.8 mm,2"), "{hardware}");
    assert!(hardware.contains("pilot bolt for drilling"), "{hardware}");
    let bench = text("bench.csv");
    assert_eq!(bench.matches("drill and ream").count(), 1, "{bench}");
    assert!(bench.contains("Put a crush sleeve 11.8 mm long"), "{bench}");
    let page = text("report.html");
    assert!(page.contains("Bolts by joint") && page.contains("Alignment of holes"));
    // Each card says that the part is in the joint, and what its holes leave.
    let least = (row.alignment[0].margin_mm * 100.0 + 1e-6).floor() / 100.0;
    let said = format!("clearance of its holes {least} mm in the worst case");
    assert_eq!(page.matches(&said).count(), 2, "no {said}");
    // What is not judged is read on paper too: a hint is not printed.
    assert!(page.contains("<p class=\"note\">Lengths are nominal;"));
}

/// Aluminium on carbon needs a barrier, with or without a spacer between them.
#[test]
fn aluminium_beside_carbon_wants_a_barrier() {
    let of = |between: &str| {
        let parts = part("a", "al", "") + &part("b", "4", "");
        let laminate = "{ laminate = \"8 mm\", fibre = \"carbon\", edge = \"40 mm\", min_edge = \"24 mm\", bearing = \"60 MPa\" }";
        let stack = format!("\"a.bolt\", {between}{laminate}, \"b.bolt\"");
        let found = found(&(parts + &joint("M8", &stack, "shear = \"1 kN\"")));
        words(&found).iter().filter(|words| words.contains("will corrode")).count()
    };
    assert_eq!(of(""), 1);
    assert_eq!(of("{ barrier = \"0.3 mm\" }, "), 0);
    assert_eq!(of("{ spacer = \"3 mm\" }, "), 1);
}

/// Waterjet in 4 mm, by hand ±0.2 in the width of a hole (ISO 2768-1 m): 8.1 mm may be 7.9,
/// narrower than M8, whatever the 12 mm of the other plate leave. 7.9 as drawn: no bolt fits.
#[test]
fn a_hole_that_may_be_narrower_than_its_bolt_is_judged_by_itself() {
    let own = r#"
about = "A plate with a hole of any size"
[inputs]
wide = { kind = "length", default = "12 mm", about = "the hole" }
[face.plate]
blank = [ { add = "rectangle", width = "200 mm", height = "90 mm" } ]
holes = [ { name = "bolt", diameter = "wide", at = ["0", "0"] } ]
"#;
    let of = |wide: &str| {
        let parts = part("a", "4", "") + &part("b", "4", &format!("wide = \"{wide}\""));
        let text = format!("{TOP}{parts}{}", joint("M8", "\"a.bolt\", \"b.bolt\"", ""));
        let found = match own::asked(own, &text, &mut Default::default()) {
            Ok((_, (_, found))) | Err(found) => found,
        };
        let own = found.into_iter().filter(|f| f.code == "joint-holes");
        own.map(|f| (f.weight, f.headline)).collect::<Vec<_>>()
    };
    assert_eq!(of("9 mm"), []);
    let narrow = of("8.1 mm");
    assert_eq!(narrow.len(), 1, "{narrow:?}");
    assert_eq!(narrow[0].0, Weight::Caution);
    assert!(narrow[0].1.contains("`b.bolt` may be 7.9 mm wide at its narrowest"), "{narrow:?}");
    let small = of("7.9 mm");
    assert_eq!((small.len(), small[0].0), (1, Weight::Stop), "{small:?}");
}

const LAMINATE: &str =
    "fibre = \"glass\", edge = \"40 mm\", min_edge = \"24 mm\", bearing = \"60 MPa\"";

/// The findings on a stack between two clear plates of 4 mm, and how it is drilled.
fn of_stack(stack: &str, how: &str, more: &str) -> Vec<(Weight, String)> {
    let parts = part("a", "4", &format!("how = \"{how}\"")) + &part("b", "4", "");
    let more = format!("shear = \"1 kN\"\n{more}");
    let found = found(&(parts + &joint("M8", stack, &more)));
    let own = found.into_iter().filter(|f| f.code.starts_with("joint-"));
    own.map(|f| (f.weight, f.headline)).collect()
}

fn one_of(found: &[(Weight, String)], weight: Weight, words: &str) {
    assert_eq!(found.len(), 1, "{words}: {found:?}");
    assert!(found[0].0 == weight && found[0].1.contains(words), "{words}: {found:?}");
}

/// Under a washer of 16 mm (ISO 7089) a hole of 16 has no seat, one of 15 has; behind a plate of 4
/// mm the ring is 20 mm.
#[test]
fn the_hole_of_a_laminate_is_judged_by_bolt_drill_and_washer() {
    let laminate =
        |hole: &str| format!("{{ laminate = \"12 mm\", hole = \"{hole}\", {LAMINATE} }}");
    let first = |hole: &str| format!("{}, \"a.bolt\", \"b.bolt\"", laminate(hole));
    let between = |hole: &str| format!("\"a.bolt\", {}, \"b.bolt\"", laminate(hole));
    one_of(&of_stack(&between("7 mm"), "clear", ""), Weight::Stop, "M8 does not fit");
    assert_eq!(of_stack(&first("15 mm"), "clear", ""), []);
    one_of(&of_stack(&first("16 mm"), "clear", ""), Weight::Caution, "the laminate is not clamped");
    assert_eq!(of_stack(&between("19 mm"), "clear", ""), []);
    one_of(
        &of_stack(&between("20 mm"), "clear", ""),
        Weight::Caution,
        "the laminate is not clamped",
    );
    let drilled = of_stack(&between("8.2 mm"), "drill", "");
    one_of(&drilled, Weight::Caution, "a drill of 9 mm goes through the laminate");
    let parts = || part("a", "4", "") + &part("b", "4", "");
    let row = row(&(parts() + &joint("M8", &between("8.2 mm"), "shear = \"1 kN\"")));
    assert_eq!(
        row.drilling,
        [
            "Clamp a, b and the laminate in position.",
            "Through the Ø9 mm holes of a mark those of the laminate, take it apart and drill them \
             Ø8.2 mm.",
        ]
    );
}

/// Holes of 9 mm: a sleeve bears on them from 10 mm on; its wall is 1 mm from 9 + 2 = 11 mm on; 12 mm of
/// laminate may be clamped by 1.2 mm before it bears.
#[test]
fn a_sleeve_has_a_wall_a_length_and_metal_at_both_ends() {
    let of = |outside: &str, less: &str, before: &str| {
        let sleeve = format!("sleeve = {{ outside = \"{outside}\", less = \"{less}\" }}");
        let laminate = format!("{{ laminate = \"12 mm\", {LAMINATE}, {sleeve} }}");
        of_stack(&format!("\"a.bolt\", {before}{laminate}, \"b.bolt\""), "clear", "")
    };
    assert_eq!(of("11 mm", "0.4 mm", ""), []);
    one_of(&of("10 mm", "0.4 mm", ""), Weight::Caution, "has a wall of 0.5 mm");
    let thin = of("9.5 mm", "0.4 mm", "");
    assert_eq!(thin.len(), 3, "{thin:?}");
    let bears = |found: &[(Weight, String)]| {
        found.iter().filter(|(_, words)| words.contains("does not bear on")).count()
    };
    assert_eq!(bears(&thin), 2);
    assert_eq!(of("11 mm", "1.2 mm", ""), []);
    one_of(
        &of("11 mm", "1.3 mm", ""),
        Weight::Caution,
        "it does not protect the laminate from crushing",
    );
    let rubber = of("11 mm", "0.4 mm", "{ rubber = \"3 mm\" }, ");
    one_of(&rubber, Weight::Caution, "bears on rubber");
    assert_eq!(of("11 mm", "0.4 mm", "{ barrier = \"0.3 mm\" }, "), []);
}

/// Grip 4 + 5 + 4 = 13; 13 + 0.5 + 0.44 + 3.6 + 9.3 = 26.84, so 30 mm: 30 − 13 − 3.6 − 6.8 = 6.6 mm
/// protrude, 7.54 where the spacer is 4.5 mm and the plates are 0.22 mm thinner.
#[test]
fn room_is_judged_at_the_thinnest_grip() {
    let of = |room: &str| {
        let stack = "\"a.bolt\", { spacer = \"5 mm\", tolerance = \"0.5 mm\" }, \"b.bolt\"";
        of_stack(stack, "clear", &format!("room = \"{room}\""))
    };
    assert_eq!(of("7.54 mm"), []);
    one_of(&of("7.5 mm"), Weight::Caution, "protrudes by up to 7.54 mm beyond its nut");
}

/// A guide that is cut to size: the pilot holes of the other plate are opened through it.
#[test]
fn pilot_holes_are_opened_through_a_guide_that_is_cut() {
    let parts = part("a", "4", "") + &part("b", "4", "how = \"drill\"");
    let stack = "\"a.bolt\", \"b.bolt\"";
    let made = made(&(parts + &joint("M8", stack, "guide = \"a\"\npilot = \"M4\"")));
    let step = "One hole at a time: remove its pilot bolt, drill to Ø9 mm from the side of a, insert \
                the M8 bolt.";
    assert_eq!(
        made.report.joints[0].drilling,
        ["Clamp a and b in position.", "Hold it together with 2 M4 pilot bolts.", step]
    );
    let bench = made.files.iter().find(|file| file.name == "bench.csv").unwrap();
    assert!(String::from_utf8_lossy(&bench.bytes).contains(step));
}

/// A plate that is in the stack twice needs two pieces; of one there is no joint to count.
#[test]
fn too_few_pieces_for_one_joint_are_a_stop() {
    let of = |quantity: u32| {
        let part = part("a", "4", "") + &format!("quantity = {quantity}\n");
        found(&(part + &joint("M8", "\"a.bolt\", \"a.bolt\"", "")))
    };
    let stopped = words(&of(1));
    let wanted = "one joint `j` takes 2 pieces of `a`, and the job makes 1";
    assert!(stopped.iter().any(|words| words.contains(wanted)), "{stopped:?}");
    assert_eq!(words(&of(2)).iter().filter(|words| words.contains("joint-holes")).count(), 0);
    let odd = words(&of(3));
    let wanted = "1 of the 3 pieces of `a` are left over: each joint `j` takes 2";
    assert!(odd.iter().any(|words| words.contains(wanted)), "{odd:?}");
}

/// A bolt without room is also reported as longer than those listed.
#[test]
fn a_bolt_without_room_may_be_longer_than_any_listed_as_well() {
    let stack = "\"a.bolt\", { spacer = \"120 mm\" }, \"b.bolt\"";
    let plates = part("a", "4", "") + &part("b", "4", "");
    let found = words(&found(&(plates + &joint("M8", stack, "room = \"2 mm\"\n"))));
    for wanted in ["there is room for 2 mm", "longer than the longest that is listed, 80 mm"] {
        assert!(found.iter().any(|words| words.contains(wanted)), "{wanted}: {found:?}");
    }
}

/// Holes 0.8 mm off those of the first plate, 9 mm for M8 in both: between two of three plates the bolt has
/// 1 mm, so that it may go through; 0.8 mm to either side are 1.6 mm.
#[test]
fn three_plates_are_stopped_only_where_two_of_them_are_blocked() {
    let of = |pitch: &str| {
        let parts = part("a", "4", "")
            + &part("b", "4", "pitch = \"61.6 mm\"")
            + &part("c", "4", &format!("pitch = \"{pitch}\""));
        let all = found(&(parts + &joint("M8", "\"a.bolt\", \"b.bolt\", \"c.bolt\"", "")));
        let own = all.into_iter().filter(|f| f.code == "joint-holes");
        own.map(|f| (f.weight, f.headline)).collect::<Vec<_>>()
    };
    let near = of("60 mm");
    let says = |found: &[(Weight, String)], weight: Weight, words: &str| {
        found.iter().any(|(is, headline)| *is == weight && headline.contains(words))
    };
    let wanted = "M8 may not go through `b.bolt` in line with `a.bolt`";
    assert!(says(&near, Weight::Caution, wanted), "{near:?}");
    assert!(near.iter().all(|(weight, _)| *weight != Weight::Stop), "{near:?}");
    let apart = of("58.4 mm");
    let wanted =
        "the holes `b.bolt` and `c.bolt` do not line up: 1.6 mm off as drawn, M8 allows 1 mm";
    assert!(says(&apart, Weight::Stop, wanted), "{apart:?}");
}

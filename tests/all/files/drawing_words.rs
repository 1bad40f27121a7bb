//! The texts of drawings and templates: nothing is claimed that does not exist.

use crate::demo;
use crate::files::drawn::text;
use crate::files::fewest_sheets::TROUGH;
use crate::files::shop_drawings::solve;
use crate::own;
use platewright::diag::Sources;
use platewright::drawings;
use platewright::job::Job;
use platewright::paper::Format;
use platewright::solve::Solved;
use std::fs;

const SHEET: &str = "process = \"laser\"\nsheet = [ { name = \"s\", material = \"S235\", thickness = \"6 mm\", \
     stock = [ { size = [\"2000 mm\", \"1000 mm\"] } ] } ]\n";

const PLATE: &str = r#"
about = "Plate"
[inputs]
wide = { kind = "length", default = "80 mm", about = "width" }
bolt = { kind = "bolt", default = "M8", about = "goes through the holes" }
[face.plate]
blank = [ { add = "rectangle", width = "wide", height = "60 mm" } ]
holes = [ { name = "near", at = ["0", "19 mm"], diameter = "9 mm", for = "bolt" } ]
"#;

fn solved(job: &str) -> (Job, Vec<Solved>) {
    let mut sources = Sources::default();
    let asked = own::asked(PLATE, &format!("{SHEET}{job}"), &mut sources);
    let (job, (solved, _)) = asked.unwrap_or_else(|found| panic!("{found:#?}"));
    (job, solved)
}

/// All that the drawing of the first part of a job says, in one line.
fn drawing(job: &str) -> String {
    let (job, all) = solved(job);
    text(&drawings::shop_drawing(&job, &all, &all[0], Format::A4)).replace('\n', " ")
}

#[test]
fn notes_below_findings_have_a_heading_of_their_own() {
    let said = drawing("part = [ { recipe = \"own\", name = \"own\", sheet = \"s\" } ]\n");
    let (_, below) = said.split_once("F1 caution").expect("a hole is near the edge");
    let (_, notes) = below.split_once("General notes").unwrap_or_else(|| panic!("{said}"));
    assert!(notes.contains("Hardware for this piece"), "{said}");
    let clear =
        drawing("part = [ { recipe = \"backing-plate\", name = \"back\", sheet = \"s\" } ]\n");
    assert!(
        clear.contains("Checks: ") && clear.contains(" clear ") && !clear.contains("General notes"),
        "{clear}"
    );
}

/// `8 1/4-20` reads as eight and a quarter.
#[test]
fn a_count_stands_off_a_size_in_inches() {
    let of = |bolt: &str| {
        drawing(&format!(
            "part = [ {{ recipe = \"own\", name = \"own\", sheet = \"s\", quantity = 8, given = {{ bolt = \"{bolt}\" }} }} ]\n"
        ))
    };
    let inches = of("1/4");
    assert!(inches.contains("8 × 1/4") && !inches.contains("8 1/4"), "{inches}");
    let metric = of("M8");
    assert!(metric.contains(" 8 M8"), "{metric}");
}

#[test]
fn a_joint_says_its_bolts_and_how_many_joints_there_are() {
    let said = drawing(
        "part = [ { recipe = \"own\", name = \"a\", sheet = \"s\", quantity = 2 }, { recipe = \"own\", name = \"b\", sheet = \"s\", quantity = 2 } ]\n\
         joint = [ { name = \"j\", bolt = \"M8\", quantity = 2, stack = [\"a.near\", \"b.near\"] } ]\n",
    );
    assert!(said.contains("1 × M8 × ") && said.contains(" in each of 2 joints;"), "{said}");
    // The only hole of a part has no letter.
    assert!(said.contains("Joint j: 1 × M8") && !said.contains("(A)"), "{said}");
}

#[test]
fn what_is_etched_is_said_with_its_height_and_side() {
    let part = "part = [ { recipe = \"own\", name = \"own\", sheet = \"s\" } ]\n";
    let said = drawing(&format!("etch_names = true\n{part}"));
    let note = "Etch or scribe on the top side, do not cut: “own”, letters 6 high.";
    assert!(said.contains(note), "{said}");
    assert!(!drawing(part).contains("Etch or scribe"));
}

#[test]
fn the_number_of_a_drawing_has_one_hyphen_before_the_part() {
    for number in ["YW", "YW-"] {
        let said = drawing(&format!(
            "drawing = {{ number = \"{number}\" }}\n\
             part = [ {{ recipe = \"own\", name = \"own\", sheet = \"s\" }} ]\n"
        ));
        assert!(said.contains("YW-own") && !said.contains("--"), "{said}");
    }
}

#[test]
fn templates_of_a_sheet_name_the_parts_that_no_page_holds() {
    let part = |name: &str, wide: u32| {
        format!(
            "{{ recipe = \"own\", name = \"{name}\", sheet = \"s\", given = {{ wide = \"{wide} mm\" }} }}"
        )
    };
    let pages = |third: u32| {
        let parts = [part("one", 80), part("two", 90), part("longest", third)].join(", ");
        let made = own::make(PLATE, &format!("{SHEET}part = [ {parts} ]\n"));
        let made = made.unwrap_or_else(|found| panic!("{found:#?}"));
        let file = made.files.iter().find(|file| file.name.ends_with("-templates.pdf"));
        String::from_utf8_lossy(&file.expect("two fit").bytes).into_owned()
    };
    assert!(pages(100).contains("templates 1:1 of all parts"));
    let some = pages(900);
    assert!(some.contains("templates 1:1 of the parts that fit on a page"));
    assert!(!some.contains("of all parts"));
}

/// A part that fits a page only on its side brings the pages of its sheet on their sides.
#[test]
fn templates_of_a_sheet_are_on_their_sides_where_more_fit_so() {
    let part = |name: &str, wide: u32| {
        format!(
            "{{ recipe = \"own\", name = \"{name}\", sheet = \"s\", given = {{ wide = \"{wide} mm\" }} }}"
        )
    };
    let pages = |second: u32| {
        let parts = [part("one", 80), part("long", second)].join(", ");
        let made = own::make(PLATE, &format!("{SHEET}part = [ {parts} ]\n"));
        let made = made.unwrap_or_else(|found| panic!("{found:#?}"));
        let file = made.files.iter().find(|file| file.name.ends_with("-templates.pdf"));
        file.map(|file| String::from_utf8_lossy(&file.bytes).into_owned())
    };
    let is_on_side = |pdf: &str| {
        let (_, after) = pdf.split_once("/MediaBox").expect("a page has a size");
        let size = after.split(['[', ']']).nth(1).expect("it has numbers");
        let size: Vec<f64> = size.split_whitespace().map(|n| n.parse().unwrap()).collect();
        size[2] > size[3]
    };
    assert!(!is_on_side(&pages(100).expect("both fit")));
    let long = [235, 245, 255, 265].map(pages);
    let on_sides = long.iter().flatten().filter(|pdf| is_on_side(pdf)).count();
    assert!(on_sides > 0, "none of them is on its side");
    let all = long.iter().flatten().all(|pdf| pdf.contains("templates 1:1 of all parts"));
    assert!(all, "two fit wherever there are templates together");
    assert!(pages(900).is_none(), "one alone has its own");
}

/// A file of the demo.
fn of_demo(name: &str) -> String {
    let path = demo::made().folder.join(name);
    fs::read_to_string(&path).unwrap_or_else(|error| panic!("{}: {error}", path.display()))
}

/// The words of a drawing of the demo, in one line.
fn words_of_demo(name: &str) -> String {
    let svg = of_demo(&format!("drawings/{name}.svg"));
    let words = svg.split('<').filter_map(|element| element.split_once('>'));
    let words = words.map(|(_, words)| words.trim()).filter(|words| !words.is_empty());
    words.collect::<Vec<&str>>().join(" ")
}

/// The post is cut 4 mm shorter for its cap: a tape on the cap reads 124 mm at the tab.
#[test]
fn a_tab_is_measured_alike_on_its_drawing_and_on_the_bench_list() {
    let from = "as cut (124 mm from the face of the cap)";
    let drawn = words_of_demo("tab-hose-M6-26mm");
    assert!(drawn.contains(&format!("120 mm from its end {from}")), "{drawn}");
    let bench = of_demo("bench.csv");
    assert!(bench.contains(&format!("120 mm from the end {from}")), "{bench}");
}

#[test]
fn a_thickness_in_parts_of_an_inch_is_in_mm_as_well() {
    let drawn = words_of_demo("ears-damper");
    assert!(drawn.contains("4.76 (3/16 in)"), "{drawn}");
    let drawn = words_of_demo("box-switch");
    assert!(drawn.contains("2.3 (11 ga)"), "{drawn}");
}

/// The first three of a row of holes are too near to the edge or to each other, whichever is found: they
/// are named as in the flat.
#[test]
fn a_finding_names_its_holes_by_their_letters() {
    let row = PLATE.replace(
        "diameter = \"9 mm\"",
        "diameter = \"9 mm\", row = { count = \"3\", pitch = \"20 mm\" }",
    );
    let mut sources = Sources::default();
    let job = format!("{SHEET}part = [ {{ recipe = \"own\", name = \"own\", sheet = \"s\" }} ]\n");
    let asked = own::asked(&row, &job, &mut sources);
    let (job, (all, _)) = asked.unwrap_or_else(|found| panic!("{found:#?}"));
    let own = &all[0];
    assert!(
        own.found.iter().any(|finding| finding.headline.contains("hole `near")),
        "{:?}",
        own.found
    );
    let said = text(&drawings::shop_drawing(&job, &all, own, Format::A4)).replace('\n', " ");
    assert!(
        said.contains("The edge distance of hole “near 1” (A1–A3) is 11 mm; a bolt needs 13.5 mm."),
        "{said}"
    );
}

/// 11 gauge is what the shop calls the sheet on its drawings, its sheet pictures and in the report.
#[test]
fn a_gauge_is_named_wherever_its_thickness_is() {
    let picture = of_demo("sheets/5052-11-ga-01-picture.svg");
    assert!(picture.contains("2.3 mm (11 ga)"), "{picture}");
    let report = of_demo("report.html");
    assert!(report.contains("5052-H32 2.3 mm (11 ga)"));
    assert!(report.contains(">From the end of the tube<"));
}

const TUBE: &str =
    "[[tube]]\nname = \"leg\"\ntube = \"38 x 2\"\nlength = \"420 mm\"\nmaterial = \"S235\"\n";

/// The plates of a tube end say how far they go over it: 20 mm from its cut end.
#[test]
fn plates_say_how_far_they_lap_over_their_tube() {
    let said = |keys: &str| {
        drawing(&format!(
            "part = [ {{ recipe = \"own\", name = \"own\", sheet = \"s\", quantity = 2 }} ]\n{TUBE}\
             [[tube_end]]\ntube = \"leg\"\ncheeks = \"own\"\n{keys}"
        ))
    };
    let given = said("lap = \"20 mm\"\n");
    assert!(given.contains("overlap 20 mm, from the end of the tube as cut."), "{given}");
    assert!(!said("").contains("over the tube"));
}

/// The drawing of a part in steel of a thickness, on the machines of the shop.
fn of_own(own: &str, thickness: &str) -> String {
    let job = format!(
        "process = \"laser\"\nshop = \"shop.toml\"\n[[sheet]]\nname = \"s\"\nmaterial = \"S235\"\n\
         thickness = \"{thickness}\"\nstock = []\n\
         [[part]]\nrecipe = \"own\"\nname = \"one\"\nsheet = \"s\"\n"
    );
    let (job, all) = solve(&job, own);
    let said = text(&drawings::shop_drawing(&job, &all, &all[0], Format::A4));
    said.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// 0.16 V is 2.56 mm over a V of 16 mm: 0.1008 in, not the 1/8 in of the sheet.
#[test]
fn a_radius_that_a_die_does_not_give_is_said_with_its_figures() {
    let job = "units = \"in\"\nprocess = \"waterjet\"\nshop = \"shop.toml\"\n[[sheet]]\nname = \"s\"\n\
               material = \"A36\"\nthickness = \"1/8 in\"\nstock = []\n\
               [[part]]\nrecipe = \"tab-joggle\"\nname = \"jog\"\nsheet = \"s\"\n";
    let (_, all) = solve(job, "");
    let found = format!("{:?}", all[0].found);
    assert!(found.contains("0.16 × V 16 mm = 0.1008 in"), "{found}");
}

/// A flange of 596.54 mm takes all fingers of the shop.
#[test]
fn the_fingers_of_a_long_bend_are_named_with_their_sum() {
    let said = of_own(TROUGH, "1.5 mm").replace(" ,", ",");
    let all = "all fingers 25 + 32 + 38 + 50 + 50 + 75 + 75 + 100 + 150, 595 mm in total";
    assert!(said.contains(all), "{said}");
}

//! Instructions at the brake, the table and the drill: consistent, and in words that can be
//! followed.

use crate::files::bend_drawings::SHOP;
use crate::files::bend_drawings::drawing_in;
use crate::files::bend_drawings::shipped;
use crate::own;
use platewright::make::Made;

/// A job in a shop with one part of a sheet.
fn job(top: &str, material: &str, thickness: &str, given: &str) -> String {
    format!(
        "{top}\nprocess = \"laser\"\nshop = \"shop.toml\"\n[[sheet]]\nname = \"sheet\"\n\
         material = \"{material}\"\nthickness = \"{thickness}\"\nstock = []\n[[part]]\n\
         recipe = \"own\"\nname = \"own\"\nsheet = \"sheet\"\n{given}\n"
    )
}

/// The words of its drawing in one line.
fn said_in(shop: &str, job: &str, own: &str) -> String {
    drawing_in(shop, job, own).replace('\n', " ")
}

fn said(job: &str, own: &str) -> String {
    said_in(SHOP, job, own)
}

/// 11 ga of 3.04 mm round its thickness: V 16 gives 2.56 mm, within a fifth of it, V 25 gives 4.
#[test]
fn the_die_is_the_one_whose_radius_is_nearest_to_that_of_the_flat() {
    for (recipe, given) in [
        (
            "channel",
            "{ length = \"6 in\", web = \"3 in\", flange = \"1-1/2 in\", bolt = \"1/4\", gauge = \"7/8 in\", pitch = \"4 in\" }",
        ),
        ("zed", "{ width = \"4 in\", step = \"2 in\", bolt = \"5/16\" }"),
        ("tab-joggle", "{ bolt = \"3/8\", foot = \"1-1/2 in\" }"),
    ] {
        let text = said(
            &job("units = \"in\"", "A36", "11 ga", &format!("given = {given}")),
            shipped(recipe),
        );
        assert!(text.contains("V 16 mm"), "{recipe}: {text}");
        assert!(!text.contains("V 25 mm") && !text.contains("brake-radius"), "{recipe}: {text}");
    }
}

/// The shop's hat of 2.3 mm aluminium: its bend line is 0.05 mm below the top of what it is bent
/// round. That cannot be set, and text and picture have one figure.
#[test]
fn a_line_nearly_level_with_the_jaw_is_level() {
    let given = "given = { over = \"38 mm\", height = \"38 mm\", length = \"50 mm\", bolt = \"M8\", holes = 1 }";
    let text = said(&job("coating = \"0.08 mm\"", "5052-H32", "11 ga", given), shipped("hat"));
    assert!(
        text.contains("Bend line level with the top of the bar, the outside of “crown”"),
        "{text}"
    );
    let after = |words: &str| {
        let (_, rest) = text.split_once(words).unwrap_or_else(|| panic!("{words}: {text}"));
        rest.trim_start().split(' ').next().unwrap_or_default().to_owned()
    };
    let above = after("top of the bar, the outside of “crown”");
    assert!(
        text.matches(&format!(" {above} ")).count() >= 2,
        "{above} is not in the picture: {text}"
    );
    // A bar of twice the radius lies on the front jaw, and the rear jaw backs the sheet up to its centre.
    let [bar, up] = [after("lay a bar of Ø"), after("pack the rear jaw up ")]
        .map(|figure| figure.trim_end_matches(',').parse::<f64>().expect("a figure"));
    assert!((bar - 2.0 * up).abs() < 0.011, "{bar} {up}");
    assert!(!text.contains("backs it") && !text.contains("this side of"), "{text}");
    // A leg over both outsides is the offset: it is measured once.
    assert!(!text.contains("Check offset"), "{text}");
}

/// A plate of 50 × 150 mm with a flange of 40 mm, bent in the vice alone.
const HANGING: &str = r#"about = "Plate with a flange"
[face.base]
blank = [ { add = "rectangle", width = "50 mm", height = "150 mm", at = ["0", "-75 mm"] } ]
[face.leg]
blank = [ { add = "rectangle", width = "50 mm", height = "40 mm", at = ["0", "20 mm"] } ]
[bend.heel]
on = "base.top"
to = "leg"
angle = "90 deg"
"#;

#[test]
fn what_hangs_in_a_vice_is_told_or_kept_within_its_throat() {
    let (_, vice) = SHOP.split_once("name          = \"vice\"").expect("the shop has a vice");
    let (vice, _) = vice.split_once("\n[[").expect("something follows the vice");
    let of = |more: &str| format!("[[brake]]\nname = \"vice\"\n{vice}\n{more}\n");
    let job = job("", "S235", "1.5 mm", "");
    let drawn = drawing_in(&of(""), &job, HANGING);
    let text = drawn.replace('\n', " ");
    // The edge from which its line is measured, and what is in the picture.
    assert!(text.contains("the line is 4") || text.contains("above it"), "{text}");
    for label in [["front", "front jaw"], ["rear", "rear jaw"]] {
        assert!(drawn.lines().any(|line| label.contains(&line)), "{label:?}: {drawn}");
    }
    assert!(
        text.contains("clamp “base”") && text.contains("hangs below the tops of the jaws"),
        "{text}"
    );
    let text = said_in(&of("throat = \"95 mm\""), &job, HANGING);
    assert!(text.contains("clamp “leg”") && !text.contains("tops of the jaws"), "{text}");
}

/// A leg with two rounded corners and a slant, and an ear across from it that is straight.
const TIPPED: &str = r#"about = "Bracket with a slanting leg"
[face.base]
blank = [ { add = "polygon", corners = [ { at = ["-40 mm", "-55 mm"], edge = "bottom" }, ["40 mm", "-55 mm"], { at = ["40 mm", "0"], edge = "heel" }, ["-40 mm", "0"] ] } ]
[face.leg]
blank = [ { add = "polygon", corners = [ ["-40 mm", "0"], ["40 mm", "0"], { at = ["40 mm", "45 mm"], round = "5 mm" }, { at = ["-40 mm", "70 mm"], round = "5 mm" } ] } ]
[face.ear]
blank = [ { add = "rectangle", width = "38 mm", height = "34 mm", at = ["0", "17 mm"] } ]
[bend.heel]
on = "base.heel"
to = "leg"
angle = "80 deg"
[bend.side]
on = "base.bottom"
to = "ear"
angle = "90 deg"
"#;

#[test]
fn a_straight_edge_comes_before_a_tip_and_two_stubs_carry_two_fingers() {
    let text = said(&job("", "S235", "4 mm", ""), TIPPED);
    assert!(text.contains("Bends in order") && !text.contains("tip of “leg”"), "{text}");
    assert!(text.contains("edge of “ear”"), "{text}");
    assert!(text.contains("a gauge finger at both parts of it"), "{text}");
}

#[test]
fn a_coated_hole_says_what_it_becomes_and_only_where_a_bolt_passes() {
    let coated = |recipe: &str, given: &str| {
        said(&job("coating = \"0.08 mm\"", "S235", "4 mm", given), shipped(recipe))
    };
    let tab = coated("tab", "");
    assert!(tab.contains("Ø9 is 8.84 coated; clears M8."), "{tab}");
    let gusset = coated(
        "gusset",
        "given = { leg_main = \"90 mm\", leg_branch = \"90 mm\", lightening = \"28 mm\" }",
    );
    assert!(
        gusset.contains("Coating 0.08 mm per face.") && !gusset.contains("Coated,"),
        "{gusset}"
    );
    let tight = r#"about = "Plate with a bolt"
[face.plate]
blank = [ { add = "rectangle", width = "60 mm", height = "60 mm" } ]
holes = [ { name = "bolt", diameter = "8.1 mm", for = "M8" } ]
"#;
    let text = said(&job("coating = \"0.08 mm\"", "S235", "4 mm", ""), tight);
    assert!(text.contains("or have it masked") && !text.contains("No masking needed"), "{text}");
}

#[test]
fn a_tapped_hole_names_its_thread_or_is_found() {
    let plate = |pilot: &str| {
        format!(
            "about = \"Plate\"\n[face.plate]\nblank = [ {{ add = \"rectangle\", width = \"60 mm\", height = \"60 mm\" }} ]\n\
             holes = [ {{ name = \"tap\", diameter = \"8 mm\", made = \"tap\", pilot = \"{pilot}\" }} ]\n"
        )
    };
    let found = |pilot: &str| {
        let (_, found) = own::one(&plate(pilot));
        found.iter().any(|finding| finding.code == "thread-name")
    };
    let job = job("", "S235", "3 mm", "");
    for pilot in ["tap_drill('M8')", "5 mm"] {
        let text = said(&job, &plate(pilot));
        assert!(text.contains("M8×1.25") && !text.contains("Ø8 thread"), "{text}");
        // A pilot of 5 mm fits M8×1 as well.
        assert_eq!(text.contains("taken as M8×1.25"), pilot == "5 mm", "{text}");
        assert!(!found(pilot), "{pilot}");
    }
    assert!(found("7 mm"), "M8 × 1 is not in the table");
    let named = plate("5 mm").replace("made = \"tap\"", "made = \"tap\", for = \"M8\"");
    assert!(!said(&job, &named).contains("taken as"), "it is said");
}

/// The row of a rod end is no thread; its bolt is.
#[test]
fn a_tapped_hole_for_a_rod_end_takes_the_thread_of_its_bolt() {
    let plate = "about = \"Plate\"\n[inputs]\nrod = { kind = \"rod-end\", default = \"M10\", about = \"held\" }\n\
        [face.plate]\nblank = [ { add = \"rectangle\", width = \"60 mm\", height = \"60 mm\" } ]\n\
        holes = [ { name = \"tap\", diameter = \"10 mm\", made = \"tap\", pilot = \"tap_drill('M10')\", for = \"rod\" } ]\n";
    let (solved, found) = own::one(plate);
    let thread = solved.part.faces[0].holes[0].thread.as_ref().map(|row| (row.table(), row.name()));
    assert_eq!(thread, Some(("bolt", "M10")));
    assert!(found.iter().all(|finding| finding.code != "thread-name"), "{found:?}");
    let text = said(&job("", "S235", "3 mm", ""), plate);
    assert!(text.contains("M10×1.5"), "{text}");
}

/// The legs of all welds of a shipped recipe on sheet of 2 mm, as its inputs come.
#[test]
fn no_shipped_fillet_is_larger_than_the_edge_it_is_laid_along() {
    let mut seen = 0;
    for name in [
        "tab",
        "tab-row",
        "gusset",
        "gusset-flanged",
        "corner-closer",
        "clevis-bent",
        "clevis-plates",
        "doubler-plate",
    ] {
        let given = if name == "clevis-bent" { "given = { spacer = \"16 mm\" }" } else { "" };
        let (solved, found) = own::solve_with(shipped(name), "2 mm", "waterjet", given)
            .unwrap_or_else(|found| panic!("{name}: {}", found[0].headline));
        assert!(found.iter().all(|finding| finding.code != "weld-leg"), "{name}: {found:?}");
        let welds = solved.iter().flat_map(|part| &part.part.faces).flat_map(|face| &face.welds);
        for leg in welds.filter_map(|weld| weld.leg) {
            assert!(leg <= 2.0 + 1e-9, "{name}: {leg} on 2 mm");
            seen += 1;
        }
    }
    assert!(seen >= 8, "{seen} welds");
}

fn svg<'a>(made: &'a Made, ending: &str) -> &'a str {
    let file = made.files.iter().find(|file| file.name.ends_with(ending));
    std::str::from_utf8(&file.unwrap_or_else(|| panic!("no {ending}")).bytes).unwrap()
}

/// Ten lugs of 12 mm beside two long strips: the lugs lie together, and pages are only for them.
#[test]
fn a_picture_has_no_page_that_shows_nothing_new() {
    let lug = r#"about = "Lug"
[inputs]
width  = { kind = "length", default = "12 mm", about = "of the plate" }
height = { kind = "length", default = "9 mm", about = "of the plate" }
[face.plate]
blank = [ { add = "rectangle", width = "width", height = "height" } ]
holes = [ { name = "pin", diameter = "3.2 mm" } ]
"#;
    let job = "process = \"laser\"\n[[sheet]]\nname = \"sheet\"\nmaterial = \"S235\"\nthickness = \"1.5 mm\"\n\
        stock = [ { size = [\"2000 mm\", \"1000 mm\"] } ]\n\
        [[part]]\nrecipe = \"own\"\nname = \"lug\"\nquantity = 10\nsheet = \"sheet\"\n\
        [[part]]\nrecipe = \"own\"\nname = \"cover\"\nquantity = 2\nsheet = \"sheet\"\n\
        given = { width = \"1600 mm\", height = \"300 mm\" }\n";
    let made = own::make(lug, job).unwrap_or_else(|found| panic!("{}", found[0].headline));
    let picture = svg(&made, "-picture.svg");
    let parts = picture.matches("of the sheet").count();
    assert!((1..=3).contains(&parts), "{parts} pages of parts");
    assert!(!picture.contains("too small for a number"), "every lug has its number on some page");
    assert!(
        picture.contains("in the report") && !picture.contains("first = true"),
        "no line to paste"
    );
}

/// A strip of 30 mm that only a wrench bends.
#[test]
fn with_a_wrench_the_rest_is_clamped_and_the_lever_is_named() {
    let shop = "[[brake]]\nname = \"wrench\"\nkind = \"hand\"\ngrip = \"wrench\"\n\
                length = \"60 mm\"\nlever = \"400 mm\"\n";
    let given = "given = { width = \"30 mm\", base = \"50 mm\", leg = \"40 mm\", bolt = \"M6\", gauge = \"25 mm\" }";
    let drawn = drawing_in(shop, &job("", "S235", "3 mm", given), shipped("angle"));
    for label in ["wrench", "vice"] {
        assert!(drawn.lines().any(|line| line == label), "{label}: {drawn}");
    }
    let text = drawn.replace('\n', " ");
    for words in [
        "in a vice, top side up, the bend line clear of its jaws",
        "Wrench over the free end of “",
        "its jaws round a bar of Ø6 at the bend; pull it up at 400 from the bend, with about",
        // Jaws 25 mm high round 3 mm come over the clamped leg by 22 mm at 90° and some more beyond.
        "The wrench comes over “",
        "from the bend line: clamp beyond that. Room between wrench and vice and grip of the vice not judged",
    ] {
        assert!(text.contains(words), "{words}: {text}");
    }
    assert!(!text.contains("or more between part and tools"), "{text}");
    let (_, over) = text.split_once("The wrench comes over “").unwrap();
    let (_, over) = over.split_once("” to ").unwrap();
    let over: f64 = over.split(' ').next().unwrap().parse().unwrap();
    assert!((25.0..30.0).contains(&over), "{over}");
    assert!(!text.contains("Lay “") && !text.contains("nose"), "{text}");
}

/// The demo's box: its last bend has more room on the straight brake, its others none.
#[test]
fn a_part_stays_at_one_machine_while_that_has_the_margin() {
    let given = "given = { length = \"120 mm\", width = \"90 mm\", bolt = \"M6\" }";
    let text = said(&job("", "5052-H32", "11 ga", given), shipped("box-bracket"));
    assert_eq!(text.matches("Press brake, V 25").count(), 4, "{text}");
    assert!(!text.contains("Straight brake") && !text.contains("Not on the"), "{text}");
}

/// A trough whose ends are up before its sides: the press brake has no V that gives the radius at
/// the ends as well, and the beam of the straight brake does not fit between them.
const TROUGH: &str = r#"about = "Trough"
[face.base]
blank = [ { add = "rectangle", width = "300 mm", height = "80 mm" } ]
[face.fr]
blank = [ { add = "flange", height = "45 mm" } ]
[face.bk]
blank = [ { add = "flange", height = "45 mm" } ]
[face.l]
blank = [ { add = "flange", height = "45 mm" } ]
[face.r]
blank = [ { add = "flange", height = "45 mm" } ]
[bend]
front = { on = "base.bottom", to = "fr", angle = "60 deg" }
back  = { on = "base.top", to = "bk", angle = "60 deg" }
left  = { on = "base.left", to = "l", angle = "90 deg" }
right = { on = "base.right", to = "r", angle = "90 deg" }
"#;

#[test]
fn where_the_machine_changes_the_drawing_says_why_once() {
    let text = said(&job("", "S235", "2 mm", ""), TROUGH);
    let why = "Not on the straight brake: “l” hits the beam before the bend starts";
    assert_eq!(text.matches(why).count(), 1, "{text}");
    assert_eq!(text.matches("Not on the").count(), 1, "{text}");
}

/// Both of its sides are bent over a V that gives another radius: one sentence and one remedy.
#[test]
fn a_note_on_two_bends_is_given_once_with_both_names() {
    let text = said(&job("", "S235", "2 mm", ""), TROUGH);
    assert_eq!(text.matches("caution (brake-radius)").count(), 1, "{text}");
    assert!(text.contains("The same at F2 “"), "{text}");
    assert_eq!(text.matches("Fix: ").count(), 1, "{text}");
}

/// A press brake whose V gives a radius of 4 mm.
const PRESS: &str = r#"
[[brake]]
name      = "press"
kind      = "press"
length    = "1500 mm"
force     = "400 kN"
max_angle = "95 deg"
ram       = { thickness = "120 mm" }
bed       = { thickness = "90 mm" }
die       = "25 mm"
punch     = "straight"
"#;

/// A rail of 900 mm, the middles of whose bends are between holes, names and the signs of the bends:
/// the numbers of the findings about them are led to elsewhere on the lines.
#[test]
fn a_finding_about_a_bend_has_its_number_beside_the_line() {
    let given = "given = { length = \"900 mm\", pitch = \"200 mm\" }";
    let job =
        job("", "S235", "3 mm", given).replace("stock = []", "bend_radius = \"3 mm\"\nstock = []");
    let text = drawing_in(PRESS, &job, shipped("channel"));
    assert!(text.contains("F1 caution") && !text.contains("No room at the flat"), "{text}");
    for number in ["F1", "F2", "F3"] {
        assert!(text.lines().any(|line| line == number), "{number}: {text}");
    }
}

//! Slips of a recipe that would make a different part from the one intended.

use crate::own;
use platewright::diag::Finding;
use platewright::diag::SourceId;
use platewright::diag::Sources;
use platewright::geom::Bounds;
use platewright::geom::Outline;
use platewright::recipe;
use platewright::recipe::Others;
use platewright::shop;
use platewright::table::Tables;

/// A shelf of a base, a riser and a pad, with a hole listed in one of them.
fn shelf(face: &str, x: &str, y: &str) -> String {
    let hole = format!(
        "holes = [ {{ name = \"eye\", at = [\"{x} mm\", \"{y} mm\"], diameter = \"4 mm\" }} ]\n"
    );
    let of = |name: &str| if name == face { hole.as_str() } else { "" };
    format!(
        "about = \"x\"\n\
         [face.base]\nblank = [ {{ add = \"rectangle\", width = \"100 mm\", height = \"90 mm\", at = [\"0\", \"-45 mm\"] }} ]\n{}\
         [face.riser]\nblank = [ {{ add = \"rectangle\", width = \"100 mm\", height = \"80 mm\", at = [\"0\", \"40 mm\"] }} ]\n{}\
         [face.pad]\nblank = [ {{ add = \"rectangle\", width = \"100 mm\", height = \"90 mm\", at = [\"0\", \"45 mm\"] }} ]\n{}\
         [bend]\n\
         up = {{ on = \"base.top\", to = \"riser\", angle = \"90 deg\" }}\n\
         over = {{ on = \"riser.top\", to = \"pad\", angle = \"90 deg\", side = \"down\" }}\n",
        of("base"),
        of("riser"),
        of("pad")
    )
}

/// Beyond its bend line a hole is not in its face, wherever the flat has metal there.
#[test]
fn a_hole_of_one_face_is_made_in_no_other() {
    for (face, y, there) in [
        ("base", "20", "riser"),
        ("base", "50", "riser"),
        ("base", "100", "pad"),
        ("riser", "-30", "base"),
        ("riser", "120", "pad"),
        ("pad", "-40", "riser"),
        ("pad", "-120", "base"),
    ] {
        let found = own::stopped(&shelf(face, "10", y));
        let wanted = format!("hole `eye` of face `{face}` is in face `{there}`, beyond a bend");
        assert_eq!(found, [("hole-outside", wanted)], "{face} {y}");
    }
    // In the strip of another bend.
    let found = own::stopped(&shelf("base", "0", "71.3"));
    let wanted = "hole `eye` of face `base` is in bend `over`, beyond another";
    assert_eq!(found, [("hole-outside", wanted.to_owned())]);
    for (face, y) in [("base", "-45"), ("riser", "40"), ("pad", "45")] {
        own::one(&shelf(face, "10", y));
    }
    // On the bend of its own face, a check says how far to move it.
    let found = own::stopped(&shelf("base", "0", "-3"));
    assert_eq!(found[0].0, "hole-bend", "{found:?}");
}

/// How far a help says to move it, mm.
fn told(found: &[Finding]) -> f64 {
    let help = found[0].help.as_deref().expect("it has a help");
    let words: Vec<&str> = help.split(' ').collect();
    assert_eq!([words[0], words[1], words[3]], ["move", "it", "mm"], "{help}");
    words[2].parse().expect("it is a number")
}

#[test]
fn the_distance_told_from_a_bend_is_enough() {
    // Its face, where it is, and the way to the middle of the face.
    for (face, y, way) in [
        ("riser", 2.0, 1.0),
        ("riser", 5.013_7, 1.0),
        ("riser", 9.0, 1.0),
        ("riser", 77.1, -1.0),
        ("riser", 74.123_4, -1.0),
        ("base", -2.5, -1.0),
        ("base", -7.777_7, -1.0),
        ("pad", 3.3, 1.0),
    ] {
        let of = |y: f64| own::solve(&shelf(face, "0", &y.to_string()), "3 mm", "waterjet");
        let found = of(y).expect_err("it is too near");
        assert_eq!(found[0].code, "hole-bend", "{face} {y}: {found:?}");
        let by = told(&found);
        assert!(of(y + way * by).is_ok(), "{face} {y}: {by} mm is not enough");
        assert!(of(y + way * (by - 0.002)).is_err(), "{face} {y}: {by} mm is more than is needed");
    }
}

fn spread(all: &[Outline]) -> Vec<Bounds> {
    all.iter().map(Outline::bounds).collect()
}

/// The edge is drawn from 0 to 40; its end is clipped.
#[test]
fn a_tongue_that_stands_alone_is_about_the_edge_as_drawn() {
    let (made, _) = own::one(
        "about = \"x\"\n[face.gusset]\nblank = [\n\
         { add = \"polygon\", corners = [ { at = [\"0\", \"0\"], clip = \"8 mm\", edge = \"foot\" }, [\"40 mm\", \"0\"], [\"40 mm\", \"20 mm\"], [\"20 mm\", \"60 mm\"], [\"0\", \"60 mm\"] ] },\n\
         { add = \"tongue\", edge = \"foot\", count = \"1\", width = \"18 mm\" },\n]\n",
    );
    let tongues = spread(&made.part.faces[0].tongues);
    assert_eq!(tongues.len(), 1);
    let (min, max) = (tongues[0].min, tongues[0].max);
    assert!((min.x - 11.0).abs() < 1e-9 && (max.x - 29.0).abs() < 1e-9, "{tongues:?}");
}

/// The lines of the list of hardware of a plate of 8 mm with a tapped hole.
fn screws(keys: &str) -> Vec<String> {
    let own = "about = \"x\"\n[face.plate]\nblank = [ { add = \"rectangle\", width = \"200 mm\", height = \"120 mm\" } ]\n\
               holes = [ { name = \"a\", diameter = \"10 mm\", made = \"tap\", pilot = \"8.5 mm\", for = \"M10\" } ]\n";
    let job = format!(
        "process = \"waterjet\"\n[[sheet]]\nname = \"s\"\nmaterial = \"S235\"\nthickness = \"8 mm\"\nstock = [ {{ size = [\"900 mm\", \"500 mm\"] }} ]\n[[part]]\nrecipe = \"own\"\nname = \"own\"\nsheet = \"s\"\n{keys}"
    );
    let made = own::make(own, &job).unwrap_or_else(|found| panic!("{}", found[0].headline));
    let list = made.files.iter().find(|f| f.name == "hardware.csv").unwrap();
    let text = std::str::from_utf8(&list.bytes).unwrap();
    text.lines().skip(1).map(str::to_owned).collect()
}

/// The plate with the thread clamps nothing: 8 mm of it, a washer of 2.2 mm and the clamped layers.
#[test]
fn a_screw_has_a_length_where_it_is_said_what_it_clamps() {
    let unsaid = "into tapped hole a; length left out: clamped thickness not given";
    assert_eq!(screws(""), [format!("screw,M10,,1,1,,,,own,{unsaid}")]);
    assert_eq!(
        screws("clamped = \"5 mm\"\n"),
        ["screw,M10,20 mm,1,1,,13,13,own,into tapped hole a"]
    );
}

/// Where the bolt is not given, the pilot decides the thread: the one whose drill is nearest.
#[test]
fn a_pilot_is_judged_without_a_bolt() {
    let plate = |pilot: &str| {
        let text = format!(
            "about = \"x\"\n[face.plate]\nblank = [ {{ add = \"rectangle\", width = \"100 mm\", height = \"90 mm\" }} ]\n\
             holes = [ {{ name = \"a\", diameter = \"8 mm\", made = \"tap\", pilot = \"{pilot}\" }} ]\n"
        );
        match own::solve(&text, "5 mm", "waterjet") {
            Ok((_, found)) | Err(found) => found.iter().any(|f| f.code == "bolt-hole"),
        }
    };
    assert!(plate("7.8 mm") && !plate("6.8 mm") && !plate("6.6 mm"));
}

/// The findings of a text that cannot be read as a recipe.
fn read(text: &str) -> (Sources, Vec<Finding>) {
    let mut sources = Sources::default();
    let source = sources.add("own.toml", text);
    let other = |_: &str| None::<(SourceId, String)>;
    let read =
        recipe::read_among("own", source, text, &|_| None, &Others::new(&other, &|| Vec::new()));
    (sources, read.expect_err("it cannot be read"))
}

/// Both places are shown: that of the first with its own mark.
#[test]
fn what_is_there_twice_is_shown_twice() {
    let text = "about = \"x\"\n[face.a]\nblank = []\n[face.b]\nblank = []\n[face.a]\nblank = []\n";
    let (sources, found) = read(text);
    let lines: Vec<usize> =
        found[0].marks.iter().map(|mark| sources.line_and_column(mark.span).0).collect();
    assert_eq!(lines, [6, 2], "{found:?}");
    assert!(found[0].headline.contains("`a`"), "{found:?}");
    let (sources, found) =
        read("about = \"x\"\n[face.a]\nblank = []\nwhen = \"1 > 0\"\nblank = []\n");
    let lines: Vec<usize> =
        found[0].marks.iter().map(|mark| sources.line_and_column(mark.span).0).collect();
    assert_eq!(lines, [5, 3], "{found:?}");
}

/// The correction in the help of the first finding: the first text in backquotes.
fn to_write(found: &[Finding]) -> &str {
    let help = found[0].help.as_deref().expect("it has a help");
    help.split('`').nth(1).unwrap_or_else(|| panic!("nothing to write: {help}"))
}

/// The recipe with the correction of the first finding in place of the underlined text, or of the
/// whole entry if the key is part of it.
fn pasted(text: &str) -> String {
    let found = own::solve(text, "3 mm", "waterjet").expect_err("it is stopped");
    let (span, new) = (found[0].marks[0].span, to_write(&found));
    let quote = usize::from(new.contains(" = ") && text[span.end..].starts_with('"'));
    let from = match new.split_once(" = ") {
        Some((key, _)) => {
            let key = format!("{key} = ");
            text[..span.start].rfind(&key).unwrap_or_else(|| panic!("no {key} before it"))
        }
        None => span.start,
    };
    [&text[..from], new, &text[span.end + quote..]].concat()
}

/// An angle whose leg has a fold line and a roll to choose from.
const ANGLE: &str = "about = \"x\"\n\
    [inputs]\nhigh = { kind = \"length\", default = \"80 mm\", about = \"of it\" }\n\
    [face.base]\nblank = [ { add = \"rectangle\", width = \"100 mm\", height = \"90 mm\", at = [\"0\", \"-45 mm\"] } ]\n\
    [face.leg]\nblank = [ { add = \"rectangle\", width = \"100 mm\", height = \"high\", at = [\"0\", \"high / 2\"] } ]\n\
    [bend]\nup = { on = \"base.top\", to = \"leg\", angle = \"90 deg\", radius = \"30 mm\" }\n\
    [[cut_folded]]\ntube = \"30 mm\"\nclearance = \"1 mm\"\nfrom = [\"0\", \"-45 mm\", \"-90 mm\"]\nto = [\"0\", \"-45 mm\", \"90 mm\"]\n";

#[test]
fn text_to_write_from_a_help_can_be_pasted() {
    assert!(own::solve(ANGLE, "3 mm", "waterjet").is_ok(), "without a slip it is made");
    for (good, slip) in [
        ("\"80 mm\"", "\"80 m m\""),
        ("\"90 deg\"", "\"90 d eg\""),
        ("base.top", "base.tob"),
        ("base.top", "bas.top"),
        ("\"leg\"", "\"lge\""),
        ("radius", "form = \"roled\", radius"),
        ("clearance = \"1 mm\"", "clearance = \"-3 mm\""),
        ("tube = \"30 mm\"", "tube = \"-30 mm\""),
        ("angle = ", "angel = "),
    ] {
        let text = ANGLE.replace(good, slip);
        assert_ne!(text, ANGLE);
        let mended = pasted(&text);
        let again = own::solve(&mended, "3 mm", "waterjet");
        assert!(again.is_ok(), "{slip}: {mended}\n{:?}", again.err());
    }
}

/// If a key is missing, the added one is of the same kind.
#[test]
fn text_to_add_from_a_help_can_be_pasted() {
    let plate = |steps: &str, holes: &str| {
        format!(
            "about = \"x\"\n[face.plate]\nblank = [ {{ add = \"rectangle\", width = \"200 mm\", height = \"120 mm\" }}, {steps} ]\n\
             holes = [ {holes} ]\n"
        )
    };
    let tongue = "{ add = \"tongue\", edge = \"top\", width = \"12 mm\" }";
    let row = "{ name = \"a\", diameter = \"5 mm\", row = { pitch = \"20 mm\" } }";
    let grid = "{ name = \"a\", diameter = \"5 mm\", grid = { rows = \"2\", pitch = [\"20 mm\", \"20 mm\"] } }";
    for (text, end) in [
        (plate(tongue, ""), "width = \"12 mm\""),
        (plate("", row), "pitch = \"20 mm\""),
        (plate("", grid), "rows = \"2\""),
    ] {
        let found = own::solve(&text, "3 mm", "waterjet").expect_err("it is stopped");
        let added = text.replace(end, &format!("{end}, {}", to_write(&found)));
        let again = own::solve(&added, "3 mm", "waterjet");
        assert!(again.is_ok(), "{added}\n{:?}", again.err());
    }
    let one =
        "{ name = \"a\", tongue_slot = { count = \"1\", width = \"12 mm\", fit = \"0.1 mm\" } }";
    assert_eq!(own::one(&plate("", one)).0.flat.holes.len(), 1, "one slot needs no span");
}

/// A key missing because of a slip is not reported besides the slip.
#[test]
fn a_slip_is_said_alone() {
    let hem = ANGLE.replace(
        "angle = \"90 deg\", radius = \"30 mm\"",
        "form = \"open-hem\", opening = \"20 mm\"",
    );
    let hem = &hem[..hem.find("[[cut").unwrap()];
    assert!(own::solve(hem, "3 mm", "waterjet").is_ok());
    for (good, slip, code) in [
        ("form =", "from =", "unknown-key"),
        ("open-hem", "open-hm", "unknown-word"),
        ("opening =", "openning =", "unknown-key"),
    ] {
        let found = own::stopped(&hem.replace(good, slip));
        let codes: Vec<&str> = found.iter().map(|(code, _)| *code).collect();
        assert_eq!(codes, [code], "{slip}: {found:?}");
    }
}

/// The finding gives how far a fold line is off its face, and on which side.
#[test]
fn a_fold_line_beyond_its_face_is_told_how_far() {
    let folded = |inset: &str| {
        let text = format!(
            "about = \"x\"\n[face.plate]\nblank = [ {{ add = \"rectangle\", width = \"100 mm\", height = \"90 mm\" }} ]\n\
             [bend]\nfold = {{ across = \"plate\", line = {{ edge = \"top\", inset = \"{inset}\" }}, to = \"leg\", angle = \"90 deg\" }}\n"
        );
        let found = own::solve(&text, "3 mm", "waterjet").expect_err("it is stopped");
        assert_eq!(found.len(), 1, "{found:?}");
        found[0].help.clone().expect("it has a help")
    };
    assert_eq!(folded("900 mm"), "the metal ends 810 mm before it: make `inset` smaller");
    assert_eq!(folded("-20 mm"), "it is 20 mm outside edge `top`: make `inset` larger");
}

/// The other hole is underlined, or named where it is one of the same set.
#[test]
fn holes_that_overlap_are_both_shown() {
    let plate = |holes: &str| {
        let text = format!(
            "about = \"x\"\n[face.plate]\nblank = [ {{ add = \"rectangle\", width = \"100 mm\", height = \"90 mm\" }} ]\nholes = [ {holes} ]\n"
        );
        own::solve(&text, "3 mm", "waterjet").expect_err("it is stopped").remove(0)
    };
    let two = plate(
        "{ name = \"eye\", diameter = \"8 mm\" }, { name = \"ear\", diameter = \"8 mm\", at = [\"3 mm\", \"0\"] }",
    );
    assert!(two.marks.iter().any(|mark| mark.label == "hole `eye`"), "{two:?}");
    let row =
        plate("{ name = \"eye\", diameter = \"8 mm\", row = { count = \"2\", pitch = \"6 mm\" } }");
    assert_eq!(row.notes, ["it meets hole `eye 1`"], "{row:?}");
}

/// A negative bend angle is a bend to the other side.
#[test]
fn a_bend_below_zero_is_bent_to_the_other_side() {
    let text = ANGLE.replace("90 deg", "-90 deg");
    let found = own::solve(&text, "3 mm", "waterjet").expect_err("it is stopped");
    let help = found[0].help.as_deref();
    assert_eq!(help, Some("write `angle = \"90 deg\"` and `side = \"down\"`"));
}

/// An error in a hole of the user's own recipe is shown at the hole, and then at the part.
#[test]
fn a_finding_of_a_check_begins_with_what_can_be_changed() {
    let own = "about = \"x\"\n[face.plate]\nblank = [ { add = \"rectangle\", width = \"80 mm\", height = \"50 mm\" } ]\nholes = [ { name = \"eye\", at = [\"0\", \"18 mm\"], diameter = \"6.6 mm\", for = \"M6\" } ]\n";
    let (_, found) = own::solve(own, "3 mm", "laser").expect("nothing stops it");
    let edge = found.iter().find(|f| f.code == "hole-edge").expect("it is near the edge");
    let at = own.find("{ name = \"eye\"").expect("it has a hole");
    assert_eq!(edge.marks[0].span.start, at, "{edge:?}");
    assert_ne!(edge.marks[1].span.source, edge.marks[0].span.source);
}

/// A key typed in a job or a shop file where it does not belong gets a finding that names its
/// place.
#[test]
fn a_slip_in_a_job_is_told_what_to_type() {
    let recipe = "about = \"x\"\n[inputs]\nbolt = { kind = \"bolt\", default = \"M6\", about = \"x\" }\n\
        [face.plate]\nblank = [ { add = \"rectangle\", width = \"90 mm\", height = \"60 mm\" } ]\n";
    let help = |found: Vec<Finding>| found[0].help.clone().unwrap_or_default();
    let with =
        |keys: &str| help(own::solve_with(recipe, "3 mm", "laser", keys).expect_err("stopped"));
    let given = "it is an input of the recipe: write `given = { bolt = \"M8\" }`";
    assert_eq!(with("bolt = \"M8\"\n"), given);
    assert!(with("screw = \"M8\"\n").starts_with("keys here are"), "{}", with("screw = \"M8\"\n"));
    // The sheet to add is one that the job has.
    let job = "process = \"laser\"\n[[sheet]]\nname = \"floor\"\nmaterial = \"S235\"\n\
        thickness = \"3 mm\"\nstock = []\n[[part]]\nrecipe = \"own\"\nname = \"own\"\n";
    let found = own::asked(recipe, job, &mut Sources::default()).expect_err("stopped");
    assert_eq!(help(found), "add `sheet = \"floor\"`");
    // `[[cutting]]` would be another table.
    let shop = "[rates]\ncurrency = \"EUR\"\n[rates.cutting]\nprocess = \"laser\"\n";
    let mut sources = Sources::default();
    let source = sources.add("shop.toml", shop);
    let found = shop::read(source, shop, &Tables::shipped()).expect_err("stopped");
    assert_eq!(help(found), "write two brackets on either side of it, `[[` and `]]`");
}

/// Where there are no holes, none runs over the end of a leg.
#[test]
fn an_angle_without_holes_may_have_short_legs() {
    let job = |holes: u32| {
        format!(
            "process = \"laser\"\n[[sheet]]\nname = \"steel\"\nmaterial = \"S235\"\nthickness = \"3 mm\"\nstock = []\n\
             [[part]]\nrecipe = \"angle\"\nname = \"strip\"\nsheet = \"steel\"\n\
             given = {{ base = \"60 mm\", leg = \"22 mm\", leg_holes = {holes} }}\n"
        )
    };
    let asked = |holes| own::asked(ANGLE, &job(holes), &mut Sources::default());
    assert!(asked(0).is_ok(), "{:?}", asked(0).err());
    let found = asked(1).expect_err("the hole does not fit");
    assert!(found[0].headline.contains("run over the end of the leg"), "{}", found[0].headline);
}

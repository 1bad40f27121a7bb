//! Plates that lie on others: what their bolts pass and clamp, and whether they rest and seat.

use crate::own;
use platewright::diag::About;

const HOLES: &str = r#"holes = [ { name = "bolt", at = ["40 mm", "0"], diameter = "11 mm", row = { count = "2", pitch = "60 mm" }, rotate = "90 deg", for = "bolt" } ]"#;

fn plate(holes: &str) -> String {
    format!(
        "about = \"x\"\n[inputs]\nbolt = {{ kind = \"bolt\", default = \"M10\", about = \"x\" }}\n[face.plate]\nblank = [ {{ add = \"rectangle\", width = \"200 mm\", height = \"120 mm\" }} ]\n{holes}\n"
    )
}

/// A pad with a row of two holes that are made as `hole` says.
fn pad(name: &str, on: &str, at: &str, hole: &str) -> String {
    format!(
        "[face.{name}]\npieces = 1\nlaid_on = {{ face = \"{on}\", {at} }}\nblank = [ {{ add = \"rectangle\", width = \"100 mm\", height = \"40 mm\" }} ]\nholes = [ {{ name = \"hole\", row = {{ count = \"2\", pitch = \"60 mm\" }}, {hole} }} ]\n"
    )
}

const AT: &str = "at = [\"40 mm\", \"0\"], rotate = \"90 deg\"";
const FOR: &str = "diameter = \"11 mm\", for = \"bolt\"";

/// The rows of the list of hardware; the pad is of 8 mm, all else of 3 mm.
fn hardware(own: &str) -> Vec<Vec<String>> {
    let sheet = |name: &str, thickness: u32| {
        format!(
            "[[sheet]]\nname = \"{name}\"\nmaterial = \"S235\"\nthickness = \"{thickness} mm\"\nstock = [ {{ size = [\"900 mm\", \"500 mm\"] }} ]\n"
        )
    };
    let job = format!(
        "process = \"waterjet\"\n{}{}[[part]]\nrecipe = \"own\"\nname = \"own\"\nsheet = \"thin\"\nsheets = {{ pad = \"thick\" }}\n",
        sheet("thin", 3),
        sheet("thick", 8)
    );
    let made = own::make(own, &job).unwrap_or_else(|found| panic!("{}", found[0].headline));
    let list = made.files.iter().find(|f| f.name == "hardware.csv").unwrap();
    let text = std::str::from_utf8(&list.bytes).unwrap();
    let rows = text.lines().skip(1).map(|row| row.split(',').map(str::to_owned).collect());
    rows.collect()
}

fn stops(own: &str, wanted: &str) {
    let stopped = own::stopped(own);
    assert!(stopped.iter().all(|(code, _)| *code == "laid-plate"), "{stopped:?}");
    assert!(stopped.iter().any(|(_, headline)| headline == wanted), "{stopped:?}");
}

/// Cautions of plates that lie on each other.
fn cautions(own: &str, thickness: &str) -> Vec<String> {
    let (_, found) = own::solve(own, thickness, "waterjet")
        .unwrap_or_else(|found| panic!("{}", found[0].headline));
    found.into_iter().filter(|f| f.code == "laid-plate").map(|f| f.headline).collect()
}

/// Whichever of the plates gives the purpose of the hole, and also past a plate between them.
#[test]
fn the_shank_of_a_bolt_passes_the_holes_of_all_plates() {
    let small = "diameter = \"4 mm\"";
    let wanted = |hole: &str, face: &str, other: &str| {
        format!(
            "the bolt or pin of hole `{hole}`, Ø10 mm, does not pass through hole `{other}` of face `{face}`"
        )
    };
    stops(&(plate(HOLES) + &pad("pad", "plate", AT, small)), &wanted("bolt 1", "pad", "hole 1"));
    let small_below = HOLES.replace("11 mm", "4 mm").replace(", for = \"bolt\"", "");
    let own = plate(&small_below) + &pad("pad", "plate", AT, FOR);
    stops(&own, &wanted("hole 1", "plate", "bolt 1"));
    let top = pad("top", "pad", "at = [\"0\", \"0\"]", FOR);
    let own = plate(HOLES) + &pad("pad", "plate", AT, small) + &top;
    stops(&own, &wanted("hole 2", "pad", "hole 2"));
    stops(&own, &wanted("bolt 2", "pad", "hole 2"));
}

/// An M10 has 0.5 mm all round in 11 mm, and 1.5 mm in 13 mm.
#[test]
fn holes_need_not_be_on_one_axis() {
    let off = |mm: &str| AT.replace("\"40 mm\"", &format!("\"{mm} mm\""));
    for (at, hole, passes) in [
        ("40.7", "diameter = \"13 mm\", for = \"bolt\"", true),
        ("41.4", "diameter = \"13 mm\", for = \"bolt\"", true),
        ("41.6", "diameter = \"13 mm\", for = \"bolt\"", false),
        ("40.4", FOR, true),
        ("40.6", FOR, false),
    ] {
        let own = plate(HOLES) + &pad("pad", "plate", &off(at), hole);
        if passes {
            let rows = hardware(&own);
            assert_eq!(rows.len(), 1, "{at} {hole}: {rows:?}");
            assert_eq!([&rows[0][3], &rows[0][7]], ["2", "11"], "{at} {hole}");
        } else {
            own::stopped(&own);
        }
    }
}

#[test]
fn a_bolt_is_counted_once_and_clamps_all_it_passes() {
    let plain = "diameter = \"11 mm\"";
    let plain_below = HOLES.replace(", for = \"bolt\"", "");
    let top = |hole: &str| pad("top", "pad", "at = [\"0\", \"0\"]", hole);
    let wide = "diameter = \"24 mm\"";
    for (own, grip) in [
        (plate(HOLES) + &pad("pad", "plate", AT, plain), "11"),
        (plate(&plain_below) + &pad("pad", "plate", AT, FOR), "11"),
        (plate(HOLES) + &pad("pad", "plate", AT, plain) + &top(FOR), "14"),
        (plate(&plain_below) + &pad("pad", "plate", AT, FOR) + &top(plain), "14"),
        // The washer, Ø20 mm, passes through the hole of the last plate, not of one between.
        (plate(HOLES) + &pad("pad", "plate", AT, plain) + &top(wide), "11"),
        (plate(HOLES) + &pad("pad", "plate", AT, wide) + &top(FOR), "14"),
    ] {
        let rows = hardware(&own);
        assert_eq!(rows.len(), 1, "{rows:?}");
        assert_eq!([&rows[0][0], &rows[0][3], &rows[0][6], &rows[0][7]], ["bolt", "2", grip, grip]);
    }
    // Two pads, one on the other: one bolt for both.
    let two = pad("pad", "plate", AT, FOR).replace("pieces = 1", "pieces = 2");
    let rows = hardware(&(plate(&plain_below) + &two));
    assert_eq!([&rows[0][3], &rows[0][7]], ["2", "19"], "{rows:?}");
    // Bolts of one plate that clamp more or less.
    let more = HOLES.replace(
        "for = \"bolt\" }",
        "for = \"bolt\" }, { name = \"far\", at = [\"-60 mm\", \"0\"], diameter = \"11 mm\", for = \"bolt\" }",
    );
    let rows = hardware(&(plate(&more) + &pad("pad", "plate", AT, plain)));
    let grips: Vec<[&str; 2]> = rows.iter().map(|row| [&*row[3], &*row[7]]).collect();
    assert_eq!(grips, [["1", "3"], ["2", "11"]]);
}

#[test]
fn a_thread_in_another_plate_takes_the_place_of_the_nut() {
    let tapped = "diameter = \"10 mm\", made = \"tap\", pilot = \"8.5 mm\"";
    let with_for = format!("{tapped}, for = \"bolt\"");
    for hole in [tapped, &with_for] {
        let rows = hardware(&(plate(HOLES) + &pad("pad", "plate", AT, hole)));
        assert_eq!(rows.len(), 1, "{rows:?}");
        let row = &rows[0];
        assert_eq!([&row[0], &row[3], &row[5], &row[7]], ["screw", "2", "", "11"], "{row:?}");
        assert!(row.iter().any(|cell| cell == "into tapped hole hole"), "{row:?}");
    }
    let nut = "insert = \"press nut M10\"";
    let rows = hardware(&(plate(HOLES) + &pad("pad", "plate", AT, nut)));
    let kinds: Vec<[&str; 3]> = rows.iter().map(|row| [&*row[0], &*row[3], &*row[5]]).collect();
    assert_eq!(kinds, [["press nut", "2", ""], ["screw", "2", ""]]);
    assert_eq!(rows[1][7], "11");
    assert!(rows[1].iter().any(|cell| cell == "into M10 press nut"), "{rows:?}");
    // Another thread does not take it.
    let own = plate(HOLES) + &pad("pad", "plate", AT, "insert = \"press nut M8\"");
    stops(
        &own,
        "the bolt or pin of hole `bolt 1`, Ø10 mm, does not pass through hole `hole 1` of face `pad`",
    );
}

#[test]
fn a_plate_rests_on_the_face_it_lies_on() {
    let bent = "[bend.heel]\nacross = \"plate\"\nline = [[\"-20 mm\", \"-60 mm\"], [\"-20 mm\", \"60 mm\"]]\nto = \"up\"\nangle = \"90 deg\"\n";
    let other = "diameter = \"5 mm\"";
    let at = |x: &str| format!("at = [\"{x} mm\", \"0\"]");
    // It is 100 mm long, and would reach under bolts that are not there.
    let own = |x: &str| plate("") + &pad("pad", "plate", &at(x), other) + bent;
    stops(&own("0"), "face `pad` is laid across bend `heel` of face `plate`");
    assert_eq!(own::solve(&own("50"), "3 mm", "waterjet").unwrap().0.len(), 2);
    stops(&own("-80"), "face `pad` is off the metal of face `plate`");
    let far = plate(HOLES) + &pad("pad", "plate", &at("1000"), other);
    stops(&far, "face `pad` is off the metal of face `plate`");
}

/// The pad ends 5.7 mm from the axis; the washer of an M10 has a radius of 10 mm.
#[test]
fn the_edge_of_a_plate_below_a_washer_is_found() {
    let own = |x: &str| {
        let at = format!("at = [\"{x} mm\", \"0\"]");
        let pad = pad("pad", "plate", &at, "diameter = \"5 mm\"");
        plate(HOLES) + &pad.replace("height = \"40 mm\"", "height = \"100 mm\"")
    };
    let found = cautions(&own("-15.7"), "3 mm");
    let wanted = "the edge of face `pad` is below the washer of hole `bolt";
    assert!(!found.is_empty() && found.iter().all(|f| f.starts_with(wanted)), "{found:?}");
    assert!(cautions(&own("-20.5"), "3 mm").is_empty());
    stops(&own("-14.5"), "face `pad` has no hole above `bolt 1`");
}

#[test]
fn a_fillet_is_no_higher_than_the_plate_it_goes_along() {
    let own = plate("")
        + "[face.pad]\npieces = 1\nlaid_on = { face = \"plate\", at = [\"0\", \"0\"] }\nblank = [ { add = \"rectangle\", width = \"100 mm\", height = \"40 mm\" } ]\nweld = [ { edge = \"top\", leg = \"3 mm\", one_side = true } ]\n";
    let found = cautions(&own, "1.5 mm");
    assert_eq!(
        found,
        ["the fillet along face `pad` has a leg of 3 mm, and its edge is 1.5 mm high"]
    );
    assert!(cautions(&own, "3 mm").is_empty());
}

const SUNK: &str = "diameter = \"11 mm\", for = \"bolt\", countersink = { diameter = \"21 mm\", angle = \"90 deg\" }";
const ASIDE: &str = "at = [\"40 mm\", \"10 mm\"], rotate = \"90 deg\"";

/// The plate has its holes right of the middle and above it, and the pads on it are longer to one
/// side. Parts with a top side are made in both hands, the others are turned over for the left set:
/// a set needs as many bolts as ever, and both sets the same.
#[test]
fn a_plate_without_hands_is_turned_over_below_or_above_a_left_one() {
    let plain = "diameter = \"11 mm\"";
    let aside = HOLES.replace("[\"40 mm\", \"0\"]", "[\"40 mm\", \"10 mm\"]");
    let alike = plate(&aside.replace(", for = \"bolt\"", ""));
    let nut = "{ name = \"nut\", at = [\"-60 mm\", \"0\"], insert = \"press nut M6\" }";
    let handed = plate(&aside.replace("holes = [", &format!("holes = [ {nut},")));
    let blank = "at = [\"10 mm\", \"3 mm\"], width = \"120 mm\", height = \"50 mm\"";
    let long = |name: &str, on: &str, at: &str, hole: &str| {
        pad(name, on, at, hole).replace("width = \"100 mm\", height = \"40 mm\"", blank)
    };
    let on_top = |name: &str, on: &str| long(name, on, "at = [\"0\", \"0\"]", SUNK);
    let middle = long("middle", "plate", ASIDE, plain);
    for (own, wanted) in [
        (
            alike.clone() + &long("pad", "plate", ASIDE, SUNK),
            ["plate", "pad-right", "pad-left"].as_slice(),
        ),
        (
            handed.clone() + &long("pad", "plate", ASIDE, plain),
            &["plate-right", "plate-left", "pad"],
        ),
        (
            alike.clone() + &middle + &on_top("pad", "middle"),
            &["plate", "middle", "pad-right", "pad-left"],
        ),
        (
            handed + &middle + &on_top("pad", "middle"),
            &["plate-right", "plate-left", "middle", "pad-right", "pad-left"],
        ),
    ] {
        let of_bolts = |own: &str| {
            let rows = hardware(own);
            let bolts: Vec<_> = rows.into_iter().filter(|row| row[0] != "press nut").collect();
            assert_eq!(bolts.len(), 1, "{wanted:?}: {bolts:?}");
            [3, 6, 7].map(|column| bolts[0][column].clone())
        };
        let [count, from, to] = of_bolts(&own);
        assert_eq!(count, "2", "{wanted:?}");
        let own = format!("mirror = true\n{own}");
        assert_eq!(of_bolts(&own), ["4".to_owned(), from, to], "{wanted:?}");
        let (solved, _) = own::solve(&own, "8 mm", "waterjet")
            .unwrap_or_else(|found| panic!("{wanted:?} {}", found[0].headline));
        let names: Vec<&str> = solved.iter().map(|of| &of.name["own-".len()..]).collect();
        assert_eq!(names, wanted);
    }
    // Where the bolts of one hand do not pass, those of the other do not either.
    let off = ASIDE.replace("40 mm", "43 mm");
    let own = format!("mirror = true\n{alike}{}", long("pad", "plate", &off, SUNK));
    let stopped = own::solve(&own, "8 mm", "waterjet").expect_err("no bolt passes");
    let both = ["right", "left"].map(|hand| About::part(format!("own-pad-{hand}")));
    assert_eq!(stopped.len(), 2, "{stopped:#?}");
    for (i, found) in stopped.iter().enumerate() {
        let wanted = format!("Ø10 mm, does not pass through hole `bolt {}` of face `plate`", i + 1);
        assert!(found.headline.ends_with(&wanted), "{}", found.headline);
        assert_eq!(found.about, both);
    }
}

/// The plate is one part, whatever lies on it in either set.
#[test]
fn what_is_found_in_a_plate_without_hands_is_told_once() {
    let sunk = "diameter = \"5 mm\", countersink = { diameter = \"8 mm\", angle = \"90 deg\" }";
    let pad = pad("pad", "plate", "at = [\"-15.7 mm\", \"0\"]", sunk);
    let own = plate(HOLES) + &pad.replace("height = \"40 mm\"", "height = \"100 mm\"");
    let of_plate = |own: &str| {
        let (solved, _) = own::solve(own, "3 mm", "waterjet")
            .unwrap_or_else(|found| panic!("{}", found[0].headline));
        let found = solved[0].found.iter().filter(|f| f.code == "laid-plate");
        (solved.len(), found.map(|f| f.headline.clone()).collect::<Vec<_>>())
    };
    let (parts, once) = of_plate(&own);
    assert_eq!((parts, once.len()), (2, 2), "{once:?}");
    assert_eq!(of_plate(&format!("mirror = true\n{own}")), (3, once));
}

/// A face may have the name of a hand.
#[test]
fn a_plate_of_which_the_face_is_called_left_has_no_hand() {
    let plain = HOLES.replace(", for = \"bolt\"", "");
    let own = plate(&plain).replace("[face.plate]", "[face.left]") + &pad("pad", "left", AT, FOR);
    let rows = hardware(&own);
    assert_eq!([&rows[0][3], &rows[0][7]], ["2", "11"], "{rows:?}");
    assert!(cautions(&own, "3 mm").is_empty());
}

/// A cut-out of 9.5 mm radius round a bolt, whose washer has a radius of 10 mm; one of 6 mm is a
/// clearance hole, and one of 12 mm lets the washer through.
#[test]
fn the_edge_of_a_cut_out_below_a_washer_is_found() {
    let own = |radius: &str| {
        let window = |y: &str| {
            format!(", {{ cut = \"disc\", radius = \"{radius} mm\", at = [\"0\", \"{y} mm\"] }}")
        };
        plate(HOLES)
            + &format!(
                "[face.pad]\npieces = 1\nlaid_on = {{ face = \"plate\", at = [\"40 mm\", \"0\"] }}\nblank = [ {{ add = \"rectangle\", width = \"100 mm\", height = \"100 mm\" }}{}{} ]\n",
                window("30"),
                window("-30")
            )
    };
    let found = cautions(&own("9.5"), "3 mm");
    let wanted = "a cut-out of face `pad` is below the washer of hole `bolt";
    assert!(!found.is_empty() && found.iter().all(|f| f.starts_with(wanted)), "{found:?}");
    assert!(cautions(&own("6"), "3 mm").is_empty());
    assert!(cautions(&own("12"), "3 mm").is_empty());
}

/// A countersunk screw in a thread has neither washer nor nut; its head counts as grip.
#[test]
fn a_sunk_screw_in_a_thread_is_billed_as_one() {
    let tapped = HOLES.replace(
        "diameter = \"11 mm\"",
        "diameter = \"10 mm\", made = \"tap\", pilot = \"8.5 mm\"",
    );
    let sunk = format!("{FOR}, countersink = {{}}");
    let rows = hardware(&(plate(&tapped) + &pad("pad", "plate", AT, &sunk)));
    assert_eq!(rows.len(), 1, "{rows:?}");
    let cells = [0, 3, 4, 5, 7].map(|i| &*rows[0][i]);
    assert_eq!(cells, ["flat-head screw", "2", "", "", "11"], "{rows:?}");
    assert!(rows[0].iter().any(|cell| cell == "into tapped hole bolt"), "{rows:?}");
}

/// A plate on a mirrored face is mirrored there too.
#[test]
fn a_plate_on_a_mirrored_face_is_where_that_face_has_it() {
    let aside = HOLES.replace("[\"40 mm\", \"0\"]", "[\"40 mm\", \"10 mm\"]");
    let own = |mirror: &str| {
        plate(&aside).replace("[face.plate]\n", &format!("[face.plate]\n{mirror}"))
            + &pad("pad", "plate", ASIDE, "diameter = \"11 mm\"")
    };
    for mirror in ["", "mirror = true\n"] {
        let found = own::solve(&own(mirror), "3 mm", "waterjet");
        assert!(found.is_ok(), "{mirror}{:?}", found.err());
        let grips: Vec<String> = hardware(&own(mirror)).iter().map(|row| row[7].clone()).collect();
        assert_eq!(grips, ["11"], "{mirror}");
    }
}

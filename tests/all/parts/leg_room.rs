//! The metal on which the leg of a fillet lies, in every way in which plates meet that is known.

use crate::own;
use platewright::diag::Sources;
use platewright::diag::Weight;

const PLATE: &str = "about = \"x\"\n[face.plate]\nblank = [ { add = \"rectangle\", width = \"100 mm\", height = \"60 mm\" } ]\n";

/// A pad of 40 by 30 that lies on the plate, its right edge welded: at 20 from `at`.
fn pad(at: &str, leg: &str) -> String {
    format!(
        "[face.pad]\npieces = 1\nlaid_on = {{ face = \"plate\", at = [\"{at}\", \"0\"] }}\nblank = [ {{ add = \"rectangle\", width = \"40 mm\", height = \"30 mm\" }} ]\nweld = [ {{ edge = \"right\", leg = \"{leg}\", one_side = true }} ]\n"
    )
}

/// The findings about legs in a recipe in 6 mm.
fn said(own: &str) -> Vec<(Weight, String)> {
    let found = match own::solve(own, "6 mm", "waterjet") {
        Ok((_, found)) => found,
        Err(found) => found,
    };
    let legs = found.iter().filter(|f| f.code == "weld-leg");
    let legs: Vec<_> = legs.map(|f| (f.weight, f.headline.clone())).collect();
    // If there is no finding on legs, nothing else prevented the check.
    let others = found.iter().find(|f| f.weight == Weight::Stop && f.code != "weld-leg");
    let others = others.filter(|_| legs.is_empty());
    assert!(others.is_none(), "{}", others.map_or("", |f| &f.headline));
    legs
}

/// One caution: of a weld along an edge, with the obstacle and its distance.
fn caution(own: &str, edge: &str, leg: &str, what: &str, mm: &str) {
    let wanted =
        format!("the fillet along edge `{edge}` has a leg of {leg}, but {what} is {mm} away");
    assert_eq!(said(own), [(Weight::Caution, wanted)]);
}

#[test]
fn a_fillet_beside_a_laid_plate_needs_a_ledge() {
    let own = |at: &str, leg: &str| PLATE.to_owned() + &pad(at, leg);
    caution(&own("27 mm", "5 mm"), "right", "5 mm", "the edge of face `plate`", "3 mm");
    assert_eq!(said(&own("27 mm", "3 mm")), []);
    assert_eq!(said(&own("25 mm", "5 mm")), []);
    // Flush, and beyond.
    let nothing =
        "the fillet along edge `right` has no metal under it: the edge of face `plate` is there";
    for at in ["30 mm", "32 mm"] {
        assert_eq!(said(&own(at, "5 mm")), [(Weight::Stop, nothing.to_owned())]);
    }
    // Its fix, pasted: the leg that fits.
    let found = own::solve(&own("27 mm", "5 mm"), "6 mm", "waterjet").expect("a caution").1;
    let help = found.iter().find(|f| f.code == "weld-leg").and_then(|f| f.help.clone());
    let help = help.expect("it has a help");
    assert!(help.contains("the largest leg that fits is 3 mm"), "{help}");
}

/// A hole, its countersink, a cut-out, a bend and a plate beside it end a ledge as an edge does.
#[test]
fn what_else_ends_a_ledge() {
    let with = |more: &str| format!("{PLATE}{more}\n{}", pad("0 mm", "5 mm"));
    let hole = "holes = [ { name = \"h\", at = [\"28 mm\", \"0\"], diameter = \"10 mm\" } ]";
    caution(&with(hole), "right", "5 mm", "hole `h`", "3 mm");
    let sunk = "holes = [ { name = \"h\", at = [\"30 mm\", \"0\"], diameter = \"9 mm\", countersink = { diameter = \"14 mm\", angle = \"90 deg\" } } ]";
    caution(&with(sunk), "right", "5 mm", "hole `h`", "3 mm");
    let cut = PLATE.replace(
        " } ]\n",
        " }, { cut = \"disc\", radius = \"5 mm\", at = [\"28 mm\", \"0\"] } ]\n",
    );
    let cut = cut + &pad("0 mm", "5 mm");
    caution(&cut, "right", "5 mm", "an opening of face `plate`", "3 mm");
    let second = pad("0 mm", "5 mm").replace("pad", "second").replace("\"0 mm\"", "\"43 mm\"");
    let second = second.split("weld").next().expect("before the weld").to_owned();
    caution(&(with("") + &second), "right", "5 mm", "face `second`", "3 mm");
    let flange = "[face.up]\nblank = [ { add = \"flange\", height = \"40 mm\" } ]\n[bend]\nup = { on = \"plate.right\", to = \"up\", angle = \"90 deg\" }\n";
    let bent = PLATE.to_owned() + &pad("15 mm", "6 mm") + flange;
    let found = said(&bent);
    let [(Weight::Caution, words)] = &found[..] else { panic!("{found:?}") };
    assert!(words.contains("but bend `up` is"), "{words}");
}

/// A bevel of 45° with a land of 2 mm takes 2 mm from either side of 6 mm, and 4 from one.
#[test]
fn a_bevel_ends_a_ledge() {
    let own = |at: &str, side: &str| {
        let bevel = format!(
            "bevel = [ {{ edge = \"right\", angle = \"45 deg\", land = \"2 mm\", side = \"{side}\" }} ]\n"
        );
        PLATE.to_owned() + &bevel + &pad(at, "5 mm")
    };
    let bevel = "the bevel of edge `right`";
    caution(&own("24 mm", "both"), "right", "5 mm", bevel, "4 mm");
    caution(&own("24 mm", "up"), "right", "5 mm", bevel, "2 mm");
    assert_eq!(said(&own("23 mm", "both")), []);
    // Round a disc of 50 a bevel reaches in to 46.
    let round = "about = \"x\"\n[face.plate]\nblank = [ { add = \"disc\", radius = \"50 mm\", edge = \"rim\" } ]\nbevel = [ { edge = \"rim\", angle = \"45 deg\", land = \"2 mm\" } ]\n[face.pad]\npieces = 1\nlaid_on = { face = \"plate\" }\nblank = [ { add = \"disc\", radius = \"43 mm\", edge = \"round\" } ]\nweld = [ { edge = \"round\", leg = \"4 mm\", one_side = true } ]\n";
    let found = said(round);
    let [(Weight::Caution, words)] = &found[..] else { panic!("{found:?}") };
    assert!(words.contains("but the bevel of edge `rim` is 2.9"), "{words}");
}

/// The plate below is welded to the underside of a larger one.
#[test]
fn a_fillet_below_a_larger_plate_needs_a_ledge_as_well() {
    let own = |at: &str| {
        format!(
            "about = \"x\"\n[face.small]\nblank = [ {{ add = \"rectangle\", width = \"40 mm\", height = \"30 mm\" }} ]\nweld = [ {{ edge = \"right\", leg = \"5 mm\", one_side = true }} ]\n[face.large]\npieces = 1\nlaid_on = {{ face = \"small\", at = [\"{at}\", \"0\"] }}\nblank = [ {{ add = \"rectangle\", width = \"100 mm\", height = \"60 mm\" }} ]\n"
        )
    };
    caution(&own("-27 mm"), "right", "5 mm", "the edge of face `large`", "3 mm");
    assert_eq!(said(&own("0")), []);
    // It reaches beyond on that side only.
    assert_eq!(said(&own("-35 mm")), []);
}

/// A rib of 6 mm with its tongues in slots, at 22 to either side; a notch of the floor ends 8 mm
/// from its middle.
#[test]
fn a_fillet_beside_a_rib_lies_on_the_floor() {
    let seat =
        "tongue_slot = { count = \"2\", width = \"12 mm\", span = \"44 mm\", fit = \"0.1 mm\" }";
    let own = |wide: &str, floor: &str, weld: &str, more: &str| {
        format!(
            "about = \"x\"\n[face.floor]\nblank = [ {{ add = \"rectangle\", width = \"{wide}\", height = \"60 mm\" }}{floor} ]\nholes = [ {{ name = \"seat\", {seat} }}{more} ]\n[face.rib]\npieces = 1\nblank = [ {{ add = \"rectangle\", width = \"70 mm\", height = \"40 mm\", at = [\"0\", \"20 mm\"] }}, {{ add = \"tongue\", edge = \"bottom\", count = \"2\", width = \"12 mm\", span = \"44 mm\" }} ]\nweld = [ {{ edge = \"bottom\", leg = \"5.5 mm\"{weld} }} ]\n"
        )
    };
    let floor = "the edge of face `floor`";
    let notch =
        ", { cut = \"rectangle\", width = \"14 mm\", height = \"30 mm\", at = [\"0\", \"23 mm\"] }";
    caution(&own("130 mm", notch, "", ""), "bottom", "5.5 mm", floor, "5 mm");
    assert_eq!(said(&own("130 mm", "", "", "")), []);
    let one = ", one_side = true";
    assert_eq!(said(&own("130 mm", notch, one, "")), [], "the other side has room");
    let hole = ", { name = \"h\", at = [\"0\", \"-11 mm\"], diameter = \"8 mm\" }";
    caution(&own("130 mm", "", "", hole), "bottom", "5.5 mm", "hole `h`", "4 mm");
    // Another rib beside it: its slots begin before it does.
    let next = format!(", {{ name = \"next\", at = [\"22 mm\", \"-10 mm\"], {seat} }}");
    let two = own("130 mm", "", "", &next).replace("pieces = 1", "pieces = 2");
    caution(&two, "bottom", "5.5 mm", "hole `next 1`", "3.16 mm");
    let round = ", all_round = true";
    caution(&own("78 mm", "", round, ""), "bottom", "5.5 mm", floor, "4 mm");
}

/// The other leg is on the standing plate, below its first hole.
#[test]
fn a_fillet_needs_the_plate_above_it() {
    let room = |weld: &str| {
        let own = format!(
            "{PLATE}holes = [ {{ name = \"h\", at = [\"0\", \"-18.5 mm\"], diameter = \"10 mm\" }} ]\nweld = [ {{ edge = \"bottom\", leg = \"5.5 mm\"{weld} }} ]\n"
        );
        let (solved, _) = own::solve(&own, "6 mm", "waterjet").expect("nothing stops it");
        solved[0].part.faces[0].welds[0].room.clone()
    };
    let above = room("").expect("there is a hole above it");
    assert!((above.mm - 6.5).abs() < 0.01 && above.till == "hole `h`", "{above:?}");
    assert_eq!(room(", one_side = true"), None, "it may lie flat on something");
}

/// A web on a base, both placed by three points: its sides are at y 20 and 26, the base ends at 30.
const IN_SPACE: &str = r#"about = "x"
[face.base]
on    = { origin = ["0", "0", "0"], x = ["1 mm", "0", "0"], side = ["0", "1 mm", "0"] }
blank = [ { add = "rectangle", width = "100 mm", height = "60 mm" } ]
[face.web]
pieces = 1
on     = { origin = ["0", "20 mm", "0"], x = ["1 mm", "20 mm", "0"], side = ["0", "20 mm", "1 mm"] }
blank  = [ { add = "rectangle", width = "60 mm", height = "60 mm", at = ["0", "30 mm"] } ]
holes  = [ { name = "eye", at = ["0", "40 mm"], diameter = "13 mm", for = "M12" } ]
weld   = [ { edge = "bottom", leg = "5 mm" } ]
"#;

#[test]
fn a_fillet_between_plates_in_space_lies_on_the_lower_one() {
    caution(IN_SPACE, "bottom", "5 mm", "the edge of face `base`", "4 mm");
    assert_eq!(said(&IN_SPACE.replace("\"60 mm\" } ]", "\"64 mm\" } ]")), []);
    assert_eq!(said(&IN_SPACE.replace("\"20 mm\"", "\"60 mm\"")), [], "it stands beside the base");
}

/// 5 (π/2 − asin 0.6) = 4.637 mm from a sheet of 6 mm round a tube of 10 mm to its side.
#[test]
fn a_fillet_on_a_tube_ends_at_its_side_and_at_its_end() {
    let along = |outside: &str| {
        format!(
            "about = \"x\"\n[tube]\nt = {{ from = [\"-100 mm\", \"0\", \"0\"], to = [\"100 mm\", \"0\", \"0\"], outside = \"{outside}\" }}\n[face.tab]\non = {{ origin = [\"0\", \"0\", \"0\"], x = [\"1 mm\", \"0\", \"0\"], side = [\"0\", \"0\", \"1 mm\"], centred = true }}\nblank = [ {{ add = \"rectangle\", width = \"40 mm\", height = \"40 mm\", at = [\"0\", \"20 mm\"] }}, {{ cut = \"tube\", tube = \"t\", edge = \"foot\" }} ]\nweld = [ {{ edge = \"foot\", leg = \"6 mm\" }} ]\n"
        )
    };
    caution(&along("10 mm"), "foot", "6 mm", "the side of its tube Ø10 mm", "4.63 mm");
    assert_eq!(said(&along("16 mm")), []);
    let across = |end: &str| {
        format!(
            "about = \"x\"\n[tube]\nt = {{ from = [\"0\", \"0\", \"0\"], to = [\"0\", \"0\", \"{end}\"], outside = \"30 mm\" }}\n[face.ring]\non = {{ origin = [\"0\", \"0\", \"50 mm\"], across = \"t\" }}\nblank = [ {{ add = \"disc\", radius = \"40 mm\" }}, {{ cut = \"tube\", tube = \"t\", edge = \"bore\" }} ]\nweld = [ {{ edge = \"bore\", leg = \"6 mm\" }} ]\n"
        )
    };
    caution(&across("54 mm"), "bore", "6 mm", "the end of tube `t`", "4 mm");
    assert_eq!(said(&across("60 mm")), []);
}

/// A tab whose all-round fillet runs past the sides of its tube.
#[test]
fn a_fillet_round_the_foot_of_a_tab_stays_on_its_tube() {
    let tab = |foot: &str| {
        format!(
            "about = \"x\"\n[face.tab]\nblank = [ {{ add = \"rectangle\", width = \"{foot}\", height = \"60 mm\", at = [\"0\", \"10 mm\"] }}, {{ cut = \"saddle\", tube = \"40 mm\", at = [\"0\", \"-20 mm\"], edge = \"foot\" }} ]\nweld = [ {{ edge = \"foot\", leg = \"5 mm\", all_round = true }} ]\n"
        )
    };
    assert_eq!(said(&tab("36 mm")), [], "20 acos 0.9 = 9 mm");
    // 20 acos 0.98 = 4.006 mm.
    caution(&tab("39.2 mm"), "foot", "5 mm", "the side of its tube Ø40 mm", "4 mm");
}

/// A leg of 5 mm with 4 mm of metal is as strong as one of 4 mm.
#[test]
fn no_leg_counts_for_more_than_fits() {
    let margin = |leg: &str, wide: &str| {
        let own = IN_SPACE.replace("leg = \"5 mm\"", &format!("leg = \"{leg}\""));
        let own = own.replace(
            "width = \"100 mm\", height = \"60 mm\"",
            &format!("width = \"100 mm\", height = \"{wide}\""),
        );
        let job = "process = \"waterjet\"\n[[sheet]]\nname = \"steel\"\nmaterial = \"S235\"\nthickness = \"6 mm\"\nstock = []\n[[part]]\nrecipe = \"own\"\nname = \"own\"\nsheet = \"steel\"\n[[load]]\nname = \"sideways\"\npart = \"own\"\nhole = \"eye\"\nheld = \"bottom\"\nforce = \"0.2 kN\"\ndirection = \"along\"\n";
        let (_, (solved, _)) = own::asked(&own, job, &mut Sources::default())
            .unwrap_or_else(|found| panic!("{}", found[0].headline));
        let verdicts = solved.iter().flat_map(|s| &s.verdicts);
        let limits = verdicts.flat_map(|(_, verdict)| &verdict.limits);
        let welds = limits.filter(|limit| limit.what.starts_with("fillet"));
        let least = welds.map(|limit| limit.allowable()).fold(f64::INFINITY, f64::min);
        assert!(least.is_finite(), "the weld was judged");
        least
    };
    let (short, wide, four) =
        (margin("5 mm", "60 mm"), margin("5 mm", "80 mm"), margin("4 mm", "60 mm"));
    assert!((short - four).abs() < 1e-6 * four, "{short} N and {four} N");
    assert!((wide / four - 1.25).abs() < 1e-6, "{wide} N and {four} N");
}

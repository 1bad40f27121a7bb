//! What bolts and pins tear out of aluminium and cold-drawn steel towards an edge that is welded:
//! each by hand.

use super::strength::called;
use super::strength::near;
use crate::own;
use platewright::diag::Sources;
use platewright::strength::Reason;
use platewright::strength::Verdict;

const KSI: f64 = 6.894_757;

/// A plate of 5 mm, 120 wide and 250 high, welded along one end, with two M8 bolts, 40 apart and 40
/// from its foot; its eye for a pin of 10 is 40 from its top.
fn pulled(material: &str, welded: &str, eye: &str) -> Verdict {
    let own = format!(
        "about = \"x\"\n[inputs]\nbolt = {{ kind = \"bolt\", default = \"M8\", about = \"holds it\" }}\n\
         [face.plate]\nblank = [ {{ add = \"polygon\", corners = [ {{ at = [\"-60 mm\", \"0\"], edge = \"foot\" }}, [\"60 mm\", \"0\"], {{ at = [\"60 mm\", \"250 mm\"], edge = \"top\" }}, [\"-60 mm\", \"250 mm\"] ] }} ]\n\
         weld = [ {{ edge = \"{welded}\", leg = \"3 mm\" }} ]\n\
         holes = [ {{ name = \"fix\", at = [\"0\", \"40 mm\"], diameter = \"9 mm\", row = {{ count = \"2\", pitch = \"40 mm\" }}, for = \"bolt\" }},\n\
         {{ name = \"eye\", at = [\"0\", \"210 mm\"], diameter = \"10.5 mm\"{eye} }} ]\n"
    );
    judged(&own, material, "direction = \"pull\"\nbolts = \"fix\"")
}

/// A load of 10 N on the hole `eye` of a recipe in a sheet of 5 mm.
fn judged(own: &str, material: &str, load: &str) -> Verdict {
    let job = format!(
        "process = \"waterjet\"\n\
         [[sheet]]\nname = \"s\"\nmaterial = \"{material}\"\nthickness = \"5 mm\"\nstock = []\n\
         [[part]]\nrecipe = \"own\"\nname = \"own\"\nsheet = \"s\"\n\
         [[load]]\nname = \"x\"\npart = \"own\"\nhole = \"eye\"\npin = \"10 mm\"\nforce = \"10 N\"\n\
         {load}\n"
    );
    let (_, (solved, _)) =
        own::asked(own, &job, &mut Sources::default()).unwrap_or_else(|found| panic!("{found:#?}"));
    solved[0].verdicts[0].1.clone()
}

/// The bolts, 35.5 mm clear of the edge, and the metal between them are farther than an inch from
/// the weld along it; their tear-out strips are not. Each 1.2 · 35.5 mm at 24 ksi; both 2 · 40 mm
/// at 0.6 · 115 MPa, less than 2 · (40 − 11 / 2) at 0.6 · 24, and 40 − 11 mm at 38 ksi between
/// them. With the weld at the other end 38 and 35 ksi count, and 0.6 · 38 ksi over 2 · 34.5 mm is
/// less.
#[test]
fn mounting_bolts_torn_out_towards_a_weld_count_the_weaker_metal() {
    for (welded, tensile, sheared) in
        [("foot", 24.0, 0.6 * (115.0 / KSI) * 80.0), ("top", 38.0, 0.6 * 38.0 * 69.0)]
    {
        let verdict = pulled("6061-T6", welded, "");
        let alone = called(&verdict, "tear-out at a mounting bolt");
        near(alone.nominal, 2.0 * 1.2 * 35.5 * 5.0 * tensile * KSI);
        let block = called(&verdict, "block shear at the mounting bolts");
        near(block.nominal, 5.0 * KSI * (sheared + 38.0 * 29.0));
    }
}

/// 34.75 mm beyond the eye, of which the last 25.4 and more are weak: 24 ksi in shear, but 38 in
/// the net section, 40 mm from the weld. A bolt in its place: 1.2 · 34.75 mm.
#[test]
fn an_eye_torn_out_towards_a_weld_counts_the_weaker_metal() {
    for (welded, tensile) in [("top", 24.0), ("foot", 38.0)] {
        let eye = pulled("6061-T6", welded, ", role = \"eye\"");
        let sheared = called(&eye, "shear rupture beyond the hole");
        near(sheared.nominal, 0.6 * tensile * KSI * 2.0 * 5.0 * (34.75 + 5.0));
        let net = called(&eye, "net section at the hole, tensile rupture");
        near(net.nominal, 38.0 * KSI * 2.0 * 5.0 * 26.0);
        let bolt = pulled("6061-T6", welded, "");
        let torn = called(&bolt, "bolt tear-out to the edge or the next hole");
        near(torn.nominal, 1.2 * 34.75 * 5.0 * tensile * KSI);
    }
}

/// Cold-drawn steel is as strong beside a weld as the same steel normalised: 50 ksi of 70.
#[test]
fn an_eye_in_cold_drawn_steel_counts_what_the_weld_leaves_of_it() {
    for (welded, tensile) in [("top", 50.0), ("foot", 70.0)] {
        let eye = pulled("1020-CD", welded, ", role = \"eye\"");
        let sheared = called(&eye, "shear rupture beyond the hole");
        near(sheared.nominal, 0.6 * tensile * KSI * 2.0 * 5.0 * (34.75 + 5.0));
        let net = called(&eye, "net section at the hole, tensile rupture");
        near(net.nominal, 70.0 * KSI * 2.0 * 5.0 * 26.0);
    }
}

/// The strength of 2024-T3 beside a weld is not known: neither is that of a tear-out there.
#[test]
fn what_is_torn_out_towards_a_weld_of_unknown_strength_is_not_judged() {
    let verdict = pulled("2024-T3", "foot", "");
    assert_eq!(verdict.refused(), Some(&Reason::Welded("2024-T3".into())));
    assert_eq!(verdict.margin(), None);
}

/// An angle of 5 mm, 80 wide, with a rib welded along the top or along a flank of its leg, or along
/// a side of its base: its base has four M8 bolts, 40 by 40 apart, the nearer ones 60 from the
/// heel.
fn angle(material: &str, welded: &str) -> Verdict {
    let weld = |edge: &str| match edge == welded {
        true => format!("weld = [ {{ edge = \"{edge}\", leg = \"3 mm\" }} ]\n"),
        false => String::new(),
    };
    let [top, flank, side] = ["top", "flank", "side"].map(weld);
    let own = format!(
        "about = \"x\"\n[inputs]\nbolt = {{ kind = \"bolt\", default = \"M8\", about = \"holds it\" }}\n\
         [face.base]\nblank = [ {{ add = \"polygon\", corners = [ [\"-40 mm\", \"-120 mm\"], {{ at = [\"40 mm\", \"-120 mm\"], edge = \"side\" }}, {{ at = [\"40 mm\", \"0\"], edge = \"heel\" }}, [\"-40 mm\", \"0\"] ] }} ]\n\
         holes = [ {{ name = \"fix\", at = [\"0\", \"-80 mm\"], diameter = \"9 mm\", grid = {{ columns = \"2\", rows = \"2\", pitch = [\"40 mm\", \"40 mm\"] }}, for = \"bolt\" }} ]\n{side}\
         [face.leg]\nblank = [ {{ add = \"polygon\", corners = [ [\"-40 mm\", \"0\"], {{ at = [\"40 mm\", \"0\"], edge = \"flank\" }}, {{ at = [\"40 mm\", \"80 mm\"], edge = \"top\" }}, [\"-40 mm\", \"80 mm\"] ] }} ]\n\
         holes = [ {{ name = \"eye\", at = [\"0\", \"55 mm\"], diameter = \"10.5 mm\" }} ]\n{top}{flank}\
         [bend.heel]\non = \"base.heel\"\nto = \"leg\"\nangle = \"90 deg\"\nradius = \"24 mm\"\n"
    );
    judged(&own, material, "direction = \"pull\"\nbolts = \"fix\"\nbolts_grade = \"8.8\"")
}

/// 1 N pulls the nearer two bolts with 1 / 4 + 77.5 · 20 / 1600 = 1.218 75 N each, over
/// b' = 57.5 − 4, p = 40, δ = 1 − 9 / 40. A weld along the top of the leg weakens neither the heel nor
/// the line of the bolts, 60 mm from there: 38 ksi; one along its flank the heel alone, 24 ksi; one
/// along the base both.
#[test]
fn a_leg_pried_beside_a_weld_yields_where_the_heat_weakens_it() {
    for (welded, heel, bolt) in [("flank", 24.0, 38.0), ("top", 38.0, 38.0), ("side", 24.0, 24.0)] {
        let verdict = angle("6061-T6", welded);
        let of = 25.0 * 40.0 / (4.0 * 53.5) * KSI;
        let by_hand = of * (heel + 0.775 * bolt);
        near(called(&verdict, "leg bent by prying").nominal, by_hand / 1.218_75);
        // The bolts may take 15 080 N each, of which the leg hands on less than a third.
        let bolt = called(&verdict, "mounting bolt, in tension");
        let share = by_hand / 1.67 / (0.75 * 800.0 * 50.265_5 / 2.0);
        near(bolt.nominal, 0.75 * 800.0 * 50.265_5 * share / 1.218_75);
    }
}

/// Of unknown metal beside a weld nothing counts at the heel.
#[test]
fn a_leg_pried_beside_a_weld_of_unknown_strength_is_not_judged() {
    let verdict = angle("2024-T3", "flank");
    assert_eq!(verdict.refused(), Some(&Reason::Welded("2024-T3".into())));
}

/// Three holes 30 apart, the middle one 22 from a weld, the others 50: the straight line between the ends of
/// the path through all of them is 50 from it, but the path is not. 24 ksi over
/// 120 - 3 * 11 + 2 * 28^2 / (4 * 30) mm.
#[test]
fn a_net_path_that_dips_towards_a_weld_counts_the_weaker_metal() {
    let hole = |name: &str, x: &str, y: &str| {
        format!(
            "{{ name = \"{name}\", at = [\"{x} mm\", \"{y} mm\"], diameter = \"9 mm\", for = \"bolt\" }}"
        )
    };
    let holes = [hole("a", "-30", "50"), hole("b", "0", "22"), hole("c", "30", "50")].join(", ");
    let own = format!(
        "about = \"x\"\n[inputs]\nbolt = {{ kind = \"bolt\", default = \"M8\", about = \"holds it\" }}\n\
         [face.plate]\nblank = [ {{ add = \"polygon\", corners = [ {{ at = [\"-60 mm\", \"0\"], edge = \"foot\" }}, [\"60 mm\", \"0\"], [\"60 mm\", \"150 mm\"], [\"-60 mm\", \"150 mm\"] ] }} ]\n\
         weld = [ {{ edge = \"foot\", leg = \"3 mm\" }} ]\n\
         holes = [ {holes}, {{ name = \"eye\", at = [\"0\", \"110 mm\"], diameter = \"10.5 mm\" }} ]\n"
    );
    let verdict = judged(&own, "6061-T6", "direction = \"pull\"\nheld = \"foot\"");
    let net = called(&verdict, "net section through holes, tensile rupture");
    near(net.nominal, 24.0 * KSI * 5.0 * (120.0 - 33.0 + 28.0 * 28.0 / 60.0));
}

/// Of soft aluminium the plate beside the weld is weaker on the leg than 5356 is on the throat:
/// 0.6 · 14 ksi for 0.707 · 17; of 6061-T6 it is not.
#[test]
fn a_fillet_holds_no_more_than_the_weakened_plate_on_its_leg() {
    let own = "about = \"x\"\n[face.plate]\nblank = [ { add = \"polygon\", corners = [ { at = [\"-60 mm\", \"0\"], edge = \"foot\" }, [\"60 mm\", \"0\"], [\"60 mm\", \"150 mm\"], [\"-60 mm\", \"150 mm\"] ] } ]\n\
               weld = [ { edge = \"foot\", leg = \"3 mm\" } ]\nholes = [ { name = \"eye\", at = [\"0\", \"110 mm\"], diameter = \"10.5 mm\" } ]\n";
    let held = |material: &str, filler: &str| {
        let load = format!("direction = \"pull\"\nfiller = \"{filler}\"");
        called(&judged(own, material, &load), "fillet weld").nominal
    };
    for (material, counted) in [("3003-H14", 0.6 * 14.0 / 0.707), ("6061-T6", 17.0)] {
        near(held(material, "5356") / held(material, "4043"), counted / 11.5);
    }
}

/// A base with a lip behind its bolts, nearer to them than the leg that the load pulls at: the leg
/// pries, over b' = 57.5 − 4. Of 1 N the nearer row takes 1 / 4 + 67.5 · 10 / 400 N for each bolt.
#[test]
fn bolts_are_pried_by_the_leg_that_is_loaded_and_by_no_lip() {
    let own = "about = \"x\"\n[inputs]\nbolt = { kind = \"bolt\", default = \"M8\", about = \"holds it\" }\n\
               [face.base]\nblank = [ { add = \"rectangle\", width = \"80 mm\", height = \"104 mm\", at = [\"0\", \"-52 mm\"] } ]\n\
               holes = [ { name = \"fix\", at = [\"0\", \"-70 mm\"], diameter = \"9 mm\", grid = { columns = \"2\", rows = \"2\", pitch = [\"40 mm\", \"20 mm\"] }, for = \"bolt\" } ]\n\
               [face.leg]\nblank = [ { add = \"flange\", height = \"80 mm\" } ]\nholes = [ { name = \"eye\", at = [\"0\", \"55 mm\"], diameter = \"10.5 mm\" } ]\n\
               [face.lip]\nblank = [ { add = \"flange\", height = \"25 mm\" } ]\n\
               [bend]\nleg = { on = \"base.top\", to = \"leg\", angle = \"90 deg\" }\nlip = { on = \"base.bottom\", to = \"lip\", angle = \"90 deg\" }\n";
    let verdict = judged(own, "S235", "direction = \"pull\"\nbolts = \"fix\"");
    let by_hand = 25.0 * 40.0 / (4.0 * 53.5) * 360.0 * 1.775 / 1.937_5;
    near(called(&verdict, "leg bent by prying").nominal, by_hand);
}

//! Shapes by two points or round a point, rows across, planes at half the thickness of a sheet, folds
//! that meet a point in space: against the same written out, or by hand.

use crate::own;
use platewright::geom::Point;
use platewright::geom::Vec2;

fn plate(blank: &str) -> String {
    format!("about = \"x\"\n[face.plate]\nblank = [\n{blank}\n]\n")
}

fn area(own: &str) -> f64 {
    own::one(own).0.flat.region.area()
}

/// As both are: the same area and the same bounds.
fn alike(one: &str, other: &str) {
    let [one, other] = [one, other].map(|text| own::one(text).0.flat.region);
    assert!((one.area() - other.area()).abs() < 1e-6, "{} and {}", one.area(), other.area());
    let [a, b] = [&one, &other].map(|region| region.bounds());
    assert!((a.min - b.min).hypot() < 1e-6 && (a.max - b.max).hypot() < 1e-6, "{a:?} {b:?}");
}

#[test]
fn a_slot_lies_between_the_centres_of_its_ends() {
    let by_points = "{ add = \"slot\", from = [\"10 mm\", \"20 mm\"], to = [\"40 mm\", \"60 mm\"], width = \"16 mm\" },";
    let by_size = "{ add = \"slot\", length = \"66 mm\", width = \"16 mm\", at = [\"25 mm\", \"40 mm\"], rotate = \"atan2(4, 3)\" },";
    alike(&plate(by_points), &plate(by_size));
}

#[test]
fn a_rectangle_lies_between_two_opposite_corners() {
    let by_size = "{ add = \"rectangle\", width = \"50 mm\", height = \"30 mm\", at = [\"15 mm\", \"-5 mm\"], corner = \"4 mm\", rounded = [\"top-left\"] },";
    for (from, to) in
        [(["-10 mm", "-20 mm"], ["40 mm", "10 mm"]), (["40 mm", "-20 mm"], ["-10 mm", "10 mm"])]
    {
        let by_points = format!(
            "{{ add = \"rectangle\", from = {from:?}, to = {to:?}, corner = \"4 mm\", rounded = [\"top-left\"] }},"
        );
        alike(&plate(&by_points), &plate(by_size));
    }
    let flat = "{ add = \"rectangle\", from = [\"0\", \"0\"], to = [\"40 mm\", \"0\"] },";
    let (code, headline) = &own::stopped(&plate(flat))[0];
    assert_eq!(*code, "blank");
    assert_eq!(headline, "`from` and `to` are level with each other, or one above the other");
}

/// Two points and a measure that they give already, or one alone, are not taken.
#[test]
fn what_two_points_say_is_not_said_again() {
    let slot = |keys: &str| {
        let step = format!("{{ add = \"slot\", width = \"16 mm\", {keys} }},");
        own::stopped(&plate(&step)).into_iter().map(|(code, _)| code).collect::<Vec<_>>()
    };
    let both = "from = [\"0\", \"0\"], to = [\"40 mm\", \"0\"]";
    assert_eq!(slot(&format!("{both}, length = \"90 mm\"")), ["wrong-kind"]);
    assert_eq!(slot(&format!("{both}, rotate = \"90 deg\"")), ["wrong-kind"]);
    assert_eq!(slot("from = [\"0\", \"0\"]"), ["missing-key"]);
}

/// Three arms about a hub that is not the origin, and a weld on the edge of the second one.
#[test]
fn a_shape_is_repeated_round_a_point() {
    let hub = "{ add = \"disc\", radius = \"20 mm\", at = [\"5 mm\", \"7 mm\"] },";
    let round = format!(
        "{hub}\n{{ add = \"rectangle\", from = [\"5 mm\", \"2 mm\"], to = [\"65 mm\", \"12 mm\"], around = {{ count = 3, about = [\"5 mm\", \"7 mm\"], start = \"30 deg\" }} }},"
    );
    let mut out = hub.to_owned();
    for (angle, cos, sin) in [
        ("30 deg", 0.75_f64.sqrt(), 0.5),
        ("150 deg", -0.75_f64.sqrt(), 0.5),
        ("270 deg", 0.0, -1.0),
    ] {
        let (x, y) = (5.0 + 30.0 * cos, 7.0 + 30.0 * sin);
        out += &format!(
            "\n{{ add = \"rectangle\", width = \"60 mm\", height = \"10 mm\", at = [\"{x} mm\", \"{y} mm\"], rotate = \"{angle}\" }},"
        );
    }
    alike(&plate(&round), &plate(&out));
    let arm = "{ add = \"polygon\", corners = [[\"0\", \"-5 mm\"], { at = [\"65 mm\", \"-5 mm\"], edge = \"end {number}\" }, [\"65 mm\", \"5 mm\"], [\"0\", \"5 mm\"]], around = { count = \"4\" } },";
    let welded = format!("{}weld = [ {{ edge = \"end 2\", leg = \"3 mm\" }} ]\n", plate(arm));
    let weld = &own::one(&welded).0.part.faces[0].welds[0];
    let end = weld.stretches[0];
    // The second of four is vertical.
    assert!((end.from.y - 65.0).abs() < 1e-9 && (end.to.y - 65.0).abs() < 1e-9, "{end:?}");
    assert!((weld.edge_length() - 10.0).abs() < 1e-9);
}

/// An entry over a list is repeated for each of its values, whose number `{number}` stays.
#[test]
fn openings_of_a_list_are_repeated_round_a_point() {
    let cut = "{ add = \"disc\", radius = \"90 mm\" },\n{ cut = \"disc\", each = { r = [\"40 mm\", \"70 mm\"] }, radius = \"number * 3 mm\", at = [\"r\", \"0\"], around = { count = \"6\" } },";
    let pi = platewright::num::PI;
    let wanted = pi * (8100.0 - 6.0 * (9.0 + 36.0));
    assert!((area(&plate(cut)) - wanted).abs() < 1e-6);
}

#[test]
fn ribs_are_repeated_round_a_point() {
    let rib = "from = [\"10 mm\", \"5 mm\"], to = [\"100 mm\", \"5 mm\"], width = \"9 mm\"";
    let text = format!(
        "{}holes = [ {{ name = \"bore\", at = [\"10 mm\", \"5 mm\"], diameter = \"30 mm\" }} ]\n\
         lighten = [ {{ wall = \"8 mm\", round = \"4 mm\", ribs = [ {{ {rib}, around = {{ count = 5, about = [\"10 mm\", \"5 mm\"] }} }} ] }} ]\n",
        plate("{ add = \"disc\", radius = \"80 mm\", at = [\"10 mm\", \"5 mm\"] },")
    );
    let face = &own::one(&text).0.part.faces[0];
    assert_eq!(face.lightened[0].openings.len(), 5);
    let areas: Vec<f64> = face.lightened[0].openings.iter().map(|o| o.area()).collect();
    assert!(areas.iter().all(|area| (area - areas[0]).abs() < 1e-6), "{areas:?}");
}

/// A shape placed by an edge or a tube is not repeated round a point.
#[test]
fn a_fill_is_not_repeated_round_a_point() {
    let fill =
        "{ add = \"disc\", radius = \"20 mm\" },\n{ fill = \"3 mm\", around = { count = \"4\" } },";
    let found = own::stopped(&plate(fill));
    assert_eq!((found.len(), found[0].0), (1, "wrong-kind"), "{found:?}");
}

/// Slots side by side, whichever way the row runs.
#[test]
fn the_slots_of_a_row_lie_across_it() {
    let row = |keys: &str| {
        format!(
            "{}holes = [ {{ name = \"lock\", diameter = \"8 mm\", slot = \"30 mm\", row = {{ count = \"4\", pitch = \"15 mm\", across = true }}, {keys} }} ]\n",
            plate("{ add = \"rectangle\", width = \"120 mm\", height = \"120 mm\" },")
        )
    };
    for (keys, [wide, high]) in
        [("at = [\"0\", \"5 mm\"]", [53.0, 30.0]), ("rotate = \"90 deg\"", [30.0, 53.0])]
    {
        let (solved, _) = own::one(&row(keys));
        let all = solved.flat.holes.iter().map(|hole| hole.outline.bounds());
        let all = all.reduce(|a, b| a.and(b)).expect("there are four");
        assert!((all.width() - wide).abs() < 1e-9 && (all.height() - high).abs() < 1e-9, "{all:?}");
    }
}

/// The tab lies in the plane of the tube's bend: at half its thickness the cut is the same
/// as half a thickness higher by its top side, and not as in the plane of the top side.
#[test]
fn a_face_may_lie_in_its_plane_at_half_its_thickness() {
    let plate = |z: &str, middle: &str| {
        format!(
            "about = \"x\"\n[tube.rail]\nfrom = [\"-200 mm\", \"0\", \"0\"]\nto = [\"200 mm\", \"0\", \"0\"]\noutside = \"8 mm\"\n\
             [face.plate]\non = {{ origin = [\"0\", \"0\", \"{z}\"], x = [\"9 mm\", \"0\", \"{z}\"], side = [\"0\", \"9 mm\", \"{z}\"]{middle} }}\n\
             blank = [ {{ add = \"rectangle\", from = [\"-50 mm\", \"0\"], to = [\"50 mm\", \"40 mm\"] }}, {{ cut = \"tube\", tube = \"rail\" }} ]\n"
        )
    };
    alike(&plate("0 mm", ", centred = true"), &plate("thickness / 2", ""));
    // The radius of 4 mm where it is cut: half a thickness of 3 mm off, or at the axis.
    let high = |text: &str| own::one(text).0.flat.region.bounds().height();
    assert!((high(&plate("0 mm", ", centred = true")) - 36.0).abs() < 1e-6);
    assert!((high(&plate("3 mm", "")) - 36.0).abs() < 1e-6, "its sheet reaches down to the axis");
}

/// The corner of a cube: three points 100 mm out along its edges. The wall is an equilateral
/// triangle of sides 100 √2 mm that leans over by 180° less 54.736°.
#[test]
fn a_fold_meets_a_point_in_space() {
    let text = "about = \"x\"\n\
        [points]\nA = [\"0\", \"100 mm\"]\nB = [\"100 mm\", \"0\"]\nC = [\"0\", \"0\", \"100 mm\"]\ntop = { laid = \"C\", over = [\"A\", \"B\"] }\n\
        [face.floor]\nblank = [ { add = \"polygon\", corners = [[\"0\", \"0\"], \"B\", \"top\", \"A\"] } ]\n\
        [bend.fold]\nacross = \"floor\"\nline = [\"A\", \"B\"]\nmeets = \"C\"\nto = \"wall\"\n";
    let made = |text: &str| {
        let made = own::solve(text, "3 mm", "waterjet");
        made.map(|(mut solved, _)| solved.remove(0)).map_err(|found| found[0].headline.clone())
    };
    let angle = |text: &str| made(text).map(|solved| solved.part.bends[0].bend.angle().degrees());
    let wanted = 180.0 - 54.735_610_317;
    assert!((angle(text).unwrap() - wanted).abs() < 1e-6);
    let solved = made(text).unwrap();
    let high = 100.0 * 1.5_f64.sqrt() / 2.0_f64.sqrt();
    let top = Point::new(50.0 + high, 50.0 + high);
    let has = |at: Point| {
        solved.flat.region.outer().vertices().iter().any(|v| (v.at - at).hypot() < 1e-6)
    };
    assert!(has(top), "{top:?} of {:?}", solved.flat.region.outer().vertices());
    // In the opposite direction the line has the wall on its right: the moving side is given.
    let other = text.replace("line = [\"A\", \"B\"]", "line = [\"B\", \"A\"]\nmoves = \"top\"");
    assert!((angle(&other).unwrap() - wanted).abs() < 1e-6);
    // Straight above the line it makes a square corner; below the face it is bent down.
    let to = |c: &str| text.replace("[\"0\", \"0\", \"100 mm\"]", c);
    assert!((angle(&to("[\"50 mm\", \"50 mm\", \"100 mm\"]")).unwrap() - 90.0).abs() < 1e-9);
    let below = to("[\"0\", \"0\", \"-100 mm\"]");
    assert!(angle(&below).unwrap_err().ends_with("below the face"));
    assert!((angle(&format!("{below}side = \"down\"\n")).unwrap() - wanted).abs() < 1e-6);
    let on = to("[\"50 mm\", \"50 mm\", \"0 mm\"]");
    assert_eq!(angle(&on).unwrap_err(), "`C` is on the line it is swung about");
}

/// A shape in metal that is there already does nothing; one that names an edge does.
#[test]
fn metal_that_is_there_already_is_found() {
    let found = |step: &str| {
        let blank =
            format!("{{ add = \"rectangle\", width = \"80 mm\", height = \"60 mm\" }},\n{step}");
        let (solved, found) = own::one(&plate(&blank));
        let idle: Vec<&str> =
            found.iter().filter(|f| f.code == "idle-step").map(|f| f.headline.as_str()).collect();
        (solved.flat.region.area(), idle.join("; "))
    };
    let said = "this `add` changes nothing: face `plate` has metal there already";
    assert_eq!(found("{ add = \"disc\", radius = \"9 mm\" },"), (4800.0, said.to_owned()));
    assert_eq!(found("{ add = \"disc\", radius = \"9 mm\", at = [\"38 mm\", \"0\"] },").1, "");
    assert_eq!(found("{ add = \"rectangle\", width = \"80 mm\", height = \"60 mm\" },").1, "");
}

/// Each fold line of a set lies at its own edge.
#[test]
fn repeated_fold_lines_follow_edges_of_their_own() {
    let text = "about = \"x\"\n[face.plate]\nblank = [\n\
        { add = \"rectangle\", width = \"60 mm\", height = \"60 mm\" },\n\
        { add = \"polygon\", corners = [[\"0\", \"-20 mm\"], { at = [\"80 mm\", \"-20 mm\"], edge = \"ear {number}\" }, [\"80 mm\", \"20 mm\"], [\"0\", \"20 mm\"]], around = { count = \"4\" } },\n]\n\
        [bend.ear]\neach = { n = \"numbers(4)\" }\nacross = \"plate\"\nline = { edge = \"ear {number}\", outside = \"40 mm\" }\nto = \"ear\"\nangle = \"90 deg\"\n";
    let (solved, _) = own::one(text);
    let names: Vec<&str> = solved.part.bends.iter().map(|bend| bend.name.as_str()).collect();
    assert_eq!(names, ["ear 1", "ear 2", "ear 3", "ear 4"]);
    let mut middles: Vec<Point> = solved.flat.bends.iter().map(|b| b.line.point_at(0.5)).collect();
    let centre = middles.iter().fold(Vec2::ZERO, |sum, p| sum + p.to_vec2()) / 4.0;
    middles.iter_mut().for_each(|p| *p -= centre);
    // To the mould line 40 mm, and half the deduction of 5.756 mm less to the middle of the bend.
    let far = 80.0 - (40.0 - 5.756_085 / 2.0);
    for (middle, wanted) in middles.iter().zip([(far, 0.0), (0.0, far), (-far, 0.0), (0.0, -far)]) {
        assert!((*middle - Point::from(wanted)).hypot() < 1e-4, "{middle:?}, not {wanted:?}");
    }
}

/// A measure of a member of a repeated bend is of that member: by its name, with its angle.
#[test]
fn what_was_measured_of_a_repeated_bend_is_of_that_member() {
    let comb = "about = \"x\"\n[inputs]\nangles = { kind = \"angles\", default = [\"40 deg\", \"60 deg\", \"80 deg\"], about = \"of the lugs\" }\n\
        [face.comb]\nblank = [ { add = \"polygon\", corners = [ [\"120 mm\", \"40 mm\"], [\"0\", \"40 mm\"], { each = { a = \"angles\" }, at = [\"40 mm * (number - 1)\", \"0\"], edge = \"lug {number}\" }, [\"120 mm\", \"0\"] ] },\n\
        { cut = \"rectangle\", each = { a = \"rest(angles)\" }, width = \"4 mm\", height = \"24 mm\", at = [\"40 mm * number\", \"0\"] } ]\n\
        [face.lug]\nblank = [ { add = \"flange\", height = \"28 mm\" } ]\n\
        [bend]\nlug = { each = { a = \"angles\" }, on = \"comb.lug {number}\", to = \"lug\", angle = \"a\" }\n";
    let asked = |of: &str, is: &str| {
        let job = format!(
            "process = \"waterjet\"\nshop = \"shop.toml\"\n[[sheet]]\nname = \"steel\"\nmaterial = \"S235\"\nthickness = \"3 mm\"\nstock = []\n\
             [[part]]\nrecipe = \"own\"\nname = \"comb\"\nsheet = \"steel\"\n\
             [[as_built]]\npart = \"comb\"\nwhat = \"angle\"\nof = \"{of}\"\nis = \"{is}\"\n"
        );
        let mut sources = platewright::diag::Sources::default();
        let (job, (solved, _)) = own::asked(comb, &job, &mut sources).expect("it is made");
        platewright::as_built::found(&job, &solved)
    };
    for (of, is, wanted) in
        [("lug 1", "41 deg", 40.0), ("lug 2", "61 deg", 60.0), ("lug 3", "79 deg", 80.0)]
    {
        let found = asked(of, is).expect("it can be").expect("it was measured");
        let measure = &found.measures[0];
        assert!((measure.asked - wanted).abs() < 1e-6, "{of}: {}", measure.asked);
        assert!(measure.words.contains(of), "{}", measure.words);
    }
    // The name of the set alone is of no bend.
    let found = asked("lug", "60 deg").expect_err("which of them?");
    let help = found[0].help.as_deref().unwrap_or_default();
    assert!(help.contains("lug 1, lug 2, lug 3"), "{help}");
}

/// An eye that closes as far as it may is clear, with any straight end; a degree more is not.
#[test]
fn an_eye_closes_to_half_a_thickness() {
    let leaf = |radius: f64, end: f64, more: f64| {
        format!(
            "about = \"x\"\n[face.leaf]\nblank = [ {{ add = \"rectangle\", width = \"60 mm\", height = \"90 mm\" }} ]\n\
             [face.tail]\nblank = [ {{ add = \"flange\", height = \"{end} mm\" }} ]\n\
             [bend.eye]\non = \"leaf.top\"\nto = \"tail\"\nform = \"rolled\"\nradius = \"{radius} mm\"\nangle = \"eye({radius} mm, {end} mm, thickness) + {more} deg\"\n"
        )
    };
    for (radius, end) in [(6.3, 6.0), (12.0, 6.0), (12.0, 8.0), (25.0, 6.5), (9.0, 30.0)] {
        let codes = |more: f64| {
            let (_, found) = own::solve(&leaf(radius, end, more), "3 mm", "laser")
                .unwrap_or_else(|found| panic!("{radius}, {end}: {}", found[0].headline));
            found.iter().filter(|f| f.code == "rolled-bend").count()
        };
        assert_eq!((codes(0.0), codes(1.0)), (0, 1), "{radius}, {end}");
    }
}

/// A tongue at a point beside its edge, on a base and on a flange, each on its own piece of the
/// edge left by the ones before.
#[test]
fn a_tongue_has_a_place_along_its_edge() {
    let rib = "{ add = \"rectangle\", from = [\"0\", \"0\"], to = [\"200 mm\", \"40 mm\"] },";
    let tongues = "{ add = \"tongue\", each = { x = [\"30 mm\", \"160 mm\", \"85 mm\"], l = [\"20 mm\", \"16 mm\", \"24 mm\"] }, edge = \"top\", at = [\"x\", \"35 mm\"], width = \"l\" },";
    let (solved, _) = own::one(&plate(&format!("{rib}\n{tongues}")));
    let made: Vec<[f64; 3]> = solved.part.faces[0]
        .tongues
        .iter()
        .map(|tongue| tongue.bounds())
        .map(|b| [b.centre().x, b.width(), b.max.y])
        .collect();
    let wanted = [[30.0, 20.0, 43.0], [160.0, 16.0, 43.0], [85.0, 24.0, 43.0]];
    for (made, wanted) in made.iter().zip(wanted) {
        let off = made.iter().zip(wanted).map(|(a, b)| (a - b).abs()).fold(0.0, f64::max);
        assert!(off < 1e-9, "{made:?}, not {wanted:?}");
    }
    assert_eq!(made.len(), 3);
    let flange = "about = \"x\"\n[face.base]\nblank = [ { add = \"rectangle\", width = \"100 mm\", height = \"60 mm\" } ]\n[face.up]\nblank = [ { add = \"flange\", height = \"50 mm\" }, { add = \"tongue\", edge = \"top\", at = [\"-20 mm\", \"50 mm\"], width = \"12 mm\" } ]\n[bend]\nup = { on = \"base.top\", to = \"up\", angle = \"90 deg\" }\n";
    let (solved, _) = own::one(flange);
    let tongue = solved.part.faces[1].tongues[0].bounds();
    assert!((tongue.centre().x + 20.0).abs() < 1e-9 && (tongue.width() - 12.0).abs() < 1e-9);
}

#[test]
fn a_tongue_beside_no_edge_is_refused() {
    let with = |keys: &str| {
        let rib = "{ add = \"rectangle\", from = [\"0\", \"0\"], to = [\"200 mm\", \"40 mm\"] },";
        let tongue = format!("{{ add = \"tongue\", edge = \"top\", width = \"20 mm\", {keys} }},");
        own::stopped(&plate(&format!("{rib}\n{tongue}"))).remove(0)
    };
    let past = "the tongue is 12 mm past the end of edge `top`".to_owned();
    assert_eq!(with("at = [\"212 mm\", \"40 mm\"]"), ("tongue", past.clone()));
    assert_eq!(with("at = [\"-12 mm\", \"0\"]"), ("tongue", past));
    let (code, words) = with("at = [\"50 mm\", \"40 mm\"], count = \"2\"");
    assert_eq!(
        (code, words.as_str()),
        ("wrong-kind", "a tongue with a position, `at`, is a single one")
    );
}

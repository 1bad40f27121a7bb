//! Parts at the pins of links, where both have a place: the pin in the eye, the link in the plane of the ears,
//! and clear of them behind its rod end.

use crate::own;
use platewright::diag::Weight;
use platewright::num::Angle;

/// A point in space, mm.
type Space = [f64; 3];

/// Between the ears for M10, bare: a ball of 14 mm and 0.25 mm of clearance.
const GAP: f64 = 14.25;

/// The thickness of the ears, mm.
const THICK: f64 = 4.0;

/// A job with two ears at the origin, their foot in the plane x = −`reach`; the link is between two points.
fn job([from, to]: [Space; 2], reach: f64, keys: [&str; 2]) -> String {
    let mut points = String::new();
    let mut point = |name: &str, at: Space| {
        points += &format!("{name} = [\"{} mm\", \"{} mm\", \"{} mm\"]\n", at[0], at[1], at[2]);
    };
    point("from", from);
    point("to", to);
    // The top side of each drawing is towards +y.
    for (ear, side) in [("p", GAP / 2.0 + THICK), ("m", -GAP / 2.0)] {
        point(&format!("{ear}o"), [-reach, side, 0.0]);
        point(&format!("{ear}x"), [-reach, side, 100.0]);
        point(&format!("{ear}s"), [100.0 - reach, side, 0.0]);
    }
    let [of_link, given] = keys;
    format!(
        "process = \"waterjet\"\ntape = \"1 mm\"\n[points]\n{points}\
         [[sheet]]\nname = \"4\"\nmaterial = \"S235\"\nthickness = \"4 mm\"\nstock = [ {{ size = [\"900 mm\", \"600 mm\"] }} ]\n\
         [[link]]\nname = \"rod\"\nrod_end = \"M10\"\nfrom = \"from\"\nto = \"to\"\n{of_link}\n\
         [[part]]\nrecipe = \"clevis-plates\"\nname = \"ear\"\nsheet = \"4\"\nlink = \"rod\"\n\
         on = [ {{ origin = \"po\", x = \"px\", side = \"ps\" }}, {{ origin = \"mo\", x = \"mx\", side = \"ms\" }} ]\n\
         given = {{ reach = \"{reach} mm\"{given} }}\n"
    )
}

/// What is said of the ears and the link.
fn found(pins: [Space; 2], keys: [&str; 2]) -> Vec<(Weight, &'static str, String)> {
    of(&job(pins, 30.0, keys))
}

fn of(job: &str) -> Vec<(Weight, &'static str, String)> {
    let found = match own::asked("", job, &mut Default::default()) {
        Ok((_, (_, found))) | Err(found) => found,
    };
    let own = found.into_iter().filter(|f| ["machine-clearance", "link-travel"].contains(&f.code));
    own.map(|f| (f.weight, f.code, f.headline)).collect()
}

/// At the origin, 500 mm long, so many degrees from straight out of the ears, in their plane.
fn turned(degrees: f64) -> [Space; 2] {
    let turned = Angle::from_degrees(degrees);
    let (sin, cos) = (turned.sin(), turned.cos());
    [[0.0; 3], [500.0 * cos, 0.0, 500.0 * sin]]
}

fn one<'a>(found: &'a [(Weight, &'static str, String)]) -> (Weight, &'static str, &'a str) {
    assert_eq!(found.len(), 1, "{found:?}");
    (found[0].0, found[0].1, &found[0].2)
}

/// Straight out, and turned by up to 80°, where it rises from the foot 30 mm below the pin. Held by either end,
/// it is the nearer pin that counts.
#[test]
fn a_link_that_points_out_of_its_ears_is_clear() {
    for degrees in [0.0, 60.0, -60.0, 80.0] {
        assert_eq!(found(turned(degrees), ["", ""]), [], "{degrees}");
        let [from, to] = turned(degrees);
        assert_eq!(found([to, from], ["", ""]), [], "{degrees}");
    }
}

/// Straight back it goes through the foot. At 130° it meets the plane of that 30 · tan 50° = 35.8 mm aside,
/// beyond a foot that is half as wide.
#[test]
fn a_link_does_not_go_through_the_foot_of_its_ears() {
    let back = found(turned(180.0), ["", ""]);
    let (weight, code, said) = one(&back);
    assert_eq!((weight, code), (Weight::Stop, "link-travel"), "{said}");
    assert!(said.starts_with(
        "link `rod` is at 180° about the pin of `ear`, but already touches the plate"
    ));
    let aside = found(turned(130.0), ["", ""]);
    let (weight, code, said) = one(&aside);
    assert_eq!((weight, code), (Weight::Caution, "link-travel"), "{said}");
    assert!(said.contains("is at 130°"), "{said}");
    // The link is clear where it is, and is not where it travels to, nor on its way from there.
    let to = |name: &str, at: &str| {
        job(turned(0.0), 30.0, [&format!("travel = [\"{name}\"]"), ""])
            .replace("[points]\n", &format!("[points]\n{at}\n"))
    };
    let low = to("low", "low = [\"-433.013 mm\", \"0 mm\", \"250 mm\"]");
    assert!(one(&of(&low)).2.contains("is at 150°"), "{:?}", of(&low));
}

/// Square to the ears, and 10° off their plane, where the rod end tilts by 7.4°; 5° are within that.
#[test]
fn a_link_is_in_the_plane_of_its_ears() {
    let lean = |degrees: f64| {
        let turned = Angle::from_degrees(degrees);
        let (sin, cos) = (turned.sin(), turned.cos());
        [[0.0; 3], [500.0 * cos, 500.0 * sin, 0.0]]
    };
    for degrees in [10.0, -10.0, 90.0] {
        let leans = found(lean(degrees), ["", ""]);
        let said = leans.iter().find(|(_, code, _)| *code == "link-travel");
        let Some((weight, _, said)) = said else { panic!("{degrees}: {leans:?}") };
        assert_eq!(*weight, Weight::Stop);
        let wanted = format!("is {}° out of the plane of the ears of `ear`", degrees.abs());
        assert!(said.contains(&wanted) && said.contains("swings only 7."), "{said}");
    }
    assert_eq!(found(lean(5.0), ["", ""]), []);
    // Its swing adds to that.
    let swings = found(lean(5.0), ["swing = \"4 deg\"", ""]);
    assert!(one(&swings).2.contains("is 9° out of the plane"), "{swings:?}");
}

/// The hole is 10.5 mm for a pin of 10 mm, and 1 mm is for measuring: 1.2 mm aside is clear, 3 mm is not, 20
/// and 200 mm are blunders; so are ears round the middle of the tube. Along the pin there is 0.125 mm of play.
#[test]
fn the_pin_of_a_link_is_in_the_eye_of_its_part() {
    let aside = |mm: f64| [[0.0, 0.0, mm], [500.0, 0.0, mm]];
    let along = |mm: f64| [[0.0, mm, 0.0], [500.0, mm, 0.0]];
    for pins in [aside(1.2), along(1.1)] {
        assert_eq!(found(pins, ["", ""]), [], "{pins:?}");
    }
    for pins in [aside(3.0), along(-2.0)] {
        let off = found(pins, ["", ""]);
        let caution = off.iter().find(|(_, _, said)| said.starts_with("the eye of part `ear` is"));
        assert!(caution.is_some_and(|of| of.0 == Weight::Caution), "{off:?}");
    }
    for (mm, said) in
        [(20.0, "is 20 mm off the pin of link `rod`"), (200.0, "is 200 mm off the pin")]
    {
        let off = found(aside(mm), ["", ""]);
        assert!(one(&off).0 == Weight::Stop && one(&off).2.contains(said), "{off:?}");
    }
    let middle = found([[0.0, 0.0, -250.0], [0.0, 0.0, 250.0]], ["", ""]);
    assert!(one(&middle).2.contains("is 250 mm off the pin of link `rod`"), "{middle:?}");
    // Ears of a second link, which has no place.
    let other = found(aside(200.0), ["quantity = 2", ""]);
    assert_eq!(one(&other).0, Weight::Caution, "{other:?}");
    assert!(one(&other).2.starts_with("not judged: whether part `ear` fits its link"), "{other:?}");
}

/// Pins 4 mm along: the shank, 5 mm to either side, touches an ear that is 7.1 mm from the middle. Within its
/// play and 5 mm that is a caution for the pin, and a stop for the shank.
#[test]
fn a_link_is_clear_of_its_ears_behind_its_rod_end() {
    let off = found([[0.0, 4.0, 0.0], [500.0, 4.0, 0.0]], ["", ""]);
    let strikes = off.iter().find(|(_, code, said)| {
        *code == "machine-clearance" && said == "link `rod` touches part `ear` behind its rod end"
    });
    assert!(strikes.is_some_and(|of| of.0 == Weight::Stop), "{off:?}");
    assert!(off.iter().any(|(weight, ..)| *weight == Weight::Caution), "{off:?}");
}

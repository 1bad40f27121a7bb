//! The edge distance of holes that are not round, measured by hand.

use crate::own;
use platewright::diag::Finding;
use platewright::num::Angle;

/// A plate 120 mm wide and 80 mm high about the origin, with one hole.
fn plate(hole: &str) -> Option<Finding> {
    let own = format!(
        "about = \"x\"\n[face.plate]\n\
         blank = [ {{ add = \"rectangle\", width = \"120 mm\", height = \"80 mm\" }} ]\n\
         holes = [ {{ name = \"bolt\", {hole} }} ]\n"
    );
    let (_, found) = own::solve(&own, "3 mm", "laser").expect("nothing stops it");
    found.into_iter().find(|finding| finding.code == "hole-edge")
}

/// A slot for a bolt is as near the edge as the end of its centre line: along the edge, across it
/// and at a slant it is judged like a round hole of its width there.
#[test]
fn a_slot_needs_the_edge_distance_of_a_hole_at_its_end() {
    for (degrees, sine) in [(0.0, 0.0), (30.0, 0.5), (90.0, 1.0), (-90.0, 1.0), (210.0, 0.5)] {
        // 9 mm wide and 29 mm long: 10 mm from its middle to the centre of either end.
        let at = |end: f64| 40.0 - end - 10.0 * sine;
        let slot = |end: f64, what: &str| {
            plate(&format!(
                "at = [\"0\", \"{} mm\"], diameter = \"9 mm\", slot = \"29 mm\", \
                 rotate = \"{degrees} deg\"{what}",
                at(end)
            ))
        };
        assert_eq!(slot(13.51, ", for = \"M8\""), None, "{degrees}°");
        let short = slot(13.25, ", for = \"M8\"").expect("it is too near");
        let headline = "the edge distance of hole `bolt` is 13.25 mm; an M8 needs 13.5 mm";
        assert_eq!(short.headline, headline, "{degrees}°");
        assert!(short.notes[0].contains("1.5 × 9 mm = 13.5 mm, from the centre line"), "{short:?}");
        assert_eq!(short.help.as_deref(), Some("increase the edge distance by 0.25 mm"));
        assert_eq!(slot(13.25, ""), None, "a window");
        assert_eq!(slot(13.25, ", for = \"bearing\""), None);
        assert!(slot(13.25, ", for = \"pin\"").is_some());
    }
}

/// A slot along an arc is measured from its centre line too, wherever on the arc it is nearest, and
/// a hexagon from its centre.
#[test]
fn a_slot_along_an_arc_and_a_hexagon_are_measured_from_their_centres() {
    // Its top is the middle of the arc, 30 mm above the centre of the arc.
    let arc = |from: f64, top: f64| {
        plate(&format!(
            "at = [\"0\", \"{} mm\"], diameter = \"9 mm\", for = \"M8\", \
             arc = {{ radius = \"30 mm\", from = \"{from} deg\", to = \"120 deg\" }}",
            40.0 - top - 30.0
        ))
    };
    assert_eq!(arc(60.0, 13.51), None);
    let short = arc(60.0, 13.0).expect("it is too near").headline;
    assert!(short.contains("is 13 mm; an M8 needs 13.5 mm"), "{short}");
    // From 120° - 10°: the end is nearest, 30 mm · sin 110° above the centre.
    let end = 30.0 * (1.0 - Angle::from_degrees(110.0).sin());
    assert_eq!(arc(110.0, 13.51 - end), None);
    assert!(arc(110.0, 13.45 - end).is_some());
    let hexagon = |middle: f64, what: &str| {
        plate(&format!("at = [\"0\", \"{} mm\"], hexagon = \"13 mm\"{what}", 40.0 - middle))
    };
    assert_eq!(hexagon(19.51, ", for = \"M8\""), None);
    assert!(hexagon(19.45, ", for = \"M8\"").is_some());
    assert_eq!(hexagon(19.45, ""), None);
}

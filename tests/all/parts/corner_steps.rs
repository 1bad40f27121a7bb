//! The steps `fill` and `round`: every corner, those of cut-outs too, and nothing else.

use crate::own;
use platewright::num::PI;

fn plate(steps: &str) -> String {
    format!("about = \"x\"\n[face.plate]\nblank = [ {steps} ]\n")
}

/// The area a rounding of a radius removes from a square corner, mm².
fn corner(radius: f64) -> f64 {
    radius * radius * (1.0 - PI / 4.0)
}

const FRAME: &str = "{ add = \"rectangle\", width = \"100 mm\", height = \"80 mm\" }, \
    { cut = \"rectangle\", width = \"60 mm\", height = \"40 mm\" }, ";

#[test]
fn a_fill_reaches_the_corners_of_a_cut_out_and_a_round_those_of_the_plate() {
    for (step, gained) in [("fill", 4.0 * corner(6.0)), ("round", -4.0 * corner(6.0))] {
        let (solved, found) = own::one(&plate(&format!("{FRAME} {{ {step} = \"6 mm\" }}")));
        assert!(found.is_empty(), "{found:?}");
        let area = solved.flat.region.area();
        assert!((area - (8000.0 - 2400.0 + gained)).abs() < 1e-6, "{step}: {area}");
    }
}

/// A tongue of metal in a cut-out points into it with its two outer corners.
#[test]
fn a_round_reaches_metal_that_points_into_a_cut_out() {
    let tongue = "{ add = \"rectangle\", width = \"12 mm\", height = \"20 mm\", at = [\"0\", \"-12 mm\"] }, ";
    let (solved, _) = own::one(&plate(&format!("{FRAME} {tongue} {{ round = \"3 mm\" }}")));
    let area = solved.flat.region.area();
    assert!((area - (5600.0 + 12.0 * 18.0 - 6.0 * corner(3.0))).abs() < 1e-6, "{area}");
}

#[test]
fn a_named_edge_survives_a_fill_where_it_is_left() {
    let own = "about = \"x\"\n[face.plate]\n\
        blank = [ { add = \"polygon\", corners = [ [\"0\",\"0\"], [\"80 mm\",\"0\"], [\"80 mm\",\"20 mm\"], { at = [\"20 mm\",\"20 mm\"], edge = \"up\" }, [\"20 mm\",\"80 mm\"], [\"0\",\"80 mm\"] ] }, { fill = \"10 mm\" } ]\n\
        holes = [ { name = \"r\", diameter = \"5 mm\", along = { edge = \"up\", count = \"2\", inset = \"8 mm\", ends = \"10 mm\" } } ]\n";
    let (solved, _) = own::one(own);
    let mut at: Vec<_> = solved.flat.holes.iter().map(|h| h.outline.bounds().centre()).collect();
    at.sort_by(|a, b| a.y.total_cmp(&b.y));
    // 10 mm from either end of the remaining edge, which is from y = 30 to 80.
    assert!((at[0].y - 40.0).abs() < 1e-9 && (at[1].y - 70.0).abs() < 1e-9, "{at:?}");
    assert!(at.iter().all(|p| (p.x - 12.0).abs() < 1e-9), "{at:?}");
}

const LUGS: &str = "{ add = \"rectangle\", width = \"100 mm\", height = \"20 mm\" }, \
    { add = \"rectangle\", width = \"20 mm\", height = \"40 mm\", at = [\"-20 mm\", \"20 mm\"] }, \
    { add = \"rectangle\", width = \"20 mm\", height = \"40 mm\", at = [\"20 mm\", \"20 mm\"] }, ";

#[test]
fn a_fill_closes_no_gap_and_a_round_takes_no_lug() {
    let found = own::stopped(&plate(&format!("{LUGS} {{ fill = \"12 mm\" }}")));
    assert_eq!(found.len(), 1, "{found:?}");
    assert!(found[0].1.starts_with("a fill of 12 mm would close a gap"), "{found:?}");
    let found = own::stopped(&plate(&format!("{LUGS} {{ round = \"11 mm\" }}")));
    assert!(found[0].1.starts_with("a round of 11 mm would remove metal"), "{found:?}");
    // As large as the gap takes, within a hair.
    let (solved, _) = own::one(&plate(&format!("{LUGS} {{ fill = \"9.9 mm\" }}")));
    let wanted = 2000.0 + 2.0 * 20.0 * 30.0 + 4.0 * corner(9.9);
    assert!((solved.flat.region.area() - wanted).abs() < 1e-6);
}

#[test]
fn a_step_that_changes_nothing_says_so() {
    let (_, found) =
        own::one(&plate("{ add = \"disc\", radius = \"30 mm\" }, { fill = \"6 mm\" }"));
    assert_eq!(found.len(), 1, "{found:?}");
    assert_eq!(found[0].code, "idle-step");
    assert!(found[0].headline.contains("`fill` changes nothing"), "{found:?}");
    let (_, found) =
        own::one(&plate("{ add = \"disc\", radius = \"30 mm\" }, { round = \"6 mm\" }"));
    assert!(found[0].headline.contains("`round` changes nothing"), "{found:?}");
    // A radius of 0 has no effect.
    let (_, found) =
        own::one(&plate("{ add = \"disc\", radius = \"30 mm\" }, { fill = \"0 mm\" }"));
    assert!(found.is_empty(), "{found:?}");
}

/// A round hole smaller than the fill has no corner; an arc that was drawn keeps its radius.
#[test]
fn what_is_round_already_is_left_alone() {
    let steps = format!(
        "{FRAME} {{ cut = \"disc\", radius = \"3 mm\", at = [\"40 mm\", \"0\"] }}, {{ fill = \"6 mm\" }}"
    );
    let (solved, _) = own::one(&plate(&steps));
    let wanted = 5600.0 + 4.0 * corner(6.0) - 9.0 * PI;
    assert!((solved.flat.region.area() - wanted).abs() < 1e-6);
}

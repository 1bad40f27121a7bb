//! Removing metal from the ends of an edge moves nothing that is drawn from it.

use crate::own;
use platewright::geom::Point;

/// A base whose upper edge carries a flange with a hole above the middle of the edge.
fn bracket(corner: &str, step: &str) -> String {
    format!(
        r#"
about = "x"
[face.base]
blank = [
  {{ add = "polygon", corners = [ ["-50 mm", "-40 mm"], ["50 mm", "-40 mm"], {{ at = ["50 mm", "0"], {corner} edge = "top" }}, ["-50 mm", "0"] ] }},
  {step}
]
[face.leg]
blank = [ {{ add = "rectangle", width = "60 mm", height = "36 mm", at = ["0", "18 mm"] }} ]
holes = [ {{ name = "leg", at = ["0", "22 mm"], diameter = "9 mm" }} ]
[bend.heel]
on = "base.top"
to = "leg"
angle = "90 deg"
"#
    )
}

/// Where the hole of the flange is in the flat, in the coordinates of the base.
fn hole(own: &str) -> Point {
    let (solved, _) = own::one(own);
    solved.flat.holes[0].outline.bounds().centre()
}

#[test]
fn a_flange_stays_where_it_was_drawn_when_its_edge_is_trimmed() {
    let whole = hole(&bracket("", ""));
    assert!(whole.x.abs() < 1e-9, "{whole:?}");
    let notch = |x: &str| {
        format!(
            "{{ cut = \"rectangle\", width = \"36 mm\", height = \"30 mm\", at = [\"{x}\", \"0\"] }}"
        )
    };
    let trimmed = [
        bracket("", &notch("50 mm")),
        bracket("", &notch("-50 mm")),
        bracket("chamfer = \"16 mm\",", ""),
        bracket("round = \"16 mm\",", ""),
        bracket("clip = \"12 mm\",", ""),
        bracket("", "{ round = \"5 mm\" }"),
        bracket("", "{ add = \"disc\", radius = \"6 mm\", at = [\"46 mm\", \"0\"] }"),
    ];
    for own in trimmed {
        assert!((hole(&own) - whole).hypot() < 1e-9, "{:?} {own}", hole(&own));
    }
}

#[test]
fn the_left_hand_of_a_trimmed_flange_is_the_mirror_of_the_right_one() {
    let own = bracket("chamfer = \"16 mm\",", "").replace("about", "mirror = true\nabout");
    let (solved, _) = own::solve(&own, "3 mm", "waterjet").unwrap();
    assert_eq!(solved.len(), 2);
    let at = |i: usize| solved[i].flat.holes[0].outline.bounds().centre();
    assert!(at(0).x.abs() < 1e-9 && (at(0) - at(1)).hypot() < 1e-9);
    let area = |i: usize| solved[i].flat.region.area();
    assert!((area(0) - area(1)).abs() < 1e-6);
}

/// The slots of the floor were drawn for the rib with a square corner.
#[test]
fn tongues_stay_where_they_were_drawn_when_their_edge_is_trimmed() {
    let rib = |corner: &str| {
        format!(
            r#"
about = "x"
[face.rib]
blank = [
  {{ add = "polygon", corners = [ {{ at = ["-40 mm", "0"], {corner} edge = "foot" }}, ["40 mm", "0"], ["40 mm", "50 mm"], ["-40 mm", "50 mm"] ] }},
  {{ add = "tongue", edge = "foot", count = "2", width = "12 mm", span = "44 mm" }},
]
"#
        )
    };
    let lowest = |own: &str| {
        let (solved, _) = own::one(own);
        let tips = solved.flat.region.outer().edges().filter(|e| e.from.y < -2.9 && e.to.y < -2.9);
        tips.map(|e| e.from.midpoint(e.to).x).collect::<Vec<_>>()
    };
    let square = lowest(&rib(""));
    assert_eq!(square.len(), 2);
    let clipped = lowest(&rib("clip = \"6 mm\","));
    assert!(square.iter().zip(&clipped).all(|(a, b)| (a - b).abs() < 1e-9), "{clipped:?}");
}

/// An opening across a bend cuts its edge in two. Either remedy of the help is followed.
#[test]
fn an_opening_across_a_bend_is_refused_with_remedies_that_hold() {
    let cut = |y: &str| {
        format!(
            "{{ cut = \"rectangle\", width = \"20 mm\", height = \"10 mm\", at = [\"0\", \"{y}\"] }}"
        )
    };
    let found = own::solve(&bracket("", &cut("0")), "3 mm", "waterjet").unwrap_err();
    let finding = found.iter().find(|f| f.headline.contains("edge `top` is in 2 pieces")).unwrap();
    let help = finding.help.as_deref().unwrap();
    for remedy in ["end the cut before the edge", "a polygon whose corners name the pieces"] {
        assert!(help.contains(remedy), "{help}");
    }
    assert!(own::solve(&bracket("", &cut("-20 mm")), "3 mm", "waterjet").is_ok());
    let named = r#"
about = "x"
[face.base]
blank = [ { add = "polygon", corners = [
  ["-35 mm", "-40 mm"], ["35 mm", "-40 mm"], { at = ["35 mm", "0"], edge = "right" }, ["10 mm", "0"],
  ["10 mm", "-5 mm"], ["-10 mm", "-5 mm"], { at = ["-10 mm", "0"], edge = "left" }, ["-35 mm", "0"],
] } ]
[face.right]
blank = [ { add = "rectangle", width = "25 mm", height = "36 mm", at = ["0", "18 mm"] } ]
[face.left]
blank = [ { add = "rectangle", width = "25 mm", height = "36 mm", at = ["0", "18 mm"] } ]
[bend.right]
on = "base.right"
to = "right"
angle = "90 deg"
[bend.left]
on = "base.left"
to = "left"
angle = "90 deg"
"#;
    let (solved, _) = own::solve(named, "3 mm", "waterjet").unwrap();
    assert_eq!(solved[0].part.bends.len(), 2);
}

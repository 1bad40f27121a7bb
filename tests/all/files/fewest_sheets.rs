//! Drawings whose last sheet had next to nothing on it: a long flat and a trough.

use crate::files::drawn::text;
use crate::files::drawn::words;
use crate::files::shop_drawings::DRAWINGS;
use crate::files::shop_drawings::solve;
use platewright::drawings;
use platewright::paper::Format;
use platewright::paper::Page;
use platewright::paper::Pages;
use platewright::paper::Words;

/// The drawing of the only part of a job, of a recipe or of one of the test's own.
fn drawing(thickness: &str, recipe: &str, own: &str) -> Pages {
    let job = format!(
        "process = \"laser\"\ncoating = \"0.08 mm\"\nshop = \"shop.toml\"\n\n[[sheet]]\nname = \"steel\"\n\
         material = \"S235\"\nthickness = \"{thickness}\"\nstock = []\n\n\
         [[part]]\nrecipe = \"{recipe}\"\nname = \"one\"\nsheet = \"steel\"\n"
    );
    let (job, all) = solve(&job, own);
    drawings::shop_drawing(&job, &all, &all[0], Format::A4)
}

/// On which sheets words are.
fn sheets(drawing: &Pages, wanted: &str) -> Vec<usize> {
    let has = |i: &usize| words(&drawing.pages[*i - 1]).iter().any(|w| w.text == wanted);
    (1..=drawing.pages.len()).filter(has).collect()
}

/// The scale in the title block of the first sheet.
fn scale(drawing: &Pages) -> String {
    let all = words(&drawing.pages[0]);
    let scale = all.iter().find(|w| w.text.starts_with("1:") || w.text.ends_with(":1"));
    scale.map_or_else(String::new, |w| w.text.clone())
}

const RAIL: &str = r#"about = "x"
[face.web]
blank = [ { add = "polygon", corners = [ ["-450 mm", "-30 mm"], ["450 mm", "-30 mm"], { at = ["450 mm", "30 mm"], edge = "top" }, ["-450 mm", "30 mm"] ] } ]
holes = [ { name = "screw", at = ["0", "-6 mm"], diameter = "9 mm", row = { count = "7", pitch = "140 mm" } } ]
[face.flange]
blank = [ { add = "flange", height = "30 mm" } ]
[bend.heel]
on = "web.top"
to = "flange"
angle = "90 deg"
"#;

/// The flat lies across the sheet, no higher than it needs: its only bend and the tables are below it.
#[test]
fn a_long_angle_is_on_one_sheet() {
    let rail = drawing("3 mm", "own", RAIL);
    assert_eq!(rail.pages.len(), 1, "{}", text(&rail));
    assert_eq!(scale(&rail), "1:5");
    assert_eq!(sheets(&rail, "Bends in order"), [1]);
}

pub(crate) const TROUGH: &str = r#"about = "x"
[face.floor]
blank = [ { add = "polygon", corners = [ { at = ["-30 mm", "-300 mm"], edge = "front" }, { at = ["30 mm", "-300 mm"], edge = "right" }, { at = ["30 mm", "300 mm"], edge = "back" }, { at = ["-30 mm", "300 mm"], edge = "left" } ] } ]
holes = [ { name = "drain", at = ["0", "-250 mm"], diameter = "9 mm" } ]
[face.left]
blank = [ { add = "flange", height = "40 mm" } ]
[face.right]
blank = [ { add = "flange", height = "40 mm" } ]
holes = [ { name = "side", at = ["0", "22 mm"], diameter = "6.6 mm", row = { count = "4", pitch = "150 mm" } } ]
[face.back]
blank = [ { add = "flange", height = "30 mm" } ]
[face.front]
blank = [ { add = "flange", height = "30 mm" } ]
[bend.left]
on = "floor.left"
to = "left"
angle = "90 deg"
relief = "round"
[bend.right]
on = "floor.right"
to = "right"
angle = "90 deg"
relief = "round"
[bend.back]
on = "floor.back"
to = "back"
angle = "60 deg"
relief = "round"
[bend.front]
on = "floor.front"
to = "front"
angle = "60 deg"
relief = "round"
"#;

/// The flat, the formed part and the tables are on an upright sheet, all bends on the next.
#[test]
fn a_trough_has_its_formed_part_beside_its_flat() {
    let trough = drawing("1.5 mm", "own", TROUGH);
    assert_eq!(trough.pages.len(), 2, "{}", text(&trough));
    assert!(trough.size[1] > trough.size[0], "upright");
    assert_eq!(scale(&trough), "1:5");
    let all = ["Formed part", "Formed dimensions, outside", "Holes on the formed part"];
    for heading in all {
        assert_eq!(sheets(&trough, heading), [1], "{heading}");
    }
    assert_eq!(sheets(&trough, "Bends in order"), [2]);
}

/// How much of a further sheet is taken: from its top to the lowest words of either half, as a share of
/// both.
fn share_taken(page: &Page, [width, height]: [f64; 2]) -> f64 {
    let middle = f64::midpoint(20.0, width - 10.0);
    let all = words(page);
    let label = all.iter().find(|w| w.text == "Part").expect("it has a title block");
    let [floor, top] = [label.bounds().max.y + 1.0, height - 10.0];
    let halves = [true, false].map(|left| {
        let is_here = |w: &&&Words| (w.at.x < middle) == left && w.at.x < width - 11.0;
        let lowest = all.iter().filter(is_here).map(|w| w.at.y).filter(|y| *y > floor);
        top - lowest.fold(top, f64::min)
    });
    halves.iter().sum::<f64>() / (2.0 * (top - floor))
}

/// A part of one or two bends, or with a load, has no sheet with little on it behind the first.
#[test]
fn no_further_sheet_of_a_simple_part_is_nearly_empty() {
    let recipes = [
        ("2.3 mm", "channel"),
        ("3 mm", "channel"),
        ("3 mm", "angle"),
        ("3 mm", "tab-joggle"),
        ("2 mm", "gusset-flanged"),
        ("3 mm", "zed"),
        ("2 mm", "hat"),
    ];
    let of = |(thickness, recipe): (&str, &str)| {
        (format!("{recipe} of {thickness}"), drawing(thickness, recipe, ""))
    };
    let own: Vec<(String, Pages)> = recipes.into_iter().map(of).collect();
    let mut empty = Vec::new();
    let simple = ["channel-boom-guide", "tab-tow", "hat-cross-rail"];
    let is_simple = |(name, _): &&(String, Pages)| {
        name.strip_prefix("demo, A4: ").is_some_and(|part| simple.contains(&part))
    };
    for (name, drawing) in own.iter().chain(DRAWINGS.iter().filter(is_simple)) {
        for (page, i) in drawing.pages.iter().zip(1..).skip(1) {
            let share = share_taken(page, drawing.size);
            if share < 0.33 {
                empty.push(format!("{name}, sheet {i} of {}: {share:.2}", drawing.pages.len()));
            }
        }
    }
    assert!(empty.is_empty(), "{empty:#?}");
}

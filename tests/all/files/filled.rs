//! How sheets are filled: nothing split, no panel left empty, no sheet for a few words; and signs
//! that lead to their features.

use crate::files::drawn;
use crate::files::drawn::lines;
use crate::files::drawn::text;
use crate::files::drawn::words;
use crate::files::shop_drawings::DRAWINGS;
use crate::files::shop_drawings::solve;
use platewright::drawings;
use platewright::geom::Bounds;
use platewright::geom::Point;
use platewright::paper::Format;
use platewright::paper::Item;
use platewright::paper::Page;
use platewright::paper::Pages;
use platewright::paper::Pen;
use platewright::paper::Weight;
use platewright::paper::Words;

fn of(name: &str) -> &'static Pages {
    let found = DRAWINGS.iter().find(|(of, _)| of == name);
    &found.unwrap_or_else(|| panic!("there is no {name}")).1
}

/// The drawing of the only part of a job of one recipe.
fn drawing(units: &str, thickness: &str, recipe: &str, own: &str, format: Format) -> Pages {
    let job = format!(
        "units = \"{units}\"\nprocess = \"laser\"\nshop = \"shop.toml\"\n\n[[sheet]]\nname = \"steel\"\n\
         material = \"S235\"\nthickness = \"{thickness}\"\nstock = []\n\n\
         [[part]]\nrecipe = \"{recipe}\"\nname = \"one\"\nsheet = \"steel\"\n"
    );
    let (job, all) = solve(&job, own);
    drawings::shop_drawing(&job, &all, &all[0], format)
}

/// A zed of 900 mm: its flat lies across the sheet, its bends have no room below.
const RAIL: &str = r#"about = "x"
[face.web]
blank = [ { add = "polygon", corners = [ { at = ["-450 mm", "-35 mm"], edge = "lower" }, ["450 mm", "-35 mm"], { at = ["450 mm", "35 mm"], edge = "upper" }, ["-450 mm", "35 mm"] ] } ]
holes = [ { name = "web", at = ["0", "0"], diameter = "7 mm", row = { count = "7", pitch = "130 mm" } } ]
[face.lower]
blank = [ { add = "rectangle", width = "900 mm", height = "30 mm", at = ["0", "15 mm"] } ]
[face.upper]
blank = [ { add = "rectangle", width = "900 mm", height = "35 mm", at = ["0", "17.5 mm"] } ]
holes = [ { name = "upper", at = ["-300 mm", "21 mm"], diameter = "9 mm", slot = "24 mm", row = { count = "2", pitch = "150 mm" } } ]
[bend.lower]
on = "web.lower"
to = "lower"
angle = "90 deg"
side = "down"
[bend.upper]
on = "web.upper"
to = "upper"
angle = "75 deg"
"#;

/// The uppermost words of either half of a page above its title block.
fn uppermost(page: &Page, [width, height]: [f64; 2]) -> Vec<String> {
    let middle = f64::midpoint(20.0, width - 10.0);
    let all = words(page);
    let within = all.iter().filter(|w| w.at.x > 20.0 && w.at.x < width - 11.0);
    let within: Vec<_> = within.filter(|w| w.at.y < height - 12.0 && w.at.y > 62.0).collect();
    let halves = [true, false].map(|left| {
        let half = within.iter().filter(|w| (w.at.x < middle) == left);
        // The scale of what is below a heading is beside the heading.
        let half = half.filter(|w| !w.text.contains("not to scale"));
        let highest = half.max_by(|a, b| a.at.y.total_cmp(&b.at.y));
        // A size of a picture that is wider than its half.
        let is_size = |w: &Words| w.text.parse::<f64>().is_ok();
        highest.filter(|w| w.weight == Weight::Plain && !is_size(w))
    });
    halves.into_iter().flatten().map(|w| w.text.clone()).collect()
}

#[test]
fn what_goes_on_behind_begins_with_a_heading() {
    let mut torn = Vec::new();
    for (name, drawing) in DRAWINGS.iter() {
        for (page, i) in drawing.pages.iter().zip(1..).skip(1) {
            let found = uppermost(page, drawing.size);
            torn.extend(found.into_iter().map(|words| format!("{name}, sheet {i}: {words}")));
        }
    }
    assert!(torn.is_empty(), "{torn:#?}");
}

#[test]
fn the_ears_with_a_load_take_two_sheets() {
    assert_eq!(of("demo, A4: ears-tie-rod").pages.len(), 2);
}

#[test]
fn no_panel_below_a_long_flat_is_empty() {
    let rail = drawing("mm", "1.5 mm", "own", RAIL, Format::A4);
    let [width, _] = rail.size;
    let right = words(&rail.pages[0]);
    let right = right.iter().filter(|w| w.at.x > width - 117.0 && w.at.x < width - 12.0);
    let right: Vec<&str> =
        right.filter(|w| w.at.y > 40.0 && w.at.y < 115.0).map(|w| w.text.as_str()).collect();
    assert!(right.contains(&"Formed dimensions, outside"), "{right:?}");
    let steps = rail.pages.iter().skip(1).flat_map(words);
    let steps = steps.filter(|w| w.text.starts_with("Bends in order")).count();
    assert!(steps > 0, "{}", text(&rail));
}

/// The picture of the hat has room beside its narrow flat, or the column of the bends: 2 mm of it are 1 mm
/// on paper or more.
#[test]
fn the_formed_part_is_seen_well_beside_a_narrow_flat() {
    let hat = of("demo, A4: hat-cross-rail");
    let [width, height] = hat.size;
    let heads = words(&hat.pages[0]);
    let folded = heads.iter().find(|w| w.text == "Formed part").expect("it has a panel").at.x;
    let wide = drawn::items(&hat.pages[0]).into_iter().filter_map(|item| match item {
        Item::Line(Pen::Wide, edges) => Some(edges),
        _ => None,
    });
    let right = if folded < width - 117.0 { width - 117.0 } else { width - 12.0 };
    let within = |p: Point| p.x > folded && p.x < right && p.y > 70.0 && p.y < height - 12.0;
    let edges = wide.flatten().filter(|e| within(e.from) && within(e.to));
    let bounds = edges.fold(Bounds::EMPTY, |b, e| b.with(e.from).with(e.to));
    let inside = bounds.width().max(bounds.height());
    assert!(inside > 45.0, "the formed view is {} by {}", bounds.width(), bounds.height());
}

#[test]
fn weld_symbols_stand_on_the_side_of_their_edge() {
    let page = &of("demo, A4: clevis-brake-rod").pages[0];
    let outline = drawn::notes(page, &["outline"]);
    let feet = outline.iter().flat_map(|(note, _)| note.feet.iter());
    let mut bounds = feet.fold(Bounds::EMPTY, |b, p| b.with(*p));
    if bounds.width() <= 0.0 {
        // The sides of the strip are its longest upright lines.
        let upright = lines(page).into_iter().filter(|[a, b]| {
            (a.x - b.x).abs() < 1e-6 && (a.y - b.y).abs() > 25.0 && a.x > 60.0 && a.x < 160.0
        });
        bounds = upright.flatten().fold(Bounds::EMPTY, |b, p| b.with(p));
    }
    let mut sides = 0;
    for (note, _) in drawn::notes(page, &["leader"]) {
        let [tip, elbow] = note.feet[..] else { panic!("{:?}", note.feet) };
        let side = [bounds.min.x - tip.x, tip.x - bounds.max.x].map(f64::abs);
        if side.iter().all(|off| *off > 0.3) || tip.y < bounds.min.y || tip.y > bounds.max.y {
            continue;
        }
        sides += 1;
        let out = if side[0] < side[1] { tip.x - elbow.x } else { elbow.x - tip.x };
        assert!(out > -1e-6, "from {elbow:?} across the part to {tip:?}");
    }
    assert!(sides >= 2, "{sides} leaders to the sides");
}

/// The arrow of a curve is within it, and not on the corner at its end.
#[test]
fn the_arrow_of_a_curve_is_off_its_ends() {
    let page = &of("demo, A4: gusset-axle-post").pages[0];
    let curves = drawn::notes(page, &["radius"]);
    let (curve, _) = curves.iter().find(|(note, _)| note.text == "curve").expect("it is coped");
    let leaders = drawn::notes(page, &["leader"]);
    let near = |p: &Point| curve.feet.iter().map(|f| (*f - *p).hypot()).fold(9.9, f64::min);
    let tips: Vec<Point> = leaders.iter().map(|(note, _)| note.feet[0]).collect();
    let tip = tips.iter().min_by(|a, b| near(a).total_cmp(&near(b))).expect("there are leaders");
    // Its ends are the left one of its feet and the right one.
    let ends = [f64::min, f64::max].map(|of| curve.feet.iter().map(|p| p.x).reduce(of));
    let off = ends.map(|end| (end.expect("it has feet") - tip.x).abs());
    assert!(near(tip) < 1.5 && off.iter().all(|off| *off > 1.5), "{tip:?} of {:?}", curve.feet);
}

#[test]
fn a_rolled_bend_finds_room_beside_a_narrow_strap() {
    let said = text(&drawing("in", "11 ga", "saddle-strap", "", Format::Letter));
    assert!(said.contains("roll R"), "{said}");
    assert!(!said.contains("No room at the flat for: bend"), "{said}");
}

/// One hole alone has no letter, in the flat, on the formed part or in the table.
#[test]
fn one_hole_has_no_letter_anywhere() {
    let tab = drawing("mm", "3 mm", "tab-joggle", "", Format::A4);
    let said = text(&tab);
    assert!(said.lines().any(|line| line == "the hole"), "{said}");
    let [width, _] = tab.size;
    let letters = tab.pages.iter().flat_map(words);
    let letters = letters.filter(|w| w.text == "A" && w.at.x < width - 11.0).count();
    assert_eq!(letters, 0, "{said}");
}

#[test]
fn the_sizes_of_many_holes_are_said_once() {
    let said = text(of("60 holes: rows"));
    assert_eq!(said.lines().filter(|line| line.contains("× Ø4")).count(), 1, "{said}");
}

/// Each check of a load has its bar, beside names in as many lines as they need.
#[test]
fn all_checks_of_a_load_have_bars() {
    for name in ["tab-tow", "base-seat", "angle-valve-block", "ears-tie-rod"] {
        let drawing = of(&format!("demo, A4: {name}"));
        let bars = drawing.pages.iter().flat_map(drawn::items).filter(|item| match item {
            Item::Fill(_, loops) | Item::Area(_, loops) => {
                let bounds = loops.iter().flatten().fold(Bounds::EMPTY, |b, e| b.with(e.from));
                (bounds.height() - 3.0).abs() < 1e-6 && bounds.width() > 0.1
            }
            _ => false,
        });
        let rules = text(drawing).lines().filter(|line| line.ends_with(" kN")).count();
        assert!(bars.count() >= 5 && rules > 5, "{name}: {}", text(drawing));
    }
}

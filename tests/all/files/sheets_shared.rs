//! How the contents of a drawing are divided among its sheets, in which order its holes are
//! numbered, and what leaders keep off.

use crate::files::bend_drawings::SHOP;
use crate::files::bend_drawings::drawing_in;
use crate::files::bend_drawings::shipped;
use crate::files::drawn::items;
use crate::files::drawn::notes;
use crate::files::drawn::words;
use crate::files::shop_drawings::DRAWINGS;
use crate::files::shop_drawings::solve;
use platewright::drawings;
use platewright::geom::Point;
use platewright::paper::Format;
use platewright::paper::Item;
use platewright::paper::Page;
use platewright::paper::Pages;
use platewright::paper::Pen;

fn of<'a>(name: &str) -> &'a Pages {
    let found = DRAWINGS.iter().find(|(of, _)| of == name);
    &found.unwrap_or_else(|| panic!("there is no {name}")).1
}

/// All words of the drawing of a recipe in 11 ga steel, in one line.
fn said(units: &str, recipe: &str, given: &str) -> String {
    let job = format!(
        "units = \"{units}\"\nprocess = \"laser\"\nshop = \"shop.toml\"\n[[sheet]]\nname = \"sheet\"\n\
         material = \"A36\"\nthickness = \"11 ga\"\nstock = []\n[[part]]\nrecipe = \"own\"\n\
         name = \"own\"\nsheet = \"sheet\"\ngiven = {{ {given} }}\n"
    );
    drawing_in(SHOP, &job, shipped(recipe)).replace('\n', " ")
}

fn has(page: &Page, wanted: &str) -> bool {
    words(page).iter().any(|words| words.text == wanted)
}

/// The first sheet of the hat has room for a bend and for one table below it, the second for the other.
#[test]
fn tables_take_what_the_bends_leave_free() {
    let drawing = of("demo, A4: hat-cross-rail");
    let [first, second] = &drawing.pages[..] else { panic!("{} sheets", drawing.pages.len()) };
    let tables = ["Formed dimensions, outside", "Holes on the formed part"];
    assert_eq!(tables.map(|table| has(first, table)), [true, false]);
    assert_eq!(tables.map(|table| has(second, table)), [false, true]);
    assert!(has(first, "Bends in order") && has(second, "Bends in order, continued"));
}

/// With the bends half a sheet wide, the bent clevis is on two sheets.
#[test]
fn bends_on_further_sheets_are_as_wide_as_these_let_them_be() {
    let drawing = of("demo, A4: clevis-brake-rod");
    assert_eq!(drawing.pages.len(), 2);
    let right = |page: &Page| {
        let to = words(page).into_iter().find(|words| words.text == "bend to").unwrap();
        to.at.x
    };
    // The column of the first sheet leaves a step 107 mm, half of the second 133.5 mm.
    let [width, _] = drawing.size;
    let column = right(&drawing.pages[0]) - (width - 117.0);
    let half = right(&drawing.pages[1]) - 20.0;
    assert!(half > column + 15.0, "{half} against {column}");
    // The text on the gap continues in the next column, and repeats its heading.
    assert!(has(&drawing.pages[1], "Gap between the ears, continued"));
}

/// The flange in front lies the other way round in the flat: its holes are numbered as the others are.
#[test]
fn holes_of_a_face_are_numbered_from_the_left() {
    let drawing = of("demo, A4: channel-boom-guide");
    let flat = |label: &str| {
        let all = words(&drawing.pages[0]).into_iter().filter(|words| words.text == label);
        all.map(|words| words.at).min_by(|a, b| a.x.total_cmp(&b.x)).expect("it is lettered")
    };
    for [one, two] in [["A1", "A2"], ["B1", "B2"], ["C1", "C2"]] {
        let [one, two] = [one, two].map(flat);
        assert!(one.x < two.x && (one.y - two.y).abs() < 0.1, "{one:?} {two:?}");
    }
}

#[test]
fn a_rolled_bend_is_measured_by_its_radius_and_its_chord() {
    let text = said("mm", "saddle-strap", "tube = \"60 mm\"");
    let (_, rest) = text.split_once("Check the inside with a template of").expect(&text);
    let mut figures = rest.split([' ', ':']).filter(|word| !word.is_empty());
    let radius = figures.next().and_then(|word| word.strip_prefix('R'));
    let radius: f64 = radius.and_then(|word| word.parse().ok()).expect(rest);
    let chord: f64 = figures.next().and_then(|word| word.parse().ok()).expect(rest);
    // Half round, so from wall to wall; each figure to a hundredth.
    assert!((chord - 2.0 * radius).abs() < 0.016, "R{radius}, {chord}");
    assert!(radius > 30.0, "it goes round the tube: {radius}");
    assert!(text.contains("(from bolt to bolt)"), "{text}");
}

#[test]
fn radii_and_legs_that_nobody_gives_are_those_of_inches() {
    let text = said("in", "gusset-flanged", "leg_main = \"5 in\"");
    assert!(text.contains("R0.125") && !text.contains("0.118"), "{text}");
    let text = said("in", "bellcrank", "bolt = \"3/8\", arm_a = \"4 in\", arm_b = \"3 in\"");
    assert!(text.contains("walls 0.375, corners R0.125"), "{text}");
}

/// The governing limit has the longest bar, and none is longer than the line of the allowable
/// value.
#[test]
fn the_weakest_check_has_the_longest_bar() {
    for name in ["tab-tow", "base-seat", "angle-valve-block", "ears-tie-rod"] {
        let drawing = of(&format!("demo, A4: {name}"));
        let page = drawing.pages.last().unwrap();
        let bar = |loops: &[Vec<platewright::geom::Edge>]| {
            let all: Vec<Point> = loops.iter().flatten().map(|edge| edge.from).collect();
            let [low, high] = [|a: f64, b: f64| a.min(b), |a: f64, b: f64| a.max(b)];
            let span = |of: fn(&Point) -> f64| {
                let least = all.iter().map(of).fold(f64::INFINITY, low);
                (least, all.iter().map(of).fold(f64::NEG_INFINITY, high))
            };
            let (x, y) = (span(|p| p.x), span(|p| p.y));
            let is_bar = all.len() == 4 && (y.1 - y.0 - 3.0).abs() < 1e-6;
            is_bar.then_some((x.0, x.1 - x.0))
        };
        let mut governs = Vec::new();
        let mut others = Vec::new();
        for item in items(page) {
            match item {
                Item::Area(_, loops) => governs.extend(bar(loops)),
                Item::Fill(_, loops) => others.extend(bar(loops)),
                _ => {}
            }
        }
        let [(from, long)] = governs[..] else { panic!("{name}: {governs:?}") };
        let others: Vec<f64> =
            others.iter().filter(|bar| (bar.0 - from).abs() < 1e-6).map(|bar| bar.1).collect();
        // The longest tables continue in the next column.
        assert!(others.len() >= 4, "{name}: {others:?}");
        assert!(others.iter().all(|other| *other <= long), "{name}: {long}, {others:?}");
        assert!(long > 5.0, "{name}: it is seen, {long}");
    }
}

/// A leader through an origin circle would look like a dimension: that of the long words at the
/// slot of this ear points the other way.
#[test]
fn no_leader_runs_through_the_circle_of_an_origin() {
    let job = "units = \"in\"\nprocess = \"laser\"\ncoating = \"powder\"\nshop = \"shop.toml\"\n\
               [[sheet]]\nname = \"sheet\"\nmaterial = \"A36\"\nthickness = \"3/16 in\"\nstock = []\n\
               [[part]]\nrecipe = \"clevis-weldment\"\nname = \"rod\"\nsheet = \"sheet\"\n\
               given = { rod_end = \"3/8\", bolt = \"5/16\" }\n";
    let (job, all) = solve(job, "");
    let ear = all.iter().find(|one| one.name == "rod-ear").expect("it has ears");
    let drawing = drawings::shop_drawing(&job, &all, ear, Format::Letter);
    let page = &drawing.pages[0];
    let circle = |item: &&Item| match item {
        Item::Line(Pen::Narrow, edges) => match &edges[..] {
            [a, b] if (a.bulge, b.bulge) == (1.0, 1.0) => {
                let across = a.to - a.from;
                ((across.hypot() - 2.2).abs() < 1e-6).then(|| a.from + across / 2.0)
            }
            _ => None,
        },
        _ => None,
    };
    let origins: Vec<Point> = items(page).iter().filter_map(circle).collect();
    assert!(origins.len() >= 2, "one of each axis: {origins:?}");
    let leaders = notes(page, &["leader"]);
    assert!(leaders.len() >= 4, "{leaders:?}");
    for (note, drawn) in leaders {
        for item in drawn {
            let Item::Line(Pen::Narrow, edges) = item else { continue };
            let near = |p: &&Point| edges.iter().any(|e| (e.nearest(**p) - **p).hypot() < 1.1);
            let hit = origins.iter().find(near);
            assert!(hit.is_none(), "{note:?} through {hit:?}");
        }
    }
}

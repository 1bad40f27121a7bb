//! How the sheets of drawings are filled: scales, positions, assemblies, units of tools.

use crate::files::drawn;
use crate::files::drawn::lines;
use crate::files::drawn::text;
use crate::files::drawn::words;
use crate::files::shop_drawings::DRAWINGS;
use crate::files::shop_drawings::solve;
use platewright::drawings;
use platewright::geom::Bounds;
use platewright::geom::Point;
use platewright::job::Job;
use platewright::paper::Format;
use platewright::paper::Item;
use platewright::paper::Page;
use platewright::paper::Pages;
use platewright::paper::Pen;
use platewright::solve::Solved;

const DEMO: &str = include_str!("../../../parts/jobs/vineyard-cart.toml");

/// A job of one recipe in steel of a thickness.
fn job(recipe: &str, thickness: &str) -> String {
    format!(
        "process = \"laser\"\nshop = \"shop.toml\"\n\n[[sheet]]\nname = \"steel\"\n\
         material = \"S235\"\nthickness = \"{thickness}\"\nstock = []\n\n\
         [[part]]\nrecipe = \"{recipe}\"\nname = \"one\"\nsheet = \"steel\"\n"
    )
}

fn of<'a>(name: &str) -> &'a Pages {
    let found = DRAWINGS.iter().find(|(of, _)| of == name);
    &found.unwrap_or_else(|| panic!("there is no {name}")).1
}

/// ISO 5455 has 1, 2 and 5 with powers of ten; a view drawn to fill its room has no scale.
#[test]
fn scales_are_those_of_the_standard() {
    let is_scale = |words: &str| {
        let mut parts = words.split(':');
        let number = |part: Option<&str>| part.is_some_and(|p| p.parse::<f64>().is_ok());
        number(parts.next()) && number(parts.next()) && parts.next().is_none()
    };
    let is_standard = |scale: &str| {
        let (one, other) = scale.split_once(':').expect("it is a scale");
        let digits = |words: &str| words.trim_end_matches('0').to_owned();
        [one, other].contains(&"1")
            && [one, other].iter().all(|n| ["1", "2", "5"].contains(&digits(n).as_str()))
    };
    let mut seen = 0;
    for (name, drawing) in DRAWINGS.iter() {
        let text = text(drawing);
        for said in text.split_whitespace().map(|word| word.trim_matches([',', ';', '.'])) {
            if is_scale(said) {
                assert!(is_standard(said), "{name}: {said}");
                seen += 1;
            }
        }
        assert!(!text.contains("about 1:"), "{name}: {text}");
    }
    assert!(seen > DRAWINGS.len(), "{seen} scales");
}

/// The formed view of a part of two faces uses the room it has, and everything is on one sheet.
#[test]
fn a_part_of_one_bend_stands_on_one_sheet_and_is_seen_well() {
    let drawing = of("demo, A4: angle-fender");
    assert_eq!(drawing.pages.len(), 1, "{}", text(drawing));
    let text = text(drawing);
    assert!(text.contains("Beside bends of less than 90°, measured"), "{text}");
    let [width, _] = drawing.size;
    // The column at the right is 107 wide, within the frame of 10.
    let column = width - 117.0;
    let wide = drawn::items(&drawing.pages[0]).into_iter().filter_map(|item| match item {
        Item::Line(Pen::Wide, edges) => Some(edges),
        _ => None,
    });
    let edges = wide.flatten().filter(|e| e.from.x > column && e.from.y > 60.0 && e.to.x > column);
    let bounds = edges.fold(Bounds::EMPTY, |b, e| b.with(e.from).with(e.to));
    let inside = bounds.width().max(bounds.height());
    assert!(inside > 40.0, "the formed view is {} by {}", bounds.width(), bounds.height());
}

/// A second sheet of a few lines is not made: the continuation fills at least a tenth of it.
#[test]
fn no_further_sheet_holds_only_a_few_lines() {
    let few = |page: &Page| {
        // The title block, the frame and its zones have about fifty words.
        let all = words(page);
        let above: Vec<_> = all.iter().filter(|w| w.at.y > 32.0 && w.at.x > 22.0).collect();
        above.iter().filter(|w| w.text.len() > 1).count() < 6
    };
    let empty: Vec<&str> = DRAWINGS
        .iter()
        .filter(|(_, drawing)| drawing.pages.iter().skip(1).any(few))
        .map(|(name, _)| name.as_str())
        .collect();
    assert!(empty.is_empty(), "{empty:?}");
}

/// Ten cut-outs and six holes are in no table: then no room is reserved for one.
#[test]
fn a_plate_of_many_cut_outs_has_no_empty_column() {
    let cut = |i: u32| {
        format!("{{ name = \"h{i}\", at = [\"{} mm\", \"0\"], diameter = \"7 mm\" }},", 15 * i)
    };
    let cuts: String = (1..=6).map(cut).collect();
    let window = |i: u32| {
        let x = 15 * i;
        format!(
            "{{ cut = \"rectangle\", width = \"8 mm\", height = \"12 mm\", at = [\"{x} mm\", \"25 mm\"] }},"
        )
    };
    let windows: String = (1..=10).map(window).collect();
    let own = format!(
        "about = \"x\"\n[face.plate]\nblank = [ {{ add = \"rectangle\", width = \"180 mm\", \
         height = \"80 mm\", at = [\"85 mm\", \"10 mm\"] }}, {windows} ]\nholes = [ {cuts} ]\n"
    );
    let (job, all) = solve(&job("own", "3 mm"), &own);
    assert_eq!(all[0].flat.gaps().len(), 10, "the cut-outs are there");
    let drawing = drawings::shop_drawing(&job, &all, &all[0], Format::A4);
    let [width, _] = drawing.size;
    let is_column = |[a, b]: &[Point; 2]| {
        (a.x - b.x).abs() < 0.01 && (a.x - (width - 117.0)).abs() < 0.5 && (a.y - b.y).abs() > 60.0
    };
    assert!(!lines(&drawing.pages[0]).iter().any(is_column), "{}", text(&drawing));
}

/// All assemblies of a job, by a part of each.
fn assemblies(job: &Job, all: &[Solved]) -> Vec<Pages> {
    let firsts = all.iter().enumerate().filter(|(i, one)| {
        all[..*i].iter().all(|other| other.line != one.line || other.part.hand != one.part.hand)
    });
    firsts.filter_map(|(_, one)| drawings::assembly_drawing(job, all, one, Format::A4)).collect()
}

#[test]
fn a_set_of_plates_has_a_sheet_with_its_parts_numbered_and_its_welds() {
    let (of_demo, all) = solve(DEMO, "");
    let demo = assemblies(&of_demo, &all);
    assert!(demo.len() > 3, "{} sets", demo.len());
    let (of_jig, jig) = solve(&job("jig-plate", "4 mm"), "");
    let jigs = assemblies(&of_jig, &jig);
    let [sheet] = jigs.as_slice() else { panic!("{} sets", jigs.len()) };
    let said = text(sheet);
    for (i, part) in jig.iter().enumerate() {
        let item = (i + 1).to_string();
        let is_said = |words: &str| said.lines().filter(|line| *line == words).count();
        // In its row, and in the picture.
        assert!(is_said(&item) >= 2, "item {item}\n{said}");
        assert!(said.replace('\n', "").contains(&part.name), "{}\n{said}", part.name);
    }
    for wanted in
        ["Assembly", "Parts of one assembly", "not to scale", "Mass of one assembly", "Sets"]
    {
        assert!(said.lines().any(|line| line == wanted), "{wanted}\n{said}");
    }
    assert!(said.contains("no check here proves strength"), "{said}");
    // The ears of the demo are welded: their seams are lettered in the picture and listed.
    let ears = demo.iter().find(|pages| pages.title == "ears-tie-rod-assembly");
    let said = text(ears.expect("it is a set"));
    let seams = said.lines().filter(|line| *line == "W1").count();
    assert_eq!(seams, 2, "in the picture and in the list\n{said}");
    assert!(said.contains("z3.2") && said.contains("Welds"), "{said}");
    // The ears of 42 by 50.51 and 4.7625 thick, 18.41 apart.
    assert!(said.contains("Overall 42 × 27.94, 50.51 high."), "{said}");
    let (job, weldment) = solve(&job("clevis-weldment", "5 mm"), "");
    for pages in assemblies(&job, &weldment) {
        let said = text(&pages);
        for part in &weldment {
            assert!(said.replace('\n', "").contains(&part.name), "{}\n{said}", part.name);
        }
    }
}

/// A print of a set shows its welds and the number of each part: the hash of its issue
/// distinguishes two such prints, as does that of the part that is welded.
#[test]
fn the_issue_of_a_set_changes_with_its_welds() {
    let issue = |weld: &str| {
        let line = format!("{}given = {{ weld = \"{weld}\" }}\n", job("clevis-plates", "5 mm"));
        let (job, all) = solve(&line, "");
        let said = text(&assemblies(&job, &all)[0]);
        let hash = said.lines().skip_while(|line| *line != "Issue").nth(1).map(str::to_owned);
        (hash.expect("it has an issue"), all[0].issue.geometry.clone())
    };
    let ((one, part), (other, welded)) = (issue("3 mm"), issue("4 mm"));
    assert_ne!(part, welded);
    assert_ne!(one, other);
}

/// A tool is called by the size it is made in, in a job of either units.
#[test]
fn tools_keep_the_unit_they_are_made_in() {
    let inches = |name: &str| text(of(&format!("demo in inches: {name}"))).replace('\n', " ");
    let angle = inches("angle-fender");
    assert!(angle.contains("V 32 mm"), "{angle}");
    let base = inches("base-seat");
    assert!(base.contains("drill Ø9 mm after assembly"), "{base}");
    assert!(base.contains("pilot Ø0.197"), "what is cut is in the units of the job: {base}");
    let (_, gusset) = DRAWINGS
        .iter()
        .find(|(name, _)| name == "demo in inches: gusset-arch-front")
        .expect("the demo has it");
    let strip = text(gusset);
    assert!(strip.lines().any(|line| line == "4 mm"), "the sheet is 4 mm\n{strip}");
}

/// A curve of no radius is checked by its length, its ends and its depth.
#[test]
fn a_coped_curve_has_three_sizes_to_check_it_by() {
    let said = text(of("demo, A4: tab-cable-brace")).replace('\n', " ");
    assert!(said.contains("by DXF or template; check: "), "{said}");
    let (_, behind) = said.split_once("check: ").expect("it is there");
    let numbers: Vec<f64> = behind
        .split_whitespace()
        .filter_map(|word| word.trim_end_matches(',').parse().ok())
        .take(3)
        .collect();
    let [long, apart, deep] = numbers[..] else { panic!("{behind}") };
    // An arc of a chord and a depth is longer than its chord, and no longer than half round it.
    assert!(long > apart && deep > 0.0 && deep < apart, "{numbers:?}");
    assert!(long < apart + 2.0 * deep, "{numbers:?}");
}

/// A lip too narrow for words has its name beside it.
#[test]
fn every_face_of_a_flat_is_named() {
    let own = "about = \"x\"\n\
        [face.base]\nblank = [ { add = \"polygon\", corners = [ [\"-60 mm\", \"-40 mm\"], [\"60 mm\", \"-40 mm\"], \
        { at = [\"60 mm\", \"40 mm\"], edge = \"top\" }, [\"-60 mm\", \"40 mm\"] ] } ]\n\
        [face.lip]\nblank = [ { add = \"rectangle\", width = \"120 mm\", height = \"14 mm\", at = [\"0\", \"7 mm\"] } ]\n\
        [bend.heel]\non = \"base.top\"\nto = \"lip\"\nangle = \"90 deg\"\nradius = \"2 mm\"\n";
    let (job, all) = solve(&job("own", "2 mm"), own);
    let drawing = drawings::shop_drawing(&job, &all, &all[0], Format::A4);
    let [width, _] = drawing.size;
    for face in ["base", "lip"] {
        let all = words(&drawing.pages[0]);
        let named = all.iter().any(|w| w.text == face && w.at.x < width - 117.0);
        assert!(named, "{face}");
    }
}

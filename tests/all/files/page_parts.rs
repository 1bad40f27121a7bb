//! The page agrees with a part's drawing, its list and its metal.

use crate::demo;
use crate::files::drawn;
use crate::own;
use platewright::diag::Sources;
use platewright::drawings;
use platewright::make::Made;
use platewright::paper::Format;
use platewright::recipe::SHIPPED;
use std::fs;

const SHEET: &str = "sheet = [ { name = \"s\", material = \"S235\", thickness = \"6 mm\", \
     stock = [ { size = [\"2000 mm\", \"1000 mm\"] } ] } ]\n";

fn made(own: &str, job: &str) -> Made {
    own::make(own, job).unwrap_or_else(|found| panic!("{found:#?}"))
}

fn file(made: &Made, name: &str) -> String {
    let file = made.files.iter().find(|file| file.name == name);
    let file = file.unwrap_or_else(|| panic!("there is no {name}"));
    String::from_utf8(file.bytes.clone()).unwrap()
}

/// The text between two others.
fn between<'t>(text: &'t str, from: &str, to: &str) -> &'t str {
    let (_, behind) = text.split_once(from).unwrap_or_else(|| panic!("no {from}"));
    behind.split_once(to).unwrap_or_else(|| panic!("no {to}")).0
}

/// The words of some markup.
fn words(markup: &str) -> String {
    let mut out = String::new();
    for piece in markup.split('<') {
        out += piece.split_once('>').map_or(piece, |(_, words)| words);
    }
    out.replace("&quot;", "\"").replace("&#39;", "'").replace("&amp;", "&")
}

fn card<'p>(page: &'p str, part: &str) -> &'p str {
    between(page, &format!("<article class=\"card\" id=\"part-{part}\""), "</article>")
}

fn row<'p>(page: &'p str, part: &str) -> &'p str {
    let link = format!("<a href=\"#part-{part}\">{part}</a>");
    let rows = between(page, "class=\"parts\"", "</table>");
    rows.split("<tr").find(|row| row.contains(&link)).unwrap_or_else(|| panic!("no row of {part}"))
}

#[test]
fn the_card_of_a_plate_leads_to_the_drawing_of_its_set() {
    let of = |recipe: &str| {
        let line = "part = [ { recipe = \"RECIPE\", name = \"ears\", sheet = \"s\" } ]\n";
        let line = line.replace("RECIPE", recipe);
        let made = made("", &format!("process = \"laser\"\n{SHEET}{line}"));
        let first = made.report.parts[0].name.clone();
        card(&file(&made, "report.html"), &first).to_owned()
    };
    assert!(of("clevis-plates").contains("href=\"drawings/ears-assembly.pdf\""));
    assert!(!of("tab").contains("assembly"));
}

/// A plate with a hole too near its edge, and one with another such hole.
const NEAR: &str = r#"
about = "Plate"
[inputs]
wide = { kind = "length", default = "80 mm", about = "width" }
bolt = { kind = "bolt", default = "M8", about = "goes through the holes" }
[face.plate]
blank = [ { add = "rectangle", width = "wide", height = "60 mm" } ]
holes = [
  { name = "near", at = ["0", "19 mm"], diameter = "9 mm", for = "bolt" },
  { name = "far", at = ["0", "-19.2 mm"], diameter = "9 mm", for = "bolt", when = "wide > 90 mm" },
]
"#;

#[test]
fn a_finding_of_several_parts_is_shown_with_each() {
    let part = |name: &str, wide| {
        format!(
            "{{ recipe = \"own\", name = \"{name}\", sheet = \"s\", given = {{ wide = \"{wide} mm\" }} }}"
        )
    };
    let job = format!(
        "process = \"laser\"\n{SHEET}part = [ {}, {} ]\n",
        part("one", 80),
        part("two", 100)
    );
    let made = made(NEAR, &job);
    let near = made.findings.iter().find(|f| f.parts().count() == 2);
    assert!(near.is_some(), "no finding is about both: {:#?}", made.findings);
    let page = file(&made, "report.html");
    for (part, said) in [("one", "1 caution"), ("two", "2 cautions")] {
        let card = card(&page, part);
        let head = between(card, "<header>", "</header>");
        assert!(head.contains(said), "{part}: {head}");
        assert!(row(&page, part).contains(said) && row(&page, part).contains("found\""), "{part}");
        assert!(card.contains("<a href=\"#finding-one-1\">F1</a>"), "{part} leads nowhere: {card}");
        assert!(card.contains("<circle class=\"found\""), "{part} has no ring");
    }
    assert!(card(&page, "two").contains("<a href=\"#finding-two-2\">F2</a>"));
    assert_eq!(page.matches("<li id=\"finding-").count(), 2, "each is told once");
    let band = between(&page, "Ready to order?", "Sheets and price");
    assert!(words(band).contains("one, two: "), "{}", words(band));
}

/// Both flanges take 12 mm from the ends of a front of 60 mm: outside setback of 6 mm round 6 mm.
const WELDED: &str = r#"
about = "Base"
[face.base]
blank = [ { add = "polygon", corners = [
  { at = ["-30 mm", "-25 mm"], edge = "front" }, { at = ["30 mm", "-25 mm"], edge = "right" },
  ["30 mm", "25 mm"], { at = ["-30 mm", "25 mm"], edge = "left" },
] } ]
weld = [ { edge = "front", leg = "4 mm", one_side = true } ]
[face.right]
blank = [ { add = "rectangle", width = "50 mm", height = "40 mm", at = ["0", "20 mm"] } ]
[face.left]
blank = [ { add = "polygon", corners = [ ["-25 mm", "0"], ["25 mm", "0"], { at = ["25 mm", "40 mm"], edge = "front" }, ["-25 mm", "40 mm"] ] } ]
weld = [ { edge = "front", leg = "4 mm" } ]
[bend.right]
on = "base.right"
to = "right"
angle = "90 deg"
radius = "6 mm"
[bend.left]
on = "base.left"
to = "left"
angle = "90 deg"
radius = "6 mm"
"#;

#[test]
fn a_seam_is_as_long_as_its_metal_and_names_its_face() {
    let job = format!(
        "process = \"laser\"\n{SHEET}part = [ {{ recipe = \"own\", name = \"own\", sheet = \"s\" }} ]\n"
    );
    let made = made(WELDED, &job);
    let report: serde_json::Value = serde_json::from_str(&file(&made, "report.json")).unwrap();
    let weld = &report["parts"][0]["welds"][0];
    assert_eq!((weld["face"].as_str(), weld["length_mm"].as_f64()), (Some("base"), Some(36.0)));
    let page = file(&made, "report.html");
    let welds = words(between(card(&page, "own"), "<h4>Welds</h4>", "</ul>"));
    assert!(
        welds.contains("front of base: 36 mm, leg 4 mm, one side, which one is not given"),
        "{welds}"
    );
    assert!(welds.contains("front of left: 50 mm, leg 4 mm, both sides"), "{welds}");
}

#[test]
fn a_bend_step_says_on_the_page_what_its_drawing_says() {
    let (_, shipped) = SHIPPED.iter().find(|(name, _)| *name == "box-bracket").unwrap();
    let given = "given = { length = \"160 mm\", width = \"120 mm\", height = \"20 mm\", holes = \"0\", radius = \"3 mm\" }";
    for units in ["mm", "in"] {
        let job = format!(
            "units = \"{units}\"\nprocess = \"laser\"\nshop = \"shop.toml\"\n{}part = [ {{ recipe = \"own\", name = \"own\", sheet = \"s\", {given} }} ]\n",
            SHEET.replace("6 mm", "3 mm")
        );
        let mut sources = Sources::default();
        let (job, (solved, found)) =
            own::asked(shipped, &job, &mut sources).unwrap_or_else(|found| panic!("{found:#?}"));
        let drawing = drawings::shop_drawing(&job, &solved, &solved[0], Format::A4);
        let squeezed = |text: &str| -> String { text.split_whitespace().collect() };
        let paper = squeezed(&drawn::text(&drawing));
        let search = platewright::place::Search::none();
        let made = platewright::make::make(&job, &solved, found, &sources, &search).unwrap();
        let page = file(&made, "report.html");
        let steps = between(card(&page, "own"), "<h4>Bend steps</h4>", "</ol>");
        assert_eq!(steps.matches("<li data-h").count(), solved[0].part.bends.len());
        let lines = steps.split("</span>").filter_map(|line| Some(line.split_once("<span>")?.1));
        let mut same = 0;
        for line in lines.map(words) {
            if let Some(angle) = line.strip_prefix("Bend to ") {
                let angle = angle.split(' ').next().unwrap();
                assert!(paper.contains(&format!("bendto{angle}")), "{line} is not on paper");
            } else {
                assert!(paper.contains(&squeezed(&line)), "{line} is not on paper:\n{paper}");
            }
            same += 1;
        }
        assert!(same >= 4 * solved[0].part.bends.len(), "only {same} lines");
        for wanted in ["from the left end of the bend", "Check leg", "Back gauge "] {
            assert!(words(steps).contains(wanted), "{units}: {wanted} is not said");
        }
    }
}

#[test]
fn parts_that_may_touch_in_the_worst_case_are_never_clear() {
    let folder = &demo::made().folder;
    let page = fs::read_to_string(folder.join("report.html")).unwrap();
    let report = fs::read_to_string(folder.join("report.json")).unwrap();
    let report: serde_json::Value = serde_json::from_str(&report).unwrap();
    let parts = report["parts"].as_array().unwrap();
    let noted = parts.iter().filter(|part| part["clevis"]["worst_case_notes"].is_array());
    let noted: Vec<&str> = noted.map(|part| part["name"].as_str().unwrap()).collect();
    assert!(!noted.is_empty(), "no part of the demo has a note on its fit");
    let band = between(&page, "Ready to order?", "Sheets and price");
    assert!(words(band).contains("Check first") && !band.contains("clear"), "{band}");
    for part in noted {
        let to = format!("<a href=\"#fit-{part}\">fit: 1 note</a>");
        assert!(band.contains(&to) && page.contains(&format!("id=\"fit-{part}\"")), "{band}");
        for place in [row(&page, part), between(card(&page, part), "<header>", "</header>")] {
            assert!(place.contains("fit: 1 note") && !place.contains("clear"), "{place}");
        }
    }
    let fit = words(between(&page, "Tightest fit", "Smallest load margin"));
    assert!(fit.contains("Worst case, all tolerances stacked: "), "{fit}");
    assert!(fit.contains(" mm in the worst case"), "a space is missing: {fit}");
}

#[test]
fn a_sheet_has_the_numbers_of_its_picture_on_the_page() {
    let folder = &demo::made().folder;
    let page = fs::read_to_string(folder.join("report.html")).unwrap();
    let report = fs::read_to_string(folder.join("report.json")).unwrap();
    let report: serde_json::Value = serde_json::from_str(&report).unwrap();
    let mut compared = 0;
    for sheet in report["sheets"].as_array().unwrap() {
        let stem = sheet["file"].as_str().unwrap().trim_end_matches(".dxf");
        let picture = fs::read_to_string(folder.join(format!("{stem}-picture.svg"))).unwrap();
        let picture: String = words(&picture).split_whitespace().collect();
        let name = stem.trim_start_matches("sheets/");
        let figure = between(&page, &format!("data-name=\"{name}\""), "</figure>");
        let legend = figure.split_once("class=\"legend\"").unwrap().1;
        let lines = legend.split("<li").skip(1).map(|line| words(&format!("<li{line}")));
        for line in lines.filter(|line| !line.starts_with("hatched: ")) {
            let (named, count) = line.split_once(" × ").unwrap();
            let (number, part) = named.split_once(' ').unwrap();
            let named = format!("{number}{count}{part}");
            assert!(picture.contains(&named), "{name}: {named} is not in its picture: {picture}");
            compared += 1;
        }
    }
    assert!(compared >= 5, "only {compared} parts");
}

#[test]
fn the_list_of_a_set_counts_its_pieces_not_those_drawn() {
    let job = format!(
        "process = \"laser\"\n{}part = [ {{ recipe = \"jig-plate\", name = \"jig\", sheet = \"s\" }} ]\n",
        SHEET.replace("6 mm", "4 mm")
    );
    let made = made("", &job);
    let list = words(&file(&made, "folded/jig-assembly.svg"));
    assert!(list.contains("jig-rail, 2 off, 1 shown"), "{list}");
    assert!(list.contains("jig-base, 1 off"), "{list}");
}

/// A base with a flange; the left hand alone has a sensor, between the holes of both.
const HANDS: &str = r#"
about = "Cradle"
mirror = true
[face.base]
blank = [ { add = "polygon", corners = [
  ["-40 mm", "-40 mm"], { at = ["40 mm", "-40 mm"], edge = "right" }, ["40 mm", "40 mm"], ["-40 mm", "40 mm"],
] } ]
holes = [
  { name = "base", at = ["-15 mm", "10 mm"], diameter = "9 mm" },
  { name = "sensor", at = ["10 mm", "-15 mm"], diameter = "8.4 mm", when = "hand == 'left'" },
]
[face.ear]
blank = [ { add = "rectangle", width = "80 mm", height = "60 mm", at = ["0", "30 mm"] } ]
holes = [ { name = "ear", at = ["-10 mm", "40 mm"], diameter = "6.6 mm" } ]
[bend.ear]
on = "base.right"
to = "ear"
angle = "90 deg"
radius = "6 mm"
"#;

#[test]
fn a_hole_has_one_letter_on_both_hands() {
    let job = format!(
        "process = \"laser\"\n{SHEET}part = [ {{ recipe = \"own\", name = \"own\", sheet = \"s\" }} ]\n"
    );
    let made = made(HANDS, &job);
    let page = file(&made, "report.html");
    let letter = |part: &str, hole: &str| {
        let table = between(card(&page, part), "class=\"holes\"", "</table>");
        let row = table.split("<tr>").find(|row| row.contains(&format!("<td>{hole}, on ")));
        row.map(|row| words(row.split_once("</th>").unwrap().0))
    };
    for (hole, right, left) in
        [("base", Some("A"), "A"), ("sensor", None, "B"), ("ear", Some("C"), "C")]
    {
        assert_eq!(letter("own-right", hole).as_deref(), right, "{hole}");
        assert_eq!(letter("own-left", hole).as_deref(), Some(left), "{hole}");
    }
}

/// On the hand without the sensor the window still comes after the letter of the ear's hole.
#[test]
fn a_cut_out_has_no_letter_of_a_hole() {
    let window =
        "{ cut = \"rectangle\", width = \"20 mm\", height = \"10 mm\", at = [\"0\", \"27 mm\"] }";
    let own = HANDS.replacen("] } ]\nholes", &format!("] }}, {window} ]\nholes"), 1);
    let job = format!(
        "process = \"laser\"\n{SHEET}part = [ {{ recipe = \"own\", name = \"own\", sheet = \"s\" }} ]\n"
    );
    let mut sources = Sources::default();
    let (job, (solved, _)) =
        own::asked(&own, &job, &mut sources).unwrap_or_else(|found| panic!("{found:#?}"));
    for hand in &solved {
        let drawing = drawings::shop_drawing(&job, &solved, hand, Format::A4);
        let words = drawn::words(&drawing.pages[0]);
        let count = |letter: &str| words.iter().filter(|words| words.text == letter).count();
        assert!(count("C") > 0 && count("D") > 0 && count("E") == 0, "{}", hand.name);
    }
}

#[test]
fn limits_that_are_not_judged_are_never_clear() {
    let demo = demo::made();
    let page = fs::read_to_string(demo.folder.join("report.html")).unwrap();
    let report = fs::read_to_string(demo.folder.join("report.json")).unwrap();
    let report: serde_json::Value = serde_json::from_str(&report).unwrap();
    let mut all = 0;
    for part in report["parts"].as_array().unwrap() {
        let name = part["name"].as_str().unwrap();
        let loads = report["strength"]["loads"].as_array().unwrap().iter();
        let own = loads.filter(|load| load["part"] == name);
        let open = own.map(|load| load["not_judged"].as_array().map_or(0, Vec::len)).sum::<usize>();
        let said = match open {
            0 => continue,
            1 => "1 limit not judged".to_owned(),
            n => format!("{n} limits not judged"),
        };
        all += open;
        for place in [row(&page, name), between(card(&page, name), "<header>", "</header>")] {
            assert!(place.contains(&said) && !place.contains("clear"), "{place}");
        }
    }
    assert!(all > 1, "all limits of the demo are judged");
    let links = report["strength"]["links"].as_array().map_or(&[][..], Vec::as_slice).iter();
    all += links.map(|load| load["not_judged"].as_array().map_or(0, Vec::len)).sum::<usize>();
    let said = format!("{all} limits not judged");
    let band = words(between(&page, "Ready to order?", "Sheets and price"));
    assert!(band.contains(&said) && band.contains("Check first"), "{band}");
    let margin = words(between(&page, "Smallest load margin", "class=\"foot\""));
    assert!(margin.contains(&said), "{margin}");
    let found = demo.printed.lines().chain(demo.said.lines()).find(|l| l.starts_with("findings: "));
    let found = found.unwrap_or_else(|| panic!("no findings in {}", demo.printed));
    assert!(found.contains(&said) && found.contains("fit: "), "{found}");
}

/// Holes of 8 mm so near each other that not all letters have room between them.
const SIXTY: &str = r#"
about = "Sixty holes"
[face.plate]
blank = [ { add = "rectangle", width = "300 mm", height = "160 mm", at = ["150 mm", "80 mm"] } ]
holes = [ { name = "vent", at = ["150 mm", "80 mm"], diameter = "8 mm",
  grid = { columns = "12", rows = "5", pitch = ["22 mm", "22 mm"] } } ]
"#;

#[test]
fn a_letter_of_the_page_covers_no_hole_and_no_edge() {
    let job = format!(
        "process = \"laser\"\n{SHEET}part = [ {{ recipe = \"own\", name = \"own\", sheet = \"s\" }} ]\n"
    );
    let page = file(&made(SIXTY, &job), "report.html");
    let card = card(&page, "own");
    let scale = 340.0 / 300.0;
    let number = |text: &str, key: &str| -> f64 {
        between(text, &format!(" {key}=\""), "\"").parse().unwrap()
    };
    let shown: Vec<&str> =
        card.split("<text ").filter(|t| t.starts_with("class=\"letter\"")).collect();
    assert!(shown.len() >= 30, "only {} letters", shown.len());
    for text in shown {
        let label = between(text, ">", "<");
        let (x, y) = (number(text, "x"), number(text, "y"));
        let [left, right, top, bottom] = [x, x + 7.0 * label.len() as f64, y - 9.0, y];
        assert!(left > 0.0 && right < 340.0 && top > 0.0 && bottom < 160.0 * scale, "{label}");
        for (column, line) in
            (0..12).flat_map(|c| (0..5).map(move |r| (f64::from(c), f64::from(r))))
        {
            let hole =
                [150.0 + 22.0 * (column - 5.5), 80.0 + 22.0 * (line - 2.0)].map(|mm| mm * scale);
            let off = [hole[0].clamp(left, right) - hole[0], hole[1].clamp(top, bottom) - hole[1]];
            let apart = off[0] * off[0] + off[1] * off[1];
            assert!(apart > (4.0 * scale) * (4.0 * scale), "{label} covers the hole at {hole:?}");
        }
    }
    assert!(!page.contains("text.letter, .dwg text.sign"), "letters have a rim that hides lines");
}

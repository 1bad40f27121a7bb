//! Shapes from elsewhere, or inside each other, from recipe to flat.

use crate::own;
use platewright::diag::Finding;
use platewright::diag::Sources;
use platewright::dxf_in;
use platewright::geom::Edge;
use platewright::geom::JOIN;
use platewright::geom::Outline;
use platewright::geom::Place;
use platewright::geom::Point;
use platewright::geom::Region;
use platewright::geom::edge_distance;
use platewright::geom::lettering;
use platewright::geom::plate;
use platewright::geom::rectangle;
use platewright::job;
use platewright::job::Job;
use platewright::job::Shelf;
use platewright::make;
use platewright::num::Angle;
use platewright::place::Search;
use platewright::solve;
use platewright::solve::Solved;
use platewright::table::Tables;
use platewright::write::NamedFile;

/// A job with one recipe, and the bytes of `plate.dxf`.
fn solve(
    job: &str,
    own: &str,
    dxf: &[u8],
) -> Result<(Job, Vec<Solved>, Vec<Finding>), Vec<Finding>> {
    let tables = Tables::shipped();
    let shipped = Shelf::shipped(&tables);
    let recipe = |name: &str| match name {
        "own" => Some(("own.toml".to_owned(), own.to_owned())),
        _ => (shipped.recipe)(name),
    };
    let shelf = Shelf {
        drawing: &|name| (name == "plate.dxf").then(|| dxf.to_vec()),
        file: &|name| (name == "../shop.toml").then(|| (name.to_owned(), SHOP.to_owned())),
        recipe: &recipe,
        ..shipped
    };
    let mut sources = Sources::default();
    let source = sources.add("job.toml", job);
    let read = job::read("job", source, job, &shelf, &mut sources)?;
    let (solved, findings) = solve::solve(&read, &shelf, &mut sources, &|| ())?;
    Ok((read, solved, findings))
}

const SHOP: &str = include_str!("../../../parts/shop.toml");

const ONE: &str = "process = \"laser\"\n\
    [[sheet]]\nname = \"steel\"\nmaterial = \"S235\"\nthickness = \"3 mm\"\nstock = []\n\
    [[part]]\nrecipe = \"own\"\nname = \"own\"\nsheet = \"steel\"\n";

fn at_origin(region: &Region) -> Region {
    region.moved(&Place::at(Point::ZERO - region.bounds().min.to_vec2()))
}

#[test]
fn every_flat_of_the_demo_reads_back_as_the_same_plate() {
    let demo = include_str!("../../../parts/jobs/vineyard-cart.toml");
    for units in ["mm", "in"] {
        let text = demo.replacen("\"mm\"", &format!("\"{units}\""), 1);
        let (job, solved, _) = solve(&text, "", b"").unwrap();
        let files = make::flats(&job, &solved).unwrap();
        let is_dxf = |f: &&NamedFile| f.name.ends_with(".dxf");
        let drawings: Vec<&NamedFile> = files.iter().filter(is_dxf).collect();
        assert!(drawings.len() == solved.len() && solved.len() > 15);
        for (file, solved) in drawings.iter().zip(&solved) {
            let drawn = dxf_in::read(&file.bytes, None, None).unwrap();
            assert!(drawn.passed.is_empty() && drawn.elsewhere > 0, "{}", file.name);
            let (read, made) = (plate(&drawn.edges, JOIN).unwrap(), at_origin(&solved.flat.region));
            assert_eq!(read.holes().len(), made.holes().len(), "{}", file.name);
            // The grid of the files, all along the cut.
            let max = 2e-5 * made.length();
            assert!((read.area() - made.area()).abs() < max, "{}", file.name);
            for (a, b) in read.outlines().zip(made.outlines()) {
                assert_eq!(a.vertices().len(), b.vertices().len(), "{}", file.name);
                assert!((a.area() - b.area()).abs() < max, "{}", file.name);
                let far = |v: &platewright::geom::Vertex| b.distance(v.at) > 1e-5;
                assert!(!a.vertices().iter().any(far), "{}", file.name);
            }
        }
    }
}

/// A 40 by 30 plate with an 8 hole, drawn in loose lines from (5, 5).
const PLATE: &str = "0\nSECTION\n2\nHEADER\n9\n$ACADVER\n1\nAC1015\n9\n$INSUNITS\n70\n4\n0\nENDSEC\n\
    0\nSECTION\n2\nENTITIES\n\
    0\nLINE\n8\n0\n10\n5\n20\n5\n11\n45\n21\n5\n\
    0\nLINE\n8\n0\n10\n45\n20\n35\n11\n45.004\n21\n5\n\
    0\nLINE\n8\n0\n10\n5\n20\n35\n11\n5\n21\n5\n\
    0\nCIRCLE\n8\n0\n10\n15\n20\n20\n40\n4\n\
    0\nLINE\n8\n0\n10\n5\n20\n35\n11\n45\n21\n35\n\
    0\nENDSEC\n0\nEOF\n";

fn blank(steps: &str) -> String {
    format!("about = \"x\"\n[face.plate]\nblank = [ {steps} ]\n")
}

#[test]
fn a_drawing_is_placed_turned_and_worked_on_like_any_shape() {
    let steps = "{ add = \"outline\", file = \"plate.dxf\", at = [\"10 mm\", \"0\"], rotate = \"90 deg\" }, \
        { cut = \"disc\", radius = \"3 mm\", at = [\"-10 mm\", \"35 mm\"] }";
    let (_, solved, found) = solve(ONE, &blank(steps), PLATE.as_bytes()).unwrap();
    assert!(found.is_empty(), "{found:?}");
    let region = &solved[0].flat.region;
    let wanted = 1200.0 - platewright::num::PI * (16.0 + 9.0);
    assert!((region.area() - wanted).abs() < 0.1, "{}", region.area());
    assert_eq!(region.holes().len(), 2);
    // (5, 5) turned by a quarter is (-5, 5).
    let bounds = region.bounds();
    assert!((bounds.max.x - 5.0).abs() < 0.01 && (bounds.min.y - 5.0).abs() < 0.01);
    assert!(!region.contains(Point::new(-10.0, 15.0)));
}

#[test]
fn a_drawing_is_added_to_a_plate_with_its_holes_but_not_cut_out_with_them() {
    let steps = "{ add = \"rectangle\", width = \"30 mm\", height = \"30 mm\" }, \
        { add = \"outline\", file = \"plate.dxf\" }";
    let (_, solved, _) = solve(ONE, &blank(steps), PLATE.as_bytes()).unwrap();
    let region = &solved[0].flat.region;
    let wanted = 900.0 + 1200.0 - 100.0 - platewright::num::PI * 16.0;
    assert!((region.area() - wanted).abs() < 0.1, "{}", region.area());
    let cut = steps.replace("30 mm", "99 mm").replace("add = \"outline\"", "cut = \"outline\"");
    let found = solve(ONE, &blank(&cut), PLATE.as_bytes()).unwrap_err();
    assert_eq!(found[0].headline, "the metal in the holes of the cut would fall out");
}

/// A rib on a base, both of one sheet.
const FRAME: &str = r#"
about = "x"

[derived]
count = "3"
width = "12 mm"
span  = "70 mm"

[face.base]
blank = [ { add = "rectangle", width = "120 mm", height = "90 mm" } ]
holes = [ { name = "seat", at = ["5 mm", "-8 mm"], rotate = "30 deg", tongue_slot = { count = "count", width = "width", span = "span", fit = "0.15 mm" } } ]

[face.rib]
pieces = 1
blank = [
  { add = "rectangle", width = "100 mm", height = "40 mm" },
  { add = "tongue", edge = "bottom", count = "count", width = "width", span = "span" },
]
"#;

#[test]
fn tongues_of_one_plate_leave_the_fit_in_the_slots_of_another() {
    let (_, solved, found) = solve(ONE, FRAME, b"").unwrap();
    assert!(found.is_empty(), "{found:?}");
    let (base, rib) = (&solved[0].flat.region, &solved[1].flat.region);
    // The tips of the tongues, at their depth below the foot of the rib.
    let tip = |e: &Edge| e.is_line() && (e.from.y + 23.0).abs() < 1e-9 && e.from.y == e.to.y;
    let tips: Vec<Edge> = rib.outer().edges().filter(tip).collect();
    assert_eq!((tips.len(), base.holes().len()), (3, 3));
    // The rib set up on the base: its foot on the middle line of the slots.
    let set_up = Place::rotated(Angle::from_degrees(30.0), Point::new(5.0, -8.0));
    for tip in tips {
        let middle = Point::new((tip.from.x + tip.to.x) / 2.0, 0.0);
        assert!((tip.length() - 12.0).abs() < 1e-9);
        let tongue = rectangle(middle, tip.length(), 3.0, 0.0).unwrap().moved(&set_up);
        let holds = |h: &&Outline| h.contains(set_up.apply(middle));
        let slot = base.holes().iter().find(holds).unwrap();
        for side in tongue.edges() {
            let to = |e: Edge| edge_distance(&side, &e);
            let gap = slot.edges().map(to).fold(f64::INFINITY, f64::min);
            assert!((gap - 0.15).abs() < 1e-9, "{gap}");
        }
    }
}

/// The only finding, with the letters it points to.
fn refused(own: &str) -> (String, String, String) {
    let found = solve(ONE, own, b"").expect_err("it is refused");
    assert_eq!(found.len(), 1, "{found:?}");
    let span = found[0].marks[0].span;
    let help = found[0].help.clone().expect("it helps");
    (found[0].headline.clone(), own[span.start..span.end].to_owned(), help)
}

#[test]
fn tongues_and_slots_that_cannot_be_are_refused_with_their_place() {
    let (words, at, help) = refused(&FRAME.replace("edge = \"bottom\"", "edge = \"foot\""));
    assert_eq!(words, "there is no straight edge `foot`");
    assert!(at.starts_with("{ add = \"tongue\""));
    assert_eq!(help, "its named edges are bottom, right, top, left");
    let (words, _, _) = refused(&FRAME.replace("\"70 mm\"", "\"100 mm\""));
    assert_eq!(words, "the tongues with their reliefs need 13.200 mm, but the edge has 6.600 mm");
    let (words, at, help) = refused(&FRAME.replace("fit =", "relief = \"0.05 mm\", fit ="));
    assert_eq!(words, "a relief of 0.05 mm is less than the round of 0.1 mm that the cut leaves");
    assert_eq!((at.as_str(), help.contains("0.75 * kerf")), ("0.05 mm", true));
    let (words, at, _) = refused(&FRAME.replace("\"0.15 mm\"", "\"-0.1 mm\""));
    assert_eq!((words.as_str(), at.as_str()), ("a fit of -0.1 mm leaves no clearance", "-0.1 mm"));
    let both = FRAME.replace("edge =", "ends = \"9 mm\", edge =");
    let (words, at, _) = refused(&both);
    assert_eq!(
        (words.as_str(), at.as_str()),
        ("tongues are placed by `span` or by `ends`", "9 mm")
    );
}

/// A bent angle, both hands, with its name and size on the leg and a line on the base.
const MARKED: &str = r#"
about = "x"
mirror = true
bend_ticks = true

[derived]
leg = "40 mm"

[face.base]
blank = [ { add = "rectangle", width = "90 mm", height = "40 mm", at = ["0", "-20 mm"] } ]
holes = [ { name = "bolt", at = ["-30 mm", "-20 mm"], diameter = "9 mm" } ]
marks = [ { line = [["-10 mm", "-30 mm"], ["-10 mm", "-20 mm"], ["20 mm", "-20 mm"]] } ]

[face.leg]
blank = [ { add = "rectangle", width = "90 mm", height = "leg", at = ["0", "leg / 2"] } ]
marks = [ { text = "{name} {leg}", at = ["10 mm", "25 mm"], height = "3 mm" } ]

[bend.heel]
on    = "base.top"
to    = "leg"
angle = "90 deg"
"#;

fn marked(units: &str) -> Vec<Solved> {
    let job = format!("units = \"{units}\"\n{ONE}").replace("name = \"own\"", "name = \"A7\"");
    solve(&job, MARKED, b"").expect("it can be made").1
}

#[test]
fn marks_move_with_their_face_and_words_can_be_read_on_both_hands() {
    for (units, size) in [("mm", "40 mm"), ("in", "1.5748 in")] {
        let solved = marked(units);
        assert_eq!(solved.len(), 2);
        for (solved, side) in solved.iter().zip([1.0, -1.0]) {
            assert_eq!(solved.flat.marks.len(), 3);
            let (line, words) = (&solved.flat.marks[0], &solved.flat.marks[1]);
            let corner = line.strokes[0][0].to;
            assert!((corner - Point::new(-10.0 * side, -20.0)).hypot() < 1e-9, "{corner}");
            let wanted = lettering(&format!("{} {size}", solved.name), 3.0).unwrap();
            // The leg is drawn to the outside and shorter in the flat by the bend deduction.
            let place = solved.flat.places[1];
            // On the leg x runs against the edge, so the words are upside down in the flat.
            let middle = place.apply(Point::new(10.0 * side, 25.0));
            let turned = Place::rotated(place.rotation, middle);
            for (a, b) in words.strokes.iter().flatten().zip(wanted.iter().flatten()) {
                let b = b.moved(&turned);
                assert!((a.from - b.from).hypot() < 1e-9 && (a.to - b.to).hypot() < 1e-9);
            }
            assert_eq!(words.strokes.len(), wanted.len());
        }
        assert!(solved[0].name.ends_with("-right") && solved[1].name.ends_with("-left"));
    }
}

#[test]
fn ticks_stand_at_both_ends_of_the_bend_line_within_the_metal() {
    let solved = marked("mm");
    let flat = &solved[0].flat;
    let (ticks, line) = (&flat.marks[2].strokes, flat.bends[0].line);
    assert_eq!(ticks.len(), 2);
    for tick in ticks.iter().flatten() {
        assert!((tick.length() - 5.0).abs() < 1e-9);
        assert!((line.nearest(tick.from) - tick.from).hypot() < 1e-9);
        let ends = (line.from - tick.from).hypot().min((line.to - tick.from).hypot());
        assert!((ends - 0.5).abs() < 1e-9 && flat.region.contains(tick.from));
    }
    let one =
        MARKED.replace("bend_ticks = true", "").replace("{ line", "{ tick = \"heel\" }, { line");
    let (_, solved, _) = solve(ONE, &one, b"").unwrap();
    assert_eq!(solved[0].flat.marks.len(), 3);
}

/// The ticks of a rolled bend beside a bend, whose lines run over the corner that is cut out there.
#[test]
fn ticks_of_all_bends_stay_on_the_metal() {
    let own = r#"
about = "x"
KEY
[face.plate]
blank = [ { add = "polygon", corners = [ { at = ["-60 mm", "-60 mm"], edge = "b" }, { at = ["60 mm", "-60 mm"], edge = "r" }, ["60 mm", "60 mm"], ["-60 mm", "60 mm"] ] } ]
[face.roll]
blank = [ { add = "rectangle", width = "120 mm", height = "30 mm", at = ["0", "15 mm"] } ]
[face.leg]
blank = [ { add = "rectangle", width = "120 mm", height = "30 mm", at = ["0", "15 mm"] } ]
[bend.roll]
on = "plate.b"
to = "roll"
form = "rolled"
angle = "90 deg"
radius = "30 mm"
[bend.leg]
on = "plate.r"
to = "leg"
angle = "90 deg"
radius = "3 mm"
"#;
    let ticks = |key: &str| {
        let (solved, _) = crate::own::solve(&own.replace("KEY", key), "2 mm", "laser").unwrap();
        let flat = &solved[0].flat;
        let ticks: Vec<Edge> = flat.marks.iter().flat_map(|m| m.strokes.concat()).collect();
        for tick in &ticks {
            assert!((tick.length() - 5.0).abs() < 1e-9, "{tick:?}");
            assert!([0.0, 0.5, 1.0].iter().all(|t| flat.region.contains(tick.point_at(*t))));
        }
        ticks.len()
    };
    // Two lines of the rolled bend and one of the other.
    assert_eq!(ticks(""), 6);
    assert_eq!(ticks("bend_ticks = true"), 6);
    assert_eq!(ticks("bend_ticks = false"), 0);
}

#[test]
fn marks_are_open_paths_on_their_layer_in_every_file_and_counted_in_the_report() {
    let job = ONE.replace("stock = []", "stock = [ { size = [\"500 mm\", \"500 mm\"] } ]");
    let (job, solved, found) = solve(&job, MARKED, b"").unwrap();
    let sources = Sources::default();
    let made = make::make(&job, &solved, found, &sources, &Search::none()).unwrap();
    let strokes: usize = solved[0].flat.marks.iter().map(|m| m.strokes.len()).sum();
    let text = |name: &str| {
        let file = made.files.iter().find(|f| f.name == name);
        String::from_utf8(file.expect("the file is there").bytes.clone()).expect("it is a text")
    };
    let path = "LWPOLYLINE\r\n5\r\n";
    let flat = text("flats/own-right.dxf");
    let entities = flat.split(path).skip(1);
    let on_mark: Vec<&str> = entities.filter(|e| e.contains("8\r\nMARK\r\n")).collect();
    assert_eq!(on_mark.len(), strokes);
    let sheet = text("sheets/steel-01.dxf");
    let both: usize = solved.iter().flat_map(|s| &s.flat.marks).map(|m| m.strokes.len()).sum();
    assert_eq!(sheet.matches("8\r\nMARK\r\n").count(), both);
    assert!(text("report.json").contains("\"marks\": 3"));
}

#[test]
fn marks_that_cannot_be_made_are_refused_with_their_place() {
    let (words, at, help) = refused(&MARKED.replace("{leg}\"", "√ 8\""));
    assert_eq!(words, "`own-right √ 8` cannot be marked: there is no character `√`");
    assert!(at.starts_with("{ text") && help.starts_with("use the characters of Latin-1"));
    let (words, at, _) = refused(&MARKED.replace("{leg}\"", "{lag}\""));
    assert_eq!((words.as_str(), at.as_str()), ("`lag` is not defined here", "lag"));
    let (words, at, _) = refused(&MARKED.replace("{leg}\"", "{leg\""));
    assert_eq!((words.as_str(), at.as_str()), ("this `{` is never closed", "{"));
    let (words, _, help) = refused(&MARKED.replace("{ line", "{ tick = \"toe\" }, { line"));
    assert_eq!(
        (words.as_str(), help.as_str()),
        ("there is no bend `toe` to mark", "bends are heel")
    );
    let (words, at, _) = refused(&MARKED.replace("[\"20 mm\", \"-20 mm\"]]", "\"0\"]"));
    assert_eq!(words, "a line runs through two points or more");
    assert!(at.starts_with("[["));
}

#[test]
fn a_mark_that_leaves_its_face_is_found_wherever_it_leaves() {
    let line = "[[\"-10 mm\", \"-30 mm\"], [\"-10 mm\", \"-20 mm\"], [\"20 mm\", \"-20 mm\"]]";
    let leaves = |points: &str| {
        let own = MARKED.replace("mirror = true", "").replace(line, points);
        let found = solve(ONE, &own, b"").err().unwrap_or_default();
        let codes: Vec<&str> = found.iter().map(|f| f.code).collect();
        assert!(codes.is_empty() || codes == ["mark-outside"], "{codes:?}");
        !codes.is_empty()
    };
    assert!(!leaves(line));
    for (points, where_to) in [
        ("[[\"0\", \"-20 mm\"], [\"50 mm\", \"-20 mm\"]]", "over the edge"),
        ("[[\"-40 mm\", \"-20 mm\"], [\"0\", \"-20 mm\"]]", "through the hole"),
        ("[[\"0\", \"-20 mm\"], [\"0\", \"-1 mm\"]]", "into the bend"),
        ("[[\"0\", \"20 mm\"], [\"9 mm\", \"20 mm\"]]", "on the other face"),
        ("[[\"-31 mm\", \"-20 mm\"], [\"-29 mm\", \"-20 mm\"]]", "within the hole"),
    ] {
        assert!(leaves(points), "{where_to}");
    }
}

/// The mark is on the corner to change, and the help says what to type.
#[test]
fn a_corner_that_cannot_be_says_what_to_type() {
    let straight = "{ at = [\"30 mm\", \"0\"], round = \"4 mm\" }";
    for (corner, help) in [
        (straight, "remove `round`, `chamfer` or `clip` at corner 2"),
        ("{ at = [\"30 mm\", \"0\"], disc = \"0 mm\" }", "give the disc a radius"),
        ("{ at = [\"30 mm\", \"9 mm\"], round = \"-4 mm\" }", "make the size 0 or more"),
    ] {
        let recipe = format!(
            "about = \"x\"\n[face.plate]\nblank = [ {{ add = \"polygon\", corners = [[\"0\", \"0\"], {corner}, [\"60 mm\", \"0\"], [\"0\", \"40 mm\"]] }} ]\n"
        );
        let found = own::solve(&recipe, "3 mm", "laser").map(|_| ()).expect_err("no polygon");
        assert_eq!(found[0].help.as_deref(), Some(help));
        let at = found[0].marks[0].span;
        assert_eq!(&recipe[at.start..at.end], corner);
    }
}

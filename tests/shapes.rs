//! Shapes that come from elsewhere or go into each other, from recipe to flat.

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
use platewright::geom::plate;
use platewright::geom::rectangle;
use platewright::job;
use platewright::job::Job;
use platewright::job::NamedFile;
use platewright::job::Shelf;
use platewright::job::Solved;
use platewright::num::Angle;
use platewright::recipe;
use platewright::table::Tables;

/// A job with one recipe of its own, and the bytes of `plate.dxf`.
fn solve(
    job: &str,
    own: &str,
    dxf: &[u8],
) -> Result<(Job, Vec<Solved>, Vec<Finding>), Vec<Finding>> {
    let tables = Tables::shipped();
    let shipped = |name: &str| {
        let (_, text) = recipe::SHIPPED.iter().find(|(shipped, _)| *shipped == name)?;
        Some((format!("{name}.toml"), (*text).to_owned()))
    };
    let recipe = |name: &str| match name {
        "own" => Some(("own.toml".to_owned(), own.to_owned())),
        _ => shipped(name),
    };
    let shelf = Shelf {
        drawing: &|name| (name == "plate.dxf").then(|| dxf.to_vec()),
        file: &|_| None,
        recipe: &recipe,
        names: &Vec::new,
        tables: &tables,
    };
    let mut sources = Sources::default();
    let source = sources.add("job.toml", job);
    let read = job::read("job", source, job, &shelf, &mut sources)?;
    let (solved, findings) = job::solve(&read, &shelf, &mut sources, &|| ())?;
    Ok((read, solved, findings))
}

const ONE: &str = "process = \"laser\"\n\
    [[sheet]]\nname = \"steel\"\nmaterial = \"S235\"\nthickness = \"3 mm\"\nstock = []\n\
    [[part]]\nrecipe = \"own\"\nname = \"own\"\nsheet = \"steel\"\n";

fn at_origin(region: &Region) -> Region {
    region.moved(&Place::at(Point::ZERO - region.bounds().least.to_vec2()))
}

#[test]
fn every_flat_of_the_demo_reads_back_as_the_same_plate() {
    let demo = include_str!("../parts/jobs/vineyard-cart.toml");
    for units in ["mm", "in"] {
        let text = demo.replacen("\"mm\"", &format!("\"{units}\""), 1);
        let (job, solved, _) = solve(&text, "", b"").unwrap();
        let files = job::flats(&job, &solved).unwrap();
        let is_dxf = |f: &&NamedFile| f.name.ends_with(".dxf");
        let drawings: Vec<&NamedFile> = files.iter().filter(is_dxf).collect();
        assert!(drawings.len() == solved.len() && solved.len() > 15);
        for (file, solved) in drawings.iter().zip(&solved) {
            let drawn = dxf_in::read(&file.bytes, None, None).unwrap();
            assert!(drawn.passed.is_empty() && drawn.elsewhere > 0, "{}", file.name);
            let (read, made) = (plate(&drawn.edges, JOIN).unwrap(), at_origin(&solved.flat.region));
            assert_eq!(read.holes().len(), made.holes().len(), "{}", file.name);
            // The grid of the files, all along the cut.
            let most = 2e-5 * made.length();
            assert!((read.area() - made.area()).abs() < most, "{}", file.name);
            for (a, b) in read.outlines().zip(made.outlines()) {
                assert_eq!(a.vertices().len(), b.vertices().len(), "{}", file.name);
                assert!((a.area() - b.area()).abs() < most, "{}", file.name);
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
    let steps = "{ add = \"outline\", file = \"plate.dxf\", at = [\"10 mm\", \"0\"], turn = \"90 deg\" }, \
        { cut = \"disc\", radius = \"3 mm\", at = [\"-10 mm\", \"35 mm\"] }";
    let (_, solved, found) = solve(ONE, &blank(steps), PLATE.as_bytes()).unwrap();
    assert!(found.is_empty(), "{found:?}");
    let region = &solved[0].flat.region;
    let wanted = 1200.0 - platewright::num::PI * (16.0 + 9.0);
    assert!((region.area() - wanted).abs() < 0.1, "{}", region.area());
    assert_eq!(region.holes().len(), 2);
    // (5, 5) turned by a quarter is (-5, 5).
    let bounds = region.bounds();
    assert!((bounds.most.x - 5.0).abs() < 0.01 && (bounds.least.y - 5.0).abs() < 0.01);
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
    assert_eq!(found[0].headline, "what lies in the holes of the cut would fall out");
}

/// A rib that stands on a base, both of one sheet.
const FRAME: &str = r#"
about = "x"

[derived]
count = "3"
width = "12 mm"
span  = "70 mm"

[face.base]
blank = [ { add = "rectangle", width = "120 mm", height = "90 mm" } ]
holes = [ { name = "seat", at = ["5 mm", "-8 mm"], turn = "30 deg", mortise = { count = "count", width = "width", span = "span", fit = "0.15 mm" } } ]

[face.rib]
pieces = 1
blank = [
  { add = "rectangle", width = "100 mm", height = "40 mm" },
  { add = "tongue", edge = "bottom", count = "count", width = "width", span = "span" },
]
"#;

#[test]
fn tongues_of_one_plate_leave_the_fit_in_the_mortises_of_another() {
    let (_, solved, found) = solve(ONE, FRAME, b"").unwrap();
    assert!(found.is_empty(), "{found:?}");
    let (base, rib) = (&solved[0].flat.region, &solved[1].flat.region);
    // The tips of the tongues, at their depth below the foot of the rib.
    let tip = |e: &Edge| e.is_line() && (e.from.y + 23.0).abs() < 1e-9 && e.from.y == e.to.y;
    let tips: Vec<Edge> = rib.outer().edges().filter(tip).collect();
    assert_eq!((tips.len(), base.holes().len()), (3, 3));
    // The rib set up on the base: its foot on the middle line of the mortises.
    let set_up = Place::turned(Angle::from_degrees(30.0), Point::new(5.0, -8.0));
    for tip in tips {
        let middle = Point::new((tip.from.x + tip.to.x) / 2.0, 0.0);
        assert!((tip.length() - 12.0).abs() < 1e-9);
        let tongue = rectangle(middle, tip.length(), 3.0, 0.0).unwrap().moved(&set_up);
        let holds = |h: &&Outline| h.contains(set_up.apply(middle));
        let mortise = base.holes().iter().find(holds).unwrap();
        for side in tongue.edges() {
            let to = |e: Edge| edge_distance(&side, &e);
            let gap = mortise.edges().map(to).fold(f64::INFINITY, f64::min);
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
fn tongues_and_mortises_that_cannot_be_are_refused_with_their_place() {
    let (words, at, help) = refused(&FRAME.replace("edge = \"bottom\"", "edge = \"foot\""));
    assert_eq!(words, "the face has no straight edge `foot`");
    assert!(at.starts_with("{ add = \"tongue\""));
    assert_eq!(help, "its named edges are bottom, right, top, left");
    let (words, _, _) = refused(&FRAME.replace("\"70 mm\"", "\"100 mm\""));
    assert_eq!(words, "the tongues with their reliefs take 13.200 mm, but there are 6.600 mm");
    let (words, at, help) = refused(&FRAME.replace("fit =", "relief = \"0.05 mm\", fit ="));
    assert_eq!(
        words,
        "a relief of 0.05 mm is less than the round of 0.1 mm that the cutter leaves"
    );
    assert_eq!((at.as_str(), help.contains("0.75 * kerf")), ("0.05 mm", true));
    let (words, at, _) = refused(&FRAME.replace("\"0.15 mm\"", "\"-0.1 mm\""));
    assert_eq!((words.as_str(), at.as_str()), ("a fit of -0.1 mm leaves no way in", "-0.1 mm"));
    let both = FRAME.replace("edge =", "ends = \"9 mm\", edge =");
    let (words, at, _) = refused(&both);
    assert_eq!((words.as_str(), at.as_str()), ("tongues stand by `span` or by `ends`", "9 mm"));
}

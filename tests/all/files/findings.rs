//! What findings are about, as the report says it, the page rings it and the drawings mark it.

use crate::files::drawn;
use platewright::diag::About;
use platewright::diag::Feature;
use platewright::diag::Finding;
use platewright::diag::HoleId;
use platewright::diag::Sources;
use platewright::drawings;
use platewright::geom::Bounds;
use platewright::geom::Edge;
use platewright::geom::Point;
use platewright::job;
use platewright::job::Job;
use platewright::job::Shelf;
use platewright::make;
use platewright::make::Made;
use platewright::paper::Format;
use platewright::paper::Ink;
use platewright::paper::Item;
use platewright::paper::Pen;
use platewright::place::Search;
use platewright::report::FeatureRow;
use platewright::solve;
use platewright::solve::Solved;
use platewright::table::Tables;

/// Two legs, each with a hole of the same name; that of the leg is 11 mm from its free edge,
/// where an M8 bolt in a hole of 9 mm needs 13.5 mm.
const LEGS: &str = r#"
about = "Angle"

[inputs]
bolt = { kind = "bolt", default = "M8", about = "goes through the holes" }

[face.base]
blank = [ { add = "polygon", corners = [
  ["-20 mm", "-40 mm"], ["20 mm", "-40 mm"], { at = ["20 mm", "0"], edge = "heel" }, ["-20 mm", "0"],
] } ]
holes = [ { name = "bolt", at = ["0", "-22 mm"], diameter = "9 mm", for = "bolt" } ]

[face.leg]
blank = [ { add = "polygon", corners = [
  ["-20 mm", "0"], ["20 mm", "0"], ["20 mm", "40 mm"], ["-20 mm", "40 mm"],
] } ]
holes = [ { name = "bolt", at = ["0", "29 mm"], diameter = "9 mm", for = "bolt" } ]

[bend.heel]
on    = "base.heel"
to    = "leg"
angle = "90 deg"
"#;

const HEAD: &str = r#"
process = "laser"
shop = "shop.toml"
coating = "0.1 mm"
sheet = [ { name = "plate", material = "S235", thickness = "3 mm", bend_radius = "3 mm", stock = [ { size = ["2000 mm", "1000 mm"] } ] } ]
"#;

/// A job with one oven, its parts solved, and what came of it.
struct Run {
    job: Job,
    solved: Vec<Solved>,
    made: Made,
}

fn run(parts: &str) -> Run {
    let tables = Tables::shipped();
    let shipped = Shelf::shipped(&tables);
    let recipe = |wanted: &str| match wanted {
        "legs" => Some(("legs.toml".to_owned(), LEGS.to_owned())),
        _ => (shipped.recipe)(wanted),
    };
    let shop = "oven = [\"300 mm\", \"300 mm\", \"300 mm\"]\n";
    let file = |name: &str| (name == "shop.toml").then(|| (name.to_owned(), shop.to_owned()));
    let shelf = Shelf { file: &file, recipe: &recipe, ..shipped };
    let text = format!("{HEAD}{parts}");
    let mut sources = Sources::default();
    let source = sources.add("job.toml", &text);
    let drawn = |sources: &Sources, found: &[Finding]| -> String {
        found.iter().map(|f| sources.draw(f, false) + "\n").collect()
    };
    let job = job::read("job", source, &text, &shelf, &mut sources)
        .unwrap_or_else(|found| panic!("{}", drawn(&sources, &found)));
    let (solved, found) = solve::solve(&job, &shelf, &mut sources, &|| {})
        .unwrap_or_else(|found| panic!("{}", drawn(&sources, &found)));
    let made = make::make(&job, &solved, found, &sources, &Search::none())
        .unwrap_or_else(|found| panic!("{}", drawn(&sources, &found)));
    Run { job, solved, made }
}

impl Run {
    /// The page's picture of the flat in which the findings of a part are marked.
    fn picture(&self, part: &str) -> String {
        let page = self.made.files.iter().find(|file| file.name == "report.html").unwrap();
        let page = String::from_utf8(page.bytes.clone()).unwrap();
        let heading = format!("<h3><a href=\"#part-{part}\">{part}</a></h3>");
        let (_, group) = page.split_once(&heading).unwrap();
        group.split_once("</svg>").unwrap().0.to_owned()
    }

    /// The rings of that picture, as middles from the lower left corner of the flat.
    fn rings(&self, part: &str) -> Vec<Point> {
        let picture = self.picture(part);
        let number = |circle: &str, key: &str| -> f64 {
            let (_, behind) = circle.split_once(&format!("{key}=\"")).unwrap();
            behind.split_once('"').unwrap().0.parse().unwrap()
        };
        let circles = picture.split("<circle class=\"found\"").skip(1);
        circles.map(|c| Point::new(number(c, " cx"), -number(c, " cy"))).collect()
    }

    /// The red items in the drawing of a part: lines, and the words beside them.
    fn red(&self, part: &Solved) -> (Vec<Vec<Edge>>, Vec<String>) {
        let drawing = drawings::shop_drawing(&self.job, &self.solved, part, Format::A4);
        let (mut lines, mut words) = (Vec::new(), Vec::new());
        for item in drawing.pages.iter().flat_map(drawn::items) {
            match item {
                Item::Line(Pen::Found, edges) => lines.push(edges.clone()),
                Item::Words(text) if text.ink == Ink::Red && text.text.starts_with('F') => {
                    words.push(text.text.clone());
                }
                _ => {}
            }
        }
        (lines, words)
    }

    fn found(&self, code: &str) -> &Finding {
        let found = &self.made.findings;
        found.iter().find(|f| f.code == code).unwrap_or_else(|| panic!("{code}: {found:#?}"))
    }
}

fn about(part: &str, features: &[Feature]) -> Vec<About> {
    vec![About::Part { name: part.into(), features: features.to_vec() }]
}

#[test]
fn of_two_holes_of_one_name_the_one_that_is_found_is_marked() {
    let run = run("part = [ { recipe = \"legs\", name = \"legs\", sheet = \"plate\" } ]\n");
    let id = HoleId { face: 1, hole: 0 };
    assert_eq!(run.found("hole-edge").about, about("legs", &[Feature::Hole(id)]));
    let rows: Vec<_> = run.made.report.findings.iter().flat_map(|row| &row.features).collect();
    let name = |name: &str| name.to_owned();
    let wanted = FeatureRow::Hole { part: name("legs"), face: name("leg"), name: name("bolt") };
    assert_eq!(rows, [&wanted]);

    let legs = &run.solved[0];
    let min = legs.flat.region.bounds().min.to_vec2();
    let centre = |hole: HoleId| {
        let flat = legs.flat.holes.iter().find(|flat| flat.id == hole).unwrap();
        flat.outline.bounds().centre() - min
    };
    let rings = run.rings("legs");
    assert_eq!(rings.len(), 1, "{rings:?}");
    // The page has hundredths of a millimetre.
    assert!((rings[0] - centre(id)).hypot() < 1e-2, "{rings:?}");
    assert!((rings[0] - centre(HoleId { face: 0, hole: 0 })).hypot() > 20.0);

    // In the drawing the ring is round the same hole.
    let (lines, words) = run.red(legs);
    // One round the hole, one round its number.
    assert_eq!((lines.len(), words.as_slice()), (2, &["F1".to_owned()][..]));
    let round = |edges: &[Edge]| edges.iter().fold(Bounds::EMPTY, |b, e| b.and(e.bounds()));
    let drawing = drawings::shop_drawing(&run.job, &run.solved, legs, Format::A4);
    let items = || drawing.pages.iter().flat_map(drawn::items);
    let outline = drawn::notes(&drawing.pages[0], &["outline"])[0].1;
    let plate = outline[0].bounds();
    let share = (round(&lines[0]).centre().y - plate.min.y) / plate.height();
    let wanted = centre(id).y / legs.flat.region.bounds().height();
    assert!((share - wanted).abs() < 1e-3, "{share} {wanted}");
    let text = items().filter_map(|item| match item {
        Item::Words(words) => Some(words.text.as_str()),
        _ => None,
    });
    assert!(text.into_iter().any(|line| line.starts_with("F1 caution (hole-edge)")));
}

#[test]
fn a_gap_an_oven_and_a_captured_nut_mark_what_they_are_about() {
    let tables = Tables::shipped();
    let corners = tables.row("nut", "M10").unwrap().measure("corners");
    // As drawn the nut fits with 0.2 mm to spare, in the narrowest tube it does not.
    let outside = corners + 0.2 + 2.0 * 2.0;
    let run = run(&format!(
        "part = [\n\
         {{ recipe = \"clevis-plates\", name = \"ears\", sheet = \"plate\", given = {{ clearance = \"2 mm\" }} }},\n\
         {{ recipe = \"strap\", name = \"long\", sheet = \"plate\", given = {{ length = \"500 mm\" }} }},\n\
         {{ recipe = \"end-cap\", name = \"cap\", sheet = \"plate\", given = {{ outside = \"{outside} mm\", seat = \"behind\", nut_weld = \"0 mm\", root = \"0 mm\" }} }},\n\
         ]\n"
    ));
    let ears = &run.solved[0];
    let eye = ears.part.clevis.as_ref().unwrap().eye;
    let wanted = about("ears", &[Feature::Hole(eye), Feature::Face(eye.face)]);
    assert_eq!(run.found("clevis-gap").about, wanted);
    assert_eq!(run.rings("ears").len(), 1);
    assert_eq!(run.found("oven").about, about("long", &[]));
    let picture = run.picture("long");
    let (lines, rings) = ("\" class=\"found\"/>", "<circle class=\"found\"");
    assert!(picture.contains(lines) && !picture.contains(rings), "{picture}");
    let cap = &run.solved[2];
    let seat = cap.part.captured.as_ref().unwrap().seat;
    assert_eq!(run.found("captured-nut").about, about("cap", &[Feature::Hole(seat)]));
    assert_eq!(run.rings("cap").len(), 1);
    // Each has a ring round its number as well.
    for (part, lines) in [(ears, 3), (&run.solved[1], 2), (cap, 2)] {
        let red = run.red(part);
        assert_eq!(red.0.len(), lines, "{}: {red:?}", part.name);
        assert!(red.1.contains(&"F1".to_owned()), "{}: {red:?}", part.name);
    }
}

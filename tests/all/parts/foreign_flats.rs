//! Flats drawn elsewhere: cut, marked, bent and ordered like our own.

use platewright::diag::Finding;
use platewright::diag::Sources;
use platewright::diag::Weight;
use platewright::job;
use platewright::job::Shelf;
use platewright::make;
use platewright::make::Made;
use platewright::place::Search;
use platewright::solve;
use platewright::solve::Solved;
use platewright::table::Tables;

const JOB: &str = "process = \"laser\"\n[[sheet]]\nname = \"steel\"\nmaterial = \"S235\"\n\
    thickness = \"3 mm\"\nstock = [ { size = [\"500 mm\", \"400 mm\"] } ]\n\
    [[part]]\nrecipe = \"own\"\nname = \"own\"\nsheet = \"steel\"\nquantity = 3\n";

/// A plate of 120 by 90 with an ellipse for its upper end, two holes of 9, a bend line, a mark.
const FLAT: &str = "0 SECTION 2 HEADER 9 $INSUNITS 70 4 0 ENDSEC 0 SECTION 2 ENTITIES \
    0 LINE 8 CUT 10 0 20 60 11 0 21 0 0 LINE 8 CUT 10 0 20 0 11 120 21 0 \
    0 LINE 8 CUT 10 120 20 0 11 120 21 60 \
    0 ELLIPSE 8 CUT 10 60 20 60 11 60 21 0 40 0.5 41 0 42 3.141592653589793 \
    0 CIRCLE 8 CUT 10 20 20 10 40 4.5 0 CIRCLE 8 CUT 10 100 20 10 40 4.5 \
    0 LINE 5 2F 8 KNICK 10 120 20 34 11 0 21 34 \
    0 LINE 8 RITZ 10 50 20 60 11 70 21 60 0 ENDSEC 0 EOF";

fn recipe(layers: &str, bends: &str) -> String {
    format!(
        "about = \"x\"\n[face.plate]\nblank = [ {{ add = \"outline\", file = \"own.dxf\", \
         layers = {{ {layers} }}, holes = \"sized\" }} ]\n{bends}"
    )
}

const LAYERS: &str = "CUT = \"cut\", KNICK = \"bend\", RITZ = \"mark\"";
const BEND: &str = "[bend.b1]\nacross = \"plate\"\nline = { drawn = 1 }\nto = \"foot\"\nangle = \"90 deg\"\nside = \"up\"\n";

fn make(own: &str, flat: &str) -> Result<(Vec<Solved>, Made), Vec<Finding>> {
    let tables = Tables::shipped();
    let flat = flat.replace(' ', "\n");
    let shelf = Shelf {
        drawing: &|name| (name == "own.dxf").then(|| flat.clone().into_bytes()),
        file: &|_| None,
        recipe: &|name| (name == "own").then(|| ("own.toml".to_owned(), own.to_owned())),
        names: &Vec::new,
        tables: &tables,
        book: &|_| Ok(None),
    };
    let mut sources = Sources::default();
    let source = sources.add("job.toml", JOB);
    let read = job::read("job", source, JOB, &shelf, &mut sources)?;
    let (solved, found) = solve::solve(&read, &shelf, &mut sources, &|| ())?;
    let made = make::make(&read, &solved, found, &sources, &Search::none())?;
    Ok((solved, made))
}

fn headline(own: &str, flat: &str) -> String {
    let found = make(own, flat).map(|_| ()).unwrap_err();
    found.into_iter().find(|f| f.weight == Weight::Stop).unwrap().headline
}

#[test]
fn a_foreign_flat_is_bent_marked_nested_and_ordered() {
    let (solved, made) = make(&recipe(LAYERS, BEND), FLAT).unwrap();
    let flat = &solved[0].flat;
    assert_eq!((flat.bends.len(), flat.marks.len(), solved[0].part.faces.len()), (1, 1, 2));
    // The flat is the outline as drawn: two holes less, half an ellipse of 60 by 30 more.
    let pi = std::f64::consts::PI;
    let wanted = 120.0 * 60.0 + pi * 60.0 * 30.0 / 2.0 - 2.0 * pi * 4.5 * 4.5;
    assert!((flat.region.area() - wanted).abs() < 1.0, "{} not {wanted}", flat.region.area());
    let names: Vec<&str> =
        solved[0].part.faces.iter().flat_map(|f| &f.holes).map(|h| h.name.as_str()).collect();
    assert_eq!(names, ["d9 1", "d9 2"]);
    let dxf = made.files.iter().find(|f| f.name == "flats/own.dxf").unwrap();
    let text = String::from_utf8(dxf.bytes.clone()).unwrap();
    let has = |word: &str| text.lines().any(|line| line == word);
    assert!(has("BEND") && has("MARK") && !has("SPLINE"));
    assert!(made.files.iter().any(|f| f.name.starts_with("order/")), "nothing is ordered");
}

/// The line runs to the right whichever way it was drawn, so that the metal above it moves.
#[test]
fn what_moves_is_above_the_line_unless_it_is_said() {
    let area = |bends: &str| {
        let (solved, _) = make(&recipe(LAYERS, bends), FLAT).unwrap();
        solved[0].part.faces.iter().find(|f| f.name == "foot").unwrap().blank.area()
    };
    assert!(area(BEND) > 4000.0);
    assert!(area(&format!("{BEND}moves = [\"60 mm\", \"5 mm\"]\n")) < 4000.0);
}

#[test]
fn a_bend_line_that_nothing_bends_and_a_layer_that_nothing_names_stop_it() {
    assert_eq!(
        headline(&recipe(LAYERS, ""), FLAT),
        "`own.dxf`: bend line 1, from (0, 34) to (120, 34), is not used by any bend"
    );
    let two = BEND.replace("drawn = 1", "drawn = 2");
    assert_eq!(
        headline(&recipe("CUT = \"cut\", \"*\" = \"none\"", &two), FLAT),
        "no outline file of face `plate` has a bend line"
    );
    assert_eq!(
        headline(&recipe("CUT = \"cut\", RITZ = \"mark\"", ""), FLAT),
        "`own.dxf`: nothing says what layer `KNICK` means"
    );
    let crooked = FLAT.replace("0 LINE 5 2F 8 KNICK", "0 ARC 5 2F 40 9 50 0 51 90 8 KNICK");
    let said = headline(&recipe(LAYERS, BEND), &crooked);
    assert!(said.contains("the ARC on layer `KNICK` (handle 2F, line"), "{said}");
}

#[test]
fn lines_drawn_twice_are_cut_once_and_said() {
    let twice = FLAT.replace("0 ENDSEC 0 EOF", "0 LINE 8 CUT 10 120 20 0 11 0 21 0 0 ENDSEC 0 EOF");
    let (_, made) = make(&recipe(LAYERS, BEND), &twice).unwrap();
    let said: Vec<&str> = made.findings.iter().map(|f| f.headline.as_str()).collect();
    assert_eq!(said, ["`own.dxf`: a line drawn twice is cut once: from (120, 0) to (0, 0)"]);
}

#[test]
fn a_bend_line_drawn_twice_is_bent_once_and_said() {
    let line = "0 LINE 8 KNICK 10 0 20 34 11 120 21 34";
    let twice = FLAT.replace("0 ENDSEC 0 EOF", &format!("{line} 0 ENDSEC 0 EOF"));
    let (_, made) = make(&recipe(LAYERS, BEND), &twice).unwrap();
    let said: Vec<&str> = made.findings.iter().map(|f| f.headline.as_str()).collect();
    assert_eq!(
        said,
        ["`own.dxf`: a bend line drawn twice is bent once: from (0, 34) to (120, 34)"]
    );
}

/// A hatch that fills a drawn outline is none; alone it is the outline.
#[test]
fn a_hatch_counts_where_nothing_else_draws_its_boundary() {
    let hatch = "0 HATCH 8 CUT 10 0 20 0 30 0 210 0 220 0 230 1 2 SOLID 70 1 71 0 91 1 92 3 72 0 73 1 93 4 \
        10 0 20 0 10 80 20 0 10 80 20 50 10 0 20 50 97 0 75 0 76 1 98 0";
    let line = "0 LWPOLYLINE 8 CUT 70 1 10 0 20 0 10 80 20 0 10 80 20 50 10 0 20 50";
    let head = "0 SECTION 2 HEADER 9 $INSUNITS 70 4 0 ENDSEC 0 SECTION 2 ENTITIES";
    for body in [hatch.to_owned(), format!("{hatch} {line}")] {
        let flat = format!("{head} {body} 0 ENDSEC 0 EOF");
        let (solved, _) = make(&recipe("CUT = \"cut\"", ""), &flat).unwrap();
        assert!((solved[0].flat.region.area() - 4000.0).abs() < 1e-6);
    }
}
